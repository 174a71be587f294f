"""The part as nodes: flanges hang on flanges as in the part's tree, and every bend's sheet is a mesh that takes the shapes of an
arc (morph targets) while its child turns.

A bend is at a ``Reach``: turned so far, over an arc that takes so much of the sheet. All corners are blank coordinates [mm]
less the origin of their flange's node; the root's origin is the middle of the blank, the others' the middle of their tangent
line.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from bendwright.drawing.glb import LINES, TRIANGLES, GlbFile, quaternion
from bendwright.drawing.plan_glb_sheet import Mesh, Sheet
from bendwright.geometry.rigid import Array, Rigid
from bendwright.part.bent_sheet import laid_round
from bendwright.part.blank_model import BendLine, Blank
from bendwright.part.fold import bend_axes, bend_motion
from bendwright.part.model import Part

FLAT_DEG = 1e-9
FINE_MM = 2.0**-10
"""Shapes of a bend are rounded to so much: fewer digits to store."""


@dataclass(frozen=True, slots=True)
class Reach:
    """How far a bend is turned [degrees], and what its arc takes of the sheet [mm]."""

    turned_deg: float
    arc_mm: float


@dataclass(frozen=True, slots=True)
class Looks:
    """Materials of the sheet by number: top face, bottom face with its edges, lines."""

    top: int
    bottom: int
    line: int


@dataclass(frozen=True, slots=True)
class PartNodes:
    """Node numbers: root, every flange (the root among them), every bend; origin of each flange's node in the blank."""

    flanges: dict[str, int]
    bends: dict[str, int]
    origins: dict[str, Array]


def lines_of(blank: Blank) -> dict[str, BendLine]:
    """Bend lines by id."""
    return {line.bend_id: line for line in blank.bend_lines}


def reached_motion(blank: Blank, line: BendLine, reach: Reach) -> Rigid:
    """How a bend at that reach moves its child's side in blank space, the parent's side held."""
    if reach.turned_deg < FLAT_DEG:
        return Rigid.identity()
    size = replace(blank.size(line.bend_id), bend_allowance_mm=reach.arc_mm)
    return bend_motion(replace(blank, sizes=(size,)), line, reach.turned_deg)


def placed_at(part: Part, blank: Blank, reached: Mapping[str, Reach]) -> dict[str, Rigid]:
    """Placement of every flange with the root held, as ``part.fold.fold``; bends not named are flat."""
    lines = lines_of(blank)
    out = {part.flanges[0].id: Rigid.identity()}
    for bend in part.bends:
        motion = reached_motion(blank, lines[bend.id], reached[bend.id]) if bend.id in reached else Rigid.identity()
        out[bend.child] = out[bend.parent].after(motion)
    return out


def child_pose(part: Part, blank: Blank, nodes: PartNodes, bend_id: str, reach: Reach) -> tuple[Array, Array]:
    """Translation and quaternion of a child's node in its parent's."""
    bend = part.bend(bend_id)
    motion = reached_motion(blank, lines_of(blank)[bend_id], reach)
    spot = motion.points(nodes.origins[bend.child][None])[0] - nodes.origins[bend.parent]
    return np.asarray(spot), quaternion(motion.turn)


def bent_points(blank: Blank, line: BendLine, mesh: Mesh, reach: Reach) -> Array:
    """Corners of a bend's sheet, top face then bottom face, in blank space with the parent's side held, shape (2 n, 3)."""
    half, turned = 0.5 * blank.thickness_mm, reach.turned_deg if reach.turned_deg >= FLAT_DEG else 0.0
    faces = [
        laid_round(blank, line, mesh.points, height_mm=height, turned_deg=turned, arc_mm=reach.arc_mm)
        for height in (half, -half)
    ]
    return np.vstack(faces)


def add_part(
    file: GlbFile, part: Part, blank: Blank, sheet: Sheet, looks: Looks, reaches: Mapping[str, Sequence[Reach]]
) -> PartNodes:
    """Add all nodes of the part, lying flat; a bend's mesh has one morph target for each reach but the first (flat)."""
    lines, half = lines_of(blank), 0.5 * blank.thickness_mm
    origins = {part.flanges[0].id: np.array([0.5 * blank.width_mm, 0.5 * blank.height_mm, 0.0])}
    flanges = {part.flanges[0].id: file.add("nodes", {"name": "part"})}
    bends: dict[str, int] = {}
    for bend in part.bends:
        axes = bend_axes(lines[bend.id])
        origins[bend.child] = axes.middle + 0.5 * lines[bend.id].zone_width_mm * axes.outward
        lying = (origins[bend.child] - origins[bend.parent]).tolist()
        flanges[bend.child] = file.add("nodes", {"name": f"flange {bend.child}", "translation": lying})
        bends[bend.id] = file.add("nodes", {"name": f"bend {bend.id}"})
        for node in (flanges[bend.child], bends[bend.id]):
            file.json["nodes"][flanges[bend.parent]].setdefault("children", []).append(node)
    for flange in part.flanges:
        node = file.json["nodes"][flanges[flange.id]]
        node["extras"] = {"flange": flange.id}
        if flange.id in sheet.flats:
            mesh = sheet.flats[flange.id]
            heights = np.repeat([half, -half], len(mesh.points))
            points = np.column_stack([np.tile(mesh.points, (2, 1)), heights]) - origins[flange.id]
            node["mesh"] = _add_mesh(file, f"flange {flange.id}", mesh, [points], looks)
    for bend in part.bends:
        node, shapes = file.json["nodes"][bends[bend.id]], list(reaches[bend.id])
        node["extras"] = {"bend": bend.id, "direction": bend.direction, "turned_deg": bend.turned_deg}
        if bend.id in sheet.bends:
            mesh = sheet.bends[bend.id]
            forms = [bent_points(blank, lines[bend.id], mesh, reach) - origins[bend.parent] for reach in shapes]
            node["mesh"] = _add_mesh(file, f"bend {bend.id}", mesh, forms, looks)
    return PartNodes(flanges, bends, origins)


def _add_mesh(file: GlbFile, name: str, mesh: Mesh, forms: Sequence[Array], looks: Looks) -> int:
    """Top face, bottom face with the walls, and lines round the edge; ``forms``: as it lies, then every morph target."""
    count = len(mesh.points)
    below = mesh.triangles[:, ::-1] + count
    a, b = mesh.rims[:, 0], mesh.rims[:, 1]
    walls = np.concatenate([np.stack([b, a, a + count], 1), np.stack([b, a + count, b + count], 1)])
    shared = {"attributes": {"POSITION": file.positions(forms[0])}}
    targets = [{"POSITION": file.positions(np.round((form - forms[0]) / FINE_MM) * FINE_MM)} for form in forms[1:]]
    parts = [(mesh.triangles, TRIANGLES, looks.top), (np.concatenate([below, walls]), TRIANGLES, looks.bottom)]
    if len(mesh.rims):
        parts.append((np.concatenate([mesh.rims, mesh.rims + count]), LINES, looks.line))
    primitives = []
    for numbers, mode, material in parts:
        row = {**shared, "indices": file.indices(numbers), "mode": mode, "material": material}
        primitives.append(row | ({"targets": targets} if targets else {}))
    item = {"name": name, "primitives": primitives}
    return file.add("meshes", item | ({"weights": [0.0] * len(targets)} if targets else {}))
