"""Reading the fields of a shop file: what came, where it stood, and every complaint at once.

A file is a tree of ``Value``s, each knowing its place (``punches.yaml:12 punches[1].height``). A reader is a plain
function from ``Value`` to something typed; it raises ``ShopFileError`` with findings. ``Record`` gathers the findings
of all fields of one group before it raises, so that a person sees them together. Unknown keys are complained about
with the nearest known one. Blank is unknown: ``optional`` gives None, ``needed`` complains.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from typing import TypeVar, cast

from bendwright.findings import Finding, InputError, ShopFileError, found
from bendwright.quantities import (
    LengthUnit,
    parse_angle_deg,
    parse_force_kn,
    parse_length,
    parse_line_load_kn_per_m,
    parse_number,
    parse_pressure_mpa,
)

T = TypeVar("T")
Reader = Callable[["Value"], T]


@dataclass(frozen=True, slots=True)
class Value:
    """One value of a file: text, list, group of fields or None (blank), its place, and the file's unit of length."""

    content: str | tuple[Value, ...] | Mapping[str, Value] | None
    where: str
    unit: LengthUnit = "mm"

    @property
    def kind(self) -> str:
        """What it is, in words for a finding."""
        if self.content is None:
            return "nothing"
        if isinstance(self.content, str):
            return f"'{self.content[:60]}'"
        return "a list" if isinstance(self.content, tuple) else "a group of fields"


class Record:
    """A group of fields being read. Ask for every known field, then call ``done`` before using any of them."""

    def __init__(self, value: Value, what: str) -> None:
        if not isinstance(value.content, Mapping):
            raise ShopFileError(found("S108", where=value.where, wanted=f"A group of fields ({what})", came=value.kind))
        self.where = value.where
        self.what = what
        self.findings: list[Finding] = []
        self._fields = value.content
        self._asked: list[str] = []

    def has(self, key: str) -> bool:
        """True when the field stands there and is not blank."""
        value = self._fields.get(key)
        return value is not None and value.content is not None

    def optional(self, key: str, read: Reader[T]) -> T | None:
        """The field as ``read`` makes it, None when absent, blank or (with its finding kept for ``done``) refused."""
        self._asked.append(key)
        if not self.has(key):
            return None
        try:
            return read(self._fields[key])
        except InputError as error:
            self.findings.extend(error.findings)
            return None

    def needed(self, key: str, read: Reader[T]) -> T:
        """Like ``optional``, but absence is a finding. Only look at the result after ``done``."""
        if not self.has(key):
            self.complain("S107", key=key, what=self.what)
        return cast(T, self.optional(key, read))

    def complain(self, code: str, /, *, field: str = "", **values: object) -> None:
        """Keep the finding ``code``, placed at ``field`` where that stands in the file."""
        at = self._fields[field].where if field in self._fields else self.where
        self.findings.append(found(code, where=at, **values))

    def done(self) -> None:
        """Raise ``ShopFileError`` with all findings of the group, unknown keys included; silent when there are none."""
        for key, value in self._fields.items():
            if key not in self._asked:
                near = get_close_matches(key, self._asked, n=1, cutoff=0.5)
                hint = f"Did you mean '{near[0]}'?" if near else "Take it out or move it to a note."
                known = ", ".join(sorted(set(self._asked)))
                self.findings.append(
                    found("S105", where=value.where, key=key[:60], what=self.what, known=known, hint=hint)
                )
        if self.findings:
            raise ShopFileError(self.findings)


def a_text(value: Value) -> str:
    """Any text, trimmed."""
    if not isinstance(value.content, str):
        raise ShopFileError(found("S108", where=value.where, wanted="A text", came=value.kind))
    return value.content.strip()


def a_date(value: Value) -> str:
    """A date as year-month-day."""
    text = a_text(value)
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError:
        raise ShopFileError(found("S112", where=value.where, text=text)) from None


def a_flag(value: Value) -> bool:
    """Yes or no."""
    return one_of("yes", "no", "true", "false")(value) in ("yes", "true")


def one_of(*choices: T) -> Reader[T]:
    """A reader that takes only these words (upper or lower case)."""
    by_word = {str(choice): choice for choice in choices}

    def read(value: Value) -> T:
        text = a_text(value)
        if text.lower() not in by_word:
            raise ShopFileError(found("S109", where=value.where, text=text[:60], allowed=", ".join(by_word)))
        return by_word[text.lower()]

    return read


def a_length(value: Value) -> float:
    """A length more than 0 [mm]."""
    return parse_length(_plain(value, "length"), default_unit=value.unit, where=value.where)


def a_length_or_zero(value: Value) -> float:
    """A length, 0 allowed [mm]."""
    return parse_length(_plain(value, "length"), default_unit=value.unit, where=value.where, allow_zero=True)


def a_coordinate(value: Value) -> float:
    """A length of either sign [mm]."""
    text = _plain(value, "length")
    return parse_length(text, default_unit=value.unit, where=value.where, allow_zero=True, allow_negative=True)


def an_angle(value: Value) -> float:
    """An angle more than 0 [degrees]."""
    return parse_angle_deg(_plain(value, "angle"), where=value.where)


def an_angle_or_zero(value: Value) -> float:
    """An angle, 0 allowed [degrees]."""
    return parse_angle_deg(_plain(value, "angle"), where=value.where, allow_zero=True)


def a_force(value: Value) -> float:
    """A force more than 0 [kN]."""
    return parse_force_kn(_plain(value, "force"), where=value.where)


def a_line_load(value: Value) -> float:
    """A line load more than 0 [kN/m]."""
    return parse_line_load_kn_per_m(_plain(value, "line load"), where=value.where)


def a_strength(value: Value) -> float:
    """A strength or modulus more than 0 [MPa]."""
    return parse_pressure_mpa(_plain(value, "strength"), where=value.where)


def a_number(value: Value) -> float:
    """A plain number more than 0."""
    return parse_number(_plain(value, "number"), where=value.where)


def a_number_or_zero(value: Value) -> float:
    """A plain number, 0 allowed."""
    return parse_number(_plain(value, "number"), where=value.where, allow_zero=True)


def a_whole_number(value: Value) -> int:
    """A whole number of at least 1."""
    number = parse_number(_plain(value, "number"), where=value.where)
    if number != int(number):
        raise ShopFileError(found("S130", where=value.where, came=value.kind, low="1", high="any whole number"))
    return int(number)


def within(read: Reader[float], low: float, high: float) -> Reader[float]:
    """``read``, refused outside ``low`` to ``high`` (both allowed)."""

    def read_within(value: Value) -> float:
        number = read(value)
        if not low <= number <= high:
            raise ShopFileError(found("S130", where=value.where, came=value.kind, low=f"{low:g}", high=f"{high:g}"))
        return number

    return read_within


def a_pair(read: Reader[float]) -> Reader[tuple[float, float]]:
    """A reader of two numbers in a list."""

    def read_pair(value: Value) -> tuple[float, float]:
        numbers = a_list(read)(value)
        if len(numbers) != 2:
            raise ShopFileError(
                found("S108", where=value.where, wanted="A list of two", came=f"a list of {len(numbers)}")
            )
        return numbers[0], numbers[1]

    return read_pair


def a_range(read: Reader[float]) -> Reader[tuple[float, float]]:
    """A reader of ``[from, to]`` with from < to."""

    def read_range(value: Value) -> tuple[float, float]:
        low, high = a_pair(read)(value)
        if low >= high:
            raise ShopFileError(found("S121", where=value.where, low=f"{low:g}", high=f"{high:g}"))
        return low, high

    return read_range


def a_list(read: Reader[T]) -> Reader[tuple[T, ...]]:
    """A reader of a list, each item by ``read``; the findings of all items are gathered."""

    def read_list(value: Value) -> tuple[T, ...]:
        if not isinstance(value.content, tuple):
            raise ShopFileError(found("S108", where=value.where, wanted="A list", came=value.kind))
        items: list[T] = []
        findings: list[Finding] = []
        for item in value.content:
            try:
                items.append(read(item))
            except InputError as error:
                findings.extend(error.findings)
        if findings:
            raise ShopFileError(findings)
        return tuple(items)

    return read_list


def a_table(read: Reader[T]) -> Reader[dict[str, T]]:
    """A reader of a group whose keys are free (family or material names), each value by ``read``."""

    def read_table(value: Value) -> dict[str, T]:
        if not isinstance(value.content, Mapping):
            raise ShopFileError(found("S108", where=value.where, wanted="A group of fields", came=value.kind))
        keys = tuple(key for key, item in value.content.items() if item.content is not None)
        items = a_list(read)(Value(tuple(value.content[key] for key in keys), value.where, value.unit))
        return dict(zip(keys, items, strict=True))

    return read_table


def _plain(value: Value, wanted: str) -> str:
    """The text of a field that must not be a list or group."""
    if not isinstance(value.content, str):
        raise ShopFileError(found("S108", where=value.where, wanted=f"One {wanted}", came=value.kind))
    return value.content
