"""A record of a shop as the words somebody typed, and back: the fields of a form to the group of fields a file holds.

Nothing is understood here: a length is the text ``60 mm``. Blank is unknown and is left out of the group. A group of texts where one
is enough (``provenance``) is shown as one, and stays a group as long as it is not changed (``as_it_was``).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from bendwright.shop.record_fields import FIELDS, ROW_KEYS, ROWS, FieldKind, FormKind
from bendwright.typed.tree import Keys, Node, Rows, Word

FORM = "form"
"""Name of the page that words out of a form stand on."""
LISTS: tuple[FieldKind, ...] = ("pair", "numbers", "strengths", "texts")
_PAIR = re.compile(r"\s*(?:;|\bto\b|\bbis\b|\.\.+|…)\s*")
_TEXTS = re.compile(r"\s*[,;]\s*")


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordWords:
    """Texts by the key of their field, the rows of the list of pieces (or clamps) by key, the corners of an outline drawn by hand."""

    fields: Mapping[str, str] = field(default_factory=dict)
    rows: tuple[Mapping[str, str], ...] = ()
    outline: tuple[tuple[str, str], ...] = ()


def words_of(kind: FormKind, node: Keys) -> RecordWords:
    """The words of a record as its file has them."""
    texts = {item.key: _text(_at(node, item.key), item.kind) for item in FIELDS[kind]}
    outline = _at(node, "outline")
    return RecordWords(
        fields={key: text for key, text in texts.items() if text},
        rows=_rows_of(kind, node),
        outline=tuple(
            (_text(corner.items[0], "text"), _text(corner.items[1], "text"))
            for corner in _items(outline)
            if isinstance(corner, Rows) and len(corner.items) == 2
        ),
    )


def node_of(kind: FormKind, words: RecordWords) -> Keys:
    """The group of fields those words make; the path of each is the key of its field (``pieces[2].length``)."""
    top: dict[str, Node] = {}
    for item in FIELDS[kind]:
        text = words.fields.get(item.key, "").strip()
        if text:
            _put(top, item.key, _value(text, item.kind, item.key))
    if words.outline:
        corners = enumerate(words.outline)
        top["outline"] = Rows(1, tuple(_pair(corner, f"outline[{i}]") for i, corner in corners), "outline")
    place = ROWS.get(kind, "")
    if kind == "practice":
        table = {row.get("of", "").strip(): row.get("ratio", "").strip() for row in words.rows if any(row.values())}
        cells = {of: Word(1, ratio, not ratio, f"{place}[{i}].ratio") for i, (of, ratio) in enumerate(table.items())}
        top |= {place: Keys(1, dict(cells), dict.fromkeys(cells, 1), place)} if cells else {}
    elif place:
        rows = tuple(_row(kind, row, f"{place}[{i}]") for i, row in enumerate(words.rows) if any(row.values()))
        if rows or kind != "brakes":
            _put(top, place, Rows(1, rows, place))
    return _keys(top, "")


def _rows_of(kind: FormKind, node: Keys) -> tuple[Mapping[str, str], ...]:
    """The rows of a record's list (or table) of groups."""
    rows = _at(node, ROWS[kind]) if kind in ROWS else None
    if isinstance(rows, Keys):
        return tuple({"of": of, "ratio": _text(ratio, "text")} for of, ratio in rows.items.items() if of)
    return tuple(
        {key: text for key in ROW_KEYS[kind] if (text := _text(_at(row, key), "text"))} for row in _items(rows)
    )


def list_of(text: str, kind: FieldKind) -> list[str]:
    """The words of a list typed in one line: ``5 to 600 mm``, ``Y1, Y2, X``."""
    return [part for part in (_TEXTS if kind == "texts" else _PAIR).split(text.strip()) if part]


def as_it_was(old: Keys, new: Keys) -> Keys:
    """The new group, but where it only says in one text what a group of the old one said, that group."""
    kept: dict[str, Node] = {
        key: had if isinstance(had, Keys) and isinstance(node, Word) and node.text == _text(had, "text") else node
        for key, node in new.items.items()
        for had in (old.items.get(key),)
    }
    return Keys(new.line, kept, new.lines, new.path)


def field_of(where: str) -> str:
    """The key of the field a finding of a form is about; "" when it is about the whole."""
    head, _, path = where.partition(" ")
    return path if head.startswith(f"{FORM}:") else ""


def _row(kind: FormKind, row: Mapping[str, str], place: str) -> Keys:
    top: dict[str, Node] = {}
    for key in ROW_KEYS[kind]:
        text = row.get(key, "").strip()
        if text:
            _put(top, key, Word(1, text, path=f"{place}.{key}"))
    return _keys(top, place)


def _put(top: dict[str, Node], key: str, node: Node) -> None:
    """Hang ``node`` under a key that goes down by dots; groups on the way are plain dictionaries until ``_keys``."""
    *way, last = key.split(".")
    for step in way:
        top = top.setdefault(step, {})  # type: ignore[arg-type,assignment]
    top[last] = node


def _keys(items: Mapping[str, Node | dict[str, Node]], path: str) -> Keys:
    made: dict[str, Node] = {}
    for key, node in items.items():
        made[key] = _keys(node, f"{path}.{key}" if path else key) if isinstance(node, dict) else node
    return Keys(1, made, dict.fromkeys(made, 1), path)


def _value(text: str, kind: FieldKind, path: str) -> Node:
    if kind not in LISTS:
        return Word(1, text, path=path)
    parts = list_of(text, kind)
    return Rows(1, tuple(Word(1, part, path=f"{path}[{i}]") for i, part in enumerate(parts)), path)


def _pair(corner: Sequence[str], path: str) -> Rows:
    return Rows(1, tuple(Word(1, text.strip(), path=f"{path}[{i}]") for i, text in enumerate(corner)), path)


def _text(node: Node | None, kind: FieldKind) -> str:
    if isinstance(node, Word):
        return "" if node.blank else node.text
    if isinstance(node, Rows):
        return (", " if kind == "texts" else " … ").join(_text(item, "text") for item in node.items)
    if isinstance(node, Keys) and kind == "text":
        return "; ".join(f"{what}: {_text(said, 'text')}" for what, said in node.items.items())
    return ""


def _items(node: Node | None) -> Iterable[Node]:
    return node.items if isinstance(node, Rows) else ()


def _at(node: Node | None, key: str) -> Node | None:
    for step in key.split("."):
        node = node.items.get(step) if isinstance(node, Keys) else None
    return node
