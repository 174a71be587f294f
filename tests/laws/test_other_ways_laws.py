"""Laws of bottoming, coining, hems, steps, bumping, cones and skewed folds: limits, monotony, scaling, round trips."""

from math import cos, degrees, hypot, radians, sin

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from bendwright.mechanics.bottoming import bottomed_springback_band_deg, bottoming_model_band
from bendwright.mechanics.bump_bending import (
    HitStroke,
    curl_edge_mm,
    curl_size_mm,
    facet_height_mm,
    hit_lines_mm,
    hit_list,
    hits_for_facet,
    hits_for_step,
    neighbour_drop_mm,
    pitch_mm,
)
from bendwright.mechanics.bump_stroke import ClosedHit
from bendwright.mechanics.coining import coining_model_band
from bendwright.mechanics.cone_bumping import (
    cone_facet_mm,
    cone_flat,
    cone_hits,
    cone_hits_for_facet,
    cone_pitches_mm,
    cone_turn_per_hit_deg,
    faceted_area_mm2,
    faceted_volume_mm3,
)
from bendwright.mechanics.hem_flattening import hem_flattening_model_band, loop_arm_mm
from bendwright.mechanics.offset_bends import least_step_mm, one_stroke_load_band, step_sizes, web_outside_mm
from bendwright.mechanics.outer_strain import fracture_strain, least_radius_over_thickness, outer_fibre_strain
from bendwright.mechanics.skewed_corners import (
    fold_turned_deg,
    half_flat_mm,
    hopper_corners,
    sloped_faces_turned_deg,
)
from bendwright.mechanics.springback import arc_springback_deg, leg_springback_deg

thicknesses = st.floats(0.5, 10.0)
ratios = st.floats(0.2, 5.0)
turneds = st.floats(20.0, 150.0)
moments = st.floats(10.0, 1e5)


@given(thicknesses, ratios, turneds, moments, st.floats(0.0, 0.3))
@pytest.mark.origin("law", "statics: load in proportion to the moment, less for a larger radius, more with friction")
def test_bottoming(t, ratio, turned, moment, friction):
    """And no shape makes it cheaper to press harder."""
    shape = {"inside_radius_mm": ratio * t, "thickness_mm": t, "turned_deg": turned}
    band = bottoming_model_band(moment_n=moment, **shape, friction=friction)
    twice = bottoming_model_band(moment_n=2.0 * moment, **shape, friction=friction)
    rounder = bottoming_model_band(moment_n=moment, **shape | {"inside_radius_mm": 2.0 * ratio * t}, friction=friction)
    assert 0.0 < 2.0 * band.low <= band.high * (1.0 + 1e-12)
    assert (twice.low, twice.high) == pytest.approx((2.0 * band.low, 2.0 * band.high))
    assert rounder.low < band.low
    assert rounder.high < band.high


@given(thicknesses, ratios, turneds, st.floats(100.0, 2000.0))
@pytest.mark.origin(
    "law", "pressed home the arc opens by half of an air bend's arc at most, the legs close by what they would open"
)
def test_less_springs_back(t, ratio, turned, flow):
    """Without straight legs nothing closes."""
    moment = 2.0 / 3.0**0.5 * flow * t * t / 4.0
    case = {
        "moment_n": moment,
        "inside_radius_mm": ratio * t,
        "thickness_mm": t,
        "turned_deg": turned,
        "youngs_modulus_mpa": 210e3,
        "poisson": 0.3,
    }
    left = bottomed_springback_band_deg(**case, leg_arm_mm=0.0)
    assert left.high == pytest.approx(arc_springback_deg(**case) / 2.0)
    assert left.low == pytest.approx(0.0)
    leg = leg_springback_deg(moment_n=moment, thickness_mm=t, leg_arm_mm=3.0 * t, youngs_modulus_mpa=210e3, poisson=0.3)
    assert bottomed_springback_band_deg(**case, leg_arm_mm=3.0 * t).low == pytest.approx(-2.0 * leg)


@given(thicknesses, st.floats(0.1, 2.0), turneds, st.floats(50.0, 1500.0))
@pytest.mark.origin("law", "coining follows bottoming and never takes less")
def test_coining_after_bottoming(t, ratio, turned, flow):
    """Also where the nose is so sharp that its arc has hardly any width."""
    shape = {"inside_radius_mm": ratio * t, "thickness_mm": t, "turned_deg": turned}
    first = bottoming_model_band(moment_n=2.0 / 3.0**0.5 * flow * t * t / 4.0, **shape)
    band = coining_model_band(bottoming=first, nose_radius_mm=ratio * t, turned_deg=turned, flow_mpa=flow)
    assert band.low >= first.low
    assert band.high >= first.high


@given(thicknesses, st.floats(0.3, 4.0), st.floats(0.0, 8.0), st.floats(0.0, 8.0), moments)
@pytest.mark.origin("law", "the flatter the hem, the shorter the lever and the higher the load")
def test_flatter_hems_take_more(t, ratio, gap, other, moment):
    """From a loop left alone to a closed hem."""
    assume(abs(gap - other) > 1e-6)
    wide, narrow = max(gap, other) * t, min(gap, other) * t
    sizes = {"loop_radius_mm": ratio * t, "thickness_mm": t}
    assert loop_arm_mm(**sizes, gap_mm=narrow) <= loop_arm_mm(**sizes, gap_mm=wide) <= (ratio + 0.5) * t * (1 + 1e-12)
    if wide < 2.0 * ratio * t:
        more = hem_flattening_model_band(moment_n=moment, **sizes, leg_mm=20.0 * t, gap_mm=narrow)
        less = hem_flattening_model_band(moment_n=moment, **sizes, leg_mm=20.0 * t, gap_mm=wide)
        assert more.low >= less.low
        assert more.high > less.high
        assert less.low <= less.high * (1.0 + 1e-12)


@given(st.floats(1.0, 49.0))
@pytest.mark.origin("law", "Kalpakjian's radius is where the outer fibre reaches the strain at fracture")
def test_least_radius_and_fracture_strain(q):
    """Two roads to one radius."""
    radius = least_radius_over_thickness(reduction_percent=q)
    strain = outer_fibre_strain(inside_radius_mm=radius, thickness_mm=1.0)
    assert strain == pytest.approx(fracture_strain(reduction_percent=q), rel=1e-9)


def walk(pieces):
    """End of a polyline that turns: (length, turned angle after it in degrees) from the origin along x."""
    x, y, heading = 0.0, 0.0, 0.0
    for length, turned in pieces:
        x, y = x + length * cos(heading), y + length * sin(heading)
        heading += radians(turned)
    return x, y, degrees(heading)


@given(st.floats(10.0, 90.0), thicknesses, ratios, st.floats(1.0, 30.0), st.floats(0.0, 0.5))
@pytest.mark.origin("law", "walk along the middle line of the step: it rises by the step and runs as far as laid out")
def test_step_round_trip(turned, t, ratio, times, k):
    """Two arcs as 400 chords each and the web between them."""
    radius = ratio * t
    shape = {"turned_deg": turned, "inside_radius_mm": radius, "thickness_mm": t}
    step = times * least_step_mm(**shape)
    sizes = step_sizes(step_mm=step, **shape, k_factor=k)
    count = 400
    each, middle = turned / count, radius + t / 2.0
    chord = 2.0 * middle * sin(radians(each) / 2.0)
    up = [(0.0, each / 2.0), *[(chord, each)] * (count - 1), (chord, each / 2.0)]
    down = [(length, -angle) for length, angle in up]
    x, y, heading = walk([*up, (sizes.web_straight_mm, 0.0), *down])
    assert (x, y, heading) == pytest.approx((sizes.run_mm, step, 0.0), rel=1e-9, abs=1e-9)
    outside = web_outside_mm(web_mm=sizes.web_straight_mm, **shape)
    assert outside > sizes.web_straight_mm
    assert sizes.flat_mm == pytest.approx(sizes.web_straight_mm + 2.0 * radians(turned) * (radius + k * t))


@given(st.floats(20.0, 90.0), thicknesses, ratios, st.floats(0.0, 50.0), moments)
@pytest.mark.origin("law", "a longer web is a longer lever, never a higher load")
def test_longer_webs_take_less(turned, t, ratio, web, moment):
    """Equal at 90 degrees, where the web stands upright."""
    shape = {"turned_deg": turned, "inside_radius_mm": ratio * t, "thickness_mm": t}
    short = one_stroke_load_band(moment_n=moment, web_mm=web, **shape)
    longer = one_stroke_load_band(moment_n=moment, web_mm=web + 1.0, **shape)
    assert longer.low <= short.low * (1.0 + 1e-12)
    assert longer.low <= longer.high


@given(st.floats(10.0, 2000.0), thicknesses, st.floats(5.0, 360.0), st.floats(0.05, 3.0))
@pytest.mark.origin("law", "the fewest hits that keep the facet: one hit fewer does not")
def test_fewest_hits(radius, t, turned, facet):
    """And the pitch times the hits is the arc."""
    sizes = {"inside_radius_mm": radius, "thickness_mm": t}
    hits = hits_for_facet(**sizes, turned_deg=turned, facet_mm=facet)
    assert facet_height_mm(**sizes, step_deg=turned / hits) <= facet * (1.0 + 1e-6)
    if hits > 1 and turned / (hits - 1) <= 180.0:
        assert facet_height_mm(**sizes, step_deg=turned / (hits - 1)) > facet * (1.0 - 1e-6)
    pitch = pitch_mm(**sizes, turned_deg=turned, k_factor=0.5, hits=hits)
    assert hits * pitch == pytest.approx((radius + t / 2.0) * radians(turned))


@given(st.floats(5.0, 360.0), st.floats(0.5, 30.0))
@pytest.mark.origin("law", "hits of at most a step: enough, and not one too many")
def test_hits_for_step(turned, step):
    """ceil, with room for rounding."""
    hits = hits_for_step(turned_deg=turned, step_deg=step)
    assert turned / hits <= step * (1.0 + 1e-6)
    assert hits == 1 or turned / (hits - 1) > step * (1.0 - 1e-6)


@given(st.integers(1, 60), st.floats(1.0, 30.0), st.floats(0.0, 100.0), st.floats(0.0, 100.0), st.floats(0.2, 6.0))
@pytest.mark.origin("law", "symmetry: the first hit lies as far from the front as the last from the arc's end behind")
def test_hit_list(hits, pitch, front, back, step):
    """Lines one pitch apart, stops falling by one pitch, the last line half a pitch before the back straight."""
    blank = front + hits * pitch + back
    stroke = HitStroke(turned_deg=step, loaded_turned_deg=step + 1.0, depth_mm=1.0)
    listed = hit_list(
        front_mm=front,
        pitch_mm=pitch,
        blank_mm=blank,
        step_deg=step,
        hits=hits,
        half_centre_mm=8.0,
        stroke=stroke,
    )
    lines = hit_lines_mm(front_mm=front, pitch_mm=pitch, hits=hits)
    assert [hit.from_front_mm for hit in listed] == list(lines)
    assert lines[0] - front == pytest.approx(blank - back - lines[-1])
    assert all(hit.x_mm + hit.from_front_mm == pytest.approx(blank) for hit in listed)
    assert listed[0].neighbour_mm == 0.0
    drops = [hit.neighbour_mm for hit in listed]
    assert drops == sorted(drops)


@given(st.integers(200, 800), st.floats(20.0, 300.0), st.floats(10.0, 180.0), st.floats(0.0, 50.0))
@pytest.mark.origin("law", "many hits make the arc: the edge goes where the round curl ends")
def test_curl_of_many_hits(hits, radius, turned, front):
    """Distance from the first straight's end to the last line against the chord of the arc without back straight."""
    sizes = {"inside_radius_mm": radius, "thickness_mm": 1.0, "turned_deg": turned}
    pitch = pitch_mm(**sizes, k_factor=0.5, hits=hits)
    ahead, up = curl_edge_mm(front_mm=front, pitch_mm=pitch, step_deg=turned / hits, hits=hits)
    chord, _ = curl_size_mm(**sizes, front_mm=front, back_mm=0.0)
    assert hypot(ahead, up) == pytest.approx(chord, rel=0.01)


@given(st.floats(2.0, 20.0), st.floats(2.0, 20.0), st.floats(0.0, 10.0))
@pytest.mark.origin("law", "a neighbour at or outside the shoulder changes nothing; further in it changes more")
def test_neighbour(pitch, half, step):
    """Never below 0, in proportion to the step."""
    drop = neighbour_drop_mm(pitch_mm=pitch, half_centre_mm=half, step_deg=step)
    assert drop >= 0.0
    assert (drop == 0.0) or pitch < half
    assert neighbour_drop_mm(pitch_mm=pitch + 1.0, half_centre_mm=half, step_deg=step) <= drop
    assert neighbour_drop_mm(pitch_mm=pitch, half_centre_mm=half, step_deg=step / 2.0) == pytest.approx(drop / 2.0)


def steel_hit(t, v, yield_mpa):
    """A hit in ideally plastic steel, shoulder t, nose t/2."""
    return ClosedHit(
        thickness_mm=t,
        half_centre_mm=v * t / 2.0,
        shoulder_radius_mm=t,
        nose_radius_mm=t / 2.0,
        youngs_modulus_mpa=210e3,
        poisson=0.3,
        yield_mpa=yield_mpa,
    )


@given(st.floats(0.5, 6.0), st.floats(6.0, 12.0), st.floats(150.0, 700.0), st.floats(1.0, 10.0))
@pytest.mark.origin("law", "larger hits go deeper and keep a larger share; harder sheet springs back more")
def test_hit_stroke(t, v, yield_mpa, turned):
    """The relaxed angle is the one asked for."""
    hit, more = steel_hit(t, v, yield_mpa)(turned), steel_hit(t, v, yield_mpa)(1.5 * turned)
    harder = steel_hit(t, v, 1.3 * yield_mpa)(turned)
    assert hit.turned_deg == turned
    assert hit.loaded_turned_deg - hit.springback_deg == pytest.approx(turned)
    assert more.depth_mm > hit.depth_mm > 0.0
    assert more.share_kept > hit.share_kept
    assert harder.springback_deg > hit.springback_deg


@given(st.floats(0.5, 6.0), st.floats(0.1, 3.0), st.floats(1.0, 10.0))
@pytest.mark.origin("law", "a springback given by the shop is taken as it is")
def test_given_springback(t, spring, turned):
    """No model in between."""
    hit = ClosedHit(
        thickness_mm=t,
        half_centre_mm=4.0 * t,
        shoulder_radius_mm=t,
        nose_radius_mm=t,
        youngs_modulus_mpa=210e3,
        poisson=0.3,
        yield_mpa=250.0,
        springback_deg=spring,
    )
    assert hit(turned).springback_deg == pytest.approx(spring)


cones = {
    "small": st.floats(0.0, 300.0),
    "more": st.floats(5.0, 300.0),
    "height": st.floats(20.0, 800.0),
    "turned": st.floats(30.0, 360.0),
    "t": st.floats(0.5, 4.0),
}


@given(**cones)
@pytest.mark.origin("law", "the flat has the area of the cone: mean radius x angle x slant")
def test_cone_area(small, more, height, turned, t):
    """Neutral face; the arcs of the sector are as long as the circles at both ends."""
    flat = cone_flat(
        small_radius_mm=small, large_radius_mm=small + more, height_mm=height, turned_deg=turned, thickness_mm=t
    )
    out = 0.5 * t * cos(radians(flat.half_angle_deg))
    ends = (small + out, small + more + out)
    assert flat.area_mm2 == pytest.approx(radians(turned) * sum(ends) / 2.0 * flat.slant_mm)
    arcs = (radians(flat.sector_deg) * flat.inner_mm, radians(flat.sector_deg) * flat.outer_mm)
    assert arcs == pytest.approx(tuple(radians(turned) * end for end in ends))
    width, tall = flat.enclosing_mm
    assert width * tall >= flat.area_mm2 * (1.0 - 1e-9)


@given(**cones, hits=st.integers(4, 200))
@pytest.mark.origin("law", "facets lie inside the round cone and close in on it with the square of their number")
def test_faceted_cone(small, more, height, turned, t, hits):
    """Area and volume below the exact ones; twice the hits, a quarter of the gap."""
    sizes = {"small_radius_mm": small, "large_radius_mm": small + more, "height_mm": height, "turned_deg": turned}
    flat = cone_flat(**sizes, thickness_mm=t)
    squares = small**2 + small * (small + more) + (small + more) ** 2
    exact = radians(turned) / 2.0 * height / 3.0 * squares
    gaps = [1.0 - faceted_volume_mm3(**sizes, hits=n) / exact for n in (hits, 2 * hits)]
    assert gaps[0] > 0.0
    assert gaps[0] / gaps[1] == pytest.approx(4.0, rel=0.12)
    assert gaps[0] == pytest.approx((radians(turned) / hits) ** 2 / 6.0, rel=0.15)
    assert faceted_area_mm2(flat=flat, hits=hits) < flat.area_mm2
    assert faceted_area_mm2(flat=flat, hits=hits) < faceted_area_mm2(flat=flat, hits=2 * hits)


@given(**cones, hits=st.integers(1, 100))
@pytest.mark.origin("law", "hit lines are radial, one slant long, one pitch apart at either end")
def test_cone_hits(small, more, height, turned, t, hits):
    """Symmetric in the sector."""
    flat = cone_flat(
        small_radius_mm=small, large_radius_mm=small + more, height_mm=height, turned_deg=turned, thickness_mm=t
    )
    lines, pitches = cone_hits(flat=flat, hits=hits), cone_pitches_mm(flat=flat, hits=hits)
    for line in lines:
        assert hypot(*(b - a for a, b in zip(line.small_end, line.large_end, strict=True))) == pytest.approx(
            flat.slant_mm
        )
        assert line.from_front_deg + line.from_back_deg == pytest.approx(flat.sector_deg)
    assert lines[0].from_front_deg == pytest.approx(lines[-1].from_back_deg)
    assert pitches[0] <= pitches[1]
    assert sum(pitches) / 2.0 * hits * flat.slant_mm == pytest.approx(flat.area_mm2)


@given(st.floats(10.0, 500.0), st.floats(0.5, 4.0), st.floats(0.0, 80.0), st.floats(20.0, 360.0), st.floats(0.02, 2.0))
@pytest.mark.origin("law", "a cone without taper is a round bend; with taper each hit turns less")
def test_cone_and_round(radius, t, half_angle, turned, facet):
    """Facet, hits and turned angle at half angle 0; the facets hold at any."""
    round_hits = hits_for_facet(inside_radius_mm=radius, thickness_mm=t, turned_deg=turned, facet_mm=facet)
    outside = {"large_radius_mm": radius, "thickness_mm": t}
    assert cone_hits_for_facet(**outside, half_angle_deg=0.0, turned_deg=turned, facet_mm=facet) == round_hits
    hits = cone_hits_for_facet(**outside, half_angle_deg=half_angle, turned_deg=turned, facet_mm=facet)
    assert hits <= round_hits
    step = min(turned / hits, 180.0)
    assert cone_facet_mm(**outside, half_angle_deg=half_angle, step_deg=step) <= facet * (1.0 + 1e-6)
    assert cone_turn_per_hit_deg(step_deg=step, half_angle_deg=0.0) == pytest.approx(step, abs=1e-5)
    assert cone_turn_per_hit_deg(step_deg=step, half_angle_deg=half_angle) <= step + 1e-5


@given(st.floats(0.0, 60.0), st.floats(0.0, 60.0))
@pytest.mark.origin("law", "the fold from two vectors in space and from the two slopes: the same angle")
def test_two_ways_to_a_corner(first, second):
    """Faces x = z tan a and y = z tan b, their line of section by the cross product."""
    a, b = radians(first), radians(second)
    normals = ((cos(a), 0.0, -sin(a)), (0.0, cos(b), -sin(b)))
    (p, q, r), (u, v, w) = normals
    fold = (q * w - r * v, r * u - p * w, p * v - q * u)
    turned = fold_turned_deg(fold=fold, first=(0.0, -1.0, 0.0), second=(-1.0, 0.0, 0.0))
    assert turned == pytest.approx(sloped_faces_turned_deg(first_slope_deg=first, second_slope_deg=second), abs=1e-6)


@given(
    st.tuples(st.floats(100.0, 800.0), st.floats(100.0, 800.0)),
    st.tuples(st.floats(10.0, 600.0), st.floats(10.0, 600.0)),
    st.floats(50.0, 900.0),
    st.tuples(st.floats(-200.0, 200.0), st.floats(-200.0, 200.0)),
)
@pytest.mark.origin("law", "the flat keeps every length of a face, and its far edges are as far apart as in space")
def test_hopper_flats(top, bottom, height, shift):
    """Corner by corner: far edges of the flat against the edges of the neighbour corners."""
    corners = hopper_corners(top_mm=top, bottom_mm=bottom, height_mm=height, shift_mm=shift)
    for place, corner in enumerate(corners):
        (before, after) = corner.faces_mm
        widths = (top[1], top[0]) if place % 2 else (top[0], top[1])
        assert hypot(*before[0]) == pytest.approx(widths[0])
        assert hypot(*after[0]) == pytest.approx(widths[1])
        far = hypot(before[0][0] - before[1][0], before[0][1] - before[1][1])
        assert far == pytest.approx(corners[place - 1].fold_mm)
        assert corner.turned_deg + corner.included_deg == 180.0
        outline = half_flat_mm(corner=corner, deduction_mm=0.0)
        assert len(outline) >= 6
