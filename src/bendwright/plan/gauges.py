"""Where can the back gauge stop the part? Stops of every bend and side, and the best one for every set of done bends."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import shapely

from bendwright.geometry.rigid import Array
from bendwright.part.model import Point
from bendwright.plan import kernels
from bendwright.plan.situation import Situation
from bendwright.plan.tables import MOST_PATH, BendBodies, GaugeTables, Ints
from bendwright.stroke.bodies import BendFrame

ALONG = 1e-3
FINGER_MM = 12.0
NOTCHED = 3
KINDS: tuple[Literal["edge"], Literal["face"], Literal["arc"]] = ("edge", "face", "arc")


@dataclass(frozen=True, slots=True)
class Stop:
    """One thing the finger can touch: a free edge of the lying sheet, the outer face of a standing flange, or the outside
    of an arc bent past 90 degrees. ``numbers`` = (x, low w, high w, r) where they do not depend on the pose;
    an edge with notches in it is one stop with several ``stretches`` (low w, high w).
    """

    kind: Literal["edge", "face", "arc"]
    flange_id: str
    path: tuple[int, ...]
    body: int
    arc: int
    numbers: tuple[float, float, float, float]
    direct: bool
    stretches: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class SideStops:
    """The stops of one bend and side, as records and packed for the kernel."""

    stops: tuple[Stop, ...]
    rows: Ints
    numbers: Array
    bits: Ints


def stops_of(situation: Situation, item: BendBodies, bend: int, side: int) -> SideStops:
    """All stops on one side of a bend."""
    frame = item.frames[side]
    stops = _edges(situation, item, side, frame)
    for i, (where, body) in enumerate(item.bodies):
        if where != side:
            continue
        if body.zone is None and body.path:
            stops.append(Stop("face", body.flange_id, body.path, i, -1, (0.0,) * 4, len(body.path) == 1))
        elif body.zone is not None and body.zone_done:
            arc = _arc(situation, frame, bend, body.zone, body.path, i, body.flange_id)
            if arc is not None and arc not in stops:
                stops.append(arc)
    rows = np.zeros((len(stops), 5), dtype=np.int64)
    numbers = np.zeros((len(stops), 4))
    bits = np.zeros((len(stops), MOST_PATH), dtype=np.int64)
    for i, stop in enumerate(stops):
        kind = NOTCHED if len(stop.stretches) > 1 else KINDS.index(stop.kind)
        rows[i] = (kind, stop.body, len(stop.path), stop.arc, int(stop.direct))
        numbers[i] = stop.numbers
        bits[i, : len(stop.path)] = stop.path
    return SideStops(tuple(stops), rows, numbers, bits)


def _edges(situation: Situation, item: BendBodies, side: int, frame: BendFrame) -> list[Stop]:
    paths = {body.flange_id: body.path for where, body in item.bodies if where == side and body.zone is None}
    flats = {flat.flange_id: shapely.Polygon(flat.outline) for flat in situation.blank.flats}
    ring = situation.blank.outline
    stops = []
    for i in range(len(ring)):
        a, b = ring[i], ring[(i + 1) % len(ring)]
        first, second = (frame.turn @ np.array([*p, 0.0]) + frame.move for p in (a, b))
        length = math.hypot(second[0] - first[0], second[2] - first[2])
        if length < 1.0 or abs(second[0] - first[0]) > ALONG * length:
            continue
        outward = np.array([b[1] - a[1], a[0] - b[0], 0.0])
        if (frame.turn @ outward)[0] <= 0.0:
            continue
        if first[0] <= 0.0:
            continue
        for owner, path in paths.items():
            for low, high in _owned(a, b, flats[owner], frame):
                numbers = (float(first[0]), low, high, 0.0)
                stops.append(Stop("edge", owner, path, -1, -1, numbers, not path, ((low, high),)))
    return [*stops, *_joined(stops, situation.practice.finger_contact_mm)]


def _owned(a: Point, b: Point, flat: shapely.Polygon, frame: BendFrame) -> list[tuple[float, float]]:
    """The stretches (low w, high w) of an outline edge that belong to one flange's flat piece."""
    common = shapely.LineString([a, b]).intersection(flat.buffer(1e-3))
    out = []
    for part in getattr(common, "geoms", [common]):
        if part.length > 1.0:
            ends = [frame.turn @ np.array([*part.coords[k], 0.0]) + frame.move for k in (0, -1)]
            low, high = sorted((float(ends[0][2]), float(ends[1][2])))
            out.append((low, high))
    return out


def _joined(stops: list[Stop], contact: float) -> list[Stop]:
    """Edges of one flange that lie in one line, notches between them, as further stops (stretches of enough contact)."""
    groups: dict[tuple[str, float], list[Stop]] = {}
    for stop in stops:
        if stop.numbers[2] - stop.numbers[1] >= contact:
            groups.setdefault((stop.flange_id, round(stop.numbers[0], 2)), []).append(stop)
    out = []
    for group in groups.values():
        if len(group) < 2:
            continue
        stretches = tuple(sorted((stop.numbers[1], stop.numbers[2]) for stop in group))
        numbers = (group[0].numbers[0], stretches[0][0], stretches[-1][1], 0.0)
        out.append(replace(group[0], numbers=numbers, stretches=stretches))
    return out


def _arc(
    situation: Situation, frame: BendFrame, bend: int, zone: int, path: tuple[int, ...], body: int, flange_id: str
) -> Stop | None:
    """The outside of a neighbouring bend beyond 90 degrees (or a hem's folded edge), where it runs along this bend."""
    line = situation.lines[zone]
    own = situation.lines[bend]
    if line.turned_deg <= 90.0:
        return None
    ends = [frame.turn @ np.array([*p, 0.0]) + frame.move for p in (line.start, line.end)]
    if abs(ends[1][0] - ends[0][0]) > ALONG * abs(ends[1][2] - ends[0][2]) or ends[0][0] <= 0.0:
        return None
    size = situation.blank.size(line.bend_id)
    thickness = situation.blank.thickness_mm
    x = float(ends[0][0]) - 0.5 * size.bend_allowance_mm + size.inside_radius_mm + thickness
    up = line.direction == own.direction
    nose = size.inside_radius_mm + thickness if up else -size.inside_radius_mm
    low, high = sorted((float(ends[0][2]), float(ends[1][2])))
    r = max(0.0, nose - 0.5 * FINGER_MM) if up else nose - 0.5 * FINGER_MM
    return Stop("arc", flange_id, path, body, zone, (x, low, high, r), not path)


def good_contact_mm(situation: Situation, bend: int) -> float:
    """Contact that holds the part square: two fingers' worth, and three tenths of the bend up to 200 mm."""
    least = 2.0 * situation.practice.finger_contact_mm + 10.0
    return max(least, min(0.3 * situation.bend_length_mm(bend), 200.0))


def gauge_limits(situation: Situation) -> tuple[float, ...]:
    """Axis limits for the kernel; axes nobody has written down are not limited here (that is said as a finding)."""
    gauge = situation.brake.gauge
    x = gauge.x_range_mm or (-kernels.FAR, kernels.FAR)
    r = gauge.r_range_mm or (-kernels.FAR, kernels.FAR)
    finger = gauge.finger_height_mm or FINGER_MM
    wide = gauge.finger_width_mm or FINGER_MM
    return (*x, *r, finger, situation.practice.finger_contact_mm, situation.blank.thickness_mm, wide)


def gauge_tables(
    situation: Situation, around: tuple[BendBodies, ...], boxes: tuple[Array, ...]
) -> tuple[GaugeTables, tuple[tuple[SideStops, SideStops], ...]]:
    """Best stop [bend, side, mask] and the stops themselves."""
    n = len(around)
    best = np.full((n, 2, 1 << n), -1, dtype=np.int64)
    value = np.zeros((n, 2, 1 << n, 5))
    all_stops = []
    fixed = gauge_limits(situation)
    for i, item in enumerate(around):
        pair = (stops_of(situation, item, i, 0), stops_of(situation, item, i, 1))
        all_stops.append(pair)
        for side in (0, 1):
            stops = pair[side]
            fit_back, back_mask = _fit(situation, i, side)
            fit_front, front_mask = _fit(situation, i, 1 - side)
            limits = (*fixed, good_contact_mm(situation, i))
            kernels.gauge_bend(
                i, n, side, stops.rows, stops.numbers, stops.bits, item.rows, item.bits, boxes[i], limits,
                fit_front, front_mask, fit_back, back_mask, best[i, side], value[i, side],
            )  # fmt: skip
    return GaugeTables(best, value), tuple(all_stops)


def _fit(situation: Situation, bend: int, side: int) -> tuple[bool, int]:
    """Is the flange on that side a fit, and which of its other bends must be done for this bend to be its last?"""
    part = situation.part
    own = part.bends[bend]
    flange_id = own.child if side == 1 else own.parent
    others = [i for i, b in enumerate(part.bends) if i != bend and flange_id in (b.parent, b.child)]
    return part.flange(flange_id).fit, sum(1 << i for i in others)
