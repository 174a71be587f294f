"""Readers of the fields only shop files have: forces, strengths, bare numbers, ranges, tables, dates."""

from __future__ import annotations

from datetime import date
from typing import TypeVar

from bendwright.quantities import parse_force_kn, parse_line_load_kn_per_m, parse_number, parse_pressure_mpa
from bendwright.said import figure, phrase, say
from bendwright.typed.readers import a_list, a_text, each, word_of
from bendwright.typed.record import Reader, Value
from bendwright.typed.tree import Keys, Word

T = TypeVar("T")


def a_date(value: Value) -> str:
    """A date as year-month-day."""
    text = a_text(value)
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError:
        raise value.error("S112", text=text) from None


def a_force(value: Value) -> float:
    """A force more than 0 [kN]."""
    return parse_force_kn(word_of(value, "One force"), where=value.where)


def a_line_load(value: Value) -> float:
    """A line load more than 0 [kN/m]."""
    return parse_line_load_kn_per_m(word_of(value, "One line load"), where=value.where)


def a_strength(value: Value) -> float:
    """A strength or modulus more than 0 [MPa]."""
    return parse_pressure_mpa(word_of(value, "One strength"), where=value.where)


def a_number(value: Value) -> float:
    """A plain number more than 0."""
    return parse_number(word_of(value, "One number"), where=value.where)


def a_number_or_zero(value: Value) -> float:
    """A plain number, 0 allowed."""
    return parse_number(word_of(value, "One number"), where=value.where, allow_zero=True)


def a_whole_number(value: Value) -> int:
    """A whole number of at least 1."""
    number = a_number(value)
    if number != int(number):
        raise value.error("S130", came=value.shown, low="1", high=phrase("any whole number"))
    return int(number)


def within(read: Reader[float], low: float, high: float) -> Reader[float]:
    """``read``, refused outside ``low`` to ``high`` (both allowed)."""

    def read_within(value: Value) -> float:
        number = read(value)
        if not low <= number <= high:
            raise value.error("S130", came=value.shown, low=figure(f"{low:g}"), high=figure(f"{high:g}"))
        return number

    return read_within


def a_pair(read: Reader[float]) -> Reader[tuple[float, float]]:
    """A reader of two numbers in a list."""

    def read_pair(value: Value) -> tuple[float, float]:
        numbers = a_list(read)(value)
        if len(numbers) != 2:
            raise value.error("S108", wanted=phrase("A list of two"), came=say("typed.list_of", count=len(numbers)))
        return numbers[0], numbers[1]

    return read_pair


def a_range(read: Reader[float]) -> Reader[tuple[float, float]]:
    """A reader of ``[from, to]`` with from < to."""

    def read_range(value: Value) -> tuple[float, float]:
        low, high = a_pair(read)(value)
        if low >= high:
            raise value.error("S121", low=figure(f"{low:g}"), high=figure(f"{high:g}"))
        return low, high

    return read_range


def a_table(read: Reader[T]) -> Reader[dict[str, T]]:
    """A reader of a group whose keys are free (family or material names), each value by ``read``; blanks left out."""

    def read_table(value: Value) -> dict[str, T]:
        if not isinstance(value.node, Keys):
            raise value.refusal("no group", wanted=phrase("A group of fields"))
        filled = {
            key: Value(node, value.page)
            for key, node in value.node.items.items()
            if not (isinstance(node, Word) and node.blank)
        }
        return dict(zip(filled, each(read, filled.values(), value.page.dialect), strict=True))

    return read_table
