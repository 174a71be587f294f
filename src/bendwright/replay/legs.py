"""Do both legs lie on their die shoulder, from the first touch to the loaded angle?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bendwright.findings import Finding, found
from bendwright.replay.passing import TOLERANCE_MM
from bendwright.replay.saying import at_stroke
from bendwright.replay.solids import Array, hull_rings
from bendwright.replay.standing import Standing
from bendwright.replay.swing import Swing
from bendwright.said import phrase
from bendwright.stroke.result import Stroke

SAMPLES = 25
NEEDED_SHARE = 0.75
"""The leg of a bend is the one that three quarters of its length have."""
SEAM_MM = 2e-3
FAR_MM = 1e4
IN_PLANE_MM = 0.01


def shoulder_reach_mm(swing: Swing, *, steps: int = 91) -> float:
    """Farthest place of a leg that a shoulder touches during the stroke, from the middle of the flat bend [mm]."""
    a = np.linspace(0.0, swing.loaded, steps)
    pivot = swing.pivot(a)
    across, up = swing.half_centre - pivot[:, 0], swing.rise(a) - swing.shoulder - pivot[:, 1]
    return float((swing.allowance / 2 + across * np.cos(a / 2) + up * np.sin(a / 2)).max())


def legs_on_shoulders(stroke: Stroke, standing: Standing, swing: Swing) -> Iterator[Finding]:
    """V115 for a side whose lying sheet ends before its shoulder over more than a quarter of the bend."""
    need = shoulder_reach_mm(swing)
    places = _places(standing)
    for front in (False, True):
        lengths = np.sort(_lengths(standing, swing.t, front=front, start=swing.allowance / 2, places=places))
        have = swing.allowance / 2 + float(lengths[int((1.0 - NEEDED_SHARE) * len(lengths))])
        if have < need - TOLERANCE_MM:
            side = "operator's side" if front else "side at the gauge"
            yield found("V115", **at_stroke(stroke), side=phrase(side), have=have, need=need)


def _places(standing: Standing) -> Array:
    """Z of samples spread evenly over the bend's stretches."""
    whole = sum(high - low for low, high in standing.spans)
    steps = (np.arange(SAMPLES) + 0.5) / SAMPLES * whole
    out = []
    for step in steps:
        for low, high in standing.spans:
            if step <= high - low:
                out.append(low + step)
                break
            step -= high - low
    return np.array(out)


def _lengths(standing: Standing, thickness: float, *, front: bool, start: float, places: Array) -> Array:
    """Sheet in one piece beyond the tangent line at every place [mm]."""
    clouds = [p.corners[:, [0, 2]] for p in standing.pieces if p.leg and p.front == front]
    for side, corners in standing.setbacks:
        if side == front and np.abs(corners[:, 1] + thickness / 2).max() < IN_PLANE_MM:
            clouds.append(corners[:, [0, 2]])
    shapes = [shapely.Polygon(ring) for ring in hull_rings(clouds) if ring is not None]
    sheet = shapely.union_all(shapely.buffer(shapes, SEAM_MM, join_style="mitre"))
    sign = -1.0 if front else 1.0
    lines = shapely.linestrings([[(sign * start, z), (sign * FAR_MM, z)] for z in places])
    gaps = shapely.difference(lines, sheet)
    return np.array([_free(gap, sign * start) for gap in gaps])


def _free(gap: BaseGeometry, start: float) -> float:
    """Distance from the start to the first place without sheet [mm]."""
    low, _, high, _ = gap.bounds
    return float(abs((low if start >= 0 else high) - start)) if not gap.is_empty else FAR_MM
