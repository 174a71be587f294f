"""YAML text to a tree that knows its lines, refusing what a part file never needs.

Refused: more than 1 MB, anything but UTF-8 text, anchors, aliases and tags (they can blow up), nesting deeper than
24 levels, a key standing twice. Scalars stay as typed, so ``1,5`` and ``08`` reach the number parser unharmed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from bendwright.findings import Finding, PartFileError, found

LARGEST_BYTES = 1_000_000
DEEPEST = 24
MOST_VALUES = 50_000


@dataclass(frozen=True, slots=True)
class Word:
    """One scalar as typed; ``blank`` when nothing (or ``null`` or ``~``, unquoted) was typed."""

    line: int
    text: str
    blank: bool = False


@dataclass(frozen=True, slots=True)
class Rows:
    """A list."""

    line: int
    items: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Keys:
    """A mapping; ``lines`` holds the line of each key."""

    line: int
    items: dict[str, Node]
    lines: dict[str, int]


Node = Word | Rows | Keys


def read_text(path: Path) -> str:
    """The file's text. Raises PartFileError (P101, P102, P103) when it is missing, too large or not UTF-8 text."""
    try:
        size = path.stat().st_size
        if size > LARGEST_BYTES:
            raise PartFileError(found("P102", where=path.name, size=size, most=LARGEST_BYTES))
        data = path.read_bytes()
    except OSError as problem:
        raise PartFileError(found("P101", where=str(path), reason=problem.strerror or str(problem))) from None
    return decode(data, path.name)


def decode(data: bytes, name: str) -> str:
    """UTF-8 bytes to text; P103 names the first byte that does not fit."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = data[: problem.start].count(b"\n") + 1
        raise PartFileError(found("P103", where=f"{name}:{line}", byte=f"{data[problem.start]:#04x}")) from None
    for number, row in enumerate(text.split("\n"), start=1):
        odd = next((letter for letter in row if ord(letter) < 32 and letter not in "\t\r"), None)
        if odd is not None:
            raise PartFileError(found("P103", where=f"{name}:{number}", byte=f"{ord(odd):#04x}"))
    return text


def parse(text: str, name: str) -> tuple[Node | None, list[Finding]]:
    """The tree of the only document in ``text`` (None when empty) and the keys that stand twice.

    Raises PartFileError (P104 not YAML, P105 anchor, alias or tag, P106 too deep or too many values).
    """
    if len(text.encode("utf-8", errors="replace")) > LARGEST_BYTES:
        raise PartFileError(found("P102", where=name, size=len(text), most=LARGEST_BYTES))
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    builder = _Builder(name, yaml.parse(text, Loader=loader))
    try:
        return builder.document(), builder.twice
    except yaml.YAMLError as problem:
        mark = getattr(problem, "problem_mark", None)
        line = mark.line + 1 if mark else 1
        reason = getattr(problem, "problem", None) or "it cannot be read as YAML"
        raise PartFileError(found("P104", where=f"{name}:{line}", reason=reason)) from None


class _Builder:
    """Builds the tree from parser events, so that nothing is expanded."""

    def __init__(self, name: str, events: Iterator[Any]) -> None:
        self.name = name
        self.events = events
        self.twice: list[Finding] = []
        self.values = 0

    def document(self) -> Node | None:
        """The first document; a second one is refused."""
        root: Node | None = None
        for event in self.events:
            if isinstance(event, yaml.DocumentStartEvent) and root is not None:
                raise PartFileError(found("P107", where=self.where(event)))
            if isinstance(event, yaml.ScalarEvent | yaml.SequenceStartEvent | yaml.MappingStartEvent | yaml.AliasEvent):
                root = self.node(event, 0)
        return root

    def where(self, event: Any) -> str:
        """file:line of an event."""
        return f"{self.name}:{event.start_mark.line + 1}"

    def node(self, event: Any, depth: int) -> Node:
        """The node beginning with ``event``."""
        self.values += 1
        if depth > DEEPEST or self.values > MOST_VALUES:
            raise PartFileError(found("P106", where=self.where(event), depth=DEEPEST, most=MOST_VALUES))
        if isinstance(event, yaml.AliasEvent) or event.anchor or event.tag:
            raise PartFileError(found("P105", where=self.where(event)))
        line = event.start_mark.line + 1
        if isinstance(event, yaml.ScalarEvent):
            plain = event.style in (None, "")
            return Word(line, event.value.strip(), plain and event.value in ("", "~", "null", "Null", "NULL"))
        if isinstance(event, yaml.SequenceStartEvent):
            items: list[Node] = []
            while not isinstance(item := next(self.events), yaml.SequenceEndEvent):
                items.append(self.node(item, depth + 1))
            return Rows(line, tuple(items))
        return self.keys(line, depth)

    def keys(self, line: int, depth: int) -> Keys:
        """The rest of a mapping whose start was read."""
        entries: dict[str, Node] = {}
        lines: dict[str, int] = {}
        while not isinstance(event := next(self.events), yaml.MappingEndEvent):
            key = self.node(event, depth + 1)
            value = self.node(next(self.events), depth + 1)
            if not isinstance(key, Word):
                raise PartFileError(found("P104", where=f"{self.name}:{key.line}", reason="a key must be one word"))
            if key.text in entries:
                where = f"{self.name}:{key.line}"
                self.twice.append(found("P108", where=where, key=key.text, first=lines[key.text]))
                continue
            entries[key.text] = value
            lines[key.text] = key.line
        return Keys(line, entries, lines)
