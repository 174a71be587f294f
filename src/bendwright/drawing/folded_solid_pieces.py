"""How do the pieces of the sheet hang together, corner by corner and edge by edge?

Every piece is a face seen from the top: loops of sides, outer ones counter-clockwise, holes clockwise. Where a flat goes on into
a bend both have the same side, cut into the same stretches; all other sides are edges of the sheet and get a wall. Where a
bend has no inside radius its inner face is nothing but a line: what lies across it is one corner, one side (``folded``).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

from bendwright.part.blank_model import BendLine, Blank
from bendwright.part.contour import Vertex, bulge_arc, true_curve
from bendwright.part.model import Circle, Feature, Point, Slot
from bendwright.part.sheet_pieces import SheetPiece, sheet_pieces, slot_ends

SNAP_MM = 2e-4
SHARP_MM = 1e-6
Level = Literal["top", "bottom"]
LEVELS: tuple[Level, Level] = ("bottom", "top")


@dataclass(frozen=True, slots=True)
class Bow:
    """A side that is an arc in the blank: centre, radius, start angle and sweep [rad], > 0 counter-clockwise."""

    centre: Point
    radius_mm: float
    start_rad: float
    sweep_rad: float


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a piece from corner to corner (the same one for a whole circle), sheet on its left; ``edge`` is its number,
    the same for both pieces that share it.
    """

    start: int
    end: int
    edge: int
    bow: Bow | None


@dataclass(frozen=True, slots=True)
class Piece:
    """One face of the unfolded sheet: of a flange (flat) or a bend (zone)."""

    kind: Literal["flat", "zone"]
    id: str
    loops: tuple[tuple[Side, ...], ...]


@dataclass(frozen=True, slots=True)
class Folded:
    """On one face of the sheet: which corner and which edge stands for each, where sharp bends fold several into one."""

    corners: tuple[int, ...]
    edges: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Net:
    """The whole sheet: ``corners`` in blank coordinates, pieces, edges shared by two of them, and both faces as folded."""

    corners: tuple[Point, ...]
    pieces: tuple[Piece, ...]
    shared: frozenset[int]
    folded: dict[Level, Folded]


@dataclass(slots=True)
class _Ring:
    """One loop being put together (``circle``: it is a whole one); its vertices and sides are numbered from ``first`` on."""

    piece: SheetPiece
    vertices: list[Vertex]
    circle: Bow | None = None
    first: int = 0

    def sides(self) -> list[tuple[int, Vertex, Vertex]]:
        """Number, start and end of every side."""
        after = [*self.vertices[1:], self.vertices[0]]
        return [(self.first + i, a, b) for i, (a, b) in enumerate(zip(self.vertices, after, strict=True))]

    def following(self, number: int) -> int:
        """The vertex a side ends at."""
        return self.first + (number - self.first + 1) % len(self.vertices)


@dataclass(frozen=True, slots=True)
class Tangent:
    """A bend seen along its line: s along it from the start, w the share of the bend from the parent's tangent line (0) to the
    child's (1).
    """

    line: BendLine
    along: Point

    @classmethod
    def of(cls, line: BendLine) -> Tangent:
        """The frame of a bend line."""
        dx, dy = line.end[0] - line.start[0], line.end[1] - line.start[1]
        length = math.hypot(dx, dy)
        return cls(line, (dx / length, dy / length))

    def seen(self, point: Sequence[float]) -> Point:
        """(s [mm], w) of a point of the blank."""
        (x, y), (a, b) = self.line.start, self.along
        dx, dy = point[0] - x, point[1] - y
        return dx * a + dy * b, (dx * b - dy * a) / self.line.zone_width_mm + 0.5

    def at(self, s: float, w: float) -> Point:
        """The point of the blank at (s, w)."""
        (x, y), (a, b) = self.line.start, self.along
        out = (w - 0.5) * self.line.zone_width_mm
        return x + s * a + out * b, y + s * b - out * a


class _Union:
    """Numbers that stand for the same thing."""

    def __init__(self, count: int) -> None:
        self.parent = list(range(count))

    def find(self, number: int) -> int:
        """The least number that stands for it."""
        while self.parent[number] != number:
            self.parent[number] = self.parent[self.parent[number]]
            number = self.parent[number]
        return number

    def join(self, one: int, other: int) -> None:
        """Both are the same."""
        low, high = sorted((self.find(one), self.find(other)))
        self.parent[high] = low


@dataclass(slots=True)
class _Joints:
    """What is found out about vertices and sides while the pieces are held against each other."""

    corners: _Union
    edges: _Union
    on: dict[int, list[tuple[Tangent, float, float]]] = field(default_factory=dict)


def net_of(blank: Blank, flanges: dict[str, tuple[str, str]]) -> Net:
    """The net of a blank; ``flanges`` names parent and child of every bend."""
    tangents = {line.bend_id: Tangent.of(line) for line in blank.bend_lines}
    sharp = {size.bend_id for size in blank.sizes if size.inside_radius_mm < SHARP_MM}
    rings = [ring for piece in sheet_pieces(blank) for ring in _rings(piece, sharp)]
    for bend_id in sharp & tangents.keys():
        own = [ring for ring in rings if ring.piece.kind == "zone" and ring.piece.id == bend_id]
        _cut_everywhere(own, tangents[bend_id])
    meetings = [
        (tangents[bend_id], share, [ring for ring in rings if _belongs(ring, bend_id, flange)])
        for bend_id, pair in flanges.items()
        for share, flange in zip((0.0, 1.0), pair, strict=True)
    ]
    for tangent, share, own in meetings:
        _cut_at_each_other(own, tangent, share)
    count = 0
    for ring in rings:
        ring.first, count = count, count + len(ring.vertices)
    joints = _Joints(_Union(count), _Union(count))
    for tangent, share, own in meetings:
        _join(own, tangent, share, joints)
    return _net(rings, joints, {bend_id: tangents[bend_id] for bend_id in sharp & tangents.keys()})


def _belongs(ring: _Ring, bend_id: str, flange: str) -> bool:
    return ring.piece.id == (flange if ring.piece.kind == "flat" else bend_id)


def _rings(piece: SheetPiece, sharp: set[str]) -> list[_Ring]:
    arcs = () if piece.kind == "zone" and piece.id in sharp else piece.arcs
    outlines = [
        [(float(x), float(y)) for x, y in ring.coords][:-1] for ring in (piece.shape.exterior, *piece.shape.interiors)
    ]
    rings = [_Ring(piece, _without_hairs(true_curve(outline, arcs))) for outline in outlines]
    return rings + [_hole(piece, feature) for feature in piece.holes]


def _without_hairs(vertices: list[Vertex]) -> list[Vertex]:
    """A ring without straight sides too short to be sides."""
    after = [*vertices[1:], vertices[0]]
    return [a for a, b in zip(vertices, after, strict=True) if a[2] or math.dist(a[:2], b[:2]) > SNAP_MM]


def _hole(piece: SheetPiece, feature: Feature) -> _Ring:
    """The edge of a hole, clockwise."""
    if isinstance(feature, Circle) or (isinstance(feature, Slot) and feature.length_mm - feature.width_mm < SNAP_MM):
        radius = 0.5 * (feature.diameter_mm if isinstance(feature, Circle) else feature.width_mm)
        circle = Bow(feature.centre, radius, 0.0, -2.0 * math.pi)
        return _Ring(piece, [(feature.centre[0] + radius, feature.centre[1], math.inf)], circle)
    if isinstance(feature, Slot):
        first, last = slot_ends(feature)
        turned, radius = math.radians(feature.axis_deg), 0.5 * feature.width_mm
        x, y = -radius * math.sin(turned), radius * math.cos(turned)
        corners = [(first[0] + x, first[1] + y, 0.0), (last[0] + x, last[1] + y, -1.0)]
        return _Ring(piece, [*corners, (last[0] - x, last[1] - y, 0.0), (first[0] - x, first[1] - y, -1.0)])
    points = feature.points
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, (*points[1:], points[0]), strict=True))
    return _Ring(piece, true_curve(points if area < 0.0 else points[::-1], feature.arcs))


def _cut_everywhere(rings: Sequence[_Ring], tangent: Tangent) -> None:
    """Cut every side of a sharp bend wherever a corner lies beside it."""
    places = _apart([tangent.seen(vertex)[0] for ring in rings for vertex in ring.vertices])
    for ring in rings:
        out: list[Vertex] = []
        for _, start, end in ring.sides():
            (s0, w0), (s1, w1) = tangent.seen(start), tangent.seen(end)
            inner = [s for s in places if min(s0, s1) + SNAP_MM < s < max(s0, s1) - SNAP_MM]
            shares = [(s - s0) / (s1 - s0) for s in (inner if s1 > s0 else inner[::-1])]
            out += [start, *((*tangent.at(s0 + f * (s1 - s0), w0 + f * (w1 - w0)), 0.0) for f in shares)]
        ring.vertices = out


def _apart(values: Sequence[float]) -> list[float]:
    """The values in order, without those that lie nearer than a snap behind another."""
    out: list[float] = []
    for value in sorted(values):
        if not out or value > out[-1] + SNAP_MM:
            out.append(value)
    return out


def _on_line(ring: _Ring, tangent: Tangent, share: float) -> list[tuple[int, float, float]]:
    """Sides (number, s at start, s at end) that lie on a tangent line with the sheet on the right side of it."""
    reach = SNAP_MM / tangent.line.zone_width_mm
    forward = (ring.piece.kind == "flat") == (share == 0.0)
    out = []
    for number, start, end in ring.sides():
        (s0, w0), (s1, w1) = tangent.seen(start), tangent.seen(end)
        on = abs(w0 - share) < reach and abs(w1 - share) < reach
        if on and start[2] == 0.0 and (s1 - s0 if forward else s0 - s1) > SNAP_MM:
            out.append((number, s0, s1))
    return out


def _cut_at_each_other(rings: Sequence[_Ring], tangent: Tangent, share: float) -> None:
    """Cut the sides on a tangent line at the corners of the other piece."""
    for ring in rings:
        ring.first = 0
    places = _apart([s for ring in rings for _, *ends in _on_line(ring, tangent, share) for s in ends])
    for ring in rings:
        out, begin = [], 0
        for number, s0, s1 in _on_line(ring, tangent, share):
            inner = [s for s in places if min(s0, s1) + SNAP_MM < s < max(s0, s1) - SNAP_MM]
            out += ring.vertices[begin : number + 1]
            out += [(*tangent.at(s, share), 0.0) for s in (inner if s1 > s0 else inner[::-1])]
            begin = number + 1
        ring.vertices = out + ring.vertices[begin:]


def _join(rings: Sequence[_Ring], tangent: Tangent, share: float, joints: _Joints) -> None:
    """Flat and bend share the sides that lie on each other."""
    sides = {kind: [(ring, *side) for ring in rings if ring.piece.kind == kind for side in _on_line(ring, tangent, share)]
             for kind in ("flat", "zone")}  # fmt: skip
    for flat, number, s0, s1 in sides["flat"]:
        for zone, other, z0, z1 in sides["zone"]:
            if abs(s0 - z1) > 2.0 * SNAP_MM or abs(s1 - z0) > 2.0 * SNAP_MM:
                continue
            joints.edges.join(number, other)
            joints.corners.join(number, zone.following(other))
            joints.corners.join(flat.following(number), other)
            for corner, s in ((other, z0), (zone.following(other), z1)):
                joints.on.setdefault(corner, []).append((tangent, share, s))


def _net(rings: Sequence[_Ring], joints: _Joints, sharp: dict[str, Tangent]) -> Net:
    vertices = [vertex for ring in rings for vertex in ring.vertices]
    spots: dict[int, list[tuple[Tangent, float, float]]] = {}
    for corner, own in joints.on.items():
        spots.setdefault(joints.corners.find(corner), []).extend(own)
    places = [_spot(vertex, spots.get(joints.corners.find(i), ())) for i, vertex in enumerate(vertices)]
    pieces: dict[int, list[tuple[Side, ...]]] = {}
    first = {id(ring.piece): ring.piece for ring in rings}
    for ring in rings:
        loop = tuple(_side(ring, number, start, end, joints) for number, start, end in ring.sides())
        pieces.setdefault(id(ring.piece), []).append(loop)
    folded = {level: _folded(level, rings, joints, sharp) for level in LEVELS}
    edges = [joints.edges.find(i) for i in range(len(vertices))]
    return Net(
        corners=tuple(places),
        pieces=tuple(Piece(first[key].kind, first[key].id, tuple(loops)) for key, loops in pieces.items()),
        shared=frozenset(edge for i, edge in enumerate(edges) if edge != i),
        folded=folded,
    )


def _spot(vertex: Vertex, on: Sequence[tuple[Tangent, float, float]]) -> Point:
    """Where a corner really lies: on the tangent lines that go through it."""
    if not on:
        return vertex[0], vertex[1]
    tangent, share, s = on[0]
    for other, other_share, _ in on[1:]:
        cross = tangent.along[0] * other.along[1] - tangent.along[1] * other.along[0]
        if abs(cross) > 1e-3:
            (x, y), (u, v) = tangent.at(0.0, share), other.at(0.0, other_share)
            s = ((u - x) * other.along[1] - (v - y) * other.along[0]) / cross
            break
    return tangent.at(s, share)


def _side(ring: _Ring, number: int, start: Vertex, end: Vertex, joints: _Joints) -> Side:
    bow = ring.circle
    if bow is None and start[2]:
        bow = Bow(*bulge_arc(start[:2], end[:2], start[2]))
    find = joints.corners.find
    return Side(find(number), find(ring.following(number)), joints.edges.find(number), bow)


def _folded(level: Level, rings: Sequence[_Ring], joints: _Joints, sharp: dict[str, Tangent]) -> Folded:
    """Corners and edges of one face: across a sharp bend the sides that bound one strip of sheet are the same."""
    count = len(joints.corners.parent)
    corners, edges = _Union(count), _Union(count)
    for i in range(count):
        corners.join(i, joints.corners.find(i))
        edges.join(i, joints.edges.find(i))
    for bend_id, tangent in sharp.items():
        if (tangent.line.direction == "up") != (level == "top"):
            continue
        own = [ring for ring in rings if ring.piece.kind == "zone" and ring.piece.id == bend_id]
        for piece in dict.fromkeys(id(ring.piece) for ring in own):
            _fold_flat([ring for ring in own if id(ring.piece) == piece], tangent, corners, edges)
    return Folded(tuple(corners.find(i) for i in range(count)), tuple(edges.find(i) for i in range(count)))


def _fold_flat(rings: Sequence[_Ring], tangent: Tangent, corners: _Union, edges: _Union) -> None:
    crossing: dict[int, list[tuple[float, int, int, int]]] = {}
    places = _apart([tangent.seen(vertex)[0] for ring in rings for vertex in ring.vertices])
    for ring in rings:
        for number, start, end in ring.sides():
            (s0, w0), (s1, w1) = tangent.seen(start), tangent.seen(end)
            ends = (number, ring.following(number))
            if abs(s1 - s0) <= SNAP_MM:
                corners.join(*ends)
                continue
            left, right = ends if s1 > s0 else ends[::-1]
            strip = max(i for i, s in enumerate(places) if s < 0.5 * (s0 + s1))
            crossing.setdefault(strip, []).append((0.5 * (w0 + w1), number, left, right))
    for sides in crossing.values():
        ordered = sorted(sides)
        for (_, one, *near), (_, other, *far) in zip(ordered[::2], ordered[1::2], strict=True):
            edges.join(one, other)
            corners.join(near[0], far[0])
            corners.join(near[1], far[1])
