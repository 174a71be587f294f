"""Which bends matter to a move? All others can be done or not, the answer stays the same. Compiled.

A bend matters when some way it may stand lets a body meet a tool, stand too high, carry or bar a stop of the gauge, or come near the
other side of the part. Bodies behind many bends count as mattering unseen.
"""

from __future__ import annotations

import numpy as np

from bendwright.compiled import compiled
from bendwright.geometry.kernels import FAR
from bendwright.plan.answers import may_meet
from bendwright.plan.looks import KNOWN, POSE_BITS, look
from bendwright.plan.memo import EMPTY, place_of
from bendwright.plan.stopping import BEHIND_MM, FACE, stop_place

MOST_WAYS = 8
MOST_PAIR_WAYS = 5


@compiled
def _rows_of(packed, tools, looks, body, punches, work, rows):
    """Rows of the body at all its poses, with the bits of all punches; -1 when a table is full."""
    for pose in range(1 << packed.path_n[body]):
        key = (np.int64(body) << POSE_BITS) | pose
        for k in range(punches.shape[0]):
            at = place_of(looks.keys, key)
            row = looks.numbers[at]
            if looks.keys[at] == EMPTY or looks.meets[row, punches[k]] & KNOWN == 0:
                row = look(packed, tools, looks, body, key, punches[k], work)
                if row < 0:
                    return -1
            rows[pose] = row
    return 1 << packed.path_n[body]


@compiled
def _fingers(packed, stops, looks, move, side, rows, counts, out):
    """Where fingers may stand at all stops of a side, as (x, floor, ceiling, low w, high w); returns their number and the bends
    that decide over the stops.
    """
    _, _, _, _, finger, _, thickness, wide, _, low, high = stops.limits
    first = packed.first[move]
    ways = np.int64(0)
    count = 0
    for s in range(stops.first[move, side], stops.last[move, side]):
        kind = stops.rows[s, 0]
        poses = 1
        if kind == FACE:
            poses = counts[stops.rows[s, 1] - first]
            if poses == 0:
                ways |= _ways(packed, stops.rows[s, 1])
        for pose in range(poses):
            box = looks.box[0]
            if kind == FACE:
                box = looks.box[rows[stops.rows[s, 1] - first, pose]]
            fine, x, r, low_w, high_w = stop_place(kind, stops.numbers[s], box, finger, thickness)
            if not fine or count >= out.shape[0]:
                continue
            ways |= _ways(packed, stops.rows[s, 1]) if kind == FACE else stops.must[s] | stops.mustnot[s]
            out[count, 0] = x
            out[count, 1] = r - thickness + min(low, 0.0)
            out[count, 2] = r - thickness + max(finger, high)
            out[count, 3] = -FAR if high > low else low_w - wide
            out[count, 4] = FAR if high > low else high_w + wide
            count += 1
    return count, ways


@compiled
def _ways(packed, body):
    """The bends that decide how a body stands."""
    out = packed.must[body] | packed.mustnot[body]
    at = packed.path_at[body]
    for i in range(packed.path_n[body]):
        out |= np.int64(1) << packed.path_bits[at + i]
    return out


@compiled
def _body_matters(looks, rows, count, fingers, finger_count, free, lowest):
    """Whether some way the body may stand meets a tool, is too high, hangs below, or is in the way of a finger."""
    for pose in range(count):
        row = rows[pose]
        if looks.below[row] != 0:
            return True
        for k in range(looks.meets.shape[1]):
            if looks.meets[row, k] & ~KNOWN:
                return True
        box = looks.box[row]
        if box[3] - lowest > free and (box[3] > 0.0 or box[2] < lowest + 1e-6):
            return True
        for f in range(finger_count):
            x, floor, ceiling, low_w, high_w = fingers[f]
            if box[1] > x + BEHIND_MM and box[2] < ceiling and box[3] > floor and box[4] < high_w and box[5] > low_w:
                return True
    return False


@compiled
def _pairs_matter(packed, looks, move, rows, counts):
    """Bends that decide whether plates of the two sides come near each other."""
    bend = packed.swing[move]
    first = packed.first[move]
    out = 0
    for a in range(first, packed.last[move]):
        if not packed.plate[a] or packed.side[a] != 0:
            continue
        for b in range(first, packed.last[move]):
            if not packed.plate[b] or packed.side[b] != 1 or (packed.next_to[a] and packed.next_to[b]):
                continue
            ways = _ways(packed, a) | _ways(packed, b)
            if out & ways == ways:
                continue
            if packed.path_n[a] > MOST_PAIR_WAYS or packed.path_n[b] > MOST_PAIR_WAYS:
                out |= ways
                continue
            for i in range(counts[a - first]):
                for j in range(counts[b - first]):
                    p, q = rows[a - first, i], rows[b - first, j]
                    if may_meet(looks.polar[p], looks.polar[q], looks.box[p], looks.box[q], bend[0], bend[1]):
                        out |= ways
    return out


@compiled
def relevant_bends(packed, tools, stops, looks, move, punches, work):
    """Set of bends that matter to a move with any of the punches; -1 when a table is full."""
    first, last = packed.first[move], packed.last[move]
    counts = np.zeros(last - first, dtype=np.int64)
    rows = np.zeros((last - first, 1 << MOST_WAYS), dtype=np.int64)
    out = stops.fit_mask[move, 0] if stops.fit[move, 0] else np.int64(0)
    out |= stops.fit_mask[move, 1] if stops.fit[move, 1] else np.int64(0)
    lowest = np.full(2, -packed.swing[move, 3])
    for body in range(first, last):
        if packed.path_n[body] > MOST_WAYS:
            out |= _ways(packed, body)
            lowest[packed.side[body]] = -FAR
            continue
        count = _rows_of(packed, tools, looks, body, punches, work, rows[body - first])
        if count < 0:
            return -1
        counts[body - first] = count
        for pose in range(count):
            side = packed.side[body]
            lowest[side] = min(lowest[side], looks.box[rows[body - first, pose], 2])
    free = FAR
    for k in range(punches.shape[0]):
        free = min(free, tools.open_gap[punches[k], packed.die[move]] - 1.0)
    most = 1 + max(stops.last[move, 0] - stops.first[move, 0], stops.last[move, 1] - stops.first[move, 1])
    fingers = np.empty((2, most << MOST_WAYS, 5))
    found = np.zeros(2, dtype=np.int64)
    for side in range(2):
        found[side], ways = _fingers(packed, stops, looks, move, side, rows, counts, fingers[side])
        out |= ways
    for body in range(first, last):
        side = packed.side[body]
        if counts[body - first] > 0 and _body_matters(
            looks, rows[body - first], counts[body - first], fingers[side], found[side], free, lowest[side]
        ):
            out |= _ways(packed, body)
    out |= _pairs_matter(packed, looks, move, rows, counts)
    return out & ~packed.makes[move]
