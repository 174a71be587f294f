"""Readers of the fields only part files have, and the choice between fields that exclude each other."""

from __future__ import annotations

from collections.abc import Sequence

from bendwright.part.model import Point, Tolerance
from bendwright.quantities import parse_length
from bendwright.said import figure, joined, phrase, say
from bendwright.typed.readers import a_coordinate, a_list, a_text, each, items_of
from bendwright.typed.record import Record, Value
from bendwright.typed.tree import Keys, Rows

LONGEST_TEXT = 300


def a_line(value: Value) -> str:
    """Free text of at most 300 characters on one line."""
    text = a_text(value)
    if len(text) > LONGEST_TEXT or "\n" in text:
        raise value.error("P117", field=value.node.path, length=len(text), most=LONGEST_TEXT)
    return text


def some_notes(value: Value) -> tuple[str, ...]:
    """A list of lines of text, or a single one."""
    return a_list(a_line)(value) if isinstance(value.node, Rows | Keys) else (a_line(value),)


def a_count(value: Value) -> int:
    """A whole number of at least 1."""
    word = a_text(value)
    if not word.isascii() or not word.isdecimal() or not int(word[:9]) >= 1 or len(word) > 9:
        raise value.error("P113", field=value.node.path, came=word)
    return int(word)


def a_point(value: Value) -> Point:
    """One [x, y] pair [mm]."""
    if not isinstance(value.node, Rows) or len(value.node.items) != 2:
        came = say("typed.some_values", count=len(value.node.items)) if isinstance(value.node, Rows) else value.kind
        raise value.error("P115", field=value.node.path, came=came)
    x, y = each(a_coordinate, items_of(value), value.page.dialect)
    return x, y


some_points = a_list(a_point)


def a_tolerance(value: Value) -> Tolerance:
    """``0.2`` (plus and minus), ``+0/-0.5`` or keys ``plus`` and ``minus`` with their signs."""
    if isinstance(value.node, Keys):
        sides = Record(value)
        plus, minus = sides.needed("plus", a_coordinate), sides.needed("minus", a_coordinate)
        sides.done()
    else:
        plus, minus = _tolerance_in_one_word(value)
    if minus > 0 or plus < 0:
        raise value.error("P116", field=value.node.path, plus=figure(f"{plus:g}"), minus=figure(f"{minus:g}"))
    return Tolerance(minus_mm=minus, plus_mm=plus)


def _tolerance_in_one_word(value: Value) -> tuple[float, float]:
    """Plus and minus [mm] with their signs."""

    def length(text: str, *, negative: bool) -> float:
        unit, where = value.page.unit, value.where
        return parse_length(text, default_unit=unit, where=where, allow_zero=True, allow_negative=negative)

    word = a_text(value)
    sides = word.split("/")
    if len(sides) == 2 and word.startswith(("+", "-", "0")):
        plus, minus = each(
            lambda side: length(side.strip().removeprefix("+"), negative=True), sides, value.page.dialect
        )
        return plus, minus
    both = length(word.removeprefix("±").strip(), negative=False)
    return both, -both


def exactly_one(record: Record, keys: Sequence[str]) -> str | None:
    """The one key of ``keys`` that was typed; None with P114 noted when there are none or several."""
    typed = [key for key in keys if record.has(key)]
    if len(typed) == 1:
        return typed[0]
    came = joined(" and ", typed) if typed else phrase("none of them")
    exclusive(record, typed[0] if typed else "", joined(" or ", keys), came)
    return None


def at_most_one(record: Record, keys: Sequence[str]) -> str | None:
    """The key of ``keys`` that was typed, None when none was; P114 when several were."""
    return exactly_one(record, keys) if any(record.has(key) for key in keys) else None


def exclusive(record: Record, key: str, keys: str, came: str) -> None:
    """Note at ``key`` that exactly one of ``keys`` is wanted (P114)."""
    record.complain("P114", field=key, place=record.path or phrase("the file"), keys=keys, came=came)
