"""Everything the order search asks, worked out once: clearances, windows, gauge stops for every set of done bends."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from bendwright.geometry.boxes import pose_boxes
from bendwright.geometry.pair_table import pair_table
from bendwright.geometry.rigid import Array
from bendwright.geometry.swing_table import body_table
from bendwright.plan import kernels
from bendwright.plan.situation import SIDES, Situation
from bendwright.shop.tools import Punch
from bendwright.stroke.bodies import BendFrame, Body, bend_frame, bodies_of
from bendwright.stroke.tooling import (
    PackedTools,
    ToolClass,
    is_symmetric,
    machine_classes,
    pack_classes,
    punch_classes,
)

TOLERANCE_MM = 0.02
SELF_CAP_MM = 0.5
RELIEF_MM = 0.25
MOST_PATH = 24
Ints = np.ndarray[Any, np.dtype[np.int64]]


@dataclass(frozen=True, slots=True)
class BendBodies:
    """The bodies around one bend, parent's side first, with their frames, the packed numbers of their paths, and how far a
    relieved tool end may reach into each [mm].
    """

    bodies: tuple[tuple[int, Body], ...]
    frames: tuple[BendFrame, BendFrame]
    rows: Ints
    bits: Ints
    ease: Array
    row_count: int


@dataclass(frozen=True, slots=True)
class PunchTables:
    """Answers for one punch: see ``kernels.join_bend``; first index is the bend, second the mask."""

    punch: Punch
    classes: tuple[ToolClass, ...]
    windows: Array
    worst: Array
    who: Ints
    sides: Array


@dataclass(frozen=True, slots=True)
class GaugeTables:
    """Best stop for each bend, side at the back and mask: number (-1 none) and (x, r, low w, high w, rank)."""

    best: Ints
    value: Array


def collect_bodies(situation: Situation) -> tuple[BendBodies, ...]:
    """Bodies, frames and path numbers of every bend."""
    return tuple(_bodies(situation, i) for i in range(len(situation.part.bends)))


def _bodies(situation: Situation, bend: int) -> BendBodies:
    part, blank = situation.part, situation.blank
    line = situation.lines[bend]
    found = [(s, body) for s, side in enumerate(SIDES) for body in bodies_of(part, blank, line.bend_id, side)]
    rows = np.zeros((len(found), 5), dtype=np.int64)
    ease = np.zeros(len(found))
    bits = np.zeros((len(found), MOST_PATH), dtype=np.int64)
    offset = 0
    for i, (side, body) in enumerate(found):
        zone = -1 if body.zone is None else body.zone
        rows[i] = (offset, len(body.path), zone, int(body.zone_done), side)
        if body.zone is not None and body.zone_done and not _parallel(situation, bend, body.zone):
            radius = blank.size(part.bends[body.zone].id).inside_radius_mm
            ease[i] = end_ease_mm(radius, situation.practice.end_clearance_mm)
        bits[i, : len(body.path)] = body.path
        offset += 1 << len(body.path)
    frames = (bend_frame(blank, line, "parent"), bend_frame(blank, line, "child"))
    return BendBodies(tuple(found), frames, rows, bits, ease, offset)


def end_ease_mm(radius_mm: float, clearance_mm: float) -> float:
    """How far a tool end may reach past the tangent line of a wall standing across it [mm].

    A square corner at distance c from the wall's inner face overlaps its inside radius r by hypot(r - c, r) - r. Tool ends
    are relieved a little: up to ``RELIEF_MM`` is let pass, which asks c >= r - sqrt(2 r relief + relief^2).
    """
    need = radius_mm - math.sqrt(2.0 * radius_mm * RELIEF_MM + RELIEF_MM**2)
    return radius_mm - max(0.0, need - clearance_mm)


def _parallel(situation: Situation, first: int, second: int) -> bool:
    (a, b) = (situation.lines[i] for i in (first, second))
    ax, ay = a.end[0] - a.start[0], a.end[1] - a.start[1]
    bx, by = b.end[0] - b.start[0], b.end[1] - b.start[1]
    return bool(abs(ax * by - ay * bx) < 1e-3 * np.hypot(ax, ay) * np.hypot(bx, by))


def body_boxes(situation: Situation, around: tuple[BendBodies, ...]) -> tuple[Array, ...]:
    """Box of every body at every pose in its bend's frame: (u low, u high, v low, v high, w low, w high); sheet flat."""
    out = []
    for item in around:
        boxes = np.zeros((item.row_count, 6))
        for i, (side, body) in enumerate(item.bodies):
            start = item.rows[i, 0]
            count = 1 << len(body.path)
            frame = item.frames[side]
            boxes[start : start + count] = pose_boxes(body.cloud, body.turns, body.moves, frame.turn, frame.move)
        out.append(boxes)
    return tuple(out)


def span_of(frame: BendFrame) -> tuple[float, float]:
    """First and last material along the bend, in w [mm]."""
    return frame.spans[0][0], frame.spans[-1][1]


def die_gaps(situation: Situation, around: tuple[BendBodies, ...]) -> tuple[Array, ...]:
    """Gaps of every body to the die and the bed, which no punch changes: per bend (rows, 2)."""
    out = []
    for i, item in enumerate(around):
        classes = machine_classes(situation.brake, 0.0, situation.dies[i])[1:]
        out.append(_gaps(situation, i, item, pack_classes(classes)))
    return tuple(out)


def punch_tables(
    situation: Situation,
    around: tuple[BendBodies, ...],
    boxes: tuple[Array, ...],
    below: tuple[Array, ...],
    punch: Punch,
) -> PunchTables:
    """Swing every body of every bend past the punch (both ways round) and the ram; join with the die's answers (``below``)."""
    n = len(around)
    full = 1 << n
    windows = np.zeros((n, full, 2, 4, 2))
    windows[..., 0], windows[..., 1] = -kernels.FAR, kernels.FAR
    worst = np.full((n, full, 2, 3), kernels.FAR)
    who = np.full((n, full, 2, 3, 2), -1, dtype=np.int64)
    sides = np.zeros((n, full, 2, 2))
    straight = punch_classes(punch)
    same = is_symmetric(punch.outline)
    classes: list[ToolClass] = []
    for i, item in enumerate(around):
        die = situation.dies[i]
        classes = [
            *straight,
            *(c.mirrored() for c in straight),
            *machine_classes(situation.brake, punch.height_mm, die),
        ]
        ram = classes[2 * len(straight)]
        met = [*straight, ram] if same else [*classes[: 2 * len(straight)], ram]
        own = _gaps(situation, i, item, pack_classes(met))
        twice = [own[:, :-1], own[:, :-1]] if same else [own[:, :-1]]
        gaps = np.ascontiguousarray(np.hstack([*twice, own[:, -1:], below[i]]))
        kernels.join_bend(
            i,
            n,
            item.rows,
            item.bits,
            item.ease,
            gaps,
            boxes[i],
            np.array(span_of(item.frames[1])),
            situation.practice.max_uncovered_end_mm,
            len(straight),
            2 * len(straight),
            windows[i],
            worst[i],
            who[i],
            sides[i],
        )
    return PunchTables(punch, tuple(classes), windows, worst, who, sides)


def _gaps(situation: Situation, bend: int, item: BendBodies, packed: PackedTools) -> Array:
    swing = situation.verdicts[bend].swing
    assert swing is not None
    cap = situation.practice.clearance_watch_mm
    gaps = np.zeros((item.row_count, len(packed.moving)))
    for i, (side, body) in enumerate(item.bodies):
        frame = item.frames[side]
        start = item.rows[i, 0]
        table = body_table(
            body.cloud,
            body.turns,
            body.moves,
            frame.turn,
            frame.move,
            packed.rings,
            packed.counts,
            packed.beside_rings,
            packed.beside_counts,
            packed.moving,
            swing.kernel_numbers,
            cap,
            TOLERANCE_MM,
        )
        gaps[start : start + len(table)] = table
    return gaps


def self_tables(situation: Situation, around: tuple[BendBodies, ...]) -> Array:
    """Smallest separation of the part from itself [bend, mask], capped."""
    n = len(around)
    gap = np.full((n, 1 << n), kernels.FAR)
    for i, item in enumerate(around):
        swing = situation.verdicts[i].swing
        assert swing is not None
        bend = situation.part.bends[i]
        plates = [[b for s, b in item.bodies if s == side and b.zone is None] for side in (0, 1)]
        rows, a_bits, b_bits, tables = [], [], [], []
        offset = 0
        for a in plates[0]:
            for b in plates[1]:
                if a.flange_id == bend.parent and b.flange_id == bend.child:
                    continue
                f, g = item.frames
                table = pair_table(
                    a.cloud, a.turns, a.moves, f.turn, f.move, b.cloud, b.turns, b.moves, g.turn, g.move,
                    swing.kernel_numbers, SELF_CAP_MM, TOLERANCE_MM,
                )  # fmt: skip
                rows.append((offset, len(a.path), len(b.path), table.shape[1]))
                a_bits.append(_padded(a.path))
                b_bits.append(_padded(b.path))
                tables.append(table.ravel())
                offset += table.size
        if rows:
            kernels.join_pairs(
                i, n, np.array(rows, dtype=np.int64), np.array(a_bits), np.array(b_bits), np.concatenate(tables), gap[i]
            )
    return gap


def _padded(path: tuple[int, ...]) -> Ints:
    out = np.zeros(MOST_PATH, dtype=np.int64)
    out[: len(path)] = path
    return out
