"""What does a stack run into where the bend must be covered, and how deep?"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from bendwright.plan.around import static_classes, swing_of_move
from bendwright.plan.backwards import Step
from bendwright.plan.evidence import Posed, posed_body, ring_gap
from bendwright.plan.looks import BED, DIE, HITS, HOLDER, RAM
from bendwright.plan.room import EARED, MACHINE, PLAIN
from bendwright.plan.tables import Tables, bodies_here, room_for
from bendwright.stroke.tooling import ToolClass, below_classes, ear_of


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
    stacks = [_deepest(tables, move, mask, punch, o, kind) if what & kind else None for kind in kinds]
    free = [item for item in stacks if item is None]
    nearest = None if free else max((item for item in stacks if item is not None), key=lambda item: item.mm)
    if nearest is None or (machine is not None and machine.mm < nearest.mm):
        return machine
    return nearest


def _deepest(tables: Tables, move: int, mask: int, punch: int, o: int, kind: int) -> Blocked | None:
    """The deepest overlap of one kind among the bodies that stand where the bend must be covered."""
    item = tables.around[move]
    present, rows = bodies_here(tables, move, mask, punch)
    looks, best = tables.memory.looks, None
    for body, row in zip(present, rows, strict=True):
        number = int(body) - item.at
        mirrored = o if item.bodies[number][0] == 1 else 1 - o
        box = looks.box[row]
        over = kind == EARED and box[4] < 0.5 * sum(item.span) < box[5]
        for tool in _met(
            tables, move, punch, mirrored, int(looks.meets[row, punch]), int(looks.below[row]), kind, over
        ):
            if tool.stacked and _beside(
                tables, move, float(box[4]), float(box[5]), float(tables.packed.ease[body]), tool
            ):
                continue
            key = ("overlap", int(row), punch, o, tool.name, mirrored)
            found = tables.memory.once(key, partial(_overlap, tables, move, mask, punch, o, number, tool))
            if best is None or found.mm < best.mm:
                best = found
    return best


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
    turned = " mounted turned" if o == 1 and not tables.tools.same[punch] else ""
    way = f" (punch {own.id}{turned})" if tool.role != "punch" or turned else ""
    return Blocked(posed.body.name, tool.name, mm, way, _pressed(posed, tables.situation.blank.thickness_mm))


def _pressed(posed: Posed, thickness: float) -> bool:
    """Sheet in the plane of the legs that reaches over the bend line."""
    return bool(posed.ring[:, 1].max() < 1e-6 and posed.ring[:, 1].min() > -thickness - 1e-6 and not posed.flat)
