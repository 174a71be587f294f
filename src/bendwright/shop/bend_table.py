"""The shop's own bend table: measured bend deductions. It beats every formula."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bendwright.shop.passport import Passport

LegMeasure = Literal["mould_line", "outer_tangent"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BendTableRow:
    """One measured deduction; ``measured_to`` says to where the legs were taken. Blank punch radius = any."""

    material: str
    thickness_mm: float
    die_opening_mm: float
    punch_radius_mm: float | None
    turned_deg: float
    bend_deduction_mm: float
    measured_to: LegMeasure
    inside_radius_mm: float | None = None
    count: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BendTable:
    """All rows of the table with their passport."""

    rows: tuple[BendTableRow, ...]
    passport: Passport
