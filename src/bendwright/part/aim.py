"""Which size should be aimed at? The middle of each stated tolerance band.

A dimension 60 +0/-0.5 is aimed at 59.75. Only the flange that carries the tolerance changes: everything beyond its middle
moves by the offset, square to its bends.
"""

from __future__ import annotations

from dataclasses import replace

from bendwright.part.model import Bend, Cutout, Feature, Flange, Part, Point
from bendwright.part.placing import Frame, Line, move_feature


def aimed(part: Part) -> Part:
    """The part with every toleranced flange at the middle of its band; the part itself where nothing is off-centre."""
    for flange in part.flanges:
        if flange.tolerance is not None and abs(flange.tolerance.middle_mm) > 1e-9:
            part = _stretched(part, flange, flange.tolerance.middle_mm)
    return part


def _stretched(part: Part, flange: Flange, by_mm: float) -> Part:
    across = _across(part, flange)
    along = [x * across[0] + y * across[1] for x, y in flange.outline]
    middle = 0.5 * (min(along) + max(along))

    def move(point: Point) -> Point:
        if point[0] * across[0] + point[1] * across[1] <= middle:
            return point
        return (point[0] + by_mm * across[0], point[1] + by_mm * across[1])

    changed = replace(
        flange,
        outline=tuple(move(point) for point in flange.outline),
        arcs=tuple(replace(arc, centre=move(arc.centre)) for arc in flange.arcs),
        features=tuple(_moved(feature, move(_anchor(feature)), _anchor(feature)) for feature in flange.features),
    )
    bends = [replace(b, start=move(b.start), end=move(b.end)) if b.parent == flange.id else b for b in part.bends]
    flanges = tuple(changed if item.id == flange.id else item for item in part.flanges)
    return replace(part, flanges=flanges, bends=tuple(bends))


def _across(part: Part, flange: Flange) -> Point:
    """Unit vector square to the flange's bends: y for a child, else square to the root's first bend."""
    own = [bend for bend in part.bends if bend.child == flange.id]
    below: list[Bend] = [bend for bend in part.bends if bend.parent == flange.id]
    if own or not below:
        return (0.0, 1.0)
    outward = Line.of(below[0]).outward
    return (abs(outward[0]), abs(outward[1])) if outward[0] * outward[1] == 0.0 else outward


def _anchor(feature: Feature) -> Point:
    return feature.points[0] if isinstance(feature, Cutout) else feature.centre


def _moved(feature: Feature, new: Point, old: Point) -> Feature:
    dx, dy = new[0] - old[0], new[1] - old[1]
    if isinstance(feature, Cutout):
        return move_feature(feature, Frame((dx, dy), 0.0))
    return replace(feature, centre=(feature.centre[0] + dx, feature.centre[1] + dy))
