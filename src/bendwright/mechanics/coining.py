"""What does it take to coin a bend: to press the nose into the sheet until its whole section yields?

The bend is bottomed first; then the nose stands on the inner face and must be driven in against plastic sheet. Loads are
of another order than those of an air bend: tools, holders and brake are spoiled by them before the sheet is.
"""

from __future__ import annotations

from math import cos, pi, radians, sin, sqrt

from bendwright.mechanics.limits import not_negative, positive, within
from bendwright.mechanics.record import ModelRecord, WorkedExample
from bendwright.quantities import Band

SQUEEZED = 2.0 / sqrt(3.0)
"""Pressure over flow stress when a strip is squeezed across its whole thickness in plane strain, no friction."""

INDENTED = (2.0 + pi) / sqrt(3.0)
"""Pressure over flow stress when a punch sinks into thick metal in plane strain (Prandtl): 2.97."""

PENETRATION_OF_THICKNESS = (0.03, 0.10)
"""How far the nose goes into the sheet, in thicknesses (common practice, no source)."""


def nose_line_load_kn_per_m(
    *, nose_radius_mm: float, turned_deg: float, pressure_mpa: float, friction: float = 0.0
) -> float:
    """Load under one even pressure on the whole nose arc: F/L = 2 p rp (sin b + mu (1 - cos b)), b = turned/2.

    Pressure times the width of the arc seen from above; friction along it comes on top. Example: rp 1, 90 degrees,
    577 MPa -> 816.
    """
    positive(nose_radius_mm=nose_radius_mm, pressure_mpa=pressure_mpa)
    not_negative(friction=friction)
    within(1.0, 179.0, turned_deg=turned_deg)
    tilt = radians(turned_deg) / 2.0
    return 2.0 * pressure_mpa * nose_radius_mm * (sin(tilt) + friction * (1.0 - cos(tilt)))


def coining_model_band(
    *, bottoming: Band, nose_radius_mm: float, turned_deg: float, flow_mpa: float, friction: float = 0.1
) -> Band:
    """Load to coin [kN/m]: pressure of squeezing (1.15 x flow stress) to that of indenting (2.97 x), on the nose arc.

    Never less than the bottoming that comes before it. The nose's own arc only: a nose sharper than about 0.3 t sinks in
    until its flanks carry too, and flanks pressed all over have no upper limit but the tool's.
    """
    positive(flow_mpa=flow_mpa)
    nose = {"nose_radius_mm": nose_radius_mm, "turned_deg": turned_deg}
    low = nose_line_load_kn_per_m(**nose, pressure_mpa=SQUEEZED * flow_mpa)
    high = nose_line_load_kn_per_m(**nose, pressure_mpa=INDENTED * flow_mpa, friction=friction)
    source = "pressure on the nose arc, 1.15 to 2.97 x flow stress, at least the bottoming (derived)"
    return Band(max(low, bottoming.low), max(high, bottoming.high), source)


def coining_penetration_band_mm(*, thickness_mm: float) -> Band:
    """How far the nose sinks into the sheet: 3 to 10 % of t (common practice, no source); the sheet is thinner there."""
    positive(thickness_mm=thickness_mm)
    low, high = (share * thickness_mm for share in PENETRATION_OF_THICKNESS)
    return Band(low, high, "3 to 10 % of t (common practice, no source)")


RECORDS = (
    ModelRecord(
        id="coining_pressure",
        question="How hard must the brake press to coin a bend?",
        answer=nose_line_load_kn_per_m,
        source="even pressure on the nose arc; 2/sqrt3 x flow stress (squeezing) to (2 + pi)/sqrt3 x (Prandtl indentation)",
        provenance="derived",
        symbols={"rp": "nose_radius_mm", "p": "pressure_mpa", "b": "turned_deg"},
        ranges={"turned_deg": (30.0, 150.0, "degrees")},
        examples=(
            WorkedExample(
                inputs={"nose_radius_mm": 1.0, "turned_deg": 90.0, "pressure_mpa": SQUEEZED * 500.0},
                expected=816.5,
                tolerance=0.05,
                origin="derived",
                source="2 x 1.1547 x 500 x 1 x sin 45",
            ),
            WorkedExample(
                inputs={"nose_radius_mm": 1.0, "turned_deg": 90.0, "pressure_mpa": INDENTED * 500.0},
                expected=2099.0,
                tolerance=0.5,
                origin="derived",
                source="2 x 2.9684 x 500 x 1 x sin 45",
            ),
        ),
        remarks=(
            "The two pressures are the ends of the slip-line solution for sheet from as thin as the contact is wide to "
            "very thick. No measured coining load stands behind it."
        ),
    ),
)
