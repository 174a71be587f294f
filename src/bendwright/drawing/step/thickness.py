"""How thick is the sheet, and which faces are its two sides?

For every distance at which planes (or round faces about one axis) lie back to back with material between them, the area that
does so is counted. A sheet is a body most of whose surface agrees on one such distance.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

import numpy as np
from shapely.geometry.base import BaseGeometry

from bendwright.drawing.step.skeleton import Skeleton, View, coaxial, seen
from bendwright.geometry.rigid import Array

STEP_MM = 2e-3
LEAST_SHARE = 0.45
WITHIN_MM = 4e-3
MOST_PAIRED = 600
NEAR_MM = 0.01
LEAST_MM = 0.05
Group = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Seam:
    """A line where two bends meet: its edges on both sides of the sheet, and its ends on side 0."""

    edges: tuple[Group, Group]
    ends: tuple[tuple[float, float, float], tuple[float, float, float]]


@dataclass(frozen=True, slots=True)
class Flat:
    """Two plane sides back to back: their faces, and the outward normal of side 0. A ``seam`` is a flat of no width."""

    sides: tuple[Group, Group]
    normal: tuple[float, float, float]
    area_mm2: float
    seam: Seam | None = None


@dataclass(frozen=True, slots=True)
class Sides:
    """The sheet's thickness [mm], the share of the surface that lies back to back at it, its plane parts; ``others`` are
    further distances with their share.
    """

    thickness_mm: float
    share: float
    flats: tuple[Flat, ...]
    others: tuple[tuple[float, float], ...]


def find_sides(skeleton: Skeleton) -> Sides | None:
    """Thickness and plane sides of a body; None when nothing lies back to back."""
    planes = skeleton.groups("plane")
    rounds = skeleton.groups("cylinder")
    weights: dict[float, dict[Group, float]] = defaultdict(lambda: defaultdict(float))
    pairs = _plane_pairs(skeleton, planes)
    for first, second, distance in pairs:
        area = min(skeleton.area_of(first), skeleton.area_of(second))
        for group in (first, second):
            weights[distance][group] = min(skeleton.area_of(group), weights[distance][group] + area)
    for first, second, distance in _round_pairs(skeleton, rounds):
        for group in (first, second):
            weights[distance][group] = skeleton.area_of(group)
    shares = _joined({d: sum(w.values()) / skeleton.area_mm2 for d, w in weights.items()})
    if not shares:
        return None
    thickness, share = max(shares, key=lambda item: (round(item[1], 4), -item[0]))
    exact = [(d, skeleton.area_of(group)) for group, _, d in pairs if abs(d - thickness) < WITHIN_MM]
    if exact:
        thickness = sum(d * area for d, area in exact) / sum(area for _, area in exact)
    flats = _flats(skeleton, [(a, b) for a, b, d in pairs if abs(d - thickness) < WITHIN_MM])
    others = sorted((item for item in shares if abs(item[0] - thickness) > WITHIN_MM), key=lambda item: -item[1])
    return Sides(thickness, min(share, 1.0), flats, tuple(others[:4]))


def _joined(shares: dict[float, float]) -> list[tuple[float, float]]:
    """Distances that differ by rounding only, taken together."""
    out: list[tuple[float, float]] = []
    for distance in sorted(shares):
        if out and distance - out[-1][0] < STEP_MM:
            out[-1] = (out[-1][0], out[-1][1] + shares[distance])
        else:
            out.append((distance, shares[distance]))
    return out


def _plane_pairs(skeleton: Skeleton, groups: list[Group]) -> list[tuple[Group, Group, float]]:
    """Plane groups back to back that overlap when looked at along their normal, with their distance [mm]."""
    if len(groups) < 2:
        return []
    groups = sorted(groups, key=skeleton.area_of, reverse=True)
    first = [skeleton.faces[group[0]] for group in groups]
    normals = np.array([face.axis for face in first])
    places = np.array([face.origin for face in first])
    boxes = np.array([_box(skeleton, group) for group in groups])
    shapes: dict[tuple[int, int], BaseGeometry] = {}
    out = []
    for i in range(len(groups)):
        back = np.flatnonzero(normals[i + 1 :] @ normals[i] < -1.0 + 1e-7) + i + 1
        distances = (places[i] - places[back]) @ normals[i]
        moved = boxes[back] + (distances[:, None] * normals[i])[:, None, :]
        meet = np.all((moved[:, 0] <= boxes[i, 1] + NEAR_MM) & (moved[:, 1] >= boxes[i, 0] - NEAR_MM), axis=1)
        for j, distance in zip(back[meet].tolist(), distances[meet].tolist(), strict=True):
            if distance < LEAST_MM or (i < MOST_PAIRED and _overlap(skeleton, groups, shapes, i, j) <= 1e-3):
                continue
            out.append((groups[i], groups[j], round(distance, 6)))
    return out


def _overlap(
    skeleton: Skeleton, groups: list[Group], shapes: dict[tuple[int, int], BaseGeometry], i: int, j: int
) -> float:
    """Area in which group j lies behind group i."""
    face = skeleton.faces[groups[i][0]]
    view = View.of(np.array(face.origin), np.array(face.axis))
    for number in (i, j):
        if (i, number) not in shapes:
            shapes[i, number] = seen(skeleton, groups[number], view)
    return float(shapes[i, i].intersection(shapes[i, j]).area)


def _box(skeleton: Skeleton, group: Group) -> Array:
    points = [p for n in group for loop in skeleton.faces[n].loops for e, _ in loop for p in skeleton.edge(e).points]
    array = np.array(points) if points else np.zeros((1, 3))
    return np.array([array.min(axis=0), array.max(axis=0)])


def _boxes_meet(first: Array, second: Array, reach: float) -> bool:
    return bool(np.all(first[0] - reach - 0.01 <= second[1]) and np.all(second[0] - reach - 0.01 <= first[1]))


def _round_pairs(skeleton: Skeleton, groups: list[Group]) -> list[tuple[Group, Group, float]]:
    """Inner and outer round groups about one axis, with the difference of their radii."""
    inner = [group for group in groups if skeleton.faces[group[0]].outward < 0]
    outer = [group for group in groups if skeleton.faces[group[0]].outward > 0]
    out = []
    for a in inner:
        for b in outer:
            face, other = skeleton.faces[a[0]], skeleton.faces[b[0]]
            difference = other.radius_mm - face.radius_mm
            if (
                difference > LEAST_MM
                and coaxial(face, other)
                and _boxes_meet(_box(skeleton, a), _box(skeleton, b), difference)
            ):
                out.append((a, b, round(difference, 6)))
    return out


def _flats(skeleton: Skeleton, pairs: list[tuple[Group, Group]]) -> tuple[Flat, ...]:
    """Groups back to back, taken together where several lie behind one."""
    links: dict[Group, set[Group]] = defaultdict(set)
    for first, second in pairs:
        links[first].add(second)
        links[second].add(first)
    seen_groups: set[Group] = set()
    out = []
    for start in sorted(links, key=skeleton.area_of, reverse=True):
        if start in seen_groups:
            continue
        sides: tuple[set[Group], set[Group]] = ({start}, set())
        waiting = [(start, 0)]
        while waiting:
            group, side = waiting.pop()
            for other in links[group]:
                if other not in sides[1 - side]:
                    sides[1 - side].add(other)
                    waiting.append((other, 1 - side))
        seen_groups |= sides[0] | sides[1]
        flat = tuple(tuple(sorted(n for group in side for n in group)) for side in sides)
        out.append(Flat((flat[0], flat[1]), skeleton.faces[start[0]].axis, skeleton.area_of(flat[0])))
    return tuple(out)
