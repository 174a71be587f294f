"""Die, punch and stroke of a bumped bend: the choice, the stroke model, and any solver in its place."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bendwright.mechanics.bump_bending import HitStroke
from bendwright.shop.read import built_in_shop
from bendwright.shop.sheet import Sheet
from bendwright.stroke.coned import Cone, cone_job
from bendwright.stroke.curved import Curve, curve_job
from bendwright.stroke.hit_tools import Division, HitMeans, closed_hit, hit_stroke, mechanics_hit, pick_die, pick_nose
from bendwright.validation.bend_points import bend_cases
from bendwright.validation.stroke_models import air_bend

SHOP = built_in_shop("saltmarsh")
VEES = tuple(die for die in SHOP.cabinet.dies if die.kind == "vee")
HOOD = Curve(inside_radius_mm=150.0, turned_deg=90.0, front_mm=60.0, back_mm=60.0, length_mm=1000.0)


def means(thickness, hit_model=mechanics_hit):
    """DC01 of that thickness on M1 with all vee dies."""
    return HitMeans(
        dies=VEES,
        punches=SHOP.cabinet.punches,
        sheet=Sheet(material=SHOP.materials["DC01"], nominal_thickness_mm=thickness),
        brake=SHOP.brakes["M1"],
        k_factor=0.5,
        hit_model=hit_model,
    )


@given(st.floats(1.0, 80.0), st.floats(0.5, 6.0))
@pytest.mark.origin("practice", "die about 2 x pitch; 5 t at least, 14 t at most")
def test_die(pitch, t):
    """No wider than 2 x pitch and 14 t where a die of 5 t allows it, and no wider die would do as well."""
    die = pick_die(VEES, pitch, t)
    wide = [other for other in VEES if other.opening_mm >= 5.0 * t]
    limit = min(2.1 * pitch, 14.0 * t)
    fitting = [other.opening_mm for other in wide if other.opening_mm <= limit]
    assert die.opening_mm == (max(fitting) if fitting else min(other.opening_mm for other in wide))


@pytest.mark.parametrize(("die_id", "radius", "nose"), [("V20", 150.0, 1.0), ("V25", 150.0, 6.0), ("V25", 3.0, 1.0)])
@pytest.mark.origin(
    "derived", "noses 0.5, 0.8, 1, 6 owned; V20: up to 5, V25: up to 6.25, never above the radius wanted"
)
def test_nose(die_id, radius, nose):
    """The roundest that the opening and the radius allow."""
    assert pick_nose(SHOP.cabinet.punches, SHOP.cabinet.die(die_id), radius).nose_radius_mm == nose


@pytest.mark.origin("law", "the solver put in is asked for the angle of one hit and its depth is the one listed")
def test_another_solver():
    """For a round bend and for a cone."""
    asked = []

    def solver_for(die, punch, sheet):
        def solve(turned_deg):
            asked.append((die.id, punch.id, sheet.thickness_mm, turned_deg))
            return HitStroke(turned_deg=turned_deg, loaded_turned_deg=2.0 * turned_deg, depth_mm=0.777)

        return solve

    hood = curve_job(HOOD, Division(hits=22), means(2.0, solver_for))
    assert {hit.depth_mm for hit in hood.hit_list} == {0.777}
    assert asked == [("V20", hood.tools.punch.id, 2.0, pytest.approx(90.0 / 22.0))]
    cone = Cone(small_radius_mm=100.0, large_radius_mm=160.0, height_mm=400.0, turned_deg=180.0)
    made = cone_job(cone, Division(step_deg=6.0), means(1.5, solver_for))
    assert {stroke.depth_large_mm for stroke in made.strokes} == {0.777}
    assert made.tools.stroke.share_kept == pytest.approx(0.5)


@settings(max_examples=40, deadline=None)
@given(st.floats(0.02, 1.0), st.floats(1.0, 4.0))
@pytest.mark.origin("law", "finer facets: more hits, smaller pitch, never a wider die; the blank stays")
def test_finer_facets(facet, t):
    """The flat length does not depend on how the arc is divided."""
    coarse = curve_job(HOOD, Division(facet_mm=facet), means(t))
    fine = curve_job(HOOD, Division(facet_mm=facet / 3.0), means(t))
    assert fine.hits > coarse.hits
    assert fine.pitch_mm < coarse.pitch_mm
    assert fine.tools.die.opening_mm <= coarse.tools.die.opening_mm
    assert fine.blank_mm == pytest.approx(coarse.blank_mm)
    assert fine.facet_mm <= facet / 3.0 * (1.0 + 1e-9)


def sheet_of(name, thickness):
    """A sheet of the demo shop."""
    return Sheet(material=SHOP.materials[name], nominal_thickness_mm=thickness)


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(["DC01", "S355J2", "1.4301", "EN AW-5754 H111"]), st.floats(1.0, 12.0), st.floats(1.0, 1.6))
@pytest.mark.origin("law", "larger hits go deeper and keep a larger share")
def test_stroke_of_a_hit(name, turned, t):
    """The angle left is the one asked for; the source names the flow curve."""
    solve = mechanics_hit(SHOP.cabinet.die("V12"), SHOP.cabinet.punches[0], sheet_of(name, t))
    hit, more = solve(turned), solve(1.5 * turned)
    assert hit.turned_deg == turned
    assert hit.source.startswith("stroke model, flow curve")
    assert more.depth_mm > hit.depth_mm > 0.0
    assert more.share_kept > hit.share_kept > 0.0


@pytest.mark.origin("law", "two models of one bend answer alike in size; the closed one springs back more")
def test_both_models_stand_side_by_side():
    """The rival is the closed model's own answer; with the closed model put in there is none, and nothing else changes."""
    ours, closed = (curve_job(HOOD, Division(hits=22), means(2.0, way)) for way in (mechanics_hit, closed_hit))
    assert ours.tools.rival == closed.tools.stroke
    assert closed.tools.rival is None
    assert 1.0 < ours.tools.rival.springback_deg / ours.tools.stroke.springback_deg < 1.25
    assert [hit.x_mm for hit in ours.hit_list] == [hit.x_mm for hit in closed.hit_list]
    assert ours.blank_mm == closed.blank_mm


@pytest.mark.origin("law", "no room between the shoulders for the sheet: the closed model answers, and says so")
def test_where_the_stroke_model_has_no_answer():
    """Sheet of 3 mm in a die of 6 mm."""
    die, punch, sheet = SHOP.cabinet.die("V6"), SHOP.cabinet.punches[0], sheet_of("DC01", 3.0)
    hit = mechanics_hit(die, punch, sheet)(4.0)
    assert hit.depth_mm == closed_hit(die, punch, sheet)(4.0).depth_mm
    assert hit.source.startswith("closed model")
    assert "the stroke model has no answer: Between the die shoulders" in hit.source


def small_bends():
    """Every finite-element bend left turned by 30 degrees or less."""
    return [
        pytest.param(case, point, id=f"{case.name} at {point.depth_mm:g}")
        for case in bend_cases()
        for point in case.points
        if point.relaxed_turned_deg <= 30.0
    ]


@pytest.mark.parametrize(("case", "point"), small_bends())
@pytest.mark.origin("derived", "finite elements of a general-purpose solver, `benchmarks/finite_elements`")
def test_small_bends_by_finite_elements(case, point):
    """Springback within 2 %, depth for the same angle within 2 %."""
    hit = hit_stroke(air_bend(case), turned_deg=point.relaxed_turned_deg)
    assert hit.springback_deg == pytest.approx(point.springback_deg, rel=0.02)
    assert hit.depth_mm == pytest.approx(point.depth_mm, rel=0.02)
