"""What does the sheet about one bend look like unrolled, and what of it lies between two lines across it?

Everything here lies in the *strip frame* of the bend: x = 0 at the end of its line, running toward its start, y = 0 at the
parent's tangent line and y = arc at the child's. So it is the child's frame pushed along, and the sheet of the bend lies
between parent and child as on the blank.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import shapely
from shapely import LinearRing, LineString, Polygon
from shapely.geometry.base import BaseGeometry

from bendwright.findings import Finding, NotPossibleError, found
from bendwright.part.contour import arc_points
from bendwright.part.from_flats import FlatPiece, stretches_at
from bendwright.part.model import Arc, Bend, Circle, Cutout, Feature, Flange, Part, Point, Slot, ZonePiece
from bendwright.part.moved_ends import cut_back
from bendwright.part.placing import NEAR_MM, Frame, Line, common, move_arc, move_feature
from bendwright.part.shape_names import named_shape

GRID_MM = 1e-9
HAIR_MM = 1e-6
CRUMB_MM2 = 1e-4
ALONG_MM = 0.01
TOUCH_MM = 1e-4
Band = tuple[float, float]


@dataclass(frozen=True, slots=True)
class _Side:
    """Parent or child of the bend as far as its tangent line: outline filled, what is cut out of it, and which of that are its
    own windows, that bends start in: they say nothing of the sheet of a bend.
    """

    hull: Polygon
    features: tuple[Feature, ...]
    windows: tuple[Feature, ...]
    arcs: tuple[Arc, ...]


@dataclass(frozen=True, slots=True)
class Unrolled:
    """A bend unrolled: parent and child up to the tangent lines, the sheet between them, and the placement of the strip
    frame in the parent's frame.
    """

    bend: Bend
    length: float
    arc: float
    to_parent: Frame
    parent: _Side
    sheet: BaseGeometry
    child: _Side


def unrolled(part: Part, bend: Bend, *, arc_mm: float, back_mm: float, drawn_mm: float) -> Unrolled:
    """The bend unrolled to ``arc_mm``, its tangent lines ``back_mm`` from where the dimensions end; drawn at ``drawn_mm``.

    NotPossibleError M106 when no sheet joins both flanges.
    """
    line = Line.of(bend)
    length, to_parent = line.length, line.child_frame(back_mm)
    before = Line((length, back_mm), length, (-1.0, 0.0), (0.0, 1.0))
    behind = Line((length, arc_mm - back_mm), length, (-1.0, 0.0), (0.0, -1.0))
    backs = (back_mm, drawn_mm)
    parent = _side(part.flange(bend.parent), _inverse(to_parent), before, bend, 0.0, backs)
    child = _side(part.flange(bend.child), Frame((0.0, arc_mm - back_mm), 0.0), behind, bend, 1.0, backs)
    sheet = _sheet(bend, length, arc_mm, parent.hull, child.hull)
    if sheet.is_empty:
        raise NotPossibleError(_no_sheet(bend))
    return Unrolled(bend, length, arc_mm, to_parent, parent, sheet, child)


def flat_pieces(strip: Unrolled, flats: Sequence[Band]) -> tuple[list[FlatPiece], BaseGeometry]:
    """The flat pieces of parent, facets and child in the strip frame, and the bend's sheet with its openings.

    ``flats`` are the stretches of y that stay flat: the first begins on the parent, the last ends on the child. Openings that
    lie in one of them stay what they are; those that a hit crosses become windows of sheet and facets.
    """
    last = len(flats) - 1
    kept: list[list[Feature]] = [[] for _ in flats]
    own: dict[int, list[Polygon]] = {0: [], last: []}
    gone: list[Polygon] = []
    circles: list[Arc] = []
    for side, at in ((strip.parent, 0), (strip.child, last)):
        for feature in side.features:
            place = _place(feature, at, strip, flats, feature in side.windows)
            if place is None:
                opening, round_edges = footprint(feature)
                (own[at] if feature in side.windows else gone).append(opening)
                circles += round_edges
            else:
                kept[place].append(feature)
    sheet = strip.sheet.difference(shapely.union_all(gone))
    pieces = []
    for number, flat in enumerate(flats):
        band = between(sheet, flat)
        ends = [end for end, at in ((strip.parent, 0), (strip.child, last)) if at == number]
        holes = shapely.union_all([*gone, *own.get(number, ())])
        hull = shapely.union_all([_outer(band), *(end.hull for end in ends)], grid_size=GRID_MM)
        shape = shapely.union_all([band, *(end.hull.difference(holes) for end in ends)], grid_size=GRID_MM)
        if shape.is_empty:
            raise NotPossibleError(_no_sheet(strip.bend))
        arcs = [*(arc for end in ends for arc in end.arcs), *(arc for arc in circles if _meets(arc, flat))]
        pieces.append(_piece(str(number), hull, shape, kept[number], arcs))
    return pieces, sheet


def between(sheet: BaseGeometry, band: Band) -> BaseGeometry:
    """What of the sheet lies between two values of y."""
    x0, y0, x1, y1 = sheet.bounds
    return sheet.intersection(shapely.box(x0 - 1.0, max(band[0], y0 - 1.0), x1 + 1.0, min(band[1], y1 + 1.0)))


def zone_of(sheet: BaseGeometry, band: Band, length_mm: float) -> tuple[ZonePiece, ...]:
    """The sheet between two values of y as ``Bend.zone`` has it."""
    width = band[1] - band[0]

    def ring(line: LinearRing) -> tuple[Point, ...]:
        return tuple((length_mm - x, (y - band[0]) / width) for x, y in list(line.coords)[:-1])

    pieces = [shapely.geometry.polygon.orient(piece, -1.0) for piece in polygons(between(sheet, band))]
    return tuple(
        ZonePiece(
            outline=ring(piece.exterior),
            windows=tuple(ring(inner) for inner in piece.interiors),
        )
        for piece in pieces
    )


def polygons(shape: BaseGeometry) -> list[Polygon]:
    """The polygons of a shape that are more than crumbs."""
    if isinstance(shape, Polygon):
        return [shape] if shape.area > CRUMB_MM2 else []
    return [piece for part in getattr(shape, "geoms", ()) for piece in polygons(part)]


def footprint(feature: Feature) -> tuple[Polygon, tuple[Arc, ...]]:
    """An opening as a polygon, and the circles that its corners follow."""
    if isinstance(feature, Circle):
        radius = 0.5 * feature.diameter_mm
        ring = arc_points(feature.centre, radius, 0.0, 2.0 * math.pi)[:-1]
        return Polygon(ring), (Arc(centre=feature.centre, radius_mm=radius),)
    if isinstance(feature, Slot):
        radius, axis = 0.5 * feature.width_mm, math.radians(feature.axis_deg)
        half = 0.5 * feature.length_mm - radius
        (cx, cy), (ux, uy) = feature.centre, (math.cos(axis), math.sin(axis))
        ends = [(cx + half * ux, cy + half * uy), (cx - half * ux, cy - half * uy)]
        starts = (axis - 0.5 * math.pi, axis + 0.5 * math.pi)
        ring = [p for end, start in zip(ends, starts, strict=True) for p in arc_points(end, radius, start, math.pi)]
        return Polygon(ring), tuple(Arc(centre=end, radius_mm=radius) for end in ends)
    return Polygon(feature.points), feature.arcs


def _no_sheet(bend: Bend) -> Finding:
    return found("M106", where=f"bend {bend.id}", bend=bend.id, parent=bend.parent, child=bend.child)


def _inverse(frame: Frame) -> Frame:
    back = Frame((0.0, 0.0), -frame.angle_rad)
    x, y = back.point(frame.origin)
    return Frame((-x, -y), -frame.angle_rad)


def _side(flange: Flange, frame: Frame, line: Line, bend: Bend, share: float, backs: Band) -> _Side:
    """A flange in the strip frame, cut back from ``line``, where its dimension ends, to its tangent line; ``backs`` are
    set-back now and as drawn.
    """
    stretches = stretches_at(bend.zone, share, line.length)
    hull = frame.polygon(Polygon(flange.outline))
    cut = cut_back(hull, line, stretches, back_mm=backs[0], drawn_mm=backs[1])
    features = tuple(move_feature(feature, frame) for feature in flange.features)
    edges = shapely.union_all([hull.exterior, LineString([line.at(0.0, 0.0), line.at(line.length, 0.0)])])
    windows = tuple(f for f in features if isinstance(f, Cutout) and (bend.zone or _runs_along(f, edges)))
    return _Side(cut, features, windows, tuple(move_arc(arc, frame) for arc in flange.arcs))


def _runs_along(window: Cutout, edges: BaseGeometry) -> bool:
    return bool(edges.intersection(LinearRing(window.points).buffer(TOUCH_MM)).length > ALONG_MM)


def _sheet(bend: Bend, length: float, arc: float, parent: Polygon, child: Polygon) -> BaseGeometry:
    """The bend's own sheet; without a drawn one the rectangles where both flanges reach it."""
    if bend.zone:
        drawn = [
            Polygon(
                [(length - s, w * arc) for s, w in piece.outline],
                [[(length - s, w * arc) for s, w in window] for window in piece.windows],
            )
            for piece in bend.zone
        ]
        return shapely.union_all([shapely.make_valid(piece) for piece in drawn], grid_size=GRID_MM)
    tangent = Line((length, 0.0), length, (-1.0, 0.0), (0.0, 1.0))
    left, right = tangent.material(parent, -10 * NEAR_MM), tangent.material(child, arc + 10 * NEAR_MM)
    spans = common(common(left, right), [(0.0, length)])
    return shapely.union_all([shapely.box(length - high, 0.0, length - low, arc) for low, high in spans])


def _place(feature: Feature, side: int, strip: Unrolled, flats: Sequence[Band], window: bool) -> int | None:
    """Which flat an opening lies in; None when a hit crosses it, or when it is a window that reaches the sheet of the bend."""
    shape, _ = footprint(feature)
    _, low, _, high = shape.bounds
    edge = high if side == 0 else strip.arc - low
    if window and strip.sheet.distance(shape) < TOUCH_MM:
        return None
    if window or edge <= 0.0 or shape.intersection(strip.sheet).area < CRUMB_MM2:
        return side
    fitting = [n for n, (first, last) in enumerate(flats) if first <= low and high <= last]
    return fitting[0] if fitting else None


def _meets(arc: Arc, band: Band) -> bool:
    """Whether a circle reaches a band of y."""
    return band[0] <= arc.centre[1] + arc.radius_mm and arc.centre[1] - arc.radius_mm <= band[1]


def _outer(band: BaseGeometry) -> BaseGeometry:
    """A band with its windows filled, also those that part it."""
    pieces = polygons(band)
    return Polygon(pieces[0].exterior) if len(pieces) == 1 else band.convex_hull


def _piece(
    name: str, hull: BaseGeometry, shape: BaseGeometry, features: Sequence[Feature], arcs: Sequence[Arc]
) -> FlatPiece:
    """A flat piece: outline, the gaps between outline and sheet as windows, and its other openings. Gaps reach a hair beyond the
    outline, so that those that part the piece leave no thread across.
    """
    outer = Polygon(max(polygons(hull), key=lambda piece: piece.area).exterior)
    gone = outer.difference(shape).buffer(-HAIR_MM, join_style="mitre").buffer(2.0 * HAIR_MM, join_style="mitre")
    gaps = [named_shape(_ring(gap), arcs) for gap in polygons(gone)]
    return FlatPiece(id=name, outline=tuple(_ring(outer)), features=(*gaps, *features), arcs=tuple(arcs))


def _ring(shape: Polygon) -> list[Point]:
    turned = shapely.geometry.polygon.orient(shape)
    return [(float(x), float(y)) for x, y in turned.exterior.coords[:-1]]


def placed_flange(flange: Flange, frame: Frame) -> Flange:
    """A flange as seen after placing its frame."""
    return replace(
        flange,
        outline=tuple(frame.point(point) for point in flange.outline),
        features=tuple(move_feature(feature, frame) for feature in flange.features),
        arcs=tuple(move_arc(arc, frame) for arc in flange.arcs),
    )
