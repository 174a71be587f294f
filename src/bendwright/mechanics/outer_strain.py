"""Does the outer fibre of a fold tear? Its strain against what the sheet has shown in the tensile test."""

from __future__ import annotations

from math import log

from bendwright.mechanics.limits import not_negative, positive, within
from bendwright.mechanics.record import ModelRecord, WorkedExample


def outer_fibre_strain(*, inside_radius_mm: float, thickness_mm: float) -> float:
    """True strain of the outer fibre, neutral axis in the middle: ln(1 + t/(2 ri + t)); ln 2 for a fold without radius.

    The neutral axis of a tight fold moves inward, so the true value is larger; the tensile test tears in the same way.
    """
    not_negative(inside_radius_mm=inside_radius_mm)
    positive(thickness_mm=thickness_mm)
    return log(1.0 + thickness_mm / (2.0 * inside_radius_mm + thickness_mm))


def fracture_strain(*, reduction_percent: float) -> float:
    """True strain at fracture from the reduction of area q: ln(1/(1 - q))."""
    within(0.0, 99.0, reduction_percent=reduction_percent)
    return log(1.0 / (1.0 - reduction_percent / 100.0))


def even_strain(*, elongation_percent: float) -> float:
    """True strain up to which a strip stretches evenly: ln(1 + Ag). A fold below it has reserve; above it is local."""
    not_negative(elongation_percent=elongation_percent)
    return log(1.0 + elongation_percent / 100.0)


def least_radius_over_thickness(*, reduction_percent: float) -> float:
    """Kalpakjian: least inside radius over t = 50/q - 1, q reduction of area in percent; 0 from q = 50 upward.

    The same as outer strain = fracture strain, both with the neutral axis in the middle.
    """
    within(1.0, 99.0, reduction_percent=reduction_percent)
    return max(0.0, 50.0 / reduction_percent - 1.0)


RECORDS = (
    ModelRecord(
        id="least_radius_kalpakjian",
        question="How small may the inside radius be before the outer fibre tears?",
        answer=least_radius_over_thickness,
        source="Kalpakjian and Schmid, Manufacturing Processes for Engineering Materials: R/t = 50/q - 1",
        provenance="sourced",
        symbols={"q": "reduction_percent"},
        ranges={"reduction_percent": (5.0, 70.0, "%")},
        examples=tuple(
            WorkedExample(
                inputs={"reduction_percent": q},
                expected=expected,
                tolerance=1e-9,
                origin="derived",
                source="50/q - 1",
            )
            for q, expected in ((50.0, 0.0), (25.0, 1.0), (12.5, 3.0))
        ),
    ),
    ModelRecord(
        id="outer_fibre_strain",
        question="How far is the outer fibre of a bend stretched?",
        answer=outer_fibre_strain,
        source="plane sections, neutral axis in the middle",
        provenance="derived",
        symbols={"ri": "inside_radius_mm", "t": "thickness_mm"},
        ranges={"inside_radius_mm/thickness_mm": (0.0, 100.0, "of t")},
        examples=(
            WorkedExample(
                inputs={"inside_radius_mm": 1.0, "thickness_mm": 1.0},
                expected=0.2877,
                tolerance=0.0001,
                origin="derived",
                source="ln(4/3); the nominal strain 1/3 is the textbook's",
            ),
            WorkedExample(
                inputs={"inside_radius_mm": 0.0, "thickness_mm": 0.7},
                expected=0.6931,
                tolerance=0.0001,
                origin="derived",
                source="ln 2",
            ),
        ),
    ),
)
