"""How does one body stand for one set of done bends, and which tools does it meet on its swing? Compiled, kept once asked."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from bendwright.compiled import borrows, compiled, folded_in, inner
from bendwright.geometry.kernels import FAR
from bendwright.geometry.rigid import Array
from bendwright.geometry.swing_table import ACROSS_MM, FLAT_MM, hull_of
from bendwright.plan.memo import EMPTY, place_of
from bendwright.plan.outlines import KNOWN, Outlines, meet_punch, on_grid, outline_of
from bendwright.plan.packed import Ints

LEAST_FACE_MM = 3.0
POSE_BITS = 44


class Looks(NamedTuple):
    """Kept looks: ``keys``/``numbers`` lead from (body, pose) to the rows, ``used`` counts them; bodies that are ``like`` one have one row.
    ``box`` (u, v, w low and high, and the stretch along w that a finger can meet where the body is a face), ``outline`` its row among the
    ``outlines``.
    """

    keys: Ints
    numbers: Ints
    used: Ints
    box: Array
    outline: Ints
    outlines: Outlines


@folded_in
def pose_of(packed, body, mask):
    """Pose number of a body: bit i says whether the i-th bend on its way is done."""
    pose = np.int64(0)
    at = packed.path_at[body]
    for i in range(packed.path_n[body]):
        if mask >> packed.path_bits[at + i] & 1:
            pose |= 1 << i
    return pose


@folded_in
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


@folded_in
def _fresh(packed, tools, looks, body, key, at, work):
    """A new row for (body, pose) ``key``, kept at that place; -1 when a table is full."""
    seen, ring, order = work
    row, outlines = looks.used[0], looks.outlines
    if row >= looks.box.shape[0] or 2 * row >= looks.keys.shape[0]:
        return np.int64(-1)
    count = stand(packed, body, key & ((np.int64(1) << POSE_BITS) - 1), seen)
    thickness = packed.swing[packed.move[body], 3]
    box = looks.box[row]
    for axis in range(3):
        low = FAR
        high = -FAR
        for p in range(count):
            low = min(low, seen[p, axis])
            high = max(high, seen[p, axis])
        box[2 * axis], box[2 * axis + 1] = low, high
    box[6], box[7] = _at_finger(seen, count, box, tools.finger, thickness)
    flat = box[2] > -thickness - FLAT_MM and box[3] < FLAT_MM and box[0] > -ACROSS_MM
    for p in range(count):
        seen[p, 0], seen[p, 1] = on_grid(seen[p, 0]), on_grid(seen[p, 1])
    outline = outline_of(packed, tools, outlines, body, flat, ring, hull_of(seen, count, ring, order))
    if outline < 0:
        return np.int64(-1)
    looks.outline[row] = outline
    looks.used[0] += 1
    looks.keys[at] = key
    looks.numbers[at] = row
    return row


@folded_in
def known_row(looks, key, punch):
    """Row of (body, pose) ``key`` with the bits of a punch (-1: none); -1 where it is not known yet."""
    at = place_of(looks.keys, key)
    row = looks.numbers[at] if looks.keys[at] != EMPTY else np.int64(-1)
    if row >= 0 and punch >= 0 and looks.outlines.meets[looks.outline[row], punch] & KNOWN == 0:
        row = np.int64(-1)
    return row


@compiled
def look(packed, tools, looks, body, key, punch, work):
    """Row of (body, pose) ``key``, worked out if new, the bits of a punch (-1: none) filled in; -1 when a table is full."""
    at = place_of(looks.keys, key)
    row = looks.numbers[at] if looks.keys[at] != EMPTY else _fresh(packed, tools, looks, body, key, at, work)
    if row >= 0 and punch >= 0 and looks.outlines.meets[looks.outline[row], punch] & KNOWN == 0:
        meet_punch(packed, tools, looks.outlines, looks.outline[row], body, punch)
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
        key = (packed.like[body] << POSE_BITS) | pose_of(packed, body, mask)
        row = known_row(looks, key, punch)
        if row < 0:
            row = look(packed, tools, looks, body, key, punch, work)
        if row < 0:
            return -1
        present[count] = body
        rows[count] = row
        count += 1
    return count
