"""May this move be made with these bends done, and how? Compiled; an answer is worked out once for every set that differs in a
bend that matters to the move.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from bendwright.compiled import borrows, compiled, folded_in, inner
from bendwright.geometry.kernels import FAR
from bendwright.geometry.pair_table import pair_swing_gap
from bendwright.geometry.rigid import Array
from bendwright.plan.looks import here, pose_of, stand
from bendwright.plan.memo import EMPTY, place_of
from bendwright.plan.packed import Ints
from bendwright.plan.room import ROW, kept_row, room_of
from bendwright.plan.stopping import best_stop

SELF_LEAST_MM = -0.02
SELF_CAP_MM = 0.5
SELF_TOLERANCE_MM = 0.02
SET_BITS = 48
NO_PUNCH = np.int64(-1)


class Answers(NamedTuple):
    """Kept answers. ``keys``/``numbers`` lead from (move, set of bends that matter for stops) to rows, ``used`` counts them: ``apart`` the
    smallest separation of the part from itself (capped), ``stop`` [row, side] = (number or -1, x, r, low w, high w, rank).
    ``ask_keys``/``ask_numbers`` lead from (move and punch, set of bends that matter for room) to rows of windows, kept once in
    ``room_rows`` under ``room_keys``/``room_numbers``/``room_used``. ``pair_keys``/``pair_gaps``/``pair_used``: plates held against
    each other.
    """

    keys: Ints
    numbers: Ints
    used: Ints
    apart: Array
    stop: Array
    ask_keys: Ints
    ask_numbers: Ints
    ask_used: Ints
    room_keys: Ints
    room_numbers: Ints
    room_used: Ints
    room_rows: Array
    pair_keys: Ints
    pair_gaps: Array
    pair_used: Ints


@folded_in
def may_meet(looks, first, second, turned, allowance):
    """False when two plates on either side, rows of their looks given, cannot come near each other at any angle of the swing."""
    if max(looks.box[first, 4] - looks.box[second, 5], looks.box[second, 4] - looks.box[first, 5]) >= SELF_CAP_MM:
        return False
    a, b = looks.outlines.polar[looks.outline[first]], looks.outlines.polar[looks.outline[second]]
    spare = allowance + SELF_CAP_MM
    if a[0] - spare > b[1] or b[0] - spare > a[1]:
        return False
    near = max(min(a[0], b[0]), 1e-9)
    margin = np.pi if near <= spare else 2.0 * np.arcsin(spare / near)
    return a[3] + b[3] >= np.pi - turned - margin or a[2] + b[2] <= -np.pi + margin


@inner
def _pair_gap(packed, answers, first, second, key, swing):
    """Smallest separation of two plates over the swing, from the table or worked out; FAR * 2 when the table is full."""
    at = place_of(answers.pair_keys, key)
    if answers.pair_keys[at] != EMPTY:
        return answers.pair_gaps[at]
    if 2 * answers.pair_used[0] >= answers.pair_keys.shape[0]:
        return 2.0 * FAR
    a = np.empty((packed.cloud_n[first[0]], 3))
    b = np.empty((packed.cloud_n[second[0]], 3))
    stand(packed, first[0], first[1], a)
    stand(packed, second[0], second[1], b)
    gap = pair_swing_gap(a, b, swing, SELF_CAP_MM, SELF_TOLERANCE_MM)
    answers.pair_keys[at] = key
    answers.pair_gaps[at] = gap
    answers.pair_used[0] += 1
    return gap


@compiled
@borrows
def _apart(packed, looks, answers, move, mask, present, rows, count):
    """Smallest separation of the part from itself while the move is made (capped); above FAR when a table is full."""
    bend = packed.swing[move]
    swing = (bend[0], bend[1], bend[2], bend[3], bend[4], bend[5])
    best = SELF_CAP_MM
    for i in range(count):
        first = present[i]
        if not packed.plate[first] or packed.side[first] != 0:
            continue
        for j in range(count):
            second = present[j]
            if not packed.plate[second] or packed.side[second] != 1:
                continue
            if packed.next_to[first] and packed.next_to[second]:
                continue
            a, b = rows[i], rows[j]
            if not may_meet(looks, a, b, bend[0], bend[1]):
                continue
            key = (np.int64(a) << 31) | np.int64(b)
            poses = (pose_of(packed, first, mask), pose_of(packed, second, mask))
            gap = _pair_gap(packed, answers, (first, poses[0]), (second, poses[1]), key, swing)
            best = min(best, gap) if gap < FAR else gap
            if gap > FAR or best < SELF_LEAST_MM:
                return best
    return best


@folded_in
def stop_key(packed, move, mask):
    """Key of the stops for a move with the bends of ``mask`` done."""
    return (np.int64(move) << SET_BITS) | (mask & packed.for_stops[move])


@folded_in
def room_key(packed, tools, move, mask, punch):
    """Key of the room for a move and punch with the bends of ``mask`` done."""
    return (np.int64(move * tools.suits.shape[0] + punch) << SET_BITS) | (mask & packed.for_room[move])


@folded_in
def known_at(keys, numbers, key):
    """Row of an answer worked out before; else -1."""
    at = place_of(keys, key)
    row = numbers[at]
    if keys[at] == EMPTY:
        row = np.int64(-1)
    return row


@compiled
def stops_for(packed, tools, stops, looks, answers, move, mask, work):
    """Row of stops and self-clearance for a move with the bends of ``mask`` done; -1 when a table is full."""
    key = stop_key(packed, move, mask)
    at = place_of(answers.keys, key)
    if answers.keys[at] != EMPTY:
        return answers.numbers[at]
    row = answers.used[0]
    if row >= answers.apart.shape[0] or 2 * row >= answers.keys.shape[0]:
        return np.int64(-1)
    known = mask & packed.for_stops[move]
    bodies = packed.last[move] - packed.first[move]
    present = np.empty(bodies, dtype=np.int64)
    rows = np.empty(bodies, dtype=np.int64)
    count = here(packed, tools, looks, move, known, NO_PUNCH, work, present, rows)
    if count < 0:
        return np.int64(-1)
    apart = _apart(packed, looks, answers, move, known, present, rows, count)
    if apart > FAR:
        return np.int64(-1)
    answers.apart[row] = apart
    for side in range(2):
        best_stop(stops, move, side, known, present, rows, count, packed, looks, answers.stop[row, side])
    answers.used[0] += 1
    answers.keys[at] = key
    answers.numbers[at] = row
    return row


@compiled
def room_row(packed, tools, looks, answers, move, mask, punch, short, work):
    """Row of windows for a move and punch with the bends of ``mask`` done; -1 when a table is full."""
    key = room_key(packed, tools, move, mask, punch)
    at = place_of(answers.ask_keys, key)
    if answers.ask_keys[at] != EMPTY:
        return answers.ask_numbers[at]
    if 2 * answers.ask_used[0] >= answers.ask_keys.shape[0]:
        return np.int64(-1)
    known = mask & packed.for_room[move]
    bodies = packed.last[move] - packed.first[move]
    present = np.empty(bodies, dtype=np.int64)
    rows = np.empty(bodies, dtype=np.int64)
    count = here(packed, tools, looks, move, known, punch, work, present, rows)
    if count < 0:
        return np.int64(-1)
    numbers = np.empty(ROW)
    room_of(packed, tools, looks, move, present, rows, count, punch, short, numbers)
    number = kept_row(numbers, answers.room_keys, answers.room_numbers, answers.room_used, answers.room_rows)
    if number >= 0:
        answers.ask_used[0] += 1
        answers.ask_keys[at] = key
        answers.ask_numbers[at] = number
    return number
