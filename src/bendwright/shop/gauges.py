"""What a gauge number means in mm: it depends on the material's family."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from bendwright.findings import InputError, found
from bendwright.shop.material import Family
from bendwright.shop.packaged_tables import packaged_table

_TABLED: tuple[Family, ...] = ("steel", "galvanized", "stainless", "aluminium")


def gauge_thickness_mm(gauge: int | str, family: Family) -> float:
    """Thickness [mm] of a gauge number in the table of that family, to 0.001 mm as tabled.

    Source: Manufacturers' Standard Gauge (steel, and galvanized with its coating), the stainless table, Brown & Sharpe
    (aluminium); from memory with spot checks. Copper and brass have no common table and are refused, as are numbers
    outside it: InputError.

    >>> gauge_thickness_mm(14, "steel"), gauge_thickness_mm(14, "aluminium")
    (1.897, 1.628)
    """
    table = _thicknesses(family)
    number = str(gauge).strip().lower().removesuffix("gauge").removesuffix("ga").strip()
    if number not in table:
        numbers = list(table)
        raise InputError(found("S137", gauge=number[:20], family=family, first=numbers[0], last=numbers[-1]))
    return table[number]


def gauge_reader(family: Family) -> Callable[[int], float]:
    """What ``parse_length`` takes as ``gauge`` for a material of that family."""
    return lambda gauge: gauge_thickness_mm(gauge, family)


@cache
def _thicknesses(family: Family) -> dict[str, float]:
    """Thickness [mm] by gauge number."""
    if family not in _TABLED:
        raise InputError(found("S138", family=family))
    column = f"{family}_mm"
    return {row["gauge"]: float(row[column]) for row in packaged_table("gauges") if row[column]}
