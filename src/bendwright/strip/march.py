"""The stroke of an air bend in small steps of angle, each from the one before (compiled). Lengths in sheet thicknesses."""

from __future__ import annotations

from math import cos, hypot, sin, tan

import numpy as np
from numpy.typing import NDArray

from bendwright.compiled import borrows, compiled, inner
from bendwright.strip.curvature import bend_to, segment
from bendwright.strip.shape import (
    half_contact,
    lay_out,
    look_up,
    moments,
    place_on_line,
    reach_of,
    touch_of_nose,
)

Array = NDArray[np.float64]
RESULTS = 12
DENT_SETTLES = 4.0
"""The dent under the nose is at its full depth when the curvature has passed about a quarter: tanh(4 q)."""
CORE_SHEAR = 0.69
"""Share of (Q/(k t))^2 of the moment lost to shear: the mean of 1 (the core carries it) and 3/8 (a parabola)."""
SHEAR_FLOW = 0.375
"""Plastic shear of a section per shear force and curvature: the mean of 3/4 (a parabola) and 0 (the core carries it)."""
ELASTIC_SHEAR = 1.2
SHORTEST_FACE = 0.5
"""Share of its length to which the inner face is taken to shorten at most: sharper folds are those between two contacts."""
FOLLOW = 0.3
"""Share by which the touch of the nose follows the shape at each round."""


@inner
@borrows
def shear_angles(
    places: Array, bent: Array, seen: Array, across: Array, force: float, numbers: Array, law: Array, state: Array
) -> None:
    """Fill ``state``: shear angle, plastic part of it, moment lost per force squared. Plastic shear grows with curvature."""
    stiffness = numbers[6]
    for i in range(len(places) - 1):
        shear = 0.5 * (across[i] + across[i + 1])
        now, before = 0.5 * (bent[i] + bent[i + 1]), 0.5 * (seen[i] + seen[i + 1])
        state[1, i] = state[3, i]
        if now > before:
            state[1, i] += SHEAR_FLOW * force * shear / look_up(0.5 * (now + before), law[0], law[2]) * (now - before)
        state[0, i] = state[1, i] + ELASTIC_SHEAR * force * shear / stiffness
        state[2, i] = 0.0
        if now > numbers[5]:
            state[2, i] = CORE_SHEAR * (2.0 * across[i] / look_up(bent[i], law[0], law[2])) ** 2


@inner
@borrows
def die_contact(turn: float, numbers: Array, out: Array) -> float:
    """Contact below the sheet and unit force there, for a leg turned by ``turn``; x of the line of centroids above it."""
    centre, shoulder, friction = numbers[0], numbers[1], numbers[3]
    out[0], out[1] = centre - shoulder * sin(turn), shoulder * (cos(turn) - 1.0)
    out[2], out[3] = friction * cos(turn) - sin(turn), cos(turn) + friction * sin(turn)
    return float(out[0] - 0.5 * sin(turn))


@inner
def let_go(
    places: Array, bent: Array, shear: Array, moment: Array, step: int, share: float, law: Array, out: Array
) -> None:
    """Shape without tools: springback angle, turn left, height where the line of the leg meets the bend plane, leg."""
    line = np.zeros(4)
    spring = 0.0
    give = moment[0] * look_up(bent[0], law[0], law[6])
    left = bent[0] - give
    for i in range(step + 1):
        part = 1.0 if i < step else share
        length = part * (places[i + 1] - places[i])
        next_bent = bent[i] + part * (bent[i + 1] - bent[i])
        next_give = moment[i + 1] * look_up(next_bent, law[0], law[6]) if i < step else 0.0
        spring += 0.5 * length * (give + next_give)
        next_left = next_bent - next_give
        tilt = line[0] + length * (2.0 * left + next_left) / 6.0 + shear[i]
        run = length * look_up(0.5 * (bent[i] + next_bent), law[0], law[3])
        line[0] += 0.5 * length * (left + next_left)
        line[1] += run * cos(tilt)
        line[2] += run * sin(tilt)
        give, left = next_give, next_left
    foot = line[2] - tan(line[0]) * line[1]
    out[0], out[1], out[2] = spring, line[0], foot
    out[3] = hypot(line[1], line[2] - foot) + 0.5 * tan(line[0])


@inner
@borrows
def moments_let_go(
    places: Array, line: Array, length: float, die: Array, nose: Array, force: float, moment: Array
) -> None:
    """True moments under the tools, the nose pressing at points: what the release takes back."""
    for i in range(len(places)):
        moment[i] = 0.0
        if places[i] < length:
            x, y = line[i, 1], nose[4] + line[i, 2]
            arm = max((nose[0] - x) + (nose[1] - y) * tan(nose[2]), 0.0)
            moment[i] = force * ((die[0] - x) * die[3] - (die[1] - y) * die[2] - die[3] * arm)


@inner
def find_contacts(
    turn: float,
    places: Array,
    line: Array,
    bent: Array,
    numbers: Array,
    law: Array,
    die: Array,
    nose: Array,
    grip: Array,
) -> bool:
    """Where die and nose hold the strip as it is laid out; False when it does not reach the die.

    ``grip``: touch of the nose, how far its pressure reaches outward, dent, height of the nose centre, spread of its load,
    contact on the die, and the step and share of it where that lies.
    """
    edge = die_contact(turn, numbers, die)
    step, share = reach_of(line, edge)
    if step < 0 or edge <= 0.0:
        return False
    nose[4] = die[1] + 0.5 * cos(turn) - line[step, 2] - share * (line[step + 1, 2] - line[step, 2])
    best, found, at = touch_of_nose(places, line, bent, step, numbers[2], law[0], law[4])
    if best < 0.0:
        return False
    grip[8] = abs(found - grip[0])
    grip[0] += FOLLOW * (found - grip[0])
    cover = half_contact(places, line, bent, at, best, grip[2], numbers[2], law[0], law[4])
    grip[1] += 0.5 * (cover - grip[1])
    here = np.zeros(4)
    place_on_line(places, line, bent, grip[0], here)
    depth = look_up(here[3], law[0], law[4])
    nose[2], nose[3] = (here[0] if grip[0] > 0.0 else 0.0), grip[0]
    nose[0], nose[1] = here[1] - depth * sin(nose[2]), nose[4] + here[2] + depth * cos(nose[2])
    grip[3], grip[5] = best, places[step] + share * (places[step + 1] - places[step])
    grip[6], grip[7], grip[9] = step, share, here[3]
    return True


@inner
@borrows
def spread_of_load(sharpest: float, cover: float, numbers: Array, law: Array) -> float:
    """Half width over which the nose load acts on the line.

    The spread through the pressed half of the sheet, longer where its inner face has shortened to ri q of its length, and
    half of the contact, whose pressure falls off to its edge.
    """
    shortened = look_up(sharpest, law[0], law[5]) * max(sharpest, 1e-9)
    return float(numbers[7] / min(max(shortened, SHORTEST_FACE), 1.0) ** 2 + 0.5 * cover)


@inner
@borrows
def one_angle(
    turn: float,
    force: float,
    sharpest: float,
    places: Array,
    line: Array,
    held: Array,
    state: Array,
    numbers: Array,
    law: Array,
    die: Array,
    nose: Array,
    grip: Array,
    limits: Array,
) -> float:
    """Bring shape, contacts and moments into agreement at one leg turn; the force, -1 when the strip slips off.

    ``held`` rows: curvature, largest so far, left without moment, moment per force, shear per force, curvature before,
    curvature that growth counts from: that of the last angle while the sheet lies on the nose, none once it has lifted.
    ``limits``: most rounds, how close. ``grip[10]`` counts the rounds.
    """
    grip[10] = 0.0
    while grip[10] < limits[0]:
        grip[10] += 1.0
        lay_out(places, held[0], state[0], law[0], law[3], line)
        if not find_contacts(turn, places, line, held[0], numbers, law, die, nose, grip):
            return -1.0
        grip[4] = spread_of_load(sharpest, grip[1], numbers, law)
        moments(places, line, grip[5], die, nose, grip[4], held[3], held[4])
        shear_angles(places, held[0], held[1], held[4], force, numbers, law, state)
        if force <= 0.0:
            force = turn * numbers[4] * 2.0 / numbers[0] / held[3, 0]
        step, share = int(grip[6]), grip[7]
        lying = numbers[9] * max(0.0, 1.0 - grip[0] / grip[4])
        for i in range(len(places)):
            held[6, i] = held[1, i] * lying
        force = bend_to(turn, force, places, step, share, held[3], state[2], held[2], held[6], law, numbers[5], held[0])
        if force < 0.0:
            return -1.0
        moved = 0.0
        for i in range(len(places)):
            moved = max(moved, abs(held[0, i] - held[5, i]))
            held[5, i] = held[0, i]
        if moved < limits[1] and grip[8] < 30.0 * limits[1]:
            break
    return force


@compiled
def report(
    turn: float,
    force: float,
    deepest: float,
    sharpest: float,
    places: Array,
    line: Array,
    held: Array,
    state: Array,
    numbers: Array,
    law: Array,
    die: Array,
    nose: Array,
    grip: Array,
    out: Array,
) -> None:
    """Fill one row of results from the strip as it stands."""
    free = np.zeros(4)
    step, length = int(grip[6]), grip[5]
    moments_let_go(places, line, length, die, nose, force, held[3])
    let_go(places, held[0], state[0], held[3], step, grip[7], law, free)
    inner = look_up(sharpest, law[0], law[4]) - deepest
    foot = nose[4] + line[step, 2] - tan(turn) * line[step, 1] - 0.5 / cos(turn)
    out[0] = 1.0 - (nose[4] + grip[3] - numbers[2] - grip[2])
    out[1], out[2] = 2.0 * force * die[3], free[0]
    out[3] = (inner - free[2] - 0.5 / cos(free[1])) / (1.0 / cos(free[1]) - 1.0)
    out[4] = 2.0 * (free[3] - length)
    out[5], out[6] = look_up(sharpest, law[0], law[7]), look_up(sharpest, law[0], law[8]) - deepest
    out[7], out[8], out[9], out[10] = grip[0], length, deepest, grip[10]
    out[11] = hypot(die[0], die[1] - foot)


@inner
@borrows
def look_ahead(bent: Array, grew: Array, share: float) -> None:
    """Begin the next angle where the last growth leads."""
    for i in range(len(bent)):
        bent[i] += share * grew[i]


@compiled
def march(turns: Array, places: Array, numbers: Array, law: Array, limits: Array, results: Array) -> int:
    """One row of ``results`` for each leg turn [rad]; how many were reached.

    ``numbers``: half distance of the shoulder centres, shoulder radius, nose radius, friction, elastic modulus of the
    section, first yield, shear stiffness, spread, dent, memory (1: growth counts from angle to angle; 0: from the start).
    ``law`` rows: curvature, moment, flow stress, stretch, to inside, inside radius, give, strain, thickness.
    ``results``: depth, force, springback, inside radius, deduction, outer strain, thickness in the middle, touch of the
    nose, contact on the die, dent, rounds, leg to the contact.
    """
    count = len(places)
    held, state, line = np.zeros((7, count)), np.zeros((4, count)), np.zeros((count, 3))
    die, nose, grip = np.zeros(4), np.zeros(5), np.zeros(11)
    deepest, sharpest, force = 0.0, 0.0, 0.0
    for i in range(count):
        held[0, i] = max(0.0, 2.0 * turns[0] / numbers[0] * (1.0 - places[i] / numbers[0]))
    grew = np.zeros(count)
    for row in range(len(turns)):
        turn = turns[row]
        if row > 1:
            look_ahead(held[0], grew, (turn - turns[row - 1]) / (turns[row - 1] - turns[row - 2]))
        force = one_angle(turn, force, sharpest, places, line, held, state, numbers, law, die, nose, grip, limits)
        if force < 0.0:
            return row
        for i in range(count):
            grew[i] = max(held[0, i] - held[1, i], 0.0)
        keep(places, held[0], held[1], held[2], state, law, numbers[4])
        sharpest, deepest = max(sharpest, held[0, 0]), max(deepest, grip[2])
        report(turn, force, deepest, sharpest, places, line, held, state, numbers, law, die, nose, grip, results[row])
        flow = look_up(grip[9], law[0], law[2])
        lying = max(0.0, 1.0 - grip[0] / grip[4])
        grip[2] = numbers[8] * lying * results[row, 1] / flow * np.tanh(DENT_SETTLES * grip[9])
    return len(turns)


@compiled
@borrows
def keep(places: Array, bent: Array, seen: Array, set_: Array, state: Array, law: Array, modulus: float) -> None:
    """Remember what cannot be undone: curvature left without moment, largest curvature, plastic shear."""
    low = np.int64(0)
    for i in range(len(places)):
        low = segment(bent[i], law[0], low)
        slope = (law[1, low + 1] - law[1, low]) / (law[0, low + 1] - law[0, low])
        left = bent[i] - (law[1, low] + slope * (bent[i] - law[0, low])) / modulus
        set_[i], seen[i] = max(set_[i], left), max(seen[i], bent[i])
        state[3, i] = max(state[3, i], state[1, i])
