"""Are the flanges long enough for the dies owned, and the bends of one flange far enough apart?

For every bend and side: the leg against the die the shop would take, the smallest die that would do, and what is missing. A leg
that ends in another bend is held against the one of the two that is made second; where they go opposite ways, what hangs
down from the first must also clear the body of the die.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bendwright.makeable.line import PRACTICE, Fix, Line, from_check, guarded
from bendwright.makeable.looked import Looked
from bendwright.makeable.webs import Web, webs_of
from bendwright.mechanics.minimum_flange import margin_mm
from bendwright.plan.situation import Situation
from bendwright.said import joined, phrase, say
from bendwright.shop.tools import Die
from bendwright.stroke.die_choice import flange_verdict, leg_verdict, usual_opening_mm
from bendwright.stroke.result import Verdict

SHORTEST = "outside leg at least V / (2 sin(included/2)) at the loaded angle; watch within 1 mm or 0.3 t above"
SHARP = "geometry of thin sheet on sharp shoulders"
BY_STROKE = ("reach of the flange", "shortest part of the flange")


def flange_lines(looked: Looked) -> Iterator[Line]:
    """All lines on flange length, bend by bend."""
    taken = looked.taken
    if taken is None:
        return
    for i, bend in enumerate(taken.part.bends):
        if taken.verdicts[i].swing is None:
            continue
        yield from guarded("flange", "leg", f"bend {bend.id}", _of_bend(looked, taken, i))
    for web in webs_of(taken):
        yield _web(looked, taken, web)
        yield from _step(looked, taken, web)


def _of_bend(looked: Looked, taken: Situation, i: int) -> Iterator[Line]:
    for side in (0, 1):
        yield from _side(looked, taken, i, side)
    for check in taken.verdicts[i].checks:
        if check.name in BY_STROKE and check.verdict != "ok":
            place = f"bend {taken.part.bends[i].id}"
            yield from_check(check, "flange", place, bound="least", fix=_longer(check.value, check.limit))


def _longer(value: float, limit: float | None) -> Fix | None:
    if limit is None or value >= limit:
        return None
    return Fix(sentence=say("fix.longer", limit=limit - value), amount=limit - value, unit="mm")


def _side(looked: Looked, taken: Situation, i: int, side: int) -> Iterator[Line]:
    """The leg on one side of one bend, where it ends free."""
    leg, bend = taken.legs[i][side], taken.part.bends[i]
    if leg.far_bends:
        return
    thickness, swing = looked.thickness_mm, taken.verdicts[i].swing
    assert swing is not None
    shortest, verdict = leg_verdict(taken.dies[i], swing, leg.outside_mm)
    missing = shortest - leg.outside_mm
    flange = bend.child if side else bend.parent
    yield Line(
        group="flange",
        what=say("line.leg_in", dies=taken.dies[i].id),
        places=(say("line.flange_bend", flange=flange, bend=bend.id),),
        value=leg.outside_mm,
        limit=shortest,
        unit="mm",
        bound="least",
        rule=SHORTEST,
        source=SHARP,
        verdict=verdict,
        note=_others(looked, taken, i, leg.outside_mm),
        fix=None if verdict == "ok" else _cure(looked, i, missing, thickness),
    )


@dataclass(frozen=True, slots=True)
class DieFit:
    """One die for one bend: the shortest leg it does [mm], the radius it gives, and the first of its refusals that is
    not the flange's ("" = none).
    """

    die: Die
    shortest_mm: float
    radius_mm: float
    refusal: str


def die_fits(looked: Looked, i: int) -> list[DieFit]:
    """The vee dies that can form bend ``i`` at all, the narrowest first; for a hem the acute ones."""
    out: dict[str, DieFit] = {}
    for situation in looked.every.values():
        verdict = situation.verdicts[i]
        if verdict.swing is None:
            continue
        other = [check for check in verdict.refusals() if check.name != "minimum flange"]
        out[verdict.die.id] = DieFit(
            verdict.die,
            situation.shortest_leg_mm(i),
            verdict.size.inside_radius_mm,
            other[0].name if other else "",
        )
    return sorted(out.values(), key=lambda fit: (fit.die.opening_mm, fit.die.id))


def _others(looked: Looked, taken: Situation, i: int, leg_mm: float) -> str:
    """The smallest die that would do, and what the usual one would still want."""
    said = []
    fits = [fit for fit in die_fits(looked, i) if not fit.refusal]
    least = next((fit for fit in fits if fit.shortest_mm <= leg_mm + 1e-9), None)
    if least is not None and least.die != taken.dies[i]:
        said.append(say("line.smallest_die", die=least.die.id, shortest_mm=least.shortest_mm))
    usual = usual_opening_mm(looked.thickness_mm)
    if taken.dies[i].opening_mm < 0.9 * usual and taken.part.bends[i].kind == "bend":
        wider = min(fits, key=lambda fit: abs(fit.die.opening_mm - usual), default=None)
        if wider is not None and wider.shortest_mm > leg_mm:
            said.append(say("line.usual_die", die=wider.die.id, shortest_mm=wider.shortest_mm - leg_mm))
    return joined("; ", said)


def _cure(looked: Looked, i: int, missing: float, thickness: float) -> Fix:
    """Longer by what is missing, or the widest die owned that is short enough."""
    if missing <= 0.0:
        room = margin_mm(thickness_mm=thickness) + missing
        return Fix(sentence=say("fix.usual_margin", room=room), amount=room, unit="mm")
    taken = looked.taken
    assert taken is not None
    have = taken.shortest_leg_mm(i) - missing
    short = [fit for fit in die_fits(looked, i) if fit.shortest_mm <= have + 1e-9]
    good = [fit for fit in short if not fit.refusal]
    words = say("fix.missing", missing=missing)
    if good:
        fit = good[-1]
        words = say("fix.or_die_from", words=words, die=fit.die.id, shortest=fit.shortest_mm, radius=fit.radius_mm)
    elif short:
        words = say("fix.die_fails", words=words, die=short[-1].die.id, refusal=phrase(short[-1].refusal))
    else:
        words = joined("; ", (words, phrase("no die owned is narrow enough")))
    return Fix(sentence=words, amount=missing, unit="mm")


def _web(looked: Looked, taken: Situation, web: Web) -> Line:
    """One pair: whichever is made second needs the web, straight to the tangent of the first, on its die."""
    thickness = looked.thickness_mm
    verdict = flange_verdict(web.web_mm, web.least_mm, thickness)
    flat = web.web_mm - taken.blank.size(taken.part.bends[web.second].id).setback_mm
    return Line(
        group="flange",
        what=say("line.web_to_tangent", dies=taken.dies[web.second].id),
        places=(_place(taken, web),),
        value=web.web_mm,
        limit=web.least_mm,
        unit="mm",
        bound="least",
        rule="of two bends of a flange the one made second needs the straight web on its die",
        source=SHARP,
        verdict=verdict,
        note="" if verdict == "ok" else say("line.flat_between", flat=flat, flat2=flat / thickness),
        fix=None if verdict == "ok" else _cure(looked, web.second, web.least_mm - web.web_mm, thickness),
    )


def _place(taken: Situation, web: Web) -> str:
    first, second = (taken.part.bends[i].id for i in web.bends)
    return say("line.flange_two_bends", flange_id=web.flange_id, first=first, second=second)


def _step(looked: Looked, taken: Situation, web: Web) -> Iterator[Line]:
    """A step (z): what hangs from the bend made first must begin beside the die when the second begins."""
    if web.step_second is None:
        return
    watch, missing = taken.practice.clearance_watch_mm, web.step_least_mm - web.step_mm
    verdict: Verdict = "no" if missing > 1e-9 else ("watch" if missing > -watch else "ok")
    words = say("fix.more_web", missing=missing, slimmer=phrase(_slimmer(looked, web)))
    if verdict == "watch":
        words = say("fix.web_room", watch=watch + missing)
    yield Line(
        group="flange",
        what=say("line.step_beside", dies=taken.dies[web.step_second].id),
        places=(_place(taken, web),),
        value=web.step_mm,
        limit=web.step_least_mm,
        unit="mm",
        bound="least",
        rule="the web of a step is straight past the body of the die: half the body + half the deduction, to the first bend's tangent",
        source=say("line.geometry_watch", watch=watch, PRACTICE=phrase(PRACTICE)),
        verdict=verdict,
        fix=None
        if verdict == "ok"
        else Fix(sentence=words, amount=missing + (watch if verdict == "watch" else 0.0), unit="mm"),
    )


def _slimmer(looked: Looked, web: Web) -> str:
    """An owned die that stands beside the web and does the bend, else what else would help."""
    for die_id, situation in sorted(looked.every.items(), key=lambda item: -max(d.opening_mm for d in item[1].dies)):
        if any(situation.verdicts[i].verdict == "no" for i in web.bends):
            continue
        if any(other.bends == web.bends and other.spare_mm >= 0.0 for other in webs_of(situation)):
            return say("fix.or_die", die_id=die_id)
    return "a slimmer die, or both bends in one stroke"
