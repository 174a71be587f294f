"""What counts for the fields of a material or of the practice that the shop has not typed itself, as texts a form can show in them."""

from __future__ import annotations

from dataclasses import fields

from bendwright.shop.material import Hardening, Material
from bendwright.shop.practice import Practice

_LENGTHS = ("clearance_watch", "end_clearance", "max_uncovered_end", "finger_contact", "hand_room")
_NUMBERS = ("hole_clearance_thicknesses", "two_person_mass_kg", "whip_watch_m_per_s")
_SPREAD_UNITS = {"_mm": " mm", "_deg": ""}


def material_in_use(material: Material) -> dict[str, str]:
    """By the keys of the material's form: every value that is known, but for its name and where it was read, which are always its own."""
    texts = {
        "aliases": ", ".join(material.aliases),
        "standard": material.standard,
        "family": material.family,
        "density_kg_per_m3": f"{material.density_kg_per_m3:g}",
        "youngs_modulus": f"{material.youngs_modulus_mpa:g} MPa",
        "poisson": f"{material.poisson:g}",
        "yield_strength": f"{material.yield_mpa:g} MPa",
        "tensile_strength": f"{material.tensile_mpa:g} MPa",
        "uniform_elongation": _number(material.uniform_elongation),
        "springback": _number(material.springback_deg),
        "radius_over_opening": _number(material.radius_over_opening),
    }
    if material.tensile_range_mpa is not None:
        low, high = material.tensile_range_mpa
        texts["tensile_range"] = f"{low:g} … {high:g} MPa"
    if material.hardening is not None:
        texts |= _hardening(material.hardening)
    return {key: text for key, text in texts.items() if text}


def practice_in_use(practice: Practice) -> dict[str, str]:
    """By the keys of the form of the practice: every rule, stated or the default; what there is no default for is left out."""
    texts = {
        "bend_model": practice.bend_model,
        "allowance": practice.allowance_method,
        "k_factor": _number(practice.k_factor),
    }
    texts |= {key: f"{getattr(practice, f'{key}_mm'):g} mm" for key in _LENGTHS}
    texts |= {key: f"{getattr(practice, key):g}" for key in _NUMBERS}
    texts |= {f"times.{item.name}": f"{getattr(practice.times, item.name):g}" for item in fields(practice.times)}
    for item in fields(practice.spreads):
        value = getattr(practice.spreads, item.name)
        ending = next((end for end in _SPREAD_UNITS if item.name.endswith(end)), "")
        key = f"spreads.{item.name.removesuffix(ending)}"
        texts[key] = (
            value if isinstance(value, str) else f"{_number(value)}{_SPREAD_UNITS.get(ending, '')}" if value else ""
        )
    return {key: text for key, text in texts.items() if text}


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:g}"


def _hardening(curve: Hardening) -> dict[str, str]:
    third = "b" if curve.law == "voce" else "e0"
    texts = {"hardening.law": curve.law, "hardening.k": f"{curve.k_mpa:g} MPa", "hardening.n": _number(curve.n)}
    if curve.law != "hollomon":
        texts[f"hardening.{third}"] = f"{curve.e0_or_b:g}"
    return texts
