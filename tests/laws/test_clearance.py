"""Laws of the clearance kernels, held against shapely (an outside geometry library) and against fine sampling."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from bendwright.geometry.convex import convex_hull, convex_pieces, is_convex, pack
from bendwright.geometry.kernels import convex_gap, die_rise, swing_gap, swing_ring
from bendwright.geometry.pair_table import plates_apart
from bendwright.geometry.swing_table import hull_of

LAW = pytest.mark.origin("law", "agreement with shapely, or with fine sampling of the same motion")
coordinate = st.floats(-60.0, 60.0).map(lambda v: round(v, 3))
cloud = st.lists(st.tuples(coordinate, coordinate), min_size=3, max_size=9)


def ring_of(points: list[tuple[float, float]]) -> np.ndarray | None:  # type: ignore[type-arg]
    """Convex hull of a cloud when it is no sliver."""
    ring = convex_hull(np.array(points))
    return ring if len(ring) >= 3 and shapely.Polygon(ring).area > 1.0 else None


@LAW
@settings(max_examples=200, deadline=None)
@given(cloud, cloud)
def test_gap_of_two_convex_outlines(first: list[tuple[float, float]], second: list[tuple[float, float]]) -> None:
    """Apart: the distance shapely gives. Overlapping: negative, and moving one outline by that much parts them."""
    a, b = ring_of(first), ring_of(second)
    if a is None or b is None:
        return
    gap = convex_gap(a, len(a), b, len(b), 1e9)
    one, two = shapely.Polygon(a), shapely.Polygon(b)
    common = one.intersection(two).area
    if common > 1e-6:
        assert gap < 0.0
        turns = np.linspace(0.0, 2.0 * math.pi, 721)
        moved = [shapely.affinity.translate(two, -gap * 1.001 * math.cos(t), -gap * 1.001 * math.sin(t)) for t in turns]
        least = min(one.intersection(shape).area for shape in moved)
        assert least < 0.02 * min(one.area, two.area) + 0.5
    else:
        assert gap == pytest.approx(one.distance(two), abs=1e-6 + 2.0 * math.sqrt(common))


@LAW
@settings(max_examples=100, deadline=None)
@given(cloud)
def test_compiled_hull_is_the_hull(points: list[tuple[float, float]]) -> None:
    """The compiled hull has the area shapely gives."""
    cloud3 = np.column_stack([np.array(points), np.zeros(len(points))])
    ring, order = np.empty((2 * len(points) + 4, 2)), np.empty(len(points), dtype=np.int64)
    size = hull_of(cloud3, len(points), ring, order)
    expected = shapely.MultiPoint(points).convex_hull.area
    area = shapely.Polygon(ring[:size]).area if size >= 3 else 0.0
    assert area == pytest.approx(expected, abs=1e-6)


@LAW
@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.floats(5.0, 50.0), st.floats(0.2, 1.0)), min_size=5, max_size=24))
def test_convex_pieces_cover_the_outline(spokes: list[tuple[float, float]]) -> None:
    """A star-shaped outline is cut into convex pieces of at most 16 corners whose areas add up to its own."""
    turns = np.linspace(0.0, 2.0 * math.pi, len(spokes), endpoint=False)
    ring = [(r * s * math.cos(t), r * s * math.sin(t)) for (r, s), t in zip(spokes, turns, strict=True)]
    shape = shapely.Polygon(ring)
    if not shape.is_valid or shape.area < 1.0:
        return
    pieces = convex_pieces(ring)
    assert all(len(piece) <= 16 and is_convex([tuple(p) for p in piece]) for piece in pieces)
    assert sum(shapely.Polygon(piece).area for piece in pieces) == pytest.approx(shape.area, rel=1e-9)


@LAW
@pytest.mark.parametrize("tip", ["point", "arc"])
def test_an_outline_that_touches_itself_is_its_pieces(tip: str) -> None:
    """A notch from below just reaches the upper edge: the pieces are the plate without the notch."""
    arc = [(50.0 - 5.0 * math.cos(t), 5.0 + 5.0 * math.sin(t)) for t in np.linspace(0.0, math.pi, 17)]
    notch = arc if tip == "arc" else [(50.0, 10.0)]
    ring = [(0.0, 0.0), (45.0, 0.0), *notch, (55.0, 0.0), (100.0, 0.0), (100.0, 10.0), (0.0, 10.0)]
    taken = shapely.Polygon([(45.0, 0.0), *notch, (55.0, 0.0)]).area
    pieces = convex_pieces(ring)
    assert all(is_convex([tuple(p) for p in piece]) for piece in pieces)
    assert sum(shapely.Polygon(piece).area for piece in pieces) == pytest.approx(1000.0 - taken, rel=1e-9)
    assert not any(shapely.Polygon(piece).contains(shapely.Point(50.0, 9.0)) for piece in pieces)


@LAW
@settings(max_examples=40, deadline=None)
@given(
    st.floats(20.0, 150.0), st.floats(-40.0, 60.0), st.floats(5.0, 60.0), st.floats(1.0, 30.0), st.floats(30.0, 130.0),
    st.booleans(),
)  # fmt: skip
def test_swing_gap_is_the_least_of_the_swing(
    u: float, v: float, width: float, height: float, turned_deg: float, moving: bool
) -> None:
    """No finely sampled pose comes closer than the kernel says, and some pose comes as close (0.05 mm)."""
    ring = np.array([(u, v), (u + width, v), (u + width, v + height), (u, v + height)])
    tool = np.array([(-7.0, 8.0), (7.0, 8.0), (7.0, 120.0), (-7.0, 120.0)])
    if moving:
        tool = np.array([(-13.0, -60.0), (13.0, -60.0), (13.0, 0.0), (-13.0, 0.0)])
    rings, counts = pack([tool])
    allowance = math.radians(turned_deg) * (2.56 + 0.84)
    bend = (math.radians(turned_deg), allowance, 0.84, 2.0, 8.0, 1.0)
    gap, at, _ = swing_gap(ring, 4, rings, counts, moving, bend, 500.0, 0.01, 0.0)
    out, lows = np.empty((4, 2)), []
    for turned in np.linspace(0.0, bend[0], 600):
        swing_ring(ring, 4, turned, allowance, 0.84, out)
        lift = die_rise(turned, *bend[1:]) if moving else 0.0
        lows.append(convex_gap(out, 4, tool + np.array([0.0, lift]), 4, 1e9))
    assert gap <= min(lows) + 0.011
    assert gap >= min(lows) - 0.35
    assert 0.0 <= at <= bend[0]


def nearest_distance(a: np.ndarray, b: np.ndarray) -> float:  # type: ignore[type-arg]
    """Distance of two convex hulls in space by Gilbert's iteration: an upper bound that converges."""
    point = a[0] - b[0]
    for _ in range(4000):
        corner = a[np.argmin(a @ point)] - b[np.argmax(b @ point)]
        step = point - corner
        if point @ step <= 1e-10:
            break
        share = min(1.0, max(0.0, float(point @ step) / float(step @ step)))
        point = point - share * step
    return float(np.linalg.norm(point))


@LAW
@settings(max_examples=80, deadline=None)
@given(
    st.lists(st.floats(-40.0, 40.0), min_size=3, max_size=3),
    st.lists(st.floats(-1.5, 1.5), min_size=3, max_size=3),
    st.floats(10.0, 60.0),
)
def test_plates_in_space(shift: list[float], turn: list[float], size: float) -> None:
    """A separating direction is found just when the plates are apart, and its width never exceeds their distance."""
    ring = np.array([(0.0, 0.0), (size, 0.0), (0.8 * size, 25.0), (0.0, 25.0)])
    plate = np.vstack([np.column_stack([ring, np.full(4, z)]) for z in (-1.0, 1.0)])
    x, y, z = turn
    rx = np.array([[1, 0, 0], [0, math.cos(x), -math.sin(x)], [0, math.sin(x), math.cos(x)]])
    ry = np.array([[math.cos(y), 0, math.sin(y)], [0, 1, 0], [-math.sin(y), 0, math.cos(y)]])
    rz = np.array([[math.cos(z), -math.sin(z), 0], [math.sin(z), math.cos(z), 0], [0, 0, 1]])
    other = np.ascontiguousarray(plate @ (rx @ ry @ rz).T + np.array(shift))
    apart = plates_apart(plate, other, 1e9)
    distance = nearest_distance(plate, other)
    if apart > 0.0:
        assert distance >= apart - 0.05
    if apart < -0.2:
        assert distance < 0.3
