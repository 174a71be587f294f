"""Bends that run into each other without a flat between them, as in rolls of several radii and tight jogs.

Where two round faces meet smoothly along a straight line on both sides of the sheet, a flat of no width is put between them: a
strip ``WIDTH_MM`` wide, too narrow to be seen in any size.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from bendwright.drawing.step.model_record import Face
from bendwright.drawing.step.skeleton import Skeleton, same_surface
from bendwright.drawing.step.thickness import Flat, Seam, Sides
from bendwright.geometry.rigid import Array

WIDTH_MM = 0.001
NEAR_MM = 5e-3
PARALLEL = 0.9999


@dataclass(frozen=True, slots=True)
class _Meeting:
    """A straight edge where two round faces meet smoothly: its ends, and the normal that leaves the material."""

    edge: int
    points: Array
    normal: Array


def with_seams(skeleton: Skeleton, sides: Sides) -> Sides:
    """The sides with a flat of no width for every line where two bends meet."""
    left = _meetings(skeleton)
    flats: list[Flat] = []
    while left:
        first = left.pop(0)
        here = [first, *(item for item in left if _same_line(first, item))]
        behind = [item for item in left if _behind(first, item, sides.thickness_mm)]
        left = [item for item in left if item not in here and item not in behind]
        if behind:
            edges = (tuple(item.edge for item in here), tuple(item.edge for item in behind))
            seam = Seam(edges, _ends([*here]))
            x, y, z = (float(value) for value in first.normal)
            flats.append(Flat(((), ()), (x, y, z), 0.0, seam))
    return replace(sides, flats=(*sides.flats, *flats)) if flats else sides


def _meetings(skeleton: Skeleton) -> list[_Meeting]:
    out = []
    for edge, faces in enumerate(skeleton.edge_faces):
        if len(faces) != 2 or skeleton.edge(edge).kind != "line":
            continue
        first, second = (skeleton.faces[n] for n in faces)
        if first.kind != "cylinder" or second.kind != "cylinder" or same_surface(first, second):
            continue
        points = np.array(skeleton.edge(edge).points)
        way = (points[1] - points[0]) / max(float(np.linalg.norm(points[1] - points[0])), 1e-12)
        normals = [_normal(face, points[0]) for face in (first, second)]
        along = all(abs(float(np.dot(way, face.axis))) > PARALLEL for face in (first, second))
        if along and np.dot(*normals) > PARALLEL:
            out.append(_Meeting(edge, points, normals[0]))
    return out


def _normal(face: Face, point: Array) -> Array:
    axis = np.array(face.axis)
    off = point - np.array(face.origin)
    radial = off - np.dot(off, axis) * axis
    return np.asarray(face.outward * radial / np.linalg.norm(radial))


def _off_line(first: _Meeting, spot: Array) -> float:
    way = first.points[1] - first.points[0]
    way = way / np.linalg.norm(way)
    off = spot - first.points[0]
    return float(np.linalg.norm(off - np.dot(off, way) * way))


def _same_line(first: _Meeting, other: _Meeting) -> bool:
    on = all(_off_line(first, point) < NEAR_MM for point in other.points)
    return on and bool(np.dot(first.normal, other.normal) > PARALLEL)


def _behind(first: _Meeting, other: _Meeting, thickness_mm: float) -> bool:
    moved = other.points + thickness_mm * first.normal
    on = all(_off_line(first, point) < NEAR_MM for point in moved)
    return on and bool(np.dot(first.normal, other.normal) < -PARALLEL)


def _ends(here: list[_Meeting]) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    """Ends of all pieces of the line together."""
    start = here[0].points[0]
    way = here[0].points[1] - start
    way = way / np.linalg.norm(way)
    along = [float(np.dot(point - start, way)) for item in here for point in item.points]
    low, high = start + min(along) * way, start + max(along) * way
    return (float(low[0]), float(low[1]), float(low[2])), (float(high[0]), float(high[1]), float(high[2]))
