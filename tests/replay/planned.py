"""Parts with plans to replay, by the charts: quick, and the same whatever the mechanics say."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

from bendwright.drawing.part_file import part_from_text
from bendwright.findings import NotPossibleError
from bendwright.job import Wishes, prepare
from bendwright.part.model import Part
from bendwright.plan.result import Plan
from bendwright.shop.read import built_in_shop
from bendwright.shop.sheet_words import sheet_from_words
from random_work import random_panel, random_profile

SHOP = built_in_shop("saltmarsh")
PARTS = Path(__file__).parents[2] / "examples" / "parts"
EXAMPLES = ("cabinet_door", "station_tray", "cable_tray", "instrument_rail", "hive_roof")


def example(name: str) -> Part:
    """An example part."""
    return part_from_text((PARTS / f"{name}.yaml").read_text(encoding="utf-8"), name)


@cache
def plan_of(part: Part, die_id: str | None = None) -> Plan | None:
    """A plan by the charts; None where there is none."""
    sheet = sheet_from_words(material_name=part.header.material, thickness_text=part.header.thickness_mm, shop=SHOP)
    try:
        return prepare(part, sheet, SHOP, Wishes(brake_id="M1", die_id=die_id, model="charts")).plan
    except NotPossibleError:
        return None


def parts(panels: int, profiles: int) -> Iterator[tuple[Part, Plan]]:
    """Example parts, random panels and profiles that have a plan."""
    known: list[tuple[Part, str | None]] = [(example(name), None) for name in EXAMPLES]
    known += [(random_panel(seed), "V12") for seed in range(panels)]
    known += [(random_profile(seed), "V12") for seed in range(profiles)]
    for part, die_id in known:
        plan = plan_of(part, die_id)
        if plan is not None:
            yield part, plan
