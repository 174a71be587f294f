"""One group of fields being read: what came, where it stood, and every complaint at once.

A reader is a plain function from ``Value`` to something typed; it raises ``InputError`` with findings. ``Record``
gathers the findings of all fields of one group before it raises, so that a person sees them together. Unknown keys
are complained about with the nearest known one. Blank is unknown: ``optional`` gives None, ``needed`` complains.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TypeVar, cast

from bendwright.findings import InputError, found
from bendwright.quantities import LengthUnit
from bendwright.said import phrase, say
from bendwright.typed.dialect import Complaint, Dialect
from bendwright.typed.gathering import Gathering
from bendwright.typed.tree import Keys, Node, Rows, Word, parse

T = TypeVar("T")
LONGEST_SHOWN = 60
_NUMBER = re.compile(r"[-+.,\d]+")


@dataclass(frozen=True, slots=True)
class Page:
    """The file being read: its name, its dialect and the unit of its bare lengths."""

    name: str
    dialect: Dialect
    unit: LengthUnit = "mm"


@dataclass(frozen=True, slots=True)
class Value:
    """One value of a file: a word (perhaps blank), a list or a group of fields."""

    node: Node
    page: Page

    @property
    def where(self) -> str:
        """Its place: ``punches.yaml:12 punches[1].height``."""
        return f"{self.page.name}:{self.node.line} {self.node.path}".rstrip()

    @property
    def kind(self) -> str:
        """What kind of value it is, in words for a finding."""
        if isinstance(self.node, Word):
            return phrase("nothing" if self.node.blank else "a single value")
        return phrase("a list" if isinstance(self.node, Rows) else self.page.dialect.group)

    @property
    def shown(self) -> str:
        """The word that came, in quotes; the kind of anything else."""
        if isinstance(self.node, Word) and not self.node.blank:
            quote = self.page.dialect.quote
            return f"{quote}{self.node.text[:LONGEST_SHOWN]}{quote}"
        return self.kind

    def refusal(self, complaint: Complaint, **known: object) -> InputError:
        """The error to raise for a complaint about this value."""
        path = self.node.path
        known = {"name": self.page.name, "line": self.node.line, "path": path, "field": path} | known
        return self.page.dialect.refusal(complaint, kind=self.kind, shown=self.shown, **known)

    def error(self, code: str, /, **values: object) -> InputError:
        """The error to raise for the finding ``code`` about this value."""
        return self.page.dialect.error(found(code, where=self.where, **values))


Reader = Callable[[Value], T]


class Record(Gathering):
    """A group of fields being read. Ask for every known field, then call ``done`` before using any of them."""

    def __init__(self, value: Value, what: str = "") -> None:
        super().__init__()
        if not isinstance(value.node, Keys):
            raise value.refusal("no group", wanted=say("typed.fields_of", what=phrase(what)))
        self.what = what
        self.page = value.page
        self._keys = value.node
        self._asked: set[str] = set()

    @property
    def where(self) -> str:
        """The place of the group."""
        return Value(self._keys, self.page).where

    @property
    def path(self) -> str:
        """The keys down to the group; "" for the file itself."""
        return self._keys.path

    def has(self, key: str) -> bool:
        """True when the field stands there and is not blank."""
        return self._filled(key) is not None

    def optional(self, key: str, read: Reader[T]) -> T | None:
        """The field as ``read`` makes it, None when absent, blank or (with its finding kept for ``done``) refused."""
        node = self._filled(key)
        return None if node is None else self._read(node, read)

    def needed(self, key: str, read: Reader[T]) -> T:
        """Like ``optional``, but absence is a finding. Only look at the result after ``done``."""
        node = self._filled(key)
        if node is None:
            self._complain("missing", key, line=self._keys.line, path=self.path)
            return cast(T, None)
        return cast(T, self._read(node, read))

    def place(self, key: str) -> str:
        """Where the field stands, or would stand: file, line of its key, path."""
        line = self._keys.lines.get(key, self._keys.line)
        return f"{self.page.name}:{line} {self._path(key)}"

    def complain(self, code: str, /, *, field: str = "", **values: object) -> None:
        """Keep the finding ``code``, placed at ``field`` where that stands in the file."""
        at = self.place(field) if field in self._keys.items else self.where
        self.findings.append(found(code, where=at, **values))

    def done(self) -> None:
        """Raise the dialect's error with all findings of the group, unknown keys included; silent without any."""
        for key in self._keys.items:
            if key not in self._asked:
                self._unknown(key)
        if self.findings:
            raise self.page.dialect.error(dict.fromkeys(self.findings))

    def _filled(self, key: str) -> Node | None:
        """What stands under a key that is known from now on; None when it is absent or blank."""
        self._asked.add(key)
        node = self._keys.items.get(key)
        return None if isinstance(node, Word) and node.blank else node

    def _read(self, node: Node, read: Reader[T]) -> T | None:
        value = Value(node, self.page)
        return self.tried(lambda: read(value), lambda: value.where)

    def _unknown(self, key: str) -> None:
        """Complain of a key nobody asked for."""
        known = sorted(self._asked)
        near = nearest(key, known, self.page.dialect)
        alike: Complaint = "unknown but alike" if near else "unknown"
        complaint = "number as key" if _NUMBER.fullmatch(key) else alike
        self._complain(complaint, key, known=", ".join(known), near=near)

    def _path(self, key: str) -> str:
        return f"{self.path}.{key}" if self.path else key

    def _complain(self, complaint: Complaint, key: str, **known: object) -> None:
        """Keep a complaint about a key."""
        path, line = self._path(key), self._keys.lines.get(key, self._keys.line)
        about = {"name": self.page.name, "line": line, "path": path, "key_line": line, "field": path}
        group = {"key": key[:LONGEST_SHOWN], "what": phrase(self.what), "group": self.path or phrase("the file")}
        self.findings.append(self.page.dialect.finding(complaint, **(about | group | known)))


def page(text: str, name: str, dialect: Dialect, what: str = "") -> Record:
    """The YAML ``text`` of the file ``name`` as the record of its top level; raises the dialect's error."""
    tree, twice = parse(text, name, dialect)
    if not isinstance(tree, Keys):
        complaint: Complaint = "empty" if tree is None else "no page"
        shown = "" if tree is None else Value(tree, Page(name, dialect)).shown
        known = {"name": name, "line": tree.line if tree else 1, "path": "", "what": phrase(what), "shown": shown}
        raise dialect.error([dialect.finding(complaint, **known), *twice])
    record = Record(Value(tree, Page(name, dialect, _unit(tree, dialect.unit_at))), what)
    record.findings.extend(twice)
    return record


def _unit(tree: Node, keys: Sequence[str]) -> LengthUnit:
    """The unit of bare lengths that the file names under ``keys``, mm when it names none."""
    node: Node | None = tree
    for key in keys:
        node = node.items.get(key) if isinstance(node, Keys) else None
    return "inch" if isinstance(node, Word) and node.text.lower() == "inch" else "mm"


def nearest(word: str, allowed: Iterable[str], dialect: Dialect) -> str:
    """The allowed word most like ``word``; "" when none is like it."""
    near = get_close_matches(word.lower(), list(allowed), n=1, cutoff=dialect.closeness)
    return near[0] if near else ""
