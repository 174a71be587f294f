"""Can a stack of this length make the move here, and how does the part get in and out? Compiled.

An answer is a number of flags: 1 it can, 2 the bend does not lie in the middle of the stack, 4 the sheet must be brought in along
the bed, 8 it must be shifted before it comes off, 16 it must be taken off along the bed.
"""

from __future__ import annotations

from typing import NamedTuple

from bendwright.compiled import folded_in
from bendwright.geometry.kernels import FAR
from bendwright.geometry.rigid import Array
from bendwright.plan.packed import Flags, Ints
from bendwright.plan.room import EARED, MACHINE, PASSING, PLAIN, STANCE

CAN, ASIDE, ALONG_IN, SHIFT_OFF, ALONG_OFF = 1, 2, 4, 8, 16
HAIR_MM = 1e-6


class Stacks(NamedTuple):
    """Stacks by number: punch and die numbers (-1: flattens), mounted turned, eared; working length (below 0: wished, as long as each bend
    needs), length with clamps, die stack length [mm];
    ``clear`` end clearance, ``short`` what may stay uncovered at an end, ``finger`` height, ``thickness`` [mm].
    """

    punch: Ints
    die: Ints
    turned: Flags
    eared: Flags
    length: Array
    reach: Array
    die_length: Array
    rules: Array


@folded_in
def tool_reach(outline, n, height, turned):
    """How far a punch reaches toward the gauge [mm] up to a height above its tip."""
    if height <= 0.0:
        return 0.0
    sign = -1.0 if turned else 1.0
    best = -FAR
    for i in range(n):
        j = i + 1 if i + 1 < n else 0
        ax, ay, bx, by = outline[i, 0], outline[i, 1], outline[j, 0], outline[j, 1]
        if ay <= height:
            best = max(best, sign * ax)
        if (ay - height) * (by - height) < 0.0:
            best = max(best, sign * (ax + (height - ay) / (by - ay) * (bx - ax)))
    return best


@folded_in
def _starts(span, length, reach, low, high, clear, short):
    """Lowest and highest place of a stack's left end for a window (low, high) [mm]; ``reach`` is how long it is with its clamps."""
    over = 0.5 * (reach - length)
    return (
        max(low + clear + over, span[1] - short - length),
        min(high - clear - length - over, span[0] + short),
    )


@folded_in
def sizes_of(stacks, stack, span):
    """Working length, length with clamps and die length [mm] of a stack; a wished stack is as long as the bend needs at least."""
    length, reach, die_length = stacks.length[stack], stacks.reach[stack], stacks.die_length[stack]
    if length < 0.0:
        length = max(span[1] - span[0] - 2.0 * stacks.rules[1], 1.0)
        reach, die_length = length, length
    return length, reach, die_length


@folded_in
def place_range(sizes, eared, row, side, o, span, ear, clear, short):
    """Lowest and highest place of the punch stack's left end along the bend that suit punch and die [mm]."""
    length, reach, die_length = sizes
    base = o * STANCE
    if eared:
        low, high = _starts(span, length, length, row[base + 4], row[base + 5], clear, short)
        over = 0.5 * (reach - length)
        low = max(low, row[base + 2] + clear - ear + over)
        high = min(high, row[base + 3] - clear - length + ear - over)
    else:
        low, high = _starts(span, length, reach, row[base], row[base + 1], clear, short)
    shift = 0.0 if side == 1 else length - die_length
    below = _starts(span, die_length, die_length, row[base + 6], row[base + 7], clear, short)
    return max(low, below[0] - shift), min(high, below[1] - shift)


@folded_in
def within(length, eared, row, at, low, high, ear):
    """The part of (low, high) in which a stack keeps out of the windows at ``row[at]``: whole, above, foot."""
    if eared:
        low = max(low, row[at + 4], row[at + 2] - ear)
        high = min(high, row[at + 5] - length, row[at + 3] - length + ear)
    else:
        low = max(low, row[at])
        high = min(high, row[at + 1] - length)
    return low, high


@folded_in
def _open_end(row, o, eared):
    """Nothing bounds the stack at one of its ends: the part can go on or off along the bed."""
    k = o * STANCE + (4 if eared else 0)
    return row[k] <= -0.5 * FAR or row[k + 1] >= 0.5 * FAR


@folded_in
def fits(packed, tools, stacks, move, row, stop, side, stack):
    """Flags for a stack, see above; 0 when it cannot make the move with the given side at the gauge. ``row`` is the room,
    ``stop`` the stop of that side.
    """
    punch = stacks.punch[stack]
    if stop[0] < 0.0 or packed.die[move] != stacks.die[stack] or not tools.suits[punch, move]:
        return 0
    o = 1 if stacks.turned[stack] else 0
    if side == 0:
        o = 1 - o
    what = int(row[o * STANCE + 15])
    if what & MACHINE or what & (EARED if stacks.eared[stack] else PLAIN):
        return 0
    base = 2 * STANCE + side * PASSING
    if int(row[base + 12]) & MACHINE:
        return 0
    thickness, finger = stacks.rules[3], stacks.rules[2]
    if stop[1] < tool_reach(
        tools.outline[punch], tools.outline_n[punch], stop[2] + finger - thickness, stacks.turned[stack]
    ):
        return 0
    span = packed.span[move]
    eared, ear = stacks.eared[stack], tools.ear[punch, 1]
    sizes = sizes_of(stacks, stack, span)
    length = sizes[0]
    low, high = place_range(sizes, eared, row, side, o, span, ear, stacks.rules[0], stacks.rules[1])
    low, high = within(length, eared, row, base + 6, low, high, ear)
    if low > high + HAIR_MM:
        return 0
    out = CAN
    middle = 0.5 * (span[0] + span[1] - length)
    if low > middle + 1.0 or high < middle - 1.0:
        out |= ASIDE
    opened = _open_end(row, o, eared)
    entry = within(length, eared, row, base, low, high, ear)
    if entry[0] > entry[1] + HAIR_MM:
        if not opened:
            return 0
        out |= ALONG_IN
        entry = (low, high)
    way_up = within(length, eared, row, o * STANCE + 8, entry[0], entry[1], ear)
    if way_up[0] > way_up[1] + HAIR_MM:
        if row[o * STANCE + 14] > 0.0:
            out |= SHIFT_OFF
        elif opened:
            out |= ALONG_OFF
        else:
            return 0
    return out
