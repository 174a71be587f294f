"""The blank: flat outline, openings and bend lines in one common frame (the root flange's frame, shifted to x, y >= 0)."""

from __future__ import annotations

from dataclasses import dataclass

from bendwright.part.bend_size import BendSize
from bendwright.part.model import Arc, Direction, Feature, Point


@dataclass(frozen=True, slots=True, kw_only=True)
class BendLine:
    """The middle line of one bend zone in blank coordinates; the zone reaches half the allowance to each side.

    The line runs start -> end with the parent on its left; ``spans`` are the stretches with material, as distances from start.
    ``hit_of`` is the bend of large radius that it is a hit of.
    """

    bend_id: str
    start: Point
    end: Point
    spans: tuple[tuple[float, float], ...]
    direction: Direction
    turned_deg: float
    zone_width_mm: float
    hit_of: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedFlat:
    """The really flat piece of one flange (tangent line to tangent line) in blank coordinates.

    ``origin`` and ``angle_rad`` place the flange's own frame: blank = origin + R(angle) * (flange point).
    ``rings`` are the outline (counter-clockwise) and then openings cut into it.
    """

    flange_id: str
    origin: Point
    angle_rad: float
    outline: tuple[Point, ...]
    features: tuple[Feature, ...]
    arcs: tuple[Arc, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BendZone:
    """One piece of one bend's sheet in blank coordinates: outline counter-clockwise, and windows in it."""

    bend_id: str
    outline: tuple[Point, ...]
    windows: tuple[tuple[Point, ...], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """The flat sheet to cut. Areas in mm2; ``features`` are true shapes (circles stay circles) in blank coordinates.

    ``windows`` are openings that cross a bend, ``zones`` the rings (outline, then windows) of each bend's own sheet by bend
    line; ``arcs`` are the circles that outline and windows follow (``part.contour`` gives the true curves).
    """

    outline: tuple[Point, ...]
    windows: tuple[tuple[Point, ...], ...]
    features: tuple[Feature, ...]
    flats: tuple[PlacedFlat, ...]
    bend_lines: tuple[BendLine, ...]
    sizes: tuple[BendSize, ...]
    thickness_mm: float
    width_mm: float
    height_mm: float
    area_mm2: float
    overlap_mm2: float
    arcs: tuple[Arc, ...] = ()
    zones: tuple[BendZone, ...] = ()

    def size(self, bend_id: str) -> BendSize:
        """The bend size of that bend; KeyError when there is none."""
        return {size.bend_id: size for size in self.sizes}[bend_id]

    def mass_kg(self, *, density_kg_per_m3: float) -> float:
        """Mass of one blank [kg]."""
        return self.area_mm2 * self.thickness_mm * density_kg_per_m3 * 1e-9
