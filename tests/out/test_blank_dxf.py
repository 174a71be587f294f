"""The cutting file, read back by an independent reading of the DXF."""

from __future__ import annotations

import io
import math
from dataclasses import replace

import ezdxf
import pytest
from ezdxf.document import Drawing
from sample_plan import blank, channel_plan, tray_blank
from shapely import Point, Polygon

from bendwright.drawing.blank_dxf import blank_dxf
from bendwright.findings import InputError
from bendwright.part.blank_model import Blank

HEADER = channel_plan().header
AREA = pytest.mark.origin("law", "area of outline minus openings in the file = area of the blank")


def read(data: bytes) -> Drawing:
    """The file as another program would read it; it must need no repair."""
    document = ezdxf.read(io.StringIO(data.decode("utf-8")))
    audit = document.audit()
    assert not audit.errors
    assert not audit.fixes
    return document


def ring_area(points: list[tuple[float, float, float]]) -> float:
    """Signed area of a closed polyline of (x, y, bulge): shoelace plus one circle segment per bulge."""
    total = 0.0
    for (x0, y0, bulge), (x1, y1, _) in zip(points, points[1:] + points[:1], strict=True):
        total += 0.5 * (x0 * y1 - x1 * y0)
        if bulge:
            angle = 4.0 * math.atan(bulge)
            radius = math.dist((x0, y0), (x1, y1)) / (2.0 * math.sin(angle / 2.0))
            total += 0.5 * radius**2 * (angle - math.sin(angle))
    return total


def cut_area(document: Drawing) -> float:
    """What is left of the sheet: the outline minus all openings, from true curves."""
    space = document.modelspace()
    (outline,) = space.query('LWPOLYLINE[layer=="OUTLINE"]')
    area = abs(ring_area(list(outline.get_points("xyb"))))
    for entity in space.query('*[layer=="OPENINGS"]'):
        if entity.dxftype() == "CIRCLE":
            area -= math.pi * entity.dxf.radius**2
        else:
            assert entity.closed
            area -= abs(ring_area(list(entity.get_points("xyb"))))
    return area


@AREA
@pytest.mark.parametrize("shape", [blank(), tray_blank()], ids=["channel", "tray"])
def test_area_survives(shape: Blank) -> None:
    """The area in the file is the area of the blank within 0.01 %."""
    assert cut_area(read(blank_dxf(shape, HEADER))) == pytest.approx(shape.area_mm2, rel=1e-4)


@pytest.mark.origin("derived", "slot 40 x 8 turned 60 degrees: 16 along (cos 60, sin 60), 4 across")
def test_slot_stands_where_it_should() -> None:
    """Corners of the slot are 16 along and 4 across; half circles close it: its area is 32 x 8 + pi 16."""
    space = read(blank_dxf(blank(), HEADER)).modelspace()
    slots = [e for e in space.query('LWPOLYLINE[layer=="OPENINGS"]') if e.has_arc]
    assert len(slots) == 2
    points = list(slots[1].get_points("xyb"))
    way, across = (0.5, math.sqrt(3) / 2), (-math.sqrt(3) / 2, 0.5)
    for (x, y, _), (u, v) in zip(points, ((-16, -4), (16, -4), (16, 4), (-16, 4)), strict=True):
        assert x == pytest.approx(87.44 + u * way[0] + v * across[0], abs=1e-9)
        assert y == pytest.approx(800.0 + u * way[1] + v * across[1], abs=1e-9)
    assert ring_area(points) == pytest.approx(32 * 8 + math.pi * 16)


@pytest.mark.origin("law", "the file holds the blank's own lines, holes and units")
def test_layers_lines_and_units() -> None:
    """Millimetres; bend lines on the layer of their direction; the round hole is a circle, not a polygon."""
    document = read(blank_dxf(tray_blank(), HEADER))
    assert document.header["$INSUNITS"] == 4
    assert document.header["$MEASUREMENT"] == 1
    space = document.modelspace()
    up, down = space.query('LINE[layer=="BEND_UP"]'), space.query('LINE[layer=="BEND_DOWN"]')
    assert (len(up), len(down)) == (3, 1)
    assert down[0].dxf.start.isclose((52.0, 224.43 - 52.0))
    (hole,) = space.query("CIRCLE")
    assert (hole.dxf.center.x, hole.dxf.center.y, hole.dxf.radius) == (60.0, 60.0, 3.0)


@pytest.mark.origin("derived", "spans 10..200 and 300..1190 along a line from (13.11, 1200) down")
def test_interrupted_bend_line() -> None:
    """A bend line with two stretches of material becomes two lines: y = 1190..1000 and 900..10."""
    shape = blank()
    line = replace(shape.bend_lines[0], spans=((10.0, 200.0), (300.0, 1190.0)))
    space = read(blank_dxf(replace(shape, bend_lines=(line,)), HEADER)).modelspace()
    ends = [(e.dxf.start.y, e.dxf.end.y) for e in space.query('LINE[layer=="BEND_UP"]')]
    assert ends == [pytest.approx((1190.0, 1000.0)), pytest.approx((900.0, 10.0))]


@pytest.mark.origin("law", "notes lie outside the outline; without text there are none")
@pytest.mark.parametrize("grain", ["along_x", "along_y", "any", "unknown"])
def test_notes_outside_the_outline(grain: str) -> None:
    """Part, revision and grain are in the file, and no note begins on the sheet."""
    shape = tray_blank()
    header = replace(HEADER, grain=grain, part_no="Häuschen 7")
    space = read(blank_dxf(shape, header)).modelspace()
    texts = {text.dxf.text: text for text in space.query("TEXT")}
    assert "Part Häuschen 7  revision C" in texts
    assert ("Grain along x" in texts) is (grain == "along_x")
    assert len(space.query('LINE[layer=="NOTES"]')) == (5 if grain.startswith("along") else 0)
    sheet = Polygon(shape.outline).buffer(-0.5)
    labels = [text for words, text in texts.items() if "turned" in words]
    assert len(labels) == 4
    for words, text in texts.items():
        if "turned" not in words:
            assert not sheet.contains(Point(text.dxf.insert.x, text.dxf.insert.y)), words
    for line in space.query('LINE[layer=="NOTES"]'):
        assert not sheet.intersects(Point(line.dxf.start.x, line.dxf.start.y))
    assert not read(blank_dxf(shape, header, text=False)).modelspace().query('*[layer=="NOTES"]')


@pytest.mark.origin("law", "equal blanks give equal files")
def test_same_bytes() -> None:
    """No time stamp and no random name is in the file, and the library's own setting is left as it was."""
    before = ezdxf.options.write_fixed_meta_data_for_testing
    assert blank_dxf(blank(), HEADER) == blank_dxf(blank(), HEADER)
    assert ezdxf.options.write_fixed_meta_data_for_testing is before


@pytest.mark.origin("law", "the finding's own text, filled with what the blank holds")
def test_blank_that_cannot_be_drawn() -> None:
    """A broken outline is refused with all that is wrong."""
    line = replace(blank().bend_lines[0], end=(math.inf, 0.0))
    with pytest.raises(InputError) as caught:
        blank_dxf(replace(blank(), outline=((0.0, math.nan), (1.0, 0.0)), bend_lines=(line,)), HEADER)
    assert [str(item) for item in caught.value.findings] == [
        "D110 error [outline]: The blank cannot be drawn: the outline is a ring of 2 corners; allowed is three corners"
        " or more. Correct the part, then make the blank again.",
        "D110 error [outline]: The blank cannot be drawn: a number of the outline is nan; allowed is a finite number."
        " Correct the part, then make the blank again.",
        "D110 error [bend lines]: The blank cannot be drawn: a number of the bend lines is inf; allowed is a finite"
        " number. Correct the part, then make the blank again.",
    ]
