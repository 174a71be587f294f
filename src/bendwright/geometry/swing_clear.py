"""Does one side of the sheet stay clear of a tool during the whole swing? Yes or no, as fast as it can be proved. Compiled.

The same movement as in ``kernels``; here no distance is wanted, only whether it falls below ``touch`` anywhere. An interval
of the angle is given up when no point can move far enough in it; where both stay apart by less than ``tolerance`` at every
angle looked at, they count as clear.
"""

from __future__ import annotations

import numpy as np

from bendwright.compiled import borrows, compiled, inner
from bendwright.geometry.kernels import FAR, apart_by, die_rise, swing_ring

DEEPEST = 96


@compiled
@borrows
def _reach(ring, n, allowance):
    """Farthest corner of a ring from the middle of the bend's end [mm]."""
    best = 0.0
    for i in range(n):
        best = max(best, np.hypot(ring[i, 0] - 0.5 * allowance, ring[i, 1]))
    return best


@inner
@borrows
def _gap_at(ring, n, tool, m, moving, turned, bend, need, swung, lifted):
    """Separation of the swung ring and one tool piece at a turned angle."""
    _, allowance, k_thickness, thickness, half_centre, shoulder = bend
    swing_ring(ring, n, turned, allowance, k_thickness, swung)
    if not moving:
        return apart_by(swung, n, tool, m, need)
    rise = die_rise(turned, allowance, k_thickness, thickness, half_centre, shoulder)
    for i in range(m):
        lifted[i, 0] = tool[i, 0]
        lifted[i, 1] = tool[i, 1] + rise
    return apart_by(swung, n, lifted, m, need)


@inner
@borrows
def _speed(ring_reach, tool, m, moving, bend):
    """Most a point near the tool piece moves per radian of turned angle [mm]; farther out than the tool nothing can meet it."""
    end, allowance, _, _, half_centre, _ = bend
    far = 0.0
    for i in range(m):
        far = max(far, np.hypot(tool[i, 0], tool[i, 1]))
    speed = 0.5 * min(ring_reach, far + 2.0 * allowance + 2.0 * half_centre) + 0.5 * allowance
    if moving:
        c = np.cos(0.5 * end)
        speed += 0.5 * half_centre / (c * c) + 0.25 * allowance
    return speed


@inner
@borrows
def _piece_meets(ring, n, reach, tool, m, moving, bend, touch, tolerance, swung, lifted, stack):
    """``swing_meets`` for one piece of a tool."""
    end = bend[0]
    speed = _speed(reach, tool, m, moving, bend)
    stack[0] = (0.0, end)
    top = 1
    first = True
    while top > 0:
        top -= 1
        low, high = stack[top]
        middle = 0.5 * (low + high)
        room = speed * 0.5 * (high - low)
        gap = _gap_at(ring, n, tool, m, moving, middle, bend, touch + room, swung, lifted)
        if gap <= touch:
            return True
        if gap > touch + room or room <= tolerance or top > DEEPEST - 3:
            continue
        if first:
            first = False
            for edge in (0.0, end):
                if _gap_at(ring, n, tool, m, moving, edge, bend, touch, swung, lifted) <= touch:
                    return True
        stack[top] = (low, middle)
        stack[top + 1] = (middle, high)
        top += 2
    return False


@compiled
def swing_meets(ring, n, tools, counts, moving, bend, touch, tolerance):
    """True when the ring comes nearer than ``touch`` to some piece at some angle of the swing 0..end.

    ``bend`` as in ``kernels.swing_gap``; ``tools`` (pieces, corners, 2) with ``counts`` corners each; die-side pieces rise.
    """
    swung, lifted, stack = np.empty((n, 2)), np.empty((tools.shape[1], 2)), np.empty((DEEPEST, 2))
    reach = _reach(ring, n, bend[1])
    for k in range(tools.shape[0]):
        m = counts[k]
        if m > 0 and _piece_meets(ring, n, reach, tools[k], m, moving, bend, touch, tolerance, swung, lifted, stack):
            return True
    return False


@compiled
@borrows
def sector_of(ring, n, x0, out):
    """Nearest and farthest distance of a ring from (x0, 0), and its lowest and highest direction from there [rad], cut open
    straight down; all round where the point lies inside or the ring reaches over the cut.
    """
    near, far, low, high = FAR, 0.0, FAR, -FAR
    inside = True
    for i in range(n):
        x, y = ring[i, 0] - x0, ring[i, 1]
        j = i + 1 if i + 1 < n else 0
        ex, ey = ring[j, 0] - ring[i, 0], ring[j, 1] - ring[i, 1]
        far = max(far, np.hypot(x, y))
        turned = np.arctan2(y, x)
        if turned < -0.5 * np.pi:
            turned += 2.0 * np.pi
        low, high = min(low, turned), max(high, turned)
        square = ex * ex + ey * ey
        s = 0.0 if square < 1e-18 else min(1.0, max(0.0, -(x * ex + y * ey) / square))
        near = min(near, np.hypot(x + s * ex, y + s * ey))
        inside = inside and ex * y - ey * x <= 0.0
    if inside or high - low > np.pi:
        near, low, high = 0.0, -np.pi, 2.0 * np.pi
    out[0], out[1], out[2], out[3] = near, far, low, high


@inner
@borrows
def sectors_apart(sector, turns, tool, spare):
    """True when a ring of that sector, turned up by as much as ``turns`` [rad] about a point that stays within ``spare`` of the
    origin, cannot reach a piece whose sector about the origin is ``tool``.
    """
    if sector[0] - spare > tool[1] or tool[0] > sector[1] + spare:
        return True
    near = max(tool[0], sector[0] - spare)
    if near <= spare or near <= 1e-9:
        return False
    margin = np.arcsin(spare / near)
    return sector[3] + turns + margin < tool[2] or sector[2] - margin > tool[3]


@inner
def swing_meets_near(ring, n, sector, tools, counts, sectors, moving, bend, touch, tolerance, spare):
    """``swing_meets`` that passes over the pieces a glance at sectors shows to be out of reach."""
    near = 0
    while near < tools.shape[0] and (counts[near] == 0 or sectors_apart(sector, 0.5 * bend[0], sectors[near], spare)):
        near += 1
    if near == tools.shape[0]:
        return False
    swung, lifted, stack = np.empty((n, 2)), np.empty((tools.shape[1], 2)), np.empty((DEEPEST, 2))
    reach = _reach(ring, n, bend[1])
    for k in range(near, tools.shape[0]):
        m = counts[k]
        if m == 0 or sectors_apart(sector, 0.5 * bend[0], sectors[k], spare):
            continue
        if _piece_meets(ring, n, reach, tools[k], m, moving, bend, touch, tolerance, swung, lifted, stack):
            return True
    return False


@inner
@borrows
def stands_clear(ring, n, tools, counts, touch):
    """True when a ring that stands still keeps at least ``touch`` from every piece."""
    for k in range(tools.shape[0]):  # noqa: SIM110 (compiled)
        if counts[k] > 0 and apart_by(ring, n, tools[k], counts[k], touch) <= touch:
            return False
    return True
