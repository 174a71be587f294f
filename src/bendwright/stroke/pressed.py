"""One bend pressed home: bottomed on the flanks of the die or coined, in one die with one punch."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bendwright.findings import Finding
from bendwright.mechanics.bend_allowance import deduction_mm, k_factor_allowance_mm, setback_mm, table_k
from bendwright.mechanics.bending_force import bottoming_line_load_band, coining_line_load_band
from bendwright.mechanics.bottoming import RECORDS as BOTTOMING_RECORDS
from bendwright.mechanics.bottoming import (
    bottomed_springback_band_deg,
    bottoming_depth_mm,
    bottoming_model_band,
    one_hinge_line_load_kn_per_m,
)
from bendwright.mechanics.coining import coining_model_band, coining_penetration_band_mm
from bendwright.mechanics.ram_depth import contact_arm_mm
from bendwright.mechanics.record import check_range
from bendwright.quantities import Band
from bendwright.said import say
from bendwright.shop.brake import Brake
from bendwright.shop.practice import Practice
from bendwright.shop.sheet import Sheet
from bendwright.shop.tools import Die, Punch
from bendwright.stroke.air_bend_of import half_centre_of
from bendwright.stroke.loads import force_of, line_load
from bendwright.stroke.plastic import band_checks, flow_stress_mpa, plastic_moment_n, widest, worst
from bendwright.stroke.result import Check, Verdict
from bendwright.stroke.sizing import HARDNESS, natural_radius_mm

Method = Literal["bottom", "coin"]
PROCESS: dict[Method, Literal["bottoming", "coining"]] = {"bottom": "bottoming", "coin": "coining"}
BOTTOMING = BOTTOMING_RECORDS[0]
FRICTION = 0.1
ANGLE_OFF_DEG = 0.5
SHARPER_DEG = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PressedBend:
    """A bottomed or coined bend: what comes out, how deep, how hard, and every limit held against it.

    ``included_deg`` is the band the part's included angle will lie in; ``line_load`` spans model and practice.
    """

    method: Method
    die_id: str
    punch_id: str
    brake_id: str
    verdict: Verdict
    included_deg: Band
    inside_radius_mm: float
    k_factor: float
    bend_allowance_mm: float
    bend_deduction_mm: float
    flanks_touched_mm: float
    depth_mm: float
    penetration_mm: Band | None
    moment_source: str
    touch_kn_per_m: float
    model_kn_per_m: Band
    practice_kn_per_m: Band
    line_load_kn_per_m: Band
    force_kn: Band
    checks: tuple[Check, ...]
    findings: tuple[Finding, ...]


def press(
    method: Method,
    *,
    die: Die,
    punch: Punch,
    included_deg: float,
    length_mm: float,
    sheet: Sheet,
    practice: Practice,
    brake: Brake,
) -> PressedBend:
    """Press one bend home. The die gives the angle and the nose the radius; neither can be set at the brake.

    Raises OutOfRangeError where the die is so small that the sheet finds no flank.
    """
    t, radius = sheet.thickness_mm, punch.nose_radius_mm
    shape = {"inside_radius_mm": radius, "thickness_mm": t, "turned_deg": 180.0 - die.angle_deg}
    home = _home(method, die, shape, sheet)
    load = widest(home.model, home.rule)
    k = pressed_k_factor(method, sheet, radius)
    allowance, setback = k_factor_allowance_mm(**shape, k_factor=k), setback_mm(**shape, measured_to="mould_line")
    natural, _ = natural_radius_mm(sheet=sheet, practice=practice, opening_mm=die.opening_mm, punch_radius_mm=radius)
    touch = _touch_kn_per_m(die, natural, sheet)
    touched, depth = _depths(die, sheet, natural, radius)
    loads = band_checks(load, length_mm=length_mm, punch=punch, die=die, brake=brake)
    angles = (_angle(die, home.left, included_deg), _punch_angle(die, punch))
    checks = (*angles, _groove(die, depth), *_radius(radius, t), *loads)
    return PressedBend(
        method=method,
        die_id=die.id,
        punch_id=punch.id,
        brake_id=brake.id,
        verdict=worst(checks),
        included_deg=Band(die.angle_deg + home.left.low, die.angle_deg + home.left.high, home.left.source),
        inside_radius_mm=radius,
        k_factor=k,
        bend_allowance_mm=allowance,
        bend_deduction_mm=deduction_mm(setback_mm=setback, bend_allowance_mm=allowance),
        flanks_touched_mm=touched,
        depth_mm=depth,
        penetration_mm=coining_penetration_band_mm(thickness_mm=t) if method == "coin" else None,
        moment_source=home.moment_source,
        touch_kn_per_m=touch,
        model_kn_per_m=home.model,
        practice_kn_per_m=home.rule,
        line_load_kn_per_m=load,
        force_kn=force_of(load, length_mm=length_mm),
        checks=checks,
        findings=check_range(BOTTOMING, **shape),
    )


@dataclass(frozen=True, slots=True)
class _Home:
    """Loads by model and by rule of thumb [kN/m], springback left [degrees], where the moment comes from."""

    model: Band
    rule: Band
    left: Band
    moment_source: str


def _home(method: Method, die: Die, shape: dict[str, float], sheet: Sheet) -> _Home:
    """What pressing home takes and what it leaves."""
    radius, air = shape["inside_radius_mm"], line_load(sheet=sheet, die=die)
    moment, source = plastic_moment_n(sheet=sheet, inside_radius_mm=radius)
    bottoming = bottoming_model_band(moment_n=moment, **shape, friction=FRICTION)
    if method == "coin":
        model = coining_model_band(
            bottoming=bottoming,
            nose_radius_mm=radius,
            turned_deg=shape["turned_deg"],
            flow_mpa=flow_stress_mpa(sheet=sheet, inside_radius_mm=radius),
            friction=FRICTION,
        )
        left = Band(0.0, 0.0, "the whole section yields: nothing is left (common practice)")
        return _Home(model, coining_line_load_band(air_bend=air), left, source)
    arm = contact_arm_mm(
        loaded_turned_deg=shape["turned_deg"],
        half_centre_mm=half_centre_of(die),
        inside_radius_mm=radius,
        thickness_mm=sheet.thickness_mm,
        shoulder_radius_mm=die.shoulder_radius_mm,
    )
    left = bottomed_springback_band_deg(
        moment_n=moment,
        **shape,
        leg_arm_mm=arm,
        youngs_modulus_mpa=sheet.material.youngs_modulus_mpa,
        poisson=sheet.material.poisson,
    )
    return _Home(bottoming, bottoming_line_load_band(air_bend=air), left, source)


def pressed_k_factor(method: Method, sheet: Sheet, radius_mm: float) -> float:
    """K from the common table for bottoming or coining."""
    hardness, ratio = HARDNESS.get(sheet.material.family, "soft"), radius_mm / sheet.thickness_mm
    return table_k(process=PROCESS[method], hardness_class=hardness, radius_over_thickness=ratio)


def _touch_kn_per_m(die: Die, natural_mm: float, sheet: Sheet) -> float:
    """Load at the moment the legs lie on the flanks, the radius still that of the air bend: one hinge."""
    moment, _ = plastic_moment_n(sheet=sheet, inside_radius_mm=natural_mm)
    return one_hinge_line_load_kn_per_m(
        moment_n=moment,
        inside_radius_mm=natural_mm,
        thickness_mm=sheet.thickness_mm,
        turned_deg=180.0 - die.angle_deg,
    )


def _depths(die: Die, sheet: Sheet, natural_mm: float, nose_mm: float) -> tuple[float, float]:
    """Travel from first touch to the flanks with the air bend's own radius, and to the end with the nose's radius."""
    first, last = (
        bottoming_depth_mm(
            die_angle_deg=die.angle_deg,
            half_centre_mm=half_centre_of(die),
            inside_radius_mm=radius,
            thickness_mm=sheet.thickness_mm,
            shoulder_radius_mm=die.shoulder_radius_mm,
        )
        for radius in (natural_mm, nose_mm)
    )
    return first, last


def _angle(die: Die, left: Band, wanted_deg: float) -> Check:
    low, high = die.angle_deg + left.low, die.angle_deg + left.high
    off = max(low - wanted_deg, wanted_deg - high, 0.0)
    return Check(
        name="angle from the die",
        value=wanted_deg,
        limit=die.angle_deg,
        unit="deg",
        verdict="ok" if off < 1e-6 else ("watch" if off <= ANGLE_OFF_DEG else "no"),
        rule=say("rule.pressed_home", low=low, high=high),
        source="geometry and remaining springback",
    )


def _punch_angle(die: Die, punch: Punch) -> Check:
    sharper = die.angle_deg - punch.angle_deg
    verdict: Verdict = "no" if sharper < -1e-9 else ("watch" if sharper > SHARPER_DEG else "ok")
    return Check(
        name="punch against die angle",
        value=punch.angle_deg,
        limit=die.angle_deg,
        unit="deg",
        verdict=verdict,
        rule="a punch blunter than the die jams; one more than 3 degrees sharper presses with its nose alone",
        source="common practice, no source",
    )


def _groove(die: Die, depth_mm: float) -> Check:
    return Check(
        name="room in the groove",
        value=depth_mm,
        limit=die.groove_depth_mm,
        unit="mm",
        verdict="no" if depth_mm > die.groove_depth_mm + 1e-9 else "ok",
        rule="the outer face must find the flanks before the ground of the groove",
        source="geometry",
    )


def _radius(radius_mm: float, thickness_mm: float) -> list[Check]:
    if radius_mm >= 0.63 * thickness_mm:
        return []
    return [
        Check(
            name="sharp nose",
            value=radius_mm / thickness_mm,
            limit=0.63,
            unit="x t",
            verdict="watch",
            rule="a nose below about 0.63 t creases the sheet; cracks start in the crease",
            source="trade press",
        )
    ]
