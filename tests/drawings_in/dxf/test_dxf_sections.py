"""Sections drawn as lines or as closed contours give the part that is typed with the same outside dimensions."""

from __future__ import annotations

import math
import random
from pathlib import Path
from typing import Any

import pytest
from drawn_files import HEADER, document
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LineString

from bendwright.drawing.dxf.choices import DxfChoices, Face
from bendwright.drawing.dxf.read_section import read_dxf_section
from bendwright.drawing.quick_profile import quick_profile
from bendwright.drawing.reading import Reading
from bendwright.findings import PartFileError
from bendwright.part.bend_size import fixed_size
from bendwright.part.blank import make_blank
from bendwright.part.model import Part

K = math.tan(math.pi / 8.0)
"""Bulge of a quarter circle."""
TYPED = pytest.mark.origin("derived", "outside dimensions of sections, added up by hand")


def section(
    points: list[tuple[float, ...]], folder: Path, *, close: bool = False, loose: bool = False, **choices: Any
) -> Reading:
    """The section of a polyline (x, y, bulge), 300 mm long."""
    drawing = document()
    line = drawing.modelspace().add_lwpolyline(points, format="xyb", close=close)
    if loose:
        for entity in random.Random(3).sample(list(line.virtual_entities()), k=len(points) - (not close)):
            drawing.modelspace().add_entity(entity)
        drawing.modelspace().delete_entity(line)
    path = folder / "section.dxf"
    drawing.saveas(path)
    return read_dxf_section(path, header=HEADER, choices=DxfChoices(length_mm=300.0, **choices))


def facts(part: Part) -> tuple[list[float], list[tuple[str, float, float | None, str, float | None]]]:
    """Outside legs and bends in the order of their ids."""
    legs = {flange.id: flange.outline[2][1] for flange in part.flanges}
    bends = {
        bend.id: (bend.direction, bend.turned_deg, bend.drawn_radius_mm, bend.kind, bend.hem_gap_mm)
        for bend in part.bends
    }
    return [legs[name] for name in sorted(legs)], [bends[name] for name in sorted(bends)]


def same(part: Part, typed: str, thickness: float) -> None:
    """The part is the one typed in one line, but for the drawn radii."""
    from dataclasses import replace

    other = quick_profile(typed, header=replace(HEADER, thickness_mm=thickness))
    legs, bends = facts(part)
    other_legs, other_bends = facts(other)
    assert legs == pytest.approx(other_legs, abs=1e-9)
    assert [(b[0], round(b[1], 9), b[3]) for b in bends] == [(b[0], round(b[1], 9), b[3]) for b in other_bends]


@TYPED
@pytest.mark.parametrize(
    ("face", "typed"),
    [
        ("left", "32 u 54 u 22 d 20 x 300"),
        ("right", "30 u 50 u 22 d 22 x 300"),
        ("middle", "31 u 52 u 22 d 21 x 300"),
    ],
)
@pytest.mark.parametrize("loose", [False, True])
def test_sharp_lines_on_each_face(tmp_path: Path, face: Face, typed: str, loose: bool) -> None:
    """Legs 30, 50, 20, 20 drawn; 2 mm sheet. Drawn on the inside a leg is 2 mm longer outside, half of it in the middle."""
    points: list[tuple[float, ...]] = [(0, 30), (0, 0), (50, 0), (50, 20), (70, 20)]
    reading = section(points, tmp_path, face=face, thickness_mm=2.0, loose=loose)
    same(reading.part, typed, 2.0)
    assert reading.source == "dxf_section"


@TYPED
@pytest.mark.parametrize(("face", "drawn"), [("right", 5.0), ("left", 3.0), ("middle", 4.0)])
def test_arcs_on_each_face(tmp_path: Path, face: Face, drawn: float) -> None:
    """A channel 50 wide and 30 high outside, 2 mm sheet, inside radius 3: its outer, inner or middle line, with arcs."""
    off = {"right": 0.0, "left": 2.0, "middle": 1.0}[face]
    a, b, r = off, 50.0 - off, drawn
    points = [(a, 30, 0), (a, off + r, K), (a + r, off, 0), (b - r, off, K), (b, off + r, 0), (b, 30, 0)]
    part = section(points, tmp_path, face=face, thickness_mm=2.0).part
    same(part, "30 u 50 u 30 x 300", 2.0)
    assert [bend.drawn_radius_mm for bend in part.bends] == pytest.approx([3.0, 3.0])


@TYPED
def test_an_obtuse_turn_ends_at_the_outer_tangent(tmp_path: Path) -> None:
    """Turned 120 with inside radius 3, sheet 2, flats of 40: each leg 40 + R + t = 45."""
    turn = math.radians(120.0)
    bulge = math.tan(turn / 4.0)
    end = (40 + 3 * math.sin(turn), 3 - 3 * math.cos(turn))
    far = (end[0] + 40 * math.cos(turn), end[1] + 40 * math.sin(turn))
    part = section([(0, 0, 0), (40, 0, bulge), (*end, 0), (*far, 0)], tmp_path, thickness_mm=2.0).part
    legs, ((way, turned, radius, _, _),) = facts(part)
    assert legs == pytest.approx([45.0, 45.0])
    assert (way, turned, radius) == pytest.approx(("up", 120.0, 3.0))


@TYPED
@pytest.mark.parametrize("radii", ["both", "inside only", "none"])
def test_closed_contours(tmp_path: Path, radii: str) -> None:
    """The channel as the contour of its 2 mm sheet; thickness and radius come out of it."""
    if radii == "both":
        points = [
            (0, 30, 0),
            (0, 5, K),
            (5, 0, 0),
            (45, 0, K),
            (50, 5, 0),
            (50, 30, 0),
            (48, 30, 0),
            (48, 5, -K),
            (45, 2, 0),
        ]
        points += [(5, 2, -K), (2, 5, 0), (2, 30, 0)]
    elif radii == "inside only":
        points = [
            (0, 30, 0),
            (0, 0, 0),
            (50, 0, 0),
            (50, 30, 0),
            (48, 30, 0),
            (48, 5, -K),
            (45, 2, 0),
            (5, 2, -K),
            (2, 5, 0),
        ]
        points += [(2, 30, 0)]
    else:
        points = [(0, 30, 0), (0, 0, 0), (50, 0, 0), (50, 30, 0), (48, 30, 0), (48, 2, 0), (2, 2, 0), (2, 30, 0)]
    reading = section(points, tmp_path, close=True)
    assert reading.part.header.thickness_mm == pytest.approx(2.0)
    same(reading.part, "30 u 50 u 30 x 300", 2.0)
    wanted = [None, None] if radii == "none" else [3.0, 3.0]
    assert [bend.drawn_radius_mm for bend in reading.part.bends] == (
        wanted if radii == "none" else pytest.approx(wanted)
    )


@TYPED
def test_a_hem_at_the_end(tmp_path: Path) -> None:
    """A half circle of radius 2 on the outer face with 1 mm sheet: an open hem with a gap of 2; leg 50 + 2, hem 10 + 2."""
    points = [(10, 4, 0), (0, 4, 1), (0, 0, 0), (50, 0, 0), (50, 30, 0)]
    part = section(points, tmp_path, face="right", thickness_mm=1.0).part
    legs, bends = facts(part)
    assert legs == pytest.approx([52.0, 12.0, 30.0])
    assert bends[1] == ("up", 180.0, None, "hem_open", pytest.approx(2.0))


@TYPED
def test_texts_units_and_length(tmp_path: Path) -> None:
    """An inch drawing of a 1 in x 2 in angle with its thickness in a text."""
    drawing = document(units=1)
    drawing.modelspace().add_lwpolyline([(0, 1), (0, 0), (2, 0)])
    drawing.modelspace().add_text('t = 0.1"', height=0.1).set_placement((1, 1))
    path = tmp_path / "section.dxf"
    drawing.saveas(path)
    part = read_dxf_section(path, header=HEADER, choices=DxfChoices(length_mm=100.0, face="right", unit="inch")).part
    assert facts(part)[0] == pytest.approx([25.4, 50.8])
    assert part.header.thickness_mm == pytest.approx(2.54)


@pytest.mark.origin("law", "the blank of a closed section is as wide as the sheet's middle line is long at K 0.5")
@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(15, 60), st.sampled_from([-90.0, -60.0, -30.0, 30.0, 45.0, 90.0])), min_size=1, max_size=4
    ),
    st.floats(15, 60),
    st.sampled_from([1.0, 2.0]),
    st.sampled_from([1.0, 2.5]),
)
def test_length_of_the_middle_line(
    tmp_path_factory: Any, legs: list[tuple[float, float]], last: float, t: float, r: float
) -> None:
    """Drawn as the middle line with tangent arcs; flats plus arcs is the developed length."""
    x, y, heading = 0.0, 0.0, 0.0
    points: list[tuple[float, ...]] = []
    total = last
    for flat, turned in legs:
        turn = math.radians(turned)
        points.append((x, y, 0.0))
        x, y = x + flat * math.cos(heading), y + flat * math.sin(heading)
        points.append((x, y, math.tan(turn / 4.0)))
        rho = (r + 0.5 * t) * (1.0 if turn > 0 else -1.0)
        x += rho * (math.sin(heading + turn) - math.sin(heading))
        y -= rho * (math.cos(heading + turn) - math.cos(heading))
        heading += turn
        total += flat + abs(rho * turn)
    points += [(x, y, 0.0), (x + last * math.cos(heading), y + last * math.sin(heading), 0.0)]
    assume(not len(LineString([point[:2] for point in points]).buffer(2.0 * t).interiors))
    try:
        reading = section(points, tmp_path_factory.mktemp("section"), face="middle", thickness_mm=t)
    except PartFileError as error:
        assume("P142" not in {item.code for item in error.findings})
        raise
    sizes = {bend.id: fixed_size(bend, inside_radius_mm=r, k_factor=0.5, thickness_mm=t) for bend in reading.part.bends}
    blank = make_blank(reading.part, sizes, thickness_mm=t)
    assert min(blank.width_mm, blank.height_mm) == pytest.approx(min(total, 300.0), abs=1e-5)
    assert blank.area_mm2 == pytest.approx(300.0 * total, rel=1e-7)
