"""Which stacks could stand on the bed? Kinds of station, filled with real pieces, no piece used twice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bendwright.geometry.rigid import Array
from bendwright.plan.around import FINGER_MM, Surroundings
from bendwright.plan.fits import Stacks
from bendwright.plan.permissions import punch_suits
from bendwright.plan.situation import Situation
from bendwright.plan.stacks import Stack, best_stack, drawer, without
from bendwright.shop.brake import Brake
from bendwright.shop.tools import NOT_BENDING, Die, Punch
from bendwright.stroke.tooling import ear_of, is_symmetric

UNCOVERED_S = 120.0
KIND_ORDER = {"straight": 0.0, "heavy": 0.2, "acute": 0.3, "gooseneck": 0.4, "flattening": 9.0, "offset": 9.0}
SAME_HEIGHT_MM = 0.05


@dataclass(frozen=True, slots=True)
class Slot:
    """A kind of station: punch, mounted turned or not, eared ends or not, die, the least length [mm], and whether to hang few
    pieces (roomy) or the shortest stack; ``short`` lets the stack leave the bend's ends uncovered; ``die_roomy`` hangs few die
    pieces, where nothing hangs down beside the die.
    """

    punch: Punch
    turned: bool
    eared: bool
    die: Die
    least_mm: float
    roomy: bool
    short: bool
    die_roomy: bool

    @property
    def closed_height_mm(self) -> float:
        """Punch height plus die height: only stations of the same sum can hang side by side."""
        return self.punch.height_mm + self.die.height_mm

    @property
    def dislike_s(self) -> float:
        """A few hundredths of a second that settle ties: plain straight punches, mounted straight, come first."""
        kind = KIND_ORDER[self.punch.kind]
        return 0.05 * (kind + 0.3 * self.turned + 0.5 * self.eared) + (UNCOVERED_S if self.short else 0.0)


@dataclass(frozen=True, slots=True)
class Station:
    """A slot with real pieces."""

    slot: Slot
    punch_stack: Stack
    die_stack: Stack

    @property
    def flattens(self) -> bool:
        """Whether it presses hems flat and bends nothing."""
        return self.slot.punch.kind == "flattening"

    @property
    def presses(self) -> bool:
        """Whether it presses hems flat or makes jogs and air-bends nothing."""
        return self.slot.punch.kind in NOT_BENDING

    @property
    def piece_count(self) -> int:
        """Pieces to hang."""
        return len(self.punch_stack.pieces) + len(self.die_stack.pieces)


def slots_for(situation: Situation, around: Sequence[Surroundings]) -> list[Slot]:
    """All kinds of station worth looking at, the plain ones first."""
    slots = []
    short_mm = situation.practice.max_uncovered_end_mm
    for punch in situation.punches:
        ways = (False, True) if punch.reversible and not is_symmetric(punch.outline) else (False,)
        for die in dict.fromkeys(situation.dies):
            lengths = set()
            for item in around:
                bends = item.move.bends
                if item.move.pressed or situation.dies[bends[0]] != die:
                    continue
                if any(situation.jogged >> bend & 1 for bend in bends):
                    continue
                if all(punch_suits(punch, situation, i) is None for i in bends):
                    low, high = item.span
                    lengths.add((round(high - low, 3), False))
                    lengths.add((round(max(high - low - 2.0 * short_mm, 1.0), 3), True))
            for least, short in sorted(lengths, reverse=True):
                for turned in ways:
                    slots.append(Slot(punch, turned, False, die, least, True, short, True))
                    slots.append(Slot(punch, turned, False, die, least, False, short, False))
                    slots.append(Slot(punch, turned, False, die, least, False, short, True))
                    if ear_of(punch):
                        slots.append(Slot(punch, turned, True, die, least, False, short, True))
                        slots.append(Slot(punch, turned, True, die, least, False, short, False))
    return slots


def fill_slots(slots: Sequence[Slot]) -> list[Station] | None:
    """Hang real pieces in all slots, no piece twice in one set-up; None when the drawer does not hold enough.

    Eared slots choose first, then the longer ones.
    """
    order = sorted(range(len(slots)), key=lambda i: (not slots[i].eared, -slots[i].least_mm, i))
    hung = set_ups([slot.closed_height_mm for slot in slots])
    drawers = {(hung[i], slot.punch.id): drawer(slot.punch.pieces) for i, slot in enumerate(slots)}
    blocks = {(hung[i], slot.die.id): drawer(slot.die.pieces) for i, slot in enumerate(slots)}
    made: dict[int, Station] = {}
    for i in order:
        slot = slots[i]
        punch_id, die_id = (hung[i], slot.punch.id), (hung[i], slot.die.id)
        upper = best_stack(drawers[punch_id], least_mm=slot.least_mm, eared=slot.eared, roomy=slot.roomy)
        lower = best_stack(blocks[die_id], least_mm=slot.least_mm, roomy=slot.die_roomy)
        if upper is None or lower is None:
            return None
        drawers[punch_id] = without(drawers[punch_id], upper.pieces)
        blocks[die_id] = without(blocks[die_id], lower.pieces)
        made[i] = Station(slot, upper, lower)
    return [made[i] for i in range(len(slots))]


def flat_stations(situation: Situation) -> tuple[Station, ...]:
    """The station that presses hems flat, where the part has hems and the cabinet the tools; then those that make its jogs."""
    return tuple(
        Station(Slot(pair.punch, False, False, pair.die, pair.length_mm, True, False, True), pair.upper, pair.lower)
        for pair in situation.pairs.values()
    )


def closed_step(punch: Punch, die: Die) -> int:
    """Closed height of a pair in steps within which stations hang side by side."""
    return round((punch.height_mm + die.height_mm) / SAME_HEIGHT_MM)


def set_ups(closed_heights_mm: Sequence[float]) -> list[int]:
    """The set-up (0, 1, ...) of each station: stations of one closed height hang together, others wait for a re-tooling."""
    heights = [round(height / SAME_HEIGHT_MM) for height in closed_heights_mm]
    return [list(dict.fromkeys(heights)).index(height) for height in heights]


def clamped_length_mm(station: Station, brake: Brake) -> float:
    """How long the stack is with the clamps over it [mm]: a stack shorter than the shortest clamp stands under a longer one."""
    length = station.punch_stack.length_mm
    if brake.punch_clamps is None:
        return length
    inset = 0.0
    ear = ear_of(station.slot.punch)
    if station.slot.eared and ear is not None:
        inset = 2.0 * ear[1]
    return max(length, min(piece.length_mm for piece in brake.punch_clamps.pieces) + inset)


def pack_stations(situation: Situation, stations: Sequence[Station]) -> Stacks:
    """Stations as arrays; punches and dies by their number in the situation."""
    punches, dies = situation.punches, list(dict.fromkeys(situation.dies))
    return Stacks(
        punch=np.array(
            [situation.pair_number(s.slot.punch.id) if s.presses else punches.index(s.slot.punch) for s in stations],
            dtype=np.int64,
        ),
        die=np.array([-1 if s.presses else dies.index(s.slot.die) for s in stations], dtype=np.int64),
        turned=np.array([s.slot.turned for s in stations], dtype=np.bool_),
        eared=np.array([s.slot.eared for s in stations], dtype=np.bool_),
        length=np.array([s.punch_stack.length_mm for s in stations], dtype=np.float64),
        reach=np.array([clamped_length_mm(s, situation.brake) for s in stations], dtype=np.float64),
        die_length=np.array([s.die_stack.length_mm for s in stations], dtype=np.float64),
        rules=_rules(situation),
    )


def wished_stacks(situation: Situation) -> Stacks:
    """Every kind of stack there can be, each as long as the bend at hand needs: what these cannot do no drawer can."""
    dies = list(dict.fromkeys(situation.dies))
    kinds = [
        (number, die, turned, eared)
        for number, punch in enumerate(situation.punches)
        for die in range(len(dies))
        for turned in ((False, True) if punch.reversible and not is_symmetric(punch.outline) else (False,))
        for eared in ((False, True) if ear_of(punch) else (False,))
    ]
    kinds += [(number, -1, False, False) for number in situation.pairs]
    nothing = np.full(len(kinds), -1.0)
    return Stacks(
        punch=np.array([kind[0] for kind in kinds], dtype=np.int64),
        die=np.array([kind[1] for kind in kinds], dtype=np.int64),
        turned=np.array([kind[2] for kind in kinds], dtype=np.bool_),
        eared=np.array([kind[3] for kind in kinds], dtype=np.bool_),
        length=nothing,
        reach=nothing,
        die_length=nothing,
        rules=_rules(situation),
    )


def _rules(situation: Situation) -> Array:
    practice = situation.practice
    finger = situation.brake.gauge.finger_height_mm or FINGER_MM
    return np.array([practice.end_clearance_mm, practice.max_uncovered_end_mm, finger, situation.blank.thickness_mm])


def die_shift_mm(station: Station, side: int) -> float:
    """How far the die stack begins beyond the punch stack along the bend (w) [mm].

    Both begin at the same left end on the bed; with the parent's side at the gauge (0) the bed's left is the far end of w.
    """
    return 0.0 if side == 1 else station.punch_stack.length_mm - station.die_stack.length_mm
