"""Where can the back gauge stop the part? Stops of every bend and side, and the best one for every set of done bends."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import shapely

from bendwright.geometry.kernels import FAR
from bendwright.part.blank_model import Blank
from bendwright.part.model import Point
from bendwright.plan.around import FINGER_MM, Surroundings
from bendwright.plan.packed import PackedStops
from bendwright.plan.situation import Situation
from bendwright.plan.stopping import ASLANT, NOTCHED
from bendwright.stroke.bodies import BendFrame

ALONG = 1e-3
STEEPEST = 1.0
BETWEEN_MM = 5.0
KINDS: tuple[Literal["edge"], Literal["face"], Literal["arc"]] = ("edge", "face", "arc")


@dataclass(frozen=True, slots=True)
class Stop:
    """One thing the finger can touch: a free edge of the lying sheet, the outer face of a standing flange, or the outside
    of an arc bent past 90 degrees. ``numbers`` = (x, low w, high w, r) where they do not depend on the pose;
    an edge with notches in it is one stop with several ``stretches`` (low w, high w). An edge aslant to the bend has its x
    where it comes nearest, and ``rise`` is what x changes along w [mm per mm].
    """

    kind: Literal["edge", "face", "arc"]
    flange_id: str
    path: tuple[int, ...]
    body: int
    arc: int
    numbers: tuple[float, float, float, float]
    direct: bool
    stretches: tuple[tuple[float, float], ...] = ()
    rise: float = 0.0

    def x_at(self, w: float, x_mm: float) -> float:
        """X of the edge at a place along the bend; ``x_mm`` where it is not aslant."""
        if self.rise == 0.0:
            return x_mm
        return self.numbers[0] + (
            self.rise * (w - self.numbers[1]) if self.rise > 0.0 else self.rise * (w - self.numbers[2])
        )


Owned = tuple[tuple[str, tuple[Point, Point]], ...]


def stops_of(situation: Situation, owned: Sequence[Owned], item: Surroundings, side: int) -> tuple[Stop, ...]:
    """All stops on one side of a move; ``owned`` are the stretches of every edge of the outline (see ``owned_edges``)."""
    frame = item.frames[side]
    stops = _edges(situation, owned, item, side, frame)
    for i, (where, body) in enumerate(item.bodies):
        if where != side:
            continue
        if body.zone is None and body.path:
            direct = _flat_up_to(situation, item.move.bends[0], body.path[:-1])
            stops.append(Stop("face", body.flange_id, body.path, i, -1, (0.0,) * 4, direct))
        elif body.zone is not None and body.zone_done and not body.mustnot:
            arc = _arc(situation, frame, item.move.bends[0], body.zone, body.path, i, body.flange_id)
            if arc is not None and arc not in stops:
                stops.append(arc)
    return tuple(stops)


def _edges(situation: Situation, owned: Sequence[Owned], item: Surroundings, side: int, frame: BendFrame) -> list[Stop]:
    pair = situation.pairs.get(item.move.pair) if item.move.jog else None
    nearest = 0.0 if pair is None else max(x for x, _ in pair.punch.outline)
    paths = {body.flange_id: body.path for where, body in item.bodies if where == side and body.zone is None}
    ring = np.array(situation.blank.outline)
    seen = ring @ frame.turn[:, :2].T + frame.move
    after, edge = np.roll(seen, -1, axis=0), np.roll(ring, -1, axis=0) - ring
    across, along = (after - seen)[:, 0], (after - seen)[:, 2]
    length = np.hypot(across, along)
    rises = np.divide(across, along, out=np.full(len(ring), FAR), where=abs(along) > 1e-9)
    level = abs(across) <= ALONG * length
    outward = edge[:, 1] * frame.turn[0, 0] - edge[:, 0] * frame.turn[0, 1]
    fine = level | ((abs(rises) <= STEEPEST) & bool(situation.brake.gauge.independent_x))
    fine &= (length >= 1.0) & (outward > 0.0) & (np.minimum(seen[:, 0], after[:, 0]) > nearest)
    stops = []
    for i in map(int, np.flatnonzero(fine)):
        first, rise, straight = seen[i], float(rises[i]), bool(level[i])
        for owner, ends in owned[i]:
            if owner in paths:
                path = paths[owner]
                low, high = sorted(float((frame.turn @ np.array([*end, 0.0]) + frame.move)[2]) for end in ends)
                x = float(first[0]) if straight else float(first[0] + rise * ((low if rise > 0.0 else high) - first[2]))
                own = 0.0 if straight else rise
                direct = _flat_up_to(situation, item.move.bends[0], path)
                stops.append(Stop("edge", owner, path, -1, -1, (x, low, high, 0.0), direct, ((low, high),), own))
    return [*stops, *_joined([stop for stop in stops if stop.rise == 0.0], situation.finger_contact_mm)]


def _flat_up_to(situation: Situation, bend: int, path: Sequence[int]) -> bool:
    """Whether a stop is that of the flange beside the bend, or of the flange behind a large radius that the bend is a hit of: the hits
    still to be made lie in one flat sheet, and every one is measured from the same stop.
    """
    bends, own = situation.part.bends, situation.part.bends[bend].hit
    hits = [bends[i].hit if i < len(bends) else None for i in path]
    return all(own is not None and hit is not None and hit.of == own.of for hit in hits)


def owned_edges(blank: Blank) -> tuple[Owned, ...]:
    """For every edge of the outline the stretches that belong to a flange's flat piece: flange id and both ends."""
    flats = {flat.flange_id: shapely.Polygon(flat.outline).buffer(1e-3) for flat in blank.flats}
    ring = blank.outline
    out = []
    for i in range(len(ring)):
        edge = shapely.LineString([ring[i], ring[(i + 1) % len(ring)]])
        stretches = []
        for owner, flat in flats.items():
            common = edge.intersection(flat)
            for part in getattr(common, "geoms", [common]):
                if part.length > 1.0:
                    first, last = part.coords[0], part.coords[-1]
                    stretches.append((owner, ((first[0], first[1]), (last[0], last[1]))))
        out.append(tuple(stretches))
    return tuple(out)


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


def good_contact_mm(situation: Situation, bends: Sequence[int]) -> float:
    """Contact that holds the part square: two fingers' worth, and three tenths of the bend up to 200 mm."""
    least = 2.0 * situation.finger_contact_mm + 10.0
    return max(least, min(0.3 * sum(situation.bend_length_mm(bend) for bend in bends), 200.0))


def gauge_limits(situation: Situation) -> tuple[float, ...]:
    """Axis limits and bodies of the gauge for the kernel; what nobody has written down is not limited here (that is said as a
    finding).
    """
    gauge = situation.brake.gauge
    x = gauge.x_range_mm or (-FAR, FAR)
    r = gauge.r_range_mm or (-FAR, FAR)
    finger = gauge.finger_height_mm or FINGER_MM
    wide = gauge.finger_width_mm or FINGER_MM
    beam = (
        (gauge.beam_behind_mm, *gauge.beam_height_mm)
        if gauge.beam_behind_mm and gauge.beam_height_mm
        else (FAR, 0.0, 0.0)
    )
    apart = (gauge.fingers_apart_mm or (wide + BETWEEN_MM, FAR))[0] if (gauge.fingers or 2) > 1 else FAR
    return (*x, *r, finger, situation.finger_contact_mm, situation.blank.thickness_mm, wide, *beam, apart)


Stops = tuple[tuple[tuple[Stop, ...], tuple[Stop, ...]], ...]


def all_stops(situation: Situation, around: Sequence[Surroundings]) -> Stops:
    """Stops of every move and side."""
    owned = owned_edges(situation.blank)
    return tuple((stops_of(situation, owned, item, 0), stops_of(situation, owned, item, 1)) for item in around)


def pack_stops(situation: Situation, around: Sequence[Surroundings], stops: Stops) -> PackedStops:
    """The stops as arrays."""
    flat = [(item, stop) for item, pair in zip(around, stops, strict=True) for side in pair for stop in side]
    counts = [len(side) for pair in stops for side in pair]
    starts = np.concatenate([[0], np.cumsum(counts)]).astype(np.int64)
    fits = [[_fit(situation, item, side) for side in (0, 1)] for item in around]
    return PackedStops(
        first=np.ascontiguousarray(starts[:-1].reshape(-1, 2)),
        last=np.ascontiguousarray(starts[1:].reshape(-1, 2)),
        rows=np.array([_row(item, stop) for item, stop in flat] or [(0, 0, 0)], dtype=np.int64),
        numbers=np.array([(*stop.numbers, stop.rise) for _, stop in flat] or [(0.0,) * 5]),
        must=np.array(
            [0 if stop.arc < 0 else item.bodies[stop.body][1].must for item, stop in flat] or [0], dtype=np.int64
        ),
        mustnot=np.array(
            [0 if stop.kind == "face" else sum(1 << bend for bend in stop.path) for _, stop in flat] or [0],
            dtype=np.int64,
        ),
        live=np.ones(max(len(flat), 1), dtype=np.bool_),
        fit=np.array([[fit for fit, _ in pair] for pair in fits]),
        fit_mask=np.array([[mask for _, mask in pair] for pair in fits], dtype=np.int64),
        good=np.array([good_contact_mm(situation, item.move.bends[: 1 if item.move.jog else None]) for item in around]),
        limits=np.array(gauge_limits(situation)),
    )


def _row(item: Surroundings, stop: Stop) -> tuple[int, int, int]:
    kind = KINDS.index(stop.kind)
    if stop.rise != 0.0:
        kind = ASLANT
    elif len(stop.stretches) > 1:
        kind = NOTCHED
    return kind, -1 if stop.body < 0 else item.at + stop.body, int(stop.direct)


def _fit(situation: Situation, item: Surroundings, side: int) -> tuple[bool, int]:
    """Is the flange on that side a fit, and which of its other bends must be done for this move to be its last?"""
    part = situation.part
    own = part.bends[item.move.bends[0]]
    flange_id = own.child if side == 1 else own.parent
    made = situation.jog_of(item.move.bends[0]) if item.move.jog else None
    if made is not None:
        flange_id = made.beyond(item.move.bends[int(flange_id == made.jog.web)])
    others = [i for i, b in enumerate(part.bends) if i not in item.move.bends and flange_id in (b.parent, b.child)]
    return part.flange(flange_id).fit, sum(1 << i for i in others)
