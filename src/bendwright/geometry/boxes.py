"""Boxes of posed bodies. Compiled."""

from __future__ import annotations

import numpy as np

from bendwright.compiled import compiled
from bendwright.geometry.swing_table import posed_cloud


@compiled
def pose_boxes(cloud, turns, moves, frame_turn, frame_move):
    """(u low, u high, v low, v high, w low, w high) of a body for each of its 2**k poses, sheet lying flat."""
    poses = 1 << turns.shape[0]
    out = np.empty((poses, 6))
    seen = np.empty((cloud.shape[0], 3))
    for pose in range(poses):
        posed_cloud(cloud, turns, moves, pose, frame_turn, frame_move, seen)
        for axis in range(3):
            out[pose, 2 * axis] = seen[:, axis].min()
            out[pose, 2 * axis + 1] = seen[:, axis].max()
    return out
