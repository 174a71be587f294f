"""A deep box between short punches: its walls stand in the gaps between the clamps."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from shapely import Polygon

from bendwright.findings import NotPossibleError
from bendwright.job import Wishes, prepare
from bendwright.plan.result import Plan
from bendwright.replay.replay import replay_plan
from bendwright.shop.brake import Brake, ClampPiece, PunchClamps
from bendwright.shop.shop import Shop
from bendwright.shop.tools import Piece, Punch
from shop_talk import SHOP, panel, sheet

DEEP_MM = 152.4
PUNCH_MM = 101.6
CLAMP_MM = 127.0
HALF_MM = 13.0
BOX = panel(
    "panel:\n  base: {width: 400, depth: 300}\n  flanges:\n"
    + "".join(f"    - {{edge: {edge}, leg: {DEEP_MM}, direction: up}}\n" for edge in ("front", "back", "left", "right"))
)
PRACTICE = pytest.mark.origin(
    "practice",
    "no source: 101.6 mm punches in 127 mm clamps set apart make a 152.4 mm box; on a rail about 229 mm are needed",
)


def _punch(height: float) -> Punch:
    """A slim straight punch of that height, in pieces for any length."""
    own = SHOP.cabinet.punch("P1")
    outline = tuple((x, y if y < 20.0 else y - own.height_mm + height) for x, y in own.outline)
    assert Polygon(outline).is_valid
    pieces = tuple(Piece(length_mm=length) for length in (10, 15, 20, 40, 50, 100, 200, 300, 500))
    return replace(own, id="S", height_mm=height, outline=outline, pieces=pieces)


def _shop(height: float, *, clamps: bool) -> Shop:
    """One brake, one punch: clamps that can stand apart, or a rail of the same height and depth under the whole ram."""
    own = SHOP.brakes["M4"]
    held: dict[str, object] = {"punch_clamps": None, "punch_held": "one_rail", "punch_holder_height_mm": CLAMP_MM}
    if clamps:
        pieces = (ClampPiece(length_mm=90.0, count=12), ClampPiece(length_mm=40.0, count=2))
        held = {"punch_clamps": PunchClamps(height_mm=CLAMP_MM, half_depth_mm=HALF_MM, pieces=pieces)}
    brake: Brake = replace(own, ram_half_depth_mm=HALF_MM, open_height_mm=900.0, stroke_mm=800.0, **held)  # type: ignore[arg-type]
    cabinet = replace(SHOP.cabinet, punches=(_punch(height),))
    return replace(SHOP, cabinet=cabinet, brakes={"M4": brake})


def _plan(height: float, *, clamps: bool) -> Plan | None:
    try:
        return prepare(BOX, sheet("DC01", "1.5"), _shop(height, clamps=clamps), Wishes(die_id="V12")).plan
    except NotPossibleError:
        return None


@PRACTICE
def test_short_punches_between_clamps_make_it() -> None:
    """Every side wall stands beside the stack and between its clamps, which end where the stack ends; the replay agrees."""
    plan = _plan(PUNCH_MM, clamps=True)
    assert plan is not None
    shop = _shop(PUNCH_MM, clamps=True)
    for station in plan.stations:
        assert station.clamps
        ends = (station.clamps[0].from_mm, station.clamps[-1].from_mm + station.clamps[-1].length_mm)
        assert ends[0] >= -1e-6
        assert ends[1] <= station.length_mm + 1e-6
    assert replay_plan(BOX, plan, cabinet=shop.cabinet, brake=shop.brakes["M4"], practice=shop.practice) == ()


@PRACTICE
def test_on_a_rail_it_needs_punches_of_about_229() -> None:
    """The wall's corner comes to sqrt 2 x depth above the tip; the rail's half depth is to be added."""
    need = math.sqrt(2.0) * DEEP_MM + HALF_MM
    assert need == pytest.approx(229.0, abs=1.0)
    assert _plan(PUNCH_MM, clamps=False) is None
    low, high = 200.0, 260.0
    while high - low > 1.0:
        middle = 0.5 * (low + high)
        if _plan(middle, clamps=False) is None:
            low = middle
        else:
            high = middle
    assert high == pytest.approx(need, abs=3.0)
