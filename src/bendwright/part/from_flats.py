"""A part out of its flat pieces and the folds between them, as drawings give it: radii drawn, tangent lines known.

Drawings show what lies between tangent lines; a ``Part`` lives in outside dimensions, which stay whatever radius the tools
give. So every piece is lengthened at each of its folds by the set-back of the *drawn* radius, straight across the bend
line, as far as the fold's sheet goes. The largest piece becomes the base, lying with its own frame turned to nothing.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import shapely
from shapely import Polygon

from bendwright.findings import PartFileError, found
from bendwright.mechanics.bend_allowance import setback_mm
from bendwright.part.contour import ring_area_mm2
from bendwright.part.model import (
    Arc,
    Bend,
    BendKind,
    Cutout,
    Direction,
    Feature,
    Flange,
    Header,
    LegMeasure,
    Part,
    Point,
    ZonePiece,
)
from bendwright.part.placing import Frame, largest, merged, move_arc, move_feature
from bendwright.part.shape_names import named_shape
from bendwright.said import joined

HEM_TURNED_DEG = 179.0
CLOSED_HEM_SHARE = 0.5
CLEAN_MM = 1e-5
OVERLAP_MM = 1e-4
CLOSED_MM2 = 0.01
SAME_MM = 1e-7
SAME_SHARE = 1e-9
Interval = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatPiece:
    """One flat piece seen from the part's top face, in a right-handed frame of its own: outline counter-clockwise, as drawn
    between tangent lines.
    """

    id: str
    outline: tuple[Point, ...]
    features: tuple[Feature, ...] = ()
    arcs: tuple[Arc, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Fold:
    """One fold between two pieces. ``on_first`` is its tangent line on the first piece with that piece's sheet on the left
    of start -> end; ``on_second`` the same two ends on the second piece's tangent line, its sheet on the right.

    ``zone`` is the fold's own sheet as in ``Bend.zone`` (share 0 at the first piece); empty means a plain rectangle.
    """

    first: str
    second: str
    on_first: tuple[Point, Point]
    on_second: tuple[Point, Point]
    turned_deg: float
    direction: Direction
    inside_radius_mm: float
    zone: tuple[ZonePiece, ...] = ()

    @property
    def length_mm(self) -> float:
        """Length of the tangent line."""
        return math.dist(*self.on_first)

    def turned_round(self) -> Fold:
        """The same fold seen from the second piece."""
        length = self.length_mm
        return replace(
            self,
            first=self.second,
            second=self.first,
            on_first=(self.on_second[1], self.on_second[0]),
            on_second=(self.on_first[1], self.on_first[0]),
            zone=tuple(_half_turned(piece, length) for piece in self.zone),
        )


def part_from_flats(
    header: Header, pieces: Sequence[FlatPiece], folds: Sequence[Fold], *, thickness_mm: float, base: str | None = None
) -> Part:
    """The part. ``base`` names the root piece; else the largest is taken.

    Raises PartFileError: M107 when pieces are joined in a ring, M108 when some hang on nothing.
    """
    by_id = {piece.id: piece for piece in pieces}
    root = by_id[base] if base else max(pieces, key=lambda piece: ring_area_mm2(piece.outline, piece.arcs))
    ordered = _tree(root.id, folds, list(by_id))
    names = {root.id: "base"} | {fold.second: f"flange{n}" for n, fold in enumerate(ordered, 1)}
    frames = {root.id: Frame((0.0, 0.0), 0.0)}
    frames |= {fold.second: _child_frame(fold, drawn_setback_mm(fold, thickness_mm)) for fold in ordered}
    bends = tuple(
        _bend(fold, bend_id, names, frames[fold.first], thickness_mm)
        for fold, bend_id in zip(ordered, _names(ordered, thickness_mm), strict=True)
    )
    flanges = tuple(
        _flange(by_id[piece], names[piece], frames[piece], ordered, thickness_mm)
        for piece in [root.id, *(fold.second for fold in ordered)]
    )
    return Part(header=replace(header, thickness_mm=thickness_mm), flanges=flanges, bends=bends)


def _tree(root: str, folds: Sequence[Fold], pieces: Sequence[str]) -> list[Fold]:
    """The folds parents first, each seen from its parent."""
    reached, ordered, left = {root}, [], list(folds)
    while left:
        ready = [fold for fold in left if fold.first in reached or fold.second in reached]
        if not ready:
            break
        for fold in ready:
            left.remove(fold)
            seen = fold if fold.first in reached else fold.turned_round()
            if seen.second in reached:
                raise PartFileError(found("M107", where="part", flanges=joined(" and ", (fold.first, fold.second))))
            reached.add(seen.second)
            ordered.append(seen)
    loose = [piece for piece in pieces if piece not in reached]
    if loose:
        raise PartFileError(found("M108", where="part", count=len(loose), pieces=", ".join(loose[:8])))
    return ordered


def _names(folds: Sequence[Fold], thickness_mm: float) -> list[str]:
    """b1, b2 ... for bends and h1, h2 ... for hems, in order."""
    counts = {"b": 0, "h": 0}
    out = []
    for fold in folds:
        kind, _ = bend_kind(
            turned_deg=fold.turned_deg, inside_radius_mm=fold.inside_radius_mm, thickness_mm=thickness_mm
        )
        letter = "b" if kind == "bend" else "h"
        counts[letter] += 1
        out.append(f"{letter}{counts[letter]}")
    return out


def is_hem(turned_deg: float) -> bool:
    """Turned right round: the sheet lies back on itself."""
    return turned_deg >= HEM_TURNED_DEG


def bend_kind(*, turned_deg: float, inside_radius_mm: float, thickness_mm: float) -> tuple[BendKind, float | None]:
    """Bend, closed hem (gap of less than half the thickness drawn) or open hem with its gap [mm]."""
    if not is_hem(turned_deg) or inside_radius_mm > 3.0 * thickness_mm:
        return "bend", None
    gap = 2.0 * inside_radius_mm
    return ("hem_closed", None) if gap < CLOSED_HEM_SHARE * thickness_mm else ("hem_open", gap)


def _measured_to(turned_deg: float) -> LegMeasure:
    return "mould_line" if turned_deg <= 90.0 + 1e-6 else "outer_tangent"


def drawn_setback_mm(fold: Fold, thickness_mm: float) -> float:
    """Set-back of the fold at its drawn radius [mm]."""
    return setback_mm(
        inside_radius_mm=fold.inside_radius_mm,
        thickness_mm=thickness_mm,
        turned_deg=fold.turned_deg,
        measured_to=_measured_to(fold.turned_deg),
    )


def _bend(fold: Fold, bend_id: str, names: dict[str, str], frame: Frame, thickness_mm: float) -> Bend:
    (x0, y0), (x1, y1) = fold.on_first
    length, back = fold.length_mm, drawn_setback_mm(fold, thickness_mm)
    ox, oy = back * (y1 - y0) / length, -back * (x1 - x0) / length
    kind, gap = bend_kind(turned_deg=fold.turned_deg, inside_radius_mm=fold.inside_radius_mm, thickness_mm=thickness_mm)
    return Bend(
        id=bend_id,
        parent=names[fold.first],
        child=names[fold.second],
        start=frame.point((x0 + ox, y0 + oy)),
        end=frame.point((x1 + ox, y1 + oy)),
        turned_deg=fold.turned_deg,
        direction=fold.direction,
        measured_to=_measured_to(fold.turned_deg),
        drawn_radius_mm=fold.inside_radius_mm,
        kind=kind,
        hem_gap_mm=gap,
        zone=tuple(_without_doubles(piece) for piece in fold.zone),
    )


def _without_doubles(piece: ZonePiece) -> ZonePiece:
    """The piece without corners that lie on the one before."""

    def ring(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple(
            point
            for before, point in zip((points[-1], *points), points, strict=False)
            if abs(point[0] - before[0]) > SAME_MM or abs(point[1] - before[1]) > SAME_SHARE
        )

    return ZonePiece(outline=ring(piece.outline), windows=tuple(ring(window) for window in piece.windows))


def stretches_at(zone: Sequence[ZonePiece], share: float, length_mm: float) -> list[Interval]:
    """Where the sheet of a bend goes on into the flange at ``share`` 0 (parent) or 1 (child): distances along its line."""
    if not zone:
        return [(0.0, length_mm)]
    out = []
    for piece in zone:
        for (s0, w0), (s1, w1) in zip(piece.outline, (*piece.outline[1:], piece.outline[0]), strict=True):
            if abs(w0 - share) < 1e-6 and abs(w1 - share) < 1e-6 and abs(s1 - s0) > CLEAN_MM:
                out.append((min(s0, s1), max(s0, s1)))
    return merged(out, gap=CLEAN_MM)


def _half_turned(piece: ZonePiece, length: float) -> ZonePiece:
    def ring(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((length - s, 1.0 - w) for s, w in points)

    return ZonePiece(outline=ring(piece.outline), windows=tuple(ring(window) for window in piece.windows))


def _flange(piece: FlatPiece, name: str, frame: Frame, folds: Sequence[Fold], thickness_mm: float) -> Flange:
    """The piece in its flange frame, lengthened at its own fold and at those below it. An opening that ends on a tangent line is
    closed by what the flange is lengthened by.
    """
    strips = []
    for fold in folds:
        back = drawn_setback_mm(fold, thickness_mm)
        if fold.first == piece.id:
            strips += _strip(fold.on_first, fold.zone, 0.0, back)
        elif fold.second == piece.id:
            strips += _strip(fold.on_second, fold.zone, 1.0, -back)
    grown = largest(shapely.union_all([Polygon(piece.outline), *strips]))
    features = [_narrowed(feature, strips) for feature in piece.features]
    ring = [(float(x), float(y)) for x, y in shapely.geometry.polygon.orient(grown).exterior.coords[:-1]]
    closed = [
        named_shape([(float(x), float(y)) for x, y in inner.coords[:-1]], piece.arcs)
        for inner in grown.interiors
        if Polygon(inner).area > CLOSED_MM2
    ]
    features += closed
    return Flange(
        id=name,
        outline=tuple(frame.point(point) for point in _clean(ring)),
        features=tuple(move_feature(feature, frame) for feature in features if feature is not None),
        arcs=tuple(move_arc(arc, frame) for arc in piece.arcs),
    )


def _narrowed(feature: Feature, strips: Sequence[Polygon]) -> Feature | None:
    """A window that a bend starts in, without what the flange is lengthened by; None when nothing of it is left."""
    if not isinstance(feature, Cutout):
        return feature
    window = Polygon(feature.points)
    if not any(window.intersects(strip) for strip in strips):
        return feature
    rest = largest(window.difference(shapely.union_all(strips)))
    if rest.is_empty:
        return None
    ring = shapely.geometry.polygon.orient(rest).exterior.coords[:-1]
    return replace(feature, points=tuple(_clean([(float(x), float(y)) for x, y in ring])))


def _strip(line: tuple[Point, Point], zone: Sequence[ZonePiece], share: float, out_mm: float) -> list[Polygon]:
    """Rectangles from the tangent line outward (right of it for ``out_mm`` > 0), one for each stretch of sheet."""
    (x0, y0), (x1, y1) = line
    length = math.dist(*line)
    ux, uy = (x1 - x0) / length, (y1 - y0) / length
    back = -math.copysign(OVERLAP_MM, out_mm)

    def at(s: float, out: float) -> Point:
        return (x0 + s * ux + out * uy, y0 + s * uy - out * ux)

    return [
        Polygon([at(low, back), at(high, back), at(high, out_mm), at(low, out_mm)])
        for low, high in stretches_at(zone, share, length)
    ]


def _child_frame(fold: Fold, back_mm: float) -> Frame:
    """From the second piece's frame to its flange's: the line's end on x = 0, the tangent line at the set-back."""
    start, end = fold.on_second
    angle = -math.atan2(start[1] - end[1], start[0] - end[0])
    turned = Frame((0.0, 0.0), angle).point(end)
    return Frame((-turned[0], back_mm - turned[1]), angle)


def _clean(ring: Sequence[Point]) -> list[Point]:
    """The ring without corners on straight lines and without doubled ones."""
    kept = shapely.LinearRing(ring).simplify(CLEAN_MM)
    return [(float(x), float(y)) for x, y in kept.coords[:-1]]
