"""Bending of one section of a sheet, fibre by fibre, in small steps of curvature (compiled).

Lengths in sheet thicknesses. The sheet is incompressible and in plane strain; a fibre at reference area A (0 inside, 1
outside) stands at the radius r(A) = sqrt(ri^2 + 2 A/q) when the curvature, angle per undeformed length, is q. Its strain is
ln(r q). Fibres that are first pressed and then stretched, as the neutral axis moves inward, are followed through the turn.
"""

from __future__ import annotations

from math import exp, log, sqrt

import numpy as np
from numpy.typing import NDArray

from bendwright.compiled import borrows, compiled, inner

Array = NDArray[np.float64]
SWIFT, VOCE = 0, 1
NEWTON_STEPS, RETURN_STEPS = 40, 25


@inner
@borrows
def flow_stress(strain: float, law: int, k: float, shift: float, power: float, first: float) -> tuple[float, float]:
    """Flow stress at a plastic strain and its slope [MPa]; Swift k (shift + e)^power, Voce k - (k - first) exp(-shift e)."""
    if law == SWIFT:
        base = shift + strain
        stress = k * base**power
        return stress, power * stress / base
    rest = (k - first) * exp(-shift * strain)
    return k - rest, shift * rest


@inner
@borrows
def next_stress(
    trial: float,
    hard: float,
    modulus: float,
    ratio: float,
    law: int,
    k: float,
    shift: float,
    power: float,
    first: float,
) -> tuple[float, float, float]:
    """Stress, strain hardened so far and tangent modulus of a fibre after an elastic guess ``trial`` [MPa].

    ``hard`` is the equivalent plastic strain before; ``ratio`` turns a plane-strain stretch into an equivalent one.
    """
    flow, slope = flow_stress(hard, law, k, shift, power, first)
    size = abs(trial)
    if size <= ratio * flow:
        return trial, hard, modulus
    step = (size - ratio * flow) / modulus
    for _ in range(RETURN_STEPS):
        flow, slope = flow_stress(hard + ratio * step, law, k, shift, power, first)
        missing = size - modulus * step - ratio * flow
        change = missing / (modulus + ratio * ratio * slope)
        step += change
        if abs(change) <= 1e-13 + 1e-10 * step:
            break
    stress = size - modulus * step
    tangent = modulus * ratio * ratio * slope / (modulus + ratio * ratio * slope)
    return (stress if trial > 0.0 else -stress), hard + ratio * step, tangent


@inner
@borrows
def pull_of(
    inside: float,
    q: float,
    stress: Array,
    hard: Array,
    strain: Array,
    curve: Array,
    new_stress: Array,
    new_hard: Array,
) -> tuple[float, float]:
    """Integral of stress over r and its slope, for a guess of the inside radius; fills the new state of the fibres.

    ``curve``: modulus, plane-strain ratio, law, k, shift, power, first.
    """
    fibres, modulus, law = len(stress), curve[0], int(curve[2])
    pull, slope = 0.0, 0.0
    for j in range(fibres):
        square = inside * inside + 2.0 * (j + 0.5) / fibres / q
        trial = stress[j] + modulus * (0.5 * log(square * q * q) - strain[j])
        found, set_, tangent = next_stress(
            trial, hard[j], modulus, curve[1], law, curve[3], curve[4], curve[5], curve[6]
        )
        new_stress[j], new_hard[j] = found, set_
        weight = 1.0 / (fibres * q * square)
        pull += found * weight
        slope += weight * inside / square * (tangent - 2.0 * found)
    return pull, slope


@compiled
def bend_section(curvatures: Array, fibres: int, curve: Array) -> Array:
    """Moment over t^2 [MPa] and inside radius over t for rising curvatures (times t); rows as given.

    At every curvature the inside radius is found for which the inner face is free of pressure when the outer one is:
    the integral of stress over r vanishes. The moment is half the integral of stress over area and curvature.
    """
    out = np.zeros((len(curvatures), 2))
    stress, hard, strain = np.zeros(fibres), np.zeros(fibres), np.zeros(fibres)
    new_stress, new_hard = np.zeros(fibres), np.zeros(fibres)
    neutral = 0.5
    for row in range(len(curvatures)):
        q = curvatures[row]
        inside = sqrt(max(1.0 / (q * q) - 2.0 * neutral / q, 1e-12))
        low, high = 0.0, 1.0 / q
        for _ in range(NEWTON_STEPS):
            pull, slope = pull_of(inside, q, stress, hard, strain, curve, new_stress, new_hard)
            low, high = (low, inside) if pull > 0.0 else (inside, high)
            next_inside = inside - pull / slope if slope > 0.0 else 0.0
            if not low < next_inside < high:
                next_inside = 0.5 * (low + high)
            change, inside = next_inside - inside, next_inside
            if abs(change) < 1e-14 * inside:
                break
        moment = 0.0
        for j in range(fibres):
            square = inside * inside + 2.0 * (j + 0.5) / fibres / q
            strain[j] = 0.5 * log(square * q * q)
            stress[j], hard[j] = new_stress[j], new_hard[j]
            moment += 0.5 * stress[j] / (fibres * q)
        neutral = 0.5 * q * (1.0 / (q * q) - inside * inside)
        out[row, 0], out[row, 1] = moment, inside
    return out
