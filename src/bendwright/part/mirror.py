"""The other hand of a part: left out of right, right out of left.

Every flange is mirrored in its own plane and every bend keeps its direction, so the finished part is the mirror image and
the face that is seen stays the one that is seen: what was outside and visible is outside and visible on the copy. The
other way to get a mirror image, the same blank with all bends turned the other way, would show the wrong face. So the
two blanks are mirror images of each other as well: equal in area, and film or brushed side lies on the same face.

The root is mirrored left to right about its own middle, each flange below it about the middle of its bend line; bends keep
their order, so an order of work is the same with its places along the bed mirrored.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bendwright.part.model import Arc, Bend, Circle, Cutout, Feature, Flange, Part, Point, Slot, ZonePiece
from bendwright.part.placing import Line

OTHER_HAND = "-MIRROR"
"""What the part number gains; it is taken off again when a mirrored part is mirrored back."""


def mirrored(part: Part, *, part_no: str | None = None) -> Part:
    """The other hand. ``part_no`` names it; else the number gains ``OTHER_HAND``, or loses it where it has it.

    Mirrored twice it is the part again (within rounding). Grain along x or y is kept: a line has no hand.
    """
    sums = _sums(part)
    flanges = tuple(_flange(flange, sums[flange.id]) for flange in part.flanges)
    bends = tuple(_bend(bend, sums[bend.parent]) for bend in part.bends)
    header = replace(part.header, part_no=part_no or other_number(part.header.part_no))
    return replace(part, header=header, flanges=flanges, bends=bends)


def other_number(part_no: str) -> str:
    """The number with ``OTHER_HAND`` put on, or taken off where it has it."""
    return part_no.removesuffix(OTHER_HAND) if part_no.endswith(OTHER_HAND) else part_no + OTHER_HAND


def _sums(part: Part) -> dict[str, float]:
    """By flange what x and its mirrored x add up to: twice the mirror line's place."""
    xs = [x for x, _ in part.flanges[0].outline]
    return {part.flanges[0].id: min(xs) + max(xs)} | {bend.child: Line.of(bend).length for bend in part.bends}


def _point(point: Point, total: float) -> Point:
    return (total - point[0], point[1])


def _ring(points: Sequence[Point], total: float) -> tuple[Point, ...]:
    """The mirrored ring, running the same way round as before."""
    return tuple(_point(point, total) for point in reversed(points))


def _arcs(arcs: Sequence[Arc], total: float) -> tuple[Arc, ...]:
    return tuple(replace(arc, centre=_point(arc.centre, total)) for arc in arcs)


def _flange(flange: Flange, total: float) -> Flange:
    return replace(
        flange,
        outline=_ring(flange.outline, total),
        features=tuple(_feature(feature, total) for feature in flange.features),
        arcs=_arcs(flange.arcs, total),
    )


def _feature(feature: Feature, total: float) -> Feature:
    if isinstance(feature, Cutout):
        return replace(feature, points=_ring(feature.points, total), arcs=_arcs(feature.arcs, total))
    if isinstance(feature, Slot):
        return replace(feature, centre=_point(feature.centre, total), axis_deg=-feature.axis_deg)
    assert isinstance(feature, Circle)
    return replace(feature, centre=_point(feature.centre, total))


def _bend(bend: Bend, total: float) -> Bend:
    """Start and end change places: the parent's sheet stays on the left of the line."""
    length = Line.of(bend).length
    return replace(
        bend,
        start=_point(bend.end, total),
        end=_point(bend.start, total),
        zone=tuple(_zone(piece, length) for piece in bend.zone),
    )


def _zone(piece: ZonePiece, length: float) -> ZonePiece:
    return ZonePiece(
        outline=_ring(piece.outline, length), windows=tuple(_ring(window, length) for window in piece.windows)
    )
