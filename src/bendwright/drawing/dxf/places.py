"""Places and sizes in words, for findings: the first few, and how many more."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from bendwright.part.model import Point
from bendwright.said import joined, say

MOST_NAMED = 6


def place(point: Point) -> str:
    """``(12.50, -3.00)``."""
    x, y = (round(number, 2) + 0.0 for number in point)
    return say("drawing.point", x=x, y=y)


def listed(items: Iterable[str]) -> str:
    """The first few of them, and how many more there are."""
    several = list(items)
    rest = len(several) - MOST_NAMED
    first = joined(", ", several[:MOST_NAMED])
    return say("drawing.more", first=first, rest=rest) if rest > 0 else first


def places(points: Sequence[Point]) -> str:
    """These places in words."""
    return listed(map(place, points))
