"""Which bends can each station make at all, in any state that leads to the part? Compiled."""

from __future__ import annotations

from bendwright.compiled import borrows, compiled
from bendwright.plan.answers import SELF_LEAST_MM, room_row, stops_for
from bendwright.plan.fits import fits
from bendwright.plan.orders import forbidden


@compiled
@borrows
def bends_within_reach(world, stacks, states, short, work, covers):
    """Add to ``covers`` [stack] the bends each stack can make before some of the states; -1 when a table is full."""
    packed, tools, stops, looks, answers = world
    for state in states:
        for move in range(packed.makes.shape[0]):
            makes = packed.makes[move]
            mask = state ^ makes
            if (
                packed.pressed[move]
                or state & makes != makes
                or mask & packed.bars[move]
                or mask & packed.needs[move] != packed.needs[move]
            ):
                continue
            if forbidden(packed, move, mask):
                continue
            row = stops_for(packed, tools, stops, looks, answers, move, mask, work)
            if row < 0:
                return -1
            if answers.apart[row] < SELF_LEAST_MM:
                continue
            for k in range(covers.shape[0]):
                punch = stacks.punch[k]
                if covers[k] & makes == makes or packed.die[move] != stacks.die[k] or not tools.suits[punch, move]:
                    continue
                number = room_row(packed, tools, looks, answers, move, mask, punch, short, work)
                if number < 0:
                    return -1
                for side in range(2):
                    if packed.sides[move, side] and fits(
                        packed, tools, stacks, move, answers.room_rows[number], answers.stop[row, side], side, k
                    ):
                        covers[k] |= makes
    return 0
