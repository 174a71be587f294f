"""The jobs of the invented shop as a person would give them: part files with a word changed, sheets, plans."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from bendwright.drawing.part_file import part_from_text
from bendwright.job import Prepared, Wishes, prepare
from bendwright.part.model import Part
from bendwright.plan.result import Plan
from bendwright.shop.read import built_in_shop
from bendwright.shop.sheet import Sheet
from bendwright.shop.sheet_words import sheet_from_words
from bendwright.stroke.result import Check, Stroke

PARTS = Path(__file__).parents[2] / "examples" / "parts"
NAMES = tuple(sorted(path.stem for path in PARTS.glob("*.yaml")))
SHOP = built_in_shop("saltmarsh")

LENGTH_MM = 0.02
DEPTH_MM = 0.002
TURN_DEG = 0.05


def part_of(name: str, *changes: tuple[str, str]) -> Part:
    """An example part, its file's words changed first: (old, new), each old standing in the file."""
    text = (PARTS / f"{name}.yaml").read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text, f"{name}.yaml does not say {old!r}"
        text = text.replace(old, new)
    return part_from_text(text, f"{name}.yaml")


def sheet_for(part: Part, *readings: str, tensile: str | None = None, **words: Any) -> Sheet:
    """The sheet the drawing asks for, measured by ``readings``."""
    header = part.header
    return sheet_from_words(
        material_name=words.pop("material", header.material),
        thickness_text=words.pop("thickness", header.thickness_mm),
        measured_texts=readings,
        tensile=tensile,
        shop=SHOP,
        **words,
    )


@cache
def prepared(part: Part, *readings: str, tensile: str | None = None, **wishes: Any) -> Prepared:
    """The main job: sheet as on the drawing with ``readings``, wishes by name (brake_id, die_id, punch_id, quantity,
    model)."""
    return prepare(part, sheet_for(part, *readings, tensile=tensile), SHOP, Wishes(**wishes))


def plan_of(part: Part, *readings: str, tensile: str | None = None, **wishes: Any) -> Plan:
    """The plan of ``prepared``."""
    return prepared(part, *readings, tensile=tensile, **wishes).plan


def order_of(plan: Plan) -> tuple[str, ...]:
    """Bend ids in the order made."""
    return tuple(stroke.bend_id for stroke in plan.strokes)


def stroke_of(plan: Plan, bend_id: str) -> Stroke:
    """The (first) stroke of a bend."""
    return next(stroke for stroke in plan.strokes if stroke.bend_id == bend_id)


def check_of(checks: tuple[Check, ...], name: str) -> Check:
    """The check of that name."""
    return next(check for check in checks if check.name == name)


def sentences(found: Prepared, code: str) -> list[str]:
    """The sentences of all findings of one code."""
    return [finding.sentence for finding in found.findings if finding.code == code]
