"""Which stop of the back gauge comes nearest, and what does it lack?"""

from __future__ import annotations

from dataclasses import dataclass

from bendwright.plan.gauges import Stop
from bendwright.plan.situation import Situation
from bendwright.plan.tables import Tables, bodies_here
from bendwright.said import joined, phrase, say

LEAST_HELD_MM = 2.0
"""Less edge than this holds no part, whatever the fingertip (our choice)."""
STRAIGHT = (
    "Leave a straight edge parallel to the bend until it is made (a tab cut off afterwards), or stop the part by hand."
)


@dataclass(frozen=True, slots=True)
class NoStop:
    """What the best stop lacks in words, by how many millimetres (negative; None where they do not tell), and what helps."""

    text: str
    mm: float | None
    helps: str


def no_stop_reason(tables: Tables, move: int, mask: int) -> NoStop:
    """What the stop that comes nearest lacks."""
    said = [
        item
        for side in (0, 1)
        for stop in tables.gauge_stops[move][side]
        for item in _lacks(tables, move, mask, side, stop)
    ]
    if not said:
        return NoStop("nothing straight and parallel to the bend lies within reach", None, STRAIGHT)
    return max(said, key=lambda item: item.mm or 0.0)


def _lacks(tables: Tables, move: int, mask: int, side: int, stop: Stop) -> list[NoStop]:
    """What one stop lacks as the part stands; empty where it cannot be told in millimetres."""
    x_low, x_high, r_low, r_high, _, contact, *_ = (float(v) for v in tables.stops.limits)
    place = _place(tables, move, mask, stop)
    if place is None:
        return []
    x, low, high, r = place
    where = say(f"gauge.the_{stop.kind}", flange=stop.flange_id)
    axes = [
        (say("order.nearer", x=x, x_low=x_low), x - x_low),
        (say("order.farther", x=x, x_high=x_high), x_high - x),
        (say("order.lower", r=r, r_low=r_low), r - r_low),
        (say("order.higher", r=r, r_high=r_high), r_high - r),
    ]
    checks = [_too_short(tables.situation, where, high - low, contact)]
    checks += [NoStop(joined(" ", (where, words)), mm, _farther(mm)) for words, mm in axes]
    worst = min(checks, key=lambda item: item.mm or 0.0)
    if (worst.mm or 0.0) < 0.0:
        return [worst]
    return [NoStop(say("order.hidden", where=where, x=x), -contact, STRAIGHT)]


def _farther(mm: float) -> str:
    return say("helps.farther_gauge", mm=-mm)


def _too_short(situation: Situation, where: str, length: float, contact: float) -> NoStop:
    """The contact a finger needs is what the shop says it is."""
    said = situation.finger_contact_said
    helps = say("helps.longer", by=contact - length)
    if length >= LEAST_HELD_MM:
        helps = say("helps.longer_or_state", by=contact - length, length=length, said=phrase(said))
    return NoStop(
        say("order.contact_short", where=where, length=length, contact=contact, said=phrase(said)),
        length - contact,
        helps,
    )


def _place(tables: Tables, move: int, mask: int, stop: Stop) -> tuple[float, float, float, float] | None:
    """(x, low w, high w, r) of a stop as the part stands; None when it is not there."""
    if stop.kind == "face":
        present, rows = bodies_here(tables, move, mask, -1)
        number = tables.around[move].at + stop.body
        own = [row for body, row in zip(present, rows, strict=True) if body == number]
        if not own:
            return None
        box = tables.memory.looks.box[own[0]]
        if box[1] - box[0] > tables.situation.blank.thickness_mm + 1e-4:
            return None
        return float(box[1]), float(box[6]), float(box[7]), max(0.0, float(box[2]))
    standing = any(mask >> bend & 1 for bend in stop.path)
    if standing or (stop.arc >= 0 and not mask >> stop.arc & 1):
        return None
    x, low, high, r = stop.numbers
    return x, low, high, r
