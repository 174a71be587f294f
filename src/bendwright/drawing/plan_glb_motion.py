"""Where part, punch and fingers are at every moment of a stroke.

Machine frame [mm]: x toward the back gauge, y up, z to the operator's right, y = 0 the die top of the stroke's own station. While
the sheet is bent both wings rise as in ``stroke.swing``: a point of the gauge's side turns by half the turned angle, the
punch tip stands ``die_rise`` below the die top. Carrying, turning over, putting in and taking out are a sketch: the plan says
that they are done, not by which way.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from bendwright.drawing.glb import quaternion
from bendwright.drawing.plan_glb_part import Reach, lines_of, reached_motion
from bendwright.geometry.kernels import die_rise
from bendwright.geometry.rigid import Array, Rigid, about_line
from bendwright.part.blank_model import BendLine, Blank
from bendwright.part.fold import plate_corners
from bendwright.part.model import Bend, Part
from bendwright.shop.tools import Die, Punch
from bendwright.stroke.air_bend_of import half_centre_of
from bendwright.stroke.bodies import Side, bend_frame
from bendwright.stroke.result import Stroke

SHAPE_DEG = 15.0
POSE_DEG = 3.0
TURN_DEG = 30.0
UP = np.array([0.0, 0.0, 1.0])


@dataclass(frozen=True, slots=True)
class Bending:
    """One stroke's bends: which way the sheet is held, their reaches from the first to the last, and the numbers of the swing.

    ``reaches[0]`` is where the bend that names the stroke begins, ``reaches[-1]`` what is left when the ram has gone up, the one
    before it under the ram; ``all_reaches`` are as many for every bend of the stroke.
    """

    stroke: Stroke
    all_reaches: Mapping[str, tuple[Reach, ...]]
    half_centre_mm: float
    shoulder_radius_mm: float
    left_mm: float
    lies_at_mm: float

    @property
    def reaches(self) -> tuple[Reach, ...]:
        """Those of the bend that names the stroke."""
        return self.all_reaches[self.stroke.bend_id]


@dataclass(frozen=True, slots=True)
class Sweep:
    """The bending itself, moment by moment: reaches, heights of the punch tip, and the root's node in them, shapes (n,), (n, 3)
    and (n, 4); ``marks`` are the moments at which the bend takes the next of its shapes. ``first`` and ``last`` place the root's
    blank space.
    """

    reaches: tuple[Reach, ...]
    marks: tuple[int, ...]
    tips_mm: Array
    spots: Array
    turns: Array
    first: Rigid
    last: Rigid


def reaches_of(stroke: Stroke, bend: Bend, blank: Blank, before: Reach | None) -> tuple[Reach, ...]:
    """Every reach of one bend of the stroke that has a shape of its own, ``SHAPE_DEG`` apart at most.

    ``before`` is where a stroke before has left the bend.
    """
    size, turned_deg = blank.size(bend.id), bend.turned_deg
    own = size.bend_allowance_mm
    loaded = 180.0 - stroke.loaded_included_deg
    if stroke.kind == "hem_flatten":
        first, last = before or Reach(0.0, own), Reach(turned_deg, own)
        count = max(1, math.ceil((turned_deg - first.turned_deg) / SHAPE_DEG))
        return (*(_between(first, last, k / count) for k in range(count)), last, last)
    arc, left = own, turned_deg
    if stroke.kind == "hem_prebend":
        radius = stroke.inside_radius_mm + size.k_factor * blank.thickness_mm
        arc, left = max(own, math.radians(loaded) * radius), 180.0 - stroke.target_included_deg
    count = max(1, math.ceil(loaded / SHAPE_DEG))
    return (*(Reach(loaded * k / count, arc) for k in range(count + 1)), Reach(left, arc))


def bending_of(
    stroke: Stroke, reaches: Mapping[str, tuple[Reach, ...]], *, die: Die, left_mm: float, gauge_x_mm: float
) -> Bending:
    """The bending of a stroke; ``left_mm`` is where the station's stacks begin on the bed, ``gauge_x_mm`` where the gauge stood
    for the pre-bend of a hem that is now flattened.
    """
    return Bending(
        stroke=stroke,
        all_reaches=reaches,
        half_centre_mm=half_centre_of(die) if die.kind == "vee" else 0.0,
        shoulder_radius_mm=die.shoulder_radius_mm,
        left_mm=left_mm - stroke.stack_from_mm,
        lies_at_mm=0.5 * gauge_x_mm,
    )


def sweep_of(bending: Bending, part: Part, blank: Blank, punch: Punch, parent: Rigid, origin: Array) -> Sweep:
    """From the sheet as it lies to what is left of the bend. ``parent`` is where the bend's parent lies with the root held,
    ``origin`` the root node's in the blank.
    """
    reaches, marks = [bending.reaches[0]], [0]
    for first, last in itertools.pairwise(bending.reaches):
        count = max(1, math.ceil(abs(last.turned_deg - first.turned_deg) / POSE_DEG))
        reaches += [_between(first, last, k / count) for k in range(1, count)] + [last]
        marks.append(len(reaches) - 1)
    if bending.stroke.kind == "hem_flatten":
        return _pressed(bending, part, blank, punch, parent, origin, tuple(reaches), tuple(marks))
    if bending.stroke.kind == "offset":
        return _jogged(bending, part, blank, parent, origin, tuple(reaches), tuple(marks))
    return _swung(bending, blank, parent, origin, tuple(reaches), tuple(marks))


def _between(first: Reach, last: Reach, share: float) -> Reach:
    return Reach(
        first.turned_deg + share * (last.turned_deg - first.turned_deg),
        first.arc_mm + share * (last.arc_mm - first.arc_mm),
    )


def _swung(
    bending: Bending, blank: Blank, parent: Rigid, origin: Array, reaches: tuple[Reach, ...], marks: tuple[int, ...]
) -> Sweep:
    """The sheet on the shoulders of the die, both wings up by half the turned angle, the punch in its bend.

    The root moves with the parent's side, which lies toward the gauge (``sign`` 1) or the operator (-1).
    """
    stroke = bending.stroke
    seen = _seen_from(blank, lines_of(blank)[stroke.bend_id], stroke.gauged_flange_side)
    low = _left_end(blank, seen, stroke)
    lying = seen.after(parent.inverse())
    sign = 1.0 if stroke.gauged_flange_side == "parent" else -1.0
    k_thickness = blank.size(stroke.bend_id).k_factor * blank.thickness_mm
    numbers = (k_thickness, blank.thickness_mm, bending.half_centre_mm, bending.shoulder_radius_mm)
    turned, arc = (
        np.array(row) for row in zip(*((math.radians(r.turned_deg), r.arc_mm) for r in reaches), strict=True)
    )
    tips = np.array([-die_rise(a, own, *numbers) for a, own in zip(turned, arc, strict=True)])
    half, radius = 0.5 * sign * turned, arc / np.maximum(turned, 1e-12) - k_thickness
    across = np.where(turned < 1e-9, 0.0, sign * 0.5 * arc)
    foot = np.where(turned < 1e-9, 0.0, radius) * np.array([np.sin(half), 1.0 - np.cos(half)])
    spot = lying.points(origin[None])[0]
    x, y = spot[0] - across, spot[1]
    left = bending.left_mm - low + spot[2]
    spots = np.column_stack(
        [
            x * np.cos(half) - y * np.sin(half) + foot[0],
            x * np.sin(half) + y * np.cos(half) + foot[1] + tips,
            np.full(len(turned), left),
        ]
    )
    zeros = np.zeros(len(turned))
    turns = _after(np.column_stack([zeros, zeros, np.sin(0.5 * half), np.cos(0.5 * half)]), quaternion(lying.turn))
    ends = [Rigid(about_line(np.zeros(3), UP, float(half[i])).turn @ lying.turn, np.zeros(3)) for i in (0, -1)]
    first, last = (Rigid(end.turn, spots[i] - end.turn @ origin) for i, end in zip((0, -1), ends, strict=True))
    return Sweep(reaches, marks, tips, spots, turns, first, last)


def _after(outer: Array, inner: Array) -> Array:
    """Quaternions (n, 4) of rotations about z, each after one rotation."""
    x, y, z, w = inner
    oz, ow = outer[:, 2], outer[:, 3]
    return np.column_stack([ow * x - oz * y, ow * y + oz * x, ow * z + oz * w, ow * w - oz * z])


def _seen_from(blank: Blank, line: BendLine, side: Side) -> Rigid:
    """Blank space -> (u out to that side, v toward the punch, to the right).

    ``bend_frame`` mirrors the parent's side; here it is turned, as the sheet is when that side goes to the gauge.
    """
    frame = bend_frame(blank, line, side)
    if side == "child":
        return Rigid(frame.turn, frame.move)
    right = np.array([[1.0], [1.0], [-1.0]])
    return Rigid(frame.turn * right, frame.move * right[:, 0])


def _left_end(blank: Blank, seen: Rigid, stroke: Stroke) -> float:
    """Where the leftmost of the stroke's bends begins, along the line they lie on [mm]."""
    lines = [lines_of(blank)[name] for name in stroke.bend_ids]
    return min(float(seen.points(ends_of(line))[:, 2].min()) for line in lines)


def ends_of(line: BendLine) -> Array:
    """Ends of all stretches of a bend line in the plane of the blank, shape (n, 3)."""
    start, end = np.array([*line.start, 0.0]), np.array([*line.end, 0.0])
    along = (end - start) / np.linalg.norm(end - start)
    return np.array([start + place * along for span in line.spans for place in span])


def _pressed(
    bending: Bending, part: Part, blank: Blank, punch: Punch, parent: Rigid, origin: Array, reaches: tuple[Reach, ...],
    marks: tuple[int, ...],
) -> Sweep:  # fmt: skip
    """A hem between flat tools: its flange lies on the die, folded edge to the front, the bar on the highest point under it."""
    bend, line = part.bend(bending.stroke.bend_id), lines_of(blank)[bending.stroke.bend_id]
    seen, size, thickness = _seen_from(blank, line, "parent"), blank.size(bend.id), blank.thickness_mm
    low = _left_end(blank, seen, bending.stroke)
    edge = 0.5 * size.bend_allowance_mm - size.inside_radius_mm - thickness
    place = Rigid(np.eye(3), np.array([-bending.lies_at_mm - edge, thickness, bending.left_mm - low]))
    lying = place.after(seen)
    root = lying.after(parent.inverse())
    half, closed = max(abs(x) for x, _ in punch.outline), 2.0 * (thickness + size.inside_radius_mm)
    corners = plate_corners(blank, bend.child)
    tips = []
    for reach in reaches:
        there = lying.after(reached_motion(blank, line, reach)).points(corners)
        under = there[np.abs(there[:, 0]) <= half][:, 1]
        tips.append(max(closed, float(under.max()) if len(under) else closed))
    spots = np.tile(root.points(origin[None]), (len(reaches), 1))
    turns = np.tile(quaternion(root.turn), (len(reaches), 1))
    return Sweep(reaches, marks, np.array(tips), spots, turns, root, root)


def _jogged(
    bending: Bending, part: Part, blank: Blank, parent: Rigid, origin: Array, reaches: tuple[Reach, ...],
    marks: tuple[int, ...],
) -> Sweep:  # fmt: skip
    """A jog between offset tools: the back stays on the high land, the front goes down with the punch, both come in alike; that the
    sheet tips is not shown.
    """
    stroke, lines = bending.stroke, lines_of(blank)
    main, other = part.bend(stroke.bend_ids[0]), part.bend(stroke.bend_ids[1])
    seen = _seen_from(blank, lines[main.id], stroke.gauged_flange_side)
    apart = float(seen.points(ends_of(lines[other.id]))[:, 0].mean())
    low = _left_end(blank, seen, stroke)
    place = Rigid(np.eye(3), np.array([-0.5 * apart, blank.thickness_mm, bending.left_mm - low]))
    lying = place.after(seen)
    tips, roots = [], []
    for reach in reaches:
        first, second = (reached_motion(blank, lines[bend.id], reach) for bend in (main, other))
        if stroke.gauged_flange_side == "child":
            front, back = parent, parent.after(first).after(second)
        elif other.child == main.parent:
            front, back = parent.after(second).after(first), parent
        else:
            front, back = parent.after(first), parent.after(second)
        held = lying.after(back.inverse())
        comes = held.after(front).move - lying.move
        tips.append(blank.thickness_mm + float(comes[1]))
        roots.append(moved(held, (-0.5 * float(comes[0]), 0.0, 0.0)))
    spots = np.array([root.points(origin[None])[0] for root in roots])
    turns = np.array([quaternion(root.turn) for root in roots])
    return Sweep(reaches, marks, np.array(tips), spots, turns, roots[0], roots[-1])


def folded_corners(blank: Blank, placed: Mapping[str, Rigid]) -> Array:
    """Corners of all flats with the root held, shape (n, 3)."""
    return np.vstack([placed[flat.flange_id].points(plate_corners(blank, flat.flange_id)) for flat in blank.flats])


def moved(root: Rigid, way: Sequence[float]) -> Rigid:
    """The same, moved."""
    return Rigid(root.turn, root.move + np.asarray(way, dtype=np.float64))


def turned_between(first: Rigid, last: Rigid, pivot: Array) -> list[tuple[float, Rigid]]:
    """Shares and poses from one pose to another, the pivot on a straight line, turning at most ``TURN_DEG`` a step."""
    change = last.turn @ first.turn.T
    axis, turned = _axis(change)
    spots = first.points(pivot[None])[0], last.points(pivot[None])[0]
    count = max(1, math.ceil(math.degrees(turned) / TURN_DEG))
    out = []
    for k in range(1, count):
        share = k / count
        turn = about_line(np.zeros(3), axis, turned * share).turn @ first.turn
        spot = spots[0] + share * (spots[1] - spots[0])
        out.append((share, Rigid(turn, spot - turn @ pivot)))
    return [*out, (1.0, last)]


def _axis(change: Array) -> tuple[Array, float]:
    """Axis and turned angle [rad] of a rotation; of a half turn the axis along its largest direction."""
    skew = np.array([change[2, 1] - change[1, 2], change[0, 2] - change[2, 0], change[1, 0] - change[0, 1]])
    sine = float(np.linalg.norm(skew))
    turned = math.atan2(sine, float(np.trace(change)) - 1.0)
    if sine > 1e-6:
        return skew / sine, turned
    squares = 0.5 * (change + np.eye(3))
    column = squares[:, int(np.argmax(np.diag(squares)))]
    return column / np.linalg.norm(column), turned
