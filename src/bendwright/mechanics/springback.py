"""By how much does a bend open when the punch leaves?

The arc springs back by its bending moment, and in an air bend the legs do too: they carry the moment from the arc down
to nothing at the die shoulder. Models that look at the arc alone give about half of what an air bend does.
"""

from __future__ import annotations

from math import degrees

from bendwright.mechanics.limits import not_negative, positive, within
from bendwright.mechanics.moment_curvature import (
    PLANE_STRAIN,
    FlowCurve,
    HardeningLaw,
    epp_moment_n,
    hardening_moment_n,
    hosford_caddell_moment_n,
    plane_strain_modulus_mpa,
)
from bendwright.mechanics.record import ModelRecord, WorkedExample


def gardiner_ratio(
    *,
    radius_mm: float,
    thickness_mm: float,
    yield_mpa: float,
    youngs_modulus_mpa: float,
    poisson: float | None = None,
) -> float:
    """Gardiner (1957): R0/Rf = 4 x^3 - 3 x + 1, x = R0 Y/(E t); angle ratio for the same arc length.

    With ``poisson`` in plane strain (Y -> 2Y/sqrt3, E -> E/(1 - nu^2)), exact for an ideally plastic sheet. x >= 0.5
    is all elastic: 0, the sheet springs flat. Example: Y 275, E 205e3, R 4.75, t 3.2 -> 0.99403.
    """
    positive(radius_mm=radius_mm, thickness_mm=thickness_mm, yield_mpa=yield_mpa)
    positive(youngs_modulus_mpa=youngs_modulus_mpa)
    if poisson is not None:
        yield_mpa *= PLANE_STRAIN
        youngs_modulus_mpa = plane_strain_modulus_mpa(youngs_modulus_mpa=youngs_modulus_mpa, poisson=poisson)
    x = radius_mm * yield_mpa / (youngs_modulus_mpa * thickness_mm)
    return 4.0 * x**3 - 3.0 * x + 1.0 if x < 0.5 else 0.0


def marciniak_ratio(*, curve_radius_mm: float, thickness_mm: float, flow_mpa: float, modulus_mpa: float) -> float:
    """Marciniak, Duncan and Hu: change of angle over angle = -3 (S/E')(rho/t); given here as ratio after/before.

    S plane-strain flow stress, E' plane-strain modulus. For small springback only (first term of Gardiner).
    """
    positive(curve_radius_mm=curve_radius_mm, thickness_mm=thickness_mm, flow_mpa=flow_mpa, modulus_mpa=modulus_mpa)
    return 1.0 - 3.0 * flow_mpa / modulus_mpa * curve_radius_mm / thickness_mm


def curvature_ratio(
    *, moment_n: float, curve_radius_mm: float, thickness_mm: float, youngs_modulus_mpa: float, poisson: float
) -> float:
    """Curvature after over before unloading: 1 - 12 M rho/(E' t^3); also angle after over angle before."""
    not_negative(moment_n=moment_n)
    positive(curve_radius_mm=curve_radius_mm, thickness_mm=thickness_mm)
    modulus = plane_strain_modulus_mpa(youngs_modulus_mpa=youngs_modulus_mpa, poisson=poisson)
    return 1.0 - 12.0 * moment_n * curve_radius_mm / (modulus * thickness_mm**3)


def hosford_caddell_change(
    *, curve_radius_mm: float, thickness_mm: float, k_mpa: float, n: float, youngs_modulus_mpa: float, poisson: float
) -> float:
    """Share of the curvature that springs back in a Hollomon sheet: 6/(2+n) (K'/E')(t/2rho)^n rho/t."""
    moment = hosford_caddell_moment_n(thickness_mm=thickness_mm, curve_radius_mm=curve_radius_mm, k_mpa=k_mpa, n=n)
    return 1.0 - curvature_ratio(
        moment_n=moment,
        curve_radius_mm=curve_radius_mm,
        thickness_mm=thickness_mm,
        youngs_modulus_mpa=youngs_modulus_mpa,
        poisson=poisson,
    )


def bend_moment_n(
    *,
    thickness_mm: float,
    inside_radius_mm: float,
    youngs_modulus_mpa: float,
    poisson: float,
    yield_mpa: float,
    law: HardeningLaw | None = None,
    k_mpa: float | None = None,
    e0_or_b: float | None = None,
    n: float | None = None,
) -> float:
    """Moment of the arc per mm of width [N]: by the flow curve if ``law`` and ``k_mpa`` are given, else the yield."""
    not_negative(inside_radius_mm=inside_radius_mm)
    curve_radius = inside_radius_mm + thickness_mm / 2.0
    if law is None or k_mpa is None:
        return epp_moment_n(
            thickness_mm=thickness_mm,
            curve_radius_mm=curve_radius,
            yield_mpa=yield_mpa,
            youngs_modulus_mpa=youngs_modulus_mpa,
            poisson=poisson,
        )
    return hardening_moment_n(
        thickness_mm=thickness_mm,
        curve_radius_mm=curve_radius,
        curve=FlowCurve(law=law, k_mpa=k_mpa, e0_or_b=e0_or_b, n=n, yield_mpa=yield_mpa),
        youngs_modulus_mpa=youngs_modulus_mpa,
        poisson=poisson,
    )


def arc_springback_deg(
    *,
    moment_n: float,
    thickness_mm: float,
    inside_radius_mm: float,
    turned_deg: float,
    youngs_modulus_mpa: float,
    poisson: float,
) -> float:
    """Springback of the arc alone: turned x (1 - curvature ratio), turned and radius under load."""
    within(0.0, 360.0, turned_deg=turned_deg)
    ratio = curvature_ratio(
        moment_n=moment_n,
        curve_radius_mm=inside_radius_mm + thickness_mm / 2.0,
        thickness_mm=thickness_mm,
        youngs_modulus_mpa=youngs_modulus_mpa,
        poisson=poisson,
    )
    return turned_deg * (1.0 - ratio)


def leg_springback_deg(
    *, moment_n: float, thickness_mm: float, leg_arm_mm: float, youngs_modulus_mpa: float, poisson: float
) -> float:
    """Springback of one leg, moment falling evenly to 0 at the shoulder, elastic: M s/(2 E' I) = 6 M s/(E' t^3)."""
    not_negative(moment_n=moment_n, leg_arm_mm=leg_arm_mm)
    positive(thickness_mm=thickness_mm)
    modulus = plane_strain_modulus_mpa(youngs_modulus_mpa=youngs_modulus_mpa, poisson=poisson)
    return degrees(6.0 * moment_n * leg_arm_mm / (modulus * thickness_mm**3))


def air_bend_springback_deg(
    *,
    thickness_mm: float,
    inside_radius_mm: float,
    turned_deg: float,
    youngs_modulus_mpa: float,
    poisson: float,
    yield_mpa: float,
    leg_arm_mm: float,
    law: HardeningLaw | None = None,
    k_mpa: float | None = None,
    e0_or_b: float | None = None,
    n: float | None = None,
) -> float:
    """Springback of an air bend: the arc and both legs. Loaded turned angle = target + this.

    ``turned_deg`` and ``inside_radius_mm`` are those under load, ``leg_arm_mm`` is ``ram_depth.contact_arm_mm``.
    Without ``law`` and ``k_mpa`` the sheet is taken as ideally plastic at its yield strength, which gives too little
    for soft, strongly hardening sheet. Lies 7-16 % above finite-element bends; neither knows
    Bauschinger effect or loss of modulus, for which real sheet springs back 10-20 % more.
    Example: t 2, ri 2.6, Swift 525/0.0037/0.186, 90 degrees, arm 5.9 -> 1.93.
    """
    moment = bend_moment_n(
        thickness_mm=thickness_mm,
        inside_radius_mm=inside_radius_mm,
        youngs_modulus_mpa=youngs_modulus_mpa,
        poisson=poisson,
        yield_mpa=yield_mpa,
        law=law,
        k_mpa=k_mpa,
        e0_or_b=e0_or_b,
        n=n,
    )
    arc = arc_springback_deg(
        moment_n=moment,
        thickness_mm=thickness_mm,
        inside_radius_mm=inside_radius_mm,
        turned_deg=turned_deg,
        youngs_modulus_mpa=youngs_modulus_mpa,
        poisson=poisson,
    )
    leg = leg_springback_deg(
        moment_n=moment,
        thickness_mm=thickness_mm,
        leg_arm_mm=leg_arm_mm,
        youngs_modulus_mpa=youngs_modulus_mpa,
        poisson=poisson,
    )
    return arc + 2.0 * leg


def former_ratio(
    *, finished_radius_mm: float, thickness_mm: float, yield_mpa: float, youngs_modulus_mpa: float, poisson: float
) -> float:
    """Springback factor kR = angle after/angle before for a wanted inside radius, by finding its tool radius.

    kR = (tool radius + t/2)/(finished radius + t/2), ideally plastic, plane strain; bisection to 1e-12.
    """
    positive(finished_radius_mm=finished_radius_mm, thickness_mm=thickness_mm)
    wanted = finished_radius_mm + thickness_mm / 2.0
    low, high = 0.0, 1.0
    for _ in range(60):
        factor = 0.5 * (low + high)
        ratio = gardiner_ratio(
            radius_mm=factor * wanted,
            thickness_mm=thickness_mm,
            yield_mpa=yield_mpa,
            youngs_modulus_mpa=youngs_modulus_mpa,
            poisson=poisson,
        )
        low, high = (factor, high) if ratio > factor else (low, factor)
    return 0.5 * (low + high)


_STEEL = {"youngs_modulus_mpa": 210000.0, "poisson": 0.3}
_SWIFT = {"law": "swift", "k_mpa": 525.0, "e0_or_b": 0.0037, "n": 0.186, "yield_mpa": 200.0}

RECORDS = (
    ModelRecord(
        id="springback_gardiner",
        question="By how much does an arc open?",
        answer=gardiner_ratio,
        source="Gardiner, Trans. ASME 79 (1957) 1-9",
        provenance="sourced",
        symbols={"R0": "radius_mm", "Y": "yield_mpa", "E": "youngs_modulus_mpa", "t": "thickness_mm"},
        ranges={"radius_mm/thickness_mm": (1.0, 1000.0, "of t")},
        examples=tuple(
            WorkedExample(
                inputs={"yield_mpa": y, "youngs_modulus_mpa": e, "radius_mm": r, "thickness_mm": t},
                expected=expected,
                tolerance=1e-5,
                origin="derived",
                source="4 x^3 - 3 x + 1, x = R Y/(E t)",
            )
            for y, e, r, t, expected in (
                (275.0, 205e3, 4.75, 3.2, 0.99403),
                (250.0, 210e3, 10.0, 2.0, 0.98214),
                (250.0, 210e3, 50.0, 1.0, 0.82227),
                (205.0, 193e3, 20.0, 1.0, 0.93631),
                (276.0, 69e3, 6.0, 2.0, 0.96401),
            )
        ),
    ),
    ModelRecord(
        id="springback_marciniak",
        question="By how much does an arc open?",
        answer=marciniak_ratio,
        source="Marciniak, Duncan and Hu, Mechanics of Sheet Metal Forming (2002), ch. 6",
        provenance="sourced",
        symbols={"S": "flow_mpa", "E'": "modulus_mpa", "rho": "curve_radius_mm"},
        ranges={"curve_radius_mm/thickness_mm": (3.0, 50.0, "of t")},
        examples=(
            WorkedExample(
                inputs={
                    "curve_radius_mm": 6.366,
                    "thickness_mm": 1.2,
                    "flow_mpa": 288.68,
                    "modulus_mpa": 76923.0,
                },
                expected=1.0 - 21.5 / 360.0,
                tolerance=0.0002,
                origin="printed",
                source="university exam with solution: tube 1.2 x 40 opens 21.5 degrees of 360",
            ),
        ),
    ),
    ModelRecord(
        id="springback_air_bend",
        question="By how much does an air bend open?",
        answer=air_bend_springback_deg,
        source="plane-strain moment-curvature; arc and elastic legs with the moment falling evenly to the shoulder",
        provenance="derived",
        symbols={"ri": "inside_radius_mm", "t": "thickness_mm", "s": "leg_arm_mm", "A": "turned_deg"},
        ranges={"inside_radius_mm/thickness_mm": (0.5, 30.0, "of t"), "turned_deg": (10.0, 150.0, "degrees")},
        examples=(
            WorkedExample(
                inputs={
                    **_STEEL,
                    **_SWIFT,
                    "thickness_mm": 2.0,
                    "inside_radius_mm": 2.6,
                    "turned_deg": 90.0,
                    "leg_arm_mm": 0.0,
                },
                expected=0.947,
                tolerance=0.001,
                origin="derived",
                source="arc alone, computed twice by other code",
            ),
            WorkedExample(
                inputs={
                    **_STEEL,
                    **_SWIFT,
                    "thickness_mm": 2.0,
                    "inside_radius_mm": 2.6,
                    "turned_deg": 90.0,
                    "leg_arm_mm": 5.9,
                },
                expected=0.947 + 2.0 * 0.494,
                tolerance=0.005,
                origin="derived",
                source="arc 0.947, leg 6 x 449.65 x 5.9/(230769 x 8) = 0.494 degrees each",
            ),
        ),
        remarks="Put the shop's own springback into its practice as soon as one piece was measured.",
    ),
)
