"""Reading of what CalculiX prints: displacements of the sheet and the force on the punch."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np

DISPLACEMENTS, FORCES = "displacements", "total force"


def _blocks(path: Path, title: str) -> Iterator[tuple[float, np.ndarray]]:
    """Time and number rows of every block under a title."""
    time, inside = 0.0, False
    rows: list[list[float]] = []
    for line in [*path.read_text(encoding="ascii").splitlines(), "end"]:
        cells = line.split()
        if not cells:
            continue
        if cells[0][0].isalpha():
            if inside and rows:
                yield time, np.array(rows)
            inside, rows = line.strip().startswith(title), []
            time = float(cells[-1]) if inside else time
        elif inside:
            rows.append([float(c) for c in cells])


def displacements(path: Path) -> dict[float, np.ndarray]:
    """By total time: one row (x, y) per node of the sheet."""
    return {time: rows[:, 1:3] for time, rows in _blocks(path, DISPLACEMENTS)}


def punch_forces(path: Path) -> dict[float, float]:
    """By total time: downward force on the half model."""
    return {time: -float(rows[0, 1]) for time, rows in _blocks(path, FORCES)}
