"""One curve of a contour in millimetres: a straight line or an arc of a circle, exactly as drawn.

An arc runs from ``start`` by ``sweep_rad`` about ``centre`` (positive to the left); a whole circle ends where it starts.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bendwright.part.contour import arc_points
from bendwright.part.model import Point

NO_LENGTH_MM = 1e-3
FULL_RAD = 2.0 * math.pi


@dataclass(frozen=True, slots=True)
class Curve:
    """A line (``centre`` None) or an arc. ``style`` numbers the style it was drawn in; ``fitted`` says it stands for a freer curve."""

    start: Point
    end: Point
    centre: Point | None = None
    sweep_rad: float = 0.0
    style: int = 0
    fitted: bool = False

    @property
    def radius_mm(self) -> float:
        """Radius of an arc; 0 for a line."""
        return 0.0 if self.centre is None else math.dist(self.start, self.centre)

    @property
    def length_mm(self) -> float:
        """Length along the curve."""
        return math.dist(self.start, self.end) if self.centre is None else self.radius_mm * abs(self.sweep_rad)

    @property
    def whole(self) -> bool:
        """A whole circle."""
        return abs(self.sweep_rad) >= FULL_RAD - 1e-9

    def reversed(self) -> Curve:
        """The same curve run backward."""
        return Curve(self.end, self.start, self.centre, -self.sweep_rad, self.style, self.fitted)

    def at(self, share: float) -> Point:
        """The point at ``share`` (0 to 1) of the curve."""
        if self.centre is None:
            (x, y), (u, v) = self.start, self.end
            return (x + share * (u - x), y + share * (v - y))
        return turned(self.start, self.centre, share * self.sweep_rad)

    def heading_rad(self, share: float) -> float:
        """Direction of travel at ``share`` of the curve."""
        if self.centre is None:
            return math.atan2(self.end[1] - self.start[1], self.end[0] - self.start[0])
        x, y = self.at(share)
        return math.atan2(y - self.centre[1], x - self.centre[0]) + math.copysign(0.5 * math.pi, self.sweep_rad)

    def corners(self) -> list[Point]:
        """Corners of the curve from start to end, close enough together to stand for it; the two ends exactly as they are."""
        if self.centre is None:
            return [self.start, self.end]
        first = math.atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0])
        inner = arc_points(self.centre, self.radius_mm, first, self.sweep_rad)[1:-1]
        return [self.start, *inner, self.end]

    def cut(self, shares: Sequence[float]) -> list[Curve]:
        """The pieces between these shares of the curve, in order."""
        stops = [0.0, *sorted(shares), 1.0]
        points = [self.start, *(self.at(share) for share in stops[1:-1]), self.end]
        return [
            Curve(
                points[i],
                points[i + 1],
                self.centre,
                (stops[i + 1] - stops[i]) * self.sweep_rad,
                self.style,
                self.fitted,
            )
            for i in range(len(stops) - 1)
        ]

    def foot(self, point: Point) -> tuple[float, float]:
        """Where the curve is nearest to ``point``: (share, distance)."""
        share = self._share_of(point)
        return share, math.dist(self.at(share), point)

    def _share_of(self, point: Point) -> float:
        if self.centre is None:
            (x, y), (u, v) = self.start, self.end
            square = (u - x) ** 2 + (v - y) ** 2
            along = (point[0] - x) * (u - x) + (point[1] - y) * (v - y)
            return min(1.0, max(0.0, along / square)) if square > 0.0 else 0.0
        turn = direction_rad(self.centre, point) - direction_rad(self.centre, self.start)
        turn = turn % FULL_RAD if self.sweep_rad > 0.0 else -(-turn % FULL_RAD)
        share = turn / self.sweep_rad
        if share <= 1.0:
            return share
        return 0.0 if math.dist(point, self.start) < math.dist(point, self.end) else 1.0


def line(start: Point, end: Point, style: int = 0) -> Curve:
    """The straight line between two points."""
    return Curve(start, end, style=style)


def arc(centre: Point, radius_mm: float, start_rad: float, sweep_rad: float, style: int = 0) -> Curve:
    """The arc from ``start_rad`` on by ``sweep_rad``."""
    start = (centre[0] + radius_mm * math.cos(start_rad), centre[1] + radius_mm * math.sin(start_rad))
    end = start if abs(sweep_rad) >= FULL_RAD - 1e-9 else turned(start, centre, sweep_rad)
    return Curve(start, end, centre, sweep_rad, style)


def arc_through(start: Point, middle: Point, end: Point) -> Curve | None:
    """The arc from ``start`` over ``middle`` to ``end``; None when they lie on one line."""
    ax, ay = middle[0] - start[0], middle[1] - start[1]
    bx, by = end[0] - start[0], end[1] - start[1]
    cross = 2.0 * (ax * by - ay * bx)
    if abs(cross) <= 1e-12 * (ax * ax + ay * ay + bx * bx + by * by) or cross == 0.0:
        return None
    a, b = ax * ax + ay * ay, bx * bx + by * by
    centre = (start[0] + (a * by - b * ay) / cross, start[1] + (b * ax - a * bx) / cross)
    way = 1.0 if cross > 0.0 else -1.0
    turn = (direction_rad(centre, end) - direction_rad(centre, start)) * way % FULL_RAD
    return Curve(start, end, centre, way * turn)


def turned(point: Point, centre: Point, angle_rad: float) -> Point:
    """``point`` turned about ``centre``."""
    c, s = math.cos(angle_rad), math.sin(angle_rad)
    dx, dy = point[0] - centre[0], point[1] - centre[1]
    return (centre[0] + c * dx - s * dy, centre[1] + s * dx + c * dy)


def direction_rad(origin: Point, point: Point) -> float:
    """Direction from one point to another."""
    return math.atan2(point[1] - origin[1], point[0] - origin[0])
