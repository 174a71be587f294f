"""Bottoming, coining, hems, steps, bumping, skewed folds: single numbers from books and from sums shown here."""

from math import cos, log, pi, radians, sin, sqrt, tan

import pytest

from bendwright.mechanics.bottoming import (
    bottomed_springback_band_deg,
    bottoming_depth_mm,
    bottoming_model_band,
    one_hinge_line_load_kn_per_m,
)
from bendwright.mechanics.bump_bending import (
    curl_edge_mm,
    curl_size_mm,
    facet_height_mm,
    hits_for_facet,
    hits_for_step,
    neighbour_drop_mm,
    pitch_mm,
)
from bendwright.mechanics.coining import INDENTED, SQUEEZED, coining_penetration_band_mm
from bendwright.mechanics.cone_bumping import cone_flat, cone_turn_per_hit_deg, finger_taper_mm
from bendwright.mechanics.hem_flattening import (
    crushing_line_load_kn_per_m,
    hem_deduction_from_strip_mm,
    leg_closing_line_load_kn_per_m,
    loop_arm_mm,
    rolling_line_load_kn_per_m,
    squeezing_line_load_kn_per_m,
)
from bendwright.mechanics.offset_bends import least_web_beside_die_mm, one_stroke_arm_mm, step_sizes, web_outside_mm
from bendwright.mechanics.outer_strain import (
    even_strain,
    fracture_strain,
    least_radius_over_thickness,
    outer_fibre_strain,
)
from bendwright.mechanics.ram_depth import ram_depth_mm
from bendwright.mechanics.skewed_corners import (
    fold_turned_deg,
    gauge_tab_mm,
    half_flat_mm,
    hopper_corners,
    sloped_faces_turned_deg,
)

HOOD = {"inside_radius_mm": 150.0, "thickness_mm": 2.0, "turned_deg": 90.0}


@pytest.mark.origin(
    "memory", "Prandtl's indentation pressure (2 + pi) k, k = Y/sqrt3; plane-strain squeezing 2/sqrt3 Y"
)
def test_pressures():
    """2.97 and 1.155 times the flow stress."""
    assert pytest.approx(2.968, abs=0.001) == INDENTED
    assert pytest.approx(1.1547, abs=0.0001) == SQUEEZED


@pytest.mark.parametrize("crushed", [0.1, 0.3, 0.5, 0.7])
@pytest.mark.origin("memory", "DeRuntz and Hodge (1963): tube between plates P = 4 M/R / sqrt(1 - (d/D)^2)")
def test_crushed_tube(crushed):
    """Half a tube with two hinges carries half of the tube's load at every stage."""
    radius, t, moment = 10.0, 1.0, 50.0
    half = crushing_line_load_kn_per_m(
        moment_n=moment,
        loop_radius_mm=radius - t / 2.0,
        thickness_mm=t,
        gap_mm=2.0 * radius * (1.0 - crushed) - t,
    )
    assert 2.0 * half == pytest.approx(4.0 * moment / radius / sqrt(1.0 - crushed**2), rel=1e-12)


@pytest.mark.parametrize(("q", "ratio"), [(50.0, 0.0), (25.0, 1.0), (100.0 / 6.0, 2.0), (12.5, 3.0)])
@pytest.mark.origin(
    "printed", "Kalpakjian and Schmid: R/t = 50/q - 1; reduction needed for R/t 0, 1, 2, 3: 50, 25, 16.7, 12.5"
)
def test_kalpakjian_radius(q, ratio):
    """The table of the reduction needed."""
    assert least_radius_over_thickness(reduction_percent=q) == pytest.approx(ratio, abs=1e-9)


@pytest.mark.parametrize(("ratio", "nominal"), [(0.5, 0.5), (1.0, 0.333), (2.0, 0.2), (3.0, 0.143), (5.0, 0.091)])
@pytest.mark.origin("memory", "Kalpakjian: outer strain e = 1/(2 R/t + 1); the true strain is ln(1 + e)")
def test_outer_strain(ratio, nominal):
    """Five radii."""
    strain = outer_fibre_strain(inside_radius_mm=ratio * 2.0, thickness_mm=2.0)
    assert strain == pytest.approx(log(1.0 + nominal), abs=0.0005)


@pytest.mark.origin("derived", "ln(1/(1 - 0.5)) = ln 2, the strain of a fold without radius; ln 1.2 = 0.182")
def test_strains_of_the_tensile_test():
    """Half the area lost is just enough for a closed hem."""
    assert fracture_strain(reduction_percent=50.0) == pytest.approx(
        outer_fibre_strain(inside_radius_mm=0.0, thickness_mm=1.0)
    )
    assert even_strain(elongation_percent=20.0) == pytest.approx(0.1823, abs=0.0001)


@pytest.mark.origin("derived", "M 461.88, R 3, 90 degrees: 2 M/R = 307.9; three hinges and mu 0.1: 4 M 1.1/R = 677.4")
def test_bottoming_load():
    """Statics of the arc between the flanks."""
    bend = {"moment_n": 461.88, "inside_radius_mm": 2.0, "thickness_mm": 2.0, "turned_deg": 90.0}
    assert one_hinge_line_load_kn_per_m(**bend) == pytest.approx(307.92, abs=0.01)
    band = bottoming_model_band(**bend, friction=0.1)
    assert (band.low, band.high) == pytest.approx((307.92, 677.42), abs=0.01)


@pytest.mark.origin("derived", "arc: half of 12 M R/(E' t^3) x 90 degrees; legs: 2 x 6 M s/(E' t^3), inward")
def test_springback_left():
    """M 461.88, R 3, t 2, s 5, E' 230769: +0.405 of the arc, -2 x 0.430 of the legs."""
    band = bottomed_springback_band_deg(
        moment_n=461.88,
        inside_radius_mm=2.0,
        thickness_mm=2.0,
        turned_deg=90.0,
        leg_arm_mm=5.0,
        youngs_modulus_mpa=210e3,
        poisson=0.3,
    )
    assert band.low == pytest.approx(-2.0 * 0.430, abs=0.001)
    assert band.high == pytest.approx(0.405, abs=0.001)


@pytest.mark.origin(
    "derived", "sharp V 16, 88 degrees: tip at V/2 cot 44 - (r + t)/sin 44 + r below the top; first touch at + t"
)
def test_depth_pressed_home():
    """From the corner of the groove upward, and by the air-bend formula: the same place."""
    r, t, rd = 1.0, 2.0, 2.0
    depth = bottoming_depth_mm(
        die_angle_deg=88.0,
        half_centre_mm=8.0 + rd * tan(radians(23.0)),
        inside_radius_mm=r,
        thickness_mm=t,
        shoulder_radius_mm=rd,
    )
    assert depth == pytest.approx(8.0 / tan(radians(44.0)) - (r + t) / sin(radians(44.0)) + r + t, abs=1e-9)


@pytest.mark.origin("practice", "the nose sinks in by 3 to 10 % of t")
def test_penetration():
    """t 2: 0.06 to 0.20."""
    band = coining_penetration_band_mm(thickness_mm=2.0)
    assert (band.low, band.high) == pytest.approx((0.06, 0.20))


@pytest.mark.origin("derived", "arm 1.5 sqrt(1 - (2/3)^2) = 1.118; M/(l cos 30); 2/sqrt3 x 400 x 12 = 5543")
def test_hem_stages():
    """Loop radius t, closed; leg 12 at 30 degrees; squeezed all over."""
    assert loop_arm_mm(loop_radius_mm=1.0, thickness_mm=1.0) == pytest.approx(1.118, abs=0.0005)
    swing = leg_closing_line_load_kn_per_m(moment_n=100.0, leg_mm=12.0, included_deg=30.0)
    assert swing == pytest.approx(100.0 / (12.0 * cos(radians(30.0))))
    assert squeezing_line_load_kn_per_m(leg_mm=12.0, flow_mpa=400.0) == pytest.approx(5542.6, abs=0.1)
    assert rolling_line_load_kn_per_m(moment_n=150.0, thickness_mm=1.0, gap_mm=0.5) == pytest.approx(400.0)


@pytest.mark.origin("derived", "74.9 + 12.1 - 86.7 = 0.3")
def test_strip():
    """Outside and hem leg measured, flat length cut."""
    assert hem_deduction_from_strip_mm(outside_mm=74.9, hem_leg_mm=12.1, flat_mm=86.7) == pytest.approx(0.3)


@pytest.mark.origin("derived", "h 10, 90 degrees, ri 1, t 1, K 0.5: web 7, run 3, BA 1.5 pi/2 = 2.356, flat 11.712")
def test_step_square():
    """A square Z: the web between mould lines is the step plus t."""
    sizes = step_sizes(step_mm=10.0, turned_deg=90.0, inside_radius_mm=1.0, thickness_mm=1.0, k_factor=0.5)
    assert (sizes.web_straight_mm, sizes.run_mm) == pytest.approx((7.0, 3.0))
    assert sizes.flat_mm == pytest.approx(7.0 + 1.5 * pi, abs=1e-9)
    assert sizes.extra_mm == pytest.approx(4.0 + 1.5 * pi, abs=1e-9)
    assert sizes.bend_lines_mm == pytest.approx((0.75 * pi / 2.0, 7.0 + 2.25 * pi / 2.0))
    web = web_outside_mm(web_mm=7.0, turned_deg=90.0, inside_radius_mm=1.0, thickness_mm=1.0)
    assert web == pytest.approx(11.0)


@pytest.mark.origin("derived", "die 22 wide, t 1.5, clearance 1.5: 11 + 1.5 + 1.5 tan 45 = 14; arm at 90: 0.586 R")
def test_step_beside_the_die_and_in_one_stroke():
    """The hanging leg at 90 degrees, and the lever of the web."""
    room = least_web_beside_die_mm(die_half_width_mm=11.0, turned_deg=90.0, thickness_mm=1.5, clearance_mm=1.5)
    assert room == pytest.approx(14.0)
    for web in (0.0, 20.0):
        arm = one_stroke_arm_mm(web_mm=web, turned_deg=90.0, inside_radius_mm=1.0, thickness_mm=1.0)
        assert arm == pytest.approx(0.5858 * 1.5, abs=0.0001)


@pytest.mark.origin("derived", "152 (1 - cos(45/N)): 21 hits 0.106, 22 hits 0.097, 45 hits 0.023; 151 pi/2/N")
def test_hood():
    """R 150, t 2, 90 degrees, facets up to 0.1."""
    assert hits_for_facet(**HOOD, facet_mm=0.1) == 22
    sizes = {"inside_radius_mm": 150.0, "thickness_mm": 2.0}
    heights = [facet_height_mm(**sizes, step_deg=90.0 / hits) for hits in (21, 22, 45)]
    assert heights == pytest.approx([0.106, 0.097, 0.023], abs=0.0005)
    assert pitch_mm(**HOOD, k_factor=0.5, hits=22) == pytest.approx(10.78, abs=0.005)
    assert hits_for_step(turned_deg=90.0, step_deg=2.0) == 45
    assert pitch_mm(**HOOD, k_factor=0.5, hits=45) == pytest.approx(5.27, abs=0.005)


@pytest.mark.origin(
    "derived", "two facets in a 20 opening: (10 - 6) + 0 = 4 mm x 2 degrees; pitch 4: (10-4) + (10-8) = 8 mm x 2"
)
def test_neighbours():
    """None, one, two neighbours, and as many as have been made."""
    place = {"half_centre_mm": 10.0, "step_deg": 4.0}
    assert neighbour_drop_mm(**place, pitch_mm=10.78) == 0.0
    assert neighbour_drop_mm(**place, pitch_mm=6.0) == pytest.approx(4.0 * radians(2.0))
    assert neighbour_drop_mm(**place, pitch_mm=4.0, hits_before=5) == pytest.approx(8.0 * radians(2.0))
    assert neighbour_drop_mm(**place, pitch_mm=4.0, hits_before=1) == pytest.approx(6.0 * radians(2.0))
    assert neighbour_drop_mm(**place, pitch_mm=4.0, hits_before=0) == 0.0


@pytest.mark.origin("derived", "half circle without straights: chord 2 x 151; full circle: ends meet, bulge 302")
def test_curl():
    """Room for the finished curl."""
    half = curl_size_mm(inside_radius_mm=150.0, thickness_mm=2.0, turned_deg=180.0, front_mm=0.0, back_mm=0.0)
    assert half == pytest.approx((302.0, 151.0), abs=0.01)
    whole = curl_size_mm(inside_radius_mm=150.0, thickness_mm=2.0, turned_deg=360.0, front_mm=0.0, back_mm=0.0)
    assert whole == pytest.approx((0.0, 302.0), abs=1e-6)
    hood = curl_size_mm(**HOOD, front_mm=60.0, back_mm=60.0)
    assert hood[0] == pytest.approx(211.0 * sqrt(2.0), abs=1e-6)


@pytest.mark.origin(
    "derived", "one hit of 90 degrees: the front stands straight up, half a pitch and the straight high"
)
def test_curl_edge():
    """And nothing in front of the line."""
    ahead, up = curl_edge_mm(front_mm=60.0, pitch_mm=10.0, step_deg=90.0, hits=1)
    assert (ahead, up) == pytest.approx((0.0, 65.0))


@pytest.mark.origin(
    "derived", "3-4-5: r 100 to 160 over 80: slant 100, sin f 0.6, radii 166.67 and 266.67, half turn 108 degrees"
)
def test_cone():
    """K 0: the inner face itself."""
    flat = cone_flat(
        small_radius_mm=100.0, large_radius_mm=160.0, height_mm=80.0, turned_deg=180.0, thickness_mm=1.0, k_factor=0.0
    )
    assert (flat.slant_mm, flat.inner_mm, flat.outer_mm) == pytest.approx((100.0, 500.0 / 3.0, 800.0 / 3.0))
    assert flat.sector_deg == pytest.approx(108.0)
    assert flat.enclosing_mm[0] == pytest.approx(2.0 * 800.0 / 3.0 * sin(radians(54.0)))


@pytest.mark.origin(
    "derived",
    "faces sloped 100 in 500: acos(sin^2) = 87.80; fold hypot(100, 100, 500) = 519.62; atan sums 78.90, 22.19",
)
def test_hopper():
    """A square hopper, by vectors and by slopes."""
    for corner in hopper_corners(top_mm=(400.0, 400.0), bottom_mm=(200.0, 200.0), height_mm=500.0):
        assert corner.turned_deg == pytest.approx(87.80, abs=0.005)
        assert corner.included_deg == pytest.approx(92.20, abs=0.005)
        assert corner.fold_mm == pytest.approx(519.62, abs=0.005)
        assert corner.to_top_edge_deg == pytest.approx((78.90, 78.90), abs=0.005)
        assert corner.to_far_edge_deg == pytest.approx((22.19, 22.19), abs=0.005)
        assert finger_taper_mm(skew_deg=corner.to_far_edge_deg[0], spacing_mm=300.0) == pytest.approx(122.4, abs=0.05)
    slopes = sloped_faces_turned_deg(first_slope_deg=11.31, second_slope_deg=11.31)
    assert slopes == pytest.approx(87.80, abs=0.005)
    assert cone_turn_per_hit_deg(step_deg=90.0, half_angle_deg=11.31) == pytest.approx(87.80, abs=0.005)


@pytest.mark.origin("derived", "11.31 degrees, 300 apart: 60.0; tab 340 long, 20 to 20 + 340 x 0.2 = 88 high")
def test_fingers_and_tab():
    """dX = spacing x tan(skew)."""
    assert finger_taper_mm(skew_deg=11.30993, spacing_mm=300.0) == pytest.approx(60.0, abs=0.001)
    tab = gauge_tab_mm(skew_deg=11.30993, spacing_mm=300.0, finger_width_mm=40.0, least_mm=20.0)
    assert tab == pytest.approx((340.0, 20.0, 88.0), abs=0.001)


@pytest.mark.origin("derived", "upright box 400 x 300 x 100: faces 300 and 400 long in one strip, 2 x BD/2 shorter")
def test_flat_of_two_faces():
    """The flat of an upright corner is one rectangle."""
    (corner, *_) = hopper_corners(top_mm=(400.0, 300.0), bottom_mm=(400.0, 300.0), height_mm=100.0)
    outline = half_flat_mm(corner=corner, deduction_mm=3.0)
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    assert (min(xs), max(xs)) == pytest.approx((-398.5, 298.5))
    assert (min(ys), max(ys)) == pytest.approx((-100.0, 0.0))


@pytest.mark.origin("derived", "faces of a cube and of a regular tetrahedron: 90 and 180 - acos(1/3) = 109.47")
def test_folds_of_solids():
    """Dihedral angles known from geometry."""
    cube = fold_turned_deg(fold=(1.0, 0.0, 0.0), first=(0.0, 1.0, 0.0), second=(0.5, 0.0, 2.0))
    assert cube == pytest.approx(90.0)
    a, b, c, d = (1.0, 1.0, 1.0), (1.0, -1.0, -1.0), (-1.0, 1.0, -1.0), (-1.0, -1.0, 1.0)
    edge, first, second = (tuple(q - p for p, q in zip(a, other, strict=True)) for other in (b, c, d))
    assert fold_turned_deg(fold=edge, first=first, second=second) == pytest.approx(109.4712, abs=0.0001)


@pytest.mark.origin("law", "two ways to the same number")
def test_bottoming_depth_is_the_air_bend_depth():
    """At the die's own angle."""
    shape = {"half_centre_mm": 8.0, "inside_radius_mm": 2.0, "thickness_mm": 2.0, "shoulder_radius_mm": 1.5}
    assert bottoming_depth_mm(die_angle_deg=88.0, **shape) == ram_depth_mm(loaded_turned_deg=92.0, **shape)
