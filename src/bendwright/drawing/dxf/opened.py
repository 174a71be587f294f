"""The curves of one entity, brought into the drawing plane.

An entity with its own axes (extrusion) draws in a plane of its own: its points are x ux + y uy + z uz. Seen from above,
circles stay circles where that plane is the drawing plane, turned over or not, and become ellipses where it is tilted.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from bendwright.drawing.dxf.drawn import DrawnCurve
from bendwright.part.contour import bulge_arc
from bendwright.part.model import Point

MOST_POLES = 20_000
HIGHEST_DEGREE = 12
FLAT = 1e-3
_FRAME_POINT = 16


class Plane:
    """Notes how many curves of an entity do not lie flat."""

    def __init__(self) -> None:
        self.tilted = 0

    def seen(self, *heights: float) -> None:
        """Curves between points at these heights: more than one height is not flat."""
        self.tilted += max(heights) - min(heights) > FLAT


class _Axes:
    """From an entity's own coordinates to the drawing plane."""

    def __init__(self, entity: Any) -> None:
        ocs = entity.ocs()
        self.ux, self.uy, self.uz = ocs.ux, ocs.uy, ocs.uz
        self.level = abs(float(self.uz.z)) > 1.0 - 1e-9

    def point(self, x: float, y: float, z: float = 0.0) -> Point:
        """The point as seen from above."""
        ux, uy, uz = self.ux, self.uy, self.uz
        return (float(x * ux.x + y * uy.x + z * uz.x), float(x * ux.y + y * uy.y + z * uz.y))

    def vector(self, x: float, y: float) -> Point:
        """A direction in the entity's plane as seen from above."""
        return self.point(x, y)


def outline_curves(entity: Any, style: int, plane: Plane) -> list[DrawnCurve] | None:
    """The curves of an entity; None when it is of a kind that draws none."""
    reader = _READERS.get(entity.dxftype())
    return None if reader is None else list(reader(entity, style, plane))


def draws(kind: str) -> bool:
    """Does this kind of entity draw curves?"""
    return kind in _READERS


def _line(entity: Any, style: int, plane: Plane) -> Iterator[DrawnCurve]:
    start, end = entity.dxf.start, entity.dxf.end
    plane.seen(start.z, end.z)
    yield _straight((start.x, start.y), (end.x, end.y), style)


def _straight(start: Point, end: Point, style: int) -> DrawnCurve:
    points = ((float(start[0]), float(start[1])), (float(end[0]), float(end[1])))
    return DrawnCurve(kind="line", style=style, points=points)


def _circle(entity: Any, style: int, plane: Plane) -> Iterator[DrawnCurve]:
    yield _round(entity, 0.0, 2.0 * math.pi, style, plane)


def _arc(entity: Any, style: int, plane: Plane) -> Iterator[DrawnCurve]:
    start, end = math.radians(entity.dxf.start_angle), math.radians(entity.dxf.end_angle)
    sweep = (end - start) % (2.0 * math.pi)
    yield _round(entity, start % (2.0 * math.pi), sweep if sweep > 1e-12 else 2.0 * math.pi, style, plane)


def _round(entity: Any, start: float, sweep: float, style: int, plane: Plane) -> DrawnCurve:
    axes, centre, radius = _Axes(entity), entity.dxf.center, abs(float(entity.dxf.radius))
    plane.tilted += not axes.level
    points = (axes.point(centre.x, centre.y, centre.z), axes.vector(radius, 0.0), axes.vector(0.0, radius))
    return DrawnCurve(kind="arc", style=style, points=points, numbers=(start, sweep))


def _ellipse(entity: Any, style: int, plane: Plane) -> Iterator[DrawnCurve]:
    centre, major, minor = entity.dxf.center, entity.dxf.major_axis, entity.minor_axis
    plane.tilted += abs(major.z) > FLAT or abs(minor.z) > FLAT
    start = float(entity.dxf.start_param) % (2.0 * math.pi)
    sweep = (float(entity.dxf.end_param) - float(entity.dxf.start_param)) % (2.0 * math.pi)
    points = tuple((float(vector.x), float(vector.y)) for vector in (centre, major, minor))
    numbers = (start, sweep if sweep > 1e-9 else 2.0 * math.pi)
    yield DrawnCurve(kind="arc", style=style, points=points, numbers=numbers)


def _spline(entity: Any, style: int, plane: Plane) -> Iterator[DrawnCurve]:
    counts = (len(entity.control_points), len(entity.fit_points), len(entity.knots))
    if max(counts) > MOST_POLES or not 1 <= int(entity.dxf.get("degree", 3)) <= HIGHEST_DEGREE:
        raise ValueError("a spline larger than any drawing needs")
    curve = entity.construction_tool()
    plane.seen(*(point.z for point in curve.control_points))
    yield DrawnCurve(
        kind="spline",
        style=style,
        points=tuple((float(point.x), float(point.y)) for point in curve.control_points),
        numbers=tuple(float(knot) for knot in curve.knots()),
        weights=tuple(float(weight) for weight in curve.weights()),
        degree=int(curve.degree),
    )


def _lwpolyline(entity: Any, style: int, plane: Plane) -> Iterator[DrawnCurve]:
    axes, height = _Axes(entity), float(entity.dxf.get("elevation", 0.0))
    vertices = [(float(x), float(y), float(bulge)) for x, y, bulge in entity.get_points("xyb")]
    return _bulged(vertices, bool(entity.closed), axes, height, style, plane)


def _polyline(entity: Any, style: int, plane: Plane) -> Iterator[DrawnCurve]:
    if entity.is_poly_face_mesh or entity.is_polygon_mesh:
        plane.tilted += 1
        return iter(())
    drawn = [vertex for vertex in entity.vertices if not int(vertex.dxf.get("flags", 0)) & _FRAME_POINT]
    places = [vertex.dxf.location for vertex in drawn]
    if entity.is_2d_polyline:
        bulges = [float(vertex.dxf.get("bulge", 0.0)) for vertex in drawn]
        vertices = [(float(p.x), float(p.y), bulge) for p, bulge in zip(places, bulges, strict=True)]
        elevation = entity.dxf.get("elevation")
        height = float(elevation.z) if elevation is not None else 0.0
        return _bulged(vertices, bool(entity.is_closed), _Axes(entity), height, style, plane)
    if places:
        plane.seen(*(point.z for point in places))
    flat = [(float(p.x), float(p.y)) for p in places]
    return (_straight(start, end, style) for start, end in _pairs(flat, bool(entity.is_closed)))


def _bulged(
    vertices: Sequence[tuple[float, float, float]], closed: bool, axes: _Axes, height: float, style: int, plane: Plane
) -> Iterator[DrawnCurve]:
    """Lines and arcs of a polyline; an edge of no length is left out."""
    plane.tilted += not axes.level
    for (x, y, bulge), (u, v, _) in _pairs(vertices, closed):
        if math.dist((x, y), (u, v)) < 1e-12:
            continue
        if abs(bulge) < 1e-9:
            yield _straight(axes.point(x, y, height), axes.point(u, v, height), style)
            continue
        centre, radius, start, sweep = bulge_arc((x, y), (u, v), bulge)
        points = (axes.point(*centre, height), axes.vector(radius, 0.0), axes.vector(0.0, radius))
        yield DrawnCurve(kind="arc", style=style, points=points, numbers=(start, sweep))


def _pairs(items: Sequence[Any], closed: bool) -> Iterator[tuple[Any, Any]]:
    yield from itertools.pairwise(items)
    if (closed and len(items) > 2) or (closed and len(items) == 2 and len(items[0]) == 3):
        yield items[-1], items[0]


_READERS: dict[str, Callable[[Any, int, Plane], Iterator[DrawnCurve]]] = {
    "LINE": _line,
    "CIRCLE": _circle,
    "ARC": _arc,
    "ELLIPSE": _ellipse,
    "SPLINE": _spline,
    "LWPOLYLINE": _lwpolyline,
    "POLYLINE": _polyline,
}
