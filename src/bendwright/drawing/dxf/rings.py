"""A closed loop as a ring: its corners, the circles it follows, and what hole it is - round, slotted, or any other.

Runs of one line or one circle drawn in several curves are joined first, so that a slot in six curves is still a slot.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from shapely import Polygon

from bendwright.drawing.dxf.curves import FULL_RAD, Curve, arc, arc_through, direction_rad, turned
from bendwright.part.contour import ring_area_mm2
from bendwright.part.model import Arc, Circle, Cutout, Feature, Point, Slot

SAME_MM = 1e-3
SAME_RAD = 1e-4
ON_ARC_MM = 1e-4
HALF_RAD = 2e-3
LOOKED_AT = (0.25, 0.5, 0.75)
SLOT_MM = 2e-3


@dataclass(frozen=True, slots=True)
class Ring:
    """A closed ring counter-clockwise: curves end to start, corners (not repeated at the end), circles, polygon, true area [mm2]."""

    curves: tuple[Curve, ...]
    points: tuple[Point, ...]
    arcs: tuple[Arc, ...]
    polygon: Polygon
    area_mm2: float

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the box around it [mm]."""
        x0, y0, x1, y1 = self.polygon.bounds
        return (x1 - x0, y1 - y0)


def ring_of(loop: Sequence[Curve], *, tolerance_mm: float) -> Ring | None:
    """The ring of a loop; None when it has no inside."""
    curves = joined(loop, tolerance_mm=tolerance_mm, closed=True)
    circle = _as_circle(curves, tolerance_mm)
    curves = [circle] if circle else curves
    if _area(curves) < 0.0:
        curves = [curve.reversed() for curve in reversed(curves)]
    points = tuple(_corners(curves))
    polygon = Polygon(points) if len(points) > 2 else Polygon()
    if polygon.convex_hull.area < SAME_MM**2 or (polygon.is_valid and polygon.area < SAME_MM**2):
        return None
    arcs = tuple(dict.fromkeys(Arc(centre=curve.centre, radius_mm=curve.radius_mm) for curve in curves if curve.centre))
    met = all(math.dist(curves[n - 1].end, curve.start) < 1e-9 for n, curve in enumerate(curves))
    return Ring(tuple(curves), points, arcs, polygon, _area(curves) if met else ring_area_mm2(points, arcs))


def joined(curves: Sequence[Curve], *, tolerance_mm: float, closed: bool) -> list[Curve]:
    """The curves with neighbours on one line or one circle as one; ``closed`` joins the last with the first too."""
    return _joined(_joined(curves, _one_line, closed), _one_circle(tolerance_mm), closed)


def _joined(loop: Sequence[Curve], one: Callable[[Curve, Curve], Curve | None], closed: bool) -> list[Curve]:
    """The loop with neighbours joined wherever ``one`` makes one curve of two."""
    out: list[Curve] = []
    for curve in loop:
        both = one(out[-1], curve) if out else None
        if both:
            out[-1] = both
        else:
            out.append(curve)
    while closed and len(out) > 1 and (both := one(out[-1], out[0])):
        out = [both, *out[1:-1]]
    return out


def _one_line(first: Curve, second: Curve) -> Curve | None:
    """Two lines that go straight on."""
    if first.centre or second.centre:
        return None
    bend = math.remainder(second.heading_rad(0.0) - first.heading_rad(0.0), FULL_RAD)
    gap = math.dist(first.end, second.start)
    if gap > SAME_MM or abs(bend) > SAME_RAD or abs(bend) * min(first.length_mm, second.length_mm) > SAME_MM:
        return None
    return Curve(first.start, second.end, style=first.style, fitted=first.fitted)


def _one_circle(tolerance_mm: float) -> Callable[[Curve, Curve], Curve | None]:
    """A joiner of two arcs of one circle; fitted arcs may lie as far off as they were fitted."""

    def one(first: Curve, second: Curve) -> Curve | None:
        if not (first.centre and second.centre) or first.sweep_rad * second.sweep_rad <= 0.0 or first.whole:
            return None
        if first.fitted and second.fitted:
            return _one_fitted(first, second, tolerance_mm)
        radius, sweep = first.radius_mm, first.sweep_rad + second.sweep_rad
        if abs(radius - second.radius_mm) > SAME_MM or math.dist(first.centre, second.centre) > SAME_MM:
            return None
        if abs(sweep) > FULL_RAD + SAME_MM / radius or math.dist(first.end, second.start) > SAME_MM:
            return None
        if abs(sweep) > FULL_RAD - SAME_MM / radius:
            return Curve(first.start, first.start, first.centre, math.copysign(FULL_RAD, sweep), first.style)
        end = turned(first.start, first.centre, sweep)
        return Curve(first.start, end, first.centre, sweep, first.style)

    return one


def _one_fitted(first: Curve, second: Curve, tolerance: float) -> Curve | None:
    """Two fitted arcs as one that passes as near as they do."""
    both = arc_through(first.start, first.end, second.end) if math.dist(first.end, second.start) < SAME_MM else None
    if both is None or both.centre is None or abs(both.sweep_rad) > abs(first.sweep_rad + second.sweep_rad) + 0.5:
        return None
    looked = [curve.at(share) for curve in (first, second) for share in LOOKED_AT]
    if any(abs(math.dist(point, both.centre) - both.radius_mm) > tolerance for point in looked):
        return None
    return replace(both, style=first.style, fitted=True)


def _as_circle(curves: Sequence[Curve], tolerance: float) -> Curve | None:
    """The whole circle that a loop of fitted arcs stands for."""
    if not all(curve.centre for curve in curves) or not any(curve.fitted for curve in curves):
        return None
    turn = sum(curve.sweep_rad for curve in curves)
    looked = [curve.at(share) for curve in curves for share in (0.0, *LOOKED_AT)]
    mean = (sum(x for x, _ in looked) / len(looked), sum(y for _, y in looked) / len(looked))
    rows = np.array([(x - mean[0], y - mean[1], 1.0) for x, y in looked])
    (cx, cy, rest), *_ = np.linalg.lstsq(rows, (rows[:, :2] ** 2).sum(axis=1), rcond=None)
    centre, radius = (mean[0] + 0.5 * cx, mean[1] + 0.5 * cy), math.sqrt(max(0.0, rest + 0.25 * (cx * cx + cy * cy)))
    if any(abs(math.dist(point, centre) - radius) > tolerance for point in looked) or abs(abs(turn) - FULL_RAD) > 0.5:
        return None
    whole = arc((float(centre[0]), float(centre[1])), radius, 0.0, math.copysign(FULL_RAD, turn), curves[0].style)
    return replace(whole, fitted=True)


def _area(curves: Sequence[Curve]) -> float:
    total = 0.0
    for curve in curves:
        (x, y), (u, v) = curve.start, curve.end
        total += 0.5 * (x * v - u * y)
        if curve.centre:
            total += 0.5 * curve.radius_mm**2 * (curve.sweep_rad - math.sin(curve.sweep_rad))
    return total


def _corners(curves: Sequence[Curve]) -> list[Point]:
    """Corners all round. Where ends do not quite meet, a line gives way to an arc, two lines meet half-way, and two arcs keep both."""
    out: list[Point] = []
    for number, curve in enumerate(curves):
        before = curves[number - 1]
        corners = curve.corners()
        out += _joint(before, curve)
        out += corners[1:-1]
    return [point for i, point in enumerate(out) if math.dist(point, out[i - 1]) > 1e-9 or len(out) == 1]


def _joint(before: Curve, after: Curve) -> list[Point]:
    """The corner or corners where one curve ends and the next begins."""
    one, other = before.end, after.start
    if math.dist(one, other) < 1e-9:
        return [one if before.centre else other]
    if before.centre and after.centre:
        return [one] if math.dist(one, other) < ON_ARC_MM else [one, other]
    if before.centre or after.centre:
        return [one if before.centre else other]
    return [(0.5 * (one[0] + other[0]), 0.5 * (one[1] + other[1]))]


def feature_of(ring: Ring) -> Feature:
    """The hole that a ring cuts out."""
    if len(ring.curves) == 1 and ring.curves[0].centre:
        return Circle(centre=ring.curves[0].centre, diameter_mm=2.0 * ring.curves[0].radius_mm)
    return _slot(ring.curves) or Cutout(points=ring.points, arcs=ring.arcs)


def _slot(curves: Sequence[Curve]) -> Slot | None:
    """Two equal parallel lines and two half circles between them."""
    lines = [curve for curve in curves if curve.centre is None]
    ends = [curve for curve in curves if curve.centre is not None]
    if len(curves) != 4 or len(lines) != 2 or (curves[0].centre is None) == (curves[1].centre is None):
        return None
    first, second = ends
    assert first.centre
    assert second.centre
    half = all(abs(abs(end.sweep_rad) - math.pi) < HALF_RAD for end in ends)
    if not half or first.sweep_rad < 0.0 or second.sweep_rad < 0.0 or abs(first.radius_mm - second.radius_mm) > SLOT_MM:
        return None
    apart = math.dist(first.centre, second.centre)
    if any(abs(curve.length_mm - apart) > SLOT_MM for curve in lines):
        return None
    width = first.radius_mm + second.radius_mm
    (x, y), (u, v) = first.centre, second.centre
    axis = math.degrees(direction_rad(first.centre, second.centre)) % 180.0
    return Slot(centre=(0.5 * (x + u), 0.5 * (y + v)), length_mm=apart + width, width_mm=width, axis_deg=axis % 180.0)
