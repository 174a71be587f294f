"""Text of a YAML file as a tree that knows its lines; what a file typed by hand never needs is refused.

Refused: more than 1 MB, anything but UTF-8 text, a second document, a key standing twice, too many levels or values
(aliases, where they are allowed, count unfolded), keys that are no single word. Scalars stay as typed, so nothing is
guessed on the way in: ``1,5``, ``08``, ``no``, ``12:30`` and ``2026-11-25`` reach their reader unharmed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from bendwright.findings import Finding
from bendwright.said import phrase, say
from bendwright.typed.dialect import Complaint, Dialect

LARGEST_BYTES = 1_000_000
MOST_VALUES = 50_000
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_NULLS = ("", "~", "null", "Null", "NULL")
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f]")


@dataclass(frozen=True, slots=True)
class Word:
    """One scalar as typed, trimmed; ``blank`` when nothing (or ``null`` or ``~``, unquoted) was typed."""

    line: int
    text: str
    blank: bool = False
    path: str = ""


@dataclass(frozen=True, slots=True)
class Rows:
    """A list."""

    line: int
    items: tuple[Node, ...]
    path: str = ""


@dataclass(frozen=True, slots=True)
class Keys:
    """A mapping; ``lines`` holds the line of each key."""

    line: int
    items: dict[str, Node]
    lines: dict[str, int]
    path: str = ""


Node = Word | Rows | Keys


def read_text(path: Path, dialect: Dialect) -> str:
    """The file's text. Raises the dialect's error when it is missing, too large or not UTF-8 text."""
    place = {"name": path.name, "file": str(path)}
    try:
        size = path.stat().st_size
        if size > LARGEST_BYTES:
            values = {"size": size, "most": LARGEST_BYTES, "why": phrase("it is larger than 1 MB")}
            raise dialect.refusal("too large", **place, **values)
        data = path.read_bytes()
    except OSError as error:
        reason = error.strerror or "unknown"
        raise dialect.refusal("cannot open", **place, reason=phrase(reason), why=phrase(reason.lower())) from None
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        values = {"line": data[: error.start].count(b"\n") + 1, "byte": f"{data[error.start]:#04x}"}
        raise dialect.refusal("not text", **place, **values, why=say("typed.no_utf8", byte=error.start)) from None
    odd = _CONTROL.search(text)
    if odd is not None:
        byte = f"{ord(odd[0]):#04x}"
        why = phrase("it holds zero bytes") if odd[0] == "\0" else say("typed.control", byte=byte)
        raise dialect.refusal("not text", **place, line=text.count("\n", 0, odd.start()) + 1, byte=byte, why=why)
    return text


def parse(text: str, name: str, dialect: Dialect) -> tuple[Node | None, list[Finding]]:
    """The tree of the only document in ``text`` (None when empty) and a finding for each key that stands twice.

    Raises the dialect's error for everything else that is wrong with its form.
    """
    builder = _Builder(name, dialect)
    try:
        return builder.document(yaml.parse(text, Loader=_LOADER)), builder.twice
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        why = getattr(error, "problem", None) or "it cannot be read as YAML"
        raise dialect.refusal(
            "not YAML", name=name, line=mark.line + 1 if mark else 1, path="", why=phrase(why)
        ) from None


class _Builder:
    """Builds the tree from parser events."""

    def __init__(self, name: str, dialect: Dialect) -> None:
        self.twice: list[Finding] = []
        self._name = name
        self._dialect = dialect
        self._values = 0
        self._anchored: dict[str, list[Any]] = {}

    def document(self, events: Iterator[Any]) -> Node | None:
        """The first document; a second one is refused."""
        root: Node | None = None
        for event in events:
            if isinstance(event, yaml.DocumentStartEvent) and root is not None:
                raise self._refusal("several documents", event, "")
            if isinstance(event, yaml.NodeEvent):
                root = self._node(event, events, "", 0)
        return root

    def _refusal(self, complaint: Complaint, event: Any, path: str, **known: object) -> Exception:
        line = _line(event)
        return self._dialect.refusal(complaint, name=self._name, line=line, path=path, **known)

    def _node(self, event: Any, events: Iterator[Any], path: str, depth: int) -> Node:
        """The node that begins with ``event``; ``events`` are those after it."""
        self._values += 1
        deepest = self._dialect.deepest
        if depth > deepest or self._values > MOST_VALUES:
            why = say("typed.levels", most=deepest) if depth > deepest else say("typed.values", most=MOST_VALUES)
            raise self._refusal("too deep", event, path, depth=deepest, most=MOST_VALUES, why=why)
        if event.anchor or isinstance(event, yaml.AliasEvent):
            event, events = self._unfolded(event, events, path)
        line = _line(event)
        if event.tag and not self._dialect.aliases:
            raise self._refusal("alias", event, path)
        if isinstance(event, yaml.ScalarEvent):
            text = event.value.strip()
            blank = not text if event.style or event.tag else text in _NULLS
            return Word(line, text, blank, path)
        if isinstance(event, yaml.MappingStartEvent):
            return self._keys(line, events, path, depth)
        items: list[Node] = []
        while not isinstance(event := next(events), yaml.SequenceEndEvent):
            place = f"{path}[{len(items) + self._dialect.first_item}]"
            items.append(self._node(event, events, place, depth + 1))
        return Rows(line, tuple(items), path)

    def _keys(self, line: int, events: Iterator[Any], path: str, depth: int) -> Keys:
        """The rest of a mapping whose start was read."""
        items: dict[str, Node] = {}
        lines: dict[str, int] = {}
        while not isinstance(event := next(events), yaml.MappingEndEvent):
            word = self._node(event, events, path, depth + 1)
            key = word.text if isinstance(word, Word) else ""
            place = f"{path}.{key}" if path else key
            node = self._node(next(events), events, place, depth + 1)
            if not isinstance(word, Word):
                raise self._refusal("key no word", event, path)
            if key in items:
                known = {"name": self._name, "line": word.line, "path": place, "key": key, "first": lines[key]}
                self.twice.append(self._dialect.finding("twice", **known))
            else:
                items[key], lines[key] = node, word.line
        return Keys(line, items, lines, path)

    def _unfolded(self, event: Any, events: Iterator[Any], path: str) -> tuple[Any, Iterator[Any]]:
        """The events an alias stands for; those of an anchored node are kept for its aliases."""
        if not self._dialect.aliases:
            raise self._refusal("alias", event, path)
        if not isinstance(event, yaml.AliasEvent):
            self._anchored[event.anchor] = [event, *_rest(event, events)]
        elif event.anchor not in self._anchored:
            raise self._refusal("not YAML", event, path, why=phrase("found undefined alias"))
        replay = iter(self._anchored[event.anchor])
        return next(replay), replay


def _line(event: Any) -> int:
    """The line an event begins on, counted from 1."""
    return int(event.start_mark.line) + 1


def _rest(event: Any, events: Iterator[Any]) -> Iterator[Any]:
    """The events after ``event`` that belong to the node it begins."""
    level = int(isinstance(event, yaml.CollectionStartEvent))
    while level:
        event = next(events)
        level += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
        yield event
