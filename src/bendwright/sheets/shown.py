"""A number as a person reads it, in every unit and angle kind they may have chosen, with its doubt and where it comes from."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from bendwright.quantities import US_TON_FORCE_KN, Band, format_length, format_number
from bendwright.sheets.plan_words import duration

KG_PER_POUND = 0.45359237
M_PER_FOOT = 0.3048
Kind = Literal["length", "angle", "force", "line_load", "time", "mass", "percent", "count", "plain"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A number ready to be read: ``value`` in the unit used inside (mm, degrees included, kN, kN/m, s, kg; None = not known);
    ``texts`` with its unit by the person's choice: "mm" and "inch" for lengths, loads and masses, "included" and "turned" for angles,
    "all" for the rest. ``band`` are the same texts for its doubt; ``source`` says where it comes from.
    """

    kind: Kind
    value: float | None
    texts: Mapping[str, str] = field(default_factory=dict)
    band: Mapping[str, str] | None = None
    source: str | None = None


def _mm_inch(value: float, decimals: int | None) -> dict[str, str]:
    inch = None if decimals is None else decimals + 1
    return {"mm": format_length(value, decimals=decimals), "inch": format_length(value, unit="inch", decimals=inch)}


def length(
    value_mm: float | None,
    *,
    decimals: int | None = None,
    plus_minus_mm: float | None = None,
    source: str | None = None,
) -> Shown:
    """A length [mm], with its half width of doubt [mm]."""
    if value_mm is None:
        return Shown(kind="length", value=None, source=source)
    band = None
    if plus_minus_mm is not None:
        band = {unit: f"± {text}" for unit, text in _mm_inch(plus_minus_mm, decimals).items()}
    return Shown(kind="length", value=value_mm, texts=_mm_inch(value_mm, decimals), band=band, source=source)


def length_range(ends_mm: tuple[float, float] | None) -> Shown:
    """From one length to another [mm]; the value is their middle."""
    if ends_mm is None:
        return Shown(kind="length", value=None)
    low, high = (_mm_inch(end, None) for end in ends_mm)
    texts = {unit: f"{low[unit].rpartition(' ')[0]} – {high[unit]}" for unit in low}
    return Shown(kind="length", value=0.5 * (ends_mm[0] + ends_mm[1]), texts=texts)


def angle(
    included_deg: float | None, *, decimals: int = 1, plus_minus_deg: float | None = None, source: str | None = None
) -> Shown:
    """An angle [degrees included], as included and as turned."""
    if included_deg is None:
        return Shown(kind="angle", value=None, source=source)
    texts = {
        "included": f"{format_number(included_deg, decimals=decimals)}°",
        "turned": f"{format_number(180.0 - included_deg, decimals=decimals)}°",
    }
    band = None
    if plus_minus_deg is not None:
        band = dict.fromkeys(texts, f"± {format_number(plus_minus_deg, decimals=decimals)}°")
    return Shown(kind="angle", value=included_deg, texts=texts, band=band, source=source)


def turned(turned_deg: float, *, decimals: int = 1, source: str | None = None) -> Shown:
    """An angle given by how far the leg is turned out of the flat [degrees]."""
    return angle(180.0 - turned_deg, decimals=decimals, source=source)


def difference_deg(value_deg: float | None, *, decimals: int = 2, source: str | None = None) -> Shown:
    """A difference between two angles [degrees]: the same either way."""
    texts = {} if value_deg is None else {"all": f"{format_number(value_deg, decimals=decimals)}°"}
    return Shown(kind="plain", value=value_deg, texts=texts, source=source)


def force(value: Band | float | None, *, source: str | None = None) -> Shown:
    """A force [kN] or the band it lies in; in US tons for inch people."""
    return _load("force", value, {"mm": (1.0, "kN"), "inch": (US_TON_FORCE_KN, "US ton-force")}, source)


def line_load(value: Band | float | None, *, source: str | None = None) -> Shown:
    """A load along the bend [kN/m] or the band it lies in."""
    return _load(
        "line_load", value, {"mm": (1.0, "kN/m"), "inch": (US_TON_FORCE_KN / M_PER_FOOT, "US ton-force/ft")}, source
    )


def _load(kind: Kind, value: Band | float | None, units: Mapping[str, tuple[float, str]], source: str | None) -> Shown:
    if value is None:
        return Shown(kind=kind, value=None, source=source)
    ends = (value.low, value.high) if isinstance(value, Band) else (value, value)

    def words(unit: str) -> str:
        per, name = units[unit]
        low, high = (format_number(end / per, decimals=1 if end / per < 100.0 else 0) for end in ends)
        return f"{low} {name}" if low == high else f"{low} – {high} {name}"

    middle = 0.5 * (ends[0] + ends[1])
    return Shown(kind=kind, value=middle, texts={unit: words(unit) for unit in units}, source=source)


def mass(value_kg: float | None) -> Shown:
    """A mass [kg]; in pounds for inch people."""
    if value_kg is None:
        return Shown(kind="mass", value=None)
    texts = {
        "mm": f"{format_number(value_kg, decimals=2)} kg",
        "inch": f"{format_number(value_kg / KG_PER_POUND, decimals=2)} lb",
    }
    return Shown(kind="mass", value=value_kg, texts=texts)


def time(value_s: float | None) -> Shown:
    """A duration [s] in words."""
    return Shown(kind="time", value=value_s, texts={} if value_s is None else {"all": duration(value_s)})


def percent(value: float | None, *, decimals: int = 0) -> Shown:
    """A share in percent."""
    texts = {} if value is None else {"all": f"{format_number(value, decimals=decimals)} %"}
    return Shown(kind="percent", value=value, texts=texts)


def count(value: int | None) -> Shown:
    """A whole number."""
    return Shown(kind="count", value=value, texts={} if value is None else {"all": str(value)})


def plain(value: float | None, *, decimals: int, unit: str = "", source: str | None = None) -> Shown:
    """A number with a unit that does not change with the person's choice."""
    texts = {} if value is None else {"all": f"{format_number(value, decimals=decimals)} {unit}".strip()}
    return Shown(kind="plain", value=value, texts=texts, source=source)


def in_unit(value: float | None, unit: str, *, source: str | None = None) -> Shown:
    """A number of a check, whose unit is told in words: ``mm``, ``kN``, ``kN/m``, ``kg``, else as it is (a tool's angle stays)."""
    if unit == "mm":
        return length(value, source=source)
    if unit in ("kN", "kN/m"):
        return force(value, source=source) if unit == "kN" else line_load(value, source=source)
    if unit == "kg":
        return mass(value)
    if unit == "deg":
        return difference_deg(value, decimals=1, source=source)
    return plain(value, decimals=2, unit={"mm/mm": "", "x t": "× t"}.get(unit, unit), source=source)


def change(a: Shown, b: Shown) -> Shown | None:
    """By how much the second number is larger, with its sign; None where either is not known or both read alike."""
    if a.value is None or b.value is None or a.texts == b.texts or a.kind != b.kind:
        return None
    off = b.value - a.value
    sign, other = ("+", "−") if off > 0.0 else ("−", "+")
    texts = {key: f"{sign}{text}" for key, text in _like(a, abs(off)).texts.items()}
    if a.kind == "angle":
        texts = {"included": texts["all"], "turned": f"{other}{texts['all'][1:]}"}
    return replace(_like(a, abs(off)), kind=a.kind, value=off, texts=texts)


def _like(shown: Shown, value: float) -> Shown:
    """Another number written as that one is, with as many decimals."""
    text = next(iter(shown.texts.values()), "")
    digits = re.match(r"[-−]?\d+(?:\.(\d+))?", text)
    decimals = len(digits[1] or "") if digits else 2
    if shown.kind == "length":
        return length(value, decimals=decimals)
    if shown.kind == "angle":
        return difference_deg(value, decimals=decimals)
    if shown.kind in ("force", "line_load"):
        return force(value) if shown.kind == "force" else line_load(value)
    if shown.kind == "mass":
        return mass(value)
    if shown.kind == "time":
        return time(value)
    unit = "" if digits is None else text[digits.end() :].strip()
    return plain(value, decimals=decimals, unit=unit)
