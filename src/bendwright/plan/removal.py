"""Can the part come off when the ram goes up?"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import shapely

from bendwright.geometry.convex import swept_up
from bendwright.geometry.rigid import Array
from bendwright.plan.backwards import Step, swing_at
from bendwright.plan.evidence import Posed, oriented_classes, swung
from bendwright.plan.fits import SHIFT_OFF
from bendwright.plan.stations import Station
from bendwright.plan.tables import Tables
from bendwright.stroke.tooling import LIFT_MM, ear_of


@dataclass(frozen=True, slots=True)
class Trap:
    """A piece of the part over the punch: how far [mm] it overlaps the stack at its ends, or that it lies over its middle
    (``sideways``). Then the part is shifted toward front or gauge before it comes off (``shift``: the search found that this frees
    it), or slid off along the bed.
    """

    piece: str
    overlap_mm: float
    sideways: bool
    ear_foot: bool
    shift: bool = False


def trap(tables: Tables, step: Step, station: Station, bodies: list[Posed], start: float) -> Trap | None:
    """The worst thing in the way of the punch going straight up after the stroke (None: it comes free)."""
    swing = swing_at(tables, step)
    angle = math.radians(swing.target_turned_deg)
    end = start + station.punch_stack.length_mm
    ear = ear_of(station.slot.punch)
    worst: Trap | None = None
    tools = {side: oriented_classes(tables, step, station, side) for side in {posed.side for posed in bodies}}
    for posed in bodies:
        if posed.flat or posed.body.zone is not None:
            continue
        shape = shapely.Polygon(swung(posed.ring, swing, angle))
        for item in tools[posed.side]:
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
    return None if worst is None else replace(worst, shift=worst.sideways and bool(step.flags & SHIFT_OFF))


def _crosses(shape: shapely.Polygon, pieces: tuple[Array, ...]) -> bool:
    return any(shapely.Polygon(swept_up(piece, LIFT_MM)).intersection(shape).area > 0.05 for piece in pieces)
