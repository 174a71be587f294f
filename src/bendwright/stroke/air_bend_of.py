"""The air bend that this sheet, this die and this punch make, in the words of the mechanics."""

from __future__ import annotations

from bendwright.mechanics.air_bend import AirBend
from bendwright.mechanics.flow_curve_fit import guessed_uniform_elongation, swift_from_tensile_test
from bendwright.mechanics.moment_curvature import FlowCurve
from bendwright.mechanics.ram_depth import half_centre_distance_mm
from bendwright.said import phrase, say
from bendwright.shop.material import Material
from bendwright.shop.sheet import Sheet
from bendwright.shop.tools import Die, Punch

FRICTION = 0.1
"""Coulomb friction of dry sheet on smooth tools (common practice, no source)."""


def flow_curve_of(material: Material, *, tensile_mpa: float | None = None) -> tuple[FlowCurve, str]:
    """Flow curve of a material and where it comes from; scaled to the tensile strength of a certificate when given.

    Without a flow curve of its own it is drawn from yield and tensile strength; without a uniform elongation that is
    guessed, and the source says so.
    """
    share = tensile_mpa / material.tensile_mpa if tensile_mpa else 1.0
    scaled = "" if share == 1.0 else say("source.scaled", share=share, tensile_mpa=tensile_mpa)
    own = material.hardening
    if own is not None:
        curve = FlowCurve(
            law=own.law, k_mpa=own.k_mpa * share, e0_or_b=own.e0_or_b, n=own.n, yield_mpa=material.yield_mpa * share
        )
        return curve, say("source.flow_curve", material=material.name, law=own.law, scaled=scaled)
    if material.yield_mpa >= material.tensile_mpa:
        flat = FlowCurve(law="swift", k_mpa=material.yield_mpa * share, e0_or_b=0.01, n=0.0)
        return flat, say("source.yield_strength", material=material.name, scaled=scaled)
    stretch, said = material.uniform_elongation, "Rp, Rm and Ag"
    if stretch is None:
        stretch = guessed_uniform_elongation(yield_mpa=material.yield_mpa, tensile_mpa=material.tensile_mpa)
        said = "Rp and Rm, Ag guessed"
    curve = swift_from_tensile_test(
        yield_mpa=material.yield_mpa * share, tensile_mpa=material.tensile_mpa * share, uniform_elongation=stretch
    )
    return curve, say("source.drawn_curve", said=phrase(said), material=material.name, scaled=scaled)


def half_centre_of(die: Die) -> float:
    """Half the distance of the die's shoulder centres [mm]."""
    return half_centre_distance_mm(
        opening_mm=die.opening_mm,
        opening_measured=die.opening_measured,
        die_angle_deg=die.angle_deg,
        shoulder_radius_mm=die.shoulder_radius_mm,
    )


def air_bend_of(*, sheet: Sheet, die: Die, punch: Punch, friction: float = FRICTION) -> tuple[AirBend, str]:
    """The bend for the mechanics and a sentence on where its flow curve comes from."""
    material = sheet.material
    curve, source = flow_curve_of(material, tensile_mpa=sheet.tensile_mpa)
    bend = AirBend(
        thickness_mm=sheet.thickness_mm,
        half_centre_mm=half_centre_of(die),
        shoulder_radius_mm=die.shoulder_radius_mm,
        nose_radius_mm=punch.nose_radius_mm,
        curve=curve,
        youngs_modulus_mpa=material.youngs_modulus_mpa,
        poisson=material.poisson,
        friction=friction,
    )
    return bend, source
