"""A file of a shop that is one form: its text as it is, and the text it becomes, read again before anybody writes it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from bendwright.findings import ShopFileError, found
from bendwright.quantities import LengthUnit
from bendwright.shop.edit_text import same
from bendwright.shop.record_fields import FormKind
from bendwright.shop.record_words import RecordWords, words_of
from bendwright.typed.tree import Keys


@dataclass(frozen=True, slots=True, kw_only=True)
class WholeFile:
    """The file: its form, its text, its fields (passport among them), the unit of its bare lengths."""

    kind: FormKind
    path: Path
    text: str
    fields: Keys
    unit: LengthUnit

    @property
    def words(self) -> RecordWords:
        """Fields and rows as typed."""
        return words_of(self.kind, self.fields)


def rewritten(file: WholeFile, wanted: Keys, write: Callable[[], str], read: Callable[[str], Keys]) -> str:
    """The text that ``write`` makes, once ``read`` has found in it what is wanted. Raises ShopFileError (B253) where the file is written
    in a way that cannot be changed safely.
    """
    try:
        text = write()
        safe = same(read(text), wanted)
    except (ShopFileError, LookupError, ValueError):
        safe = False
    if not safe:
        raise ShopFileError(found("B253", where="", file=file.path.name))
    return text
