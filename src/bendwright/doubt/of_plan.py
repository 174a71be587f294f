"""The doubt of a plan just made: its part, its strokes, the sheet, the tools, the brake and the shop's practice."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from bendwright.doubt.capability import class_of
from bendwright.doubt.responses import responses_of
from bendwright.doubt.result import PlanDoubt
from bendwright.doubt.size_rules import size_rules
from bendwright.doubt.sources import spreads_of
from bendwright.doubt.study import study
from bendwright.part.aim import aimed
from bendwright.part.model import Part
from bendwright.shop.brake import Brake
from bendwright.shop.practice import Practice
from bendwright.shop.sheet import Sheet
from bendwright.shop.tools import Die, Punch
from bendwright.stroke.result import Stroke


def doubt_of(
    part: Part,
    strokes: Sequence[Stroke],
    *,
    sheet: Sheet,
    dies: Iterable[Die],
    punches: Iterable[Punch],
    brake: Brake,
    practice: Practice,
) -> PlanDoubt:
    """How much every angle and outside size of the plan will vary, with the usual number of samples."""
    grade, source = class_of(part.header.notes, practice.spreads.tolerance_class)
    tools = {"dies": {die.id: die for die in dies}, "punches": {punch.id: punch for punch in punches}}
    return study(
        responses=responses_of(part, strokes, sheet=sheet, **tools),  # type: ignore[arg-type]
        rules=size_rules(part, aimed(part), strokes),
        spreads=spreads_of(sheet=sheet, brake=brake, practice=practice.spreads),
        tolerance_class=grade,
        class_source=source,
    )
