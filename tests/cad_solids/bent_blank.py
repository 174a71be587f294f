"""What a flat sheet with bend strips becomes when it is bent: places of its pieces, volume, developed sizes. Plain mathematics.

The flat (x, y; sheet between z = -t/2 and t/2, its top face at +t/2) carries strips. A strip begins at the tangent line
``start -> end`` on the sheet that stays (which lies to the left of that line) and reaches to the right as far as the fibre at
depth K t of the inside is long in the arc: a (R + K t), a the turned angle in radians. A point w into the strip comes to lie
at w / (R + K t) radians round the bend's axis; everything beyond turns by the whole angle. Walls of cut-outs therefore stand
square to the sheet everywhere: what was cut in the flat and bent afterwards.

Volume: a flat piece has area x t. In a strip the neutral fibre keeps its length, so a patch of flat area A covers A / (R + K t)
of arc x length, and with ((R + t)^2 - R^2) / 2 per unit of these its volume is A t (R + t/2) / (R + K t).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt
from flat_shapes import Loop, Point, area, area_within, crossing, smallest_box

Matrix = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Strip:
    """One bend on the flat: its tangent line (staying sheet to the left), inside radius, turned angle, up or down."""

    start: Point
    end: Point
    radius_mm: float
    turned_deg: float
    up: bool = True

    def width(self, thickness_mm: float, k_factor: float) -> float:
        """Bend allowance a (R + K t)."""
        return math.radians(self.turned_deg) * (self.radius_mm + k_factor * thickness_mm)

    @property
    def length(self) -> float:
        """Length of the tangent line."""
        return math.dist(self.start, self.end)

    @property
    def along(self) -> Point:
        """Unit vector start -> end."""
        return (self.end[0] - self.start[0]) / self.length, (self.end[1] - self.start[1]) / self.length

    def at(self, along_mm: float, out_mm: float) -> Point:
        """A point of the flat seen from the strip: along its line, and out of the staying sheet."""
        ux, uy = self.along
        return self.start[0] + along_mm * ux + out_mm * uy, self.start[1] + along_mm * uy - out_mm * ux

    def seen(self, point: Point) -> Point:
        """The inverse of ``at``."""
        dx, dy = point[0] - self.start[0], point[1] - self.start[1]
        ux, uy = self.along
        return dx * ux + dy * uy, dx * uy - dy * ux

    def rectangle(self, width: float) -> list[Point]:
        """The strip's corners, counter-clockwise."""
        return [self.at(0, 0), self.at(0, width), self.at(self.length, width), self.at(self.length, 0)]

    def from_other_side(self, width: float) -> Strip:
        """The same bend when the sheet on its far side stays."""
        return replace(self, start=self.at(self.length, width), end=self.at(0.0, width))

    def frame(self) -> Matrix:
        """Axes (out, along, up) and origin of the strip on the flat, as a 4 x 4 matrix."""
        ux, uy = self.along
        return np.array(
            [[uy, ux, 0, self.start[0]], [-ux, uy, 0, self.start[1]], [0, 0, 1, 0], [0, 0, 0, 1]], dtype=float
        )

    def motion(self, thickness_mm: float, width: float, *, turned_deg: float | None = None) -> Matrix:
        """Flat coordinates beyond the strip -> bent ones, the staying sheet held."""
        a = math.radians(self.turned_deg if turned_deg is None else turned_deg)
        sign = 1.0 if self.up else -1.0
        centre = self.radius_mm + 0.5 * thickness_mm
        c, s = math.cos(a), math.sin(a)
        bend = np.array(
            [
                [c, 0, -sign * s, centre * s - width * c],
                [0, 1, 0, 0],
                [sign * s, 0, c, sign * (centre * (1 - c) - width * s)],
                [0, 0, 0, 1],
            ]
        )
        frame = self.frame()
        out: Matrix = frame @ bend @ np.linalg.inv(frame)
        return out


@dataclass(frozen=True)
class BentBlank:
    """A flat sheet with its strips: outline and openings as loops, K of the strips, and lines that only split faces.

    ``root``: a point of the flat that stays at rest. ``imprints``: lines drawn on the faces that change nothing.
    """

    thickness_mm: float
    outline: Loop
    strips: tuple[Strip, ...]
    openings: tuple[Loop, ...] = ()
    k_factor: float = 0.44
    root: Point = (0.0, 0.0)
    imprints: tuple[tuple[Point, Point], ...] = field(default=())

    def width(self, strip: Strip) -> float:
        """Bend allowance of one of the strips."""
        return strip.width(self.thickness_mm, self.k_factor)

    def strip_at(self, point: Point) -> int | None:
        """The number of the strip a point of the flat lies in, None on the flat pieces."""
        for number, strip in enumerate(self.strips):
            along, out = strip.seen(point)
            if -1e-7 < along < strip.length + 1e-7 and 0.0 < out < self.width(strip):
                return number
        return None

    def strips_between(self, one: Point, other: Point) -> int:
        """How many bends the straight way between two points of the flat crosses."""
        middles = [(strip, 0.5 * self.width(strip)) for strip in self.strips]
        return sum(crossing(one, other, strip.at(0.0, w), strip.at(strip.length, w)) for strip, w in middles)

    @property
    def flat_area_mm2(self) -> float:
        """Area of the flat without its openings."""
        return area(self.outline) - sum(area(opening) for opening in self.openings)

    @property
    def flat_box_mm(self) -> tuple[float, float]:
        """Sides of the smallest rectangle round the flat, longer first."""
        return smallest_box(self.outline.polygon())

    def strip_area_mm2(self, strip: Strip) -> float:
        """Flat area of the sheet in one strip."""
        window = strip.rectangle(self.width(strip))
        inside = sum(area_within(opening, window) for opening in self.openings if self.near_strip(strip, opening))
        return area_within(self.outline, window) - inside

    def near_strip(self, strip: Strip, loop: Loop) -> bool:
        """Whether the upright box round a loop may touch the one round a strip."""
        window = strip.rectangle(self.width(strip))
        low = [min(p[i] for p in window) for i in (0, 1)]
        high = [max(p[i] for p in window) for i in (0, 1)]
        return _near(loop, low, high)

    @property
    def volume_mm3(self) -> float:
        """Volume of the bent solid by the formula at the top."""
        t = self.thickness_mm
        total = self.flat_area_mm2 * t
        for strip in self.strips:
            share = (strip.radius_mm + 0.5 * t) / (strip.radius_mm + self.k_factor * t)
            total += self.strip_area_mm2(strip) * t * (share - 1.0)
        return total


def _near(loop: Loop, low: Sequence[float], high: Sequence[float]) -> bool:
    """Whether the loop's box may touch another box (arcs are taken as whole circles)."""
    xs, ys = [], []
    for piece in loop.pieces:
        reach = getattr(piece, "radius", 0.0)
        centre = getattr(piece, "centre", piece.start)
        for x, y in [*getattr(piece, "controls", ()), piece.start, centre]:
            xs += [x - reach, x + reach]
            ys += [y - reach, y + reach]
    return max(xs) > low[0] and min(xs) < high[0] and max(ys) > low[1] and min(ys) < high[1]


def put(matrix: Matrix, points: npt.ArrayLike) -> Matrix:
    """Images of points (n, 3)."""
    rows = np.asarray(points, dtype=float)
    out: Matrix = rows @ matrix[:3, :3].T + matrix[:3, 3]
    return out
