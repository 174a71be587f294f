"""Places and sizes in words, for findings: the first few, and how many more."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from bendwright.part.model import Point

MOST_NAMED = 6


def place(point: Point) -> str:
    """``(12.50, -3.00)``."""
    x, y = (round(number, 2) + 0.0 for number in point)
    return f"({x:.2f}, {y:.2f})"


def listed(items: Iterable[str]) -> str:
    """The first few of them, and how many more there are."""
    several = list(items)
    rest = len(several) - MOST_NAMED
    return ", ".join(several[:MOST_NAMED]) + (f" and {rest} more" if rest > 0 else "")


def places(points: Sequence[Point]) -> str:
    """These places in words."""
    return listed(map(place, points))
