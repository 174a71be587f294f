"""Will the outside sizes come out within their tolerances, and which way of gauging helps?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from bendwright.doubt.capability import class_of
from bendwright.doubt.sources import CUT_EDGE_MM, GAUGE_MM, mill_tolerance_mm
from bendwright.findings import OutOfRangeError
from bendwright.makeable.line import PRACTICE, Fix, Line
from bendwright.makeable.looked import Looked
from bendwright.makeable.size_stack import WAYS, Errors, SizeEffect, Way, better_way, size_effects
from bendwright.plan.situation import Situation
from bendwright.said import joined, phrase, say
from bendwright.shop.general_tolerance import linear_tolerance_mm
from bendwright.stroke.air_stroke import FROM_MECHANICS

DEDUCTION_MM = {"table": 0.05, "mechanics": 0.1, "rule": 0.2}
"""How far a deduction may be off [mm] when it was measured, worked out, or taken from a rule (practice; see the manual)."""
READ_MM = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeStack:
    """One outside size with what the errors make of it, gauged each way, and its tolerance, plus and minus (None = none known)."""

    flange_id: str
    size_mm: float
    effects: tuple[SizeEffect, ...]
    tolerance_mm: float | None
    tolerance_source: str

    def effect(self, way: Way) -> SizeEffect:
        """What the errors make of it gauged that way."""
        return {effect.way: effect for effect in self.effects}[way]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizes:
    """All sizes of a part, the errors they were worked out for, and the way of gauging that keeps the tolerances best."""

    errors: Errors
    stacks: tuple[SizeStack, ...]
    way: Way


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenErrors:
    """Errors a person states [mm]; None = take the usual one."""

    deduction_mm: float | None = None
    thickness_mm: float | None = None
    gauge_mm: float | None = None
    cut_mm: float | None = None

    def over(self, usual: Errors) -> Errors:
        """The usual errors with the given ones in their place."""
        given = {name: getattr(self, name) for name in self.__dataclass_fields__ if getattr(self, name) is not None}
        if not given:
            return usual
        said = joined(", ", (phrase(name.removesuffix("_mm")) for name in given))
        return replace(usual, **given, source=say("source.as_given", said=said, usual=usual.source))


def usual_errors(looked: Looked, taken: Situation) -> Errors:
    """What the shop states of its errors, else the mill's table, the brake's record and practice."""
    spreads = taken.practice.spreads
    sources = {taken.blank.size(bend.id).allowance_source for bend in taken.part.bends if bend.kind == "bend"}
    kind = "rule"
    if sources and all(source.startswith("shop table") for source in sources):
        kind = "table"
    elif sources and all(source.startswith(FROM_MECHANICS) for source in sources):
        kind = "mechanics"
    thickness, said = mill_tolerance_mm(looked.sheet)
    if spreads.thickness_mm is not None:
        thickness, said = spreads.thickness_mm, "the shop's practice"
    if looked.sheet.is_measured:
        thickness, said = READ_MM, "measured"
    repeat = taken.brake.gauge.x_repeat_mm
    gauge = spreads.gauge_mm or repeat or GAUGE_MM
    cut = spreads.cut_edge_mm or CUT_EDGE_MM
    by_gauge = say("source.record_of", brake=taken.brake.id) if repeat else PRACTICE
    source = say("source.errors", kind=phrase(kind), practice=phrase(PRACTICE), thickness=phrase(said), gauge=by_gauge)
    return Errors(deduction_mm=DEDUCTION_MM[kind], thickness_mm=thickness, gauge_mm=gauge, cut_mm=cut, source=source)


def sizes_of(looked: Looked, given: GivenErrors | None = None) -> Sizes | None:
    """Every outside size under the errors given, the usual ones else; None where nothing is laid out."""
    taken = looked.taken
    if taken is None:
        return None
    known = (given or GivenErrors()).over(usual_errors(looked, taken))
    sizes = {size.bend_id: size for size in taken.blank.sizes}
    by_way = {way: size_effects(looked.drawn, sizes, known, way=way) for way in WAYS}
    stacks = []
    for effects in zip(*by_way.values(), strict=True):
        tolerance, source = _tolerance(looked, effects[0])
        stacks.append(
            SizeStack(
                flange_id=effects[0].flange_id,
                size_mm=effects[0].size_mm,
                effects=effects,
                tolerance_mm=tolerance,
                tolerance_source=source,
            )
        )
    shares = [(way, [s.effect(way).together_mm / s.tolerance_mm for s in stacks if s.tolerance_mm]) for way in WAYS]
    return Sizes(errors=known, stacks=tuple(stacks), way=better_way(shares))


def _tolerance(looked: Looked, effect: SizeEffect) -> tuple[float | None, str]:
    """Half the drawing's own band across the flange's bends, else the general tolerance of the class in force."""
    own = looked.drawn.flange(effect.flange_id).tolerance
    if own is not None and effect.across_own_bends:
        return 0.5 * (own.plus_mm - own.minus_mm), "the drawing, aimed at the middle"
    grade, said = class_of(looked.drawn.header.notes, looked.shop.practice.spreads.tolerance_class)
    try:
        return linear_tolerance_mm(length_mm=effect.size_mm, grade=grade), say(
            "source.class_said", grade=grade, said=phrase(said)
        )
    except OutOfRangeError as error:
        return None, error.findings[0].sentence


def size_lines(looked: Looked, sizes: Sizes | None) -> Iterator[Line]:
    """Each size gauged the better way against its tolerance."""
    for stack in sizes.stacks if sizes else ():
        assert sizes is not None
        best = stack.effect(sizes.way)
        over = stack.tolerance_mm is not None and best.together_mm > stack.tolerance_mm + 1e-9
        yield Line(
            group="size",
            what=say("line.outside_size", size_mm=stack.size_mm),
            places=(f"flange {stack.flange_id}",),
            value=best.together_mm,
            limit=stack.tolerance_mm,
            unit="mm",
            bound="most",
            rule="errors of deduction, thickness, gauge and cut edge (root of the squares) stay within the tolerance",
            source=stack.tolerance_source,
            verdict="watch" if over or stack.tolerance_mm is None else "ok",
            note=say(
                "line.size_note",
                deduction_mm=best.deduction_mm,
                thickness_mm=best.thickness_mm,
                gauge_mm=best.gauge_mm,
                cut_mm=best.cut_mm,
                at_worst_mm=best.at_worst_mm,
                way=phrase(sizes.way),
            ),
            fix=_fix(stack, best) if over else None,
        )


def _fix(stack: SizeStack, best: SizeEffect) -> Fix:
    over = best.together_mm - (stack.tolerance_mm or 0.0)
    other = next(effect for effect in stack.effects if effect.way != best.way)
    words = say("fix.too_much", over=over, deduction=abs(best.deduction_mm))
    if other.together_mm < best.together_mm - 0.005:
        words = say("fix.or_gauge", words=words, way=phrase(other.way), together=other.together_mm)
    return Fix(sentence=words, amount=over, unit="mm")
