"""Whole strokes against finite-element bends: every depth of every case, every quantity, one table a case."""

from __future__ import annotations

from bendwright.validation.bend_points import BendCase, BendPoint, bend_cases
from bendwright.validation.comparison import Comparison, Evidence, Limit
from bendwright.validation.computed import WEIGHT
from bendwright.validation.stroke_models import STROKE_MODELS, StrokeModel

LIMITS: dict[str, tuple[str, Limit]] = {
    "force": ("N/mm", Limit(0.05, relative=True)),
    "loaded included": ("degrees", Limit(0.7)),
    "relaxed included": ("degrees", Limit(0.7)),
    "springback": ("degrees", Limit(0.15)),
    "inside radius": ("mm", Limit(0.15, relative=True)),
    "bend deduction": ("mm", Limit(0.12)),
    "outer strain": ("", Limit(0.03)),
}
"""What a setter would want, by quantity: our own aims, no standard's."""


def stroke_evidence() -> tuple[Evidence, ...]:
    """One evidence a case, with every stroke model that says something of it."""
    return tuple(
        Evidence(
            key=f"stroke_{case.name}",
            title=f"Stroke {case.name}",
            source=case.table.source,
            kind="computed",
            weight=f"{_words(case)}. {WEIGHT}",
            comparisons=tuple(
                one for model in STROKE_MODELS for point in case.points for one in _at(case, point, model)
            ),
            reasons={model.id: model.reason for model in STROKE_MODELS},
            pictures={
                f"angle_{case.name}": f"{case.name}: included angle over depth",
                f"force_{case.name}": f"{case.name}: force over depth",
            },
        )
        for case in bend_cases()
    )


def _words(case: BendCase) -> str:
    """Sheet and tools in one line."""
    return (
        f"{case.material}, t {case.thickness_mm:g} mm, V {case.opening_mm:g} mm between the arc centres, shoulder radius "
        f"{case.shoulder_radius_mm:g} mm, nose {case.nose_radius_mm:g} mm, friction {case.friction:g}, Swift "
        f"{case.k_mpa:g} ({case.eps0:g} + e)^{case.n:g} MPa"
    )


def _at(case: BendCase, point: BendPoint, model: StrokeModel) -> list[Comparison]:
    """Everything both sides know at one depth."""
    state = model.at_depth(case, point.depth_mm)
    if state is None:
        return []
    doubt = case.table.doubt
    pairs: dict[str, tuple[float | None, float | None, float]] = {
        "force": (point.force_n_per_mm, state.force_n_per_mm, doubt.force * point.force_n_per_mm),
        "loaded included": (point.loaded_included_deg, state.loaded_included_deg, doubt.angle_deg),
        "relaxed included": (point.relaxed_included_deg, state.relaxed_included_deg, doubt.angle_deg),
        "springback": (point.springback_deg, state.springback_deg, doubt.springback_deg),
        "inside radius": (point.inside_radius_mm, state.inside_radius_mm, doubt.radius * point.inside_radius_mm),
        "bend deduction": (point.bend_deduction_mm, state.bend_deduction_mm, doubt.deduction_mm),
        "outer strain": (point.outer_strain, state.outer_strain, doubt.strain),
    }
    return [
        Comparison(
            model=model.id,
            case=f"depth {point.depth_mm:g} mm",
            quantity=quantity,
            unit=LIMITS[quantity][0],
            outside=outside,
            doubt=error,
            ours=ours,
            limit=LIMITS[quantity][1],
        )
        for quantity, (outside, ours, error) in pairs.items()
        if outside is not None and ours is not None
    ]
