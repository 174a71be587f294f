"""Trays a reader must get right: corners of every kind, lids, tapered flanges, tabs."""

from __future__ import annotations

from catalogue import Catalogue
from known import Known, known
from sheet_parts import Bent, Wall, box, tabs

TRAYS = Catalogue()


def _tray(name: str, relief: str, size: float, inset: float) -> Known:
    wall = Wall(28, Bent(90, 2), inset)
    return known(name, box(180, 110, [wall] * 4, thickness_mm=1.5, relief=relief, relief_mm=size))


@TRAYS.entry
def _open_corner_tray() -> Known:
    return _tray("open_corner_tray", "none", 0.0, 0.3)


@TRAYS.entry
def _square_relief_tray() -> Known:
    return _tray("square_relief_tray", "square", 4.0, 4.0)


@TRAYS.entry
def _round_relief_tray() -> Known:
    return _tray("round_relief_tray", "round", 5.0, 5.0)


@TRAYS.entry
def _lidded_tray() -> Known:
    """Walls with inward lips, their ends mitred through the bends."""
    wall = Wall(30, Bent(90, 3), 3, 0.0, 12, Bent(90, 3), 1.0)
    return known("lidded_tray", box(200, 120, [wall] * 4, thickness_mm=2, k_factor=0.47, relief="square", relief_mm=3))


@TRAYS.entry
def _tapered_flanges() -> Known:
    """Flanges bent down by 60 degrees, tapered from the tangent line on, with lips bent back up."""
    wall = Wall(30, Bent(60, 3, False), 3, 0.2, 12, Bent(90, 3, True), 0.7)
    return known("tapered_flanges", box(200, 120, [wall, None, wall, wall], thickness_mm=2))


@TRAYS.entry
def _tabs() -> Known:
    return known("tabs", tabs())
