"""Tables in which every number stands beside what says so, and checks beside their limits."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import is_dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from bendwright.quantities import Band
    from bendwright.stroke.result import Check

Row = tuple[str, str, str, str]


def number_table(rows: Iterable[Row]) -> str:
    """What, value, unit, and where it comes from."""
    from bendwright.cli.show import table

    return table(("what", "value", "unit", "from"), rows)


def check_table(checks: Iterable[Check]) -> str:
    """Every limit held against its number, with the rule."""
    from bendwright.cli.show import table

    rows = [
        (
            check.name,
            f"{check.value:.4g}",
            "?" if check.limit is None else f"{check.limit:.4g}",
            check.unit,
            check.verdict,
            check.rule,
        )
        for check in checks
    ]
    return table(("check", "value", "limit", "unit", "verdict", "rule"), rows)


def check_data(check: Check) -> dict[str, Any]:
    """A check as JSON; a value nobody knows is null."""
    return {**plain(check), "value": None if check.value != check.value else check.value}


def from_to(what: str, band: Band, unit: str, decimals: int = 0) -> Row:
    """A band as one row: ``low-high``, and its source."""
    return (what, span(band, decimals), unit, band.source)


def span(band: Band, decimals: int = 0) -> str:
    """``low-high``; one number where both ends are the same on paper."""
    low, high = f"{band.low:.{decimals}f}", f"{band.high:.{decimals}f}"
    return low if low == high else f"{low}-{high}"


def plain(value: Any) -> Any:
    """A result as JSON: records as objects, bands with low, high and source, tools by their id, tuples as lists."""
    if is_dataclass(value) and not isinstance(value, type):
        tool_id = getattr(value, "id", None)
        if tool_id is not None and hasattr(value, "passport"):
            return tool_id
        return {name: plain(getattr(value, name)) for name in value.__dataclass_fields__}
    if isinstance(value, str) or not isinstance(value, Sequence):
        return value
    return [plain(item) for item in value]
