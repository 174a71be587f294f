"""The sheet as triangles: flats that stay flat, and the bends' own sheet cut into strips that can be laid round an arc.

A ``Mesh`` lies in the plane of the blank; its corners are put on the top and the bottom face later. A hem is bent over a wider
arc before it is pressed flat than it ends with: its strips take that much from the flats beside it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from bendwright.geometry.rigid import Array
from bendwright.part.bent_sheet import rectangle_over, seen_from_line, strips_of
from bendwright.part.blank_model import BendLine, Blank
from bendwright.part.model import Part
from bendwright.part.sheet_pieces import feature_ring, sheet_pieces

COARSE_MM = 0.04
TOUCHING_MM = 2e-3
OVER_MM = 5e-3
DIGITS = 6
Whole = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Mesh:
    """Triangles (counter-clockwise from the top) over corners in the plane, and the edges of the sheet among them."""

    points: Array
    triangles: Whole
    rims: Whole


@dataclass(frozen=True, slots=True)
class Sheet:
    """Meshes of the flanges' flats (blank coordinates) and of the bends (out from the middle of the line, along it [mm])."""

    flats: dict[str, Mesh]
    bends: dict[str, Mesh]


def sheet_of(part: Part, blank: Blank, widths_mm: Mapping[str, float], turned_deg: Mapping[str, float]) -> Sheet:
    """The meshes; ``widths_mm`` is how far the strips of a bend reach across, ``turned_deg`` how far it is ever turned."""
    flats: dict[str, BaseGeometry] = {}
    bends: dict[str, BaseGeometry] = {}
    for piece in sheet_pieces(blank):
        shape = piece.shape.simplify(COARSE_MM)
        holes = [Polygon(feature_ring(hole)).simplify(COARSE_MM) for hole in piece.holes]
        group = flats if piece.kind == "flat" else bends
        cut = shape.difference(shapely.union_all(holes)) if holes else shape
        group[piece.id] = cut if piece.id not in group else shapely.union_all([group[piece.id], cut])
    lines = {line.bend_id: line for line in blank.bend_lines}
    for bend in part.bends:
        if bend.id in bends and widths_mm[bend.id] > lines[bend.id].zone_width_mm + TOUCHING_MM:
            _widen(flats, bends, bend.id, (bend.parent, bend.child), lines[bend.id], widths_mm[bend.id])
    near_flats = {bend.id: [flats[name] for name in (bend.parent, bend.child) if name in flats] for bend in part.bends}
    near_bends = {
        name: [bends[b.id] for b in part.bends if name in (b.parent, b.child) and b.id in bends] for name in flats
    }
    return Sheet(
        {name: _mesh([shape], near_bends[name]) for name, shape in flats.items() if shape.area > 0.0},
        {
            name: _strips(shape, near_flats[name], lines[name], widths_mm[name], turned_deg[name])
            for name, shape in bends.items()
        },
    )


def _widen(
    flats: dict[str, BaseGeometry],
    bends: dict[str, BaseGeometry],
    bend_id: str,
    flanges: tuple[str, str],
    line: BendLine,
    width: float,
) -> None:
    """Give the strips of a bend what lies within its width on the flats beside it."""
    strip = shapely.union_all(
        [rectangle_over(line, low - OVER_MM, high + OVER_MM, width_mm=width) for low, high in line.spans]
    )
    taken = [flats[name].intersection(strip) for name in flanges if name in flats]
    grown = [shape.buffer(TOUCHING_MM, join_style="mitre") for shape in (bends[bend_id], *taken)]
    bends[bend_id] = shapely.union_all(grown).buffer(-TOUCHING_MM, join_style="mitre").simplify(TOUCHING_MM)
    for name in flanges:
        if name in flats:
            flats[name] = flats[name].difference(strip)


def _strips(shape: BaseGeometry, near: Sequence[BaseGeometry], line: BendLine, width: float, turned: float) -> Mesh:
    strips = strips_of(shape, line, width_mm=width, turned_deg=turned)
    return _mesh(strips, [seen_from_line(flat, line) for flat in near])


def _mesh(shapes: Sequence[BaseGeometry], beside: Sequence[BaseGeometry]) -> Mesh:
    """Triangles over all shapes; edges that lie on a shape beside them are no edges of the sheet."""
    corners = np.concatenate(
        [shapely.get_coordinates(shapely.constrained_delaunay_triangles(shape)).reshape(-1, 4, 2) for shape in shapes]
    )[:, :3]
    points, numbers = np.unique(np.round(corners.reshape(-1, 2), DIGITS), axis=0, return_inverse=True)
    triangles = numbers.reshape(-1, 3)
    a, b, c = (points[triangles[:, i]] for i in range(3))
    twice = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    triangles = np.where((twice < 0.0)[:, None], triangles[:, ::-1], triangles)[twice != 0.0]
    edges = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    there, back = edges @ [len(points), 1], edges @ [1, len(points)]
    rims = edges[~np.isin(there, back)]
    if beside:
        middles = shapely.points(0.5 * (points[rims[:, 0]] + points[rims[:, 1]]))
        rims = rims[~shapely.dwithin(middles, shapely.union_all(beside), TOUCHING_MM)]
    return Mesh(points, triangles, rims)
