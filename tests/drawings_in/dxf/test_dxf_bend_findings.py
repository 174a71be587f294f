"""Findings about bend lines: each has a drawing or a table that provokes it, and says its sentence."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from drawn_files import angle_bracket, box, document
from dxf_told import Cases, findings, strip
from ezdxf.document import Drawing

from bendwright.drawing.dxf.choices import BendWords
from bendwright.drawing.dxf.lines_asked import ASKED, LineAsked, lines_asked
from bendwright.findings import Finding

pytestmark = pytest.mark.origin("law", "the finding written beside each drawing")
CASES = Cases()
case = CASES.case


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


@pytest.mark.parametrize("name", CASES)
def test_each_finding(name: str, tmp_path: Path) -> None:
    """Exactly one finding of that code, with this sentence."""
    told, expected = CASES.told(name, tmp_path)
    assert told == expected


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


def test_lines_that_are_asked_about_are_numbers_too(tmp_path: Path) -> None:
    """D341 carries each line as data, kept with the finding and read back; another finding asks for none."""
    said = findings(strip(30.0), tmp_path, {"default_direction": None})
    asked = [item for item in said if item.code == ASKED]
    line = LineAsked(
        number=1,
        start=(0.0, 30.0),
        end=(50.0, 30.0),
        length_mm=50.0,
        direction=None,
        turned_deg=90.0,
        inside_radius_mm=None,
    )
    assert [lines_asked(item) for item in asked] == [[line]]
    assert lines_asked(Finding.from_dict(json.loads(json.dumps(asked[0].as_dict())))) == [line]
    assert [lines_asked(item) for item in said if item.code != ASKED] == [[]] * (len(said) - 1)
