"""Loose curves joined at their ends: a network of nodes and edges, with what had to be mended on the way.

Ends closer than a micrometre are one node. A curve on which another one ends is cut there, but never a whole circle, which
is a ring by itself; a curve drawn twice is kept once.
What then still ends loose is joined to the nearest end within the stated gap; each such gap is reported.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from bendwright.drawing.dxf.curves import NO_LENGTH_MM, Curve
from bendwright.part.model import ARC_CHORD_MM, Point

JOIN_MM = 1e-3
SAME_MM = 3e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """A gap between two ends that was closed: where, and how wide [mm]."""

    at: Point
    width_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """A curve between two nodes of a network."""

    curve: Curve
    first: int
    second: int

    def other(self, node: int) -> int:
        """The node at the other end."""
        return self.second if node == self.first else self.first

    def leaving(self, node: int) -> Curve:
        """The curve as run away from ``node``."""
        return self.curve if node == self.first else self.curve.reversed()


@dataclass(frozen=True, slots=True, kw_only=True)
class Network:
    """Edges, whole circles, the places of the nodes, the gaps closed and the places of curves drawn twice."""

    edges: tuple[Edge, ...]
    circles: tuple[Curve, ...]
    places: tuple[Point, ...]
    gaps: tuple[Gap, ...]
    doubled: tuple[Point, ...]


def network(curves: Sequence[Curve], *, gap_mm: float) -> Network:
    """The network of these curves; curves of no length are left out."""
    drawn = [curve for curve in curves if curve.length_mm > NO_LENGTH_MM]
    circles, twice = _circles([curve for curve in drawn if curve.whole])
    pieces = _cut_at_ends([curve for curve in drawn if not curve.whole])
    nodes, places = _nodes([point for piece in pieces for point in (piece.start, piece.end)])
    edges = [
        Edge(curve=piece, first=nodes[2 * i], second=nodes[2 * i + 1])
        for i, piece in enumerate(pieces)
        if nodes[2 * i] != nodes[2 * i + 1] or piece.length_mm > 4.0 * JOIN_MM
    ]
    kept, doubled = _without_doubles(edges)
    joined, gaps = _closed(kept, places, gap_mm)
    return Network(
        edges=tuple(joined),
        circles=tuple(circles),
        places=tuple(places),
        gaps=tuple(gaps),
        doubled=(*doubled, *twice),
    )


def _circles(circles: Sequence[Curve]) -> tuple[list[Curve], list[Point]]:
    """Each circle once, and the centres of those left out."""
    kept: dict[tuple[int, int, int], Curve] = {}
    doubled: list[Point] = []
    for circle in circles:
        assert circle.centre is not None
        x, y, r = (round(number / SAME_MM) for number in (*circle.centre, circle.radius_mm))
        near = ((x + i, y + j, r + k) for i in (0, -1, 1) for j in (0, -1, 1) for k in (0, -1, 1))
        if any(key in kept for key in near):
            doubled.append(circle.centre)
        else:
            kept[x, y, r] = circle
    return list(kept.values()), doubled


def _cut_at_ends(curves: list[Curve]) -> list[Curve]:
    """The curves cut wherever the end of another one lies on them."""
    if not curves:
        return []
    points = list(dict.fromkeys(point for curve in curves for point in (curve.start, curve.end)))
    tree = shapely.STRtree([shapely.LineString(curve.corners()) for curve in curves])
    near = ARC_CHORD_MM + 2.0 * JOIN_MM
    pairs = tree.query(shapely.points(np.array(points)), predicate="dwithin", distance=near)
    shares: dict[int, list[float]] = defaultdict(list)
    for point_number, curve_number in zip(*pairs.tolist(), strict=True):
        curve = curves[curve_number]
        share, distance = curve.foot(points[point_number])
        inside = JOIN_MM < share * curve.length_mm < curve.length_mm - JOIN_MM
        if distance <= JOIN_MM and inside:
            shares[curve_number].append(share)
    out: list[Curve] = []
    for number, curve in enumerate(curves):
        out += curve.cut(_apart(shares[number], curve.length_mm)) if number in shares else [curve]
    return out


def _apart(shares: Sequence[float], length: float) -> list[float]:
    """The shares without those that fall on the one before."""
    kept: list[float] = []
    for share in sorted(shares):
        if not kept or (share - kept[-1]) * length > JOIN_MM:
            kept.append(share)
    return kept


def _nodes(points: Sequence[Point]) -> tuple[list[int], list[Point]]:
    """The node of each point, and the places of the nodes."""
    cells: dict[tuple[int, int], list[int]] = defaultdict(list)
    places: list[Point] = []
    out: list[int] = []
    for point in points:
        column, row = math.floor(point[0] / JOIN_MM), math.floor(point[1] / JOIN_MM)
        near = (n for i in (0, -1, 1) for j in (0, -1, 1) for n in cells.get((column + i, row + j), ()))
        node = next((n for n in near if math.dist(places[n], point) <= JOIN_MM), None)
        if node is None:
            node = len(places)
            places.append(point)
            cells[column, row].append(node)
        out.append(node)
    return out, places


def _without_doubles(edges: Iterable[Edge]) -> tuple[list[Edge], list[Point]]:
    """Each edge once, and the middles of those left out."""
    kept: dict[tuple[int, int], list[Edge]] = defaultdict(list)
    doubled: list[Point] = []
    for edge in edges:
        pair = (min(edge.first, edge.second), max(edge.first, edge.second))
        middle = edge.curve.at(0.5)
        if any(math.dist(other.curve.at(0.5), middle) <= SAME_MM for other in kept[pair]):
            doubled.append(middle)
        else:
            kept[pair].append(edge)
    return [edge for several in kept.values() for edge in several], doubled


def _closed(edges: list[Edge], places: Sequence[Point], gap_mm: float) -> tuple[list[Edge], list[Gap]]:
    """The edges with loose ends joined within the gap: to each other first, the nearest first, then to any node."""
    degree: dict[int, int] = defaultdict(int)
    for edge in edges:
        degree[edge.first] += 1
        degree[edge.second] += 1
    loose = [node for node, count in degree.items() if count == 1]
    own = {frozenset((edge.first, edge.second)) for edge in edges}
    gaps: list[Gap] = []
    moved: dict[int, int] = {}
    for width, first, second in _near_pairs(loose, list(degree), places, gap_mm):
        taken = first in moved or (second in moved and degree[second] == 1)
        if taken or degree[first] != 1 or frozenset((first, second)) in own:
            continue
        target = moved.get(second, second)
        moved[first] = target
        degree[target] += 1
        degree[first] = 0
        (x, y), (u, v) = places[first], places[second]
        gaps.append(Gap(at=(0.5 * (x + u), 0.5 * (y + v)), width_mm=width))
    out = [
        Edge(curve=edge.curve, first=moved.get(edge.first, edge.first), second=moved.get(edge.second, edge.second))
        for edge in edges
    ]
    return out, gaps


def _near_pairs(
    loose: Sequence[int], nodes: Sequence[int], places: Sequence[Point], gap_mm: float
) -> list[tuple[float, int, int]]:
    """Pairs (distance, loose node, other node) within the gap: two loose ends before one loose and one bound."""
    if not loose or gap_mm <= 0.0:
        return []
    tree = shapely.STRtree([shapely.Point(places[node]) for node in nodes])
    ends = shapely.points(np.array([places[node] for node in loose]))
    found = tree.query(ends, predicate="dwithin", distance=gap_mm).tolist()
    free = set(loose)
    pairs = [(loose[i], nodes[j]) for i, j in zip(*found, strict=True) if loose[i] != nodes[j]]
    rows = [(second not in free, math.dist(places[first], places[second]), first, second) for first, second in pairs]
    return [(width, first, second) for _, width, first, second in sorted(rows)]
