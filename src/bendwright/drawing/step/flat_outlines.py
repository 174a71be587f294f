"""Outline and openings of one flat, as exact lines and arcs, from its two plane sides.

What a laser must leave is what either side has: a countersunk hole shrinks to its through hole, a bevelled edge grows to its
longer side. Where the sides differ it is said.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely import Polygon, STRtree

from bendwright.drawing.step.model_record import Edge
from bendwright.drawing.step.skeleton import Loop, Skeleton, View
from bendwright.geometry.rigid import Array
from bendwright.part.contour import arc_points
from bendwright.part.model import Arc, Feature, Point
from bendwright.part.placing import largest
from bendwright.part.shape_names import named_shape

SAME_MM = 1e-4
EVEN_MM = 0.02
SQUARE = 1e-6


@dataclass(frozen=True, slots=True)
class Ring:
    """A closed ring with the circles it follows, the edges it came from, and the polygon it bounds."""

    points: tuple[Point, ...]
    arcs: tuple[Arc, ...]
    edges: frozenset[int]
    shape: Polygon

    @classmethod
    def of(cls, points: tuple[Point, ...], arcs: tuple[Arc, ...], edges: frozenset[int]) -> Ring:
        """The ring of these corners; fewer than three bound nothing."""
        shape = largest(shapely.make_valid(Polygon(points))) if len(points) >= 3 else Polygon()
        return cls(points, arcs, edges, shape)


@dataclass(frozen=True, slots=True)
class UnevenRing:
    """An opening or outline that is not the same on both sides: the place, how far apart [mm], edges of both sides."""

    centre: Point
    apart_mm: float
    outer: bool
    edges: frozenset[int]


@dataclass(frozen=True, slots=True)
class Outline:
    """One flat seen from side ``top``: outline, openings (each with the edges it came from), what differs between the sides,
    and openings on one side only (``blind``).
    """

    outline: tuple[Point, ...]
    arcs: tuple[Arc, ...]
    openings: tuple[tuple[Feature, frozenset[int]], ...]
    uneven: tuple[UnevenRing, ...]
    blind: tuple[UnevenRing, ...]


def flat_outline(
    skeleton: Skeleton,
    faces: tuple[Sequence[int], Sequence[int]],
    view: View,
    lines: Sequence[tuple[Point, Point]] = (),
) -> Outline:
    """Outline of the flat whose sides are ``faces`` (top, bottom), in the coordinates of ``view`` (seen from the top).

    ``lines`` are its tangent lines: a flange that a window parts is bridged between them, and the window is an opening.
    """
    (outers, inner), (backs, behind) = (_rings(skeleton, side, view) for side in faces)
    found = [_outer(ring, _same_place(ring, backs)) for ring in outers]
    uneven = [note for _, notes in found for note in notes]
    openings, more, blind = _openings(inner, behind)
    outer, windows = (found[0][0], []) if len(found) == 1 else _bridged([ring for ring, _ in found], lines)
    ring = shapely.geometry.polygon.orient(outer.shape)
    points = tuple((float(x), float(y)) for x, y in ring.exterior.coords[:-1])
    return Outline(
        points,
        outer.arcs,
        tuple((named_shape(opening.points, opening.arcs), opening.edges) for opening in (*openings, *windows)),
        (*uneven, *more),
        tuple(blind),
    )


def _same_place(ring: Ring, others: Sequence[Ring]) -> Ring:
    """The ring of the other side that lies behind this one."""
    return max(others, key=lambda other: other.shape.intersection(ring.shape).area)


def _bridged(rings: Sequence[Ring], lines: Sequence[tuple[Point, Point]]) -> tuple[Ring, list[Ring]]:
    """Pieces of one flange joined between its tangent lines, and the windows that part them."""
    sheet = shapely.union_all([ring.shape for ring in rings])
    between = shapely.MultiPoint([point for line in lines for point in line]).convex_hull
    whole = Polygon(largest(shapely.union(sheet, between)).exterior)
    arcs = tuple(arc for ring in rings for arc in ring.arcs)
    edges = frozenset(edge for ring in rings for edge in ring.edges)
    gaps = [part for part in getattr(whole.difference(sheet), "geoms", [whole.difference(sheet)]) if part.area > 1e-4]
    return Ring.of(_corner_points(whole), arcs, edges), [
        Ring.of(_corner_points(gap), arcs, frozenset()) for gap in gaps
    ]


def _corner_points(shape: Polygon) -> tuple[Point, ...]:
    ring = shapely.geometry.polygon.orient(shape).exterior.coords[:-1]
    return tuple((float(x), float(y)) for x, y in ring)


def _rings(skeleton: Skeleton, faces: Sequence[int], view: View) -> tuple[list[Ring], list[Ring]]:
    """Outer rings (several when the side is in pieces) and openings of one side."""
    by_face = [[_ring(skeleton, loop, view) for loop in skeleton.faces[face].loops] for face in faces]
    usable = [[ring for ring in rings if ring.shape.area > 1e-6] for rings in by_face]
    ordered = [sorted(rings, key=lambda ring: -ring.shape.area) for rings in usable if rings]
    if len(ordered) == 1:
        return [ordered[0][0]], ordered[0][1:]
    return _grown_together(ordered)


def _grown_together(by_face: list[list[Ring]]) -> tuple[list[Ring], list[Ring]]:
    """Several faces of one side joined over the lines that part them."""
    shapes = [
        rings[0]
        .shape.difference(shapely.union_all([ring.shape for ring in rings[1:]]))
        .buffer(1e-6, join_style="mitre")
        for rings in by_face
    ]
    joined = shapely.union_all(shapes).buffer(-1e-6, join_style="mitre").simplify(1e-5)
    every = [ring for rings in by_face for ring in rings]
    outers: list[Ring] = []
    inners: list[Ring] = []
    for part in getattr(joined, "geoms", [joined]):
        outers.append(_as_drawn(Polygon(part.exterior), every))
        inners += [_as_drawn(Polygon(inner), every) for inner in part.interiors]
    return outers, inners


def _as_drawn(shape: Polygon, every: Sequence[Ring]) -> Ring:
    """The drawn ring that a joined one is; what was put together from several follows all their circles."""
    for ring in every:
        if abs(ring.shape.area - shape.area) < 1e-3 and ring.shape.symmetric_difference(shape).area < 1e-2:
            return ring
    near = [ring for ring in every if ring.shape.intersects(shape)]
    arcs = tuple(arc for ring in near for arc in ring.arcs)
    return Ring.of(_corner_points(shape), arcs, frozenset(edge for ring in near for edge in ring.edges))


def _ring(skeleton: Skeleton, loop: Loop, view: View) -> Ring:
    points: list[Point] = []
    arcs: list[Arc] = []
    for number, forward in loop:
        edge = skeleton.edge(number)
        corners, arc = _corners(edge, forward, view)
        for corner in corners:
            if not points or _apart(points[-1], corner) > SAME_MM:
                points.append(corner)
        if arc and arc not in arcs:
            arcs.append(arc)
    while len(points) > 1 and _apart(points[0], points[-1]) <= SAME_MM:
        points.pop()
    return Ring.of(tuple(points), tuple(arcs), frozenset(number for number, _ in loop))


def _apart(first: Point, second: Point) -> float:
    return max(abs(first[0] - second[0]), abs(first[1] - second[1]))


def _corners(edge: Edge, forward: bool, view: View) -> tuple[list[Point], Arc | None]:
    """Corners of one edge in the view, and its circle when it is an arc lying flat in it."""
    flat = view.points(np.array(edge.points)) if edge.points else np.zeros((0, 2))
    corners = [(float(x), float(y)) for x, y in (flat if forward else flat[::-1])]
    if edge.kind != "circle" or abs(abs(float(np.dot(view.normal, edge.axis))) - 1.0) > SQUARE:
        return corners, None
    x, y = (float(value) for value in view.points(np.array([edge.centre]))[0])
    turns = _turns(flat if forward else flat[::-1], np.array([x, y]))
    start = float(np.arctan2(corners[0][1] - y, corners[0][0] - x))
    return arc_points((x, y), edge.radius_mm, start, turns), Arc(centre=(x, y), radius_mm=edge.radius_mm)


def _turns(points: Array, centre: Array) -> float:
    """Angle run through about the centre [rad]."""
    angles = np.unwrap(np.arctan2(points[:, 1] - centre[1], points[:, 0] - centre[0]))
    return float(angles[-1] - angles[0])


def _outer(top: Ring, bottom: Ring) -> tuple[Ring, list[UnevenRing]]:
    apart = _distance(top, bottom)
    if apart < EVEN_MM:
        return top, []
    joined = largest(shapely.union(top.shape, bottom.shape))
    points = tuple((float(x), float(y)) for x, y in joined.exterior.coords[:-1])
    centre = joined.centroid
    uneven = UnevenRing((centre.x, centre.y), apart, True, top.edges | bottom.edges)
    return Ring.of(points, top.arcs + bottom.arcs, top.edges | bottom.edges), [uneven]


def _openings(top: list[Ring], bottom: list[Ring]) -> tuple[list[Ring], list[UnevenRing], list[UnevenRing]]:
    """Openings through both sides (the smaller ring where they differ), the uneven ones, the blind ones."""
    tree = STRtree([ring.shape for ring in bottom])
    taken: set[int] = set()
    through: list[Ring] = []
    uneven: list[UnevenRing] = []
    blind: list[UnevenRing] = []
    for ring in top:
        behind = [i for i in tree.query(ring.shape, predicate="intersects").tolist() if i not in taken]
        taken.update(behind)
        if not behind:
            blind.append(_note(ring, 0.0))
        for other in (bottom[i] for i in behind):
            apart = _distance(ring, other)
            smaller = ring if ring.shape.area <= other.shape.area or apart < EVEN_MM else other
            through.append(smaller)
            if apart >= EVEN_MM:
                uneven.append(replace(_note(ring, apart), edges=ring.edges | other.edges))
    blind += [_note(ring, 0.0) for i, ring in enumerate(bottom) if i not in taken]
    return through, uneven, blind


def _note(ring: Ring, apart_mm: float) -> UnevenRing:
    centre = ring.shape.centroid
    return UnevenRing((float(centre.x), float(centre.y)), apart_mm, False, ring.edges)


def _distance(first: Ring, second: Ring) -> float:
    """Largest distance between two outlines [mm], by their corners."""
    if len(first.points) == len(second.points) == 0:
        return 0.0
    one, two = shapely.LinearRing(first.points), shapely.LinearRing(second.points)
    return float(max(one.hausdorff_distance(two), 0.0))
