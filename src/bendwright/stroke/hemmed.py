"""One hem without a part: pre-bend and flattening, what they take, and whether the fold holds."""

from __future__ import annotations

from dataclasses import dataclass

from bendwright.findings import Finding, found
from bendwright.mechanics.hem_flattening import RECORDS as FLATTENING_RECORDS
from bendwright.mechanics.hem_flattening import (
    hem_flattening_model_band,
    leg_closing_line_load_kn_per_m,
    squeezing_line_load_kn_per_m,
)
from bendwright.mechanics.hems import (
    PREBEND_INCLUDED_DEG,
    HemKind,
    flattened_height_mm,
    hem_deduction_mm,
    hem_flattening_line_load_band,
    hem_radius_mm,
    minimum_hem_leg_mm,
)
from bendwright.mechanics.minimum_flange import minimum_flange_mm
from bendwright.mechanics.outer_strain import even_strain, fracture_strain, outer_fibre_strain
from bendwright.mechanics.ram_depth import ram_depth_mm
from bendwright.mechanics.record import check_range
from bendwright.quantities import Band
from bendwright.shop.brake import Brake
from bendwright.shop.practice import Practice
from bendwright.shop.sheet import Sheet
from bendwright.shop.tools import Die, Punch
from bendwright.stroke.air_bend_of import half_centre_of
from bendwright.stroke.die_choice import flange_verdict
from bendwright.stroke.loads import line_load
from bendwright.stroke.plastic import band_checks, flow_stress_mpa, overload_findings, plastic_moment_n, widest
from bendwright.stroke.result import Check, Verdict
from bendwright.stroke.sizing import HEM_K, natural_radius_mm

CRUSHING = FLATTENING_RECORDS[0]
MOST_ACUTE_DEG = 35.0
FRICTION = 0.15


@dataclass(frozen=True, slots=True, kw_only=True)
class HemTools:
    """The acute pair for the pre-bend and the flattening pair; None where the cabinet has none."""

    acute_die: Die
    acute_punch: Punch
    flat_punch: Punch | None
    flat_die: Die | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PreBend:
    """The first stroke: included angle under load [degrees], depth, loop radius and shortest leg [mm], load [kN/m]."""

    included_deg: float
    depth_mm: float
    loop_radius_mm: float
    shortest_leg_mm: float
    line_load_kn_per_m: Band


@dataclass(frozen=True, slots=True, kw_only=True)
class Flattening:
    """The second stroke: where the ram stops [mm]; loads [kN/m] of the leg's swing, by model, by rule of thumb, spanning
    both; what a ram set too low runs up to; with how much friction can push the sheet out.
    """

    stop_mm: float
    swing_kn_per_m: float
    model_kn_per_m: Band
    practice_kn_per_m: Band
    line_load_kn_per_m: Band
    squeezing_kn_per_m: float
    push_kn_per_m: float
    moment_source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldStrain:
    """True strain of the fold's outer fibre; up to ``safe`` the sheet stretches evenly, at ``tears`` it tears. None =
    not known.
    """

    outer: float
    safe: float | None
    tears: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class HemJob:
    """One hem worked out: what it takes off, where its line lies [mm], both strokes, the fold, all checks."""

    kind: HemKind
    leg_mm: float
    gap_mm: float
    tools: HemTools
    deduction_mm: float
    line_from_edge_mm: float
    usual_leg_mm: float
    prebend: PreBend
    flattening: Flattening
    strain: FoldStrain
    checks: tuple[Check, ...]
    findings: tuple[Finding, ...]


def acute_dies(dies: tuple[Die, ...]) -> tuple[Die, ...]:
    """Dies sharp enough for the pre-bend of a hem (up to 35 degrees)."""
    return tuple(die for die in dies if die.kind == "vee" and die.angle_deg <= MOST_ACUTE_DEG)


def hem_job(
    *,
    kind: HemKind,
    leg_mm: float,
    gap_mm: float | None,
    length_mm: float,
    reduction_percent: float | None,
    tools: HemTools,
    sheet: Sheet,
    practice: Practice,
    brake: Brake,
) -> HemJob:
    """Work one hem out: deduction, pre-bend, flattening, strain. OutOfRangeError for sizes that make no hem."""
    t = sheet.thickness_mm
    gap = 2.0 * hem_radius_mm(kind=kind, gap_mm=gap_mm)
    deduction = hem_deduction_mm(kind=kind, thickness_mm=t, k_factor=HEM_K, gap_mm=gap or None, leg_mm=leg_mm)
    first = _prebend(tools, sheet, practice)
    second = _flattening(first, leg_mm, gap, sheet)
    strain = _strain(sheet, gap, reduction_percent)
    checks = (
        _leg_check(leg_mm, first.shortest_leg_mm, t),
        *band_checks(
            first.line_load_kn_per_m, length_mm=length_mm, punch=tools.acute_punch, die=tools.acute_die, brake=brake
        )[2:],
        *band_checks(
            second.line_load_kn_per_m, length_mm=length_mm, punch=tools.flat_punch, die=tools.flat_die, brake=brake
        ),
    )
    return HemJob(
        kind=kind,
        leg_mm=leg_mm,
        gap_mm=gap,
        tools=tools,
        deduction_mm=deduction,
        line_from_edge_mm=leg_mm - deduction / 2.0,
        usual_leg_mm=minimum_hem_leg_mm(thickness_mm=t),
        prebend=first,
        flattening=second,
        strain=strain,
        checks=checks,
        findings=(*_findings(leg_mm, first, strain, tools, checks), *_range(first, t)),
    )


def _range(first: PreBend, thickness_mm: float) -> tuple[Finding, ...]:
    """R105 where the loop lies outside the range of the crushing model."""
    return check_range(CRUSHING, loop_radius_mm=first.loop_radius_mm, thickness_mm=thickness_mm)


def _prebend(tools: HemTools, sheet: Sheet, practice: Practice) -> PreBend:
    die = tools.acute_die
    included = max(PREBEND_INCLUDED_DEG, die.angle_deg)
    loop, _ = natural_radius_mm(
        sheet=sheet, practice=practice, opening_mm=die.opening_mm, punch_radius_mm=tools.acute_punch.nose_radius_mm
    )
    return PreBend(
        included_deg=included,
        depth_mm=_prebend_depth_mm(die, loop, sheet.thickness_mm, included),
        loop_radius_mm=loop,
        shortest_leg_mm=minimum_flange_mm(opening_mm=die.opening_mm, included_deg=included),
        line_load_kn_per_m=line_load(sheet=sheet, die=die),
    )


def _flattening(first: PreBend, leg_mm: float, gap_mm: float, sheet: Sheet) -> Flattening:
    t, radius = sheet.thickness_mm, gap_mm / 2.0
    moment, source = plastic_moment_n(sheet=sheet, inside_radius_mm=radius)
    model = hem_flattening_model_band(
        moment_n=moment, loop_radius_mm=first.loop_radius_mm, thickness_mm=t, leg_mm=leg_mm, gap_mm=gap_mm
    )
    rule = hem_flattening_line_load_band(air_bend=first.line_load_kn_per_m)
    load = widest(model, rule)
    flow = flow_stress_mpa(sheet=sheet, inside_radius_mm=radius)
    return Flattening(
        stop_mm=flattened_height_mm(thickness_mm=t, gap_mm=gap_mm),
        swing_kn_per_m=leg_closing_line_load_kn_per_m(moment_n=moment, leg_mm=leg_mm, included_deg=first.included_deg),
        model_kn_per_m=model,
        practice_kn_per_m=rule,
        line_load_kn_per_m=load,
        squeezing_kn_per_m=squeezing_line_load_kn_per_m(leg_mm=leg_mm, flow_mpa=flow),
        push_kn_per_m=FRICTION * load.high,
        moment_source=source,
    )


def _prebend_depth_mm(die: Die, loop_mm: float, thickness_mm: float, included_deg: float) -> float:
    return ram_depth_mm(
        loaded_turned_deg=180.0 - included_deg,
        half_centre_mm=half_centre_of(die),
        inside_radius_mm=loop_mm,
        thickness_mm=thickness_mm,
        shoulder_radius_mm=die.shoulder_radius_mm,
    )


def _strain(sheet: Sheet, gap_mm: float, reduction_percent: float | None) -> FoldStrain:
    even = sheet.material.uniform_elongation
    return FoldStrain(
        outer=outer_fibre_strain(inside_radius_mm=gap_mm / 2.0, thickness_mm=sheet.thickness_mm),
        safe=None if even is None else even_strain(elongation_percent=100.0 * even),
        tears=None if reduction_percent is None else fracture_strain(reduction_percent=reduction_percent),
    )


def _leg_check(leg_mm: float, shortest_mm: float, thickness_mm: float) -> Check:
    verdict: Verdict = flange_verdict(leg_mm, shortest_mm, thickness_mm)
    return Check(
        name="leg on the acute die",
        value=leg_mm,
        limit=shortest_mm,
        unit="mm",
        verdict=verdict,
        rule="outside leg at least V / (2 sin(included/2)) at the pre-bend's angle; watch within 1 mm or 0.3 t above",
        source="geometry of thin sheet on sharp shoulders",
    )


def _findings(
    leg_mm: float, first: PreBend, strain: FoldStrain, tools: HemTools, checks: tuple[Check, ...]
) -> list[Finding]:
    """What a person must know before the first hem is made."""
    said = [found("W120", where="hands"), found("W121", where="hem")]
    if leg_mm < first.shortest_leg_mm - 1e-9:
        said.append(found("W122", where="leg", leg=leg_mm, shortest=first.shortest_leg_mm, die=tools.acute_die.id))
    if tools.flat_punch is None or tools.flat_die is None:
        said.append(found("W123", where="tools"))
    if strain.tears is not None and strain.outer > strain.tears:
        said.append(found("W124", where="fold", strain=strain.outer, tears=strain.tears))
    elif strain.tears is None and strain.safe is not None and strain.outer > strain.safe:
        said.append(found("W125", where="fold", strain=strain.outer, safe=strain.safe))
    return said + overload_findings(checks)
