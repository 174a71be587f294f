"""What can each of some stations make: which strokes of an order, which bends at all?"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Any, Protocol

import numpy as np

from bendwright.plan.fits import fits
from bendwright.plan.orders import FULL_TABLE
from bendwright.plan.reaches import bends_within_reach
from bendwright.plan.stations import Station, pack_stations
from bendwright.plan.tables import Tables, ask, growing, room_for


class Made(Protocol):
    """A stroke of an order: its move, the side at the gauge, the bends done before."""

    @property
    def move(self) -> int:
        """Number of the move."""

    @property
    def side(self) -> int:
        """Side at the gauge."""

    @property
    def mask(self) -> int:
        """Bends done before."""


def moves_by_length(tables: Tables, station: Station) -> list[int]:
    """Moves that this kind of station could make, by die, punch and length alone."""
    if station.presses:
        pair = tables.situation.pair_number(station.slot.punch.id)
        return [number for number, move in enumerate(tables.moves) if move.pair == pair]
    slot = station.slot
    length = min(station.punch_stack.length_mm, station.die_stack.length_mm) + 2.0 * tables.short_mm + 1e-6
    punch = tables.situation.punches.index(slot.punch)
    return [
        number
        for number, item in enumerate(tables.around)
        if tables.packed.sides[number].any()
        and not item.move.pressed
        and tables.situation.dies[item.move.bends[0]] == slot.die
        and tables.tools.suits[punch, number]
        and item.span[1] - item.span[0] <= length
    ]


def strokes_made(tables: Tables, steps: Sequence[Made], stations: Sequence[Station]) -> list[int]:
    """For every station the strokes of an order it can make, as sets; what presses hems flat or makes a jog is none of them."""
    stacks = pack_stations(tables.situation, stations)
    out = [0] * len(stations)
    for number, step in enumerate(steps):
        if tables.moves[step.move].pressed:
            continue
        stop = np.array(ask(tables, step.move, step.mask).stops[step.side])
        rooms = {int(k): room_for(tables, step.move, step.mask, int(k)).row for k in set(stacks.punch)}
        for k in range(len(stations)):
            row = rooms[int(stacks.punch[k])]
            if fits(tables.packed, tables.tools, stacks, step.move, row, stop, step.side, k):
                out[k] |= 1 << number
    return out


def bends_in_reach(tables: Tables, stations: Sequence[Station], states: Collection[int]) -> list[int]:
    """For every station the bends it can make before some of the states, as sets; all bends where no states are given."""
    if not states:
        return [tables.situation.bent] * len(stations)
    stacks = pack_stations(tables.situation, stations)
    looked = np.array(sorted(states), dtype=np.int64)
    covers = np.zeros(len(stations), dtype=np.int64)

    def once() -> tuple[int, Any]:
        memory = tables.memory
        world = (tables.packed, tables.tools, tables.stops, memory.looks, memory.answers)
        said = bends_within_reach(world, stacks, looked, tables.short_mm, memory.work, covers)
        return (FULL_TABLE, None) if said < 0 else (0, [int(bends) for bends in covers])

    out: list[int] = growing(tables, once)
    return out
