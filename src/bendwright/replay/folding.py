"""The part as it stands with some of its bends made: every piece of the sheet carried by own rotations.

Blank space: x, y as on the blank, z up from the middle plane of the sheet. A made bend is drawn in by its allowance and turned
about the axis of its arc; bends not made are flat.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely

from bendwright.part.blank_model import BendLine, Blank
from bendwright.part.model import Bend, Cutout, Part, Point
from bendwright.replay.solids import Array, Solid, convex_parts, slab

SAGITTA_MM = 0.03
FAR_MM = 1e5


@dataclass(frozen=True, slots=True)
class Made:
    """How a bend stands after it was made: turned angle [rad], inside radius and length of the neutral fibre [mm]."""

    turned: float
    radius: float
    allowance: float


@dataclass(frozen=True, slots=True)
class Axes:
    """A bend line in blank space: its middle, along it (start to end), outward to the child."""

    middle: Array
    along: Array
    outward: Array
    half_length: float


def axes_of(line: BendLine) -> Axes:
    """Middle, directions and half length of a line on the blank."""
    start, end = np.array([*line.start, 0.0]), np.array([*line.end, 0.0])
    length = float(np.linalg.norm(end - start))
    along = (end - start) / length
    return Axes((start + end) / 2.0, along, np.array([along[1], -along[0], 0.0]), length / 2.0)


Placement = tuple[Array, Array]
STILL: Placement = (np.eye(3), np.zeros(3))


def after(outer: Placement, inner: Placement) -> Placement:
    """``inner`` first, then ``outer``."""
    return outer[0] @ inner[0], outer[0] @ inner[1] + outer[1]


def undone(placement: Placement) -> Placement:
    """The way back."""
    return placement[0].T, -placement[0].T @ placement[1]


def turned_about(axis: Array, turned: float) -> Array:
    """Rotation matrix about a unit vector, right hand [rad] (Rodrigues)."""
    x, y, z = axis
    cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    return np.asarray(np.eye(3) + math.sin(turned) * cross + (1.0 - math.cos(turned)) * (cross @ cross))


Key = tuple[str, Made | None, float]


@dataclass(frozen=True, slots=True)
class Sheet:
    """Part and blank: lines, axes, flat pieces and unrolled bends (x along the line from its middle, y outward from the middle line)
    by bend or flange; what was once bent is kept.
    """

    part: Part
    blank: Blank
    lines: dict[str, BendLine]
    axes: dict[str, Axes]
    flats: dict[str, list[Solid]]
    zones: dict[str, list[shapely.Polygon]]
    kept: dict[Key, list[Solid]] = field(default_factory=dict)

    @property
    def thickness(self) -> float:
        """Of the sheet [mm]."""
        return self.blank.thickness_mm

    def finished(self, bend: Bend) -> Made:
        """The bend as the drawing wants it."""
        size, turned = self.blank.size(bend.id), math.radians(bend.turned_deg)
        return Made(turned, size.inside_radius_mm, turned * (size.inside_radius_mm + size.k_factor * self.thickness))

    def motion(self, bend_id: str, made: Made | None) -> Placement:
        """How a bend carries its child's side, the parent's side held."""
        if made is None:
            return STILL
        axes = self.axes[bend_id]
        up = 1.0 if self.lines[bend_id].direction == "up" else -1.0
        rise = np.array([0.0, 0.0, up])
        centre = axes.middle - made.allowance / 2 * axes.outward + (self.thickness / 2 + made.radius) * rise
        turn = turned_about(np.cross(axes.outward, rise), made.turned)
        return turn, centre - turn @ (centre + made.allowance * axes.outward)

    def placements(self, made: Mapping[str, Made]) -> dict[str, Placement]:
        """Blank space -> space of the root flange, for every flange."""
        out = {self.part.flanges[0].id: STILL}
        for bend in self.part.bends:
            out[bend.child] = after(out[bend.parent], self.motion(bend.id, made.get(bend.id)))
        return out

    def zone_solids(self, bend_id: str, made: Made | None, *, relief_mm: float = 0.0) -> list[Solid]:
        """The sheet of a bend as the parent sees it: flat, or its arc in steps; the arc's inner face set back by a relief."""
        key = (bend_id, made, relief_mm)
        if key not in self.kept:
            self.kept[key] = self._zone_solids(bend_id, made, relief_mm)
        return self.kept[key]

    def _zone_solids(self, bend_id: str, made: Made | None, relief_mm: float) -> list[Solid]:
        if made is None:
            return [
                Solid(bend_id, True, self._from_line(bend_id, slab(ring, half_mm=self.thickness / 2)))
                for shape in self.zones[bend_id]
                for ring in convex_parts(shape)
            ]
        outer = made.radius + self.thickness
        steps = max(1, math.ceil(made.turned / (2.0 * math.acos(max(0.0, 1.0 - SAGITTA_MM / outer)))))
        half = self.lines[bend_id].zone_width_mm / 2
        share = np.linspace(-half, half, steps + 1)
        out = []
        for low, high in itertools.pairwise(share):
            band = shapely.box(-FAR_MM, low, FAR_MM, high)
            for shape in self.zones[bend_id]:
                for ring in convex_parts(shape.intersection(band)):
                    turned = (ring[:, 1] + half) / (2.0 * half) * made.turned
                    faces = [self._bent(ring[:, 0], turned, made, r) for r in (made.radius + relief_mm, outer)]
                    out.append(Solid(bend_id, True, self._from_line(bend_id, np.vstack(faces))))
        return out

    def _bent(self, along: Array, turned: Array, made: Made, radius: float) -> Array:
        """Points of an arc at one radius, seen from the line as if the bend went up: along, outward, up."""
        across = radius * np.sin(turned) - made.allowance / 2
        height = self.thickness / 2 + made.radius - radius * np.cos(turned)
        return np.column_stack([along, across, height])

    def _from_line(self, bend_id: str, points: Array) -> Array:
        """Points (along, outward, up toward the side it is bent to) in blank space."""
        axes = self.axes[bend_id]
        up = 1.0 if self.lines[bend_id].direction == "up" else -1.0
        base = np.vstack([axes.along, axes.outward, [0.0, 0.0, up]])
        return np.asarray(axes.middle + points @ base)


def sheet_of(part: Part, blank: Blank) -> Sheet:
    """Part and blank with their pieces; openings in flanges are filled, windows in bends and those that a tab is bent out of are not."""
    lines = {line.bend_id: line for line in blank.bend_lines}
    axes = {name: axes_of(line) for name, line in lines.items()}
    flats: dict[str, list[Solid]] = {}
    for flat in blank.flats:
        windows = [item.points for item in flat.features if isinstance(item, Cutout) and item not in blank.features]
        gone = shapely.union_all([shapely.Polygon(ring).buffer(0.0) for ring in windows])
        rings = convex_parts(shapely.Polygon(flat.outline).difference(gone))
        own = [Solid(flat.flange_id, False, slab(ring, half_mm=blank.thickness_mm / 2)) for ring in rings]
        flats.setdefault(flat.flange_id, []).extend(own)
    zones: dict[str, list[shapely.Polygon]] = {name: [] for name in lines}
    for zone in blank.zones:
        seen = [_unrolled(axes[zone.bend_id], ring) for ring in (zone.outline, *zone.windows)]
        zones[zone.bend_id].append(shapely.Polygon(seen[0], seen[1:]))
    for name, line in lines.items():
        half, length = line.zone_width_mm / 2, axes[name].half_length
        boxes = [shapely.box(low - length, -half, high - length, half) for low, high in line.spans]
        zones[name] = zones[name] or boxes
    return Sheet(part, blank, lines, axes, flats, zones)


def _unrolled(axes: Axes, ring: Sequence[Point]) -> Array:
    """A ring of the blank seen from a bend line."""
    return np.asarray((np.array(ring) - axes.middle[:2]) @ np.vstack([axes.along[:2], axes.outward[:2]]).T)
