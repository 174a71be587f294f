"""What do strokes, turns, walks and drawbacks cost? Seconds for the search, and the seconds of a finished order."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import Any

import numpy as np

from bendwright.geometry.kernels import FAR
from bendwright.geometry.rigid import Array
from bendwright.plan.covers import covers_of, least_seconds
from bendwright.plan.fits import Stacks
from bendwright.plan.handling import Stance, change_seconds, stance
from bendwright.plan.labels import Costs
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


def costs_of(tables: Tables, *, preferences: bool = True) -> Costs:
    """Seconds for the search with all stations as one, no walking (see ``between_stations``). Without ``preferences`` the real
    seconds alone.
    """
    situation = tables.situation
    times = situation.practice.times
    stances = [[stance(situation, move.bends[0], side, 1) for side in (0, 1)] for move in tables.moves]
    kinds = list(dict.fromkeys((one.direction, round(one.heading_deg, 3)) for pair in stances for one in pair))
    lying = [Stance(direction, heading, 1) for direction, heading in kinds]
    own = np.full((len(tables.moves), 2), times.position_s + times.stroke_s)
    if preferences:
        own += HEAVY_BEHIND_S * tables.heavy
    axes, numbers = _axes(tables)
    likes = (POOR_STOP_S, FIT_S, ASIDE_S, ALONG_S, SHIFT_S) if preferences else (0.0,) * 5
    hope = least_seconds(tables, own, likes[0])
    covers = covers_of(tables, hope, range(len(tables.moves)))
    return Costs(
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
        stance_axis=np.array([numbers[_axis(heading)] for _, heading in kinds], dtype=np.int64),
        stance_way=np.array([int(direction == "down") for direction, _ in kinds], dtype=np.int64),
        turn=times.turn_s,
        flip=times.flip_s,
        axes=axes,
        ways=np.array(
            [
                sum(1 << i for i, line in enumerate(situation.lines) if line.direction == way) & ~situation.jogged
                for way in ("up", "down")
            ],
            dtype=np.int64,
        ),
        hope=hope,
        lines=covers.bends,
        cover=covers.cover,
    )


def between_stations(costs: Costs, tables: Tables, stations: Sequence[Station]) -> Costs:
    """The same with these stations, which cannot make every move."""
    able = {number for station in stations for number in moves_by_length(tables, station)}
    covers = covers_of(tables, costs.hope, able)
    return costs._replace(merged=False, lines=covers.bends, cover=covers.cover)


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


def _axis(heading_deg: float) -> float:
    """Direction in the plane whichever way round, to a tenth of a degree."""
    return float(round(heading_deg % 180.0, 1) % 180.0)


def _axes(tables: Tables) -> tuple[Any, dict[float, int]]:
    """Sets of bends of one direction in the plane, and the number of each direction."""
    sets: dict[float, int] = {}
    for i in range(tables.bends):
        axis = _axis(stance(tables.situation, i, 0, 1).heading_deg)
        sets[axis] = sets.get(axis, 0) | 1 << i
    return np.array(list(sets.values()), dtype=np.int64), {axis: k for k, axis in enumerate(sets)}


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


def least_cycle_s(tables: Tables) -> float:
    """Seconds no order of this part can go below, whatever the tools: its fewest strokes, one flip where bends go both ways, one turn
    for every further direction of bend lines.
    """
    situation = tables.situation
    times = situation.practice.times
    lines = situation.lines
    axes = {
        round(np.degrees(np.arctan2(a.end[1] - a.start[1], a.end[0] - a.start[0])) % 180.0, 1) % 180.0 for a in lines
    }
    strokes = fewest_strokes(tables)
    ways = {line.direction for i, line in enumerate(lines) if not situation.jogged >> i & 1}
    flips = times.flip_s if len(ways) > 1 else 0.0
    return times.load_unload_s + strokes * (times.position_s + times.stroke_s) + flips + (len(axes) - 1) * times.turn_s


def fewest_strokes(tables: Tables) -> int:
    """The least number of strokes that can make all bends: each line's bends at once where they may be."""
    left, strokes = tables.full, 0
    for move in sorted(tables.moves, key=lambda item: -len(item.bends)):
        if left & move.makes == move.makes:
            left &= ~move.makes
            strokes += 1
    return strokes
