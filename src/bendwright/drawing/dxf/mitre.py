"""Where two bends meet at a corner of the flat between them: the line that shares the sheet out to both."""

from __future__ import annotations

import math

from shapely import Polygon

from bendwright.drawing.dxf.axes import Axis

LEAST_SINE = 0.1
FAR_MM = 1e5


def mitre(one: Axis, other: Axis, half: float, other_half: float) -> Polygon | None:
    """The half plane that belongs to the first of two bends that meet at their ends; None when they do not meet so.

    It is bounded by the line through the crossings of the inner and of the outer tangent lines; ``half`` and ``other_half`` are half
    the widths of the two zones [mm].
    """
    sine = one.along[0] * other.along[1] - one.along[1] * other.along[0]
    if abs(sine) < LEAST_SINE:
        return None
    x, y = other.origin[0] - one.origin[0], other.origin[1] - one.origin[1]
    crossing = one.at((x * other.along[1] - y * other.along[0]) / sine)
    near = 2.0 * (half + other_half) / abs(sine)
    way, other_way = (_way_in(axis, axis.local(crossing)[0], near) for axis in (one, other))
    if not way or not other_way:
        return None
    u = (way * one.along[0], way * one.along[1])
    v = (other_way * other.along[0], other_way * other.along[1])
    dx, dy = other_half * u[0] + half * v[0], other_half * u[1] + half * v[1]
    scale = FAR_MM / math.hypot(dx, dy)
    dx, dy = scale * dx, scale * dy
    left = 1.0 if dx * u[1] - dy * u[0] > 0.0 else -1.0
    ends = ((crossing[0] + dx, crossing[1] + dy), (crossing[0] - dx, crossing[1] - dy))
    return Polygon([*ends, *((px - left * dy, py + left * dx) for px, py in reversed(ends))])


def _way_in(axis: Axis, crossing: float, near: float) -> int:
    """From a crossing near one end of an axis toward its other end: 1 along, -1 against; 0 when it lies well inside or far off."""
    low, high = axis.span
    if abs(crossing - low) <= near and abs(crossing - low) < abs(crossing - high):
        return 1
    return -1 if abs(crossing - high) <= near else 0
