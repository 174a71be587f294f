"""A watch over what is put into sentences: texts of the program that stand there as bare text would stay English in German ones."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any

from bendwright.said import Said, in_german, phrase

BARE = frozenset({"phrase", "figure", "clauses", "unstopped", "both"})
"""Keys whose values are bare texts by design."""


def bare_words(key: str, values: Mapping[str, Any]) -> list[str]:
    """Values that are bare text although the program knows how to say them in German: several words, or a place such as ``bend b1``."""
    texts = [text for value in values.values() for text in (value if isinstance(value, list) else [value])]
    bare = [text for text in texts if isinstance(text, str) and not isinstance(text, Said) and " " in text.strip()]
    return [] if key in BARE else [f"{key}: {text}" for text in bare if in_german(phrase(text)) != text]


@contextmanager
def watched() -> Iterator[list[str]]:
    """The bare words put into any saying or finding while it is open."""
    found: list[str] = []
    made = Said.__new__

    def watching(cls: type[Said], text: str, key: str, values: Mapping[str, Any]) -> Said:
        found.extend(bare_words(key, values))
        return made(cls, text, key, values)

    Said.__new__ = watching  # type: ignore[method-assign,assignment]
    try:
        yield found
    finally:
        Said.__new__ = made  # type: ignore[method-assign]
