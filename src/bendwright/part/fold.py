"""What shape is the part after some of its bends are done?

Blank space: x, y as on the blank, z up from the middle plane of the flat sheet, so the top face is z = +t/2. The shape
depends on the set of done bends only, not on their order. A bend not yet finished keeps its arc length: its inside
radius at the turned angle a is allowance / a - K t, which is the tool's radius when a is the full angle.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import shapely

from bendwright.geometry.rigid import Array, Rigid, about_line
from bendwright.part.blank_model import BendLine, Blank
from bendwright.part.model import Part


@dataclass(frozen=True, slots=True)
class Axes:
    """A bend's own axes in blank space: middle point of its line on the middle plane, along, outward (to the child)."""

    middle: Array
    along: Array
    outward: Array


def bend_axes(line: BendLine) -> Axes:
    """Axes of a bend line on the blank; ``along`` runs start -> end, ``outward`` to its right, toward the child."""
    start = np.array([*line.start, 0.0])
    end = np.array([*line.end, 0.0])
    along = (end - start) / np.linalg.norm(end - start)
    return Axes(0.5 * (start + end), along, np.array([along[1], -along[0], 0.0]))


def bend_motion(blank: Blank, line: BendLine, turned_deg: float) -> Rigid:
    """How folding one bend by ``turned_deg`` moves the child's side, in blank space, the parent's side held."""
    if turned_deg == 0.0:
        return Rigid.identity()
    size = blank.size(line.bend_id)
    radius = size.bend_allowance_mm / math.radians(turned_deg) - size.k_factor * blank.thickness_mm
    return _about_arc(blank, line, turned_deg, radius, size.bend_allowance_mm)


def arc_length_mm(blank: Blank, line: BendLine, turned_deg: float, inside_radius_mm: float) -> float:
    """Sheet that an arc of that radius takes up along its neutral fibre [mm]."""
    fibre = inside_radius_mm + blank.size(line.bend_id).k_factor * blank.thickness_mm
    return float(math.radians(turned_deg) * fibre)


def arc_motion(blank: Blank, line: BendLine, turned_deg: float, inside_radius_mm: float) -> Rigid:
    """How a bend moves the child's side when it is bent so far to that inside radius, about the middle of its line."""
    length = arc_length_mm(blank, line, turned_deg, inside_radius_mm)
    return _about_arc(blank, line, turned_deg, inside_radius_mm, length)


def _about_arc(blank: Blank, line: BendLine, turned_deg: float, radius_mm: float, allowance_mm: float) -> Rigid:
    axes = bend_axes(line)
    sign = 1.0 if line.direction == "up" else -1.0
    centre = axes.middle - 0.5 * allowance_mm * axes.outward
    centre = centre + np.array([0.0, 0.0, sign * (0.5 * blank.thickness_mm + radius_mm)])
    slide = Rigid(np.eye(3), -allowance_mm * axes.outward)
    return about_line(centre, axes.along, -sign * math.radians(turned_deg)).after(slide)


def fold(part: Part, blank: Blank, turned_deg: Mapping[str, float] | None = None) -> dict[str, Rigid]:
    """Placement of every flange (blank space in, folded space out; root held still).

    ``turned_deg`` gives the angle each bend has reached; bends not named are flat. None = all bends finished.
    """
    angles = {bend.id: bend.turned_deg for bend in part.bends} if turned_deg is None else turned_deg
    lines = {line.bend_id: line for line in blank.bend_lines}
    placed = {part.flanges[0].id: Rigid.identity()}
    for bend in part.bends:
        motion = bend_motion(blank, lines[bend.id], angles.get(bend.id, 0.0))
        placed[bend.child] = placed[bend.parent].after(motion)
    return placed


def unfold(part: Part, blank: Blank, folded: Mapping[str, Array], turned_deg: Mapping[str, float]) -> dict[str, Array]:
    """Take folded points (flange id -> points of shape (n, 3)) back to blank space: the inverse of ``fold``."""
    placed = fold(part, blank, turned_deg)
    return {flange_id: placed[flange_id].inverse().points(points) for flange_id, points in folded.items()}


def plate_corners(blank: Blank, flange_id: str) -> Array:
    """Corner points of a flange's flat piece in blank space, bottom ring then top ring, shape (2 n, 3)."""
    flat = {item.flange_id: item for item in blank.flats}[flange_id]
    ring = np.array(flat.outline)
    half = 0.5 * blank.thickness_mm
    low = np.column_stack([ring, np.full(len(ring), -half)])
    high = np.column_stack([ring, np.full(len(ring), half)])
    return np.vstack([low, high])


def plate_area_mm2(blank: Blank, flange_id: str) -> float:
    """Area of a flange's flat piece without its features [mm2]."""
    flat = {item.flange_id: item for item in blank.flats}[flange_id]
    return float(shapely.Polygon(flat.outline).area)
