"""Is every bend made once, in a possible order, and do the times add up?"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from bendwright.findings import Finding, found
from bendwright.part.model import Part
from bendwright.plan.result import Plan
from bendwright.replay.saying import at_stroke
from bendwright.said import joined, phrase, say
from bendwright.shop.practice import HandlingTimes
from bendwright.stroke.result import Stroke

SAME_S = 1e-3
MOVED_MM = 0.05
LEAST_TURN_DEG = 1.0


def every_bend_once(part: Part, plan: Plan) -> Iterator[Finding]:
    """V101 for a bend not made, made twice or unknown; V102 for hems pressed too early, not at all or twice, and wrong numbers."""
    made = Counter(name for stroke in plan.strokes if stroke.kind != "hem_flatten" for name in stroke.bend_ids)
    known = {bend.id for bend in part.bends}
    for bend in part.bends:
        if made[bend.id] != 1:
            yield found(
                "V101", where=f"bend {bend.id}", bend=bend.id, what=say("replay.made_times", count=made[bend.id])
            )
    for stroke in plan.strokes:
        for name in stroke.bend_ids:
            if name not in known:
                yield found("V101", where=f"bend {name}", bend=name, what=phrase("is not a bend of the part"))
    yield from _hems(part, plan)
    numbers = [stroke.number for stroke in plan.strokes]
    if numbers != list(range(1, len(numbers) + 1)):
        yield found("V102", where="strokes", what=say("replay.strokes_numbered", numbers=", ".join(map(str, numbers))))


def _hems(part: Part, plan: Plan) -> Iterator[Finding]:
    """A hem is bent and then pressed once; what is no hem is neither, and may be half of a jog."""
    for bend in part.bends:
        kinds = [stroke.kind for stroke in plan.strokes if bend.id in stroke.bend_ids]
        wanted = ["air_bend"] if bend.kind == "bend" else ["hem_prebend", "hem_flatten"]
        wanted = ["offset"] if bend.kind == "bend" and kinds == ["offset"] else wanted
        if kinds != wanted and kinds:
            made_by, asked = (joined(", ", map(phrase, row)) for row in (kinds, wanted))
            what = say("replay.made_by", bend=bend.id, kinds=made_by, wanted=asked)
            yield found("V102", where=f"bend {bend.id}", what=what)


def times_add_up(plan: Plan, times: HandlingTimes) -> Iterator[Finding]:
    """V123 where seconds of a stroke or of the piece are not those of what is done, V124 where what is done is said otherwise."""
    total = times.load_unload_s * len({station.set_up for station in plan.stations})
    before: Stroke | None = None
    for stroke in plan.strokes:
        hand = stroke.handling
        seconds = times.flip_s * hand.flip + times.turn_s * (hand.turn_deg > LEAST_TURN_DEG)
        seconds += times.gauge_move_s * hand.gauge_move + times.station_change_s * hand.station_change
        where = f"stroke {stroke.number}"
        if abs(seconds - hand.seconds) > SAME_S:
            yield found(
                "V123",
                where=where,
                what=say("replay.handling_of", number=stroke.number),
                stated=hand.seconds,
                found=seconds,
            )
        if before is not None:
            yield from _changes(before, stroke)
        total += times.position_s + times.stroke_s + hand.seconds
        before = stroke
    if abs(total - plan.times.cycle_s) > SAME_S:
        yield found("V123", where="times", what=phrase("the piece"), stated=plan.times.cycle_s, found=total)
    if plan.lower_bound_s > plan.times.cycle_s + SAME_S:
        what = phrase("the proven least time")
        yield found("V123", where="times", what=what, stated=plan.lower_bound_s, found=plan.times.cycle_s)


def _changes(before: Stroke, stroke: Stroke) -> Iterator[Finding]:
    """V124 where flip, walk or gauge move are not what the two strokes need."""
    hand = stroke.handling
    facts = [("go to another station", stroke.station != before.station, hand.station_change)]
    if "hem_flatten" not in (stroke.kind, before.kind):
        now, was = stroke.gauging, before.gauging
        moved = abs(now.x_mm - was.x_mm) > MOVED_MM or abs(now.r_mm - was.r_mm) > MOVED_MM
        facts.append(("turn the sheet over", stroke.direction != before.direction, hand.flip))
        facts.append(("move the gauge", moved, hand.gauge_move))
    for what, needed, said in facts:
        if needed != said:
            words = ("has to", "says it does not") if needed else ("does not have to", "says it does")
            at = at_stroke(stroke)
            yield found("V124", needed=phrase(words[0]), what=phrase(what), said=phrase(words[1]), **at)
