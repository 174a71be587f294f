"""A solid model as plain numbers: faces with their surfaces, edges with their curves, who borders whom.

What the CAD kernel knows crosses the border to the rest of the program in this form only, as JSON between processes.
All lengths in mm, whatever the file's unit; points are (x, y, z).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

Vector = tuple[float, float, float]
SurfaceKind = Literal["plane", "cylinder", "cone", "sphere", "torus", "free"]
CurveKind = Literal["line", "circle", "free"]


@dataclass(frozen=True, slots=True)
class Edge:
    """An edge from its first to its last point; curved ones with points in between (chords within ``CURVE_CHORD_MM``).

    ``centre``, ``axis`` and ``radius_mm`` belong to circles.
    """

    kind: CurveKind
    points: tuple[Vector, ...]
    centre: Vector = (0.0, 0.0, 0.0)
    axis: Vector = (0.0, 0.0, 0.0)
    radius_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Face:
    """A face: its surface and its loops of (edge number, run forward?).

    ``axis`` is the outward normal of a plane, the axis of anything round; ``outward`` is +1 when the normal that leaves the
    material points away from the axis (an outer side), -1 when it points to it. ``half_angle_rad`` belongs to cones.
    """

    kind: SurfaceKind
    origin: Vector
    axis: Vector
    area_mm2: float
    loops: tuple[tuple[tuple[int, bool], ...], ...]
    radius_mm: float = 0.0
    outward: int = 0
    half_angle_rad: float = 0.0


@dataclass(frozen=True, slots=True)
class Solid:
    """One body with its number in the file (from 1), name ("" when it has none) and volume."""

    number: int
    name: str
    volume_mm3: float
    faces: tuple[Face, ...]
    edges: tuple[Edge, ...]


@dataclass(frozen=True, slots=True)
class Model:
    """Everything a file holds: solids, and how many open shells and loose faces lie beside them."""

    solids: tuple[Solid, ...]
    open_shells: int
    loose_faces: int
    loose_wires: int


def model_to_data(model: Model) -> dict[str, Any]:
    """The model as plain lists for JSON."""
    return {
        "solids": [_solid_data(solid) for solid in model.solids],
        "counts": [model.open_shells, model.loose_faces, model.loose_wires],
    }


def model_from_data(data: dict[str, Any]) -> Model:
    """The model out of plain lists."""
    shells, faces, wires = data["counts"]
    return Model(tuple(_solid(item) for item in data["solids"]), shells, faces, wires)


def _solid_data(solid: Solid) -> list[Any]:
    edges = [[e.kind, e.points, e.centre, e.axis, e.radius_mm] for e in solid.edges]
    faces = [
        [f.kind, f.origin, f.axis, f.area_mm2, f.loops, f.radius_mm, f.outward, f.half_angle_rad] for f in solid.faces
    ]
    return [solid.number, solid.name, solid.volume_mm3, faces, edges]


def _solid(data: list[Any]) -> Solid:
    number, name, volume, faces, edges = data
    return Solid(
        number,
        name,
        volume,
        tuple(Face(k, _v(o), _v(a), area, _loops(loops), r, out, half) for k, o, a, area, loops, r, out, half in faces),
        tuple(Edge(k, tuple(_v(p) for p in points), _v(c), _v(a), r) for k, points, c, a, r in edges),
    )


def _loops(data: list[list[list[Any]]]) -> tuple[tuple[tuple[int, bool], ...], ...]:
    return tuple(tuple((int(edge), bool(forward)) for edge, forward in loop) for loop in data)


def _v(data: list[float]) -> Vector:
    return (data[0], data[1], data[2])
