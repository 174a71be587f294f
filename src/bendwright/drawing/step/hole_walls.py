"""What is the wall of an opening that is not the same on both sides: countersink, counterbore or something else?"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from bendwright.drawing.step.model_record import Face
from bendwright.drawing.step.skeleton import Skeleton
from bendwright.geometry.rigid import Array
from bendwright.said import say

PARALLEL = 0.9999


@dataclass(frozen=True, slots=True)
class Sunk:
    """A hole's widening or collar: in words, and the metal it takes [mm3] beyond the through hole (a collar adds: negative)."""

    words: str
    volume_mm3: float
    collar: bool = False


@dataclass(frozen=True, slots=True)
class _Step:
    """One round piece of a hole's wall: radius at its lower and upper end, ends along the normal, +1 for a collar's outside."""

    low_mm: float
    high_mm: float
    from_mm: float
    to_mm: float
    outward: int


def sunk_hole(skeleton: Skeleton, edges: Iterable[int], normal: Array, skin: set[int]) -> Sunk | None:
    """The widening of a round hole whose rims are ``edges``; None when its wall is made of anything but round steps."""
    walls = _wall(skeleton, edges, skin)
    rounds = [skeleton.faces[n] for n in walls if skeleton.faces[n].kind in ("cone", "cylinder")]
    floors = [n for n in walls if skeleton.faces[n].kind == "plane"]
    if not rounds or len(walls) > len(rounds) + len(floors):
        return None
    if any(abs(np.dot(face.axis, normal)) < PARALLEL for face in rounds):
        return None
    steps = _once([_step(skeleton, n, normal) for n in walls if skeleton.faces[n].kind in ("cone", "cylinder")])
    least = min(min(step.low_mm, step.high_mm) for step in steps)
    volume = sum(-step.outward * _beyond(step, least) for step in steps)
    collar = any(step.outward > 0 for step in steps)
    widest = max(max(step.low_mm, step.high_mm) for step in steps)
    cone = next((face for face in rounds if face.kind == "cone" and face.outward < 0), None)
    return Sunk(_words(cone, widest, collar), volume, collar)


def _words(cone: Face | None, widest: float, collar: bool) -> str:
    if collar:
        return say("step.collar", diameter=2 * widest)
    if cone is None:
        return say("step.counterbore", diameter=2 * widest)
    angle = math.degrees(2 * abs(cone.half_angle_rad))
    return say("step.countersink", angle=angle, diameter=2 * widest)


def _beyond(step: _Step, least: float) -> float:
    height = step.to_mm - step.from_mm
    return _frustum(step.low_mm, step.high_mm, height) - math.pi * least**2 * height


def _wall(skeleton: Skeleton, edges: Iterable[int], skin: set[int]) -> set[int]:
    """All faces reached from the rims without stepping on the sheet's sides."""
    waiting = [face for edge in edges for face in skeleton.edge_faces[edge] if face not in skin]
    wall: set[int] = set()
    while waiting:
        face = waiting.pop()
        if face in wall:
            continue
        wall.add(face)
        waiting += [other for _, other in skeleton.neighbours[face] if other not in skin]
    return wall


def _step(skeleton: Skeleton, number: int, normal: Array) -> _Step:
    face = skeleton.faces[number]
    points = np.array([p for loop in face.loops for e, _ in loop for p in skeleton.edge(e).points])
    off = points - np.array(face.origin)
    height = off @ normal
    radial = np.linalg.norm(off - np.outer(off @ np.array(face.axis), np.array(face.axis)), axis=1)
    low, high = float(height.min()), float(height.max())
    at_low = float(radial[np.abs(height - low) < 1e-4].mean())
    at_high = float(radial[np.abs(height - high) < 1e-4].mean())
    place = float(np.dot(np.array(face.origin), normal))
    return _Step(at_low, at_high, low + place, high + place, face.outward)


def _once(steps: list[_Step]) -> list[_Step]:
    """Halves of one wall counted once."""
    found = {(round(s.from_mm, 4), round(s.to_mm, 4), s.outward, round(s.low_mm, 4)): s for s in steps}
    return list(found.values())


def _frustum(first: float, second: float, height: float) -> float:
    return math.pi * height / 3.0 * (first**2 + first * second + second**2)
