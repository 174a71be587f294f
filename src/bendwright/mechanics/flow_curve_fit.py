"""Which flow curve does a tensile test stand for?"""

from __future__ import annotations

from math import exp, log

from bendwright.findings import OutOfRangeError, found
from bendwright.mechanics.limits import positive
from bendwright.mechanics.moment_curvature import FlowCurve
from bendwright.mechanics.record import ModelRecord, WorkedExample


def swift_from_tensile_test(*, yield_mpa: float, tensile_mpa: float, uniform_elongation: float) -> FlowCurve:
    """Swift curve with this yield strength that begins to neck at Rm and Ag (Considere): n = e0 + ln(1 + Ag).

    K n^n = Rm (1 + Ag) and K e0^n = Rp; e0 by bisection. ``uniform_elongation`` is Ag as a fraction. Raises
    OutOfRangeError R101 for 0 or less, R132 when the yield strength is not below the tensile strength.
    """
    positive(yield_mpa=yield_mpa, tensile_mpa=tensile_mpa, uniform_elongation=uniform_elongation)
    if yield_mpa >= tensile_mpa:
        raise OutOfRangeError([found("R132", where="yield_mpa", yield_mpa=yield_mpa, tensile_mpa=tensile_mpa)])
    neck = log(1.0 + uniform_elongation)
    wanted = log(yield_mpa / (tensile_mpa * exp(neck)))
    low, high = 1e-280, 1e3
    for _ in range(400):
        shift = (low * high) ** 0.5
        low, high = (low, shift) if (shift + neck) * log(shift / (shift + neck)) > wanted else (shift, high)
    power = shift + neck
    return FlowCurve(law="swift", k_mpa=tensile_mpa * exp(neck) / power**power, e0_or_b=shift, n=power)


def guessed_uniform_elongation(*, yield_mpa: float, tensile_mpa: float) -> float:
    """Ag guessed from the ratio of the strengths, (1 - Rp/Rm)/2: 0.2 at 0.6, 0.03 at 0.94 (common practice, no source)."""
    positive(yield_mpa=yield_mpa, tensile_mpa=tensile_mpa)
    return max(0.5 * (1.0 - yield_mpa / tensile_mpa), 0.005)


RECORDS = (
    ModelRecord(
        id="swift_from_tensile_test",
        question="Which flow curve does a tensile test stand for?",
        answer=lambda **inputs: float(swift_from_tensile_test(**inputs).n or 0.0),
        source="Considere's condition with Swift's law",
        provenance="derived",
        symbols={"Rp": "yield_mpa", "Rm": "tensile_mpa", "Ag": "uniform_elongation"},
        ranges={"yield_mpa/tensile_mpa": (0.2, 0.97, "of Rm")},
        examples=(
            WorkedExample(
                inputs={
                    "yield_mpa": 600.0 * 0.01**0.18,
                    "tensile_mpa": 600.0 * 0.18**0.18 * exp(-0.17),
                    "uniform_elongation": exp(0.17) - 1.0,
                },
                expected=0.18,
                tolerance=1e-6,
                origin="derived",
                source="backward from K 600, e0 0.01, n 0.18",
            ),
        ),
        remarks="Rm and Ag say nothing of strains beyond the neck, where tight bends live.",
    ),
)
