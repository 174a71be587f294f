"""Rigid placements in space: rotation matrix and translation as plain numpy arrays."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Rigid:
    """point -> turn @ point + move (3x3 matrix, 3-vector in mm)."""

    turn: Array
    move: Array

    @classmethod
    def identity(cls) -> Rigid:
        """The placement that moves nothing."""
        return cls(np.eye(3), np.zeros(3))

    def after(self, inner: Rigid) -> Rigid:
        """This placement applied after ``inner``."""
        return Rigid(self.turn @ inner.turn, self.turn @ inner.move + self.move)

    def points(self, local: Array) -> Array:
        """Images of points, shape (n, 3) in and out."""
        return local @ self.turn.T + self.move

    def inverse(self) -> Rigid:
        """The placement that undoes this one."""
        return Rigid(self.turn.T, -self.turn.T @ self.move)


def about_line(point: Array, axis: Array, angle_rad: float) -> Rigid:
    """Turn by ``angle_rad`` about the line through ``point`` along the unit vector ``axis`` (right hand)."""
    x, y, z = axis
    cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    turn = np.eye(3) + np.sin(angle_rad) * cross + (1.0 - np.cos(angle_rad)) * (cross @ cross)
    return Rigid(turn, point - turn @ point)
