"""Which order is the cheapest of all that work? Exact over orders, sides to the gauge, punches, ways round and stations.

For every set of one, two or three kinds of station that the drawer can fill, a dynamic programme over the sets of done
bends gives the cheapest order; a bound on the cycle (every station at hand, no walking) stops the enumeration as soon as
nothing left can be cheaper.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import shapely

from bendwright.geometry.rigid import Array
from bendwright.plan import kernels
from bendwright.plan.gauges import SideStops, gauge_tables
from bendwright.plan.handling import Stance, change_seconds, stance
from bendwright.plan.permissions import Flags, general_permission, punch_suits, tool_permission
from bendwright.plan.situation import Situation
from bendwright.plan.stations import Slot, Station, fill_slots, slots_for, station_permission
from bendwright.plan.tables import (
    BendBodies,
    GaugeTables,
    PunchTables,
    body_boxes,
    collect_bodies,
    die_gaps,
    punch_tables,
    self_tables,
)
from bendwright.stroke.swing import Swing

MOST_BENDS = 12
MOST_STATIONS = 3
POOR_STOP_S = 10.0
HEAVY_BEHIND_S = 3.0
ASIDE_S = 1.0
SAME_HEIGHT_MM = 0.05
FIT_S = 1000.0
MOST_TRIPLES = 3000


@dataclass(frozen=True, slots=True)
class Prepared:
    """All tables of one situation."""

    situation: Situation
    around: tuple[BendBodies, ...]
    boxes: tuple[Array, ...]
    gauges: GaugeTables
    stops: tuple[tuple[SideStops, SideStops], ...]
    self_gap: Array
    punches: tuple[PunchTables, ...]
    open: tuple[Flags, ...]
    general: Flags


@dataclass(frozen=True, slots=True)
class Step:
    """One stroke of an order: bend, side at the gauge (0 parent, 1 child), station index, bends done before."""

    bend: int
    side: int
    station: int
    mask: int


def swing_at(prepared: Prepared, step: Step) -> Swing:
    """The swing of a step's bend; every bend of a searched situation has one."""
    swing = prepared.situation.verdicts[step.bend].swing
    assert swing is not None
    return swing


@dataclass(frozen=True, slots=True)
class Solution:
    """The cheapest order found: steps, stations, and what was proved.

    ``job_s`` and ``cost_s`` count the shop's preferences (a poor gauge stop, the heavy side behind, ...) as seconds;
    ``bound_s`` is the least cycle any order and any set of stations can have, in real seconds.
    """

    prepared: Prepared
    stations: tuple[Station, ...]
    steps: tuple[Step, ...]
    job_s: float
    cost_s: float
    bound_s: float
    states: int


@dataclass(frozen=True, slots=True)
class Usable:
    """A slot with the strokes it can do when it may choose its pieces first: [bend, mask] and [bend, side, mask]."""

    slot: Slot
    strokes: Flags
    by_side: Flags


def prepare_tables(situation: Situation) -> Prepared:
    """Work out all tables of a situation. Punches that suit no bend are left out."""
    around = collect_bodies(situation)
    boxes = body_boxes(situation, around)
    gauges, stops = gauge_tables(situation, around, boxes)
    self_gap = self_tables(situation, around)
    below = die_gaps(situation, around)
    bends = range(len(situation.part.bends))
    punches = tuple(
        punch_tables(situation, around, boxes, below, punch)
        for punch in situation.punches
        if any(punch_suits(punch, situation, i) is None for i in bends)
    )
    general = general_permission(situation, gauges, self_gap)
    opened = tuple(tool_permission(situation, table, gauges) for table in punches)
    return Prepared(situation, around, boxes, gauges, stops, self_gap, punches, opened, general)


def without_stacks(prepared: Prepared) -> Flags:
    """Strokes [bend, mask before] that could be done with any stack one may wish for: more than is possible, never less."""
    n = len(prepared.around)
    out = np.zeros((n, 1 << n), dtype=np.bool_)
    for opened in prepared.open:
        out |= (opened & prepared.general).any(axis=(0, 1, 3))
    return out


def cheapest(
    prepared: Prepared,
    *,
    quantity: int,
    accept: Callable[[Solution], bool] = lambda _: True,
    order: tuple[int, ...] | None = None,
) -> Solution | None:
    """The cheapest order for ``quantity`` pieces, set-up included; None when no order works.

    ``accept`` may turn a solution down (stations that do not fit on the bed); the next cheapest set of stations is tried.
    ``order`` (bend indices) holds the order fixed; sides, punches and stations stay free.
    """
    situation = prepared.situation
    if order is not None:
        prepared = replace(prepared, general=_only(prepared.general, order))
    if not kernels.reached_backwards(len(prepared.around), without_stacks(prepared))[0]:
        return None
    usable = _usable(prepared)
    bound, _, states = _relaxed(prepared, usable)
    if bound >= kernels.FAR:
        return None
    best: Solution | None = None
    known: list[float] = []
    for stations in _sets_of_stations(situation, usable, lambda least: _hopeless(known, least + quantity * bound)):
        setup = setup_seconds(situation, stations)
        if _hopeless(known, setup + quantity * bound):
            continue
        found = _order(prepared, stations)
        states += 1 << len(situation.part.bends)
        if found is None:
            continue
        cost, steps = found
        dislike = sum(station.slot.dislike_s for station in stations)
        job = setup + dislike + quantity * cost
        if best is None or job < best.job_s - 1e-9:
            solution = Solution(prepared, stations, steps, job, cost, bound, states)
            if accept(solution):
                best = solution
                known.append(job)
    if best is None:
        return None
    return replace(_in_order_of_use(best), bound_s=_real_bound(prepared, usable), states=states)


def _in_order_of_use(solution: Solution) -> Solution:
    """The same solution with its stations numbered as they are first used."""
    used = list(dict.fromkeys(step.station for step in solution.steps))
    return replace(
        solution,
        stations=tuple(solution.stations[k] for k in used),
        steps=tuple(replace(step, station=used.index(step.station)) for step in solution.steps),
    )


def _only(general: Flags, order: tuple[int, ...]) -> Flags:
    """The permission cut down to the strokes of one order."""
    kept = np.zeros_like(general)
    mask = 0
    for bend in order:
        kept[bend, :, mask] = general[bend, :, mask]
        mask |= 1 << bend
    return kept


def _hopeless(known: Sequence[float], least_job_s: float) -> bool:
    """True when something that costs at least this much cannot beat the best of the known costs."""
    return bool(known) and least_job_s >= min(known) - 1e-9


def real_cycle_s(solution: Solution) -> float:
    """Seconds per piece of the solution: loading, handling, positioning and strokes; no preferences in it."""
    times = solution.prepared.situation.practice.times
    values = solution.prepared.gauges.value
    loads = len(set(setups_of(solution.stations)))
    total = loads * times.load_unload_s + len(solution.steps) * (times.position_s + times.stroke_s)
    for before, after in itertools.pairwise(solution.steps):
        stances = [stance(solution.prepared.situation, s.bend, s.side, s.station) for s in (before, after)]
        total += change_seconds(stances[0], stances[1], times)
        places = [values[s.bend, s.side, s.mask, :2] for s in (before, after)]
        total += times.gauge_move_s if bool((abs(places[0] - places[1]) > 0.05).any()) else 0.0
    return total


def setup_seconds(situation: Situation, stations: Sequence[Station]) -> float:
    """Set-up time of the stations [s]."""
    times = situation.practice.times
    pieces = sum(station.piece_count for station in stations)
    return (
        len(set(setups_of(stations))) * times.setup_base_s
        + len(stations) * times.setup_station_s
        + pieces * times.setup_piece_s
    )


def _sets_of_stations(
    situation: Situation, usable: Sequence[Usable], hopeless: Callable[[float], bool]
) -> Iterator[tuple[Station, ...]]:
    """Filled sets of slots, small sets first; sets that hang the same pieces are given once. Stops at the first size
    whose least set-up time is ``hopeless``; sets that could not finish the part even alone in the drawer are skipped.
    """
    times = situation.practice.times
    seen: set[tuple[object, ...]] = set()
    for size in range(1, MOST_STATIONS + 1):
        if hopeless(times.setup_base_s + size * (times.setup_station_s + 2 * times.setup_piece_s)):
            return
        sets = (group for group in itertools.combinations(usable, size) if _can_finish(group))
        for members in itertools.islice(sets, MOST_TRIPLES if size == MOST_STATIONS else None):
            group = [member.slot for member in members]
            stations = fill_slots(group)
            if stations is None:
                continue
            key = tuple(
                (s.slot.tables.punch.id, s.slot.turned, s.slot.eared, s.slot.die.id, s.punch_stack, s.die_stack)
                for s in stations
            )
            if key not in seen:
                seen.add(key)
                yield tuple(stations)


def _usable(prepared: Prepared) -> list[Usable]:
    """Slots the drawer can fill and that can do some stroke, with the strokes each can do alone."""
    out = []
    for slot in slots_for(prepared.situation, list(zip(prepared.punches, prepared.open, strict=True)), prepared.around):
        filled = fill_slots([slot])
        if filled:
            allowed, _ = station_permission(filled[0], prepared.situation, prepared.around, prepared.general)
            if bool(allowed.any()):
                out.append(Usable(slot, allowed[:, 0] | allowed[:, 1], allowed))
    return out


def _can_finish(group: Sequence[Usable]) -> bool:
    together = group[0].strokes
    for member in group[1:]:
        together = together | member.strokes
    if not bool(together.any(axis=1).all()):
        return False
    return bool(kernels.reached_backwards(len(together), together)[0])


def closed_heights_mm(stations: Sequence[Station]) -> list[float]:
    """Punch height plus die height of each station [mm]: only stations of the same sum can hang side by side."""
    return [station.slot.tables.punch.height_mm + station.slot.die.height_mm for station in stations]


def setups_of(stations: Sequence[Station]) -> list[int]:
    """The set-up (0, 1, ...) of each station: stations of one closed height hang together, others wait for a re-tooling."""
    heights = [round(height / SAME_HEIGHT_MM) for height in closed_heights_mm(stations)]
    return [list(dict.fromkeys(heights)).index(height) for height in heights]


def _order(prepared: Prepared, stations: tuple[Station, ...]) -> tuple[float, tuple[Step, ...]] | None:
    situation = prepared.situation
    n = len(situation.part.bends)
    both = [station_permission(s, situation, prepared.around, prepared.general) for s in stations]
    permissions = [allowed for allowed, _ in both]
    together = np.any(np.stack(permissions), axis=(0, 2))
    if not bool(together.any(axis=1).all()) or not bool(kernels.reached_backwards(n, together)[0]):
        return None
    allowed = np.stack(permissions, axis=2).reshape(n * 2 * len(stations), 1 << n)
    stances = [stance(situation, b, s, k + 1) for b in range(n) for s in (0, 1) for k in range(len(stations))]
    aside = np.stack([flags for _, flags in both], axis=2).reshape(allowed.shape)
    best: tuple[float, tuple[Step, ...]] | None = None
    for ranks in _set_up_orders(setups_of(stations)):
        cost, before = _solve(prepared, allowed, stances, ranks, aside)
        last = int(np.argmin(cost[-1]))
        if cost[-1, last] < (best[0] - 1e-9 if best else kernels.FAR):
            best = float(cost[-1, last]), _read_back(cost, before, last, n, len(stations))
    return best


def _set_up_orders(setups: Sequence[int]) -> list[list[int]]:
    """Every order in which the set-ups can follow each other, as a rank per station: each is hung once."""
    return [[order[setup] for setup in setups] for order in itertools.permutations(range(len(set(setups))))]


def _solve(
    prepared: Prepared,
    allowed: Flags,
    stances: list[Stance],
    set_up_ranks: list[int],
    aside: Flags | None = None,
    *,
    preferences: bool = True,
) -> tuple[Array, Any]:
    times = prepared.situation.practice.times
    n, stations = len(prepared.around), len(set_up_ranks)
    change = np.array([[change_seconds(a, b, times) for b in stances] for a in stances])
    setup = np.array([set_up_ranks[one.station - 1] for one in stances])
    change += np.where(setup[:, None] < setup[None, :], times.load_unload_s, 0.0)
    change += np.where(setup[:, None] > setup[None, :], kernels.FAR, 0.0)
    shape = (n * 2 * stations, 1 << n)
    spread = np.repeat(prepared.gauges.value.reshape(n * 2, 1 << n, 5), stations, axis=0).reshape(*shape, 5)
    extra = np.full(shape, times.position_s + times.stroke_s)
    if preferences:
        extra += _preferences(prepared, spread[:, :, 4], stations)
        extra += 0.0 if aside is None else ASIDE_S * aside
    return kernels.cheapest_orders(  # type: ignore[no-any-return]
        n,
        np.ascontiguousarray(allowed),
        change,
        np.ascontiguousarray(spread[:, :, 0]),
        np.ascontiguousarray(spread[:, :, 1]),
        np.ascontiguousarray(extra),
        times.gauge_move_s,
        np.zeros(shape[0]),
    )


def _preferences(prepared: Prepared, rank: Array, stations: int) -> Array:
    """Seconds [action, mask] that stand for what a setter avoids: errors in a fit, poor stops, the heavy side behind."""
    poor = POOR_STOP_S * np.round(np.clip(rank + 0.1, 0.0, 3.0))
    behind = HEAVY_BEHIND_S * _heavy_behind(prepared).ravel()
    return np.asarray(np.where(rank >= 3.0, FIT_S, 0.0) + poor + np.repeat(behind, stations)[:, None])


def _heavy_behind(prepared: Prepared) -> Flags:
    """[bend, side]: the larger part of the sheet lies behind the tools, out of the operator's hands."""
    areas = {flat.flange_id: shapely.Polygon(flat.outline).area for flat in prepared.situation.blank.flats}
    out = np.zeros((len(prepared.around), 2), dtype=np.bool_)
    for i, item in enumerate(prepared.around):
        names = [{b.flange_id for s, b in item.bodies if s == side and b.zone is None} for side in (0, 1)]
        weight = [sum(areas[name] for name in group) for group in names]
        out[i] = (weight[0] > weight[1] + 1e-6, weight[1] > weight[0] + 1e-6)
    return out


def _read_back(cost: Array, before: Any, last: int, n: int, stations: int) -> tuple[Step, ...]:
    steps = []
    mask, action = (1 << n) - 1, last
    while action >= 0:
        bend = action // (2 * stations)
        earlier = mask & ~(1 << bend)
        steps.append(Step(bend, action // stations % 2, action % stations, earlier))
        mask, action = earlier, int(before[mask, action])
    return tuple(reversed(steps))


def possible_strokes(prepared: Prepared) -> Flags:
    """Strokes [bend, mask before] that some kind of station can do from some side.

    Where not even any stack one may wish for leads to the part, the strokes such stacks could do are given.
    """
    wished = without_stacks(prepared)
    if not kernels.reached_backwards(len(prepared.around), wished)[0]:
        return wished
    return np.ascontiguousarray(_relaxed(prepared, _usable(prepared))[1].any(axis=1))


def _real_bound(prepared: Prepared, usable: Sequence[Usable]) -> float:
    """Least real cycle [s] with every kind of station at hand and no walking."""
    times = prepared.situation.practice.times
    return times.load_unload_s + _relaxed(prepared, usable, preferences=False)[0]


def _relaxed(prepared: Prepared, usable: Sequence[Usable], *, preferences: bool = True) -> tuple[float, Flags, int]:
    """Least cost of a piece with every kind of station at hand and no walking: a bound no set of stations can beat."""
    n = len(prepared.around)
    allowed = np.zeros_like(prepared.general)
    for member in usable:
        allowed |= member.by_side
    stances = [stance(prepared.situation, b, s, 1) for b in range(n) for s in (0, 1)]
    cost, _ = _solve(prepared, allowed.reshape(n * 2, 1 << n), stances, [0], preferences=preferences)
    return float(cost[-1].min()), allowed, 1 << n
