"""Which order is the cheapest of all that work? Exact over orders, bends made together, sides to the gauge, punches, ways round and
stations.

For every set of one, two or three kinds of station that the drawer can fill, the cheapest order is found backwards from the
finished part; a bound on the cycle (every tool at hand, no walking) stops the enumeration as soon as nothing left can be cheaper.
"""

from __future__ import annotations

import itertools
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

import numpy as np

from bendwright.geometry.kernels import FAR
from bendwright.plan.around import swing_of_move
from bendwright.plan.costing import (
    between_stations,
    costs_of,
    least_cycle_s,
    set_up_orders,
    setup_seconds,
    setups_of,
)
from bendwright.plan.fits import Stacks
from bendwright.plan.handling import change_seconds, stance
from bendwright.plan.labels import Costs, Labels
from bendwright.plan.memo import EMPTY
from bendwright.plan.orders import DONE, FULL_STATES, NO_WAY, cheapest_order
from bendwright.plan.station_sets import greedy_sets, station_sets, usable_stations
from bendwright.plan.stations import Station, pack_stations, wished_stacks
from bendwright.plan.tables import Tables, ask, growing
from bendwright.plan.who_can import bends_in_reach, strokes_made
from bendwright.stroke.swing import Swing

EVERY = 1 << 60
LEAST_WIDTH = 64
NARROW = 8
LEAST_ROWS = 1 << 12
MOST_EXPLAINED = 1 << 15
MOST_AT_ONCE = 6

__all__ = [
    "Solution",
    "Step",
    "cheapest",
    "real_cycle_s",
    "setup_seconds",
    "setups_of",
    "swing_at",
]


@dataclass(frozen=True, slots=True)
class Effort:
    """How far the search may go: states of one search before it keeps only the cheapest of every size, seconds in all (None: as long
    as it takes), and who hears after every set of stations of (cost of the best job so far or None, its bound) [s] and may end it
    by answering False.
    """

    most_states: int = 1 << 17
    seconds: float | None = None
    heard: Callable[[float | None, float], bool] = lambda best, bound: True


@dataclass(frozen=True, slots=True)
class Step:
    """One stroke of an order: move (number), its leading bend, side at the gauge (0 parent, 1 child), station index, bends done
    before, and how the part gets in and out (flags of ``fits``).
    """

    move: int
    bend: int
    side: int
    station: int
    mask: int
    flags: int = 1


def swing_at(tables: Tables, step: Step) -> Swing:
    """The swing of a step's move."""
    return swing_of_move(tables.situation, tables.moves[step.move])


@dataclass(frozen=True, slots=True)
class Solution:
    """The cheapest order found: steps, stations, and what was proved.

    ``job_s`` and ``cost_s`` count the shop's preferences (a poor gauge stop, the heavy side behind, ...) as seconds;
    ``bound_s`` is the least cycle any order and any set of stations can have, in real seconds; ``proven`` when no cheaper job
    exists among the candidates.
    """

    tables: Tables
    stations: tuple[Station, ...]
    steps: tuple[Step, ...]
    job_s: float
    cost_s: float
    bound_s: float
    states: int
    proven: bool = True


@dataclass(frozen=True, slots=True)
class Found:
    """The cheapest order with given stations: seconds (FAR and no steps where there is none), steps; ``complete`` when no state was
    dropped on the way.
    """

    cost_s: float
    steps: tuple[Step, ...]
    states: int
    complete: bool


NONE = Found(FAR, (), 0, True)


def cheapest(
    tables: Tables,
    *,
    quantity: int,
    accept: Callable[[Solution], bool] = lambda _: True,
    effort: Effort | None = None,
) -> Solution | None:
    """The cheapest order for ``quantity`` pieces, set-up included; None when no order works (or none was found with the effort made).

    ``accept`` may turn a solution down (stations that do not fit on the bed); the next cheapest set of stations is tried.
    """
    situation, effort = tables.situation, effort or Effort()
    ends = None if effort.seconds is None else time.monotonic() + effort.seconds
    usable = usable_stations(tables)
    bound = _bound(tables, effort) if usable else None
    if bound is None or not any_order(tables, pack_stations(situation, usable), effort):
        return None
    best: Solution | None = None
    costs, known = costs_of(tables), list[float]()
    states, complete = bound.states, True
    for stations in station_sets(
        tables,
        usable,
        hopeless=lambda least: _hopeless(known, least + quantity * bound.cost_s),
        stuck=lambda: not known,
        along_an_order=lambda: sets_along_an_order(tables, usable),
        reach=lambda: bends_in_reach(tables, usable, _states(tables)),
    ):
        if stations is None:
            complete = False
            continue
        before = setup_seconds(situation, stations) + sum(station.slot.dislike_s for station in stations)
        if _hopeless(known, before + quantity * bound.cost_s):
            continue
        cap = (min(known) - before) / quantity if known else FAR
        found = order_with(tables, stations, costs=costs, effort=effort, upper=cap)
        states += found.states
        complete &= found.complete
        if found.steps and not _hopeless(known, before + quantity * found.cost_s):
            job = before + quantity * found.cost_s
            solution = Solution(tables, stations, found.steps, job, found.cost_s, bound.cost_s, states)
            if accept(solution):
                best = solution
                known.append(job)
        if not effort.heard(min(known, default=None), bound.cost_s) or (ends is not None and time.monotonic() > ends):
            complete = False
            break
    if best is None:
        return None
    return replace(_in_order_of_use(best), bound_s=_real_bound_s(tables, effort), states=states, proven=complete)


def any_order(tables: Tables, stacks: Stacks, effort: Effort | None = None) -> bool:
    """Whether some order can be made with these stacks, all of them at hand at once: a narrow search that finds one is enough."""
    costs = costs_of(tables, preferences=False)
    said = _backwards(tables, stacks, costs, tables.full, LEAST_ROWS, width=NARROW)[0]
    if said != DONE:
        said = _backwards(tables, stacks, costs, tables.full, (effort or Effort()).most_states)[0]
    return said == DONE


def _bound(tables: Tables, effort: Effort, *, preferences: bool = True) -> Found | None:
    """The cheapest order with every stack one may wish for at hand and no walking: no set of stations can beat it. Where states had
    to be dropped, what the fewest strokes and turns take.
    """
    costs = costs_of(tables, preferences=preferences)
    found = _solved(tables, wished_stacks(tables.situation), costs, effort)
    if found.complete:
        return found if found.steps else None
    return replace(found, cost_s=least_cycle_s(tables) - tables.situation.practice.times.load_unload_s)


def _real_bound_s(tables: Tables, effort: Effort) -> float:
    """The least cycle any order can have, in real seconds; a short search for it."""
    real = _bound(tables, replace(effort, most_states=min(effort.most_states, LEAST_ROWS)), preferences=False)
    return least_cycle_s(tables) if real is None else tables.situation.practice.times.load_unload_s + real.cost_s


def order_with(
    tables: Tables,
    stations: Sequence[Station],
    *,
    costs: Costs | None = None,
    effort: Effort | None = None,
    upper: float = FAR,
) -> Found:
    """The cheapest order with these stations, whatever the order of their set-ups, that costs no more than ``upper``; without steps
    where there is none. ``costs`` are those of the tables with all stations as one.
    """
    costs, situation = costs or costs_of(tables), tables.situation
    stacks = pack_stations(situation, stations)
    best = NONE
    for ranks in set_up_orders(setups_of(stations)):
        apart = between_stations(costs, situation, ranks)
        found = _solved(tables, stacks, apart, effort or Effort(), upper=min(upper, best.cost_s))
        best = _better(best, found)
    return best


def _better(one: Found, other: Found) -> Found:
    """The cheaper of two, knowing of both."""
    kept = other if other.cost_s < one.cost_s - 1e-9 else one
    return replace(kept, states=one.states + other.states, complete=one.complete and other.complete)


def _solved(tables: Tables, stacks: Stacks, costs: Costs, effort: Effort, *, upper: float = FAR) -> Found:
    """The cheapest order with these stacks that costs no more than ``upper``: a narrow search first, then all that can beat it."""
    narrow = _found(tables, _backwards(tables, stacks, costs, tables.full, LEAST_ROWS, width=NARROW, upper=upper))
    if narrow.complete:
        return narrow
    cap = min(upper, narrow.cost_s)
    wide = _found(tables, _backwards(tables, stacks, costs, tables.full, effort.most_states, upper=cap))
    return replace(_better(narrow, wide), complete=wide.complete)


def _found(tables: Tables, filled: tuple[int, int, int, Labels]) -> Found:
    said, first, dropped, labels = filled
    if said != DONE:
        return replace(NONE, states=int(labels.used[2]), complete=dropped == 0)
    return Found(float(labels.cost[first]), _read(tables, labels, first), int(labels.used[2]), dropped == 0)


def reached_from(tables: Tables, stacks: Stacks, goal: int) -> frozenset[int]:
    """Sets of done bends from which the stacks can go on to the set ``goal``, itself included: all of them, or of so many that they
    cannot be looked at the cheapest of every size.
    """
    labels = _backwards(tables, stacks, costs_of(tables, preferences=False), goal, MOST_EXPLAINED)[3]
    return frozenset(int(mask) for mask in labels.set_of[: labels.used[0]])


def sets_along_an_order(tables: Tables, usable: Sequence[Station]) -> Iterator[tuple[Station, ...]]:
    """Sets of stations that make all strokes of one order that works when all of them are at hand: first stations of one closed
    height, which hang together, then all.
    """
    setups = setups_of(usable)
    alike = [[one for one, setup in zip(usable, setups, strict=True) if setup == own] for own in dict.fromkeys(setups)]
    for group in [*alike, list(usable)] if len(alike) > 1 else [list(usable)]:
        stacks = pack_stations(tables.situation, group)
        found = _found(tables, _backwards(tables, stacks, costs_of(tables), tables.full, LEAST_ROWS, width=NARROW))
        if found.steps:
            yield from greedy_sets(group, partial(strokes_made, tables, found.steps), MOST_AT_ONCE)


def _states(tables: Tables) -> frozenset[int]:
    """All states from which the part can be reached with any stack one may wish for; empty where there are too many to be looked at."""
    states = reached_from(tables, wished_stacks(tables.situation), tables.full)
    return frozenset() if 4 * len(states) >= MOST_EXPLAINED else states


def _backwards(
    tables: Tables, stacks: Stacks, costs: Costs, goal: int, most: int, *, width: int = EVERY, upper: float = FAR
) -> tuple[int, int, int, Labels]:
    """Fill labels backwards from a set of done bends, in tables as large as it takes; beyond ``most`` states only the cheapest of
    every size are kept. What cannot come below ``upper`` is dropped.
    """
    chosen = np.arange(len(stacks.punch), dtype=np.int64)
    job = (stacks, chosen, costs, _worse(costs), tables.short_mm, upper)
    rows = LEAST_ROWS
    while True:
        labels = _labels(rows)

        def once(labels: Labels = labels, width: int = width) -> tuple[int, Any]:
            memory = tables.memory
            _cleared(labels)
            world = (tables.packed, tables.tools, tables.stops, memory.looks, memory.answers)
            said, first, dropped = cheapest_order(world, job, labels, goal, width, memory.work)
            return said if said == 1 else 0, (said, first, dropped)

        said, first, dropped = growing(tables, once)
        if said == FULL_STATES and (rows < most or width < EVERY):
            rows *= 4
            continue
        if said == FULL_STATES:
            width = max(LEAST_WIDTH, most // (4 * (tables.bends + 1)))
            continue
        if said == NO_WAY and dropped and NARROW < width < most:
            width *= 4
            continue
        return said, first, dropped, labels


def _worse(costs: Costs) -> Any:
    """[stance, station, other stance, other station]: the most that going on with the first can cost more than with the other."""
    stances, stations = len(costs.turning), len(costs.walking)
    out = np.zeros((stances, stations, stances, stations))
    turning = (costs.turning[:, :, None] - costs.turning[:, None, :]).max(axis=0)
    capped = np.minimum(costs.walking, FAR)
    walking = (capped[:, :, None] - capped[:, None, :]).max(axis=0)
    out[:] = turning[:, None, :, None] + walking[None, :, None, :]
    return np.ascontiguousarray(out)


def _labels(rows: int) -> Labels:
    return Labels(
        keys=np.full(4 * rows, EMPTY, dtype=np.int64),
        numbers=np.zeros(4 * rows, dtype=np.int64),
        set_of=np.zeros(rows, dtype=np.int64),
        head=np.zeros(rows, dtype=np.int64),
        layer=np.full(65, -1, dtype=np.int64),
        beside=np.zeros(rows, dtype=np.int64),
        rest=np.zeros(rows),
        lying=np.zeros(rows, dtype=np.int64),
        cost=np.zeros(4 * rows),
        x=np.zeros(4 * rows),
        r=np.zeros(4 * rows),
        step=np.zeros((4 * rows, 5), dtype=np.int64),
        after=np.zeros(4 * rows, dtype=np.int64),
        more=np.zeros(4 * rows, dtype=np.int64),
        used=np.zeros(3, dtype=np.int64),
    )


def _cleared(labels: Labels) -> None:
    labels.keys[:] = EMPTY
    labels.layer[:] = -1
    labels.used[:] = 0


def _read(tables: Tables, labels: Labels, first: int) -> tuple[Step, ...]:
    steps = []
    mask, label = 0, first
    while labels.step[label, 0] >= 0:
        move, _, station, side, flags = (int(v) for v in labels.step[label])
        steps.append(Step(move, tables.moves[move].bends[0], side, station, mask, flags))
        mask |= tables.moves[move].makes
        label = int(labels.after[label])
    return tuple(steps)


def _in_order_of_use(solution: Solution) -> Solution:
    """The same solution with its stations numbered as they are first used."""
    used = list(dict.fromkeys(step.station for step in solution.steps))
    return replace(
        solution,
        stations=tuple(solution.stations[k] for k in used),
        steps=tuple(replace(step, station=used.index(step.station)) for step in solution.steps),
    )


def _hopeless(known: Sequence[float], least_job_s: float) -> bool:
    """True when something that costs at least this much cannot beat the best of the known costs."""
    return bool(known) and least_job_s >= min(known) - 1e-9


def real_cycle_s(solution: Solution) -> float:
    """Seconds per piece of the solution: loading, handling, positioning and strokes; no preferences in it."""
    tables = solution.tables
    times = tables.situation.practice.times
    loads = len(set(setups_of(solution.stations)))
    total = loads * times.load_unload_s + len(solution.steps) * (times.position_s + times.stroke_s)
    for before, after in itertools.pairwise(solution.steps):
        stances = [stance(tables.situation, s.bend, s.side, s.station) for s in (before, after)]
        total += change_seconds(stances[0], stances[1], times)
        places = [np.array(ask(tables, s.move, s.mask).stops[s.side][1:3]) for s in (before, after)]
        total += times.gauge_move_s if bool((abs(places[0] - places[1]) > 0.05).any()) else 0.0
    return total
