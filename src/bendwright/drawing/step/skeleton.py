"""A solid made ready for questions: who borders whom, faces grown together where only a drawn line parts them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from bendwright.drawing.step.model_record import Edge, Face, Solid
from bendwright.geometry.rigid import Array
from bendwright.said import say

SAME_MM = 2e-3
SAME_TURN = 1e-4
Loop = tuple[tuple[int, bool], ...]


@dataclass(frozen=True, slots=True)
class Skeleton:
    """A solid and the borders of its faces: for each edge its faces, for each face its (edge, other face) pairs."""

    solid: Solid
    edge_faces: list[list[int]]
    neighbours: list[list[tuple[int, int]]]

    @classmethod
    def of(cls, solid: Solid) -> Skeleton:
        """The solid made ready."""
        edge_faces: list[list[int]] = [[] for _ in solid.edges]
        for number, face in enumerate(solid.faces):
            for edge in {edge for loop in face.loops for edge, _ in loop}:
                edge_faces[edge].append(number)
        neighbours: list[list[tuple[int, int]]] = [[] for _ in solid.faces]
        for edge, faces in enumerate(edge_faces):
            if len(faces) == 2:
                neighbours[faces[0]].append((edge, faces[1]))
                neighbours[faces[1]].append((edge, faces[0]))
        return cls(solid, edge_faces, neighbours)

    @property
    def faces(self) -> tuple[Face, ...]:
        """The solid's faces."""
        return self.solid.faces

    @property
    def area_mm2(self) -> float:
        """Surface of the whole solid."""
        return sum(face.area_mm2 for face in self.faces)

    def edge(self, number: int) -> Edge:
        """An edge by its number."""
        return self.solid.edges[number]

    def groups(self, kind: str) -> list[tuple[int, ...]]:
        """Faces of one kind that lie on the same surface and touch along an edge, as groups of face numbers."""
        seen: set[int] = set()
        out = []
        for number, face in enumerate(self.faces):
            if face.kind != kind or number in seen:
                continue
            group, waiting = [number], [number]
            seen.add(number)
            while waiting:
                for _, other in self.neighbours[waiting.pop()]:
                    if other not in seen and self.faces[other].kind == kind and same_surface(face, self.faces[other]):
                        seen.add(other)
                        group.append(other)
                        waiting.append(other)
            out.append(tuple(sorted(group)))
        return out

    def area_of(self, faces: Sequence[int]) -> float:
        """Area of several faces together."""
        return sum(self.faces[number].area_mm2 for number in faces)

    def place(self, face: int) -> str:
        """Where a face lies, in words: its number and the middle of its edges."""
        points = [p for loop in self.faces[face].loops for edge, _ in loop for p in self.edge(edge).points]
        if not points:
            return say("step.face", number=face + 1)
        x, y, z = np.mean(np.array(points), axis=0)
        return say("step.face_near", number=face + 1, x=float(x), y=float(y), z=float(z))


def same_surface(first: Face, second: Face) -> bool:
    """Do two planes or two cylinders lie on one surface, seen from the same side?"""
    a, b = np.array(first.axis), np.array(second.axis)
    apart = np.array(second.origin) - np.array(first.origin)
    if first.kind == "plane":
        return bool(np.dot(a, b) > 1.0 - SAME_TURN**2 * 50 and abs(np.dot(a, apart)) < SAME_MM)
    if first.outward != second.outward or abs(first.radius_mm - second.radius_mm) > SAME_MM:
        return False
    return coaxial(first, second)


def coaxial(first: Face, second: Face) -> bool:
    """Do two round faces turn about the same line?"""
    a = np.array(first.axis)
    apart = np.array(second.origin) - np.array(first.origin)
    off = apart - np.dot(a, apart) * a
    parallel = abs(np.dot(a, np.array(second.axis))) > 1.0 - SAME_TURN**2 * 50
    return bool(parallel and np.linalg.norm(off) < SAME_MM)


@dataclass(frozen=True, slots=True)
class View:
    """A plane looked at along its normal: x and y axes in space, origin; right-handed seen from the normal's tip."""

    origin: Array
    x: Array
    y: Array

    @classmethod
    def of(cls, origin: Array, normal: Array, along: Array | None = None) -> View:
        """A view with ``along`` (or any direction) as its x axis."""
        if along is None:
            along = np.eye(3)[int(np.argmin(np.abs(normal)))]
        x = along - np.dot(along, normal) * normal
        x = x / np.linalg.norm(x)
        return cls(origin, x, np.cross(normal, x))

    @property
    def normal(self) -> Array:
        """The direction one looks against."""
        return np.cross(self.x, self.y)

    def points(self, spots: Array) -> Array:
        """Plane coordinates of points in space, shape (n, 2)."""
        moved = np.asarray(spots, dtype=np.float64) - self.origin
        return np.column_stack([moved @ self.x, moved @ self.y])


def seen(skeleton: Skeleton, faces: Sequence[int], view: View) -> BaseGeometry:
    """Plane faces projected on a view, joined; curves as the chords of their edges. For areas and overlaps only."""
    shapes: list[BaseGeometry] = []
    for number in faces:
        rings = []
        for loop in skeleton.faces[number].loops:
            points = loop_points(skeleton, loop)
            if len(points) >= 3:
                rings.append(view.points(np.array(points)))
        shapes += [Polygon(rings[0]).buffer(0.0)] if len(rings) == 1 else [_with_holes(rings)] if rings else []
    return shapely.union_all(shapes)


def _with_holes(rings: list[Array]) -> BaseGeometry:
    shapes = sorted((Polygon(ring).buffer(0.0) for ring in rings), key=lambda shape: -shape.area)
    return shapes[0].difference(shapely.union_all(shapes[1:]))


def loop_points(skeleton: Skeleton, loop: Loop) -> list[tuple[float, float, float]]:
    """The corners of a loop, curves with points in between, the first not repeated."""
    out: list[tuple[float, float, float]] = []
    for edge, forward in loop:
        points = skeleton.edge(edge).points
        out += (points if forward else points[::-1])[:-1]
    return out
