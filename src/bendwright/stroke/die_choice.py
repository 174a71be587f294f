"""Does this die suit this bend? Every rule with its number, limit and source."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bendwright.findings import OutOfRangeError
from bendwright.mechanics.bump_bending import DIE_OVER_PITCH
from bendwright.mechanics.minimum_flange import margin_mm, minimum_flange_mm
from bendwright.mechanics.outer_strain import even_strain
from bendwright.part.bend_size import BendSize
from bendwright.part.bumped import pitch_of
from bendwright.part.model import Bend
from bendwright.said import say
from bendwright.shop.brake import Brake
from bendwright.shop.minimum_radius import minimum_radii
from bendwright.shop.practice import Practice
from bendwright.shop.sheet import Sheet
from bendwright.shop.tools import Die
from bendwright.stroke.air_stroke import FROM_MECHANICS, LEAST_RATIO, MOST_RATIO, AirStroke, NoAnswer
from bendwright.stroke.loads import die_load_checks, line_load
from bendwright.stroke.plastic import worst
from bendwright.stroke.result import Check, Verdict
from bendwright.stroke.swing import Swing, swing_of

PRACTICE = "common practice, no source"
LARGE_RADIUS = 8.0
LEAST_MADE = 0.5
"""A radius of more than the first number of thicknesses is not air bent where less than this share of it is made."""
WIDEST_USUAL = 14.0
BOTTOM_GAP_MM = 0.2
TABLE_K = (0.0, 0.7)
LIFTED_SHARE = 0.25
"""Share of the thickness from which two contacts of the nose are said: nearer than that they act as one."""
MOST_EVEN_STRETCHES = 4.0
"""How far the outer fibre may go, in even elongations of the tensile test: the recommended least radii ask for 1 to 4."""
RULE_V = ((2.7, 8.0), (9.0, 8.0), (14.0, 10.0), (1e9, 12.0))


@dataclass(frozen=True, slots=True)
class DieVerdict:
    """One die for one bend: the swing it gives (None when it cannot be formed at all) and all checks. ``no_answer`` says why
    the charts stand in for the mechanics.
    """

    die: Die
    bend: Bend
    size: BendSize
    swing: Swing | None
    checks: tuple[Check, ...]
    no_answer: NoAnswer | None = None

    @property
    def verdict(self) -> Verdict:
        """Worst of the checks."""
        return worst(self.checks)

    def refusals(self) -> tuple[Check, ...]:
        """The checks that say no."""
        return tuple(check for check in self.checks if check.verdict == "no")


def usual_opening_mm(thickness_mm: float) -> float:
    """The opening the trade takes first: 8 t, 10 t above 9 mm, 12 t above 14 mm (common practice, no source)."""
    return next(times for limit, times in RULE_V if thickness_mm <= limit) * thickness_mm


def wanted_opening_mm(bend: Bend, thickness_mm: float) -> float:
    """The opening taken first for a bend: the usual one; for a hit of a large radius two pitches, within what suits the sheet."""
    if bend.hit is None:
        return usual_opening_mm(thickness_mm)
    return min(DIE_OVER_PITCH * pitch_of(bend, bend.hit, thickness_mm=thickness_mm), WIDEST_USUAL * thickness_mm)


def judge_die(
    die: Die,
    bend: Bend,
    size: BendSize,
    *,
    legs_mm: tuple[float, float],
    least_legs_mm: tuple[float, float],
    length_mm: float,
    along_grain: bool | None,
    sheet: Sheet,
    practice: Practice,
    brake: Brake,
    stroke: AirStroke | None = None,
) -> DieVerdict:
    """Hold a die against one bend: leg [mm] of either side that nothing can lengthen (held by three
    quarters of the bend) and the shortest anywhere on it, bent length [mm], grain; ``stroke`` as the mechanics see it.
    """
    try:
        swing = swing_of(bend, size, die, sheet=sheet, practice=practice, stroke=stroke)
    except OutOfRangeError as error:
        sentence = error.findings[0].sentence
        return DieVerdict(die, bend, size, None, (_no("reach over the shoulder", sentence, "mechanics"),))
    leg = min(legs_mm)
    common = [_angle_check(die, swing), _flange_check(die, swing, leg), *_slip_checks(die, swing, leg)]
    charts = None if swing.stroke is None else line_load(sheet=sheet, die=die)
    loads = die_load_checks(swing.line_load, length_mm=length_mm, die=die, brake=brake, charts=charts)
    if bend.kind != "bend":
        return DieVerdict(die, bend, size, swing, (*common, *loads))
    checks = [
        *common,
        *_end_checks(die, swing, leg, min(least_legs_mm)),
        _bottom_check(die, swing),
        _ratio_check(die, sheet.thickness_mm),
        *_table_checks(size),
        *_radius_checks(bend, size, sheet, practice, along_grain),
        *_strain_checks(swing, sheet),
        *_fold_checks(swing),
        *_pitch_checks(die, bend, sheet.thickness_mm),
        *_bed_checks(length_mm, brake),
        *loads,
    ]
    return DieVerdict(die, bend, size, swing, tuple(checks))


def _table_checks(size: BendSize) -> list[Check]:
    """A deduction out of the shop's table must leave the neutral axis inside the sheet's inner two thirds."""
    if not size.allowance_source.startswith("shop table"):
        return []
    k = size.k_factor
    low = k < TABLE_K[0]
    return [
        Check(
            name="K of the bend table",
            value=k,
            limit=TABLE_K[0] if low else TABLE_K[1],
            unit="",
            verdict="no" if low or k > TABLE_K[1] else "ok",
            rule="a measured deduction means a K of about 0 to 0.7 at its radius; look for a slip in the table",
            source=PRACTICE,
        )
    ]


def _pitch_checks(die: Die, bend: Bend, thickness_mm: float) -> list[Check]:
    """Hits of a large radius: the hit before must lie at the shoulder, not in the opening."""
    if bend.hit is None:
        return []
    ratio = die.opening_mm / pitch_of(bend, bend.hit, thickness_mm=thickness_mm)
    return [
        Check(
            name="opening over pitch",
            value=ratio,
            limit=DIE_OVER_PITCH,
            unit="pitches",
            verdict="no" if ratio > DIE_OVER_PITCH + 1e-9 else "ok",
            rule="a die of two pitches or less: the hit before then lies at its shoulder and not in its opening",
            source="training text",
        )
    ]


def _bed_checks(length_mm: float, brake: Brake) -> list[Check]:
    if brake.bed_length_mm is None:
        return []
    verdict: Verdict = "no" if length_mm > brake.bed_length_mm else "ok"
    return [
        Check(
            name="bend length",
            value=length_mm,
            limit=brake.bed_length_mm,
            unit="mm",
            verdict=verdict,
            rule="the bend is not longer than the bed",
            source=f"brake {brake.id}",
        )
    ]


def _angle_check(die: Die, swing: Swing) -> Check:
    limit = swing.loaded_included_deg
    verdict: Verdict = "ok"
    if die.angle_deg > limit + 1e-9:
        verdict = "no" if die.angle_deg > swing.sharpest_tool_deg + 1e-9 else "watch"
    return Check(
        name="die angle",
        value=die.angle_deg,
        limit=limit,
        unit="deg",
        verdict=verdict,
        rule="die angle not above the loaded included angle (air bend, no bottoming); watch within the doubt of the springback",
        source="geometry",
    )


def flange_verdict(leg_mm: float, shortest_mm: float, thickness_mm: float) -> Verdict:
    """No below the minimum, watch within the margin above it, else ok."""
    if leg_mm < shortest_mm - 1e-9:
        return "no"
    return "watch" if leg_mm < shortest_mm + margin_mm(thickness_mm=thickness_mm) else "ok"


def shortest_leg_mm(die: Die, swing: Swing) -> float:
    """Minimum outside leg [mm] in this die at the loaded angle. The rule counts from where the outer faces would meet, far out at the
    sharp first bend of a hem, whose leg is told to its fold: that one must reach the shoulder, no more.
    """
    rule = rule_leg_mm(die, swing)
    if swing.bend.kind == "bend":
        return rule
    radii = swing.formed_radius_mm + swing.thickness_mm + die.shoulder_radius_mm
    tilt = math.radians(0.5 * swing.loaded_turned_deg)
    arm = max((swing.half_centre_mm - radii * math.sin(tilt)) / math.cos(tilt), 0.0)
    return min(rule, arm + 0.5 * swing.kernel_numbers[1] + 0.5 * swing.size.bend_deduction_mm)


def rule_leg_mm(die: Die, swing: Swing) -> float:
    """Minimum outside leg by the trade's rule [mm], V / (2 sin(included/2)) at the loaded angle."""
    return minimum_flange_mm(opening_mm=die.opening_mm, included_deg=swing.loaded_included_deg)


def leg_verdict(die: Die, swing: Swing, leg_mm: float) -> tuple[float, Verdict]:
    """What an outside leg is held against [mm], and how it stands: a hem below the rule that still reaches the shoulder is a watch."""
    shortest, rule = shortest_leg_mm(die, swing), rule_leg_mm(die, swing)
    if leg_mm < shortest - 1e-9:
        return shortest, "no"
    verdict = flange_verdict(leg_mm, rule, swing.thickness_mm)
    return rule, "watch" if verdict == "no" else verdict


def _flange_check(die: Die, swing: Swing, leg_mm: float) -> Check:
    limit, verdict = leg_verdict(die, swing, leg_mm)
    rule = "outside leg at least V / (2 sin(included/2)) at the loaded angle; watch within 1 mm or 0.3 t above"
    source = "geometry of thin sheet on sharp shoulders"
    return Check(name="minimum flange", value=leg_mm, limit=limit, unit="mm", verdict=verdict, rule=rule, source=source)


def _slip_checks(die: Die, swing: Swing, leg_mm: float) -> list[Check]:
    """Said where the flange is long enough for the rule, and not for the stroke model from first touch to the end."""
    if swing.stroke is None or leg_mm < shortest_leg_mm(die, swing) - 1e-9:
        return []
    shortest = swing.stroke.shortest_leg_mm()
    verdict = flange_verdict(leg_mm, shortest, swing.thickness_mm)
    if verdict == "ok":
        return []
    return [
        Check(
            name="reach of the flange",
            value=leg_mm,
            limit=shortest,
            unit="mm",
            verdict=verdict,
            rule="the edge stays on the die from first touch to the end of the stroke; watch within 1 mm or 0.3 t above",
            source=FROM_MECHANICS,
        )
    ]


def _strain_checks(swing: Swing, sheet: Sheet) -> list[Check]:
    """The outer fibre against the even elongation of the tensile test; nothing where one of them is not known."""
    even = sheet.material.uniform_elongation
    if swing.stroke is None or even is None:
        return []
    strain, limit = swing.stroke.made.outer_strain, MOST_EVEN_STRETCHES * even_strain(elongation_percent=100.0 * even)
    return [
        Check(
            name="outer strain",
            value=strain,
            limit=limit,
            unit="mm/mm",
            verdict="watch" if strain > limit else "ok",
            rule=say("rule.even_stretches", MOST_EVEN_STRETCHES=MOST_EVEN_STRETCHES),
            source=FROM_MECHANICS,
        )
    ]


def _fold_checks(swing: Swing) -> list[Check]:
    """Said where the sheet folds between two contacts on the nose: the regime of large noses, several radii in one bend."""
    if swing.stroke is None:
        return []
    lifted, limit = swing.stroke.made.lifted_mm, LIFTED_SHARE * swing.thickness_mm
    if lifted <= limit:
        return []
    return [
        Check(
            name="fold under the nose",
            value=lifted,
            limit=limit,
            unit="mm",
            verdict="watch",
            rule="the nose touches at two places this far from the middle; between them the sheet is sharper than the nose",
            source=FROM_MECHANICS,
        )
    ]


def _end_checks(die: Die, swing: Swing, leg_mm: float, least_mm: float) -> list[Check]:
    """Said where a part of the bend, up to a quarter of it, has a leg that does not reach over the shoulder."""
    shortest = shortest_leg_mm(die, swing)
    if least_mm >= shortest - 1e-9 or leg_mm < shortest - 1e-9:
        return []
    return [
        Check(
            name="shortest part of the flange",
            value=least_mm,
            limit=shortest,
            unit="mm",
            verdict="watch",
            rule="a part of the bend (less than a quarter) has a leg too short for the die: it dips into the opening",
            source="geometry",
        )
    ]


def _bottom_check(die: Die, swing: Swing) -> Check:
    limit = die.groove_depth_mm - swing.thickness_mm - BOTTOM_GAP_MM
    verdict: Verdict = "no" if swing.depth_mm - swing.thickness_mm > limit else "ok"
    return Check(
        name="depth in the groove",
        value=swing.depth_mm - swing.thickness_mm,
        limit=limit,
        unit="mm",
        verdict=verdict,
        rule="inner face stays above the groove's ground by the sheet and 0.2 mm",
        source="geometry",
    )


def _ratio_check(die: Die, thickness_mm: float) -> Check:
    ratio = die.opening_mm / thickness_mm
    verdict: Verdict = (
        "no" if not LEAST_RATIO <= ratio <= MOST_RATIO else ("ok" if 6.0 <= ratio <= WIDEST_USUAL else "watch")
    )
    return Check(
        name="opening over thickness",
        value=ratio,
        limit=6.0 if ratio < 10.0 else WIDEST_USUAL,
        unit="x t",
        verdict=verdict,
        rule="6 to 14 is usual; below 4 the sheet is crushed, above 30 the angle is not held",
        source=PRACTICE,
    )


def _radius_checks(
    bend: Bend, size: BendSize, sheet: Sheet, practice: Practice, along_grain: bool | None
) -> list[Check]:
    radius, thickness = size.inside_radius_mm, sheet.thickness_mm
    checks = []
    own = practice.minimum_radius_over_thickness.get(
        sheet.material.name, practice.minimum_radius_over_thickness.get(sheet.material.family)
    )
    if own is not None:
        checks.append(
            _least_radius(
                radius, own * sheet.nominal_thickness_mm, "no", "the shop's own least radius", "the shop's practice"
            )
        )
    for row in minimum_radii(
        material=sheet.material,
        thickness_mm=sheet.nominal_thickness_mm,
        turned_deg=bend.turned_deg,
        along_grain=bool(along_grain),
    ):
        checks.append(_least_radius(radius, row.radius_mm, "watch", "recommended least inside radius", row.source))
    if bend.hit is None and bend.drawn_radius_mm is not None and bend.drawn_radius_mm > 0.0:
        off = abs(radius / bend.drawn_radius_mm - 1.0)
        large = bend.drawn_radius_mm > LARGE_RADIUS * thickness and radius < LEAST_MADE * bend.drawn_radius_mm
        checks.append(
            Check(
                name="radius against drawing",
                value=radius,
                limit=bend.drawn_radius_mm,
                unit="mm",
                verdict="no" if large else "watch" if off > 0.2 else "ok",
                rule="air bends take their radius from the die; more than 20 % off the drawing is said, a large radius "
                "of which less than half is made is refused: it is made hit by hit ('--bump')",
                source=PRACTICE,
            )
        )
    if radius < 0.63 * thickness:
        checks.append(
            Check(
                name="sharp bend",
                value=radius / thickness,
                limit=0.63,
                unit="x t",
                verdict="watch",
                rule="below about 0.63 t the punch creases the sheet",
                source="trade press",
            )
        )
    return checks


def _least_radius(radius: float, limit: float, below: Verdict, rule: str, source: str) -> Check:
    verdict: Verdict = below if radius < limit - 1e-9 else "ok"
    return Check(
        name="least inside radius", value=radius, limit=limit, unit="mm", verdict=verdict, rule=rule, source=source
    )


def _no(name: str, rule: str, source: str) -> Check:
    return Check(name=name, value=0.0, limit=None, unit="", verdict="no", rule=rule, source=source)
