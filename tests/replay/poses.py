"""Questions about single poses and whole swings, answered by our kernels, by the replay, and by the library."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from fcl_bodies import LONG_MM, Count, at, fcl, lifted, meet, prism, solid, tool_pieces

from bendwright.geometry.convex import convex_hull, pack
from bendwright.geometry.kernels import convex_gap, die_rise, swing_gap, swing_ring
from bendwright.geometry.pair_table import plates_apart
from bendwright.geometry.swing_clear import swing_meets
from bendwright.replay.hung import Tool
from bendwright.replay.itself import Pairs, directions, pairs_of, parted_mm, turned_along
from bendwright.replay.passing import TOLERANCE_MM, Sections, core
from bendwright.replay.solids import Array, cut_between, hull_rings, padded
from bendwright.replay.standing import Piece, Standing
from bendwright.replay.swing import Swing

FAR_GAP_MM = 1e9
NEAR_MM = 25.0
TOUCH_MM, GRAIN_MM = -0.01, 0.02


@dataclass(frozen=True)
class ToolPose:
    """A piece of the part at a turned angle against one convex piece of a tool."""

    piece: Piece
    tool: Tool
    ring: Array
    swing: Swing
    angle: float

    def kernel_gap(self) -> float:
        """By the planner's kernel, tool without ends: the operator's side is mirrored."""
        side, ring = kernel_rings(self.piece, self.ring)
        numbers = kernel_numbers(self.swing)
        swung = np.empty_like(side)
        swing_ring(side, len(side), self.angle, numbers[1], numbers[2], swung)
        if self.tool.rises:
            ring = ring + np.array([0.0, die_rise(self.angle, *numbers[1:])])
        return float(convex_gap(swung, len(swung), ring, len(ring), FAR_GAP_MM))

    def placements(self, angle: float) -> tuple[Any, Any]:
        """Of piece and tool at a turned angle, as the library wants them."""
        rise = float(self.swing.rise(np.array([angle]))[0]) if self.tool.rises else 0.0
        return at(self.swing, angle, front=self.piece.front), lifted(rise)

    def library(self, *, ends: tuple[float, float], angles: Sequence[float] | None = None) -> list[bool]:
        """By the library at every angle, the tool reaching from one Z to another."""
        bodies = solid(self.piece.corners), prism(self.ring, *ends)
        placed = [self.placements(angle) for angle in angles or [self.angle]]
        return [
            meet(*(fcl.CollisionObject(body, place) for body, place in zip(bodies, places, strict=True)))
            for places in placed
        ]


def kernel_numbers(swing: Swing) -> tuple[float, ...]:
    """What the kernels want of a swing."""
    return (swing.loaded, swing.allowance, swing.k_t, swing.t, swing.half_centre, swing.shoulder)


def kernel_rings(piece: Piece, tool: Array) -> tuple[Array, Array]:
    """Hull of the piece and the tool's ring as the kernels see them: the operator's side mirrored to u > 0."""
    if not piece.front:
        return np.ascontiguousarray(convex_hull(piece.corners[:, :2])), np.ascontiguousarray(tool)
    mirror = np.array([-1.0, 1.0])
    return np.ascontiguousarray(convex_hull(piece.corners[:, :2] * mirror)), np.ascontiguousarray(tool[::-1] * mirror)


def tool_poses(
    standing: Standing, swing: Swing, tools: Sequence[Tool], draw: np.random.Generator, *, count: int
) -> list[ToolPose]:
    """Random pieces, tool pieces and angles, most of them near each other."""
    rings = [(tool, ring) for tool in tools for ring in tool_pieces(tool)]
    who = draw.integers(len(standing.pieces), size=12 * count)
    what = draw.integers(len(rings), size=12 * count)
    angles = draw.random(12 * count) * swing.loaded
    clouds = padded([piece.corners for piece in standing.pieces])[who]
    front = np.array([piece.front for piece in standing.pieces])[who]
    seen = swing.swung(clouds, angles, front=front)
    seen[:, :, 1] -= np.where([rings[k][0].rises for k in what], swing.rise(angles), 0.0)[:, None]
    boxes = np.array([[ring.min(axis=0), ring.max(axis=0)] for _, ring in rings])[what]
    gap = np.maximum(boxes[:, 0] - seen[:, :, :2].max(axis=1), seen[:, :, :2].min(axis=1) - boxes[:, 1]).max(axis=1)
    near, far = np.flatnonzero(gap < NEAR_MM), np.flatnonzero(gap >= NEAR_MM)
    chosen = [*near[: count - count // 8], *far[: count // 8]]
    return [ToolPose(standing.pieces[who[i]], *rings[what[i]], swing, float(angles[i])) for i in chosen]


def ask_tools(poses: Sequence[ToolPose], kernel: Count, replay: Count) -> None:
    """Every pose twice: the kernel against a tool without ends, the replay against the tool as long as it is."""
    clouds = [cut_between(p.piece.corners, 2, p.tool.low_z, p.tool.high_z)[:, :2] for p in poses]
    filled = [i for i, cloud in enumerate(clouds) if len(cloud) > 2]
    rings = dict(zip(filled, hull_rings([clouds[i] for i in filled]), strict=True))
    for i, pose in enumerate(poses):
        words = f"{pose.piece.name} and {pose.tool.name} at {np.degrees(pose.angle):.2f}"
        kernel.note(pose.kernel_gap(), pose.library(ends=(-LONG_MM, LONG_MM))[0], words)
        ends = pose.piece.low[2] - pose.tool.high_z, pose.tool.low_z - pose.piece.high[2]
        if abs(max(ends)) > TOLERANCE_MM:
            found = pose.library(ends=(pose.tool.low_z, pose.tool.high_z))[0]
            ring = rings.get(i)
            gap = max(ends) if ring is None or max(ends) > 0.0 else _section_gap(pose, ring)
            replay.note(gap, found, words)


def _section_gap(pose: ToolPose, ring: Array) -> float:
    """By the replay's own test: +1 well apart, -1 well inside, 0 within its tolerance."""
    shape = shapely.Polygon(pose.ring)
    sections = Sections(
        pose.swing,
        ring[None],
        np.array([pose.piece.front]),
        np.array([shape], dtype=object),
        np.array([pose.tool.rises]),
        np.zeros(1),
    )
    seen = shapely.Polygon(sections.placed(np.zeros(1, dtype=np.int64), np.array([pose.angle]))[0])
    if seen.distance(shape) > TOLERANCE_MM:
        return 1.0
    return -1.0 if seen.intersects(core(shape)) else 0.0


def ask_pairs(
    standing: Standing, swing: Swing, draw: np.random.Generator, kernel: Count, replay: Count, *, count: int
) -> None:
    """Pieces of the two sides against each other at random angles; the kernel knows plates only."""
    sides = [[p for p in standing.pieces if p.front == front] for front in (False, True)]
    who = [draw.integers(len(side), size=20 * count) for side in sides]
    angles = draw.random(20 * count) * swing.loaded
    clouds = [padded([p.corners for p in side])[index] for side, index in zip(sides, who, strict=True)]
    seen = [swing.swung(cloud, angles, front=np.full(len(angles), i == 1)) for i, cloud in enumerate(clouds)]
    apart = np.maximum(seen[0].min(axis=1) - seen[1].max(axis=1), seen[1].min(axis=1) - seen[0].max(axis=1)).max(axis=1)
    chosen = np.argsort(apart, kind="stable")[:count]
    along = [padded([directions(p.corners) for p in side])[index] for side, index in zip(sides, who, strict=True)]
    turned = [
        turned_along(item[chosen], way * angles[chosen] / 2) for item, way in zip(along, (1.0, -1.0), strict=True)
    ]
    gaps = parted_mm(seen[0][chosen], turned[0], seen[1][chosen], turned[1])
    for i, gap in zip(chosen, gaps, strict=True):
        first, second = sides[0][who[0][i]], sides[1][who[1][i]]
        bodies = [
            fcl.CollisionObject(solid(p.corners), at(swing, float(angles[i]), front=p.front)) for p in (first, second)
        ]
        met = meet(*bodies)
        words = f"{first.name} and {second.name} at {np.degrees(angles[i]):.2f}"
        replay.note(float(gap), met, words)
        if not first.solid.of_bend and not second.solid.of_bend:
            a, b = (
                np.ascontiguousarray(item[i][: len(p.corners)]) for item, p in zip(seen, (first, second), strict=True)
            )
            kernel.note(float(plates_apart(a, b, FAR_GAP_MM)), met, words)


def ask_swings(poses: Sequence[ToolPose], kernel: Count, verdict: Count, replay: Count, *, steps: int) -> None:
    """Whole swings: what we call clear the library never meets, where we say it meets it does."""
    for pose in poses:
        side, ring = kernel_rings(pose.piece, pose.ring)
        rings, counts = pack([ring])
        gap, worst, _ = swing_gap(
            side, len(side), rings, counts, pose.tool.rises, kernel_numbers(pose.swing), 50.0, 0.005, 0.0
        )
        meets = swing_meets(
            side, len(side), rings, counts, pose.tool.rises, kernel_numbers(pose.swing), TOUCH_MM, GRAIN_MM
        )
        clear = 0.0 if abs(gap) <= TOLERANCE_MM else (-1.0 if meets else 1.0)
        words = f"{pose.piece.name} and {pose.tool.name}"
        whole = [float(angle) for angle in np.linspace(0.0, pose.swing.loaded, steps)]
        angles = [float(worst)] if gap < -TOLERANCE_MM else [*whole, float(worst)]
        for angle, met in zip(angles, pose.library(ends=(-LONG_MM, LONG_MM), angles=angles), strict=True):
            kernel.note(float(gap), met, f"{words}, swing, {np.degrees(angle):.2f}")
            verdict.note(clear, met, f"{words}, swing, {np.degrees(angle):.2f}")
        found = _swing_found(pose, side if not pose.piece.front else side * np.array([-1.0, 1.0]))
        angles = whole if found is None else [found]
        ours = -1.0 if found is not None else (0.0 if abs(gap) <= TOLERANCE_MM else 1.0)
        for angle, met in zip(angles, pose.library(ends=(-LONG_MM, LONG_MM), angles=angles), strict=True):
            replay.note(ours, met, f"{words}, swing, {np.degrees(angle):.2f}")


def _swing_found(pose: ToolPose, ring: Array) -> float | None:
    """An angle at which the replay finds the piece more than the tolerance inside the tool; None where it finds none."""
    inner = core(shapely.Polygon(pose.ring))
    if inner.is_empty:
        return None
    sections = Sections(
        pose.swing,
        ring[None],
        np.array([pose.piece.front]),
        np.array([inner], dtype=object),
        np.array([pose.tool.rises]),
        np.zeros(1),
    )
    return sections.too_near().get(0)


def ask_pair_swings(standing: Standing, swing: Swing, replay: Count, *, most: int, steps: int) -> None:
    """Whole swings of the two sides against each other, as the replay asks."""
    sides = [[p.solid for p in standing.pieces if p.front == front] for front in (False, True)]
    pairs, chosen = pairs_of(swing, sides[0], sides[1], standing.joined)
    found = pairs.overlaps()
    for number in [*list(found)[:most], *range(0, len(chosen), max(1, len(chosen) // most))]:
        back, front = (solid(item.corners) for item in chosen[number])
        angles = [found[number]] if number in found else np.linspace(0.0, swing.loaded, steps)
        for angle in angles:
            bodies = [
                fcl.CollisionObject(b, at(swing, float(angle), front=f)) for b, f in ((back, False), (front, True))
            ]
            ours = -1.0 if number in found else _room(pairs, number, float(angle))
            words = f"{chosen[number][0].owner} and {chosen[number][1].owner}, swing, {np.degrees(angle):.2f}"
            replay.note(ours, meet(*bodies), words)


def _room(pairs: Pairs, number: int, angle: float) -> float:
    """+1 where the replay passes a pose; 0 where it is within the tolerance."""
    gap = float(pairs.gaps(np.array([number]), np.array([angle]))[0])
    return 0.0 if abs(gap) <= TOLERANCE_MM else 1.0
