"""The fields of a record of the shop for a page: as typed, as read, and whether anybody has filled them in."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from functools import partial
from typing import Literal

from bendwright.findings import InputError
from bendwright.quantities import (
    LengthUnit,
    parse_angle_deg,
    parse_force_kn,
    parse_length,
    parse_line_load_kn_per_m,
    parse_pressure_mpa,
)
from bendwright.sheets.shown import Shown, difference_deg, force, length, length_range, line_load, plain
from bendwright.shop.record_fields import FIELDS, FieldKind, FormKind
from bendwright.shop.record_words import RecordWords, list_of

State = Literal["known", "missing"]
SMALL_MM = 0.5
_SUFFIXES = ("_kn_per_m", "_mm", "_kn", "_mpa")


@dataclass(frozen=True, slots=True, kw_only=True)
class OnlyIf:
    """A field is asked only while another one says one of these words."""

    key: str
    words: list[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldAsked:
    """One field of a form: its key, its group ("" = none), what kind of text it takes, the words to choose from, when it is asked,
    and whether it must be filled in then.
    """

    key: str
    group: str
    kind: FieldKind
    choices: list[str]
    only_if: OnlyIf | None
    needed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldShown:
    """One field of a record: its key, the text as typed ("" = blank), its number as read (None for words), and whether it is known or
    missing: nobody has filled it in. Fields that may be left blank, and those not asked of this record, are left out while blank.
    """

    key: str
    typed: str
    shown: Shown | None
    state: State


def fields_asked(kind: FormKind) -> list[FieldAsked]:
    """What the form of a record asks for."""
    return [
        FieldAsked(
            key=item.key,
            group=item.key.rpartition(".")[0],
            kind=item.kind,
            choices=list(item.choices),
            only_if=None if item.only_if is None else OnlyIf(key=item.only_if[0], words=list(item.only_if[1])),
            needed=item.needed,
        )
        for item in FIELDS[kind]
    ]


def fields_of(kind: FormKind, words: RecordWords, missing: Collection[str], unit: LengthUnit) -> list[FieldShown]:
    """The fields of a record; ``missing`` are the names of the record's own fields that nobody has filled in."""
    keys = {item.key for item in FIELDS[kind]}
    gaps = {_key_of(name, keys) for name in missing}
    made = []
    for item in FIELDS[kind]:
        text = words.fields.get(item.key, "")
        lacking = any(item.key == gap or item.key.startswith(f"{gap}.") for gap in gaps)
        if text or lacking:
            state: State = "missing" if lacking else "known"
            made.append(FieldShown(key=item.key, typed=text, shown=_shown(text, item.kind, unit), state=state))
    return made


def _key_of(name: str, keys: Collection[str]) -> str:
    """The key in the file of a record's field (``rated_force_kn`` is ``rated_force``)."""
    if name in keys:
        return name
    return next((name.removesuffix(end) for end in _SUFFIXES if name.removesuffix(end) in keys), name)


def _length(value_mm: float) -> Shown:
    """A length with so many decimals that a small one (a repeat, a sag) is not read as none, in inches either."""
    return length(value_mm, decimals=3 if 0.0 < abs(value_mm) < SMALL_MM else None)


def _ends(text: str, unit: LengthUnit) -> tuple[float, float]:
    first, second = list_of(text, "pair")
    low = parse_length(first, default_unit=unit, allow_zero=True, allow_negative=True)
    return low, parse_length(second, default_unit=unit, allow_zero=True, allow_negative=True)


def _shown(text: str, kind: FieldKind, unit: LengthUnit) -> Shown | None:
    """The number of a text; None for words, and for a text that is none (the shop is not read with such a one)."""
    made: dict[FieldKind, Callable[[str], Shown]] = {
        "length": lambda typed: _length(parse_length(typed, default_unit=unit, allow_zero=True, allow_negative=True)),
        "pair": lambda typed: length_range(_ends(typed, unit)),
        "angle": lambda typed: difference_deg(parse_angle_deg(typed), decimals=1),
        "force": lambda typed: force(parse_force_kn(typed)),
        "line_load": lambda typed: line_load(parse_line_load_kn_per_m(typed)),
        "strength": lambda typed: plain(parse_pressure_mpa(typed), decimals=0, unit="MPa"),
    }
    if kind not in made:
        return None if text else plain(None, decimals=0)
    if not text:
        return plain(None, decimals=0)
    try:
        return partial(made[kind], text)()
    except InputError:
        return None
