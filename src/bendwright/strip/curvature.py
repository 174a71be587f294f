"""The curvature a bent strip takes under given moments, and the force for a given angle (compiled).

Equilibrium of a section with the moment law f: f(q) - (flow/1024 g)(2 g'' - g'^2/g) = M (1 + loss), g the growth of q. The
gradient term is the plastic work of the shear that an incompressible strip needs where its curvature grows unevenly along
it. Below the first yield and where the strip springs back there is none.
"""

from __future__ import annotations

from math import isfinite

import numpy as np
from numpy.typing import NDArray

from bendwright.compiled import borrows, compiled, inner

Array = NDArray[np.float64]
GRADIENT = 1.0 / 1024.0
"""Plastic work of the shear y^2 q'/2 beside the stretch y q, integrated over the thickness: flow t^4/1024 (q'/q)^2 q."""
LEAST_GROWTH = 0.02
"""Growth of curvature, in first-yield curvatures, below which a section counts as at rest."""
MOST_SHRINK = 0.8
"""Share of its growth that a section may lose in one step of the iteration."""
MOST_STEPS = 2
"""Newton steps for one shape of the strip; the shape itself is then laid out anew."""
CURVATURE_FOUND, FORCE_FOUND = 1e-7, 1e-8
LARGEST_FORCE_STEP = 0.3


@compiled
@borrows
def segment(value: float, grid: Array, guess: int) -> int:
    """Segment of the grid that holds a value, looked for from a guess."""
    low = min(max(guess, 0), len(grid) - 2)
    while low > 0 and grid[low] > value:
        low -= 1
    while low < len(grid) - 2 and grid[low + 1] < value:
        low += 1
    return low


@inner
@borrows
def gradient_terms(i: int, places: Array, bent: Array, from_: Array, floor: float, weight: float, out: Array) -> None:
    """Gradient moment at place i and its derivatives to the curvature before, at and after it; growth counts ``from_``."""
    last = len(places) - 1
    left = places[i] - places[i - 1] if i > 0 else places[1] - places[0]
    right = places[i + 1] - places[i] if i < last else left
    low, high = (i - 1 if i > 0 else 1), (i + 1 if i < last else i)
    here = max(bent[i] - from_[i], floor)
    before, after = max(bent[low] - from_[low], floor), max(bent[high] - from_[high], floor)
    weight /= here
    width = 0.5 * (left + right)
    second = ((after - here) / right - (here - before) / left) / width
    first = (after - before) / (left + right) if i > 0 else 0.0
    to_left, to_right = 2.0 * weight / (left * width), 2.0 * weight / (right * width)
    lean = 2.0 * weight * first / here / (left + right)
    out[0] = weight * (2.0 * second - first * first / here)
    out[1] = to_left + lean if i > 0 else 0.0
    out[2] = -(to_left + to_right)
    out[3] = to_right - lean if i > 0 else to_left + to_right


@inner
def set_up_rows(
    places: Array,
    bent: Array,
    set_: Array,
    from_: Array,
    moment: Array,
    loss: Array,
    force: float,
    law: Array,
    first_yield: float,
    rows: Array,
) -> None:
    """Rows of the linear step: lower, diagonal, upper, what is missing, change with the force.

    ``law``: curvature, moment, flow stress; its first segment is the elastic line.
    """
    elastic, floor = law[1, 1] / law[0, 1], LEAST_GROWTH * first_yield
    low, out = np.int64(0), np.zeros(4)
    for i in range(len(places)):
        if moment[i] <= 0.0:
            rows[0, i], rows[1, i], rows[2, i], rows[3, i], rows[4, i] = 0.0, 1.0, 0.0, set_[i] - bent[i], 0.0
            continue
        low = segment(bent[i], law[0], low)
        slope = (law[1, low + 1] - law[1, low]) / (law[0, low + 1] - law[0, low])
        answer = law[1, low] + slope * (bent[i] - law[0, low])
        springing = elastic * (bent[i] - set_[i])
        out[:] = 0.0
        if springing < answer:
            answer, slope = springing, elastic
        elif bent[i] > first_yield and bent[i] - from_[i] > floor:
            gradient_terms(i, places, bent, from_, floor, GRADIENT * law[2, low], out)
        rows[0, i], rows[1, i], rows[2, i] = -out[1], slope - out[2], -out[3]
        rows[3, i] = force * moment[i] * (1.0 + loss[i] * force * force) - answer + out[0]
        rows[4, i] = moment[i] * (1.0 + 3.0 * loss[i] * force * force)


@inner
@borrows
def solve_rows(rows: Array, work: Array, missing: Array, with_force: Array) -> None:
    """Thomas's way for two right sides."""
    count = len(missing)
    for i in range(count):
        low = rows[0, i] if i > 0 else 0.0
        pivot = rows[1, i] - (low * work[0, i - 1] if i > 0 else 0.0)
        work[0, i] = rows[2, i] / pivot
        work[1, i] = (rows[3, i] - (low * work[1, i - 1] if i > 0 else 0.0)) / pivot
        work[2, i] = (rows[4, i] - (low * work[2, i - 1] if i > 0 else 0.0)) / pivot
    missing[count - 1], with_force[count - 1] = work[1, count - 1], work[2, count - 1]
    for i in range(count - 2, -1, -1):
        missing[i] = work[1, i] - work[0, i] * missing[i + 1]
        with_force[i] = work[2, i] - work[0, i] * with_force[i + 1]


@inner
@borrows
def angle_up_to(places: Array, bent: Array, step: int, share: float) -> float:
    """Integral of a curvature from the bend plane to a share of a step."""
    total = 0.0
    for i in range(step):
        total += 0.5 * (bent[i] + bent[i + 1]) * (places[i + 1] - places[i])
    end = bent[step] + share * (bent[step + 1] - bent[step])
    return float(total + 0.5 * (bent[step] + end) * share * (places[step + 1] - places[step]))


@inner
def bend_to(
    turn: float,
    force: float,
    places: Array,
    step: int,
    share: float,
    moment: Array,
    loss: Array,
    set_: Array,
    from_: Array,
    law: Array,
    first_yield: float,
    bent: Array,
) -> float:
    """Change ``bent`` until the strip, held at this force, turns by ``turn`` up to the die; the force that does it,
    -1 when none is found. Growth of curvature counts ``from_``."""
    count = len(places)
    rows, work = np.zeros((5, count)), np.zeros((3, count))
    missing, with_force = np.zeros(count), np.zeros(count)
    for _ in range(MOST_STEPS):
        set_up_rows(places, bent, set_, from_, moment, loss, force, law, first_yield, rows)
        solve_rows(rows, work, missing, with_force)
        lacking = turn - angle_up_to(places, bent, step, share) - angle_up_to(places, missing, step, share)
        change = lacking / angle_up_to(places, with_force, step, share)
        if not isfinite(change):
            return -1.0
        change = min(max(change, -LARGEST_FORCE_STEP * force), LARGEST_FORCE_STEP * force)
        force += change
        largest = 0.0
        for i in range(count):
            move, most = missing[i] + change * with_force[i], 0.5 * bent[i] + 2.0 * first_yield
            grown = bent[i] - from_[i]
            move = min(max(move, -most), most)
            if grown > 0.0:
                move = max(move, -MOST_SHRINK * grown - LEAST_GROWTH * first_yield)
            bent[i] += move
            if moment[i] > 0.0 and bent[i] < 0.0:
                bent[i] = 0.0
            largest = max(largest, abs(move))
        if largest < CURVATURE_FOUND and abs(change) < FORCE_FOUND * force:
            break
    return force
