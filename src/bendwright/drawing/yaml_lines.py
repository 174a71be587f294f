"""Part files as typed pages: what is allowed in them, and how they complain.

Anchors, aliases and tags are refused: a part file is read by people, and they could blow it up.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from bendwright.findings import Finding, PartFileError
from bendwright.typed import tree
from bendwright.typed.dialect import Complaint, Dialect, Saying
from bendwright.typed.tree import Node

_FILE, _LINE = "{name}", "{name}:{line}"
_EVERYTHING_ELSE = "Type one of these, or leave the field out."
_ALIKE = "typed.did_you_mean"
_SAYINGS: Mapping[Complaint, Saying] = {
    "cannot open": Saying("P101", "{file}"),
    "too large": Saying("P102", _FILE),
    "not text": Saying("P103", _LINE),
    "not YAML": Saying("P104", _LINE, {"reason": "{why}"}),
    "alias": Saying("P105", _LINE),
    "several documents": Saying("P107", _LINE),
    "too deep": Saying("P106", _LINE),
    "twice": Saying("P108", _LINE),
    "key no word": Saying("P104", _LINE, {"reason": "a key must be one word"}),
    "empty": Saying("P118", _FILE),
    "no page": Saying("P118", _FILE),
    "no group": Saying("P111", words={"wanted": "a block of keys", "came": "{shown}"}),
    "no list": Saying("P111", words={"wanted": "a list", "came": "{kind}"}),
    "no word": Saying("P111", words={"wanted": "a single value", "came": "{kind}"}),
    "missing": Saying("P110", "{name}:{key_line} {field}"),
    "unknown": Saying("P109", words={"place": "{group}", "near": "typed.known_here"}),
    "unknown but alike": Saying("P109", words={"place": "{group}", "near": _ALIKE}),
    "number as key": Saying("P119", words={"place": "{group}"}),
    "other word": Saying("P112", words={"came": "{text}", "near": _EVERYTHING_ELSE}),
    "other word but alike": Saying("P112", words={"came": "{text}", "near": _ALIKE}),
}
PART = Dialect(
    error=PartFileError,
    sayings=_SAYINGS,
    group="a block of keys",
    quote='"',
    first_item=1,
    deepest=24,
    aliases=False,
    unit_at=("unit",),
    closeness=0.6,
)


def read_text(path: Path) -> str:
    """The file's text. Raises PartFileError (P101, P102, P103) when it is missing, too large or not UTF-8 text."""
    return tree.read_text(path, PART)


def parse(text: str, name: str) -> tuple[Node | None, list[Finding]]:
    """The tree of the only document in ``text`` (None when empty) and the keys that stand twice (P108).

    Raises PartFileError (P104 not YAML, P105 anchor, alias or tag, P106 too deep or too many values, P107).
    """
    return tree.parse(text, name, PART)
