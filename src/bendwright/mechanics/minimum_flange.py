"""How short may a flange be so that it still reaches over the die shoulder?"""

from __future__ import annotations

from math import radians, sin, tan

from bendwright.mechanics.limits import positive, within
from bendwright.mechanics.ram_depth import contact_arm_mm
from bendwright.mechanics.record import ModelRecord, WorkedExample


def minimum_flange_mm(*, opening_mm: float, included_deg: float) -> float:
    """Shortest outside leg, thin sheet on sharp shoulders: b = V/(2 sin(included/2)); no margin in it.

    Trade charts print exactly these (0.707 V at 90, 1.0 V at 60, 1.93 V at 30). Take the sharpest angle of the stroke,
    the one under load. Example: V 16, 90 degrees -> 11.31.
    """
    positive(opening_mm=opening_mm)
    within(1.0, 180.0, included_deg=included_deg)
    return opening_mm / (2.0 * sin(radians(included_deg) / 2.0))


def minimum_flange_exact_mm(
    *,
    loaded_turned_deg: float,
    half_centre_mm: float,
    inside_radius_mm: float,
    thickness_mm: float,
    shoulder_radius_mm: float,
) -> float:
    """Outside leg from the mould line to the touch on the shoulder: b = (ri + t) tan(turned/2) + s; radii counted.

    Example: V 16 sharp, die 88, t 2, ri 2.6, rd 2, 90 degrees -> 10.51. OutOfRangeError R107 when no leg is left.
    """
    arm = contact_arm_mm(
        loaded_turned_deg=loaded_turned_deg,
        half_centre_mm=half_centre_mm,
        inside_radius_mm=inside_radius_mm,
        thickness_mm=thickness_mm,
        shoulder_radius_mm=shoulder_radius_mm,
    )
    return (inside_radius_mm + thickness_mm) * tan(radians(loaded_turned_deg) / 2.0) + arm


def margin_mm(*, thickness_mm: float) -> float:
    """What a flange should be longer than the minimum: 1 mm or 0.3 t, the larger (common practice, no source)."""
    positive(thickness_mm=thickness_mm)
    return max(1.0, 0.3 * thickness_mm)


RECORDS = (
    ModelRecord(
        id="minimum_flange_thin",
        question="How short may a flange be?",
        answer=minimum_flange_mm,
        source="geometry; trade charts print the same b/V for 30 to 165 degrees",
        provenance="derived",
        symbols={"V": "opening_mm", "alpha": "included_deg"},
        ranges={"included_deg": (30.0, 180.0, "degrees")},
        examples=tuple(
            WorkedExample(
                inputs={"opening_mm": 100.0, "included_deg": included},
                expected=expected,
                tolerance=tolerance,
                origin="printed",
                source="trade chart, b/V",
            )
            for included, expected, tolerance in (
                (30.0, 194.0, 1.0),
                (45.0, 131.0, 0.5),
                (60.0, 100.0, 0.5),
                (90.0, 71.0, 0.5),
                (120.0, 58.0, 0.5),
                (135.0, 55.0, 1.0),
                (165.0, 51.0, 1.0),
            )
        ),
    ),
    ModelRecord(
        id="minimum_flange_exact",
        question="How short may a flange be?",
        answer=minimum_flange_exact_mm,
        source="geometry of straight leg, arc and round shoulder",
        provenance="derived",
        symbols={"beta": "loaded_turned_deg", "Wc": "half_centre_mm", "ri": "inside_radius_mm", "t": "thickness_mm"},
        ranges={"loaded_turned_deg": (0.0, 150.0, "degrees")},
        examples=(
            WorkedExample(
                inputs={
                    "loaded_turned_deg": 90.0,
                    "half_centre_mm": 8.0,
                    "inside_radius_mm": 2.6,
                    "thickness_mm": 2.0,
                    "shoulder_radius_mm": 2.0,
                },
                expected=9.314,
                tolerance=0.001,
                origin="derived",
                source="4.6 + 4.714: (ri+t) tan 45 and s",
            ),
        ),
    ),
)
