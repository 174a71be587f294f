"""Bends drawn sharp on both sides: two flats that meet in one convex edge outside and one concave edge inside."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from bendwright.drawing.step.bent_faces import FaceSide, flat_sides
from bendwright.drawing.step.skeleton import Skeleton
from bendwright.drawing.step.thickness import Sides
from bendwright.drawing.step.zones import SeenFold
from bendwright.geometry.rigid import Array
from bendwright.part.model import ZonePiece

LEAST_TURNED = math.radians(0.5)


def sharp_folds(skeleton: Skeleton, sides: Sides, joined: set[frozenset[int]]) -> list[SeenFold]:
    """Sharp bends between flats not ``joined`` by a round one already."""
    of_flat = flat_sides(sides)
    inside: dict[tuple[int, int], list[int]] = {}
    outside: set[tuple[int, int]] = set()
    for edge, faces in enumerate(skeleton.edge_faces):
        if len(faces) != 2 or not all(face in of_flat for face in faces) or skeleton.edge(edge).kind != "line":
            continue
        (flat, _), (other, _) = of_flat[faces[0]], of_flat[faces[1]]
        if flat == other or frozenset((flat, other)) in joined:
            continue
        key = (min(flat, other), max(flat, other))
        if _concave(skeleton, edge, faces[0], faces[1]):
            inside.setdefault(key, []).append(edge)
        else:
            outside.add(key)
    return [_fold(skeleton, of_flat, key, edges, sides.thickness_mm) for key, edges in inside.items() if key in outside]


def _concave(skeleton: Skeleton, edge: int, first: int, second: int) -> bool:
    """Does the material at this edge fill more than half of what is round it?"""
    middle = np.mean(np.array(skeleton.edge(edge).points), axis=0)
    into = _into(skeleton, edge, second, middle)
    return bool(np.dot(np.array(skeleton.faces[first].axis), into) > 0.0)


def _into(skeleton: Skeleton, edge: int, face: int, middle: Array) -> Array:
    """Unit vector from an edge into one of its plane faces: left of the edge as the face runs along it."""
    forward = next(f for loop in skeleton.faces[face].loops for e, f in loop if e == edge)
    points = np.array(skeleton.edge(edge).points)
    way = (points[-1] - points[0]) * (1.0 if forward else -1.0)
    into = np.cross(np.array(skeleton.faces[face].axis), way)
    return np.asarray(into / np.linalg.norm(into))


def _fold(
    skeleton: Skeleton, of_flat: Mapping[int, FaceSide], key: tuple[int, int], edges: list[int], thickness_mm: float
) -> SeenFold:
    faces = sorted(skeleton.edge_faces[edges[0]], key=lambda face: of_flat[face][0])
    near, far = faces
    a, b = np.array(skeleton.faces[near].axis), np.array(skeleton.faces[far].axis)
    turned = math.acos(float(np.clip(np.dot(a, b), -1.0, 1.0)))
    points = [np.array(skeleton.edge(edge).points) for edge in edges]
    place, axis = points[0][0], (points[0][1] - points[0][0]) / np.linalg.norm(points[0][1] - points[0][0])
    spans = sorted(sorted(((p - place) @ axis).tolist()) for p in points)
    low, high = spans[0][0], max(span[1] for span in spans)
    line = place + np.outer([low, high], axis)
    onward = -_into(skeleton, edges[0], near, place)
    length = sum(last - first for first, last in spans)
    zone = tuple(ZonePiece(outline=((s - low, 0.0), (e - low, 0.0), (e - low, 1.0), (s - low, 1.0))) for s, e in spans)
    return SeenFold(
        near=key[0],
        far=key[1],
        inner_side=of_flat[near][1],
        far_inner_side=of_flat[far][1],
        near_line=line,
        far_line=line,
        onward=onward,
        far_onward=_into(skeleton, edges[0], far, place),
        turned_deg=math.degrees(turned),
        inside_radius_mm=0.0,
        zone=zone,
        volume_mm3=length * thickness_mm**2 * math.tan(0.5 * turned),
        edges=frozenset(edges),
    )
