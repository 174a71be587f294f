"""Stair tread: two down flanges in chequer plate, pattern up, holes near the bend."""

from __future__ import annotations

import pytest
from bend_sums import UnderPunch, deduction, line_load, shortest_leg
from stories import DEPTH_MM, LENGTH_MM, TURN_DEG, check_of, part_of, plan_of, prepared, sentences

TREAD = part_of("stair_tread")
JOB = {"tensile": "430", "brake_id": "M1"}
CASES = [
    pytest.param(None, 5.12, 324.88, 41.22, 2.38, 23.62, id="natural radius"),
    pytest.param("P6", 5.12, 324.88, 41.22, 2.38, 23.62, id="P6, nose 1"),
    pytest.param("P4", 6.0, 324.13, 41.03, 1.50, 24.50, id="P4, nose 6"),
]


@pytest.mark.parametrize(("punch", "radius", "width", "x", "clear", "centre"), CASES)
@pytest.mark.origin(
    "derived",
    "V32, R = 0.16 V = 5.12 (BD 7.559) or the nose 6 (BD 7.936): 340 - 2 BD, 45 - BD/2, 18 - 6.5 - R - 4, 6.5 + 8 + R + 4",
)
def test_the_nose_that_is_rounder_than_the_air_bend(
    punch: str | None, radius: float, width: float, x: float, clear: float, centre: float
) -> None:
    """Blank, gauge and hole follow the radius really made: 0.16 V, or a nose larger than that."""
    bd = deduction(t=4.0, radius=radius)
    found = prepared(TREAD, "4.0", punch_id=punch, **JOB)
    plan = found.plan
    assert plan.blank.height_mm == pytest.approx(340.0 - 2.0 * bd, abs=LENGTH_MM)
    assert (plan.blank.width_mm, plan.blank.height_mm) == pytest.approx((900.0, width), abs=LENGTH_MM)
    assert {stroke.die_id for stroke in plan.strokes} == {"V32"}
    for stroke in plan.strokes:
        assert stroke.inside_radius_mm == pytest.approx(radius, abs=1e-9)
        assert stroke.gauging.x_mm == pytest.approx(x, abs=LENGTH_MM)
    holes = [finding for finding in found.findings if finding.code == "M102"]
    assert holes
    for hole in holes:
        assert f"{clear:.2f} mm ({clear / 4.0:.1f} t)" in hole.sentence
        assert f"{centre:.2f} mm" in hole.cure


@pytest.mark.origin(
    "derived",
    "natural radius 5.12: noses up to that; 60-88 degree punches may go to 89 loaded; 600 kN/m and more carry 323",
)
def test_a_plain_straight_punch_is_taken() -> None:
    """Nothing asks for the heavy one."""
    plan = plan_of(TREAD, "4.0", **JOB)
    assert {stroke.punch_id for stroke in plan.strokes} <= {"P1", "P6"}
    assert len(plan.stations) == 1


@pytest.mark.origin("derived", "286-322 kN/m, 0.9 m: 257-290 kN; limits 641 (60 % rule), 1200 (die)")
def test_forces() -> None:
    """Base thickness 4 counts, not the rib."""
    plan = plan_of(TREAD, "4.0", model="charts", **JOB)
    band = line_load(t=4.0, v=32.0, rm=430.0)
    bend = UnderPunch(t=4.0, radius=5.12, opening=32.0, shoulder=3.0, springback_deg=1.0)
    for stroke in plan.strokes:
        assert (stroke.line_load_kn_per_m.low, stroke.line_load_kn_per_m.high) == pytest.approx(band, rel=0.01)
        assert (stroke.force_kn.low, stroke.force_kn.high) == pytest.approx((257.4, 290.3), rel=0.01)
        assert check_of(stroke.loads, "machine line load").limit == pytest.approx(641.0, abs=0.1)
        assert check_of(stroke.loads, "die line load").limit == 1200.0
        assert stroke.loaded_included_deg == pytest.approx(89.0, abs=TURN_DEG)
        assert stroke.depth_mm == pytest.approx(bend.depth, abs=DEPTH_MM)


@pytest.mark.origin(
    "derived",
    "shortest leg 32/(2 sin 44.5) = 22.83 under load (22.6 at 90) of 45; mass 4 x 900 x 324.88 less four holes 13, 7.85: 9.16 kg",
)
def test_flange_and_mass() -> None:
    """One person can carry it."""
    plan = plan_of(TREAD, "4.0", **JOB)
    for stroke in plan.strokes:
        flange = check_of(stroke.checks, "minimum flange")
        assert flange.value == pytest.approx(45.0, abs=LENGTH_MM)
        assert flange.limit == pytest.approx(shortest_leg(v=32.0, included_deg=89.0), abs=LENGTH_MM)
        assert flange.verdict == "ok"
    holes = 4.0 * 3.141592653589793 * 6.5**2
    assert plan.mass_kg == pytest.approx((900.0 * 324.88 - holes) * 4.0 * 7.85e-6, rel=1e-3)
    assert not any("two persons" in caution for caution in plan.cautions)


@pytest.mark.origin("law", "down bends are made with the bottom face up")
def test_the_pattern_faces_the_die() -> None:
    """Both flanges go down: the sheet is laid bottom side up once and never turned over, only turned round."""
    plan = plan_of(TREAD, "4.0", **JOB)
    assert {stroke.direction for stroke in plan.strokes} == {"down"}
    assert "bottom side up" in plan.strokes[0].handling.text
    assert not plan.strokes[1].handling.flip
    assert plan.strokes[1].handling.turn_deg == pytest.approx(180.0)


@pytest.mark.origin(
    "derived", "nearest edge 18 - 6.5 = 11.5 from the outside, bend line 45 - 41.22 = 3.78 from it: 7.72 < V/2 = 16"
)
def test_the_holes_lie_over_the_die_opening() -> None:
    """They go oval even where 2 t would be kept."""
    over = sentences(prepared(TREAD, "4.0", **JOB), "M104")
    assert over
    assert all("7.72 mm" in sentence and "16.0 mm" in sentence for sentence in over)
