"""Can the part be brought between punch and die, and does the ram come far enough down?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from bendwright.findings import Finding, found
from bendwright.replay.hung import Tool
from bendwright.replay.passing import TOLERANCE_MM, narrow_width
from bendwright.replay.saying import at_stroke
from bendwright.replay.solids import hull_rings
from bendwright.replay.standing import Standing
from bendwright.replay.swing import Swing
from bendwright.said import phrase
from bendwright.shop.brake import Brake
from bendwright.shop.tools import Die, Punch
from bendwright.stroke.result import Stroke

LIFTS = 13


def daylight_mm(brake: Brake, punch: Punch, die: Die) -> float | None:
    """Free height between punch tip and die top with the ram up [mm]; None where the machine's sheet is silent."""
    if brake.open_height_mm is None or brake.die_holder_height_mm is None:
        return None
    held = getattr(brake, "punch_clamps", None)
    above = (brake.punch_holder_height_mm or 0.0) + (held.height_mm if held is not None else 0.0)
    return brake.open_height_mm - punch.height_mm - die.height_mm - above - brake.die_holder_height_mm


def brought_in(
    stroke: Stroke, standing: Standing, tools: Sequence[Tool], swing: Swing, *, brake: Brake, punch: Punch, die: Die
) -> Iterator[Finding]:
    """V121 where the part does not pass between the open tools, V122 where the ram does not reach the depth."""
    free = daylight_mm(brake, punch, die)
    if free is None:
        return
    at = at_stroke(stroke)
    own = [tool for tool in tools if " of station " not in tool.name]
    if stroke.brought_in == "straight":
        need = _height_mm(standing, own, swing.t, punch, die)
        if need > free + TOLERANCE_MM:
            yield found("V121", way=phrase("straight from the front"), over=need - free, free=free, **at)
    else:
        over = min(_along_mm(standing, own, swing, free, from_right=way) for way in (True, False))
        if over > TOLERANCE_MM:
            yield found("V121", way=phrase("along the bed"), over=over, free=free, **at)
    travel = free - swing.t + stroke.depth_mm
    if brake.stroke_mm is not None and travel > brake.stroke_mm + TOLERANCE_MM:
        yield found("V122", travel=travel, stroke=brake.stroke_mm, **at)


def _height_mm(standing: Standing, tools: Sequence[Tool], thickness: float, punch: Punch, die: Die) -> float:
    """Height of what goes through to the gauge: under the punch where the punch hangs, under the ram beside it; the same below."""
    top, bottom = 0.0, -thickness
    for piece in standing.pieces:
        if piece.front:
            continue
        low, high = piece.low, piece.high
        under = any(t.role in ("punch", "clamp") and low[2] < t.high_z and high[2] > t.low_z for t in tools)
        above = any(t.role == "die" and low[2] < t.high_z and high[2] > t.low_z for t in tools)
        top = max(top, high[1] - (0.0 if under else punch.height_mm))
        bottom = min(bottom, low[1] + (0.0 if above else die.height_mm))
    return float(top - bottom)


def _along_mm(standing: Standing, tools: Sequence[Tool], swing: Swing, free: float, *, from_right: bool) -> float:
    """How far the part reaches into a tool when it is slid along the bed at the best height; 0 where it passes."""
    punch = [tool for tool in tools if tool.role == "punch"]
    left, right = min(tool.low_z for tool in punch), max(tool.high_z for tool in punch)
    passing = [p for p in standing.pieces if (p.low[2] < right if from_right else p.high[2] > left)]
    rings = hull_rings([piece.corners[:, :2] for piece in passing])
    thickness, half = swing.t, swing.allowance / 2
    zone = shapely.box(-half, -thickness, half, 0.0)
    section = shapely.union_all([zone, *(shapely.Polygon(ring) for ring in rings if ring is not None)])
    least = np.inf
    for lift in np.linspace(0.0, free - thickness, LIFTS):
        part = shapely.affinity.translate(section, 0.0, float(lift))
        worst = 0.0
        for tool in tools:
            up = -thickness if tool.rises else free - thickness
            shape = shapely.affinity.translate(tool.shape, 0.0, up)
            worst = max(worst, narrow_width(part.intersection(shape)))
        least = min(least, worst)
    return float(least)
