"""What the person has settled, the search does not touch: an order, a side at the gauge, a punch for a bend."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from bendwright.plan.tables import Tables


def held_to(tables: Tables, moves: Sequence[int]) -> Tables:
    """The same tables with the whole order fixed: these moves, one after the other, and no others."""
    packed = tables.packed
    needs, bars = packed.needs.copy(), packed.bars.copy()
    sides = np.zeros_like(packed.sides)
    mask = 0
    for number in moves:
        needs[number] |= mask
        bars[number] |= tables.full & ~mask
        sides[number] = packed.sides[number]
        mask |= tables.moves[number].makes
    return replace(tables, packed=packed._replace(needs=needs, bars=bars, sides=sides))


def after(tables: Tables, first: Sequence[int], later: Sequence[int]) -> Tables:
    """The same tables with some bends fixed to come before others (both by their number)."""
    packed = tables.packed
    needs = packed.needs.copy()
    before = sum(1 << bend for bend in first)
    for number, move in enumerate(tables.moves):
        if any(bend in later for bend in move.bends):
            needs[number] |= before & ~move.makes
    return replace(tables, packed=packed._replace(needs=needs))


def at_gauge(tables: Tables, bend: int, side: int) -> Tables:
    """The same tables with a bend's parent (0) or child (1) side fixed to lie at the gauge."""
    sides = tables.packed.sides.copy()
    for number, move in enumerate(tables.moves):
        if bend in move.bends:
            sides[number, 1 - side] = False
    return replace(tables, packed=tables.packed._replace(sides=sides))


def with_punch(tables: Tables, bend: int, punch_id: str) -> Tables:
    """The same tables with one punch fixed for a bend."""
    suits = tables.tools.suits.copy()
    for number, move in enumerate(tables.moves):
        if bend in move.bends:
            for k, punch in enumerate(tables.situation.punches):
                suits[k, number] &= punch.id == punch_id
    return replace(tables, tools=tables.tools._replace(suits=suits))
