"""Instrument rail 15-40-80-40-15: the order decides, and a narrower base cannot be made at all."""

from __future__ import annotations

import pytest
from bend_sums import UnderPunch, deduction, line_load, per_degree, sharp_margin
from stories import DEPTH_MM, LENGTH_MM, SHOP, TURN_DEG, order_of, part_of, plan_of, sheet_for, stroke_of

from bendwright.findings import NotPossibleError
from bendwright.job import OrderCheck, Wishes, check_order
from bendwright.part.bend_size import fixed_size
from bendwright.part.blank import make_blank

RAIL = part_of("instrument_rail")
RAIL_50 = part_of("instrument_rail", ("[15, 40, 80, 40, 15]", "[15, 40, 50, 40, 15]"))
BEND = UnderPunch(t=2.0, radius=2.56, opening=16.0, shoulder=1.5, springback_deg=1.0)
JOB = {"tensile": "410", "brake_id": "M1"}


def _checked(*order: str) -> OrderCheck:
    return check_order(RAIL, sheet_for(RAIL, "2.00", tensile="410"), SHOP, order, Wishes(brake_id="M1"))


@pytest.mark.origin("derived", "V16, R 2.56, K 0.42: BD 3.779; 190 - 4 BD = 174.88; lines at 15 - BD/2, + 40 - BD, ...")
def test_blank_and_bend_lines() -> None:
    """Bend lines from one edge at 13.11, 49.33, 125.55 and 161.77."""
    plan = plan_of(RAIL, "2.00", **JOB)
    assert deduction(t=2.0, radius=2.56) == pytest.approx(3.779, abs=0.001)
    assert (plan.blank.width_mm, plan.blank.height_mm) == pytest.approx((1200.0, 174.88), abs=LENGTH_MM)
    assert sorted(line.start[1] for line in plan.blank.bend_lines) == pytest.approx(
        [13.11, 49.33, 125.55, 161.77], abs=LENGTH_MM
    )


@pytest.mark.origin("derived", "lip 15 - BD/2 = 13.11 off the edge, wall 40 - BD/2 = 38.11 off the lip's outer face")
def test_gauge_positions() -> None:
    """The wall is gauged on the lip already standing, never on the blank's edge."""
    plan = plan_of(RAIL, "2.00", **JOB)
    for lip, wall in (("b1", "b2"), ("b4", "b3")):
        assert stroke_of(plan, lip).gauging.x_mm == pytest.approx(13.11, abs=LENGTH_MM)
        assert stroke_of(plan, lip).gauging.kind == "edge"
        assert stroke_of(plan, wall).gauging.x_mm == pytest.approx(38.11, abs=LENGTH_MM)
        assert stroke_of(plan, wall).gauging.kind == "face"


@pytest.mark.origin("derived", "lips before their walls; one turn, three gauge moves: 20 + 4 x 18 + 4 + 3 x 2 = 102 s")
def test_lips_before_walls_and_the_sum_of_the_handling() -> None:
    """Several orders share the least sum (turn once and move the gauge thrice, or turn twice and move it once)."""
    plan = plan_of(RAIL, "2.00", **JOB)
    order = order_of(plan)
    assert sorted(order) == ["b1", "b2", "b3", "b4"]
    assert order.index("b1") < order.index("b2")
    assert order.index("b4") < order.index("b3")
    assert plan.times.cycle_s == pytest.approx(102.0)
    assert _checked("b4", "b1", "b2", "b3").works


@pytest.mark.origin("derived", "the straight punch passes; gooseneck not needed, it carries 350 against 600 kN/m")
def test_tools() -> None:
    """V16 = 8 t; lip 15 against the shortest leg 11.4 under load."""
    plan = plan_of(RAIL, "2.00", **JOB)
    assert {(s.punch_id, s.die_id) for s in plan.strokes} == {("P1", "V16")}
    assert len(plan.stations) == 1
    assert plan.stations[0].length_mm >= 1200.0


@pytest.mark.origin("derived", "line load 136.3-153.8 kN/m, 1.2 m: 163.6-184.5 kN; depth and angle by the closed form")
def test_force_depth_and_angles() -> None:
    """All four bends alike."""
    band = line_load(t=2.0, v=16.0, rm=410.0)
    for stroke in plan_of(RAIL, "2.00", model="charts", **JOB).strokes:
        assert (stroke.line_load_kn_per_m.low, stroke.line_load_kn_per_m.high) == pytest.approx(band, rel=0.01)
        assert (stroke.force_kn.low, stroke.force_kn.high) == pytest.approx((163.6, 184.5), rel=0.01)
        assert stroke.loaded_included_deg == pytest.approx(89.0, abs=TURN_DEG)
        assert stroke.depth_mm == pytest.approx(BEND.depth, abs=DEPTH_MM)


@pytest.mark.origin(
    "derived", "far lip corner (63, 38): 17.68 - 7 = 10.68 at 90; own lip corner (36, 13): 16.26 - 7 = 9.26, the nearer"
)
def test_closing_clearance() -> None:
    """Two corners come near the punch at the last wall: the far lip's at 71.4 high, and that of the lip on the wall being
    bent, 34.6 high. Each loses its height x pi/360 for the degree of over-bend; the second stays the nearer.
    """
    far, own = BEND.corner(63.0, 38.0)[0] - 7.0, BEND.corner(36.0, 13.0)[0] - 7.0
    assert far == pytest.approx(sharp_margin(63.0, 38.0, 7.0) - per_degree(71.4), abs=0.05)
    assert own == pytest.approx(sharp_margin(36.0, 13.0, 7.0) - per_degree(34.6), abs=0.05)
    plan = plan_of(RAIL, "2.00", **JOB)
    last = plan.strokes[-1]
    assert last.clearance.mm == pytest.approx(min(far, own), abs=0.03)
    assert last.clearance.verdict == "ok"
    assert last.clearance.at_turned_deg == pytest.approx(91.0, abs=0.1)


@pytest.mark.origin(
    "derived",
    "at a lip with both walls up the base 76 on the wall 36 stands (36 - 76)/sqrt 2 = -28, the neck is at -18",
)
def test_walls_first_is_refused_with_its_millimetres() -> None:
    """No tool of the cabinet reaches behind: more than the 10.3 between the neck and the base's corner, square to it 7."""
    for order in (("b2", "b3", "b1", "b4"), ("b3", "b2", "b4", "b1")):
        verdict = _checked(*order)
        assert not verdict.works
        assert verdict.refused is not None
        assert verdict.refused.bend_id == order[2]
        assert verdict.refused.mm is not None
        assert verdict.refused.mm < -(28.28 - 18.0) / 2.0**0.5
        assert f"{-verdict.refused.mm:.2f} mm" in verdict.sentence


@pytest.mark.origin(
    "derived",
    "base 50: corner (33, 38) -3.5 from the centre: far lip in any straight punch; own lip in the gooseneck's neck",
)
def test_base_50_is_not_possible_with_this_cabinet() -> None:
    """At the last wall the far lip corner is at (33 - 38)/sqrt 2 = -3.54, a body of 7 is missed by 10.5. The gooseneck
    passes it, but the corner of the lip on the wall being bent stands on the other side, inside its neck.
    """
    for brake_id in ("M1", "M2", "M3"):
        with pytest.raises(NotPossibleError) as caught:
            plan_of(RAIL_50, "2.00", tensile="410", brake_id=brake_id, die_id="V16")
        text = str(caught.value)
        assert "mm into the punch" in text
        assert "must be gained" in text
    with pytest.raises(NotPossibleError) as caught:
        plan_of(RAIL_50, "2.00", punch_id="P1", die_id="V16", **JOB)
    overlap = 7.0 - BEND.corner(33.0, 38.0)[0]
    assert overlap == pytest.approx(10.54 + per_degree(50.2), abs=0.05)
    assert f"{overlap:.2f} mm into the punch P1" in str(caught.value)


@pytest.mark.origin(
    "derived", "true BD 0.20 larger: lips 15 + 0.1, walls 40 + 0.1, base 80 + 0.4 if the blank was cut for the smaller"
)
def test_an_error_in_the_deduction_ends_in_the_base() -> None:
    """The blank is 174.88 all the same; with BD 3.979 the lips and walls gauged at X + BD/2 come out 0.10 long. The base
    is what is left of the blank: 174.88 + 4 BD - 2 x 15.1 - 2 x 40.1 = 80.40.
    """
    plan = plan_of(RAIL, "2.00", **JOB)
    bd = deduction(t=2.0, radius=2.56) + 0.20
    lip = stroke_of(plan, "b1").gauging.x_mm + bd / 2.0
    wall = stroke_of(plan, "b2").gauging.x_mm + bd / 2.0
    assert (lip, wall) == pytest.approx((15.10, 40.10), abs=LENGTH_MM)
    base = plan.blank.height_mm + 4.0 * bd - 2.0 * lip - 2.0 * wall
    assert base == pytest.approx(80.40, abs=LENGTH_MM)


@pytest.mark.origin("law", "the blank of the plan is the blank of its own sizes")
def test_the_plans_blank_is_that_of_its_radius_and_k() -> None:
    """Sizes put in by hand give the same length."""
    sizes = {bend.id: fixed_size(bend, inside_radius_mm=2.56, k_factor=0.42, thickness_mm=2.0) for bend in RAIL.bends}
    blank = make_blank(RAIL, sizes, thickness_mm=2.0)
    assert blank.height_mm == pytest.approx(plan_of(RAIL, "2.00", **JOB).blank.height_mm, abs=1e-6)
