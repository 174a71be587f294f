"""Which stops are always beaten by another? They need not be looked at, nor the bends that decide over them. Compiled."""

from __future__ import annotations

from bendwright.compiled import borrows, inner
from bendwright.geometry.kernels import FAR
from bendwright.plan.standing import ruled_out, set_of, ways
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
            own, ownnot = set_of(packed, body, pose)
            if own & mustnot or ownnot & must or own & ownnot:
                continue
            if ruled_out(bars, bar_count, must | own, mustnot | ownnot):
                continue
            box = looks.box[rows[body - first, pose]]
            if box[1] > x + BEHIND_MM and box[2] < ceiling and box[3] > floor and box[4] < high_w and box[5] > low_w:
                return True
    return False


@inner
@borrows
def _rank_of(packed, stops, looks, move, side, s, rows, counts, bars, bar_count, must, mustnot):
    """Rank of a stop that stands free whenever these bends are done and those are not; FAR when that is not sure."""
    x_low, x_high, r_low, r_high, finger, contact, thickness, wide, _, low, high, _ = stops.limits
    kind = stops.rows[s, 0]
    box = looks.box[0]
    if kind == FACE:
        body = stops.rows[s, 1]
        if ways(packed, body) & ~(must | mustnot) or counts[body - packed.first[move]] == 0:
            return FAR
        pose = 0
        for i in range(packed.path_n[body]):
            if must >> packed.path_bits[packed.path_at[body] + i] & 1:
                pose |= 1 << i
        box = looks.box[rows[body - packed.first[move], pose]]
    elif stops.must[s] & ~must or stops.mustnot[s] & ~mustnot:
        return FAR
    fine, x, r, low_w, high_w = stop_place(kind, stops.numbers[s], box, finger, thickness)
    if not fine or stops.numbers[s, 4] != 0.0 or x < x_low or x > x_high or r < r_low or r > r_high:
        return FAR
    if high_w - low_w < max(contact, wide):
        return FAR
    over = (low_w - wide, high_w + wide) if high <= low else (-FAR, FAR)
    reach = (x, r - thickness + min(low, 0.0), r - thickness + max(finger, high), over[0], over[1])
    if _hidden(packed, looks, move, side, rows, counts, bars, bar_count, must, mustnot, reach):
        return FAR
    return stop_rank(kind, stops.rows[s, 2], high_w - low_w, stops.good[move], False, False)


@inner
@borrows
def _sure_rank(packed, stops, looks, move, side, rows, counts, bars, bar_count):
    """The best rank that some stop always reaches, whatever is done: judged branch by branch of the flanges."""
    best = FAR
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
                own = min(
                    own, _rank_of(packed, stops, looks, move, side, s, rows, counts, bars, bar_count, must, mustnot)
                )
            worst = max(worst, own)
            if worst >= best:
                break
        best = min(best, worst)
    return best


@inner
@borrows
def drop_beaten(packed, stops, looks, move, rows, counts, bars, bar_count):
    """Mark the stops of a move that can never be the best, so that nobody looks at them."""
    for side in range(2):
        if stops.fit[move, side]:
            continue
        sure = _sure_rank(packed, stops, looks, move, side, rows, counts, bars, bar_count)
        for s in range(stops.first[move, side], stops.last[move, side]):
            kind = stops.rows[s, 0]
            length = 1e4 if kind == FACE else stops.numbers[s, 2] - stops.numbers[s, 1]
            least = stop_rank(kind, stops.rows[s, 2], length, stops.good[move], False, False)
            stops.live[s] = least <= sure + 1e-9
