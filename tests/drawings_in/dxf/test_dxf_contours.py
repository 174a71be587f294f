"""Closed contours out of loose curves: gaps, doubles, branches, rings in rings, several parts, units."""

from __future__ import annotations

import math
import random
from pathlib import Path

import pytest
from drawn_files import TURNED, angle_bracket, box, document, part, read, refused, ring_area, said, saved
from hypothesis import given, settings
from hypothesis import strategies as st

from bendwright.drawing.dxf.choices import DxfChoices
from bendwright.drawing.dxf.curves import line
from bendwright.drawing.dxf.loops import loops_of
from bendwright.drawing.dxf.network import network
from bendwright.drawing.dxf.read_flat import flat_size
from bendwright.drawing.dxf.rings import ring_of
from bendwright.part.model import Circle

HAND = pytest.mark.origin("derived", "areas and places of rectangles and circles, by hand")


def codes(findings: object) -> list[str]:
    """The codes of findings."""
    return [item.code for item in findings]  # type: ignore[attr-defined]


@pytest.mark.origin("law", "a contour is the same whatever the order, the direction and the cutting of its curves")
@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.floats(30, 100), st.floats(-0.8, 0.8)), min_size=3, max_size=9),
    st.integers(0, 10_000),
)
def test_loose_curves_in_any_order(spokes: list[tuple[float, float]], seed: int) -> None:
    rng = random.Random(seed)
    count = len(spokes)
    vertices = [
        (r * math.cos(2 * math.pi * n / count), r * math.sin(2 * math.pi * n / count), bulge if count > 4 else 0.0)
        for n, (r, bulge) in enumerate(spokes)
    ]
    vertices = [(x, y, 0.2 * bulge) for x, y, bulge in vertices]
    curves = []
    for (x, y, bulge), (u, v, _) in zip(vertices, [*vertices[1:], vertices[0]], strict=True):
        if abs(bulge) < 1e-6:
            own = [line((x, y), (u, v))]
        else:
            from bendwright.drawing.dxf.curves import arc
            from bendwright.part.contour import bulge_arc

            own = [arc(*bulge_arc((x, y), (u, v), bulge))]
        curves += own[0].cut([rng.uniform(0.2, 0.8)])
    rng.shuffle(curves)
    curves = [curve.reversed() if rng.random() < 0.5 else curve for curve in curves]
    net = network(curves, gap_mm=0.05)
    loops = loops_of(net)
    assert len(loops.loops) == 1
    assert not loops.chains
    ring = ring_of(loops.loops[0], tolerance_mm=0.005)
    assert ring is not None
    true = ring_area([(x, y, 0.0 if abs(bulge) < 1e-6 else bulge) for x, y, bulge in vertices])
    assert ring.area_mm2 == pytest.approx(true, rel=1e-7)


@HAND
def test_gaps_are_closed_and_told(tmp_path: Path) -> None:
    drawing = document()
    space = drawing.modelspace()
    for start, end in (((0, 0), (100, 0)), ((100.03, 0), (100, 60)), ((100, 60.02), (0, 60)), ((0, 60), (0, 0))):
        space.add_line(start, end)
    findings = read(drawing, tmp_path).findings
    assert said(findings, "D313") == [
        "Gaps of at most 0.05 mm were closed (2): 0.030 mm at (100.02, 0.00), 0.020 mm at (100.00, 60.01)."
    ]
    assert flat_size(saved(drawing, tmp_path)).area_mm2 == pytest.approx(6000.0, abs=2.0)


@HAND
def test_a_wider_gap_is_an_open_outline(tmp_path: Path) -> None:
    drawing = document()
    space = drawing.modelspace()
    for start, end in (((0, 0), (100, 0)), ((100.3, 0), (100, 60)), ((100, 60), (0, 60)), ((0, 60), (0, 0))):
        space.add_line(start, end)
    space.add_circle((50, 30), 5)
    (finding,) = [item for item in refused(drawing, tmp_path) if item.severity == "error"]
    assert finding.sentence == (
        "There is no closed outline; loose ends lie apart by: 0.300 mm at (100.15, 0.00). Gaps up to 0.05 mm are closed."
    )
    size = flat_size(saved(drawing, tmp_path), choices=DxfChoices(gap_mm=0.5))
    assert size.area_mm2 == pytest.approx(6000.0 - math.pi * 25.0, abs=10.0)


@HAND
def test_lines_drawn_twice_and_partly_twice(tmp_path: Path) -> None:
    drawing = document()
    space = drawing.modelspace()
    box(drawing, 0, 0, 100, 60)
    space.add_line((100, 60), (0, 60))
    space.add_line((20, 0), (70, 0))
    space.add_circle((50, 30), 5)
    space.add_circle((50, 30), 5)
    space.add_lwpolyline([(10, 10), (20, 10), (20, 20), (10, 20)], close=True)
    space.add_lwpolyline([(20, 20), (20, 10), (10, 10), (10, 20)], close=True)
    findings = read(drawing, tmp_path).findings
    assert flat_size(saved(drawing, tmp_path)).area_mm2 == pytest.approx(6000.0 - math.pi * 25.0 - 100.0)
    (sentence,) = said(findings, "D314")
    assert "(50.00, 60.00)" in sentence
    assert "(45.00, 0.00)" in sentence
    assert sentence.startswith("Curves drawn twice were used once (7)")


@HAND
def test_plain_lines_from_edge_to_edge_are_bend_lines(tmp_path: Path) -> None:
    """Ends on the corners of the contour, on its sides, or a little short of them."""
    for start, end in (((0, 30), (100, 30)), ((0.2, 30), (99.9, 30)), ((0, 0), (100, 60))):
        drawing = angle_bracket(line=False)
        drawing.modelspace().add_line(start, end)
        reading = part(drawing, tmp_path)
        assert len(reading.bends) == 1, (start, end)


@HAND
def test_a_box_drawn_all_in_plain_lines(tmp_path: Path) -> None:
    """Four bend lines that meet in the corners of the notches make no window in the middle."""
    drawing = document()
    cross = [
        (20, 0),
        (80, 0),
        (80, 20),
        (100, 20),
        (100, 80),
        (80, 80),
        (80, 100),
        (20, 100),
        (20, 80),
        (0, 80),
        (0, 20),
        (20, 20),
    ]
    space = drawing.modelspace()
    for start, end in zip(cross, cross[1:] + cross[:1], strict=True):
        space.add_line(start, end)
    box(drawing, 20, 20, 80, 80)
    made = part(drawing, tmp_path)
    assert len(made.bends) == 4
    assert made.flanges[0].features == ()


@HAND
def test_bend_lines_that_end_on_each_other(tmp_path: Path) -> None:
    """Plain lines in the shape of an H: the middle one hangs on the two others, and no ring between them is a hole.

    All five bends together close the sheet in a ring; without the middle one two are left.
    """
    drawing = document()
    space = drawing.modelspace()
    box(drawing, 0, 0, 100, 90)
    space.add_line((0, 20), (100, 20))
    space.add_line((0, 70), (100, 70))
    space.add_line((50, 20), (50, 70))
    findings = refused(drawing, tmp_path, **TURNED)
    assert [item.code for item in findings if item.severity == "error"] == ["D340"]
    made = part(drawing, tmp_path, left_out=(3,))
    assert len(made.bends) == 2
    assert sum(len(flange.features) for flange in made.flanges) == 0


@HAND
def test_countersinks_keep_the_smaller_edge(tmp_path: Path) -> None:
    drawing = angle_bracket(line=False)
    drawing.modelspace().add_circle((20, 15), 6.0)
    reading = read(drawing, tmp_path)
    (hole,) = reading.part.flanges[0].features
    assert isinstance(hole, Circle)
    assert hole.diameter_mm == 8.0
    assert said(reading.findings, "D327") == [
        "Holes drawn with two edges, as countersinks are, are cut to the smaller one (1): (20.00, 15.00)."
    ]


@HAND
def test_several_parts_are_listed_and_chosen(tmp_path: Path) -> None:
    drawing = angle_bracket(line=False)
    box(drawing, 200, 0, 240, 60)
    box(drawing, 300, 0, 302, 2)
    (finding,) = [item for item in refused(drawing, tmp_path) if item.severity == "error"]
    assert finding.sentence == (
        "The file holds 2 outlines of parts: 1: 100.00 x 60.00 mm at (0.00, 0.00), "
        "2: 40.00 x 60.00 mm at (200.00, 0.00)."
    )
    reading = read(drawing, tmp_path, outline=2)
    assert reading.part.flanges[0].outline[0] in {(200, 0), (240, 0), (240, 60), (200, 60)}
    assert flat_size(saved(drawing, tmp_path), choices=DxfChoices(outline=2)).area_mm2 == pytest.approx(2400)
    assert len(said(reading.findings, "D324")) == 1


@HAND
def test_a_drawing_frame_is_no_part(tmp_path: Path) -> None:
    drawing = angle_bracket(line=False)
    box(drawing, -50, -50, 247, 160)
    reading = read(drawing, tmp_path)
    assert said(reading.findings, "D326") == [
        "The rectangle 297.00 x 210.00 mm at (-50.00, -50.00) round everything was taken as a drawing frame."
    ]
    assert flat_size(saved(drawing, tmp_path)).area_mm2 == pytest.approx(6000 - math.pi * 16)


@HAND
def test_hidden_layers_and_marks_are_no_outline(tmp_path: Path) -> None:
    drawing = angle_bracket(line=False)
    for name in ("OFF", "FROZEN"):
        drawing.layers.add(name)
        drawing.modelspace().add_circle((60, 30), 9, dxfattribs={"layer": name})
    drawing.layers.get("OFF").off()
    drawing.layers.get("FROZEN").freeze()
    drawing.modelspace().add_circle((60, 30), 9, dxfattribs={"layer": "Gravur"})
    drawing.modelspace().add_circle((60, 30), 9, dxfattribs={"invisible": 1, "layer": "0"})
    drawing.layout("Layout1").add_circle((60, 30), 9)
    path = saved(drawing, tmp_path)
    reading = read(path, tmp_path)
    assert flat_size(path).area_mm2 == pytest.approx(6000 - math.pi * 16)
    assert said(reading.findings, "D308") == [
        "Curves on layers off or frozen, or invisible themselves, were not used: layer 0 (1 curves), FROZEN (1 curves), OFF (1 curves)."
    ]
    assert said(reading.findings, "D307")
    used = flat_size(path, choices=DxfChoices(use_hidden=True))
    assert used.area_mm2 == pytest.approx(6000 - math.pi * 16 - math.pi * 81)


@HAND
def test_broken_lines_are_outline_when_there_is_no_other(tmp_path: Path) -> None:
    drawing = document()
    box(drawing, 0, 0, 100, 60, linetype="DASHDOT")
    reading = read(drawing, tmp_path)
    assert codes(reading.findings).count("D315") == 1
    assert flat_size(saved(drawing, tmp_path)).area_mm2 == pytest.approx(6000)


@HAND
@pytest.mark.parametrize(
    ("units", "scale", "code", "width"),
    [
        (4, 1.0, None, 100.0),
        (1, 1 / 25.4, None, 100.0),
        (1, 1.0, "D310", 100.0),
        (6, 1.0, "D310", 100.0),
        (0, 1.0, "D311", 100.0),
        (0, 1 / 25.4, "D311", 100.0),
        (4, 1 / 25.4, "D310", 100.0),
        (5, 0.1, None, 100.0),
    ],
)
def test_units(tmp_path: Path, units: int, scale: float, code: str | None, width: float) -> None:
    """A plate of 100 mm with a hole of 8 mm, under headers true, false and silent."""
    drawing = angle_bracket(units=units, scale=scale, line=False)
    path = saved(drawing, tmp_path)
    assert flat_size(path).width_mm == pytest.approx(width)
    assert [c for c in codes(read(path, tmp_path).findings) if c in ("D310", "D311", "D312")] == (
        [code] if code else []
    )
    stated = flat_size(path, choices=DxfChoices(unit="inch"))
    assert stated.width_mm == pytest.approx(100.0 * scale * 25.4)


@HAND
def test_tangent_lines_speak_for_the_unit(tmp_path: Path) -> None:
    """No holes; as inch the flat would be 2.54 m, which can be; but its bend zone would be 115 mm wide in 2 mm sheet."""
    drawing = document(units=1)
    box(drawing, 0, 0, 100, 60)
    space = drawing.modelspace()
    space.add_line((0, 30), (100, 30), dxfattribs={"layer": "BEND"})
    for side in (-2.262, 2.262):
        space.add_line((0, 30 + side), (100, 30 + side), dxfattribs={"layer": "BEND EXTENT"})
    reading = read(drawing, tmp_path, thickness_mm=2.0, default_turned_deg=90.0, default_direction="up")
    assert said(reading.findings, "D310") == [
        "The header says inch (the flat would be 2540.00 x 1524.00 mm), but 1 bend zones would be about 114.9 mm wide. "
        "It was read as mm: 100.00 x 60.00 mm."
    ]
