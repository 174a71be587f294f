"""The part that folds out of a flat pattern: sizes, tangent lines, openings and corners in the bends."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from drawn_bend_lines import BA, HAND, area_again, plate, stepped
from drawn_files import HEADER, TURNED, angle_bracket, box, document, part, read, refused, said, saved

from bendwright.drawing.dxf.choices import DxfChoices
from bendwright.drawing.dxf.parse import parse_dxf
from bendwright.drawing.dxf.read_flat import flat_from_drawn, read_dxf_flat


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
