"""Where do the stations stand along the bed, and does the part pass the side frames?"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bendwright.geometry.rigid import Array
from bendwright.plan.evidence import posed_bodies, stack_start
from bendwright.plan.search import Prepared, Solution, Step
from bendwright.plan.stations import Station
from bendwright.shop.brake import Brake

GAP_MM = 20.0


@dataclass(frozen=True, slots=True)
class Overhang:
    """How far the part sticks out beyond a stack's ends [mm], seen by the operator, and how deep it reaches behind."""

    left_mm: float
    right_mm: float
    behind_mm: float


@dataclass(frozen=True, slots=True)
class Layout:
    """Left ends of the stations on the bed [mm], total length needed, and complaints (empty = it fits)."""

    left_ends_mm: tuple[float, ...]
    total_mm: float
    complaints: tuple[str, ...]


def lay_out(solution: Solution) -> Layout:
    """Side by side with room for the part between them, the most loaded station as near the middle of the bed as possible."""
    prepared, brake = solution.prepared, solution.prepared.situation.brake
    count = len(solution.stations)
    hang = [_overhang(prepared, solution.steps, solution.stations[k], k) for k in range(count)]
    lengths = [max(s.punch_stack.length_mm, s.die_stack.length_mm) for s in solution.stations]
    best: tuple[float, tuple[int, ...], list[float]] | None = None
    for order in itertools.permutations(range(count)):
        starts, at = [0.0] * count, 0.0
        for i, k in enumerate(order):
            if i:
                at += max(hang[order[i - 1]].right_mm, hang[k].left_mm, 0.0) + GAP_MM
            starts[k] = at
            at += lengths[k]
        if best is None or at < best[0] - 1e-9:
            best = (at, order, starts)
    assert best is not None
    total, _, starts = best
    heavy = max(range(count), key=lambda k: (_load(prepared, solution.steps, k), -k))
    shift = _shift(brake, total, starts[heavy] + 0.5 * lengths[heavy])
    left = tuple(start + shift for start in starts)
    return Layout(left, total, tuple(_complaints(brake, total, left, lengths, hang)))


def _shift(brake: Brake, total: float, heavy_middle: float) -> float:
    if brake.bed_length_mm is None:
        return 0.0
    wanted = 0.5 * brake.bed_length_mm - heavy_middle
    return min(max(wanted, 0.0), max(brake.bed_length_mm - total, 0.0))


def _load(prepared: Prepared, steps: Sequence[Step], station: int) -> float:
    situation = prepared.situation
    return max((situation.bend_length_mm(s.bend) for s in steps if s.station == station), default=0.0)


def _overhang(prepared: Prepared, steps: Sequence[Step], station: Station, number: int) -> Overhang:
    left = right = behind = 0.0
    for step in steps:
        if step.station != number:
            continue
        start = stack_start(prepared, step, station)
        bodies = posed_bodies(prepared, step)
        low = start - min(b.low_w for b in bodies)
        high = max(b.high_w for b in bodies) - start - station.punch_stack.length_mm
        if step.side == 0:
            low, high = high, low
        left, right = max(left, low), max(right, high)
        behind = max(behind, *(float(b.ring[:, 0].max()) for b in bodies if b.side == step.side))
    return Overhang(left, right, behind)


def _complaints(
    brake: Brake, total: float, left: Sequence[float], lengths: Sequence[float], hang: Sequence[Overhang]
) -> list[str]:
    out = []
    if brake.bed_length_mm is not None and total > brake.bed_length_mm + 1e-6:
        out.append(f"the stations need {total:.0f} mm of bed, brake {brake.id} has {brake.bed_length_mm:.0f} mm")
    if None in (brake.between_frames_mm, brake.throat_mm, brake.bed_length_mm):
        return out
    half_free = 0.5 * (brake.between_frames_mm or 0.0)
    middle = 0.5 * (brake.bed_length_mm or 0.0)
    for k, item in enumerate(hang):
        ends = (left[k] - item.left_mm, left[k] + lengths[k] + item.right_mm)
        beyond = max(middle - half_free - ends[0], ends[1] - middle - half_free)
        if beyond > 1e-6 and item.behind_mm > (brake.throat_mm or 0.0):
            out.append(
                f"at station {k + 1} the part reaches {item.behind_mm:.0f} mm behind the tools and {beyond:.0f} mm past a "
                f"side frame; the throat is {brake.throat_mm:.0f} mm"
            )
    return out


def sweeps_up(ring: Array, height_mm: float) -> BaseGeometry:
    """What a tool piece sweeps when it is drawn straight up by ``height_mm``."""
    lifted = np.vstack([ring, ring + np.array([0.0, height_mm])])
    return shapely.MultiPoint(lifted).convex_hull
