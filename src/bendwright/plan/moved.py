"""What moves in a plan because the sheet is not nominal?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from bendwright.findings import NotPossibleError
from bendwright.part.bumped import runs_of
from bendwright.said import phrase, say

if TYPE_CHECKING:
    from bendwright.part.model import Part
    from bendwright.plan.choose import Tooling
    from bendwright.plan.pins import Pin
    from bendwright.plan.result import Plan
    from bendwright.shop.tools import Die
    from bendwright.stroke.result import Stroke


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """One number that moved because the sheet is not nominal."""

    what: str
    unit: str
    nominal: float
    measured: float

    @property
    def change(self) -> float:
        """Measured minus nominal, in ``unit``."""
        return self.measured - self.nominal


def what_moved(drawn: Part, part: Part, tooling: Tooling, plan: Plan) -> tuple[Moved, ...]:
    """Blank, gauge positions, depths and forces against the same tools on the nominal sheet; ``drawn`` is the part before large radii were
    divided into hits.
    """
    nominal_sheet = replace(tooling.sheet, measured_thickness_mm=())
    used = {stroke.die_id for stroke in plan.strokes}
    tools = replace(tooling, sheet=nominal_sheet, dies=_same_dies(tooling.dies, used), wished_die=None)
    try:
        nominal = _made_alike(drawn, part, tools, plan)
    except NotPossibleError:
        return ()
    if nominal is None:
        return ()
    before = {(name, stroke.kind): stroke for stroke in nominal.strokes for name in stroke.bend_ids}
    rows = [
        Moved(what="thickness", unit="mm", nominal=nominal.sheet.thickness_mm, measured=plan.sheet.thickness_mm),
        Moved(what="blank width", unit="mm", nominal=nominal.blank.width_mm, measured=plan.blank.width_mm),
        Moved(what="blank height", unit="mm", nominal=nominal.blank.height_mm, measured=plan.blank.height_mm),
    ]
    for stroke in _told(part, plan):
        old = before.get((stroke.bend_id, stroke.kind))
        if old is None:
            continue
        name = f"bend {stroke.bends_name}" + (" flattening" if stroke.kind == "hem_flatten" else "")
        rows.append(
            Moved(what=say("moved.depth", name=phrase(name)), unit="mm", nominal=old.depth_mm, measured=stroke.depth_mm)
        )
        if old.bend_ids == stroke.bend_ids:
            rows.append(
                Moved(
                    what=say("moved.force", name=phrase(name)),
                    unit="kN",
                    nominal=old.force_kn.high,
                    measured=stroke.force_kn.high,
                )
            )
        if old.gauged_flange_side == stroke.gauged_flange_side and stroke.gauging.kind != "none":
            rows.append(Moved(what=f"{name} X", unit="mm", nominal=old.gauging.x_mm, measured=stroke.gauging.x_mm))
    return tuple(rows)


def _made_alike(drawn: Part, part: Part, tools: Tooling, plan: Plan) -> Plan | None:
    """The same strokes on other sheet: order and sides at the gauge as in the plan; None where they do not work there."""
    from bendwright.part.aim import aimed
    from bendwright.plan.build import plan_of
    from bendwright.plan.bumping import like
    from bendwright.plan.choose import Chosen, possible_situations
    from bendwright.plan.hand_order import first_that_works, moves_in, tools_of
    from bendwright.plan.pins import held_to, pinned
    from bendwright.plan.tables import make_tables

    there = like(drawn, part, tools)
    tables = make_tables(tools_of(plan, possible_situations(aimed(there), tools)))
    bends = [stroke for stroke in plan.strokes if stroke.kind != "hem_flatten"]
    held = held_to(tables, moves_in(tables, tuple(stroke.bends_name for stroke in bends)))
    solution = first_that_works(pinned(held, [pin for stroke in bends for pin in _pins(part, stroke)]))
    if solution is None:
        return None
    chosen = Chosen(solution, (), tables)
    return plan_of(there, chosen, tools, quantity=plan.quantity, made_on=date.fromisoformat(plan.made_on))


def _pins(part: Part, stroke: Stroke) -> list[Pin]:
    from bendwright.plan.pins import Pin

    bend = part.bend(stroke.bend_id)
    side = bend.child if stroke.gauged_flange_side == "child" else bend.parent
    return [Pin("gauge", bend.id, side)] if stroke.gauging.kind != "none" else []


def _same_dies(dies: tuple[Die, ...], used: set[str]) -> tuple[Die, ...]:
    """The dies used; all where only pairs that press were."""
    return tuple(die for die in dies if die.id in used) or dies


def _told(part: Part, plan: Plan) -> list[Stroke]:
    """All strokes; of the hits of a large radius the first and the last, those between answer alike."""
    ends = {name for run in runs_of(part) for name in (run[0], run[-1])}
    return [stroke for stroke in plan.strokes if part.bend(stroke.bend_id).hit is None or stroke.bend_id in ends]


def still_moved(moved: Sequence[Moved], plan: Plan) -> tuple[Moved, ...]:
    """Of what moved in another plan of the same job the rows that hold for this one too: its strokes have the same number there."""
    now: dict[str, float] = {}
    for stroke in plan.strokes:
        name = f"bend {stroke.bends_name}" + (" flattening" if stroke.kind == "hem_flatten" else "")
        now |= {
            say("moved.depth", name=phrase(name)): stroke.depth_mm,
            say("moved.force", name=phrase(name)): stroke.force_kn.high,
            f"{name} X": stroke.gauging.x_mm,
        }
    return tuple(row for row in moved if not row.what.startswith("bend ") or row.measured == now.get(row.what))
