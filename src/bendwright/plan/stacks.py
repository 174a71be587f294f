"""Which pieces out of the drawer make a stack of the wanted length?"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache

from bendwright.shop.tools import Piece

STEP = 20


@dataclass(frozen=True, slots=True)
class Stack:
    """Pieces from left to right; lengths in mm."""

    pieces: tuple[Piece, ...]

    @property
    def length_mm(self) -> float:
        """Sum of the piece lengths."""
        return sum(piece.length_mm for piece in self.pieces)


@lru_cache(maxsize=4096)
def best_stack(
    pieces: tuple[Piece, ...], *, least_mm: float, most_mm: float = 1e9, eared: bool = False, roomy: bool = False
) -> Stack | None:
    """The shortest stack of at least ``least_mm`` (and at most ``most_mm``), then the fewest pieces; None if there is none.

    ``roomy`` turns the two around: fewest pieces first, for places where nothing stands in the way. Works in twentieths
    of a millimetre. With ``eared`` the ends are a left and a right ear; without, ears serve as plain pieces but only
    where plain ones do not reach the same length with as few.
    """
    if not eared:
        return _best(list(drawer(pieces)), least_mm, most_mm, (), roomy)
    best: Stack | None = None
    lefts = [p for p in _distinct(pieces) if p.ear and p.ear.side == "left"]
    rights = [p for p in _distinct(pieces) if p.ear and p.ear.side == "right"]
    for left in lefts:
        for right in rights:
            plain = [p for p in drawer(pieces) if p.ear is None]
            ends = left.length_mm + right.length_mm
            inner = _best(plain, least_mm - ends, most_mm - ends, (left, right), roomy)
            if inner is not None and (best is None or inner.length_mm < best.length_mm - 1e-9):
                best = inner
    return best


@lru_cache(maxsize=1024)
def drawer(pieces: tuple[Piece, ...]) -> tuple[Piece, ...]:
    """Every single piece by itself (counts spelled out)."""
    singles: list[Piece] = []
    for piece in pieces:
        singles.extend([piece] if piece.count == 1 else [replace(piece, count=1)] * piece.count)
    return tuple(singles)


def without(singles: tuple[Piece, ...], used: Iterable[Piece]) -> tuple[Piece, ...]:
    """The drawer after some single pieces were taken out."""
    left = list(singles)
    for piece in used:
        left.remove(piece)
    return tuple(left)


def _best(singles: list[Piece], least: float, most: float, ears: tuple[Piece, ...], roomy: bool) -> Stack | None:
    need = max(0, _up(least))
    room = int(most * STEP + 1e-6) if most < 1e6 else need + max((_up(p.length_mm) for p in singles), default=0)
    if room < 0:
        return None
    sums: dict[int, tuple[int, tuple[int, ...]]] = {0: (0, ())}
    order = sorted(range(len(singles)), key=lambda i: (singles[i].ear is not None, -singles[i].length_mm, i))
    for i in order:
        weight = 1000 + (1 if singles[i].ear is not None else 0)
        step = _up(singles[i].length_mm)
        for total, (cost, chosen) in list(sums.items()):
            new = total + step
            if new <= room and (new not in sums or cost + weight < sums[new][0]):
                sums[new] = (cost + weight, (*chosen, i))
    fits = [total for total in sums if need <= total <= room]
    if not fits:
        return None
    best = min(fits, key=lambda total: (sums[total][0], total)) if roomy else min(fits)
    chosen = sums[best][1]
    inner = sorted((singles[i] for i in chosen), key=lambda p: -p.length_mm)
    return Stack((ears[0], *inner, ears[1]) if ears else tuple(inner))


def _up(length: float) -> int:
    return max(0, math.ceil(length * STEP - 1e-6))


def _distinct(pieces: tuple[Piece, ...]) -> list[Piece]:
    return list(dict.fromkeys(drawer(pieces)))
