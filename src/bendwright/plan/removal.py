"""Can the part come off when the ram goes up?"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import shapely

from bendwright.geometry.rigid import Array
from bendwright.plan.evidence import Posed, oriented_classes, swung
from bendwright.plan.layout import sweeps_up
from bendwright.plan.places import orientation_of, room_at
from bendwright.plan.search import Step, swing_at
from bendwright.plan.stations import Station
from bendwright.plan.tables import Tables
from bendwright.stroke.tooling import ear_of

LIFT_MM = 500.0
SHIFT_MM = 80.0
NOTHING_MM = 1e8


@dataclass(frozen=True, slots=True)
class Trap:
    """A piece of the part over the punch: how far [mm] it overlaps the stack at its ends, or that it lies over its middle
    (``sideways``). Then the part must be slid off along the bed, unless walls stand at both ends (``walled``), or be shifted
    toward front or gauge before it is lowered (``shift``: that frees it).
    """

    piece: str
    overlap_mm: float
    sideways: bool
    ear_foot: bool
    walled: bool = False
    shift: bool = False


def trap(tables: Tables, step: Step, station: Station, bodies: list[Posed], start: float) -> Trap | None:
    """The worst thing in the way of the punch going straight up after the stroke (None: it comes free)."""
    swing = swing_at(tables, step)
    angle = math.radians(swing.target_turned_deg)
    end = start + station.punch_stack.length_mm
    ear = ear_of(station.slot.punch)
    worst: Trap | None = None
    for posed in bodies:
        if posed.flat or posed.body.zone is not None:
            continue
        shape = shapely.Polygon(swung(posed.ring, swing, angle))
        for item in oriented_classes(tables, step, station, posed.side):
            if item.role != "punch":
                continue
            foot = item.name.endswith("foot")
            inset = ear[1] if station.slot.eared and ear is not None and not foot else 0.0
            low, high = max(posed.low_w, start + inset), min(posed.high_w, end - inset)
            if high - low <= 1e-6 or not _crosses(shape, item.pieces):
                continue
            middle = 0.5 * (start + end)
            sideways = low < middle < high
            overlap = end - inset - low if low > middle else high - start - inset
            found = Trap(posed.body.name, overlap, sideways, foot)
            if worst is None or (found.sideways, found.overlap_mm) > (worst.sideways, worst.overlap_mm):
                worst = found
    if worst is None or not worst.sideways:
        return worst
    o = orientation_of(station.slot.turned, step.side)
    window = room_at(tables, step, station).window(o, 2 if station.slot.eared else 0)
    walled = bool(window[0] > -NOTHING_MM and window[1] < NOTHING_MM)
    return replace(worst, walled=walled, shift=_freed_by_shift(tables, step, station, bodies, start))


def _freed_by_shift(tables: Tables, step: Step, station: Station, bodies: list[Posed], start: float) -> bool:
    """Some shift toward front or gauge lets the punch pass everything that stands over the stack."""
    angle = math.radians(swing_at(tables, step).target_turned_deg)
    end = start + station.punch_stack.length_mm
    shapes = []
    for posed in bodies:
        if not posed.flat and min(posed.high_w, end) - max(posed.low_w, start) > 1e-6:
            ring = swung(posed.ring, swing_at(tables, step), angle)
            shapes.append(shapely.Polygon(ring if posed.side == 1 else ring[::-1] * np.array([-1.0, 1.0])))
    obstacles = shapely.union_all(shapes)
    punch = next(item for item in oriented_classes(tables, step, station, 1) if item.role == "punch")
    for shift in np.arange(-SHIFT_MM, SHIFT_MM + 1.0, 2.0):
        pieces = [piece + np.array([shift, abs(shift) + 1.0]) for piece in punch.pieces]
        if all(sweeps_up(piece, LIFT_MM).intersection(obstacles).area < 0.05 for piece in pieces):
            return True
    return False


def _crosses(shape: shapely.Polygon, pieces: tuple[Array, ...]) -> bool:
    return any(sweeps_up(piece, LIFT_MM).intersection(shape).area > 0.05 for piece in pieces)
