"""The cheapest order of all moves, exactly: backwards from the finished part over sets of done bends. Compiled.

What cannot lead to the finished part, or can no longer come below the best known, is never looked at. Cut to a width, the search
keeps the cheapest states of every size: what it finds then works, but may not be the best.
"""

from __future__ import annotations

import numpy as np

from bendwright.compiled import borrows, compiled, folded_in
from bendwright.geometry.kernels import FAR
from bendwright.plan.answers import SELF_LEAST_MM, known_at, room_key, room_row, stop_key, stops_for
from bendwright.plan.fits import CAN, fits
from bendwright.plan.labels import (
    add_label,
    cut_layer,
    enough,
    first_label,
    on_from,
    own_seconds,
    start_labels,
    state_of,
)

DONE, FULL_TABLE, FULL_STATES, NO_WAY, PAUSED = 0, 1, 2, 3, 4
FRESH = 32
"""An answer worked out takes about as long as so many that are known."""
FLAT = -1
BOTH = 3


@folded_in
def _at_least(labels, costs, state, move, earlier):
    """What making the move last before a state, from the state ``earlier``, takes at least in all, whatever comes before and with whatever
    stack.
    """
    hope = FAR
    for side in range(2):
        stance = costs.stance[move, side]
        on, _ = on_from(labels, costs, state, stance, -1, FAR, FAR)
        hope = min(hope, on + costs.hope[move, side] + labels.rest[earlier, stance])
    return hope


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
def _laid(labels, job, state, earlier, own, x, r, step):
    """Go on from the state before (``earlier``) with a step that takes ``own`` seconds, unless that is too dear; False when there is no
    room.
    """
    costs, worse, upper = job[2], job[3], job[5]
    on, after = on_from(labels, costs, state, step[1], step[2], x, r)
    cost = on + own
    fine = True
    if after >= 0 and cost + labels.rest[earlier, step[1]] <= upper:
        fine = add_label(labels, costs, worse, earlier, cost, x, r, step, after)
    return fine


@folded_in
def _suits(packed, stacks, tools, move, stack):
    """Whether a pair of tools is made for the move: hems and jogs have a pair of their own."""
    punch = stacks.punch[stack]
    if packed.pair[move] == FLAT or packed.pressed[move]:
        return punch == packed.pair[move]
    return packed.die[move] == stacks.die[stack] and tools.suits[punch, move]


@folded_in
def _ways_back(world, job, labels, state, move, row, earlier, work):
    """Every stack and side with which the move can be made; what became of it. ``row`` is that of its stops (-1: a hem is pressed flat,
    the fold to the tools, the gauge moves meanwhile), ``earlier`` the state before.
    """
    packed, tools, _, looks, answers = world
    stacks, chosen, costs, _, short, _ = job
    easy = 0
    for k in range(chosen.shape[0]):
        stack = chosen[k]
        if not _suits(packed, stacks, tools, move, stack):
            continue
        number = np.int64(-1)
        if not packed.pressed[move] and row >= 0:
            if costs.merged and easy == BOTH:
                break
            punch, mask = stacks.punch[stack], labels.set_of[earlier]
            number = known_at(answers.ask_keys, answers.ask_numbers, room_key(packed, tools, move, mask, punch))
            if number < 0:
                number = room_row(packed, tools, looks, answers, move, mask, punch, short, work)
            if number < 0:
                return FULL_TABLE
        for side in range(2):
            x, r, rank, flags = np.nan, np.nan, -1.0, CAN if side == 1 else 0
            if row >= 0:
                stop = answers.stop[row, side]
                x, r, rank, flags = stop[1], stop[2], stop[5], 0
                if not packed.sides[move, side] or (costs.merged and easy >> side & 1):
                    continue
                if number >= 0:
                    flags = fits(packed, tools, stacks, move, answers.room_rows[number], stop, side, stack)
                    easy |= (flags == CAN) << side
                elif stop[0] >= 0.0 and x >= packed.behind[move]:
                    flags = CAN
            if flags == 0:
                continue
            step = (move, costs.stance[move, side], 0 if costs.merged else k, side, flags)
            if not _laid(labels, job, state, earlier, own_seconds(costs, move, side, rank, flags), x, r, step):
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
    earlier = state_of(labels, costs, before)
    if earlier < 0:
        return FULL_STATES
    hope = _at_least(labels, costs, state, move, earlier)
    if hope > upper or forbidden(packed, move, before):
        return DONE
    if enough(labels, before, hope):
        labels.used[3] += 1
        return DONE
    row = np.int64(-1)
    if packed.pair[move] != FLAT:
        row = known_at(answers.keys, answers.numbers, stop_key(packed, move, before))
        if row < 0:
            row = stops_for(packed, tools, stops, looks, answers, move, before, work)
        if row < 0:
            return FULL_TABLE
        labels.used[2] += 1
        if answers.apart[row] < SELF_LEAST_MM or (answers.stop[row, 0, 0] < 0.0 and answers.stop[row, 1, 0] < 0.0):
            return DONE
    return _ways_back(world, job, labels, state, move, row, earlier, work)


@folded_in
def _worked_out(world):
    """How many answers have been worked out so far."""
    looks, answers = world[3], world[4]
    return looks.used[0] + answers.used[0] + answers.room_used[0] + answers.pair_used[0]


@compiled
@borrows
def cheapest_order(world, job, labels, goal, width, work, paces):
    """Fill ``labels`` backwards from ``goal`` (all bends: the finished part); returns (what became of it, first label or -1).

    ``world`` = (moves, tools, stops, looks, answers); ``job`` = (stacks, the chosen of them in the order of ``costs.walking``, costs, what
    a label may be worse by, what may stay uncovered [mm], upper [s]); ``width`` keeps so many states of each size. What costs more than
    ``upper`` is dropped (that is no loss). Where something was full the search goes on where it stood when it is asked again; so it does
    after a pause, which comes when so many moves were looked at (``paces``), fewer where much had to be worked out.
    """
    packed, costs, at = world[0], job[2], labels.at
    looked, before = 0, _worked_out(world)
    if labels.used[0] == 0:
        start_labels(labels, costs, np.int64(goal))
    while at[0] > 0:
        if at[1] < 0:
            cut_layer(labels, at[0], width)
            at[1], at[2] = labels.layer[at[0]], 0
        while at[1] >= 0:
            mask = labels.set_of[at[1]]
            while at[2] < packed.makes.shape[0]:
                if mask & packed.makes[at[2]] == packed.makes[at[2]]:
                    if looked > 0 and looked + FRESH * (_worked_out(world) - before) >= paces:
                        return PAUSED, -1
                    looked += 1
                    said = _step_back(world, job, labels, at[1], at[2], work)
                    if said != DONE:
                        return said, -1
                at[2] += 1
            at[1], at[2] = labels.beside[at[1]], 0
        at[0] -= 1
    best = first_label(labels)
    return DONE if best >= 0 else NO_WAY, best
