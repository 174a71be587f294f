"""Cable tray 50-60-50: a narrow channel, the base a fit with a one-sided tolerance."""

from __future__ import annotations

import pytest
from bend_sums import UnderPunch, deduction, line_load, per_degree, sharp_margin
from stories import LENGTH_MM, TURN_DEG, part_of, plan_of, stroke_of

from bendwright.findings import NotPossibleError
from bendwright.plan.stacks import best_stack
from bendwright.shop.read import built_in_shop

TRAY = part_of("cable_tray")
NOMINAL = (("      tolerance: +0/-0.5\n", ""),)
PLAIN = part_of("cable_tray", *NOMINAL)
BEND = UnderPunch(t=1.5, radius=1.92, opening=12.0, shoulder=1.0, springback_deg=1.0)
JOB = {"tensile": "350", "brake_id": "M1", "die_id": "V12"}


@pytest.mark.origin("derived", "V12, R 1.92: BD 2.834; 160 - 2 BD = 154.33; base aimed at 59.75: 154.08")
def test_blank_at_the_middle_of_the_tolerance() -> None:
    """+0/-0.5 is aimed at -0.25."""
    assert deduction(t=1.5, radius=1.92) == pytest.approx(2.834, abs=0.001)
    assert plan_of(TRAY, "1.50", **JOB).blank.height_mm == pytest.approx(154.08, abs=LENGTH_MM)
    assert plan_of(PLAIN, "1.50", **JOB).blank.height_mm == pytest.approx(154.33, abs=LENGTH_MM)


@pytest.mark.parametrize(("part", "second"), [(TRAY, 58.33), (PLAIN, 58.58)])
@pytest.mark.origin("derived", "first leg 50 - BD/2 = 48.58 off its edge; then base - BD/2 off the outside of that leg")
def test_the_base_is_held_at_the_second_bend(part: object, second: float) -> None:
    """The error of the sheet goes into the second leg, not into the base."""
    plan = plan_of(part, "1.50", **JOB)  # type: ignore[arg-type]
    one, two = plan.strokes
    assert (one.gauging.kind, two.gauging.kind) == ("edge", "face")
    assert one.gauging.x_mm == pytest.approx(48.58, abs=LENGTH_MM)
    assert two.gauging.x_mm == pytest.approx(second, abs=LENGTH_MM)
    assert "leg2" not in two.gauging.takes_error


@pytest.mark.origin(
    "derived", "first leg at the back: the throat must look to the gauge; mounted straight it looks to the operator"
)
def test_the_gooseneck_hangs_turned() -> None:
    """Also with nothing wished."""
    plan = plan_of(TRAY, "1.50", tensile="350", brake_id="M1")
    second = plan.strokes[1]
    assert (second.punch_id, second.punch_turned, second.die_id) == ("P2", True, "V12")


@pytest.mark.origin(
    "derived", "corner (57, 48.5): 6.01 from the centre, 18 behind it the neck: 24 clear at 90, 0.65 less at 89"
)
def test_room_in_the_throat() -> None:
    """Height 74.6 above the corner, inside the throat (35 to 110)."""
    plan = plan_of(PLAIN, "1.50", **JOB)
    beside, high = BEND.corner(57.0, 48.5)
    assert 35.0 < high < 110.0
    assert beside + 18.0 == pytest.approx(sharp_margin(57.0, 48.5, -18.0) - per_degree(74.6), abs=0.05)
    assert plan.strokes[1].clearance.mm == pytest.approx(beside + 18.0, abs=0.03)


@pytest.mark.parametrize(("part", "base"), [(PLAIN, 57.0), (TRAY, 56.75)])
@pytest.mark.origin(
    "derived", "(57 - 48.5)/sqrt 2 - 7 = -0.99 at 90 degrees, -1.64 at 89 loaded; -1.17 and -1.81 for the aimed base"
)
def test_the_straight_punch_clashes_by_a_millimetre(part: object, base: float) -> None:
    """It looks fine in a sketch at 90 degrees and gets worse when over-bent."""
    overlap = -(BEND.corner(base, 48.5)[0] - 7.0)
    assert overlap == pytest.approx(-sharp_margin(base, 48.5, 7.0) + per_degree(74.6), abs=0.05)
    with pytest.raises(NotPossibleError) as caught:
        plan_of(part, "1.50", punch_id="P1", **JOB)  # type: ignore[arg-type]
    assert f"{overlap:.2f} mm into the punch P1" in str(caught.value)
    assert f"At least {overlap:.2f} mm must be gained" in str(caught.value)


@pytest.mark.origin(
    "derived", "48.60 outside at 90 with sharp corners; at 89 loaded (57.01 cos 45.5 - 7)/sin 45.5 + 1.5 = 47.70"
)
def test_the_tallest_leg_of_the_straight_punch() -> None:
    """A tenth below it passes with less than 0.2 mm, a tenth above it does not."""
    tallest = BEND.tallest(57.0, 7.0) + 1.5
    assert tallest == pytest.approx(47.70, abs=0.02)
    legs = "    - leg: 50\n    - leg: 60\n      fit: yes\n    - leg: 50\n"
    for leg, fits in ((tallest - 0.1, True), (tallest + 0.1, False)):
        part = part_of("cable_tray", *NOMINAL, (legs, legs.replace("leg: 50", f"leg: {leg:.3f}")))
        if fits:
            plan = plan_of(part, "1.50", punch_id="P1", **JOB)
            assert 0.0 < plan.strokes[1].clearance.mm < 0.2
            assert plan.strokes[1].clearance.verdict == "watch"
            continue
        with pytest.raises(NotPossibleError):
            plan_of(part, "1.50", punch_id="P1", **JOB)


@pytest.mark.origin("derived", "line load 87-98 kN/m of 350 (punch), 641 (60 % rule), 800 (die); 2 m: 175-197 kN")
def test_forces_and_limits() -> None:
    """Rm 350 from the certificate."""
    plan = plan_of(TRAY, "1.50", model="charts", **JOB)
    band = line_load(t=1.5, v=12.0, rm=350.0)
    for stroke in plan.strokes:
        assert (stroke.line_load_kn_per_m.low, stroke.line_load_kn_per_m.high) == pytest.approx(band, rel=0.01)
        assert (stroke.force_kn.low, stroke.force_kn.high) == pytest.approx((174.6, 196.9), rel=0.01)
        limits = {check.name: check.limit for check in stroke.loads}
        assert limits["machine line load"] == pytest.approx(641.0, abs=0.1)
        assert limits["die line load"] == 800.0
        assert limits["punch line load"] == 350.0
        assert all(check.verdict == "ok" for check in stroke.loads)
        assert stroke.loaded_included_deg == pytest.approx(89.0, abs=TURN_DEG)


@pytest.mark.origin(
    "derived", "835 + 835 + 300 + 20 + 10 = 2000 exactly; 835 + 835 + 300 + 40 = 2010 takes a piece less"
)
def test_the_stack() -> None:
    """The drawer can make 2000 to the millimetre; nothing stands at the ends, so the stack with fewer pieces hangs."""
    pieces = built_in_shop("saltmarsh").cabinet.punch("P2").pieces
    exact = best_stack(pieces, least_mm=2000.0)
    assert exact is not None
    assert exact.length_mm == pytest.approx(2000.0)
    (station,) = plan_of(TRAY, "1.50", **JOB).stations
    assert station.length_mm == pytest.approx(sum(piece.length_mm for piece in station.punch_pieces))
    assert station.length_mm >= 2000.0
    assert len(station.punch_pieces) < len(exact.pieces)


@pytest.mark.origin(
    "derived", "the first bend has 154 - 48.6 = 106 in front: whip 106.7 x 10 / 6 mm/s at the start = 0.18 m/s"
)
def test_whip_of_the_first_bend() -> None:
    """Edge speed at the start: both legs turn by half, d(depth)/d(half turn) = V/2, so reach x ram speed / (V/2)."""
    one = stroke_of(plan_of(PLAIN, "1.50", **JOB), plan_of(PLAIN, "1.50", **JOB).strokes[0].bend_id)
    assert one.whip_m_per_s == pytest.approx((154.33 - 48.58) * 10.0 / 6.0 / 1000.0, rel=0.01)
