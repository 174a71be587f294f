"""What of the part can run into something while one bend is made, and where it stands for any bends done before.

Frame of a bend: origin on the inner face in the middle of its zone, u outward to the child, v toward the punch, w = u x v
along the bend. The parent's side is mirrored (u -> -u) so that both sides swing the same way.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bendwright.geometry.rigid import Array, Rigid
from bendwright.part.blank_model import BendLine, Blank
from bendwright.part.fold import arc_length_mm, arc_motion, bend_axes, bend_motion
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
    the motion each of them gives, and, for bend zones, the bend and whether it is done; the sets of bends that must be done and must
    not for the piece to look so.
    """

    name: str
    flange_id: str
    cloud: Array
    path: tuple[int, ...]
    turns: Array
    moves: Array
    zone: int | None = None
    zone_done: bool = False
    must: int = 0
    mustnot: int = 0

    @property
    def decided_by(self) -> int:
        """The bends that decide whether it is there and how it stands, as a set."""
        return self.must | self.mustnot | sum(1 << bend for bend in self.path)

    def here(self, mask: int) -> bool:
        """Whether the piece looks so with the bends of ``mask`` done."""
        return mask & self.must == self.must and not mask & self.mustnot


@dataclass(frozen=True, slots=True)
class Stage:
    """How the first stroke leaves a bend that a second one finishes: the number that the second counts as among the bends, turned angle
    [deg], inside radius [mm].
    """

    number: int
    turned_deg: float
    inside_radius_mm: float


Steps = tuple[tuple[int, Rigid], ...]
Zone = tuple[int, int, list[Array]]


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
    """Convex clouds of all flats and bend zones of a blank, each worked out once; ``stages`` of bends finished by a second stroke."""

    def __init__(self, part: Part, blank: Blank, stages: Mapping[str, Stage]) -> None:
        self.part, self.blank, self.stages = part, blank, stages
        self.lines = {line.bend_id: line for line in blank.bend_lines}
        self.index = {bend.id: i for i, bend in enumerate(part.bends)}
        self.beside: dict[str, list[Bend]] = {flange.id: [] for flange in part.flanges}
        for bend in part.bends:
            self.beside[bend.parent].append(bend)
            self.beside[bend.child].append(bend)
        self._outlines = {flat.flange_id: np.array(flat.outline) for flat in blank.flats}
        self._plates: dict[str, list[Array]] = {}
        self._beside: dict[tuple[str, BendLine, Side], list[Array]] = {}
        self._zones: dict[tuple[str, bool], list[Zone]] = {}
        self._steps: dict[tuple[str, bool], Steps] = {}

    def plates(self, flange_id: str, line: BendLine, side: Side) -> list[Array]:
        """Clouds of a flat, parted along the tangent line of the bend on that side where it reaches across."""
        key = (flange_id, line, side)
        if key not in self._beside:
            self._beside[key] = self._parted(flange_id, line, side)
        return self._beside[key]

    def _parted(self, flange_id: str, line: BendLine, side: Side) -> list[Array]:
        outward, middle, _ = _tangent(line, side)
        over = (self._outlines[flange_id] - middle) @ outward
        if over.min() < -ACROSS_MM and over.max() > ACROSS_MM:
            thickness = self.blank.thickness_mm
            parted = _parted(flat_shape(self.blank, flange_id), line, side)
            return [cloud for shape in parted for cloud in clouds_of(shape, thickness)]
        if flange_id not in self._plates:
            self._plates[flange_id] = plate_clouds(self.blank, flange_id)
        return self._plates[flange_id]

    def zones(self, bend_id: str, *, from_parent: bool) -> list[Zone]:
        """Clouds of a bend zone with one side held: flat, as its first stroke leaves it, finished; each with the sets of bends that
        must be done and must not.
        """
        key = (bend_id, from_parent)
        if key not in self._zones:
            line, stage, own = self.lines[bend_id], self.stages.get(bend_id), 1 << self.index[bend_id]
            last = own if stage is None else 1 << stage.number
            out = [(0, own, flat_zone(self.blank, line, from_parent=from_parent))]
            if stage is not None:
                bent = (stage.turned_deg, stage.inside_radius_mm)
                out.append((own, last, bent_zone(self.blank, line, *bent, from_parent=from_parent)))
            done = (line.turned_deg, self.blank.size(bend_id).inside_radius_mm)
            out.append((last, 0, bent_zone(self.blank, line, *done, from_parent=from_parent)))
            self._zones[key] = out
        return self._zones[key]

    def steps(self, bend_id: str, *, from_parent: bool) -> Steps:
        """What carries the far side of a bend when it is made, nearest first: one motion, or two for a bend made in two strokes."""
        key = (bend_id, from_parent)
        if key not in self._steps:
            self._steps[key] = self._worked_out(bend_id, from_parent=from_parent)
        return self._steps[key]

    def _worked_out(self, bend_id: str, *, from_parent: bool) -> Steps:
        line, stage = self.lines[bend_id], self.stages.get(bend_id)
        final = bend_motion(self.blank, line, line.turned_deg)
        final = final if from_parent else final.inverse()
        if stage is None:
            return ((self.index[bend_id], final),)
        first = arc_motion(self.blank, line, stage.turned_deg, stage.inside_radius_mm)
        first = first if from_parent else first.inverse()
        return ((self.index[bend_id], first), (stage.number, first.inverse().after(final)))


def bodies_of(
    shapes: SheetShapes, made: Sequence[str], side: Side, *, beyond: tuple[str, BendLine] | None = None
) -> list[Body]:
    """All bodies on one side of the bends ``made`` by a stroke (on one line, the leading one first): flat pieces of flanges, and
    the bend zones between them (flat and finished). The sides are those of the leading bend. ``beyond``: of a jog the flange to begin
    from on that side, and the line in its middle.
    """
    start, own_line = beyond or (None, shapes.lines[made[0]])
    out: list[Body] = []
    for flange_id, path, steps in _reach(shapes, _starts(shapes, made, side) if start is None else [start], made):
        turns, moves = _stacked([motion for _, motion in steps])
        numbers = tuple(number for number, _ in steps)
        for cloud in shapes.plates(flange_id, own_line, side):
            out.append(Body(f"flange {flange_id}", flange_id, cloud, numbers, turns, moves))
        for bend in shapes.beside[flange_id]:
            if bend.id in made or bend.id in path:
                continue
            far = bend.child if flange_id == bend.parent else bend.parent
            for must, mustnot, clouds in shapes.zones(bend.id, from_parent=flange_id == bend.parent):
                for cloud in clouds:
                    name, zone = f"bend {bend.id}", shapes.index[bend.id]
                    out.append(Body(name, far, cloud, numbers, turns, moves, zone, must != 0, must, mustnot))
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


def _reach(shapes: SheetShapes, starts: Sequence[str], barred: Sequence[str]) -> Iterator[tuple[str, list[str], Steps]]:
    """Flanges reached from the starts without crossing a barred bend, the bends passed and the motions they give, nearest first."""
    seen = set()
    for start in starts:
        if start in seen:
            continue
        seen.add(start)
        waiting: list[tuple[str, list[str], Steps]] = [(start, [], ())]
        while waiting:
            flange_id, path, steps = waiting.pop(0)
            yield flange_id, path, steps
            for bend in shapes.beside[flange_id]:
                if bend.id in barred or bend.id in path:
                    continue
                far = bend.child if flange_id == bend.parent else bend.parent
                if far not in seen:
                    seen.add(far)
                    own = shapes.steps(bend.id, from_parent=flange_id == bend.parent)
                    waiting.append((far, [*path, bend.id], (*steps, *own)))


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


def flat_zone(blank: Blank, line: BendLine, *, from_parent: bool) -> list[Array]:
    """Clouds of a bend zone nobody has bent: one flat bar per span."""
    half, zone = 0.5 * blank.thickness_mm, 0.5 * line.zone_width_mm
    return _along(line, [[(-zone, -half), (zone, -half), (zone, half), (-zone, half)]], from_parent=from_parent)


def bent_zone(
    blank: Blank, line: BendLine, turned_deg: float, inside_radius_mm: float, *, from_parent: bool
) -> list[Array]:
    """Clouds of a bend zone bent so far, seen with one side held: the arc in steps per span.

    An arc step is the hull of its chord on the inner face and of the tangents on the outer face: it covers the arc.
    """
    half, radius, thickness = 0.5 * blank.thickness_mm, inside_radius_mm, blank.thickness_mm
    zone = 0.5 * line.zone_width_mm
    if turned_deg != line.turned_deg:
        zone = 0.5 * arc_length_mm(blank, line, turned_deg, radius)
    sign = 1.0 if line.direction == "up" else -1.0
    steps = max(1, math.ceil(turned_deg / ARC_STEP_DEG))
    step = math.radians(turned_deg) / steps
    outer = (radius + thickness) / math.cos(0.5 * step)
    corners = []
    for i in range(steps):
        ends = (i * step, (i + 1) * step)
        ring = [(r * math.sin(t), r * math.cos(t)) for t in ends for r in (radius, radius + thickness)]
        ring.append((outer * math.sin(ends[0] + 0.5 * step), outer * math.cos(ends[0] + 0.5 * step)))
        corners.append([(x - zone, sign * (half + radius - y)) for x, y in ring])
    return _along(line, corners, from_parent=from_parent)


def _along(line: BendLine, rings: Sequence[Sequence[tuple[float, float]]], *, from_parent: bool) -> list[Array]:
    """Rings across the bend line drawn along each of its spans."""
    axes = bend_axes(line)
    outward = axes.outward if from_parent else -axes.outward
    half_length = 0.5 * math.dist(line.start, line.end)
    out = []
    for low, high in line.spans:
        for ring in rings:
            points = [
                axes.middle + x * outward + (s - half_length) * axes.along + np.array([0.0, 0.0, z])
                for x, z in ring
                for s in (low, high)
            ]
            out.append(np.ascontiguousarray(np.array(points)))
    return out
