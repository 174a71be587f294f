"""The few pieces of Markdown the pages are built from."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

MARK = "<!-- Written by: bendwright validate --write FOLDER. Changes by hand are lost. -->"
"""First line of every page the command writes; a page that carries it may be written over."""


def page(title: str, blocks: Iterable[str]) -> str:
    """A whole page: the mark, the title, the blocks with a blank line between."""
    return "\n\n".join([MARK, f"# {title}", *[block for block in blocks if block]]) + "\n"


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table; bars inside cells are escaped."""
    lines = [list(head), ["---"] * len(head), *[[cell.replace("|", "\\|") for cell in row] for row in rows]]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def bullets(items: Iterable[str]) -> str:
    """A list, one line each."""
    return "\n".join(f"- {item}" for item in items)


def slug(text: str) -> str:
    """A file name out of a question: small letters and hyphens."""
    kept = "".join(letter if letter.isalnum() else " " for letter in text.lower())
    return "-".join(kept.split())


def anchor(title: str) -> str:
    """The place of a heading within its page, as Markdown readers name it."""
    return "".join(letter for letter in title.lower().replace(" ", "-") if letter.isalnum() or letter in "-_")


def number(count: int, one: str, many: str | None = None) -> str:
    """``1 value``, ``2 values``."""
    return f"{count} {one if count == 1 else many or one + 's'}"
