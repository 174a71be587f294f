"""The files of a shop as typed pages: what is allowed in them, and how they complain.

Anchors and aliases may save typing; unfolded they count like everything else.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from bendwright.findings import ShopFileError
from bendwright.typed import record, tree
from bendwright.typed.dialect import Complaint, Dialect, Saying
from bendwright.typed.record import Record

_FILE, _LINE = "{name}", "{name}:{line}"
_NO_FIELD = "Take it out or move it to a note."
_COMMA = "A decimal comma inside braces splits a number: write a point, or put quotes around it."
_OTHER_KIND = Saying("S108", words={"came": "{shown}"})
_SAYINGS: Mapping[Complaint, Saying] = {
    "cannot open": Saying("S102", _FILE),
    "too large": Saying("S104", _FILE),
    "not text": Saying("S104", _FILE),
    "not YAML": Saying("S103", _LINE),
    "several documents": Saying("S103", _LINE, {"why": "a second '---' line begins another document"}),
    "too deep": Saying("S104"),
    "twice": Saying("S106"),
    "key no word": Saying("S108", _LINE, {"wanted": "A field name", "came": "a list"}),
    "empty": Saying("S103", _FILE, {"why": "there is nothing in it"}),
    "no page": Saying("S108", words={"wanted": "typed.fields_of", "came": "{shown}"}),
    "no group": _OTHER_KIND,
    "no list": _OTHER_KIND,
    "no word": _OTHER_KIND,
    "missing": Saying("S107", "{name}:{line} {field}"),
    "unknown": Saying("S105", words={"hint": _NO_FIELD}),
    "unknown but alike": Saying("S105", words={"hint": "typed.mean_field"}),
    "number as key": Saying("S105", words={"hint": _COMMA}),
    "other word": Saying("S109"),
    "other word but alike": Saying("S109"),
}
SHOP = Dialect(
    error=ShopFileError,
    sayings=_SAYINGS,
    group="a group of fields",
    quote="'",
    first_item=0,
    deepest=20,
    aliases=True,
    unit_at=("passport", "length_unit"),
    closeness=0.5,
)


def read_page(path: Path, what: str) -> Record:
    """The file at ``path`` as the record of its top level; raises ShopFileError."""
    return page_from_text(read_text(path), path.name, what)


def read_text(path: Path) -> str:
    """The text of a shop file; raises ShopFileError when it is missing, too large or no UTF-8 text."""
    return tree.read_text(path, SHOP)


def page_from_text(text: str, name: str, what: str) -> Record:
    """The YAML ``text`` of the file ``name`` as a record; raises ShopFileError with all findings of its form."""
    return record.page(text, name, SHOP, what)
