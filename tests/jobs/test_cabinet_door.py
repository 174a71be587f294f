"""Cabinet door 1800 x 600: four flanges with returns, a stack between the long returns, two persons."""

from __future__ import annotations

import re

import pytest
from bend_sums import UnderPunch, deduction, line_load, per_degree, sharp_margin
from stories import (
    LENGTH_MM,
    SHOP,
    TURN_DEG,
    check_of,
    order_of,
    part_of,
    plan_of,
    prepared,
    sheet_for,
    stroke_of,
)

from bendwright.findings import NotPossibleError
from bendwright.job import Wishes, check_order

DOOR = part_of("cabinet_door")
DOOR_20_15 = part_of(
    "cabinet_door", ("leg: 25", "leg: 20"), ("leg: 12", "leg: 15"), ("left: 13", "left: 16"), ("right: 13", "right: 16")
)
BEND = UnderPunch(t=1.5, radius=1.92, opening=12.0, shoulder=1.0, springback_deg=1.0)
JOB = {"tensile": "330", "brake_id": "M1", "die_id": "V12"}
LONG_FLANGES, SHORT_FLANGES = {"b1", "b2"}, {"b3", "b4"}
LONG_RETURNS, SHORT_RETURNS = {"b5", "b6"}, {"b7", "b8"}
RETURN_OF = {"b1": "b5", "b2": "b6", "b3": "b7", "b4": "b8"}


@pytest.mark.origin(
    "derived",
    "V12, R 1.92: BD 2.834; 1800 + 74 - 4 BD = 1862.66, 600 + 74 - 4 BD = 662.66; X return 12 - BD/2, flange 25 - BD/2",
)
def test_blank_and_gauge() -> None:
    """Returns off the free edge, flanges off the return's outer face."""
    assert deduction(t=1.5, radius=1.92) == pytest.approx(2.834, abs=0.001)
    plan = plan_of(DOOR, "1.50", **JOB)
    assert (plan.blank.width_mm, plan.blank.height_mm) == pytest.approx((1862.66, 662.66), abs=LENGTH_MM)
    for bend in sorted(LONG_RETURNS | SHORT_RETURNS):
        assert stroke_of(plan, bend).gauging.x_mm == pytest.approx(10.58, abs=LENGTH_MM)
        assert stroke_of(plan, bend).gauging.kind == "edge"
    for bend in sorted(LONG_FLANGES | SHORT_FLANGES):
        assert stroke_of(plan, bend).gauging.x_mm == pytest.approx(23.58, abs=LENGTH_MM)
        assert stroke_of(plan, bend).gauging.kind == "face"


@pytest.mark.origin("derived", "every return before its flange, all long bends before the short flanges")
def test_order() -> None:
    """The short sides come last: the long ones would need an eared stack between 1797 walls that the drawer cannot make."""
    order = order_of(plan_of(DOOR, "1.50", **JOB))
    for flange, back in RETURN_OF.items():
        assert order.index(back) < order.index(flange)
    assert max(order.index(bend) for bend in LONG_FLANGES) < min(order.index(bend) for bend in SHORT_FLANGES)


@pytest.mark.origin(
    "derived",
    "short sides 597 inside: 595 = 300 + 100 + 100 + 50 + 20 + 15 + 10 with ears; long ones 835 + 835 + 200 = 1870; 2465 + gap of 3100",
)
def test_stations() -> None:
    """An eared stack 1.0 short of the walls on either side, a plain one for the long sides, both on the bed at once."""
    plan = plan_of(DOOR, "1.50", **JOB)
    lengths = sorted(station.length_mm for station in plan.stations)
    assert lengths == [595.0, 1870.0]
    short = next(station for station in plan.stations if station.length_mm == 595.0)
    ends = (short.punch_pieces[0].label, short.punch_pieces[-1].label)
    assert {"100 ear left", "100 ear right"} == set(ends)
    assert sorted(piece.length_mm for piece in short.punch_pieces) == [10.0, 15.0, 20.0, 50.0, 100.0, 100.0, 300.0]
    left, right = sorted(plan.stations, key=lambda station: station.left_end_z_mm)
    assert left.left_end_z_mm >= 0.0
    assert left.left_end_z_mm + left.length_mm < right.left_end_z_mm
    assert right.left_end_z_mm + right.length_mm <= 3100.0
    for bend in SHORT_FLANGES:
        room = check_of(stroke_of(plan, bend).checks, "end clearance")
        assert room.value == pytest.approx(1.0, abs=LENGTH_MM)


@pytest.mark.origin(
    "derived",
    "set-up 600 + 2 x 240 + 30 a piece; 835+835+200 over 3 x 835 and 7 pieces over 300+200+100: 16 pieces, 1560 s",
)
def test_set_up_is_not_dearer_than_by_hand() -> None:
    """A setter hangs all of it with one punch type: 3 + 3 + 7 + 3 pieces."""
    assert plan_of(DOOR, "1.50", **JOB).times.setup_s <= 1560.0


@pytest.mark.origin(
    "derived", "corner (22, 10.5): (22 - 10.5)/sqrt 2 - 7 = 1.13 at 90, 0.95 at 89 with its height 23 x pi/360"
)
def test_the_return_passes_the_slim_punch() -> None:
    """Just: the sharp sum less a fifth of a millimetre for the over-bend; it is a watch."""
    room = BEND.corner(22.0, 10.5)[0] - 7.0
    assert room == pytest.approx(sharp_margin(22.0, 10.5, 7.0) - per_degree(23.0), abs=0.05)
    plan = plan_of(DOOR, "1.50", **JOB)
    for bend in sorted(LONG_FLANGES):
        stroke = stroke_of(plan, bend)
        assert stroke.punch_id == "P1"
        assert stroke.clearance.mm == pytest.approx(room, abs=0.03)
        assert stroke.clearance.verdict == "watch"
        assert stroke.clearance.part_piece.endswith(".far")


@pytest.mark.origin(
    "derived",
    "20/15: corner (17, 13.5): 2.47 against 7 at 90 (-4.53), 2.29 at 89 (-4.71); flange first: panel 597 on leg 17, beyond any throat",
)
def test_20_15_is_refused_with_its_millimetres() -> None:
    """The smallest gain that would let some order work is that of the flange over its own return; the short sides' ears
    (20 high under a return 17 above the sheet) lack a little less.
    """
    overlap = 7.0 - BEND.corner(17.0, 13.5)[0]
    assert overlap == pytest.approx(-sharp_margin(17.0, 13.5, 7.0) + per_degree(21.6), abs=0.05)
    with pytest.raises(NotPossibleError) as caught:
        plan_of(DOOR_20_15, "1.50", punch_id="P1", **JOB)
    text = str(caught.value)
    assert f"{overlap:.2f} mm into the punch P1" in text
    assert f"At least {overlap:.2f} mm must be gained" in text


@pytest.mark.origin(
    "derived",
    "the gooseneck's neck passes the return, but under a return 17 above the sheet no ear foot 20 high finds room",
)
def test_20_15_is_not_possible_with_this_cabinet() -> None:
    """Neither with the tool left free."""
    with pytest.raises(NotPossibleError, match="must be gained"):
        plan_of(DOOR_20_15, "1.50", tensile="330", brake_id="M1", die_id="V12")


@pytest.mark.origin(
    "derived", "ear feet 595 between returns 600 - 2 x 12 = 576 apart: 9.5 a side caught; inward by 9.5 + 1.0 or tilt"
)
def test_the_ears_are_trapped_under_the_long_returns() -> None:
    """After the short sides' bends the foot cannot rise straight out."""
    found = prepared(DOOR, "1.50", punch_id="P1", **JOB)
    caught = [finding for finding in found.findings if finding.code == "K105"]
    long_done = max(stroke.number for stroke in found.plan.strokes if stroke.bend_id in LONG_FLANGES)
    short = [stroke for stroke in found.plan.strokes if stroke.bend_id in SHORT_FLANGES | SHORT_RETURNS]
    strokes = {stroke.number for stroke in short if stroke.number > long_done}
    assert {int(re.search(r"stroke (\d+)", finding.where).group(1)) for finding in caught} == strokes  # type: ignore[union-attr]
    for finding in caught:
        assert "9.5 mm per side" in finding.sentence
        assert "10.5 mm" in finding.cure


@pytest.mark.origin("law", "what the plan does is not refused in the same breath")
def test_no_refusal_contradicts_the_plan() -> None:
    """No sentence says of the last bend made that it cannot come last."""
    plan = plan_of(DOOR, "1.50", **JOB)
    assert order_of(plan)[-1] not in {item.bend_id for item in plan.refused}
    assert plan.refused


@pytest.mark.origin(
    "derived",
    "b1 or b2 last would need an eared stack of at most 1795; 835 + 835 + 100 + 100 = 1870 is the shortest over 1670",
)
def test_long_flanges_cannot_be_last() -> None:
    """Held against the same tables."""
    order = ("b5", "b6", "b7", "b8", "b3", "b4", "b2", "b1")
    verdict = check_order(
        DOOR, sheet_for(DOOR, "1.50", tensile="330"), SHOP, order, Wishes(brake_id="M1", die_id="V12")
    )
    assert not verdict.works


@pytest.mark.origin(
    "derived", "148-167 kN on the 1793 really bent at 82.3-92.8 kN/m; least leg 8.5 of 12; 14.5 kg, two persons"
)
def test_force_flange_and_mass() -> None:
    """1800 less the two set-backs 3.42 at either end."""
    plan = plan_of(DOOR, "1.50", model="charts", **JOB)
    band = line_load(t=1.5, v=12.0, rm=330.0)
    stroke = stroke_of(plan, "b1")
    length = 1800.0 - 2.0 * (1.92 + 1.5)
    assert stroke.force_kn.low == pytest.approx(band[0] * length / 1000.0, rel=0.01)
    assert stroke.force_kn.high == pytest.approx(band[1] * length / 1000.0, rel=0.01)
    assert (band[0] * 1.8, band[1] * 1.8) == pytest.approx((148.0, 167.0), rel=0.01)
    assert stroke.loaded_included_deg == pytest.approx(89.0, abs=TURN_DEG)
    leg = check_of(stroke_of(plan, "b5").checks, "minimum flange")
    assert (leg.value, leg.limit) == pytest.approx((12.0, 6.0 / 0.70091), abs=LENGTH_MM)
    assert plan.mass_kg == pytest.approx(14.5, abs=0.05)
    assert any("two persons" in caution for caution in plan.cautions)


@pytest.mark.origin(
    "derived",
    "at the start the edge moves at reach x ram speed / (V/2): 630 in front 1.05 m/s, 1.85 m in front 3.1 m/s at 10 mm/s",
)
def test_whip() -> None:
    """Slow bending speed, supports, a second person."""
    found = prepared(DOOR, "1.50", **JOB)
    long = stroke_of(found.plan, "b2")
    short = max((stroke_of(found.plan, bend) for bend in ("b7", "b8")), key=lambda stroke: stroke.whip_m_per_s)
    assert long.whip_m_per_s == pytest.approx(1.05, abs=0.06)
    assert short.whip_m_per_s == pytest.approx(3.1, abs=0.05)
    assert any(f"{short.whip_m_per_s:.2f} m/s" in caution for caution in found.plan.cautions)
