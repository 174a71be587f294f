"""The tables shipped as CSV with the package: comment lines on top, then a heading and rows of text."""

from __future__ import annotations

import csv
from functools import cache
from importlib import resources


@cache
def packaged_table(name: str) -> tuple[dict[str, str], ...]:
    """All rows of ``shop/data/<name>.csv`` by column; cells are text, "" where blank."""
    text = (resources.files("bendwright") / "shop" / "data" / f"{name}.csv").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if line and not line.startswith("#")]
    return tuple(csv.DictReader(lines))
