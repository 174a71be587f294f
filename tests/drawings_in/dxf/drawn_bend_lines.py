"""Flat patterns with bend lines, and the area of what was read of them."""

from __future__ import annotations

import math
from typing import Any

import pytest
from drawn_files import box, document
from ezdxf.document import Drawing

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


def stepped() -> Drawing:
    """A strip of three flats with two bend lines, 30 and 70 mm up."""
    drawing = document()
    box(drawing, 0, 0, 50, 100)
    for y in (30, 70):
        drawing.modelspace().add_line((0, y), (50, y), dxfattribs={"layer": "BEND"})
    return drawing


def area_again(made: Part, k_factor: float = 0.44) -> float:
    """Area of the blank at the radii drawn."""
    t = made.header.thickness_mm
    assert t is not None
    sizes = {
        bend.id: fixed_size(bend, inside_radius_mm=bend.drawn_radius_mm or 0.0, k_factor=k_factor, thickness_mm=t)
        for bend in made.bends
    }
    return make_blank(made, sizes, thickness_mm=t).area_mm2
