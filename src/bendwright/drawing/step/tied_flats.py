"""Flats in one plane that several bends tie together: one flange in pieces, as a window right across it leaves it.

A window over two bends parts the web between them. Its pieces lie in one plane, and each bend beside them goes through all of
them; laid flat they stay where they are. So they are one flange, and its bends are one each.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from bendwright.drawing.step.skeleton import SAME_MM, Skeleton
from bendwright.drawing.step.thickness import Flat, Sides
from bendwright.drawing.step.zones import SeenFold

PARALLEL = 1.0 - 1e-7
Rings = Callable[[set[int], Sequence[SeenFold]], list[set[int]]]


def tied(skeleton: Skeleton, sides: Sides, folds: Sequence[SeenFold], rings: Rings) -> tuple[Sides, list[SeenFold]]:
    """Sides and folds with the pieces of parted flanges joined, as far as closed rings of flats ask for it.

    ``rings`` finds the flats that stay joined whichever one fold is cut. A flat that was joined to another stays in the list,
    empty.
    """
    now, left = sides, list(folds)
    while True:
        pair = _pair(skeleton, now, left, rings)
        if pair is None:
            return now, left
        now, left = _joined(skeleton, now, left, *pair)


def _pair(skeleton: Skeleton, sides: Sides, folds: Sequence[SeenFold], rings: Rings) -> tuple[int, int] | None:
    """Two flats of a ring in one plane that two different bends have in common."""
    for ring in rings(set(range(len(sides.flats))), folds):
        flats = sorted(flat for flat in ring if sides.flats[flat].seam is None)
        for n, first in enumerate(flats):
            for second in flats[n + 1 :]:
                shared = _rolls(folds, first) & _rolls(folds, second)
                if len(shared) > 1 and _one_plane(skeleton, sides.flats[first], sides.flats[second]):
                    return first, second
    return None


def _rolls(folds: Sequence[SeenFold], flat: int) -> set[int]:
    return {fold.roll for fold in folds if flat in (fold.near, fold.far)}


def _one_plane(skeleton: Skeleton, first: Flat, second: Flat) -> bool:
    return _same_side(skeleton, first, second) is not None


def _same_side(skeleton: Skeleton, first: Flat, second: Flat) -> int | None:
    """The side of the second flat that lies in the plane of side 0 of the first; None when neither does."""
    face = skeleton.faces[first.sides[0][0]]
    for side in (0, 1):
        other = skeleton.faces[second.sides[side][0]]
        apart = np.dot(np.array(face.axis), np.array(other.origin) - np.array(face.origin))
        if np.dot(face.axis, other.axis) > PARALLEL and abs(apart) < SAME_MM:
            return side
    return None


def _joined(
    skeleton: Skeleton, sides: Sides, folds: Sequence[SeenFold], first: int, second: int
) -> tuple[Sides, list[SeenFold]]:
    """The second flat joined to the first; folds of one bend that now join the same flats become one."""
    one, two = sides.flats[first], sides.flats[second]
    side = _same_side(skeleton, one, two)
    assert side is not None, "only flats in one plane are joined"
    both = (one.sides[0] + two.sides[side], one.sides[1] + two.sides[1 - side])
    flats = list(sides.flats)
    flats[first] = replace(one, sides=both, area_mm2=one.area_mm2 + two.area_mm2)
    flats[second] = replace(two, sides=((), ()), area_mm2=0.0)
    moved = [_renamed(fold, second, first, turned=side == 1) for fold in folds]
    out: list[SeenFold] = []
    for fold in moved:
        home = next((n for n, o in enumerate(out) if (o.roll, o.near, o.far) == (fold.roll, fold.near, fold.far)), None)
        if home is None or fold.roll < 0:
            out.append(fold)
        else:
            out[home] = _one_fold(out[home], fold)
    return replace(sides, flats=tuple(flats)), out


def _renamed(fold: SeenFold, old: int, new: int, *, turned: bool) -> SeenFold:
    """The fold with a flat renamed; ``turned``: the new one counts its sides the other way round."""
    if fold.near == old:
        fold = replace(fold, near=new, inner_side=1 - fold.inner_side if turned else fold.inner_side)
    if fold.far == old:
        fold = replace(fold, far=new, far_inner_side=1 - fold.far_inner_side if turned else fold.far_inner_side)
    return fold


def _one_fold(first: SeenFold, second: SeenFold) -> SeenFold:
    """Two stretches of one bend as one fold over both."""
    axis = first.near_line[1] - first.near_line[0]
    axis = axis / np.linalg.norm(axis)
    ends = [float(np.dot(point - first.near_line[0], axis)) for fold in (first, second) for point in fold.near_line]
    low, high = min(ends), max(ends)
    zone = tuple(
        replace(
            piece,
            outline=tuple((s + start - low, w) for s, w in piece.outline),
            windows=tuple(tuple((s + start - low, w) for s, w in window) for window in piece.windows),
        )
        for fold, start in ((first, 0.0), (second, ends[2]))
        for piece in fold.zone
    )
    spots = np.outer([low, high], axis)
    return replace(
        first,
        near_line=first.near_line[0] + spots,
        far_line=first.far_line[0] + spots,
        zone=zone,
        volume_mm3=first.volume_mm3 + second.volume_mm3,
        uneven_mm=max(first.uneven_mm, second.uneven_mm),
        edges=first.edges | second.edges,
    )
