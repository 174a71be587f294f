"""Which lines of a flat pattern are bends."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from drawn_bend_lines import HAND, TRADE, area_again, plate
from drawn_files import TURNED, angle_bracket, box, document, part, read, refused, said, saved

from bendwright.drawing.dxf.choices import Sender


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
