"""Which stacks could stand on the bed, and which strokes each of them can do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from shapely import Polygon, box

from bendwright.geometry.rigid import Array
from bendwright.mechanics.space import daylight_mm
from bendwright.plan.situation import Situation
from bendwright.plan.stacks import Stack, best_stack, drawer, without
from bendwright.plan.tables import BendBodies, GaugeTables, PunchTables, span_of
from bendwright.shop.brake import Brake
from bendwright.shop.tools import Die, Punch
from bendwright.stroke.loads import line_load, punch_load_check
from bendwright.stroke.tooling import ear_of, is_symmetric

Flags = np.ndarray[Any, np.dtype[np.bool_]]
SELF_LEAST_MM = -0.02
UNCOVERED_S = 120.0
FINGER_MM = 12.0
KIND_ORDER = {"straight": 0.0, "heavy": 0.2, "acute": 0.3, "gooseneck": 0.4, "flattening": 9.0}


@dataclass(frozen=True, slots=True)
class Slot:
    """A kind of station: tables of its punch, mounted turned or not, eared ends or not, die, the least length [mm], and
    whether to hang few pieces (roomy) or the shortest stack; ``short`` lets the stack leave the bend's ends uncovered;
    ``die_roomy`` hangs few die pieces, where nothing hangs down beside the die.
    """

    tables: PunchTables
    turned: bool
    eared: bool
    die: Die
    least_mm: float
    roomy: bool
    short: bool
    die_roomy: bool

    @property
    def dislike_s(self) -> float:
        """A few hundredths of a second that settle ties: plain straight punches, mounted straight, come first."""
        kind = KIND_ORDER[self.tables.punch.kind]
        return 0.05 * (kind + 0.3 * self.turned + 0.5 * self.eared) + (UNCOVERED_S if self.short else 0.0)


@dataclass(frozen=True, slots=True)
class Station:
    """A slot with real pieces."""

    slot: Slot
    punch_stack: Stack
    die_stack: Stack

    @property
    def piece_count(self) -> int:
        """Pieces to hang."""
        return len(self.punch_stack.pieces) + len(self.die_stack.pieces)


def free_daylight_mm(brake: Brake, punch_height_mm: float, die_height_mm: float) -> float | None:
    """Opening between punch tip and die top with the ram up [mm]; None when the machine's sheet is silent."""
    heights = (brake.open_height_mm, brake.die_holder_height_mm)
    if None in heights:
        return None
    return daylight_mm(
        open_height_mm=brake.open_height_mm or 0.0,
        punch_height_mm=punch_height_mm,
        die_height_mm=die_height_mm,
        holders_height_mm=(brake.die_holder_height_mm or 0.0) + (brake.punch_holder_height_mm or 0.0),
    )


def punch_suits(punch: Punch, situation: Situation, bend: int) -> str | None:
    """Why this punch cannot do this bend (None: it can): angle, line load, daylight, stroke."""
    verdict = situation.verdicts[bend]
    swing, die, brake = verdict.swing, situation.dies[bend], situation.brake
    if swing is None:
        return "the die forms no leg"
    if punch.kind == "flattening":
        return "a flattening tool does not air-bend"
    if punch.angle_deg > swing.loaded_included_deg + 1e-9:
        return f"punch angle {punch.angle_deg:g} above the loaded angle {swing.loaded_included_deg:.1f}"
    load = punch_load_check(line_load(sheet=situation.sheet, die=die), punch)
    if load.verdict == "no":
        return f"punch line load {load.value:.0f} kN/m above {load.limit:.0f}"
    free = free_daylight_mm(brake, punch.height_mm, die.height_mm)
    if free is not None and free <= situation.sheet.thickness_mm:
        return f"daylight {free:.1f} mm leaves no room for the sheet"
    if free is not None and brake.stroke_mm is not None:
        travel = free - situation.sheet.thickness_mm + swing.depth_mm
        if travel > brake.stroke_mm:
            return f"ram travel {travel:.1f} mm above the stroke {brake.stroke_mm:g} mm"
    return None


def general_permission(situation: Situation, gauges: GaugeTables, self_gap: Array) -> Flags:
    """Strokes [bend, side, mask] that gauge, flanges and the part itself allow, whatever the station."""
    n = len(situation.part.bends)
    masks = np.arange(1 << n)
    allowed = (gauges.best >= 0) & (self_gap >= SELF_LEAST_MM)[:, None, :]
    index = {bend.id: i for i, bend in enumerate(situation.part.bends)}
    for i in range(n):
        allowed[i, :, (masks >> i & 1) == 1] = False
        for leg in situation.legs[i]:
            if leg.far_bends and leg.outside_mm < situation.shortest_leg_mm(i) - 1e-9:
                for name in leg.far_bends:
                    allowed[i, :, (masks >> index[name] & 1) == 1] = False
    return allowed


def slots_for(situation: Situation, tables: Sequence[PunchTables], around: Sequence[BendBodies]) -> list[Slot]:
    """All kinds of station worth looking at, the plain ones first."""
    slots = []
    for table in tables:
        punch = table.punch
        ways = (False, True) if punch.reversible and not is_symmetric(punch.outline) else (False,)
        for die in dict.fromkeys(situation.dies):
            usable = [
                i for i, own in enumerate(situation.dies) if own == die and punch_suits(punch, situation, i) is None
            ]
            lengths = set()
            for i in usable:
                low, high = span_of(around[i].frames[1])
                lengths.add((round(high - low, 3), False))
                lengths.add((round(max(high - low - 2.0 * situation.practice.max_uncovered_end_mm, 1.0), 3), True))
            for least, short in sorted(lengths, reverse=True):
                for turned in ways:
                    slots.append(Slot(table, turned, False, die, least, True, short, True))
                    slots.append(Slot(table, turned, False, die, least, False, short, False))
                    if ear_of(punch):
                        slots.append(Slot(table, turned, True, die, least, False, short, True))
                        slots.append(Slot(table, turned, True, die, least, False, short, False))
    return slots


def fill_slots(slots: Sequence[Slot]) -> list[Station] | None:
    """Hang real pieces in all slots at once, no piece used twice; None when the drawer does not hold enough.

    Eared slots choose first, then the longer ones.
    """
    order = sorted(range(len(slots)), key=lambda i: (not slots[i].eared, -slots[i].least_mm, i))
    drawers = {slot.tables.punch.id: drawer(slot.tables.punch.pieces) for slot in slots}
    blocks = {slot.die.id: drawer(slot.die.pieces) for slot in slots}
    made: dict[int, Station] = {}
    for i in order:
        slot = slots[i]
        punch_id, die_id = slot.tables.punch.id, slot.die.id
        upper = best_stack(drawers[punch_id], least_mm=slot.least_mm, eared=slot.eared, roomy=slot.roomy)
        lower = best_stack(blocks[die_id], least_mm=slot.least_mm, roomy=slot.die_roomy)
        if upper is None or lower is None:
            return None
        drawers[punch_id] = without(drawers[punch_id], upper.pieces)
        blocks[die_id] = without(blocks[die_id], lower.pieces)
        made[i] = Station(slot, upper, lower)
    return [made[i] for i in range(len(slots))]


def station_permission(
    station: Station, situation: Situation, around: Sequence[BendBodies], general: Flags, gauges: GaugeTables
) -> tuple[Flags, Flags]:
    """Strokes [bend, side, mask] this station can do, and those whose bend cannot lie in the middle of the stack."""
    table, die = station.slot.tables, station.slot.die
    allowed = np.zeros_like(general)
    aside = np.zeros_like(general)
    free = free_daylight_mm(situation.brake, table.punch.height_mm, die.height_mm)
    for i in range(len(around)):
        if situation.dies[i] != die or punch_suits(table.punch, situation, i) is not None:
            continue
        span = span_of(around[i].frames[1])
        middle = 0.5 * (span[0] + span[1] - station.punch_stack.length_mm)
        for side in (0, 1):
            low, high, fine = _stack_room(station, situation, span, i, side)
            aside[i, side] = (low > middle + 1.0) | (high < middle - 1.0)
            fine &= general[i, side] & (low <= high + 1e-6)
            fine &= _finger_room(station.slot, situation, gauges.value[i, side])
            if free is not None:
                box = table.sides[i, :, side]
                height = box[:, 1] - np.minimum(box[:, 0], -situation.blank.thickness_mm)
                fine &= height <= free - 1.0
            allowed[i, side] = fine
    return allowed, aside


def orientation_of(slot: Slot, side: int) -> int:
    """Which way round (0, 1) the punch meets the part when its parent's (0) or child's (1) side is at the gauge."""
    return int(slot.turned) if side == 1 else 1 - int(slot.turned)


def _punch_room(
    station: Station, situation: Situation, span: tuple[float, float], bend: int, side: int
) -> tuple[Array, Array, Flags]:
    """Lowest and highest place of the punch stack's left end for every mask, and where punch and machine do not block."""
    slot, practice = station.slot, situation.practice
    o = orientation_of(slot, side)
    windows, worst = slot.tables.windows[bend, :, o], slot.tables.worst[bend, :, o]
    fine = worst[:, 2] >= 0.0
    ear = ear_of(slot.tables.punch)
    length, clear, short = station.punch_stack.length_mm, practice.end_clearance_mm, practice.max_uncovered_end_mm
    if not slot.eared or ear is None:
        low, high = stack_starts(span, length, windows[:, 0], clear, short)
        return low, high, fine & (worst[:, 0] >= 0.0)
    low, high = stack_starts(span, length, windows[:, 2], clear, short)
    low = np.maximum(low, windows[:, 1, 0] + clear - ear[1])
    high = np.minimum(high, windows[:, 1, 1] - clear - length + ear[1])
    return low, high, fine & (worst[:, 1] >= 0.0)


def _finger_room(slot: Slot, situation: Situation, values: Array) -> Flags:
    """Where the gauge finger stands clear of the punch when the punch first touches the sheet."""
    finger = situation.brake.gauge.finger_height_mm or FINGER_MM
    heights = np.round(values[:, 1] + finger - situation.blank.thickness_mm, 3)
    need = np.zeros(len(values))
    for height in np.unique(heights):
        need[heights == height] = punch_reach_mm(slot.tables.punch, float(height), turned=slot.turned)
    return np.asarray(values[:, 0] >= need)


@lru_cache(maxsize=1024)
def punch_reach_mm(punch: Punch, height_mm: float, *, turned: bool) -> float:
    """How far the punch reaches toward the gauge [mm] up to a height above its tip."""
    if height_mm <= 0.0:
        return 0.0
    part = Polygon(punch.outline).intersection(box(-1e4, -1.0, 1e4, height_mm))
    if part.is_empty:
        return 0.0
    low, _, high, _ = part.bounds
    return float(-low if turned else high)


def die_shift_mm(station: Station, side: int) -> float:
    """How far the die stack begins beyond the punch stack along the bend (w) [mm].

    Both begin at the same left end on the bed; with the parent's side at the gauge (0) the bed's left is the far end of w.
    """
    return 0.0 if side == 1 else station.punch_stack.length_mm - station.die_stack.length_mm


def _stack_room(
    station: Station, situation: Situation, span: tuple[float, float], bend: int, side: int
) -> tuple[Array, Array, Flags]:
    """Lowest and highest place of the punch stack that suit punch and die together, and where nothing else blocks."""
    low, high, fine = _punch_room(station, situation, span, bend, side)
    windows = station.slot.tables.windows[bend, :, orientation_of(station.slot, side), 3]
    practice = situation.practice
    length, shift = station.die_stack.length_mm, die_shift_mm(station, side)
    below = stack_starts(span, length, windows, practice.end_clearance_mm, practice.max_uncovered_end_mm)
    return np.maximum(low, below[0] - shift), np.minimum(high, below[1] - shift), fine


def stack_place(
    station: Station, situation: Situation, span: tuple[float, float], *, bend: int, side: int, mask: int
) -> float:
    """Where the punch stack begins along the bend (w) [mm]: in the middle of the bend as far as its window allows."""
    low, high, _ = _stack_room(station, situation, span, bend, side)
    middle = 0.5 * (span[0] + span[1] - station.punch_stack.length_mm)
    return float(min(max(middle, low[mask]), high[mask]))


def stack_starts(
    span: tuple[float, float], length: float, windows: Array, clearance: float, short: float
) -> tuple[Array, Array]:
    """Lowest and highest place of a stack's left end along the bend (w) for windows of shape (masks, 2) [mm]."""
    low = np.maximum(windows[:, 0] + clearance, span[1] - short - length)
    high = np.minimum(windows[:, 1] - clearance - length, span[0] + short)
    return low, high
