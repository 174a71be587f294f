"""Lines that may be bend lines, gathered on their axes, with the edges of the bend zone drawn beside them.

Lines that lie on one straight axis and touch or overlap are one stretch of it; pieces apart stay stretches of the same axis. Two
lines parallel to an axis, as far from it to the left as to the right, are the tangent lines of its bend: what lies between
them is the sender's bend allowance.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from bendwright.drawing.dxf.curves import Curve
from bendwright.part.model import Direction, Point

PARALLEL = 2e-3
ON_AXIS_MM = 0.05
TOUCH_MM = 0.05
SYMMETRIC_MM = 0.05
OVERLAP_SHARE = 0.5
WIDEST_HALF_MM = 8.0
WIDEST_HALF_THICKNESSES = 5.0
Span = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnLine:
    """A straight line that may be a bend: ``why`` in words; ``weak`` when only how it is drawn says so."""

    start: Point
    end: Point
    why: str
    weak: bool = False
    direction: Direction | None = None

    @property
    def length_mm(self) -> float:
        """Its length."""
        return math.dist(self.start, self.end)


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """A directed straight line with the stretches drawn on it (distances from ``origin`` along ``along``, a unit vector).

    ``zone_mm`` is the distance of the tangent lines drawn beside it, None where there are none.
    """

    origin: Point
    along: Point
    stretches: tuple[Span, ...]
    why: str
    weak: bool = False
    direction: Direction | None = None
    zone_mm: float | None = None

    def at(self, along: float, left: float = 0.0) -> Point:
        """The point ``along`` the axis and ``left`` of it."""
        (x, y), (ux, uy) = self.origin, self.along
        return (x + along * ux - left * uy, y + along * uy + left * ux)

    def local(self, point: Sequence[float]) -> Point:
        """(distance along, distance to the left) of a point."""
        dx, dy = point[0] - self.origin[0], point[1] - self.origin[1]
        ux, uy = self.along
        return (dx * ux + dy * uy, dy * ux - dx * uy)

    @property
    def span(self) -> Span:
        """From the first to the last end drawn."""
        return (self.stretches[0][0], self.stretches[-1][1])

    @property
    def length_mm(self) -> float:
        """Length drawn."""
        return sum(high - low for low, high in self.stretches)


def axes_of(lines: Sequence[DrawnLine]) -> list[Axis]:
    """The axes of these lines, longest line first; a line that says a direction is joined with others of that direction only."""
    axes: list[Axis] = []
    for item in sorted(lines, key=lambda line: -line.length_mm):
        if item.length_mm <= TOUCH_MM:
            continue
        for number, axis in enumerate(axes):
            span = _on_axis(axis, item)
            if span and axis.direction == item.direction and axis.weak == item.weak:
                axes[number] = replace(axis, stretches=joined([*axis.stretches, span]))
                break
        else:
            axes.append(_axis(item))
    return axes


def _axis(item: DrawnLine) -> Axis:
    """The axis of a line, running right, or up where it is upright."""
    (x, y), (u, v) = item.start, item.end
    length = math.dist(item.start, item.end)
    along = ((u - x) / length, (v - y) / length)
    if along[0] < -1e-9 or (abs(along[0]) <= 1e-9 and along[1] < 0.0):
        (x, y), along = (u, v), (-along[0], -along[1])
    stretches = ((0.0, length),)
    return Axis(origin=(x, y), along=along, stretches=stretches, why=item.why, weak=item.weak, direction=item.direction)


def _on_axis(axis: Axis, item: DrawnLine) -> Span | None:
    """The stretch of the axis that a line covers; None when it lies beside it."""
    (s0, d0), (s1, d1) = axis.local(item.start), axis.local(item.end)
    if max(abs(d0), abs(d1)) > ON_AXIS_MM or abs(d1 - d0) > PARALLEL * abs(s1 - s0) + 1e-3:
        return None
    return (min(s0, s1), max(s0, s1))


def joined(spans: Sequence[Span]) -> tuple[Span, ...]:
    """Stretches in order, those that touch as one."""
    out: list[Span] = []
    for low, high in sorted(spans):
        if out and low <= out[-1][1] + TOUCH_MM:
            out[-1] = (out[-1][0], max(out[-1][1], high))
        else:
            out.append((low, high))
    return tuple(out)


def with_zones(axes: Sequence[Axis], edges: Sequence[Curve]) -> tuple[list[Axis], list[Curve]]:
    """The axes with the widths of the zones drawn beside them, and the zone edges that belong to no axis."""
    used: set[int] = set()
    out: list[Axis] = []
    for axis in axes:
        beside = {n: d for n, edge in enumerate(edges) if (d := beside_mm(axis, edge)) is not None}
        pair = _nearest_pair(beside)
        if pair:
            left, right, numbers = pair
            used |= numbers
            axis = replace(axis, zone_mm=left + right)
        out.append(axis)
    return out, [edge for n, edge in enumerate(edges) if n not in used]


def _nearest_pair(beside: Mapping[int, float]) -> tuple[float, float, set[int]] | None:
    """The nearest distance to the left with one alike to the right, that one, and the numbers of all edges that lie so."""
    lefts = sorted((d, n) for n, d in beside.items() if d > 1e-3)
    rights = sorted((-d, n) for n, d in beside.items() if d < 0.0)

    def mates(left: float) -> list[tuple[float, int]]:
        low = bisect_right(rights, left - SYMMETRIC_MM, key=lambda row: row[0])
        return rights[low : bisect_left(rights, left + SYMMETRIC_MM, key=lambda row: row[0])]

    half, mate = next(((d, several[0][0]) for d, _ in lefts if (several := mates(d))), (None, 0.0))
    if half is None:
        return None
    near = [(d, n) for d, n in lefts if half <= d < half + SYMMETRIC_MM and mates(d)]
    last = near[-1][0] + SYMMETRIC_MM
    numbers = {n for _, n in near} | {n for d, n in rights if half - SYMMETRIC_MM < d < last}
    return half, mate, numbers


def beside_mm(axis: Axis, edge: Curve) -> float | None:
    """How far to the left of an axis a parallel line lies that runs beside it; None for any other."""
    if edge.centre is not None:
        return None
    (s0, d0), (s1, d1) = axis.local(edge.start), axis.local(edge.end)
    if abs(s1 - s0) < 1e-6 or abs(d1 - d0) > PARALLEL * abs(s1 - s0) + 1e-3:
        return None
    low, high = min(s0, s1), max(s0, s1)
    common = sum(max(0.0, min(high, b) - max(low, a)) for a, b in axis.stretches)
    return 0.5 * (d0 + d1) if common >= OVERLAP_SHARE * min(high - low, axis.length_mm) else None


def widest_half_mm(thickness_mm: float | None) -> float:
    """How far from its middle line the edge of a bend zone may be looked for when nothing else names it."""
    return WIDEST_HALF_MM if thickness_mm is None else WIDEST_HALF_THICKNESSES * thickness_mm


def unnamed_edges(lines: Sequence[DrawnLine], *, thickness_mm: float | None) -> tuple[list[DrawnLine], list[Curve]]:
    """Lines in threes - one with two alike close on both sides of it - taken apart: (bend lines, edges of their zones)."""
    limit = widest_half_mm(thickness_mm)
    curves = [Curve(item.start, item.end) for item in lines]
    pairs: dict[int, tuple[int, int]] = {}
    for number, item in enumerate(lines):
        axis = _axis(item)
        beside = {
            n: d
            for n, other in enumerate(curves)
            if n != number and 0.8 < other.length_mm / item.length_mm < 1.25
            if (d := beside_mm(axis, other)) is not None and 1e-3 < abs(d) <= limit
        }
        for n, d in sorted(beside.items(), key=lambda pair: abs(pair[1])):
            match = next((m for m, e in beside.items() if m != n and abs(d + e) < SYMMETRIC_MM), None)
            if match is not None:
                pairs[number] = (n, match)
                break
    edges = {n for number, pair in pairs.items() for n in pair if n not in pairs}
    middles = {number for number, pair in pairs.items() if all(n in edges for n in pair)}
    edges = {n for number in middles for n in pairs[number]}
    return [item for n, item in enumerate(lines) if n not in edges], [curves[n] for n in sorted(edges)]


def from_edges_alone(edges: Sequence[Curve], *, thickness_mm: float | None) -> list[Axis]:
    """Axes half-way between pairs of zone edges that have no bend line of their own; nearest pairs first."""
    limit = 2.0 * widest_half_mm(thickness_mm)
    lines = [_axis(DrawnLine(start=edge.start, end=edge.end, why="")) for edge in edges if edge.centre is None]
    straight = [edge for edge in edges if edge.centre is None]
    rows = []
    for i, axis in enumerate(lines):
        for j in range(i + 1, len(straight)):
            d = beside_mm(axis, straight[j])
            if d is not None and 1e-3 < abs(d) <= limit:
                rows.append((abs(d), i, j, d))
    taken: set[int] = set()
    out = []
    for width, i, j, d in sorted(rows):
        if not taken & {i, j}:
            taken |= {i, j}
            axis = lines[i]
            middle = replace(axis, origin=axis.at(0.0, 0.5 * d), zone_mm=width, why="two tangent lines")
            out.append(middle)
    return out
