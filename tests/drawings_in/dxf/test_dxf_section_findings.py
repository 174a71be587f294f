"""Findings about thickness and sections: each has a drawing that provokes it, and says its sentence."""

from __future__ import annotations

from pathlib import Path

import pytest
from dxf_told import Cases, section, strip
from ezdxf.document import Drawing

pytestmark = pytest.mark.origin("law", "the finding written beside each drawing")
CASES = Cases()
case = CASES.case


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
    told, expected = CASES.told(name, tmp_path)
    assert told == expected
