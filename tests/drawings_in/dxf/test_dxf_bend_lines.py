"""Which lines are bends, how far and which way each is bent, and the part that folds out of them."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest
from drawn_files import HEADER, TURNED, angle_bracket, box, document, part, read, refused, said, saved
from ezdxf.document import Drawing

from bendwright.drawing.dxf.choices import BendWords, DxfChoices, Sender
from bendwright.drawing.dxf.parse import parse_dxf
from bendwright.drawing.dxf.read_flat import flat_from_drawn, read_dxf_flat
from bendwright.part.bend_size import fixed_size
from bendwright.part.blank import make_blank
from bendwright.part.model import Part

HAND = pytest.mark.origin("derived", "flats, allowances and outside sizes of simple parts, by hand")
TRADE = pytest.mark.origin("practice", "words and line types that drawing offices use for bend lines")
BA = 0.5 * math.pi * (2.0 + 0.44 * 2.0)
"""Bend allowance of 90 degrees at R 2, t 2, K 0.44 [mm]."""


def plate(**line: Any) -> Drawing:
    """A plate 100 x 60 with a line across its middle in that layer, line type or colour."""
    drawing = document()
    box(drawing, 0, 0, 100, 60)
    drawing.modelspace().add_line((0, 30), (100, 30), dxfattribs=line)
    return drawing


def texts(drawing: Drawing, *words: tuple[str, float, float]) -> Drawing:
    """The drawing with texts at their places."""
    for text, x, y in words:
        drawing.modelspace().add_text(text, height=3.0).set_placement((x, y))
    return drawing


@TRADE
@pytest.mark.parametrize(
    ("line", "direction"),
    [
        ({"layer": "BEND"}, None),
        ({"layer": "Bend_Up"}, "up"),
        ({"layer": "bend-lines-down"}, "down"),
        ({"layer": "FOLD LINES"}, None),
        ({"layer": "Biegelinien oben"}, "up"),
        ({"layer": "BIEGUNG_UNTEN"}, "down"),
        ({"layer": "Kantlinie"}, None),
        ({"layer": "lignes de pli"}, None),
        ({"layer": "PLIAGE BAS"}, "down"),
        ({"layer": "Piega su"}, "up"),
        ({"layer": "PLEGADO ARRIBA"}, "up"),
        ({"layer": "Zetlijn"}, None),
        ({"layer": "Linia gięcia"}, None),
        ({"linetype": "CENTER"}, None),
        ({"linetype": "DASHED"}, None),
        ({"linetype": "DASHDOT2"}, None),
        ({"layer": "Mittellinien"}, None),
    ],
)
def test_words_and_line_types(tmp_path: Path, line: dict[str, Any], direction: str | None) -> None:
    """The line divides the plate in two flats; a direction in the layer's name is believed before the word for all."""
    other = "down" if direction == "up" else "up"
    made = part(plate(**line), tmp_path, default_direction=other)
    assert [bend.direction for bend in made.bends] == [direction or other]


@TRADE
@pytest.mark.parametrize("layer", ["Bemaßung", "NOTES", "ETCH", "Gravur", "TITLE", "Schrift", "HATCH"])
def test_marks_are_no_bends(tmp_path: Path, layer: str) -> None:
    assert part(plate(layer=layer), tmp_path).bends == ()


@TRADE
def test_a_line_type_of_the_sender_own_make(tmp_path: Path) -> None:
    """Its pattern has gaps, whatever its name."""
    drawing = document()
    drawing.linetypes.add("RULE7", [10.0, 7.0, -3.0])
    box(drawing, 0, 0, 100, 60)
    drawing.modelspace().add_line((0, 30), (100, 30), dxfattribs={"linetype": "RULE7"})
    assert len(part(drawing, tmp_path).bends) == 1


@HAND
def test_picked_mapped_and_coloured_lines(tmp_path: Path) -> None:
    """A line on a layer for marks becomes a bend by a place near it, by the layer's mapping or by its colour."""
    path = saved(plate(layer="MARKING", color=30), tmp_path)
    assert len(part(path, tmp_path, picked=((50.0, 31.0),)).bends) == 1
    assert len(part(path, tmp_path, sender=Sender(layers={"mark*": "bend"})).bends) == 1
    by_colour = part(path, tmp_path, sender=Sender(colours={30: "bend down"}))
    assert [bend.direction for bend in by_colour.bends] == ["down"]
    assert part(path, tmp_path, sender=Sender(layers={"MARKING": "ignore"}, colours={30: "bend"})).bends == ()
    assert said(read(path, tmp_path, picked=((50.0, 45.0),)).findings, "D333") == [
        "No straight line lies within 5 mm of the place picked, (50.00, 45.00)."
    ]


@HAND
def test_outside_sizes_of_an_angle(tmp_path: Path) -> None:
    """Flat 60, line in its middle: each leg 30 - BA/2 flat, plus R + t to the mould line; hole where it was."""
    made = part(angle_bracket(), tmp_path, inside_radius_mm=2.0, k_factor=0.44)
    (bend,) = made.bends
    heights = sorted(max(y for _, y in flange.outline) - min(y for _, y in flange.outline) for flange in made.flanges)
    assert heights == pytest.approx([30.0 - BA / 2 + 4.0] * 2, abs=1e-5)
    assert (bend.turned_deg, bend.direction, bend.drawn_radius_mm) == (90.0, "up", 2.0)
    (holed,) = [flange for flange in made.flanges if flange.features]
    assert holed.features[0].diameter_mm == 8.0


@HAND
def test_tangent_lines_give_width_radius_and_k(tmp_path: Path) -> None:
    """4.5239 = pi/2 (R + 2 K): R 2 and K 0.44; with R stated as 1.8 it must be K 0.54, which is not plausible."""
    drawing = plate(layer="BEND")
    for side in (-BA / 2, BA / 2):
        drawing.modelspace().add_line((0, 30 + side), (100, 30 + side), dxfattribs={"layer": "BEND_EXTENT"})
    path = saved(drawing, tmp_path)
    reading = read(path, tmp_path, **TURNED)
    assert reading.part.bends[0].drawn_radius_mm == pytest.approx(2.0)
    assert said(reading.findings, "D361") == [
        "Tangent lines are drawn: zones 4.524 mm wide (R 2, K 0.440) at line 1. K is plausible from 0.3 to 0.5."
    ]
    assert not said(reading.findings, "D362")
    assert said(read(path, tmp_path, **TURNED, inside_radius_mm=1.8).findings, "D364")
    assert said(read(path, tmp_path, **TURNED, inside_radius_mm=2.0, k_factor=0.47).findings, "D363")
    unknown = {**TURNED, "thickness_mm": None}
    solved = read(path, tmp_path, **unknown, inside_radius_mm=2.0, k_factor=0.44)
    assert solved.part.header.thickness_mm == pytest.approx(2.0, abs=1e-3)
    assert [item.code for item in refused(path, tmp_path, **unknown) if item.severity == "error"] == ["D365"]


@HAND
@pytest.mark.parametrize("layer", ["BEND", "0"])
def test_tangent_lines_drawn_like_bend_lines(tmp_path: Path, layer: str) -> None:
    """Three dashed lines close together are one bend and its two tangents."""
    drawing = document()
    box(drawing, 0, 0, 100, 60)
    for y in (30 - BA / 2, 30, 30 + BA / 2):
        drawing.modelspace().add_line((0, y), (100, y), dxfattribs={"layer": layer, "linetype": "DASHED"})
    reading = read(drawing, tmp_path, **TURNED)
    assert len(reading.part.bends) == 1
    assert said(reading.findings, "D361")


@HAND
def test_tangent_lines_alone(tmp_path: Path) -> None:
    """Without a middle line the bend lies half-way between its tangents."""
    drawing = document()
    box(drawing, 0, 0, 100, 60)
    for y in (20.0, 20.0 + BA):
        drawing.modelspace().add_line((0, y), (100, y), dxfattribs={"layer": "BEND TANGENT"})
    made = part(drawing, tmp_path)
    flats = sorted(max(y for _, y in flange.outline) - min(y for _, y in flange.outline) for flange in made.flanges)
    assert flats == pytest.approx([20.0 + 4.0, 40.0 - BA + 4.0], abs=1e-5)


@HAND
@pytest.mark.parametrize(
    ("words", "turned", "direction", "radius"),
    [
        (["UP 90° R2.4"], 90.0, "up", 2.4),
        (["Down 45"], 45.0, "down", 2.0),
        (["DOWN 132° R 1,2"], 132.0, "down", 1.2),
        (["oben 30 Grad"], 30.0, "up", 2.0),
        (["90°", "unten"], 90.0, "down", 2.0),
        (["U 60"], 60.0, "up", 2.0),
        (["included 120° up"], 60.0, "up", 2.0),
        (["Innenwinkel 100° unten IR 3"], 80.0, "down", 3.0),
        (["b1 up 45 turned"], 45.0, "up", 2.0),
    ],
)
def test_texts_beside_the_line(tmp_path: Path, words: list[str], turned: float, direction: str, radius: float) -> None:
    drawing = texts(plate(layer="BEND"), *((word, 40.0, 32.0 + 5.0 * n) for n, word in enumerate(words)))
    (bend,) = part(drawing, tmp_path, default_turned_deg=None, default_direction=None, inside_radius_mm=2.0).bends
    assert (bend.turned_deg, bend.direction, bend.drawn_radius_mm) == pytest.approx((turned, direction, radius))


@HAND
@pytest.mark.parametrize(
    ("x", "more"),
    [
        (28.0, {}),
        (49.0, {"halign": 2}),
        (40.0, {"halign": 1}),
        (52.0, {"rotation": 90.0}),
        (51.0, {}),
    ],
)
def test_texts_left_and_right_of_an_upright_line(tmp_path: Path, x: float, more: dict[str, Any]) -> None:
    """Where a text ends counts as much as where it begins: two upright lines 50 mm apart, the label belongs to the first."""
    drawing = document()
    box(drawing, 0, 0, 150, 60)
    for at in (50, 100):
        drawing.modelspace().add_line((at, 0), (at, 60), dxfattribs={"layer": "BEND"})
    from ezdxf.enums import TextEntityAlignment

    align = {2: TextEntityAlignment.RIGHT, 1: TextEntityAlignment.CENTER}.get(
        more.get("halign", 0), TextEntityAlignment.LEFT
    )
    text = drawing.modelspace().add_text("DOWN 45 R2", height=3.0, rotation=more.get("rotation", 0.0))
    text.set_placement((x, 20), align=align)
    bends = part(drawing, tmp_path, inside_radius_mm=2.0).bends
    assert sorted((bend.turned_deg, bend.direction) for bend in bends) == [(45.0, "down"), (90.0, "up")]


@HAND
@pytest.mark.parametrize(("x0", "x1"), [(-4.0, 104.0), (-80.0, 300.0), (2.0, 98.5)])
def test_bend_lines_longer_or_shorter_than_the_sheet(tmp_path: Path, x0: float, x1: float) -> None:
    """A line that stands out of the sheet, or stops a little before its edge, bends all of it."""
    drawing = document()
    box(drawing, 0, 0, 100, 60)
    drawing.modelspace().add_line((x0, 30), (x1, 30), dxfattribs={"layer": "BEND"})
    made = part(drawing, tmp_path, inside_radius_mm=2.0, k_factor=0.44)
    assert len(made.bends) == 1
    assert area_again(made) == pytest.approx(6000, rel=1e-9)


@HAND
def test_a_bend_line_taken_apart_into_dashes(tmp_path: Path) -> None:
    """Dashes of 5 mm with gaps of 3 mm on the bend layer are one bend line."""
    drawing = document()
    box(drawing, 0, 0, 101, 60)
    for n in range(13):
        drawing.modelspace().add_line((8 * n, 30), (8 * n + 5, 30), dxfattribs={"layer": "BEND"})
    reading = read(drawing, tmp_path, **TURNED, inside_radius_mm=2.0, k_factor=0.44)
    assert len(reading.part.bends) == 1
    assert area_again(reading.part) == pytest.approx(101 * 60, rel=1e-9)


@HAND
def test_block_attributes_and_included_angles(tmp_path: Path) -> None:
    """Attributes ANGLE, DIRECTION, RADIUS of a block beside the line; a drawing whose texts mean included angles."""
    drawing = plate(layer="BEND")
    block = drawing.blocks.new("BENDNOTE")
    for n, tag in enumerate(("ANGLE", "DIRECTION", "RADIUS")):
        block.add_attdef(tag, (0, -4.0 * n))
    note = drawing.modelspace().add_blockref("BENDNOTE", (40, 36))
    note.add_auto_attribs({"ANGLE": "120", "DIRECTION": "DOWN", "RADIUS": "3"})
    (bend,) = part(drawing, tmp_path, default_turned_deg=None, default_direction=None, texts_state="included").bends
    assert (bend.turned_deg, bend.direction, bend.drawn_radius_mm) == pytest.approx((60.0, "down", 3.0))


@HAND
@pytest.mark.parametrize(
    ("text", "thickness"),
    [
        ("t = 1,5", 1.5),
        ("Blech 3 mm", 3.0),
        ("Thickness 2.00 mm", 2.0),
        ("2.5 mm thick", 2.5),
        ("THK .0", None),
        ("s=0.8mm", 0.8),
    ],
)
def test_thickness_in_a_text(tmp_path: Path, text: str, thickness: float | None) -> None:
    drawing = texts(plate(layer="BEND"), (text, 0.0, -20.0))
    choices = {**TURNED, "thickness_mm": None}
    if thickness is None:
        assert "D365" in [item.code for item in refused(drawing, tmp_path, **choices)]
    else:
        assert read(drawing, tmp_path, **choices).part.header.thickness_mm == pytest.approx(thickness)


def stepped() -> Drawing:
    """A strip of three flats with two bend lines, 30 and 70 mm up."""
    drawing = document()
    box(drawing, 0, 0, 50, 100)
    for y in (30, 70):
        drawing.modelspace().add_line((0, y), (50, y), dxfattribs={"layer": "BEND"})
    return drawing


@HAND
def test_what_is_not_known_is_asked_for(tmp_path: Path) -> None:
    """The finding holds the lines and the table; the table filled in is read; the template is that table."""
    path, table = saved(stepped(), tmp_path), tmp_path / "bends.csv"
    errors = [item for item in refused(path, tmp_path, thickness_mm=2.0, template=table) if item.severity == "error"]
    text = "line,x_mm,y_mm,length_mm,direction,turned_deg,included_deg,inside_radius_mm\n1,25.00,30.00,50.00,,,,\n2,25.00,70.00,50.00,,,,\n"
    assert [item.sentence for item in errors] == [
        "Bend lines without angle or direction (2): line 1 from (0.00, 30.00) to (50.00, 30.00), 50.00 mm (angle and "
        "direction), line 2 from (0.00, 70.00) to (50.00, 70.00), 50.00 mm (angle and direction). The table to fill "
        f"in:\n{text}"
    ]
    assert table.read_text() == text
    table.write_text(
        text.replace("1,25.00,30.00,50.00,,,,", "1,,,,up,90,,1.5").replace("2,25.00,70.00,50.00,,,,", "2,,,,d,,150,")
    )
    made = part(path, tmp_path, default_turned_deg=None, default_direction=None, bend_table=table)
    words = {bend.turned_deg: (bend.direction, bend.drawn_radius_mm) for bend in made.bends}
    assert words == {90.0: ("up", 1.5), 30.0: ("down", 2.0)}


@HAND
def test_tables_by_place_and_with_decimal_commas(tmp_path: Path) -> None:
    table = tmp_path / "bends.csv"
    table.write_text("x_mm;y_mm;direction;turned_deg;note\n25,5;71,0;auf;33,5;oben\n25;29;ab;45;\n", encoding="utf-8")
    made = part(stepped(), tmp_path, bend_table=table)
    assert {(bend.turned_deg, bend.direction) for bend in made.bends} == {(33.5, "up"), (45.0, "down")}


@HAND
def test_a_word_for_a_line_beats_all_others(tmp_path: Path) -> None:
    table = tmp_path / "bends.csv"
    table.write_text("line,turned_deg,direction\n1,30,up\n")
    drawing = texts(stepped(), ("UP 60", 10, 32), ("UP 60", 10, 72))
    words = (BendWords(at=(25.0, 72.0), turned_deg=15.0),)
    made = part(drawing, tmp_path, bend_table=table, bends=words, default_direction="down")
    assert sorted((bend.turned_deg, bend.direction) for bend in made.bends) == [(15.0, "up"), (30.0, "up")]


@HAND
def test_one_bend_line_in_pieces_is_one_bend(tmp_path: Path) -> None:
    """A window cuts the line in two; both pieces join the same two flats. Slots to the edge make two bends of it."""
    drawing = document()
    box(drawing, 0, 0, 100, 60)
    box(drawing, 40, 25, 60, 35)
    for x0, x1 in ((0, 40), (60, 100)):
        drawing.modelspace().add_line((x0, 30), (x1, 30), dxfattribs={"linetype": "DASHED"})
    made = part(drawing, tmp_path, inside_radius_mm=2.0, k_factor=0.44)
    assert len(made.bends) == 1
    assert area_again(made) == pytest.approx(100 * 60 - 200, rel=1e-7)
    tabs = document()
    outline = [(0, 0), (40, 0), (40, 35), (60, 35), (60, 0), (100, 0), (100, 60), (0, 60)]
    tabs.modelspace().add_lwpolyline(outline, close=True)
    tabs.modelspace().add_line((0, 30), (100, 30), dxfattribs={"linetype": "DASHED"})
    made = part(tabs, tmp_path, inside_radius_mm=2.0, k_factor=0.44)
    assert len(made.bends) == 2
    assert area_again(made) == pytest.approx(100 * 60 - 20 * 35, rel=1e-7)


def area_again(made: Part, k_factor: float = 0.44) -> float:
    """Area of the blank at the radii drawn."""
    t = made.header.thickness_mm
    assert t is not None
    sizes = {
        bend.id: fixed_size(bend, inside_radius_mm=bend.drawn_radius_mm or 0.0, k_factor=k_factor, thickness_mm=t)
        for bend in made.bends
    }
    return make_blank(made, sizes, thickness_mm=t).area_mm2


@HAND
def test_holes_and_reliefs_in_the_zone(tmp_path: Path) -> None:
    """A hole astride the tangent line, one inside the zone, round notches at its ends: nothing of the area is lost."""
    drawing = document()
    space = drawing.modelspace()
    outline = [(0, 0, 0), (100, 0, 0), (100, 28, 0), (98, 28, -1), (98, 32, 0), (100, 32, 0), (100, 60, 0), (0, 60, 0)]
    space.add_lwpolyline(outline, format="xyb", close=True)
    space.add_circle((30, 32), 4.0)
    space.add_circle((60, 30), 1.0)
    space.add_line((0, 30), (98, 30), dxfattribs={"linetype": "DASHED"})
    reading = read(drawing, tmp_path, **TURNED, inside_radius_mm=2.0, k_factor=0.44)
    true = 100 * 60 - (2 * 4 + math.pi * 2**2 / 2) - math.pi * 16 - math.pi
    assert area_again(reading.part) == pytest.approx(true, rel=1e-6)
    assert not said(reading.findings, "D370")


@HAND
def test_a_tab_bent_out_of_a_window(tmp_path: Path) -> None:
    """A U-shaped cut frees a tab inside the plate; the bend line closes it."""
    drawing = document()
    space = drawing.modelspace()
    box(drawing, 0, 0, 120, 80)
    cut = [(30, 60), (28, 60), (28, 18), (92, 18), (92, 60), (90, 60), (90, 20), (30, 20)]
    space.add_lwpolyline(cut, close=True)
    space.add_line((30, 55), (90, 55), dxfattribs={"layer": "BEND"})
    made = part(drawing, tmp_path, inside_radius_mm=2.0, k_factor=0.44)
    assert len(made.bends) == 1
    slit = 2 * (2 * 42) + 60 * 2
    assert area_again(made) == pytest.approx(120 * 80 - slit, rel=1e-6)


@HAND
def test_two_bends_that_meet_in_a_corner_share_it(tmp_path: Path) -> None:
    """A square notch that ends inside both zones: the sheet between them is shared out along the mitre, and none is lost."""
    drawing = document()
    outline = [(0, 21), (21, 21), (21, 0), (100, 0), (100, 80), (0, 80)]
    drawing.modelspace().add_lwpolyline(outline, close=True)
    for start, end in (((20, 21), (20, 80)), ((21, 20), (100, 20))):
        drawing.modelspace().add_line(start, end, dxfattribs={"layer": "BEND"})
    reading = read(drawing, tmp_path, **TURNED, inside_radius_mm=2.0, k_factor=0.44)
    assert len(reading.part.bends) == 2
    overlap = (BA / 2 - 1.0) ** 2
    assert said(reading.findings, "D336") == [
        f"Bend zones lie over each other (1): lines 1 and 2 by {overlap:.2f} mm2. The sheet there was shared out between them."
    ]
    assert area_again(reading.part) == pytest.approx(100 * 80 - 21 * 21, rel=1e-6)


@HAND
def test_lines_that_part_nothing(tmp_path: Path) -> None:
    """A broken line in the middle of the sheet is a centre line; one on a bend layer is a mistake, or left out by its number."""
    drawing = angle_bracket()
    drawing.modelspace().add_line((10, 15), (30, 15), dxfattribs={"linetype": "CENTER"})
    assert len(part(drawing, tmp_path).bends) == 1
    named = plate(layer="BEND")
    named.modelspace().add_line((40, 10), (60, 10), dxfattribs={"layer": "BEND"})
    path = saved(named, tmp_path)
    (error,) = [item for item in refused(path, tmp_path, **TURNED) if item.severity == "error"]
    assert error.sentence.startswith("Bend lines that part nothing, for the sheet hangs together round them (1): ")
    assert "line 1 from (40.00, 10.00) to (60.00, 10.00)" in error.sentence
    assert len(part(path, tmp_path, left_out=(1,)).bends) == 1


@HAND
def test_named_bend_lines_leave_centre_lines_alone(tmp_path: Path) -> None:
    drawing = plate(layer="BEND")
    drawing.modelspace().add_line((0, 10), (100, 10), dxfattribs={"linetype": "CENTER"})
    reading = read(drawing, tmp_path, **TURNED)
    assert len(reading.part.bends) == 1
    assert said(reading.findings, "D332") == [
        "Lines not taken for bend lines, for others are named so (1): 1 x line type CENTER."
    ]


@HAND
def test_bends_listed_beside_their_lines(tmp_path: Path) -> None:
    reading = read(stepped(), tmp_path, **TURNED, inside_radius_mm=2.0, k_factor=0.44)
    (sentence,) = said(reading.findings, "D345")
    for bend in reading.part.bends:
        assert f"{bend.id} is line" in sentence


@pytest.mark.origin("law", "a file parsed elsewhere gives the same part as the file itself")
def test_from_a_parsed_file(tmp_path: Path) -> None:
    path = saved(stepped(), tmp_path)
    choices = DxfChoices(default_turned_deg=90.0, default_direction="up", thickness_mm=2.0)
    apart = flat_from_drawn(parse_dxf(path), header=HEADER, choices=choices, name=path.name)
    assert apart == read_dxf_flat(path, header=HEADER, choices=choices)


@pytest.mark.origin("law", "a flat drawing without bend lines is a part of one flange; its thickness may be unknown")
def test_a_flat_part(tmp_path: Path) -> None:
    made = read(angle_bracket(line=False), tmp_path).part
    assert (len(made.flanges), made.bends, made.header.thickness_mm) == (1, (), None)


@HAND
@pytest.mark.parametrize("word", ["D8", "45", "12", "R5", "U 60"])
def test_loose_texts_do_not_change_what_was_typed(tmp_path: Path, word: str) -> None:
    """A hole callout, a dimension, a balloon, a corner callout beside the line: still up 90, R 2."""
    reading = read(texts(plate(layer="BEND"), (word, 40.0, 32.0)), tmp_path, **TURNED, inside_radius_mm=2.0)
    (bend,) = reading.part.bends
    assert (bend.turned_deg, bend.direction, bend.drawn_radius_mm) == (90.0, "up", 2.0)


@HAND
@pytest.mark.parametrize(
    ("word", "row", "turned", "direction", "believed"),
    [
        ("DOWN 45", None, 45.0, "down", "the text"),
        ("THIS SIDE DOWN", None, 90.0, "up", "what was typed"),
        ("45°", None, 90.0, "up", "what was typed"),
        ("DOWN 45", "1,30,up", 30.0, "up", "what was typed"),
    ],
)
def test_texts_against_what_was_typed(
    tmp_path: Path, word: str, row: str | None, turned: float, direction: str, believed: str
) -> None:
    more: dict[str, Any] = {}
    if row:
        more["bend_table"] = tmp_path / "bends.csv"
        more["bend_table"].write_text(f"line,turned_deg,direction\n{row}\n")
    reading = read(texts(plate(layer="BEND"), (word, 40.0, 32.0)), tmp_path, **TURNED, **more)
    (bend,) = reading.part.bends
    assert (bend.turned_deg, bend.direction) == (turned, direction)
    typed = "up 30 deg turned" if row else "up 90 deg turned"
    assert said(reading.findings, "D356") == [
        f'Texts beside line 1 from (0.00, 30.00) to (100.00, 30.00), 100.00 mm say "{word}", but typed was {typed}; '
        f"{believed} was believed."
    ]


@pytest.mark.origin("law", "what is no sheet metal is refused before its lines are compared with each other")
@pytest.mark.parametrize("layers", [("BEND", "BEND_EXTENT"), ("X", "BEND_EXTENT")])
def test_hundreds_of_bends_are_refused_at_once(tmp_path: Path, layers: tuple[str, str]) -> None:
    """400 level lines with tangent lines beside each, or the tangent lines alone; seconds where it was half a minute."""
    from time import perf_counter

    drawing = document()
    box(drawing, 0, 0, 100, 4010)
    for n in range(400):
        for off, layer in ((0.0, layers[0]), (-2.0, layers[1]), (2.0, layers[1])):
            if layer != "X":
                y = 10.0 * (n + 1) + off
                drawing.modelspace().add_line((0, y), (100, y), dxfattribs={"layer": layer})
    path, start = saved(drawing, tmp_path), perf_counter()
    errors = refused(path, tmp_path, **TURNED)
    assert [item.code for item in errors if item.severity == "error"] == ["D348"]
    assert perf_counter() - start < 15.0


@HAND
def test_bend_lines_of_another_part_are_not_missed(tmp_path: Path) -> None:
    """Of two parts in a file the bend line of the one not chosen is no finding; a line that lies on neither is."""
    drawing = document()
    for x in (0, 200):
        box(drawing, x, 0, x + 100, 60)
        drawing.modelspace().add_line((x, 30), (x + 100, 30 + x / 20), dxfattribs={"layer": "BEND"})
    assert not said(read(drawing, tmp_path, **TURNED, outline=1).findings, "D330")
    drawing.modelspace().add_line((0, 80), (100, 80), dxfattribs={"layer": "BEND"})
    assert said(read(drawing, tmp_path, **TURNED, outline=1).findings, "D330") == [
        "Lines named bend lines lie off the sheet and were not used (1): (0.00, 80.00) to (100.00, 80.00)."
    ]
