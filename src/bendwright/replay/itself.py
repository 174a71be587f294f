"""Does the part run into itself while one bend is made? Convex pieces of its two sides, parted by a plane or not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bendwright.replay.passing import TOLERANCE_MM, Flags, Ints, first_nearer
from bendwright.replay.solids import Array, Solid, padded
from bendwright.replay.swing import Swing

ALIKE = 1e-4
NONE_MM = -1e9


def directions(corners: Array) -> Array:
    """The different directions of a piece's edges, unit vectors (k, 3)."""
    n = len(corners) // 2
    rings = [corners[:n], corners[n:]]
    edges = np.vstack([np.roll(ring, -1, axis=0) - ring for ring in rings] + [rings[1] - rings[0]])
    lengths = np.linalg.norm(edges, axis=1)
    edges = edges[lengths > 1e-6] / lengths[lengths > 1e-6, None]
    alike = np.abs(edges @ edges.T) > 1.0 - ALIKE * ALIKE
    return np.asarray(edges[alike.argmax(axis=1) == np.arange(len(edges))])


def parted_mm(a: Array, along_a: Array, b: Array, along_b: Array) -> Array:
    """Widest separation of pairs of convex pieces, corners (n, p, 3), edge directions (n, k, 3); negative = least overlap [mm].

    Two convex bodies that do not meet are parted along a normal of a face of one of them or of an edge of each.
    """
    crosses = [_crosses(along_a, along_a), _crosses(along_b, along_b), _crosses(along_a, along_b)]
    axes = np.concatenate(crosses, axis=1)
    lengths = np.linalg.norm(axes, axis=2)
    axes = axes / np.maximum(lengths, 1e-12)[:, :, None]
    on_a, on_b = np.einsum("nkr,npr->nkp", axes, a), np.einsum("nkr,npr->nkp", axes, b)
    gaps = np.maximum(on_b.min(axis=2) - on_a.max(axis=2), on_a.min(axis=2) - on_b.max(axis=2))
    return np.asarray(np.where(lengths > 1e-4, gaps, NONE_MM).max(axis=1))


def _crosses(first: Array, second: Array) -> Array:
    whole = np.cross(first[:, :, None, :], second[:, None, :, :])
    return np.asarray(whole.reshape(len(first), -1, 3))


@dataclass(frozen=True, slots=True)
class Pairs:
    """Pieces at the gauge and in front that may meet, as they lie flat; row by row."""

    swing: Swing
    back: Array
    back_along: Array
    front: Array
    front_along: Array

    def gaps(self, pairs: Ints, turned: Array) -> Array:
        """Separation of pairs [mm] at their turned angles [rad]."""
        back, front = (self._posed(item[pairs], turned, front=side) for item, side in self._sides())
        return parted_mm(
            back,
            turned_along(self.back_along[pairs], turned / 2),
            front,
            turned_along(self.front_along[pairs], -turned / 2),
        )

    def _sides(self) -> tuple[tuple[Array, bool], tuple[Array, bool]]:
        return (self.back, False), (self.front, True)

    def _posed(self, corners: Array, turned: Array, *, front: bool) -> Array:
        return self.swing.swung(corners, turned, front=np.full(len(corners), front))

    def overlaps(self) -> dict[int, float]:
        """Pairs that overlap by more than the tolerance, with an angle [rad]."""
        if not len(self.back):
            return {}
        reach = [np.hypot(item[:, :, 0], item[:, :, 1]).max(axis=1) for item, _ in self._sides()]
        within = np.minimum(reach[0], reach[1]) + self.swing.allowance
        speeds = within + 2.0 * self.swing.pivot_speed()

        def near(pairs: Ints, turned: Array, rooms: Array) -> tuple[Flags, Flags]:
            gaps = self.box_gaps(pairs, turned)
            some = np.flatnonzero(gaps - rooms <= -TOLERANCE_MM)
            if len(some):
                gaps[some] = self.gaps(pairs[some], turned[some])
            return gaps < -TOLERANCE_MM, gaps - rooms <= -TOLERANCE_MM

        return first_nearer(len(self.back), self.swing.loaded, speeds, near)

    def box_gaps(self, pairs: Ints, turned: Array) -> Array:
        """Separation of pairs along the three axes: no more than the true one."""
        back, front = (self._posed(item[pairs], turned, front=side) for item, side in self._sides())
        apart = np.maximum(back.min(axis=1) - front.max(axis=1), front.min(axis=1) - back.max(axis=1))
        return np.asarray(apart.max(axis=1))


def turned_along(along: Array, turned: Array) -> Array:
    """Directions turned about Z by an angle of their own each."""
    c, s = np.cos(turned)[:, None], np.sin(turned)[:, None]
    out = along.copy()
    out[:, :, 0] = c * along[:, :, 0] - s * along[:, :, 1]
    out[:, :, 1] = s * along[:, :, 0] + c * along[:, :, 1]
    return out


def pairs_of(
    swing: Swing, back: Sequence[Solid], front: Sequence[Solid], joined: frozenset[frozenset[str]]
) -> tuple[Pairs, list[tuple[Solid, Solid]]]:
    """Pairs of pieces that share a stretch along the bend and are not the two flanges that the bend itself joins."""
    low = [np.array([solid.corners[:, 2].min() for solid in side]) for side in (back, front)]
    high = [np.array([solid.corners[:, 2].max() for solid in side]) for side in (back, front)]
    common = np.minimum(high[0][:, None], high[1]) - np.maximum(low[0][:, None], low[1])
    chosen = [(int(i), int(j)) for i, j in np.argwhere(common > TOLERANCE_MM)]
    chosen = [(i, j) for i, j in chosen if frozenset((back[i].owner, front[j].owner)) not in joined]
    if not chosen:
        none = np.zeros((0, 1, 3))
        return Pairs(swing, none, none, none, none), []
    first, second = (np.array(side) for side in zip(*chosen, strict=True))
    corners = [padded([solid.corners for solid in side]) for side in (back, front)]
    along = [padded([directions(solid.corners) for solid in side]) for side in (back, front)]
    pairs = Pairs(swing, corners[0][first], along[0][first], corners[1][second], along[1][second])
    return pairs, [(back[i], front[j]) for i, j in chosen]
