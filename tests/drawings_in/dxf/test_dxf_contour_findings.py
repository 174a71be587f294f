"""Findings about outlines and holes: each has a drawing that provokes it, and says its sentence."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from drawn_files import box, document
from dxf_told import Cases, added, findings, strip
from ezdxf.document import Drawing

pytestmark = pytest.mark.origin("law", "the finding written beside each drawing")
CASES = Cases()
case = CASES.case


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


@pytest.mark.parametrize("name", CASES)
def test_each_finding(name: str, tmp_path: Path) -> None:
    """Exactly one finding of that code, with this sentence."""
    told, expected = CASES.told(name, tmp_path)
    assert told == expected


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
