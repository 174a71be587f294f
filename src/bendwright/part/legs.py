"""How long is the straight leg beside a bend, before any other bend of the flange is counted?"""

from __future__ import annotations

from dataclasses import dataclass

import shapely
from shapely.geometry import LineString

from bendwright.part.blank_model import BendLine, Blank
from bendwright.part.model import Part
from bendwright.part.placing import Line

PROBES = (0.05, 0.25, 0.5, 0.75, 0.95)


@dataclass(frozen=True, slots=True)
class Leg:
    """Leg on one side of a bend: ``outside_mm`` to the end of the dimension (shortest of five probes along the bend),
    and the bends at its far end: while none of them is done the sheet goes on flat and the leg is longer.
    """

    outside_mm: float
    far_bends: tuple[str, ...]


def outside_mm(part: Part, flange_id: str) -> float:
    """Outside size of a flange square to its bends [mm]: from its own bend (or the far end of the root) to its other end."""
    flange = part.flange(flange_id)
    own = any(bend.child == flange_id for bend in part.bends)
    below = [bend for bend in part.bends if bend.parent == flange_id]
    if own or not below:
        return max(y for _, y in flange.outline) - (0.0 if own else min(y for _, y in flange.outline))
    outward = Line.of(below[0]).outward
    along = [x * outward[0] + y * outward[1] for x, y in flange.outline]
    return max(along) - min(along)


def leg_beside(part: Part, blank: Blank, line: BendLine, *, child_side: bool) -> Leg:
    """The straight leg of the bend's child or parent [mm], from the mould line (or outer tangent) outward."""
    bend = part.bend(line.bend_id)
    flange_id = bend.child if child_side else bend.parent
    flat = shapely.Polygon({item.flange_id: item for item in blank.flats}[flange_id].outline).buffer(1e-6)
    size = blank.size(line.bend_id)
    length = ((line.end[0] - line.start[0]) ** 2 + (line.end[1] - line.start[1]) ** 2) ** 0.5
    along = ((line.end[0] - line.start[0]) / length, (line.end[1] - line.start[1]) / length)
    sign = 1.0 if child_side else -1.0
    outward = (sign * along[1], -sign * along[0])
    half = 0.5 * line.zone_width_mm
    shortest, tips = 1e9, []
    for low, high in line.spans:
        for share in PROBES:
            s = low + share * (high - low)
            foot = (line.start[0] + s * along[0] + half * outward[0], line.start[1] + s * along[1] + half * outward[1])
            tip = (foot[0] + 1e5 * outward[0], foot[1] + 1e5 * outward[1])
            reach = _first_stretch(LineString([foot, tip]), flat)
            shortest = min(shortest, reach)
            tips.append(shapely.Point(foot[0] + reach * outward[0], foot[1] + reach * outward[1]))
    far = []
    for other in blank.bend_lines:
        owner = part.bend(other.bend_id)
        if other.bend_id == line.bend_id or flange_id not in (owner.parent, owner.child):
            continue
        zone = LineString([other.start, other.end]).buffer(0.5 * other.zone_width_mm + 0.01, cap_style="flat")
        if any(zone.intersects(tip) for tip in tips):
            far.append(other.bend_id)
    return Leg(shortest + size.setback_mm, tuple(far))


def _first_stretch(ray: LineString, flat: shapely.Polygon) -> float:
    cut = ray.intersection(flat)
    parts = [part for part in getattr(cut, "geoms", [cut]) if part.length > 0.0]
    start = shapely.Point(ray.coords[0])
    return min(parts, key=start.distance).length if parts else 0.0
