"""Drawn curves in millimetres as lines and arcs: exact where they were lines and arcs, fitted where they were freer."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bendwright.drawing.dxf.curves import Curve, arc, line
from bendwright.drawing.dxf.drawn import DrawnCurve
from bendwright.drawing.dxf.fitted_arcs import b_spline, ellipse, fitted_arcs, spline_breaks
from bendwright.part.model import Point

ROUND = 1e-7
SMALLEST_SAGITTA_MM = 1e-5
LARGEST_RADIUS_MM = 1e6


def exact_curves(drawn: Sequence[DrawnCurve], *, mm_per_unit: float, tolerance_mm: float) -> tuple[list[Curve], int]:
    """The curves [mm] and how many could not be made sense of."""
    curves: list[Curve] = []
    bad = 0
    for item in drawn:
        try:
            curves += _curves(item, mm_per_unit, tolerance_mm)
        except (ValueError, ZeroDivisionError, OverflowError, FloatingPointError):
            bad += 1
    return curves, bad


def _curves(item: DrawnCurve, factor: float, tolerance: float) -> list[Curve]:
    points = [(x * factor, y * factor) for x, y in item.points]
    if item.kind == "line":
        return [line(points[0], points[1], item.style)]
    if item.kind == "spline":
        evaluate = b_spline(points, item.numbers, item.weights, item.degree)
        breaks = spline_breaks(item.numbers, item.degree)
        if len(breaks) < 2:
            raise ValueError("no spline")
        return fitted_arcs(evaluate, breaks, tolerance_mm=tolerance, style=item.style)
    centre, u, v = points
    start, sweep = item.numbers
    round_arc = _round(centre, u, v, start, sweep, item.style)
    if round_arc is not None:
        return [round_arc]
    quarters = max(1, math.ceil(abs(sweep) / (0.5 * math.pi) - 1e-9))
    breaks = [start + sweep * i / quarters for i in range(quarters + 1)]
    return fitted_arcs(ellipse(centre, u, v), breaks, tolerance_mm=tolerance, style=item.style)


def _round(centre: Point, u: Point, v: Point, start: float, sweep: float, style: int) -> Curve | None:
    """The arc of a circle when u and v are as long as each other and square; a line when it is as good as straight."""
    radius, other = math.hypot(*u), math.hypot(*v)
    square = u[0] * v[0] + u[1] * v[1]
    if abs(radius - other) > ROUND * radius or abs(square) > ROUND * radius * radius or radius == 0.0:
        return None
    way = 1.0 if u[0] * v[1] - u[1] * v[0] > 0.0 else -1.0
    first = math.atan2(u[1], u[0]) + way * start
    curve = arc(centre, radius, first, way * sweep, style)
    flat = radius * (1.0 - math.cos(min(0.5 * abs(sweep), math.pi)))
    if flat < SMALLEST_SAGITTA_MM or radius > LARGEST_RADIUS_MM:
        return line(curve.start, curve.end, style)
    return curve
