"""Where a flange's frame lies in its parent's frame, and how much of it stays flat."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from shapely import Polygon
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from bendwright.part.model import Arc, Bend, Circle, Cutout, Feature, Point, Slot

NEAR_MM = 1e-6
ON_MM = 1e-5


@dataclass(frozen=True, slots=True)
class Frame:
    """A rigid placement in the plane: point -> origin + R(angle) point."""

    origin: Point
    angle_rad: float

    def point(self, local: Point) -> Point:
        """Image of a local point."""
        c, s = math.cos(self.angle_rad), math.sin(self.angle_rad)
        return (self.origin[0] + c * local[0] - s * local[1], self.origin[1] + s * local[0] + c * local[1])

    def after(self, inner: Frame) -> Frame:
        """This placement applied after ``inner``."""
        return Frame(self.point(inner.origin), self.angle_rad + inner.angle_rad)

    def polygon(self, shape: Polygon) -> Polygon:
        """Image of a polygon with its holes."""
        rings = [[self.point((x, y)) for x, y in ring.coords] for ring in (shape.exterior, *shape.interiors)]
        return Polygon(rings[0], rings[1:])


@dataclass(frozen=True, slots=True)
class Line:
    """The directed nominal line of a bend in its parent's frame with its unit vectors."""

    start: Point
    length: float
    along: Point
    outward: Point

    @classmethod
    def of(cls, bend: Bend) -> Line:
        """Start, length, direction and the outward normal (right of the direction) of a bend's line."""
        dx, dy = bend.end[0] - bend.start[0], bend.end[1] - bend.start[1]
        length = math.hypot(dx, dy)
        along = (dx / length, dy / length)
        return cls(bend.start, length, along, (along[1], -along[0]))

    def at(self, distance: float, outward: float) -> Point:
        """Point ``distance`` along the line and ``outward`` off it."""
        return (
            self.start[0] + distance * self.along[0] + outward * self.outward[0],
            self.start[1] + distance * self.along[1] + outward * self.outward[1],
        )

    def strip(self, first: float, last: float, inner: float, outer: float) -> Polygon:
        """The rectangle first..last along the line and inner..outer off it."""
        return Polygon([self.at(first, inner), self.at(last, inner), self.at(last, outer), self.at(first, outer)])

    def child_frame(self, deduction: float) -> Frame:
        """Placement of the child's frame in the flat: its origin lies at the line's end, moved inward by the deduction."""
        return Frame(self.at(self.length, -deduction), math.atan2(-self.along[1], -self.along[0]))

    def material(self, shape: BaseGeometry, outward: float) -> list[tuple[float, float]]:
        """Stretches of the parallel at ``outward`` that run in ``shape``, as distances from the line's start."""
        if shape.is_empty:
            return []
        x0, y0, x1, y1 = shape.bounds
        along = [
            (x - self.start[0]) * self.along[0] + (y - self.start[1]) * self.along[1]
            for x in (x0, x1)
            for y in (y0, y1)
        ]
        probe = LineString([self.at(min(along) - 1.0, outward), self.at(max(along) + 1.0, outward)])
        return _stretches(probe.intersection(shape), self)

    def edges_on(self, shape: BaseGeometry, outward: float) -> list[tuple[float, float]]:
        """Stretches of the parallel at ``outward`` that are edges of ``shape``, as distances from the line's start."""
        found: list[tuple[float, float]] = []
        for part in getattr(shape, "geoms", [shape]):
            for ring in (part.exterior, *part.interiors) if not part.is_empty else ():
                seen = [self.seen(x, y) for x, y in ring.coords]
                found += [
                    (min(s, t), max(s, t))
                    for (s, u), (t, v) in pairwise(seen)
                    if abs(u - outward) < ON_MM and abs(v - outward) < ON_MM and abs(t - s) > NEAR_MM
                ]
        return merged(found, gap=10 * ON_MM)

    def seen(self, x: float, y: float) -> Point:
        """A point as (distance along the line, off it outward)."""
        dx, dy = x - self.start[0], y - self.start[1]
        return dx * self.along[0] + dy * self.along[1], dx * self.outward[0] + dy * self.outward[1]


def move_arc(arc: Arc, frame: Frame) -> Arc:
    """The circle as seen after placing its frame."""
    return replace(arc, centre=frame.point(arc.centre))


def move_feature(feature: Feature, frame: Frame) -> Feature:
    """The feature as seen after placing its frame."""
    if isinstance(feature, Cutout):
        points = tuple(frame.point(point) for point in feature.points)
        return replace(feature, points=points, arcs=tuple(move_arc(arc, frame) for arc in feature.arcs))
    if isinstance(feature, Slot):
        turned = feature.axis_deg + math.degrees(frame.angle_rad)
        return replace(feature, centre=frame.point(feature.centre), axis_deg=turned)
    assert isinstance(feature, Circle)
    return replace(feature, centre=frame.point(feature.centre))


def largest(shape: BaseGeometry) -> Polygon:
    """The largest piece of a shape; an empty polygon when there is none."""
    parts = [part for part in _polygons(shape) if part.area > 1e-9]
    return max(parts, key=lambda part: part.area) if parts else Polygon()


def _polygons(shape: BaseGeometry) -> Iterator[Polygon]:
    """The polygons in a shape, however deep in collections."""
    if isinstance(shape, Polygon):
        yield shape
    for part in getattr(shape, "geoms", ()):
        yield from _polygons(part)


def _stretches(cut: object, line: Line) -> list[tuple[float, float]]:
    parts = getattr(cut, "geoms", [cut])
    found = []
    for part in parts:
        coords = list(getattr(part, "coords", []))
        if len(coords) < 2:
            continue
        along = [(x - line.start[0]) * line.along[0] + (y - line.start[1]) * line.along[1] for x, y in coords]
        if max(along) - min(along) > NEAR_MM:
            found.append((min(along), max(along)))
    return sorted(found)


def merged(spans: Iterable[tuple[float, float]], *, gap: float) -> list[tuple[float, float]]:
    """Stretches in order, those no farther apart than ``gap`` taken together."""
    out: list[tuple[float, float]] = []
    for low, high in sorted(spans):
        if out and low <= out[-1][1] + gap:
            out[-1] = (out[-1][0], max(out[-1][1], high))
        else:
            out.append((low, high))
    return out


def common(first: list[tuple[float, float]], second: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Stretches that lie in both sorted lists."""
    both = [(max(a0, b0), min(a1, b1)) for a0, a1 in first for b0, b1 in second]
    return sorted((low, high) for low, high in both if high - low > 1e-4)
