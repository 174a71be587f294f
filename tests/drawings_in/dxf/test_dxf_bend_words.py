"""How far and which way each bend line is bent: texts beside it, attributes, tables and what was typed."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from drawn_bend_lines import HAND, plate, stepped, texts
from drawn_files import TURNED, box, document, part, read, refused, said, saved

from bendwright.drawing.dxf.choices import BendWords


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
def test_bends_listed_beside_their_lines(tmp_path: Path) -> None:
    reading = read(stepped(), tmp_path, **TURNED, inside_radius_mm=2.0, k_factor=0.44)
    (sentence,) = said(reading.findings, "D345")
    for bend in reading.part.bends:
        assert f"{bend.id} is line" in sentence


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
