"""Where does the sheet tear at the end of a bend, what relief would free it, and how large must the cut be where two bends meet?

A bend's own sheet must end free on both sides: where the sheet of a flange goes on beside it, that sheet stays flat while the bend
turns, and tears. A relief frees the end from the free edge to a little beyond the tangent line. Where two bends of a flange
meet, the blank is open from the crossing of their tangent lines outward; a round cut over the crossing of the bend lines
takes the sharp corner away. Places are on the blank; cuts are in the frame of the flange that is cut.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Literal

import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from bendwright.findings import NotPossibleError, found
from bendwright.part.blank_model import BendLine, Blank, PlacedFlat
from bendwright.part.features import feature_shape
from bendwright.part.model import Arc, Part, Point
from bendwright.part.placing import Frame, largest

Shape = Literal["rect", "round", "none"]
RELIEF_LEAST_MM = 1.0
BEYOND_MM = 0.5
"""Relief: as wide as the sheet is thick and at least 1 mm, to half a millimetre beyond the tangent (common practice, no source)."""
HELD_MM = 0.05
TOUCH_MM = 2e-3
STEPS = 16


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A piece to cut off one flange, in its own frame [mm]; ``width_mm`` along the bend, ``depth_mm`` from the flange's edge."""

    flange_id: str
    outline: tuple[Point, ...]
    shape: Shape
    width_mm: float
    depth_mm: float
    arcs: tuple[Arc, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TornEnd:
    """One end of a bend beside which a flange's sheet goes on: over ``held_mm`` [mm]; ``place`` on the blank. ``edge`` is the end
    of the bend's sheet from the parent's tangent to the child's, ``out`` points away from the bend.
    """

    bend_id: str
    flange_id: str
    place: Point
    held_mm: float
    edge: tuple[Point, Point]
    out: Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    """Where two bends of one flange meet: crossing of their bend lines on the blank, and the least round cut about it [mm] that
    takes in the corner of their tangent lines.
    """

    flange_id: str
    bends: tuple[str, str]
    place: Point
    round_mm: float


def torn_ends(part: Part, blank: Blank) -> tuple[TornEnd, ...]:
    """Every end of a bend that is held by sheet beside it, bend by bend."""
    lines = {line.bend_id: line for line in blank.bend_lines}
    flats = [(flat.flange_id, open_sheet(flat).buffer(TOUCH_MM, join_style="mitre")) for flat in blank.flats]
    out = []
    for zone in blank.zones:
        line = lines[zone.bend_id]
        for edge in _ends(zone.outline, line):
            for flange_id, flat in flats:
                held = LineString(edge).intersection(flat)
                if held.length > HELD_MM:
                    out.append(_torn(line, flange_id, edge, held))
    return tuple(out)


def open_sheet(flat: PlacedFlat) -> Polygon:
    """A flange's flat without its openings, on the blank: a tab may lie in one."""
    whole = Polygon(flat.outline)
    openings = [feature_shape(feature) for feature in flat.features]
    return largest(whole.difference(shapely.union_all(openings))) if openings else whole


def _axes(line: BendLine) -> tuple[Point, Point]:
    """Unit vectors along a bend line and out of it toward the child."""
    length = math.dist(line.start, line.end)
    along = ((line.end[0] - line.start[0]) / length, (line.end[1] - line.start[1]) / length)
    return along, (along[1], -along[0])


def _ends(ring: Sequence[Point], line: BendLine) -> Iterator[tuple[Point, Point]]:
    """The edges of a bend's sheet that lie on neither tangent line, from the parent's side to the child's."""
    _, outward = _axes(line)

    def off(point: Point) -> float:
        return (point[0] - line.start[0]) * outward[0] + (point[1] - line.start[1]) * outward[1]

    half = 0.5 * line.zone_width_mm
    for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
        on_tangent = any(abs(off(a) - side) < TOUCH_MM and abs(off(b) - side) < TOUCH_MM for side in (-half, half))
        if not on_tangent and math.dist(a, b) > HELD_MM:
            yield (a, b) if off(a) <= off(b) else (b, a)


def _torn(line: BendLine, flange_id: str, edge: tuple[Point, Point], held: BaseGeometry) -> TornEnd:
    along, _ = _axes(line)
    middle = [0.5 * (a + b) for a, b in zip(*edge, strict=True)]
    s = (middle[0] - line.start[0]) * along[0] + (middle[1] - line.start[1]) * along[1]
    far = min(line.spans, key=lambda span: min(abs(span[0] - s), abs(span[1] - s)), default=(0.0, 0.0))
    sign = 1.0 if abs(far[1] - s) < abs(far[0] - s) else -1.0
    centre = held.centroid
    return TornEnd(
        bend_id=line.bend_id,
        flange_id=flange_id,
        place=(centre.x, centre.y),
        held_mm=float(held.length),
        edge=edge,
        out=(sign * along[0], sign * along[1]),
    )


def relief_proposals(part: Part, blank: Blank, end: TornEnd) -> tuple[Cut, ...]:
    """A rectangular and a round relief, and the step back of the whole edge that needs none, for one end that is held.

    The first two are cuts beside the bend; the third (``none``) takes the flange's edge beside the bend back to the tangent, as
    far as the flange goes there.
    """
    flat = {item.flange_id: item for item in blank.flats}[end.flange_id]
    line = {item.bend_id: item for item in blank.bend_lines}[end.bend_id]
    width = max(RELIEF_LEAST_MM, blank.thickness_mm)
    whole = Polygon(flat.outline)
    reach = math.hypot(whole.bounds[2] - whole.bounds[0], whole.bounds[3] - whole.bounds[1])
    rect = _beside(part, line, end, width, BEYOND_MM)
    back = _beside(part, line, end, reach, 0.0)
    round_cut, arcs = _round(part, line, end, width)
    cuts = (("rect", rect, ()), ("round", round_cut, arcs), ("none", back, ()))
    return tuple(_cut(flat, line, shape, region, own) for shape, region, own in cuts)  # type: ignore[arg-type]


def _beside(part: Part, line: BendLine, end: TornEnd, width_mm: float, beyond_mm: float) -> Polygon:
    """The region beside the end of a bend, ``width_mm`` wide, from beyond the owner's tangent to where its sheet ends."""
    _, outward = _axes(line)
    a, b = end.edge
    reach = 4.0 * line.zone_width_mm + 100.0 * TOUCH_MM
    first, last = (beyond_mm, reach) if part.bend(end.bend_id).parent == end.flange_id else (reach, beyond_mm)
    near = (a[0] - first * outward[0], a[1] - first * outward[1])
    far = (b[0] + last * outward[0], b[1] + last * outward[1])
    w = (width_mm * end.out[0], width_mm * end.out[1])
    return Polygon([near, a, b, far, (far[0] + w[0], far[1] + w[1]), (near[0] + w[0], near[1] + w[1])])


def _round(part: Part, line: BendLine, end: TornEnd, width_mm: float) -> tuple[Polygon, tuple[Arc, ...]]:
    """A relief with a round end beyond the tangent, as wide as the rectangular one."""
    _, outward = _axes(line)
    own_parent = part.bend(end.bend_id).parent == end.flange_id
    tip = end.edge[0] if own_parent else end.edge[1]
    inward = (-outward[0], -outward[1]) if own_parent else outward
    radius = 0.5 * width_mm
    centre = (
        tip[0] + radius * end.out[0] + BEYOND_MM * inward[0],
        tip[1] + radius * end.out[1] + BEYOND_MM * inward[1],
    )
    disc = shapely.Point(centre).buffer(radius, quad_segs=STEPS)
    straight = _beside(part, line, end, width_mm, BEYOND_MM)
    joined = shapely.union_all([straight, disc])
    return largest(joined), (Arc(centre=centre, radius_mm=radius),)


def _cut(flat: PlacedFlat, line: BendLine, shape: Shape, region: Polygon, arcs: tuple[Arc, ...]) -> Cut:
    """The region as a cut in the flange's own frame, with the size it has in the sheet there."""
    along, outward = _axes(line)
    taken = Polygon(flat.outline).intersection(region)
    points = shapely.get_coordinates(taken)
    spread = [
        float(max(p @ axis for p in points) - min(p @ axis for p in points)) if len(points) else 0.0
        for axis in (along, outward)
    ]
    back = to_flange(flat)
    ring = shapely.geometry.polygon.orient(back.polygon(region)).exterior.coords[:-1]
    return Cut(
        flange_id=flat.flange_id,
        outline=tuple((float(x), float(y)) for x, y in ring),
        shape=shape,
        width_mm=spread[0],
        depth_mm=spread[1],
        arcs=tuple(replace(arc, centre=back.point(arc.centre)) for arc in arcs),
    )


def to_flange(flat: PlacedFlat) -> Frame:
    """From the blank to the flange's own frame."""
    c, s = math.cos(flat.angle_rad), math.sin(flat.angle_rad)
    x, y = flat.origin
    return Frame((-c * x - s * y, s * x - c * y), -flat.angle_rad)


def with_cut(part: Part, cut: Cut) -> Part:
    """The part with a piece cut off one of its flanges. NotPossibleError M200 when nothing of the flange would be left."""
    flange = part.flange(cut.flange_id)
    rest = largest(Polygon(flange.outline).difference(Polygon(cut.outline)))
    if rest.is_empty:
        raise NotPossibleError(found("M200", where=f"flange {cut.flange_id}", flange=cut.flange_id))
    ring = shapely.geometry.polygon.orient(rest).exterior.coords[:-1]
    new = replace(flange, outline=tuple((float(x), float(y)) for x, y in ring), arcs=(*flange.arcs, *cut.arcs))
    return replace(part, flanges=tuple(new if item.id == flange.id else item for item in part.flanges))


def corners(part: Part, blank: Blank) -> tuple[Corner, ...]:
    """The corners at which the ends of two bends of one flange lie within reach of the crossing of their lines."""
    out = []
    for flange in part.flanges:
        own = [line for line in blank.bend_lines if flange.id in _of(part, line.bend_id) and line.spans]
        for first, second in combinations(own, 2):
            crossing = _crossing(first, second)
            if crossing is None:
                continue
            reach = 2.0 * (first.zone_width_mm + second.zone_width_mm)
            if all(_end_distance(line, crossing) < reach for line in (first, second)):
                inward = [_inward(part, line, flange.id) for line in (first, second)]
                round_mm = 2.0 * _corner_reach(first, second, inward)
                out.append(
                    Corner(
                        flange_id=flange.id,
                        bends=(first.bend_id, second.bend_id),
                        place=crossing,
                        round_mm=round_mm,
                    )
                )
    return tuple(out)


def _of(part: Part, bend_id: str) -> tuple[str, str]:
    bend = part.bend(bend_id)
    return bend.parent, bend.child


def _crossing(first: BendLine, second: BendLine) -> Point | None:
    """Where two bend lines, drawn out, cross; None for lines less than 10 degrees apart."""
    (a, _), (b, _) = _axes(first), _axes(second)
    det = a[0] * b[1] - a[1] * b[0]
    if abs(det) < math.sin(math.radians(10.0)):
        return None
    dx, dy = second.start[0] - first.start[0], second.start[1] - first.start[1]
    s = (dx * b[1] - dy * b[0]) / det
    return (first.start[0] + s * a[0], first.start[1] + s * a[1])


def _end_distance(line: BendLine, place: Point) -> float:
    """From a place to the nearer end of a bend's sheet [mm]."""
    along, _ = _axes(line)
    ends = [line.spans[0][0], line.spans[-1][1]]
    return min(math.dist(place, (line.start[0] + s * along[0], line.start[1] + s * along[1])) for s in ends)


def _inward(part: Part, line: BendLine, flange_id: str) -> Point:
    """From a bend line into one of its two flanges."""
    _, outward = _axes(line)
    return outward if part.bend(line.bend_id).child == flange_id else (-outward[0], -outward[1])


def _corner_reach(first: BendLine, second: BendLine, inward: Sequence[Point]) -> float:
    """From the crossing of two bend lines to the crossing of their tangent lines on the flange they share [mm]."""
    n, m = inward
    p, q = 0.5 * first.zone_width_mm, 0.5 * second.zone_width_mm
    sine = abs(n[0] * m[1] - n[1] * m[0])
    return math.sqrt(max(0.0, p * p + q * q - 2.0 * p * q * (n[0] * m[0] + n[1] * m[1]))) / sine
