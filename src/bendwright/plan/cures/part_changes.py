"""The part with one size changed, everything else as drawn.

A flange is cut across at a place where nothing is drawn, and everything beyond the cut moves square to it: outline, bend
lines with all that hangs on them, and features whose middle lies beyond. A bend line the cut crosses becomes longer or
shorter with the flange on its other side. None where that cannot be done with the holes staying what they are.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from dataclasses import replace

import shapely

from bendwright.part.bumped import facets_of
from bendwright.part.features import feature_shape
from bendwright.part.legs import beyond_mm
from bendwright.part.model import Bend, Cutout, Feature, Flange, Part, Point, ZonePiece
from bendwright.part.placing import Frame, Line, move_feature

LEAST_GAP_MM = 0.5
ON_CIRCLE_MM = 1e-3
SQUARE = 1e-9


def stretched(part: Part, flange_id: str, *, by_mm: float, across: Point = (0.0, 1.0)) -> Part | None:
    """The part with a flange longer (or shorter, ``by_mm`` < 0) in the direction ``across`` (unit vector in its frame). A facet of a
    large radius is not changed so.
    """
    if flange_id in facets_of(part):
        return None
    for cut in _cuts(part.flange(flange_id), across, by_mm):
        changed = _Changed(part)
        if changed.pull(flange_id, across, cut, by_mm) and changed.legal():
            return changed.part()
    return None


def trimmed(part: Part, flange_id: str, *, left_mm: float, right_mm: float) -> Part | None:
    """The part with the ends of a flange and its bend cut back; left is where x = 0 in the flange's frame."""
    bend = next(bend for bend in part.bends if bend.child == flange_id)
    length = Line.of(bend).length
    by = -(left_mm + right_mm)
    for cut in _cuts(part.flange(flange_id), (1.0, 0.0), by):
        changed = _Changed(part)
        if length + by <= LEAST_GAP_MM or not changed.pull(flange_id, (1.0, 0.0), cut, by):
            continue
        line = Line.of(bend)
        shorter = replace(bend, start=line.at(right_mm, 0.0), end=line.at(length - left_mm, 0.0))
        changed.bends[bend.id] = replace(shorter, zone=_zone(bend, length - cut, by))
        if changed.legal():
            return changed.part()
    return None


def across_size_mm(part: Part, flange_id: str, across: Point = (0.0, 1.0)) -> float:
    """Outside size of a flange in the direction ``across`` [mm], as drawn; a flange on a bend is measured from its bend line."""
    along = [x * across[0] + y * across[1] for x, y in part.flange(flange_id).outline]
    hangs = any(bend.child == flange_id for bend in part.bends) and across == (0.0, 1.0)
    return max(along) - (0.0 if hangs else min(along)) + beyond_mm(part, flange_id, across)


def _cuts(flange: Flange, across: Point, by_mm: float) -> list[float]:
    """Where the flange can be cut: the middles of the stretches without a corner, the longest first."""
    along = sorted({round(x * across[0] + y * across[1], 6) for x, y in flange.outline})
    gaps = [(high - low, 0.5 * (low + high)) for low, high in itertools.pairwise(along)]
    wide = [(gap, cut) for gap, cut in gaps if gap + min(by_mm, 0.0) > LEAST_GAP_MM]
    return [cut for _, cut in sorted(wide, key=lambda item: (-item[0], item[1]))]


class _Changed:
    """Flanges and bends of a part while they are being changed."""

    def __init__(self, part: Part) -> None:
        self.before = part
        self.flanges = {flange.id: flange for flange in part.flanges}
        self.bends = {bend.id: bend for bend in part.bends}

    def part(self) -> Part:
        """The changed part."""
        flanges = tuple(self.flanges[flange.id] for flange in self.before.flanges)
        return replace(self.before, flanges=flanges, bends=tuple(self.bends[bend.id] for bend in self.before.bends))

    def pull(self, flange_id: str, across: Point, cut: float, by: float) -> bool:
        """Move all of a flange beyond the cut; False when something drawn would be broken by it."""
        flange = self.flanges[flange_id]
        if not _room(flange, across, cut, by):
            return False

        def move(point: Point) -> Point:
            if _at(point, across) <= cut:
                return point
            return (point[0] + by * across[0], point[1] + by * across[1])

        self.flanges[flange_id] = replace(
            flange,
            outline=tuple(move(point) for point in flange.outline),
            arcs=tuple(replace(arc, centre=move(arc.centre)) for arc in flange.arcs),
            features=tuple(_moved(feature, move) for feature in flange.features),
        )
        for bend in [bend for bend in self.bends.values() if bend.parent == flange_id]:
            ends = _at(bend.start, across), _at(bend.end, across)
            new = replace(bend, start=move(bend.start), end=move(bend.end))
            if (ends[0] > cut) != (ends[1] > cut):
                along = Line.of(bend).along
                if abs(abs(_at(along, across)) - 1.0) > SQUARE:
                    return False
                new = replace(new, zone=_zone(bend, abs(ends[0] - cut), by))
                if not self.pull(bend.child, (1.0, 0.0), abs(ends[1] - cut), by):
                    return False
            self.bends[bend.id] = new
        return True

    def legal(self) -> bool:
        """No outline crosses itself, no feature sticks out or meets another that did not before."""
        for flange in self.before.flanges:
            new = self.flanges[flange.id]
            if new is not flange and not _troubles(new) <= _troubles(flange):
                return False
        return True


def _at(point: Point, across: Point) -> float:
    return point[0] * across[0] + point[1] * across[1]


def _room(flange: Flange, across: Point, cut: float, by: float) -> bool:
    """Enough straight outline about the cut, and no arc of it runs across."""
    low = max((_at(p, across) for p in flange.outline if _at(p, across) <= cut), default=-math.inf)
    high = min((_at(p, across) for p in flange.outline if _at(p, across) > cut), default=math.inf)
    if high - low + min(by, 0.0) <= LEAST_GAP_MM:
        return False
    for arc in flange.arcs:
        on = [
            _at(p, across) > cut for p in flange.outline if abs(math.dist(p, arc.centre) - arc.radius_mm) < ON_CIRCLE_MM
        ]
        if on and (any(on) != all(on) or on[0] != (_at(arc.centre, across) > cut)):
            return False
    return True


def _moved(feature: Feature, move: Callable[[Point], Point]) -> Feature:
    """The feature moved as a whole where its middle lies beyond the cut."""
    centre = feature_shape(feature).centroid
    old = (float(centre.x), float(centre.y))
    new = move(old)
    dx, dy = new[0] - old[0], new[1] - old[1]
    if isinstance(feature, Cutout):
        return move_feature(feature, Frame((dx, dy), 0.0))
    return replace(feature, centre=(feature.centre[0] + dx, feature.centre[1] + dy))


def _zone(bend: Bend, cut: float, by: float) -> tuple[ZonePiece, ...]:
    """The bend's own sheet, what lies beyond the cut (from the line's start) moved."""

    def ring(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((s + by if s > cut else s, share) for s, share in points)

    return tuple(
        ZonePiece(outline=ring(piece.outline), windows=tuple(ring(window) for window in piece.windows))
        for piece in bend.zone
    )


def _troubles(flange: Flange) -> set[tuple[int, int]]:
    """What is wrong with a flange: (-1, -1) its outline, (i, -1) feature i sticks out, (i, k) two features meet."""
    sheet = shapely.Polygon(flange.outline)
    if not sheet.is_valid or sheet.area <= 0.0:
        return {(-1, -1)}
    shapes = [feature_shape(feature) for feature in flange.features]
    out = {(i, -1) for i, shape in enumerate(shapes) if not sheet.covers(shape)}
    pairs = itertools.combinations(range(len(shapes)), 2)
    return out | {(i, k) for i, k in pairs if shapes[i].distance(shapes[k]) <= 0.0}
