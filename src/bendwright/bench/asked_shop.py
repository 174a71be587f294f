"""What the shop page sends: a tool, brake, material or the practice as typed, the name of a copy."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from bendwright.bench.asked import LENGTH_TEXT, Asked
from bendwright.shop.record_words import RecordWords

LONG_TEXT = 2000
Words = Annotated[str, Field(max_length=LONG_TEXT)]
Coordinate = Annotated[str, Field(max_length=LENGTH_TEXT)]
Key = Annotated[str, Field(max_length=LENGTH_TEXT)]


class TypedRecord(Asked):
    """A record of the shop: texts by the key of their field (blank = not known), pieces, clamps or least radii row by row, corners of an
    outline.
    """

    fields: Annotated[dict[Key, Words], Field(max_length=120)]
    rows: Annotated[tuple[dict[Key, Words], ...], Field(max_length=400)] = ()
    outline: Annotated[tuple[tuple[Coordinate, Coordinate], ...], Field(max_length=2000)] = ()

    def words(self) -> RecordWords:
        """The same for the readers."""
        return RecordWords(fields=self.fields, rows=self.rows, outline=self.outline)


class CopyWords(Asked):
    """The name of the shop a copy becomes."""

    name: Annotated[str, Field(min_length=1, max_length=LENGTH_TEXT)]
