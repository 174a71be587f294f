"""Closed loops in the plane made of lines, circle arcs and cubic curves, with their exact corners, sizes and areas.

Plain mathematics, no CAD kernel: what a solid is held against must not come out of what made the solid. Areas are those of
polygons whose corners lie on the curves, with as much added for each chord as the curve's own segment holds.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

Point = tuple[float, float]
CHORD_MM = 2e-5
"""How far a chord of a polygon may lie off its curve."""


@dataclass(frozen=True)
class Line:
    """Straight from ``start`` to ``end``."""

    start: Point
    end: Point

    def points(self) -> list[Point]:
        """Its start."""
        return [self.start]


@dataclass(frozen=True)
class Arc:
    """Round ``centre`` from ``start`` by ``sweep_rad`` (counter-clockwise when positive); ends at ``end``."""

    start: Point
    end: Point
    centre: Point
    sweep_rad: float

    @property
    def radius(self) -> float:
        """Distance of its points from the centre."""
        return math.dist(self.start, self.centre)

    def at(self, share: float) -> Point:
        """The point at that share of the sweep."""
        turned = math.atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0]) + share * self.sweep_rad
        return self.centre[0] + self.radius * math.cos(turned), self.centre[1] + self.radius * math.sin(turned)

    def points(self) -> list[Point]:
        """Points from its start on, without its end, close enough for ``CHORD_MM``."""
        step = 2.0 * math.acos(max(0.0, 1.0 - CHORD_MM / self.radius)) if self.radius > CHORD_MM else math.pi / 8
        count = max(2, math.ceil(abs(self.sweep_rad) / step))
        return [self.start, *(self.at(i / count) for i in range(1, count))]


@dataclass(frozen=True)
class Cubic:
    """A cubic Bezier curve with its four control points."""

    controls: tuple[Point, Point, Point, Point]

    @property
    def start(self) -> Point:
        """Where it begins."""
        return self.controls[0]

    @property
    def end(self) -> Point:
        """Where it ends."""
        return self.controls[3]

    def at(self, share: float) -> Point:
        """The point at that parameter."""
        w = (1 - share) ** 3, 3 * share * (1 - share) ** 2, 3 * share**2 * (1 - share), share**3
        return (
            sum(f * x for f, (x, _) in zip(w, self.controls, strict=True)),
            sum(f * y for f, (_, y) in zip(w, self.controls, strict=True)),
        )

    def points(self) -> list[Point]:
        """Points from its start on, without its end."""
        return [self.start, *(self.at(i / 600) for i in range(1, 600))]


Piece = Line | Arc | Cubic


@dataclass(frozen=True)
class Loop:
    """A closed row of pieces; ``whole_circle`` says that its arcs are one circle, drawn as one edge."""

    pieces: tuple[Piece, ...]
    whole_circle: bool = False

    def corners(self) -> list[Point]:
        """Where its pieces meet."""
        return [piece.start for piece in self.pieces]

    def polygon(self) -> list[Point]:
        """Its points, chords within ``CHORD_MM``."""
        return [point for piece in self.pieces for point in piece.points()]

    def moved(self, dx: float, dy: float, turned_rad: float = 0.0) -> Loop:
        """Turned about the origin and then shifted."""
        c, s = math.cos(turned_rad), math.sin(turned_rad)

        def put(point: Point) -> Point:
            return dx + c * point[0] - s * point[1], dy + s * point[0] + c * point[1]

        def piece(one: Piece) -> Piece:
            if isinstance(one, Line):
                return Line(put(one.start), put(one.end))
            if isinstance(one, Arc):
                return Arc(put(one.start), put(one.end), put(one.centre), one.sweep_rad)
            a, b, c_, d = one.controls
            return Cubic((put(a), put(b), put(c_), put(d)))

        return Loop(tuple(piece(one) for one in self.pieces), self.whole_circle)


def polygon(*corners: Point) -> Loop:
    """A loop of straight lines."""
    return Loop(tuple(Line(a, b) for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)))


def rectangle(x0: float, y0: float, x1: float, y1: float) -> Loop:
    """Counter-clockwise from its lower left corner."""
    return polygon((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def circle(x: float, y: float, diameter: float, *, halves: bool = False) -> Loop:
    """A round hole; ``halves``: drawn as two half circles instead of one closed edge."""
    r = 0.5 * diameter
    right, left = (x + r, y), (x - r, y)
    return Loop((Arc(right, left, (x, y), math.pi), Arc(left, right, (x, y), math.pi)), not halves)


def slot(x: float, y: float, length: float, width: float, turned_deg: float = 0.0) -> Loop:
    """Two lines and two half circles, ``length`` over all."""
    h, r = 0.5 * (length - width), 0.5 * width
    a, b, c, d = (-h, -r), (h, -r), (h, r), (-h, r)
    loop = Loop((Line(a, b), Arc(b, c, (h, 0.0), math.pi), Line(c, d), Arc(d, a, (-h, 0.0), math.pi)))
    return loop.moved(x, y, math.radians(turned_deg))


def d_hole(x: float, y: float, diameter: float, flat: float) -> Loop:
    """A round hole with a flat ``flat`` mm above its centre."""
    r = 0.5 * diameter
    half = math.sqrt(r * r - flat * flat)
    left, right = (x - half, y + flat), (x + half, y + flat)
    sweep = 2.0 * math.pi - 2.0 * math.acos(flat / r)
    return Loop((Line(right, left), Arc(left, right, (x, y), sweep)))


def blob(x: float, y: float, size: float) -> Loop:
    """A smooth closed window of four cubic curves, neither circle nor ellipse."""
    r, k, m = 0.5 * size, 0.35 * size, 0.2 * size
    east, north, west, south = (x + r, y), (x, y + 0.8 * r), (x - r, y), (x, y - 0.6 * r)
    return Loop(
        (
            Cubic((east, (x + r, y + m), (x + k, y + 0.8 * r), north)),
            Cubic((north, (x - k, y + 0.8 * r), (x - r, y + m), west)),
            Cubic((west, (x - r, y - m), (x - k, y - 0.6 * r), south)),
            Cubic((south, (x + k, y - 0.6 * r), (x + r, y - m), east)),
        )
    )


def rounded(corners: Sequence[Point], radii: Sequence[float]) -> Loop:
    """A polygon with its corners rounded to these radii (0: left sharp)."""
    count = len(corners)
    runs: list[tuple[Point, Arc | None, Point]] = []
    for i, (corner, radius) in enumerate(zip(corners, radii, strict=True)):
        if radius <= 0.0:
            runs.append((corner, None, corner))
            continue
        before, after = corners[i - 1], corners[(i + 1) % count]
        a = _unit(corner, before)
        b = _unit(corner, after)
        half = 0.5 * math.acos(max(-1.0, min(1.0, a[0] * b[0] + a[1] * b[1])))
        back, reach = radius / math.tan(half), radius / math.sin(half)
        middle = _unit((0.0, 0.0), (a[0] + b[0], a[1] + b[1]))
        start = (corner[0] + back * a[0], corner[1] + back * a[1])
        end = (corner[0] + back * b[0], corner[1] + back * b[1])
        centre = (corner[0] + reach * middle[0], corner[1] + reach * middle[1])
        way = math.copysign(1.0, a[1] * b[0] - a[0] * b[1])
        runs.append((start, Arc(start, end, centre, way * (math.pi - 2.0 * half)), end))
    pieces: list[Piece] = []
    for i, (_, arc, end) in enumerate(runs):
        if arc:
            pieces.append(arc)
        following = runs[(i + 1) % count][0]
        if math.dist(end, following) > 1e-9:
            pieces.append(Line(end, following))
    return Loop(tuple(pieces))


def _unit(start: Point, end: Point) -> Point:
    length = math.dist(start, end)
    return (end[0] - start[0]) / length, (end[1] - start[1]) / length


def signed_area(corners: Sequence[Point]) -> float:
    """Area of a polygon, positive when its corners run counter-clockwise."""
    return 0.5 * sum(x * v - u * y for (x, y), (u, v) in zip(corners, [*corners[1:], *corners[:1]], strict=True))


def true_corners(loop: Loop) -> list[Point]:
    """Where a loop's pieces meet without being one straight line."""
    out = []
    for before, piece in zip((loop.pieces[-1], *loop.pieces[:-1]), loop.pieces, strict=True):
        straight = isinstance(before, Line) and isinstance(piece, Line)
        if not straight or abs(signed_area([before.start, piece.start, piece.end])) > 1e-6:
            out.append(piece.start)
    return out


def centroid(corners: Sequence[Point]) -> Point:
    """Centre of the area of a polygon."""
    x0, y0 = corners[0]
    moved = [(x - x0, y - y0) for x, y in corners]
    total = mx = my = 0.0
    for (x, y), (u, v) in zip(moved, [*moved[1:], moved[0]], strict=True):
        part = x * v - u * y
        total, mx, my = total + part, mx + part * (x + u), my + part * (y + v)
    return x0 + mx / (3.0 * total), y0 + my / (3.0 * total)


def area(loop: Loop) -> float:
    """Area inside a loop: for arcs exactly, by the polygon of its corners and the segments of its arcs."""
    total = signed_area(loop.corners())
    for piece in loop.pieces:
        if isinstance(piece, Arc):
            total += 0.5 * piece.radius**2 * (piece.sweep_rad - math.sin(piece.sweep_rad))
        elif isinstance(piece, Cubic):
            total += signed_area([*piece.points(), piece.end])
    return abs(total)


def clipped(corners: Sequence[Point], window: Sequence[Point]) -> list[Point]:
    """The part of a polygon inside a convex counter-clockwise window (cut edge by edge; pieces may hang together by edges
    of no width, which changes no area)."""
    out = list(corners)
    for (ax, ay), (bx, by) in zip(window, [*window[1:], window[0]], strict=True):
        kept: list[Point] = []
        sides = [(bx - ax) * (y - ay) - (by - ay) * (x - ax) for x, y in out]
        for i, (p, side) in enumerate(zip(out, sides, strict=True)):
            q, other = out[(i + 1) % len(out)], sides[(i + 1) % len(out)]
            if side >= 0.0:
                kept.append(p)
            if (side < 0.0) != (other < 0.0):
                share = side / (side - other)
                kept.append((p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1])))
        out = kept
        if not out:
            break
    return out


def area_within(loop: Loop, window: Sequence[Point]) -> float:
    """Area inside a loop and inside a convex counter-clockwise window."""
    return abs(signed_area(clipped(loop.polygon(), window)))


def hull(points: Sequence[Point]) -> list[Point]:
    """Convex hull, counter-clockwise."""
    ordered = sorted(set(points))

    def half(row: Sequence[Point]) -> list[Point]:
        out: list[Point] = []
        for p in row:
            while len(out) > 1 and signed_area([out[-2], out[-1], p]) <= 0.0:
                out.pop()
            out.append(p)
        return out

    return half(ordered)[:-1] + half(ordered[::-1])[:-1]


def smallest_box(points: Sequence[Point]) -> tuple[float, float]:
    """Sides of the rectangle of least area round the points, the longer first; of several as small, the longest one.

    One side of it lies along an edge of the hull.
    """
    ring = hull(points)
    boxes = []
    for p, q in zip(ring, [*ring[1:], ring[0]], strict=True):
        if math.dist(p, q) < 1e-9:
            continue
        ux, uy = _unit(p, q)
        along = [ux * x + uy * y for x, y in ring]
        across = [ux * y - uy * x for x, y in ring]
        sides = sorted((max(along) - min(along), max(across) - min(across)))
        boxes.append((sides[1], sides[0]))
    least = min(long * short for long, short in boxes)
    return max(box for box in boxes if box[0] * box[1] < least * (1.0 + 1e-4))


def crossing(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether the stretches a-b and c-d cross, each from one side of the other to its other side."""
    return (
        signed_area([a, b, c]) * signed_area([a, b, d]) < 0.0 and signed_area([c, d, a]) * signed_area([c, d, b]) < 0.0
    )
