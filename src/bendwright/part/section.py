"""The section through a folded part, square to its parallel bends: what a person draws when asked for the profile.

The bends that run the way the longest one runs are cut through where most of them have sheet; every flange reached over them is
cut with them. Flanges that hang on bends of another direction are not in this section.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from bendwright.geometry.rigid import Array, Rigid
from bendwright.part.bent_sheet import laid_round
from bendwright.part.blank_model import BendLine, Blank
from bendwright.part.fold import fold
from bendwright.part.model import Bend, Part, Point
from bendwright.part.sheet_pieces import feature_ring

PARALLEL = 1e-6
SHORTEST_MM = 1e-3
STEP_DEG = 6.0
BEYOND_MM = 1.0


@dataclass(frozen=True, slots=True)
class SectionPiece:
    """One piece of sheet cut through: of the flange or the bend ``id``, outline in the section's plane [mm]."""

    kind: Literal["flange", "bend"]
    id: str
    outline: tuple[Point, ...]

    @property
    def middle(self) -> Point:
        """Middle of its corners [mm]."""
        xs, ys = zip(*self.outline, strict=True)
        return sum(xs) / len(xs), sum(ys) / len(ys)


@dataclass(frozen=True, slots=True)
class Section:
    """The pieces; x as the bend's child lies from its parent while flat, y up from the top face of the flange that is held."""

    pieces: tuple[SectionPiece, ...]


def section_of(part: Part, blank: Blank) -> Section | None:
    """The section of the finished part; None for a part without bends."""
    if not part.bends:
        return None
    lines = {line.bend_id: line for line in blank.bend_lines}
    main = max(part.bends, key=lambda bend: bend.line_mm)
    along = _along(lines[main.id])
    parallel = [bend for bend in part.bends if abs(_cross(along, _along(lines[bend.id]))) < PARALLEL]
    at = _place(parallel, lines, along)
    held, cut = _reached(part, main, [bend for bend in parallel if _has_sheet(lines[bend.id], along, at)])
    placed, base = fold(part, blank), fold(part, blank)[held].inverse()
    plane = _Plane(along, at, {name: base.after(move) for name, move in placed.items()})
    pieces = [piece for flange in (held, *(b.child for b in cut)) for piece in _flange_cut(blank, flange, plane)]
    pieces += [_bend_cut(blank, lines[bend.id], bend.parent, plane) for bend in cut]
    return Section(tuple(pieces))


@dataclass(frozen=True, slots=True)
class _Plane:
    """Square to ``along``, ``at`` so far along it from the blank's origin [mm]; where the flanges lie, one of them held."""

    along: Point
    at: float
    placed: dict[str, Rigid]

    def seen(self, points: Array) -> tuple[Point, ...]:
        """Points in space as the section shows them."""
        outward = (self.along[1], -self.along[0])
        x = points[:, 0] * outward[0] + points[:, 1] * outward[1]
        return tuple(zip(x.tolist(), points[:, 2].tolist(), strict=True))


def _along(line: BendLine) -> Point:
    length = math.dist(line.start, line.end)
    return (line.end[0] - line.start[0]) / length, (line.end[1] - line.start[1]) / length


def _cross(a: Point, b: Point) -> float:
    return a[0] * b[1] - a[1] * b[0]


def _dot(a: Point, b: Point) -> float:
    return a[0] * b[0] + a[1] * b[1]


def _stretches(line: BendLine, along: Point) -> list[tuple[float, float]]:
    """Where a bend has sheet, as places along the common direction."""
    own, foot = _dot(_along(line), along), _dot(line.start, along)
    return [(min(ends), max(ends)) for ends in ((foot + own * low, foot + own * high) for low, high in line.spans)]


def _has_sheet(line: BendLine, along: Point, at: float) -> bool:
    return any(low < at < high for low, high in _stretches(line, along))


def _place(bends: Iterable[Bend], lines: dict[str, BendLine], along: Point) -> float:
    """The place along the bends where most of them have sheet, the middle of the longest stretch of these."""
    spans = [stretch for bend in bends for stretch in _stretches(lines[bend.id], along)]
    ends = sorted({end for span in spans for end in span})
    between = [(low, high) for low, high in itertools.pairwise(ends) if high - low > SHORTEST_MM]

    def worth(stretch: tuple[float, float]) -> tuple[int, float]:
        middle = 0.5 * (stretch[0] + stretch[1])
        return sum(low < middle < high for low, high in spans), stretch[1] - stretch[0]

    low, high = max(between, key=worth)
    return 0.5 * (low + high)


def _reached(part: Part, main: Bend, cut: list[Bend]) -> tuple[str, list[Bend]]:
    """The first flange in the tree that is cut with the main bend, and the bends cut that hang together with it."""
    by_child = {bend.child: bend for bend in cut}
    held = main.parent
    while held in by_child:
        held = by_child[held].parent
    reached, out = {held}, []
    for bend in part.bends:
        if bend in cut and bend.parent in reached:
            reached.add(bend.child)
            out.append(bend)
    return held, out


def _flange_cut(blank: Blank, flange_id: str, plane: _Plane) -> list[SectionPiece]:
    """What the plane cuts of one flange's flat, its openings left out."""
    flat = next(item for item in blank.flats if item.flange_id == flange_id)
    shape: BaseGeometry = Polygon(flat.outline)
    holes = [Polygon(feature_ring(feature)) for feature in flat.features]
    if holes:
        shape = shape.difference(shapely.union_all(holes))
    outward = (plane.along[1], -plane.along[0])
    across = [_dot(point, outward) for point in flat.outline]

    def at(out: float) -> Point:
        return (
            plane.along[0] * plane.at + outward[0] * out,
            plane.along[1] * plane.at + outward[1] * out,
        )

    probe = LineString([at(min(across) - BEYOND_MM), at(max(across) + BEYOND_MM)])
    cuts = shapely.get_parts(probe.intersection(shape))
    half, pieces = 0.5 * blank.thickness_mm, []
    for cut in cuts:
        if cut.length > SHORTEST_MM:
            (ax, ay), (bx, by) = cut.coords[0], cut.coords[-1]
            corners = np.array([(ax, ay, half), (bx, by, half), (bx, by, -half), (ax, ay, -half)])
            pieces.append(SectionPiece("flange", flange_id, plane.seen(plane.placed[flange_id].points(corners))))
    return pieces


def _bend_cut(blank: Blank, line: BendLine, parent: str, plane: _Plane) -> SectionPiece:
    """A bend's own sheet laid round its arc."""
    half, width = 0.5 * blank.thickness_mm, line.zone_width_mm
    count = max(3, math.ceil(line.turned_deg / STEP_DEG))
    out = np.linspace(-0.5 * width, 0.5 * width, count + 1)
    place = (plane.at - _dot(line.start, plane.along)) / _dot(_along(line), plane.along)
    points = np.column_stack([out, np.full(len(out), place)])
    top, bottom = (
        laid_round(blank, line, points, height_mm=height, turned_deg=line.turned_deg, arc_mm=width)
        for height in (half, -half)
    )
    ring = plane.placed[parent].points(np.vstack([top, bottom[::-1]]))
    return SectionPiece("bend", line.bend_id, plane.seen(ring))
