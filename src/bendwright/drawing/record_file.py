"""A record as a JSON file that is read back to exactly the same record."""

from __future__ import annotations

import json
from typing import Any, TypeVar

from bendwright.drawing.record_codec import decode, encode
from bendwright.findings import Finding, InputError, found

Kept = TypeVar("Kept")


def record_to_json(kind: type[Kept], record: Kept, schema: str) -> str:
    """The record as indented JSON text with a final newline; numbers keep all their digits.

    Raises InputError: D106 for each number that is not finite, D102 when the record states another schema.
    """
    problems: list[Finding] = []
    stated = getattr(record, "schema", schema)
    if stated != schema:
        problems.append(found("D102", where="schema", came=stated, allowed=schema))
    data = encode(kind, record, "", problems)
    if problems:
        raise InputError(problems)
    return json.dumps(data, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def record_from_json(kind: type[Kept], text: str, schema: str) -> Kept:
    """The record in the text of a file.

    Raises InputError with everything that is wrong: D101 no JSON, D102 another schema, D103 a value that does not fit,
    D104 a missing field, D105 an unknown field.
    """
    try:
        data = json.loads(text, parse_constant=_no_constant)
    except json.JSONDecodeError as error:
        problem = f"line {error.lineno}, column {error.colno}: {error.msg}"
        raise InputError(found("D101", problem=problem)) from None
    except (ValueError, RecursionError) as error:
        raise InputError(found("D101", problem=str(error))) from None
    if isinstance(data, dict) and data.get("schema") != schema:
        came = json.dumps(data["schema"], ensure_ascii=False)[:60] if "schema" in data else "not stated"
        raise InputError(found("D102", where="schema", came=came, allowed=f'"{schema}"'))
    problems: list[Finding] = []
    record: Kept = decode(kind, data, "", problems)
    if problems:
        raise InputError(problems)
    return record


def _no_constant(name: str) -> Any:
    raise ValueError(f"{name} is no number")
