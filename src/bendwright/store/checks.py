"""What may be written: lengths of texts, sizes of data, times with a zone. SQLite itself would take anything."""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from sqlalchemy import String, Table

from bendwright.findings import Finding, InputError, found

MOST_BYTES = {
    "part": 4_000_000,
    "sheet": 100_000,
    "wishes": 100_000,
    "findings": 2_000_000,
    "extras": 2_000_000,
    "plan": 64_000_000,
    "bend_ids": 20_000,
    "readings": 20_000,
}
"""The most bytes of JSON a column takes."""


def check_row(table: Table, row: Mapping[str, Any]) -> None:
    """Raise InputError (B110 to B113) with everything in ``row`` that its columns cannot keep."""
    findings: list[Finding] = []
    for name, value in row.items():
        kind = table.c[name].type
        if isinstance(kind, String):
            findings += _text(name, value, kind.length or 0)
        elif name in MOST_BYTES and value is not None:
            findings += _data(name, value, MOST_BYTES[name])
        elif isinstance(value, datetime) and value.tzinfo is None:
            findings.append(found("B113", where=name, name=name, came=value.isoformat()))
    if findings:
        raise InputError(findings)


def uuid_text(text: str) -> str:
    """A UUID in its one usual spelling. Raises InputError (B114) when it is none."""
    try:
        return str(UUID(text))
    except (ValueError, AttributeError, TypeError):
        raise InputError(found("B114", where="id", came=repr(text)[:60])) from None


def json_text(value: Any) -> str:
    """``value`` as JSON, keys sorted: the same content gives the same text. ValueError or TypeError when it is no JSON."""
    return json.dumps(value, sort_keys=True, allow_nan=False, separators=(",", ":"))


def _text(name: str, value: str, allowed: int) -> list[Finding]:
    if len(value) > allowed:
        return [found("B110", where=name, name=name, came=len(value), allowed=allowed)]
    wrong = next((sign for sign in value if unicodedata.category(sign) in ("Cc", "Cs")), None)
    return [] if wrong is None else [found("B111", where=name, name=name, came=f"U+{ord(wrong):04X}")]


def _data(name: str, value: Any, allowed: int) -> list[Finding]:
    try:
        size = len(json_text(value))
    except (ValueError, TypeError, RecursionError) as error:
        return [found("B112", where=name, name=name, problem=str(error) or type(error).__name__)]
    if size <= allowed:
        return []
    return [found("B115", where=name, name=name, came=size / 1e6, allowed=allowed / 1e6)]
