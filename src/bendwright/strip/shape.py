"""The half strip between punch and die as a line of sections: its shape, its contacts, its moments (compiled).

Lengths in sheet thicknesses, moments per force in the same. The line runs through the centroids of the sections, from the
bend plane (x = 0) to the die; ``places`` are undeformed lengths along it. y counts from the die top.
"""

from __future__ import annotations

from math import cos, sin, sqrt, tan

import numpy as np
from numpy.typing import NDArray

from bendwright.compiled import borrows, compiled, inner

Array = NDArray[np.float64]
REACH = 2.5
"""The punch nose is sought within this many thicknesses of the bend plane."""


@compiled
@borrows
def look_up(value: float, grid: Array, column: Array) -> float:
    """Linear interpolation, held at the ends."""
    if value <= grid[0]:
        return float(column[0])
    last = len(grid) - 1
    if value >= grid[last]:
        return float(column[last])
    low, high = 0, last
    while high - low > 1:
        middle = (low + high) // 2
        if grid[middle] <= value:
            low = middle
        else:
            high = middle
    return float(column[low] + (value - grid[low]) / (grid[high] - grid[low]) * (column[high] - column[low]))


@compiled
@borrows
def lay_out(places: Array, bent: Array, shear: Array, grid: Array, stretch: Array, line: Array) -> None:
    """Fill ``line`` with angle, x and y at every place from curvature and shear angle; y from 0 at the bend plane."""
    for i in range(len(places) - 1):
        step = places[i + 1] - places[i]
        mean = 0.5 * (bent[i] + bent[i + 1])
        tilt = line[i, 0] + step * (2.0 * bent[i] + bent[i + 1]) / 6.0 + shear[i]
        length = step * look_up(mean, grid, stretch)
        line[i + 1, 0] = line[i, 0] + step * mean
        line[i + 1, 1] = line[i, 1] + length * cos(tilt)
        line[i + 1, 2] = line[i, 2] + length * sin(tilt)


@inner
@borrows
def reach_of(line: Array, x: float) -> tuple[int, float]:
    """Step and share of the step at which the line passes x; step -1 when it never does."""
    last = len(line) - 1
    i = 0
    while i < last and line[i + 1, 1] < x:
        i += 1
    if i >= last:
        return -1, 0.0
    return i, (x - line[i, 1]) / (line[i + 1, 1] - line[i, 1])


@inner
@borrows
def nose_height(i: int, line: Array, bent: Array, nose: float, grid: Array, to_inside: Array) -> float:
    """Height of the nose centre above the apex of the line when the nose rests on the inner face at place i; -1 for never."""
    radius = nose + look_up(bent[i], grid, to_inside)
    x = line[i, 1]
    if x >= radius:
        return -1.0
    return float(line[i, 2] + sqrt(radius * radius - x * x))


@inner
@borrows
def touch_of_nose(
    places: Array, line: Array, bent: Array, last: int, nose: float, grid: Array, to_inside: Array
) -> tuple[float, float, int]:
    """Where the sinking nose touches first: height of its centre, place (parabola through three places), index."""
    best, at = -1.0, 0
    for i in range(last + 1):
        height = nose_height(i, line, bent, nose, grid, to_inside)
        if height < 0.0 or places[i] > REACH:
            break
        if height > best:
            best, at = height, i
    place = places[at]
    if 0 < at < last:
        before = nose_height(at - 1, line, bent, nose, grid, to_inside)
        after = nose_height(at + 1, line, bent, nose, grid, to_inside)
        left, right = places[at] - places[at - 1], places[at + 1] - places[at]
        rise, fall = (best - before) / left, (after - best) / right
        if after > 0.0 and rise - fall > 1e-12:
            top = 0.5 * (rise * right + fall * left) / (rise - fall)
            place = min(max(places[at] + top, places[at - 1]), places[at + 1])
    return best, place, at


@inner
@borrows
def half_contact(
    places: Array,
    line: Array,
    bent: Array,
    at: int,
    best: float,
    dent: float,
    nose: float,
    grid: Array,
    to_inside: Array,
) -> float:
    """How far outward from the touch the nose, sunk in by ``dent``, still covers the inner face."""
    before = dent
    for i in range(at + 1, len(places)):
        height = nose_height(i, line, bent, nose, grid, to_inside)
        cover = height - best + dent if height > 0.0 else -dent
        if cover < 0.0:
            return float(places[i - 1] + (places[i] - places[i - 1]) * before / (before - cover) - places[at])
        before = cover
    return 0.0


@inner
@borrows
def place_on_line(places: Array, line: Array, bent: Array, place: float, out: Array) -> None:
    """Angle, x, y and curvature of the line at a place."""
    i = 0
    while i < len(places) - 2 and places[i + 1] < place:
        i += 1
    share = (place - places[i]) / (places[i + 1] - places[i])
    for column in range(3):
        out[column] = line[i, column] + share * (line[i + 1, column] - line[i, column])
    out[3] = bent[i] + share * (bent[i + 1] - bent[i])


@inner
@borrows
def nose_moment(d: float, mirrored: float, spread: float) -> float:
    """Moment per nose force: arm ``d`` of the near contact, ``mirrored`` of the far one, both spread evenly over +- spread."""
    total = 0.0
    if d >= spread:
        total = d
    elif d > -spread:
        total = (spread + d) ** 2 / (4.0 * spread)
    if mirrored > -spread:
        total += (spread + mirrored) ** 2 / (4.0 * spread)
    return total


@compiled
@borrows
def moments(
    places: Array, line: Array, length: float, die: Array, nose: Array, spread: float, moment: Array, shear: Array
) -> None:
    """Moment and shear force at every place per die force of 1.

    ``die``: x, y of the contact below the sheet, x and y of the force. ``nose``: x, y of the contact on the inner face, tilt,
    place, height of the apex.
    """
    slope, secant = tan(nose[2]), 1.0 / cos(nose[2])
    wide = spread * secant
    for i in range(len(places)):
        moment[i], shear[i] = 0.0, 0.0
        if places[i] >= length:
            continue
        x, y = line[i, 1], nose[4] + line[i, 2]
        arm = (nose[0] - x) + (nose[1] - y) * slope
        mirrored = -(places[i] + nose[3]) * secant
        moment[i] = (die[0] - x) * die[3] - (die[1] - y) * die[2] - die[3] * nose_moment(arm, mirrored, wide)
        across = die[3] * cos(line[i, 0]) - die[2] * sin(line[i, 0])
        inward, outward = nose[3] - places[i], -places[i] - nose[3]
        for u in (inward, outward):
            across -= die[3] * min(max((spread + u) / (2.0 * spread), 0.0), 1.0)
        shear[i] = max(across, 0.0)
