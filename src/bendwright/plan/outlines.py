"""What does an outline meet on its swing? Worked out once for all bodies, of whatever move, that look so from the side. Compiled.

Most bodies of a part look alike: tabs in a row, legs of a chain seen from one bend after the other. Corners are taken on a grid of a
millionth of a millimetre, so that those that are the same but for rounding are one. Bits of what an outline meets: 0-5 punch (whole,
above the foot, foot; the same mirrored), 6 ram, 7 known, 8-13 the first six drawn up after the stroke; die side: 0 die, 1 holder, 2 bed.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from bendwright.compiled import borrows, folded_in, inner
from bendwright.geometry.kernels import FAR, die_rise, swing_ring
from bendwright.geometry.rigid import Array
from bendwright.geometry.swing_clear import sector_of, stands_clear, swing_meets_near
from bendwright.plan.memo import EMPTY, place_of
from bendwright.plan.packed import Ints

TOUCH_MM = -0.01
TOLERANCE_MM = 0.02
KNOWN = 1 << 7
RAM = 1 << 6
HITS = KNOWN - 1
DIE, HOLDER, BED = 1, 2, 4
SHIFTS = 41
SHIFT_MM = 4.0
GRID = float(1 << 20)
"""Steps of the grid in a millimetre."""


class Outlines(NamedTuple):
    """Kept outlines: ``keys``/``numbers`` lead from what is seen to the rows; ``used`` counts them. ``kind`` says how the move swings,
    whether it is a flat and whether it lies as a leg; ``ring`` [row, corner, 2] with ``size`` corners. ``polar`` (nearest, farthest, lowest
    and highest direction [rad]) about the bend, ``below`` the die-side bits, ``meets`` [row, punch] the bits above, ``free`` [row, punch,
    way round] the shifts that free a trapped punch.
    """

    keys: Ints
    numbers: Ints
    used: Ints
    kind: Ints
    ring: Array
    size: Ints
    polar: Array
    below: Ints
    meets: Ints
    free: Ints


@folded_in
def on_grid(value):
    """The nearest place of the grid."""
    return np.round(value * GRID) / GRID


@folded_in
def _same(outlines, row, kind, ring, size):
    """Whether a kept outline is this one."""
    same = outlines.kind[row] == kind and outlines.size[row] == size
    i = 0
    while same and i < size:
        same = outlines.ring[row, i, 0] == ring[i, 0] and outlines.ring[row, i, 1] == ring[i, 1]
        i += 1
    return same


@folded_in
def outline_of(packed, tools, outlines, body, flat, ring, size):
    """Row of the outline of a body, made if new; -1 when the table is full."""
    kind = (packed.alike[packed.move[body]] << 2) | (np.int64(packed.plate[body]) << 1) | np.int64(flat)
    key = np.int64(1469598103934665603) ^ kind
    for i in range(size):
        for axis in range(2):
            key = (key ^ np.int64(ring[i, axis] * GRID)) * np.int64(1099511628211)
    key &= np.int64(0x7FFFFFFFFFFFFFF0)
    at = place_of(outlines.keys, key)
    while outlines.keys[at] != EMPTY:
        if _same(outlines, outlines.numbers[at], kind, ring, size):
            return outlines.numbers[at]
        key += 1
        at = place_of(outlines.keys, key)
    row = outlines.used[0]
    if row >= outlines.size.shape[0] or 2 * row >= outlines.keys.shape[0]:
        return np.int64(-1)
    outlines.used[0] += 1
    outlines.keys[at] = key
    outlines.numbers[at] = row
    outlines.kind[row] = kind
    outlines.size[row] = size
    outlines.ring[row, :size] = ring[:size]
    _fresh(packed, tools, outlines, row, packed.move[body], flat)
    return row


@inner
@borrows
def _fresh(packed, tools, outlines, row, move, flat):
    """Fill a new row with what no punch changes."""
    bend = packed.swing[move]
    swing = (bend[0], bend[1], bend[2], bend[3], bend[4], bend[5])
    ring, size = outlines.ring[row], outlines.size[row]
    sector_of(ring, size, 0.5 * bend[1], outlines.polar[row])
    below = 0
    if not flat:
        die = packed.die[move]
        rise = max(bend[3], abs(die_rise(bend[0], bend[1], bend[2], bend[3], bend[4], bend[5])))
        for c in range(3):
            if swing_meets_near(
                ring, size, outlines.polar[row], tools.die_rings[die, c], tools.die_counts[die, c], tools.die_sectors[die, c],
                True, swing, TOUCH_MM, TOLERANCE_MM, bend[1] + rise,
            ):  # fmt: skip
                below |= 1 << c
    outlines.below[row] = below
    outlines.meets[row, :] = 0
    outlines.free[row, :, :] = -1


@inner
def _freeing(ring, n, pieces, counts):
    """Shifts of the punch toward front (low bits) or gauge that let it pass a body when it is drawn up on the way and after."""
    out = 0
    moved = np.empty((pieces.shape[1], 2))
    for s in range(SHIFTS):
        shift = SHIFT_MM * (s - SHIFTS // 2)
        clear = True
        for k in range(pieces.shape[0]):
            for i in range(counts[k]):
                moved[i, 0] = pieces[k, i, 0] + shift
                moved[i, 1] = pieces[k, i, 1] + abs(shift) + 1.0
            if counts[k] > 0 and _sweep_meets(ring, n, moved, counts[k]):
                clear = False
                break
        if clear:
            out |= 1 << s
    return out


@inner
@borrows
def _sweep_meets(ring, n, piece, m):
    """Does a convex piece meet the ring when it is drawn straight up without end? Only where their x ranges overlap can it."""
    low = FAR
    high = -FAR
    for i in range(m):
        low = min(low, piece[i, 0])
        high = max(high, piece[i, 0])
    for k in range(33):
        x = low + (high - low) * k / 32.0
        top = _edge_at(ring, n, x, 1.0)
        foot = _edge_at(piece, m, x, -1.0)
        if top > -FAR and foot > -FAR and top > -foot + 0.05:
            return True
    return False


@inner
@borrows
def _edge_at(ring, n, x, sign):
    """Highest (sign 1) point of a ring at x, or minus its lowest (sign -1); far below where it is not there."""
    best = -FAR
    for i in range(n):
        j = i + 1 if i + 1 < n else 0
        ax, bx = ring[i, 0], ring[j, 0]
        if min(ax, bx) <= x <= max(ax, bx):
            y = max(sign * ring[i, 1], sign * ring[j, 1])
            if abs(bx - ax) > 1e-9:
                y = sign * (ring[i, 1] + (x - ax) / (bx - ax) * (ring[j, 1] - ring[i, 1]))
            best = max(best, y)
    return best


@inner
def meet_punch(packed, tools, outlines, row, body, punch):
    """Fill in which classes of one punch the outline of a body meets, and what holds that punch when it goes up."""
    move = packed.move[body]
    bend = packed.swing[move]
    swing = (bend[0], bend[1], bend[2], bend[3], bend[4], bend[5])
    ring, size, flat = outlines.ring[row], outlines.size[row], outlines.kind[row] & 1 == 1
    bits = KNOWN
    for c in range(7):
        if tools.same[punch] and 3 <= c < 6:
            bits |= (bits >> (c - 3) & 1) << c
            continue
        pieces, counts, sectors = tools.rings[punch, c], tools.counts[punch, c], tools.sectors[punch, c]
        if flat:
            pieces, counts, sectors = (
                tools.beside[punch, c],
                tools.beside_counts[punch, c],
                tools.beside_sectors[punch, c],
            )
        if swing_meets_near(
            ring, size, outlines.polar[row], pieces, counts, sectors, False, swing, TOUCH_MM, TOLERANCE_MM, bend[1]
        ):
            bits |= 1 << c
    if not flat and packed.plate[body]:
        ended = np.empty((size, 2))
        swing_ring(ring, size, packed.target[move], bend[1], bend[2], ended)
        for c in range(6):
            if bits >> c & 1 or stands_clear(
                ended, size, tools.swept[punch, c], tools.swept_counts[punch, c], TOUCH_MM
            ):
                continue
            bits |= 1 << (8 + c)
            if c in (0, 3):
                outlines.free[row, punch, c // 3] = _freeing(ended, size, tools.rings[punch, c], tools.counts[punch, c])
    outlines.meets[row, punch] = bits
