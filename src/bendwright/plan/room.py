"""Where along the bend may a punch stack and its die stand, given what is done? Compiled.

What a body meets either bounds the stretch in which the stack may stand (the body is beside it) or forbids the stroke. One row of
numbers says it all for one punch; equal rows are kept once. See ``Places`` for what stands where in a row.
"""

from __future__ import annotations

import numpy as np

from bendwright.compiled import borrows, compiled, inner
from bendwright.geometry.kernels import FAR
from bendwright.geometry.rigid import Array
from bendwright.plan.memo import EMPTY, place_of
from bendwright.plan.outlines import BED, DIE, HITS, HOLDER, RAM, SHIFTS

WHOLE, ABOVE, FOOT, UNDER = 0, 1, 2, 3
PLAIN, EARED, MACHINE = 1, 2, 4
STANCE = 16
"""Numbers for one way round: windows (low, high) of whole, above, foot, die; of the three for the way up; 0; what forbids."""
PASSING = 13
"""Numbers for one side at the back: windows of the three for bringing in, the same that no way in avoids, what forbids."""
ROW = 2 * STANCE + 2 * PASSING + 2
ALL_SHIFTS = (1 << SHIFTS) - 1


@compiled
@borrows
def narrow(low_w, high_w, ease, span, short, whole, row, at):
    """Narrow the window at ``row[at]``, ``row[at + 1]`` by a body that the stack must not reach; False when it stands where the bend
    must be covered (``whole``), or across the middle of what stands above a foot.
    """
    spare = short if whole else 0.5 * (span[1] - span[0])
    if high_w - ease <= span[0] + spare:
        row[at] = max(row[at], high_w - ease)
        return True
    if low_w + ease >= span[1] - spare:
        row[at + 1] = min(row[at + 1], low_w + ease)
        return True
    return False


@inner
@borrows
def _empty(row):
    row[:] = 0.0
    for o in range(2):
        for k in range(7):
            row[o * STANCE + 2 * k] = -FAR
            row[o * STANCE + 2 * k + 1] = FAR
    for s in range(2):
        for k in range(6):
            row[2 * STANCE + s * PASSING + 2 * k] = -FAR
            row[2 * STANCE + s * PASSING + 2 * k + 1] = FAR


@inner
@borrows
def _forbid(row, at, what):
    row[at] = float(int(row[at]) | what)


@inner
@borrows
def _on_swing(packed, looks, present, rows, count, punch, span, short, row):
    """What the bodies meet on their swing, for both ways round."""
    for i in range(count):
        body, look = present[i], rows[i]
        bits = looks.outlines.meets[looks.outline[look], punch]
        below = looks.outlines.below[looks.outline[look]]
        if bits & HITS == 0 and below == 0:
            continue
        low, high = looks.box[look, 4], looks.box[look, 5]
        ease = packed.ease[body]
        for o in range(2):
            base = o * STANCE
            mirrored = o if packed.side[body] == 1 else 1 - o
            if bits & RAM or below & (HOLDER | BED):
                _forbid(row, base + 15, MACHINE)
            if below & DIE and not narrow(low, high, ease, span, short, True, row, base + 6):
                _forbid(row, base + 15, MACHINE)
            for target in range(3):
                if bits >> (3 * mirrored + target) & 1 and not narrow(
                    low, high, ease, span, short, target != ABOVE, row, base + 2 * target
                ):
                    _forbid(row, base + 15, PLAIN if target == WHOLE else EARED)


@inner
def _on_the_way_up(packed, looks, present, rows, count, punch, span, short, row):
    """What of the bodies stands over the punch when it goes up, for both ways round, and whether a shift frees it."""
    free = np.full(2, -1, dtype=np.int64)
    for i in range(count):
        body, look = present[i], rows[i]
        bits = looks.outlines.meets[looks.outline[look], punch] >> 8
        if not packed.plate[body] or bits == 0:
            continue
        for o in range(2):
            mirrored = o if packed.side[body] == 1 else 1 - o
            for target in range(3):
                at = o * STANCE + 8 + 2 * target
                if bits >> (3 * mirrored + target) & 1 and not narrow(
                    looks.box[look, 4], looks.box[look, 5], 0.0, span, short, target != ABOVE, row, at
                ):
                    row[at] = FAR
            own = looks.outlines.free[looks.outline[look], punch, mirrored]
            free[o] &= _turned(own) if packed.side[body] == 0 else own
    for o in range(2):
        row[o * STANCE + 14] = 1.0 if (free[o] & ALL_SHIFTS) != 0 else 0.0


@compiled
@borrows
def _turned(bits):
    """Shifts seen from the other side: front and gauge change places."""
    out = 0
    for s in range(SHIFTS):
        if bits >> s & 1:
            out |= 1 << (SHIFTS - 1 - s)
    return out


@inner
def _on_the_way_in(packed, tools, looks, present, rows, count, punch, gap, span, short, row):
    """What of the bodies behind the tools is too high to pass under the raised punch, for either side at the back."""
    lowest = np.full(2, FAR)
    for i in range(count):
        side = packed.side[present[i]]
        lowest[side] = min(lowest[side], looks.box[rows[i], 2])
    reach = 0.0
    for i in range(tools.outline_n[punch]):
        reach = max(reach, abs(tools.outline[punch, i, 0]))
    for i in range(count):
        look, side = rows[i], packed.side[present[i]]
        height = looks.box[look, 3] - lowest[side]
        if height <= gap - 1.0:
            continue
        base = 2 * STANCE + side * PASSING
        if height > gap + tools.above[punch] - 1.0:
            _forbid(row, base + 12, MACHINE)
        hard = 6 if looks.box[look, 0] < reach + 1.0 else 0
        for target in range(3):
            if height <= gap + (tools.ear[punch, 0] if target == ABOVE else 0.0) - 1.0:
                continue
            at = base + hard + 2 * target
            if not narrow(looks.box[look, 4], looks.box[look, 5], 0.0, span, short, target != ABOVE, row, at):
                row[at] = FAR


@inner
@borrows
def room_of(packed, tools, looks, move, present, rows, count, punch, short, row):
    """Fill ``row`` with windows and what forbids, for one move and punch; ``present`` bodies with their looks ``rows``."""
    _empty(row)
    span = packed.span[move]
    _on_swing(packed, looks, present, rows, count, punch, span, short, row)
    _on_the_way_up(packed, looks, present, rows, count, punch, span, short, row)
    gap = tools.open_gap[punch, packed.die[move]]
    if gap < FAR:
        _on_the_way_in(packed, tools, looks, present, rows, count, punch, gap, span, short, row)


@inner
def kept_row(row, keys, numbers, used, rows):
    """Number of the row among those kept; -1 when there is no room for a new one."""
    key = np.int64(1469598103934665603)
    for i in range(row.shape[0]):
        whole = np.int64(np.round(row[i] * 1000.0))
        key = (key ^ whole) * np.int64(1099511628211)
    key &= np.int64(0x7FFFFFFFFFFFFFF0)
    while True:
        at = place_of(keys, key)
        if keys[at] == EMPTY:
            break
        number = numbers[at]
        same = True
        for i in range(row.shape[0]):
            if rows[number, i] != row[i]:
                same = False
                break
        if same:
            return number
        key += 1
    if used[0] >= rows.shape[0] or 2 * used[0] >= keys.shape[0]:
        return -1
    number = used[0]
    used[0] += 1
    keys[at] = key
    numbers[at] = number
    rows[number] = row
    return number


def with_free_entry(row: Array) -> Array:
    """The same room without what the way in takes of it."""
    out = row.copy()
    for side in range(2):
        at = 2 * STANCE + side * PASSING
        out[at : at + 12 : 2], out[at + 1 : at + 12 : 2] = -FAR, FAR
        out[at + 12] = 0.0
    return out


def with_free_exit(row: Array) -> Array:
    """The same room without what the way off takes of it."""
    out = row.copy()
    for o in range(2):
        at = o * STANCE + 8
        out[at : at + 6 : 2], out[at + 1 : at + 6 : 2] = -FAR, FAR
    return out
