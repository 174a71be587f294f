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
from bendwright.plan.answers import SELF_LEAST_MM, known_at, room_key, room_row, stop_key, stops_for
from bendwright.plan.fits import ALONG_IN, ALONG_OFF, ASIDE, CAN, SHIFT_OFF, fits
from bendwright.plan.memo import EMPTY, place_of
from bendwright.plan.packed import Ints

SAME_PLACE_MM = 0.05
AXES = (1 << 60) - 1
DONE, FULL_TABLE, FULL_STATES, NO_WAY = 0, 1, 2, 3


class Costs(NamedTuple):
    """Seconds: ``stance`` [move, side] numbers how the part lies, ``turning`` between two stances, ``walking`` between two stations
    (FAR where the order of set-ups forbids it), ``own`` [move, side] of a stroke; ``gauge`` for moving it. ``likes`` = (poor stop, error
    in a fit, aside, along, shift): what the shop would pay to avoid them. ``merged``: all stations count as one.

    For the least that is still to come: bends of each ``lines`` that turn alike, how many ``at_once``, ``least`` seconds of such a stroke;
    bends of each direction in the plane (``axes``) and way of folding (``ways``), the same of every stance; a ``turn`` and a ``flip``.
    """

    stance: Ints
    turning: Array
    walking: Array
    own: Array
    gauge: float
    likes: Array
    merged: bool
    lines: Ints
    at_once: Ints
    least: Array
    axes: Ints
    ways: Ints
    stance_axis: Ints
    stance_way: Ints
    turn: float
    flip: float


class Labels(NamedTuple):
    """States (``keys``/``numbers`` from the set, ``set_of``, first label ``head``, ``layer`` heads by size, next of it ``beside``, ``rest``
    the least seconds of strokes before, ``lying`` the directions and ways they need) and labels (``cost`` to the end, ``x``, ``r``,
    ``step`` = (move, stance, station, side, flags), label ``after`` it, next of its state ``more``); ``used`` = (states, labels, answers
    looked at).
    """

    keys: Ints
    numbers: Ints
    set_of: Ints
    head: Ints
    layer: Ints
    beside: Ints
    rest: Array
    lying: Ints
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


@compiled
def still_to_come(costs, mask):
    """Least seconds of strokes that make the bends of a set, and the directions (low bits) and ways (from bit 60) they lie in."""
    out = 0.0
    for k in range(costs.lines.shape[0]):
        count = _size(mask & costs.lines[k])
        if count:
            out += costs.least[k] * ((count + costs.at_once[k] - 1) // costs.at_once[k])
    lying = np.int64(0)
    for k in range(costs.axes.shape[0]):
        if mask & costs.axes[k]:
            lying |= np.int64(1) << k
    for k in range(2):
        if mask & costs.ways[k]:
            lying |= np.int64(1) << (60 + k)
    return out, lying


@folded_in
def _least_before(costs, rest, lying, stance):
    """Least seconds before a stroke in a stance, given what the bends before it need."""
    if lying != 0:
        both = lying | (np.int64(1) << costs.stance_axis[stance]) | (np.int64(1) << (60 + costs.stance_way[stance]))
        rest += costs.turn * (_size(both & AXES) - 1) + costs.flip * (_size(both & ~AXES) - 1)
    return rest


@folded_in
def _state(labels, costs, mask):
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
    labels.rest[number], labels.lying[number] = still_to_come(costs, mask)
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
    """Cheapest way on after a stroke: (cost, label); without a station (-1) what it costs at least."""
    best = FAR
    after = -1
    link = labels.head[state]
    while link >= 0:
        step = labels.step[link]
        if step[0] < 0:
            total = labels.cost[link]
        else:
            total = labels.cost[link] + costs.turning[stance, step[1]]
            if station >= 0:
                total += costs.walking[station, step[2]]
            if (station >= 0 and abs(x - labels.x[link]) > SAME_PLACE_MM) or (
                station >= 0 and abs(r - labels.r[link]) > SAME_PLACE_MM
            ):
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
def _cut(labels, costs, layer, width):
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
            own = labels.cost[label] + _least_before(
                costs, labels.rest[link], labels.lying[link], max(labels.step[label, 1], 0)
            )
            least[i] = min(least[i], own)
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
def _too_dear(labels, costs, state, move, rest, lying, upper):
    """Whether making the move last before a state cannot come below ``upper``, whatever comes before and with whatever stack."""
    hope = FAR
    for side in range(2):
        stance = costs.stance[move, side]
        on, _ = _on_from(labels, costs, state, stance, -1, FAR, FAR)
        hope = min(hope, on + costs.own[move, side] + _least_before(costs, rest, lying, stance))
    return hope > upper + 1e-9


@folded_in
def _forbidden(packed, move, before):
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
def _with_stacks(
    packed,
    tools,
    looks,
    answers,
    stacks,
    chosen,
    costs,
    worse,
    labels,
    state,
    move,
    row,
    rest,
    lying,
    short,
    upper,
    work,
):
    """Every stack and side with which the move can be made; what became of it. ``row`` is that of its stops."""
    before = labels.set_of[state] ^ packed.makes[move]
    step = np.empty(5, dtype=np.int64)
    easy = np.zeros(2, dtype=np.bool_)
    for k in range(chosen.shape[0]):
        stack = chosen[k]
        if costs.merged and easy[0] and easy[1]:
            break
        if packed.die[move] != stacks.die[stack] or not tools.suits[stacks.punch[stack], move]:
            continue
        punch = stacks.punch[stack]
        number = known_at(answers.ask_keys, answers.ask_numbers, room_key(packed, tools, move, before, punch))
        if number < 0:
            number = room_row(packed, tools, looks, answers, move, before, punch, short, work)
        if number < 0:
            return FULL_TABLE
        room = answers.room_rows[number]
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
            if cost + _least_before(costs, rest, lying, stance) > upper + 1e-9:
                continue
            earlier = _state(labels, costs, before)
            if earlier < 0:
                return FULL_STATES
            step[0], step[1], step[2], step[3], step[4] = move, stance, station, side, flags
            if not _add(labels, costs, worse, earlier, cost, stop[1], stop[2], step, after):
                return FULL_STATES
    return DONE


@folded_in
def _step_back(
    packed, tools, stops, looks, answers, stacks, chosen, costs, worse, labels, state, move, short, upper, work
):
    """Every way to make a move last on the way to a state; what became of it."""
    mask = labels.set_of[state]
    before = mask ^ packed.makes[move]
    if before & packed.bars[move] or before & packed.needs[move] != packed.needs[move]:
        return DONE
    rest, lying = still_to_come(costs, before)
    if _too_dear(labels, costs, state, move, rest, lying, upper) or _forbidden(packed, move, before):
        return DONE
    row = known_at(answers.keys, answers.numbers, stop_key(packed, move, before))
    if row < 0:
        row = stops_for(packed, tools, stops, looks, answers, move, before, work)
    if row < 0:
        return FULL_TABLE
    labels.used[2] += 1
    if answers.apart[row] < SELF_LEAST_MM or (answers.stop[row, 0, 0] < 0.0 and answers.stop[row, 1, 0] < 0.0):
        return DONE
    return _with_stacks(
        packed,
        tools,
        looks,
        answers,
        stacks,
        chosen,
        costs,
        worse,
        labels,
        state,
        move,
        row,
        rest,
        lying,
        short,
        upper,
        work,
    )


@compiled
def cheapest_order(
    packed, tools, stops, looks, answers, stacks, chosen, costs, worse, labels, goal, short, width, upper, work
):
    """Fill ``labels`` backwards from ``goal`` (all bends: the finished part); returns (what became of it, first label or -1, states
    dropped).

    ``chosen`` are the stacks that hang, in the order of ``costs.walking``; ``width`` keeps so many states of each size;
    what cannot cost less than ``upper`` any more is dropped (that is no loss).
    """
    last = _state(labels, costs, np.int64(goal))
    labels.cost[0] = 0.0
    labels.step[0, :] = -1
    labels.after[0] = -1
    labels.more[0] = -1
    labels.head[last] = 0
    labels.used[1] = 1
    dropped = 0
    for layer in range(_size(np.int64(goal)), 0, -1):
        dropped += _cut(labels, costs, layer, width)
        state = labels.layer[layer]
        while state >= 0:
            mask = labels.set_of[state]
            for move in range(packed.makes.shape[0]):
                if mask & packed.makes[move] != packed.makes[move]:
                    continue
                said = _step_back(
                    packed,
                    tools,
                    stops,
                    looks,
                    answers,
                    stacks,
                    chosen,
                    costs,
                    worse,
                    labels,
                    state,
                    move,
                    short,
                    upper,
                    work,
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
