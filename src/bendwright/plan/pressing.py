"""What keeps a pre-bent hem from being pressed flat, what an offset pair from making a jog?

The sheet is held from the front, the folded edge between a flat punch and a flat die. Frame as in ``stroke.bodies``: u from the
fold to the operator, v up, w along the hem, the hem's parent lying flat.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.affinity import affine_transform

from bendwright.geometry.convex import convex_hull
from bendwright.geometry.kernels import FAR
from bendwright.geometry.rigid import Array
from bendwright.geometry.swing_table import posed_cloud
from bendwright.mechanics.hems import flattened_height_mm
from bendwright.plan.around import MOST_BARS, Surroundings
from bendwright.plan.flat_pair import FlatTools
from bendwright.plan.jog_room import gauge_side, jog_tools, stepped
from bendwright.plan.packed import Ints
from bendwright.plan.pair_shapes import TOUCH_MM, Shapes, pair_shapes
from bendwright.plan.situation import Situation
from bendwright.stroke.bodies import Body
from bendwright.stroke.tooling import below_classes

MOST_WAYS = 8


@dataclass(frozen=True, slots=True)
class Clash:
    """A body that meets a flattening tool when it stands so: bends that must be done and must not; the stretch along the hem that it
    takes [mm]; how far it reaches in [mm].
    """

    body: str
    against: str
    must: int
    mustnot: int
    low_w: float
    high_w: float
    mm: float


def stop_height_mm(situation: Situation, bend: int) -> float:
    """Where the punch face stops above the die for a hem [mm]: two sheets and the gap."""
    gap = situation.part.bends[bend].hem_gap_mm or 0.0
    return float(flattened_height_mm(thickness_mm=situation.blank.thickness_mm, gap_mm=gap))


def clashes(situation: Situation, item: Surroundings, flat: FlatTools, mask: int | None = None) -> tuple[Clash, ...]:
    """Every way of standing in which a body meets the flattening tools, wherever along the hem they stand; as they stand with the bends of
    ``mask`` done, or in every way that lies up to ``MOST_WAYS`` bends away.
    """
    tools = _tools(situation, item, flat)
    out = []
    for side, body in _others(situation, item):
        if mask is None:
            poses = _poses(situation, body) if len(body.path) <= MOST_WAYS else iter(())
        else:
            poses = iter([_pose(body, mask)] if body.here(mask) else [])
        for pose in poses:
            cloud = _standing(situation, item, side, body, pose)
            if cloud is None:
                continue
            ring = shapely.Polygon(convex_hull(cloud[:, :2])).buffer(0.0)
            for name, shape, stacked in tools:
                deep = _depth(ring, shape)
                if deep > TOUCH_MM:
                    must, mustnot = _sets(situation, body, pose)
                    ends = (float(cloud[:, 2].min()), float(cloud[:, 2].max())) if stacked else (-FAR, FAR)
                    out.append(Clash(body.name, name, must, mustnot, *ends, deep))
    return tuple(dict.fromkeys(out))


def pressing_bars(situation: Situation, item: Surroundings, flat: FlatTools) -> Ints:
    """Sets of bends (must be done, must not) with which the pair cannot stand over the hem: rows for ``Packed.forbidden``. Where they
    are too many, bodies on both sides forbid it each by itself.
    """
    met = clashes(situation, item, flat)
    always = [one for one in met if not _passable(situation, item, flat, [one])]
    rows = {(one.must, one.mustnot) for one in always}
    rest = [one for one in met if (one.must, one.mustnot) not in rows]
    pairs = set()
    for one, other in itertools.combinations(rest, 2):
        must, mustnot = one.must | other.must, one.mustnot | other.mustnot
        if not must & mustnot and not _passable(situation, item, flat, [one, other]):
            pairs.add((must, mustnot))
    kept = fewest(rows | pairs)
    if len(kept) > MOST_BARS:
        kept = fewest(rows | {(one.must, one.mustnot) for one in rest})
    return np.array(kept[:MOST_BARS], dtype=np.int64).reshape(-1, 2)


def fewest(rows: set[tuple[int, int]]) -> list[tuple[int, int]]:
    """The same sets of bends (must be done, must not) in fewer rows: where a bend does not matter it is left out."""
    rows, grown = set(rows), True
    while grown:
        joined = {
            (must & ~bit, mustnot)
            for must, mustnot in rows
            for bit in (1 << i for i in range(must.bit_length()) if must >> i & 1)
            if (must & ~bit, mustnot | bit) in rows
        }
        grown = not joined <= rows
        rows |= joined
    return sorted(
        one
        for one in rows
        if not any(other != one and other[0] & ~one[0] == 0 and other[1] & ~one[1] == 0 for other in rows)
    )


def room_beside_mm(situation: Situation, item: Surroundings, mask: int) -> tuple[float, str, str]:
    """Smallest distance [mm] between the flattening tools over the hem and what stands beside it, the piece and the tool; FAR and two
    empty names where nothing stands.
    """
    flat = situation.pairs.get(item.move.pair)
    if flat is None:
        return FAR, "", ""
    start, tools = place_of_pair(situation, item, flat, mask), _tools(situation, item, flat)
    best = (FAR, "", "")
    for side, body in _others(situation, item):
        if not body.here(mask):
            continue
        cloud = _standing(situation, item, side, body, _pose(body, mask))
        if cloud is None:
            continue
        ring = shapely.Polygon(convex_hull(cloud[:, :2]))
        beside = max(float(cloud[:, 2].min()) - start - flat.length_mm, start - float(cloud[:, 2].max()), 0.0)
        for name, shape, stacked in tools:
            apart = math.hypot(float(ring.distance(shape)), beside if stacked else 0.0)
            best = min(best, (apart, body.name, name))
    return best


def no_room_for_pair(situation: Situation, item: Surroundings, mask: int) -> Clash | None:
    """What keeps the pair from standing over the hem with these bends done, the deepest first; None when nothing does."""
    flat = situation.pairs.get(item.move.pair)
    met = () if flat is None else clashes(situation, item, flat, mask)
    if flat is None or not met or _passable(situation, item, flat, met):
        return None
    return max(met, key=lambda one: (not _passable(situation, item, flat, [one]), one.mm))


def place_of_pair(situation: Situation, item: Surroundings, flat: FlatTools, mask: int) -> float:
    """Where the pair begins along the hem (w) [mm]: in its middle as far as what stands beside it allows."""
    low, high = _window(situation, item, flat, clashes(situation, item, flat, mask))
    middle = 0.5 * (item.span[0] + item.span[1] - flat.length_mm)
    return min(max(middle, low), high)


def _passable(situation: Situation, item: Surroundings, flat: FlatTools, met: Sequence[Clash]) -> bool:
    low, high = _window(situation, item, flat, met)
    return low <= high + 1e-6


def _window(situation: Situation, item: Surroundings, flat: FlatTools, met: Sequence[Clash]) -> tuple[float, float]:
    """Lowest and highest place of the pair's beginning that covers the hem and keeps clear."""
    practice, length = situation.practice, flat.length_mm
    short, clear = practice.max_uncovered_end_mm, practice.end_clearance_mm
    low, high = item.span[1] - short - length, item.span[0] + short
    middle = 0.5 * (item.span[0] + item.span[1])
    for one in met:
        if one.low_w <= item.span[0] and one.high_w >= item.span[1]:
            return FAR, -FAR
        if 0.5 * (one.low_w + one.high_w) < middle:
            low = max(low, one.high_w + clear)
        else:
            high = min(high, one.low_w - clear - length)
    return low, high


def _others(situation: Situation, item: Surroundings) -> list[tuple[int, Body]]:
    """All bodies but the hems that are being pressed."""
    if item.move.jog:
        return list(item.bodies)
    own = {situation.part.bends[bend].child for bend in item.move.bends}
    return [
        (side, body) for side, body in item.bodies if side == 0 or body.zone is not None or body.flange_id not in own
    ]


def _poses(situation: Situation, body: Body) -> Iterator[int]:
    """Ways a body may stand, as bits of its path: nothing is pressed that was not bent."""
    for pose in range(1 << len(body.path)):
        done = {bend for i, bend in enumerate(body.path) if pose >> i & 1}
        pressed = {
            situation.hems[bend - len(situation.part.bends)] for bend in done if bend >= len(situation.part.bends)
        }
        if pressed <= done:
            yield pose


def _pose(body: Body, mask: int) -> int:
    return sum(1 << i for i, bend in enumerate(body.path) if mask >> bend & 1)


def _sets(situation: Situation, body: Body, pose: int) -> tuple[int, int]:
    must = sum(1 << bend for i, bend in enumerate(body.path) if pose >> i & 1)
    mustnot = sum(1 << bend for i, bend in enumerate(body.path) if not pose >> i & 1)
    return must | body.must, mustnot | body.mustnot


def _standing(situation: Situation, item: Surroundings, side: int, body: Body, pose: int) -> Array | None:
    """Corners of a body that can be in the way; None for one that lies flat on the die or between the tools."""
    if item.move.jog:
        leading = item.move.bends[0]
        made = situation.jog_of(leading)
        assert made is not None
        cloud = _posed(item, side, body, pose)
        return stepped(made, side, gauge_side(situation, leading), cloud, situation.blank.thickness_mm)
    cloud = _seen(situation, item, side, body, pose)
    return None if _lies(situation, cloud) else cloud


def _posed(item: Surroundings, side: int, body: Body, pose: int) -> Array:
    frame = item.frames[side]
    seen = np.empty_like(body.cloud)
    posed_cloud(body.cloud, body.turns, body.moves, pose, frame.turn, frame.move, seen)
    return seen


def _seen(situation: Situation, item: Surroundings, side: int, body: Body, pose: int) -> Array:
    """Corners in the frame of the parent's side; what hangs on the hem as it lies when the hem is closed."""
    seen = _posed(item, side, body, pose)
    if side == 1:
        radius = situation.blank.size(situation.part.bends[item.move.bends[0]].id).inside_radius_mm
        seen = np.column_stack([seen[:, 0], 2.0 * radius - seen[:, 1], seen[:, 2]])
    return np.asarray(seen)


def _lies(situation: Situation, cloud: Array) -> bool:
    """Flat on the die, or flat between the tools as the hem itself is."""
    return bool(cloud[:, 1].min() > -situation.blank.thickness_mm - TOUCH_MM and cloud[:, 1].max() < TOUCH_MM)


def _tools(situation: Situation, item: Surroundings, flat: FlatTools) -> Shapes:
    """Name, shape in the frame of the move and whether it ends with the stack."""
    thickness, bend = situation.blank.thickness_mm, item.move.bends[0]
    if item.move.jog:
        made = situation.jog_of(bend)
        return [] if made is None else jog_tools(situation, flat, made.step_mm)
    face, below = stop_height_mm(situation, bend) - thickness, below_classes(situation.brake, flat.die)
    middle = _middle(situation, item, flat)
    shapes = pair_shapes(situation.brake, flat, below, face_mm=face, thickness_mm=thickness)
    return [(name, affine_transform(shape, (-1, 0, 0, 1, middle, 0)), stacked) for name, shape, stacked in shapes]


def _middle(situation: Situation, item: Surroundings, flat: FlatTools) -> float:
    """Where the middle of the tools stands (u): they cover the hem and reach as little over the rest as they can."""
    size = situation.blank.size(situation.part.bends[item.move.bends[0]].id)
    fold = 0.5 * size.bend_allowance_mm - size.inside_radius_mm - situation.blank.thickness_mm
    own = {situation.part.bends[bend].child for bend in item.move.bends}
    ends = [
        float(_seen(situation, item, 1, body, 0)[:, 0].max())
        for side, body in item.bodies
        if side == 1 and body.zone is None and body.flange_id in own
    ]
    end, half = max(ends, default=fold), max(abs(x) for x, _ in flat.punch.outline)
    return end - half if 2.0 * half >= end - fold else 0.5 * (end + fold)


def _depth(ring: shapely.Polygon, shape: shapely.geometry.base.BaseGeometry) -> float:
    """How far one reaches into the other [mm]: the smaller side of what they share."""
    common = ring.intersection(shape)
    if common.is_empty or common.area <= 0.0:
        return 0.0
    low_x, low_y, high_x, high_y = common.bounds
    return float(min(high_x - low_x, high_y - low_y))
