"""Short ways to say a job in tests: a part by quick typing or file, a sheet, the demo shop with changes."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

from bendwright.drawing.part_file import part_from_text, read_part
from bendwright.drawing.quick_profile import quick_profile
from bendwright.findings import Finding
from bendwright.part.model import Header, Part
from bendwright.plan.bumping import by_hits
from bendwright.plan.tooled import tooling_for
from bendwright.shop.read import built_in_shop
from bendwright.shop.sheet import Sheet
from bendwright.shop.sheet_words import sheet_from_words
from bendwright.shop.shop import Shop
from bendwright.shop.tools import Cabinet, Die, Punch

EXAMPLES = Path(__file__).parents[1] / "examples" / "parts"
SHOP = built_in_shop("saltmarsh")


def profile(text: str, **header: object) -> Part:
    """A profile typed in one line."""
    return quick_profile(text, header=Header(part_no="T-1", revision="A", **header), default_unit="mm")  # type: ignore[arg-type]


def example(name: str) -> Part:
    """A shipped example part."""
    return read_part(EXAMPLES / f"{name}.yaml")


def panel(text: str) -> Part:
    """A part file given as text, its header filled in."""
    return part_from_text(f"part_no: T-2\nrevision: A\nunit: mm\n{text}", "panel.yaml")


def plate(sides: int) -> Part:
    """A regular plate with a flange on every side: nearly every order works, so that proving one the best takes minutes."""
    turns = [2.0 * math.pi * i / sides for i in range(sides)]
    points = [[round(300.0 * math.cos(turn), 3), round(300.0 * math.sin(turn), 3)] for turn in turns]
    edges = list(range(1, sides + 1))
    return panel(
        "material: S235\nthickness: 2\n"
        f"panel: {{base: {{points: {points}}}, flanges: [{{edge: {edges}, direction: up, leg: 30, left: 20, right: 20}}]}}"
    )


def sheet(material: str = "S235JR", thickness: str = "2", *measured: str) -> Sheet:
    """A sheet of the demo shop."""
    return sheet_from_words(material_name=material, thickness_text=thickness, measured_texts=measured, shop=SHOP)


def shop_with(*, punches: tuple[Punch, ...] | None = None, dies: tuple[Die, ...] | None = None) -> Shop:
    """The demo shop with other tools in its cabinet."""
    old = SHOP.cabinet
    cabinet = Cabinet(punches=punches or old.punches, dies=dies or old.dies, passport=old.passport)
    return replace(SHOP, cabinet=cabinet)


def as_bent(part: Part) -> Part:
    """The part as it is bent from its sheet: large radii hit by hit."""
    used = sheet(part.header.material, f"{part.header.thickness_mm:g}")
    return by_hits(part, tooling_for(used, SHOP, SHOP.brakes["M1"])).part


def of_code(findings: tuple[Finding, ...], code: str) -> list[Finding]:
    """The findings with one code."""
    return [finding for finding in findings if finding.code == code]
