"""Corners to true curves and back: rounded shapes keep lines, arcs and area through cutting and joining."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from bendwright.part.contour import arc_points, bulge_arc, ring_area_mm2, true_curve
from bendwright.part.model import ARC_CHORD_MM, Arc, Circle, Cutout, Point, Slot
from bendwright.part.shape_names import named_shape

DERIVED = pytest.mark.origin("derived", "plane geometry of circles and segments")


def rounded(
    width: float, height: float, radius: float, x: float = 0.0, y: float = 0.0
) -> tuple[list[Point], list[Arc]]:
    """A rectangle with round corners, counter-clockwise, as corners and circles."""
    ring: list[Point] = []
    arcs = []
    places = [(width - radius, radius, -90), (width - radius, height - radius, 0), (radius, height - radius, 90)]
    for cx, cy, start in [*places, (radius, radius, 180)]:
        ring += arc_points((x + cx, y + cy), radius, math.radians(start), math.pi / 2)
        arcs.append(Arc(centre=(x + cx, y + cy), radius_mm=radius))
    return ring, arcs


@DERIVED
@settings(max_examples=60, deadline=None)
@given(st.floats(0.2, 400.0), st.floats(1.05, 8.0), st.floats(1.05, 8.0), st.floats(-500, 500))
def test_a_rounded_rectangle_is_four_lines_and_four_quarter_arcs(radius: float, w: float, h: float, at: float) -> None:
    width, height = 2 * radius * w, 2 * radius * h
    ring, arcs = rounded(width, height, radius, at, -at)
    vertices = true_curve(ring, arcs)
    bulges = sorted(bulge for _, _, bulge in vertices)
    assert bulges == pytest.approx([0, 0, 0, 0, *[math.tan(math.pi / 8)] * 4], abs=1e-9)
    exact = width * height - (4 - math.pi) * radius**2
    assert ring_area_mm2(ring, arcs) == pytest.approx(exact, rel=1e-9)
    assert ring_area_mm2(ring[::-1], arcs) == pytest.approx(exact, rel=1e-9)


@DERIVED
@settings(max_examples=60, deadline=None)
@given(st.floats(0.05, 300.0), st.floats(0.1, 6.2), st.floats(0.0, 6.28))
def test_chords_stay_within_the_stated_distance(radius: float, sweep: float, start: float) -> None:
    points = arc_points((3.0, 4.0), radius, start, sweep)
    middles = [(0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])) for a, b in pairwise(points)]
    assert max(radius - math.dist(middle, (3.0, 4.0)) for middle in middles) <= ARC_CHORD_MM * 1.0001


@DERIVED
@settings(max_examples=60, deadline=None)
@given(st.floats(-4.0, 4.0).filter(lambda b: abs(b) > 1e-3), st.floats(0.1, 100.0))
def test_a_bulge_names_its_arc(bulge: float, chord: float) -> None:
    """tan(sweep/4) = bulge; both ends lie on the circle; the sweep leads from one to the other."""
    centre, radius, start, sweep = bulge_arc((0.0, 0.0), (chord, 0.0), bulge)
    assert math.tan(sweep / 4) == pytest.approx(bulge)
    assert math.dist(centre, (0.0, 0.0)) == pytest.approx(radius)
    end = (centre[0] + radius * math.cos(start + sweep), centre[1] + radius * math.sin(start + sweep))
    assert end == pytest.approx((chord, 0.0), abs=1e-6 * max(1.0, radius))


@DERIVED
def test_the_chord_of_a_d_hole_stays_straight() -> None:
    """Both its ends lie on the circle, yet it is no arc: it is longer than chords may be."""
    ring = arc_points((0.0, 0.0), 10.0, math.radians(30), math.radians(300))
    vertices = true_curve(ring, [Arc(centre=(0.0, 0.0), radius_mm=10.0)])
    assert [bulge == 0.0 for _, _, bulge in vertices].count(True) == 1
    segment = 50.0 * (math.radians(300) - math.sin(math.radians(300)))
    assert ring_area_mm2(ring, [Arc(centre=(0.0, 0.0), radius_mm=10.0)]) == pytest.approx(segment, rel=1e-9)
    assert isinstance(named_shape(ring, [Arc(centre=(0.0, 0.0), radius_mm=10.0)]), Cutout)


@DERIVED
@settings(max_examples=40, deadline=None)
@given(st.floats(0.5, 60.0), st.floats(0.0, 6.28), st.integers(0, 50))
def test_a_whole_circle_is_a_hole_wherever_its_ring_starts(radius: float, start: float, turn: int) -> None:
    ring = arc_points((7.0, -2.0), radius, start, 2 * math.pi)[:-1]
    turn %= len(ring)
    arc = Arc(centre=(7.0, -2.0), radius_mm=radius)
    assert named_shape([*ring[turn:], *ring[:turn]], [arc]) == Circle(centre=(7.0, -2.0), diameter_mm=2 * radius)


@DERIVED
@settings(max_examples=40, deadline=None)
@given(st.floats(0.5, 20.0), st.floats(0.1, 80.0), st.floats(0.0, 179.0))
def test_a_slot_keeps_length_width_and_way(radius: float, straight: float, turned: float) -> None:
    c, s = math.cos(math.radians(turned)), math.sin(math.radians(turned))
    ends = [(0.5 * straight * c, 0.5 * straight * s), (-0.5 * straight * c, -0.5 * straight * s)]
    first = arc_points(ends[0], radius, math.radians(turned - 90), math.pi)
    ring = first + arc_points(ends[1], radius, math.radians(turned + 90), math.pi)
    slot = named_shape(ring, [Arc(centre=end, radius_mm=radius) for end in ends])
    assert isinstance(slot, Slot)
    assert (slot.length_mm, slot.width_mm) == pytest.approx((straight + 2 * radius, 2 * radius))
    assert math.sin(math.radians(2 * (slot.axis_deg - turned))) == pytest.approx(0.0, abs=1e-6)


@DERIVED
@settings(max_examples=40, deadline=None)
@given(st.floats(1.0, 20.0), st.floats(0.1, 0.9))
def test_arcs_survive_a_cut(radius: float, share: float) -> None:
    """A rounded plate cut by a straight line keeps the arcs beside the cut, and the area is that of the true shape."""
    width, height = 6 * radius, 4 * radius
    ring, arcs = rounded(width, height, radius)
    cut = radius + share * (width - 2 * radius)
    left = shapely.Polygon(ring).intersection(shapely.box(-1, -1, cut, height + 1))
    points = [(float(x), float(y)) for x, y in shapely.geometry.polygon.orient(left).exterior.coords[:-1]]
    assert ring_area_mm2(points, arcs) == pytest.approx(cut * height - 0.5 * (4 - math.pi) * radius**2, rel=1e-9)
    assert sum(1 for *_, bulge in true_curve(points, arcs) if bulge) == 2


@DERIVED
def test_ends_that_curve_inward_are_no_slot() -> None:
    """Straight sides of 20, ends biting in by half circles of radius 3: 120 - 2 x 9 pi / 2 is left."""
    right = arc_points((20.0, 3.0), 3.0, math.radians(-90), -math.pi)
    left = arc_points((0.0, 3.0), 3.0, math.radians(90), -math.pi)
    shape = named_shape(
        [*right, *left], [Arc(centre=(20.0, 3.0), radius_mm=3.0), Arc(centre=(0.0, 3.0), radius_mm=3.0)]
    )
    assert isinstance(shape, Cutout)
    assert ring_area_mm2(shape.points, shape.arcs) == pytest.approx(120 - 9 * math.pi, rel=1e-6)


@DERIVED
def test_a_polygon_is_no_hole() -> None:
    ring = [(20 * math.cos(i * math.pi / 8), 20 * math.sin(i * math.pi / 8)) for i in range(16)]
    assert isinstance(named_shape(ring, []), Cutout)
