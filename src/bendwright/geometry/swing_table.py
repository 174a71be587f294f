"""How does one body of the part stand at one bend, for every way the bends between may stand? Compiled.

A body is the convex hull of a cloud of points in blank space. Between the bend and the body lie k other bends; each is
either flat or finished, so the body has 2**k poses: bit i of the pose number says whether motion i (nearest to the bend
first) is done.
"""

from __future__ import annotations

from bendwright.compiled import borrows, compiled

FLAT_MM = 1e-6
ACROSS_MM = 0.05


@compiled
@borrows
def posed_cloud(cloud, turns, moves, pose, frame_turn, frame_move, out):
    """Write the cloud at the pose, seen in the bend's frame (u, v, w), into ``out``."""
    k = turns.shape[0]
    for p in range(cloud.shape[0]):
        x = cloud[p, 0]
        y = cloud[p, 1]
        z = cloud[p, 2]
        for back in range(k):
            i = k - 1 - back
            if pose >> i & 1:
                nx = turns[i, 0, 0] * x + turns[i, 0, 1] * y + turns[i, 0, 2] * z + moves[i, 0]
                ny = turns[i, 1, 0] * x + turns[i, 1, 1] * y + turns[i, 1, 2] * z + moves[i, 1]
                nz = turns[i, 2, 0] * x + turns[i, 2, 1] * y + turns[i, 2, 2] * z + moves[i, 2]
                x, y, z = nx, ny, nz
        for r in range(3):
            out[p, r] = frame_turn[r, 0] * x + frame_turn[r, 1] * y + frame_turn[r, 2] * z + frame_move[r]


@compiled
@borrows
def hull_of(points, count, ring, order):
    """Convex hull of the first two columns of ``points``, counter-clockwise, into ``ring``; returns its size."""
    for i in range(count):
        order[i] = i
    for i in range(1, count):
        key = order[i]
        j = i - 1
        while j >= 0 and (
            points[order[j], 0] > points[key, 0]
            or (points[order[j], 0] == points[key, 0] and points[order[j], 1] > points[key, 1])
        ):
            order[j + 1] = order[j]
            j -= 1
        order[j + 1] = key
    size = 0
    for half in range(2):
        least = 2 if half == 0 else size + 1
        for step in range(half, count):
            q = order[step] if half == 0 else order[count - 1 - step]
            while size >= least:
                ax = ring[size - 1, 0] - ring[size - 2, 0]
                ay = ring[size - 1, 1] - ring[size - 2, 1]
                bx = points[q, 0] - ring[size - 2, 0]
                by = points[q, 1] - ring[size - 2, 1]
                if ax * by - ay * bx > 1e-9:
                    break
                size -= 1
            ring[size, 0] = points[q, 0]
            ring[size, 1] = points[q, 1]
            size += 1
    return max(size - 1, 1)
