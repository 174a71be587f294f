"""One search with given stacks: the cheapest order found backwards from the finished part, in tables as large as it takes.

A narrow search, which keeps only the cheapest states of every size, comes first: what it finds is the bound of the exact one.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from bendwright.geometry.kernels import FAR
from bendwright.plan.around import swing_of_move
from bendwright.plan.costing import costs_of
from bendwright.plan.fits import Stacks
from bendwright.plan.labels import Costs, Labels
from bendwright.plan.memo import EMPTY
from bendwright.plan.orders import DONE, FULL_STATES, NO_WAY, cheapest_order
from bendwright.plan.stations import wished_stacks
from bendwright.plan.tables import Tables, growing
from bendwright.stroke.swing import Swing

EVERY = 1 << 60
LEAST_WIDTH = 64
NARROW = 8
LEAST_ROWS = 1 << 12
MOST_STATES = 1 << 17
MOST_EXPLAINED = 1 << 13


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
class Found:
    """The cheapest order with given stations: seconds (FAR and no steps where there is none), steps; ``complete`` when no state was
    dropped on the way.
    """

    cost_s: float
    steps: tuple[Step, ...]
    states: int
    complete: bool


NONE = Found(FAR, (), 0, True)


def better(one: Found, other: Found) -> Found:
    """The cheaper of two, knowing of both."""
    kept = other if other.cost_s < one.cost_s - 1e-9 else one
    return replace(kept, states=one.states + other.states, complete=one.complete and other.complete)


def solved(
    tables: Tables, stacks: Stacks, costs: Costs, most_states: int, *, upper: float = FAR, cut: bool = True
) -> Found:
    """The cheapest order with these stacks that costs no more than ``upper``: a narrow search first, then all that can beat it. With more
    than ``most_states`` only the cheapest of every size are kept; with ``cut`` off it is given up.
    """
    narrow = glimpsed(tables, stacks, costs, upper=upper)
    if narrow.complete:
        return narrow
    cap = min(upper, narrow.cost_s)
    wide = _found(tables, _backwards(tables, stacks, costs, tables.full, most_states, upper=cap, cut=cut))
    return replace(better(narrow, wide), complete=wide.complete)


def glimpsed(tables: Tables, stacks: Stacks, costs: Costs, *, upper: float = FAR) -> Found:
    """A cheap order with these stacks that costs no more than ``upper``, by a narrow search."""
    return _found(tables, _backwards(tables, stacks, costs, tables.full, LEAST_ROWS, width=NARROW, upper=upper))


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


def states_known(tables: Tables) -> frozenset[int]:
    """All states from which the part can be reached with any stack one may wish for; empty where there are too many to be looked at."""
    states = reached_from(tables, wished_stacks(tables.situation), tables.full)
    return frozenset() if 4 * len(states) >= MOST_EXPLAINED else states


def any_order(tables: Tables, stacks: Stacks, most_states: int = MOST_STATES) -> bool:
    """Whether some order can be made with these stacks, all of them at hand at once: a narrow search that finds one is enough."""
    costs = costs_of(tables, preferences=False)
    said = _backwards(tables, stacks, costs, tables.full, LEAST_ROWS, width=NARROW)[0]
    if said != DONE:
        said = _backwards(tables, stacks, costs, tables.full, most_states)[0]
    return said == DONE


def _backwards(
    tables: Tables,
    stacks: Stacks,
    costs: Costs,
    goal: int,
    most: int,
    *,
    width: int = EVERY,
    upper: float = FAR,
    cut: bool = True,
) -> tuple[int, int, int, Labels]:
    """Fill labels backwards from a set of done bends, in tables as large as it takes; beyond ``most`` states only the cheapest of
    every size are kept, or it is given up (``cut`` off). What cannot come below ``upper`` is dropped.
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
        if said == FULL_STATES and not cut:
            return said, -1, 1, labels
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
