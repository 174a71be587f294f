"""One mapping of a part file, read key by key; every oddity becomes a finding with its line and field."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal, TypeVar

from bendwright.drawing.yaml_lines import Keys, Node, Rows, Word
from bendwright.findings import Finding, InputError, found
from bendwright.part.model import Point, Tolerance
from bendwright.quantities import parse_angle_deg, parse_length

Unit = Literal["mm", "inch"]
LONGEST_TEXT = 300
NUMBER = re.compile(r"[-+.,\d]+")
Choice = TypeVar("Choice", bound=str)
KIND_WORDS = {Word: "a single value", Rows: "a list", Keys: "a block of keys"}


@dataclass(slots=True)
class Reading:
    """What all fields of one file share: its name, the default unit and the findings so far."""

    name: str
    unit: Unit = "mm"
    bad: list[Finding] = field(default_factory=list)


@dataclass(slots=True)
class Fields:
    """A mapping at ``path`` in the file; ``asked`` collects the keys that were looked for."""

    reading: Reading
    node: Keys
    path: str = ""
    asked: list[str] = field(default_factory=list)

    def where(self, key: str = "") -> str:
        """``file:line path.key``, the line of the key if it is there, else of the mapping."""
        line = self.node.lines.get(key, self.node.line)
        return f"{self.reading.name}:{line} {self.at(key)}".rstrip()

    def at(self, key: str) -> str:
        """The field's path in the file."""
        return ".".join(part for part in (self.path, key) if part)

    def say(self, code: str, at: str = "", /, **values: object) -> None:
        """Note a finding at a key."""
        self.reading.bad.append(found(code, where=self.where(at), **values))

    def get(self, key: str) -> Node | None:
        """The node of a key; None when it is absent or blank."""
        self.asked.append(key)
        node = self.node.items.get(key)
        return None if node is None or (isinstance(node, Word) and node.blank) else node

    def has(self, key: str) -> bool:
        """Was something typed for this key?"""
        return self.get(key) is not None

    def word(self, key: str, *, mandatory: bool = False) -> str | None:
        """A single value as typed; None when blank (P110 when mandatory)."""
        node = self.get(key)
        if isinstance(node, Word) and node.text:
            return node.text
        if node is not None and not isinstance(node, Word):
            self.say("P111", key, field=self.at(key), wanted=KIND_WORDS[Word], came=KIND_WORDS[type(node)])
        elif mandatory:
            self.say("P110", key, field=self.at(key))
        return None

    def text(self, key: str, *, mandatory: bool = False) -> str:
        """Free text of at most 300 characters on one line; "" when blank."""
        word = self.word(key, mandatory=mandatory) or ""
        if len(word) > LONGEST_TEXT or "\n" in word:
            self.say("P117", key, field=self.at(key), length=len(word), most=LONGEST_TEXT)
            return ""
        return word

    def choice(self, key: str, allowed: Sequence[Choice], *, mandatory: bool = False) -> Choice | None:
        """One of ``allowed``; None when blank."""
        word = self.word(key, mandatory=mandatory)
        if word is None:
            return None
        for item in allowed:
            if word.lower() == item:
                return item
        near = nearest(word, allowed, "Type one of these, or leave the field out.")
        self.say("P112", key, field=self.at(key), came=word, allowed=", ".join(allowed), near=near)
        return None

    def flag(self, key: str) -> bool:
        """yes or no (or true, false); blank is no."""
        answer = self.choice(key, ("yes", "no", "true", "false"))
        return answer in ("yes", "true")

    def length(self, key: str, *, mandatory: bool = False, zero: bool = False, negative: bool = False) -> float | None:
        """A length [mm] in the drawing's unit unless it says its own; None when blank."""
        word = self.word(key, mandatory=mandatory)
        return None if word is None else self.length_of(word, self.where(key), zero=zero, negative=negative)

    def length_of(self, word: str, where: str, *, zero: bool = False, negative: bool = False) -> float | None:
        """The length [mm] that ``word`` at ``where`` says; None with a finding when it says none."""
        unit, zero = self.reading.unit, zero or negative
        return self.taken(
            lambda: parse_length(word, default_unit=unit, where=where, allow_zero=zero, allow_negative=negative), where
        )

    def angle(self, key: str) -> float | None:
        """An angle [degrees]; None when blank."""
        word, where = self.word(key), self.where(key)
        return None if word is None else self.taken(lambda: parse_angle_deg(word, where=where), where)

    def taken(self, parse: Callable[[], float], where: str) -> float | None:
        """The parsed number, or None with the parser's findings noted, at ``where`` unless they say better."""
        try:
            return parse()
        except InputError as problem:
            self.reading.bad.extend(replace(item, where=item.where or where) for item in problem.findings)
            return None

    def count(self, key: str) -> int | None:
        """A whole number of at least 1; None when blank."""
        word = self.word(key)
        if word is None:
            return None
        if not word.isascii() or not word.isdecimal() or not int(word[:9]) >= 1 or len(word) > 9:
            self.say("P113", key, field=self.at(key), came=word)
            return None
        return int(word)

    def block(self, key: str) -> Fields | None:
        """The mapping under a key; None when blank."""
        node = self.get(key)
        return None if node is None else self._fields(node, key, self.at(key))

    def rows(self, key: str) -> Iterator[tuple[str, Node]]:
        """The items of a list under a key, each with its path; a list of none when blank."""
        node = self.get(key)
        if isinstance(node, Rows):
            for number, item in enumerate(node.items, start=1):
                yield f"{self.at(key)}[{number}]", item
        elif node is not None:
            self.say("P111", key, field=self.at(key), wanted=KIND_WORDS[Rows], came=KIND_WORDS[type(node)])

    def blocks(self, key: str) -> Iterator[Fields]:
        """The mappings of a list under a key."""
        for path, item in self.rows(key):
            if (fields := self._fields(item, key, path)) is not None:
                yield fields

    def one_or_more(self, key: str) -> Iterator[Fields]:
        """A single mapping or a list of mappings under a key."""
        if isinstance(self.get(key), Keys):
            if (fields := self.block(key)) is not None:
                yield fields
        else:
            yield from self.blocks(key)

    def _fields(self, node: Node, key: str, path: str) -> Fields | None:
        if isinstance(node, Keys):
            return Fields(self.reading, node, path)
        where = f"{self.reading.name}:{node.line} {path}"
        came = f'"{node.text}"' if isinstance(node, Word) else KIND_WORDS[type(node)]
        self.reading.bad.append(found("P111", where=where, field=path, wanted=KIND_WORDS[Keys], came=came))
        return None

    def points(self, key: str) -> tuple[Point, ...]:
        """A list of [x, y] pairs [mm]; () when blank or when one is wrong."""
        pairs = [self.pair(path, item) for path, item in self.rows(key)]
        return () if any(pair is None for pair in pairs) else tuple(pair for pair in pairs if pair is not None)

    def pair(self, path: str, node: Node) -> Point | None:
        """One [x, y] pair [mm]."""
        where = f"{self.reading.name}:{node.line} {path}"
        words = [item.text for item in node.items if isinstance(item, Word)] if isinstance(node, Rows) else []
        if not isinstance(node, Rows) or len(words) != len(node.items) or len(words) != 2:
            came = KIND_WORDS[type(node)] if not isinstance(node, Rows) else f"{len(node.items)} values"
            self.reading.bad.append(found("P115", where=where, field=path, came=came))
            return None
        values = [self.length_of(word, where, negative=True) for word in words]
        x, y = values
        return None if x is None or y is None else (x, y)

    def exactly_one(self, keys: Sequence[str]) -> str | None:
        """The one key of ``keys`` that was typed; P114 when there are none or several."""
        typed = [key for key in keys if self.has(key)]
        if len(typed) == 1:
            return typed[0]
        came = " and ".join(typed) if typed else "none of them"
        self.say("P114", typed[0] if typed else "", place=self.path or "the file", keys=" or ".join(keys), came=came)
        return None

    def at_most_one(self, keys: Sequence[str]) -> str | None:
        """The key of ``keys`` that was typed, None when none was; P114 when several were."""
        return self.exactly_one(keys) if any(self.has(key) for key in keys) else None

    def tolerance(self, key: str) -> Tolerance | None:
        """``0.2`` (plus and minus), ``+0/-0.5`` or keys ``plus`` and ``minus`` with their signs; None when blank."""
        node = self.get(key)
        if node is None:
            return None
        if isinstance(node, Keys) and (sides := self.block(key)) is not None:
            plus = sides.length("plus", mandatory=True, negative=True)
            minus = sides.length("minus", mandatory=True, negative=True)
            sides.close()
        elif (word := self.word(key)) is None:
            return None
        elif "/" in word and word.lstrip().startswith(("+", "-", "0")) and len(word.split("/")) == 2:
            first, second = word.split("/")
            plus = self.length_of(first.strip().removeprefix("+"), self.where(key), negative=True)
            minus = self.length_of(second.strip(), self.where(key), negative=True)
        else:
            plus = self.length_of(word.removeprefix("±").strip(), self.where(key), zero=True)
            minus = None if plus is None else -plus
        if plus is None or minus is None:
            return None
        if minus > 0 or plus < 0:
            self.say("P116", key, field=self.at(key), plus=f"{plus:g}", minus=f"{minus:g}")
            return None
        return Tolerance(minus_mm=minus, plus_mm=plus)

    def close(self) -> None:
        """Note every key that nobody asked for, with the nearest one that is known."""
        known = sorted(set(self.asked))
        for key in self.node.items:
            if key in known:
                continue
            if NUMBER.fullmatch(key):
                self.say("P119", key, key=key, place=self.path or "the file")
            else:
                near = nearest(key, known, f"Known here: {', '.join(known)}.")
                self.say("P109", key, key=key, place=self.path or "the file", near=near)


def nearest(word: str, allowed: Sequence[str], otherwise: str) -> str:
    """``Did you mean "..."?`` for the most alike allowed word, else ``otherwise``."""
    close = difflib.get_close_matches(word.lower(), allowed, n=1, cutoff=0.6)
    return f'Did you mean "{close[0]}"?' if close else otherwise
