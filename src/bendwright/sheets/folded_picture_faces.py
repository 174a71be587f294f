"""The folded part as flat faces in space: both sides of every flat and of every strip of a bend, and the walls of its edges."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from bendwright.geometry.rigid import Array, Rigid
from bendwright.part.bent_sheet import laid_round, seen_from_line, strips_of
from bendwright.part.blank_model import BendLine, Blank
from bendwright.part.fold import fold
from bendwright.part.model import Part
from bendwright.part.sheet_pieces import feature_ring, sheet_pieces

Side = Literal["top", "bottom", "wall"]
SMOOTH_DEG = 25.0
"""Edges that turn by less are one curve: no line is drawn where two of them meet."""
BESIDE_MM = 2e-3


@dataclass(frozen=True, slots=True)
class Face:
    """One face: its rings in space (outline, then holes), counter-clockwise seen from outside, each corner's sharpness, and
    which sides of the rings are edges of the sheet (line to draw) or where a bend begins (thin line).
    """

    side: Side
    rings: tuple[Array, ...]
    edges: tuple[Array, ...]
    bend_edges: tuple[Array, ...] = ()


def faces_of(part: Part, blank: Blank, *, coarse_mm: float) -> list[Face]:
    """All faces of the folded part in blank space, the root held; curved edges are drawn to ``coarse_mm``."""
    placed, lines = fold(part, blank), {line.bend_id: line for line in blank.bend_lines}
    parents = {bend.id: bend.parent for bend in part.bends}
    shapes: dict[tuple[str, str], BaseGeometry] = {}
    for piece in sheet_pieces(blank):
        holes = [Polygon(feature_ring(hole)).simplify(coarse_mm) for hole in piece.holes]
        cut = piece.shape.simplify(coarse_mm).difference(shapely.union_all(holes))
        key = (piece.kind, piece.id)
        shapes[key] = shapely.union_all([shapes[key], cut]) if key in shapes else cut
    bends = shapely.union_all([shape for (kind, _), shape in shapes.items() if kind == "zone"])
    flats = shapely.union_all([shape for (kind, _), shape in shapes.items() if kind == "flat"])
    out = []
    for (kind, name), shape in shapes.items():
        if kind == "flat":
            out += _flat_faces(shape, bends, placed[name], blank)
        else:
            out += _bend_faces(shape, flats, placed[parents[name]], blank, lines[name])
    return out


def _flat_faces(shape: BaseGeometry, bends: BaseGeometry, placed: Rigid, blank: Blank) -> list[Face]:
    def at(ring: Array, height: float) -> Array:
        return placed.points(np.column_stack([ring, np.full(len(ring), height)]))

    out = []
    for part in getattr(shape, "geoms", [shape]):
        out += _faces(_rings(part), at, 0.5 * blank.thickness_mm, bends, ())
    return out


def _bend_faces(shape: BaseGeometry, flats: BaseGeometry, placed: Rigid, blank: Blank, line: BendLine) -> list[Face]:
    size, width = blank.size(line.bend_id), line.zone_width_mm

    def at(ring: Array, height: float) -> Array:
        bent = laid_round(
            blank, line, ring, height_mm=height, turned_deg=line.turned_deg, arc_mm=size.bend_allowance_mm
        )
        return placed.points(bent)

    strips = strips_of(shape, line, width_mm=width, turned_deg=line.turned_deg)
    beside = seen_from_line(flats, line)
    out = []
    for number, strip in enumerate(strips):
        others = shapely.union_all([*strips[:number], *strips[number + 1 :]])
        for part in getattr(strip, "geoms", [strip]):
            if isinstance(part, Polygon):
                out += _faces(_rings(part), at, 0.5 * blank.thickness_mm, shapely.union(beside, others), (others,))
    return out


def _rings(shape: Polygon) -> list[Array]:
    turned = shapely.geometry.polygon.orient(shape)
    return [np.array(ring.coords)[:-1] for ring in (turned.exterior, *turned.interiors)]


def _faces(
    rings: Sequence[Array], at: object, half: float, inner: BaseGeometry, unseen: Sequence[BaseGeometry]
) -> list[Face]:
    """Top, bottom and walls of one piece; ``inner``: where it goes on, ``unseen``: where not even a thin line is drawn."""
    top, bottom, walls = [], [], []
    thin_top, thin_bottom = [], []
    for ring in rings:
        upper, lower = at(ring, half), at(ring, -half)  # type: ignore[operator]
        after = np.roll(ring, -1, axis=0)
        middles = shapely.points(0.5 * (ring + after))
        goes_on = shapely.dwithin(middles, inner, BESIDE_MM)
        hidden = shapely.dwithin(middles, unseen[0], BESIDE_MM) if unseen else np.zeros(len(ring), dtype=bool)
        sharp = _sharp(ring)
        for i in range(len(ring)):
            k = (i + 1) % len(ring)
            pair = upper[[i, k]], lower[[i, k]]
            if goes_on[i]:
                if not hidden[i]:
                    thin_top.append(pair[0])
                    thin_bottom.append(pair[1])
                continue
            top.append(pair[0])
            bottom.append(pair[1])
            wall = np.array([lower[i], lower[k], upper[k], upper[i]])
            ends = [
                np.array([lower[n], upper[n]]) for n, other in ((i, i - 1), (k, k)) if sharp[n] and not goes_on[other]
            ]
            walls.append(Face("wall", (wall,), (*pair, *ends)))
    faces = [at(ring, half) for ring in rings]  # type: ignore[operator]
    backs = [at(ring, -half)[::-1] for ring in rings]  # type: ignore[operator]
    return [
        Face("top", tuple(faces), tuple(top), tuple(thin_top)),
        Face("bottom", tuple(backs), tuple(bottom), tuple(thin_bottom)),
        *walls,
    ]


def _sharp(ring: Array) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Corners where the outline really turns."""
    ways = np.roll(ring, -1, axis=0) - ring
    headings = np.arctan2(ways[:, 1], ways[:, 0])
    turned = (headings - np.roll(headings, 1) + math.pi) % (2.0 * math.pi) - math.pi
    return np.asarray(np.abs(turned) > math.radians(SMOOTH_DEG))
