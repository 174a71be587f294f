"""A solid with its answer."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from bent_blank import BentBlank, Matrix
from flat_shapes import Arc, Line, Loop
from kernel_bending import BentSolid, bend
from OCP.Bnd import Bnd_Box
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from OCP.TopoDS import TopoDS_Shape


@dataclass(frozen=True)
class Known:
    """A bent sheet and what a reader must say about it.

    ``holes`` diameters, ``slots`` (length, width) and ``windows`` count openings within flat pieces, ``crossing`` those that
    reach into a bend; ``area_taken_mm2`` is what holes made after bending take from the flat. ``corners``: all corners of the
    flat pieces, both faces. The ``*_slack`` values widen a tolerance where the shape itself leaves the answer open; ``refolds``
    is False where the sheet is not of one thickness everywhere.
    """

    name: str
    blank: BentBlank
    solid: TopoDS_Shape
    corners: Matrix
    volume_mm3: float
    holes: tuple[float, ...] = ()
    slots: tuple[tuple[float, float], ...] = ()
    windows: int = 0
    crossing: int = 0
    refolds: bool = True
    legs_mm: tuple[float, ...] = field(default=())
    area_taken_mm2: float = 0.0
    area_slack_mm2: float = 0.0
    size_slack_mm: float = 0.0

    @property
    def bends(self) -> list[tuple[float, float, bool]]:
        """Turned angle, inside radius, up, of every bend."""
        return [(strip.turned_deg, strip.radius_mm, strip.up) for strip in self.blank.strips]


def known(name: str, blank: BentBlank, *, merged: bool = True, legs_mm: tuple[float, ...] = ()) -> Known:
    """The bent solid of a blank with its answer."""
    return known_from(name, blank, bend(blank, merged=merged), legs_mm=legs_mm)


def known_from(name: str, blank: BentBlank, bent: BentSolid, *, legs_mm: tuple[float, ...] = ()) -> Known:
    """The answer of a solid just bent."""
    inside, crossing = [], 0
    for opening in blank.openings:
        if reaches_a_strip(blank, opening):
            crossing += 1
        else:
            inside.append(opening)
    kinds = [_kind(opening) for opening in inside]
    return Known(
        name=name,
        blank=blank,
        solid=bent.solid,
        corners=bent.corners,
        volume_mm3=blank.volume_mm3,
        holes=tuple(sorted(kind[0] for kind in kinds if len(kind) == 1)),
        slots=tuple(sorted((kind[0], kind[1]) for kind in kinds if len(kind) == 2)),
        windows=sum(len(kind) == 0 for kind in kinds),
        crossing=crossing,
        legs_mm=legs_mm,
    )


def _kind(loop: Loop) -> tuple[float, ...]:
    """(diameter) of a circle, (length, width) of a slot, nothing for anything else."""
    arcs = [piece for piece in loop.pieces if isinstance(piece, Arc)]
    lines = [piece for piece in loop.pieces if isinstance(piece, Line)]
    if len(loop.pieces) == 2 and len(arcs) == 2:
        return (2.0 * arcs[0].radius,)
    if len(arcs) == 2 and len(lines) == 2:
        between = ((arcs[0].centre[0] - arcs[1].centre[0]) ** 2 + (arcs[0].centre[1] - arcs[1].centre[1]) ** 2) ** 0.5
        return between + 2.0 * arcs[0].radius, 2.0 * arcs[0].radius
    return ()


def reaches_a_strip(blank: BentBlank, opening: Loop) -> bool:
    """Whether some of the opening lies in a bend (checked on its points and every 0.05 mm between them)."""
    if not any(blank.near_strip(strip, opening) for strip in blank.strips):
        return False
    points = opening.polygon()
    for a, b in zip(points, [*points[1:], points[0]], strict=True):
        steps = max(1, int(((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5 / 0.05))
        if any(
            blank.strip_at((a[0] + i / steps * (b[0] - a[0]), a[1] + i / steps * (b[1] - a[1]))) is not None
            for i in range(steps)
        ):
            return True
    return False


def kernel_volume(shape: TopoDS_Shape) -> float:
    """Volume by the CAD kernel [mm3]."""
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, properties, 1e-9, False, False)
    return float(properties.Mass())


def sound(shape: TopoDS_Shape) -> bool:
    """Whether the kernel finds nothing wrong with the shape."""
    return bool(BRepCheck_Analyzer(shape).IsValid())


def kernel_box(shape: TopoDS_Shape) -> Matrix:
    """Tight box round a shape by the kernel: two rows, low and high [mm]."""
    box = Bnd_Box()
    BRepBndLib.AddOptimal_s(shape, box, False, False)
    low, high = box.CornerMin(), box.CornerMax()
    return np.array([[low.X(), low.Y(), low.Z()], [high.X(), high.Y(), high.Z()]])
