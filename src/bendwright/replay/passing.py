"""Does one thing come nearer to another than it may, anywhere along the swing?

An interval of the angle is passed over only when the distance in its middle is larger than anything can move in half of it;
else it is halved. So nothing is missed between two poses: what is passed is proven to within ``FINEST_MM``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from bendwright.replay.solids import Array
from bendwright.replay.swing import Swing

TOLERANCE_MM = 0.1
SKIN_MM = 0.05
"""What of a tool's outside is left away before asking whether something reaches into it: half the tolerance, since a corner's skin
is thicker than a face's."""
FINEST_MM = 0.02
START = 8
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]
Shapes = NDArray[np.object_]


def first_nearer(
    count: int, end: float, speeds: Array, near: Callable[[Ints, Array, Array], tuple[Flags, Flags]]
) -> dict[int, float]:
    """The pairs (numbers from 0) that come too near between 0 and ``end`` [rad], each with an angle at which it does.

    ``near(pairs, turned, rooms)`` says of each pair at its turned angle whether it is too near, and whether it could be within a motion
    of ``rooms``; ``speeds`` is the most each pair moves against each other per radian [mm].
    """
    edges = np.linspace(0.0, end, START + 1)
    pairs = np.concatenate([np.tile(np.arange(count), 2), np.repeat(np.arange(count), START)])
    low = np.concatenate([np.zeros(count), np.full(count, end), np.tile(edges[:-1], count)])
    high = np.concatenate([np.zeros(count), np.full(count, end), np.tile(edges[1:], count)])
    found: dict[int, float] = {}
    while len(pairs):
        middle = 0.5 * (low + high)
        rooms = 0.5 * speeds[pairs] * (high - low)
        bad, close = near(pairs, middle, rooms)
        for pair, turned in zip(pairs[bad], middle[bad], strict=True):
            found[int(pair)] = min(float(turned), found.get(int(pair), end))
        over = np.isin(pairs, list(found)) if found else np.zeros(len(pairs), dtype=np.bool_)
        again = close & ~over & (rooms > FINEST_MM)
        pairs, low, middle, high = pairs[again], low[again], middle[again], high[again]
        pairs = np.concatenate([pairs, pairs])
        low, high = np.concatenate([low, middle]), np.concatenate([middle, high])
    return found


@dataclass(frozen=True, slots=True)
class Sections:
    """Pairs of a ring of the part, shape (pairs, corners, 2), and a tool's section; the least distance each must keep [mm];
    which swing in front and which tools rise with the die.
    """

    swing: Swing
    rings: Array
    front: Flags
    shapes: Shapes
    rises: Flags
    least: Array

    def placed(self, pairs: Ints, turned: Array) -> Array:
        """The rings at their turned angles [rad] in the frame of their tool."""
        out = self.swing.swung(self.rings[pairs], turned, front=self.front[pairs])
        out[:, :, 1] -= np.where(self.rises[pairs], self.swing.rise(turned), 0.0)[:, None]
        return out

    def speeds(self) -> Array:
        """Most a point of the ring that can meet the tool moves against it [mm per radian]."""
        far = np.array([np.abs(np.reshape(shape.bounds, (2, 2))).max(axis=0) for shape in self.shapes])
        lifted = np.where(self.rises, np.abs(self.swing.rise(np.array([0.0, self.swing.loaded]))).max(), 0.0)
        within = np.hypot(far[:, 0], far[:, 1] + lifted) + np.maximum(self.least, 0.0) + self.swing.allowance
        u = np.abs(self.rings[:, :, 0]) + self.swing.allowance / 2
        reach = np.hypot(u, self.rings[:, :, 1]).max(axis=1)
        own = 0.5 * np.minimum(reach, within) + self.swing.pivot_speed()
        return np.asarray(own + np.where(self.rises, self.swing.rise_speed(), 0.0))

    def too_near(self) -> dict[int, float]:
        """Pairs that come nearer than their least distance, with an angle [rad]."""
        if not len(self.rings):
            return {}
        boxes = shapely.bounds(self.shapes)
        shapely.prepare(self.shapes)

        def near(pairs: Ints, turned: Array, rooms: Array) -> tuple[Flags, Flags]:
            placed, box = self.placed(pairs, turned), boxes[pairs]
            low, high = placed.min(axis=1), placed.max(axis=1)
            gap = np.maximum(np.maximum(box[:, :2] - high, low - box[:, 2:]), 0.0)
            close = np.hypot(gap[:, 0], gap[:, 1]) <= self.least[pairs] + rooms
            bad = np.zeros(len(pairs), dtype=np.bool_)
            some = np.flatnonzero(close)
            if len(some):
                polygons, tools = polygons_of(placed[some]), self.shapes[pairs[some]]
                limits = self.least[pairs[some]]
                close[some] = within(tools, polygons, limits + rooms[some])
                ask = np.flatnonzero(close)
                back = np.searchsorted(some, ask)
                bad[ask] = within(tools[back], polygons[back], limits[back])
            return bad, close

        return first_nearer(len(self.rings), self.swing.loaded, self.speeds(), near)

    def depth(self, pair: int, at: float, shape: shapely.Polygon) -> tuple[float, float]:
        """How far [mm] a ring reaches into the whole tool at the worst of some turned angles (``at`` among them), and which."""
        turned, polygons = self._seen(pair, at)
        widths = np.array([narrow_width(common) for common in shapely.intersection(polygons, shape)])
        worst = int(widths.argmax())
        return float(widths[worst]), float(turned[worst])

    def nearest(self, pair: int, at: float) -> float:
        """Smallest distance [mm] of a pair at some turned angles (``at`` among them)."""
        return float(shapely.distance(self._seen(pair, at)[1], self.shapes[pair]).min())

    def _seen(self, pair: int, at: float, *, steps: int = 60) -> tuple[Array, Shapes]:
        turned = np.append(np.linspace(0.0, self.swing.loaded, steps), at)
        return turned, polygons_of(self.placed(np.full(len(turned), pair), turned))


def core(shape: shapely.Polygon) -> BaseGeometry:
    """A section without its skin."""
    return shape.buffer(-SKIN_MM, join_style="mitre")


def polygons_of(rings: Array) -> Shapes:
    """Polygons of rings of shape (n, corners, 2)."""
    made: Any = shapely.polygons(rings)
    return np.asarray(made, dtype=object)


def within(first: Shapes, second: Shapes, limits: Any) -> Flags:
    """Whether shapes are no farther apart than their limit [mm], row by row."""
    return np.asarray(shapely.dwithin(first, second, limits))


def narrow_width(shape: BaseGeometry) -> float:
    """The narrow side of the smallest rectangle around a shape [mm]; 0 where it has no area."""
    box: Any = shapely.oriented_envelope(shape) if shape.area > 0.0 else None
    if box is None:
        return 0.0
    sides = np.linalg.norm(np.diff(np.array(box.exterior.coords), axis=0), axis=1)
    return float(sides.min())
