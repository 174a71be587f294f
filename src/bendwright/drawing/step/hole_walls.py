"""What is the wall of an opening that is not the same on both sides: countersink, counterbore or something else?"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from bendwright.drawing.step.model_record import Face
from bendwright.drawing.step.skeleton import Skeleton
from bendwright.geometry.rigid import Array

PARALLEL = 0.9999


@dataclass(frozen=True, slots=True)
class Sunk:
    """A hole's widening: in words, and the metal it takes beyond the through hole [mm3]."""

    words: str
    volume_mm3: float


def sunk_hole(skeleton: Skeleton, edges: Iterable[int], normal: Array, skin: set[int]) -> Sunk | None:
    """The widening of a round hole whose rims are ``edges``; None when its wall is made of anything but round steps."""
    walls = _wall(skeleton, edges, skin)
    rounds = [skeleton.faces[n] for n in walls if skeleton.faces[n].kind in ("cone", "cylinder")]
    floors = [n for n in walls if skeleton.faces[n].kind == "plane"]
    strange = len(walls) - len(rounds) - len(floors)
    if not rounds or strange or any(abs(np.dot(face.axis, normal)) < PARALLEL for face in rounds):
        return None
    steps = [_step(skeleton, n, normal) for n in walls if skeleton.faces[n].kind in ("cone", "cylinder")]
    least = min(min(a, b) for a, b, _ in _merged(steps))
    volume = sum(_frustum(a, b, height) - math.pi * least**2 * height for a, b, height in _merged(steps))
    widest = max(max(a, b) for a, b, _ in steps)
    cone = next((face for face in rounds if face.kind == "cone"), None)
    return Sunk(_words(cone, widest), volume)


def _words(cone: Face | None, widest: float) -> str:
    if cone is None:
        return f"counterbore dia {2 * widest:.2f}"
    return f"countersink {math.degrees(2 * abs(cone.half_angle_rad)):.0f} deg, dia {2 * widest:.2f}"


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


def _step(skeleton: Skeleton, number: int, normal: Array) -> tuple[float, float, tuple[float, float, float]]:
    """Radius at the lower and upper end of a round wall and (low, high, share of the turn) along the normal."""
    face = skeleton.faces[number]
    points = np.array([p for loop in face.loops for e, _ in loop for p in skeleton.edge(e).points])
    off = points - np.array(face.origin)
    height = off @ normal
    radial = np.linalg.norm(off - np.outer(off @ np.array(face.axis), np.array(face.axis)), axis=1)
    low, high = float(height.min()), float(height.max())
    at_low = float(radial[np.abs(height - low) < 1e-4].mean())
    at_high = float(radial[np.abs(height - high) < 1e-4].mean())
    absolute = float(np.dot(np.array(face.origin), normal))
    return at_low, at_high, (low + absolute, high + absolute, 0.0)


def _merged(steps: list[tuple[float, float, tuple[float, float, float]]]) -> list[tuple[float, float, float]]:
    """Halves of one wall counted once: (radius low, radius high, height)."""
    out: dict[tuple[float, float], tuple[float, float, float]] = {}
    for low, high, (first, last, _) in steps:
        out[round(first, 4), round(last, 4)] = (low, high, last - first)
    return list(out.values())


def _frustum(first: float, second: float, height: float) -> float:
    return math.pi * height / 3.0 * (first**2 + first * second + second**2)
