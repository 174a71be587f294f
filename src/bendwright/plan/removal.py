"""Can the part come off when the ram goes up?"""

from __future__ import annotations

import math
from dataclasses import dataclass

import shapely

from bendwright.geometry.rigid import Array
from bendwright.plan.evidence import Posed, oriented_classes, swung
from bendwright.plan.layout import sweeps_up
from bendwright.plan.search import Prepared, Step, swing_at
from bendwright.plan.stations import Station
from bendwright.stroke.tooling import ear_of

LIFT_MM = 500.0


@dataclass(frozen=True, slots=True)
class Trap:
    """A piece of the part over the punch: how far [mm] it overlaps the stack at its ends, or that it lies over its whole
    length (``sideways``: the part must be slid off along the bed).
    """

    piece: str
    overlap_mm: float
    sideways: bool
    ear_foot: bool


def trap(prepared: Prepared, step: Step, station: Station, bodies: list[Posed], start: float) -> Trap | None:
    """The worst thing in the way of the punch going straight up after the stroke (None: it comes free)."""
    swing = swing_at(prepared, step)
    angle = math.radians(swing.target_turned_deg)
    end = start + station.punch_stack.length_mm
    ear = ear_of(station.slot.tables.punch)
    worst: Trap | None = None
    for posed in bodies:
        if posed.flat or posed.body.zone is not None:
            continue
        shape = shapely.Polygon(swung(posed.ring, swing, angle))
        for item in oriented_classes(prepared, step, station, posed.side):
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
    return worst


def _crosses(shape: shapely.Polygon, pieces: tuple[Array, ...]) -> bool:
    return any(sweeps_up(piece, LIFT_MM).intersection(shape).area > 0.05 for piece in pieces)
