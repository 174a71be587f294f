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
from shapely.geometry.base import BaseGeometry

from bendwright.geometry.rigid import Array, Rigid
from bendwright.part.blank_model import BendLine, Blank
from bendwright.part.fold import bend_axes, bend_motion
from bendwright.part.model import Bend, Part
from bendwright.part.plate_clouds import clouds_of, flat_shape, plate_clouds

Side = Literal["parent", "child"]
ARC_STEP_DEG = 45.0
FAR_MM = 1e5
SLIVER_MM2 = 0.01
ACROSS_MM = 1e-3


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


def bend_frame(blank: Blank, line: BendLine, side: Side, *, more: Sequence[BendLine] = ()) -> BendFrame:
    """Frame of the bend for its parent's or its child's side; ``more`` are bends on the same line made with it."""
    axes = bend_axes(line)
    up = 1.0 if line.direction == "up" else -1.0
    v = np.array([0.0, 0.0, up])
    w = np.cross(axes.outward, v)
    u = axes.outward if side == "child" else -axes.outward
    turn = np.vstack([u, v, w])
    origin = axes.middle + 0.5 * blank.thickness_mm * v
    spans = []
    for own in (line, *more):
        along = bend_axes(own).along
        first = float(w[:2] @ (np.array(own.start) - axes.middle[:2]))
        spans += [_ordered(first + float(along @ w) * a, first + float(along @ w) * b) for a, b in own.spans]
    return BendFrame(np.ascontiguousarray(turn), -turn @ origin, tuple(sorted(spans)))


def _ordered(a: float, b: float) -> tuple[float, float]:
    return (a, b) if a <= b else (b, a)


class SheetShapes:
    """Convex clouds of all flats and bend zones of a blank, each worked out once."""

    def __init__(self, part: Part, blank: Blank) -> None:
        self.part, self.blank = part, blank
        self.lines = {line.bend_id: line for line in blank.bend_lines}
        self.index = {bend.id: i for i, bend in enumerate(part.bends)}
        self.motions = {bend.id: bend_motion(blank, self.lines[bend.id], bend.turned_deg) for bend in part.bends}
        self.beside: dict[str, list[Bend]] = {flange.id: [] for flange in part.flanges}
        for bend in part.bends:
            self.beside[bend.parent].append(bend)
            self.beside[bend.child].append(bend)
        self._outlines = {flat.flange_id: np.array(flat.outline) for flat in blank.flats}
        self._plates: dict[str, list[Array]] = {}
        self._zones: dict[tuple[str, bool, bool], list[Array]] = {}

    def plates(self, flange_id: str, line: BendLine, side: Side) -> list[Array]:
        """Clouds of a flat, parted along the tangent line of the bend on that side where it reaches across."""
        outward, middle, _ = _tangent(line, side)
        over = (self._outlines[flange_id] - middle) @ outward
        if over.min() < -ACROSS_MM and over.max() > ACROSS_MM:
            thickness = self.blank.thickness_mm
            parted = _parted(flat_shape(self.blank, flange_id), line, side)
            return [cloud for shape in parted for cloud in clouds_of(shape, thickness)]
        if flange_id not in self._plates:
            self._plates[flange_id] = plate_clouds(self.blank, flange_id)
        return self._plates[flange_id]

    def zones(self, bend_id: str, *, done: bool, from_parent: bool) -> list[Array]:
        """Clouds of a bend zone, flat or finished, with one side held."""
        key = (bend_id, done, from_parent)
        if key not in self._zones:
            self._zones[key] = zone_clouds(self.blank, self.lines[bend_id], done=done, from_parent=from_parent)
        return self._zones[key]


def bodies_of(shapes: SheetShapes, made: Sequence[str], side: Side) -> list[Body]:
    """All bodies on one side of the bends ``made`` by a stroke (on one line, the leading one first): flat pieces of flanges, and
    the bend zones between them (flat and finished). The sides are those of the leading bend.
    """
    own_line = shapes.lines[made[0]]
    out: list[Body] = []
    for flange_id, path, motions in _reach(shapes, _starts(shapes, made, side), made):
        turns, moves = _stacked(motions)
        numbers = tuple(shapes.index[name] for name in path)
        for cloud in shapes.plates(flange_id, own_line, side):
            out.append(Body(f"flange {flange_id}", flange_id, cloud, numbers, turns, moves))
        for bend in shapes.beside[flange_id]:
            if bend.id in made or bend.id in path:
                continue
            far = bend.child if flange_id == bend.parent else bend.parent
            for done in (False, True):
                for cloud in shapes.zones(bend.id, done=done, from_parent=flange_id == bend.parent):
                    name = f"bend {bend.id}"
                    out.append(Body(name, far, cloud, numbers, turns, moves, shapes.index[bend.id], done))
    return out


def _starts(shapes: SheetShapes, made: Sequence[str], side: Side) -> list[str]:
    """Flanges next to the bends made, on the given side of the leading bend."""
    first = bend_axes(shapes.lines[made[0]]).outward
    out = []
    for name in made:
        bend, alike = shapes.part.bend(name), float(first @ bend_axes(shapes.lines[name]).outward) > 0.0
        flange = bend.child if (side == "child") == alike else bend.parent
        if flange not in out:
            out.append(flange)
    return out


def _reach(
    shapes: SheetShapes, starts: Sequence[str], barred: Sequence[str]
) -> Iterator[tuple[str, list[str], list[Rigid]]]:
    """Flanges reached from the starts without crossing a barred bend, the bends passed and the motion of each, nearest first."""
    seen = set()
    for start in starts:
        if start in seen:
            continue
        seen.add(start)
        waiting: list[tuple[str, list[str], list[Rigid]]] = [(start, [], [])]
        while waiting:
            flange_id, path, motions = waiting.pop(0)
            yield flange_id, path, motions
            for bend in shapes.beside[flange_id]:
                if bend.id in barred or bend.id in path:
                    continue
                motion = shapes.motions[bend.id]
                far = bend.child if flange_id == bend.parent else bend.parent
                own = motion if flange_id == bend.parent else motion.inverse()
                if far not in seen:
                    seen.add(far)
                    waiting.append((far, [*path, bend.id], [*motions, own]))


def _stacked(motions: Sequence[Rigid]) -> tuple[Array, Array]:
    turns = np.zeros((len(motions), 3, 3))
    moves = np.zeros((len(motions), 3))
    for i, motion in enumerate(motions):
        turns[i] = motion.turn
        moves[i] = motion.move
    return turns, moves


def _tangent(line: BendLine, side: Side) -> tuple[Array, Array, Array]:
    """Outward direction, middle point and direction of a bend's tangent line on that side, on the blank."""
    axes = bend_axes(line)
    outward = axes.outward[:2] if side == "child" else -axes.outward[:2]
    return outward, axes.middle[:2] + 0.5 * line.zone_width_mm * outward, axes.along[:2]


def _parted(shape: BaseGeometry, line: BendLine, side: Side) -> list[shapely.Polygon]:
    """A flat on both sides of a bend's tangent line: what lies beyond it, beside the bend's end, is no leg but sheet that tools would
    press as well. Slivers are dropped.
    """
    outward, middle, along = _tangent(line, side)
    out = []
    for way in (1.0, -1.0):
        corners = [middle - FAR_MM * along, middle + FAR_MM * along]
        corners += [corner + way * FAR_MM * outward for corner in reversed(corners)]
        kept = shape.intersection(shapely.Polygon(corners))
        out += [
            shapely.geometry.polygon.orient(part)
            for part in getattr(kept, "geoms", [kept])
            if part.geom_type == "Polygon" and part.area > SLIVER_MM2
        ]
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
