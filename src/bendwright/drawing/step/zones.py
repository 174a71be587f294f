"""The sheet of one bend, unrolled and shared out between the pairs of flats it joins.

Unrolled, a bend's sheet is a shape in (distance along the axis, share of the angle). Inner and outer face should give the
same shape; where they do not (a hole drilled straight through the finished bend) the sheet is what either of them has.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from shapely import Polygon, box
from shapely.geometry.base import BaseGeometry

from bendwright.drawing.step.bent_faces import Ruling, Unrolled
from bendwright.geometry.rigid import Array
from bendwright.part.model import Point, ZonePiece
from bendwright.part.placing import largest

CLEAN_MM = 2e-4
DIFFER_MM = 0.02
SNAP = 2e-5


@dataclass(frozen=True, slots=True)
class SeenFold:
    """A bend between two flats as seen in space. ``inner_side`` is the side of the near flat that the bend closes on.

    ``near_line`` and ``far_line`` are the ends of the two tangent lines in space, shape (2, 3) each, at the same distances
    along the axis; ``onward`` and ``far_onward`` lead from them toward the far flat. ``zone`` counts distances from the first
    end. ``volume_mm3`` is what the sheet of the bend has as modelled. ``uneven_mm`` > 0 tells how far inner and outer outline
    differ; ``roll`` numbers the bend found, which may join several pairs.
    """

    near: int
    far: int
    inner_side: int
    far_inner_side: int
    near_line: Array
    far_line: Array
    onward: Array
    far_onward: Array
    turned_deg: float
    inside_radius_mm: float
    zone: tuple[ZonePiece, ...]
    volume_mm3: float
    uneven_mm: float = 0.0
    edges: frozenset[int] = frozenset()
    roll: int = -1


def seen_folds(seen: Unrolled, thickness_mm: float) -> list[SeenFold]:
    """One fold for each pair of flats that the bend's sheet joins."""
    roll = seen.roll
    scale = (roll.inside_radius_mm + 0.5 * thickness_mm) * seen.turned_rad
    inner = _sheet(seen.rings_inner, seen.turned_rad, scale)
    outer = _sheet(seen.rings_outer, seen.turned_rad, scale)
    sheet, uneven = _agreed(inner, outer)
    volume_per = thickness_mm * scale * (inner.area + outer.area) / (2.0 if not inner.is_empty else 1.0) / scale
    pairs = _pairs(seen)
    whole = sum(part.area for part in _cut(sheet, pairs))
    out = []
    for (near, far, _, _), part in zip(pairs, _cut(sheet, pairs), strict=True):
        share = part.area / whole if whole else 0.0
        fold = _fold(seen, near, far, part, scale, volume_per * share, uneven)
        if fold is not None:
            out.append(fold)
    return out


def _sheet(rings: Sequence[Sequence[Array]], turned_rad: float, scale: float) -> BaseGeometry:
    """The faces of one side joined, in (along, share x scale) [mm]."""
    shapes = []
    for face in rings:
        loops = sorted((_ring(ring, turned_rad, scale) for ring in face), key=lambda shape: -shape.area)
        shapes += [loops[0].difference(shapely.union_all(loops[1:]))] if loops else []
    if len(shapes) == 1:
        return shapes[0]
    grown = shapely.union_all([shape.buffer(SNAP, join_style="mitre") for shape in shapes])
    return grown.buffer(-SNAP, join_style="mitre")


def _ring(ring: Array, turned_rad: float, scale: float) -> Polygon:
    share = ring[:, 1] / turned_rad
    share = np.where(np.abs(share) < SNAP, 0.0, np.where(np.abs(share - 1.0) < SNAP, 1.0, share))
    return Polygon(np.column_stack([ring[:, 0], share * scale])).buffer(0.0)


def _agreed(inner: BaseGeometry, outer: BaseGeometry) -> tuple[BaseGeometry, float]:
    """The sheet, and how far [mm] the two sides' outlines are apart (0 when they agree or one is sharp)."""
    if inner.is_empty:
        return outer, 0.0
    if outer.is_empty:
        return inner, 0.0
    apart = inner.hausdorff_distance(outer)
    if apart < DIFFER_MM:
        return inner, 0.0
    return inner.union(outer), float(apart)


def _pairs(seen: Unrolled) -> list[tuple[int, int, float, float]]:
    """Pairs (near flat, far flat, from, to along the axis) that face each other, sorted along the axis."""
    near, far = _spans(seen, seen.near), _spans(seen, seen.far)
    found: dict[tuple[int, int], tuple[float, float]] = {}
    for flat, low, high in near:
        for other, first, last in far:
            a, b = max(low, first), min(high, last)
            if b - a > 1e-4:
                old = found.get((flat, other), (a, b))
                found[flat, other] = (min(old[0], a), max(old[1], b))
    if not found and near and far:
        found[near[0][0], far[0][0]] = (near[0][1], near[0][2])
    return sorted(((i, j, a, b) for (i, j), (a, b) in found.items()), key=lambda item: item[2] + item[3])


def _spans(seen: Unrolled, rulings: Sequence[Ruling]) -> list[tuple[int, float, float]]:
    out = []
    for ruling in rulings:
        along = (ruling.points - seen.roll.point) @ seen.roll.axis
        out.append((ruling.flat, float(along.min()), float(along.max())))
    return out


def _cut(sheet: BaseGeometry, pairs: Sequence[tuple[int, int, float, float]]) -> Iterator[BaseGeometry]:
    """The sheet cut square to the axis half-way between neighbouring pairs."""
    if len(pairs) == 1:
        yield sheet
        return
    cuts = [-1e6, *(0.5 * (a[3] + b[2]) for a, b in pairwise(pairs)), 1e6]
    for low, high in pairwise(cuts):
        yield sheet.intersection(box(low, -1e5, high, 1e5))


def _fold(
    seen: Unrolled, near: int, far: int, part: BaseGeometry, scale: float, volume: float, uneven: float
) -> SeenFold | None:
    pieces = [piece for piece in getattr(part, "geoms", [part]) if isinstance(piece, Polygon) and piece.area > 1e-4]
    if not pieces:
        return None
    low, high = min(p.bounds[0] for p in pieces), max(p.bounds[2] for p in pieces)
    roll = seen.roll
    ends = roll.point + np.outer([low, high], roll.axis)
    radius = roll.inside_radius_mm
    last = math.cos(seen.turned_rad) * seen.start + math.sin(seen.turned_rad) * seen.onward
    return SeenFold(
        near,
        far,
        _inner_side(seen, near),
        _inner_side(seen, far),
        ends + radius * seen.start,
        ends + radius * last,
        seen.onward,
        math.cos(seen.turned_rad) * seen.onward - math.sin(seen.turned_rad) * seen.start,
        math.degrees(seen.turned_rad),
        radius,
        tuple(_piece(piece, low, scale) for piece in pieces),
        volume,
        uneven,
        frozenset(ruling.edge for ruling in (*seen.near, *seen.far) if ruling.flat in (near, far)),
    )


def _inner_side(seen: Unrolled, flat: int) -> int:
    for ruling in seen.roll.inner_rulings:
        if ruling.flat == flat:
            return ruling.side
    return next(1 - ruling.side for ruling in seen.roll.outer_rulings if ruling.flat == flat)


def _piece(piece: Polygon, low: float, scale: float) -> ZonePiece:
    turned = shapely.geometry.polygon.orient(largest(piece.simplify(CLEAN_MM)))

    def ring(coords: object) -> tuple[Point, ...]:
        points = [(float(x) - low, _snapped(float(y) / scale)) for x, y in coords]  # type: ignore[attr-defined]
        return tuple(points[:-1])

    return ZonePiece(
        outline=ring(turned.exterior.coords), windows=tuple(ring(inner.coords) for inner in turned.interiors)
    )


def _snapped(share: float) -> float:
    if abs(share) < 10 * SNAP:
        return 0.0
    return 1.0 if abs(share - 1.0) < 10 * SNAP else share
