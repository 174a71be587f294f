"""Which stops are always beaten by another? They need not be looked at, nor the bends that decide over them. Compiled."""

from __future__ import annotations

from bendwright.compiled import borrows, folded_in, inner
from bendwright.geometry.kernels import FAR
from bendwright.plan.standing import ruled_out, set_of
from bendwright.plan.stopping import BEHIND_MM, FACE, stop_place, stop_rank

MOST_BRANCH = 4


@inner
@borrows
def _hidden(packed, looks, move, side, rows, counts, bars, bar_count, must, mustnot, finger):
    """Whether something may stand behind a finger (x, floor, ceiling, low w, high w) when these bends are done and those are not."""
    x, floor, ceiling, low_w, high_w = finger
    first = packed.first[move]
    for body in range(first, packed.last[move]):
        if packed.side[body] != side:
            continue
        if counts[body - first] == 0:
            return True
        for pose in range(counts[body - first]):
            box = looks.box[rows[body - first, pose]]
            if box[1] <= x + BEHIND_MM or box[2] >= ceiling or box[3] <= floor or box[4] >= high_w or box[5] <= low_w:
                continue
            own, ownnot = set_of(packed, body, pose)
            if own & mustnot or ownnot & must or own & ownnot:
                continue
            if not ruled_out(bars, bar_count, must | own, mustnot | ownnot):
                return True
    return False


@folded_in
def _decided(packed, stops, s, must, mustnot):
    """Whether it is settled that and where a stop stands when these bends are done and those are not."""
    if stops.rows[s, 0] == FACE:
        out = packed.ways[stops.rows[s, 1]] & ~(must | mustnot) == 0
    else:
        out = stops.must[s] & ~must == 0 and stops.mustnot[s] & ~mustnot == 0
    return out


@inner
@borrows
def _rank_of(packed, stops, looks, move, side, s, rows, counts, bars, bar_count, must, mustnot, most):
    """Rank of a stop (see ``_decided``) that stands free whenever these bends are done and those are not; FAR when that is not sure, or
    it is not below ``most``.
    """
    x_low, x_high, r_low, r_high, finger, contact, thickness, wide, _, low, high, _ = stops.limits
    kind = stops.rows[s, 0]
    box = looks.box[0]
    if kind == FACE:
        body = stops.rows[s, 1]
        if counts[body - packed.first[move]] == 0:
            return FAR
        pose = 0
        for i in range(packed.path_n[body]):
            if must >> packed.path_bits[packed.path_at[body] + i] & 1:
                pose |= 1 << i
        box = looks.box[rows[body - packed.first[move], pose]]
    fine, x, r, low_w, high_w = stop_place(kind, stops.numbers[s], box, finger, thickness)
    if not fine or stops.numbers[s, 4] != 0.0 or x < x_low or x > x_high or r < r_low or r > r_high:
        return FAR
    if high_w - low_w < max(contact, wide):
        return FAR
    rank = stop_rank(kind, stops.rows[s, 2], high_w - low_w, stops.good[move], False, False)
    if rank >= most:
        return FAR
    over = (low_w - wide, high_w + wide) if high <= low else (-FAR, FAR)
    reach = (x, r - thickness + min(low, 0.0), r - thickness + max(finger, high), over[0], over[1])
    if _hidden(packed, looks, move, side, rows, counts, bars, bar_count, must, mustnot, reach):
        return FAR
    return rank


@inner
@borrows
def _sure_rank(packed, stops, looks, move, side, rows, counts, bars, bar_count, most):
    """The best rank that some stop always reaches, whatever is done: judged branch by branch of the flanges; ``most`` where none below it
    is.
    """
    best = most
    first = packed.first[move]
    for body in range(first, packed.last[move]):
        if not packed.plate[body] or packed.side[body] != side or packed.path_n[body] > MOST_BRANCH:
            continue
        worst = -FAR
        for pose in range(counts[body - first]):
            must, mustnot = set_of(packed, body, pose)
            if ruled_out(bars, bar_count, must, mustnot):
                continue
            own = FAR
            for s in range(stops.first[move, side], stops.last[move, side]):
                if not _decided(packed, stops, s, must, mustnot):
                    continue
                below = min(own, best)
                rank = _rank_of(
                    packed, stops, looks, move, side, s, rows, counts, bars, bar_count, must, mustnot, below
                )
                own = min(own, rank)
                if own <= worst:
                    break
            worst = max(worst, own)
            if worst >= best:
                break
        best = min(best, worst)
    return best


@folded_in
def _least_rank(stops, move, s):
    """The rank of a stop at its best."""
    kind = stops.rows[s, 0]
    length = 1e4 if kind == FACE else stops.numbers[s, 2] - stops.numbers[s, 1]
    return stop_rank(kind, stops.rows[s, 2], length, stops.good[move], False, False)


@inner
@borrows
def drop_beaten(packed, stops, looks, move, rows, counts, bars, bar_count):
    """Mark the stops of a move that can never be the best, so that nobody looks at them."""
    for side in range(2):
        if stops.fit[move, side]:
            continue
        most = -FAR
        for s in range(stops.first[move, side], stops.last[move, side]):
            most = max(most, _least_rank(stops, move, s))
        sure = _sure_rank(packed, stops, looks, move, side, rows, counts, bars, bar_count, most)
        for s in range(stops.first[move, side], stops.last[move, side]):
            stops.live[s] = _least_rank(stops, move, s) <= sure + 1e-9
