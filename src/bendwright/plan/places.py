"""Where along the bend does a stack stand for a stroke?"""

from __future__ import annotations

from bendwright.plan.backwards import Step
from bendwright.plan.fits import ALONG_IN, ALONG_OFF, SHIFT_OFF, place_range, within
from bendwright.plan.room import PASSING, STANCE
from bendwright.plan.stations import Station, clamped_length_mm
from bendwright.plan.tables import Room, Tables, room_for
from bendwright.stroke.tooling import ear_of


def orientation_of(turned: bool, side: int) -> int:
    """Which way round (0, 1) the punch meets the part when its parent's (0) or child's (1) side is at the gauge."""
    return int(turned) if side == 1 else 1 - int(turned)


def room_at(tables: Tables, step: Step, station: Station) -> Room:
    """Where a stack of the station's punch may stand for the stroke."""
    return room_for(tables, step.move, step.mask, tables.situation.punches.index(station.slot.punch))


def stack_start(tables: Tables, step: Step, station: Station) -> float:
    """Where the punch stack begins along the bend (w) [mm]: in the middle of the bend as far as its room allows, no end of the bend
    uncovered by punch or die unless the room asks for it.
    """
    room = room_at(tables, step, station)
    span = tables.around[step.move].span
    for short in (0.0, tables.short_mm):
        low, high = _range(tables, step, station, room, span, short)
        if low <= high + 1e-6:
            break
    middle = 0.5 * (span[0] + span[1] - station.punch_stack.length_mm)
    return float(min(max(middle, low), high))


def _range(
    tables: Tables, step: Step, station: Station, room: Room, span: tuple[float, float], short: float
) -> tuple[float, float]:
    slot, row = station.slot, room.row
    length = station.punch_stack.length_mm
    sizes = (length, clamped_length_mm(station, tables.situation.brake), station.die_stack.length_mm)
    o, ear = orientation_of(slot.turned, step.side), (ear_of(slot.punch) or (0.0, 0.0))[1]
    clear = tables.situation.practice.end_clearance_mm
    low, high = place_range(sizes, slot.eared, row, step.side, o, span, ear, clear, short)
    base = 2 * STANCE + step.side * PASSING
    low, high = within(length, slot.eared, row, base + 6, low, high, ear)
    if not step.flags & ALONG_IN:
        low, high = within(length, slot.eared, row, base, low, high, ear)
    if not step.flags & (SHIFT_OFF | ALONG_OFF):
        low, high = within(length, slot.eared, row, o * STANCE + 8, low, high, ear)
    return float(low), float(high)
