"""Tools as they could be bought: they stay tools, and only what is asked for changes."""

from __future__ import annotations

import pytest
import shapely

from bendwright.plan.cures.tool_changes import (
    body_half_width_mm,
    deeper,
    slimmer,
    sums_mm,
    taller,
    throat_mm,
    with_low_feet,
)
from bendwright.shop.tool_checks import punch_findings, signed_area_mm2
from bendwright.shop.tools import Piece, Punch
from shop_talk import SHOP

LAW = pytest.mark.origin("law", "the changed tool passes the same checks as one that is typed; the rest of it stays")
AIR = [punch for punch in SHOP.cabinet.punches if punch.kind != "flattening"]
STRAIGHT = [punch for punch in AIR if throat_mm(punch) is None]
NECKED = [punch for punch in AIR if throat_mm(punch) is not None]


def sound(punch: Punch) -> bool:
    """No finding, and running counter-clockwise."""
    return not list(punch_findings(punch, "here")) and signed_area_mm2(punch.outline) > 0.0


def near_tip(punch: Punch, height_mm: float) -> shapely.geometry.base.BaseGeometry:
    """The outline up to a height above the tip."""
    return shapely.Polygon(punch.outline).intersection(shapely.box(-500.0, -1.0, 500.0, height_mm))


@LAW
@pytest.mark.parametrize("punch", AIR, ids=lambda punch: punch.id)
@pytest.mark.parametrize("by", [0.1, 5.0, 85.0])
def test_taller(punch: Punch, by: float) -> None:
    """Higher by as much as asked; the working end stays as it was."""
    tall = taller(punch, by)
    assert sound(tall)
    assert max(y for _, y in tall.outline) == pytest.approx(punch.height_mm + by)
    assert near_tip(tall, 30.0).symmetric_difference(near_tip(punch, 30.0)).area < 1e-6
    assert tall.pieces == punch.pieces
    assert tall.id != punch.id


@LAW
@pytest.mark.parametrize("punch", STRAIGHT, ids=lambda punch: punch.id)
@pytest.mark.parametrize("share", [0.95, 0.6])
def test_slimmer(punch: Punch, share: float) -> None:
    """Nothing reaches farther than asked; within that it is the old punch."""
    half = max(share * body_half_width_mm(punch), punch.nose_radius_mm + 0.1)
    slim = slimmer(punch, half)
    assert slim is not None
    assert sound(slim)
    assert body_half_width_mm(slim) == pytest.approx(half)
    assert shapely.Polygon(punch.outline).buffer(1e-9).covers(shapely.Polygon(slim.outline))
    assert slimmer(punch, 0.5 * punch.nose_radius_mm) is None


@LAW
@pytest.mark.parametrize("punch", NECKED, ids=lambda punch: punch.id)
@pytest.mark.parametrize("by", [1.0, 12.0])
def test_deeper(punch: Punch, by: float) -> None:
    """The neck stands farther back, toe and clamp where they were."""
    deep = deeper(punch, by)
    assert deep is not None
    assert sound(deep)
    assert throat_mm(deep) == pytest.approx((throat_mm(punch) or 0.0) + by)
    assert near_tip(deep, 7.0).symmetric_difference(near_tip(punch, 7.0)).area < 1e-6
    top = [(x, y) for x, y in punch.outline if y == punch.height_mm]
    assert top == [(x, y) for x, y in deep.outline if y == punch.height_mm]


@LAW
def test_straight_punches_have_no_throat() -> None:
    """Nothing to deepen."""
    assert NECKED
    assert all(deeper(punch, 5.0) is None for punch in STRAIGHT)


@LAW
def test_lower_feet() -> None:
    """Only the feet of the end pieces; never higher than they are."""
    punch = SHOP.cabinet.punch("P1")
    low = with_low_feet(punch, 12.0)
    assert {piece.ear.foot_height_mm for piece in low.pieces if piece.ear} == {12.0}
    assert with_low_feet(punch, 40.0) == punch
    assert [piece.length_mm for piece in low.pieces] == [piece.length_mm for piece in punch.pieces]


@LAW
def test_lengths_of_a_drawer() -> None:
    """Two of 20 and one of 50: nine sums less the doubled ones."""
    pieces = (Piece(length_mm=20.0, count=2), Piece(length_mm=50.0))
    assert sums_mm(pieces, 1000.0) == pytest.approx([0.0, 20.0, 40.0, 50.0, 70.0, 90.0])
    assert sums_mm(pieces, 60.0) == pytest.approx([0.0, 20.0, 40.0, 50.0])
