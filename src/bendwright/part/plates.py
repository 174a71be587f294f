"""One plate of a part: named edges, notches cut into its outline, openings put in their place.

A plate has its own frame (``part.model``). Its edges run counter-clockwise; edge i goes from point i to point i + 1.
Left and right of an edge are those of somebody who looks out across it with the top face up, so left is the edge's end.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from bendwright.findings import Finding, found
from bendwright.part.contour import arc_points
from bendwright.part.model import Arc, Circle, Cutout, Feature, Point, Slot
from bendwright.part.typed import TypedNotch, TypedOpening
from bendwright.said import say

if TYPE_CHECKING:
    from shapely import Polygon

ARC_STEPS = 32
SMALL_MM = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """Nominal outline of one flange before notches; ``edges`` maps names to edge numbers (from 0).

    ``box`` = left, near, right, far: what openings are measured from.
    """

    points: tuple[Point, ...]
    edges: Mapping[str, int]
    box: tuple[float, float, float, float]

    def edge(self, name: str) -> tuple[Point, Point] | None:
        """Start and end of the named or numbered (from 1) edge; None when there is none."""
        number = self.edges.get(name)
        if number is None and name.isdecimal():
            number = int(name) - 1
        if number is None or not 0 <= number < len(self.points):
            return None
        return self.points[number], self.points[(number + 1) % len(self.points)]

    def depth_mm(self, edge: tuple[Point, Point]) -> float:
        """How far the plate reaches behind one of its edges, square to it [mm]."""
        start, end = edge
        ux, uy = (end[0] - start[0]) / math.dist(start, end), (end[1] - start[1]) / math.dist(start, end)
        return max(ux * (y - start[1]) - uy * (x - start[0]) for x, y in self.points)

    def edge_words(self) -> str:
        """The edges one may name, for findings."""
        names = ", ".join(sorted(self.edges, key=lambda name: self.edges[name]))
        return say("typed.edges", names=names, count=len(self.points))


def rectangle_plate(points: Sequence[Point]) -> Plate:
    """A base whose four edges are front, right, back, left seen from the top."""
    return Plate(points=tuple(points), edges={"front": 0, "right": 1, "back": 2, "left": 3}, box=_box(points))


def polygon_plate(points: Sequence[Point]) -> Plate:
    """A base with numbered edges only; left and near are x = 0 and y = 0 of its points."""
    return Plate(points=tuple(points), edges={}, box=_box(points))


def flange_plate(
    *,
    width_mm: float,
    leg_mm: float,
    taper_left_mm: float = 0.0,
    taper_right_mm: float = 0.0,
    points: Sequence[Point] = (),
) -> Plate:
    """A flange in its own frame: bend on y = 0 from x = 0 to ``width_mm``; edges bend, right, far, left."""
    if points:
        return Plate(points=tuple(points), edges={}, box=(0.0, 0.0, width_mm, max(y for _, y in points)))
    corners = ((0.0, 0.0), (width_mm, 0.0), (width_mm - taper_right_mm, leg_mm), (taper_left_mm, leg_mm))
    return Plate(points=corners, edges={"bend": 0, "right": 1, "far": 2, "left": 3}, box=(0.0, 0.0, width_mm, leg_mm))


def _box(points: Sequence[Point]) -> tuple[float, float, float, float]:
    return (0.0, 0.0, max(x for x, _ in points), max(y for _, y in points))


def outline_findings(points: Sequence[Point], where: str) -> list[Finding]:
    """Is the outline a simple polygon, counter-clockwise, without edges of no length?"""
    if len(points) < 3:
        return [found("P126", where=where, count=len(points))]
    short = [
        number + 1
        for number, point in enumerate(points)
        if math.dist(point, points[(number + 1) % len(points)]) < SMALL_MM
    ]
    if short:
        return [found("P127", where=where, edge=number) for number in short]
    from shapely import LinearRing

    ring = LinearRing(points)
    if not ring.is_simple:
        return [found("P128", where=where)]
    return [] if ring.is_ccw else [found("P129", where=where)]


def put_opening(opening: TypedOpening, plate: Plate) -> Feature:
    """The opening's shape moved to its place in the plate's frame."""
    left, near, right, far = plate.box
    x = left + opening.along_mm if opening.along_from == "left" else right - opening.along_mm
    y = near + opening.across_mm if opening.across_from == "near" else far - opening.across_mm
    shape = opening.shape
    if isinstance(shape, Cutout):
        points = tuple((px + x, py + y) for px, py in shape.points)
        return replace(shape, points=points, arcs=tuple(_shifted(arc, x, y) for arc in shape.arcs))
    return replace(shape, centre=(shape.centre[0] + x, shape.centre[1] + y))


def _shifted(arc: Arc, x: float, y: float) -> Arc:
    return replace(arc, centre=(arc.centre[0] + x, arc.centre[1] + y))


def half_turn(shape: Feature) -> Feature:
    """The shape turned by 180 degrees about its own origin."""
    if isinstance(shape, Cutout):
        turned = tuple(replace(arc, centre=(-arc.centre[0], -arc.centre[1])) for arc in shape.arcs)
        return replace(shape, points=tuple((-x, -y) for x, y in shape.points), arcs=turned)
    return replace(shape, centre=(-shape.centre[0], -shape.centre[1]))


def feature_polygon(feature: Feature) -> Polygon:
    """The feature as a polygon, arcs in steps of 360 / (4 x ARC_STEPS) degrees."""
    from shapely import LineString, Polygon
    from shapely import Point as Spot

    if isinstance(feature, Cutout):
        return Polygon(feature.points)
    if isinstance(feature, Circle):
        return Spot(feature.centre).buffer(feature.diameter_mm / 2.0, quad_segs=ARC_STEPS)
    half = 0.5 * (feature.length_mm - feature.width_mm)
    if half < SMALL_MM:
        return Spot(feature.centre).buffer(feature.width_mm / 2.0, quad_segs=ARC_STEPS)
    turned = math.radians(feature.axis_deg)
    dx, dy = half * math.cos(turned), half * math.sin(turned)
    (x, y) = feature.centre
    return LineString([(x - dx, y - dy), (x + dx, y + dy)]).buffer(feature.width_mm / 2.0, quad_segs=ARC_STEPS)


def opening_findings(outline: Sequence[Point], openings: Sequence[tuple[Feature, str]]) -> list[Finding]:
    """Openings must lie wholly inside the outline and not touch each other; ``openings`` pairs feature and place."""
    if not openings:
        return []
    from shapely import Polygon

    plate = Polygon(outline)
    bad: list[Finding] = []
    shapes: list[tuple[Polygon, str, str]] = []
    for feature, where in openings:
        if isinstance(feature, Cutout) and (wrong := outline_findings(feature.points, where)):
            bad.extend(wrong)
            continue
        if isinstance(feature, Slot) and feature.length_mm < feature.width_mm:
            bad.append(found("P138", where=where, length=feature.length_mm, width=feature.width_mm))
            continue
        shape = feature_polygon(feature)
        if not plate.intersects(shape):
            bad.append(found("P136", where=where, what=describe(feature)))
        elif not plate.contains_properly(shape):
            bad.append(found("P137", where=where, what=describe(feature), over=_over(plate, shape)))
        for other, other_where, words in shapes:
            if other.intersects(shape):
                bad.append(found("P139", where=where, what=describe(feature), other=words, other_where=other_where))
        shapes.append((shape, where, describe(feature)))
    return bad


def _over(plate: Polygon, shape: Polygon) -> str:
    """How far the opening reaches over the outline [mm], in words."""
    outside = shape.difference(plate)
    if outside.is_empty:
        return "0.00"
    points = [point for part in getattr(outside, "geoms", [outside]) for point in part.exterior.coords]
    from shapely import Point as Spot

    return f"{max(plate.exterior.distance(Spot(point)) for point in points):.2f}"


def describe(feature: Feature) -> str:
    """The opening in words, with its size and the place of its centre."""
    if isinstance(feature, Circle):
        x, y = feature.centre
        return say("typed.hole_at", diameter=feature.diameter_mm, x=x, y=y)
    if isinstance(feature, Slot):
        x, y = feature.centre
        return say("typed.slot_at", length=feature.length_mm, width=feature.width_mm, x=x, y=y)
    xs, ys = [x for x, _ in feature.points], [y for _, y in feature.points]
    return say("typed.cutout_from", x=min(xs), y=min(ys), x2=max(xs), y2=max(ys))


def cut_notches(
    plate: Plate, notches: Sequence[TypedNotch]
) -> tuple[tuple[Point, ...], tuple[Arc, ...], list[Finding]]:
    """The outline with its notches cut, the circles of round ones, and what is wrong with them."""
    if not notches:
        return plate.points, (), []
    from shapely import Polygon
    from shapely.geometry.polygon import orient

    whole = Polygon(plate.points)
    rest, bad = whole, []
    arcs: list[Arc] = []
    for notch in notches:
        shape, round_end, wrong = _notch_polygon(plate, notch)
        if shape is None:
            bad.extend(wrong)
            continue
        cut = rest.difference(shape)
        if not isinstance(cut, Polygon) or cut.is_empty or len(cut.interiors):
            bad.append(found("P132", where=notch.where, width=notch.width_mm, depth=notch.depth_mm))
            continue
        rest = cut
        arcs += [round_end] if round_end else []
    ring = orient(rest).exterior.coords[:-1]
    return tuple((float(x), float(y)) for x, y in ring), tuple(arcs), bad


def _notch_polygon(plate: Plate, notch: TypedNotch) -> tuple[Polygon | None, Arc | None, list[Finding]]:
    from shapely import Polygon

    edge = plate.edge(notch.edge)
    if edge is None:
        return None, None, [found("P130", where=notch.where, edge=notch.edge, edges=plate.edge_words())]
    start, end = edge
    length = math.dist(start, end)
    if notch.corner == "left":
        left = 0.0
    elif notch.corner == "right":
        left = length - notch.width_mm
    else:
        left = notch.left_mm if notch.left_mm is not None else 0.5 * (length - notch.width_mm)
    if left < -SMALL_MM or left + notch.width_mm > length + SMALL_MM:
        return None, None, [found("P131", where=notch.where, last=left + notch.width_mm, first=left, length=length)]
    if notch.shape == "round" and notch.depth_mm < notch.width_mm / 2.0 - SMALL_MM:
        return None, None, [found("P133", where=notch.where, depth=notch.depth_mm, least=notch.width_mm / 2.0)]
    out = 1.0
    first = -out if notch.corner == "left" else left
    last = length + out if notch.corner == "right" else left + notch.width_mm
    local = [(first, out), (first, -notch.depth_mm), (last, -notch.depth_mm), (last, out)]
    arc = None
    if notch.shape == "round":
        radius, centre = 0.5 * notch.width_mm, (left + 0.5 * notch.width_mm, 0.5 * notch.width_mm - notch.depth_mm)
        local = [(left, out), *arc_points(centre, radius, math.pi, math.pi), (left + notch.width_mm, out)]
        arc = Arc(centre=_seen_from_edge(start, end, centre), radius_mm=radius)
    return Polygon([_seen_from_edge(start, end, point) for point in local]), arc, []


def _seen_from_edge(start: Point, end: Point, point: Point) -> Point:
    """A point given along an edge (from its end, the left) and out of it, in the plate's frame."""
    length = math.dist(start, end)
    ux, uy = (start[0] - end[0]) / length, (start[1] - end[1]) / length
    return end[0] + point[0] * ux - point[1] * uy, end[1] + point[0] * uy + point[1] * ux


def edge_point(start: Point, end: Point, along_mm: float) -> Point:
    """The point ``along_mm`` from an edge's left (its end) toward its right (its start)."""
    return _seen_from_edge(start, end, (along_mm, 0.0))
