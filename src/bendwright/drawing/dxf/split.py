"""The sheet cut into flats and bend zones: which flat lies on which side of every bend?

A bend takes the strip along its axis, as wide as its allowance, wherever the sheet carries the line. A strip that goes on
beyond the end of its line goes on to the edge when that is near; where it would run on into sheet or into another bend it ends
with its line, and the sheet would tear there. Collinear stretches that join the same two flats are one bend.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from bendwright.drawing.dxf.axes import Axis, Span
from bendwright.drawing.dxf.mitre import mitre
from bendwright.part.model import Point

RUN_ON_MM = 5.0
RUN_ON_SHARE = 0.02
BRIDGE_MM = 10.0
KNIFE_MM = 1e-6
PROBE_MM = 1e-4
TOUCH_MM = 1e-3
LEAST_FLAT_MM2 = 1e-2
LEAST_ZONE_MM2 = 1e-4
OVERLAP_MM2 = 0.05
FAR_MM = 1e5


@dataclass(frozen=True, slots=True, kw_only=True)
class ZonePart:
    """One connected stretch of a bend's sheet: the axis it belongs to, its shape, and the flats that lie left and right of it
    (-1: none).
    """

    axis: int
    shape: Polygon
    left: int
    right: int

    def span(self, axes: Sequence[Axis]) -> Span:
        """From where to where along its axis."""
        along = [axes[self.axis].local(point)[0] for point in self.shape.exterior.coords]
        return (min(along), max(along))


@dataclass(frozen=True, slots=True, kw_only=True)
class Split:
    """Flats (that with the largest outline first), zone parts, the ends at which a bend would tear the sheet (axis, place), and
    zones that lie over each other (axes, mm2).
    """

    flats: tuple[Polygon, ...]
    parts: tuple[ZonePart, ...]
    torn: tuple[tuple[int, Point], ...] = ()
    overlaps: tuple[tuple[int, int, float], ...] = ()


@dataclass(slots=True)
class _Cutting:
    """What has been cut so far."""

    sheet: Polygon
    axes: Sequence[Axis]
    halves: Sequence[float]
    torn: list[tuple[int, Point]] = field(default_factory=list)
    overlaps: list[tuple[int, int, float]] = field(default_factory=list)
    zones: list[tuple[int, Polygon]] = field(default_factory=list)
    rips: list[LineString] = field(default_factory=list)


def split(sheet: Polygon, axes: Sequence[Axis], widths_mm: Sequence[float]) -> Split:
    """Cut the sheet along these axes, each with a zone of its width."""
    cutting = _Cutting(sheet, axes, [0.5 * width for width in widths_mm])
    for number in sorted(range(len(axes)), key=lambda n: -axes[n].length_mm):
        cutting.zones += [(number, zone) for zone in _zones(cutting, number)]
    _share_out(cutting)
    cuts = [zone for _, zone in cutting.zones] + cutting.rips
    knife = shapely.union_all([item.buffer(KNIFE_MM, join_style="mitre", cap_style="square") for item in cuts])
    flats = [flat for flat in _polygons(sheet.difference(knife)) if flat.area > LEAST_FLAT_MM2]
    flats = [_snapped(flat, cutting) for flat in sorted(flats, key=lambda flat: -Polygon(flat.exterior).area)]
    tree = shapely.STRtree(flats)
    parts = [part for number, zone in cutting.zones for part in _sided(cutting, number, zone, flats, tree)]
    return Split(flats=tuple(flats), parts=tuple(parts), torn=tuple(cutting.torn), overlaps=tuple(cutting.overlaps))


def _polygons(shape: BaseGeometry) -> list[Polygon]:
    return [item for item in getattr(shape, "geoms", [shape]) if isinstance(item, Polygon) and not item.is_empty]


def _strip(axis: Axis, low: float, high: float, half: float) -> Polygon:
    corners = ((low, -half), (high, -half), (high, half), (low, half))
    return Polygon([axis.at(s, d) for s, d in corners])


def _zones(cutting: _Cutting, number: int) -> list[Polygon]:
    """The stretches of sheet that a bend takes."""
    axis, half = cutting.axes[number], cutting.halves[number]
    low, high = axis.span
    whole = _strip(axis, low - FAR_MM, high + FAR_MM, half)
    out: list[Polygon] = []
    for shape in _polygons(cutting.sheet.intersection(whole)):
        for first, last in _runs(axis, shape):
            out += _ended(cutting, number, shape, first, last)
    return out


def _runs(axis: Axis, shape: Polygon) -> list[Span]:
    """The stretches of the axis drawn on this shape; short gaps between them are bent over."""
    carried = []
    for low, high in axis.stretches:
        on = shape.intersection(LineString([axis.at(low), axis.at(high)]))
        if on.length > TOUCH_MM:
            carried.append((low, high))
    out: list[Span] = []
    for low, high in carried:
        if out and low - out[-1][1] <= BRIDGE_MM:
            out[-1] = (out[-1][0], high)
        else:
            out.append((low, high))
    return out


def _ended(cutting: _Cutting, number: int, shape: Polygon, low: float, high: float) -> list[Polygon]:
    """The shape as far as the bend goes from ``low`` to ``high``."""
    axis, half = cutting.axes[number], cutting.halves[number]
    along = [axis.local(point)[0] for point in shape.exterior.coords]
    limit = max(RUN_ON_MM, RUN_ON_SHARE * (high - low), 4.0 * half)
    first = low - _run_on(cutting, number, shape, (low, min(along)), limit)
    last = high + _run_on(cutting, number, shape, (high, max(along)), limit)
    drawn = LineString([axis.at(low), axis.at(high)])
    pieces = _polygons(shape.intersection(_strip(axis, first, last, 2.0 * half)))
    return [piece for piece in pieces if piece.area > LEAST_ZONE_MM2 and piece.distance(drawn) < TOUCH_MM]


def _run_on(cutting: _Cutting, number: int, shape: Polygon, stretch: Span, limit: float) -> float:
    """How far beyond the end of its line a bend goes on; ``stretch`` runs from that end to the farthest point of the shape.

    To the farthest point when that is near; else to where the axis leaves the sheet; not at all where that is far too: there the
    sheet tears.
    """
    axis = cutting.axes[number]
    stop, far = stretch
    way = 1.0 if far > stop else -1.0
    if abs(far - stop) <= limit and not _meets_other(cutting, number, stop, far):
        return abs(far - stop) + 1.0
    ray = shape.intersection(LineString([axis.at(stop), axis.at(stop + way * (limit + 1.0))]))
    runs = [_away(axis, piece, stop) for piece in getattr(ray, "geoms", [ray])]
    reach = max((last for first, last in runs if first < TOUCH_MM), default=0.0)
    if _meets_other(cutting, number, stop, stop + way * min(reach, limit)):
        return 0.0
    if reach <= limit:
        return reach
    cutting.torn.append((number, axis.at(stop)))
    _rip(cutting, number, stop)
    return 0.0


def _rip(cutting: _Cutting, number: int, stop: float) -> None:
    """Where a bend ends within the sheet the sheet tears, square to the line, to the edge if that is near on one side."""
    axis, half = cutting.axes[number], cutting.halves[number]
    for way in (1.0, -1.0):
        tear = LineString([axis.at(stop), axis.at(stop, way * (half + RUN_ON_MM))])
        rim = tear.intersection(cutting.sheet.boundary)
        if not rim.is_empty:
            reach = min(abs(axis.local(point)[1]) for point in shapely.get_coordinates(rim).tolist())
            cutting.rips.append(LineString([axis.at(stop), axis.at(stop, way * (reach + TOUCH_MM))]))


def _away(axis: Axis, piece: BaseGeometry, stop: float) -> Span:
    """Nearest and farthest distance of a piece of the axis from a place on it."""
    away = [abs(axis.local(point)[0] - stop) for point in getattr(piece, "coords", ())] or [FAR_MM]
    return (min(away), max(away))


def _meets_other(cutting: _Cutting, number: int, low: float, high: float) -> bool:
    """Does another bend's line touch this stretch of the axis?"""
    axis = cutting.axes[number]
    stretch = LineString([axis.at(low), axis.at(high)])
    return any(
        stretch.distance(LineString([line.at(a), line.at(b)])) < 10.0 * TOUCH_MM
        for other, line in enumerate(cutting.axes)
        if other != number
        for a, b in line.stretches
    )


def _share_out(cutting: _Cutting) -> None:
    """Where zones lie over each other the sheet is shared out: along the mitre where two bends meet at their ends, else to the
    longer one.
    """
    zones = cutting.zones
    for i in range(len(zones)):
        for j in range(i + 1, len(zones)):
            (first, one), (second, other) = zones[i], zones[j]
            common = one.intersection(other).area if one.intersects(other) else 0.0
            if common > OVERLAP_MM2 and first != second:
                cutting.overlaps.append((first, second, common))
            if common > 0.0:
                side = mitre(cutting.axes[first], cutting.axes[second], cutting.halves[first], cutting.halves[second])
                if side is not None:
                    one = _without(one, other.difference(side))
                zones[i] = (first, one)
                zones[j] = (second, _without(other, one if side is None else one.intersection(side)))
    cutting.zones = [(number, zone) for number, zone in zones if zone.area > LEAST_ZONE_MM2]


def _without(zone: Polygon, taken: BaseGeometry) -> Polygon:
    rest = _polygons(zone.difference(taken.buffer(KNIFE_MM, join_style="mitre")))
    return max(rest, key=lambda item: item.area, default=Polygon())


def _snapped(flat: Polygon, cutting: _Cutting) -> Polygon:
    """The flat with the corners that lie a knife's width off a tangent line put on it."""

    def onto(points: object) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
        out = np.array(points, dtype=np.float64)
        for axis, half in zip(cutting.axes, cutting.halves, strict=True):
            normal = np.array([-axis.along[1], axis.along[0]])
            off = (out - np.array(axis.origin)) @ normal
            for side in (-half, half):
                near = np.abs(off - side) <= 3.0 * KNIFE_MM
                out[near] += np.outer(side - off[near], normal)
        return out

    snapped = shapely.transform(flat, onto)
    return snapped if snapped.is_valid else flat


def _sided(
    cutting: _Cutting, number: int, zone: Polygon, flats: Sequence[Polygon], tree: shapely.STRtree
) -> list[ZonePart]:
    """The zone with its neighbours; cut across, half-way, where two flats lie side by side along one edge of it."""
    axis, half = cutting.axes[number], cutting.halves[number]
    near = [int(n) for n in tree.query(zone.buffer(TOUCH_MM))]
    sides = [_contacts(axis, side * half, zone, flats, near) for side in (1.0, -1.0)]
    cuts = sorted(cut for contacts in sides for cut in _between(contacts))
    if not cuts:
        left, right = (_longest(contacts) for contacts in sides)
        return [ZonePart(axis=number, shape=zone, left=left, right=right)]
    stops = [-FAR_MM, *cuts, FAR_MM]
    out = []
    for low, high in pairwise(stops):
        for piece in _polygons(zone.intersection(_strip(axis, low, high, 2.0 * half))):
            if piece.area > LEAST_ZONE_MM2:
                left, right = (_longest(_contacts(axis, side * half, piece, flats, near)) for side in (1.0, -1.0))
                out.append(ZonePart(axis=number, shape=piece, left=left, right=right))
    return out


def _contacts(
    axis: Axis, off: float, zone: Polygon, flats: Sequence[Polygon], near: Sequence[int]
) -> list[tuple[float, float, int]]:
    """Where flats lie against one tangent line of a zone: (from, to, flat), in order."""
    way = PROBE_MM if off > 0.0 else -PROBE_MM
    own = _stretches(axis, off - way, zone)
    out = []
    for flat in near:
        for low, high in _stretches(axis, off + way, flats[flat]):
            for a, b in own:
                if min(high, b) - max(low, a) > TOUCH_MM:
                    out.append((max(low, a), min(high, b), flat))
    return sorted(out)


def _stretches(axis: Axis, off: float, shape: Polygon) -> list[Span]:
    x0, y0, x1, y1 = shape.bounds
    along = [axis.local(corner)[0] for corner in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))]
    probe = LineString([axis.at(min(along) - 1.0, off), axis.at(max(along) + 1.0, off)])
    cut = shape.intersection(probe)
    out = []
    for piece in getattr(cut, "geoms", [cut]):
        ends = [axis.local(point)[0] for point in getattr(piece, "coords", ())]
        if len(ends) > 1:
            out.append((min(ends), max(ends)))
    return sorted(out)


def _between(contacts: Sequence[tuple[float, float, int]]) -> list[float]:
    """Half-way places between neighbouring contacts with different flats."""
    return [0.5 * (b + c) for (_, b, flat), (c, _, other) in pairwise(contacts) if flat != other]


def _longest(contacts: Sequence[tuple[float, float, int]]) -> int:
    """The flat with the longest contact; -1 without any."""
    lengths: dict[int, float] = {}
    for low, high, flat in contacts:
        lengths[flat] = lengths.get(flat, 0.0) + high - low
    return max(lengths, key=lambda flat: lengths[flat], default=-1)
