"""How does one body stand for one set of done bends, and which tools does it meet on its swing? Compiled, kept once asked.

Bits of what a body meets: 0-5 punch (whole, above the foot, foot; the same mirrored), 6 ram, 7 known, 8-13 the first six drawn up
after the stroke; die side: 0 die, 1 holder, 2 bed.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from bendwright.compiled import borrows, compiled, folded_in, inner
from bendwright.geometry.kernels import FAR, die_rise, swing_ring
from bendwright.geometry.rigid import Array
from bendwright.geometry.swing_clear import sector_of, stands_clear, swing_meets_near
from bendwright.geometry.swing_table import ACROSS_MM, FLAT_MM, hull_of
from bendwright.plan.memo import EMPTY, place_of
from bendwright.plan.packed import Flags, Ints

TOUCH_MM = -0.01
TOLERANCE_MM = 0.02
KNOWN = 1 << 7
RAM = 1 << 6
HITS = KNOWN - 1
DIE, HOLDER, BED = 1, 2, 4
LEAST_FACE_MM = 3.0
SHIFTS = 41
SHIFT_MM = 4.0
POSE_BITS = 44


class Looks(NamedTuple):
    """Kept looks: ``keys``/``numbers`` lead from (body, pose) to the rows; ``used`` counts them. ``box`` (u, v, w low and high,
    and the stretch along w that a finger can meet where the body is a face), ``polar``
    (nearest, farthest, lowest and highest direction [rad]) about the bend, ``flat`` for a leg, ``below`` the die-side bits, ``meets`` [row,
    punch] the bits above, ``free`` [row, punch, way round] the shifts that free a trapped punch.
    """

    keys: Ints
    numbers: Ints
    used: Ints
    box: Array
    polar: Array
    flat: Flags
    below: Ints
    meets: Ints
    free: Ints


@folded_in
def pose_of(packed, body, mask):
    """Pose number of a body: bit i says whether the i-th bend on its way is done."""
    pose = np.int64(0)
    at = packed.path_at[body]
    for i in range(packed.path_n[body]):
        if mask >> packed.path_bits[at + i] & 1:
            pose |= 1 << i
    return pose


@compiled
def stand(packed, body, pose, seen):
    """Write the corners of the body at the pose, seen in the frame of its move (u, v, w), into ``seen``; returns their number."""
    at = packed.path_at[body]
    first = packed.cloud_at[body]
    count = packed.cloud_n[body]
    move = packed.move[body]
    side = packed.side[body]
    turn = packed.frame_turn[move, side].copy()
    shift = packed.frame_move[move, side].copy()
    own = np.empty((3, 3))
    for i in range(packed.path_n[body]):
        if not pose >> i & 1:
            continue
        m = packed.turns[at + i]
        d = packed.shifts[at + i]
        for r in range(3):
            for c in range(3):
                own[r, c] = turn[r, 0] * m[0, c] + turn[r, 1] * m[1, c] + turn[r, 2] * m[2, c]
            shift[r] += turn[r, 0] * d[0] + turn[r, 1] * d[1] + turn[r, 2] * d[2]
        turn[:] = own
    for p in range(count):
        x, y, z = packed.clouds[first + p]
        for r in range(3):
            seen[p, r] = turn[r, 0] * x + turn[r, 1] * y + turn[r, 2] * z + shift[r]
    return count


@folded_in
def finger_floor(low, high, finger, thickness):
    """Where the underside of a finger stands (v) that is to meet a face from ``low`` to ``high``: not below the sheet where it can be."""
    if low > -thickness:
        return max(-thickness, low + LEAST_FACE_MM - finger)
    return max(low, high - finger)


@inner
@borrows
def _at_finger(seen, count, box, finger, thickness):
    """The stretch along w of a body between the heights of a finger that is to meet it as a face."""
    floor = finger_floor(box[2], box[3], finger, thickness)
    top = floor + finger
    if box[2] >= floor and box[3] <= top:
        return box[4], box[5]
    low, high = FAR, -FAR
    for i in range(count):
        v, w = seen[i, 1], seen[i, 2]
        if floor <= v <= top:
            low, high = min(low, w), max(high, w)
        for j in range(i):
            other, beyond = seen[j, 1], seen[j, 2]
            for edge in (floor, top):
                if (v - edge) * (other - edge) < 0.0:
                    at = w + (edge - v) / (other - v) * (beyond - w)
                    low, high = min(low, at), max(high, at)
    return low, high


@compiled
@borrows
def _fresh(packed, tools, looks, row, body, seen, count, ring, order):
    """Fill a new row with what no punch changes; returns the ring's size."""
    move = packed.move[body]
    bend = packed.swing[move]
    swing = (bend[0], bend[1], bend[2], bend[3], bend[4], bend[5])
    for axis in range(3):
        low = FAR
        high = -FAR
        for p in range(count):
            low = min(low, seen[p, axis])
            high = max(high, seen[p, axis])
        looks.box[row, 2 * axis] = low
        looks.box[row, 2 * axis + 1] = high
    box = looks.box[row]
    box[6], box[7] = _at_finger(seen, count, box, tools.finger, bend[3])
    looks.flat[row] = box[2] > -bend[3] - FLAT_MM and box[3] < FLAT_MM and box[0] > -ACROSS_MM
    size = hull_of(seen, count, ring, order)
    sector_of(ring, size, 0.5 * bend[1], looks.polar[row])
    below = 0
    if not looks.flat[row]:
        die = packed.die[move]
        rise = max(bend[3], abs(die_rise(bend[0], bend[1], bend[2], bend[3], bend[4], bend[5])))
        for c in range(3):
            if swing_meets_near(
                ring, size, looks.polar[row], tools.die_rings[die, c], tools.die_counts[die, c], tools.die_sectors[die, c],
                True, swing, TOUCH_MM, TOLERANCE_MM, bend[1] + rise,
            ):  # fmt: skip
                below |= 1 << c
    looks.below[row] = below
    looks.meets[row, :] = 0
    looks.free[row, :, :] = -1
    return size


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
def _with_punch(packed, tools, looks, row, body, punch, ring, size):
    """Fill in which classes of one punch the body meets, and what holds that punch when it goes up."""
    move = packed.move[body]
    bend = packed.swing[move]
    swing = (bend[0], bend[1], bend[2], bend[3], bend[4], bend[5])
    flat = looks.flat[row]
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
            ring, size, looks.polar[row], pieces, counts, sectors, False, swing, TOUCH_MM, TOLERANCE_MM, bend[1]
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
                looks.free[row, punch, c // 3] = _freeing(ended, size, tools.rings[punch, c], tools.counts[punch, c])
    looks.meets[row, punch] = bits


@compiled
@borrows
def look(packed, tools, looks, body, key, punch, work):
    """Work out the row of (body, pose) ``key``, the bits of a punch filled in; -1 when the table is full."""
    seen, ring, order = work
    at = place_of(looks.keys, key)
    fresh = looks.keys[at] == EMPTY
    if fresh and (looks.used[0] >= looks.box.shape[0] or 2 * looks.used[0] >= looks.keys.shape[0]):
        return -1
    count = stand(packed, body, key & ((np.int64(1) << POSE_BITS) - 1), seen)
    row = looks.numbers[at]
    if fresh:
        row = looks.used[0]
        looks.used[0] += 1
        looks.keys[at] = key
        looks.numbers[at] = row
        size = _fresh(packed, tools, looks, row, body, seen, count, ring, order)
    else:
        size = hull_of(seen, count, ring, order)
    if punch >= 0:
        _with_punch(packed, tools, looks, row, body, punch, ring, size)
    return row


@compiled
@borrows
def here(packed, tools, looks, move, mask, punch, work, present, rows):
    """Bodies that are there with the bends of ``mask`` done, and the rows of their looks; -1 when the table is full, else their
    number.
    """
    count = 0
    for body in range(packed.first[move], packed.last[move]):
        if mask & packed.must[body] != packed.must[body] or mask & packed.mustnot[body]:
            continue
        key = (np.int64(body) << POSE_BITS) | pose_of(packed, body, mask)
        at = place_of(looks.keys, key)
        row = looks.numbers[at]
        if looks.keys[at] == EMPTY or (punch >= 0 and looks.meets[row, punch] & KNOWN == 0):
            row = look(packed, tools, looks, body, key, punch, work)
            if row < 0:
                return -1
        present[count] = body
        rows[count] = row
        count += 1
    return count
