"""How near do holes and slots come to the bends?"""

from __future__ import annotations

import math
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from bendwright.part.blank_model import BendLine, Blank
from bendwright.part.model import Circle, Cutout, Feature, Part, Slot


@dataclass(frozen=True, slots=True)
class FeatureDistance:
    """Clear sheet [mm] between a feature's edge and the nearest bend tangent line (negative: it reaches into the bend), and
    from its edge to the bend's middle line. ``outside_mm`` is the centre's distance from the outside of the bend.
    """

    flange_id: str
    feature: Feature
    bend_id: str
    clear_mm: float
    to_bend_line_mm: float
    outside_mm: float


def feature_distances(part: Part, blank: Blank) -> list[FeatureDistance]:
    """The nearest bend of every feature, measured on the blank from the tangent line; a window is no hole beside the bend of the tab that
    is folded out of it.
    """
    out = []
    for flat in blank.flats:
        beside = [b.id for b in part.bends if flat.flange_id in (b.parent, b.child)]
        lines = [line for line in blank.bend_lines if line.bend_id in beside]
        for feature in flat.features:
            own = bends_within(blank, feature_shape(feature))
            found = [_distance(blank, line, flat.flange_id, feature) for line in lines if line.bend_id not in own]
            if found:
                out.append(min(found, key=lambda item: item.clear_mm))
    return out


def bends_within(blank: Blank, shape: BaseGeometry) -> set[str]:
    """The bends whose own sheet lies in an opening: those of tabs folded out of it, which it frees and does not endanger."""
    inside: dict[str, float] = {}
    whole: dict[str, float] = {}
    for zone in blank.zones:
        sheet = shapely.Polygon(zone.outline, zone.windows)
        inside[zone.bend_id] = inside.get(zone.bend_id, 0.0) + sheet.intersection(shape).area
        whole[zone.bend_id] = whole.get(zone.bend_id, 0.0) + sheet.area
    return {bend_id for bend_id, area in inside.items() if area > 0.5 * whole[bend_id]}


def _distance(blank: Blank, line: BendLine, flange_id: str, feature: Feature) -> FeatureDistance:
    material = shapely.union_all([_stretch(line, span) for span in line.spans])
    shape = feature_shape(feature)
    edge = float(shape.distance(material))
    half = 0.5 * line.zone_width_mm
    centre = shapely.Point(shape.centroid)
    size = blank.size(line.bend_id)
    outside = float(centre.distance(material)) - half + size.setback_mm
    return FeatureDistance(flange_id, feature, line.bend_id, edge - half, edge, outside)


def _stretch(line: BendLine, span: tuple[float, float]) -> shapely.LineString:
    length = math.dist(line.start, line.end)
    ends = []
    for s in span:
        share = s / length
        ends.append(
            (
                line.start[0] + share * (line.end[0] - line.start[0]),
                line.start[1] + share * (line.end[1] - line.start[1]),
            )
        )
    return shapely.LineString(ends)


def feature_shape(feature: Feature) -> BaseGeometry:
    """The feature as a polygon (round ones in 256 corners), for distances and pictures."""
    if isinstance(feature, Circle):
        return shapely.Point(feature.centre).buffer(0.5 * feature.diameter_mm, quad_segs=64)
    if isinstance(feature, Slot):
        half = 0.5 * (feature.length_mm - feature.width_mm)
        c, s = math.cos(math.radians(feature.axis_deg)), math.sin(math.radians(feature.axis_deg))
        x, y = feature.centre
        spine = shapely.LineString([(x - half * c, y - half * s), (x + half * c, y + half * s)])
        return spine.buffer(0.5 * feature.width_mm, quad_segs=64)
    assert isinstance(feature, Cutout)
    return shapely.Polygon(feature.points)


def feature_half_width_mm(feature: Feature) -> float:
    """Half of the feature's size toward the bend [mm]; for round holes the radius."""
    if isinstance(feature, Circle):
        return 0.5 * feature.diameter_mm
    x0, y0, x1, y1 = feature_shape(feature).bounds
    return float(0.5 * min(x1 - x0, y1 - y0))
