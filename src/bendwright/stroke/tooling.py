"""The tools and the machine around one stroke, as convex pieces for the clearance kernels.

Punch frame: punch tip at the origin, y up, x toward the gauge. The die classes are given with the die top at y = 0; they
rise with the stroke. Everything is a prism along the bed. Ram, die holder and bed reach along the whole bed; punch and die
only as far as their stacks.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from shapely import Polygon, box
from shapely.geometry.polygon import orient

from bendwright.geometry.convex import convex_pieces, pack
from bendwright.geometry.rigid import Array
from bendwright.shop.brake import Brake
from bendwright.shop.tools import Die, Point, Punch

FAR_MM = 4000.0


@dataclass(frozen=True, slots=True)
class ToolClass:
    """One thing a part can run into: its name on paper, its convex pieces, whether it rises with the die, and whether it
    ends where its stack ends.
    """

    name: str
    role: str
    pieces: tuple[Array, ...]
    moving: bool
    stacked: bool

    def mirrored(self) -> ToolClass:
        """The same seen from the other side (x -> -x)."""
        turned = tuple(np.ascontiguousarray(piece[::-1] * np.array([-1.0, 1.0])) for piece in self.pieces)
        return ToolClass(self.name, self.role, turned, self.moving, self.stacked)


@dataclass(frozen=True, slots=True)
class PackedTools:
    """Classes padded for the kernels: (classes, pieces, corners, 2), (classes, pieces), (classes,)."""

    rings: Array
    counts: np.ndarray[tuple[int, int], np.dtype[np.int64]]
    moving: np.ndarray[tuple[int], np.dtype[np.bool_]]


def ear_of(punch: Punch) -> tuple[float, float] | None:
    """Foot height and overhang [mm] of the punch's eared pieces; None when it has no left and right pair."""
    ears = [piece.ear for piece in punch.pieces if piece.ear is not None]
    if {ear.side for ear in ears} != {"left", "right"}:
        return None
    return max(ear.foot_height_mm for ear in ears), min(ear.overhang_mm for ear in ears)


def is_symmetric(outline: Sequence[Point]) -> bool:
    """True when the outline is its own mirror image about x = 0 (area of the difference below 0.01 mm2)."""
    shape = Polygon(outline)
    mirror = Polygon([(-x, y) for x, y in outline])
    return bool(shape.symmetric_difference(mirror).area < 0.01)


def punch_classes(punch: Punch) -> list[ToolClass]:
    """Whole punch; then, for the eared stack, what stands above the foot and the foot itself (empty without ears)."""
    whole = ToolClass(f"punch {punch.id}", "punch", tuple(convex_pieces(_ccw(punch.outline))), False, True)
    ear = ear_of(punch)
    if ear is None:
        return [whole]
    foot, _ = ear
    body = _cut(punch.outline, foot, FAR_MM)
    base = _cut(punch.outline, -FAR_MM, foot)
    return [
        whole,
        ToolClass(f"punch {punch.id} body", "punch", body, False, True),
        ToolClass(f"punch {punch.id} ear foot", "punch", base, False, True),
    ]


def machine_classes(brake: Brake, punch_height_mm: float, die: Die) -> list[ToolClass]:
    """Ram with clamp above the punch, die, and die holder with bed. Unknown widths leave their class empty (said elsewhere)."""
    top = punch_height_mm
    half = brake.ram_half_depth_mm
    ram = () if half is None else (_box(-half, half, top, top + FAR_MM),)
    outline = _ccw(die.outline)
    pieces = list(convex_pieces(outline))
    if not is_symmetric(outline):
        pieces += convex_pieces(_ccw([(-x, y) for x, y in outline]))
    table = brake.table_width_mm
    bed = () if table is None else (_box(-0.5 * table, 0.5 * table, -die.height_mm - FAR_MM, -die.height_mm),)
    return [
        ToolClass("ram", "ram", ram, False, False),
        ToolClass(f"die {die.id}", "die", tuple(pieces), True, True),
        ToolClass("bed", "bed", bed, True, False),
    ]


def pack_classes(classes: Sequence[ToolClass]) -> PackedTools:
    """Pad the classes into arrays the kernels take."""
    corners = max((len(piece) for item in classes for piece in item.pieces), default=3)
    most = max((len(item.pieces) for item in classes), default=1)
    rings = np.zeros((len(classes), max(most, 1), corners, 2))
    counts = np.zeros((len(classes), max(most, 1)), dtype=np.int64)
    for i, item in enumerate(classes):
        packed, sizes = pack(item.pieces, width=corners)
        rings[i, : len(sizes)] = packed
        counts[i, : len(sizes)] = sizes
    return PackedTools(rings, counts, np.array([item.moving for item in classes]))


def _ccw(outline: Sequence[Point]) -> list[Point]:
    return [(float(x), float(y)) for x, y in orient(Polygon(outline)).exterior.coords][:-1]


def _cut(outline: Sequence[Point], low: float, high: float) -> tuple[Array, ...]:
    shape = Polygon(outline).intersection(box(-FAR_MM, low, FAR_MM, high))
    parts = [part for part in getattr(shape, "geoms", [shape]) if part.area > 1e-6]
    return tuple(piece for part in parts for piece in convex_pieces(_ccw(list(part.exterior.coords)[:-1])))


def _box(x0: float, x1: float, y0: float, y1: float) -> Array:
    return np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])
