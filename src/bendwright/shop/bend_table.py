"""The shop's own bend table: measured bend deductions. It beats every formula."""

from __future__ import annotations

from dataclasses import dataclass
from math import radians, tan
from typing import Literal, NamedTuple

from bendwright.said import phrase, say
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


class Tabled(NamedTuple):
    """What the table says of a bend: deduction [mm], the row it comes from, and the inside radius [mm] measured with it
    (None where none was written down, and between two tabled angles).
    """

    bend_deduction_mm: float
    source: str
    inside_radius_mm: float | None


def look_up(
    table: BendTable,
    *,
    material: str,
    thickness_mm: float,
    opening_mm: float,
    punch_radius_mm: float,
    turned_deg: float,
    measured_to: LegMeasure,
) -> Tabled | None:
    """The table's bend deduction [mm], what it was read from and the radius measured with it; None for a bend not covered.

    Covered: rows of this material and opening (to 0.01 mm) whose thickness is within 3 % (the nearest counts), with
    this punch radius (to 0.01 mm) or, failing that, with none stated. A tabled angle gives its cell exactly; between
    two tabled angles see ``_between``; there is no extrapolation. Up to 90 degrees turned both ways of measuring legs
    are the same.
    """
    rows = [
        row
        for row in table.rows
        if row.material == material
        and abs(row.die_opening_mm - opening_mm) <= 0.01
        and abs(row.thickness_mm - thickness_mm) <= 0.03 * thickness_mm
        and (row.punch_radius_mm is None or abs(row.punch_radius_mm - punch_radius_mm) <= 0.01)
        and (row.measured_to == measured_to or row.turned_deg <= 90.0)
    ]
    rows = [row for row in rows if row.punch_radius_mm is not None] or rows
    nearest = min((abs(row.thickness_mm - thickness_mm) for row in rows), default=0.0)
    by_angle = {row.turned_deg: row for row in rows if abs(row.thickness_mm - thickness_mm) <= nearest + 1e-9}
    row = by_angle.get(turned_deg)
    if row is not None:
        return Tabled(row.bend_deduction_mm, say("source.shop_table", cell=_cell(row)), row.inside_radius_mm)
    below = max((angle for angle in by_angle if angle < turned_deg), default=None)
    above = min((angle for angle in by_angle if angle > turned_deg), default=None)
    if below is None or above is None:
        return None
    low, high = by_angle[below], by_angle[above]
    source = say("source.shop_table_between", below=below, above=above, cell=_cell(low))
    return Tabled(_between(low, high, turned_deg=turned_deg, measured_to=measured_to), source, None)


def _between(low: BendTableRow, high: BendTableRow, *, turned_deg: float, measured_to: LegMeasure) -> float:
    """The deduction between two tabled angles: along its own formula where that is monotone, else straight.

    A deduction is p s(A) - q A, where s(A) = 2 tan(A/2) to the mould line and 2 to the outer tangent of bends over 90,
    p = R + t and q = R + K t. Two rows fix p and q, and the curve goes through both. (A straight line between 45 and
    90 degrees would be 0.3 mm too much at 60 for t 2, R 2.56.)
    """
    first, last = low.bend_deduction_mm, high.bend_deduction_mm
    share = (turned_deg - low.turned_deg) / (high.turned_deg - low.turned_deg)
    straight = first + share * (last - first)
    if high.turned_deg >= 180.0 and measured_to == "mould_line":
        return straight
    angles = [radians(angle) for angle in (low.turned_deg, turned_deg, high.turned_deg)]
    reaches = [_reach(degrees, measured_to) for degrees in (low.turned_deg, turned_deg, high.turned_deg)]
    base = reaches[2] * angles[0] - reaches[0] * angles[2]
    if abs(base) < 1e-9:
        return straight
    p = (last * angles[0] - first * angles[2]) / base
    q = (last * reaches[0] - first * reaches[2]) / base
    slopes = [p * _reach_slope(row.turned_deg, measured_to) - q for row in (low, high)]
    monotone = p > 0.0 and q > 0.0 and slopes[0] * slopes[1] >= 0.0
    return p * reaches[1] - q * angles[1] if monotone else straight


def _reach(turned_deg: float, measured_to: LegMeasure) -> float:
    """Both set-backs together per mm of R + t."""
    if measured_to == "outer_tangent" and turned_deg > 90.0:
        return 2.0
    return 2.0 * tan(radians(turned_deg) / 2.0)


def _reach_slope(turned_deg: float, measured_to: LegMeasure) -> float:
    """How fast ``_reach`` grows with the angle in radians."""
    if measured_to == "outer_tangent" and turned_deg > 90.0:
        return 0.0
    return 1.0 + tan(radians(turned_deg) / 2.0) ** 2


def _cell(row: BendTableRow) -> str:
    """A row in words."""
    radius = (
        "any punch" if row.punch_radius_mm is None else say("source.punch_radius", punch_radius_mm=row.punch_radius_mm)
    )
    return say(
        "source.table_cell",
        material=row.material,
        thickness_mm=row.thickness_mm,
        die_opening_mm=row.die_opening_mm,
        radius=phrase(radius),
        turned_deg=row.turned_deg,
    )
