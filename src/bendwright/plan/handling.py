"""What must the operator do between two strokes, and how long does it take?

A stroke is described by which face lies up (the bend's direction), which flat direction of the part points to the gauge, and
the station. Turning the other face up is done about whichever axis needs the least turning afterwards.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from bendwright.plan.situation import Situation
from bendwright.said import clauses, say
from bendwright.shop.practice import HandlingTimes
from bendwright.stroke.result import Handling

LEAST_TURN_DEG = 1.0


@dataclass(frozen=True, slots=True)
class Stance:
    """How the part lies for a stroke: bend direction, flat direction toward the gauge [degrees, top view], station."""

    direction: str
    heading_deg: float
    station: int


def stance(situation: Situation, bend: int, side: int, station: int) -> Stance:
    """Stance of a bend with its parent's (0) or child's (1) side at the gauge."""
    line = situation.lines[bend]
    dx, dy = line.end[0] - line.start[0], line.end[1] - line.start[1]
    outward = math.degrees(math.atan2(-dx, dy))
    return Stance(line.direction, (outward if side == 1 else outward + 180.0) % 360.0, station)


def change(before: Stance, after: Stance) -> tuple[bool, float, bool]:
    """(flip over?, turn in the plane [degrees 0..180], station change?) between two stances."""
    turn = abs((after.heading_deg - before.heading_deg + 180.0) % 360.0 - 180.0)
    flip = before.direction != after.direction
    if flip:
        turn = min(turn, 180.0 - turn)
    return flip, turn, before.station != after.station


def change_seconds(before: Stance, after: Stance, times: HandlingTimes) -> float:
    """Seconds for flip, turn and walk between two strokes; the gauge move is counted apart."""
    flip, turn, walk = change(before, after)
    seconds = times.flip_s if flip else 0.0
    if turn > LEAST_TURN_DEG:
        seconds += times.turn_s
    return seconds + (times.station_change_s if walk else 0.0)


def handling(before: Stance | None, after: Stance, *, gauge_moved: bool, times: HandlingTimes) -> Handling:
    """The handling record with its words; ``before`` is None for the first stroke."""
    if before is None:
        text = "Lay the sheet top side up." if after.direction == "up" else "Lay the sheet bottom side up."
        return Handling(flip=False, turn_deg=0.0, station_change=False, gauge_move=False, seconds=0.0, text=text)
    flip, turn, walk = change(before, after)
    words = []
    if flip:
        words.append("turn the sheet over")
    if turn > LEAST_TURN_DEG:
        words.append(say("handling.turn_it", turn=turn))
    if walk:
        words.append(say("handling.go_to", station=after.station))
    if gauge_moved:
        words.append("gauge moves")
    text = clauses(words) if words else "As it lies."
    seconds = change_seconds(before, after, times) + (times.gauge_move_s if gauge_moved else 0.0)
    return Handling(flip=flip, turn_deg=turn, station_change=walk, gauge_move=gauge_moved, seconds=seconds, text=text)
