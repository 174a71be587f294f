"""The rules for the neutral axis as lines over r/t, as two pages draw them."""

from __future__ import annotations

from bendwright.mechanics.bend_allowance import (
    HANDBOOK_C,
    aircraft_allowance_mm,
    din_6935_k,
    groover_k,
    handbook_allowance_mm,
    hill_k,
    k_of_allowance,
    table_k,
)
from bendwright.sheets.plot import Series

STEPS = 60


def k_rule_lines(low: float, high: float) -> tuple[Series, ...]:
    """K of every rule from one r/t to another, air bending, medium hardness."""
    ratios = tuple(low * (high / low) ** (i / STEPS) for i in range(STEPS + 1))
    sizes = {"thickness_mm": 1.0, "turned_deg": 90.0}

    def handbook(ratio: float) -> float:
        allowance = handbook_allowance_mm(inside_radius_mm=ratio, c=HANDBOOK_C["medium"], **sizes)
        return k_of_allowance(bend_allowance_mm=allowance, inside_radius_mm=ratio, **sizes)

    def aircraft(ratio: float) -> float:
        allowance = aircraft_allowance_mm(inside_radius_mm=ratio, **sizes)
        return k_of_allowance(bend_allowance_mm=allowance, inside_radius_mm=ratio, **sizes)

    rules = {
        "DIN 6935 (k/2)": lambda ratio: din_6935_k(inside_radius_mm=ratio, thickness_mm=1.0) / 2.0,
        "K table, medium": lambda ratio: table_k(process="air", hardness_class="medium", radius_over_thickness=ratio),
        "Groover": lambda ratio: groover_k(radius_over_thickness=ratio),
        "Hill": lambda ratio: hill_k(radius_over_thickness=ratio),
        "handbook, medium": handbook,
        "aircraft": aircraft,
    }
    return tuple(
        Series(name=name, points=tuple((ratio, rule(ratio)) for ratio in ratios)) for name, rule in rules.items()
    )
