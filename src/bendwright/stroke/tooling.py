"""The tools and the machine around one stroke, as convex pieces for the clearance kernels.

Punch frame: punch tip at the origin, y up, x toward the gauge. The die classes are given with the die top at y = 0; they
rise with the stroke. Everything is a prism along the bed. Ram, die holder and bed reach along the whole bed; punch and die
only as far as their stacks.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from shapely import Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from bendwright.geometry.convex import convex_pieces, pack
from bendwright.geometry.rigid import Array
from bendwright.said import say
from bendwright.shop.brake import Brake
from bendwright.shop.tools import Die, Point, Punch

LIFT_MM = 500.0
"""How far tools are followed on their way up."""
FAR_MM = 4000.0
HAIR_MM = 1e-3


@dataclass(frozen=True, slots=True)
class ToolClass:
    """One thing a part can run into: its name on paper, its convex pieces, whether it rises with the die, and whether it
    ends where its stack ends. ``beside`` are the pieces that the sheet's own legs can meet: a leg never opens less than
    the punch angle, so what lies within the punch's own wedge is out of its way.
    """

    name: str
    role: str
    pieces: tuple[Array, ...]
    moving: bool
    stacked: bool
    beside: tuple[Array, ...]

    def mirrored(self) -> ToolClass:
        """The same seen from the other side (x -> -x)."""
        return replace(self, pieces=_turned(self.pieces), beside=_turned(self.beside))


def _turned(pieces: tuple[Array, ...]) -> tuple[Array, ...]:
    return tuple(np.ascontiguousarray(piece[::-1] * np.array([-1.0, 1.0])) for piece in pieces)


@dataclass(frozen=True, slots=True)
class PackedTools:
    """Classes padded for the kernels: (classes, pieces, corners, 2), (classes, pieces), the same for what legs can meet,
    (classes,).
    """

    rings: Array
    counts: np.ndarray[tuple[int, int], np.dtype[np.int64]]
    beside_rings: Array
    beside_counts: np.ndarray[tuple[int, int], np.dtype[np.int64]]
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


def punch_classes(punch: Punch, brake: Brake) -> list[ToolClass]:
    """Whole punch; then, for the eared stack, what stands above the foot and the foot itself (empty without ears). Clamps that
    stand one by one end where the stack ends: they belong to it.
    """
    whole = _clamped(_punch_class(punch, f"punch {punch.id}", -FAR_MM, FAR_MM), punch, brake)
    ear = ear_of(punch)
    if ear is None:
        return [whole]
    return [
        whole,
        _clamped(_punch_class(punch, say("place.punch_body", punch=punch.id), ear[0], FAR_MM), punch, brake),
        _punch_class(punch, say("place.ear_foot", punch=punch.id), -FAR_MM, ear[0]),
    ]


def _clamped(item: ToolClass, punch: Punch, brake: Brake) -> ToolClass:
    clamps = brake.punch_clamps
    if clamps is None:
        return item
    half, top = clamps.half_depth_mm, punch.height_mm
    held = (_box(-half, half, top, top + clamps.height_mm),)
    return replace(item, pieces=(*item.pieces, *held), beside=(*item.beside, *held))


def below_ram_mm(punch: Punch, brake: Brake) -> float:
    """Height of the ram (or of the rail under it) above the punch tip [mm]."""
    return punch.height_mm + (0.0 if brake.punch_clamps is None else brake.punch_clamps.height_mm)


def _punch_class(punch: Punch, name: str, low: float, high: float) -> ToolClass:
    shape = Polygon(punch.outline).intersection(box(-FAR_MM, low, FAR_MM, high))
    half = math.radians(0.5 * punch.angle_deg)
    apex = -punch.nose_radius_mm * (1.0 / math.sin(half) - 1.0) - HAIR_MM
    wide = FAR_MM * math.tan(half) + HAIR_MM
    wedge = Polygon([(0.0, apex), (wide, apex + FAR_MM), (-wide, apex + FAR_MM)])
    return ToolClass(name, "punch", _convex(shape), False, True, _convex(shape.difference(wedge)))


def ram_class(brake: Brake, above_tip_mm: float) -> ToolClass:
    """Ram and rail from that height above the punch tip; empty when their depth is not known (said elsewhere)."""
    half = brake.ram_half_depth_mm
    ram = () if half is None else (_box(-half, half, above_tip_mm, above_tip_mm + FAR_MM),)
    return ToolClass("ram", "ram", ram, False, False, ram)


def below_classes(brake: Brake, die: Die) -> list[ToolClass]:
    """Die, die holder and bed. A holder of unknown width counts to the bed, and so does its height."""
    outline = _ccw(die.outline)
    pieces = list(convex_pieces(outline))
    if not is_symmetric(outline):
        pieces += convex_pieces(_ccw([(-x, y) for x, y in outline]))
    width, high, table = brake.die_holder_width_mm, brake.die_holder_height_mm, brake.table_width_mm
    top = -die.height_mm
    holder = () if not width or not high else (_box(-0.5 * width, 0.5 * width, top - high, top),)
    under = top - (high or 0.0) if holder else top
    bed = () if table is None else (_box(-0.5 * table, 0.5 * table, under - FAR_MM, under),)
    return [
        ToolClass(f"die {die.id}", "die", tuple(pieces), True, True, ()),
        ToolClass("die holder", "die_holder", holder, True, False, ()),
        ToolClass("bed", "bed", bed, True, False, ()),
    ]


def pack_classes(classes: Sequence[ToolClass]) -> PackedTools:
    """Pad the classes into arrays the kernels take."""
    rings, counts = _packed([item.pieces for item in classes])
    beside, beside_counts = _packed([item.beside for item in classes])
    return PackedTools(rings, counts, beside, beside_counts, np.array([item.moving for item in classes]))


def _packed(groups: Sequence[tuple[Array, ...]]) -> tuple[Array, np.ndarray[tuple[int, int], np.dtype[np.int64]]]:
    corners = max((len(piece) for group in groups for piece in group), default=3)
    most = max((len(group) for group in groups), default=1)
    rings = np.zeros((len(groups), max(most, 1), corners, 2))
    counts = np.zeros((len(groups), max(most, 1)), dtype=np.int64)
    for i, group in enumerate(groups):
        packed, sizes = pack(group, width=corners)
        rings[i, : len(sizes)] = packed
        counts[i, : len(sizes)] = sizes
    return rings, counts


def _ccw(outline: Sequence[Point]) -> list[Point]:
    return [(float(x), float(y)) for x, y in orient(Polygon(outline)).exterior.coords][:-1]


def _convex(shape: BaseGeometry) -> tuple[Array, ...]:
    parts = [part for part in getattr(shape, "geoms", [shape]) if part.geom_type == "Polygon" and part.area > 1e-3]
    return tuple(piece for part in parts for piece in convex_pieces(_ccw(list(part.exterior.coords)[:-1])))


def _box(x0: float, x1: float, y0: float, y1: float) -> Array:
    return np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])
