"""What do strokes, turns, walks and drawbacks cost? Seconds for the search, and the seconds of a finished order."""

from __future__ import annotations

import itertools
import math
from collections.abc import Collection, Iterable, Sequence

import numpy as np

from bendwright.geometry.kernels import FAR
from bendwright.geometry.rigid import Array
from bendwright.plan.covers import Covers, Least, covers_of, least_strokes
from bendwright.plan.dead_sets import dead_sets
from bendwright.plan.fits import Stacks
from bendwright.plan.handling import LEAST_TURN_DEG, Stance, change_seconds, stance
from bendwright.plan.labels import Costs
from bendwright.plan.packed import Ints
from bendwright.plan.situation import Situation
from bendwright.plan.stations import Station, closed_step, set_ups
from bendwright.plan.tables import Tables
from bendwright.plan.who_can import moves_by_length

POOR_STOP_S = 10.0
HEAVY_BEHIND_S = 3.0
ASIDE_S = 1.0
ALONG_S = 10.0
SHIFT_S = 4.0
FIT_S = 1000.0
COUNTED = ("turn_s", "flip_s", "gauge_move_s", "station_change_s", "load_unload_s")


def costs_of(tables: Tables, *, preferences: bool = True) -> Costs:
    """Seconds for the search with all stations as one, no walking (see ``between_stations``). Without ``preferences`` the real
    seconds alone.
    """
    situation = tables.situation
    times = situation.practice.times
    stances = [[stance(situation, move.bends[0], side, 1) for side in (0, 1)] for move in tables.moves]
    kinds = list(dict.fromkeys((one.direction, round(one.heading_deg, 3)) for pair in stances for one in pair))
    lying = [Stance(direction, heading, 1) for direction, heading in kinds]
    axes = _axes(heading for _, heading in kinds)
    ways = np.array([int(direction == "down") for direction, _ in kinds], dtype=np.int64)
    own = np.full((len(tables.moves), 2), times.position_s + times.stroke_s)
    if preferences:
        own += HEAVY_BEHIND_S * tables.heavy
    likes = (POOR_STOP_S, FIT_S, ASIDE_S, ALONG_S, SHIFT_S) if preferences else (0.0,) * 5
    least = least_strokes(tables, own, likes[0])
    groups = 2 * axes[:, 0] + ways
    costs = Costs(
        stance=np.array(
            [[kinds.index((one.direction, round(one.heading_deg, 3))) for one in pair] for pair in stances],
            dtype=np.int64,
        ),
        turning=np.array([[change_seconds(a, b, times) for b in lying] for a in lying]),
        walking=np.zeros((1, 1)),
        own=own,
        gauge=times.gauge_move_s,
        likes=np.array(likes),
        merged=True,
        grain=_grain([*own.flat, *likes, *(getattr(times, name) for name in COUNTED)]),
        stance_axis=axes[:, 0],
        stance_way=ways,
        stance_group=groups,
        stance_end=axes[:, 1],
        turn=times.turn_s,
        flip=times.flip_s,
        again=min(times.turn_s, times.flip_s),
        axes=_sets_of(tables, lying, axes[:, 0]),
        ways=_sets_of(tables, lying, ways) & ~situation.jogged,
        hope=least.seconds,
        places=least.places,
        alone=np.zeros((0, 2)),
        lines=np.zeros((0, 1), dtype=np.int64),
        cover=np.zeros((0, 3, 1)),
        group=np.zeros(0, dtype=np.int64),
        dead=_dead(tables),
        sums=np.zeros((groups.max() + 1, 5)),
    )
    return _covered(costs, tables, range(len(tables.moves)))


def _covered(costs: Costs, tables: Tables, able: Collection[int]) -> Costs:
    """The same when only these moves are there to make the bends. The gauge moves while hems are pressed."""
    lying = np.stack([costs.stance_group[costs.stance], costs.stance_end[costs.stance]], axis=2)
    gauge = 0.0 if tables.situation.hems else min(costs.gauge, costs.again, float(costs.likes[0]) or FAR)
    key = ("covers", gauge, frozenset(able), *(one.tobytes() for one in (costs.hope, costs.places, lying)))
    least = Least(costs.hope, costs.places)
    covers: Covers = tables.memory.once(key, lambda: covers_of(tables, least, lying, able, gauge))
    return costs._replace(lines=covers.bends, cover=covers.cover, group=covers.group, alone=covers.alone)


def _dead(tables: Tables) -> Ints:
    """Sets of done bends that nothing leads to, worked out once for what forbids moves."""
    packed = tables.packed
    now = tuple(one.tobytes() for one in (packed.forbidden, packed.needs, packed.bars))
    made: Ints = tables.memory.once(("dead", *now), lambda: dead_sets(packed))
    return made


def _grain(seconds: Sequence[float]) -> float:
    """The largest number of seconds, of whole milliseconds, that all of these are whole multiples of; 0 where there is none."""
    ms = [round(1000.0 * one) for one in seconds]
    exact = all(abs(1000.0 * one - whole) < 1e-6 for one, whole in zip(seconds, ms, strict=True))
    return 0.001 * math.gcd(*ms) if exact else 0.0


def between_stations(costs: Costs, tables: Tables, stations: Sequence[Station]) -> Costs:
    """The same with these stations, which cannot make every move."""
    able = {number for station in stations for number in moves_by_length(tables, station)}
    return _covered(costs._replace(merged=False), tables, able)


def in_set_ups(costs: Costs, situation: Situation, ranks: Sequence[int]) -> Costs:
    """The same with walks; ``ranks`` is the place of each station's set-up in their order."""
    return costs._replace(walking=_walking(situation, ranks))


def between_kinds(costs: Costs, tables: Tables, stacks: Stacks) -> Costs:
    """Where there is more than one die, the same with a walk wherever the next stroke needs another die or closed height, and with taking
    the piece in hand once more where the heights differ: less no set of stations asks, whatever its pieces.
    """
    situation = tables.situation
    kinds = []
    for punch, die in zip(stacks.punch, stacks.die, strict=True):
        if punch >= 0:
            kinds.append((int(die), closed_step(situation.punches[punch], tables.dies[die])))
        else:
            pair = situation.pairs[int(punch)]
            kinds.append((int(punch), closed_step(pair.punch, pair.die)))
    if len({die for die, _ in kinds}) == 1:
        return costs
    times, number = situation.practice.times, np.array(kinds)
    apart = np.where((number[:, None] == number[None, :]).all(axis=2), 0.0, times.station_change_s)
    apart += np.where(number[:, None, 1] == number[None, :, 1], 0.0, times.load_unload_s)
    return costs._replace(walking=apart, merged=False)


def _axes(headings: Iterable[float]) -> Ints:
    """[heading, (number of its direction in the plane whichever way round, which way round)]; directions between which a turn is not
    counted are one.
    """
    told = np.array(list(headings))
    flat = np.sort(told % 180.0)
    apart = np.flatnonzero(np.diff(flat, append=flat[0] + 180.0) > LEAST_TURN_DEG)
    firsts = flat[(apart + 1) % len(flat)] if len(apart) else flat[:1]
    beyond = (told[:, None] - firsts[None, :]) % 180.0
    number = np.argmin(np.where(beyond > 180.0 - 1e-6, 0.0, beyond), axis=1)
    turned = (told - firsts[number] + 1e-6) % 360.0 >= 180.0
    return np.stack([number, turned.astype(np.int64)], axis=1)


def _sets_of(tables: Tables, lying: Sequence[Stance], numbers: Ints) -> Ints:
    """The bends of every number that their stances have, as sets."""
    places = {(one.direction, round(one.heading_deg, 3)): k for k, one in enumerate(lying)}
    sets = np.zeros(int(numbers.max()) + 1, dtype=np.int64)
    for i in range(tables.bends):
        own = stance(tables.situation, i, 0, 1)
        at = places.get((own.direction, round(own.heading_deg, 3)))
        if at is not None:
            sets[numbers[at]] |= np.int64(1 << i)
    return sets


def _walking(situation: Situation, ranks: Sequence[int]) -> Array:
    times = situation.practice.times
    rank = np.array(ranks)
    out = np.where(np.eye(len(ranks), dtype=np.bool_), 0.0, times.station_change_s)
    out += np.where(rank[:, None] < rank[None, :], times.load_unload_s, 0.0)
    return np.asarray(out + np.where(rank[:, None] > rank[None, :], FAR, 0.0))


def setups_of(stations: Sequence[Station]) -> list[int]:
    """The set-up (0, 1, ...) of each station."""
    return set_ups([station.slot.closed_height_mm for station in stations])


def set_up_orders(setups: Sequence[int]) -> list[list[int]]:
    """Every order in which the set-ups can follow each other, as a rank per station: each is hung once."""
    return [[order[setup] for setup in setups] for order in itertools.permutations(range(len(set(setups))))]


def setup_seconds(situation: Situation, stations: Sequence[Station]) -> float:
    """Set-up time of the stations [s]."""
    times = situation.practice.times
    pieces = sum(station.piece_count for station in stations)
    return (
        len(set(setups_of(stations))) * times.setup_base_s
        + len(stations) * times.setup_station_s
        + pieces * times.setup_piece_s
    )
