"""What does a stack run into where the bend must be covered, and how deep?"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

import numpy as np

from bendwright.geometry.kernels import FAR
from bendwright.plan.around import static_classes, swing_of_move
from bendwright.plan.backwards import Step
from bendwright.plan.evidence import Posed, posed_body, ring_gap
from bendwright.plan.outlines import BED, DIE, HITS, HOLDER, RAM
from bendwright.plan.room import EARED, MACHINE, PLAIN
from bendwright.plan.tables import Tables, bodies_here, room_for
from bendwright.said import say
from bendwright.stroke.tooling import ToolClass, below_classes, ear_of

EVERY = (1 << 62) - 1


@dataclass(frozen=True, slots=True)
class Blocked:
    """The deepest overlap of the stack that comes nearest: piece of the part, tool, overlap [mm] (negative), how the punch is mounted,
    and whether the piece is sheet in the plane of the legs that would be pressed too.
    """

    piece: str
    against: str
    mm: float
    way: str
    pressed: bool


def blocked_by(tables: Tables, move: int, mask: int, punch: int, o: int) -> Blocked | None:
    """The nearer of plain and eared stack of a punch, one way round (``o``): what it runs into; None when nothing is in the way."""
    what = room_for(tables, move, mask, punch).forbids(o)
    eared = ear_of(tables.situation.punches[punch]) is not None
    kinds = [PLAIN, EARED] if eared else [PLAIN]
    if any(not what & (kind | MACHINE) for kind in kinds):
        return None
    machine = _deepest(tables, move, mask, punch, o, MACHINE) if what & MACHINE else None
    stacks = {kind: _deepest(tables, move, mask, punch, o, kind) if what & kind else None for kind in kinds}
    known = [(item.mm, kind) for kind, item in stacks.items() if item is not None]
    nearest = None
    if len(known) == len(kinds):
        short = {kind: _too_short_mm(tables, move, mask, punch, o, kind, EVERY) for kind in kinds if len(kinds) > 1}
        nearest = stacks[max(known, key=lambda item: (min(item[0], -short.get(item[1], 0.0)), item[0]))[1]]
    if nearest is None or (machine is not None and machine.mm < nearest.mm):
        return machine
    return nearest


def least_lack_mm(tables: Tables, move: int, must: int, mustnot: int) -> float:
    """What a move lacks at least [mm], whatever else is done, when some bends are done and others are not, by the bodies that these bends
    decide over: how deep they reach into the tools that come nearest, or what they leave too short for a stack beside them. FAR for a
    move that is none.
    """
    packed = tables.packed
    if packed.pressed[move] or not packed.sides[move].any():
        return 0.0 if packed.sides[move].any() else FAR
    least, fixed = FAR, must | mustnot
    for punch, o in itertools.product((int(k) for k in np.flatnonzero(tables.tools.suits[:, move])), (0, 1)):
        kinds = [PLAIN, EARED] if ear_of(tables.situation.punches[punch]) is not None else [PLAIN]
        machine = _deepest(tables, move, must, punch, o, MACHINE, fixed=fixed)
        for kind in kinds:
            met = [item for item in (machine, _deepest(tables, move, must, punch, o, kind, fixed=fixed)) if item]
            short = _too_short_mm(tables, move, must, punch, o, kind, fixed)
            least = min(least, max([short, *(-item.mm for item in met)]))
    return least


def _too_short_mm(tables: Tables, move: int, mask: int, punch: int, o: int, kind: int, fixed: int) -> float:
    """What the bodies beside a bend leave too short for a stack of a kind [mm]."""
    first, last = tables.around[move].span
    low, high = first, last
    for body, row, tool, beside in _meeting(tables, move, mask, punch, o, kind, fixed):
        if tool.stacked and beside:
            over = float(tables.packed.ease[body]) + (tables.tools.ear[punch, 1] if tool.name.endswith("body") else 0.0)
            begins, ends = (float(one) for one in tables.memory.looks.box[row, 4:6])
            if begins + ends < first + last:
                low = max(low, ends - over)
            else:
                high = min(high, begins + over)
    return max(0.0, last - first - 2.0 * tables.short_mm - (high - low))


def _deepest(
    tables: Tables, move: int, mask: int, punch: int, o: int, kind: int, *, fixed: int = EVERY
) -> Blocked | None:
    """The deepest overlap of one kind among the bodies that stand where the bend must be covered; of those alone that bends of ``fixed``
    decide over.
    """
    item, best = tables.around[move], None
    for body, row, tool, beside in _meeting(tables, move, mask, punch, o, kind, fixed):
        if tool.stacked and beside:
            continue
        number = body - item.at
        mirrored = o if item.bodies[number][0] == 1 else 1 - o
        key = ("overlap", row, punch, o, tool.name, mirrored)
        found = tables.memory.once(key, partial(_overlap, tables, move, mask, punch, o, number, tool))
        if best is None or found.mm < best.mm:
            best = found
    return best


def _meeting(
    tables: Tables, move: int, mask: int, punch: int, o: int, kind: int, fixed: int
) -> Iterator[tuple[int, int, ToolClass, bool]]:
    """Bodies that meet tools of a kind, the row of their looks, the tool, and whether it only bounds the stack; those alone that bends of
    ``fixed`` decide over.
    """
    item, looks = tables.around[move], tables.memory.looks
    present, rows = bodies_here(tables, move, mask, punch)
    for body, row in zip((int(one) for one in present), (int(one) for one in rows), strict=True):
        outline = int(looks.outline[row])
        bits, below = int(looks.outlines.meets[outline, punch]), int(looks.outlines.below[outline])
        if not (bits & HITS or below) or int(tables.packed.ways[body]) & ~fixed:
            continue
        mirrored = o if item.bodies[body - item.at][0] == 1 else 1 - o
        low, high, ease = float(looks.box[row, 4]), float(looks.box[row, 5]), float(tables.packed.ease[body])
        over = kind == EARED and low < 0.5 * sum(item.span) < high
        for tool in _met(tables, move, punch, mirrored, bits, below, kind, over):
            yield body, row, tool, _beside(tables, move, low, high, ease, tool)


def _met(
    tables: Tables, move: int, punch: int, mirrored: int, bits: int, below: int, kind: int, over: bool
) -> list[ToolClass]:
    """Tool classes of a kind that a body meets; what lies ``over`` the middle of an eared stack meets the whole punch there."""
    situation, once = tables.situation, tables.memory.once
    if (kind == MACHINE and not below and not bits & RAM) or (kind != MACHINE and not bits & HITS):
        return []
    static = once(("static", punch), lambda: static_classes(situation.brake, situation.punches[punch]))
    if kind == MACHINE:
        die = situation.dies[tables.moves[move].bends[0]]
        under = once(("under", die.id), lambda: below_classes(situation.brake, die))
        met = [tool for tool, bit in zip(under, (DIE, HOLDER, BED), strict=True) if below & bit]
        return [*met, static[6]] if bits & RAM else met
    targets = (0,) if kind == PLAIN or (over and bits >> (3 * mirrored) & 1) else (1, 2)
    return [static[3 * mirrored + target] for target in targets if bits >> (3 * mirrored + target) & 1]


def _beside(tables: Tables, move: int, low: float, high: float, ease: float, tool: ToolClass) -> bool:
    """Whether a body stands beside the bend, where it only bounds the stack."""
    span = tables.around[move].span
    whole = not tool.name.endswith("body")
    spare = tables.short_mm if whole else 0.5 * (span[1] - span[0])
    return high - ease <= span[0] + spare or low + ease >= span[1] - spare


def _overlap(tables: Tables, move: int, mask: int, punch: int, o: int, number: int, tool: ToolClass) -> Blocked:
    side = tables.around[move].bodies[number][0]
    step = Step(move, tables.moves[move].bends[0], side, 0, mask)
    posed = posed_body(tables, step, number)
    mm = ring_gap(posed, tool, swing_of_move(tables.situation, tables.moves[move]), 0.0)[0]
    own = tables.situation.punches[punch]
    turned = o == 1 and not tables.tools.same[punch]
    way = ""
    if tool.role != "punch" or turned:
        way = say("order.punch_turned" if turned else "order.punch", punch=own.id)
    return Blocked(posed.body.name, tool.name, mm, way, _pressed(posed, tables.situation.blank.thickness_mm))


def _pressed(posed: Posed, thickness: float) -> bool:
    """Sheet in the plane of the legs that reaches over the bend line."""
    return bool(posed.ring[:, 1].max() < 1e-6 and posed.ring[:, 1].min() > -thickness - 1e-6 and not posed.flat)
