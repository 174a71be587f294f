"""Which true lines and arcs does a ring of corners stand for, and how many corners does a curve need?

A ring is a closed polygon (not repeated at the end). Its ``arcs`` are circles; a run of corners on one of them, no farther
apart than a chord of that circle may be, is the arc through these corners. So shapes can be cut and joined as polygons and
still leave as lines and arcs. Bulges are those of DXF polylines: tan(quarter of the arc's angle), positive to the left.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from bendwright.part.model import ARC_CHORD_MM, Arc, Point

ON_MM = 2e-4
LEAST_STEPS = 8
Vertex = tuple[float, float, float]


def chord_step_rad(radius_mm: float, chord_mm: float = ARC_CHORD_MM) -> float:
    """Largest angle between neighbouring corners of an arc: its chord lies at most ``chord_mm`` inside the circle."""
    if radius_mm <= chord_mm:
        return math.pi / LEAST_STEPS
    return min(2.0 * math.acos(1.0 - chord_mm / radius_mm), math.pi / LEAST_STEPS)


def arc_points(centre: Point, radius_mm: float, start_rad: float, sweep_rad: float) -> list[Point]:
    """Corners of an arc from ``start_rad`` on, both ends included; ``sweep_rad`` > 0 runs counter-clockwise."""
    count = max(1, math.ceil(abs(sweep_rad) / chord_step_rad(radius_mm) - 1e-9))
    angles = [start_rad + sweep_rad * i / count for i in range(count + 1)]
    return [(centre[0] + radius_mm * math.cos(a), centre[1] + radius_mm * math.sin(a)) for a in angles]


def bulge_arc(start: Point, end: Point, bulge: float) -> tuple[Point, float, float, float]:
    """Centre, radius, start angle and sweep [rad] of the arc from ``start`` to ``end`` with that bulge (not 0)."""
    sweep = 4.0 * math.atan(bulge)
    chord = math.dist(start, end)
    radius = chord / (2.0 * abs(math.sin(0.5 * sweep)))
    middle = (0.5 * (start[0] + end[0]), 0.5 * (start[1] + end[1]))
    off = 0.5 * chord / math.tan(0.5 * sweep) if abs(math.sin(0.5 * sweep)) > 0.0 else 0.0
    left = ((start[1] - end[1]) / chord, (end[0] - start[0]) / chord)
    centre = (middle[0] + off * left[0], middle[1] + off * left[1])
    return centre, radius, math.atan2(start[1] - centre[1], start[0] - centre[0]), sweep


def true_curve(ring: Sequence[Point], arcs: Sequence[Arc]) -> list[Vertex]:
    """The ring as vertices (x, y, bulge to the next vertex); a whole circle becomes two half ones."""
    count = len(ring)
    circles = [_circle_of(ring[i], ring[(i + 1) % count], arcs) for i in range(count)]
    if not any(circles):
        return [(x, y, 0.0) for x, y in ring]
    starts = [i for i in range(count) if circles[i] is None or circles[i] != circles[i - 1]]
    if not starts:
        arc = circles[0]
        assert arc is not None
        return _whole_circle(ring, arc)
    out: list[Vertex] = []
    for n, i in enumerate(starts):
        arc = circles[i]
        last = starts[(n + 1) % len(starts)]
        run = (last - i - 1) % count + 1
        if arc is None:
            out.append((*ring[i], 0.0))
        else:
            out += _arc_vertices(ring, i, run, arc)
    return out


def ring_area_mm2(ring: Sequence[Point], arcs: Sequence[Arc]) -> float:
    """Area inside the true curve of a ring, whichever way it runs [mm2]."""
    vertices = true_curve(ring, arcs)
    total = 0.0
    for (x, y, bulge), (u, v, _) in zip(vertices, [*vertices[1:], vertices[0]], strict=True):
        total += 0.5 * (x * v - u * y)
        if bulge:
            sweep = 4.0 * math.atan(bulge)
            radius = math.dist((x, y), (u, v)) / (2.0 * abs(math.sin(0.5 * sweep)))
            total += 0.5 * radius**2 * (sweep - math.sin(sweep))
    return abs(total)


def _circle_of(start: Point, end: Point, arcs: Sequence[Arc]) -> Arc | None:
    """The circle that this edge is a chord of, if it is one no longer than chords may be."""
    length = math.dist(start, end)
    for arc in arcs:
        on = all(abs(math.dist(point, arc.centre) - arc.radius_mm) < ON_MM for point in (start, end))
        if on and length <= 2.0 * arc.radius_mm * math.sin(0.5 * chord_step_rad(arc.radius_mm)) * 1.001 + ON_MM:
            return arc
    return None


def _turn(arc: Arc, start: Point, end: Point) -> float:
    """Angle from start to end about the arc's centre, the short way [rad]."""
    a = math.atan2(start[1] - arc.centre[1], start[0] - arc.centre[0])
    b = math.atan2(end[1] - arc.centre[1], end[0] - arc.centre[0])
    return (b - a + math.pi) % (2.0 * math.pi) - math.pi


def _arc_vertices(ring: Sequence[Point], first: int, run: int, arc: Arc) -> list[Vertex]:
    """Vertices of ``run`` chords from corner ``first`` on; arcs of more than a half circle in two pieces."""
    count = len(ring)
    turns = [_turn(arc, ring[(first + k) % count], ring[(first + k + 1) % count]) for k in range(run)]
    if abs(sum(turns)) <= math.pi * 1.0001 or run == 1:
        return [(*ring[first], math.tan(0.25 * sum(turns)))]
    half = run // 2
    middle = ring[(first + half) % count]
    return [(*ring[first], math.tan(0.25 * sum(turns[:half]))), (*middle, math.tan(0.25 * sum(turns[half:])))]


def _whole_circle(ring: Sequence[Point], arc: Arc) -> list[Vertex]:
    way = 1.0 if _turn(arc, ring[0], ring[1]) > 0.0 else -1.0
    x, y = ring[0]
    far = (2.0 * arc.centre[0] - x, 2.0 * arc.centre[1] - y)
    return [(x, y, way), (*far, way)]
