"""What lies around every move, and the tools it may meet, packed for the compiled questions."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bendwright.geometry.convex import pack, swept_up
from bendwright.geometry.kernels import FAR
from bendwright.geometry.rigid import Array
from bendwright.geometry.swing_clear import sector_of
from bendwright.plan.jog_room import gauge_side, jog_line
from bendwright.plan.moves import Move
from bendwright.plan.packed import Ints, Packed, PackedTools
from bendwright.plan.permissions import free_daylight_mm, punch_suits
from bendwright.plan.situation import SIDES, Situation
from bendwright.shop.brake import Brake
from bendwright.shop.tools import Die, Punch
from bendwright.stroke.bodies import BendFrame, Body, SheetShapes, Stage, bend_frame, bodies_of
from bendwright.stroke.swing import Swing
from bendwright.stroke.tooling import (
    LIFT_MM,
    ToolClass,
    below_classes,
    below_ram_mm,
    ear_of,
    is_symmetric,
    pack_classes,
    punch_classes,
    ram_class,
)

RELIEF_MM = 0.25
MOST_BARS = 64
FINGER_MM = 12.0


@dataclass(frozen=True, slots=True)
class Surroundings:
    """The bodies around one move, parent's side (of its leading bend) first, and the frames of both sides; ``at`` is the number of
    the first body over all moves.
    """

    move: Move
    bodies: tuple[tuple[int, Body], ...]
    frames: tuple[BendFrame, BendFrame]
    at: int

    @property
    def span(self) -> tuple[float, float]:
        """First and last material along the bend, in w [mm]."""
        return self.frames[1].spans[0][0], self.frames[1].spans[-1][1]


def surroundings(situation: Situation, moves: Sequence[Move]) -> tuple[Surroundings, ...]:
    """Bodies and frames of every move."""
    part, blank = situation.part, situation.blank
    shapes = SheetShapes(part, blank, stages_of(situation))
    out: list[Surroundings] = []
    at = 0
    for move in moves:
        if move.jog:
            out.append(_around_jog(situation, shapes, move, at))
            at += len(out[-1].bodies)
            continue
        names = [part.bends[i].id for i in move.bends]
        bodies = tuple((s, body) for s, side in enumerate(SIDES) for body in bodies_of(shapes, names, side))
        line, more = situation.lines[move.bends[0]], [situation.lines[i] for i in move.bends[1:]]
        frames = (bend_frame(blank, line, "parent", more=more), bend_frame(blank, line, "child", more=more))
        out.append(Surroundings(move, bodies, frames, at))
        at += len(bodies)
    return tuple(out)


def _around_jog(situation: Situation, shapes: SheetShapes, move: Move, at: int) -> Surroundings:
    """Bodies and frames of a jog, seen from the middle of its web."""
    part, leading = situation.part, move.bends[0]
    made, line, behind = situation.jog_of(leading), jog_line(situation, leading), gauge_side(situation, leading)
    assert made is not None
    names = [part.bends[i].id for i in move.bends]
    bodies = []
    for number, side in enumerate(SIDES):
        flange = made.beyond(move.bends[1] if number == behind else leading)
        bodies += [(number, body) for body in bodies_of(shapes, names, side, beyond=(flange, line))]
    more = [situation.lines[i] for i in move.bends]
    frames = (
        bend_frame(situation.blank, line, "parent", more=more),
        bend_frame(situation.blank, line, "child", more=more),
    )
    return Surroundings(move, tuple(bodies), frames, at)


def stages_of(situation: Situation) -> dict[str, Stage]:
    """How the first stroke of every hem that a second one presses flat leaves it."""
    out = {}
    for hem in situation.hems:
        swing = situation.verdicts[hem].swing
        if swing is not None:
            number = situation.stage_number(hem)
            out[situation.part.bends[hem].id] = Stage(number, swing.target_turned_deg, swing.formed_radius_mm)
    return out


def end_ease_mm(radius_mm: float, clearance_mm: float) -> float:
    """How far a tool end may reach past the tangent line of a wall standing across it [mm].

    A square corner at distance c from the wall's inner face overlaps its inside radius r by hypot(r - c, r) - r. Tool ends
    are relieved a little: up to ``RELIEF_MM`` is let pass, which asks c >= r - sqrt(2 r relief + relief^2).
    """
    need = radius_mm - math.sqrt(2.0 * radius_mm * RELIEF_MM + RELIEF_MM**2)
    return radius_mm - max(0.0, need - clearance_mm)


def _eases_mm(situation: Situation, bodies: Sequence[tuple[Surroundings, int, Body]]) -> Array:
    """How far a relieved tool end may reach into each body: into the inside radius of a finished bend that runs across."""
    part, blank, clearance = situation.part, situation.blank, situation.practice.end_clearance_mm
    radii = [end_ease_mm(blank.size(bend.id).inside_radius_mm, clearance) for bend in part.bends]
    along = np.array([np.subtract(line.end, line.start) for line in situation.lines])
    along /= np.hypot(along[:, 0], along[:, 1])[:, None]
    across = abs(along[:, None, 0] * along[None, :, 1] - along[:, None, 1] * along[None, :, 0]) >= 1e-3
    out = np.zeros(len(bodies))
    for number, (item, _, body) in enumerate(bodies):
        if body.zone is not None and body.zone_done and across[item.move.bends[0], body.zone]:
            out[number] = radii[body.zone]
    return out


def swing_of_move(situation: Situation, move: Move) -> Swing:
    """The swing of a move: that of its leading bend; every bend of a searched situation has one."""
    swing = situation.verdicts[move.bends[0]].swing
    assert swing is not None
    return swing


def pack_moves(situation: Situation, around: Sequence[Surroundings], dies: Sequence[Die]) -> Packed:
    """Bodies and moves as arrays; all bends count as mattering."""
    bodies = [(item, side, body) for item in around for side, body in item.bodies]
    paths = [body.path for _, _, body in bodies]
    clouds = [body.cloud for _, _, body in bodies]
    swings = [swing_of_move(situation, item.move) for item in around]
    zones = [body.zone for _, _, body in bodies]
    total = sum(len(path) for path in paths)
    swing = np.array([_swing_numbers(item.move, own) for item, own in zip(around, swings, strict=True)])
    target = np.array([math.radians(own.target_turned_deg) for own in swings])
    die = np.array([dies.index(situation.dies[item.move.bends[0]]) for item in around], dtype=np.int64)
    return Packed(
        move=np.repeat(np.arange(len(around)), [len(item.bodies) for item in around]),
        side=np.array([side for _, side, _ in bodies], dtype=np.int64),
        like=_like(bodies),
        cloud_at=_starts([len(cloud) for cloud in clouds]),
        cloud_n=np.array([len(cloud) for cloud in clouds], dtype=np.int64),
        clouds=np.ascontiguousarray(np.vstack(clouds)),
        path_at=_starts([len(path) for path in paths]),
        path_n=np.array([len(path) for path in paths], dtype=np.int64),
        path_bits=np.array([bend for path in paths for bend in path] or [0], dtype=np.int64),
        turns=np.ascontiguousarray(np.vstack([b.turns for _, _, b in bodies])) if total else np.zeros((1, 3, 3)),
        shifts=np.ascontiguousarray(np.vstack([b.moves for _, _, b in bodies])) if total else np.zeros((1, 3)),
        must=np.array([body.must for _, _, body in bodies], dtype=np.int64),
        mustnot=np.array([body.mustnot for _, _, body in bodies], dtype=np.int64),
        ways=np.array([body.decided_by for _, _, body in bodies], dtype=np.int64),
        ease=_eases_mm(situation, bodies),
        plate=np.array([zone is None for zone in zones]),
        next_to=np.array([_next_to(situation, item.move, body) for item, _, body in bodies]),
        first=np.array([item.at for item in around], dtype=np.int64),
        last=np.array([item.at + len(item.bodies) for item in around], dtype=np.int64),
        frame_turn=np.array([[frame.turn for frame in item.frames] for item in around]),
        frame_move=np.array([[frame.move for frame in item.frames] for item in around]),
        swing=swing,
        target=target,
        span=np.array([item.span for item in around]),
        die=die,
        alike=_alike(np.column_stack([swing, target, die])),
        makes=np.array([item.move.makes for item in around], dtype=np.int64),
        needs=np.array([item.move.needs for item in around], dtype=np.int64),
        pressed=np.array([item.move.pressed for item in around]),
        pair=np.array([item.move.pair for item in around], dtype=np.int64),
        behind=np.array([_behind_mm(situation, item.move) for item in around]),
        sides=np.array([_sides(situation, item.move) for item in around]),
        bars=np.array([item.move.bars | _leg_bars(situation, item.move) for item in around], dtype=np.int64),
        forbidden=np.tile(np.array([-1, 0], dtype=np.int64), (len(around), MOST_BARS, 1)),
        for_stops=np.full(len(around), situation.full, dtype=np.int64),
        for_room=np.full(len(around), situation.full, dtype=np.int64),
    )


def _like(bodies: Sequence[tuple[Surroundings, int, Body]]) -> Ints:
    """The first body that stands as each does: the same piece on the same side of a stroke with the same leading bend."""
    firsts: dict[tuple[object, ...], int] = {}
    out = np.arange(len(bodies))
    for number, (item, side, body) in enumerate(bodies):
        if not item.move.pressed:
            key = (item.move.bends[0], side, id(body.cloud), body.path, body.must, body.mustnot)
            out[number] = firsts.setdefault(key, number)
    return out


def _alike(numbers: Array) -> Ints:
    """The same number for equal rows."""
    return np.unique(numbers, axis=0, return_inverse=True)[1].reshape(-1).astype(np.int64)


def _sides(situation: Situation, move: Move) -> tuple[bool, bool]:
    """Which sides may lie at the gauge: of a jog the one behind, of a bend that a jog makes none."""
    if move.jog:
        behind = gauge_side(situation, move.bends[0])
        return behind == 0, behind == 1
    free = not any(situation.jogged >> bend & 1 for bend in move.bends)
    return free, free


def _behind_mm(situation: Situation, move: Move) -> float:
    """How far the punch that makes a jog reaches to the gauge: no finger can stand nearer."""
    return max(x for x, _ in situation.pairs[move.pair].punch.outline) if move.jog else 0.0


def _swing_numbers(move: Move, swing: Swing) -> tuple[float, ...]:
    """What the kernels ask of a swing; at a jog nothing swings."""
    return (0.0, *swing.kernel_numbers[1:]) if move.jog else swing.kernel_numbers


def _starts(counts: Sequence[int]) -> Ints:
    return np.concatenate([[0], np.cumsum(counts)[:-1]]).astype(np.int64)


def _next_to(situation: Situation, move: Move, body: Body) -> bool:
    """A flat at the bend itself: it touches the flat on the other side by design."""
    if body.zone is not None:
        return False
    if move.jog:
        made = situation.jog_of(move.bends[0])
        return made is not None and body.flange_id in made.jog.outer
    bends = [situation.part.bends[i] for i in move.bends]
    return any(body.flange_id in (bend.parent, bend.child) for bend in bends)


def _leg_bars(situation: Situation, move: Move) -> int:
    """Bends after which a leg beside the move would be too short for the die."""
    index = {bend.id: i for i, bend in enumerate(situation.part.bends)}
    out = 0
    for bend in () if move.jog else move.bends:
        need = situation.shortest_leg_mm(bend)
        for leg in situation.legs[bend]:
            if leg.far_bends and leg.outside_mm < need - 1e-9:
                out |= sum(1 << index[name] for name in leg.far_bends)
    return out


def static_classes(brake: Brake, punch: Punch) -> list[ToolClass]:
    """Whole punch, what stands above the foot, foot, the same three mirrored, ram; empty classes without ears."""
    made = punch_classes(punch, brake)
    nothing = ToolClass("", "punch", (), False, True, ())
    three = [*made, *[nothing] * (3 - len(made))]
    ram = ram_class(brake, below_ram_mm(punch, brake))
    return [*three, *(item.mirrored() for item in three), ram]


def pack_tools(situation: Situation, around: Sequence[Surroundings], dies: Sequence[Die]) -> PackedTools:
    """The situation's punches and dies as arrays."""
    punches = situation.punches
    static = [static_classes(situation.brake, punch) for punch in punches]
    flat = pack_classes([item for group in static for item in group])
    swept = pack_classes([_swept(item) for group in static for item in group[:6]])
    under = pack_classes([item for die in dies for item in below_classes(situation.brake, die)])
    shape = (len(punches), 7)
    outlines, corners = pack([np.array(punch.outline) for punch in punches])
    gaps = [[free_daylight_mm(situation.brake, p.height_mm, die.height_mm) for die in dies] for p in punches]
    return PackedTools(
        rings=_grouped(flat.rings, shape),
        counts=_grouped(flat.counts, shape),
        beside=_grouped(flat.beside_rings, shape),
        beside_counts=_grouped(flat.beside_counts, shape),
        swept=_grouped(swept.rings, (len(punches), 6)),
        swept_counts=_grouped(swept.counts, (len(punches), 6)),
        die_rings=_grouped(under.rings, (len(dies), 3)),
        die_counts=_grouped(under.counts, (len(dies), 3)),
        sectors=_sectors(flat.rings, flat.counts, shape),
        beside_sectors=_sectors(flat.beside_rings, flat.beside_counts, shape),
        die_sectors=_sectors(under.rings, under.counts, (len(dies), 3)),
        same=np.array([is_symmetric(punch.outline) for punch in punches]),
        outline=outlines,
        outline_n=corners,
        ear=np.array([ear_of(punch) or (0.0, 0.0) for punch in punches]),
        open_gap=np.array([[FAR if gap is None else gap for gap in row] for row in gaps]),
        above=np.array([below_ram_mm(punch, situation.brake) for punch in punches]),
        finger=situation.brake.gauge.finger_height_mm or FINGER_MM,
        suits=np.array(
            [[all(punch_suits(p, situation, i) is None for i in item.move.bends) for item in around] for p in punches]
        ),
    )


def _grouped(flat: np.ndarray, shape: tuple[int, int]) -> np.ndarray:
    return np.ascontiguousarray(flat.reshape(*shape, *flat.shape[1:]))


def _sectors(rings: Array, counts: Ints, shape: tuple[int, int]) -> Array:
    """Sector of every piece of every class, seen from the origin."""
    out = np.zeros((*counts.shape, 4))
    for i, j in np.ndindex(*counts.shape):
        if counts[i, j]:
            sector_of(np.ascontiguousarray(rings[i, j]), int(counts[i, j]), 0.0, out[i, j])
    return np.ascontiguousarray(out.reshape(*shape, *out.shape[1:]))


def _swept(item: ToolClass) -> ToolClass:
    """A class drawn straight up, as the ram does after the stroke."""
    pieces: tuple[Array, ...] = tuple(swept_up(piece, LIFT_MM) for piece in item.pieces)
    return ToolClass(item.name, item.role, pieces, item.moving, item.stacked, ())
