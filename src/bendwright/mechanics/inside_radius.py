"""Which inside radius does an air bend get? The die decides, hardly the punch and never the drawing."""

from __future__ import annotations

from bendwright.mechanics.limits import not_negative, one_of, positive
from bendwright.mechanics.record import ModelRecord, WorkedExample
from bendwright.said import phrase, say

RADIUS_OVER_OPENING: dict[str, float] = {
    "steel": 0.16,
    "galvanized": 0.16,
    "stainless": 0.21,
    "aluminium": 0.14,
    "copper": 0.15,
    "brass": 0.15,
}
"""Inside radius over die opening by family (common practice; printed trade charts give 0.156-0.16 for mild steel)."""


def air_bend_radius_mm(
    *, family: str, opening_mm: float, punch_radius_mm: float, ratio: float | None = None
) -> tuple[float, str]:
    """Inside radius of an air bend near 90 degrees and a sentence saying why: ratio x V, never below the punch nose.

    ``ratio`` is the shop's own radius over opening; None takes the trade's value for the family.
    """
    positive(opening_mm=opening_mm)
    not_negative(punch_radius_mm=punch_radius_mm)
    if ratio is None:
        one_of(RADIUS_OVER_OPENING, family=family)
        ratio, origin = RADIUS_OVER_OPENING[family], say("source.common_for", family=family)
    else:
        positive(ratio=ratio)
        origin = "the shop's own value"
    natural_mm = ratio * opening_mm
    if punch_radius_mm > natural_mm:
        return punch_radius_mm, say(
            "source.punch_nose", punch_radius_mm=punch_radius_mm, ratio=ratio, opening_mm=opening_mm
        )
    return natural_mm, say("source.share_of_v", ratio=ratio, opening_mm=opening_mm, origin=phrase(origin))


def radius_over_opening(*, family: str, opening_mm: float, punch_radius_mm: float) -> float:
    """Inside radius over die opening that ``air_bend_radius_mm`` arrives at."""
    radius_mm, _ = air_bend_radius_mm(family=family, opening_mm=opening_mm, punch_radius_mm=punch_radius_mm)
    return radius_mm / opening_mm


RECORDS = (
    ModelRecord(
        id="air_bend_radius_practice",
        question="Which inside radius does an air bend get?",
        answer=lambda **inputs: air_bend_radius_mm(**inputs)[0],
        source="trade charts for mild steel (0.16 V; 5 V/32), common practice for the other families",
        provenance="practice",
        symbols={"V": "opening_mm", "rp": "punch_radius_mm"},
        ranges={"punch_radius_mm/opening_mm": (0.0, 0.25, "of V")},
        examples=(
            WorkedExample(
                inputs={"family": "steel", "opening_mm": 16.0, "punch_radius_mm": 1.0},
                expected=2.56,
                tolerance=1e-9,
                origin="practice",
                source="0.16 V",
            ),
        ),
        remarks=(
            "Finite-element bends with nose 0.8-1 mm and V between arc centres give 0.115-0.131 V (mild) and 0.18 V "
            "(304-like) near 90 degrees: measure a bend and put your own ratio into the shop's practice. Above "
            "punch radius 0.25 V the sheet leaves the punch and small-radius formulas fail. Under about 0.63 t mild "
            "steel creases instead of forming a radius (trade press)."
        ),
    ),
)
