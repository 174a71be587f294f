"""Die, punch and stroke for the hits of a bumped bend."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from bendwright.findings import Finding, OutOfRangeError, found
from bendwright.mechanics.air_bend import AirBend, stroke_curve
from bendwright.mechanics.bump_bending import DIE_OVER_PITCH, HitModel, HitStroke, hits_for_step
from bendwright.mechanics.bump_stroke import CLOSED_MODEL, ClosedHit
from bendwright.mechanics.bump_stroke import RECORDS as HIT_RECORDS
from bendwright.mechanics.limits import positive, within
from bendwright.mechanics.record import check_range
from bendwright.quantities import Band
from bendwright.said import phrase, say
from bendwright.shop.brake import Brake
from bendwright.shop.sheet import Sheet
from bendwright.shop.tools import NOT_BENDING, Die, Punch
from bendwright.stroke.air_bend_of import air_bend_of, half_centre_of
from bendwright.stroke.air_stroke import first_reach
from bendwright.stroke.loads import die_load_checks, force_of, line_load, punch_load_check
from bendwright.stroke.plastic import worst
from bendwright.stroke.result import Check, Verdict

SMALL_BEND = HIT_RECORDS[0]
NARROWEST_OVER_T = 5.0
WIDEST_OVER_T = 14.0
NOSE_OVER_OPENING = 0.25
TRUST_SHARE = 0.5
NEAR = 1.05
TRADE_STEP_DEG = 2.0
REACHES_DEG = (150.0, 75.0, 30.0)
"""Loaded angles the stroke of a hit is worked out to; the first is enough for nearly all."""

HitModelFor = Callable[[Die, Punch, Sheet], HitModel]
"""From tools and sheet to the stroke of a hit; ``mechanics_hit`` unless another solver is put in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Division:
    """How the arc is divided: exactly one of highest facet [mm], largest turned angle of a hit [degrees], number of hits."""

    facet_mm: float | None = None
    step_deg: float | None = None
    hits: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HitMeans:
    """What there is to bump with: tools, sheet, brake, K-factor, and the solver for the stroke of a hit."""

    dies: tuple[Die, ...]
    punches: tuple[Punch, ...]
    sheet: Sheet
    brake: Brake
    k_factor: float
    hit_model: HitModelFor


@dataclass(frozen=True, slots=True, kw_only=True)
class HitTools:
    """Die and punch for the hits, the stroke of one hit without a neighbour, its load [kN/m] and all checks.

    ``rival`` is what the closed model says of the same hit; None when it is the one used, or has no answer.
    """

    die: Die
    punch: Punch
    half_centre_mm: float
    stroke: HitStroke
    rival: HitStroke | None
    line_load_kn_per_m: Band
    force_kn: Band
    checks: tuple[Check, ...]
    findings: tuple[Finding, ...]

    @property
    def verdict(self) -> Verdict:
        """Worst of the checks."""
        return worst(self.checks)


def mechanics_hit(die: Die, punch: Punch, sheet: Sheet) -> HitModel:
    """The stroke model for one hit, the closed model where that has no answer; the shop's springback is not taken.

    Against finite-element bends turned 10 to 26 degrees: springback within 3 %, depth up to 2.5 % too small. Below 1 degree left the
    points of the stroke lie far apart: springback may be off by 0.2 degrees there.
    """
    closed = closed_hit(die, punch, sheet)

    def hit(turned_deg: float, /) -> HitStroke:
        try:
            bend, curve_source = air_bend_of(sheet=sheet, die=die, punch=punch)
            return replace(
                hit_stroke(bend, turned_deg=turned_deg), source=say("source.stroke_model_of", curve_source=curve_source)
            )
        except OutOfRangeError as error:
            why = say("source.no_answer", CLOSED_MODEL=phrase(CLOSED_MODEL), sentence=error.findings[0].sentence)
            return replace(closed(turned_deg), source=why)

    return hit


def hit_stroke(bend: AirBend, *, turned_deg: float) -> HitStroke:
    """The stroke that leaves a small turned angle [degrees]. OutOfRangeError when no depth does."""
    within(0.0, 90.0, turned_deg=turned_deg)
    positive(turned_deg=turned_deg)
    state = first_reach(
        REACHES_DEG,
        lambda reach: stroke_curve(bend, to_included_deg=reach).for_relaxed(included_deg=180.0 - turned_deg),
    )
    return HitStroke(
        turned_deg=turned_deg, loaded_turned_deg=180.0 - state.loaded_included_deg, depth_mm=state.depth_mm
    )


def closed_hit(die: Die, punch: Punch, sheet: Sheet) -> HitModel:
    """The closed air-bend model for one hit; it does not take the shop's springback, which is that of a 90 degree bend."""
    material, curve = sheet.material, sheet.material.hardening
    return ClosedHit(
        thickness_mm=sheet.thickness_mm,
        half_centre_mm=half_centre_of(die),
        shoulder_radius_mm=die.shoulder_radius_mm,
        nose_radius_mm=punch.nose_radius_mm,
        youngs_modulus_mpa=material.youngs_modulus_mpa,
        poisson=material.poisson,
        yield_mpa=material.yield_mpa,
        law=curve.law if curve else None,
        k_mpa=curve.k_mpa if curve else None,
        e0_or_b=curve.e0_or_b if curve else None,
        n=curve.n if curve else None,
    )


def divided(division: Division, turned_deg: float, for_facet: Callable[[float], int]) -> int:
    """Number of hits: as given, by the facets, or by the largest angle of a hit (2 degrees when nothing is said)."""
    if division.hits is not None:
        return division.hits
    if division.facet_mm is not None:
        return for_facet(division.facet_mm)
    return hits_for_step(turned_deg=turned_deg, step_deg=division.step_deg or TRADE_STEP_DEG)


def hit_tools(means: HitMeans, pitch: float, step_deg: float, *, radius_mm: float, length_mm: float) -> HitTools:
    """Die for a pitch [mm] and punch for the die, the stroke of one hit, and what is to be said about them."""
    sheet, t = means.sheet, means.sheet.thickness_mm
    die = pick_die(means.dies, pitch, t)
    punch = pick_nose(means.punches, die, radius_mm)
    stroke, load, half = (
        means.hit_model(die, punch, sheet)(step_deg),
        line_load(sheet=sheet, die=die),
        half_centre_of(die),
    )
    rival = _rival(stroke, closed_hit(die, punch, sheet))
    said = []
    if half > pitch * NEAR:
        said.append(found("W140", where=f"die {die.id}", die=die.id, half=half, pitch=pitch))
    if die.opening_mm < NARROWEST_OVER_T * t:
        said.append(found("W141", where=f"die {die.id}", die=die.id, ratio=die.opening_mm / t, opening=die.opening_mm))
    if stroke.share_kept < TRUST_SHARE:
        angles = {"step": step_deg, "loaded": stroke.loaded_turned_deg, "spring": stroke.springback_deg}
        said.append(found("W142", where="hit", **angles))
    if stroke.source.startswith(CLOSED_MODEL):
        said += check_range(
            SMALL_BEND, loaded_turned_deg=stroke.loaded_turned_deg, opening_mm=die.opening_mm, thickness_mm=t
        )
    checks = die_load_checks(load, length_mm=length_mm, die=die, brake=means.brake)
    return HitTools(
        die=die,
        punch=punch,
        half_centre_mm=half,
        stroke=stroke,
        rival=rival,
        line_load_kn_per_m=load,
        force_kn=force_of(load, length_mm=length_mm),
        checks=(*checks, punch_load_check(load, punch)),
        findings=tuple(said),
    )


def _rival(stroke: HitStroke, closed: HitModel) -> HitStroke | None:
    """The closed model's answer to the same hit."""
    if stroke.source.startswith(CLOSED_MODEL):
        return None
    try:
        return closed(stroke.turned_deg)
    except OutOfRangeError:
        return None


def pick_die(dies: Sequence[Die], pitch: float, thickness_mm: float) -> Die:
    """The widest die not above 2 x pitch and 14 t, but at least 5 t; when there is none, the narrowest of at least 5 t."""
    by_width = sorted(dies, key=lambda die: (die.opening_mm, -die.angle_deg))
    wide = [die for die in by_width if die.opening_mm >= NARROWEST_OVER_T * thickness_mm] or by_width[-1:]
    limit = min(DIE_OVER_PITCH * pitch * NEAR, WIDEST_OVER_T * thickness_mm)
    fitting = [die for die in wide if die.opening_mm <= limit]
    return max(fitting, key=lambda die: (die.opening_mm, die.angle_deg)) if fitting else wide[0]


def pick_nose(punches: Sequence[Punch], die: Die, radius_mm: float) -> Punch:
    """The roundest nose up to a quarter of the opening and to the wanted radius; else the first bending punch."""
    bending = [punch for punch in punches if punch.kind not in NOT_BENDING]
    limit = min(NOSE_OVER_OPENING * die.opening_mm, radius_mm)
    fitting = [punch for punch in bending if punch.nose_radius_mm <= limit]
    return max(fitting, key=lambda punch: punch.nose_radius_mm) if fitting else bending[0]
