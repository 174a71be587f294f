"""A panel folded in space: every plate a convex prism, turned about each bend with its own rotation matrices.

Frame of a stroke: X to the gauge, Y up from the punch face, Z to the operator's right, origin in the middle of the bend.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from math import dist, radians

import numpy as np
import shapely
from numpy.typing import NDArray
from replay import Ring, Swing, Tool, beyond_the_arc, nearest, no_clearance, placed, runs_into

from bendwright.part.blank_model import BendLine, Blank
from bendwright.part.model import Part

ARC_DEG = 10.0
Matrix = NDArray[np.float64]


@dataclass(frozen=True)
class Prism:
    """A convex piece in the stroke's frame: corners (n, 3), owner, at the gauge or in front, lying in the sheet's plane on
    its own side of the bend (sheet that reaches across the line beside the bend is pressed like any other).
    """

    name: str
    corners: Ring
    front: bool
    lies: bool
    in_plane: bool

    def section(self, low_z: float, high_z: float) -> Ring | None:
        """Hull in X, Y of what lies between two Z; the operator's side mirrored to X >= 0; None when nothing does."""
        points = [p for p in self.corners if low_z <= p[2] <= high_z]
        for p, q in itertools.combinations(self.corners, 2):
            for z in (low_z, high_z):
                if (p[2] - z) * (q[2] - z) < 0.0:
                    points.append(p + (q - p) * (z - p[2]) / (q[2] - p[2]))
        if not points:
            return None
        flat = np.array(points)[:, :2] * np.array([-1.0 if self.front else 1.0, 1.0])
        hull = shapely.MultiPoint(flat).convex_hull
        return np.array(hull.exterior.coords)[:-1] if hull.geom_type == "Polygon" else None


def rotation(axis: Ring, turned: float) -> Matrix:
    """Right-handed rotation about a unit axis by ``turned`` [rad] (Rodrigues)."""
    x, y, z = axis
    cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    return np.eye(3) + np.sin(turned) * cross + (1.0 - np.cos(turned)) * (cross @ cross)


@dataclass(frozen=True)
class Fold:
    """One finished bend seen from the side that is held: middle of its line, direction to the far side, way up."""

    middle: Ring
    outward: Ring
    up: float
    turned: float
    radius: float
    allowance: float
    t: float

    def moved(self, points: Ring) -> Ring:
        """Far points of the flat sheet after the bend: drawn in by the allowance, then turned about the arc's axis."""
        rise = np.array([0.0, 0.0, self.up])
        centre = self.middle - self.allowance / 2 * self.outward + (self.t / 2 + self.radius) * rise
        slid = points - self.allowance * self.outward - centre
        return np.asarray(centre + slid @ rotation(np.cross(self.outward, rise), self.turned).T)


@dataclass(frozen=True)
class PanelReplay:
    """A part on its blank."""

    part: Part
    blank: Blank

    def line(self, bend_id: str) -> BendLine:
        """The line of a bend on the blank."""
        return next(line for line in self.blank.bend_lines if line.bend_id == bend_id)

    def fold(self, bend_id: str, *, from_parent: bool) -> Fold:
        """How the far side of a bend goes when it is finished."""
        line, size = self.line(bend_id), self.blank.size(bend_id)
        middle = np.array([*((np.array(line.start) + line.end) / 2), 0.0])
        along = (np.array(line.end) - line.start) / dist(line.start, line.end)
        outward = np.array([along[1], -along[0], 0.0]) * (1.0 if from_parent else -1.0)
        up = 1.0 if line.direction == "up" else -1.0
        turned = radians(line.turned_deg)
        radius = size.inside_radius_mm
        allowance = turned * (radius + size.k_factor * self.blank.thickness_mm)
        return Fold(middle, outward, up, turned, radius, allowance, self.blank.thickness_mm)

    def prisms(self, bend_id: str, *, gauge_child: bool, done: frozenset[str]) -> list[Prism]:
        """Everything around a bend as it stands when the stroke begins."""
        line = self.line(bend_id)
        bend = self.part.bend(bend_id)
        own = self.fold(bend_id, from_parent=gauge_child)
        rise = np.array([0.0, 0.0, own.up])
        frame = np.vstack([own.outward, rise, np.cross(own.outward, rise)])
        origin = own.middle + rise * self.blank.thickness_mm / 2
        out = []
        for start, front in ((bend.child, not gauge_child), (bend.parent, gauge_child)):
            for name, corners in self._side(start, bend_id, done, line):
                seen = (corners - origin) @ frame.T
                ys = seen[:, 1]
                own_side = seen[:, 0] * (-1.0 if front else 1.0)
                in_plane = ys.min() > -self.blank.thickness_mm - 1e-6 and ys.max() < 1e-6
                lies = bool(in_plane and own_side.min() > -0.05)
                out.append(Prism(name, seen, front, lies, bool(in_plane)))
        return out

    def ends_z(self, bend_id: str, *, gauge_child: bool) -> tuple[float, float]:
        """Left and right end of the material along the bend, in Z from its middle [mm]."""
        line = self.line(bend_id)
        half = dist(line.start, line.end) / 2
        own = self.fold(bend_id, from_parent=gauge_child)
        right = np.cross(own.outward, np.array([0.0, 0.0, own.up]))[:2]
        along = (np.array(line.end) - line.start) / dist(line.start, line.end)
        sign = float(along @ right)
        ends = [sign * (s - half) for span in line.spans for s in span]
        return min(ends), max(ends)

    def _side(self, start: str, barred: str, done: frozenset[str], made: BendLine) -> list[tuple[str, Ring]]:
        """(owner, corners in blank space with the near side held) of all plates and zones beyond the barred bend."""
        out: list[tuple[str, Ring]] = []
        waiting: list[tuple[str, str, list[Fold]]] = [(start, barred, [])]
        while waiting:
            flange_id, came_by, folds = waiting.pop()
            for piece in self._plates(flange_id):
                out.append((flange_id, _through(folds, piece)))
            for bend in self.part.bends:
                if bend.id == came_by or flange_id not in (bend.parent, bend.child):
                    continue
                fold = self.fold(bend.id, from_parent=flange_id == bend.parent)
                for piece in self._zone(bend.id, fold, finished=bend.id in done, made=made):
                    out.append((bend.id, _through(folds, piece)))
                beyond = bend.child if flange_id == bend.parent else bend.parent
                waiting.append((beyond, bend.id, [*folds, fold] if bend.id in done else folds))
        return out

    def _plates(self, flange_id: str) -> list[Ring]:
        """The flange's flat piece as convex prisms: strips between the x of its corners."""
        flat = next(item for item in self.blank.flats if item.flange_id == flange_id)
        shape = shapely.Polygon(flat.outline)
        cuts = sorted({round(x, 6) for x, _ in flat.outline})
        half = self.blank.thickness_mm / 2
        out = []
        for low, high in itertools.pairwise(cuts):
            strip = shape.intersection(shapely.box(low, shape.bounds[1] - 1.0, high, shape.bounds[3] + 1.0))
            for part in getattr(strip, "geoms", [strip]):
                if part.geom_type == "Polygon" and part.area > 1e-3:
                    ring = np.array(part.exterior.coords)[:-1]
                    out.append(np.vstack([np.column_stack([ring, np.full(len(ring), z)]) for z in (-half, half)]))
        return out

    def _zone(self, bend_id: str, fold: Fold, *, finished: bool, made: BendLine) -> list[Ring]:
        """A bend zone seen from the held side: a flat bar, or the finished arc in steps where it runs along the bend made.

        The arc of a wall across the stack's end is left out: a square tool end is relieved for it.
        """
        line = self.line(bend_id)
        along = np.array([*((np.array(line.end) - line.start) / dist(line.start, line.end)), 0.0])
        own = np.array([*((np.array(made.end) - made.start) / dist(made.start, made.end)), 0.0])
        if finished and abs(np.cross(along, own)[2]) > 1e-3:
            return []
        half = fold.t / 2
        steps = max(1, round(np.degrees(fold.turned) / ARC_DEG)) if finished else 1
        out = []
        for i in range(steps):
            if finished:
                angles = (fold.turned * i / steps, fold.turned * (i + 1) / steps)
                ring = [(r * np.sin(a), r * np.cos(a)) for a in angles for r in (fold.radius, fold.radius + fold.t)]
                ring = [(x - fold.allowance / 2, fold.up * (half + fold.radius - y)) for x, y in ring]
            else:
                ring = [(x, z) for x in (-fold.allowance / 2, fold.allowance / 2) for z in (-half, half)]
            for span in line.spans:
                out.append(
                    np.array(
                        [
                            fold.middle
                            + x * fold.outward
                            + (s - dist(line.start, line.end) / 2) * along
                            + [0.0, 0.0, z]
                            for x, z in ring
                            for s in span
                        ]
                    )
                )
        return out


def _through(folds: list[Fold], points: Ring) -> Ring:
    """Points carried by all folds between them and the bend made, the farthest fold first."""
    for fold in reversed(folds):
        points = fold.moved(points)
    return points


def collisions(prisms: list[Prism], swing: Swing, tools: list[Tool], angles: NDArray[np.float64]) -> list[str]:
    """What reaches into a tool within its stretch of the bed."""
    out = []
    for prism in prisms:
        for tool in tools:
            ring = prism.section(tool.low_z, tool.high_z)
            ring = beyond_the_arc(ring, swing) if prism.lies else ring
            if ring is None:
                continue
            shapes = placed(swing.swung(ring, angles), swing, angles, tool, front=prism.front)
            at = runs_into(shapes, tool)
            if at is not None:
                out.append(f"{prism.name} reaches into the {tool.name} at {np.degrees(angles[at]):.1f} turned")
    return out


def clearance(prisms: list[Prism], swing: Swing, tools: list[Tool], angles: NDArray[np.float64]) -> float:
    """Smallest distance of the prisms to the tools that count [mm]."""
    best = 500.0
    for prism in prisms:
        for tool in tools:
            ring = prism.section(tool.low_z, tool.high_z)
            if prism.in_plane and not prism.lies:
                touches = tool.name in ("punch", "die")
            else:
                touches = no_clearance(prism.corners, swing.t, lies=prism.lies, tool=tool)
            if ring is not None and not touches:
                shapes = placed(swing.swung(ring, angles), swing, angles, tool, front=prism.front)
                best = nearest(shapes, tool, best)
    return best


def farthest_back(
    prisms: list[Prism], *, t: float, low: float, high: float, ends_z: tuple[float, float]
) -> float | None:
    """How far back the part reaches over a finger's width between two heights above the die top [mm]."""
    best = None
    for prism in prisms:
        ring = None if prism.front else prism.section(*ends_z)
        if ring is None:
            continue
        cut = shapely.Polygon(ring + np.array([0.0, t])).intersection(shapely.box(0.0, low, 1e5, high))
        if not cut.is_empty and (best is None or cut.bounds[2] > best):
            best = float(cut.bounds[2])
    return best
