"""The finished part as triangles to look at: a body for every flange's flat and for every bend's own sheet.

Lengths in mm in the blank's space (``part.fold``): the root lies where it lies on the blank, its top face up.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from bendwright.drawing.plan_glb_sheet import Mesh, sheet_of
from bendwright.geometry.rigid import Array
from bendwright.part.bent_sheet import laid_round
from bendwright.part.blank_model import Blank
from bendwright.part.fold import fold
from bendwright.part.model import Part

DIGITS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class MeshBody:
    """One piece of the folded sheet: of the flange or the bend ``id``. ``points`` are x, y, z one after the other [mm]; ``top``,
    ``bottom`` and ``walls`` are corners of triangles by number, counter-clockwise from outside; ``rims`` are ends of the lines
    along the edges of the sheet. Walls are where the sheet ends, so all bodies together are closed but for hair-fine seams.
    """

    kind: Literal["flange", "bend"]
    id: str
    points: list[float]
    top: list[int]
    bottom: list[int]
    walls: list[int]
    rims: list[int]


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldedMesh:
    """All bodies; ``low`` and ``high`` are the corners of the box round them [mm]."""

    low: tuple[float, float, float]
    high: tuple[float, float, float]
    bodies: list[MeshBody]


def folded_mesh(part: Part, blank: Blank) -> FoldedMesh:
    """The part with all bends made, the root held still."""
    lines = {line.bend_id: line for line in blank.bend_lines}
    widths = {name: line.zone_width_mm for name, line in lines.items()}
    sheet = sheet_of(part, blank, widths, {bend.id: bend.turned_deg for bend in part.bends})
    placed, half = fold(part, blank), 0.5 * blank.thickness_mm
    bodies: list[MeshBody] = []
    for flange in part.flanges:
        if flange.id in sheet.flats:
            mesh = sheet.flats[flange.id]
            faces = [np.column_stack([mesh.points, np.full(len(mesh.points), height)]) for height in (half, -half)]
            bodies.append(_body("flange", flange.id, mesh, placed[flange.id].points(np.vstack(faces))))
    for bend in part.bends:
        if bend.id in sheet.bends:
            mesh, line = sheet.bends[bend.id], lines[bend.id]
            faces = [
                laid_round(
                    blank, line, mesh.points, height_mm=height, turned_deg=bend.turned_deg, arc_mm=line.zone_width_mm
                )
                for height in (half, -half)
            ]
            bodies.append(_body("bend", bend.id, mesh, placed[bend.parent].points(np.vstack(faces))))
    spots = np.concatenate([np.reshape(body.points, (-1, 3)) for body in bodies])
    return FoldedMesh(low=_corner(spots.min(axis=0)), high=_corner(spots.max(axis=0)), bodies=bodies)


def _corner(spot: Array) -> tuple[float, float, float]:
    x, y, z = spot.tolist()
    return x, y, z


def _body(kind: Literal["flange", "bend"], name: str, mesh: Mesh, points: Array) -> MeshBody:
    """Top face, bottom face and walls over the corners of the top and then of the bottom face."""
    count = len(mesh.points)
    a, b = mesh.rims[:, 0], mesh.rims[:, 1]
    walls = np.concatenate([np.stack([b, a, a + count], 1), np.stack([b, a + count, b + count], 1)])
    return MeshBody(
        kind=kind,
        id=name,
        points=np.round(points, DIGITS).ravel().tolist(),
        top=mesh.triangles.ravel().tolist(),
        bottom=(mesh.triangles[:, ::-1] + count).ravel().tolist(),
        walls=walls.ravel().tolist(),
        rims=np.concatenate([mesh.rims, mesh.rims + count]).ravel().tolist(),
    )
