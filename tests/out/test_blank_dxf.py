"""The cutting file, read back by an independent reading of the DXF."""

from __future__ import annotations

import io
import math
from dataclasses import replace

import ezdxf
import pytest
from ezdxf.document import Drawing
from ezdxf.entities import DXFEntity, LWPolyline
from sample_blank import blank, tray_blank
from sample_plan import channel_plan
from shapely import Point, Polygon

from bendwright.drawing.blank_dxf import ETCH_MM, blank_cutting_dxf, blank_dxf
from bendwright.findings import InputError
from bendwright.job import blank_of
from bendwright.part.bend_size import fixed_size
from bendwright.part.blank import make_blank
from bendwright.part.blank_model import Blank
from bendwright.part.contour import arc_points
from bendwright.part.model import Arc, Circle, Cutout, Slot, VisibleSide
from flat_parts import bracket_with_window
from shop_talk import EXAMPLES, SHOP, example, sheet

HEADER = channel_plan().header


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


def contour_area(entity: DXFEntity) -> float:
    """Area inside one closed contour."""
    if entity.dxftype() == "CIRCLE":
        return math.pi * float(entity.dxf.radius) ** 2
    assert isinstance(entity, LWPolyline)
    assert entity.closed
    return abs(ring_area(list(entity.get_points("xyb"))))


def cut_area(document: Drawing) -> float:
    """What is left of the sheet: the outline minus all openings, from true curves."""
    space = document.modelspace()
    (outline,) = space.query('*[layer=="OUTLINE"]')
    return contour_area(outline) - sum(contour_area(entity) for entity in space.query('*[layer=="OPENINGS"]'))


def curved_blank() -> Blank:
    """A bracket with a half-moon window, a slot, a hole, a window over a bend, a mitred end and a hem; t 2."""
    part = bracket_with_window()
    sizes = {
        bend.id: fixed_size(bend, inside_radius_mm=2.0 if bend.kind == "bend" else 1.0, k_factor=0.42, thickness_mm=2.0)
        for bend in part.bends
    }
    return make_blank(part, sizes, thickness_mm=2.0)


def round_blank() -> Blank:
    """A disc of 80 with a round window of 30 given by its corners: both are whole circles."""
    outer, inner = Arc(centre=(40.0, 40.0), radius_mm=40.0), Arc(centre=(45.0, 40.0), radius_mm=15.0)
    window = Cutout(points=tuple(arc_points(inner.centre, 15.0, 0.3, -2.0 * math.pi)[:-1]), arcs=(inner,))
    return replace(
        blank(),
        outline=tuple(arc_points(outer.centre, 40.0, 0.0, 2.0 * math.pi)[:-1]),
        arcs=(outer,),
        features=(window, Slot(centre=(20.0, 40.0), length_mm=6.0, width_mm=6.0)),
        bend_lines=(),
        area_mm2=math.pi * (1600.0 - 225.0 - 9.0),
    )


CUT = [blank(), tray_blank(), curved_blank(), round_blank()]
CUT_NAMES = ["channel", "tray", "curved", "round"]


@pytest.mark.origin("law", "area of outline minus openings in the file = area of the blank")
@pytest.mark.parametrize("shape", CUT, ids=CUT_NAMES)
def test_what_is_cut_has_the_area(shape: Blank) -> None:
    """In both files, within 0.01 %; the cutting file has nothing in it but contours to cut and marks to etch."""
    assert cut_area(read(blank_dxf(shape, HEADER))) == pytest.approx(shape.area_mm2, rel=1e-4)
    document = read(blank_cutting_dxf(shape, HEADER))
    assert cut_area(document) == pytest.approx(shape.area_mm2, rel=1e-4)
    assert {layer.dxf.name for layer in document.layers} - {"0", "Defpoints"} == {"OUTLINE", "OPENINGS", "ETCH"}
    assert {entity.dxf.layer for entity in document.modelspace()} <= {"OUTLINE", "OPENINGS", "ETCH"}
    assert {entity.dxftype() for entity in document.modelspace()} <= {"LWPOLYLINE", "CIRCLE", "LINE"}
    assert len(document.layouts.names()) == 2
    assert not list(document.layouts.get("Layout1"))


@pytest.mark.origin("law", "area of outline minus openings in the file = area of the blank")
@pytest.mark.parametrize("name", sorted(path.stem for path in EXAMPLES.glob("*.yaml")))
def test_examples_are_cut_to_size(name: str) -> None:
    """Every example part of the shop: one outline, no edge twice, nothing shorter than a hair, the area of the blank."""
    part = example(name)
    thickness = f"{part.header.thickness_mm:g}"
    shape = blank_of(part, sheet(part.header.material, thickness), SHOP)
    document = read(blank_cutting_dxf(shape, part.header))
    assert cut_area(document) == pytest.approx(shape.area_mm2, rel=1e-4)
    edges = [edge for contour in contours(document) for edge in contour]
    assert len({tuple(sorted(edge)) for edge in edges}) == len(edges)
    assert min(math.dist(*edge) for edge in edges) > 1e-3


def contours(document: Drawing) -> list[list[tuple[tuple[float, float], tuple[float, float]]]]:
    """The edges of every closed contour that is cut, to a thousandth; a circle as four."""
    out = []
    for entity in document.modelspace().query('*[layer=="OUTLINE" | layer=="OPENINGS"]'):
        if entity.dxftype() == "CIRCLE":
            x, y, r = entity.dxf.center.x, entity.dxf.center.y, entity.dxf.radius
            ring = [(x - r, y), (x, y - r), (x + r, y), (x, y + r)]
        else:
            assert entity.closed
            ring = [(x, y) for x, y in entity.get_points("xy")]
        points = [(round(x, 3), round(y, 3)) for x, y in ring]
        out.append(list(zip(points, points[1:] + points[:1], strict=True)))
    return out


@pytest.mark.origin("derived", "the half moon of radius 8 about its middle: chord 16, bulge tan(180/4) = 1")
def test_arcs_leave_as_arcs() -> None:
    """The moon is one bulge and one chord, its area pi 32; no contour of the bracket has corners strung along a curve."""
    space = read(blank_cutting_dxf(curved_blank(), HEADER)).modelspace()
    rings = [list(e.get_points("xyb")) for e in space.query('LWPOLYLINE[layer=="OPENINGS"]') if e.has_arc]
    (moon,) = [ring for ring in rings if len(ring) == 2]
    assert sorted(abs(bulge) for _, _, bulge in moon) == [0.0, pytest.approx(1.0, abs=1e-6)]
    assert math.dist(moon[0][:2], moon[1][:2]) == pytest.approx(16.0, abs=1e-6)
    assert ring_area(moon) == pytest.approx(32.0 * math.pi, rel=1e-6)
    assert max(len(ring) for ring in rings) == 4


@pytest.mark.origin(
    "derived", "disc of radius 40 about (40, 40), window of 15 about (45, 40), a slot as long as wide: 3"
)
def test_whole_circles_leave_as_circles() -> None:
    """Outline, window and the slot without a straight are circles, whichever way their corners run."""
    space = read(blank_cutting_dxf(round_blank(), HEADER)).modelspace()
    circles = sorted((e.dxf.radius, e.dxf.center.x, e.dxf.center.y) for e in space.query("CIRCLE"))
    assert circles == [pytest.approx(c, abs=1e-6) for c in ((3.0, 20.0, 40.0), (15.0, 45.0, 40.0), (40.0, 40.0, 40.0))]
    assert len(space) == 3


@pytest.mark.origin(
    "derived", "spans 10..200 and 300..312 along a line from (13.11, 1200) down: marks of 5 at two ends, one of 12"
)
def test_etched_marks() -> None:
    """Marks run inward from the edges; a stretch too short for two of them gets one over its whole length."""
    shape = blank()
    line = replace(shape.bend_lines[0], spans=((10.0, 200.0), (300.0, 312.0)))
    space = read(blank_cutting_dxf(replace(shape, bend_lines=(line,)), HEADER)).modelspace()
    ends = [(e.dxf.start.y, e.dxf.end.y) for e in space.query('LINE[layer=="ETCH"]')]
    assert ETCH_MM == 5.0
    assert ends == [pytest.approx(pair) for pair in ((1190.0, 1185.0), (1000.0, 1005.0), (900.0, 888.0))]


@pytest.mark.origin("practice", "a face that must stay unmarked is not etched")
@pytest.mark.parametrize(
    ("visible", "asked", "marked"),
    [("bottom", None, True), ("top", None, False), ("both", None, False), ("top", True, True), ("none", False, False)],
)
def test_a_visible_face_is_not_etched(visible: VisibleSide, asked: bool | None, marked: bool) -> None:
    """Marks go on the top face only where the drawing lets them, unless the person says otherwise."""
    header = replace(HEADER, visible_side=visible)
    space = read(blank_cutting_dxf(tray_blank(), header, etch=asked)).modelspace()
    assert bool(space.query('*[layer=="ETCH"]')) is marked


@pytest.mark.origin("law", "what the header says is in the file, though not as a text to cut")
def test_the_cutting_file_says_what_it_is() -> None:
    """Part, revision, sheet and grain stand in the file's own properties; equal blanks give equal bytes."""
    header = replace(HEADER, part_no="Häuschen 7", grain="along_y")
    data = blank_cutting_dxf(tray_blank(), header)
    said = dict(read(data).header.custom_vars.properties)
    assert said["PART"] == "Häuschen 7"
    assert (said["REVISION"], said["GRAIN"], said["FACE_UP"]) == (header.revision, "along_y", "top")
    assert float(said["THICKNESS_MM"]) == tray_blank().thickness_mm
    assert data == blank_cutting_dxf(tray_blank(), header)


@pytest.mark.origin("law", "the finding's own text, filled with what the blank holds")
def test_a_hole_that_is_no_number() -> None:
    """Neither file is written with a hole nobody could cut."""
    shape = replace(blank(), features=(Circle(centre=(10.0, math.nan), diameter_mm=4.0),))
    for write in (blank_dxf, blank_cutting_dxf):
        with pytest.raises(InputError) as caught:
            write(shape, HEADER)
        assert [str(item) for item in caught.value.findings] == [
            "D110 error [holes]: The blank cannot be drawn: a number of the holes is nan; allowed is a finite number."
            " Correct the part, then make the blank again."
        ]


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
