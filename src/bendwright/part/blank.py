"""How big is the blank, and where do the bend lines lie on it?

Between its bends a flange stays flat from tangent line to tangent line; between two flanges lies a bend zone as wide as
the bend allowance. Each child frame therefore moves toward its parent by the bend deduction, so that
flat length = sum of outside lengths - sum of deductions.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from bendwright.findings import Finding, NotPossibleError, found
from bendwright.part.bend_size import BendSize
from bendwright.part.blank_model import BendLine, Blank, PlacedFlat
from bendwright.part.model import Bend, Circle, Cutout, Feature, Flange, Part, Point, Slot
from bendwright.part.placing import NEAR_MM, Frame, Line, common


@dataclass(frozen=True, slots=True)
class _Laid:
    """A flange as laid out: its flat piece in its own frame and where that frame lies."""

    flange: Flange
    flat: Polygon
    frame: Frame


def make_blank(part: Part, sizes: Mapping[str, BendSize], *, thickness_mm: float) -> Blank:
    """Lay the part out flat with the given bend sizes (by bend id).

    A child that would be wider than what its parent's neighbouring bends leave of the edge is trimmed to it (open
    corners). ``overlap_mm2`` > 0 says that the layout overlaps itself: such a blank cannot be cut. Raises
    NotPossibleError (M101) when the bends take the whole of a flange.
    """
    laid, lines, zones = _lay_out(part, sizes)
    placed = [item.frame.polygon(item.flat) for item in laid]
    bridged = shapely.union_all([*placed, *(zone.buffer(1e-5, join_style="mitre") for zone in zones)])
    joined = max(getattr(bridged, "geoms", [bridged]), key=lambda shape: shape.area)
    joined = joined.simplify(5e-5)
    overlap = sum(shape.area for shape in placed) + sum(zone.area for zone in zones) - joined.area
    x0, y0, x1, y1 = joined.bounds
    moved = Frame((-x0, -y0), 0.0)
    flats = tuple(_placed(item, moved) for item in laid)
    features = tuple(feature for flat in flats for feature in flat.features)
    ring = shapely.geometry.polygon.orient(moved.polygon(joined))
    windows = tuple(_ring(inner.coords) for inner in ring.interiors if Polygon(inner).area > 1e-3)
    return Blank(
        outline=_ring(ring.exterior.coords),
        windows=windows,
        features=features,
        flats=flats,
        bend_lines=tuple(replace(line, start=moved.point(line.start), end=moved.point(line.end)) for line in lines),
        sizes=tuple(sizes[bend.id] for bend in part.bends),
        thickness_mm=thickness_mm,
        width_mm=x1 - x0,
        height_mm=y1 - y0,
        area_mm2=Polygon(ring.exterior, windows).area - sum(feature_area_mm2(feature) for feature in features),
        overlap_mm2=max(0.0, overlap) if overlap > 0.01 else 0.0,
    )


def feature_area_mm2(feature: Feature) -> float:
    """Area of a hole, slot or window [mm2]."""
    if isinstance(feature, Circle):
        return math.pi * feature.diameter_mm**2 / 4.0
    if isinstance(feature, Slot):
        straight = feature.length_mm - feature.width_mm
        return straight * feature.width_mm + math.pi * feature.width_mm**2 / 4.0
    return float(Polygon(feature.points).area)


def move_feature(feature: Feature, frame: Frame) -> Feature:
    """The feature as seen after placing its frame."""
    if isinstance(feature, Cutout):
        return replace(feature, points=tuple(frame.point(point) for point in feature.points))
    if isinstance(feature, Slot):
        turned = feature.axis_deg + math.degrees(frame.angle_rad)
        return replace(feature, centre=frame.point(feature.centre), axis_deg=turned)
    return replace(feature, centre=frame.point(feature.centre))


def _lay_out(part: Part, sizes: Mapping[str, BendSize]) -> tuple[list[_Laid], list[BendLine], list[Polygon]]:
    root = part.flanges[0]
    waiting: dict[str, tuple[Polygon, Frame]] = {root.id: (Polygon(root.outline), Frame((0.0, 0.0), 0.0))}
    laid: list[_Laid] = []
    lines: dict[str, BendLine] = {}
    zones: list[Polygon] = []
    order = [root.id, *(bend.child for bend in part.bends)]
    for flange_id in order:
        outline, frame = waiting.pop(flange_id)
        below = [bend for bend in part.bends if bend.parent == flange_id]
        flat = outline
        for bend in below:
            line = Line.of(bend)
            flat = _largest(
                flat.difference(line.strip(-NEAR_MM, line.length + NEAR_MM, -sizes[bend.id].setback_mm, NEAR_MM))
            )
        if flat.is_empty or outline.is_empty:
            raise NotPossibleError(_no_flat(part, flange_id, sizes))
        laid.append(_Laid(part.flange(flange_id), flat, frame))
        for bend in below:
            child, spans = _child(part, bend, sizes[bend.id], flat)
            if not spans:
                where = f"bend {bend.id}"
                raise NotPossibleError(found("M106", where=where, bend=bend.id, parent=bend.parent, child=bend.child))
            waiting[bend.child] = (child, frame.after(Line.of(bend).child_frame(sizes[bend.id].bend_deduction_mm)))
            lines[bend.id], made = _bend_line(bend, sizes[bend.id], frame, spans)
            zones.extend(made)
    return laid, [lines[bend.id] for bend in part.bends], zones


def _no_flat(part: Part, flange_id: str, sizes: Mapping[str, BendSize]) -> Finding:
    outline = part.flange(flange_id).outline
    own = [bend for bend in part.bends if flange_id in (bend.parent, bend.child)]
    have = max(y for _, y in outline) - min(y for _, y in outline)
    take = sum(sizes[bend.id].setback_mm for bend in own)
    where = f"flange {flange_id}"
    return found("M101", where=where, flange=flange_id, have=have, bends=", ".join(b.id for b in own), take=take)


def _child(part: Part, bend: Bend, size: BendSize, flat: Polygon) -> tuple[Polygon, list[tuple[float, float]]]:
    """The child's outline without its half of the bend, trimmed at corners, and the stretches with material."""
    line = Line.of(bend)
    probe = -size.setback_mm - 10 * NEAR_MM
    left = line.material(flat, probe)
    child = Polygon(part.flange(bend.child).outline)
    x0, _, x1, _ = child.bounds
    if left and x0 > -0.01 and x1 < line.length + 0.01:
        drawn = Polygon(part.flange(bend.parent).outline)
        whole = line.material(drawn.difference(line.strip(0, line.length, -size.setback_mm, 0.0)), probe)
        child = _trim(child, line, whole, left)
    cut = Polygon([(0, -1), (line.length, -1), (line.length, size.setback_mm), (0, size.setback_mm)])
    child = _largest(child.difference(cut.buffer(NEAR_MM, join_style="mitre")))
    axis = Line((line.length, 0.0), line.length, (-1.0, 0.0), (0.0, 1.0))
    right = axis.material(child, size.setback_mm + 10 * NEAR_MM)
    nominal = [(0.0, line.length)]
    return child, common(common(left, right), nominal)


def _trim(child: Polygon, line: Line, whole: list[tuple[float, float]], left: list[tuple[float, float]]) -> Polygon:
    """Cut from the child what other bends took from its edge (``whole`` as drawn, ``left`` what remains)."""
    low = left[0][0] if left[0][0] > whole[0][0] + NEAR_MM else -1e5
    high = left[-1][1] if left[-1][1] < whole[-1][1] - NEAR_MM else 1e5
    x0, x1 = line.length - high, line.length - low
    return _largest(child.intersection(Polygon([(x0, -1e5), (x1, -1e5), (x1, 1e5), (x0, 1e5)])))


def _bend_line(
    bend: Bend, size: BendSize, frame: Frame, spans: list[tuple[float, float]]
) -> tuple[BendLine, list[Polygon]]:
    line = Line.of(bend)
    inner = -size.setback_mm
    outer = inner + size.bend_allowance_mm
    middle = 0.5 * (inner + outer)
    zones = [frame.polygon(line.strip(low, high, inner, outer)) for low, high in spans]
    return (
        BendLine(
            bend_id=bend.id,
            start=frame.point(line.at(0.0, middle)),
            end=frame.point(line.at(line.length, middle)),
            spans=tuple(spans),
            direction=bend.direction,
            turned_deg=bend.turned_deg,
            zone_width_mm=size.bend_allowance_mm,
        ),
        zones,
    )


def _placed(item: _Laid, moved: Frame) -> PlacedFlat:
    frame = moved.after(item.frame)
    shape = shapely.geometry.polygon.orient(frame.polygon(item.flat))
    return PlacedFlat(
        flange_id=item.flange.id,
        origin=frame.origin,
        angle_rad=frame.angle_rad,
        outline=_ring(shape.exterior.coords),
        features=tuple(move_feature(feature, frame) for feature in item.flange.features),
    )


def _largest(shape: BaseGeometry) -> Polygon:
    parts = [part for part in getattr(shape, "geoms", [shape]) if part.area > 1e-9]
    return max(parts, key=lambda part: part.area) if parts else Polygon()


def _ring(coords: object) -> tuple[Point, ...]:
    points = [(float(x), float(y)) for x, y in coords]  # type: ignore[attr-defined]
    return tuple(points[:-1] if points[0] == points[-1] else points)
