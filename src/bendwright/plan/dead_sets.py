"""Which sets of done bends does nothing lead to, whatever else is done? Compiled.

What a single body forbids to every punch is kept with every move as sets of bends (done, not done). A few bends that such sets speak of
are looked at by themselves, all others done or not as one likes: what cannot be reached even then cannot be reached at all.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from bendwright.compiled import compiled
from bendwright.geometry.kernels import FAR
from bendwright.plan.packed import Ints, Packed

MOST_TOGETHER = 6
MOST_DEAD = 256


def dead_sets(packed: Packed) -> Ints:
    """[row, (done, not done)]: sets of bends that nothing leads to, the smallest first."""
    rows: list[tuple[int, int]] = []
    for together in _together(packed):
        for done, others, _ in _lacking(packed, together):
            if not any(a & ~done == 0 and b & ~others == 0 for a, b in rows):
                rows.append((done, others))
    return np.array(rows[:MOST_DEAD], dtype=np.int64).reshape(-1, 2)


def lacking_sets(packed: Packed, goal: int, lack_mm: Callable[[int, int, int], float]) -> list[tuple[int, int, float]]:
    """Where nothing leads to the ``goal``: sets of bends (done, not done) that nothing leads to, and the least millimetres that every way
    to them lacks somewhere, by as few bends as tell; ``lack_mm`` is what a move lacks whenever some bends are done and others are not.
    """
    out: list[tuple[int, int, float]] = []
    told: list[int] = []
    for together in _together(packed):
        dead = [done for done, _, _ in _lacking(packed, together)]
        if goal & together in dead and not any(one & ~together == 0 for one in told):
            told.append(together)
            out += _lacking(packed, together, lack_mm)
    return out


def _together(packed: Packed) -> list[int]:
    """Sets of few bends that one forbidden set of a bend speaks of."""
    rows = np.argwhere(packed.forbidden[:, :, 0] != -1)
    sets = {int(packed.makes[move] | np.bitwise_or.reduce(packed.forbidden[move, row])) for move, row in rows
            if int(packed.makes[move]).bit_count() == 1}  # fmt: skip
    return sorted((one for one in sets if one.bit_count() <= MOST_TOGETHER), key=lambda one: (one.bit_count(), one))


def _lacking(
    packed: Packed, together: int, lack_mm: Callable[[int, int, int], float] = lambda move, done, others: FAR
) -> list[tuple[int, int, float]]:
    """Sets of some bends (done, not done) to which every way lacks something, and the least it lacks somewhere."""
    bits = np.array([i for i in range(together.bit_length()) if together >> i & 1], dtype=np.int64)
    sets = [sum(1 << int(bit) for i, bit in enumerate(bits) if number >> i & 1) for number in range(1 << len(bits))]
    lacks = np.zeros((len(sets), len(packed.makes)))
    for number, move in np.argwhere(barred(packed, np.array(sets), np.int64(together))):
        done, makes = sets[number], int(packed.makes[move])
        lacks[number, move] = lack_mm(int(move), done, together & ~done | makes)
    least = least_lacking(packed, bits, np.int64(together), lacks)
    return [(sets[number], together & ~sets[number], float(least[number])) for number in np.flatnonzero(least > 0.0)]


@compiled
def barred(packed, sets, together):
    """[set, move]: whether something forbids a move that makes some of a few bends whenever those of a set are done of them."""
    out = np.zeros((sets.shape[0], packed.makes.shape[0]), dtype=np.bool_)
    for number in range(sets.shape[0]):
        done = sets[number]
        for move in range(packed.makes.shape[0]):
            made = packed.makes[move]
            for row in range(packed.forbidden.shape[1]):
                must, mustnot = packed.forbidden[move, row, 0], packed.forbidden[move, row, 1]
                if must == -1 or made & together == 0 or made & done:
                    break
                if must & done == must and mustnot & ~(together & ~done | made) == 0:
                    out[number, move] = True
                    break
    return out


@compiled
def least_lacking(packed, bits, together, lacks):
    """For every subset of some bends the least that all ways to it lack somewhere, ``lacks`` [subset, move]; FAR * 2 where
    nothing leads to it.
    """
    out = np.full(1 << bits.shape[0], 2.0 * FAR)
    out[0] = 0.0
    for number in range(out.shape[0]):
        if out[number] > FAR:
            continue
        done = np.int64(0)
        for i in range(bits.shape[0]):
            if number >> i & 1:
                done |= np.int64(1) << bits[i]
        for move in range(packed.makes.shape[0]):
            made = packed.makes[move] & together
            if made == 0 or made & done or packed.needs[move] & together & ~done or packed.bars[move] & done:
                continue
            after = number
            for i in range(bits.shape[0]):
                if made >> bits[i] & 1:
                    after |= 1 << i
            out[after] = min(out[after], max(out[number], lacks[number, move]))
    return out
