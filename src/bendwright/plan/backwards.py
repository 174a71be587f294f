"""One search with given stacks: the cheapest order found backwards from the finished part, in tables as large as it takes.

Narrow searches, which keep only the cheapest states of every size, come first: what they find is the bound of the exact one. A few
times a second a search pauses, and may be ended there.
"""

from __future__ import annotations

import math
import time
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from bendwright.geometry.kernels import FAR
from bendwright.plan.around import swing_of_move
from bendwright.plan.costing import costs_of
from bendwright.plan.fits import Stacks
from bendwright.plan.hearing import Pause
from bendwright.plan.labels import Costs, Labels
from bendwright.plan.memo import EMPTY, longer, wider
from bendwright.plan.orders import FULL_STATES, FULL_TABLE, PAUSED, cheapest_order
from bendwright.plan.stations import wished_stacks
from bendwright.plan.tables import Tables, growing
from bendwright.stroke.swing import Swing

EVERY = 1 << 60
NARROW, WIDER = 8, 16
LEAN_ABOVE = 16
"""A narrow search of a part with more bends asks for no more strokes than give it its states."""
LEAST_ROWS = 1 << 9
HAIR_S = 1e-7
MOST_STATES = 1 << 17
MOST_EXPLAINED = 1 << 13
FIRST_PACES, PAUSE_S = 1 << 8, 0.1
"""Work of a search before its first pause, and seconds between later ones."""


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
    tables: Tables,
    stacks: Stacks,
    costs: Costs,
    most_states: int,
    *,
    upper: float = FAR,
    pause: Pause | None = None,
) -> Found:
    """The cheapest order with these stacks that costs less than ``upper``: narrow searches first, each the bound of the next and wider one,
    until one drops nothing. The one that knows more than ``most_states``, or was ended early for them or by ``pause``, is the last.
    """
    best, width = NONE, NARROW
    while True:
        cap, before = min(upper, best.cost_s), best.states
        labels, first = _backwards(
            tables, stacks, costs, width=width, upper=cap, most=most_states, pause=_after(before, pause)
        )
        found = _found(tables, labels, first)
        best = replace(better(best, found), complete=found.complete)
        if found.complete or labels.at[0] or labels.used[0] >= most_states:
            return best
        width *= WIDER


def _after(looked: int, pause: Pause | None) -> Pause | None:
    """The same pause for a search that goes on after so many states."""
    return None if pause is None else lambda more: pause(looked + more)


def glimpsed(tables: Tables, stacks: Stacks, costs: Costs, *, upper: float = FAR, pause: Pause | None = None) -> Found:
    """A cheap order with these stacks that costs less than ``upper``, by a narrow search."""
    return _found(tables, *_backwards(tables, stacks, costs, width=NARROW, upper=upper, pause=pause))


def _found(tables: Tables, labels: Labels, first: int) -> Found:
    looked, complete = int(labels.used[2]), not labels.used[3] and not labels.at[0]
    if first < 0:
        return replace(NONE, states=looked, complete=complete)
    return Found(float(labels.cost[first]), _read(tables, labels, first), looked, complete)


def states_known(tables: Tables, pause: Pause | None = None) -> frozenset[int]:
    """All states from which the part can be reached with any stack one may wish for; empty where there are too many to be looked at, or
    ``pause`` ended the looking.
    """
    stacks, costs = wished_stacks(tables.situation), costs_of(tables, preferences=False)
    labels, _ = _backwards(tables, stacks, costs, most=MOST_EXPLAINED, pause=pause)
    with_way_on = labels.head[: labels.used[0]] >= 0
    return (
        frozenset(int(mask) for mask in labels.set_of[: labels.used[0]][with_way_on])
        if not labels.at[0]
        else frozenset()
    )


def any_order(tables: Tables, stacks: Stacks, most_states: int = MOST_STATES, *, pause: Pause | None = None) -> bool:
    """Whether some order can be made with these stacks, all of them at hand at once; False too where ``pause`` ended the search."""
    costs = costs_of(tables, preferences=False)
    width = NARROW
    while True:
        labels, first = _backwards(tables, stacks, costs, width=width, most=most_states, pause=pause)
        if first >= 0 or not labels.used[3] or labels.at[0] or labels.used[0] >= most_states:
            return first >= 0
        width *= WIDER


def _backwards(
    tables: Tables,
    stacks: Stacks,
    costs: Costs,
    *,
    width: int = EVERY,
    upper: float = FAR,
    most: int = EVERY,
    pause: Pause | None = None,
) -> tuple[Labels, int]:
    """Labels filled backwards from the finished part, and the first of the cheapest order that costs less than ``upper`` (-1: none); of
    every size the cheapest ``width`` states. Ended early, at ``labels.at``, where ``most`` states are known and nothing is dropped, or
    where ``pause`` answers False.
    """
    chosen = np.arange(len(stacks.punch), dtype=np.int64)
    job = (stacks, chosen, costs, _worse(costs), tables.short_mm, _below(upper, costs.grain))
    lean = width == NARROW and tables.bends > LEAN_ABOVE
    labels, paces = _labels(len(costs.stance_group), width if lean else 0), EVERY if pause is None else FIRST_PACES

    def once() -> tuple[int, Any]:
        memory = tables.memory
        world = (tables.packed, tables.tools, tables.stops, memory.looks, memory.answers)
        said, first = cheapest_order(world, job, labels, tables.full, width, memory.work, paces)
        return said if said == FULL_TABLE else 0, (said, int(first))

    while True:
        began = time.monotonic()
        said, first = growing(tables, once)
        if said == PAUSED and pause is not None and pause(int(labels.used[2])):
            paces = _paced(paces, time.monotonic() - began)
        elif said != FULL_STATES or (width > NARROW and len(labels.set_of) >= most):
            return labels, first
        else:
            labels = _longer(labels)


def _paced(paces: int, took_s: float) -> int:
    """How much work is to be done before the next pause, given how long the last took."""
    return max(FIRST_PACES, int(paces * min(4.0, PAUSE_S / max(took_s, 1e-6))))


def _below(upper: float, grain: float) -> float:
    """The most that a cost below ``upper`` can be, all costs being whole numbers of ``grain`` [s]."""
    if upper >= FAR:
        return FAR
    return (math.ceil((upper - HAIR_S) / grain) - 1) * grain + HAIR_S if grain else upper - HAIR_S


def _worse(costs: Costs) -> Any:
    """[stance, station, other stance, other station]: the most that going on with the first can cost more than with the other."""
    stances, stations = len(costs.turning), len(costs.walking)
    out = np.zeros((stances, stations, stances, stations))
    turning = (costs.turning[:, :, None] - costs.turning[:, None, :]).max(axis=0)
    capped = np.minimum(costs.walking, FAR)
    walking = (capped[:, :, None] - capped[:, None, :]).max(axis=0)
    out[:] = turning[:, None, :, None] + walking[None, :, None, :]
    return np.ascontiguousarray(out)


def _labels(stances: int, least: int) -> Labels:
    rows = LEAST_ROWS
    return Labels(
        keys=np.full(4 * rows, EMPTY, dtype=np.int64),
        numbers=np.zeros(4 * rows, dtype=np.int64),
        set_of=np.zeros(rows, dtype=np.int64),
        head=np.zeros(rows, dtype=np.int64),
        layer=np.full(65, -1, dtype=np.int64),
        beside=np.zeros(rows, dtype=np.int64),
        rest=np.zeros((rows, stances)),
        cost=np.zeros(2 * rows),
        x=np.zeros(2 * rows),
        r=np.zeros(2 * rows),
        step=np.zeros((2 * rows, 5), dtype=np.int64),
        after=np.zeros(2 * rows, dtype=np.int64),
        more=np.zeros(2 * rows, dtype=np.int64),
        least=np.full((65, least), FAR),
        used=np.zeros(4, dtype=np.int64),
        at=np.zeros(3, dtype=np.int64),
    )


def _longer(labels: Labels) -> Labels:
    """The same with four times as much room for states or for labels, whichever are nearly full."""
    changed: dict[str, Any] = {}
    if 2 * labels.used[0] >= len(labels.set_of):
        changed["keys"], changed["numbers"] = wider(labels.keys, labels.numbers)
        changed |= {name: longer(getattr(labels, name)) for name in ("set_of", "head", "beside", "rest")}
    if 2 * labels.used[1] >= len(labels.cost):
        changed |= {name: longer(getattr(labels, name)) for name in ("cost", "x", "r", "step", "after", "more")}
    return labels._replace(**changed)


def _read(tables: Tables, labels: Labels, first: int) -> tuple[Step, ...]:
    steps = []
    mask, label = 0, first
    while labels.step[label, 0] >= 0:
        move, _, station, side, flags = (int(v) for v in labels.step[label])
        steps.append(Step(move, tables.moves[move].bends[0], side, station, mask, flags))
        mask |= tables.moves[move].makes
        label = int(labels.after[label])
    return tuple(steps)
