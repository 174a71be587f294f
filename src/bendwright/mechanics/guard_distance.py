"""How far from the pinch point must a light curtain stand? For a caution only, never for setting up a guard."""

from __future__ import annotations

from bendwright.mechanics.limits import positive, within
from bendwright.mechanics.record import ModelRecord, WorkedExample

FAST_HAND_MM_PER_S, SLOW_HAND_MM_PER_S = 2000.0, 1600.0
LEAST_MM, SLOW_FROM_MM = 100.0, 500.0
FINEST_CURTAIN_MM = 14.0


def guard_distance_mm(*, stopping_time_s: float, resolution_mm: float) -> float:
    """ISO 13855, curtain at right angles to the approach, resolution d up to 40 mm: S = K T + 8 (d - 14).

    K = 2000 mm/s and S at least 100 mm; where that gives more than 500 mm, K = 1600 mm/s and S at least 500 mm. ``stopping_time_s`` T is of
    guard, control and machine together. The standard as amended, the guard's own manual and licensed practice decide.
    Example: T 0.32, d 14 -> 640, hence 512.
    """
    positive(stopping_time_s=stopping_time_s, resolution_mm=resolution_mm)
    within(0.0, 40.0, resolution_mm=resolution_mm)
    reach = max(0.0, 8.0 * (resolution_mm - FINEST_CURTAIN_MM))
    near = FAST_HAND_MM_PER_S * stopping_time_s + reach
    if near <= SLOW_FROM_MM:
        return max(near, LEAST_MM)
    return max(SLOW_HAND_MM_PER_S * stopping_time_s + reach, SLOW_FROM_MM)


RECORDS = (
    ModelRecord(
        id="guard_distance_iso_13855",
        question="How far must a light curtain stand from the pinch point?",
        answer=guard_distance_mm,
        source="ISO 13855, light curtain at right angles, as worked in the manual of a light curtain",
        provenance="sourced",
        symbols={"T": "stopping_time_s", "d": "resolution_mm"},
        ranges={"resolution_mm": (14.0, 40.0, "mm")},
        examples=(
            WorkedExample(
                inputs={"stopping_time_s": 0.32, "resolution_mm": 14.0},
                expected=512.0,
                tolerance=0.5,
                origin="printed",
                source="manual of a light curtain: 640, more than 500, hence 1600 x 0.32",
            ),
        ),
        remarks=(
            "A number to talk about, no approval: set up a guard by the standard in force, the manuals of guard and machine "
            "and a licensed person only."
        ),
    ),
)
