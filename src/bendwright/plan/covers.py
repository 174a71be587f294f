"""What do the bends of a line take at least, whatever the order and whatever stands around?"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np

from bendwright.geometry.kernels import FAR
from bendwright.geometry.rigid import Array
from bendwright.plan.packed import Ints
from bendwright.plan.stopping import FACE, stop_rank
from bendwright.plan.tables import Tables

MOST_TOLD = 12
"""Of longer lines the first so many bends are counted."""


@dataclass(frozen=True, slots=True)
class Covers:
    """Bends that share strokes: their numbers ``bends`` [line, place] (-1 behind the last) and the least seconds ``cover`` [line, subset]
    that any of them take, bit i for place i.
    """

    bends: Ints
    cover: Array


def least_ranks(tables: Tables) -> Array:
    """[move, side]: no stop of the back gauge can be better than this for the move, whatever is done; FAR where there is none."""
    stops, ranks = tables.memory.once(("least ranks",), lambda: (tables.stops, _ranks(tables)))
    return np.asarray(ranks if stops is tables.stops else _ranks(tables))


def _ranks(tables: Tables) -> Array:
    stops, packed = tables.stops, tables.packed
    out = np.full((len(tables.moves), 2), FAR)
    for move, side in np.ndindex(*out.shape):
        for s in range(stops.first[move, side], stops.last[move, side]):
            kind, body, direct = (int(v) for v in stops.rows[s])
            length = float(stops.numbers[s, 2] - stops.numbers[s, 1])
            if kind == FACE:
                at = packed.cloud_at[body]
                length = float(np.linalg.norm(np.ptp(packed.clouds[at : at + packed.cloud_n[body]], axis=0)))
            if stops.live[s]:
                out[move, side] = min(out[move, side], stop_rank(kind, direct, length, stops.good[move], False, False))
    return out


def least_seconds(tables: Tables, own: Array, poor_s: float) -> Array:
    """[move, side]: what a stroke takes at least [s], a poor stop counted where no good one can be."""
    ranks = least_ranks(tables)
    out = own + poor_s * np.round(np.clip(ranks + 0.1, 0.0, 3.0))
    out[(ranks >= FAR) | ~tables.packed.sides] = FAR
    pressed = tables.packed.pressed
    out[pressed] = own[pressed]
    return np.asarray(np.minimum(out, FAR))


def covers_of(tables: Tables, least: Array, able: Collection[int]) -> Covers:
    """Covers of every line by the moves that count as ``able``; ``least`` are the seconds of a move and side."""
    groups = _groups(tables)
    width = min(max(len(group) for group in groups), MOST_TOLD)
    bends = np.full((len(groups), width), -1, dtype=np.int64)
    cover = np.zeros((len(groups), 1 << width))
    moves = [(tables.moves[k].makes, float(least[k].min())) for k in able]
    for line, group in enumerate(groups):
        told = group[:width]
        bends[line, : len(told)] = told
        cover[line] = _cover(told, moves, width)
    return Covers(bends, cover)


def _cover(told: list[int], moves: list[tuple[int, float]], width: int) -> Array:
    """Least seconds for every subset: strokes that make all of it, whatever else they make."""
    own: dict[int, float] = {}
    for makes, seconds in moves:
        part = sum(1 << i for i, bend in enumerate(told) if makes >> bend & 1)
        own[part] = min(own.get(part, FAR), seconds)
    own.pop(0, None)
    out = np.full(1 << width, FAR)
    out[0] = 0.0
    by_first = [[(part, s) for part, s in own.items() if part >> i & 1] for i in range(width)]
    for subset in range(1, 1 << len(told)):
        first = (subset & -subset).bit_length() - 1
        out[subset] = min((s + out[subset & ~part] for part, s in by_first[first]), default=FAR)
    return np.asarray(np.minimum(out, FAR))


def _groups(tables: Tables) -> list[list[int]]:
    """Bends (and stages) that share a stroke, directly or over others."""
    made: list[list[int]] = tables.memory.once(("groups",), lambda: _grouped(tables))
    return made


def _grouped(tables: Tables) -> list[list[int]]:
    home = {i: i for i in range(tables.full.bit_length())}
    for move in tables.moves:
        own = [i for i in home if move.makes >> i & 1]
        first = home[own[0]]
        joined = {home[i] for i in own}
        home = {i: first if at in joined else at for i, at in home.items()}
    return [[i for i in home if home[i] == at] for at in dict.fromkeys(home.values())]
