"""The loops of the order search: joining tables into one answer per set of done bends, and the exact optimum. Compiled.

A *mask* is the set of done bends (bit i = bend i). Windows are where along the bend a stack may stand.
"""

from __future__ import annotations

import numpy as np

from bendwright.compiled import compiled

FAR = 1e9
LEAST_FACE_MM = 3.0
TOUCH_MM = -0.01
WHOLE, ABOVE, FOOT, DIE = 0, 1, 2, 3


@compiled
def pose_of(mask, bits, count):
    """Pose number of a body: bit i says whether the i-th bend on its path is done."""
    pose = 0
    for i in range(count):
        if mask >> bits[i] & 1:
            pose |= 1 << i
    return pose


@compiled
def _note(gap, body, tool, kind, worst, who):
    """Keep the smallest gap of its kind and who it is between."""
    if gap < worst[kind]:
        worst[kind] = gap
        who[kind, 0] = body
        who[kind, 1] = tool


@compiled
def _narrow(box, ease, span, short, target, windows):
    """Narrow a window by a body that the stack must not reach; False when it stands where the bend must be covered.

    ``ease`` is how far a relieved tool end may reach into the body (the inside radius of a wall beside the stack).
    """
    spare = short if target != ABOVE else 0.5 * (span[1] - span[0])
    if box[5] - ease <= span[0] + spare:
        windows[target, 0] = max(windows[target, 0], box[5] - ease)
        return True
    if box[4] + ease >= span[1] - spare:
        windows[target, 1] = min(windows[target, 1], box[4] + ease)
        return True
    return False


@compiled
def join_bend(b, n, bodies, bits, ease, gaps, boxes, span, short, punch_classes, tail, windows, worst, who, sides):
    """Join the body tables of bend ``b`` for every mask without it.

    ``bodies`` rows: (row offset, path length, zone bend or -1, zone done, side 0 parent 1 child); ``ease`` see
    ``_narrow``. ``gaps`` columns: punch classes, the same mirrored, then ram, die, bed at ``tail``. Writes, per mask and
    punch orientation, ``windows`` [orientation, WHOLE|ABOVE|FOOT|DIE, low/high], ``worst`` [orientation, plain|eared|
    anything else] gaps, ``who`` their (body, class), and ``sides`` [side, (lowest v, highest v)]. The bend must be
    covered but for ``short`` at its ends; what stands above the foot of an eared stack need not cover it. What lies across
    the middle of an eared stack meets the whole punch there. Touching (to a hundredth of a millimetre) is no collision.
    """
    for mask in range(1 << n):
        if mask >> b & 1:
            continue
        sides[mask, :, 0] = FAR
        sides[mask, :, 1] = -FAR
        for i in range(bodies.shape[0]):
            zone = bodies[i, 2]
            if zone >= 0 and (mask >> zone & 1) != bodies[i, 3]:
                continue
            row = bodies[i, 0] + pose_of(mask, bits[i], bodies[i, 1])
            side = bodies[i, 4]
            sides[mask, side, 0] = min(sides[mask, side, 0], boxes[row, 2])
            sides[mask, side, 1] = max(sides[mask, side, 1], boxes[row, 3])
            for o in range(2):
                chosen = o if side == 1 else 1 - o
                for c in (tail, tail + 2):
                    if gaps[row, c] > TOUCH_MM:
                        continue
                    _note(gaps[row, c], i, c, 2, worst[mask, o], who[mask, o])
                for j in range(punch_classes + 1):
                    c = tail + 1 if j == punch_classes else chosen * punch_classes + j
                    target = DIE if j == punch_classes else j
                    if gaps[row, c] > TOUCH_MM or _narrow(boxes[row], ease[i], span, short, target, windows[mask, o]):
                        continue
                    kind = 2 if target == DIE else (0 if target == WHOLE else 1)
                    if kind == 1 and boxes[row, 4] < 0.5 * (span[0] + span[1]) < boxes[row, 5]:
                        c = chosen * punch_classes
                    _note(gaps[row, c], i, c, kind, worst[mask, o], who[mask, o])


@compiled
def join_pairs(b, n, pairs, a_bits, b_bits, table, gap):
    """Smallest separation of the part from itself while bend ``b`` is made, for every mask without it.

    ``pairs`` rows: (offset, path length of the parent's plate, path length of the child's plate, columns).
    """
    for mask in range(1 << n):
        if mask >> b & 1:
            continue
        best = FAR
        for i in range(pairs.shape[0]):
            row = pose_of(mask, a_bits[i], pairs[i, 1])
            column = pose_of(mask, b_bits[i], pairs[i, 2])
            best = min(best, table[pairs[i, 0] + row * pairs[i, 3] + column])
        gap[mask] = best


@compiled
def _free_stretch(low, high, x, mask, side, finger_low, finger_high, bodies, bits, boxes):
    """What is left of a stop's stretch where nothing of the part sticks out behind it at the finger's height."""
    for i in range(bodies.shape[0]):
        if bodies[i, 4] != side:
            continue
        zone = bodies[i, 2]
        if zone >= 0 and (mask >> zone & 1) != bodies[i, 3]:
            continue
        row = bodies[i, 0] + pose_of(mask, bits[i], bodies[i, 1])
        if boxes[row, 1] <= x + 0.2 or boxes[row, 2] >= finger_high or boxes[row, 3] <= finger_low:
            continue
        if boxes[row, 5] <= low or boxes[row, 4] >= high:
            continue
        if boxes[row, 4] - low > high - boxes[row, 5]:
            high = boxes[row, 4]
        else:
            low = boxes[row, 5]
        if high <= low:
            return 0.0, 0.0
    return low, high


@compiled
def _stop_place(stop, number, pose, mask, bodies, boxes, finger, thickness):
    """Where a stop stands for a mask: (usable, x, r, low w, high w)."""
    x, low, high, r = number
    if stop[0] == 1:
        box = boxes[bodies[stop[1], 0] + pose]
        if box[1] - box[0] > thickness + 1e-4 or box[3] - box[2] < LEAST_FACE_MM:
            return False, 0.0, 0.0, 0.0, 0.0
        if box[2] > -thickness:
            r = max(0.0, box[2] + LEAST_FACE_MM + thickness - finger)
        else:
            r = max(box[2], box[3] - finger) + thickness
        return True, box[1], r, box[4], box[5]
    if pose != 0 or (stop[0] == 2 and not mask >> stop[3] & 1):
        return False, 0.0, 0.0, 0.0, 0.0
    return True, x, r if stop[0] == 2 else 0.0, low, high


@compiled
def _stop_rank(kind, direct, length, good, error_in_front, error_behind):
    """How good a stop is: 0 good, +1 short contact, +1 beyond the next flange, +4 error in a fit dimension; edges first."""
    rank = 0.0 if length >= good else 1.0
    if error_in_front or (error_behind and direct == 0):
        rank += 4.0
    if kind == 0:
        rank -= 0.2
    elif kind == 3:
        rank += 0.05
    if direct == 0:
        rank += 1.0
    return rank - 1e-6 * min(length, 1e4)


@compiled
def _ends_in_air(low, high, over, x, mask, side, floor, finger, bodies, bits, boxes):
    """Whether a finger that reaches ``over`` past both ends of its stop meets nothing there."""
    if over <= 0.0:
        return True
    first, last = _free_stretch(
        low - over, high + over, x, mask, side, floor + 0.1, floor + finger, bodies, bits, boxes
    )
    return first <= low - over + 1e-6 and last >= high + over - 1e-6


@compiled
def gauge_bend(
    b,
    n,
    side,
    stops,
    numbers,
    stop_bits,
    bodies,
    bits,
    boxes,
    limits,
    fit_front,
    front_mask,
    fit_back,
    back_mask,
    best,
    value,
):
    """Best stop for the back gauge for every mask without ``b``, the given side at the back.

    ``stops`` rows: (kind 0 edge 1 face 2 arc 3 edge with notches, body index or -1, path length, arc bend or -1, holds the next flange
    directly); ``numbers`` rows: (x, low w, high w, r) of edges and arcs (faces read theirs from the boxes); an edge needs
    its path flat. ``limits`` = (x low, x high, r low, r high, finger height, least contact, thickness, finger
    width, contact that holds the part square). Writes the stop's
    number (-1 none) into ``best`` and (x, r, low w, high w, rank) into ``value``.
    """
    x_low, x_high, r_low, r_high, finger, contact, thickness, wide, good = limits
    for mask in range(1 << n):
        best[mask] = -1
        value[mask, 4] = FAR
        if mask >> b & 1:
            continue
        in_front = fit_front and (mask & front_mask) == front_mask
        in_back = fit_back and (mask & back_mask) == back_mask
        for s in range(stops.shape[0]):
            pose = pose_of(mask, stop_bits[s], stops[s, 2])
            fine, x, r, low, high = _stop_place(stops[s], numbers[s], pose, mask, bodies, boxes, finger, thickness)
            if not fine or x < x_low or x > x_high or r < r_low or r > r_high:
                continue
            floor = r - thickness
            low, high = _free_stretch(low, high, x, mask, side, floor + 0.1, floor + finger, bodies, bits, boxes)
            if high - low < contact:
                continue
            over = 0.5 * wide if stops[s, 0] == 3 else max(0.0, 0.5 * (wide - high + low))
            if not _ends_in_air(low, high, over, x, mask, side, floor, finger, bodies, bits, boxes):
                continue
            rank = _stop_rank(stops[s, 0], stops[s, 4], high - low, good, in_front, in_back)
            if rank < value[mask, 4] - 1e-9:
                best[mask] = s
                value[mask] = np.array([x, r, low, high, rank])


@compiled
def cheapest_orders(n, allowed, change, x_of, r_of, extra, gauge_move, first):
    """Exact optimum over all orders: least cost of every (set of done bends, last action).

    ``allowed`` [action, mask before], ``change`` [last action, next action] seconds, ``x_of``/``r_of`` [action, mask before]
    gauge positions, ``extra`` [action, mask before] own seconds, ``first`` [action] seconds of starting with it. Actions are
    numbered bend-major: action // (actions // n) is the bend. Returns costs and the last action before (-1 none). Ties keep
    the smaller action number.
    """
    actions = allowed.shape[0]
    per_bend = actions // n
    full = 1 << n
    cost = np.full((full, actions), FAR)
    before = np.full((full, actions), -1, dtype=np.int16)
    for mask in range(full):
        for a in range(actions):
            bend = a // per_bend
            if mask == 1 << bend and allowed[a, 0]:
                cost[mask, a] = first[a] + extra[a, 0]
        for a in range(actions):
            here = cost[mask, a]
            if here >= FAR:
                continue
            previous = mask & ~(1 << (a // per_bend))
            for q in range(actions):
                bit = 1 << (q // per_bend)
                if mask & bit or not allowed[q, mask]:
                    continue
                total = here + change[a, q] + extra[q, mask]
                if abs(x_of[q, mask] - x_of[a, previous]) > 0.05 or abs(r_of[q, mask] - r_of[a, previous]) > 0.05:
                    total += gauge_move
                if total < cost[mask | bit, q] - 1e-9:
                    cost[mask | bit, q] = total
                    before[mask | bit, q] = a
    return cost, before


@compiled
def reached_backwards(n, possible):
    """Sets of done bends from which the finished part can be reached; ``possible`` [bend, mask before]."""
    full = 1 << n
    good = np.zeros(full, dtype=np.bool_)
    good[full - 1] = True
    for mask in range(full - 2, -1, -1):
        for b in range(n):
            if not mask >> b & 1 and possible[b, mask] and good[mask | 1 << b]:
                good[mask] = True
                break
    return good
