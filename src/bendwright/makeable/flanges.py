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
from bendwright.mechanics.minimum_flange import margin_mm
from bendwright.plan.situation import Situation
from bendwright.shop.tools import Die
from bendwright.stroke.die_choice import flange_verdict, usual_opening_mm
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
    yield from _webs(looked, taken)


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
    return Fix(sentence=f"{limit - value:.2f} mm longer", amount=limit - value, unit="mm")


def _side(looked: Looked, taken: Situation, i: int, side: int) -> Iterator[Line]:
    """The leg on one side of one bend, where it ends free."""
    leg, bend = taken.legs[i][side], taken.part.bends[i]
    if leg.far_bends:
        return
    shortest, thickness = taken.shortest_leg_mm(i), looked.thickness_mm
    verdict = flange_verdict(leg.outside_mm, shortest, thickness)
    missing = shortest - leg.outside_mm
    flange = bend.child if side else bend.parent
    yield Line(
        group="flange",
        what=f"leg in {taken.dies[i].id}",
        places=(f"flange {flange}, bend {bend.id}",),
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
        said.append(f"smallest that does: {least.die.id}, from {least.shortest_mm:.2f}")
    usual = usual_opening_mm(looked.thickness_mm)
    if taken.dies[i].opening_mm < 0.9 * usual and taken.part.bends[i].kind == "bend":
        wider = min(fits, key=lambda fit: abs(fit.die.opening_mm - usual), default=None)
        if wider is not None and wider.shortest_mm > leg_mm:
            said.append(f"the usual {wider.die.id} would want {wider.shortest_mm - leg_mm:.2f} mm more")
    return "; ".join(said)


def _cure(looked: Looked, i: int, missing: float, thickness: float) -> Fix:
    """Longer by what is missing, or the widest die owned that is short enough."""
    if missing <= 0.0:
        room = margin_mm(thickness_mm=thickness) + missing
        return Fix(sentence=f"{room:.2f} mm longer to have the usual margin", amount=room, unit="mm")
    taken = looked.taken
    assert taken is not None
    have = taken.shortest_leg_mm(i) - missing
    short = [fit for fit in die_fits(looked, i) if fit.shortest_mm <= have + 1e-9]
    good = [fit for fit in short if not fit.refusal]
    words = f"{missing:.2f} mm longer"
    if good:
        words += f", or die {good[-1].die.id} (from {good[-1].shortest_mm:.2f} mm, R {good[-1].radius_mm:.2f})"
    elif short:
        words += f"; {short[-1].die.id} would be short enough but fails on {short[-1].refusal}"
    else:
        words += "; no die owned is narrow enough"
    return Fix(sentence=words, amount=missing, unit="mm")


def _webs(looked: Looked, taken: Situation) -> Iterator[Line]:
    """Pairs of bends at the two ends of one stretch of flange."""
    index = {bend.id: i for i, bend in enumerate(taken.part.bends)}
    seen: set[frozenset[str]] = set()
    for i, bend in enumerate(taken.part.bends):
        for side in (0, 1):
            for other in taken.legs[i][side].far_bends:
                pair = frozenset((bend.id, other))
                if pair in seen or taken.verdicts[i].swing is None or taken.verdicts[index[other]].swing is None:
                    continue
                seen.add(pair)
                yield from _web(looked, taken, (i, index[other]), bend.child if side else bend.parent)


def _web(looked: Looked, taken: Situation, pair: tuple[int, int], flange: str) -> Iterator[Line]:
    """One pair: whichever is made second needs the web, straight to the tangent of the first, on its die."""
    bends = [taken.part.bends[i] for i in pair]
    legs = {i: _toward(taken, i, other) for i, other in (pair, pair[::-1])}
    second = max(pair, key=lambda i: legs[i] - taken.shortest_leg_mm(i))
    web_mm, shortest = legs[second], taken.shortest_leg_mm(second)
    first = taken.part.bends[pair[0] if second == pair[1] else pair[1]]
    flat = web_mm - taken.blank.size(taken.part.bends[second].id).setback_mm
    place = (f"flange {flange}, bends {bends[0].id} and {bends[1].id}",)
    verdict = flange_verdict(web_mm, shortest, looked.thickness_mm)
    yield Line(
        group="flange",
        what=f"web to the tangent of the other bend in {taken.dies[second].id}",
        places=place,
        value=web_mm,
        limit=shortest,
        unit="mm",
        bound="least",
        rule="of two bends of a flange the one made second needs the straight web on its die",
        source=SHARP,
        verdict=verdict,
        note="" if verdict == "ok" else f"{flat:.2f} mm flat between the tangents = {flat / looked.thickness_mm:.1f} t",
        fix=None if verdict == "ok" else _cure(looked, second, shortest - web_mm, looked.thickness_mm),
    )
    if bends[0].direction != bends[1].direction and {bend.kind for bend in bends} == {"bend"}:
        outside = web_mm + taken.blank.size(first.id).setback_mm
        yield _offset(looked, taken, pair, outside, place)


def _toward(taken: Situation, i: int, other: int) -> float:
    """The leg of bend ``i`` on the side where the other bend ends it [mm]."""
    name = taken.part.bends[other].id
    return min((leg.outside_mm for leg in taken.legs[i] if name in leg.far_bends), default=0.0)


def half_body_mm(die: Die, down_mm: float) -> float:
    """How far the body of a die stands out from its middle within ``down_mm`` below its top [mm]."""
    return max(abs(x) for x, y in die.outline if y >= -abs(down_mm) - 1e-9)


def _offset(looked: Looked, taken: Situation, pair: tuple[int, int], web_mm: float, place: tuple[str, ...]) -> Line:
    """A step (z): what hangs from the bend made first must stand beside the die when the second begins."""
    t, watch = looked.thickness_mm, taken.practice.clearance_watch_mm
    wants = {i: offset_web_mm(taken, i, t) for i in pair}
    second = min(wants, key=lambda i: wants[i])
    least = wants[second]
    verdict: Verdict = "no" if web_mm < least - 1e-9 else ("watch" if web_mm < least + watch else "ok")
    words = f"{least - web_mm:.2f} mm more web"
    narrower = [
        (offset_web_mm(situation, second, t), die_id)
        for die_id, situation in looked.every.items()
        if situation.verdicts[second].verdict != "no"
    ]
    if verdict == "no":
        better = min(narrower, default=None)
        if better is not None and better[0] <= web_mm:
            words += f", or die {better[1]} (from {better[0]:.2f} mm)"
            verdict = "watch"
        else:
            words += ", a slimmer die, or both bends in one stroke"
    return Line(
        group="flange",
        what=f"step beside die {taken.dies[second].id}",
        places=place,
        value=web_mm,
        limit=least,
        unit="mm",
        bound="least",
        rule="what hangs from the first of two opposite bends clears the body of the die: half body + t + half the deduction",
        source=f"geometry; watch within {watch:g} mm, {PRACTICE}",
        verdict=verdict,
        fix=None if verdict == "ok" else Fix(sentence=words, amount=max(least - web_mm, 0.0), unit="mm"),
    )


def offset_web_mm(situation: Situation, i: int, thickness_mm: float) -> float:
    """Least outside web of a step when bend ``i`` is made second [mm]."""
    half = half_body_mm(situation.dies[i], situation.dies[i].height_mm)
    return half + thickness_mm + 0.5 * situation.blank.size(situation.part.bends[i].id).bend_deduction_mm
