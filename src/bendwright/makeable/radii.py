"""Is the inside radius the tools give large enough for this sheet, and is it the radius that was drawn?

Every rule that has a number is said with its source: the shop's own refuses, those of the standards recommend. Across the grain
a sheet takes sharper bends than along it; where the rolling direction is not known the number across it counts, and the one along it is
said where it would not be kept. Against cracks the
strain of the outer fibre is held against what the sheet stretches evenly.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from bendwright.makeable.line import PRACTICE, Fix, Line, guarded, unknown
from bendwright.makeable.looked import Looked
from bendwright.mechanics.limits import positive
from bendwright.mechanics.minimum_flange import minimum_flange_mm
from bendwright.mechanics.outer_strain import even_strain, outer_fibre_strain
from bendwright.part.blank_model import BendLine
from bendwright.plan.situation import Situation, along_grain
from bendwright.said import figure, joined, phrase, say
from bendwright.shop.minimum_radius import MinimumRadius, minimum_radii
from bendwright.stroke.air_stroke import FROM_MECHANICS
from bendwright.stroke.die_choice import MOST_EVEN_STRETCHES
from bendwright.stroke.result import Verdict

DRAWN_SHARE = 0.2
SHARP_T = 0.63
LARGE_TIMES = 5.0


def radius_lines(looked: Looked) -> Iterator[Line]:
    """Least radius by every rule, crack risk, drawn radius, for each bend; hems by the strain of their fold."""
    taken = looked.taken
    if taken is None:
        return
    for i, bend in enumerate(taken.part.bends):
        yield from guarded("radius", "inside radius", f"bend {bend.id}", _of_bend(looked, taken, i))


def _of_bend(looked: Looked, taken: Situation, i: int) -> Iterator[Line]:
    if taken.part.bends[i].kind == "bend":
        yield from _least(looked, taken, i)
        yield from _drawn(taken, i)
        yield from _sharp(looked, taken, i)
    yield from _strain(looked, taken, i)


def grain_words(line: BendLine, grain: str) -> str:
    """How the bend runs to the rolling direction, in words."""
    along = along_grain(line, grain)
    if along is None:
        return "grain not known"
    dx, dy = abs(line.end[0] - line.start[0]), abs(line.end[1] - line.start[1])
    off = math.degrees(math.atan2(dy, dx) if grain == "along_x" else math.atan2(dx, dy))
    way = phrase("along" if along else "across")
    return say("line.to_grain", way=way) if off in (0.0, 90.0) else say("line.to_grain_off", way=way, off=off)


def _rules(looked: Looked, taken: Situation, i: int, *, along: bool) -> tuple[MinimumRadius, ...]:
    """All rules for one bend, along the grain or across it."""
    return minimum_radii(
        material=looked.sheet.material,
        thickness_mm=looked.sheet.nominal_thickness_mm,
        turned_deg=taken.part.bends[i].turned_deg,
        along_grain=along,
        tensile_mpa=looked.sheet.tensile_mpa,
        practice=taken.practice,
    )


def _least(looked: Looked, taken: Situation, i: int) -> Iterator[Line]:
    bend, size = taken.part.bends[i], taken.blank.size(taken.part.bends[i].id)
    known = along_grain(taken.lines[i], looked.sheet.grain)
    rules = _rules(looked, taken, i, along=bool(known))
    turned = _rules(looked, taken, i, along=True) if known is None else ()
    grain = grain_words(taken.lines[i], looked.sheet.grain)
    if not rules:
        why = say(
            "line.no_rule", material=looked.sheet.material.name, nominal_thickness_mm=looked.sheet.nominal_thickness_mm
        )
        yield unknown("radius", "least inside radius", f"bend {bend.id}", why, verdict="ok")
    for number, rule in enumerate(rules):
        own = number == 0 and rule.source.startswith("the shop's own")
        short = size.inside_radius_mm < rule.radius_mm - 1e-9
        below: Verdict = "no" if own else "watch"
        other = turned[number].radius_mm if number < len(turned) else rule.radius_mm
        note = grain
        if other > rule.radius_mm and size.inside_radius_mm < other - 1e-9:
            note = say("line.along_it", grain=phrase(grain), other=other)
        yield Line(
            group="radius",
            what=say("line.radius_in", dies=taken.dies[i].id),
            places=(f"bend {bend.id}",),
            value=size.inside_radius_mm,
            limit=rule.radius_mm,
            unit="mm",
            bound="least",
            rule="the shop's own least radius" if own else "recommended least inside radius",
            source=joined("", (phrase(rule.source), " (", phrase(rule.provenance), ")")),
            verdict=below if short else "ok",
            note=note,
            fix=_wider(looked, taken, i, rule.radius_mm) if short else None,
        )


def _wider(looked: Looked, taken: Situation, i: int, radius_mm: float) -> Fix:
    """The owned die that gives the radius with the leg long enough, else the opening that would, and the leg it asks for."""
    leg = min((leg.outside_mm for leg in taken.legs[i] if not leg.far_bends), default=math.inf)
    size = taken.blank.size(taken.part.bends[i].id)
    missing = radius_mm - size.inside_radius_mm
    for die_id, situation in sorted(looked.every.items(), key=lambda item: item[1].dies[i].opening_mm):
        verdict = situation.verdicts[i]
        if verdict.size.inside_radius_mm >= radius_mm - 1e-9 and verdict.verdict != "no":
            words = say("fix.die_gives", die_id=die_id, inside_radius_mm=verdict.size.inside_radius_mm)
            return Fix(sentence=words, amount=missing, unit="mm")
    opening = taken.dies[i].opening_mm * radius_mm / size.inside_radius_mm
    swing = taken.verdicts[i].swing
    included = 180.0 - taken.part.bends[i].turned_deg if swing is None else swing.loaded_included_deg
    words = say("fix.wider_v", opening=opening, radius=radius_mm)
    if included >= 1.0:
        shortest = minimum_flange_mm(opening_mm=opening, included_deg=included)
        leg_words = figure(f"{shortest:.1f} > {leg:.1f}" if shortest > leg else f"{shortest:.1f}")
        words = say("fix.wider_v_leg", opening=opening, radius=radius_mm, shortest=leg_words)
    return Fix(sentence=words, amount=missing, unit="mm")


def _drawn(taken: Situation, i: int) -> Iterator[Line]:
    bend, made = taken.part.bends[i], taken.blank.size(taken.part.bends[i].id).inside_radius_mm
    drawn = bend.drawn_radius_mm
    if drawn is None or drawn <= 0.0:
        return
    off = abs(made / drawn - 1.0)
    opening = taken.dies[i].opening_mm * drawn / made
    yield Line(
        group="radius",
        what=say("line.radius_made", dies=taken.dies[i].id, drawn=drawn),
        places=(f"bend {bend.id}",),
        value=100.0 * (made / drawn - 1.0),
        limit=100.0 * DRAWN_SHARE * (1.0 if made >= drawn else -1.0),
        unit="%",
        bound="most" if made >= drawn else "least",
        rule="air bends take their radius from the die; more than 20 % off the drawing is said",
        source=PRACTICE,
        verdict="watch" if off > DRAWN_SHARE + 1e-9 else "ok",
        note=say("line.is_made", made=made),
        fix=_redrawn(made, drawn, opening) if off > DRAWN_SHARE + 1e-9 else None,
    )


def _redrawn(made: float, drawn: float, opening: float) -> Fix:
    """The radius to draw, the die to ask for, or, far above it, the other way to bend."""
    words = say("fix.draw_or_ask", made=made, opening=opening)
    if drawn > LARGE_TIMES * made:
        words = say("fix.draw_or_hits", made=made)
    return Fix(sentence=words, amount=made - drawn, unit="mm")


def _sharp(looked: Looked, taken: Situation, i: int) -> Iterator[Line]:
    made, t = taken.blank.size(taken.part.bends[i].id).inside_radius_mm, looked.thickness_mm
    if made >= SHARP_T * t:
        return
    yield Line(
        group="radius",
        what=say("line.sharp_in", dies=taken.dies[i].id),
        places=(f"bend {taken.part.bends[i].id}",),
        value=made,
        limit=SHARP_T * t,
        unit="mm",
        bound="least",
        rule=say("line.creases", SHARP_T=SHARP_T),
        source="trade press",
        verdict="watch",
        fix=_wider(looked, taken, i, SHARP_T * t),
    )


def _strain(looked: Looked, taken: Situation, i: int) -> Iterator[Line]:
    """Crack risk: outer strain against four even elongations of the tensile test, of which recommended radii leave 1 to 4."""
    bend, t = taken.part.bends[i], looked.thickness_mm
    even, radius = looked.sheet.material.uniform_elongation, taken.blank.size(bend.id).inside_radius_mm
    verdict = taken.verdicts[i]
    made = verdict.swing.stroke.made if verdict.swing is not None and verdict.swing.stroke is not None else None
    strain = outer_fibre_strain(inside_radius_mm=radius, thickness_mm=t)
    source = "plane sections, neutral axis in the middle"
    if made is not None and bend.kind == "bend":
        strain, source = made.outer_strain, FROM_MECHANICS
    if even is None:
        why = say("line.no_elongation", material=looked.sheet.material.name, strain=100 * strain)
        yield unknown("radius", "crack risk", f"bend {bend.id}", why, verdict="ok")
        return
    limit = MOST_EVEN_STRETCHES * even_strain(elongation_percent=100.0 * even)
    safe = least_radius_of_strain_mm(strain=limit, thickness_mm=t)
    cracks = strain > limit
    yield Line(
        group="radius",
        what="crack risk, strain of the outer fibre",
        places=(f"bend {bend.id}",),
        value=100.0 * strain,
        limit=100.0 * limit,
        unit="%",
        bound="most",
        rule=say("line.not_beyond", MOST_EVEN_STRETCHES=MOST_EVEN_STRETCHES),
        source=source,
        verdict="watch" if cracks else "ok",
        note=grain_words(taken.lines[i], looked.sheet.grain) if cracks else "",
        fix=Fix(sentence=say("fix.radius_or_more", safe=safe), amount=max(0.0, safe - radius), unit="mm")
        if cracks
        else None,
    )


def least_radius_of_strain_mm(*, strain: float, thickness_mm: float) -> float:
    """Inside radius at which the outer fibre is stretched to ``strain`` (true), neutral axis in the middle; 0 where a sharp
    fold keeps it. OutOfRangeError for a strain not above 0.
    """
    positive(strain=strain, thickness_mm=thickness_mm)
    return max(0.0, 0.5 * thickness_mm * (1.0 / (math.exp(strain) - 1.0) - 1.0))
