"""What is known of ways to go on from a set of done bends, and the least that is still to come. Compiled.

A state is a set of done bends. A label of a state is one way to go on from there: what the next stroke is and what it costs to the
end. A label that is worse than another of its state whatever came before is dropped.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from bendwright.compiled import compiled, folded_in
from bendwright.geometry.kernels import FAR
from bendwright.geometry.rigid import Array
from bendwright.plan.fits import ALONG_IN, ALONG_OFF, ASIDE, SHIFT_OFF
from bendwright.plan.memo import EMPTY, place_of
from bendwright.plan.packed import Ints

SAME_PLACE_MM = 0.05
AXES = (1 << 60) - 1


class Costs(NamedTuple):
    """Seconds: ``stance`` [move, side] numbers how the part lies, ``turning`` between two stances, ``walking`` between two stations
    (FAR where the order of set-ups forbids it), ``own`` [move, side] of a stroke; ``gauge`` for moving it. ``likes`` = (poor stop, error
    in a fit, aside, along, shift): what the shop would pay to avoid them. ``merged``: all stations count as one.

    For the least that is still to come: ``hope`` [move, side] of a stroke; bends of each of the ``lines`` (-1 ends them) and what subsets
    of them take (``cover``); bends of each direction in the plane (``axes``) and way of folding (``ways``), the same of every stance;
    a ``turn`` and a ``flip``.
    """

    stance: Ints
    turning: Array
    walking: Array
    own: Array
    gauge: float
    likes: Array
    merged: bool
    hope: Array
    lines: Ints
    cover: Array
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
def size_of(mask):
    """How many bends a set holds."""
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
        subset = 0
        for i in range(costs.lines.shape[1]):
            bend = costs.lines[k, i]
            if bend >= 0 and mask >> bend & 1:
                subset |= 1 << i
        out += costs.cover[k, subset]
    lying = np.int64(0)
    for k in range(costs.axes.shape[0]):
        if mask & costs.axes[k]:
            lying |= np.int64(1) << k
    for k in range(2):
        if mask & costs.ways[k]:
            lying |= np.int64(1) << (60 + k)
    return out, lying


@folded_in
def least_before(costs, rest, lying, stance):
    """Least seconds before a stroke in a stance, given what the bends before it need."""
    if lying != 0:
        both = lying | (np.int64(1) << costs.stance_axis[stance]) | (np.int64(1) << (60 + costs.stance_way[stance]))
        rest += costs.turn * (size_of(both & AXES) - 1) + costs.flip * (size_of(both & ~AXES) - 1)
    return rest


@compiled
def least_of_all(costs, mask):
    """Least seconds that the bends of a set can take, whatever the order."""
    rest, lying = still_to_come(costs, np.int64(mask))
    best = FAR
    for stance in range(costs.stance_axis.shape[0]):
        best = min(best, least_before(costs, rest, lying, stance))
    return best


@folded_in
def state_of(labels, costs, mask):
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
    size = size_of(mask)
    labels.beside[number] = labels.layer[size]
    labels.layer[size] = number
    return number


@folded_in
def dominates(costs, worse, cost, step, x, r, other_cost, other_step, other_x, other_r):
    """The first label is no worse than the second whatever stroke came before."""
    least = cost + worse[step[1], step[2], other_step[1], other_step[2]]
    if least > other_cost + 1e-9:
        return False
    same = abs(x - other_x) <= SAME_PLACE_MM * 1e-3 and abs(r - other_r) <= SAME_PLACE_MM * 1e-3
    same = same or (np.isnan(x) and np.isnan(other_x))
    return same or least + costs.gauge <= other_cost + 1e-9


@folded_in
def add_label(labels, costs, worse, state, cost, x, r, step, after):
    """Add a label unless another of the state is as good; drops those it makes needless. False when there is no room."""
    link = labels.head[state]
    while link >= 0:
        if dominates(
            costs, worse, labels.cost[link], labels.step[link], labels.x[link], labels.r[link], cost, step, x, r
        ):
            return True
        link = labels.more[link]
    before = -1
    link = labels.head[state]
    while link >= 0:
        following = labels.more[link]
        if dominates(
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
def on_from(labels, costs, state, stance, station, x, r):
    """Cheapest way on after a stroke: (cost, label); without a station (-1) what it costs at least. A stroke without a gauge has no x, r
    (nan).
    """
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
def own_seconds(costs, move, side, rank, flags):
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
def cut_layer(labels, costs, layer, width):
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
            own = labels.cost[label] + least_before(
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


@compiled
def start_labels(labels, costs, goal):
    """Begin with the set that is to be reached, nothing left to pay."""
    last = state_of(labels, costs, goal)
    labels.cost[0] = 0.0
    labels.step[0, :] = -1
    labels.after[0] = -1
    labels.more[0] = -1
    labels.head[last] = 0
    labels.used[1] = 1


@compiled
def first_label(labels):
    """The cheapest label of the flat sheet; -1 when it was not reached."""
    at = place_of(labels.keys, np.int64(0))
    best = -1
    if labels.keys[at] != EMPTY:
        link = labels.head[labels.numbers[at]]
        while link >= 0:
            if best < 0 or labels.cost[link] < labels.cost[best] - 1e-9:
                best = link
            link = labels.more[link]
    return best
