"""What can a stroke of the order cost at least, and the strokes that make some bends of a line? Compiled."""

from __future__ import annotations

import numpy as np

from bendwright.compiled import borrows, compiled, inner
from bendwright.geometry.kernels import FAR
from bendwright.plan.looks import POSE_BITS
from bendwright.plan.memo import EMPTY, place_of
from bendwright.plan.standing import MOST_WAYS, ruled_out, set_of
from bendwright.plan.stopping import ASLANT, FACE, stop_place, stop_rank


@compiled
@borrows
def fill_least(packed, stops, looks, poor, least, places):
    """Fill ``least`` [move, side] with the rank that no stop can beat, whatever is done, where it can be reached at all and holds the part;
    FAR where there is none. ``places`` [move, side, (low, high)]: the X [mm] of the stops that come near it, those that a shop without
    dislike for ``poor`` ones takes included.
    """
    for move in range(least.shape[0]):
        bars = packed.forbidden[move]
        count = 0
        while count < bars.shape[0] and bars[count, 0] != -1:
            count += 1
        for side in range(2):
            low, high = FAR, -FAR
            for again in range(2):
                for s in range(stops.first[move, side], stops.last[move, side]):
                    if not stops.live[s]:
                        continue
                    rank, first, last = _at_best(packed, stops, looks, move, s, bars, count)
                    if again == 0:
                        least[move, side] = min(least[move, side], rank)
                    elif rank < FAR and not (poor and grade(rank) > grade(least[move, side])):
                        low, high = min(low, first), max(high, last)
            places[move, side, 0], places[move, side, 1] = low, high


@compiled
@borrows
def grade(rank):
    """How often a stop of this rank counts as poor."""
    return np.round(min(max(rank + 0.1, 0.0), 3.0))


@inner
@borrows
def _at_best(packed, stops, looks, move, s, bars, bar_count):
    """Best rank of one stop over all ways its body may stand, lowest and highest X; FAR where it can never be used."""
    kind, body, direct = stops.rows[s]
    if kind != FACE:
        rank = _rank_at(stops, move, s, looks.box[0])
        if ruled_out(bars, bar_count, stops.must[s], stops.mustnot[s]):
            rank = FAR
        return rank, stops.numbers[s, 0], stops.numbers[s, 0]
    anywhere = (stop_rank(kind, direct, FAR, stops.good[move], False, False), -FAR, FAR)
    if packed.path_n[body] > MOST_WAYS:
        return anywhere
    best, low, high = FAR, FAR, -FAR
    for pose in range(1 << packed.path_n[body]):
        must, mustnot = set_of(packed, body, pose)
        if must & mustnot or ruled_out(bars, bar_count, must, mustnot):
            continue
        at = place_of(looks.keys, (packed.like[body] << POSE_BITS) | pose)
        if looks.keys[at] == EMPTY:
            return anywhere
        box = looks.box[looks.numbers[at]]
        rank = _rank_at(stops, move, s, box)
        if rank < FAR:
            best, low, high = min(best, rank), min(low, box[1]), max(high, box[1])
    return best, low, high


@inner
@borrows
def _rank_at(stops, move, s, box):
    """Rank of a stop with nothing in its way; FAR where the gauge does not reach it or it is too short. See ``best_stop``."""
    x_low, x_high, r_low, r_high, finger, contact, thickness, wide, _, _, _, apart = stops.limits
    kind = stops.rows[s, 0]
    fine, x, r, low, high = stop_place(kind, stops.numbers[s], box, finger, thickness)
    farther = abs(stops.numbers[s, 4]) * (high - low)
    if not fine or x < x_low or x + farther > x_high or r < r_low or r > r_high:
        return FAR
    if high - low < (apart + wide if kind == ASLANT else contact):
        return FAR
    return stop_rank(kind, stops.rows[s, 2], high - low, stops.good[move], False, False)


@compiled
def fill_cover(told, makes, seconds, cover):
    """Fill ``cover`` [how, subset] with the least seconds of strokes that make all of a subset of the bends ``told``, whatever else they
    make; ``makes`` are the sets of the moves, ``seconds`` [move, how] what they take.
    """
    parts = np.zeros(makes.shape[0], dtype=np.int64)
    for k in range(makes.shape[0]):
        for i in range(told.shape[0]):
            parts[k] |= (makes[k] >> told[i] & 1) << i
    cover[:, :] = FAR
    cover[:, 0] = 0.0
    for subset in range(1, 1 << told.shape[0]):
        first = subset & -subset
        for k in range(parts.shape[0]):
            if parts[k] & first:
                for how in range(cover.shape[0]):
                    cover[how, subset] = min(cover[how, subset], seconds[k, how] + cover[how, subset & ~parts[k]])
