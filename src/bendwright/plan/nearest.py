"""Which order comes nearest where none works? The one whose worst obstruction is the smallest of all.

No cure smaller than that can make the part with these tools.
"""

from __future__ import annotations

import heapq
import itertools
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import NamedTuple

import numpy as np

from bendwright.plan.blocked import least_lack_mm
from bendwright.plan.dead_sets import lacking_sets
from bendwright.plan.explain import Obstacle, obstacle
from bendwright.plan.fits import Stacks
from bendwright.plan.tables import Tables

NOT_IN_MM = 1e6
NO_STACK_MM = 1e-3
NO_STOP_MM = 0.5
MOST_ASKED = 400
MOST_SETS = 20_000


def nearest_order(tables: Tables, stacks: Stacks) -> list[Obstacle]:
    """What stands in the way of the order that comes nearest to working: its worst obstruction is the least of all orders.

    Empty when each stroke could be done by some of the stacks. Looks at no more than ``MOST_ASKED`` different strokes and ``MOST_SETS``
    sets of done bends; beyond that the way that comes nearest to the flat sheet is told.
    """
    due = _Due(lacking_sets(tables.packed, tables.full, partial(least_lack_mm, tables)))
    known: dict[tuple[int, int], Obstacle | None] = {}
    seen: set[int] = set()
    pushed = itertools.count(1)
    start = _Way(*due(0.0, tables.full, ()), tables.bends, tables.full, 0, ())
    waiting, deepest = [start], start
    while waiting and len(seen) < MOST_SETS:
        way = heapq.heappop(waiting)
        if way.state in seen:
            continue
        if way.move is not None:
            key = (way.move, way.state & _matters(tables, way.move))
            if key not in known and len(known) >= MOST_ASKED:
                continue
            if key not in known:
                known[key] = obstacle(tables, way.move, way.state, stacks)
            item = known[key]
            if item is not None:
                chain = (*way.chain, replace(item, mask=way.state))
                worse = due(max(way.lack, lack_mm(item)), way.state, chain)
                heapq.heappush(
                    waiting, way._replace(lack=worse[0], obstacles=max(way.obstacles, worse[1]), chain=chain, move=None)
                )
                continue
        seen.add(way.state)
        deepest = min(deepest, way, key=lambda one: one.left)
        if way.state == 0:
            break
        for move, before in _lasts(tables, way.state):
            if before not in seen:
                lack, count = due(way.lack, before, way.chain)
                left, number = before.bit_count(), next(pushed)
                heapq.heappush(waiting, _Way(lack, max(way.obstacles, count), left, before, number, way.chain, move))
    return sorted(deepest.chain, key=lambda item: item.mm if item.mm is not None else -NOT_IN_MM)


class _Way(NamedTuple):
    """A way from the finished part back to a set of done bends: what it lacks at least [mm] and how many obstacles it has, to the flat
    sheet; bends left, the set, a running number, obstacles so far; the move that makes the last step where nobody asked yet whether it
    can.
    """

    lack: float
    obstacles: int
    left: int
    state: int
    number: int
    chain: tuple[Obstacle, ...]
    move: int | None = None


@dataclass(frozen=True, slots=True)
class _Due:
    """What is still to come on every way to the flat sheet: sets of bends (done, not done) that nothing leads to, with the millimetres
    lacking. Where there are none, nothing is known and obstacles do not count.
    """

    sets: list[tuple[int, int, float]]

    def __call__(self, lack: float, state: int, chain: tuple[Obstacle, ...]) -> tuple[float, int]:
        """What a way through a set lacks at least [mm], and how many obstacles it has."""
        owed = [own for done, others, own in self.sets if state & done == done and not state & others]
        return max([lack, *owed]), (len(chain) + bool(owed) if self.sets else 0)


def _lasts(tables: Tables, state: int) -> Iterator[tuple[int, int]]:
    """Moves that can be the last on the way to a set of done bends, and the set before; hits keep to their run."""
    for number, move in enumerate(tables.moves):
        if state & move.makes != move.makes or not tables.packed.sides[number].any():
            continue
        before, needs, bars = state & ~move.makes, move.needs, move.bars
        if tables.situation.part.bends[move.bends[0]].hit is not None:
            needs, bars = int(tables.packed.needs[number]), int(tables.packed.bars[number])
        if before & needs == needs and not before & bars:
            yield number, before


def _matters(tables: Tables, move: int) -> int:
    """The bends that change the answer for a move."""
    made: int = tables.memory.once(("matters", move), lambda: _every_bend_that_counts(tables, move))
    return made


def _every_bend_that_counts(tables: Tables, move: int) -> int:
    packed = tables.packed
    return int(
        packed.for_stops[move]
        | packed.for_room[move]
        | packed.bars[move]
        | packed.needs[move]
        | _forbidding(tables, move)
    )


def _forbidding(tables: Tables, move: int) -> int:
    """The bends in the sets that forbid a move outright."""
    rows = tables.packed.forbidden[move]
    return int(np.bitwise_or.reduce([int(must | mustnot) for must, mustnot in rows if must != -1] or [0]))


def lack_mm(item: Obstacle) -> float:
    """How much is missing at a blocked stroke [mm]; large where millimetres do not tell."""
    if item.mm is not None:
        return max(-item.mm, NO_STACK_MM)
    return {"back gauge": NO_STOP_MM, "punch stack": NO_STACK_MM}.get(item.against, NOT_IN_MM)
