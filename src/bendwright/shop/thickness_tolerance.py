"""How far a sheet may be from its nominal thickness and still be to its norm."""

from __future__ import annotations

from dataclasses import dataclass

from bendwright.findings import OutOfRangeError, found
from bendwright.said import figure, say
from bendwright.shop.packaged_tables import packaged_table


@dataclass(frozen=True, slots=True, kw_only=True)
class ThicknessTolerance:
    """Plus and minus [mm], the norm it stands in and where that was read."""

    plus_minus_mm: float
    norm: str
    provenance: str


def tabled_norms() -> tuple[str, ...]:
    """The norms with thickness tolerances in the package."""
    return tuple(dict.fromkeys(row["norm"] for row in packaged_table("thickness_tolerances")))


def thickness_tolerance(
    *, norm: str, thickness_mm: float, width_mm: float, special: bool = False
) -> ThicknessTolerance:
    """The tolerance of a sheet of that thickness and width; ``special`` = the restricted class where the norm has one.

    Range: as far as the norm's table was read; outside it OutOfRangeError with finding S141.
    """
    column = "special_mm" if special else "normal_mm"
    for row in packaged_table("thickness_tolerances"):
        if row["norm"] == norm and row[column] and _fits(row, thickness_mm, width_mm):
            return ThicknessTolerance(plus_minus_mm=float(row[column]), norm=norm, provenance=row["provenance"])
    named = say("typed.special", norm=norm) if special else norm
    sizes = {"thickness": figure(f"{thickness_mm:g}"), "width": figure(f"{width_mm:g}")}
    raise OutOfRangeError(found("S141", **sizes, norm=named, known="; ".join(tabled_norms())))


def _fits(row: dict[str, str], thickness_mm: float, width_mm: float) -> bool:
    """True when the row is for that thickness and width."""
    low, high = float(row["thickness_from_mm"]), float(row["thickness_to_mm"])
    inside = low <= thickness_mm < high if row["limit_counted"] == "lower" else low < thickness_mm <= high
    return inside and float(row["width_over_mm"]) < width_mm <= float(row["width_to_mm"] or "inf")
