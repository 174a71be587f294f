"""All ways in which the bodies around a move may stand, and those that forbid the move to every punch. Compiled."""

from __future__ import annotations

import numpy as np

from bendwright.compiled import borrows, compiled, inner
from bendwright.plan.looks import BED, DIE, HOLDER, KNOWN, POSE_BITS, RAM, look
from bendwright.plan.memo import EMPTY, place_of

MOST_WAYS = 8
"""Bodies behind more bends than this are not looked at in all their ways."""


@compiled
@borrows
def rows_of(packed, tools, looks, body, punches, work, rows):
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
@borrows
def ways(packed, body):
    """The bends that decide how a body stands."""
    out = packed.must[body] | packed.mustnot[body]
    at = packed.path_at[body]
    for i in range(packed.path_n[body]):
        out |= np.int64(1) << packed.path_bits[at + i]
    return out


@inner
@borrows
def _barred_by(packed, tools, looks, body, row, punches, short):
    """Whether a body as it stands forbids the move to every punch, both ways round, plain and eared."""
    move = packed.move[body]
    below = looks.below[row]
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
        bits = looks.meets[row, punches[k]]
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


@compiled
@borrows
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
def bars_of(packed, tools, looks, move, punches, short, work, bars):
    """Sets of bends with which no punch can make the move, from single bodies: rows (must be done, must not be done), the smallest
    sets first; returns their number, -1 when a table is full.
    """
    count = np.int64(0)
    dead = np.zeros(1 << MOST_WAYS, dtype=np.bool_)
    rows = np.zeros(1 << MOST_WAYS, dtype=np.int64)
    for size in range(MOST_WAYS + 1):
        for body in range(packed.first[move], packed.last[move]):
            if packed.path_n[body] != size:
                continue
            poses = rows_of(packed, tools, looks, body, punches, work, rows)
            if poses < 0:
                return -1
            for pose in range(poses):
                dead[pose] = _barred_by(packed, tools, looks, body, rows[pose], punches, short)
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
