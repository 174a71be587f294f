"""What is known of ways to go on from a set of done bends, and the least that is still to come. Compiled.

A state is a set of done bends. A label of a state is one way to go on from there: what the next stroke is and what it costs to the
end. A label that is worse than another of its state whatever came before is dropped.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from bendwright.compiled import borrows, compiled, folded_in, inner
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
    in a fit, aside, along, shift): what the shop would pay to avoid them. ``merged``: all stations count as one. Every cost is a whole
    number of ``grain`` (0 where there is no such number).

    For the least that is still to come: ``hope`` [move, side] of a stroke and the X of its stops (``places``); bends of each of the
    ``lines`` (-1 ends them), what subsets of them take (``cover`` [line, how, subset]: all strokes lying one way round, the other way
    round, either), what of it is for a place of the gauge of its own (``alone`` [line, way round]); the ``group`` of stances of a line
    (-1: several) and of a stance (``stance_group``, ``stance_end`` which way round), to lie both ways round in a group (``again``); bends
    of each direction in the plane (``axes``) and way of folding (``ways``), the same of every stance; a ``turn`` and a ``flip``. ``dead``
    [row, (done, not done)]: sets of bends that nothing leads to. ``sums`` [group, 5] is room to add up in.
    """

    stance: Ints
    turning: Array
    walking: Array
    own: Array
    gauge: float
    likes: Array
    merged: bool
    grain: float
    hope: Array
    places: Array
    lines: Ints
    cover: Array
    alone: Array
    group: Ints
    stance_group: Ints
    stance_end: Ints
    again: float
    axes: Ints
    ways: Ints
    stance_axis: Ints
    stance_way: Ints
    turn: float
    flip: float
    dead: Ints
    sums: Array


class Labels(NamedTuple):
    """States (``keys``/``numbers`` from the set, ``set_of``, first label ``head`` (-1: none yet), ``layer`` heads by size, next of it
    ``beside``, ``rest`` [state, stance] the least seconds before a stroke in that stance) and labels (``cost`` to the end, ``x``, ``r``,
    ``step`` = (move, stance, station, side, flags), label ``after`` it, next of its state ``more``); ``least`` [layer, place] the least
    seconds in all of the states of every size, as many as a lean search keeps; ``used`` = (states, labels, answers looked at, states
    dropped); ``at`` = (layer, state or -1, move) where the search stands.
    """

    keys: Ints
    numbers: Ints
    set_of: Ints
    head: Ints
    layer: Ints
    beside: Ints
    rest: Array
    cost: Array
    x: Array
    r: Array
    step: Ints
    after: Ints
    more: Ints
    least: Array
    used: Ints
    at: Ints


@folded_in
def size_of(mask):
    """How many bends a set holds."""
    count = 0
    while mask:
        mask &= mask - 1
        count += 1
    return count


@folded_in
def _strokes_before(costs, mask):
    """Least seconds of strokes that make the bends of a set, lying as is best in every group of stances; and the seconds of every group:
    all strokes lying one way round, the other way round, both (into ``costs.sums``). The first place of the gauge in a stance is free.
    """
    sums = costs.sums
    sums[:] = 0.0
    total = 0.0
    for k in range(costs.lines.shape[0]):
        subset = 0
        for i in range(costs.lines.shape[1]):
            bend = costs.lines[k, i]
            if bend >= 0 and mask >> bend & 1:
                subset |= 1 << i
        own = costs.group[k]
        if own < 0:
            total += costs.cover[k, 2, subset]
        elif subset:
            for how in range(3):
                sums[own, how] += costs.cover[k, how, subset]
            for end in range(2):
                sums[own, 3 + end] = max(sums[own, 3 + end], costs.alone[k, end])
    for own in range(sums.shape[0]):
        sums[own, 0] -= sums[own, 3]
        sums[own, 1] -= sums[own, 4]
        sums[own, 2] += costs.again - sums[own, 3] - sums[own, 4]
        total += min(sums[own, 0], sums[own, 1], sums[own, 2])
    return total


@folded_in
def still_to_come(costs, mask, out):
    """Fill ``out`` [stance] with the least seconds before a stroke in that stance, given the bends done before it; FAR where nothing
    leads to them.
    """
    out[:] = 0.0
    for i in range(costs.dead.shape[0]):
        if mask & costs.dead[i, 0] == costs.dead[i, 0] and mask & costs.dead[i, 1] == 0:
            out[:] = FAR
    if mask and out[0] < FAR:
        total, sums = _strokes_before(costs, mask), costs.sums
        axes = _numbers_in(costs.axes, mask)
        ways = _numbers_in(costs.ways, mask)
        for stance in range(out.shape[0]):
            own, end = costs.stance_group[stance], costs.stance_end[stance]
            out[stance] = total - min(sums[own, 0], sums[own, 1], sums[own, 2]) + min(sums[own, end], sums[own, 2])
            if axes or ways:
                out[stance] += costs.turn * (size_of(axes | 1 << costs.stance_axis[stance]) - 1)
                out[stance] += costs.flip * (size_of(ways | 1 << costs.stance_way[stance]) - 1)


@folded_in
def _numbers_in(sets, mask):
    """Numbers of the sets that share a bend with another, as a set."""
    out = 0
    for k in range(sets.shape[0]):
        if mask & sets[k]:
            out |= 1 << k
    return out


@compiled
def least_of_all(costs, mask):
    """Least seconds that the bends of a set can take, whatever the order."""
    out = np.empty(costs.stance_group.shape[0])
    still_to_come(costs, np.int64(mask), out)
    return out.min()


@folded_in
def state_of(labels, costs, mask):
    """Number of the state of a set, made if new; -1 when the table is full. It has no label yet, nor a place in its layer."""
    at = place_of(labels.keys, mask)
    number = np.int64(-1)
    if labels.keys[at] != EMPTY:
        number = labels.numbers[at]
    elif labels.used[0] < labels.set_of.shape[0]:
        number = labels.used[0]
        labels.used[0] += 1
        labels.keys[at] = mask
        labels.numbers[at] = number
        labels.set_of[number] = mask
        labels.head[number] = -1
        still_to_come(costs, mask, labels.rest[number])
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
    fresh = labels.head[state] < 0
    link = labels.head[state]
    while link >= 0:
        if dominates(
            costs, worse, labels.cost[link], labels.step[link], labels.x[link], labels.r[link], cost, step, x, r
        ):
            return True
        link = labels.more[link]
    number = labels.used[1]
    if number >= labels.cost.shape[0]:
        return False
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
    labels.used[1] += 1
    labels.cost[number] = cost
    labels.x[number] = x
    labels.r[number] = r
    for i in range(5):
        labels.step[number, i] = step[i]
    labels.after[number] = after
    labels.more[number] = labels.head[state]
    labels.head[state] = number
    if fresh:
        size = size_of(labels.set_of[state])
        labels.beside[state] = labels.layer[size]
        labels.layer[size] = state
        _told(labels, size, cost + labels.rest[state, step[1]])
    return True


@folded_in
def _told(labels, size, seconds):
    """Keep the least seconds of a layer in order."""
    at = labels.least.shape[1]
    while at > 0 and labels.least[size, at - 1] > seconds:
        if at < labels.least.shape[1]:
            labels.least[size, at] = labels.least[size, at - 1]
        at -= 1
    if at < labels.least.shape[1]:
        labels.least[size, at] = seconds


@folded_in
def enough(labels, mask, seconds):
    """Whether a lean search has as many states of the size of a set as it keeps, none of which takes more."""
    last = labels.least.shape[1] - 1
    return last >= 0 and seconds >= labels.least[size_of(mask), last] - 1e-9


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


@inner
def cut_layer(labels, layer, width):
    """Keep the cheapest states of a layer; counts how many were dropped."""
    count = 0
    link = labels.layer[layer]
    while link >= 0:
        count += 1
        link = labels.beside[link]
    if count <= width:
        return
    least = np.empty(count)
    states = np.empty(count, dtype=np.int64)
    link = labels.layer[layer]
    for i in range(count):
        states[i] = link
        least[i] = FAR
        label = labels.head[link]
        while label >= 0:
            least[i] = min(least[i], labels.cost[label] + labels.rest[link, max(labels.step[label, 1], 0)])
            label = labels.more[label]
        link = labels.beside[link]
    order = np.argsort(least, kind="mergesort")
    labels.layer[layer] = -1
    for i in range(width - 1, -1, -1):
        number = states[order[i]]
        labels.beside[number] = labels.layer[layer]
        labels.layer[layer] = number
    labels.used[3] += count - width


@inner
@borrows
def start_labels(labels, costs, goal):
    """Begin with the set that is to be reached, nothing left to pay."""
    last, size = state_of(labels, costs, goal), size_of(goal)
    labels.layer[size] = last
    labels.beside[last] = -1
    labels.at[0], labels.at[1] = size, -1
    labels.cost[0] = 0.0
    labels.step[0, :] = -1
    labels.after[0] = -1
    labels.more[0] = -1
    labels.head[last] = 0
    labels.used[1] = 1


@inner
@borrows
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
