"""Readers of the plain kinds of fields: words, lengths, angles, lists; each refuses what is of another kind."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

from bendwright.quantities import parse_angle_deg, parse_length
from bendwright.said import phrase
from bendwright.typed.dialect import Complaint, Dialect
from bendwright.typed.gathering import Gathering
from bendwright.typed.record import LONGEST_SHOWN, Reader, Value, nearest
from bendwright.typed.tree import Keys, Rows, Word

S = TypeVar("S")
T = TypeVar("T")


def word_of(value: Value, wanted: str) -> str:
    """The word that came; ``wanted`` says in a finding what should have come ("One length")."""
    if not isinstance(value.node, Word) or value.node.blank:
        raise value.refusal("no word", wanted=phrase(wanted))
    return value.node.text


def a_text(value: Value) -> str:
    """Any text, trimmed."""
    return word_of(value, "A text")


def one_of(*choices: T) -> Reader[T]:
    """A reader that takes only these words (upper or lower case)."""
    by_word = {str(choice): choice for choice in choices}

    def read(value: Value) -> T:
        text = a_text(value)
        if text.lower() not in by_word:
            near = nearest(text, by_word, value.page.dialect)
            complaint: Complaint = "other word but alike" if near else "other word"
            raise value.refusal(complaint, text=text[:LONGEST_SHOWN], allowed=", ".join(by_word), near=near)
        return by_word[text.lower()]

    return read


_YES_OR_NO = one_of("yes", "no", "true", "false")


def a_flag(value: Value) -> bool:
    """Yes or no (or true, false)."""
    return _YES_OR_NO(value) in ("yes", "true")


def a_length(value: Value) -> float:
    """A length more than 0 [mm]; a bare number is in the unit of the file."""
    return parse_length(word_of(value, "One length"), default_unit=value.page.unit, where=value.where)


def a_length_or_zero(value: Value) -> float:
    """A length, 0 allowed [mm]."""
    text = word_of(value, "One length")
    return parse_length(text, default_unit=value.page.unit, where=value.where, allow_zero=True)


def a_coordinate(value: Value) -> float:
    """A length of either sign [mm]."""
    text = word_of(value, "One length")
    return parse_length(text, default_unit=value.page.unit, where=value.where, allow_zero=True, allow_negative=True)


def an_angle(value: Value) -> float:
    """An angle more than 0 [degrees]."""
    return parse_angle_deg(word_of(value, "One angle"), where=value.where)


def an_angle_or_zero(value: Value) -> float:
    """An angle, 0 allowed [degrees]."""
    return parse_angle_deg(word_of(value, "One angle"), where=value.where, allow_zero=True)


def items_of(value: Value) -> tuple[Value, ...]:
    """The items of a list."""
    if not isinstance(value.node, Rows):
        raise value.refusal("no list", wanted=phrase("A list"))
    return tuple(Value(item, value.page) for item in value.node.items)


def each(read: Callable[[S], T], items: Iterable[S], dialect: Dialect) -> tuple[T, ...]:
    """What ``read`` makes of each item; the findings of all are raised together."""
    gathering = Gathering()
    results = [gathering.trusted(lambda item=item: read(item)) for item in items]  # type: ignore[misc]
    if gathering.findings:
        raise dialect.error(gathering.findings)
    return tuple(results)


def a_list(read: Reader[T]) -> Reader[tuple[T, ...]]:
    """A reader of a list, each item by ``read``; the findings of all items are gathered."""
    return lambda value: each(read, items_of(value), value.page.dialect)


def one_or_more(read: Reader[T]) -> Reader[tuple[T, ...]]:
    """A reader of a list of groups, or of a single group without the list around it."""
    several = a_list(read)
    return lambda value: (read(value),) if isinstance(value.node, Keys) else several(value)
