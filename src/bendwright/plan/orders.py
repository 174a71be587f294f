"""The cheapest order of all moves, exactly: backwards from the finished part over sets of done bends. Compiled.

A state is a set of done bends. A label of a state is one way to go on from there: what the next stroke is and what it costs to the
end. A label that is worse than another of its state whatever came before is dropped. What cannot lead to the finished part is never
looked at. Cut to a width, the search keeps the cheapest states of every size: what it finds then works, but may not be the best.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from bendwright.compiled import compiled, folded_in
from bendwright.geometry.kernels import FAR
from bendwright.geometry.rigid import Array
from bendwright.plan.answers import SELF_LEAST_MM, answer, known_answer
from bendwright.plan.fits import ALONG_IN, ALONG_OFF, ASIDE, CAN, SHIFT_OFF, fits
from bendwright.plan.memo import EMPTY, place_of
from bendwright.plan.packed import Ints

SAME_PLACE_MM = 0.05
DONE, FULL_TABLE, FULL_STATES, NO_WAY = 0, 1, 2, 3


class Costs(NamedTuple):
    """Seconds: ``stance`` [move, side] numbers how the part lies, ``turning`` between two stances, ``walking`` between two stations
    (FAR where the order of set-ups forbids it), ``own`` [move, side] of a stroke; ``gauge`` for moving it. ``likes`` = (poor stop, error
    in a fit, aside, along, shift): what the shop would pay to avoid them. ``merged``: all stations count as one.
    """

    stance: Ints
    turning: Array
    walking: Array
    own: Array
    gauge: float
    likes: Array
    merged: bool


class Labels(NamedTuple):
    """States (``keys``/``numbers`` from the set, ``set_of``, first label ``head``, ``layer`` heads by size, next of it ``beside``) and
    labels (``cost`` to the end, ``stance``, ``station``, ``x``, ``r``, ``move``, ``side``, ``flags``, label ``after`` it, next of its state
    ``more``); ``used`` = (states, labels, answers looked at).
    """

    keys: Ints
    numbers: Ints
    set_of: Ints
    head: Ints
    layer: Ints
    beside: Ints
    cost: Array
    x: Array
    r: Array
    step: Ints
    after: Ints
    more: Ints
    used: Ints


@folded_in
def _size(mask):
    count = 0
    while mask:
        mask &= mask - 1
        count += 1
    return count


@folded_in
def _state(labels, mask):
    """Number of the state of a set, made if new; -1 when the table is full."""
    at = place_of(labels.keys, mask)
    if labels.keys[at] != EMPTY:
        return labels.numbers[at]
    number = labels.used[0]
    if number >= labels.set_of.shape[0] or 2 * number >= labels.keys.shape[0]:
        return -1
    labels.used[0] += 1
    labels.keys[at] = mask
    labels.numbers[at] = number
    labels.set_of[number] = mask
    labels.head[number] = -1
    size = _size(mask)
    labels.beside[number] = labels.layer[size]
    labels.layer[size] = number
    return number


@folded_in
def _dominates(costs, worse, cost, step, x, r, other_cost, other_step, other_x, other_r):
    """The first label is no worse than the second whatever stroke came before."""
    least = cost + worse[step[1], step[2], other_step[1], other_step[2]]
    if least > other_cost + 1e-9:
        return False
    same = abs(x - other_x) <= SAME_PLACE_MM * 1e-3 and abs(r - other_r) <= SAME_PLACE_MM * 1e-3
    return same or least + costs.gauge <= other_cost + 1e-9


@folded_in
def _add(labels, costs, worse, state, cost, x, r, step, after):
    """Add a label unless another of the state is as good; drops those it makes needless. False when there is no room."""
    link = labels.head[state]
    while link >= 0:
        if _dominates(
            costs, worse, labels.cost[link], labels.step[link], labels.x[link], labels.r[link], cost, step, x, r
        ):
            return True
        link = labels.more[link]
    before = -1
    link = labels.head[state]
    while link >= 0:
        following = labels.more[link]
        if _dominates(
            costs, worse, cost, step, x, r, labels.cost[link], labels.step[link], labels.x[link], labels.r[link]
        ):
            if before < 0:
                labels.head[state] = following
            else:
                labels.more[before] = following
        else:
            before = link
        link = following
    number = labels.used[1]
    if number >= labels.cost.shape[0]:
        return False
    labels.used[1] += 1
    labels.cost[number] = cost
    labels.x[number] = x
    labels.r[number] = r
    for i in range(5):
        labels.step[number, i] = step[i]
    labels.after[number] = after
    labels.more[number] = labels.head[state]
    labels.head[state] = number
    return True


@folded_in
def _on_from(labels, costs, state, stance, station, x, r):
    """Cheapest way on after a stroke: (cost, label)."""
    best = FAR
    after = -1
    link = labels.head[state]
    while link >= 0:
        step = labels.step[link]
        if step[0] < 0:
            total = labels.cost[link]
        else:
            total = labels.cost[link] + costs.turning[stance, step[1]] + costs.walking[station, step[2]]
            if abs(x - labels.x[link]) > SAME_PLACE_MM or abs(r - labels.r[link]) > SAME_PLACE_MM:
                total += costs.gauge
        if total < best - 1e-9:
            best, after = total, link
        link = labels.more[link]
    return best, after


@folded_in
def _own_seconds(costs, move, side, rank, flags):
    """Seconds of a stroke itself, and what the shop would pay to avoid its drawbacks."""
    poor, fit, aside, along, shift = costs.likes
    out = costs.own[move, side] + poor * np.round(min(max(rank + 0.1, 0.0), 3.0))
    if rank >= 3.0:
        out += fit
    if flags & ASIDE:
        out += aside
    if flags & (ALONG_IN | ALONG_OFF):
        out += along
    if flags & SHIFT_OFF:
        out += shift
    return out


@compiled
def _cut(labels, layer, width):
    """Keep the cheapest states of a layer; returns how many were dropped."""
    count = 0
    link = labels.layer[layer]
    while link >= 0:
        count += 1
        link = labels.beside[link]
    if count <= width:
        return 0
    least = np.empty(count)
    states = np.empty(count, dtype=np.int64)
    link = labels.layer[layer]
    for i in range(count):
        states[i] = link
        least[i] = FAR
        label = labels.head[link]
        while label >= 0:
            least[i] = min(least[i], labels.cost[label])
            label = labels.more[label]
        link = labels.beside[link]
    order = np.argsort(least, kind="mergesort")
    labels.layer[layer] = -1
    for i in range(width - 1, -1, -1):
        number = states[order[i]]
        labels.beside[number] = labels.layer[layer]
        labels.layer[layer] = number
    return count - width


@folded_in
def _step_back(packed, tools, stops, looks, answers, stacks, chosen, costs, worse, labels, state, move, short, work):
    """Every way to make a move last on the way to a state; what became of it."""
    mask = labels.set_of[state]
    before = mask ^ packed.makes[move]
    if before & packed.bars[move] or before & packed.needs[move] != packed.needs[move]:
        return DONE
    row = known_answer(packed, answers, move, before, -1)
    if row < 0:
        row = answer(packed, tools, stops, looks, answers, move, before, -1, short, work)
    if row < 0:
        return FULL_TABLE
    labels.used[2] += 1
    if answers.apart[row] < SELF_LEAST_MM or (answers.stop[row, 0, 0] < 0.0 and answers.stop[row, 1, 0] < 0.0):
        return DONE
    step = np.empty(5, dtype=np.int64)
    easy = np.zeros(2, dtype=np.bool_)
    for k in range(chosen.shape[0]):
        stack = chosen[k]
        if costs.merged and easy[0] and easy[1]:
            break
        if packed.die[move] != stacks.die[stack] or not tools.suits[stacks.punch[stack], move]:
            continue
        row = known_answer(packed, answers, move, before, stacks.punch[stack])
        if row < 0:
            row = answer(packed, tools, stops, looks, answers, move, before, stacks.punch[stack], short, work)
        if row < 0:
            return FULL_TABLE
        room = answers.room_rows[answers.room[row, stacks.punch[stack]]]
        for side in range(2):
            if not packed.sides[move, side]:
                continue
            stop = answers.stop[row, side]
            flags = fits(packed, tools, stacks, move, room, stop, side, stack)
            if flags == 0 or (costs.merged and easy[side]):
                continue
            easy[side] = flags == CAN
            stance = costs.stance[move, side]
            station = 0 if costs.merged else k
            on, after = _on_from(labels, costs, state, stance, station, stop[1], stop[2])
            if after < 0 or on >= FAR:
                continue
            cost = on + _own_seconds(costs, move, side, stop[5], flags)
            number = _state(labels, before)
            if number < 0:
                return FULL_STATES
            step[0], step[1], step[2], step[3], step[4] = move, stance, station, side, flags
            if not _add(labels, costs, worse, number, cost, stop[1], stop[2], step, after):
                return FULL_STATES
    return DONE


@compiled
def cheapest_order(
    packed, tools, stops, looks, answers, stacks, chosen, costs, worse, labels, goal, short, width, work
):
    """Fill ``labels`` backwards from ``goal`` (all bends: the finished part); returns (what became of it, first label or -1, states
    dropped).

    ``chosen`` are the stacks that hang, in the order of ``costs.walking``; ``width`` keeps so many states of each size.
    """
    last = _state(labels, np.int64(goal))
    labels.cost[0] = 0.0
    labels.step[0, :] = -1
    labels.after[0] = -1
    labels.more[0] = -1
    labels.head[last] = 0
    labels.used[1] = 1
    dropped = 0
    for layer in range(_size(np.int64(goal)), 0, -1):
        dropped += _cut(labels, layer, width)
        state = labels.layer[layer]
        while state >= 0:
            mask = labels.set_of[state]
            for move in range(packed.makes.shape[0]):
                if mask & packed.makes[move] != packed.makes[move]:
                    continue
                said = _step_back(
                    packed, tools, stops, looks, answers, stacks, chosen, costs, worse, labels, state, move, short, work
                )
                if said != DONE:
                    return said, -1, dropped
            state = labels.beside[state]
    at = place_of(labels.keys, np.int64(0))
    if labels.keys[at] == EMPTY:
        return NO_WAY, -1, dropped
    best = -1
    link = labels.head[labels.numbers[at]]
    while link >= 0:
        if best < 0 or labels.cost[link] < labels.cost[best] - 1e-9:
            best = link
        link = labels.more[link]
    return DONE, best, dropped
