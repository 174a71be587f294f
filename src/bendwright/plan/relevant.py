"""Which bends matter to a move? All others can be done or not, the answer stays the same. Compiled.

A bend matters when some way it may stand lets a body meet a tool, stand too high, carry or bar a stop of the gauge, or come near the
other side of the part. Bodies behind many bends count as mattering unseen.
"""

from __future__ import annotations

import numpy as np

from bendwright.compiled import borrows, compiled, inner
from bendwright.geometry.kernels import FAR
from bendwright.plan.answers import may_meet
from bendwright.plan.beaten_stops import drop_beaten
from bendwright.plan.outlines import KNOWN
from bendwright.plan.standing import FEW_WAYS, MOST_WAYS, bars_of, every_way, ruled_out, set_of
from bendwright.plan.stopping import BEHIND_MM, FACE, stop_place


@compiled
@borrows
def _fingers(packed, stops, looks, move, side, rows, counts, bars, bar_count, out):
    """Where fingers may stand at all stops of a side, as (x, floor, ceiling, low w, high w); returns their number and the bends
    that decide over the stops.
    """
    _, _, _, _, finger, _, thickness, wide, _, low, high, _ = stops.limits
    first = packed.first[move]
    decide = np.int64(0)
    count = 0
    for s in range(stops.first[move, side], stops.last[move, side]):
        kind = stops.rows[s, 0]
        if not stops.live[s]:
            continue
        poses = 1
        if kind == FACE:
            poses = counts[stops.rows[s, 1] - first]
            if poses == 0:
                decide |= packed.ways[stops.rows[s, 1]]
        for pose in range(poses):
            box = looks.box[0]
            must, mustnot = stops.must[s], stops.mustnot[s]
            if kind == FACE:
                box = looks.box[rows[stops.rows[s, 1] - first, pose]]
                must, mustnot = set_of(packed, stops.rows[s, 1], pose)
            if ruled_out(bars, bar_count, must, mustnot):
                continue
            fine, x, r, low_w, high_w = stop_place(kind, stops.numbers[s], box, finger, thickness)
            if not fine or count >= out.shape[0]:
                continue
            decide |= packed.ways[stops.rows[s, 1]] if kind == FACE else stops.must[s] | stops.mustnot[s]
            out[count, 0] = x
            out[count, 1] = r - thickness + min(low, 0.0)
            out[count, 2] = r - thickness + max(finger, high)
            out[count, 3] = -FAR if high > low else low_w - wide
            out[count, 4] = FAR if high > low else high_w + wide
            count += 1
    return count, decide


@inner
@borrows
def _meets_tools(packed, looks, body, rows, count, free, lowest, bars, bar_count):
    """Whether some way the body may stand meets a tool, is too high to pass under the punch, or hangs lowest while others may be."""
    for pose in range(count):
        must, mustnot = set_of(packed, body, pose)
        if ruled_out(bars, bar_count, must, mustnot):
            continue
        outline = looks.outline[rows[pose]]
        if looks.outlines.below[outline] != 0:
            return True
        for k in range(looks.outlines.meets.shape[1]):
            if looks.outlines.meets[outline, k] & ~KNOWN:
                return True
        if looks.box[rows[pose], 3] - lowest > free:
            return True
    return False


@inner
@borrows
def _meets_fingers(packed, looks, body, rows, count, fingers, finger_count, bars, bar_count):
    """Whether some way the body may stand is in the way of a finger."""
    for pose in range(count):
        must, mustnot = set_of(packed, body, pose)
        if ruled_out(bars, bar_count, must, mustnot):
            continue
        box = looks.box[rows[pose]]
        for f in range(finger_count):
            x, floor, ceiling, low_w, high_w = fingers[f]
            if box[1] > x + BEHIND_MM and box[2] < ceiling and box[3] > floor and box[4] < high_w and box[5] > low_w:
                return True
    return False


@inner
@borrows
def _pairs_matter(packed, looks, move, rows, counts, bars, bar_count):
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
            both = packed.ways[a] | packed.ways[b]
            if out & both == both:
                continue
            if packed.path_n[a] > FEW_WAYS or packed.path_n[b] > FEW_WAYS:
                out |= both
                continue
            for i in range(counts[a - first]):
                must, mustnot = set_of(packed, a, i)
                for j in range(counts[b - first]):
                    own, ownnot = set_of(packed, b, j)
                    if ruled_out(bars, bar_count, must | own, mustnot | ownnot):
                        continue
                    p, q = rows[a - first, i], rows[b - first, j]
                    if may_meet(looks, p, q, bend[0], bend[1]):
                        out |= both
    return out


@inner
@borrows
def _heights(packed, looks, move, rows, counts, lowest, highest):
    """How low and high each side comes; what is not looked at may come anywhere."""
    lowest[:] = -packed.swing[move, 3]
    highest[:] = 0.0
    first = packed.first[move]
    for body in range(first, packed.last[move]):
        side = packed.side[body]
        if counts[body - first] == 0:
            lowest[side], highest[side] = -0.5 * FAR, FAR
        for pose in range(counts[body - first]):
            lowest[side] = min(lowest[side], looks.box[rows[body - first, pose], 2])
            highest[side] = max(highest[side], looks.box[rows[body - first, pose], 3])


@compiled
def relevant_bends(packed, tools, stops, looks, move, punches, short, work, bars):
    """Sets of bends that matter to a move with any of the punches: for stops and the part itself, and for the room of stacks; both -1
    when a table is full. ``bars`` takes the sets with which no punch can make the move (see ``bars_of``); ways of standing that they
    rule out do not count.
    """
    first, last = packed.first[move], packed.last[move]
    counts = np.zeros(last - first, dtype=np.int64)
    rows = np.zeros((last - first, 1 << MOST_WAYS), dtype=np.int64)
    unseen = every_way(packed, tools, looks, move, punches, work, rows, counts)
    if unseen < 0:
        return np.int64(-1), np.int64(-1), 0
    bar_count = bars_of(packed, tools, looks, move, punches, short, rows, counts, bars)
    lowest, highest = np.empty(2), np.empty(2)
    _heights(packed, looks, move, rows, counts, lowest, highest)
    for_stops = for_room = unseen
    for side in range(2):
        for_stops |= stops.fit_mask[move, side] if stops.fit[move, side] else np.int64(0)
    free = FAR
    for k in range(punches.shape[0]):
        free = min(free, tools.open_gap[punches[k], packed.die[move]] - 1.0)
    most = 1 + max(stops.last[move, 0] - stops.first[move, 0], stops.last[move, 1] - stops.first[move, 1])
    fingers = np.empty((2, most << MOST_WAYS, 5))
    found = np.zeros(2, dtype=np.int64)
    drop_beaten(packed, stops, looks, move, rows, counts, bars, bar_count)
    for side in range(2):
        found[side], decide = _fingers(packed, stops, looks, move, side, rows, counts, bars, bar_count, fingers[side])
        for_stops |= decide
    for body in range(first, last):
        side = packed.side[body]
        own, count = rows[body - first], counts[body - first]
        tight = highest[side] - lowest[side] > free and _hangs(packed, looks, move, own, count)
        if count > 0 and (tight or _meets_tools(packed, looks, body, own, count, free, lowest[side], bars, bar_count)):
            for_room |= packed.ways[body]
        if count > 0 and _meets_fingers(packed, looks, body, own, count, fingers[side], found[side], bars, bar_count):
            for_stops |= packed.ways[body]
    for_stops |= _pairs_matter(packed, looks, move, rows, counts, bars, bar_count)
    return for_stops & ~packed.makes[move], for_room & ~packed.makes[move], bar_count


@inner
@borrows
def _hangs(packed, looks, move, rows, count):
    """Whether some way the body may stand reaches below the sheet: it decides how high the rest has to be lifted."""
    for pose in range(count):  # noqa: SIM110 (compiled)
        if looks.box[rows[pose], 2] < -packed.swing[move, 3] - 1e-6:
            return True
    return False
