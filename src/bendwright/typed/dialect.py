"""What one family of files allows, and which finding each complaint of the reader becomes.

The reader knows neither parts nor shops. It complains by one of the words of ``Complaint`` and hands over what it
knows (name of the file, line, path in it, what came ...); the family's ``Dialect`` says code, place and wording.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from bendwright.findings import Finding, InputError, found
from bendwright.said import phrase, say

Complaint = Literal[
    "cannot open",
    "too large",
    "not text",
    "not YAML",
    "alias",
    "several documents",
    "too deep",
    "twice",
    "key no word",
    "empty",
    "no page",
    "no group",
    "no list",
    "no word",
    "missing",
    "unknown",
    "unknown but alike",
    "number as key",
    "other word",
    "other word but alike",
]


@dataclass(frozen=True, slots=True)
class Saying:
    """One complaint as a finding: its code, the template of its place, and placeholders worded for this family: a phrase, the key of a
    saying (``typed.known_here``), or what the reader knows, in braces.
    """

    code: str
    at: str = "{name}:{line} {path}"
    words: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Dialect:
    """A family of files: its error, its sayings, and what its form allows.

    ``group`` is what it calls a mapping, ``quote`` the mark around what came, ``first_item`` the number of the first
    item of a list, ``deepest`` the levels read, ``aliases`` whether YAML's anchors, aliases and tags are, ``unit_at``
    the keys down to the unit of bare lengths, ``closeness`` (0 to 1) how alike a word must be to be proposed.
    """

    error: type[InputError]
    sayings: Mapping[Complaint, Saying]
    group: str
    quote: str
    first_item: int
    deepest: int
    aliases: bool
    unit_at: tuple[str, ...]
    closeness: float

    def finding(self, complaint: Complaint, **known: object) -> Finding:
        """The finding of a complaint, out of what the reader knows."""
        saying = self.sayings[complaint]
        words = {key: _worded(template, known) for key, template in saying.words.items()}
        return found(saying.code, where=saying.at.format(**known).rstrip(), **(known | words))

    def refusal(self, complaint: Complaint, **known: object) -> InputError:
        """The error to raise for a complaint that ends the reading."""
        return self.error(self.finding(complaint, **known))


def _worded(words: str, known: Mapping[str, object]) -> object:
    if words.startswith("{") and words.endswith("}"):
        return known[words[1:-1]]
    return say(words, **known) if words.startswith("typed.") else phrase(words.format(**known))
