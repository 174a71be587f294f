"""Every finding about DXF drawings has a drawing, a table or a mapping that provokes it, and says its sentence."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from drawn_files import HEADER, TURNED, angle_bracket, box, document, saved
from ezdxf.document import Drawing

from bendwright.drawing.dxf.choices import BendWords, DxfChoices
from bendwright.drawing.dxf.read_flat import read_dxf_flat
from bendwright.drawing.dxf.read_section import read_dxf_section
from bendwright.drawing.dxf.senders import read_sender, sender_from_text, sender_path
from bendwright.drawing.reading import Reading
from bendwright.findings import Finding, InputError, catalogue

pytestmark = pytest.mark.origin("law", "the finding written beside each drawing")
Read = Callable[..., Reading]
CASES: dict[str, tuple[Callable[[Path], Drawing | Path | bytes], dict[str, Any], str]] = {}


def case(code: str, sentence: str, **choices: Any) -> Callable[[Any], Any]:
    """Marks a maker of a drawing with the finding it provokes, read under these choices beside the usual ones."""

    def keep(make: Any) -> Any:
        CASES[f"{code} {make.__name__}"] = (make, choices, sentence)
        return make

    return keep


def findings(source: Drawing | Path | bytes, folder: Path, choices: dict[str, Any]) -> list[Finding]:
    """All findings of reading a drawing, refused or not."""
    path = folder / "flat.dxf"
    if isinstance(source, bytes):
        path.write_bytes(source)
    elif isinstance(source, Path):
        path = source
    else:
        source.saveas(path)
    section = choices.get("section")
    own = {key: value for key, value in {**TURNED, **choices}.items() if key != "section"}
    read: Read = read_dxf_section if section else read_dxf_flat
    try:
        return list(read(path, header=HEADER, choices=DxfChoices(**own)).findings)
    except InputError as error:
        return list(error.findings)


def text_of(drawing: Drawing, folder: Path) -> bytes:
    """The drawing as bytes."""
    return saved(drawing, folder, "whole.dxf").read_bytes()


def section(*points: tuple[float, ...], close: bool = False) -> Drawing:
    """A polyline (x, y, bulge) for a section."""
    drawing = document()
    drawing.modelspace().add_lwpolyline(points, format="xyb", close=close)
    return drawing


def strip(*lines: float, wide: float = 50.0, layer: str = "BEND") -> Drawing:
    """A strip 100 high with bend lines across it at these heights."""
    drawing = document()
    box(drawing, 0, 0, wide, 100)
    for y in lines:
        drawing.modelspace().add_line((0, y), (wide, y), dxfattribs={"layer": layer})
    return drawing


def added(*circles: tuple[float, float, float]) -> Drawing:
    """The angle bracket without its line, with more circles (x, y, radius)."""
    drawing = angle_bracket(line=False)
    for x, y, radius in circles:
        drawing.modelspace().add_circle((x, y), radius)
    return drawing


@case("D300", "The DXF file cannot be read: No such file or directory.")
def missing(folder: Path) -> Path:
    return folder / "nowhere.dxf"


@case("D300", "The DXF file cannot be read: Is a directory.")
def a_folder(folder: Path) -> Path:
    (folder / "folder.dxf").mkdir()
    (folder / "folder.dxf" / "x").write_bytes(b"x")
    return folder / "folder.dxf"


@case("D301", "The DXF file is empty; files that hold something, of at most 64 MB, are read.")
def empty(folder: Path) -> bytes:
    return b" \r\n"


@case("D301", "The DXF file is 65 MB; files that hold something, of at most 64 MB, are read.")
def huge(folder: Path) -> Path:
    path = folder / "huge.dxf"
    with path.open("wb") as stream:
        stream.truncate(65_000_000)
    return path


@case("D302", "This is no readable DXF file: it looks like a PDF document.")
def a_pdf(folder: Path) -> bytes:
    return b"%PDF-1.7\n..."


@case("D302", "This is no readable DXF file: it looks like a DWG drawing.")
def a_dwg(folder: Path) -> bytes:
    return b"AC1032\0\0\0\0"


@case("D302", "This is no readable DXF file: File 'flat.dxf' is not a DXF file.")
def other_text(folder: Path) -> bytes:
    return b"part_no: 1\nrevision: A\n"


@case("D303", "The drawing's blocks open to more than 100000 entities, or lie in each other too deep.")
def blocks_in_blocks(folder: Path) -> Drawing:
    drawing = document()
    below = drawing.blocks.new("B0")
    below.add_circle((0, 0), 1)
    for n in range(1, 8):
        block = drawing.blocks.new(f"B{n}")
        for i in range(10):
            block.add_blockref(f"B{n - 1}", (i, n))
    drawing.modelspace().add_blockref("B7", (0, 0))
    return drawing


@case("D303", "The drawing's blocks open to more than 100000 entities, or lie in each other too deep.")
def a_block_in_itself(folder: Path) -> Drawing:
    drawing = document()
    block = drawing.blocks.new("OWN")
    block.add_blockref("OWN", (1, 0))
    drawing.modelspace().add_blockref("OWN", (0, 0))
    return drawing


@case("D303", "The drawing's blocks open to more than 100000 entities, or lie in each other too deep.")
def endless_rows(folder: Path) -> Drawing:
    drawing = document()
    drawing.blocks.new("HOLE").add_circle((0, 0), 1)
    drawing.modelspace().add_blockref(
        "HOLE", (0, 0), dxfattribs={"row_count": 30000, "column_count": 30000, "row_spacing": 1, "column_spacing": 1}
    )
    return drawing


@case(
    "D304",
    "The file is damaged and was repaired (DXFStructureError: missing EOF tag); what it lost cannot be known.",
)
def repaired(folder: Path) -> bytes:
    data = text_of(angle_bracket(), folder)
    return data[: data.rindex(b"  0\nEOF")]


@case("D305", "The end of the file is missing: it was cut off, and part of the drawing may be gone.")
def cut_off(folder: Path) -> bytes:
    data = text_of(angle_bracket(), folder)
    return data[: data.rindex(b"  0\nEOF")]


@case("D306", "Not used, for they draw no contour: 1 x HATCH, 1 x SOLID.")
def other_entities(folder: Path) -> Drawing:
    drawing = angle_bracket()
    drawing.modelspace().add_hatch()
    drawing.modelspace().add_solid([(0, 0), (1, 0), (1, 1)])
    return drawing


@case("D307", "Entities on paper layouts were not used (1); only the model space is read.")
def on_paper(folder: Path) -> Drawing:
    drawing = angle_bracket()
    drawing.layout("Layout1").add_line((0, 0), (1, 1))
    return drawing


@case("D308", "Curves on layers off or frozen, or invisible themselves, were not used: layer SPARE (1 curves).")
def hidden(folder: Path) -> Drawing:
    drawing = angle_bracket()
    drawing.layers.add("SPARE").off()
    drawing.modelspace().add_circle((70, 45), 3, dxfattribs={"layer": "SPARE"})
    return drawing


@case("D309", "Curves were taken as follows. bend: line type DASHED (1); outline: layer 0 (5).")
def taken(folder: Path) -> Drawing:
    return angle_bracket()


@case(
    "D310",
    "The header says inch (the flat would be 2540.00 x 1524.00 mm), but 1 of 1 round holes and corners would be about 203.2 mm "
    "across. It was read as mm: 100.00 x 60.00 mm.",
)
def wrong_header(folder: Path) -> Drawing:
    return angle_bracket(units=1)


@case("D311", "The header names no unit; it was read as mm: 100.00 x 60.00 mm.")
def silent_header(folder: Path) -> Drawing:
    return angle_bracket(units=0)


@case("D312", "Read as mm, as the header says, the flat is 7000.00 x 50.00 mm, but its longer side would be 7000 mm.")
def odd_size(folder: Path) -> Drawing:
    drawing = document()
    box(drawing, 0, 0, 7000, 50)
    return drawing


@case("D313", "Gaps of at most 0.05 mm were closed (1): 0.020 mm at (0.00, 0.01).")
def gap(folder: Path) -> Drawing:
    drawing = document()
    drawing.modelspace().add_lwpolyline([(0, 0), (50, 0), (50, 40), (0, 40), (0, 0.02)])
    return drawing


@case("D314", "Curves drawn twice were used once (1): (20.00, 15.00).")
def doubled(folder: Path) -> Drawing:
    return added((20, 15, 4))


@case("D315", "No contour is drawn in unbroken lines; broken ones were taken as outline.")
def all_broken(folder: Path) -> Drawing:
    drawing = document()
    box(drawing, 0, 0, 50, 40, linetype="DASHED")
    return drawing


@case("D316", "Curves branch off the contour (2) at (20.00, 0.00), (40.00, 0.00); the outermost way was taken.")
def branching(folder: Path) -> Drawing:
    drawing = document()
    box(drawing, 0, 0, 50, 40)
    drawing.modelspace().add_lwpolyline([(20, 0), (30, 20), (40, 0)])
    drawing.modelspace().add_line((30, 20), (30, 30))
    return drawing


@case("D317", "Open curves on the sheet were not used (1): (15.00, 10.00).")
def open_curve(folder: Path) -> Drawing:
    drawing = angle_bracket()
    drawing.modelspace().add_line((10, 10), (20, 10))
    return drawing


@case(
    "D318",
    "Curves with numbers that no drawing can hold cannot be read (1); without them the part would be another.",
)
def wild_numbers(folder: Path) -> Drawing:
    drawing = angle_bracket()
    drawing.modelspace().add_circle((1e9, 1e9), 3)
    return drawing


@case(
    "D318",
    "Curves with numbers that no drawing can hold cannot be read (1); without them the part would be another.",
)
def no_number(folder: Path) -> bytes:
    """A hole whose place is no number: a part without it would be wrong, so there is none."""
    drawing = angle_bracket()
    drawing.modelspace().add_circle((60.0, 987.5), 3)
    return text_of(drawing, folder).replace(b"987.5", b"nan", 1)


@case("D319", "Curves that do not lie in the drawing plane were read as seen from above (1).")
def tilted(folder: Path) -> Drawing:
    drawing = angle_bracket()
    drawing.modelspace().add_circle((60, 10), 3, dxfattribs={"extrusion": (0.3, 0, 1)})
    return drawing


@case(
    "D320",
    "There is no closed outline; loose ends lie apart by: 1.000 mm at (0.00, 0.50). Gaps up to 0.05 mm are closed.",
)
def open_outline(folder: Path) -> Drawing:
    drawing = document()
    drawing.modelspace().add_lwpolyline([(0, 0), (50, 0), (50, 40), (0, 40), (0, 1)])
    return drawing


@case(
    "D320",
    "There is no closed outline; loose ends lie apart by: none, for nothing is drawn. Gaps up to 0.05 mm are closed.",
)
def nothing_drawn(folder: Path) -> Drawing:
    return document()


@case("D321", "Contours cross themselves at (25.00, 20.00).")
def crossing_itself(folder: Path) -> Drawing:
    drawing = document()
    drawing.modelspace().add_lwpolyline([(0, 0), (50, 40), (50, 0), (0, 40)], close=True)
    return drawing


@case("D321", "Contours cross each other at (100.00, 26.00), (100.00, 34.00).")
def crossing_each_other(folder: Path) -> Drawing:
    return added((100, 30, 4))


@case(
    "D322",
    "The file holds 2 outlines of parts: 1: 100.00 x 60.00 mm at (0.00, 0.00), 2: 40.00 x 40.00 mm at (180.00, 0.00).",
)
def two_parts(folder: Path) -> Drawing:
    return added((200, 20, 20))


@case("D323", "There is no outline number 3; there are 1: 100.00 x 60.00 mm at (0.00, 0.00).", outline=3)
def no_such_part(folder: Path) -> Drawing:
    return added()


@case("D324", "Rings outside the outline were not used (1): 4.00 x 4.00 mm at (198.00, 18.00).")
def ring_outside(folder: Path) -> Drawing:
    return added((200, 20, 2))


@case("D325", "Rings drawn twice were used once (1): 30.00 x 20.00 mm at (50.00, 20.00).")
def ring_twice(folder: Path) -> Drawing:
    drawing = added()
    drawing.modelspace().add_lwpolyline([(50, 20), (80, 20), (80, 40), (50, 40)], close=True)
    drawing.modelspace().add_lwpolyline(
        [(50.004, 20.004), (80.004, 20.004), (80.004, 40.004), (50.004, 40.004)], close=True
    )
    return drawing


@case("D326", "The rectangle 297.00 x 210.00 mm at (-50.00, -50.00) round everything was taken as a drawing frame.")
def framed(folder: Path) -> Drawing:
    drawing = added()
    box(drawing, -50, -50, 247, 160)
    return drawing


@case("D327", "Holes drawn with two edges, as countersinks are, are cut to the smaller one (1): (20.00, 15.00).")
def countersunk(folder: Path) -> Drawing:
    return added((20, 15, 6))


@case("D328", "Rings inside holes were not used (1): 2.00 x 2.00 mm at (61.00, 29.00).")
def ring_in_a_hole(folder: Path) -> Drawing:
    return added((60, 30, 8), (62, 30, 1))


@case("D330", "Lines named bend lines lie off the sheet and were not used (1): (0.00, 130.00) to (50.00, 130.00).")
def bend_line_off_the_sheet(folder: Path) -> Drawing:
    return strip(130.0)


@case("D331", "Curves drawn as bend lines that are not straight were not used (1): (50.00, 44.14).")
def bent_bend_line(folder: Path) -> Drawing:
    drawing = angle_bracket()
    drawing.modelspace().add_lwpolyline([(0, 40, -0.0828), (100, 40, 0)], format="xyb", dxfattribs={"layer": "BEND"})
    return drawing


@case("D332", "Lines not taken for bend lines, for others are named so (1): 1 x line type DASHED.")
def other_broken_line(folder: Path) -> Drawing:
    drawing = angle_bracket()
    drawing.modelspace().add_line((0, 45), (100, 45), dxfattribs={"layer": "BEND"})
    return drawing


@case("D333", "No straight line lies within 5 mm of the place picked, (70.00, 50.00).", picked=((70.0, 50.0),))
def nothing_picked(folder: Path) -> Drawing:
    return angle_bracket()


@case(
    "D334",
    "Bend lines that part nothing, for the sheet hangs together round them (1): line 1 from (60.00, 10.00) to (80.00, 10.00), "
    "20.00 mm.",
)
def parts_nothing(folder: Path) -> Drawing:
    drawing = angle_bracket(line=False)
    drawing.modelspace().add_line((60, 10), (80, 10), dxfattribs={"layer": "BEND"})
    return drawing


@case("D335", "Bends end within the sheet, which would tear there (1): line 1 at (70.00, 40.00).")
def torn(folder: Path) -> Drawing:
    """A flange beside a shoulder that stands higher than the bend line: no relief at its end."""
    drawing = document()
    outline = [(0, 0), (70, 0), (70, 39), (120, 39), (120, 80), (0, 80)]
    drawing.modelspace().add_lwpolyline(outline, close=True)
    drawing.modelspace().add_line((0, 40), (70, 40), dxfattribs={"layer": "BEND"})
    return drawing


@case(
    "D336",
    "Bend zones lie over each other (1): lines 1 and 2 by 1.59 mm2. The sheet there was shared out between them.",
)
def zones_meet(folder: Path) -> Drawing:
    drawing = document()
    drawing.modelspace().add_lwpolyline([(0, 21), (21, 21), (21, 0), (100, 0), (100, 80), (0, 80)], close=True)
    for start, end in (((20, 21), (20, 80)), ((21, 20), (100, 20))):
        drawing.modelspace().add_line(start, end, dxfattribs={"layer": "BEND"})
    return drawing


@case("D337", "Pieces of the sheet hang on no bend (1): 20.00 x 1.50 mm at (50.00, 30.50).")
def hanging_piece(folder: Path) -> Drawing:
    """A prong beside the end of a bend, narrower than half the bend zone and level with it."""
    drawing = document()
    outline = [(0, 0), (50, 0), (50, 30.5), (70, 30.5), (70, 32), (50, 32), (50, 60), (0, 60)]
    drawing.modelspace().add_lwpolyline(outline, close=True)
    drawing.modelspace().add_line((0, 30), (50, 30), dxfattribs={"layer": "BEND"})
    return drawing


@case("D338", "Lines 5 cannot be left out: there are 1 bend lines.", left_out=(5,))
def left_out(folder: Path) -> Drawing:
    return angle_bracket()


@case(
    "D339",
    "Bends with no flat left on one side (1): line 1 from (0.00, 2.00) to (50.00, 2.00), 50.00 mm (zone 4.52 mm).",
)
def no_flat_left(folder: Path) -> Drawing:
    return strip(2.0)


@case(
    "D340",
    "Bends join flats that hang together already, all the way round: line 4 from (65.00, 50.00) to (100.00, 50.00), 35.00 mm. "
    "Such a sheet cannot be folded.",
)
def ring_of_bends(folder: Path) -> Drawing:
    """A frame round a large window with a bend across each of its four sides."""
    drawing = document()
    box(drawing, 0, 0, 100, 100)
    box(drawing, 35, 35, 65, 65)
    for start, end in (((50, 0), (50, 35)), ((50, 65), (50, 100)), ((0, 50), (35, 50)), ((65, 50), (100, 50))):
        drawing.modelspace().add_line(start, end, dxfattribs={"layer": "BEND"})
    return drawing


@case(
    "D341",
    "Bend lines without angle or direction (1): line 1 from (0.00, 30.00) to (50.00, 30.00), 50.00 mm (direction). The table to "
    "fill in:\nline,x_mm,y_mm,length_mm,direction,turned_deg,included_deg,inside_radius_mm\n1,25.00,30.00,50.00,,90,,\n",
    default_direction=None,
)
def direction_unknown(folder: Path) -> Drawing:
    return strip(30.0)


@case("D342", "Line 7 of the choices does not exist; the drawing has 1 bend lines.", bends=(BendWords(number=7),))
def no_such_line(folder: Path) -> Drawing:
    return strip(30.0)


@case(
    "D342",
    "Line 1 of the choices is spoken of twice; the drawing has 1 bend lines.",
    bends=(BendWords(number=1), BendWords(at=(20.0, 30.0))),
)
def line_twice(folder: Path) -> Drawing:
    return strip(30.0)


@case(
    "D343",
    'Texts beside line 1 from (0.00, 30.00) to (50.00, 30.00), 50.00 mm say different things: "UP 90", "DOWN 45"; the nearest '
    "was believed.",
)
def texts_differ(folder: Path) -> Drawing:
    drawing = strip(30.0)
    drawing.modelspace().add_text("UP 90", height=3).set_placement((10, 31))
    drawing.modelspace().add_text("DOWN 45", height=3).set_placement((10, 36))
    return drawing


@case("D344", 'Angles were taken from texts, as turned angles unless they say otherwise: line 1 "UP 90".')
def angle_in_a_text(folder: Path) -> Drawing:
    drawing = strip(30.0)
    drawing.modelspace().add_text("UP 90", height=3).set_placement((10, 31))
    return drawing


@case(
    "D356",
    'Texts beside line 1 from (0.00, 30.00) to (50.00, 30.00), 50.00 mm say "DOWN 45", but typed was up 90 deg turned; the text was '
    "believed.",
)
def text_against_typed(folder: Path) -> Drawing:
    drawing = strip(30.0)
    drawing.modelspace().add_text("DOWN 45", height=3).set_placement((10, 31))
    return drawing


@case("D345", "Bends (1): b1 is line 1, up 90 turned (all lines), R 2.")
def bends_listed(folder: Path) -> Drawing:
    return strip(30.0)


@case("D346", "The drawing has no bend lines: the part is flat.")
def flat_part(folder: Path) -> Drawing:
    return strip()


@case("D347", 'Texts in the drawing that were not taken for words about bends (2): "SM-31", "steel, no burrs".')
def other_texts(folder: Path) -> Drawing:
    drawing = strip(30.0)
    for n, text in enumerate(("SM-31", "steel,  no burrs", "UP 90")):
        drawing.modelspace().add_text(text, height=3).set_placement((10, -20 + 25 * n))
    return drawing


@case("D348", "201 lines are drawn like bend lines; at most 200 are read.")
def too_many_lines(folder: Path) -> Drawing:
    return strip(*(0.4 * n for n in range(1, 202)))


@case("D349", "k_factor is 1.5; allowed is 0 to 1.", k_factor=1.5)
def odd_choice(folder: Path) -> Drawing:
    return strip(30.0)


@case("D349", "turned_deg of line 1 is 270; allowed is 0.01 to 180.", bends=(BendWords(number=1, turned_deg=270.0),))
def odd_angle(folder: Path) -> Drawing:
    return strip(30.0)


@case(
    "D361", "Tangent lines are drawn: zones 4.000 mm wide (R 1.75, K 0.398) at line 1. K is plausible from 0.3 to 0.5."
)
def tangents(folder: Path) -> Drawing:
    return with_tangents(4.0)


def with_tangents(width: float) -> Drawing:
    """A strip with one bend line and its tangent lines."""
    drawing = strip(30.0)
    for side in (-0.5 * width, 0.5 * width):
        drawing.modelspace().add_line((0, 30 + side), (50, 30 + side), dxfattribs={"layer": "BEND EXTENT"})
    return drawing


@case(
    "D362",
    "The sender's K 0.44 and inside radius 2 mm (one thickness) are assumed, for nothing says them. A K wrong by 0.05 moves a leg "
    "by 0.08 mm at 90 degrees.",
)
def assumed(folder: Path) -> Drawing:
    return strip(30.0)


@case(
    "D363",
    "Tangent lines do not fit the radius and K given; the drawing was believed: line 1 K 0.273 for R 2.",
    inside_radius_mm=2.0,
    k_factor=0.45,
)
def tangents_differ(folder: Path) -> Drawing:
    return with_tangents(4.0)


@case(
    "D364",
    "Tangent lines ask for a K outside 0.3 to 0.5: line 1 (8.000 mm wide: R 2.000, K 1.546).",
    inside_radius_mm=2.0,
)
def tangents_odd(folder: Path) -> Drawing:
    return with_tangents(8.0)


@case("D365", "The thickness is not known; the drawing does not state it.", thickness_mm=None)
def thickness_unknown(folder: Path) -> Drawing:
    return strip(30.0)


@case("D366", 'Thickness 1.5 mm, from the text "t = 1,5".', thickness_mm=None)
def thickness_in_a_text(folder: Path) -> Drawing:
    drawing = strip(30.0)
    drawing.modelspace().add_text("t = 1,5", height=3).set_placement((0, -20))
    return drawing


@case("D371", "A section needs the length of the part; it is not stated.", section=True)
def section_without_length(folder: Path) -> Drawing:
    return section((0, 30, 0), (0, 0, 0), (50, 0, 0))


@case(
    "D372",
    "There is no section in this drawing: the line drawn is no chain of straight legs: the arc at (50.00, 0.00) is not tangent "
    "to the line before it.",
    section=True,
    length_mm=100.0,
)
def section_not_tangent(folder: Path) -> Drawing:
    return section((0, 0, 0), (50, 0, 0.5), (60, 20, 0), (60, 50, 0))


@case(
    "D372",
    "There is no section in this drawing: the closed contour drawn is not a sheet of one thickness with two square ends.",
    section=True,
    length_mm=100.0,
)
def section_of_a_wedge(folder: Path) -> Drawing:
    return section((0, 0, 0), (50, 0, 0), (50, 10, 0), (0, 2, 0), close=True)


@case(
    "D372",
    "There is no section in this drawing: the closed contour drawn is not a sheet of one thickness with two square ends.",
    section=True,
    length_mm=100.0,
)
def section_of_two_triangles(folder: Path) -> Drawing:
    return section((0, 0, 0), (50, 40, 0), (50, 0, 0), (0, 40, 0), close=True)


@case(
    "D373",
    "Beside the section more is drawn, which was not used: lines or contours, 1 in all.",
    section=True,
    length_mm=100.0,
)
def section_and_more(folder: Path) -> Drawing:
    drawing = section((0, 30, 0), (0, 0, 0), (50, 0, 0))
    drawing.modelspace().add_circle((20, 60), 5)
    return drawing


@case(
    "D374",
    "The section is drawn 2 mm thick, 3 mm is stated; the drawing was believed.",
    section=True,
    length_mm=100.0,
    thickness_mm=3.0,
)
def section_thicker(folder: Path) -> Drawing:
    return section((0, 0, 0), (50, 0, 0), (50, 30, 0), (48, 30, 0), (48, 2, 0), (0, 2, 0), close=True)


@case(
    "D375",
    "The arc of 1.000 mm at (49.71, 0.29), drawn on the right face, leaves no inside radius with a sheet of 2 mm.",
    section=True,
    length_mm=100.0,
    face="right",
)
def section_too_sharp(folder: Path) -> Drawing:
    return section((0, 0, 0), (49, 0, 0.41421356), (50, 1, 0), (50, 30, 0))


@case(
    "D376",
    "The section was read from a line on the left face: legs 2, sheet 2 mm, turns: up 90.",
    section=True,
    length_mm=100.0,
)
def section_read(folder: Path) -> Drawing:
    return section((0, 30, 0), (0, 0, 0), (50, 0, 0))


@pytest.mark.parametrize("name", CASES)
def test_each_finding(name: str, tmp_path: Path) -> None:
    """Exactly one finding of that code, with this sentence."""
    make, choices, sentence = CASES[name]
    told = findings(make(tmp_path), tmp_path, choices)
    assert [item.sentence for item in told if item.code == name[:4]] == [sentence]


@pytest.mark.parametrize(
    ("text", "code", "sentence"),
    [
        (b"\xff\xfe\0", "D351", "The bend table cannot be read: it is no UTF-8 text of at most 1 MB."),
        (
            b"bend,angle\n1,90\n",
            "D352",
            "The bend table has the columns bend, angle; allowed are line, x_mm, y_mm, length_mm, direction, turned_deg, "
            "included_deg, inside_radius_mm, note, with line or x_mm and y_mm among them.",
        ),
        (
            b"line,turned_deg\n1,ninety\n",
            "D353",
            "This cell of the bend table holds ninety; allowed is a number from 0.01 to 180.",
        ),
        (b"line,direction\n1,left\n", "D353", "This cell of the bend table holds left; allowed is up or down."),
        (
            b"line,turned_deg,included_deg\n1,90,80\n",
            "D353",
            "This cell of the bend table holds 80; allowed is 90 beside turned_deg 90.",
        ),
        (
            b"line,direction\n,up\n",
            "D353",
            "This cell of the bend table holds nothing; allowed is a line number, or x_mm and y_mm.",
        ),
        (b"line,direction\n1.7,up\n", "D353", "This cell of the bend table holds 1.7; allowed is a whole number."),
        (
            b"line,direction,note\n1,up," + b"x" * 200_000,
            "D351",
            "The bend table cannot be read: field larger than field limit (131072).",
        ),
        (
            b"line,x_mm,y_mm,direction\r1,25,30.4,up\r",
            "D345",
            "Bends (1): b1 is line 1, up 90 turned (all lines), R 2.",
        ),
        (
            b"line,x_mm,y_mm,direction\n1,25,70,up\n",
            "D355",
            "The bend table speaks of another drawing: line 1 is said to lie at (25.00, 70.00), its middle is (25.00, 30.00).",
        ),
    ],
)
def test_bend_tables(text: bytes, code: str, sentence: str, tmp_path: Path) -> None:
    (tmp_path / "bends.csv").write_bytes(text)
    told = findings(strip(30.0), tmp_path, {"bend_table": tmp_path / "bends.csv"})
    assert [item.sentence for item in told if item.code == code] == [sentence]


def test_bend_table_missing_and_template(tmp_path: Path) -> None:
    told = findings(strip(30.0), tmp_path, {"bend_table": tmp_path / "none.csv"})
    assert [item.sentence for item in told if item.code == "D351"] == [
        "The bend table cannot be read: No such file or directory."
    ]
    told = findings(strip(30.0), tmp_path, {"template": tmp_path / "new.csv"})
    assert [item.sentence for item in told if item.code == "D354"] == [
        "The bend table was written to new.csv, with what is known filled in."
    ]
    assert "1,25.00,30.00,50.00,up,90,," in (tmp_path / "new.csv").read_text()


def test_sheet_that_cannot_be_cut_and_part_that_differs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two nets under the reader, provoked by breaking what is above them."""
    from shapely.errors import GEOSException

    from bendwright.drawing.dxf import put_together, read_flat

    def broken(*_: object) -> object:
        raise GEOSException("TopologyException: side location conflict at 1 2. Try again")

    with monkeypatch.context() as patch:
        patch.setattr(read_flat, "found_bends", broken)
        told = findings(strip(30.0), tmp_path, {})
    assert [item.sentence for item in told if item.code == "D329"] == [
        "The contours touch or lie over each other in a way that leaves no clear sheet: TopologyException: side location "
        "conflict at 1 2."
    ]
    true_flat = put_together.part_from_flats
    with monkeypatch.context() as patch:
        patch.setattr(
            put_together,
            "part_from_flats",
            lambda h, pieces, folds, **more: true_flat(h, shrunk(pieces), folds, **more),
        )
        told = findings(strip(30.0), tmp_path, {})
    assert [item.sentence for item in told if item.code == "D370"] == [
        "The part laid flat again differs from the drawing: 0.000 mm in size and 1693.45 mm2 in area."
    ]


def shrunk(pieces: Any) -> Any:
    """The pieces with a corner of the last cut off."""
    from dataclasses import replace

    last = pieces[0]
    points = tuple(point for point in last.outline if point != (50.0, 100.0))
    return [replace(last, outline=points), *pieces[1:]]


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "The mapping of this sender cannot be used: there is nothing in it."),
        ("- a", "The mapping of this sender cannot be used: it is no list of fields."),
        ("a: [", "The mapping of this sender cannot be used: did not find expected node content."),
        ("gap: &x 1", "The mapping of this sender cannot be used: anchors, aliases and tags are not allowed."),
        ("gap: 1\ngap: 2", "The mapping of this sender cannot be used: the key gap stands twice."),
        (
            "gap: 1\n---\ngap: 2",
            "The mapping of this sender cannot be used: a second '---' line begins another document.",
        ),
        (
            "layer: {A: bend}",
            "The field layer is not known in a sender's mapping; known are colours, gap, inside_radius, k_factor, layers, "
            'line_types, sender, unit. Did you mean "layers"?',
        ),
        (
            "layers: {A: cut}",
            'The field layers.A of a sender\'s mapping holds "cut"; allowed is outline, bend, bend up, bend down, extents, etch, '
            "ignore.",
        ),
        ("layers: A", 'The field layers of a sender\'s mapping holds "A"; allowed is a group of fields.'),
        ("sender: [a]", "The field sender of a sender's mapping holds a list; allowed is a single value."),
        ("k_factor: 2", 'The field k_factor of a sender\'s mapping holds "2"; allowed is a number from 0 to 1.'),
        (
            "colours: {red: bend}",
            'The field colours.red of a sender\'s mapping holds "red"; allowed is a colour number 1 to 256.',
        ),
    ],
)
def test_mappings_of_senders(text: str, sentence: str) -> None:
    """D383 form, D384 unknown fields, D385 values."""
    with pytest.raises(InputError) as caught:
        sender_from_text(text, "s.yaml")
    assert [item.sentence for item in caught.value.findings] == [sentence]
    assert {item.code for item in caught.value.findings} <= {"D383", "D384", "D385"}


def test_names_of_senders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BENDWRIGHT_HOME", str(tmp_path))
    for name in ("", "../x", "a/b", "..", "x" * 90):
        with pytest.raises(InputError) as caught:
            sender_path(name)
        assert [item.code for item in caught.value.findings] == ["D381"]
    assert caught.value.findings[0].sentence.startswith(f'"{"x" * 60}" cannot be the name of a sender\'s file;')
    with pytest.raises(InputError) as caught:
        read_sender("Saltmarsh")
    assert [str(item) for item in caught.value.findings] == [
        'D382 error [sender]: Nothing is remembered of the sender "Saltmarsh"; known are: none yet. Correct the name, or remember '
        "this sender first."
    ]


def test_every_code_is_here() -> None:
    """Each D3xx of the catalogue stands in this file."""
    text = Path(__file__).read_text(encoding="utf-8")
    assert [code for code in catalogue() if code.startswith("D3") and code not in text] == []


def test_the_library_is_silent(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """What the library logs while it repairs stays off the terminal."""
    data = text_of(angle_bracket(), tmp_path).replace(b"\nLINE\n", b"\nLINE\n  5\nZZ\n", 1)
    findings(data, tmp_path, {})
    assert capfd.readouterr().err == ""
    assert ezdxf is not None
