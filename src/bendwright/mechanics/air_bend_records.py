"""Records of the stroke model: what it answers, where it holds, and finite-element bends it must meet."""

from __future__ import annotations

from collections.abc import Callable

from bendwright.mechanics.air_bend import AirBend, StrokeState, stroke_curve
from bendwright.mechanics.moment_curvature import FlowCurve
from bendwright.mechanics.record import ModelRecord, WorkedExample

MILD = FlowCurve(law="swift", k_mpa=600.0, e0_or_b=0.010, n=0.18)
STAINLESS = FlowCurve(law="swift", k_mpa=1370.0, e0_or_b=0.020, n=0.40)

BEND_MILD = AirBend(
    thickness_mm=2.0,
    half_centre_mm=8.0,
    shoulder_radius_mm=2.0,
    nose_radius_mm=1.0,
    curve=MILD,
    youngs_modulus_mpa=210000.0,
    poisson=0.3,
)
BEND_STAINLESS = AirBend(
    thickness_mm=1.5,
    half_centre_mm=6.0,
    shoulder_radius_mm=1.5,
    nose_radius_mm=0.8,
    curve=STAINLESS,
    youngs_modulus_mpa=200000.0,
    poisson=0.3,
)
BENDS = ((BEND_MILD, 5.58), (BEND_STAINLESS, 3.87))
SOURCE = "finite-element reference bends, mild t 2 V 16 and stainless t 1.5 V 12, about 90 degrees under load"
REMARKS = (
    "Plane strain, isotropic hardening, rigid tools. Knows no Bauschinger effect and no loss of modulus, for which real "
    "sheet springs back 10-20 % more: put the shop's own springback into its practice as soon as one piece was measured."
)


def state_at(*, bend: AirBend, depth_mm: float) -> StrokeState:
    """The stroke of a bend at a depth [mm]."""
    return stroke_curve(bend).at_depth(depth_mm=depth_mm)


def _answer(name: str) -> Callable[..., float]:
    def answer(*, bend: AirBend, depth_mm: float) -> float:
        return float(getattr(state_at(bend=bend, depth_mm=depth_mm), name))

    return answer


def _record(
    id_: str, question: str, name: str, expected: tuple[float, float], tolerances: tuple[float, float]
) -> ModelRecord:
    return ModelRecord(
        id=id_,
        question=question,
        answer=_answer(name),
        source="own strip model: sections in plane strain with hardening, held by nose and shoulders; see its decision record",
        provenance="derived",
        symbols={"t": "bend.thickness_mm", "rp": "bend.nose_radius_mm", "Y": "depth_mm"},
        examples=tuple(
            WorkedExample(
                inputs={"bend": bend, "depth_mm": depth},
                expected=value,
                tolerance=tolerance,
                origin="printed",
                source=SOURCE,
            )
            for (bend, depth), value, tolerance in zip(BENDS, expected, tolerances, strict=True)
        ),
        remarks=REMARKS,
    )


RECORDS = (
    _record(
        "stroke_relaxed",
        "Which included angle does a depth leave?",
        "relaxed_included_deg",
        (91.56565, 93.14714),
        (0.4, 0.4),
    ),
    _record(
        "stroke_springback", "By how much does an air bend open?", "springback_deg", (1.81239, 2.99081), (0.15, 0.15)
    ),
    _record(
        "stroke_force", "How hard does a stroke press at a depth?", "force_n_per_mm", (120.98774, 151.89954), (3.6, 4.5)
    ),
    _record(
        "stroke_radius", "Which inside radius does an air bend get?", "inside_radius_mm", (1.8797, 2.18048), (0.1, 0.1)
    ),
    _record(
        "stroke_deduction",
        "How much shorter than its outside legs is the blank?",
        "bend_deduction_mm",
        (3.36459, 2.72373),
        (0.05, 0.05),
    ),
    _record(
        "stroke_outer_strain",
        "How far is the outer fibre of a bend stretched?",
        "outer_strain",
        (0.42942, 0.30303),
        (0.03, 0.03),
    ),
)
