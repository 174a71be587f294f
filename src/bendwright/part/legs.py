"""How long is the straight leg beside a bend, before any other bend of the flange is counted?"""

from __future__ import annotations

from dataclasses import dataclass

import shapely
from shapely.geometry import LineString

from bendwright.part.blank_model import BendLine, Blank
from bendwright.part.model import Part
from bendwright.part.placing import Line

EVENLY = 41
HELD_SHARE = 0.75
BESIDE_MM = 1e-3


@dataclass(frozen=True, slots=True)
class Leg:
    """Leg on one side of a bend, to the end of the dimension: ``outside_mm`` is held by at least three quarters of the bend,
    ``least_mm`` is the shortest anywhere on it. While none of the bends at the far end is done, the sheet goes on flat
    and the leg is longer.
    """

    outside_mm: float
    least_mm: float
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
    corners = [(x - line.start[0]) * along[0] + (y - line.start[1]) * along[1] for x, y in flat.exterior.coords]
    even: list[float] = []
    beside: list[float] = []
    tips = []
    for low, high in line.spans:
        for s, found in (*((s, even) for s in _even(low, high)), *((s, beside) for s in _beside(low, high, corners))):
            foot = (line.start[0] + s * along[0] + half * outward[0], line.start[1] + s * along[1] + half * outward[1])
            tip = (foot[0] + 1e5 * outward[0], foot[1] + 1e5 * outward[1])
            reach = _first_stretch(LineString([foot, tip]), flat)
            found.append(reach)
            tips.append(shapely.Point(foot[0] + reach * outward[0], foot[1] + reach * outward[1]))
    far = []
    for other in blank.bend_lines:
        owner = part.bend(other.bend_id)
        if other.bend_id == line.bend_id or flange_id not in (owner.parent, owner.child):
            continue
        zone = LineString([other.start, other.end]).buffer(0.5 * other.zone_width_mm + 0.01, cap_style="flat")
        if any(zone.intersects(tip) for tip in tips):
            far.append(other.bend_id)
    even.sort()
    held = even[int((1.0 - HELD_SHARE) * (len(even) - 1))]
    return Leg(held + size.setback_mm, min(even + beside) + size.setback_mm, tuple(far))


def _even(low: float, high: float) -> list[float]:
    """Even probes along a stretch."""
    step = (high - low) / EVENLY
    return [low + (i + 0.5) * step for i in range(EVENLY)]


def _beside(low: float, high: float, corners: list[float]) -> list[float]:
    """Probes just beside each corner of the outline within a stretch."""
    places = [corner + side for corner in corners for side in (-BESIDE_MM, BESIDE_MM)]
    return [place for place in places if low + BESIDE_MM < place < high - BESIDE_MM]


def _first_stretch(ray: LineString, flat: shapely.Polygon) -> float:
    cut = ray.intersection(flat)
    parts = [part for part in getattr(cut, "geoms", [cut]) if part.length > 0.0]
    start = shapely.Point(ray.coords[0])
    return min(parts, key=start.distance).length if parts else 0.0
