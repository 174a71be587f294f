"""What do the bends of a line take at least, whatever the order and whatever stands around?"""

from __future__ import annotations

import itertools
from collections.abc import Collection
from dataclasses import dataclass

import numpy as np

from bendwright.geometry.kernels import FAR
from bendwright.geometry.rigid import Array
from bendwright.plan.least_strokes import fill_cover, fill_least
from bendwright.plan.orders import FLAT
from bendwright.plan.packed import Ints
from bendwright.plan.tables import Tables

APART_MM = 0.1
"""Places of the gauge that are surely two."""
MOST_TOLD = 12
"""Of longer lines the first so many bends are counted."""


@dataclass(frozen=True, slots=True)
class Least:
    """What strokes take at least: ``seconds`` [move, side] (FAR for a side that cannot lie at the gauge), X of the stops they then have
    ``places`` [move, side, (low, high)] [mm].
    """

    seconds: Array
    places: Array


@dataclass(frozen=True, slots=True)
class Covers:
    """Bends that share strokes: their numbers ``bends`` [line, place] (-1 behind the last), the ``group`` of stances [line] of all moves
    that make them (-1: several), and the least seconds ``cover`` [line, how, subset] that any of them take, bit i for place i: all
    strokes lying one way round in the group, the other way round, either; the seconds of ``alone`` [line, way round] for a place of
    the gauge that it shares with no other line of which that is said.
    """

    bends: Ints
    group: Ints
    cover: Array
    alone: Array


def least_strokes(tables: Tables, own: Array, poor_s: float) -> Least:
    """The least that strokes take, a poor stop counted where no good one can be. Hems are pressed with the sheet held in front."""
    packed, poor = tables.packed, poor_s > 0.0
    now = (tables.stops.live.tobytes(), packed.forbidden.tobytes())
    ranks, places = tables.memory.once(("least", poor, *now), lambda: _ranked(tables, poor))
    out = own + poor_s * np.round(np.clip(ranks + 0.1, 0.0, 3.0))
    out[(ranks >= FAR) | ~packed.sides] = FAR
    out[packed.pressed] = own[packed.pressed]
    out[packed.pair == FLAT, 0] = FAR
    return Least(np.minimum(out, FAR), places)


def _ranked(tables: Tables, poor: bool) -> tuple[Array, Array]:
    ranks = np.full((len(tables.moves), 2), FAR)
    places = np.zeros((len(tables.moves), 2, 2))
    fill_least(tables.packed, tables.stops, tables.memory.looks, poor, ranks, places)
    return ranks, places


def covers_of(tables: Tables, least: Least, lying: Ints, able: Collection[int], gauge_s: float) -> Covers:
    """Covers of every line by the moves that count as ``able``; ``lying`` [move, side, (group, which way round)] are their stances,
    ``gauge_s`` what it takes to move the gauge or to lie otherwise.
    """
    lines = _lines(tables)
    width = min(max(len(line) for line in lines), MOST_TOLD)
    bends = np.full((len(lines), width), -1, dtype=np.int64)
    group = np.full(len(lines), -1, dtype=np.int64)
    cover = np.zeros((len(lines), 3, 1 << width))
    places = np.tile(np.array([FAR, -FAR]), (len(lines), 2, 1))
    chosen = np.array(sorted(able), dtype=np.int64)
    makes = tables.packed.makes[chosen]
    for number, line in enumerate(lines):
        told = np.array(line[:width], dtype=np.int64)
        bends[number, : len(told)] = told
        own = chosen[makes & sum(1 << bend for bend in line[:width]) != 0]
        groups = np.unique(lying[own, :, 0])
        seconds = np.minimum(least.seconds[own].min(axis=1), FAR)[:, None].repeat(3, axis=1)
        if len(groups) == 1:
            group[number] = groups[0]
            for end in (0, 1):
                here = (lying[own, :, 1] == end) & (least.seconds[own] < FAR)
                seconds[:, end] = np.where(here, least.seconds[own], FAR).min(axis=1)
                places[number, end, 0] = least.places[own, :, 0][here].min(initial=FAR)
                places[number, end, 1] = least.places[own, :, 1][here].max(initial=-FAR)
        fill_cover(told, tables.packed.makes[own], seconds, cover[number])
    alone = gauge_s * _alone(group, places)
    first, second, either = (cover[:, how, 1:] for how in range(3))
    first += alone[:, :1]
    second += alone[:, 1:]
    either[:] = np.minimum(np.minimum(first, second), either + alone.sum(axis=1)[:, None])
    return Covers(bends, group, cover, alone)


def _alone(group: Ints, places: Array) -> Array:
    """[line, way round]: in every group of stances as many lines as can be, of which no two can have the gauge at one place."""
    out = np.zeros((len(group), 2))
    for own, end in itertools.product(np.unique(group[group >= 0]), (0, 1)):
        apart: list[int] = []
        for line in sorted(map(int, np.flatnonzero(group == own)), key=lambda line: places[line, end, 1]):
            low, high = places[line, end]
            if low <= high and (not apart or low > places[apart[-1], end, 1] + APART_MM):
                apart.append(line)
        out[apart if len(apart) > 1 else [], end] = 1.0
    return out


def _lines(tables: Tables) -> list[list[int]]:
    """Bends (and stages) that share a stroke, directly or over others."""
    made: list[list[int]] = tables.memory.once(("lines",), lambda: _joined(tables))
    return made


def _joined(tables: Tables) -> list[list[int]]:
    home = {i: i for i in range(tables.full.bit_length())}
    for move in tables.moves:
        own = [i for i in home if move.makes >> i & 1]
        first = home[own[0]]
        joined = {home[i] for i in own}
        home = {i: first if at in joined else at for i, at in home.items()}
    return [[i for i in home if home[i] == at] for at in dict.fromkeys(home.values())]
