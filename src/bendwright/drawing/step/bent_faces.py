"""Which round faces are bends, between which flats, and what shape has the sheet of each bend unrolled?

A bend is an inner face of radius r and an outer one of radius r + t about the same axis, both running smoothly into the two
sides of flats along straight lines. Pieces about one axis that meet the same flat belong to one bend. A bend drawn sharp
inside has an outer face of radius t only.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from bendwright.drawing.step.model_record import Face
from bendwright.drawing.step.skeleton import Skeleton, coaxial
from bendwright.drawing.step.thickness import Group, Sides
from bendwright.geometry.rigid import Array

TANGENT = 0.9999
RADIUS_MM = 6e-3
ANGLE_RAD = 2e-3
FaceSide = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Ruling:
    """A straight border between a round face and a flat: the flat and its side, points on it, the edge."""

    flat: int
    side: int
    edge: int
    points: Array


@dataclass(frozen=True, slots=True)
class Roll:
    """A bend as found: axis line, inside radius, its inner and outer faces, and where they run into flats.

    ``inner_rulings`` and ``outer_rulings`` are the straight borders of either.
    """

    point: Array
    axis: Array
    inside_radius_mm: float
    inner: tuple[int, ...]
    outer: tuple[int, ...]
    inner_rulings: tuple[Ruling, ...]
    outer_rulings: tuple[Ruling, ...]


@dataclass(slots=True)
class _Gathered:
    face: Face
    inside_radius_mm: float
    swept_rad: float
    flats: set[int] = field(default_factory=set)
    groups: dict[int, list[Group]] = field(default_factory=lambda: defaultdict(list))
    rulings: dict[int, list[Ruling]] = field(default_factory=lambda: defaultdict(list))


def flat_sides(sides: Sides) -> dict[int, FaceSide]:
    """For every face of a flat: the flat's number and the side."""
    return {face: (n, s) for n, flat in enumerate(sides.flats) for s in (0, 1) for face in flat.sides[s]}


def _seam_sides(sides: Sides) -> dict[int, FaceSide]:
    """For every edge of a seam: the number of its flat of no width, and the side."""
    seams = [(n, flat.seam) for n, flat in enumerate(sides.flats) if flat.seam]
    return {edge: (n, s) for n, seam in seams for s in (0, 1) for edge in seam.edges[s]}


def find_rolls(skeleton: Skeleton, sides: Sides) -> list[Roll]:
    """All bends with round faces; a bend has both an inner and an outer face, or is sharp inside."""
    of_flat, of_seam = flat_sides(sides), _seam_sides(sides)
    gathered: list[_Gathered] = []
    for group in skeleton.groups("cylinder"):
        face = skeleton.faces[group[0]]
        inside = face.radius_mm if face.outward < 0 else face.radius_mm - sides.thickness_mm
        rulings = _rulings(skeleton, group, of_flat, of_seam)
        if inside < -RADIUS_MM or not rulings:
            continue
        own = {ruling.flat for ruling in rulings}
        swept = _swept(face, rulings)
        home = _home(gathered, face, inside, swept, own)
        if home is None:
            home = _Gathered(face, max(inside, 0.0), swept)
            gathered.append(home)
        home.flats |= own
        home.groups[face.outward].append(group)
        home.rulings[face.outward] += rulings
    return [_roll(item) for item in _joined(gathered) if _is_bend(item, sides.thickness_mm)]


def _home(gathered: list[_Gathered], face: Face, inside: float, swept: float, own: set[int]) -> _Gathered | None:
    """The bend that a round group belongs to: same axis, radius and angle, and a flat in common."""
    for item in gathered:
        same = abs(item.inside_radius_mm - inside) < RADIUS_MM and abs(item.swept_rad - swept) < ANGLE_RAD
        if same and item.flats & own and coaxial(item.face, face):
            return item
    return None


def _swept(face: Face, rulings: Sequence[Ruling]) -> float:
    """The angle between a round group's straight borders about its axis, the short way [rad]."""
    axis = np.array(face.axis)
    first = rulings[0].points[0] - np.array(face.origin)
    first = first - np.dot(first, axis) * axis
    most = 0.0
    for ruling in rulings:
        off = ruling.points[0] - np.array(face.origin)
        off = off - np.dot(off, axis) * axis
        most = max(most, abs(math.atan2(float(np.dot(np.cross(first, off), axis)), float(np.dot(first, off)))))
    return most


def _joined(gathered: list[_Gathered]) -> list[_Gathered]:
    """Groups that a later one has tied together become one."""
    out: list[_Gathered] = []
    for item in gathered:
        home = _home(out, item.face, item.inside_radius_mm, item.swept_rad, item.flats)
        if home is None:
            out.append(item)
            continue
        home.flats |= item.flats
        for sense, groups in item.groups.items():
            home.groups[sense] += groups
            home.rulings[sense] += item.rulings[sense]
    return out


def _is_bend(item: _Gathered, thickness_mm: float) -> bool:
    """Both faces there (or sharp inside), and two different flats, or the same one met at two places (a loop)."""
    inner, outer = item.rulings.get(-1, []), item.rulings.get(1, [])
    whole = bool(inner) and bool(outer)
    sharp = bool(outer) and not inner and item.inside_radius_mm < max(RADIUS_MM, 0.02 * thickness_mm)
    return (whole or sharp) and len(item.flats) >= 2


def _roll(item: _Gathered) -> Roll:
    return Roll(
        np.array(item.face.origin),
        np.array(item.face.axis),
        item.inside_radius_mm,
        tuple(face for group in item.groups.get(-1, []) for face in group),
        tuple(face for group in item.groups.get(1, []) for face in group),
        tuple(item.rulings.get(-1, [])),
        tuple(item.rulings.get(1, [])),
    )


def _rulings(
    skeleton: Skeleton, group: Group, of_flat: Mapping[int, FaceSide], of_seam: Mapping[int, FaceSide]
) -> list[Ruling]:
    """Straight borders along the axis where a round group runs smoothly into a flat, or meets another bend."""
    out = []
    for number in group:
        face = skeleton.faces[number]
        for edge, other in skeleton.neighbours[number]:
            points = np.array(skeleton.edge(edge).points)
            if edge in of_seam:
                out.append(Ruling(*of_seam[edge], edge, points))
            elif other in of_flat and skeleton.edge(edge).kind == "line":
                normal = _normal_along(face, points)
                if normal is not None and np.dot(normal, np.array(skeleton.faces[other].axis)) > TANGENT:
                    out.append(Ruling(*of_flat[other], edge, points))
    return out


def _normal_along(face: Face, points: Array) -> Array | None:
    """The outward normal of a round face on a straight line along its axis; None when the line is not along it."""
    axis, way = np.array(face.axis), points[1] - points[0]
    if np.linalg.norm(way) < 1e-6 or abs(np.dot(way, axis)) < TANGENT * np.linalg.norm(way):
        return None
    off = points[0] - np.array(face.origin)
    radial = off - np.dot(off, axis) * axis
    return np.asarray(face.outward * radial / np.linalg.norm(radial))


@dataclass(frozen=True, slots=True)
class Unrolled:
    """A bend's axes and its sheet unrolled: ``start`` is the unit vector from the axis to the near tangent line, ``onward`` the
    way the bend goes on from there; ``turned_rad`` its angle. ``rings_inner``/``rings_outer`` hold (distance along
    the axis [mm], angle from the near tangent line [rad]) per loop.
    """

    roll: Roll
    start: Array
    onward: Array
    turned_rad: float
    near: tuple[Ruling, ...]
    far: tuple[Ruling, ...]
    rings_inner: tuple[tuple[Array, ...], ...]
    rings_outer: tuple[tuple[Array, ...], ...]


def unroll(skeleton: Skeleton, roll: Roll) -> Unrolled | None:
    """Lay a bend out; None when its borders do not lie at two angles."""
    rulings = [*roll.inner_rulings, *roll.outer_rulings]
    first = rulings[0]
    start = _radial(roll, first.points[0])
    side = np.cross(roll.axis, start)
    sign = _sense(skeleton, roll, start, side, first)
    onward = sign * side
    angles = [_angle(roll, start, onward, ruling.points.mean(axis=0)) for ruling in rulings]
    angles = [0.0 if angle > 2 * math.pi - ANGLE_RAD else angle for angle in angles]
    far = [angle for angle in angles if angle > ANGLE_RAD]
    if not far or max(far) - min(far) > ANGLE_RAD:
        return None
    turned = float(np.mean(far))
    return Unrolled(
        roll,
        start,
        onward,
        turned,
        tuple(r for r, a in zip(rulings, angles, strict=True) if a <= ANGLE_RAD),
        tuple(r for r, a in zip(rulings, angles, strict=True) if a > ANGLE_RAD),
        tuple(_face_rings(skeleton, roll, start, onward, face) for face in roll.inner),
        tuple(_face_rings(skeleton, roll, start, onward, face) for face in roll.outer),
    )


def _radial(roll: Roll, point: Array) -> Array:
    off = point - roll.point
    off = off - np.dot(off, roll.axis) * roll.axis
    return np.asarray(off / np.linalg.norm(off))


def _angle(roll: Roll, start: Array, onward: Array, point: Array) -> float:
    """Angle of a point about the axis from the near tangent line, 0 to 2 pi."""
    off = point - roll.point
    return float(math.atan2(np.dot(off, onward), np.dot(off, start)) % (2 * math.pi))


def _sense(skeleton: Skeleton, roll: Roll, start: Array, side: Array, first: Ruling) -> float:
    """+1 when the round face beside the first ruling goes on toward ``side``, else -1."""
    own = set(roll.inner) | set(roll.outer)
    face = next(face for face in skeleton.edge_faces[first.edge] if face in own)
    rings = _face_rings(skeleton, roll, start, side, face)
    ring = max(rings, key=len)
    on_line = np.abs((ring[:, 1] + math.pi) % (2 * math.pi) - math.pi) < 1e-4
    middle = float(ring[:, 1].mean() - ring[on_line, 1].mean()) if on_line.any() else float(ring[:, 1].mean())
    return 1.0 if middle > 0.0 else -1.0


def _face_rings(skeleton: Skeleton, roll: Roll, start: Array, onward: Array, face: int) -> tuple[Array, ...]:
    """The loops of one round face as (along, angle), angles continuous and with their mean in 0 .. 2 pi."""
    out = []
    for loop in skeleton.faces[face].loops:
        points = _dense(skeleton, loop)
        off = points - roll.point
        along = off @ roll.axis
        angle = np.unwrap(np.arctan2(off @ onward, off @ start))
        out.append((along, angle))
    if not out:
        return ()
    longest = max(out, key=lambda item: np.ptp(item[0]) + np.ptp(item[1]))
    turns = math.floor((float(longest[1].min()) + ANGLE_RAD) / (2 * math.pi)) * 2 * math.pi
    rings = []
    for along, angle in out:
        moved = angle - turns
        while moved.mean() < longest[1].min() - turns - ANGLE_RAD:
            moved = moved + 2 * math.pi
        while moved.mean() > longest[1].max() - turns + ANGLE_RAD:
            moved = moved - 2 * math.pi
        rings.append(np.column_stack([along, moved]))
    return tuple(rings)


def _dense(skeleton: Skeleton, loop: Sequence[tuple[int, bool]]) -> Array:
    out: list[tuple[float, float, float]] = []
    for edge, forward in loop:
        points = skeleton.edge(edge).points
        out += (points if forward else points[::-1])[:-1]
    return np.array(out)
