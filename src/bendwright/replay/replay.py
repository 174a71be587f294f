"""A finished plan folded again, stroke by stroke."""

from __future__ import annotations

from collections.abc import Iterator

from bendwright.findings import Finding, found
from bendwright.part.model import Part
from bendwright.plan.result import Plan
from bendwright.replay.bringing import brought_in
from bendwright.replay.folding import Made, Sheet, sheet_of
from bendwright.replay.gauge import gauged
from bendwright.replay.hanging import covered, hanging, unknown_tools
from bendwright.replay.hung import Bench
from bendwright.replay.jogging import jog_clear, pair_makes, stand_at_jog
from bendwright.replay.legs import legs_on_shoulders
from bendwright.replay.pressing import pressed_clear
from bendwright.replay.standing import stand
from bendwright.replay.swing import made_by, swing_of
from bendwright.replay.swinging import against_itself, against_tools, own_arc
from bendwright.replay.totals import every_bend_once, times_add_up
from bendwright.said import say
from bendwright.shop.brake import Brake
from bendwright.shop.practice import Practice
from bendwright.shop.tools import Cabinet
from bendwright.stroke.result import Stroke


def replay_plan(part: Part, plan: Plan, *, cabinet: Cabinet, brake: Brake, practice: Practice) -> tuple[Finding, ...]:
    """Everything in a plan that does not come out so when it is done again, as findings V1xx; empty = the plan holds.

    ``part`` is the part the plan was made for, at the sizes aimed at (``part.aim``) or as drawn: only its tree of flanges and
    bends is read, the shapes are those of the plan's blank. Distances are kept to 0.1 mm over the whole swing of each stroke.
    What the records do not say (ram, bed, gauge nobody has measured) is left out. Not looked at: the way off the punch.
    """
    missing = unknown_tools(plan, cabinet)
    wrong = [*missing, *every_bend_once(part, plan)]
    if missing or any(finding.code == "V101" for finding in wrong):
        return tuple(wrong)
    wrong += [*hanging(plan, cabinet, brake), *times_add_up(plan, practice.times)]
    sheet = sheet_of(part, plan.blank)
    bench = Bench(cabinet, brake, practice.end_clearance_mm)
    made: dict[str, Made] = {}
    for stroke in plan.strokes:
        if stroke.kind == "hem_flatten":
            wrong += _pressing(stroke, plan, sheet, made, bench, practice)
            made |= {name: sheet.finished(part.bend(name)) for name in stroke.bend_ids}
            continue
        if stroke.kind == "offset":
            wrong += _jog(stroke, plan, sheet, made, bench, practice)
            made |= {name: sheet.finished(part.bend(name)) for name in stroke.bend_ids}
            continue
        wrong += _stroke(stroke, plan, sheet, made, bench, practice)
        made |= {name: made_by(stroke, name, sheet) for name in stroke.bend_ids}
    return tuple(dict.fromkeys(wrong))


def _stroke(
    stroke: Stroke, plan: Plan, sheet: Sheet, made: dict[str, Made], bench: Bench, practice: Practice
) -> Iterator[Finding]:
    """Everything about one stroke, the part standing with the bends made before it."""
    punch, die = bench.cabinet.punch(stroke.punch_id), bench.cabinet.die(stroke.die_id)
    swing = swing_of(stroke, sheet, die)
    standing, wrong = stand(stroke, sheet, made)
    yield from wrong
    tools = bench.around(stroke, plan, standing.left)
    yield from covered(stroke, standing, plan.stations[stroke.station - 1], practice.max_uncovered_end_mm)
    yield from legs_on_shoulders(stroke, standing, swing)
    yield from gauged(stroke, standing, tools, bench.brake.gauge, sheet.part, sheet.thickness)
    yield from brought_in(stroke, standing, tools, swing, brake=bench.brake, punch=punch, die=die)
    yield from against_tools(stroke, standing, tools, swing)
    yield from own_arc(stroke, standing, tools, swing)
    yield from against_itself(stroke, standing, swing)


def _jog(
    stroke: Stroke, plan: Plan, sheet: Sheet, made: dict[str, Made], bench: Bench, practice: Practice
) -> Iterator[Finding]:
    """An offset pair that makes this step, under and over the whole jog, the sheet at the gauge, nothing in the way."""
    standing, moved, wrong = stand_at_jog(stroke, sheet, made)
    yield from wrong
    yield from pair_makes(stroke, moved, bench.cabinet, sheet)
    tools = bench.around(stroke, plan, standing.left)
    yield from covered(stroke, standing, plan.stations[stroke.station - 1], practice.max_uncovered_end_mm)
    yield from gauged(stroke, standing, tools, bench.brake.gauge, sheet.part, sheet.thickness)
    yield from jog_clear(stroke, standing, moved, tools, sheet, -moved[1])


def _pressing(
    stroke: Stroke, plan: Plan, sheet: Sheet, made: dict[str, Made], bench: Bench, practice: Practice
) -> Iterator[Finding]:
    """Flat tools, under and over the whole hem, and nothing in their way."""
    standing, wrong = stand(stroke, sheet, {name: one for name, one in made.items() if name not in stroke.bend_ids})
    yield from wrong
    yield from covered(stroke, standing, plan.stations[stroke.station - 1], practice.max_uncovered_end_mm)
    yield from pressed_clear(stroke, standing, bench.around(stroke, plan, standing.left), sheet)
    kinds = bench.cabinet.punch(stroke.punch_id).kind, bench.cabinet.die(stroke.die_id).kind
    if kinds != ("flattening", "flattening"):
        yield found(
            "V102",
            where=f"stroke {stroke.number}",
            what=say("replay.not_flattening", punch=stroke.punch_id, die=stroke.die_id),
        )
