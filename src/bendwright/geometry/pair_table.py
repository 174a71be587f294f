"""Does the part run into itself while one bend is made? Plates of the two sides against each other. Compiled.

Plates are clouds of a bottom ring and a top ring of the same length. Two convex bodies are apart when some direction among
their face normals and the cross products of their edges separates them; the widest such separation has the right sign and
is a lower bound of their distance.
"""

from __future__ import annotations

import numpy as np

from bendwright.compiled import borrows, compiled, inner
from bendwright.geometry.kernels import FAR, radius_at


@compiled
@borrows
def _along(cloud, x, y, z):
    low = FAR
    high = -FAR
    for i in range(cloud.shape[0]):
        d = cloud[i, 0] * x + cloud[i, 1] * y + cloud[i, 2] * z
        if d < low:
            low = d
        if d > high:
            high = d
    return low, high


@inner
@borrows
def _axis_gap(a, b, x, y, z):
    length = np.sqrt(x * x + y * y + z * z)
    if length < 1e-9:
        return -FAR
    low_a, high_a = _along(a, x / length, y / length, z / length)
    low_b, high_b = _along(b, x / length, y / length, z / length)
    return max(low_b - high_a, low_a - high_b)


@inner
@borrows
def _directions(cloud, out):
    """Edge directions of a plate: through its thickness, then along each edge of its ring."""
    m = cloud.shape[0] // 2
    for r in range(3):
        out[0, r] = cloud[m, r] - cloud[0, r]
    for i in range(m):
        j = i + 1 if i + 1 < m else 0
        for r in range(3):
            out[1 + i, r] = cloud[j, r] - cloud[i, r]
    return m + 1


@compiled
def plates_apart(a, b, cap):
    """Widest separation of two plates over all separating directions; stops early above ``cap``."""
    da = np.empty((a.shape[0] // 2 + 1, 3))
    db = np.empty((b.shape[0] // 2 + 1, 3))
    na = _directions(a, da)
    nb = _directions(b, db)
    best = max(_axis_gap(a, b, da[0, 0], da[0, 1], da[0, 2]), _axis_gap(a, b, db[0, 0], db[0, 1], db[0, 2]))
    for side in range(2):
        d = da if side == 0 else db
        n = na if side == 0 else nb
        for i in range(1, n):
            if best > cap:
                return best
            x = d[0, 1] * d[i, 2] - d[0, 2] * d[i, 1]
            y = d[0, 2] * d[i, 0] - d[0, 0] * d[i, 2]
            z = d[0, 0] * d[i, 1] - d[0, 1] * d[i, 0]
            best = max(best, _axis_gap(a, b, x, y, z))
    for i in range(na):
        for j in range(nb):
            if best > cap:
                return best
            x = da[i, 1] * db[j, 2] - da[i, 2] * db[j, 1]
            y = da[i, 2] * db[j, 0] - da[i, 0] * db[j, 2]
            z = da[i, 0] * db[j, 1] - da[i, 1] * db[j, 0]
            best = max(best, _axis_gap(a, b, x, y, z))
    return best


@compiled
def _swung(cloud, turned, allowance, k_thickness, sign, out):
    if turned < 1e-9:
        out[:] = cloud
    else:
        half = 0.5 * turned
        c = np.cos(half)
        s = np.sin(half)
        radius = radius_at(turned, allowance, k_thickness)
        for i in range(cloud.shape[0]):
            u = cloud[i, 0] - 0.5 * allowance
            v = cloud[i, 1]
            out[i, 0] = radius * s + u * c - v * s
            out[i, 1] = radius * (1.0 - c) + u * s + v * c
            out[i, 2] = cloud[i, 2]
    for i in range(cloud.shape[0]):
        out[i, 0] *= sign


@compiled
def _reach(cloud, allowance):
    best = 0.0
    for i in range(cloud.shape[0]):
        u = cloud[i, 0] - 0.5 * allowance
        best = max(best, np.sqrt(u * u + cloud[i, 1] * cloud[i, 1]))
    return 0.5 * best + 0.5 * allowance


@inner
def pair_swing_gap(a, b, bend, cap, tolerance):
    """Smallest separation of plate ``a`` (parent's side, mirrored) and ``b`` (child's side) over the swing; capped."""
    end = bend[0]
    allowance = bend[1]
    k_thickness = bend[2]
    low_a, high_a = _along(a, 0.0, 0.0, 1.0)
    low_b, high_b = _along(b, 0.0, 0.0, 1.0)
    if max(low_b - high_a, low_a - high_b) >= cap:
        return cap
    speed = _reach(a, allowance) + _reach(b, allowance)
    at_a = np.empty_like(a)
    at_b = np.empty_like(b)
    best = cap
    stack = np.empty((128, 2))
    stack[0, 0] = 0.0
    stack[0, 1] = end
    stack[1, 0] = end
    stack[1, 1] = end
    top = 2
    while top > 0:
        top -= 1
        low = stack[top, 0]
        high = stack[top, 1]
        middle = 0.5 * (low + high)
        room = speed * 0.5 * (high - low)
        _swung(a, middle, allowance, k_thickness, -1.0, at_a)
        _swung(b, middle, allowance, k_thickness, 1.0, at_b)
        gap = plates_apart(at_a, at_b, best + room)
        if gap < best:
            best = gap
        if gap - room < best - tolerance and top < 126 and best > -tolerance:
            stack[top, 0] = low
            stack[top, 1] = middle
            stack[top + 1, 0] = middle
            stack[top + 1, 1] = high
            top += 2
    return best
