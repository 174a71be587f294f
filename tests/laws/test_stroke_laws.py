"""Laws the stroke model must keep: limits with a known answer, scaling, monotony, and what it refuses."""

from dataclasses import fields, replace
from math import pi, radians

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bendwright.findings import OutOfRangeError
from bendwright.mechanics.air_bend import AirBend, StrokeState, stroke_curve
from bendwright.mechanics.flow_curve_fit import guessed_uniform_elongation, swift_from_tensile_test
from bendwright.mechanics.minimum_flange import minimum_flange_exact_mm
from bendwright.mechanics.moment_curvature import FlowCurve, hardening_moment_n
from bendwright.mechanics.section_law import plane_strain_ratio, section_law
from bendwright.mechanics.springback import gardiner_ratio
from bendwright.strip.section import bend_section

MILD = FlowCurve(law="swift", k_mpa=600.0, e0_or_b=0.010, n=0.18)
IDEAL = FlowCurve(law="swift", k_mpa=250.0, e0_or_b=0.010, n=0.0)
STEEL = {"youngs_modulus_mpa": 210000.0, "poisson": 0.3}
BEND = AirBend(thickness_mm=2.0, half_centre_mm=8.0, shoulder_radius_mm=2.0, nose_radius_mm=1.0, curve=MILD, **STEEL)


def at(law, curvature, column):
    """One column of a section law at a curvature."""
    return float(np.interp(curvature, law.curvature, getattr(law, column)))


@pytest.mark.origin("derived", "Hill: M = S t^2/4 whatever the curvature, S = 2 Y/sqrt 3, t the thickness left")
def test_ideally_plastic_section():
    """Without hardening only thinning changes the moment; fibres that turn from pressed to stretched cost 0.3 %."""
    curvatures = np.linspace(0.002, 1.2, 400)
    ratio = plane_strain_ratio()
    bent = bend_section(curvatures, 200, np.array([210000.0 / 0.91, ratio, 0.0, 250.0, 0.01, 0.0, 0.0]))
    moment, inside = bent[100:].T
    thickness = np.sqrt(inside**2 + 2.0 / curvatures[100:]) - inside
    assert moment / (ratio * 250.0 / 4.0 * thickness**2) == pytest.approx(np.ones(300), abs=0.003)


@pytest.mark.origin("law", "one curvature for every moment: past its peak the moment of a thinning sheet is held")
def test_moment_never_falls():
    """The law of a sheet that does not harden stays at its peak; the sheet above hardens up to r/t = 0.3."""
    for curve in (IDEAL, MILD):
        assert np.all(np.diff(section_law(curve=curve, **STEEL).moment_mpa) >= 0.0)


@pytest.mark.parametrize("curvature", [0.005, 0.02, 0.05, 0.1])
@pytest.mark.origin("derived", "limit of small strain: plane sections, neutral axis in the middle")
def test_small_strain_section(curvature):
    """The section law meets the plain moment of a hardening sheet within 0.5 % up to r/t = 10."""
    plain = hardening_moment_n(thickness_mm=1.0, curve_radius_mm=1.0 / curvature, curve=MILD, **STEEL)
    assert at(section_law(curve=MILD, **STEEL), curvature, "moment_mpa") == pytest.approx(plain, rel=0.005)


@pytest.mark.parametrize("radius_over_t", [20.0, 50.0, 100.0, 200.0])
@pytest.mark.origin("printed", "Gardiner, Trans. ASME 79 (1957), in plane strain")
def test_springback_of_a_section(radius_over_t):
    """Curvature left over curvature before, ideally plastic, against Gardiner's cubic."""
    law = section_law(curve=IDEAL, **STEEL)
    curvature = 1.0 / radius_over_t
    left = 1.0 - at(law, curvature, "moment_mpa") * at(law, curvature, "give") / curvature
    wanted = gardiner_ratio(radius_mm=radius_over_t, thickness_mm=1.0, yield_mpa=250.0, **STEEL)
    assert left == pytest.approx(wanted, abs=0.003)


@pytest.mark.parametrize("curvature", [0.2, 0.6, 1.0])
@pytest.mark.origin("law", "incompressible plane strain: area and length of the section keep their product")
def test_area_is_kept(curvature):
    """Mean radius times thickness times angle is the undeformed area; the sheet thins, the outside stretches more."""
    law = section_law(curve=MILD, **STEEL)
    inside, thickness = at(law, curvature, "inside_radius"), at(law, curvature, "thickness")
    assert (inside + thickness / 2.0) * thickness * curvature == pytest.approx(1.0, rel=0.003)
    assert 0.9 < thickness < 1.0


@pytest.mark.origin("derived", "Hill 1948 in plane strain: (1 + r)/sqrt(1 + 2 r)")
def test_anisotropy():
    """2/sqrt 3 for r = 1; r = 2 is 16 % stronger in bending."""
    assert plane_strain_ratio(normal_anisotropy=1.0) == pytest.approx(2.0 / 3.0**0.5)
    plain, strong = (section_law(curve=MILD, normal_anisotropy=r, **STEEL) for r in (1.0, 2.0))
    ratio = at(strong, 0.3, "moment_mpa") / at(plain, 0.3, "moment_mpa")
    assert ratio == pytest.approx((3.0 / 5.0**0.5 / (2.0 / 3.0**0.5)) ** 1.18, rel=0.02)


@pytest.mark.origin("derived", "beam on two supports, load in the middle: P = 48 E' I d / L^3, I = t^3/12 per width")
def test_first_elastic_stroke():
    """Before it yields the sheet is a beam between the shoulders."""
    bend = replace(BEND, thickness_mm=1.0, half_centre_mm=20.0, friction=0.0)
    curve = stroke_curve(bend)
    stiffness = 48.0 * 210000.0 / 0.91 / 12.0 / 40.0**3
    assert curve.force_n_per_mm[0] / curve.depth_mm[0] == pytest.approx(stiffness, rel=0.02)
    assert curve.relaxed_included_deg[0] == pytest.approx(180.0, abs=1e-9)


sheets = st.sampled_from(
    [
        (MILD, 210e3, 0.3),
        (FlowCurve(law="swift", k_mpa=1370.0, e0_or_b=0.020, n=0.40), 200e3, 0.3),
        (FlowCurve(law="voce", k_mpa=280.0, e0_or_b=8.0, yield_mpa=130.0), 70e3, 0.33),
        (FlowCurve(law="hollomon", k_mpa=530.0, n=0.44), 120e3, 0.34),
    ]
)
bends = st.builds(
    lambda sheet, t, v, nose, shoulder: AirBend(
        thickness_mm=t,
        half_centre_mm=v * t / 2.0,
        shoulder_radius_mm=shoulder * v * t,
        nose_radius_mm=nose * t,
        curve=sheet[0],
        youngs_modulus_mpa=sheet[1],
        poisson=sheet[2],
    ),
    sheets,
    st.floats(0.5, 12.0),
    st.floats(6.0, 20.0),
    st.floats(0.2, 1.2),
    st.floats(0.05, 0.15),
)


@settings(max_examples=40, deadline=None)
@given(bends)
@pytest.mark.origin("law", "a deeper punch bends more; energy is not created; nothing un-stretches under load")
def test_order_of_a_stroke(bend):
    """Depth rises, angles fall, springback, radius and force stay positive, the outer fibre never shrinks."""
    curve = stroke_curve(bend, to_included_deg=80.0)
    assert np.all(np.diff(curve.depth_mm) > 0.0)
    assert np.all(np.diff(curve.relaxed_included_deg) < 1e-9)
    assert np.all(curve.springback_deg > 0.0)
    assert np.all(curve.force_n_per_mm > 0.0)
    assert np.all(curve.inside_radius_mm > 0.0)
    assert np.all(np.diff(curve.outer_strain) >= -1e-12)
    assert np.all(curve.centre_thickness_mm <= bend.thickness_mm)
    assert curve.loaded_included_deg[-1] < 81.0


@settings(max_examples=20, deadline=None)
@given(bends, st.floats(0.3, 4.0))
@pytest.mark.origin("law", "similarity: lengths scale, angles stay, forces per width scale with length")
def test_scaling(bend, size):
    """Everything twice as large bends alike."""
    lengths = ("thickness_mm", "half_centre_mm", "shoulder_radius_mm", "nose_radius_mm")
    scaled = replace(bend, **{name: size * getattr(bend, name) for name in lengths})
    one, other = (stroke_curve(b, to_included_deg=80.0).for_loaded(included_deg=100.0) for b in (bend, scaled))
    assert other.depth_mm == pytest.approx(size * one.depth_mm, rel=1e-4)
    assert other.force_n_per_mm == pytest.approx(size * one.force_n_per_mm, rel=1e-3)
    assert other.relaxed_included_deg == pytest.approx(one.relaxed_included_deg, abs=1e-3)
    assert other.bend_deduction_mm == pytest.approx(size * one.bend_deduction_mm, rel=1e-3)


@pytest.mark.parametrize(
    ("change", "springback", "force"),
    [
        ({"curve": replace(MILD, k_mpa=660.0)}, 1, 1),
        ({"youngs_modulus_mpa": 190000.0}, 1, 0),
        ({"thickness_mm": 2.1}, -1, 1),
        ({"half_centre_mm": 10.0}, 1, -1),
        ({"friction": 0.2}, 0, 1),
    ],
)
@pytest.mark.origin("law", "signs: strength and opening spring more, stiffness and thickness less")
def test_signs(change, springback, force):
    """What a 90-degree bend does when one thing changes."""
    before, after = (stroke_curve(b).for_relaxed(included_deg=90.0) for b in (BEND, replace(BEND, **change)))
    if springback:
        assert springback * (after.springback_deg - before.springback_deg) > 0.02
    if force:
        assert force * (after.force_n_per_mm - before.force_n_per_mm) > 1.0


@pytest.mark.parametrize("included", [140.0, 120.0, 90.0, 70.0])
@pytest.mark.origin("law", "round trip: the depth that leaves an angle leaves it")
def test_round_trips(included):
    """Depth to angle and back, relaxed and loaded."""
    curve = stroke_curve(BEND)
    there = curve.for_relaxed(included_deg=included)
    back = curve.at_depth(depth_mm=there.depth_mm)
    assert back.relaxed_included_deg == pytest.approx(included, abs=0.01)
    again = curve.for_loaded(included_deg=there.loaded_included_deg)
    for field in fields(StrokeState):
        assert getattr(again, field.name) == pytest.approx(getattr(there, field.name), rel=2e-3, abs=2e-3)


@pytest.mark.origin(
    "derived", "straight leg from the mould line to the shoulder: leg of the exact geometry with the same radius"
)
def test_shortest_leg():
    """The leg that still holds on the die, against straight legs and an arc."""
    state = stroke_curve(BEND).for_loaded(included_deg=90.0)
    exact = minimum_flange_exact_mm(
        loaded_turned_deg=90.0,
        half_centre_mm=8.0,
        inside_radius_mm=state.inside_radius_mm,
        thickness_mm=2.0,
        shoulder_radius_mm=2.0,
    )
    assert state.leg_mm == pytest.approx(exact, rel=0.02)


@pytest.mark.origin(
    "derived",
    "work of the punch = stored and plastic work: integral of force over depth is the area under M over angle",
)
def test_force_peak_is_on_the_way():
    """The largest force comes long before 90 degrees and is remembered."""
    curve = stroke_curve(BEND)
    end = curve.for_relaxed(included_deg=90.0)
    assert curve.largest_force(depth_mm=end.depth_mm) > 1.1 * end.force_n_per_mm
    peak = curve.loaded_included_deg[int(np.argmax(curve.force_n_per_mm))]
    assert 110.0 < peak < 145.0


@pytest.mark.origin(
    "derived", "energy: depth x force against the plastic work of a hinge, 2/sqrt 3 flow t^2/4 per radian"
)
def test_work_of_the_stroke():
    """The punch's work up to 90 degrees lies between a hinge of yield strength and one of the strength at strain 0.4."""
    curve = stroke_curve(BEND)
    to_90 = curve.loaded_included_deg >= 90.0
    work = float(np.trapezoid(curve.force_n_per_mm[to_90], curve.depth_mm[to_90]))
    hinge = [2.0 / 3.0**0.5 * MILD.stress_mpa(plastic_strain=e) * 2.0**2 / 4.0 * radians(90.0) for e in (0.0, 0.4)]
    assert hinge[0] < work < hinge[1]
    assert work > pi / 2.0 * 400.0


@pytest.mark.parametrize("bend", [BEND, replace(BEND, thickness_mm=1.5, half_centre_mm=6.0, nose_radius_mm=0.8)])
@pytest.mark.origin("law", "what is left more bent was pushed deeper, from the first yield on")
def test_no_swing_where_the_sheet_begins_to_yield(bend):
    """Between the last elastic point and the first plastic ones depth and loaded angle keep their order."""
    states = [stroke_curve(bend).for_relaxed(included_deg=180.0 - turned) for turned in np.linspace(0.001, 6.0, 200)]
    assert np.all(np.diff([state.depth_mm for state in states]) > 0.0)
    assert np.all(np.diff([state.loaded_included_deg for state in states]) < 0.0)


@pytest.mark.parametrize(("half_centre", "shoulder", "nose"), [(9.7, 5.9, 3.6), (8.6, 4.0, 3.8), (7.2, 1.0, 6.0)])
@pytest.mark.origin("derived", "two arcs and their common inner tangent: length^2 = distance^2 - (sum of radii)^2")
def test_ends_before_it_squeezes(half_centre, shoulder, nose):
    """A wide nose in a tight die: the stroke ends while a thickness of sheet is free, and still springs back there."""
    curve = stroke_curve(replace(BEND, half_centre_mm=half_centre, shoulder_radius_mm=shoulder, nose_radius_mm=nose))
    height = 2.0 - curve.depth_mm + nose + shoulder
    free = np.sqrt(half_centre**2 + height**2 - (nose + 2.0 + shoulder) ** 2)
    assert 2.0 < free[-1] < 3.0
    assert curve.springback_deg.min() > 0.0
    with pytest.raises(OutOfRangeError) as refused:
        curve.for_loaded(included_deg=float(curve.loaded_included_deg[-1]) - 0.1)
    assert refused.value.findings[0].code == "R130"


@pytest.mark.parametrize(
    ("bend", "ask", "code"),
    [
        (BEND, {"included_deg": 180.5}, "R130"),
        (BEND, {"included_deg": 12.0}, "R130"),
        (replace(BEND, half_centre_mm=3.9), {"included_deg": 90.0}, "R131"),
        (replace(BEND, nose_radius_mm=100.0, half_centre_mm=4.2), {"included_deg": 90.0}, "R133"),
    ],
)
@pytest.mark.origin("law", "a question without an answer is a finding")
def test_refusals(bend, ask, code):
    """Angles out of reach, no room for the sheet, a nose that pinches."""
    with pytest.raises(OutOfRangeError) as refused:
        stroke_curve(bend).for_relaxed(**ask)
    assert refused.value.findings[0].code == code


@given(st.floats(100.0, 900.0), st.floats(1.05, 3.0), st.floats(0.02, 0.5))
@pytest.mark.origin("law", "Considere: the curve drawn from Rp, Rm, Ag gives them back")
def test_flow_curve_from_a_tensile_test(yield_mpa, over, elongation):
    """Yield at no strain, and the engineering stress peaks at Rm and Ag."""
    curve = swift_from_tensile_test(yield_mpa=yield_mpa, tensile_mpa=over * yield_mpa, uniform_elongation=elongation)
    strain = float(np.log1p(elongation))
    assert curve.stress_mpa(plastic_strain=0.0) == pytest.approx(yield_mpa, rel=1e-6)
    stress = curve.stress_mpa(plastic_strain=strain)
    assert stress / (1.0 + elongation) == pytest.approx(over * yield_mpa, rel=1e-6)
    assert curve.n == pytest.approx((curve.e0_or_b or 0.0) + strain, rel=1e-9)


@pytest.mark.origin("law", "no hardening can be drawn through equal strengths; the guess falls with their ratio")
def test_flow_curve_refusals():
    """Yield above tensile strength is a finding; the guessed elongation is 0.2 at 0.6."""
    with pytest.raises(OutOfRangeError) as refused:
        swift_from_tensile_test(yield_mpa=400.0, tensile_mpa=380.0, uniform_elongation=0.1)
    assert refused.value.findings[0].code == "R132"
    assert guessed_uniform_elongation(yield_mpa=240.0, tensile_mpa=400.0) == pytest.approx(0.2)
