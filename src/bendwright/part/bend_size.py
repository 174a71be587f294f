"""How big each bend really gets once die, sheet and method are known."""

from __future__ import annotations

from dataclasses import dataclass

from bendwright.mechanics.bend_allowance import deduction_mm, k_factor_allowance_mm, k_of_allowance, setback_mm
from bendwright.part.model import Bend
from bendwright.said import say


@dataclass(frozen=True, slots=True, kw_only=True)
class BendSize:
    """Inside radius, allowance, set-back of one side, deduction [mm] of one bend, with the method that said so.

    ``setback_mm`` is from the end of the dimension to the bend tangent line; ``bend_deduction_mm`` =
    2 x set-back - allowance, in the convention of the bend's ``measured_to``.
    """

    bend_id: str
    inside_radius_mm: float
    bend_allowance_mm: float
    setback_mm: float
    bend_deduction_mm: float
    k_factor: float
    radius_source: str
    allowance_source: str


def fixed_size(bend: Bend, *, inside_radius_mm: float, k_factor: float, thickness_mm: float) -> BendSize:
    """The size of a bend whose inside radius [mm] and K-factor are simply given."""
    allowance = k_factor_allowance_mm(
        inside_radius_mm=inside_radius_mm, thickness_mm=thickness_mm, turned_deg=bend.turned_deg, k_factor=k_factor
    )
    return sized(
        bend,
        inside_radius_mm=inside_radius_mm,
        bend_allowance_mm=allowance,
        thickness_mm=thickness_mm,
        radius_source="given",
        allowance_source=say("source.k_given", k_factor=k_factor),
    )


def sized(
    bend: Bend,
    *,
    inside_radius_mm: float,
    bend_allowance_mm: float,
    thickness_mm: float,
    radius_source: str,
    allowance_source: str,
) -> BendSize:
    """The size of a bend whose inside radius and allowance [mm] are known: set-back, deduction and the K they mean follow."""
    setback = setback_mm(
        inside_radius_mm=inside_radius_mm,
        thickness_mm=thickness_mm,
        turned_deg=bend.turned_deg,
        measured_to=bend.measured_to,
    )
    return BendSize(
        bend_id=bend.id,
        inside_radius_mm=inside_radius_mm,
        bend_allowance_mm=bend_allowance_mm,
        setback_mm=setback,
        bend_deduction_mm=deduction_mm(setback_mm=setback, bend_allowance_mm=bend_allowance_mm),
        k_factor=k_of_allowance(
            bend_allowance_mm=bend_allowance_mm,
            inside_radius_mm=inside_radius_mm,
            thickness_mm=thickness_mm,
            turned_deg=bend.turned_deg,
        ),
        radius_source=radius_source,
        allowance_source=allowance_source,
    )
