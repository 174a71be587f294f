"""The cheapest order of all moves, exactly: backwards from the finished part over sets of done bends. Compiled.

What cannot lead to the finished part, or can no longer come below the best known, is never looked at. Cut to a width, the search
keeps the cheapest states of every size: what it finds then works, but may not be the best.
"""

from __future__ import annotations

import numpy as np

from bendwright.compiled import compiled, folded_in
from bendwright.geometry.kernels import FAR
from bendwright.plan.answers import SELF_LEAST_MM, known_at, room_key, room_row, stop_key, stops_for
from bendwright.plan.fits import CAN, fits
from bendwright.plan.labels import (
    add_label,
    cut_layer,
    first_label,
    least_before,
    on_from,
    own_seconds,
    size_of,
    start_labels,
    state_of,
    still_to_come,
)

DONE, FULL_TABLE, FULL_STATES, NO_WAY = 0, 1, 2, 3
FLAT = -1


@folded_in
def _too_dear(labels, costs, state, move, rest, lying, upper):
    """Whether making the move last before a state cannot come below ``upper``, whatever comes before and with whatever stack."""
    hope = FAR
    for side in range(2):
        stance = costs.stance[move, side]
        on, _ = on_from(labels, costs, state, stance, -1, FAR, FAR)
        hope = min(hope, on + costs.hope[move, side] + least_before(costs, rest, lying, stance))
    return hope > upper + 1e-9


@folded_in
def forbidden(packed, move, before):
    """Whether no punch can make the move with these bends done."""
    out = False
    for i in range(packed.forbidden.shape[1]):
        must, mustnot = packed.forbidden[move, i, 0], packed.forbidden[move, i, 1]
        if must == -1:
            break
        if before & must == must and before & mustnot == 0:
            out = True
            break
    return out


@folded_in
def _laid(labels, job, state, mask, before, own, x, r, step):
    """Go on from the set before (``mask``) with a step that takes ``own`` seconds, unless that is too dear; False when there is no room.
    ``before`` are the least seconds and the directions of what comes before.
    """
    costs, worse, upper = job[2], job[3], job[5]
    on, after = on_from(labels, costs, state, step[1], step[2], x, r)
    cost = on + own
    fine = True
    if after >= 0 and cost + least_before(costs, before[0], before[1], step[1]) <= min(upper + 1e-9, FAR):
        earlier = state_of(labels, costs, mask)
        fine = earlier >= 0
        if fine:
            fine = add_label(labels, costs, worse, earlier, cost, x, r, step, after)
    return fine


@folded_in
def _with_stacks(world, job, labels, state, move, row, before, work):
    """Every stack and side with which the move can be made; what became of it. ``row`` is that of its stops, ``before`` the least seconds
    and the directions of what comes before.
    """
    packed, tools, _, looks, answers = world
    stacks, chosen, costs, _, short, _ = job
    mask = labels.set_of[state] ^ packed.makes[move]
    easy = np.zeros(2, dtype=np.bool_)
    for k in range(chosen.shape[0]):
        stack = chosen[k]
        punch = stacks.punch[stack]
        if costs.merged and easy[0] and easy[1]:
            break
        if packed.die[move] != stacks.die[stack] or not tools.suits[punch, move]:
            continue
        number = known_at(answers.ask_keys, answers.ask_numbers, room_key(packed, tools, move, mask, punch))
        if number < 0:
            number = room_row(packed, tools, looks, answers, move, mask, punch, short, work)
        if number < 0:
            return FULL_TABLE
        for side in range(2):
            stop = answers.stop[row, side]
            if not packed.sides[move, side] or (costs.merged and easy[side]):
                continue
            flags = fits(packed, tools, stacks, move, answers.room_rows[number], stop, side, stack)
            if flags == 0:
                continue
            easy[side] = flags == CAN
            step = (move, costs.stance[move, side], 0 if costs.merged else k, side, flags)
            own = own_seconds(costs, move, side, stop[5], flags)
            if not _laid(labels, job, state, mask, before, own, stop[1], stop[2], step):
                return FULL_STATES
    return DONE


@folded_in
def _pressed_flat(packed, job, labels, state, move, mask, before):
    """Pressing hems flat with every pair that does it, the fold to the tools; the gauge moves meanwhile."""
    stacks, chosen, costs, _, _, _ = job
    for k in range(chosen.shape[0]):
        if stacks.punch[chosen[k]] != packed.pair[move]:
            continue
        step = (move, costs.stance[move, 1], 0 if costs.merged else k, 1, CAN)
        if not _laid(labels, job, state, mask, before, costs.own[move, 1], np.nan, np.nan, step):
            return FULL_STATES
    return DONE


@folded_in
def _jogged(packed, job, labels, state, move, mask, stops, before):
    """Making a jog with the pair that does it, the sheet at the gauge; ``stops`` are those of both sides."""
    stacks, chosen, costs, _, _, _ = job
    for k in range(chosen.shape[0]):
        if stacks.punch[chosen[k]] != packed.pair[move]:
            continue
        for side in range(2):
            stop = stops[side]
            if not packed.sides[move, side] or stop[0] < 0.0 or stop[1] < packed.behind[move]:
                continue
            step = (move, costs.stance[move, side], 0 if costs.merged else k, side, CAN)
            own = own_seconds(costs, move, side, stop[5], CAN)
            if not _laid(labels, job, state, mask, before, own, stop[1], stop[2], step):
                return FULL_STATES
    return DONE


@folded_in
def _step_back(world, job, labels, state, move, work):
    """Every way to make a move last on the way to a state; what became of it."""
    packed, tools, stops, looks, answers = world
    costs, upper = job[2], job[5]
    before = labels.set_of[state] ^ packed.makes[move]
    if before & packed.bars[move] or before & packed.needs[move] != packed.needs[move]:
        return DONE
    rest, lying = still_to_come(costs, before)
    if _too_dear(labels, costs, state, move, rest, lying, upper) or forbidden(packed, move, before):
        return DONE
    if packed.pair[move] == FLAT:
        return _pressed_flat(packed, job, labels, state, move, before, (rest, lying))
    row = known_at(answers.keys, answers.numbers, stop_key(packed, move, before))
    if row < 0:
        row = stops_for(packed, tools, stops, looks, answers, move, before, work)
    if row < 0:
        return FULL_TABLE
    labels.used[2] += 1
    if answers.apart[row] < SELF_LEAST_MM or (answers.stop[row, 0, 0] < 0.0 and answers.stop[row, 1, 0] < 0.0):
        return DONE
    if packed.pressed[move]:
        return _jogged(packed, job, labels, state, move, before, answers.stop[row], (rest, lying))
    return _with_stacks(world, job, labels, state, move, row, (rest, lying), work)


@compiled
def cheapest_order(world, job, labels, goal, width, work):
    """Fill ``labels`` backwards from ``goal`` (all bends: the finished part); returns (what became of it, first label or -1, states
    dropped).

    ``world`` = (moves, tools, stops, looks, answers); ``job`` = (stacks, the chosen of them in the order of ``costs.walking``, costs, what
    a label may be worse by, what may stay uncovered [mm], upper [s]); ``width`` keeps so many states of each size. What can no longer come
    below ``upper`` is dropped (that is no loss).
    """
    packed, costs = world[0], job[2]
    start_labels(labels, costs, np.int64(goal))
    dropped = 0
    for layer in range(size_of(np.int64(goal)), 0, -1):
        dropped += cut_layer(labels, costs, layer, width)
        state = labels.layer[layer]
        while state >= 0:
            mask = labels.set_of[state]
            for move in range(packed.makes.shape[0]):
                if mask & packed.makes[move] == packed.makes[move]:
                    said = _step_back(world, job, labels, state, move, work)
                    if said != DONE:
                        return said, -1, dropped
            state = labels.beside[state]
    best = first_label(labels)
    return DONE if best >= 0 else NO_WAY, best, dropped
