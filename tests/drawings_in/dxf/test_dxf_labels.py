"""What single texts of a drawing say of thickness, angle, direction and radius."""

from __future__ import annotations

import pytest

from bendwright.drawing.dxf.drawn import DrawnText
from bendwright.drawing.dxf.labels import label_of, thickness_in

HAND = pytest.mark.origin("derived", "what the texts say, read by a person; 1 in = 25.4 mm")


def text(words: str, tag: str = "") -> DrawnText:
    """A text at the origin."""
    return DrawnText(text=words, at=(0.0, 0.0), to=(10.0, 0.0), height=3.0, style=0, tag=tag)


@HAND
@pytest.mark.parametrize(
    ("words", "mm"),
    [
        ("THK.060", 1.524),
        ("THK. 060.5", None),
        ("THK .060", 1.524),
        ("THK. 0.060", 1.524),
        ('THK 1/8"', 3.175),
        ("THK 1/0", None),
        ("THK 1 1/8", None),
        ('1/8" plate', 3.175),
        ("GAUGE 16", None),
        ("16 GA", None),
        ("THK 16 GA", None),
        ("SHEET THICKNESS 16 GAUGE", None),
        ("t = 1,5 mm", 1.5),
    ],
)
def test_thickness_in_inch_drawings(words: str, mm: float | None) -> None:
    said = thickness_in([text(words)], mm_per_unit=25.4)
    assert (said[0] if said else None) == (None if mm is None else pytest.approx(mm))


@HAND
@pytest.mark.parametrize(
    ("words", "radius"), [("UP 90 R.03", 0.03), ("UP 90 R. 0.03", 0.03), ("DOWN 90° RAD .5", 0.5), ("UP 90° R1,5", 1.5)]
)
def test_radius_with_a_leading_point(words: str, radius: float) -> None:
    label = label_of(text(words), mm_per_unit=25.4)
    assert label is not None
    assert (label.angle_written_deg, label.radius) == (90.0, pytest.approx(radius))


@HAND
@pytest.mark.parametrize("words", ["D8", "45", "12", "R5", "4x R5", "U 8", "M6", "2.50"])
def test_callouts_dimensions_and_balloons_are_no_words_of_bends(words: str) -> None:
    assert label_of(text(words), mm_per_unit=1.0) is None


@HAND
@pytest.mark.parametrize(
    ("words", "tag", "angle", "direction", "weak"),
    [
        ("U90", "", 90.0, "up", True),
        ("D 8°", "", 8.0, "down", False),
        ("90°", "", 90.0, None, False),
        ("120", "ANGLE", 120.0, None, False),
        ("Down 45", "", 45.0, "down", False),
    ],
)
def test_angles_that_count(words: str, tag: str, angle: float, direction: str | None, weak: bool) -> None:
    label = label_of(text(words, tag), mm_per_unit=1.0)
    assert label is not None
    assert (label.angle_written_deg, label.direction, label.weak) == (angle, direction, weak)
