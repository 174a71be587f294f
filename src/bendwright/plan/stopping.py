"""Which stop of the back gauge is the best for one stroke? Compiled."""

from __future__ import annotations

import numpy as np

from bendwright.compiled import borrows, inner
from bendwright.geometry.kernels import FAR
from bendwright.plan.looks import LEAST_FACE_MM, finger_floor

BEHIND_MM = 0.2
EDGE, FACE, ARC, NOTCHED, ASLANT = 0, 1, 2, 3, 4


@inner
@borrows
def _free_stretch(low, high, x, floor, ceiling, boxes, count):
    """What is left of a stop's stretch where nothing of the part sticks out behind it at the finger's height."""
    for i in range(count):
        box = boxes[i]
        if box[1] <= x + BEHIND_MM or box[2] >= ceiling or box[3] <= floor or box[5] <= low or box[4] >= high:
            continue
        if box[4] - low > high - box[5]:
            high = box[4]
        else:
            low = box[5]
        if high <= low:
            return 0.0, 0.0
    return low, high


@inner
@borrows
def stop_place(kind, number, box, finger, thickness):
    """Where a stop stands: (usable, x, r, low w, high w); an edge aslant counts where it comes nearest to the bend."""
    x, low, high, r, _ = number
    if kind == FACE:
        if box[1] - box[0] > thickness + 1e-4 or box[3] - box[2] < LEAST_FACE_MM:
            return False, 0.0, 0.0, 0.0, 0.0
        r = finger_floor(box[2], box[3], finger, thickness) + thickness
        return True, box[1], r, box[6], box[7]
    return True, x, r if kind == ARC else 0.0, low, high


@inner
@borrows
def stop_rank(kind, direct, length, good, error_in_front, error_behind):
    """How good a stop is: 0 good, +1 short contact, +1 beyond the next flange, +1 aslant, +4 error in a fit dimension; edges first."""
    rank = 0.0 if length >= good else 1.0
    if error_in_front or (error_behind and direct == 0):
        rank += 4.0
    if kind == EDGE:
        rank -= 0.2
    elif kind == NOTCHED:
        rank += 0.05
    elif kind == ASLANT:
        rank += 1.0
    if direct == 0:
        rank += 1.0
    return rank - 1e-6 * min(length, 1e4)


@inner
@borrows
def _ends_in_air(low, high, over, x, floor, finger, boxes, count):
    """Whether a finger that reaches ``over`` past both ends of its stop meets nothing there."""
    if over <= 0.0:
        return True
    first, last = _free_stretch(low - over, high + over, x, floor + 0.1, floor + finger, boxes, count)
    return first <= low - over + 1e-6 and last >= high + over - 1e-6


@inner
@borrows
def _beam_clear(x, floor, beam, boxes, count):
    """Whether nothing of the part reaches into the cross beam behind the fingers."""
    behind, low, high = beam
    for i in range(count):  # noqa: SIM110 (compiled)
        if boxes[i, 1] > x + behind and boxes[i, 2] < floor + high and boxes[i, 3] > floor + low:
            return False
    return True


@inner
def best_stop(stops, move, side, mask, present, rows, body_count, packed, looks, out):
    """Write the best stop of a side for a set of done bends into ``out``: (number or -1, x, r, low w, high w, rank).

    ``stops.limits`` = (x low, x high, r low, r high, finger height, least contact, thickness, finger width, beam behind, beam low,
    beam high, least distance of two fingers' middles); ``stops.good`` [move] is the contact that holds the part square.
    """
    x_low, x_high, r_low, r_high, finger, contact, thickness, wide, behind, beam_low, beam_high, apart = stops.limits
    boxes = np.empty((body_count, 8))
    count = 0
    for i in range(body_count):
        if packed.side[present[i]] == side:
            boxes[count] = looks.box[rows[i]]
            count += 1
    in_front = stops.fit[move, 1 - side] and mask & stops.fit_mask[move, 1 - side] == stops.fit_mask[move, 1 - side]
    in_back = stops.fit[move, side] and mask & stops.fit_mask[move, side] == stops.fit_mask[move, side]
    out[0] = -1.0
    out[5] = FAR
    for s in range(stops.first[move, side], stops.last[move, side]):
        if not stops.live[s] or mask & stops.must[s] != stops.must[s] or mask & stops.mustnot[s]:
            continue
        kind = stops.rows[s, 0]
        box = looks.box[0]
        if kind == FACE:
            where = -1
            for i in range(body_count):
                if present[i] == stops.rows[s, 1]:
                    where = i
            if where < 0:
                continue
            box = looks.box[rows[where]]
        fine, x, r, low, high = stop_place(kind, stops.numbers[s], box, finger, thickness)
        farther = abs(stops.numbers[s, 4]) * (high - low)
        if not fine or x < x_low or x + farther > x_high or r < r_low or r > r_high:
            continue
        if stop_rank(kind, stops.rows[s, 2], high - low, stops.good[move], in_front, in_back) >= out[5] - 1e-9:
            continue
        floor = r - thickness
        low, high = _free_stretch(low, high, x + farther, floor + 0.1, floor + finger, boxes, count)
        if high - low < (apart + wide if kind == ASLANT else contact):
            continue
        over = 0.5 * wide if kind == NOTCHED else max(0.0, 0.5 * (wide - high + low))
        if not _ends_in_air(low, high, over, x + farther, floor, finger, boxes, count):
            continue
        if not _beam_clear(x, floor, (behind, beam_low, beam_high), boxes, count):
            continue
        rank = stop_rank(kind, stops.rows[s, 2], high - low, stops.good[move], in_front, in_back)
        if rank < out[5] - 1e-9:
            out[0], out[1], out[2], out[3], out[4], out[5] = s, x, r, low, high, rank
