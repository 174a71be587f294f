"""Cut outlines into convex pieces, and pack pieces into arrays for the clearance kernels."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from bendwright.geometry.rigid import Array

Point = tuple[float, float]
MOST_CORNERS = 16
HAIR = 1e-7


def convex_hull(points: Array) -> Array:
    """Convex hull of points in the plane, counter-clockwise, shape (m, 2); a segment or point stays one."""
    unique = sorted({(round(float(x), 9), round(float(y), 9)) for x, y in points})
    if len(unique) < 3:
        return np.array(unique)
    lower = _half_hull(unique)
    upper = _half_hull(unique[::-1])
    return np.array(lower[:-1] + upper[:-1])


def _half_hull(points: Sequence[Point]) -> list[Point]:
    hull: list[Point] = []
    for point in points:
        while len(hull) > 1 and _turn(hull[-2], hull[-1], point) <= HAIR:
            hull.pop()
        hull.append(point)
    return hull


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def is_convex(ring: Sequence[Point]) -> bool:
    """True for a counter-clockwise ring without a reflex corner."""
    n = len(ring)
    return all(_turn(ring[i], ring[(i + 1) % n], ring[(i + 2) % n]) >= -HAIR for i in range(n))


def swept_up(ring: Array, by_mm: float) -> Array:
    """What a convex piece covers while it is drawn straight up."""
    return convex_hull(np.vstack([ring, ring + np.array([0.0, by_mm])]))


def convex_pieces(ring: Sequence[Point], holes: Sequence[Sequence[Point]] = ()) -> list[Array]:
    """Cut a simple counter-clockwise outline, without its holes, into convex pieces of at most 16 corners that cover it exactly.

    Triangles of a constrained triangulation are joined greedily while they stay convex; the result depends only on
    the outline. An outline that touches itself, a notch that just reaches its other side, is taken as the pieces it leaves.
    """
    clean = _without_straight_corners(ring)
    if not holes and len(clean) <= MOST_CORNERS and is_convex(clean):
        return [np.array(clean)]
    shape = Polygon(ring, holes)
    triangles = shapely.constrained_delaunay_triangles(shape if shape.is_valid else shapely.make_valid(shape))
    return [np.array(piece) for piece in _joined([_corners(tri) for tri in triangles.geoms])]


def _joined(pieces: list[list[Point]]) -> list[list[Point]]:
    """Triangles joined over their common edges as long as they stay convex, edge by edge until nothing more joins."""
    borders: dict[frozenset[Point], list[int]] = {}
    for number, piece in enumerate(pieces):
        for a, b in zip(piece, [*piece[1:], piece[0]], strict=True):
            borders.setdefault(frozenset((a, b)), []).append(number)
    waiting = [(pair[0], pair[1]) for pair in borders.values() if len(pair) == 2]
    home = list(range(len(pieces)))

    def home_of(number: int) -> int:
        while home[number] != number:
            home[number] = home[home[number]]
            number = home[number]
        return number

    alive: dict[int, list[Point]] = dict(enumerate(pieces))
    merged = True
    while merged:
        merged, left = False, []
        for first, second in waiting:
            i, j = sorted((home_of(first), home_of(second)))
            joined = _join(alive[i], alive[j]) if i != j else None
            if joined is None:
                left += [(first, second)] if i != j else []
                continue
            alive[i] = joined
            del alive[j]
            home[j] = i
            merged = True
        waiting = left
    return list(alive.values())


def _corners(triangle: BaseGeometry) -> list[Point]:
    assert isinstance(triangle, Polygon)
    ring = shapely.geometry.polygon.orient(triangle).exterior.coords
    return [(float(x), float(y)) for x, y in ring][:-1]


def _without_straight_corners(ring: Sequence[Point]) -> list[Point]:
    n = len(ring)
    kept = [ring[i] for i in range(n) if abs(_turn(ring[i - 1], ring[i], ring[(i + 1) % n])) > HAIR]
    return kept if len(kept) >= 3 else list(ring)


def _join(first: list[Point], second: list[Point]) -> list[Point] | None:
    """Both rings joined over one shared edge, if the result is convex and small enough."""
    for i in range(len(first)):
        a, b = first[i], first[(i + 1) % len(first)]
        for j in range(len(second)):
            if second[j] == b and second[(j + 1) % len(second)] == a:
                ring = first[i + 1 :] + first[: i + 1]
                other = second[j + 1 :] + second[: j + 1]
                joined = _without_straight_corners(ring + other[1:-1])
                if len(joined) <= MOST_CORNERS and is_convex(joined):
                    return joined
    return None


def pack(pieces: Iterable[Array], *, width: int = 0) -> tuple[Array, np.ndarray[tuple[int], np.dtype[np.int64]]]:
    """Pad rings of different length into one array (n, width, 2) and their corner counts (n,)."""
    rings = list(pieces)
    widest = max([width, 3, *(len(ring) for ring in rings)])
    out = np.zeros((len(rings), widest, 2))
    counts = np.zeros(len(rings), dtype=np.int64)
    for i, ring in enumerate(rings):
        out[i, : len(ring)] = ring
        counts[i] = len(ring)
    return out, counts
