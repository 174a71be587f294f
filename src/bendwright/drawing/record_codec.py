"""Frozen records to plain JSON data and back, driven by the field types alone.

Rules of the form: a record is an object with one key per field, in field order; a tuple is a list; unknown is null.
Where a field may hold one of several records, the object says which in its first key ``is`` (``circle``,
``slot``, ...). Reading is strict: every field must be there, no other may be, every value must be of its type. All
problems of a file are collected, each with its path (``strokes[2].gauging.x_mm``).
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import cache
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from bendwright.findings import Finding, found
from bendwright.said import phrase

TAG = "is"


def encode(kind: Any, value: Any, where: str, problems: list[Finding]) -> Any:
    """``value`` of type ``kind`` as JSON data; a number that is not finite adds D106 to ``problems``."""
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, (int, float)):
        if not math.isfinite(value):
            problems.append(found("D106", where=where, name=where, came=value))
        return float(value) if float in _members(kind) else value
    if isinstance(value, str):
        return value.value if isinstance(value, Enum) else value
    if isinstance(value, tuple):
        possible = (_tuple_parts(choice, len(value)) for choice in _members(kind))
        parts = next(item for item in possible if item is not None)
        return [
            encode(part, item, f"{where}[{i}]", problems)
            for i, (part, item) in enumerate(zip(parts, value, strict=True))
        ]
    tagged = len(_records(kind)) > 1
    data: dict[str, Any] = {TAG: tag_of(type(value))} if tagged else {}
    record: type = type(value)
    for name, hint in field_types(record).items():
        data[name] = encode(hint, getattr(value, name), _path(where, name), problems)
    return data


def decode(kind: Any, data: Any, where: str, problems: list[Finding]) -> Any:
    """JSON data as a value of type ``kind``; what does not fit adds D103, D104 or D105 to ``problems``.

    The result is only meaningful when no problem was added.
    """
    choices = _members(kind)
    if data is None and NoneType in choices:
        return None
    records = _records(kind)
    if records and isinstance(data, dict):
        return _decode_record(records, data, where, problems)
    for choice in choices:
        parts = _tuple_parts(choice, len(data)) if isinstance(data, list) else None
        if parts is not None:
            return tuple(
                decode(part, item, f"{where}[{i}]", problems)
                for i, (part, item) in enumerate(zip(parts, data, strict=True))
            )
        if _fits(choice, data):
            return choice(data) if isinstance(choice, type) and not isinstance(data, choice) else data
    problems.append(
        found("D103", where=where, name=where or phrase("the file"), came=_short(data), allowed=phrase(describe(kind)))
    )
    return None


def _decode_record(records: list[type], data: dict[str, Any], where: str, problems: list[Finding]) -> Any:
    record, given = records[0], dict(data)
    if len(records) > 1:
        tag = given.pop(TAG, None)
        known = {tag_of(item): item for item in records}
        if not isinstance(tag, str) or tag not in known:
            name = _path(where, TAG)
            problems.append(found("D103", where=name, name=name, came=_short(tag), allowed=", ".join(known)))
            return None
        record = known[tag]
    hints = field_types(record)
    before = len(problems)
    problems.extend(
        found("D105", where=_path(where, name), name=_path(where, name), allowed=", ".join(hints))
        for name in given
        if name not in hints
    )
    values = {}
    for name, hint in hints.items():
        if name in given:
            values[name] = decode(hint, given[name], _path(where, name), problems)
        else:
            problems.append(found("D104", where=_path(where, name), name=_path(where, name)))
    return record(**values) if len(problems) == before else None


def json_schema(kind: Any, definitions: dict[str, Any]) -> dict[str, Any]:
    """JSON Schema (2020-12) of ``kind``; records go into ``definitions`` under their class name."""
    choices = _members(kind)
    if len(choices) > 1:
        return {"anyOf": [_one_schema(item, definitions, tagged=len(_records(kind)) > 1) for item in choices]}
    return _one_schema(choices[0], definitions, tagged=False)


def _one_schema(kind: Any, definitions: dict[str, Any], *, tagged: bool) -> dict[str, Any]:
    if get_origin(kind) is tuple:
        arguments = get_args(kind)
        if arguments[-1] is Ellipsis:
            return {"type": "array", "items": json_schema(arguments[0], definitions)}
        items = [json_schema(item, definitions) for item in arguments]
        return {"type": "array", "prefixItems": items, "minItems": len(items), "maxItems": len(items)}
    if get_origin(kind) is Literal:
        return {"enum": list(get_args(kind))}
    if issubclass(kind, Enum):
        return {"enum": [item.value for item in kind]}
    if kind in _JSON_NAMES:
        return {"type": _JSON_NAMES[kind]}
    if kind.__name__ not in definitions:
        definitions[kind.__name__] = {}
        properties = {name: json_schema(hint, definitions) for name, hint in field_types(kind).items()}
        if tagged:
            properties = {TAG: {"const": tag_of(kind)}} | properties
        definitions[kind.__name__] = {
            "description": " ".join((kind.__doc__ or "").split()),
            "type": "object",
            "properties": properties,
            "required": list(properties),
            "additionalProperties": False,
        }
    return {"$ref": f"#/$defs/{kind.__name__}"}


@cache
def field_types(record: type) -> dict[str, Any]:
    """Field names of a record with their resolved types, in field order."""
    hints = get_type_hints(record)
    return {field.name: hints[field.name] for field in fields(record)}


def tag_of(record: type) -> str:
    """The word that names a record in the key ``is``."""
    return record.__name__.lower()


def describe(kind: Any) -> str:
    """The type in words, for a person who mends a file by hand."""
    names = []
    for choice in _members(kind):
        if get_origin(choice) is tuple:
            arguments = get_args(choice)
            many = arguments[-1] is Ellipsis
            names.append("a list" if many else f"a list of {len(arguments)} values")
        elif get_origin(choice) is Literal:
            names.extend(get_args(choice))
        elif issubclass(choice, Enum):
            names.extend(item.value for item in choice)
        else:
            names.append(_WORDS.get(choice, "an object"))
    return " or ".join(dict.fromkeys(names))


def _members(kind: Any) -> tuple[Any, ...]:
    return get_args(kind) if get_origin(kind) in (Union, UnionType) else (kind,)


def _records(kind: Any) -> list[type]:
    return [item for item in _members(kind) if is_dataclass(item) and isinstance(item, type)]


def _fits(kind: Any, data: Any) -> bool:
    """True when ``data`` is of the plain type, one of the words of the Literal or a value of the Enum ``kind``."""
    if get_origin(kind) is Literal:
        return isinstance(data, str) and data in get_args(kind)
    if isinstance(kind, type) and issubclass(kind, Enum):
        return any(data == item.value for item in kind)
    return kind in _PLAIN and _PLAIN[kind](data)


def _tuple_parts(kind: Any, count: int) -> tuple[Any, ...] | None:
    """The types of ``count`` entries of a tuple type; None for another type or another number of entries."""
    if get_origin(kind) is not tuple:
        return None
    arguments = get_args(kind)
    if arguments[-1] is Ellipsis:
        return (arguments[0],) * count
    return arguments if len(arguments) == count else None


def _path(where: str, name: str) -> str:
    return f"{where}.{name}" if where else name


def _short(data: Any) -> str:
    if isinstance(data, dict):
        return "an object"
    text = json.dumps(data, ensure_ascii=False)
    return text if len(text) <= 40 else f"{text[:37]}..."


def _is_number(data: Any) -> bool:
    if isinstance(data, bool) or not isinstance(data, (int, float)):
        return False
    return abs(data) < 1e300


_PLAIN: dict[Any, Callable[[Any], bool]] = {
    bool: lambda data: isinstance(data, bool),
    int: lambda data: isinstance(data, int) and not isinstance(data, bool),
    float: _is_number,
    str: lambda data: isinstance(data, str),
}
_JSON_NAMES: dict[Any, str] = {bool: "boolean", int: "integer", float: "number", str: "string", NoneType: "null"}
_WORDS: dict[Any, str] = {
    bool: "true or false",
    int: "a whole number",
    float: "a number",
    str: "a text",
    NoneType: "null",
}
