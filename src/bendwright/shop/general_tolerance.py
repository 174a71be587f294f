"""General tolerances of ISO 2768-1 for dimensions that carry none of their own."""

from __future__ import annotations

from typing import Literal

from bendwright.findings import OutOfRangeError, found
from bendwright.said import say
from bendwright.shop.packaged_tables import packaged_table

Grade = Literal["f", "m", "c", "v"]


def linear_tolerance_mm(*, length_mm: float, grade: Grade) -> float:
    """Plus and minus [mm] of a length: class f (fine), m (medium), c (coarse), v (very coarse).

    Range 0.5 to 4000 mm (v from over 3, f up to 2000), else OutOfRangeError with finding S142. Source: ISO 2768-1,
    table of lengths, read in a reprint.
    """
    for row in packaged_table("general_tolerances"):
        low, high = float(row["over_mm"]), float(row["to_mm"] or "inf")
        inside = low < length_mm <= high or length_mm == low == 0.5
        if row["kind"] == "length" and row["grade"] == grade and inside:
            return float(row["plus_minus"])
    raise OutOfRangeError(found("S142", grade=grade, size=say("typed.length_of", mm=length_mm)))


def angular_tolerance_deg(*, shorter_leg_mm: float, grade: Grade) -> float:
    """Plus and minus [degrees] of an angle, by the shorter of its two legs [mm].

    Any leg longer than 0, else OutOfRangeError with finding S142. Source: ISO 2768-1, table of
    angles, partly from memory.
    """
    for row in packaged_table("general_tolerances"):
        inside = float(row["over_mm"]) < shorter_leg_mm <= float(row["to_mm"] or "inf")
        if row["kind"] == "angle" and row["grade"] == grade and inside:
            return float(row["plus_minus"]) / 60.0
    raise OutOfRangeError(found("S142", grade=grade, size=say("typed.angle_of_leg", mm=shorter_leg_mm)))
