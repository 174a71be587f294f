"""Where the expected numbers of the tests come from: the marks read, checked and counted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from pathlib import Path

import pytest

TESTS = Path(__file__).parent
KINDS = ("printed", "derived", "law", "practice", "memory", "frozen")
WITHOUT_NUMBERS = ("house", "cli", "bad_input")
"""Folders whose tests hold rules, words and exit codes against the program, not numbers against the world."""

COUNTED = pytest.StashKey[Counter[str]]()
UNMARKED = pytest.StashKey[list[str]]()


def origin_of(item: pytest.Item) -> str | None:
    """The kind in the nearest origin mark of a test; None without a mark, ``"?"`` when it is not a proper one."""
    mark = item.get_closest_marker("origin")
    if mark is None:
        return None
    proper = len(mark.args) == 2 and mark.args[0] in KINDS and str(mark.args[1]).strip()
    return str(mark.args[0]) if proper else "?"


def needs_origin(path: Path) -> bool:
    """True where a test file must say where its numbers come from."""
    return path.is_relative_to(TESTS) and path.relative_to(TESTS).parts[0] not in WITHOUT_NUMBERS


def count_origins(items: Iterable[pytest.Item]) -> tuple[Counter[str], list[str]]:
    """Tests by kind of origin, and the names of those that ought to have a proper mark and have none."""
    counted: Counter[str] = Counter()
    unmarked: list[str] = []
    for item in items:
        kind = origin_of(item)
        if kind in KINDS:
            counted[kind] += 1
        elif kind == "?" or needs_origin(item.path):
            unmarked.append(item.nodeid)
    return counted, unmarked


def count_line(counted: Counter[str]) -> str:
    """One line for the end of a run: how many tests stand on which kind of origin."""
    total = counted.total()
    shares = ", ".join(f"{kind} {counted[kind]} ({100 * counted[kind] / total:.0f} %)" for kind in KINDS)
    return f"origin of expected numbers, {total} tests: {shares}"
