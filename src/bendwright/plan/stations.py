"""Which stacks could stand on the bed, and which strokes each of them can do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from bendwright.geometry.rigid import Array
from bendwright.plan.permissions import Flags, orientation_of, punch_suits
from bendwright.plan.situation import Situation
from bendwright.plan.stacks import Stack, best_stack, drawer, without
from bendwright.plan.tables import BendBodies, PunchTables, span_of
from bendwright.shop.tools import Die
from bendwright.stroke.tooling import ear_of, is_symmetric

UNCOVERED_S = 120.0
KIND_ORDER = {"straight": 0.0, "heavy": 0.2, "acute": 0.3, "gooseneck": 0.4, "flattening": 9.0}


@dataclass(frozen=True, slots=True)
class Slot:
    """A kind of station: tables of its punch, mounted turned or not, eared ends or not, die, the least length [mm], and
    whether to hang few pieces (roomy) or the shortest stack; ``short`` lets the stack leave the bend's ends uncovered;
    ``die_roomy`` hangs few die pieces, where nothing hangs down beside the die.
    ``open`` [plain 0 eared 1, bend, side, mask] are the strokes that the tools allow before any stack is chosen.
    """

    tables: PunchTables
    open: Flags
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


def slots_for(
    situation: Situation, tables: Sequence[tuple[PunchTables, Flags]], around: Sequence[BendBodies]
) -> list[Slot]:
    """All kinds of station worth looking at, the plain ones first."""
    slots = []
    for table, opened in tables:
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
                    slots.append(Slot(table, opened[int(turned)], turned, False, die, least, True, short, True))
                    slots.append(Slot(table, opened[int(turned)], turned, False, die, least, False, short, False))
                    if ear_of(punch):
                        slots.append(Slot(table, opened[int(turned)], turned, True, die, least, False, short, True))
                        slots.append(Slot(table, opened[int(turned)], turned, True, die, least, False, short, False))
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
    station: Station, situation: Situation, around: Sequence[BendBodies], general: Flags
) -> tuple[Flags, Flags]:
    """Strokes [bend, side, mask] this station can do, and those whose bend cannot lie in the middle of the stack."""
    open_to = station.slot.open[int(station.slot.eared)] & general
    allowed = np.zeros_like(general)
    aside = np.zeros_like(general)
    for i in range(len(around)):
        if situation.dies[i] != station.slot.die:
            continue
        span = span_of(around[i].frames[1])
        middle = 0.5 * (span[0] + span[1] - station.punch_stack.length_mm)
        for side in (0, 1):
            if open_to[i, side].any():
                low, high = _stack_room(station, situation, span, i, side)
                aside[i, side] = (low > middle + 1.0) | (high < middle - 1.0)
                allowed[i, side] = open_to[i, side] & (low <= high + 1e-6)
    return allowed, aside


def _punch_room(
    station: Station, situation: Situation, span: tuple[float, float], bend: int, side: int
) -> tuple[Array, Array]:
    """Lowest and highest place of the punch stack's left end for every mask."""
    slot, practice = station.slot, situation.practice
    o = orientation_of(slot.turned, side)
    windows = slot.tables.windows[bend, :, o]
    ear = ear_of(slot.tables.punch)
    length, clear, short = station.punch_stack.length_mm, practice.end_clearance_mm, practice.max_uncovered_end_mm
    if not slot.eared or ear is None:
        return stack_starts(span, length, windows[:, 0], clear, short)
    low, high = stack_starts(span, length, windows[:, 2], clear, short)
    low = np.maximum(low, windows[:, 1, 0] + clear - ear[1])
    high = np.minimum(high, windows[:, 1, 1] - clear - length + ear[1])
    return low, high


def die_shift_mm(station: Station, side: int) -> float:
    """How far the die stack begins beyond the punch stack along the bend (w) [mm].

    Both begin at the same left end on the bed; with the parent's side at the gauge (0) the bed's left is the far end of w.
    """
    return 0.0 if side == 1 else station.punch_stack.length_mm - station.die_stack.length_mm


def _stack_room(
    station: Station, situation: Situation, span: tuple[float, float], bend: int, side: int
) -> tuple[Array, Array]:
    """Lowest and highest place of the punch stack that suit punch and die together."""
    low, high = _punch_room(station, situation, span, bend, side)
    windows = station.slot.tables.windows[bend, :, orientation_of(station.slot.turned, side), 3]
    practice = situation.practice
    length, shift = station.die_stack.length_mm, die_shift_mm(station, side)
    below = stack_starts(span, length, windows, practice.end_clearance_mm, practice.max_uncovered_end_mm)
    return np.maximum(low, below[0] - shift), np.minimum(high, below[1] - shift)


def stack_place(
    station: Station, situation: Situation, span: tuple[float, float], *, bend: int, side: int, mask: int
) -> float:
    """Where the punch stack begins along the bend (w) [mm]: in the middle of the bend as far as its window allows, no end of
    the bend uncovered by punch or die unless the window asks for it.
    """
    covered = replace(situation, practice=replace(situation.practice, max_uncovered_end_mm=0.0))
    low, high = _stack_room(station, covered, span, bend, side)
    if low[mask] > high[mask]:
        low, high = _stack_room(station, situation, span, bend, side)
    middle = 0.5 * (span[0] + span[1] - station.punch_stack.length_mm)
    return float(min(max(middle, low[mask]), high[mask]))


def stack_starts(
    span: tuple[float, float], length: float, windows: Array, clearance: float, short: float
) -> tuple[Array, Array]:
    """Lowest and highest place of a stack's left end along the bend (w) for windows of shape (masks, 2) [mm]."""
    low = np.maximum(windows[:, 0] + clearance, span[1] - short - length)
    high = np.minimum(windows[:, 1] - clearance - length, span[0] + short)
    return low, high
