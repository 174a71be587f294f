"""How long is the sheet in a bend, and what must be taken off the outside dimensions?

Words: the bend allowance BA is the length of flat sheet used by the arc; the set-back is the distance from the end of a
leg's dimension to the start of the arc; the bend deduction BD = 2 set-back - BA. K is the distance of the neutral axis
from the inside face over the thickness; DIN 6935 counts half thicknesses, its k = 2 K. All functions work in any
consistent unit of length. Records of these models stand in ``bend_allowance_records.py``.
"""

from __future__ import annotations

from math import log10, radians, sqrt, tan
from typing import Literal

from bendwright.findings import OutOfRangeError, found
from bendwright.mechanics.limits import not_negative, one_of, positive, within

LegMeasure = Literal["mould_line", "outer_tangent"]
Process = Literal["air", "bottoming", "coining"]
Hardness = Literal["soft", "medium", "hard"]

HANDBOOK_C: dict[str, float] = {"soft": 0.55, "medium": 0.64, "hard": 0.71}
"""c by hardness: soft copper and brass | half-hard copper and brass, soft steel, aluminium | bronze, hard copper,
cold-rolled and spring steel (Machinery's Handbook, after bench experiments)."""

TABLE_K: dict[str, dict[str, tuple[float, float, float]]] = {
    "air": {"soft": (0.33, 0.40, 0.50), "medium": (0.38, 0.43, 0.50), "hard": (0.40, 0.45, 0.50)},
    "bottoming": {"soft": (0.42, 0.46, 0.50), "medium": (0.44, 0.47, 0.50), "hard": (0.46, 0.48, 0.50)},
    "coining": {"soft": (0.38, 0.46, 0.50), "medium": (0.41, 0.47, 0.50), "hard": (0.44, 0.48, 0.50)},
}
"""K for inside radius up to t, up to 3 t, above; by process and hardness (soft: aluminium, copper; hard: stainless)."""


def k_factor_allowance_mm(*, inside_radius_mm: float, thickness_mm: float, turned_deg: float, k_factor: float) -> float:
    """Bend allowance with a K factor: BA = A (r + K t), A turned angle in radians.

    Range: 0 <= turned <= 360, 0 <= K <= 1. Example: r 3, t 2, 90 degrees, K 0.43 -> 6.0633.
    """
    not_negative(inside_radius_mm=inside_radius_mm)
    positive(thickness_mm=thickness_mm)
    within(0.0, 360.0, turned_deg=turned_deg)
    within(0.0, 1.0, k_factor=k_factor)
    return radians(turned_deg) * (inside_radius_mm + k_factor * thickness_mm)


def din_6935_k(*, inside_radius_mm: float, thickness_mm: float) -> float:
    """Correction k of DIN 6935: k = 0.65 + 0.5 lg(r/s), 1 above r/s = 5; k counts half thicknesses (K = k/2).

    The logarithm falls below 0 under r/s = 0.05: 0 is given there. Below r/s = 0.3 the standard has no experience.
    Example: r 6, s 5 -> 0.6896 (printed 0.689).
    """
    not_negative(inside_radius_mm=inside_radius_mm)
    positive(thickness_mm=thickness_mm)
    ratio = inside_radius_mm / thickness_mm
    if ratio > 5.0:
        return 1.0
    return min(1.0, max(0.0, 0.65 + 0.5 * log10(ratio))) if ratio > 0.0 else 0.0


def din_6935_allowance_mm(*, inside_radius_mm: float, thickness_mm: float, turned_deg: float) -> float:
    """Bend allowance of DIN 6935: BA = A (r + k s/2), A turned angle in radians."""
    k = din_6935_k(inside_radius_mm=inside_radius_mm, thickness_mm=thickness_mm)
    return k_factor_allowance_mm(
        inside_radius_mm=inside_radius_mm, thickness_mm=thickness_mm, turned_deg=turned_deg, k_factor=k / 2.0
    )


def din_6935_deduction_mm(
    *,
    inside_radius_mm: float,
    thickness_mm: float,
    included_deg: float,
    zero_above_165: bool = False,
    k: float | None = None,
) -> float:
    """Shortening v of DIN 6935, flat length = a + b - v.

    Legs end at the outer tangent for included angles up to 90 degrees and at the mould line above, so
    v = 2(r+s) - BA up to 90 and v = 2(r+s) tan((180-included)/2) - BA above. The standard lets v be 0 above 165
    degrees: a step of 0.34 mm for r 3, s 2, therefore only with ``zero_above_165``. A value ``k`` read from the
    standard's chart beats the formula. May be slightly below 0 for acute bends.
    """
    within(0.0, 180.0, included_deg=included_deg)
    turned_deg = 180.0 - included_deg
    if k is None:
        k = din_6935_k(inside_radius_mm=inside_radius_mm, thickness_mm=thickness_mm)
    allowance = k_factor_allowance_mm(
        inside_radius_mm=inside_radius_mm, thickness_mm=thickness_mm, turned_deg=turned_deg, k_factor=k / 2.0
    )
    if zero_above_165 and included_deg > 165.0:
        return 0.0
    setback = setback_mm(
        inside_radius_mm=inside_radius_mm,
        thickness_mm=thickness_mm,
        turned_deg=turned_deg,
        measured_to="outer_tangent",
    )
    return 2.0 * setback - allowance


def handbook_allowance_mm(*, inside_radius_mm: float, thickness_mm: float, turned_deg: float, c: float) -> float:
    """Machinery's Handbook: BA = (c T + 1.57 R) A/90 with c from ``HANDBOOK_C``; both terms scale with the angle.

    Range: bench tooling, handbook tolerance about 0.4 mm. Example: T = R = 0.125 in, 90 degrees, c 0.64 -> 0.276 in.
    """
    not_negative(inside_radius_mm=inside_radius_mm, c=c)
    positive(thickness_mm=thickness_mm)
    within(0.0, 360.0, turned_deg=turned_deg)
    return (c * thickness_mm + 1.57 * inside_radius_mm) * turned_deg / 90.0


def aircraft_allowance_mm(*, inside_radius_mm: float, thickness_mm: float, turned_deg: float) -> float:
    """Aircraft repair formula: BA = (0.01743 R + 0.0078 T) A, A in degrees (FAA AC 43.13-1B); like K = 0.447."""
    not_negative(inside_radius_mm=inside_radius_mm)
    positive(thickness_mm=thickness_mm)
    within(0.0, 360.0, turned_deg=turned_deg)
    return (0.01743 * inside_radius_mm + 0.0078 * thickness_mm) * turned_deg


def table_k(*, process: Process, hardness_class: Hardness, radius_over_thickness: float) -> float:
    """K from the common table by process, hardness and r/t; exactly t or 3 t belongs to the smaller band."""
    one_of(TABLE_K, process=process)
    one_of(HANDBOOK_C, hardness_class=hardness_class)
    not_negative(radius_over_thickness=radius_over_thickness)
    band = 0 if radius_over_thickness <= 1.0 else 1 if radius_over_thickness <= 3.0 else 2
    return TABLE_K[process][hardness_class][band]


def groover_k(*, radius_over_thickness: float) -> float:
    """Groover's K: 0.33 for R < 2 t, 0.50 from there on."""
    not_negative(radius_over_thickness=radius_over_thickness)
    return 0.33 if radius_over_thickness < 2.0 else 0.50


def hill_k(*, radius_over_thickness: float) -> float:
    """K of Hill's (1950) neutral surface sqrt(ri ro) of an ideally plastic sheet: K = sqrt(x (x+1)) - x, x = r/t.

    Computed as 1/(1 + sqrt(1 + 1/x)): no difference of nearly equal numbers, so it rises with x to the last digit.
    """
    not_negative(radius_over_thickness=radius_over_thickness)
    return 1.0 / (1.0 + sqrt(1.0 + 1.0 / radius_over_thickness)) if radius_over_thickness > 0.0 else 0.0


def setback_mm(*, inside_radius_mm: float, thickness_mm: float, turned_deg: float, measured_to: LegMeasure) -> float:
    """Distance from the end of a leg's dimension to the start of the arc.

    Up to 90 degrees (r+t) tan(turned/2). Above, ``mould_line`` goes on with it (no end at 180: OutOfRangeError R104)
    and ``outer_tangent`` stays at r + t. Example: r 3, t 2, 120 degrees, mould line -> 8.6603.
    """
    not_negative(inside_radius_mm=inside_radius_mm, turned_deg=turned_deg)
    positive(thickness_mm=thickness_mm)
    one_of(("mould_line", "outer_tangent"), measured_to=measured_to)
    if turned_deg > 90.0 and measured_to == "outer_tangent":
        return inside_radius_mm + thickness_mm
    if turned_deg >= 180.0:
        raise OutOfRangeError(found("R104", where="turned_deg", turned_deg=turned_deg))
    return (inside_radius_mm + thickness_mm) * tan(radians(turned_deg) / 2.0)


def deduction_mm(*, setback_mm: float, bend_allowance_mm: float) -> float:
    """Bend deduction BD = 2 set-back - BA; flat length = sum of outside legs - sum of BD."""
    return 2.0 * setback_mm - bend_allowance_mm


def k_of_allowance(
    *, bend_allowance_mm: float, inside_radius_mm: float, thickness_mm: float, turned_deg: float
) -> float:
    """K that gives this bend allowance: K = (BA/A - r)/t. Inverse of ``k_factor_allowance_mm``; may be anything."""
    positive(thickness_mm=thickness_mm, turned_deg=turned_deg)
    return (bend_allowance_mm / radians(turned_deg) - inside_radius_mm) / thickness_mm


def k_from_coupon(
    *,
    flat_length_mm: float,
    leg_a_mm: float,
    leg_b_mm: float,
    inside_radius_mm: float,
    thickness_mm: float,
    turned_deg: float,
    measured_to: LegMeasure = "mould_line",
) -> float:
    """K measured on a bent test strip: BD = a + b - L, BA = 2 set-back - BD, K = (BA/A - r)/t.

    Legs are outside lengths. OutOfRangeError R109 when K falls outside 0..1: then a reading is wrong.
    """
    positive(flat_length_mm=flat_length_mm, leg_a_mm=leg_a_mm, leg_b_mm=leg_b_mm)
    setback = setback_mm(
        inside_radius_mm=inside_radius_mm,
        thickness_mm=thickness_mm,
        turned_deg=turned_deg,
        measured_to=measured_to,
    )
    k_factor = k_of_allowance(
        bend_allowance_mm=2.0 * setback - (leg_a_mm + leg_b_mm - flat_length_mm),
        inside_radius_mm=inside_radius_mm,
        thickness_mm=thickness_mm,
        turned_deg=turned_deg,
    )
    if not 0.0 <= k_factor <= 1.0:
        raise OutOfRangeError(found("R109", where="test strip", k_factor=k_factor))
    return k_factor
