"""The folded part as flat faces in space: both sides of every flat and of every strip of a bend, and the walls of its edges."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt
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
Flags = npt.NDArray[np.bool_]
Placing = Callable[[Array, float], Array]
SMOOTH_DEG = 25.0
"""Edges that turn by less are one curve: no line is drawn where two of them meet."""
BESIDE_MM = 2e-3


@dataclass(frozen=True, slots=True)
class Face:
    """One face: its rings in space (outline, then holes), counter-clockwise seen from outside; lines along edges of the sheet, and
    where a bend begins (thin).
    """

    side: Side
    rings: tuple[Array, ...]
    edges: tuple[Array, ...]
    bend_edges: tuple[Array, ...] = ()


def faces_of(part: Part, blank: Blank, *, coarse_mm: float, least_mm: float = 0.0) -> list[Face]:
    """All faces of the folded part in blank space, the root held. Curved edges are drawn to ``coarse_mm``; holes narrower than
    ``least_mm`` have no walls.
    """
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
            out += _flat_faces(shape, bends, placed[name], blank, least_mm)
        else:
            out += _bend_faces(shape, flats, placed[parents[name]], blank, lines[name], least_mm)
    return out


def _flat_faces(shape: BaseGeometry, bends: BaseGeometry, placed: Rigid, blank: Blank, least: float) -> list[Face]:
    def at(ring: Array, height: float) -> Array:
        return placed.points(np.column_stack([ring, np.full(len(ring), height)]))

    out = []
    for part in getattr(shape, "geoms", [shape]):
        out += _faces(_rings(part), at, 0.5 * blank.thickness_mm, bends, None, least)
    return out


def _bend_faces(
    shape: BaseGeometry, flats: BaseGeometry, placed: Rigid, blank: Blank, line: BendLine, least: float
) -> list[Face]:
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
                out += _faces(_rings(part), at, 0.5 * blank.thickness_mm, shapely.union(beside, others), others, least)
    return out


def _rings(shape: Polygon) -> list[Array]:
    turned = shapely.geometry.polygon.orient(shape)
    return [np.array(ring.coords)[:-1] for ring in (turned.exterior, *turned.interiors)]


def _faces(
    rings: Sequence[Array], at: Placing, half: float, inner: BaseGeometry, unseen: BaseGeometry | None, least: float
) -> list[Face]:
    """Top, bottom and walls of one piece; ``inner``: where it goes on, ``unseen``: where not even a thin line is drawn. Holes
    narrower than ``least`` have no walls.
    """
    walls: list[Face] = []
    edges: dict[Side, list[Array]] = {"top": [], "bottom": []}
    thin: dict[Side, list[Array]] = {"top": [], "bottom": []}
    for number, ring in enumerate(rings):
        faces: dict[Side, Array] = {"top": at(ring, half), "bottom": at(ring, -half)}
        middles = shapely.points(0.5 * (ring + np.roll(ring, -1, axis=0)))
        goes_on: Flags = np.asarray(shapely.dwithin(middles, inner, BESIDE_MM))
        hidden: Flags = np.asarray(shapely.dwithin(middles, unseen or shapely.Polygon(), BESIDE_MM))
        for side, corners in faces.items():
            edges[side] += _runs(corners, ~goes_on)
            thin[side] += _runs(corners, goes_on & ~hidden)
        if number == 0 or np.ptp(ring, axis=0).max() >= least:
            walls += _walls(faces["top"], faces["bottom"], goes_on, _sharp(ring))
    tops, bottoms = tuple(at(ring, half) for ring in rings), tuple(at(ring, -half)[::-1] for ring in rings)
    return [
        Face("top", tops, tuple(edges["top"]), tuple(thin["top"])),
        Face("bottom", bottoms, tuple(edges["bottom"]), tuple(thin["bottom"])),
        *walls,
    ]


def _runs(corners: Array, drawn: Flags) -> list[Array]:
    """Lines along the sides of a ring that are drawn, each as long as it goes on."""
    if drawn.all():
        return [np.vstack([corners, corners[:1]])]
    starts = np.flatnonzero(drawn & ~np.roll(drawn, 1))
    out = []
    for start in starts:
        order = (start + np.arange(len(drawn) + 1)) % len(drawn)
        length = int(np.argmin(drawn[order]))
        out.append(corners[order[: length + 1]])
    return out


def _walls(upper: Array, lower: Array, goes_on: Flags, sharp: Flags) -> list[Face]:
    """A wall on every side of a ring where the sheet ends."""
    out = []
    for i in np.flatnonzero(~goes_on):
        k = (i + 1) % len(upper)
        ends = [np.array([lower[n], upper[n]]) for n, other in ((i, i - 1), (k, k)) if sharp[n] and not goes_on[other]]
        ring = np.array([lower[i], lower[k], upper[k], upper[i]])
        out.append(Face("wall", (ring,), (upper[[i, k]], lower[[i, k]], *ends)))
    return out


def _sharp(ring: Array) -> Flags:
    """Corners where the outline really turns."""
    ways = np.roll(ring, -1, axis=0) - ring
    headings = np.arctan2(ways[:, 1], ways[:, 0])
    turned = (headings - np.roll(headings, 1) + math.pi) % (2.0 * math.pi) - math.pi
    return np.asarray(np.abs(turned) > math.radians(SMOOTH_DEG))
