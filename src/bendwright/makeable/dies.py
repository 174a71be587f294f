"""Is there a die for every bend, and what do those that come near refuse it for?"""

from __future__ import annotations

import math
from collections.abc import Iterator

from bendwright.makeable.line import Bound, Fix, Line, from_check
from bendwright.makeable.looked import Looked
from bendwright.plan.situation import Situation
from bendwright.said import figure, joined, phrase, say, unstopped
from bendwright.stroke.die_choice import usual_opening_mm
from bendwright.stroke.result import Check

MOST_SAID = 3
MOST_TURNED_DEG = 165.0
SAID_ELSEWHERE = frozenset(
    {
        "minimum flange",
        "reach of the flange",
        "shortest part of the flange",
        "least inside radius",
        "radius against drawing",
        "outer strain",
        "sharp bend",
        "bend length",
        "machine total",
        "machine line load",
        "die line load",
    }
)
CURES = {
    "fold under the nose": "a punch with a smaller nose, or a wider die",
    "depth in the groove": "a die with a deeper groove",
    "opening over thickness": "a die of 6 to 14 thicknesses",
    "K of the bend table": "look for a slip in the bend table",
}
LEAST = frozenset({"K of the bend table"})


def die_lines(looked: Looked) -> Iterator[Line]:
    """For each bend without a die what the nearest dies refuse it for; for the others what is worth a look in the die taken."""
    taken = looked.taken
    if taken is None:
        return
    for i, bend in enumerate(taken.part.bends):
        refused = not any(situation.verdicts[i].verdict != "no" for situation in looked.every.values())
        names = {check.name for check in taken.verdicts[i].refusals()}
        if refused and names != {"minimum flange"}:
            yield _none(looked, taken, i)
        for check in taken.verdicts[i].checks:
            if check.name in SAID_ELSEWHERE or check.verdict == "ok" or taken.verdicts[i].swing is None:
                continue
            if refused and check.verdict == "no":
                continue
            bound: Bound = "least" if check.name in LEAST or check.value < (check.limit or 0.0) else "most"
            what = say("line.in_die", check=phrase(check.name), dies=taken.dies[i].id)
            yield from_check(check, "flange", f"bend {bend.id}", bound=bound, what=what, fix=_fix(check))


def _fix(check: Check) -> Fix | None:
    if check.limit is None:
        return None
    off = abs(check.value - check.limit)
    if check.name == "die angle":
        return Fix(sentence=say("fix.acuter_die", off=off), amount=off, unit="deg")
    cure = CURES.get(check.name)
    return None if cure is None else Fix(sentence=cure, amount=off if check.unit == "mm" else None)


def _none(looked: Looked, taken: Situation, i: int) -> Line:
    """The dies nearest the usual opening with the first thing each refuses."""
    bend, usual = taken.part.bends[i], usual_opening_mm(looked.thickness_mm)
    refused = {s.verdicts[i].die.id: s.verdicts[i] for s in looked.every.values()}
    nearest = sorted(refused.values(), key=lambda v: (abs(math.log(v.die.opening_mm / usual)), v.die.id))[:MOST_SAID]
    said = [joined(": ", (v.die.id, _reason(v.refusals()[0]))) for v in nearest if v.refusals()]
    short = [_overshoot(check) for v in refused.values() for check in v.refusals() if len(v.refusals()) == 1]
    least = min((item for item in short if item), default=None)
    fix = Fix(sentence=say("fix.nearest", least=least[1])) if least else None
    if bend.kind == "bend" and bend.turned_deg > MOST_TURNED_DEG:
        said = [say("line.turned_too_far", turned_deg=bend.turned_deg)]
        fix = Fix(sentence="make it hit by hit (bendwright prepare --bump), or as a hem (bendwright hem)")
    return Line(
        group="flange",
        what="no die owned does it",
        places=(f"bend {bend.id}",),
        value=None,
        limit=None,
        unit="",
        bound="none",
        rule="a die that forms the angle, takes the leg and the radius and carries the load",
        source="the cabinet",
        verdict="no",
        note=joined("; ", said),
        fix=fix,
    )


def _reason(check: Check) -> str:
    if check.limit is None:
        return unstopped(check.rule)
    limit = figure(f"{check.limit:.2f} {check.unit}".rstrip())
    return say("line.against", check=phrase(check.name), value=check.value, limit=limit)


def _overshoot(check: Check) -> tuple[float, str] | None:
    """By which share the only refusal of a die misses its limit, and in words."""
    if not check.limit:
        return None
    return abs(check.value / check.limit - 1.0), _reason(check)
