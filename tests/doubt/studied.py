"""Plans of the example parts with their studies, each made once for the whole run."""

from __future__ import annotations

from functools import cache

from bendwright.doubt.result import PlanDoubt
from bendwright.job import Wishes, prepare
from bendwright.plan.result import Plan
from shop_talk import SHOP, example, sheet

BRAKES = {"station_tray": "M2", "mast_clamp": "M2", "thick_bracket": "M3"}
PROFILES = ("instrument_rail", "cable_tray", "mast_clamp", "splash_panel", "stair_tread", "thick_bracket")
EVERY = (*PROFILES, "station_tray", "cabinet_door", "hive_roof")


@cache
def plan_of(name: str, *readings: str) -> Plan:
    """The example part on its brake, of the sheet its drawing asks for."""
    part = example(name)
    header = part.header
    used = sheet(header.material, f"{header.thickness_mm:g}", *readings)
    return prepare(part, used, SHOP, Wishes(brake_id=BRAKES.get(name, "M1"))).plan


def doubt_of(name: str, *readings: str) -> PlanDoubt:
    """The study of that plan."""
    doubt = plan_of(name, *readings).doubt
    assert doubt is not None
    return doubt
