"""Stacks out of the drawer: exact against trying every subset, with the demo set of pieces."""

from __future__ import annotations

import itertools

import pytest

from bendwright.plan.stacks import best_stack, drawer, without
from bendwright.shop.tools import Ear, Piece

SET = tuple(Piece(length_mm=length) for length in (10.0, 15.0, 20.0, 40.0, 50.0, 200.0, 300.0))
EARS = (
    Piece(length_mm=100.0, ear=Ear(side="left", foot_height_mm=20.0, overhang_mm=25.0)),
    Piece(length_mm=100.0, ear=Ear(side="right", foot_height_mm=20.0, overhang_mm=25.0)),
)
ALL = (*SET, *EARS)


def all_sums(pieces: tuple[Piece, ...]) -> dict[float, int]:
    """Every length that can be hung, with the fewest pieces it takes."""
    out: dict[float, int] = {}
    for count in range(1, len(pieces) + 1):
        for chosen in itertools.combinations(pieces, count):
            out.setdefault(sum(piece.length_mm for piece in chosen), count)
    return out


@pytest.mark.origin("law", "every subset of the drawer tried")
@pytest.mark.parametrize("least", [1.0, 57.0, 111.0, 168.4, 173.4, 290.0, 331.0, 540.0, 700.0, 835.0])
def test_shortest_and_fewest(least: float) -> None:
    """The shortest stack is the shortest of all subsets; the roomy one has the fewest pieces of all that reach."""
    sums = all_sums(ALL)
    shortest = best_stack(ALL, least_mm=least)
    roomy = best_stack(ALL, least_mm=least, roomy=True)
    assert shortest is not None
    assert roomy is not None
    assert shortest.length_mm == min(length for length in sums if length >= least)
    assert len(shortest.pieces) == sums[shortest.length_mm]
    assert len(roomy.pieces) == min(count for length, count in sums.items() if length >= least)


@pytest.mark.origin(
    "derived", "300 + 100 + 100 + 50 + 20 + 15 + 10 = 595, the ears at the ends; 595 is the most that fits 597 - 2"
)
def test_eared_stack() -> None:
    """Ears stand at the ends, left and right; a window that no sum hits gives none."""
    stack = best_stack(ALL, least_mm=593.2, most_mm=595.0, eared=True)
    assert stack is not None
    assert stack.length_mm == 595.0
    assert [piece.ear.side if piece.ear else "" for piece in (stack.pieces[0], stack.pieces[-1])] == ["left", "right"]
    assert best_stack(ALL, least_mm=836.0) is None
    assert best_stack(SET, least_mm=100.0, eared=True) is None
    assert best_stack(ALL, least_mm=1.0, most_mm=9.0) is None


@pytest.mark.origin("law", "a drawer gives each piece once")
def test_pieces_are_used_once() -> None:
    """Two stacks out of one drawer share no piece."""
    pieces = drawer((Piece(length_mm=835.0, count=2), *SET))
    first = best_stack(pieces, least_mm=1000.0, roomy=True)
    assert first is not None
    rest = without(pieces, first.pieces)
    assert len(rest) == len(pieces) - len(first.pieces)
    second = best_stack(rest, least_mm=800.0)
    assert second is not None
    assert second.length_mm == 835.0
