"""Which pieces of sheet is the blank made of: the flats and the bends' own sheet, holes cut out of them?

A hole that lies well inside one flat piece stays a true shape beside it. One that reaches over a tangent line or meets an
edge or another hole is cut out of whatever it covers, as it will be out of the blank.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Literal

import shapely
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from bendwright.part.blank_model import Blank, PlacedFlat
from bendwright.part.contour import arc_points
from bendwright.part.model import Arc, Circle, Feature, Point, Slot

INSIDE_MM = 1e-2
"""A hole nearer to an edge than this is cut out as a polygon."""
TOUCHING_MM = 1e-4
LEAST_MM2 = 1e-4
SLIVER_MM2 = 0.02
"""What is left between a window and the edge it comes up to, within the rounding of either."""


@dataclass(frozen=True, slots=True)
class SheetPiece:
    """One piece in blank coordinates: of the flange ``id`` (flat) or the bend ``id`` (zone).

    ``shape`` runs counter-clockwise, its windows the other way; ``holes`` lie inside it and are not cut out of it; ``arcs`` are
    the circles that its corners follow.
    """

    kind: Literal["flat", "zone"]
    id: str
    shape: Polygon
    holes: tuple[Feature, ...]
    arcs: tuple[Arc, ...]


def sheet_pieces(blank: Blank) -> tuple[SheetPiece, ...]:
    """All pieces, flats in the blank's order, then zones; pieces a hole has left nothing of are not there."""
    cuts: list[BaseGeometry] = []
    through = set(blank.features)
    kept: dict[str, list[tuple[Feature, Polygon]]] = {}
    every = [
        (flat, feature, Polygon(feature_ring(feature)))
        for flat in blank.flats
        for feature in flat.features
        if feature in through
    ]
    whole = {flat.flange_id: with_windows(flat, through) for flat in blank.flats}
    edges = {name: shape.boundary for name, shape in whole.items()}
    for shape in (*whole.values(), *edges.values()):
        shapely.prepare(shape)
    tree = shapely.STRtree([hole for _, _, hole in every])
    for flat, feature, hole in every:
        alone = len(tree.query(hole, predicate="dwithin", distance=INSIDE_MM)) == 1
        name = flat.flange_id
        if alone and whole[name].contains(hole) and not edges[name].dwithin(hole, INSIDE_MM):
            kept.setdefault(flat.flange_id, []).append((feature, hole))
        else:
            cuts.append(hole)
    arcs = blank.arcs + tuple(arc for feature in blank.features for arc in feature_arcs(feature))
    gone = shapely.union_all(cuts)
    pieces = [
        SheetPiece("flat", flat.flange_id, shape, _within(shape, kept.get(flat.flange_id, ())), (*flat.arcs, *arcs))
        for flat in blank.flats
        for shape in _left(whole[flat.flange_id], gone)
    ]
    for bend_id in dict.fromkeys(zone.bend_id for zone in blank.zones):
        own = [Polygon(zone.outline, zone.windows) for zone in blank.zones if zone.bend_id == bend_id]
        pieces += [SheetPiece("zone", bend_id, shape, (), arcs) for shape in _left(_joined(own), gone)]
    return tuple(pieces)


def _within(shape: Polygon, holes: Sequence[tuple[Feature, Polygon]]) -> tuple[Feature, ...]:
    shapely.prepare(shape)
    return tuple(feature for feature, hole in holes if shape.contains(hole))


def with_windows(flat: PlacedFlat, through: Collection[Feature]) -> Polygon | MultiPolygon:
    """A flat without the windows that a tab is bent out of: these are its own edge, not holes through the blank. In several pieces
    where a window goes right across it.
    """
    windows = [feature_ring(feature) for feature in flat.features if feature not in through]
    whole = Polygon(flat.outline, windows)
    if whole.is_valid:
        return whole
    rest = Polygon(flat.outline).difference(shapely.union_all([Polygon(ring).buffer(0.0) for ring in windows]))
    pieces = [piece for piece in getattr(rest, "geoms", [rest]) if piece.area > SLIVER_MM2]
    return pieces[0] if len(pieces) == 1 else MultiPolygon(pieces)


def feature_ring(feature: Feature) -> list[Point]:
    """Corners of a hole, slot or window, counter-clockwise or as given, close enough together for ``part.contour``."""
    if isinstance(feature, Circle):
        return arc_points(feature.centre, 0.5 * feature.diameter_mm, 0.0, 2.0 * math.pi)[:-1]
    if not isinstance(feature, Slot):
        return list(feature.points)
    turned = math.radians(feature.axis_deg)
    ends = slot_ends(feature)
    right = arc_points(ends[1], 0.5 * feature.width_mm, turned - 0.5 * math.pi, math.pi)
    left = arc_points(ends[0], 0.5 * feature.width_mm, turned + 0.5 * math.pi, math.pi)
    return right + left if ends[0] != ends[1] else right[:-1] + left[:-1]


def slot_ends(slot: Slot) -> tuple[Point, Point]:
    """Middles of the round ends, the one against the axis first."""
    half, turned = 0.5 * (slot.length_mm - slot.width_mm), math.radians(slot.axis_deg)
    dx, dy = half * math.cos(turned), half * math.sin(turned)
    (x, y) = slot.centre
    return (x - dx, y - dy), (x + dx, y + dy)


def feature_arcs(feature: Feature) -> tuple[Arc, ...]:
    """The circles a hole's edge follows."""
    if isinstance(feature, Circle):
        return (Arc(centre=feature.centre, radius_mm=0.5 * feature.diameter_mm),)
    if isinstance(feature, Slot):
        return tuple(Arc(centre=end, radius_mm=0.5 * feature.width_mm) for end in slot_ends(feature))
    return feature.arcs


def _joined(zones: Sequence[Polygon]) -> BaseGeometry:
    """Pieces of one bend's sheet that lie side by side are one."""
    if all(one.distance(other) > TOUCHING_MM for one, other in itertools.combinations(zones, 2)):
        return shapely.MultiPolygon(zones)
    grown = shapely.union_all([zone.buffer(TOUCHING_MM, join_style="mitre") for zone in zones])
    return grown.buffer(-TOUCHING_MM, join_style="mitre")


def _left(shape: BaseGeometry, gone: BaseGeometry) -> list[Polygon]:
    """What the cuts leave of a piece."""
    left = shape.difference(gone) if shape.intersects(gone) else shape
    parts = [part for part in getattr(left, "geoms", [left]) if isinstance(part, Polygon) and part.area > LEAST_MM2]
    return [shapely.geometry.polygon.orient(part) for part in parts]
