"""What of a pair that presses, and of the machine about it, can be in the way?"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bendwright.geometry.convex import convex_pieces, swept_up
from bendwright.geometry.rigid import Array
from bendwright.plan.flat_pair import FlatTools
from bendwright.shop.brake import Brake
from bendwright.stroke.tooling import LIFT_MM, ToolClass, below_ram_mm, ram_class

TOUCH_MM = 0.05
Shapes = list[tuple[str, BaseGeometry, bool]]


def pair_shapes(
    brake: Brake, tools: FlatTools, below: Sequence[ToolClass], *, face_mm: float, thickness_mm: float
) -> Shapes:
    """Name, shape in (x, v) and whether it ends with the stack: the punch closed and on its way up, its face at ``face_mm``, the ram, and
    what lies below the sheet (``below``), whose upper face is v = 0.
    """
    rising = [swept_up(ring, LIFT_MM) for ring in convex_pieces(tools.punch.outline)]
    ram = ram_class(brake, below_ram_mm(tools.punch, brake))
    groups: list[tuple[str, Sequence[Array], float, bool]] = [
        (f"punch {tools.punch.id}", rising, face_mm, True),
        ("ram", ram.pieces, face_mm, False),
        *((one.name, one.pieces, -thickness_mm, one.stacked) for one in below),
    ]
    return [
        (name, shapely.union_all([shapely.Polygon(ring + np.array([0.0, up])) for ring in rings]), stacked)
        for name, rings, up, stacked in groups
        if len(rings)
    ]
