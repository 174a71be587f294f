"""Geometry against finite-element bends: depth, millimetres per degree, inside radius, deduction.

Most models are given the inside radius that is really there, so that what is judged is the model and not its input.
"""

from __future__ import annotations

from collections.abc import Callable

from bendwright.mechanics.bend_allowance import (
    HANDBOOK_C,
    aircraft_allowance_mm,
    deduction_mm,
    din_6935_k,
    groover_k,
    handbook_allowance_mm,
    hill_k,
    k_factor_allowance_mm,
    k_of_allowance,
    setback_mm,
    table_k,
)
from bendwright.mechanics.inside_radius import air_bend_radius_mm
from bendwright.mechanics.ram_depth import (
    arc_keeping_radius_change_mm_per_deg,
    mm_per_degree,
    ram_depth_mm,
    sharp_depth_mm,
    sharp_mm_per_degree,
)
from bendwright.validation.bend_points import BendCase, BendPoint, bend_cases
from bendwright.validation.comparison import Evidence, Limit
from bendwright.validation.computed import Answer, Place, Rival, bend_under_load, computed_evidence, places

NEAR_90_DEG = 2.0
WIDEST_STEP_DEG = 20.0


def depth_evidence() -> Evidence:
    """Depth at the angle under load."""
    return computed_evidence(
        key="fe_depth",
        title="Depth at an angle under load",
        quantity="depth",
        unit="mm",
        limit=Limit(0.05),
        rows=[((c, p), p.depth_mm, c.table.doubt.depth_mm) for c, p in places()],
        rivals=(
            Rival(
                model="depth_with_radii (radius there)",
                answer=lambda case, point: ram_depth_mm(**bend_under_load(case, point)),
                reason=(
                    "Legs are curved under load: those of 700 MPa sheet by 0.05 to 0.24 mm. Where a nose is larger than the "
                    "free radius the sheet folds between two touches beside its tip, and no arc lies under the punch."
                ),
            ),
            Rival(
                model="depth_with_radii (radius from V)",
                answer=lambda case, point: ram_depth_mm(
                    **{**bend_under_load(case, point), "inside_radius_mm": practice_radius_mm(case)}
                ),
                reason=(
                    "0.14, 0.16 or 0.21 V is not the radius of these bends: theirs is far larger early in the stroke and "
                    "mostly smaller near 90 degrees. This is all a plan knows before the first piece, which is what "
                    "the first-piece correction is for."
                ),
            ),
            Rival(
                model="depth_sharp (from first touch)",
                answer=lambda case, point: (
                    sharp_depth_mm(
                        included_deg=point.loaded_included_deg,
                        opening_mm=case.opening_mm,
                        thickness_mm=case.thickness_mm,
                    )
                    + case.thickness_mm
                ),
                reason="Ignores every radius; meant for signs and sizes only.",
                warning=True,
            ),
        ),
        pictures={"depth_differences": "Depth, ours minus computed, over the angle under load"},
    )


def practice_radius_mm(case: BendCase) -> float:
    """Inside radius by the trade's rule."""
    radius, _ = air_bend_radius_mm(family=case.family, opening_mm=case.opening_mm, punch_radius_mm=case.nose_radius_mm)
    return radius


def slope_evidence() -> Evidence:
    """Millimetres per degree: the step between two neighbouring points, the one whose middle is nearest to 90."""
    rows = [row for case in bend_cases() if (row := _step_near_90(case))]
    return computed_evidence(
        key="fe_slope",
        title="Millimetres of depth for one degree, near 90",
        quantity="mm per degree",
        unit="mm",
        limit=Limit(0.10, relative=True),
        rows=rows,
        rivals=(
            Rival(
                model="depth_with_radii (slope, arc keeps its length)",
                answer=_slope_of_a_free_bend,
                reason=(
                    "The inside arc does not quite keep its length, and where the sheet lies on a large nose its radius "
                    "no longer shrinks."
                ),
            ),
            Rival(
                model="depth_with_radii (slope, radius held)",
                answer=lambda case, point: mm_per_degree(**bend_under_load(case, point)),
                reason="The radius of a free bend shrinks as it closes, which costs depth.",
                warning=True,
            ),
            Rival(
                model="depth_sharp",
                answer=lambda case, point: sharp_mm_per_degree(
                    included_deg=point.loaded_included_deg, opening_mm=case.opening_mm, thickness_mm=case.thickness_mm
                ),
                reason="Ignores every radius; meant for signs and sizes only.",
                warning=True,
            ),
        ),
    )


def _step_near_90(case: BendCase) -> tuple[Place, float, float] | None:
    """The middle of the step, its slope [mm per degree] and 2 % of it; None when the step is too wide for a slope."""
    pairs = zip(case.points, case.points[1:], strict=False)
    one, two = min(pairs, key=lambda pair: abs(pair[0].loaded_included_deg + pair[1].loaded_included_deg - 180.0))
    wide = one.loaded_included_deg - two.loaded_included_deg
    if wide > WIDEST_STEP_DEG:
        return None
    slope = (two.depth_mm - one.depth_mm) / wide
    middle = BendPoint(
        depth_mm=round(0.5 * (one.depth_mm + two.depth_mm), 3),
        force_n_per_mm=0.5 * (one.force_n_per_mm + two.force_n_per_mm),
        loaded_included_deg=0.5 * (one.loaded_included_deg + two.loaded_included_deg),
        relaxed_included_deg=0.5 * (one.relaxed_included_deg + two.relaxed_included_deg),
        springback_deg=0.5 * (one.springback_deg + two.springback_deg),
        inside_radius_mm=0.5 * (one.inside_radius_mm + two.inside_radius_mm),
        bend_deduction_mm=0.5 * (one.bend_deduction_mm + two.bend_deduction_mm),
    )
    return (case, middle), slope, 0.02 * slope


def _slope_of_a_free_bend(case: BendCase, point: BendPoint) -> float:
    """The radius shrinks as the bend closes, its arc keeping its length."""
    change = arc_keeping_radius_change_mm_per_deg(
        inside_radius_mm=point.inside_radius_mm, loaded_turned_deg=point.loaded_turned_deg
    )
    return mm_per_degree(**bend_under_load(case, point), radius_change_mm_per_deg=change)


def radius_evidence() -> Evidence:
    """Inside radius near 90 degrees."""
    near = [(c, p) for c, p in places() if abs(p.relaxed_included_deg - 90.0) <= NEAR_90_DEG]
    return computed_evidence(
        key="fe_radius",
        title="Inside radius near 90 degrees",
        quantity="inside radius",
        unit="mm",
        limit=Limit(0.10, relative=True),
        rows=[((c, p), p.inside_radius_mm, c.table.doubt.radius * p.inside_radius_mm) for c, p in near],
        rivals=(
            Rival(
                model="air_bend_radius_practice",
                answer=lambda case, point: practice_radius_mm(case),
                reason=(
                    "The trade's 0.16 V (0.21 stainless, 0.14 aluminium) forgets flow curve, thickness and nose. Measure "
                    "a bend and put your own ratio into the practice."
                ),
            ),
        ),
    )


def deduction_evidence() -> Evidence:
    """Bend deduction of the relaxed bend, with its own radius and angle, by every rule for the neutral axis."""
    return computed_evidence(
        key="fe_deduction",
        title="Bend deduction",
        quantity="bend deduction",
        unit="mm",
        limit=Limit(0.10),
        rows=[((c, p), p.bend_deduction_mm, c.table.doubt.deduction_mm) for c, p in places()],
        rivals=_deduction_rivals(),
        pictures={"k_factors": "K of the computed bends and of the rules, over inside radius"},
    )


def _deduction_rivals() -> tuple[Rival, ...]:
    """Every rule for the neutral axis, and every formula for the allowance."""
    return (
        Rival(
            model="allowance_din_6935",
            answer=_by_k(
                lambda case, ratio: din_6935_k(inside_radius_mm=ratio, thickness_mm=1.0) / 2.0,
            ),
            reason=(
                "Its K lies below that of these bends from r = 2 t down and falls steeply below r = t, so it takes off too "
                "much where the radius is small."
            ),
        ),
        Rival(
            model="k_table",
            answer=_by_k(
                lambda case, ratio: table_k(process="air", hardness_class=case.hardness, radius_over_thickness=ratio)
            ),
            reason=(
                "Its steps at r = t and 3 t are not in the sheet, and its K for hard sheet is too large where the radius is "
                "small."
            ),
        ),
        Rival(
            model="k_groover",
            answer=_by_k(lambda case, ratio: groover_k(radius_over_thickness=ratio)),
            reason="0.33 below r = 2 t is far under the K of these bends, 0.5 above it is over.",
        ),
        Rival(
            model="k_hill",
            answer=_by_k(lambda case, ratio: hill_k(radius_over_thickness=ratio)),
            reason=(
                "Pure bending keeps the thickness; the middle of an air bend is thinned (by 3 to 8 % here), which is likely why: most "
                "where it hardens strongly or bends far past 90 degrees. Nearest of the rules."
            ),
        ),
        Rival(
            model="allowance_handbook",
            answer=_by_allowance(lambda case, sizes: handbook_allowance_mm(**sizes, c=HANDBOOK_C[case.hardness])),
            reason=(
                "One K (0.35, 0.41 or 0.45) a hardness for all radii: 0.35 is too small for soft sheet, 0.45 too large where "
                "hard sheet has a small radius."
            ),
        ),
        Rival(
            model="allowance_aircraft",
            answer=_by_allowance(lambda case, sizes: aircraft_allowance_mm(**sizes)),
            reason="One K, 0.447, for all radii: too large where the radius is small.",
        ),
    )


def _by_k(rule: Callable[[BendCase, float], float]) -> Answer:
    """Deduction to the mould line by a rule that gives K for a case and its r/t."""

    def answer(case: BendCase, point: BendPoint) -> float:
        k_factor = rule(case, point.inside_radius_mm / case.thickness_mm)
        return _by_allowance(
            lambda _, sizes: k_factor_allowance_mm(**sizes, k_factor=k_factor),
        )(case, point)

    return answer


def _by_allowance(rule: Callable[[BendCase, dict[str, float]], float]) -> Answer:
    """Deduction to the mould line by a rule that gives the allowance."""

    def answer(case: BendCase, point: BendPoint) -> float:
        sizes = _sizes(case, point)
        setback = setback_mm(**sizes, measured_to="mould_line")
        return deduction_mm(setback_mm=setback, bend_allowance_mm=rule(case, sizes))

    return answer


def _sizes(case: BendCase, point: BendPoint) -> dict[str, float]:
    """Radius, thickness and angle of the relaxed bend by their parameter names."""
    return {
        "inside_radius_mm": point.inside_radius_mm,
        "thickness_mm": case.thickness_mm,
        "turned_deg": point.relaxed_turned_deg,
    }


def k_there(case: BendCase, point: BendPoint) -> float:
    """K of the computed bend, from its deduction, radius and angle after the punch has left."""
    sizes = _sizes(case, point)
    setback = setback_mm(**sizes, measured_to="mould_line")
    return k_of_allowance(bend_allowance_mm=2.0 * setback - point.bend_deduction_mm, **sizes)
