"""Where does a point of the sheet lie when the part is folded at the radii really made?"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from bendwright.drawing.folded_solid_pieces import SHARP_MM, Level, Tangent
from bendwright.geometry.rigid import Array, Rigid
from bendwright.part.blank_model import Blank
from bendwright.part.fold import bend_axes, fold
from bendwright.part.model import Part, Point


@dataclass(frozen=True, slots=True)
class FlatPlace:
    """A flat piece: blank space -> folded space, and half the thickness [mm]."""

    placed: Rigid
    half_mm: float

    @property
    def up(self) -> Array:
        """Unit vector from the bottom to the top face."""
        return np.asarray(self.placed.turn[:, 2])

    def direction(self, way: Point) -> Array:
        """A direction of the blank in folded space."""
        return np.asarray(self.placed.turn[:, 0] * way[0] + self.placed.turn[:, 1] * way[1])

    def at(self, point: Point, level: Level) -> Array:
        """A point of the blank on one face."""
        height = self.half_mm if level == "top" else -self.half_mm
        return np.asarray(self.placed.points(np.array([[point[0], point[1], height]]))[0])


@dataclass(frozen=True, slots=True)
class ZonePlace:
    """A bend's own sheet on its two cylinders.

    ``centre`` lies on the axis where the bend line starts, ``along`` is the axis; a point at share w of the bend lies at
    angle w x ``turned_rad`` from ``first`` (toward the parent's tangent line) over ``second``.
    """

    tangent: Tangent
    centre: Array
    along: Array
    first: Array
    second: Array
    turned_rad: float
    radius_mm: float
    thickness_mm: float

    @property
    def sign(self) -> float:
        """1 for a bend up, -1 for one down."""
        return 1.0 if self.tangent.line.direction == "up" else -1.0

    def radius_at(self, level: Level) -> float:
        """Radius of one face's cylinder [mm]."""
        inner = (level == "top") == (self.sign > 0.0)
        return self.radius_mm + (0.0 if inner else self.thickness_mm)

    def is_sharp(self, level: Level) -> bool:
        """The face has no radius: it is a line."""
        return self.radius_at(level) == 0.0

    def seen(self, point: Point) -> Point:
        """(s, w) of a point of the blank; what lies on a tangent line lies on it exactly."""
        s, w = self.tangent.seen(point)
        near = 1e-6 / self.tangent.line.zone_width_mm
        return s, float(round(w)) if abs(w - round(w)) < near else w

    def radial(self, turned_rad: float) -> Array:
        """Unit vector from the axis at that angle."""
        return np.asarray(math.cos(turned_rad) * self.first + math.sin(turned_rad) * self.second)

    def on(self, s: float, w: float, level: Level) -> Array:
        """A point at (s, w) on one face."""
        radius = self.radius_at(level)
        return np.asarray(self.centre + s * self.along + radius * self.radial(w * self.turned_rad))

    def at(self, point: Point, level: Level) -> Array:
        """A point of the blank on one face."""
        return self.on(*self.seen(point), level)


def flat_places(part: Part, blank: Blank) -> dict[str, FlatPlace]:
    """Every flange's place."""
    return {name: FlatPlace(placed, 0.5 * blank.thickness_mm) for name, placed in fold(part, blank).items()}


def zone_places(part: Part, blank: Blank) -> dict[str, ZonePlace]:
    """Every bend's place."""
    flats = fold(part, blank)
    parents = {bend.id: bend.parent for bend in part.bends}
    out = {}
    for line in blank.bend_lines:
        size, axes, placed = blank.size(line.bend_id), bend_axes(line), flats[parents[line.bend_id]]
        turned, thickness = math.radians(line.turned_deg), blank.thickness_mm
        radius = size.bend_allowance_mm / turned - size.k_factor * thickness
        sign = 1.0 if line.direction == "up" else -1.0
        up = np.array([0.0, 0.0, 1.0])
        start = np.array([*line.start, 0.0]) - 0.5 * size.bend_allowance_mm * axes.outward
        centre = start + sign * (0.5 * thickness + radius) * up
        out[line.bend_id] = ZonePlace(
            tangent=Tangent.of(line),
            centre=placed.points(centre[None])[0],
            along=placed.turn @ axes.along,
            first=placed.turn @ (-sign * up),
            second=placed.turn @ axes.outward,
            turned_rad=turned,
            radius_mm=0.0 if radius < SHARP_MM else radius,
            thickness_mm=thickness,
        )
    return out
