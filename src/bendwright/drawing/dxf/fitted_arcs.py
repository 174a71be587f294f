"""Lines and arcs in place of a freer curve (spline, ellipse), nowhere farther from it than a stated tolerance.

A stretch of the curve becomes the arc through its two ends and its middle when that arc passes all points looked at closely
enough; else it is halved. So what was drawn as a circle in splines comes out as arcs of that circle.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bendwright.drawing.dxf.curves import NO_LENGTH_MM, Curve, arc_through, line
from bendwright.part.model import Point

Points = NDArray[np.float64]
Evaluate = Callable[[Points], Points]
LOOKED_AT = 12
DEEPEST = 10
MOST_CURVES = 2000
MOST_PER_BREAK = 4
STRAIGHT_SHARE = 0.25


def fitted_arcs(evaluate: Evaluate, breaks: Sequence[float], *, tolerance_mm: float, style: int = 0) -> list[Curve]:
    """The curve ``evaluate`` (parameters -> points, shape (n, 2)) between the first and last of ``breaks``.

    ``breaks`` are the parameters between which the curve is smooth; corners may only lie there. Curves of no length vanish.
    Raises ValueError for a curve so wild that it would need thousands of arcs.
    """
    stops = [float(stop) for stop in breaks]
    out: list[Curve] = []
    _fit(evaluate, stops, tolerance_mm, DEEPEST, out, MOST_CURVES + MOST_PER_BREAK * len(stops))
    return [
        Curve(curve.start, curve.end, curve.centre, curve.sweep_rad, style, True)
        for curve in out
        if curve.length_mm > 1e-9
    ]


def _fit(evaluate: Evaluate, stops: list[float], tolerance: float, depth: int, out: list[Curve], most: int) -> None:
    """Add the curves from the first to the last stop; a stretch between two stops is halved ``depth`` times at most."""
    if len(out) > most:
        raise ValueError("too wild a curve")
    looked = _parameters(stops)
    points = evaluate(looked)
    curve = _one(points, tolerance)
    if curve is not None or depth == 0:
        out.append(curve or line(_point(points[0]), _point(points[-1])))
        return
    if len(stops) > 2:
        middle = len(stops) // 2
        halves = stops[: middle + 1], stops[middle:]
    else:
        half = 0.5 * (stops[0] + stops[1])
        halves = [stops[0], half], [half, stops[1]]
    deeper = depth - (len(stops) == 2)
    for part in halves:
        _fit(evaluate, part, tolerance, deeper, out, most)


def _parameters(stops: Sequence[float]) -> Points:
    """Parameters to look at: an odd number, the ends and every stop among them."""
    steps = np.linspace(0.0, 1.0, LOOKED_AT, endpoint=False)
    inner = np.concatenate([a + (b - a) * steps for a, b in pairwise(stops)])
    return np.append(inner, stops[-1])


def _one(points: Points, tolerance: float) -> Curve | None:
    """The one line or arc near enough to all these points."""
    start, end = points[0], points[-1]
    chord = end - start
    length = float(np.hypot(*chord))
    if length > NO_LENGTH_MM:
        off = np.abs(chord[0] * (points[:, 1] - start[1]) - chord[1] * (points[:, 0] - start[0])) / length
        along = (points - start) @ chord / length
        if off.max() <= STRAIGHT_SHARE * tolerance and along.min() > -tolerance and along.max() < length + tolerance:
            return line(_point(start), _point(end))
    elif float(np.abs(points - start).max()) <= tolerance:
        return line(_point(start), _point(end))
    else:
        return None
    curve = arc_through(_point(start), _point(points[len(points) // 2]), _point(end))
    if curve is None or curve.centre is None:
        return None
    away = points - np.array(curve.centre)
    off = np.abs(np.hypot(away[:, 0], away[:, 1]) - curve.radius_mm)
    return curve if off.max() <= tolerance and _one_way(away, curve.sweep_rad) else None


def _one_way(away: Points, sweep: float) -> bool:
    """Do the points follow the arc all one way, as far as it goes?"""
    turns = np.diff(np.unwrap(np.arctan2(away[:, 1], away[:, 0])))
    return bool((turns * math.copysign(1.0, sweep) > -1e-9).all()) and abs(float(turns.sum()) - sweep) < 1e-6


def _point(row: Points) -> Point:
    return (float(row[0]), float(row[1]))


def ellipse(centre: Point, u: Point, v: Point) -> Evaluate:
    """The curve centre + u cos a + v sin a."""
    frame = np.array([u, v], dtype=np.float64)

    def evaluate(parameters: Points) -> Points:
        return np.array(centre) + np.column_stack([np.cos(parameters), np.sin(parameters)]) @ frame

    return evaluate


def b_spline(points: Sequence[Point], knots: Sequence[float], weights: Sequence[float], degree: int) -> Evaluate:
    """A rational B-spline by de Boor's scheme; ``knots`` has len(points) + degree + 1 numbers that never fall.

    Raises ValueError for numbers that make no spline.
    """
    count = len(points)
    knot = np.array(knots, dtype=np.float64)
    weight = np.array(weights if weights else [1.0] * count, dtype=np.float64)
    if len(knot) != count + degree + 1 or count <= degree or (np.diff(knot) < 0.0).any() or (weight <= 0.0).any():
        raise ValueError("no spline")
    poles = np.column_stack([np.array(points, dtype=np.float64) * weight[:, None], weight])

    def evaluate(parameters: Points) -> Points:
        span = np.clip(np.searchsorted(knot, parameters, side="right") - 1, degree, count - 1)
        rows = poles[span[:, None] - degree + np.arange(degree + 1)]
        for level in range(1, degree + 1):
            index = span[:, None] - degree + np.arange(level, degree + 1)
            low, high = knot[index], knot[index + degree + 1 - level]
            width = np.where(high > low, high - low, 1.0)
            share = np.where(high > low, (parameters[:, None] - low) / width, 0.0)[:, :, None]
            rows = (1.0 - share) * rows[:, :-1] + share * rows[:, 1:]
        result: Points = rows[:, 0, :2] / rows[:, 0, 2:]
        return result

    return evaluate


def spline_breaks(knots: Sequence[float], degree: int) -> list[float]:
    """The parameters of a spline's domain between which it is one polynomial."""
    domain = knots[degree : len(knots) - degree]
    return sorted(set(domain))
