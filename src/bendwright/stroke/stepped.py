"""One step (joggle) without a part: its flat, bend by bend in every die that lets it, or in one stroke."""

from __future__ import annotations

from dataclasses import dataclass, replace

from bendwright.findings import Finding, found
from bendwright.mechanics.bending_force import air_bend_line_load_band
from bendwright.mechanics.offset_bends import (
    StepSizes,
    least_step_mm,
    least_web_beside_die_mm,
    offset_practice_band,
    one_stroke_load_band,
    one_stroke_travel_mm,
    step_sizes,
    web_outside_mm,
)
from bendwright.part.bend_size import BendSize
from bendwright.part.model import Bend
from bendwright.quantities import Band
from bendwright.shop.brake import Brake
from bendwright.shop.practice import Practice
from bendwright.shop.sheet import Sheet
from bendwright.shop.tools import Die
from bendwright.stroke.air_stroke import AirStroke
from bendwright.stroke.die_choice import judge_die, usual_opening_mm
from bendwright.stroke.loads import line_load
from bendwright.stroke.plastic import plastic_moment_n, widest, worst
from bendwright.stroke.result import Check, Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class StepInDie:
    """The step made as two air bends in one die: sizes, web to its mould lines, blank [mm], depth of either bend, load.

    ``blank_mm`` is legs + step in the flat, both legs measured to the mould line of their bend. ``sizes`` is None, and
    the rest with it, where the step is too small for the die's radius.
    """

    die_id: str
    inside_radius_mm: float
    least_step_mm: float
    sizes: StepSizes | None
    web_outside_mm: float | None
    blank_mm: float | None
    depth_mm: float | None
    line_load_kn_per_m: Band
    checks: tuple[Check, ...]
    verdict: Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class StepInOneStroke:
    """The step made by an offset tool: radius taken for it, sizes, blank, travel [mm], loads by model and rule [kN/m]."""

    inside_radius_mm: float
    sizes: StepSizes
    blank_mm: float
    travel_mm: float
    model_kn_per_m: Band
    practice_kn_per_m: Band
    line_load_kn_per_m: Band


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """What is wanted [mm, degrees]: offset of the faces, turned angle of both bends, outside legs to the mould lines."""

    step_mm: float
    turned_deg: float
    legs_mm: tuple[float, float]


def step_in_die(
    step: Step,
    die: Die,
    size: BendSize,
    bend: Bend,
    *,
    sheet: Sheet,
    practice: Practice,
    brake: Brake,
    stroke: AirStroke | None = None,
) -> StepInDie:
    """Hold the step against one die: ``size`` is that of ``bend``, one of its two, there, ``stroke`` as the mechanics see it."""
    radius, t = size.inside_radius_mm, sheet.thickness_mm
    shape = {"turned_deg": step.turned_deg, "inside_radius_mm": radius, "thickness_mm": t}
    way = _not_yet(step, die, radius, least_step_mm(**shape), line_load(sheet=sheet, die=die))
    if way.checks[0].verdict == "no":
        return way
    sizes = step_sizes(step_mm=step.step_mm, **shape, k_factor=size.k_factor)
    web = web_outside_mm(web_mm=sizes.web_straight_mm, **shape)
    shorter = min(web, *step.legs_mm)
    judged = judge_die(
        die,
        bend,
        size,
        legs_mm=(shorter, shorter),
        least_legs_mm=(shorter, shorter),
        length_mm=bend.end[0],
        along_grain=None,
        sheet=sheet,
        practice=practice,
        brake=brake,
        stroke=stroke,
    )
    checks = (*way.checks, _beside_check(step, die, web, t, practice), *judged.checks)
    return replace(
        way,
        sizes=sizes,
        web_outside_mm=web,
        blank_mm=_blank_mm(step, sizes, web),
        depth_mm=judged.swing.depth_mm if judged.swing else None,
        line_load_kn_per_m=judged.swing.line_load if judged.swing else way.line_load_kn_per_m,
        checks=checks,
        verdict=worst(checks),
    )


def _not_yet(step: Step, die: Die, radius_mm: float, least_mm: float, load: Band) -> StepInDie:
    """The way with nothing but its first check, which says no until the rest is held against the die."""
    return StepInDie(
        die_id=die.id,
        inside_radius_mm=radius_mm,
        least_step_mm=least_mm,
        sizes=None,
        web_outside_mm=None,
        blank_mm=None,
        depth_mm=None,
        line_load_kn_per_m=load,
        checks=(_check("step against the radii", step.step_mm, least_mm, "two such arcs must fit in"),),
        verdict="no",
    )


def step_in_one_stroke(step: Step, *, tool_radius_mm: float, k_factor: float, sheet: Sheet) -> StepInOneStroke:
    """The step by an offset tool with that nose radius. OutOfRangeError W101 when the step is too small for it."""
    t = sheet.thickness_mm
    shape = {"turned_deg": step.turned_deg, "inside_radius_mm": tool_radius_mm, "thickness_mm": t}
    sizes = step_sizes(step_mm=step.step_mm, **shape, k_factor=k_factor)
    moment, _ = plastic_moment_n(sheet=sheet, inside_radius_mm=tool_radius_mm)
    model = one_stroke_load_band(moment_n=moment, web_mm=sizes.web_straight_mm, **shape)
    rule = offset_practice_band(air_bend=_usual_load(sheet))
    web = web_outside_mm(web_mm=sizes.web_straight_mm, **shape)
    return StepInOneStroke(
        inside_radius_mm=tool_radius_mm,
        sizes=sizes,
        blank_mm=_blank_mm(step, sizes, web),
        travel_mm=one_stroke_travel_mm(step_mm=step.step_mm),
        model_kn_per_m=model,
        practice_kn_per_m=rule,
        line_load_kn_per_m=widest(model, rule),
    )


def step_findings(ways: list[StepInDie]) -> list[Finding]:
    """W130 where no die lets the step be made bend by bend."""
    if any(way.verdict != "no" for way in ways):
        return []
    return [found("W130", where="step", dies=", ".join(way.die_id for way in ways))]


def _blank_mm(step: Step, sizes: StepSizes, web_outside: float) -> float:
    """Legs and web to their mould lines, two deductions off."""
    setback = (web_outside - sizes.web_straight_mm) / 2.0
    return sum(step.legs_mm) + web_outside - 2.0 * (2.0 * setback - sizes.bend_allowance_mm)


def _usual_load(sheet: Sheet) -> Band:
    """Air-bend load in the usual opening, for the rule of thumb."""
    t = sheet.thickness_mm
    return air_bend_line_load_band(thickness_mm=t, opening_mm=usual_opening_mm(t), tensile_mpa=sheet.strength_mpa)


def _beside_check(step: Step, die: Die, web_mm: float, t: float, practice: Practice) -> Check:
    """The web must reach past the die's side, where the first leg hangs down at the second bend."""
    beside = least_web_beside_die_mm(
        die_half_width_mm=max(x for x, _ in die.outline),
        turned_deg=step.turned_deg,
        thickness_mm=t,
        clearance_mm=practice.clearance_watch_mm,
    )
    return _check("web past the die's side", web_mm, beside, "the first leg hangs beside the die at the second bend")


def _check(name: str, value: float, limit: float, rule: str) -> Check:
    verdict: Verdict = "no" if value < limit - 1e-9 else "ok"
    return Check(name=name, value=value, limit=limit, unit="mm", verdict=verdict, rule=rule, source="geometry")
