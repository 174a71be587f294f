"""A record as a JSON file that is read back to exactly the same record.

Its texts are English. Beside the fields the key ``sayings`` keeps, by the English text, what can be said in German too: template and
values. A file without it, or with rows nobody understands, reads as well.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any, TypeVar

from bendwright.drawing.record_codec import decode, encode
from bendwright.findings import Finding, InputError, found
from bendwright.said import Said, as_data, from_data, phrase, say

Kept = TypeVar("Kept")
SAYINGS = "sayings"


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
    sayings: dict[str, Any] = {}
    _gather(data, sayings)
    whole = {**data, SAYINGS: sayings} if sayings else data
    return json.dumps(whole, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def record_from_json(kind: type[Kept], text: str, schema: str) -> Kept:
    """The record in the text of a file.

    Raises InputError with everything that is wrong: D101 no JSON, D102 another schema, D103 a value that does not fit,
    D104 a missing field, D105 an unknown field.
    """
    try:
        data = json.loads(text, parse_constant=_no_constant)
    except json.JSONDecodeError as error:
        problem = say("drawing.json_at", line=error.lineno, column=error.colno, why=phrase(error.msg))
        raise InputError(found("D101", problem=problem)) from None
    except (ValueError, RecursionError) as error:
        raise InputError(found("D101", problem=str(error))) from None
    if isinstance(data, dict) and data.get("schema") != schema:
        came = json.dumps(data["schema"], ensure_ascii=False)[:60] if "schema" in data else phrase("not stated")
        raise InputError(found("D102", where="schema", came=came, allowed=f'"{schema}"'))
    problems: list[Finding] = []
    sayings = data.pop(SAYINGS, None) if isinstance(data, dict) else None
    if isinstance(sayings, dict) and sayings:
        data = _said_again(data, {text: from_data(row) for text, row in sayings.items()})
    record: Kept = decode(kind, data, "", problems)
    if problems:
        raise InputError(problems)
    return record


def _no_constant(name: str) -> Any:
    raise ValueError(f"{name} is no number")


def _gather(data: Any, sayings: dict[str, Any]) -> None:
    """Every saying in JSON data, by its text."""
    if isinstance(data, Said):
        sayings.setdefault(str(data), as_data(data))
    else:
        for item in data.values() if isinstance(data, dict) else data if isinstance(data, list) else ():
            _gather(item, sayings)


def _said_again(data: Any, sayings: Mapping[str, Any]) -> Any:
    """JSON data with its texts as sayings again, where they are the same word for word."""
    if isinstance(data, str):
        said = sayings.get(data)
        return said if isinstance(said, Said) and said == data else data
    if isinstance(data, dict):
        return {name: _said_again(value, sayings) for name, value in data.items()}
    return [_said_again(item, sayings) for item in data] if isinstance(data, list) else data
