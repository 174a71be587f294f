"""Where every piece of the sheet is when it lies on the die for a stroke, seen from the operator, out of the plan alone.

Axes of the machine: along the bed to the operator's right from the left end of the bend, toward the gauge from the bend line, up
from the die's top [mm].
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import shapely

from bendwright.geometry.rigid import Array, Rigid
from bendwright.part.blank_model import BendLine, Blank
from bendwright.part.fold import bend_axes, bend_motion
from bendwright.plan.result import Plan
from bendwright.stroke.result import Stroke

BESIDE_MM = 0.1
FAR_MM = 2.0


@dataclass(frozen=True, slots=True)
class Plate:
    """One plane piece of the sheet: its flange ("" = the sheet of a bend), its corners, shape (n, 3): along, toward the gauge, up."""

    flange_id: str
    corners: Array

    @property
    def top_seen(self) -> bool:
        """Whether its corners, counter-clockwise on the top face, still run so seen from above."""
        x, y = self.corners[:, 0], self.corners[:, 1]
        return bool(x @ np.roll(y, -1) >= y @ np.roll(x, -1))


def plates(plan: Plan, stroke: Stroke) -> tuple[Plate, ...]:
    """The sheet just before ``stroke``: bends of earlier strokes made, all others flat."""
    blank = plan.blank
    lines = {line.bend_id: line for line in blank.bend_lines}
    sides = {name: _sides(blank, line) for name, line in lines.items()}
    placed = _placed(blank, lines, sides, _made(plan, stroke), root=sides[stroke.bend_id][0])
    to_machine = _machine(blank, [lines[name] for name in stroke.bend_ids], stroke)
    out = [
        Plate(flat.flange_id, to_machine.points(placed[flat.flange_id].points(_level(flat.outline))))
        for flat in blank.flats
        if flat.flange_id in placed
    ]
    for zone in blank.zones:
        parent, child = sides[zone.bend_id]
        if parent in placed and child in placed:
            axes, ring = bend_axes(lines[zone.bend_id]), _level(zone.outline)
            beyond = (ring - axes.middle) @ axes.outward > 0.0
            bent = np.where(beyond[:, None], placed[child].points(ring), placed[parent].points(ring))
            out.append(Plate("", to_machine.points(bent)))
    return tuple(out)


def pushed_edge(plan: Plan, stroke: Stroke, sheet: tuple[Plate, ...]) -> Array | None:
    """Both ends of what is pushed against the fingers, shape (2, 3); None where nothing is gauged or it cannot be told."""
    gauge = stroke.gauging
    if gauge.kind == "none" or not gauge.fingers_z_mm:
        return None
    if gauge.fingers_x_mm:
        return np.array([[z, x, gauge.r_mm] for z, x in zip(gauge.fingers_z_mm, gauge.fingers_x_mm, strict=True)])
    near = 0.5 * plan.sheet.thickness_mm + FAR_MM
    spots = np.vstack([plate.corners for plate in sheet])
    touching = spots[np.abs(spots[:, 1] - gauge.x_mm) <= near]
    if len(touching) < 2:
        return None
    low, high = float(touching[:, 0].min()), float(touching[:, 0].max())
    up = float(np.clip(np.median(touching[:, 2]), gauge.r_mm, gauge.r_mm + near)) if gauge.kind == "face" else 0.0
    return np.array([[low, gauge.x_mm, up], [high, gauge.x_mm, up]])


def _level(ring: tuple[tuple[float, float], ...]) -> Array:
    flat = np.array(ring)
    return np.column_stack([flat, np.zeros(len(flat))])


def _sides(blank: Blank, line: BendLine) -> tuple[str, str]:
    """The flanges on the parent's and on the child's side of a line: the flat pieces nearest to it there; "" = none near."""
    axes = bend_axes(line)
    start, along = np.array([*line.start, 0.0]), axes.along
    low, high = line.spans[0]
    middle, out = start + 0.5 * (low + high) * along, 0.5 * line.zone_width_mm + BESIDE_MM
    found = []
    for way in (-out, out):
        spot = shapely.Point(*(middle + way * axes.outward)[:2])
        far = [(shapely.Polygon(flat.outline).distance(spot), flat.flange_id) for flat in blank.flats]
        distance, name = min(far)
        found.append(name if distance <= line.zone_width_mm + FAR_MM else "")
    return found[0], found[1]


def _made(plan: Plan, stroke: Stroke) -> dict[str, float]:
    """How far every bend made before is turned [degrees]."""
    final = {line.bend_id: line.turned_deg for line in plan.blank.bend_lines}
    return {
        name: 180.0 - earlier.target_included_deg if earlier.kind == "hem_prebend" else final[name]
        for earlier in plan.strokes[: stroke.number - 1]
        for name in earlier.bend_ids
    }


def _placed(
    blank: Blank,
    lines: Mapping[str, BendLine],
    sides: Mapping[str, tuple[str, str]],
    made: Mapping[str, float],
    *,
    root: str,
) -> dict[str, Rigid]:
    """Placement of every flange that can be reached from ``root``, which lies still."""
    placed, grown = {root: Rigid.identity()}, True
    while grown:
        grown = False
        for name, (parent, child) in sides.items():
            if (parent in placed) == (child in placed) or not (parent and child):
                continue
            motion = bend_motion(blank, lines[name], made.get(name, 0.0))
            if parent in placed:
                placed[child] = placed[parent].after(motion)
            else:
                placed[parent] = placed[child].after(motion.inverse())
            grown = True
    return placed


def _machine(blank: Blank, lines: list[BendLine], stroke: Stroke) -> Rigid:
    """From blank space, the parent's side held, to the machine."""
    axes = bend_axes(lines[0])
    toward = axes.outward if stroke.gauged_flange_side == "child" else -axes.outward
    up = np.array([0.0, 0.0, 1.0 if stroke.direction == "up" else -1.0])
    turn = np.vstack([np.cross(toward, up), toward, up])
    ends = [
        turn[0] @ (np.array([*line.start, 0.0]) + distance * bend_axes(line).along)
        for line in lines
        for span in line.spans
        for distance in span
    ]
    middle = turn @ axes.middle
    return Rigid(turn, np.array([-min(ends), -middle[1], 0.5 * blank.thickness_mm]))
