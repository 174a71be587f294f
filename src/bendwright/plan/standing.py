"""All ways in which the bodies around a move may stand, and those that forbid the move to every punch. Compiled."""

from __future__ import annotations

import numpy as np

from bendwright.compiled import borrows, folded_in, inner
from bendwright.plan.looks import POSE_BITS, known_row, look
from bendwright.plan.outlines import BED, DIE, HOLDER, KNOWN, RAM

MOST_WAYS = 8
"""Bodies behind more bends than this are not looked at in all their ways."""
FEW_WAYS = 5
"""Nor are those behind more than so many, where others behind them are not: all of these bends matter anyway."""


@inner
def every_way(packed, tools, looks, move, punches, work, rows, counts):
    """Fill ``rows`` [body of the move, pose] with the looks of all bodies at all their poses, the bits of all punches known, and ``counts``
    with the number of poses (0: not looked at); returns the bends of bodies that are not looked at, -1 when a table is full.
    """
    first = packed.first[move]
    unseen = np.zeros(2, dtype=np.int64)
    for body in range(first, packed.last[move]):
        if packed.path_n[body] > MOST_WAYS:
            unseen[packed.side[body]] |= packed.ways[body]
    for body in range(first, packed.last[move]):
        ways = packed.path_n[body]
        if ways > MOST_WAYS or (ways > FEW_WAYS and packed.ways[body] & ~unseen[packed.side[body]] == 0):
            continue
        for pose in range(1 << ways):
            key = (packed.like[body] << POSE_BITS) | pose
            row = known_row(looks, key, -1)
            if row < 0:
                row = look(packed, tools, looks, body, key, -1, work)
            if row < 0:
                return np.int64(-1)
            for k in range(punches.shape[0]):
                if looks.outlines.meets[looks.outline[row], punches[k]] & KNOWN == 0:
                    look(packed, tools, looks, body, key, punches[k], work)
            rows[body - first, pose] = row
        counts[body - first] = 1 << ways
    return unseen[0] | unseen[1]


@inner
@borrows
def _barred_by(packed, tools, looks, body, row, punches, short):
    """Whether a body as it stands forbids the move to every punch, both ways round, plain and eared."""
    move = packed.move[body]
    outline = looks.outline[row]
    below = looks.outlines.below[outline]
    if below & (HOLDER | BED):
        return True
    span = packed.span[move]
    box = looks.box[row]
    ease = packed.ease[body]
    middle = 0.5 * (span[0] + span[1])
    covered = box[5] - ease > span[0] + short and box[4] + ease < span[1] - short
    if below & DIE and covered:
        return True
    for k in range(punches.shape[0]):
        bits = looks.outlines.meets[outline, punches[k]]
        if bits & RAM:
            continue
        ears = short + tools.ear[punches[k], 1]
        over = box[5] - ease > min(middle, span[0] + ears) and box[4] + ease < max(middle, span[1] - ears)
        for o in range(2):
            plain = bits >> (3 * o) & 1 and covered
            eared = (bits >> (3 * o + 1) & 1 and over) or (bits >> (3 * o + 2) & 1 and covered)
            if not plain or not (eared or tools.ear[punches[k], 0] == 0.0):
                return False
    return True


@folded_in
def set_of(packed, body, pose):
    """Bends that must be done, and must not, for a body to stand that way."""
    must, mustnot = packed.must[body], packed.mustnot[body]
    at = packed.path_at[body]
    for i in range(packed.path_n[body]):
        bit = np.int64(1) << packed.path_bits[at + i]
        if pose >> i & 1:
            must |= bit
        else:
            mustnot |= bit
    return must, mustnot


@inner
@borrows
def ruled_out(bars, count, must, mustnot):
    """Whether one of the bars holds whenever these bends are done and those are not."""
    for i in range(count):  # noqa: SIM110 (compiled)
        if bars[i, 0] & must == bars[i, 0] and bars[i, 1] & mustnot == bars[i, 1]:
            return True
    return False


@inner
def bars_of(packed, tools, looks, move, punches, short, rows, counts, bars):
    """Sets of bends with which no punch can make the move, from single bodies at all their poses (see ``every_way``): rows (must be done,
    must not be done), the smallest sets first; returns their number.
    """
    count = np.int64(0)
    dead = np.zeros(1 << MOST_WAYS, dtype=np.bool_)
    first = packed.first[move]
    for size in range(MOST_WAYS + 1):
        for body in range(first, packed.last[move]):
            poses = counts[body - first]
            if packed.path_n[body] != size or poses == 0:
                continue
            for pose in range(poses):
                dead[pose] = _barred_by(packed, tools, looks, body, rows[body - first, pose], punches, short)
            for pose in range(poses):
                must, mustnot = set_of(packed, body, pose)
                if not dead[pose] or must & mustnot or count >= bars.shape[0]:
                    continue
                for i in range(size):
                    bit = np.int64(1) << packed.path_bits[packed.path_at[body] + i]
                    if _dead_either_way(dead, poses, pose, i, must, mustnot, packed, body):
                        must &= ~bit
                        mustnot &= ~bit
                if not ruled_out(bars, count, must, mustnot):
                    bars[count, 0], bars[count, 1] = must, mustnot
                    count += 1
    return count


@inner
@borrows
def _dead_either_way(dead, poses, pose, i, must, mustnot, packed, body):
    """Whether all poses that keep to what is left of the sets, bend i either way, are dead."""
    at = packed.path_at[body]
    bit = np.int64(1) << packed.path_bits[at + i]
    for other in range(poses):
        own, ownnot = set_of(packed, body, other)
        kept = must & ~bit
        keptnot = mustnot & ~bit
        if own & kept == kept and ownnot & keptnot == keptnot and not dead[other]:
            return False
    return True
