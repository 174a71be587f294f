"""Half a sheet in plane strain as a grid of 8-node quadrilaterals, fine where it bends and where it slides."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from cases import Case

ELEMENTS_THROUGH = 10


@dataclass(frozen=True, slots=True)
class SheetMesh:
    """Nodes (x along the sheet from the symmetry plane, y from the die side up) and elements, numbered from 0.

    ``grid[i, j]`` is the node of half-step i along and j through; -1 at the middle of an element.
    An element lists its corners counter-clockwise from the lower left, then its mid-sides from the lower one.
    """

    nodes: np.ndarray
    elements: np.ndarray
    grid: np.ndarray

    @property
    def bottom(self) -> np.ndarray:
        """Nodes of the die side, from the centre out."""
        return self.grid[:, 0]

    @property
    def top(self) -> np.ndarray:
        """Nodes of the punch side, from the centre out."""
        return self.grid[:, -1]

    @property
    def symmetry(self) -> np.ndarray:
        """Nodes of the bend plane, from the die side up."""
        return self.grid[0, :]


def half_length_mm(case: Case) -> float:
    """Half of the flat length: stays on the shoulder at 70 degrees and leaves two thicknesses of straight tail."""
    return 0.95 * case.opening_mm + 2.0 * case.thickness_mm


def stations_mm(case: Case, through: int) -> np.ndarray:
    """Element borders along the sheet: about t/through at the centre, growing to 2.2 of it from V/3 out."""
    fine = case.thickness_mm / through
    x = [0.0]
    while x[-1] < half_length_mm(case):
        share = min(max((x[-1] - case.thickness_mm) / (case.opening_mm / 3.0), 0.0), 1.0)
        x.append(x[-1] + fine * (1.0 + 1.2 * share))
    return np.array(x) * half_length_mm(case) / x[-1]


def sheet_mesh(case: Case, through: int = ELEMENTS_THROUGH) -> SheetMesh:
    """The mesh of half the sheet of a case."""
    x = stations_mm(case, through)
    xs = np.empty(2 * len(x) - 1)
    xs[::2], xs[1::2] = x, (x[:-1] + x[1:]) / 2.0
    ys = np.linspace(0.0, case.thickness_mm, 2 * through + 1)
    i, j = np.meshgrid(np.arange(len(xs)), np.arange(len(ys)), indexing="ij")
    real = (i % 2 == 0) | (j % 2 == 0)
    grid = np.full(real.shape, -1)
    grid[real] = np.arange(int(real.sum()))
    nodes = np.column_stack([xs[i[real]], ys[j[real]]])
    around = ((0, 0), (2, 0), (2, 2), (0, 2), (1, 0), (2, 1), (1, 2), (0, 1))
    corners = [(a, b) for a in range(0, len(xs) - 1, 2) for b in range(0, len(ys) - 1, 2)]
    elements = np.array([[grid[a + da, b + db] for da, db in around] for a, b in corners])
    return SheetMesh(nodes, elements, grid)
