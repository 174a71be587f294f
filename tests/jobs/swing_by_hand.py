"""The swing, the tools and the machine for the independent checker: its own sums, no planner, kernels or clearance code.

Seen from the punch tip (origin, y up). One side of the sheet lies in x >= 0 (the side at the gauge; the operator's side is
mirrored), its punch face at y = 0, the middle of the bend zone at x = 0. At the turned angle a the side has turned by a/2
about the end of its half of the arc, R(a) = BA/a - K t; the die has risen by depth(a) - t.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import cos, radians, tan

import numpy as np
import shapely
from numpy.typing import NDArray

from bendwright.shop.brake import Brake
from bendwright.shop.tools import Die, Punch

Ring = NDArray[np.float64]
TOUCH_MM = 0.05
STANDS_MM = 0.05
FAR_MM = 5000.0


@dataclass(frozen=True)
class Swing:
    """Allowance BA, K t, thickness t, half distance of the shoulder centres, shoulder radius [mm], loaded turned angle [rad]."""

    allowance: float
    k_t: float
    t: float
    half_centre: float
    shoulder: float
    loaded: float

    def radius(self, a: float) -> float:
        """Inside radius at the turned angle a [rad]."""
        return self.allowance / a - self.k_t

    def depth(self, a: float) -> float:
        """Ram travel from the first touch [mm]."""
        return self.half_centre * tan(a / 2) - (self.radius(a) + self.t + self.shoulder) * (1 / cos(a / 2) - 1)

    def rise(self, a: float) -> float:
        """Height of the die top above the punch tip [mm]."""
        return -self.t if a < 1e-9 else self.depth(a) - self.t

    def angles(self, step_deg: float) -> NDArray[np.float64]:
        """The turned angles looked at [rad], flat and loaded among them."""
        steps = np.arange(0.0, self.loaded, radians(step_deg))
        return np.append(steps[steps < self.loaded - 1e-6], self.loaded)

    def swung(self, ring: Ring, angles: NDArray[np.float64]) -> NDArray[np.float64]:
        """The ring at every angle, shape (angles, corners, 2)."""
        flat = angles < 1e-9
        r = np.where(flat, 0.0, self.allowance / np.where(flat, 1.0, angles) - self.k_t)[:, None]
        c, s = np.cos(angles / 2)[:, None], np.sin(angles / 2)[:, None]
        u, v = ring[:, 0] - np.where(flat, 0.0, self.allowance / 2)[:, None], ring[:, 1]
        return np.stack([r * s + u * c - v * s, r * (1 - c) + u * s + v * c], axis=2)


@dataclass(frozen=True)
class Tool:
    """A section in the punch frame (die side: die top at y = 0, it rises) and its stretch along the bed [mm]."""

    name: str
    shape: shapely.Polygon
    rises: bool
    low_z: float = -FAR_MM
    high_z: float = FAR_MM


def half_centre(die: Die) -> float:
    """V between tangent points: V/2; between sharp corners the shoulder's tangent length comes on top."""
    own = die.opening_mm / 2
    if die.opening_measured == "sharp_corners":
        own += die.shoulder_radius_mm * tan(radians(90.0 - die.angle_deg / 2) / 2)
    return own


def punch_section(punch: Punch, *, turned: bool) -> shapely.Polygon:
    """The punch as it hangs: turned round, left and right change places."""
    sign = -1.0 if turned else 1.0
    return shapely.Polygon([(sign * x, y) for x, y in punch.outline])


def machine(brake: Brake, punch_height: float, die: Die) -> list[Tool]:
    """Ram with clamp, die, and bed with holder."""
    tools = [Tool("die", shapely.Polygon(die.outline), True)]
    if brake.ram_half_depth_mm is not None:
        half = brake.ram_half_depth_mm
        tools.append(Tool("ram", shapely.box(-half, punch_height, half, punch_height + FAR_MM), False))
    if brake.table_width_mm is not None:
        half = brake.table_width_mm / 2
        tools.append(Tool("bed", shapely.box(-half, -die.height_mm - FAR_MM, half, -die.height_mm), True))
    return tools


def placed(
    rings: NDArray[np.float64], swing: Swing, angles: NDArray[np.float64], tool: Tool, *, front: bool
) -> NDArray[np.float64]:
    """The rings in the tool's frame, the operator's side mirrored to x <= 0."""
    moved = rings.copy()
    if front:
        moved[:, :, 0] *= -1.0
    if tool.rises:
        moved[:, :, 1] -= np.array([swing.rise(a) for a in angles])[:, None]
    return moved


def box_gaps(rings: NDArray[np.float64], tool: Tool) -> NDArray[np.float64]:
    """Distance of every ring's box from the tool's box [mm]: no ring is nearer than that."""
    x0, y0, x1, y1 = tool.shape.bounds
    low, high = rings.min(axis=1), rings.max(axis=1)
    across = np.maximum(np.maximum(x0 - high[:, 0], low[:, 0] - x1), 0.0)
    upward = np.maximum(np.maximum(y0 - high[:, 1], low[:, 1] - y1), 0.0)
    return np.asarray(np.hypot(across, upward))


def beyond_the_arc(ring: Ring | None, swing: Swing) -> Ring | None:
    """A lying piece without what the arc being bent takes of it (a hem's first arc is longer than the finished one)."""
    if ring is None:
        return None
    rest = shapely.Polygon(ring).intersection(shapely.box(swing.allowance / 2, -1e5, 1e5, 1e5))
    return np.array(rest.exterior.coords)[:-1] if rest.geom_type == "Polygon" and not rest.is_empty else None


@cache
def core(shape: shapely.Polygon) -> shapely.Polygon:
    """The tool without its outermost touch."""
    inner = shape.buffer(-TOUCH_MM, join_style="mitre")
    shapely.prepare(inner)
    return inner


def runs_into(rings: NDArray[np.float64], tool: Tool) -> int | None:
    """The first index at which a ring reaches more than a touch into the tool; None when none does."""
    near = np.flatnonzero(box_gaps(rings, tool) <= 0.0)
    if not len(near):
        return None
    hits = np.flatnonzero(shapely.intersects(core(tool.shape), shapely.polygons(rings[near])))
    return int(near[hits[0]]) if len(hits) else None


def nearest(rings: NDArray[np.float64], tool: Tool, best: float) -> float:
    """Smallest distance of the rings to the tool [mm], 0 where they overlap; ``best`` when none is nearer than that."""
    near = np.flatnonzero(box_gaps(rings, tool) < best)
    return min(best, float(shapely.distance(tool.shape, shapely.polygons(rings[near])).min())) if len(near) else best


def no_clearance(corners: Ring, t: float, *, lies: bool, tool: Tool) -> bool:
    """True for pairs that touch by design: the lying legs and punch or die, what stands on the sheet's plane and the die."""
    if tool.rises:
        return bool(corners[:, 1].min() >= -t - STANDS_MM)
    return lies and tool.name == "punch"


def strongest_load(t: float, opening: float, tensile: float) -> tuple[float, float]:
    """The two air-bend formulas [kN/m], the smaller first."""
    both = (1.33 * tensile * t**2 / opening, (1 + 4 * t / opening) * tensile * t**2 / opening)
    return min(both), max(both)


def shortest_leg(die: Die, loaded: float) -> float:
    """V / (2 sin(included/2)) under load [mm]."""
    return die.opening_mm / (2 * cos(loaded / 2))
