"""Flat patterns of sheets of tests/cad_solids as DXF files, in several dialects, to be mangled."""

from __future__ import annotations

import logging
import math
from pathlib import Path

import ezdxf
from bent_blank import BentBlank
from ezdxf.layouts import Modelspace
from flat_shapes import Arc, Line, Loop
from known_parts import CATALOGUE

NAMES = ("angle", "hat", "lidded_tray", "rounded_outline", "openings_of_all_kinds", "corner_bracket")
DIALECTS = ("R12", "R2000", "R2010")


def flat_drawings(folder: Path) -> list[Path]:
    """The files, one for each sheet and dialect."""
    logging.getLogger("ezdxf").setLevel(logging.ERROR)  # it tells that the oldest dialect knows no units
    out = []
    for name in NAMES:
        blank = CATALOGUE[name]().blank
        for dialect in DIALECTS:
            out.append(folder / f"{name}-{dialect}.dxf")
            _drawn(blank, dialect, out[-1])
    return out


def _drawn(blank: BentBlank, dialect: str, path: Path) -> None:
    drawing = ezdxf.new(dialect, setup=True)
    if dialect != "R12":
        drawing.header["$INSUNITS"] = 4
    for layer in ("OUTER", "INNER", "BEND"):
        drawing.layers.add(layer)
    space = drawing.modelspace()
    for loop, layer in [(blank.outline, "OUTER"), *((opening, "INNER") for opening in blank.openings)]:
        if dialect == "R2010" and not loop.whole_circle:
            _polyline(space, loop, layer)
        else:
            _pieces(space, loop, layer)
    for strip in blank.strips:
        middle = 0.5 * blank.width(strip)
        line = space.add_line(strip.at(0.0, middle), strip.at(strip.length, middle), dxfattribs={"layer": "BEND"})
        words = f"{'UP' if strip.up else 'DOWN'} {strip.turned_deg:g} R {strip.radius_mm:g}"
        space.add_text(words, height=2.0, dxfattribs={"layer": "BEND"}).set_placement(line.dxf.start)
    drawing.saveas(path)


def _pieces(space: Modelspace, loop: Loop, layer: str) -> None:
    where = {"layer": layer}
    if loop.whole_circle:
        arc = loop.pieces[0]
        assert isinstance(arc, Arc)
        space.add_circle(arc.centre, arc.radius, dxfattribs=where)
        return
    for piece in loop.pieces:
        if isinstance(piece, Line):
            space.add_line(piece.start, piece.end, dxfattribs=where)
        elif isinstance(piece, Arc):
            ends = [
                math.degrees(math.atan2(p[1] - piece.centre[1], p[0] - piece.centre[0]))
                for p in (piece.start, piece.end)
            ]
            start, end = ends if piece.sweep_rad > 0.0 else ends[::-1]
            space.add_arc(piece.centre, piece.radius, start, end, dxfattribs=where)
        elif space.doc.dxfversion == "AC1009":
            space.add_polyline2d([*piece.points()[::20], piece.end], dxfattribs=where)
        else:
            space.add_spline(dxfattribs=where).set_open_uniform([(*p, 0.0) for p in piece.controls], degree=3)


def _polyline(space: Modelspace, loop: Loop, layer: str) -> None:
    rows: list[tuple[float, float, float]] = []
    for piece in loop.pieces:
        if isinstance(piece, Arc):
            rows.append((*piece.start, math.tan(piece.sweep_rad / 4.0)))
        else:
            rows += [(*point, 0.0) for point in piece.points()[::20]]
    space.add_lwpolyline(rows, format="xyb", close=True, dxfattribs={"layer": layer})
