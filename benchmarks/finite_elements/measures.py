"""What a person would measure on the bent sheet, taken from the nodes of its two faces."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, cos, degrees, log, pi, sin

import numpy as np
from cases import Case
from sheet_mesh import SheetMesh

TAIL_SHARE = 0.1
"""The straight leg is fitted to this share of the half length, measured from half a thickness before its end."""


@dataclass(frozen=True, slots=True)
class Shape:
    """Included angle between the legs (180 is flat), inside radius, bend deduction, centre strain and thickness."""

    included_deg: float
    inside_radius_mm: float
    tip_radius_mm: float
    deduction_mm: float
    outer_strain: float
    centre_thickness_mm: float


def _line(points: np.ndarray) -> tuple[float, float]:
    """Slope angle and height on the bend plane of the straight line through points of a face."""
    slope, height = np.polyfit(points[:, 0], points[:, 1], 1)
    return atan2(slope, 1.0), float(height)


def _tail(mesh: SheetMesh, case: Case) -> np.ndarray:
    x = mesh.nodes[mesh.bottom, 0]
    end = x[-1] - 0.5 * case.thickness_mm
    return np.asarray((x >= end - TAIL_SHARE * x[-1]) & (x <= end))


def _tip_radius(face: np.ndarray) -> float:
    """Curvature radius of a face at the bend plane, by a parabola through its first five nodes."""
    x, y = face[:5, 0], face[:5, 1]
    bow = np.polyfit(x**2, y, 1)[0]
    return float("inf") if bow <= 0.0 else float(1.0 / (2.0 * bow))


def shape(mesh: SheetMesh, case: Case, moved: np.ndarray) -> Shape:
    """Measures of a sheet whose nodes have moved to ``moved``.

    The inside radius is that of the circle through the inner apex and tangent to both inner legs:
    ``r = h / (1 / sin(included / 2) - 1)`` with h from where the legs would meet to the apex.
    The deduction is twice the outside leg up to where the outside legs would meet, less the flat length.
    """
    tail, top, bottom = _tail(mesh, case), moved[mesh.top], moved[mesh.bottom]
    inner_rise, inner_height = _line(top[tail])
    outer_rise, outer_height = _line(bottom[tail])
    rise = (inner_rise + outer_rise) / 2.0
    half = pi / 2.0 - rise
    apex = top[0, 1] - inner_height
    end = bottom[-1]
    leg = end[0] * cos(outer_rise) + (end[1] - outer_height) * sin(outer_rise)
    first = mesh.nodes[mesh.bottom[2], 0]
    stretch = (8.0 * bottom[1, 0] - bottom[2, 0]) / (3.0 * first)
    return Shape(
        included_deg=degrees(2.0 * half),
        inside_radius_mm=float(apex / (1.0 / sin(half) - 1.0)),
        tip_radius_mm=_tip_radius(top),
        deduction_mm=float(2.0 * (leg - mesh.nodes[mesh.bottom[-1], 0])),
        outer_strain=log(stretch),
        centre_thickness_mm=float(top[0, 1] - bottom[0, 1]),
    )
