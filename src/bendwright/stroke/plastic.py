"""Plastic moment and flow stress of the sheet on the rack, for loads that bend it much tighter than an air bend."""

from __future__ import annotations

from math import log

from bendwright.findings import Finding, found
from bendwright.mechanics.moment_curvature import FlowCurve
from bendwright.mechanics.springback import bend_moment_n
from bendwright.quantities import Band
from bendwright.said import in_both, joined, phrase, say
from bendwright.shop.brake import Brake
from bendwright.shop.sheet import Sheet
from bendwright.shop.tools import Die, Punch
from bendwright.stroke.loads import PRACTICE
from bendwright.stroke.result import Check, Verdict


def plastic_moment_n(*, sheet: Sheet, inside_radius_mm: float) -> tuple[float, str]:
    """Moment per mm of width [N] at an inside radius, and its source.

    By the material's flow curve, scaled to the certificate's strength; without a curve ideally plastic at Rm.
    """
    material, curve = sheet.material, sheet.material.hardening
    known = curve is not None
    scale = sheet.strength_mpa / material.tensile_mpa if known else 1.0
    moment = scale * bend_moment_n(
        thickness_mm=sheet.thickness_mm,
        inside_radius_mm=inside_radius_mm,
        youngs_modulus_mpa=material.youngs_modulus_mpa,
        poisson=material.poisson,
        yield_mpa=material.yield_mpa if known else sheet.strength_mpa,
        law=curve.law if curve else None,
        k_mpa=curve.k_mpa if curve else None,
        e0_or_b=curve.e0_or_b if curve else None,
        n=curve.n if curve else None,
    )
    return moment, "flow curve, scaled to Rm" if known else "ideally plastic at Rm"


def flow_stress_mpa(*, sheet: Sheet, inside_radius_mm: float) -> float:
    """Flow stress [MPa] of a fold at half the strain of its outer fibre; without a flow curve Rm."""
    material, curve = sheet.material, sheet.material.hardening
    if curve is None:
        return sheet.strength_mpa
    strain = 0.5 * log(1.0 + sheet.thickness_mm / (2.0 * inside_radius_mm + sheet.thickness_mm))
    flow = FlowCurve(law=curve.law, k_mpa=curve.k_mpa, e0_or_b=curve.e0_or_b, n=curve.n, yield_mpa=material.yield_mpa)
    return flow.stress_mpa(plastic_strain=strain) * sheet.strength_mpa / material.tensile_mpa


def widest(first: Band, second: Band) -> Band:
    """From the lower of the two low ends to the higher of the two high ends, both sources named."""
    source = joined("; ", (phrase(first.source), phrase(second.source)))
    return Band(min(first.low, second.low), max(first.high, second.high), source)


def band_checks(load: Band, *, length_mm: float, punch: Punch | None, die: Die | None, brake: Brake) -> list[Check]:
    """A wide band of line load [kN/m] against brake and tools: no where even its low end is too much, else watch."""
    machine = [
        _band_check("machine total", load, brake.rated_force_kn, "kN", f"brake {brake.id}", length_mm / 1000.0),
        _band_check("machine line load", load, brake.line_load_limit_kn_per_m, "kN/m", PRACTICE),
    ]
    upper = (
        [_band_check("punch line load", load, punch.max_line_load_kn_per_m, "kN/m", f"punch {punch.id}")]
        if punch
        else []
    )
    lower = [_band_check("die line load", load, die.max_line_load_kn_per_m, "kN/m", f"die {die.id}")] if die else []
    return machine + upper + lower


def overload_findings(checks: tuple[Check, ...]) -> list[Finding]:
    """W110 for every load whose band reaches above a known limit, W111 where all of it does."""
    return [
        found(
            "W111" if check.verdict == "no" else "W110",
            where=check.name,
            name=phrase(check.name),
            load=in_both(lambda rule: rule.split(";")[0], check.rule),
            limit=check.limit,
            unit=check.unit,
            source=phrase(check.source),
        )
        for check in checks
        if check.unit.startswith("kN") and check.limit is not None and check.verdict != "ok"
    ]


def worst(checks: tuple[Check, ...]) -> Verdict:
    """The worst verdict of some checks."""
    found = {check.verdict for check in checks}
    return "no" if "no" in found else ("watch" if "watch" in found else "ok")


def _band_check(name: str, load: Band, limit: float | None, unit: str, source: str, times: float = 1.0) -> Check:
    low, high = load.low * times, load.high * times
    verdict: Verdict = "watch" if limit is None or high > limit else "ok"
    if limit is not None and low > limit:
        verdict = "no"
    rule = say("rule.wide_band", low=low, high=high, unit=unit)
    return Check(name=name, value=high, limit=limit, unit=unit, verdict=verdict, rule=rule, source=source)
