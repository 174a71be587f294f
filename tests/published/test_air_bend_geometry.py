"""Depth, sensitivity and shortest flange of an air bend: closed forms, and the b/V column of printed trade charts."""

from math import cos, pi, radians, sin, tan

import pytest

from bendwright.mechanics.minimum_flange import margin_mm, minimum_flange_exact_mm, minimum_flange_mm
from bendwright.mechanics.ram_depth import (
    apex_arm_mm,
    contact_arm_mm,
    half_centre_distance_mm,
    mm_per_degree,
    ram_depth_mm,
    sharp_degrees_per_0p1mm_thickness,
    sharp_depth_mm,
    sharp_mm_per_degree,
)

DIE = {"opening_mm": 16.0, "die_angle_deg": 88.0, "shoulder_radius_mm": 2.0}
ARCS = half_centre_distance_mm(**DIE, opening_measured="arc_tangents")
CORNERS = half_centre_distance_mm(**DIE, opening_measured="sharp_corners")
BEND = {"loaded_turned_deg": 90.0, "inside_radius_mm": 2.6, "thickness_mm": 2.0, "shoulder_radius_mm": 2.0}


@pytest.mark.parametrize(
    ("half_centre", "depth", "arm", "flange", "deg_per_mm"),
    [(ARCS, 5.2662, 4.714, 9.314, -17.2), (CORNERS, 6.1151, 5.914, 10.51, -13.7)],
)
@pytest.mark.origin(
    "derived", "V 16, t 2, ri 2.6, rd 2, 90 degrees; V between arc tangents, then between sharp corners"
)
def test_the_two_meanings_of_one_opening(half_centre, depth, arm, flange, deg_per_mm):
    """8 - 6.6 (sqrt2 - 1) = 5.266; 8 + 2 tan 23 = 8.849 moves the depth by 0.85 mm."""
    place = {**BEND, "half_centre_mm": half_centre}
    assert ram_depth_mm(**place) == pytest.approx(depth, abs=0.001)
    assert contact_arm_mm(**place) == pytest.approx(arm, abs=0.001)
    assert minimum_flange_exact_mm(**place) == pytest.approx(flange, abs=0.005)
    assert -1.0 / mm_per_degree(**place) == pytest.approx(deg_per_mm, abs=0.05)


@pytest.mark.parametrize(("die", "turned", "over_v"), [(88.0, 90.0, 0.66), (60.0, 120.0, 0.93), (30.0, 150.0, 1.84)])
@pytest.mark.origin("derived", "V 16 between sharp corners of a die for the angle, t 2, ri 2.6, rd 2")
def test_flange_with_radii_at_other_angles(die, turned, over_v):
    """Radii shorten the flange a little against the thin-sheet rule (0.71, 1.0, 1.93)."""
    half_centre = half_centre_distance_mm(**{**DIE, "die_angle_deg": die}, opening_measured="sharp_corners")
    flange = minimum_flange_exact_mm(**{**BEND, "loaded_turned_deg": turned}, half_centre_mm=half_centre)
    assert flange / 16.0 == pytest.approx(over_v, abs=0.01)


@pytest.mark.origin(
    "derived", "longer form of the arm: Wc cos b - (rd + yc) sin b, yc = (ri+t+rd - Wc sin b)/cos b - rd"
)
def test_arm_in_its_longer_form():
    """The code uses the shorter form (Wc - R sin b)/cos b; both agree over the stroke."""
    for turned in (10.0, 60.0, 90.0, 110.0):
        b, radii = radians(turned) / 2.0, 6.6
        yc = (radii - ARCS * sin(b)) / cos(b) - 2.0
        longer = ARCS * cos(b) - (2.0 + yc) * sin(b)
        place = {**BEND, "loaded_turned_deg": turned, "half_centre_mm": ARCS}
        assert contact_arm_mm(**place) == pytest.approx(longer, abs=1e-12)
        assert apex_arm_mm(**place) == pytest.approx(longer + 3.6 * sin(b), abs=1e-12)


@pytest.mark.parametrize("radius_change", [0.0, -0.02])
@pytest.mark.origin("law", "mm per degree is the slope of the depth")
def test_sensitivity_is_the_slope_of_depth(radius_change):
    """Central difference over 0.02 degrees, with the radius held and with it shrinking."""

    def depth(turned):
        radius = 2.6 + radius_change * (turned - 90.0)
        return ram_depth_mm(
            loaded_turned_deg=turned,
            half_centre_mm=ARCS,
            inside_radius_mm=radius,
            thickness_mm=2.0,
            shoulder_radius_mm=2.0,
        )

    slope = (depth(90.01) - depth(89.99)) / 0.02
    stated = mm_per_degree(**BEND, half_centre_mm=ARCS, radius_change_mm_per_deg=radius_change)
    assert stated == pytest.approx(slope, rel=1e-6)


@pytest.mark.origin(
    "derived", "ri 1.88, rd 2, t 2, Wc 8 at 90: 15 deg/mm held, 13 deg/mm when the radius shrinks by 0.023 mm a degree"
)
def test_a_shrinking_radius_costs_depth():
    """s/cos b = 8 x 2 - 5.88 sqrt2 = 7.684 mm/rad of b -> 14.9 deg/mm; (sqrt2 - 1) 0.0232 mm/deg more -> 13.05."""
    place = {**BEND, "inside_radius_mm": 1.88, "half_centre_mm": 8.0}
    held = mm_per_degree(**place)
    assert 1.0 / held == pytest.approx(14.9, abs=0.1)
    shrinking = mm_per_degree(**place, radius_change_mm_per_deg=-0.0232)
    assert shrinking - held == pytest.approx(0.4142 * 0.0232, abs=1e-5)
    assert 1.0 / shrinking == pytest.approx(13.0, abs=0.1)


@pytest.mark.parametrize(
    ("opening", "t", "per_degree", "closes"),
    [(8.0, 1.0, 0.057, 2.5), (12.0, 1.5, 0.086, 1.6), (16.0, 2.0, 0.115, 1.2), (25.0, 3.0, 0.181, 0.8)],
)
@pytest.mark.origin("derived", "(V/2 - 0.7071 t) pi/180, and 0.1 sqrt2 over it")
def test_sharp_model_at_90(opening, t, per_degree, closes):
    """Sensitivity, and what 0.1 mm more thickness does at the same ram position."""
    place = {"included_deg": 90.0, "opening_mm": opening, "thickness_mm": t}
    assert sharp_mm_per_degree(**place) == pytest.approx(per_degree, abs=0.0005)
    assert sharp_degrees_per_0p1mm_thickness(**place) == pytest.approx(closes, abs=0.05)


@pytest.mark.origin("derived", "D(90) = V/2 - t sqrt2; flat: -t")
def test_sharp_depth():
    """V 16, t 2: 8 - 2.828 = 5.172; a flat sheet has its top face 2 mm above the die."""
    assert sharp_depth_mm(included_deg=90.0, opening_mm=16.0, thickness_mm=2.0) == pytest.approx(5.1716, abs=1e-4)
    assert sharp_depth_mm(included_deg=180.0, opening_mm=16.0, thickness_mm=2.0) == pytest.approx(-2.0, abs=1e-12)


@pytest.mark.origin("law", "sharp sensitivity is the slope of the sharp depth, in angle and in thickness")
def test_sharp_slopes():
    """Differences of the depth over 0.02 degrees, and the angle that keeps the depth when t grows by 0.001 mm."""
    place = {"opening_mm": 12.0, "thickness_mm": 1.5}
    slope = sharp_depth_mm(included_deg=86.39, **place) - sharp_depth_mm(included_deg=86.41, **place)
    assert sharp_mm_per_degree(included_deg=86.4, **place) == pytest.approx(slope / 0.02, rel=1e-6)
    closes = sharp_degrees_per_0p1mm_thickness(included_deg=86.4, **place) / 100.0
    same = sharp_depth_mm(included_deg=86.4 - closes, opening_mm=12.0, thickness_mm=1.501)
    assert same == pytest.approx(sharp_depth_mm(included_deg=86.4, **place), abs=1e-6)


@pytest.mark.origin(
    "law", "with all radii 0 both depth models are one, t apart: one counts from the sheet, one from the die"
)
def test_depth_models_meet_without_radii():
    """Wc tan b - t (1/cos b - 1) against (V/2) cot(a/2) - t/sin(a/2)."""
    for included in (170.0, 120.0, 90.0, 60.0):
        with_radii = ram_depth_mm(
            loaded_turned_deg=180.0 - included,
            half_centre_mm=8.0,
            inside_radius_mm=0.0,
            thickness_mm=2.0,
            shoulder_radius_mm=0.0,
        )
        sharp = sharp_depth_mm(included_deg=included, opening_mm=16.0, thickness_mm=2.0)
        assert with_radii - 2.0 == pytest.approx(sharp, abs=1e-9)


@pytest.mark.parametrize(
    ("included", "over_v", "tolerance"),
    [
        (30.0, 1.94, 0.01),
        (45.0, 1.31, 0.005),
        (60.0, 1.0, 0.005),
        (90.0, 0.71, 0.005),
        (120.0, 0.58, 0.005),
        (135.0, 0.55, 0.01),
        (165.0, 0.51, 0.01),
    ],
)
@pytest.mark.origin("printed", "trade chart of die openings, b/V by angle, two decimals")
def test_minimum_flange_chart(included, over_v, tolerance):
    """The charts print V/(2 sin(a/2)), rounded up here and there."""
    assert minimum_flange_mm(opening_mm=1.0, included_deg=included) == pytest.approx(over_v, abs=tolerance)


CHART_90 = [
    (8, 5.56), (10, 7.14), (12, 8.74), (14, 10.31), (16, 11.13), (18, 13.49), (20, 14.30), (25, 17.48), (32, 22.22),
    (40, 28.57), (50, 34.92), (63, 44.45), (80, 55.58), (125, 88.90), (160, 114.30), (200, 139.70), (250, 174.62),
]  # fmt: skip


@pytest.mark.parametrize(("opening", "flange"), CHART_90)
@pytest.mark.origin(
    "printed", "inch force chart for mild steel, minimum flange at 90 degrees, steps of 1/32 and 1/64 in"
)
def test_minimum_flange_of_an_inch_chart(opening, flange):
    """Within 2 % or 1/32 in (0.79 mm), the chart's step."""
    assert minimum_flange_mm(opening_mm=opening, included_deg=90.0) == pytest.approx(
        flange, abs=max(0.8, 0.02 * flange)
    )


@pytest.mark.parametrize(("t", "margin"), [(0.5, 1.0), (3.0, 1.0), (4.0, 1.2), (10.0, 3.0)])
@pytest.mark.origin("practice", "margin over the shortest flange: 1 mm or 0.3 t, the larger")
def test_margin(t, margin):
    """Changes over at 3.33 mm."""
    assert margin_mm(thickness_mm=t) == pytest.approx(margin)


@pytest.mark.origin("derived", "half distance of arc centres: V/2, or V/2 + rd tan((90 - die/2)/2)")
def test_centre_distance():
    """88 degree die: 8 + 2 tan 23; a flat 180 degree groove has no shoulder to add."""
    assert ARCS == 8.0
    assert pytest.approx(8.0 + 2.0 * tan(23.0 * pi / 180.0), abs=1e-12) == CORNERS
    flat = half_centre_distance_mm(
        opening_mm=16.0, die_angle_deg=180.0, shoulder_radius_mm=2.0, opening_measured="sharp_corners"
    )
    assert flat == pytest.approx(8.0)
