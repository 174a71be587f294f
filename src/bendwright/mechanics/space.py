"""Is there room in the channel, in the box, under the ram? Sharp corners: a first answer in closed form."""

from __future__ import annotations

from math import sqrt

from bendwright.mechanics.limits import not_negative, positive
from bendwright.mechanics.record import ModelRecord, WorkedExample


def u_channel_clearance_mm(*, inside_base_mm: float, inside_leg_mm: float, body_half_width_mm: float) -> float:
    """Room between the edge of the standing leg and the punch body at 90 degrees: (b - h)/sqrt2 - s.

    ``body_half_width_mm`` below 0 is a gooseneck's retreat behind the centre line. Negative = overlap. It counts at the
    height ``u_channel_height_mm``; each degree of over-bend takes about height x pi/360 mm more.
    """
    positive(inside_base_mm=inside_base_mm, inside_leg_mm=inside_leg_mm)
    return (inside_base_mm - inside_leg_mm) / sqrt(2.0) - body_half_width_mm


def u_channel_height_mm(*, inside_base_mm: float, inside_leg_mm: float) -> float:
    """Height above the punch tip at which the edge of the standing leg passes the body at 90 degrees: (b + h)/sqrt2."""
    positive(inside_base_mm=inside_base_mm, inside_leg_mm=inside_leg_mm)
    return (inside_base_mm + inside_leg_mm) / sqrt(2.0)


def box_punch_height_mm(*, inside_depth_mm: float, half_width_mm: float) -> float:
    """Punch height needed for a box: sqrt2 h + w, w the half depth of ram and clamp. Example: 53.5, 30 -> 105.7."""
    positive(inside_depth_mm=inside_depth_mm)
    not_negative(half_width_mm=half_width_mm)
    return sqrt(2.0) * inside_depth_mm + half_width_mm


def daylight_mm(
    *, open_height_mm: float, punch_height_mm: float, die_height_mm: float, holders_height_mm: float
) -> float:
    """Room left between punch tip and die top with the ram up; negative = the tools do not fit."""
    positive(open_height_mm=open_height_mm)
    not_negative(punch_height_mm=punch_height_mm, die_height_mm=die_height_mm, holders_height_mm=holders_height_mm)
    return open_height_mm - punch_height_mm - die_height_mm - holders_height_mm


RECORDS = (
    ModelRecord(
        id="u_channel_clearance",
        question="Does the standing leg of a channel pass the punch body?",
        answer=u_channel_clearance_mm,
        source="geometry of a sharp-cornered channel at 90 degrees",
        provenance="derived",
        symbols={"b": "inside_base_mm", "h": "inside_leg_mm", "s": "body_half_width_mm"},
        examples=(
            WorkedExample(
                inputs={"inside_base_mm": 57.0, "inside_leg_mm": 48.5, "body_half_width_mm": 7.0},
                expected=-0.99,
                tolerance=0.005,
                origin="derived",
                source="(57 - 48.5)/sqrt2 - 7",
            ),
        ),
    ),
    ModelRecord(
        id="box_punch_height",
        question="How tall must the punch be for a box?",
        answer=box_punch_height_mm,
        source="geometry of a sharp-cornered box at 90 degrees",
        provenance="derived",
        symbols={"h": "inside_depth_mm", "w": "half_width_mm"},
        examples=(
            WorkedExample(
                inputs={"inside_depth_mm": 53.5, "half_width_mm": 30.0},
                expected=105.7,
                tolerance=0.05,
                origin="derived",
                source="sqrt2 x 53.5 + 30",
            ),
        ),
    ),
)
