"""How long is the straight leg beside a bend, before any other bend of the flange is counted?"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import LineString

from bendwright.geometry.rigid import Array
from bendwright.part.blank_model import BendLine, Blank
from bendwright.part.model import Bend, Part, Point
from bendwright.part.placing import Line

EVENLY = 41
HELD_SHARE = 0.75
BESIDE_MM = 1e-3
ALONG = 1e-6
SLIGHT_DEG = 15.0
"""Up to so many degrees a hit beside a bend does not end its leg: the sheet goes on over the die nearly flat."""


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
    """Outside size of a flange square to its bends [mm]: from its own bend (or the far end of the root) to its other end; beside a
    radius made hit by hit it goes to where the drawing ends it.
    """
    flange = part.flange(flange_id)
    own = any(bend.child == flange_id for bend in part.bends)
    below = [bend for bend in part.bends if bend.parent == flange_id]
    if own or not below:
        size = max(y for _, y in flange.outline) - (0.0 if own else min(y for _, y in flange.outline))
        return size + beyond_mm(part, flange_id, (0.0, 1.0))
    outward = Line.of(below[0]).outward
    along = [x * outward[0] + y * outward[1] for x, y in flange.outline]
    return max(along) - min(along) + beyond_mm(part, flange_id, outward)


def beyond_mm(part: Part, flange_id: str, across: Point) -> float:
    """What the drawing adds to a flange's size in a direction where radii made hit by hit begin or end [mm]."""
    ends: dict[float, float] = {}
    for bend in part.bends:
        if bend.hit is None:
            continue
        if bend.child == flange_id and bend.hit.number == bend.hit.count:
            ends[-1.0] = bend.hit.beyond_mm
        elif bend.parent == flange_id and bend.hit.number == 1:
            way = sum(a * b for a, b in zip(Line.of(bend).outward, across, strict=True))
            if abs(way) > 1.0 - ALONG:
                ends[round(way)] = bend.hit.beyond_mm
    return sum(ends.values())


def leg_beside(part: Part, blank: Blank, line: BendLine, *, child_side: bool) -> Leg:
    """The straight leg of the bend's child or parent [mm], from the mould line (or outer tangent) outward; of a hit all sheet up
    to the end of the flange beyond the radius.
    """
    bend = part.bend(line.bend_id)
    last = _end_of_run(part, bend, child_side=child_side)
    if last is not bend:
        end = next(item for item in blank.bend_lines if item.bend_id == last.id)
        leg, apart = leg_beside(part, blank, end, child_side=child_side), _apart_mm(line, end)
        return Leg(leg.outside_mm + apart, leg.least_mm + apart, leg.far_bends)
    flange_id = bend.child if child_side else bend.parent
    outline = {item.flange_id: item for item in blank.flats}[flange_id].outline
    flat = shapely.Polygon(outline).buffer(1e-6, join_style="mitre")
    size = blank.size(line.bend_id)
    length = ((line.end[0] - line.start[0]) ** 2 + (line.end[1] - line.start[1]) ** 2) ** 0.5
    along = ((line.end[0] - line.start[0]) / length, (line.end[1] - line.start[1]) / length)
    sign = 1.0 if child_side else -1.0
    outward = (sign * along[1], -sign * along[0])
    half = 0.5 * line.zone_width_mm
    corners = [(x - line.start[0]) * along[0] + (y - line.start[1]) * along[1] for x, y in outline]
    even = [s for low, high in line.spans for s in _even(low, high)]
    beside = [s for low, high in line.spans for s in _beside(low, high, corners)]
    way = np.array(outward)
    feet = np.array(line.start) + np.outer([*even, *beside], along) + half * way
    reaches = _reaches(feet, way, flat)
    tips = shapely.points(feet + reaches[:, None] * way)
    far = []
    for other in blank.bend_lines:
        owner = part.bend(other.bend_id)
        if other.bend_id == line.bend_id or flange_id not in (owner.parent, owner.child):
            continue
        zone = LineString([other.start, other.end]).buffer(0.5 * other.zone_width_mm + 0.01, cap_style="flat")
        if bool(shapely.intersects(zone, tips).any()):
            far.append(other.bend_id)
    ordered = np.sort(reaches[: len(even)])
    held = float(ordered[int((1.0 - HELD_SHARE) * (len(even) - 1))])
    return Leg(held + size.setback_mm, float(reaches.min()) + size.setback_mm, tuple(far))


def _end_of_run(part: Part, bend: Bend, *, child_side: bool) -> Bend:
    """The last hit of a bend's radius on that side; the bend itself where it is none, or turns more than slightly."""
    own = bend.hit
    if own is None or bend.turned_deg > SLIGHT_DEG:
        return bend
    number = own.count if child_side else 1
    return next(b for b in part.bends if b.hit is not None and b.hit.of == own.of and b.hit.number == number)


def _apart_mm(first: BendLine, second: BendLine) -> float:
    """Distance of two parallel bend lines on the blank [mm]."""
    (ax, ay), (bx, by), (px, py) = first.start, first.end, second.start
    return abs((bx - ax) * (py - ay) - (by - ay) * (px - ax)) / math.hypot(bx - ax, by - ay)


def _even(low: float, high: float) -> list[float]:
    """Even probes along a stretch."""
    step = (high - low) / EVENLY
    return [low + (i + 0.5) * step for i in range(EVENLY)]


def _beside(low: float, high: float, corners: list[float]) -> list[float]:
    """Probes just beside each corner of the outline within a stretch."""
    places = [corner + side for corner in corners for side in (-BESIDE_MM, BESIDE_MM)]
    return [place for place in places if low + BESIDE_MM < place < high - BESIDE_MM]


def _reaches(feet: Array, outward: Array, flat: shapely.Polygon) -> Array:
    """How far the sheet goes on without a break from each foot (n, 2) along ``outward`` [mm]."""
    rays = shapely.linestrings(np.stack([feet, feet + 1e5 * outward], axis=1))
    cuts = np.asarray(shapely.intersection(rays, flat))
    out = np.asarray(shapely.length(cuts), dtype=np.float64)
    for i in np.flatnonzero(shapely.get_num_geometries(cuts) > 1):
        parts = [part for part in shapely.get_parts(cuts[i]) if part.length > 0.0]
        start = shapely.Point(feet[i])
        out[i] = min(parts, key=start.distance).length if parts else 0.0
    return out
