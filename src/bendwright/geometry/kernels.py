"""Exact distances between convex outlines, standing still and along the swing of a bend. Compiled, plain arrays.

The swing: one side of the sheet, seen from the punch tip (origin; y up; sheet side toward +x), turns by half the turned
angle while its bend zone wraps. A point at (u, v) of the flat side (u from the middle of the bend zone, v above the inner
face) stands at turned angle a at

    P(a) + (u - BA/2) (cos a/2, sin a/2) + v (-sin a/2, cos a/2),   P(a) = R(a) (sin a/2, 1 - cos a/2),  R(a) = BA/a - K t

and the die has risen by depth(a) - t, depth(a) = Wc tan(a/2) - (R(a) + t + rd)(1/cos(a/2) - 1).
"""

from __future__ import annotations

import numpy as np

from bendwright.compiled import borrows, compiled, inner

FAR = 1e9
DEEPEST = 128


@inner
@borrows
def apart_by(a, na, b, nb, need):
    """Widest separation of two convex rings along the edge normals of both; stops at the first above ``need``."""
    best = -FAR
    for turn in range(2):
        p, n, q, m = (a, na, b, nb) if turn == 0 else (b, nb, a, na)
        for i in range(n):
            j = i + 1 if i + 1 < n else 0
            ex = p[j, 0] - p[i, 0]
            ey = p[j, 1] - p[i, 1]
            length = np.sqrt(ex * ex + ey * ey)
            if length < 1e-12:
                continue
            nx = ey / length
            ny = -ex / length
            low = FAR
            for k in range(m):
                d = nx * (q[k, 0] - p[i, 0]) + ny * (q[k, 1] - p[i, 1])
                if d < low:
                    low = d
            if low > best:
                best = low
                if best > need:
                    return best
    return best


@compiled
@borrows
def _nearest(a, na, b, nb):
    """Smallest distance from a corner of b to an edge of a."""
    best = FAR
    for i in range(na):
        j = i + 1 if i + 1 < na else 0
        ex = a[j, 0] - a[i, 0]
        ey = a[j, 1] - a[i, 1]
        square = ex * ex + ey * ey
        for k in range(nb):
            px = b[k, 0] - a[i, 0]
            py = b[k, 1] - a[i, 1]
            s = 0.0
            if square > 1e-24:
                s = (px * ex + py * ey) / square
                if s < 0.0:
                    s = 0.0
                elif s > 1.0:
                    s = 1.0
            dx = px - s * ex
            dy = py - s * ey
            d = dx * dx + dy * dy
            if d < best:
                best = d
    return np.sqrt(best)


@compiled
@borrows
def convex_gap(a, na, b, nb, cap):
    """Signed distance of two convex rings: exact when apart, minus the least shift that parts them when they overlap.

    Values above ``cap`` are returned as some value above ``cap`` (a lower bound), which saves time.
    """
    apart = apart_by(a, na, b, nb, cap)
    if apart <= 0.0 or apart > cap:
        return apart
    return min(_nearest(a, na, b, nb), _nearest(b, nb, a, na))


@compiled
@borrows
def radius_at(turned, allowance, k_thickness):
    """Inside radius at the turned angle [rad] of a bend that keeps its arc length."""
    return allowance / turned - k_thickness


@compiled
@borrows
def die_rise(turned, allowance, k_thickness, thickness, half_centre, shoulder):
    """Height of the die top above the punch tip [mm] when both legs have turned by half of ``turned`` [rad]."""
    if turned < 1e-9:
        return -thickness
    half = 0.5 * turned
    radius = radius_at(turned, allowance, k_thickness)
    depth = half_centre * np.tan(half) - (radius + thickness + shoulder) * (1.0 / np.cos(half) - 1.0)
    return depth - thickness


@compiled
@borrows
def swing_ring(ring, n, turned, allowance, k_thickness, out):
    """Write the ring of a side at the turned angle [rad] into ``out``."""
    if turned < 1e-9:
        for i in range(n):
            out[i, 0] = ring[i, 0]
            out[i, 1] = ring[i, 1]
        return
    half = 0.5 * turned
    c = np.cos(half)
    s = np.sin(half)
    radius = radius_at(turned, allowance, k_thickness)
    px = radius * s
    py = radius * (1.0 - c)
    for i in range(n):
        u = ring[i, 0] - 0.5 * allowance
        v = ring[i, 1]
        out[i, 0] = px + u * c - v * s
        out[i, 1] = py + u * s + v * c


@inner
@borrows
def _pose_gap(ring, n, tools, counts, moving, rise, cap, work):
    """Smallest gap of one ring to all tool pieces (die pieces lifted by ``rise``); returns gap and piece index."""
    best = cap
    where = -1
    for k in range(tools.shape[0]):
        m = counts[k]
        if m == 0:
            continue
        lift = rise if moving else 0.0
        for i in range(m):
            work[i, 0] = tools[k, i, 0]
            work[i, 1] = tools[k, i, 1] + lift
        gap = convex_gap(ring, n, work, m, best)
        if gap < best:
            best = gap
            where = k
    return best, where


@inner
@borrows
def _fastest(ring, n, tools, counts, moving, bend, cap):
    """Most a point of the ring moves against the tools per radian [mm]; what lies farther out than they reach cannot matter."""
    end, allowance, _, _, half_centre, _ = bend
    reach = 0.0
    for i in range(n):
        reach = max(reach, np.hypot(ring[i, 0] - 0.5 * allowance, ring[i, 1]))
    far = 0.0
    for k in range(tools.shape[0]):
        for i in range(counts[k]):
            far = max(far, np.hypot(tools[k, i, 0], tools[k, i, 1]))
    speed = 0.5 * min(reach, far + cap + 2.0 * allowance + 2.0 * half_centre) + 0.5 * allowance
    if moving:
        c = np.cos(0.5 * end)
        speed += 0.5 * half_centre / (c * c) + 0.25 * allowance
    return speed


@compiled
def swing_gap(ring, n, tools, counts, moving, bend, cap, tolerance, share):
    """Smallest gap of one ring of a side to tool pieces over the whole swing 0..end; not sampled into luck.

    ``bend`` = (end turned angle [rad], allowance, K t, t, half distance of shoulder centres, shoulder radius). Intervals of
    the angle are split until none can hold a gap smaller than the best found by more than ``tolerance`` (of overlaps:
    by more than ``share`` of their depth). Returns (gap, angle, piece); gaps above ``cap`` come back as ``cap``.
    """
    end, allowance, k_thickness, thickness, half_centre, shoulder = bend
    speed = _fastest(ring, n, tools, counts, moving, bend, cap)
    swung = np.empty((n, 2))
    work = np.empty((tools.shape[1], 2))
    best, at, piece = cap, 0.0, -1
    stack = np.empty((DEEPEST, 2))
    stack[0] = (0.0, end)
    stack[1] = (0.0, 0.0)
    stack[2] = (end, end)
    top = 3
    while top > 0:
        top -= 1
        low, high = stack[top]
        middle = 0.5 * (low + high)
        room = speed * 0.5 * (high - low)
        swing_ring(ring, n, middle, allowance, k_thickness, swung)
        rise = die_rise(middle, allowance, k_thickness, thickness, half_centre, shoulder)
        gap, where = _pose_gap(swung, n, tools, counts, moving, rise, best + room, work)
        if where < 0:
            continue
        if gap < best:
            best, at, piece = gap, middle, where
        if high > low and gap - room < best - max(tolerance, -share * best) and top < DEEPEST - 2:
            stack[top] = (low, middle)
            stack[top + 1] = (middle, high)
            top += 2
    return best, at, piece
