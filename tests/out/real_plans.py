"""Plans of the example parts for the paper tests, each planned once for the whole run."""

from __future__ import annotations

import re
from functools import cache

from bendwright.drawing.plan_file import plan_from_json, plan_to_json
from bendwright.job import Prepared, Wishes, prepare
from bendwright.plan.result import Plan
from shop_talk import SHOP, example, sheet

BRAKES = {"station_tray": "M2", "mast_clamp": "M2", "thick_bracket": "M3"}
LONG_NAMES = {
    "front": "weather_side_wall",
    "back": "cable_entry_wall",
    "left": "hinge_side_wall",
    "right": "lock_side_wall",
}


@cache
def prepared(name: str, *, measured: bool = False) -> Prepared:
    """The example part on its brake; measured means two readings 0.03 and 0.02 mm below nominal."""
    part = example(name)
    thickness = part.header.thickness_mm
    assert thickness is not None
    readings = (f"{thickness - 0.03:.2f} mm", f"{thickness - 0.02:.2f} mm") if measured else ()
    used = sheet(part.header.material, f"{thickness:g}", *readings)
    return prepare(part, used, SHOP, Wishes(brake_id=BRAKES.get(name, "M1")))


def with_long_names(plan: Plan) -> Plan:
    """The plan of the cabinet door with flanges and bends called by long names, everywhere alike."""
    text = plan_to_json(plan).replace(".far", ".return_lip")
    for short, long in LONG_NAMES.items():
        text = re.sub(rf'(?<=flange ){short}\b|(?<="){short}(?=["\.])', long, text)
    return plan_from_json(re.sub(r"\bb(\d)\b", r"fold_\1_return", text))
