"""Is an opening a round hole, a slot or a cut-out?"""

from __future__ import annotations

import math
from collections.abc import Sequence

from bendwright.part.contour import Vertex, true_curve
from bendwright.part.model import Arc, Circle, Cutout, Feature, Point, Slot

HALF_TURN_BULGE = 1.0
SAME = 1e-3
ROUND_MM = 0.02
LEAST_ROUND = 16


def named_shape(points: Sequence[Point], arcs: Sequence[Arc], name: str = "") -> Feature:
    """Circle for a whole circle or a free curve within 0.01 mm of one, Slot for two half circles joined by two straight sides,
    else Cutout with its arcs.
    """
    vertices = true_curve(points, arcs)
    whole = _whole_circle(vertices, arcs)
    if whole is not None:
        return Circle(centre=whole.centre, diameter_mm=2.0 * whole.radius_mm, name=name)
    round_hole = _nearly_round(points)
    if round_hole is not None:
        return Circle(centre=round_hole.centre, diameter_mm=2.0 * round_hole.radius_mm, name=name)
    slot = _slot(_merged(vertices), name)
    if slot is not None:
        return slot
    used = tuple(arc for arc in arcs if any(_on(point, arc) for point in points))
    return Cutout(points=tuple(points), arcs=used, name=name)


def _whole_circle(vertices: Sequence[Vertex], arcs: Sequence[Arc]) -> Arc | None:
    """The one circle that all vertices lie on, when they go right round it."""
    if not vertices or not all(bulge for _, _, bulge in vertices):
        return None
    for arc in arcs:
        if all(_on((x, y), arc) for x, y, _ in vertices):
            turned = sum(4.0 * math.atan(bulge) for _, _, bulge in vertices)
            return arc if abs(abs(turned) - 2.0 * math.pi) < SAME else None
    return None


def _nearly_round(points: Sequence[Point]) -> Arc | None:
    """The circle that all corners of a free curve lie on within ``ROUND_MM``: a hole drilled a little askew."""
    count = len(points)
    if count < LEAST_ROUND:
        return None
    x, y = sum(p[0] for p in points) / count, sum(p[1] for p in points) / count
    reach = [max(p[k] for p in points) + min(p[k] for p in points) for k in (0, 1)]
    centre = (0.5 * reach[0], 0.5 * reach[1])
    radii = [math.dist(point, centre) for point in points]
    radius = 0.5 * (max(radii) + min(radii))
    off_centre = math.dist(centre, (x, y)) > 0.2 * radius
    longest = max(math.dist(a, b) for a, b in zip(points, (*points[1:], points[0]), strict=True))
    sagitta = radius - math.sqrt(max(radius**2 - 0.25 * longest**2, 0.0))
    if off_centre or max(radii) - min(radii) > ROUND_MM or sagitta > ROUND_MM:
        return None
    return Arc(centre=centre, radius_mm=radius)


def _on(point: Point, arc: Arc) -> bool:
    return abs(math.dist(point, arc.centre) - arc.radius_mm) < SAME


def _merged(vertices: Sequence[Vertex]) -> list[Vertex]:
    """Straight runs in one piece, arcs that go on about the same centre in one piece (up to a half turn)."""
    out = [v for i, v in enumerate(vertices) if not _passed(vertices[i - 1], v, vertices[(i + 1) % len(vertices)])]
    if len(out) == 6 or len(out) == 5:
        out = _joined_arcs(out)
    return out


def _passed(before: Vertex, here: Vertex, after: Vertex) -> bool:
    """Is a vertex between two straight pieces on one line?"""
    if before[2] or here[2]:
        return False
    cross = (here[0] - before[0]) * (after[1] - here[1]) - (here[1] - before[1]) * (after[0] - here[0])
    return abs(cross) < 1e-6 * max(1.0, math.dist(before[:2], after[:2]))


def _joined_arcs(vertices: list[Vertex]) -> list[Vertex]:
    out: list[Vertex] = []
    for i, (x, y, bulge) in enumerate(vertices):
        before = vertices[i - 1]
        if bulge and before[2] and out:
            turned = math.atan(before[2]) + math.atan(bulge)
            out[-1] = (out[-1][0], out[-1][1], math.tan(turned))
        else:
            out.append((x, y, bulge))
    return out


def _slot(vertices: Sequence[Vertex], name: str) -> Slot | None:
    if len(vertices) != 4:
        return None
    bulges = [abs(vertex[2]) for vertex in vertices]
    first = next((k for k in (0, 1) if bulges[k] == bulges[k + 2] == 0.0), None)
    ends = (1 - first, 3 - first) if first is not None else ()
    if first is None or not all(abs(bulges[k] - HALF_TURN_BULGE) < SAME for k in ends):
        return None
    around = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(vertices, (*vertices[1:], vertices[0]), strict=True))
    if any(vertices[k][2] * around < 0.0 for k in ends):
        return None  # an end that curves inward is no slot's
    a, b, c, d = (vertices[(first + k) % 4] for k in range(4))
    width = math.dist(b[:2], c[:2])
    if abs(math.dist(d[:2], a[:2]) - width) > SAME or abs(math.dist(a[:2], b[:2]) - math.dist(c[:2], d[:2])) > SAME:
        return None
    centre = (0.25 * (a[0] + b[0] + c[0] + d[0]), 0.25 * (a[1] + b[1] + c[1] + d[1]))
    axis = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
    length = math.dist(a[:2], b[:2]) + width
    return Slot(centre=centre, length_mm=length, width_mm=width, axis_deg=axis % 180.0, name=name)
