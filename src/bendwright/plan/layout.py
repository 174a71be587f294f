"""Where do the stations stand along the bed, and does the part pass the side frames?

Stations of one closed height hang together and share the bed; each such set-up is laid out by itself.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from bendwright.plan.backwards import Step
from bendwright.plan.evidence import posed_bodies
from bendwright.plan.places import stack_start
from bendwright.plan.pressing import place_of_pair
from bendwright.plan.solution import Solution
from bendwright.plan.stations import Station, set_ups
from bendwright.plan.tables import Tables
from bendwright.said import say
from bendwright.shop.brake import Brake

GAP_MM = 20.0


@dataclass(frozen=True, slots=True)
class OnBed:
    """One stack on the bed: working length, how far the part sticks out beyond its ends and reaches behind it [mm], the
    longest bend made there, the closed height, and how far a bend itself reaches beyond an end.
    """

    length_mm: float
    left_mm: float
    right_mm: float
    behind_mm: float
    longest_mm: float
    height_mm: float
    over_mm: float


@dataclass(frozen=True, slots=True)
class Layout:
    """Left ends of the stations on the bed [mm], the longest set-up, and complaints (empty = it fits)."""

    left_ends_mm: tuple[float, ...]
    total_mm: float
    complaints: tuple[str, ...]


def lay_out(solution: Solution) -> Layout:
    """Side by side with room for the part between them, the longest bend of a set-up as near the middle of the bed as can be.

    At a flattening station the sheet is held in front: nothing is counted behind it.
    """
    tables, brake = solution.tables, solution.tables.situation.brake
    items = [_on_bed(tables, solution.steps, station, k) for k, station in enumerate(solution.stations)]
    hung = set_ups([item.height_mm for item in items])
    left = [0.0] * len(items)
    longest = 0.0
    for one in dict.fromkeys(hung):
        group = [k for k, own in enumerate(hung) if own == one]
        starts, total = _side_by_side([items[k] for k in group], brake)
        longest = max(longest, total)
        for k, start in zip(group, starts, strict=True):
            left[k] = start
    return Layout(tuple(left), longest, tuple(_complaints(brake, longest, left, items)))


def _side_by_side(items: Sequence[OnBed], brake: Brake) -> tuple[list[float], float]:
    """Left ends of one set-up in the order that needs the least bed, and the bed it needs [mm]."""
    best: tuple[float, list[float]] | None = None
    for order in itertools.permutations(range(len(items))):
        starts, at = [0.0] * len(items), 0.0
        for i, k in enumerate(order):
            if i:
                at += max(items[order[i - 1]].right_mm, items[k].left_mm, 0.0) + GAP_MM
            starts[k] = at
            at += items[k].length_mm
        if best is None or at < best[0] - 1e-9:
            best = (at, starts)
    assert best is not None
    total, starts = best
    heavy = max(range(len(items)), key=lambda k: (items[k].longest_mm, -k))
    over = max(item.over_mm for item in items)
    shift = _shift(brake, total, starts[heavy] + 0.5 * items[heavy].length_mm, over)
    return [start + shift for start in starts], total


def _shift(brake: Brake, total: float, heavy_middle: float, over: float) -> float:
    """How far to move everything along so that the heavy middle comes to the bed's, no bend beyond its ends where that can be."""
    if brake.bed_length_mm is None:
        return 0.0
    wanted, spare = 0.5 * brake.bed_length_mm - heavy_middle, max(brake.bed_length_mm - total, 0.0)
    least = min(over, 0.5 * spare)
    return min(max(wanted, least), spare - least)


def _on_bed(tables: Tables, steps: Sequence[Step], station: Station, number: int) -> OnBed:
    length = max(station.punch_stack.length_mm, station.die_stack.length_mm)
    left = right = behind = longest = over = 0.0
    for step in steps:
        if step.station != number:
            continue
        start = start_of(tables, step, station)
        bodies = posed_bodies(tables, step)
        low = start - min(b.low_w for b in bodies)
        high = max(b.high_w for b in bodies) - start - station.punch_stack.length_mm
        if step.side == 0:
            low, high = high, low
        left, right = max(left, low), max(right, high)
        span = tables.around[step.move].span
        over = max(over, start - span[0], span[1] - start - station.punch_stack.length_mm)
        if station.flattens:
            continue
        behind = max(behind, *(float(b.ring[:, 0].max()) for b in bodies if b.side == step.side))
        longest = max(longest, bent_mm(tables, step))
    return OnBed(length, left, right, behind, longest, station.slot.closed_height_mm, over)


def start_of(tables: Tables, step: Step, station: Station) -> float:
    """Where the punch stack begins along the bend (w) [mm]."""
    flat = tables.situation.pairs.get(tables.moves[step.move].pair)
    if flat is not None:
        return place_of_pair(tables.situation, tables.around[step.move], flat, step.mask)
    return stack_start(tables, step, station)


def bent_mm(tables: Tables, step: Step) -> float:
    """Length of material bent by a stroke [mm]."""
    return sum(tables.situation.bend_length_mm(bend) for bend in tables.moves[step.move].bends)


def _complaints(brake: Brake, total: float, left: Sequence[float], items: Sequence[OnBed]) -> list[str]:
    out = []
    if brake.bed_length_mm is not None and total > brake.bed_length_mm + 1e-6:
        out.append(say("order.bed_too_short", total=total, brake=brake.id, bed_length_mm=brake.bed_length_mm))
    if brake.between_frames_mm is None or brake.throat_mm is None or brake.bed_length_mm is None:
        return out
    half_free, middle = 0.5 * brake.between_frames_mm, 0.5 * brake.bed_length_mm
    for k, item in enumerate(items):
        ends = (left[k] - item.left_mm, left[k] + item.length_mm + item.right_mm)
        beyond = max(middle - half_free - ends[0], ends[1] - middle - half_free)
        if beyond > 1e-6 and item.behind_mm > brake.throat_mm:
            out.append(
                say("order.side_frame", k=k + 1, behind_mm=item.behind_mm, beyond=beyond, throat_mm=brake.throat_mm)
            )
    return out
