"""How big is the blank, and where do the bend lines lie on it?

Between its bends a flange stays flat from tangent line to tangent line; between two flanges lies a bend zone as wide as
the bend allowance. Each child frame therefore moves toward its parent by the bend deduction, so that
flat length = sum of outside lengths - sum of deductions.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import shapely
from shapely import LinearRing, LineString, Polygon
from shapely.geometry.base import BaseGeometry

from bendwright.findings import Finding, NotPossibleError, found
from bendwright.mechanics.bend_allowance import setback_mm
from bendwright.part.bend_size import BendSize
from bendwright.part.blank_model import BendLine, BendZone, Blank, PlacedFlat
from bendwright.part.contour import ring_area_mm2
from bendwright.part.from_flats import stretches_at
from bendwright.part.model import Bend, Circle, Cutout, Feature, Flange, Part, Point, Slot
from bendwright.part.moved_ends import cut_back, led, pieces_left, shifts
from bendwright.part.placing import NEAR_MM, Frame, Line, common, largest, move_arc, move_feature

ALONG_MM = 0.01
CRUMB_MM2 = 1e-4


@dataclass(frozen=True, slots=True)
class _Shape:
    """A flange's sheet: ``hull`` with every window filled, ``parts`` without the windows that bends start in or that part it."""

    hull: Polygon
    parts: tuple[Polygon, ...]

    def cut(self, by: Callable[[Polygon], Polygon]) -> _Shape:
        """The same cut done to hull and parts."""
        return _Shape(by(self.hull), tuple(by(part) for part in self.parts))

    @property
    def sheet(self) -> BaseGeometry:
        """All parts together."""
        return self.parts[0] if len(self.parts) == 1 else shapely.MultiPolygon(self.parts)


@dataclass(frozen=True, slots=True)
class _Laid:
    """A flange as laid out: its flat in its own frame, where that frame lies, its openings in the midst of the flat, and its
    other windows.
    """

    flange: Flange
    flat: _Shape
    frame: Frame
    openings: list[Feature]
    windows: list[Cutout]


def make_blank(part: Part, sizes: Mapping[str, BendSize], *, thickness_mm: float) -> Blank:
    """Lay the part out flat with the given bend sizes (by bend id).

    A child that would be wider than what its parent's neighbouring bends leave of the edge is trimmed to it (open
    corners). ``overlap_mm2`` > 0 says that the layout overlaps itself: such a blank cannot be cut. Raises
    NotPossibleError when the bends take the whole of a flange (M101) or part it at a notch (M114).
    """
    laid, lines, zones = _lay_out(part, sizes)
    placed = [item.frame.polygon(part) for item in laid for part in item.flat.parts]
    sheets = [zone for _, zone in zones]
    bridged = shapely.union_all([*placed, *(zone.buffer(1e-5, join_style="mitre") for zone in sheets)])
    joined = largest(largest(bridged).simplify(5e-5))
    overlap = sum(shape.area for shape in placed) + sum(zone.area for zone in sheets) - joined.area
    x0, y0, x1, y1 = joined.bounds
    moved = Frame((-x0, -y0), 0.0)
    flats = tuple(_placed(item, moved) for item in laid)
    features = tuple(
        feature
        for flat, item in zip(flats, laid, strict=True)
        for feature in flat.features[len(flat.features) - len(item.openings) :]
    )
    ring = shapely.geometry.polygon.orient(moved.polygon(joined))
    outline = _ring(ring.exterior.coords)
    windows = tuple(_ring(inner.coords) for inner in ring.interiors if Polygon(inner).area > 1e-3)
    arcs = tuple(arc for flat in flats for arc in flat.arcs)
    openings = sum(ring_area_mm2(window, arcs) for window in windows) + sum(map(feature_area_mm2, features))
    return Blank(
        outline=outline,
        windows=windows,
        features=features,
        flats=flats,
        bend_lines=tuple(replace(line, start=moved.point(line.start), end=moved.point(line.end)) for line in lines),
        sizes=tuple(sizes[bend.id] for bend in part.bends),
        thickness_mm=thickness_mm,
        width_mm=x1 - x0,
        height_mm=y1 - y0,
        area_mm2=ring_area_mm2(outline, arcs) - openings,
        overlap_mm2=max(0.0, overlap) if overlap > 0.01 else 0.0,
        arcs=arcs,
        zones=tuple(_zone(bend_id, moved.polygon(zone)) for bend_id, zone in zones),
    )


def _zone(bend_id: str, shape: Polygon) -> BendZone:
    turned = shapely.geometry.polygon.orient(shape)
    windows = tuple(_ring(inner.coords) for inner in turned.interiors)
    return BendZone(bend_id=bend_id, outline=_ring(turned.exterior.coords), windows=windows)


def feature_area_mm2(feature: Feature) -> float:
    """Area of a hole, slot or window [mm2]."""
    if isinstance(feature, Circle):
        return math.pi * feature.diameter_mm**2 / 4.0
    if isinstance(feature, Slot):
        straight = feature.length_mm - feature.width_mm
        return straight * feature.width_mm + math.pi * feature.width_mm**2 / 4.0
    return ring_area_mm2(feature.points, feature.arcs)


def _lay_out(
    part: Part, sizes: Mapping[str, BendSize]
) -> tuple[list[_Laid], list[BendLine], list[tuple[str, Polygon]]]:
    root = part.flanges[0]
    waiting: dict[str, tuple[_Shape, Frame]] = {root.id: (_drawn(part, root), Frame((0.0, 0.0), 0.0))}
    laid: list[_Laid] = []
    lines: dict[str, BendLine] = {}
    zones: list[tuple[str, Polygon]] = []
    order = [root.id, *(bend.child for bend in part.bends)]
    for flange_id in order:
        flat, frame = waiting.pop(flange_id)
        empty = flat.sheet.is_empty
        below = [bend for bend in part.bends if bend.parent == flange_id]
        flat = _cut_below(part, flange_id, sizes, flat)
        if empty or any(piece.is_empty for piece in flat.parts):
            raise NotPossibleError(_no_flat(part, flange_id, sizes))
        laid.append(_laid(part, flange_id, flat, frame))
        for bend in below:
            child, own, spans = _beyond(part, bend, sizes, flat)
            if not spans:
                where = f"bend {bend.id}"
                raise NotPossibleError(found("M106", where=where, bend=bend.id, parent=bend.parent, child=bend.child))
            waiting[bend.child] = (child, frame.after(Line.of(bend).child_frame(sizes[bend.id].bend_deduction_mm)))
            lines[bend.id] = _bend_line(bend, sizes[bend.id], frame, spans)
            zones += [(bend.id, frame.polygon(zone)) for zone in own]
    return laid, [lines[bend.id] for bend in part.bends], zones


def _cut_below(part: Part, flange_id: str, sizes: Mapping[str, BendSize], flat: _Shape) -> _Shape:
    """A flange's flat without what the bends on it take."""
    for bend in part.bends:
        if bend.parent == flange_id:
            flat = flat.cut(_cutter(part, bend, sizes[bend.id], Line.of(bend), 0.0))
    return flat


def _laid(part: Part, flange_id: str, flat: _Shape, frame: Frame) -> _Laid:
    flange = part.flange(flange_id)
    windows = _open_windows(part, flange)
    return _Laid(flange, flat, frame, [feature for feature in flange.features if feature not in windows], windows)


def _drawn(part: Part, flange: Flange) -> _Shape:
    """A flange's nominal shape."""
    hull = Polygon(flange.outline)
    windows = [Polygon(window.points) for window in _open_windows(part, flange)]
    if not windows:
        return _Shape(hull, (hull,))
    rest = hull.difference(shapely.union_all(windows))
    return _Shape(hull, tuple(p for p in getattr(rest, "geoms", [rest]) if p.area > CRUMB_MM2))


def _open_windows(part: Part, flange: Flange) -> list[Cutout]:
    """Cut-outs that run along a bend line of the flange or along its outline: no openings in the midst of a flat."""
    cutouts = [feature for feature in flange.features if isinstance(feature, Cutout)]
    if not cutouts:
        return []
    lines = [LineString([bend.start, bend.end]) for bend in part.bends if bend.parent == flange.id]
    edges = shapely.union_all([LinearRing(flange.outline), *lines])
    return [c for c in cutouts if edges.intersection(LinearRing(c.points).buffer(NEAR_MM * 100)).length > ALONG_MM]


def _beyond(
    part: Part, bend: Bend, sizes: Mapping[str, BendSize], flat: _Shape
) -> tuple[_Shape, list[Polygon], list[tuple[float, float]]]:
    """What lies beyond a flange's flat: the child's outline without its half of the bend, the bend's own sheet, its stretches."""
    line, size = Line.of(bend), sizes[bend.id]
    inner = -size.setback_mm
    if not bend.zone:
        plain, spans = _child(part, bend, size, flat.hull)
        child = _Shape(plain, (plain,))
        return child, [line.strip(low, high, inner, inner + size.bend_allowance_mm) for low, high in spans], spans
    axis = Line((line.length, 0.0), line.length, (-1.0, 0.0), (0.0, -1.0))
    child = _drawn(part, part.flange(bend.child)).cut(_cutter(part, bend, size, axis, 1.0))
    if child.sheet.is_empty or not line.edges_on(flat.sheet, inner):
        return child, [], []
    ends_at = _cut_below(part, bend.child, sizes, child)
    own = _own_sheet(part, bend, size, line, (flat.sheet, ends_at.sheet))
    middle = inner + 0.5 * size.bend_allowance_mm
    return child, own, sorted(span for zone in own for span in line.material(zone, middle))


def _cutter(part: Part, bend: Bend, size: BendSize, line: Line, share: float) -> Callable[[Polygon], Polygon]:
    """The cut that a bend makes in the flat at that share: its parent (0) or its child (1)."""
    drawn, stretches = _drawn_back_mm(part, bend, size), stretches_at(bend.zone, share, line.length)
    flange_id = bend.child if share else bend.parent

    def cut(shape: Polygon) -> Polygon:
        count = pieces_left(shape, line, stretches, back_mm=size.setback_mm)
        if count > 1:
            where = f"flange {flange_id}"
            taken = {"bend": bend.id, "take": size.setback_mm}
            raise NotPossibleError(found("M114", where=where, flange=flange_id, count=count, **taken))
        return cut_back(shape, line, stretches, back_mm=size.setback_mm, drawn_mm=drawn)

    return cut


def _drawn_back_mm(part: Part, bend: Bend, size: BendSize) -> float:
    """Where the bend's tangent lines are drawn; a bend without sheet of its own is drawn for any radius."""
    if not bend.zone or bend.drawn_radius_mm is None or part.header.thickness_mm is None:
        return size.setback_mm
    return setback_mm(
        inside_radius_mm=bend.drawn_radius_mm,
        thickness_mm=part.header.thickness_mm,
        turned_deg=bend.turned_deg,
        measured_to=bend.measured_to,
    )


def _own_sheet(
    part: Part, bend: Bend, size: BendSize, line: Line, flats: tuple[BaseGeometry, BaseGeometry]
) -> list[Polygon]:
    """The bend's own sheet between the flats of its parent and child as they now end."""
    inner, width, length = -size.setback_mm, size.bend_allowance_mm, line.length
    axis = Line((length, 0.0), length, (-1.0, 0.0), (0.0, -1.0))
    backs = {"back_mm": size.setback_mm, "drawn_mm": _drawn_back_mm(part, bend, size)}
    at_parent = shifts(flats[0], line, stretches_at(bend.zone, 0.0, length), **backs)
    at_child = shifts(flats[1], axis, stretches_at(bend.zone, 1.0, length), **backs)

    def ring(points: tuple[Point, ...]) -> list[Point]:
        return [line.at(s, inner + w * width) for s, w in led(points, at_parent, at_child)]

    pieces = [Polygon(ring(piece.outline), [ring(window) for window in piece.windows]) for piece in bend.zone]
    return [largest(shapely.make_valid(piece)) for piece in pieces]


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
    child = largest(child.difference(cut.buffer(NEAR_MM, join_style="mitre")))
    axis = Line((line.length, 0.0), line.length, (-1.0, 0.0), (0.0, 1.0))
    right = axis.material(child, size.setback_mm + 10 * NEAR_MM)
    nominal = [(0.0, line.length)]
    return child, common(common(left, right), nominal)


def _trim(child: Polygon, line: Line, whole: list[tuple[float, float]], left: list[tuple[float, float]]) -> Polygon:
    """Cut from the child what other bends took from its edge (``whole`` as drawn, ``left`` what remains)."""
    low = left[0][0] if left[0][0] > whole[0][0] + NEAR_MM else -1e5
    high = left[-1][1] if left[-1][1] < whole[-1][1] - NEAR_MM else 1e5
    x0, x1 = line.length - high, line.length - low
    return largest(child.intersection(Polygon([(x0, -1e5), (x1, -1e5), (x1, 1e5), (x0, 1e5)])))


def _bend_line(bend: Bend, size: BendSize, frame: Frame, spans: list[tuple[float, float]]) -> BendLine:
    line = Line.of(bend)
    middle = -size.setback_mm + 0.5 * size.bend_allowance_mm
    return BendLine(
        bend_id=bend.id,
        start=frame.point(line.at(0.0, middle)),
        end=frame.point(line.at(line.length, middle)),
        spans=tuple(spans),
        direction=bend.direction,
        turned_deg=bend.turned_deg,
        zone_width_mm=size.bend_allowance_mm,
        hit_of=bend.hit.of if bend.hit else "",
    )


def _placed(item: _Laid, moved: Frame) -> PlacedFlat:
    frame = moved.after(item.frame)
    hull = Polygon(item.flat.hull.exterior)
    open_arcs = tuple(arc for window in item.windows for arc in window.arcs)
    gone = hull.difference(item.flat.sheet) if item.windows else Polygon()
    gaps = [gap for gap in getattr(gone, "geoms", [gone]) if gap.area > CRUMB_MM2]
    windows = [Cutout(points=_ring(gap.exterior.coords), arcs=open_arcs) for gap in gaps]
    shape = shapely.geometry.polygon.orient(frame.polygon(hull))
    return PlacedFlat(
        flange_id=item.flange.id,
        origin=frame.origin,
        angle_rad=frame.angle_rad,
        outline=_ring(shape.exterior.coords),
        features=tuple(move_feature(feature, frame) for feature in (*windows, *item.openings)),
        arcs=tuple(move_arc(arc, frame) for arc in (*item.flange.arcs, *open_arcs)),
    )


def _ring(coords: object) -> tuple[Point, ...]:
    points = [(float(x), float(y)) for x, y in coords]  # type: ignore[attr-defined]
    return tuple(points[:-1] if points[0] == points[-1] else points)
