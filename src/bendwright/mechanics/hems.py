"""What does a hem take, and how is it made? Legs of hems are measured to the outer tangent."""

from __future__ import annotations

from math import atan, degrees, radians
from typing import Literal

from bendwright.mechanics.bend_allowance import deduction_mm, k_factor_allowance_mm
from bendwright.mechanics.limits import one_of, positive, within
from bendwright.mechanics.record import ModelRecord, WorkedExample
from bendwright.quantities import Band

HemKind = Literal["closed", "open", "teardrop"]

PREBEND_INCLUDED_DEG = 30.0
"""Included angle, under load, to which a hem is bent before it is flattened (trade: 28 to 35)."""

FLATTEN_TIMES = (3.0, 5.0)
"""Flattening load over the air-bend load of the same sheet (common practice, wide)."""


def hem_radius_mm(*, kind: HemKind, gap_mm: float | None = None) -> float:
    """Inside radius of the fold: 0 for a closed hem, half the inside gap for an open hem or teardrop."""
    one_of(("closed", "open", "teardrop"), kind=kind)
    if kind == "closed":
        return 0.0
    gap_mm = float("nan") if gap_mm is None else gap_mm
    positive(gap_mm=gap_mm)
    return gap_mm / 2.0


def teardrop_turned_deg(*, gap_mm: float, leg_mm: float, thickness_mm: float) -> float:
    """Turned angle of a teardrop whose tip touches the sheet: 180 + 2 atan(R/l), R = gap/2, l = leg - R - t.

    From the tip both the sheet and the returning leg are tangents of the loop, hence equally long. ``leg_mm`` reaches
    from the outer tangent of the loop to the tip.
    """
    positive(gap_mm=gap_mm, leg_mm=leg_mm, thickness_mm=thickness_mm)
    straight_mm = leg_mm - gap_mm / 2.0 - thickness_mm
    positive(straight_of_leg_mm=straight_mm)
    return 180.0 + 2.0 * degrees(atan(gap_mm / 2.0 / straight_mm))


def hem_deduction_mm(
    *,
    kind: HemKind,
    thickness_mm: float,
    k_factor: float = 0.5,
    gap_mm: float | None = None,
    leg_mm: float | None = None,
) -> float:
    """What is taken off (outside leg to the fold + hem) to get the flat length: 2 (R + t) - A (R + K t).

    A = pi for closed and open hems, larger for a teardrop (which needs ``leg_mm``). Closed, K 0.5: 0.429 t, the trade's
    "0.43 t". May be below 0 for wide hems: the fold then takes more sheet than it saves.
    """
    positive(thickness_mm=thickness_mm)
    within(0.0, 1.0, k_factor=k_factor)
    radius_mm = hem_radius_mm(kind=kind, gap_mm=gap_mm)
    turned_deg = 180.0
    if kind == "teardrop":
        leg_mm = float("nan") if leg_mm is None else leg_mm
        turned_deg = teardrop_turned_deg(gap_mm=2.0 * radius_mm, leg_mm=leg_mm, thickness_mm=thickness_mm)
    allowance = k_factor_allowance_mm(
        inside_radius_mm=radius_mm, thickness_mm=thickness_mm, turned_deg=turned_deg, k_factor=k_factor
    )
    return deduction_mm(setback_mm=radius_mm + thickness_mm, bend_allowance_mm=allowance)


def minimum_hem_leg_mm(*, thickness_mm: float) -> float:
    """Shortest hem by the trade's rule, 4 t; 10 t is usual. The pre-bend's minimum flange (1.93 V) may ask for more."""
    positive(thickness_mm=thickness_mm)
    return 4.0 * thickness_mm


def flattened_height_mm(*, thickness_mm: float, gap_mm: float = 0.0) -> float:
    """Height at which the ram stops when flattening: 2 t + gap."""
    positive(thickness_mm=thickness_mm)
    return 2.0 * thickness_mm + gap_mm


def hem_flattening_line_load_band(*, air_bend: Band) -> Band:
    """Flattening takes 3 to 5 times the air-bend load (common practice, wide) [same unit as given]."""
    return Band(FLATTEN_TIMES[0] * air_bend.low, FLATTEN_TIMES[1] * air_bend.high, "3 to 5 x air bend (practice)")


RECORDS = (
    ModelRecord(
        id="hem_deduction",
        question="What does a hem take off the outside dimensions?",
        answer=hem_deduction_mm,
        source="geometry: outer-tangent legs, fold of inside radius 0 or half the gap; K 0.5 is common practice",
        provenance="derived",
        symbols={"t": "thickness_mm", "K": "k_factor"},
        examples=(
            WorkedExample(
                inputs={"kind": "closed", "thickness_mm": 1.0, "k_factor": 0.5},
                expected=2.0 - radians(90.0),
                tolerance=1e-12,
                origin="derived",
                source="(2 - pi/2) t",
            ),
            WorkedExample(
                inputs={"kind": "closed", "thickness_mm": 0.7, "k_factor": 0.5},
                expected=0.300,
                tolerance=0.0005,
                origin="derived",
                source="(2 - pi/2) x 0.7",
            ),
        ),
        remarks="Real hems creep out while being flattened; try one strip.",
    ),
)
