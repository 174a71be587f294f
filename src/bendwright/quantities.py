"""Units at the edge, numbers that carry their band and source, and figures for paper.

What a person types becomes a plain float in the one unit used inside: mm, degrees, kN, kN/m, MPa. The rules:

* Decimal point or decimal comma: ``1.5`` = ``1,5``. With both marks present, or one mark several times, the last mark
  of its own kind is the decimal one and the others split thousands: ``1,234.5`` = ``1.234,5``, ``1,234,567``.
* ``1,234`` alone (one to three digits, comma, exactly three digits) has two readings and is refused with a question;
  ``0,234``, ``1,23`` and ``1234,567`` have one reading and are taken.
* Fractions: ``3/8``, ``5 1/2``, ``5-1/2``, ``5½``. Feet: ``4' 6"``, ``4 ft 6 in``.
* A word with two meanings is refused with a question: ``mil``, and ``t`` or ``ton`` for a force.
* A gauge number (``16 ga``) needs the material; the caller hands in ``gauge``, from number to mm.

Everything refused is an ``InputError`` with one Q1xx finding. 1 in = 25.4 mm exactly; pound-force 4.4482216152605 N, so
US ton-force (2000 lbf) 8.896443230521 kN and tonne-force 9.80665 kN, by definition.
"""

from __future__ import annotations

import math
import re
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal
from typing import Literal

from bendwright.findings import InputError, found
from bendwright.said import figure, in_both, phrase

LengthUnit = Literal["mm", "inch"]
MM_PER_INCH = 25.4
US_TON_FORCE_KN = 8.896443230521
TONNE_FORCE_KN = 9.80665


@dataclass(frozen=True, slots=True)
class Band:
    """A number known only to lie between ``low`` and ``high`` (same unit), and what says so."""

    low: float
    high: float
    source: str = ""

    @property
    def middle(self) -> float:
        """Half-way value, in the unit of the ends."""
        return 0.5 * (self.low + self.high)


@dataclass(frozen=True, slots=True)
class _Kind:
    """One kind of quantity: its unit inside, factors from other units to it, unclear units and the largest value."""

    name: str
    unit: str
    example: str
    limit: float
    factors: Mapping[str, float] = field(default_factory=dict)
    unclear: Mapping[str, str] = field(default_factory=dict)
    listed: str = ""

    @property
    def with_article(self) -> str:
        """The name with its article, for sentences."""
        return ("an " if self.name[0] in "aeiou" else "a ") + self.name


_LENGTH = _Kind(
    "length",
    "mm",
    "1.5 mm, 5 1/2 in or 0.0598 in",
    100_000.0,
    {
        **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), 1.0),
        **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), 10.0),
        **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), 1000.0),
        **dict.fromkeys(("in", "in.", "inch", "inches", '"', "''"), MM_PER_INCH),
        **dict.fromkeys(("ft", "foot", "feet", "'"), 304.8),
        **dict.fromkeys(("thou", "thous"), MM_PER_INCH / 1000.0),
        **dict.fromkeys(("um", "µm", "μm", "micron", "microns"), 0.001),
    },
    dict.fromkeys(("mil", "mils"), "Q107"),
    "mm, cm, m, in, ft, thou",
)
_ANGLE = _Kind(
    "angle",
    "deg",
    "90, 91.5 deg or 90d30'",
    360.0,
    {
        **dict.fromkeys(("deg", "deg.", "degree", "degrees", "°", "d"), 1.0),
        **dict.fromkeys(("rad", "radian", "radians"), 180.0 / math.pi),
    },
    {},
    "deg, rad",
)
_FORCE = _Kind(
    "force",
    "kN",
    "1000 kN, 110 US ton or 100 tonne",
    100_000.0,
    {
        "kn": 1.0,
        **dict.fromkeys(("n", "newton", "newtons"), 0.001),
        **dict.fromkeys(("tonne", "tonnes", "tonne-force", "metric ton", "metric tons", "tf"), TONNE_FORCE_KN),
        **dict.fromkeys(("us ton", "us tons", "us ton-force", "short ton", "short tons"), US_TON_FORCE_KN),
        "kgf": TONNE_FORCE_KN / 1000.0,
        "lbf": US_TON_FORCE_KN / 2000.0,
    },
    dict.fromkeys(("t", "ton", "tons"), "Q108"),
    "kN, N, US ton, tonne, kgf, lbf",
)
_LINE_LOAD = _Kind(
    "line load",
    "kN/m",
    "600 kN/m or 20 US ton/ft",
    100_000.0,
    {
        "kn/m": 1.0,
        "n/mm": 1.0,
        "kn/mm": 1000.0,
        **dict.fromkeys(("tonne/m", "tonnes/m"), TONNE_FORCE_KN),
        **dict.fromkeys(("us ton/ft", "us tons/ft"), US_TON_FORCE_KN / 0.3048),
        **dict.fromkeys(("us ton/in", "us tons/in"), US_TON_FORCE_KN / 0.0254),
    },
    dict.fromkeys(("t/m", "ton/m", "tons/m", "t/ft", "ton/ft", "tons/ft", "t/in", "ton/in", "tons/in"), "Q108"),
    "kN/m, N/mm, tonne/m, US ton/ft, US ton/in",
)
_PRESSURE = _Kind(
    "strength",
    "MPa",
    "420 MPa or 60 ksi",
    1_000_000.0,
    {
        "mpa": 1.0,
        "gpa": 1000.0,
        **dict.fromkeys(("n/mm2", "n/mm²", "n/mm^2"), 1.0),
        "kn/mm2": 1000.0,
        "ksi": US_TON_FORCE_KN * 1e6 / 2000.0 / MM_PER_INCH**2,
        "psi": US_TON_FORCE_KN * 1e3 / 2000.0 / MM_PER_INCH**2,
    },
    {},
    "MPa, N/mm2, GPa, ksi, psi",
)
_NUMBER = _Kind("number", "", "0.42", 1e12)
_KINDS = (_LENGTH, _ANGLE, _FORCE, _LINE_LOAD, _PRESSURE)

_LONGEST = 60
_DASHES = str.maketrans("−–‐‑″”“′’⁄º", '----"""\'\'/°')
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3"}
_AMOUNT = r"[0-9][0-9.,]*(?:(?:\s+|-)[0-9]+\s*/\s*[0-9]+|\s*/\s*[0-9]+)?|[.,][0-9]+"
_TYPED = re.compile(rf"(?P<sign>[+-]?)\s*(?P<amount>{_AMOUNT})\s*(?P<unit>[a-zµμ°\"'].*)?")
_FRACTION = re.compile(r"(?:(?P<whole>[0-9]+)(?:\s+|-))?(?P<top>[0-9]+)\s*/\s*(?P<bottom>[0-9]+)")
_FEET = re.compile(rf"(?P<feet>[0-9]+)\s*(?:ft|feet|foot|')\s*-?\s*(?P<inch>{_AMOUNT})\s*(?:in|inch|inches|\"|'')")
_MINUTES = re.compile(r"(?P<deg>[0-9]+)\s*[d°]\s*(?P<min>[0-9]{1,2})\s*'(?:\s*(?P<sec>[0-9]{1,2})\s*\")?")
_GAUGE = re.compile(r"(?P<number>[0-9]{1,2})\s*(?:ga|gauge|gage)\.?|(?:ga|gauge|gage)\.?\s*(?P<after>[0-9]{1,2})")


def parse_length(
    text: object,
    *,
    default_unit: LengthUnit = "mm",
    where: str = "",
    gauge: Callable[[int], float] | None = None,
    allow_zero: bool = False,
    allow_negative: bool = False,
) -> float:
    """A typed length in mm; a bare number is in ``default_unit``. ``gauge`` turns a gauge number into mm.

    >>> parse_length('5 1/2 in'), parse_length("1,5 mm"), parse_length(1.625, default_unit="inch")
    (139.7, 1.5, 41.275)
    """
    tidy = _tidied(text)
    numbered = _GAUGE.fullmatch(tidy)
    if numbered is not None:
        if gauge is None:
            raise _refused("Q109", where, text=text)
        return gauge(int(numbered["number"] or numbered["after"]))
    feet = _FEET.fullmatch(tidy)
    if feet is not None:
        inches = 12 * int(feet["feet"]) + _amount(feet["inch"], _LENGTH, text, where)
        return _limited(inches * MM_PER_INCH, _LENGTH, text, where, allow_zero, allow_negative)
    return _parse(text, _LENGTH, where, allow_zero, allow_negative, MM_PER_INCH if default_unit == "inch" else 1.0)


def parse_optional_length(
    text: object,
    *,
    default_unit: LengthUnit = "mm",
    where: str = "",
    gauge: Callable[[int], float] | None = None,
    allow_zero: bool = False,
    allow_negative: bool = False,
) -> float | None:
    """Like ``parse_length``, but blank means unknown: None (never 0)."""
    if is_blank(text):
        return None
    return parse_length(
        text,
        default_unit=default_unit,
        where=where,
        gauge=gauge,
        allow_zero=allow_zero,
        allow_negative=allow_negative,
    )


def parse_angle_deg(text: object, *, where: str = "", allow_zero: bool = False, allow_negative: bool = False) -> float:
    """A typed angle in degrees, at most 360: ``90``, ``91,5``, ``90 deg``, ``90d30'``, ``1.2 rad``."""
    minutes = _MINUTES.fullmatch(_tidied(text))
    if minutes is not None and int(minutes["min"]) < 60 and int(minutes["sec"] or 0) < 60:
        value = int(minutes["deg"]) + int(minutes["min"]) / 60.0 + int(minutes["sec"] or 0) / 3600.0
        return _limited(value, _ANGLE, text, where, allow_zero, allow_negative)
    return _parse(text, _ANGLE, where, allow_zero, allow_negative)


def parse_force_kn(text: object, *, where: str = "", allow_zero: bool = False) -> float:
    """A typed force in kN: kN, N, ``US ton``, ``tonne``, kgf, lbf; a bare ``t`` or ``ton`` is refused."""
    return _parse(text, _FORCE, where, allow_zero, False)


def parse_line_load_kn_per_m(text: object, *, where: str = "", allow_zero: bool = False) -> float:
    """A typed line load in kN/m: kN/m, N/mm, ``tonne/m``, ``US ton/ft``, ``US ton/in``; ``t/m`` is refused."""
    return _parse(text, _LINE_LOAD, where, allow_zero, False)


def parse_pressure_mpa(text: object, *, where: str = "", allow_zero: bool = False) -> float:
    """A typed strength or modulus in MPa: MPa, N/mm2, GPa, ksi, psi."""
    return _parse(text, _PRESSURE, where, allow_zero, False)


def parse_number(text: object, *, where: str = "", allow_zero: bool = False, allow_negative: bool = False) -> float:
    """A plain number without unit, in the same notation as all others (decimal comma, fractions)."""
    return _parse(text, _NUMBER, where, allow_zero, allow_negative)


def is_blank(text: object) -> bool:
    """True for None and for text of nothing but spaces."""
    return text is None or (isinstance(text, str) and not text.strip())


def format_length(
    length_mm: float,
    *,
    unit: Literal["mm", "inch", "both"] = "mm",
    decimals: int | None = None,
    decimal_comma: bool = False,
) -> str:
    """A length for paper, with its unit: ``41.28 mm``, ``1.625 in``, or both as ``41.28 mm (1.625 in)``.

    ``decimals`` defaults to 2 for mm and 3 for inch (with ``both`` it sets the millimetres only).
    """
    if unit == "both":
        inches = format_length(length_mm, unit="inch", decimal_comma=decimal_comma)
        return f"{format_length(length_mm, decimals=decimals, decimal_comma=decimal_comma)} ({inches})"
    if unit == "inch":
        digits, shown, name = (3 if decimals is None else decimals), length_mm / MM_PER_INCH, "in"
    else:
        digits, shown, name = (2 if decimals is None else decimals), length_mm, "mm"
    return f"{format_number(shown, decimals=digits, decimal_comma=decimal_comma)} {name}"


def format_number(value: float, *, decimals: int, decimal_comma: bool = False) -> str:
    """``value`` with that many decimals, half away from zero, never ``-0``, no thousands marks."""
    figures = str(Decimal(repr(float(value))).quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP))
    if float(figures) == 0.0:
        figures = figures.lstrip("-")
    return figures.replace(".", ",") if decimal_comma else figures


def _tidied(text: object) -> str:
    """Lower case, one kind of dash and prime, vulgar fractions written out, single spaces; "" for what is no text."""
    if not isinstance(text, str) or len(text) > _LONGEST:
        return ""
    tidy = text.translate(_DASHES)
    for sign, spelled in _VULGAR.items():
        tidy = tidy.replace(sign, f" {spelled}")
    return " ".join(tidy.lower().split())


def _parse(
    text: object, kind: _Kind, where: str, allow_zero: bool, allow_negative: bool, bare_factor: float = 1.0
) -> float:
    """One number with an optional unit of ``kind``, in the unit used inside."""
    if isinstance(text, int | float) and not isinstance(text, bool):
        number = float(text) if abs(text) <= sys.float_info.max else math.inf
        return _limited(number * bare_factor, kind, text, where, allow_zero, allow_negative)
    if is_blank(text):
        raise _refused("Q101", where, kind=phrase(kind.name), example=phrase(kind.example))
    if not isinstance(text, str):
        name = kind.with_article
        what = {bool: "yes or no", list: "a list", tuple: "a list", dict: "a group of fields"}.get(
            type(text), type(text).__name__
        )
        raise _refused(
            "Q115",
            where,
            a_kind_capital=in_both(str.capitalize, phrase(name)),
            what=phrase(what),
            example=phrase(kind.example),
        )
    if len(text) > _LONGEST:
        raise _refused(
            "Q102", where, text=text[:_LONGEST] + "...", a_kind=phrase(kind.with_article), example=phrase(kind.example)
        )
    tidy = _tidied(text)
    if tidy.lstrip("+-.") in ("nan", "inf", "infinity"):
        raise _refused("Q113", where, text=text)
    typed = _TYPED.fullmatch(tidy)
    if typed is None:
        raise _refused("Q102", where, text=text, a_kind=phrase(kind.with_article), example=phrase(kind.example))
    amount = _amount(typed["amount"], kind, text, where)
    if typed["sign"] == "-":
        amount = -amount
    factor = _factor(typed["unit"], amount, kind, text, where) if typed["unit"] else bare_factor
    return _limited(amount * factor, kind, text, where, allow_zero, allow_negative)


def _readings(amount: float) -> dict[str, str]:
    """What a mil may be."""
    return {"thou": figure(f"{amount * 0.0254:.4g} mm"), "mm": figure(f"{amount:.4g} mm")}


def _factor(unit: str, amount: float, kind: _Kind, text: str, where: str) -> float:
    """What to multiply by for ``unit``; refuses unclear units, units of another kind and unknown ones."""
    unit = unit.strip()
    if unit in kind.factors:
        return kind.factors[unit]
    if unit in kind.unclear:
        raise _refused(kind.unclear[unit], where, text=text, **_readings(amount))
    allowed = kind.listed or phrase("a bare number")
    for other in _KINDS:
        if other is not kind and (unit in other.factors or unit in other.unclear):
            names = {"a_other": phrase(other.with_article), "a_kind": phrase(kind.with_article)}
            raise _refused("Q106", where, text=text, **names, allowed=allowed)
    raise _refused("Q105", where, text=text, unit=unit, kind=phrase(kind.name), allowed=allowed)


def _amount(figures: str, kind: _Kind, text: object, where: str) -> float:
    """The value of the digits alone: a decimal number or a (mixed) fraction."""
    if "/" not in figures:
        return _decimal(figures, kind, text, where)
    fraction = _FRACTION.fullmatch(figures)
    if fraction is None:
        raise _refused("Q114", where, text=text, why=phrase("whole numbers only above and below the stroke"))
    whole, top, bottom = (int(fraction[name] or 0) for name in ("whole", "top", "bottom"))
    if bottom == 0:
        raise _refused("Q114", where, text=text, why=phrase("the number below the stroke is 0"))
    if fraction["whole"] is not None and top >= bottom:
        raise _refused("Q114", where, text=text, why=phrase("after a whole number the fraction must be less than 1"))
    return whole + top / bottom


def _decimal(figures: str, kind: _Kind, text: object, where: str) -> float:
    """A decimal number with point or comma; thousands marks only where they cannot be mistaken."""
    marks = [mark for mark in figures if mark in ".,"]
    if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", figures):
        point = figures.replace(",", ".")
        raise _refused("Q103", where, text=text, small=point, large=point.replace(".", ""))
    if len(marks) <= 1:
        return float(figures.replace(",", "."))
    decimal = marks[-1] if marks.count(marks[-1]) == 1 else ""
    whole, _, rest = figures.rpartition(decimal) if decimal else (figures, "", "")
    thousands = {mark for mark in whole if mark in ".,"}
    if len(thousands) != 1 or decimal in thousands:
        raise _refused("Q104", where, text=text)
    if not re.fullmatch(r"[1-9][0-9]{0,2}(?:[.,][0-9]{3})+", whole):
        raise _refused("Q104", where, text=text)
    return float(re.sub("[.,]", "", whole) + "." + (rest or "0"))


def _limited(value: float, kind: _Kind, text: object, where: str, allow_zero: bool, allow_negative: bool) -> float:
    """``value`` if it is finite, of allowed sign and below the limit of its kind."""
    if not math.isfinite(value):
        raise _refused("Q113", where, text=text)
    if abs(value) > kind.limit:
        limit = f"{kind.limit:.0f}"
        raise _refused(
            "Q112", where, kind=phrase(kind.name), text=text, value=figure(f"{value:g}"), unit=kind.unit, limit=limit
        )
    if value < 0.0 and not allow_negative:
        raise _refused("Q110", where, kind=phrase(kind.name), text=text)
    if value == 0.0 and not allow_zero:
        raise _refused("Q111", where, kind=phrase(kind.name), text=text)
    return float(value)


def _refused(code: str, where: str, **values: object) -> InputError:
    """The error to raise for finding ``code``."""
    return InputError(found(code, where=where, **values))
