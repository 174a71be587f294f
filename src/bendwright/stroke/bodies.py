"""What of the part can run into something while one bend is made, and where it stands for any bends done before.

Frame of a bend: origin on the inner face in the middle of its zone, u outward to the child, v toward the punch, w = u x v
along the bend. The parent's side is mirrored (u -> -u) so that both sides swing the same way.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely

from bendwright.geometry.convex import convex_pieces
from bendwright.geometry.rigid import Array, Rigid
from bendwright.part.blank_model import BendLine, Blank
from bendwright.part.fold import bend_axes, bend_motion
from bendwright.part.model import Part, Point

Side = Literal["parent", "child"]
ARC_STEP_DEG = 45.0
FAR_MM = 1e5
SLIVER_MM2 = 0.01


@dataclass(frozen=True, slots=True)
class Body:
    """A convex piece of the part: cloud of points in blank space, the bends between it and the bend made (nearest first),
    the motion each of them gives, and, for bend zones, the bend that must be done (or not) for the piece to look so.
    """

    name: str
    flange_id: str
    cloud: Array
    path: tuple[int, ...]
    turns: Array
    moves: Array
    zone: int | None = None
    zone_done: bool = False


@dataclass(frozen=True, slots=True)
class BendFrame:
    """Blank space -> (u, v, w) of a bend for one side; ``spans`` are the material stretches along w [mm]."""

    turn: Array
    move: Array
    spans: tuple[tuple[float, float], ...]


def bend_frame(blank: Blank, line: BendLine, side: Side) -> BendFrame:
    """Frame of the bend for its parent's or its child's side."""
    axes = bend_axes(line)
    up = 1.0 if line.direction == "up" else -1.0
    v = np.array([0.0, 0.0, up])
    w = np.cross(axes.outward, v)
    u = axes.outward if side == "child" else -axes.outward
    turn = np.vstack([u, v, w])
    origin = axes.middle + 0.5 * blank.thickness_mm * v
    along_w = float(axes.along @ w)
    half = 0.5 * math.dist(line.start, line.end)
    spans = tuple(sorted(_ordered(along_w * (a - half), along_w * (b - half)) for a, b in line.spans))
    return BendFrame(np.ascontiguousarray(turn), -turn @ origin, spans)


def _ordered(a: float, b: float) -> tuple[float, float]:
    return (a, b) if a <= b else (b, a)


def bodies_of(part: Part, blank: Blank, bend_id: str, side: Side) -> list[Body]:
    """All bodies on one side of a bend: flat pieces of flanges, and the bend zones between them (flat and finished)."""
    index = {bend.id: i for i, bend in enumerate(part.bends)}
    made = part.bend(bend_id)
    start = made.child if side == "child" else made.parent
    own_line = {item.bend_id: item for item in blank.bend_lines}[bend_id]
    out: list[Body] = []
    for flange_id, path, motions in _reach(part, blank, start, bend_id):
        turns, moves = _stacked(motions)
        numbers = tuple(index[name] for name in path)
        for cloud in plate_clouds(blank, flange_id, cut=(own_line, side)):
            out.append(Body(f"flange {flange_id}", flange_id, cloud, numbers, turns, moves))
        for bend in part.bends:
            if bend.id == bend_id or bend.id in path or flange_id not in (bend.parent, bend.child):
                continue
            line = {item.bend_id: item for item in blank.bend_lines}[bend.id]
            far = bend.child if flange_id == bend.parent else bend.parent
            for done in (False, True):
                for cloud in zone_clouds(blank, line, done=done, from_parent=flange_id == bend.parent):
                    name = f"bend {bend.id}"
                    out.append(Body(name, far, cloud, numbers, turns, moves, index[bend.id], done))
    return out


def _reach(part: Part, blank: Blank, start: str, barred: str) -> Iterator[tuple[str, list[str], list[Rigid]]]:
    """Flanges on the start's side of the barred bend with the bends passed and the motion of each, nearest first."""
    lines = {line.bend_id: line for line in blank.bend_lines}
    waiting: list[tuple[str, list[str], list[Rigid]]] = [(start, [], [])]
    while waiting:
        flange_id, path, motions = waiting.pop(0)
        yield flange_id, path, motions
        for bend in part.bends:
            if bend.id == barred or bend.id in path or flange_id not in (bend.parent, bend.child):
                continue
            motion = bend_motion(blank, lines[bend.id], bend.turned_deg)
            if flange_id == bend.parent:
                waiting.append((bend.child, [*path, bend.id], [*motions, motion]))
            else:
                waiting.append((bend.parent, [*path, bend.id], [*motions, motion.inverse()]))


def _stacked(motions: Sequence[Rigid]) -> tuple[Array, Array]:
    turns = np.zeros((len(motions), 3, 3))
    moves = np.zeros((len(motions), 3))
    for i, motion in enumerate(motions):
        turns[i] = motion.turn
        moves[i] = motion.move
    return turns, moves


def plate_clouds(blank: Blank, flange_id: str, *, cut: tuple[BendLine, Side] | None = None) -> list[Array]:
    """Corner clouds of the convex pieces of a flange's flat piece (openings filled: on the safe side).

    With ``cut`` the piece is first parted along the tangent line of that bend on that side: what lies beyond it, beside the
    bend's end, is no leg but sheet that tools would press as well.
    """
    flat = {item.flange_id: item for item in blank.flats}[flange_id]
    half = 0.5 * blank.thickness_mm
    clouds = []
    for outline in [flat.outline] if cut is None else _parted(flat.outline, *cut):
        for ring in convex_pieces(outline):
            low = np.column_stack([ring, np.full(len(ring), -half)])
            high = np.column_stack([ring, np.full(len(ring), half)])
            clouds.append(np.ascontiguousarray(np.vstack([low, high])))
    return clouds


def _parted(outline: Sequence[Point], line: BendLine, side: Side) -> list[list[Point]]:
    """The outline on both sides of a bend's tangent line; slivers are dropped."""
    axes = bend_axes(line)
    outward = axes.outward[:2] if side == "child" else -axes.outward[:2]
    middle = axes.middle[:2] + 0.5 * line.zone_width_mm * outward
    along = axes.along[:2]
    shape = shapely.Polygon(outline)
    out = []
    for way in (1.0, -1.0):
        corners = [middle - FAR_MM * along, middle + FAR_MM * along]
        corners += [corner + way * FAR_MM * outward for corner in reversed(corners)]
        kept = shape.intersection(shapely.Polygon(corners))
        for part in getattr(kept, "geoms", [kept]):
            if part.geom_type == "Polygon" and part.area > SLIVER_MM2:
                ring = shapely.geometry.polygon.orient(part).exterior.coords
                out.append([(float(x), float(y)) for x, y in ring][:-1])
    return out


def zone_clouds(blank: Blank, line: BendLine, *, done: bool, from_parent: bool) -> list[Array]:
    """Clouds of a bend zone seen with one side held: one flat bar per span, or the finished arc in steps.

    An arc step is the hull of its chord on the inner face and of the tangents on the outer face: it covers the arc.
    """
    axes = bend_axes(line)
    half_length = 0.5 * math.dist(line.start, line.end)
    half = 0.5 * blank.thickness_mm
    outward = axes.outward if from_parent else -axes.outward
    zone = 0.5 * line.zone_width_mm
    corners: list[list[tuple[float, float]]] = []
    if not done:
        corners.append([(-zone, -half), (zone, -half), (zone, half), (-zone, half)])
    else:
        radius = blank.size(line.bend_id).inside_radius_mm
        sign = 1.0 if line.direction == "up" else -1.0
        steps = max(1, math.ceil(line.turned_deg / ARC_STEP_DEG))
        step = math.radians(line.turned_deg) / steps
        outer = (radius + blank.thickness_mm) / math.cos(0.5 * step)
        for i in range(steps):
            ends = (i * step, (i + 1) * step)
            ring = [(r * math.sin(t), r * math.cos(t)) for t in ends for r in (radius, radius + blank.thickness_mm)]
            ring.append((outer * math.sin(ends[0] + 0.5 * step), outer * math.cos(ends[0] + 0.5 * step)))
            corners.append([(x - zone, sign * (half + radius - y)) for x, y in ring])
    clouds = []
    for low, high in line.spans:
        for ring in corners:
            points = [
                axes.middle + x * outward + (s - half_length) * axes.along + np.array([0.0, 0.0, z])
                for x, z in ring
                for s in (low, high)
            ]
            clouds.append(np.ascontiguousarray(np.array(points)))
    return clouds
