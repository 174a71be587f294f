"""A part as it is typed in fields written as the text of a part file, so that reading the text gives the same part again."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from bendwright.shop.yaml_text import scalar

HEADER = (
    "part_no",
    "revision",
    "title",
    "customer",
    "unit",
    "material",
    "thickness",
    "quantity",
    "visible_side",
    "grain",
)
INDENT = 2


def part_file_text(fields: Mapping[str, Any]) -> str:
    """The text of a part file with these fields: those of the header in their usual order, notes, then the rest (``panel``). Values are
    words as they were typed, lists and groups of them; what is None or blank is left out.
    """
    order = [*HEADER, "notes", *(key for key in fields if key not in (*HEADER, "notes"))]
    lines = [line for key in order for line in _lines(key, fields.get(key), 0)]
    return "\n".join([*lines, ""])


def _lines(key: str, value: Any, indent: int) -> list[str]:
    """``key: value`` in as many lines as it takes; none for what says nothing."""
    if _says_nothing(value):
        return []
    start = f"{' ' * indent}{_key(key)}:"
    if isinstance(value, Mapping):
        return [start, *_group(value, indent + INDENT)]
    if _is_list(value) and any(isinstance(item, Mapping) for item in value):
        return [start, *(line for item in value for line in _item(item, indent + INDENT))]
    return [f"{start} {_inline(value)}"]


def _group(value: Mapping[str, Any], indent: int) -> list[str]:
    return [line for key, item in value.items() for line in _lines(key, item, indent)]


def _item(value: Any, indent: int) -> list[str]:
    """An item of a list: a dash, and each field of a group on its own line."""
    lines = _group(value, indent + INDENT) if isinstance(value, Mapping) else []
    if not lines:
        return [f"{' ' * indent}- {_inline(value)}"]
    return [f"{' ' * indent}- {lines[0][indent + INDENT :]}", *lines[1:]]


def _inline(value: Any) -> str:
    """Any value on one line."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{_key(key)}: {_inline(item)}" for key, item in value.items()) + "}"
    if _is_list(value):
        return f"[{', '.join(_inline(item) for item in value)}]"
    return scalar(value.strip()) if isinstance(value, str) else json.dumps(value)


def _key(key: str) -> str:
    return scalar(key)


def _is_list(value: Any) -> bool:
    return isinstance(value, Sequence) and not isinstance(value, str)


def _says_nothing(value: Any) -> bool:
    return value is None or (isinstance(value, str) and not value.strip()) or (_is_list(value) and not value)
