"""The sheet as convex solids, and what is cut out of them by planes."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

Array = NDArray[np.float64]
SLIVER_MM2 = 1e-3
STRAIGHT_MM = 0.003
SAME_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Solid:
    """A convex piece of the part: corners (2 n, 3), one face's ring and then the other's in the same order; the flange or the
    bend it belongs to.
    """

    owner: str
    of_bend: bool
    corners: Array

    def moved(self, turn: Array, move: Array) -> Solid:
        """The piece after point -> turn @ point + move."""
        return Solid(self.owner, self.of_bend, self.corners @ turn.T + move)


def convex_parts(shape: BaseGeometry) -> Iterator[Array]:
    """A flat shape as convex rings (n, 2): itself where it is convex, else strips between the places of its corners."""
    for part in (simpler for whole in polygons_in(shape) for simpler in polygons_in(whole.simplify(STRAIGHT_MM))):
        if not part.is_valid or part.area < SLIVER_MM2:
            continue
        if not part.interiors and part.convex_hull.area - part.area < SLIVER_MM2:
            yield _ring(part.convex_hull)
            continue
        yield from _strips(part)


def _strips(part: shapely.Polygon) -> Iterator[Array]:
    """Strips across the way that needs fewer of them; neighbours that stay convex together are one."""
    corners = np.vstack([np.array(ring.coords) for ring in (part.exterior, *part.interiors)])
    cuts = [np.unique(np.round(corners[:, i], 6)) for i in (0, 1)]
    across = 0 if len(cuts[0]) <= len(cuts[1]) else 1
    low, high = corners.min() - 1.0, corners.max() + 1.0
    waiting: list[shapely.Polygon] = []
    for first, last in itertools.pairwise(cuts[across]):
        ends = (first, low, last, high) if across == 0 else (low, first, high, last)
        own = [item for item in polygons_in(part.intersection(shapely.box(*ends))) if item.area > SLIVER_MM2]
        for old in waiting:
            whole = [i for i, item in enumerate(own) if _joins(old, item)]
            if whole:
                own[whole[0]] = next(polygons_in(shapely.union(old, own[whole[0]]).convex_hull))
            else:
                yield _ring(old)
        waiting = own
    yield from (_ring(item) for item in waiting)


def _joins(first: shapely.Polygon, second: shapely.Polygon) -> bool:
    both = shapely.union(first, second)
    return bool(both.geom_type == "Polygon" and both.convex_hull.area - first.area - second.area < SLIVER_MM2)


def _ring(part: BaseGeometry) -> Array:
    return (
        np.array(shapely.orient_polygons(part).exterior.coords)[:-1] if isinstance(part, shapely.Polygon) else _none()
    )


def _none() -> Array:
    return np.zeros((0, 2))


def polygons_in(shape: BaseGeometry) -> Iterator[shapely.Polygon]:
    """The polygons of a shape, however deep in collections."""
    if isinstance(shape, shapely.Polygon):
        if not shape.is_empty:
            yield shape
        return
    for part in getattr(shape, "geoms", ()):
        yield from polygons_in(part)


def slab(ring: Array, *, half_mm: float) -> Array:
    """Corners of a flat ring with the sheet's thickness to both sides of its middle plane."""
    return np.vstack([np.column_stack([ring, np.full(len(ring), z)]) for z in (-half_mm, half_mm)])


def cut_between(points: Array, axis: int, low: float, high: float) -> Array:
    """Points whose hull is the part of the hull of ``points`` (n, 3) with ``low`` <= coordinate <= ``high``; may be none."""
    values = points[:, axis]
    if values.min() >= low and values.max() <= high:
        return points
    found = [points[(values >= low) & (values <= high)]]
    for limit in (low, high):
        off = values - limit
        under, over = np.flatnonzero(off < -SAME_MM * 1e-3), np.flatnonzero(off > SAME_MM * 1e-3)
        if len(under) and len(over):
            i, j = (grid.ravel() for grid in np.meshgrid(under, over))
            share = (off[i] / (off[i] - off[j]))[:, None]
            found.append(points[i] + share * (points[j] - points[i]))
    return np.vstack(found)


def hull_rings(clouds: Sequence[Array]) -> list[Array | None]:
    """Convex ring (m, 2) around each cloud of points in the plane; None where one spans no area."""
    if not clouds:
        return []
    counts = [len(cloud) for cloud in clouds]
    groups: Any = shapely.multipoints(np.vstack(clouds), indices=np.repeat(np.arange(len(clouds)), counts))
    hulls: Any = shapely.convex_hull(groups)
    flat = np.asarray(shapely.area(hulls) < SLIVER_MM2 * 1e-2)
    points, owners = shapely.get_coordinates(hulls, return_index=True)
    ends = np.searchsorted(owners, np.arange(len(clouds) + 1))
    return [None if flat[i] else points[ends[i] : ends[i + 1] - 1] for i in range(len(clouds))]


def padded(rings: Sequence[Array]) -> Array:
    """Rings of different length as one array (n, most corners, 2 or 3), the last corner repeated."""
    most = max(len(ring) for ring in rings)
    return np.stack([np.vstack([ring, np.repeat(ring[-1:], most - len(ring), axis=0)]) for ring in rings])
