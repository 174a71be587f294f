"""Price of one piece at several quantities, in exact decimal money.

Rounding rule: nothing is rounded on the way. Minutes and prices each are rounded once at the end, half up, to two
decimals; the total is quantity x the unrounded price, rounded likewise, so it may differ from quantity x price each.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from bendwright.findings import Finding, InputError, found
from bendwright.said import phrase

CENT = Decimal("0.01")


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceBreak:
    """One line of the price table: minutes each, price each and total, rounded to two decimals."""

    quantity: int
    minutes_each: Decimal
    price_each: Decimal
    total: Decimal


def price_breaks(
    *,
    setup_s: float,
    cycle_s: float,
    rate_per_h: Decimal | float,
    quantities: Iterable[int],
    material_each: Decimal | float = Decimal(0),
) -> tuple[PriceBreak, ...]:
    """Price table: time each = set-up/n + cycle, price each = time x rate + material.

    Example: set-up 25 min, cycle 92 s, 62 per hour, n 1, 10, 50, 200 -> 27.42, 4.17, 2.10, 1.71 each.
    InputError T111 for a quantity that is no whole number of 1 or more, T112 for times or money below 0.
    """
    amounts = {"setup_s": setup_s, "cycle_s": cycle_s, "rate_per_h": rate_per_h, "material_each": material_each}
    numbers = {name: Decimal(str(value)) for name, value in amounts.items()}
    wanted = tuple(quantities)
    findings = _wrong(numbers, wanted)
    if findings:
        raise InputError(findings)
    return tuple(_line(numbers, quantity) for quantity in wanted)


def _line(numbers: dict[str, Decimal], quantity: int) -> PriceBreak:
    """One line of the table from exact numbers."""
    all_seconds = numbers["setup_s"] + numbers["cycle_s"] * quantity
    total = all_seconds * numbers["rate_per_h"] / 3600 + numbers["material_each"] * quantity
    return PriceBreak(
        quantity=quantity,
        minutes_each=_cents(all_seconds / quantity / 60),
        price_each=_cents(total / quantity),
        total=_cents(total),
    )


def _cents(value: Decimal) -> Decimal:
    """Two decimals, half up."""
    return value.quantize(CENT, rounding=ROUND_HALF_UP)


def _wrong(numbers: dict[str, Decimal], quantities: tuple[int, ...]) -> list[Finding]:
    """Findings for amounts below 0 or no number, and for impossible quantities."""
    bad = [(name, value) for name, value in numbers.items() if not value.is_finite() or value < 0]
    findings = [found("T112", where=name, name=name, value=value) for name, value in bad]
    wrong = [n for n in quantities if isinstance(n, bool) or not isinstance(n, int) or n < 1]
    return findings + [found("T111", where="quantities", quantity=n) for n in wrong]


def half_setup_quantity(*, setup_s: float, cycle_s: float) -> float:
    """Quantity at which set-up is half of the time each: n* = set-up/cycle. InputError T112 for a cycle of 0."""
    if not cycle_s > 0.0 or not setup_s >= 0.0:
        raise InputError(
            found("T112", where="cycle_s", name=phrase("set-up or cycle time"), value=min(setup_s, cycle_s))
        )
    return setup_s / cycle_s
