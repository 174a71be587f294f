"""Every kind of entity comes out as the curve it is: held against areas and sizes worked out by hand and the library's own curves."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from drawn_files import box, document, part, read, ring_area, saved
from ezdxf.math import BSpline
from hypothesis import given, settings
from hypothesis import strategies as st

from bendwright.drawing.dxf.choices import DxfChoices
from bendwright.drawing.dxf.curves import arc, arc_through
from bendwright.drawing.dxf.drawn import drawn_from_data, drawn_to_data
from bendwright.drawing.dxf.exact import exact_curves
from bendwright.drawing.dxf.fitted_arcs import b_spline, ellipse, fitted_arcs, spline_breaks
from bendwright.drawing.dxf.parse import parse_dxf
from bendwright.drawing.dxf.parse_apart import parse_dxf_apart, parsed
from bendwright.drawing.dxf.read_flat import flat_size
from bendwright.drawing.reading import ReadLimits
from bendwright.part.model import Circle, Cutout, Slot

TOLERANCE = 0.005
HALF = math.tan(math.pi / 4.0)


@pytest.mark.origin("derived", "area of a stadium: 80 x 40 and two half circles of radius 20")
def test_polyline_with_bulges(tmp_path: Path) -> None:
    drawing = document()
    points = [(0, 0, 0), (80, 0, HALF), (80, 40, 0), (0, 40, HALF)]
    drawing.modelspace().add_lwpolyline(points, format="xyb", close=True)
    size = flat_size(saved(drawing, tmp_path))
    assert (size.width_mm, size.height_mm) == pytest.approx((120.0, 40.0), abs=2 * TOLERANCE)
    assert size.area_mm2 == pytest.approx(80 * 40 + math.pi * 20**2, rel=1e-9)


@pytest.mark.origin("law", "a polyline, its old form and its single lines and arcs are one contour")
@pytest.mark.parametrize("form", ["lwpolyline", "polyline", "lines", "turned over", "raised"])
def test_one_contour_in_many_forms(tmp_path: Path, form: str) -> None:
    drawing = document()
    space = drawing.modelspace()
    points = [(0, 0, 0), (100, 0, 0.3), (110, 50, 0), (40, 60, -0.2), (0, 50, 0)]
    if form in ("lwpolyline", "raised"):
        extra = {"elevation": 7.5} if form == "raised" else {}
        space.add_lwpolyline(points, format="xyb", close=True, dxfattribs=extra)
    elif form == "polyline":
        space.add_polyline2d(points, format="xyb", close=True)
    elif form == "turned over":
        mirrored = [(-x, y, -bulge) for x, y, bulge in points]
        space.add_lwpolyline(mirrored, format="xyb", close=True, dxfattribs={"extrusion": (0, 0, -1)})
    else:
        for entity in space.add_lwpolyline(points, format="xyb", close=True).virtual_entities():
            space.add_entity(entity)
        space.delete_entity(space[0])
    size = flat_size(saved(drawing, tmp_path))
    assert size.area_mm2 == pytest.approx(ring_area(points), rel=1e-9)


@pytest.mark.origin("derived", "pi times the two half axes")
def test_ellipse_as_outline(tmp_path: Path) -> None:
    drawing = document()
    drawing.modelspace().add_ellipse((10, 20), major_axis=(60, 30), ratio=0.4)
    size = flat_size(saved(drawing, tmp_path))
    long = math.hypot(60, 30)
    assert size.area_mm2 == pytest.approx(math.pi * long * 0.4 * long, rel=2e-4)


@pytest.mark.origin("derived", "pi r squared; a circle drawn as a rational spline is a round hole again")
def test_circle_as_spline_is_a_round_hole(tmp_path: Path) -> None:
    drawing = document()
    space = drawing.modelspace()
    box(drawing, 0, 0, 80, 60)
    for start in (0.0, 120.0, 240.0):
        curve = BSpline.from_arc(_construction_arc((40, 30), 12.0, start, start + 120.0))
        space.add_spline().apply_construction_tool(curve)
    (hole,) = part(drawing, tmp_path).flanges[0].features
    assert isinstance(hole, Circle)
    assert hole.centre == pytest.approx((40, 30), abs=1e-3)
    assert hole.diameter_mm == pytest.approx(24.0, abs=1e-3)


def _construction_arc(centre: tuple[float, float], radius: float, start: float, end: float) -> object:
    from ezdxf.math import ConstructionArc

    return ConstructionArc(centre, radius, start, end)


@pytest.mark.origin("law", "another implementation of B-splines, at many parameters")
@settings(max_examples=60, deadline=None)
@given(
    st.integers(1, 5),
    st.lists(st.tuples(st.floats(-200, 200), st.floats(-200, 200)), min_size=6, max_size=14),
    st.lists(st.floats(0.2, 5.0), min_size=14, max_size=14),
    st.booleans(),
)
def test_splines_as_another_program_evaluates_them(
    degree: int, points: list[tuple[float, float]], weights: list[float], rational: bool
) -> None:
    used = weights[: len(points)] if rational else None
    other = BSpline(points, degree + 1, weights=used)
    knots = [float(knot) for knot in other.knots()]
    breaks = spline_breaks(knots, degree)
    at = np.linspace(breaks[0], breaks[-1], 41)
    own = b_spline(points, knots, used or (), degree)(at)
    theirs = np.array([(point.x, point.y) for point in other.points(at)])
    assert np.abs(own - theirs).max() < 1e-7


@pytest.mark.origin("law", "no point of the curve lies farther from its arcs than the tolerance stated")
@settings(max_examples=40, deadline=None)
@given(st.floats(1.0, 500.0), st.floats(0.05, 1.0), st.floats(0.0, 6.2), st.sampled_from([0.001, 0.005, 0.05]))
def test_fitted_arcs_keep_their_tolerance(size: float, ratio: float, turn: float, tolerance: float) -> None:
    u = (size * math.cos(turn), size * math.sin(turn))
    v = (-ratio * u[1], ratio * u[0])
    breaks = [i * math.pi / 2.0 for i in range(5)]
    curves = fitted_arcs(ellipse((3.0, -4.0), u, v), breaks, tolerance_mm=tolerance)
    at = np.linspace(0.0, 2.0 * math.pi, 501)
    points = ellipse((3.0, -4.0), u, v)(at)
    worst = max(min(curve.foot((x, y))[1] for curve in curves) for x, y in points[::5])
    assert worst <= 1.5 * tolerance
    assert math.dist(curves[0].start, curves[-1].end) < 1e-9


@pytest.mark.origin("law", "an arc passes the three points it is drawn through")
@given(st.tuples(*[st.floats(-100, 100)] * 6))
def test_arc_through_three_points(numbers: tuple[float, ...]) -> None:
    a, b, c = (numbers[0:2], numbers[2:4], numbers[4:6])
    area = abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))
    if area < 1.0 or min(math.dist(a, b), math.dist(b, c), math.dist(a, c)) < 1.0:
        return
    curve = arc_through(a, b, c)
    assert curve is not None
    assert curve.foot(b)[1] < 1e-6
    assert math.dist(curve.at(1.0), c) < 1e-6 * max(1.0, curve.radius_mm)


@pytest.mark.origin("derived", "share of an arc by hand: a quarter circle, its middle and beyond both ends")
def test_foot_of_an_arc() -> None:
    quarter = arc((0.0, 0.0), 10.0, 0.0, math.pi / 2.0)
    middle = (20.0 * math.cos(math.pi / 4), 20.0 * math.sin(math.pi / 4))
    assert quarter.foot(middle) == pytest.approx((0.5, 10.0))
    assert quarter.foot((10.0, -5.0)) == pytest.approx((0.0, 5.0))
    assert quarter.reversed().foot((-5.0, 10.0)) == pytest.approx((0.0, 5.0))


@pytest.mark.origin(
    "derived", "block of 10 x 10 windows, scaled, turned, mirrored, in rows and nested: areas and places by hand"
)
def test_blocks(tmp_path: Path) -> None:
    drawing = document()
    block = drawing.blocks.new("WINDOW")
    block.add_lwpolyline([(0, 0), (10, 0), (10, 10), (0, 10)], close=True)
    nest = drawing.blocks.new("NEST")
    nest.add_blockref("WINDOW", (5, 5), dxfattribs={"xscale": 2, "yscale": -1})
    space = drawing.modelspace()
    box(drawing, 0, 0, 300, 200)
    space.add_blockref(
        "WINDOW", (20, 20), dxfattribs={"row_count": 2, "column_count": 3, "row_spacing": 20, "column_spacing": 30}
    )
    space.add_blockref("NEST", (150, 100), dxfattribs={"rotation": 90})
    space.add_blockref("WINDOW", (-250, 20), dxfattribs={"extrusion": (0, 0, -1)})
    size = flat_size(saved(drawing, tmp_path))
    assert size.area_mm2 == pytest.approx(300 * 200 - 6 * 100 - 200 - 100)
    features = part(drawing, tmp_path).flanges[0].features
    corners = {min(feature.points) for feature in features if isinstance(feature, Cutout)}
    assert any(corner == pytest.approx((80, 40)) for corner in corners)
    assert any(corner == pytest.approx((145, 105)) for corner in corners)
    assert any(corner == pytest.approx((240, 20)) for corner in corners)


@pytest.mark.origin("derived", "a circle stretched in a block to twice its width: pi times 10 times 5")
def test_block_scaled_unevenly(tmp_path: Path) -> None:
    drawing = document()
    drawing.blocks.new("HOLE").add_circle((0, 0), 5)
    box(drawing, 0, 0, 100, 60)
    drawing.modelspace().add_blockref("HOLE", (50, 30), dxfattribs={"xscale": 2, "yscale": 1})
    size = flat_size(saved(drawing, tmp_path))
    assert size.area_mm2 == pytest.approx(100 * 60 - math.pi * 50, abs=0.2)


@pytest.mark.origin("derived", "what a slot is: overall length, width, axis")
@pytest.mark.parametrize("form", ["polyline", "six curves", "turned"])
def test_slots_are_recognised(tmp_path: Path, form: str) -> None:
    drawing = document()
    space = drawing.modelspace()
    box(drawing, 0, 0, 100, 60)
    if form == "six curves":
        space.add_line((40, 25), (50, 25))
        space.add_line((60, 25), (50, 25))
        space.add_arc((60, 30), 5, 270, 0)
        space.add_arc((60, 30), 5, 0, 90)
        space.add_line((60, 35), (40, 35))
        space.add_arc((40, 30), 5, 90, 270)
    else:
        turn = math.radians(30.0 if form == "turned" else 0.0)
        corners = [(-10, -5, 0), (10, -5, 1), (10, 5, 0), (-10, 5, 1)]
        c, s = math.cos(turn), math.sin(turn)
        moved = [(50 + x * c - y * s, 30 + x * s + y * c, bulge) for x, y, bulge in corners]
        space.add_lwpolyline(moved, format="xyb", close=True)
    (slot,) = part(drawing, tmp_path).flanges[0].features
    assert isinstance(slot, Slot)
    assert slot.centre == pytest.approx((50, 30))
    assert (slot.length_mm, slot.width_mm) == pytest.approx((30, 10))
    assert slot.axis_deg % 180.0 == pytest.approx(30.0 if form == "turned" else 0.0, abs=1e-9)


@pytest.mark.origin("law", "a drawing in inch is the same part as the one in mm")
def test_inch_drawing(tmp_path: Path) -> None:
    from drawn_files import angle_bracket

    mm, inch = angle_bracket(), angle_bracket(units=1, scale=1 / 25.4)
    sizes = [flat_size(saved(drawing, tmp_path, f"{n}.dxf")) for n, drawing in enumerate((mm, inch))]
    assert sizes[0].area_mm2 == pytest.approx(sizes[1].area_mm2)
    assert sizes[1].width_mm == pytest.approx(100.0)


@pytest.mark.origin("law", "the record survives JSON; a process of its own reads the same")
def test_record_of_a_file(tmp_path: Path) -> None:
    drawing = document()
    box(drawing, 0, 0, 50, 40, layer="CUT")
    space = drawing.modelspace()
    space.add_spline([(5, 5), (10, 12), (20, 8), (30, 20)])
    space.add_ellipse((20, 20), (5, 1), 0.5)
    space.add_text("UP 90", dxfattribs={"height": 3}).set_placement((3, 4))
    path = saved(drawing, tmp_path)
    drawn = parse_dxf(path)
    assert drawn_from_data(drawn_to_data(drawn)) == drawn
    assert parse_dxf_apart(path, ReadLimits()) == drawn
    assert parsed(path, apart_from_mb=0.0, limits=ReadLimits()) == drawn
    (text,) = drawn.texts
    assert (text.text, text.at, text.height) == ("UP 90", (3.0, 4.0), 3.0)
    assert text.to == pytest.approx((3.0 + 5 * 0.7 * 3.0, 4.0))
    curves, bad = exact_curves(drawn.curves, mm_per_unit=1.0, tolerance_mm=TOLERANCE)
    assert bad == 0
    assert len(curves) > 6


@pytest.mark.origin("law", "binary and ASCII, old and new versions of one drawing are the same part")
@pytest.mark.parametrize("version", ["R12", "R2000", "R2007", "R2018"])
@pytest.mark.parametrize("binary", [False, True])
def test_versions(tmp_path: Path, version: str, binary: bool) -> None:
    drawing = document(version=version)
    drawing.modelspace().add_circle((20, 15), 4)
    box(drawing, 0, 0, 100, 60)
    path = tmp_path / "flat.dxf"
    drawing.saveas(path, fmt="bin" if binary else "asc")
    assert flat_size(path).area_mm2 == pytest.approx(6000 - math.pi * 16)


@pytest.mark.origin("law", "the choice of the tolerance is kept")
def test_tolerance_is_a_choice(tmp_path: Path) -> None:
    drawing = document()
    drawing.modelspace().add_ellipse((0, 0), major_axis=(200, 0), ratio=0.3)
    path = saved(drawing, tmp_path)
    true = math.pi * 200 * 60
    fine = flat_size(path, choices=DxfChoices(curve_tolerance_mm=0.0005)).area_mm2
    coarse = flat_size(path, choices=DxfChoices(curve_tolerance_mm=0.5)).area_mm2
    assert abs(fine - true) < 0.5
    assert abs(fine - true) < abs(coarse - true) < 300.0


@pytest.mark.origin("law", "the findings of a sound file are notes only")
def test_a_sound_file_is_no_matter(tmp_path: Path) -> None:
    from drawn_files import TURNED, angle_bracket

    reading = read(angle_bracket(), tmp_path, **TURNED, inside_radius_mm=2.0, k_factor=0.42)
    assert {item.severity for item in reading.findings} == {"note"}
