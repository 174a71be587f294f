"""The passport every shop file begins with, and lists whose entries must have different names."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from bendwright.findings import ShopFileError, found
from bendwright.quantities import LengthUnit
from bendwright.shop.fields import a_date
from bendwright.shop.passport import Passport
from bendwright.typed.readers import a_flag, a_list, a_text, one_of
from bendwright.typed.record import Reader, Record, Value

T = TypeVar("T")
_UNITS: tuple[LengthUnit, ...] = ("mm", "inch")


def read_passport(page: Record) -> Passport:
    """The ``passport`` group of the page: origin, date, length_unit, sources, note, demo."""
    return page.needed("passport", passport_from)


def passport_from(value: Value) -> Passport:
    """A passport out of its group of fields."""
    record = Record(value, "passport")
    origin = record.needed("origin", a_text)
    written = record.needed("date", a_date)
    unit = record.optional("length_unit", one_of(*_UNITS)) or "mm"
    sources = record.optional("sources", a_list(a_text)) or ()
    note = record.optional("note", a_text) or ""
    demo = record.optional("demo", a_flag) or False
    record.done()
    units = f"{unit}, kN, MPa, degrees"
    return Passport(origin=origin, date=written, units=units, sources=sources, note=note, demo=demo)


def one_each(read: Reader[T], name_of: Callable[[T], str]) -> Reader[tuple[T, ...]]:
    """A reader of a list of records in which no name may stand twice."""

    def read_list(value: Value) -> tuple[T, ...]:
        seen: dict[str, str] = {}
        findings = []

        def read_one(item: Value) -> T:
            record = read(item)
            name = name_of(record)
            if name in seen:
                findings.append(found("S110", where=item.where, name=name, first=seen[name]))
            seen.setdefault(name, item.where)
            return record

        records = a_list(read_one)(value)
        if findings:
            raise ShopFileError(findings)
        return records

    return read_list
