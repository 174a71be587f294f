"""Parts of other people, typed by measuring, against the authors' own flat patterns."""

from __future__ import annotations

from pathlib import Path

import pytest

from bendwright.drawing.part_file import read_part
from bendwright.part.bend_size import fixed_size
from bendwright.part.blank import make_blank
from bendwright.part.blank_model import Blank
from bendwright.part.model import Part

HERE = Path(__file__).parent / "measured"
AUTHORS_K = 0.47


def blank_of(name: str, inside_radius_mm: float) -> tuple[Part, Blank]:
    """The part and its blank with the authors' radius and K-factor."""
    part = read_part(HERE / f"{name}.yaml")
    thickness_mm = part.header.thickness_mm
    assert thickness_mm is not None
    sizes = {
        bend.id: fixed_size(bend, inside_radius_mm=inside_radius_mm, k_factor=AUTHORS_K, thickness_mm=thickness_mm)
        for bend in part.bends
    }
    return part, make_blank(part, sizes, thickness_mm=thickness_mm)


FLATS = [
    # name, inside radius, bends, author's width, height, net area, allowed share of area
    ("motor_bracket", 2.4, 4, 175.786, 90.0, 13445.83, 0.001),
    ("lidar_support", 1.5, 5, 403.768, 130.542, 31802.6, 0.001),
    # Closed corners: the authors let flanges run on into each other's bend zone, here they end at it.
    ("support", 1.5, 4, 275.684, 104.35, 16902.48, 0.006),
    ("back_panel", 2.4, 4, 417.692, 197.892, 79827.71, 0.005),
]


@pytest.mark.origin("printed", "outer size and net area of the flat patterns (DXF, drawing) of openAMR, commit 3dab236")
@pytest.mark.parametrize(("name", "radius", "bends", "width", "height", "area", "share"), FLATS)
def test_blank_is_the_authors_flat(
    name: str, radius: float, bends: int, width: float, height: float, area: float, share: float
) -> None:
    part, blank = blank_of(name, radius)
    assert len(part.bends) == bends
    assert blank.overlap_mm2 == 0.0
    assert blank.width_mm == pytest.approx(width, abs=0.05)
    assert blank.height_mm == pytest.approx(height, abs=0.05)
    assert blank.area_mm2 == pytest.approx(area, rel=share)


@pytest.mark.origin("printed", "hole centres of the author's flat DXF of the motor bracket, lower left corner at 0, 0")
def test_holes_of_the_motor_bracket_lie_where_the_author_has_them() -> None:
    _, blank = blank_of("motor_bracket", 2.4)
    author = [
        (14.5, 35.0, 10.5),
        (161.286, 35.0, 10.5),
        (121.127, 83.234, 7.1),
        (54.659, 83.234, 7.1),
        (54.659, 16.766, 7.1),
        (121.127, 16.766, 7.1),
        (87.893, 35.0, 35.0),
    ]
    ours = sorted((f.centre[0], f.centre[1], f.diameter_mm) for f in blank.features)  # type: ignore[union-attr]
    for (x, y, d), (ax, ay, ad) in zip(ours, sorted(author), strict=True):
        assert (x, y, d) == (pytest.approx(ax, abs=0.01), pytest.approx(ay, abs=0.01), pytest.approx(ad))


@pytest.mark.origin("printed", "bend lines of the author's flat DXF of the lidar support")
def test_bend_lines_of_the_lidar_support_lie_where_the_author_has_them() -> None:
    _, blank = blank_of("lidar_support", 1.5)
    upright = sorted(line.start[0] for line in blank.bend_lines if abs(line.start[0] - line.end[0]) < 1e-6)
    assert upright == pytest.approx([15.121, 132.963, 270.805, 388.647], abs=0.01)
    (across,) = [line for line in blank.bend_lines if abs(line.start[1] - line.end[1]) < 1e-6]
    assert across.start[1] == pytest.approx(121.621, abs=0.01)
    assert sorted((across.start[0], across.end[0])) == pytest.approx([134.584, 269.184], abs=0.01)
