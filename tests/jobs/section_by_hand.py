"""A profile folded in its section, leg by leg, as a walk along the punch face of the sheet."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import cos, pi, radians, sin, tan

import numpy as np
import shapely
from numpy.typing import NDArray
from swing_by_hand import Ring, Swing, Tool, beyond_the_arc, nearest, no_clearance, placed, runs_into

from bendwright.part.bend_size import BendSize
from bendwright.part.model import Bend, Part

ARC_DEG = 5.0
ARC_CORNERS = 19
FAR_MM = 1e5


@dataclass(frozen=True)
class Piece:
    """A piece of one side with the sheet lying flat: ring in (x, y), the flange or bend it belongs to, whether it lies in
    the plane of the sheet, the turned angle of the leg against that plane [deg].
    """

    name: str
    ring: Ring
    lies: bool
    leans_deg: float


@dataclass(frozen=True)
class Chain:
    """The legs of a profile in order, their outside lengths (aimed at the middle of tolerances) and the bends between."""

    names: tuple[str, ...]
    outside: tuple[float, ...]
    bends: tuple[Bend, ...]
    sizes: dict[str, BendSize]
    t: float

    def allowance(self, bend: Bend) -> float:
        """BA [mm] from radius and K."""
        size = self.sizes[bend.id]
        return radians(bend.turned_deg) * (size.inside_radius_mm + size.k_factor * self.t)

    def setback(self, bend: Bend) -> float:
        """From the end of the outside dimension to the tangent line [mm]."""
        outer = self.sizes[bend.id].inside_radius_mm + self.t
        if bend.turned_deg > 90.0 and bend.measured_to == "outer_tangent":
            return outer
        return outer * tan(radians(bend.turned_deg) / 2)

    def straight(self, leg: int) -> float:
        """Length of a leg between its tangent lines [mm]."""
        ends = self.bends[max(0, leg - 1) : leg + 1]
        return self.outside[leg] - sum(self.setback(bend) for bend in ends)

    @property
    def blank(self) -> float:
        """Developed length [mm]."""
        return sum(self.straight(i) for i in range(len(self.names))) + sum(self.allowance(b) for b in self.bends)

    def index(self, bend_id: str) -> int:
        """Number of a bend in the chain: it joins leg i and leg i + 1."""
        return [bend.id for bend in self.bends].index(bend_id)

    def toward(self, bend_id: str, flange_id: str) -> int:
        """+1 when the flange is the later of the bend's two legs, -1 when it is the earlier."""
        return 1 if self.names[self.index(bend_id) + 1] == flange_id else -1


def chain_of(part: Part, sizes: Iterable[BendSize], *, t: float) -> Chain:
    """Walk the profile from one end to the other."""
    beside: dict[str, list[Bend]] = {flange.id: [] for flange in part.flanges}
    for bend in part.bends:
        beside[bend.parent].append(bend)
        beside[bend.child].append(bend)
    at = next(name for name, bends in beside.items() if len(bends) == 1)
    names, bends = [at], []
    while True:
        onward = [bend for bend in beside[at] if bend not in bends]
        if not onward:
            break
        bends.append(onward[0])
        at = onward[0].child if onward[0].parent == at else onward[0].parent
        names.append(at)
    outside = []
    for name in names:
        flange = part.flange(name)
        heights = [y for _, y in flange.outline]
        middle = 0.0 if flange.tolerance is None else (flange.tolerance.minus_mm + flange.tolerance.plus_mm) / 2
        outside.append(max(heights) - min(heights) + middle)
    return Chain(tuple(names), tuple(outside), tuple(bends), {size.bend_id: size for size in sizes}, t)


def side_pieces(chain: Chain, bend_id: str, way: int, done: frozenset[str]) -> list[Piece]:
    """The side of a bend toward ``way``, laid to the right of it: straight pieces, flat zones and finished arcs."""
    at = chain.index(bend_id)
    made = chain.bends[at]
    place, lean = np.array([chain.allowance(made) / 2, 0.0]), 0.0
    out = []
    leg = at + 1 if way > 0 else at
    while True:
        lies = abs(lean) < 1e-12
        place = _straight(out, chain, chain.names[leg], place, lean, chain.straight(leg), lies)
        joint = leg if way > 0 else leg - 1
        if not 0 <= joint < len(chain.bends):
            return out
        bend = chain.bends[joint]
        if bend.id in done:
            same = bend.direction == made.direction
            place, lean = _arc(out, chain, bend, place, lean, same)
        else:
            place = _straight(out, chain, bend.id, place, lean, chain.allowance(bend), lies)
        leg += way


def _straight(out: list[Piece], chain: Chain, name: str, place: Ring, lean: float, length: float, lies: bool) -> Ring:
    along = np.array([cos(lean), sin(lean)])
    below = np.array([sin(lean), -cos(lean)]) * chain.t
    end = place + length * along
    if length > 1e-9:
        ring = np.array([place, end, end + below, place + below])
        out.append(Piece(name, ring, lies, lean * 180.0 / pi))
    return end


def _arc(out: list[Piece], chain: Chain, bend: Bend, place: Ring, lean: float, same: bool) -> tuple[Ring, float]:
    """Round toward the punch (same) the punch face is the inner one; away from it the outer one."""
    inner = chain.sizes[bend.id].inside_radius_mm
    turned = radians(bend.turned_deg) * (1.0 if same else -1.0)
    own = inner if same else inner + chain.t
    other = inner + chain.t if same else inner
    up = np.array([-sin(lean), cos(lean)])
    centre = place + up * own if same else place - up * own
    steps = np.linspace(0.0, turned, max(2, int(bend.turned_deg / ARC_DEG) + 1))
    sign = -1.0 if same else 1.0
    ups = np.array([[-sin(lean + a), cos(lean + a)] for a in steps])
    face, back = centre + sign * own * ups, centre + sign * other * ups
    ring = np.vstack([face, back[::-1]])
    if own < 1e-9 or other < 1e-9:
        ring = np.vstack([face[:1], back[::-1]]) if own < 1e-9 else np.vstack([face, back[:1]])
    out.append(Piece(bend.id, ring, False, (lean + turned / 2) * 180.0 / pi))
    return face[-1], lean + turned


def own_arc(swing: Swing, a: float) -> Ring:
    """The zone being bent at the turned angle a, punch frame."""
    if a < 1e-9:
        steps = np.linspace(-swing.allowance / 2, swing.allowance / 2, ARC_CORNERS)
        return np.vstack([np.column_stack([steps, 0.0 * steps]), np.column_stack([steps[::-1], 0.0 * steps - swing.t])])
    r = swing.radius(a)
    steps = np.linspace(-a / 2, a / 2, ARC_CORNERS)
    rays = np.column_stack([np.sin(steps), -np.cos(steps)])
    return np.vstack([r * rays, (r + swing.t) * rays[::-1]]) + np.array([0.0, r])


@dataclass(frozen=True)
class SectionStroke:
    """One stroke of a profile: both sides as they lie when it begins."""

    chain: Chain
    swing: Swing
    bend_id: str
    gauge_side: list[Piece]
    front_side: list[Piece]

    def collisions(self, tools: list[Tool], angles: NDArray[np.float64]) -> list[str]:
        """What reaches into a tool, and the part into itself."""
        out = []
        for front, side in ((False, self.gauge_side), (True, self.front_side)):
            for piece in side:
                ring = beyond_the_arc(piece.ring, self.swing) if piece.lies else piece.ring
                if ring is None:
                    continue
                rings = self.swing.swung(ring, angles)
                for tool in tools:
                    at = runs_into(placed(rings, self.swing, angles, tool, front=front), tool)
                    if at is not None:
                        out.append(f"{piece.name} reaches into the {tool.name} at {np.degrees(angles[at]):.1f} turned")
        arcs = np.array([own_arc(self.swing, a) for a in angles])
        for tool in tools:
            if runs_into(placed(arcs, self.swing, angles, tool, front=False), tool) is not None:
                out.append(f"the bend itself reaches into the {tool.name}")
        return out + self._itself(angles)

    def _itself(self, angles: NDArray[np.float64], apart: float = -0.02) -> list[str]:
        """Pieces of one side against those of the other; the two that meet at the bend are one sheet."""
        still = Tool("part", shapely.Point(0, 0), False)
        rings = {
            front: [
                placed(self.swing.swung(piece.ring, angles), self.swing, angles, still, front=front) for piece in side
            ]
            for front, side in ((False, self.gauge_side), (True, self.front_side))
        }
        out = []
        for i, first in enumerate(rings[False]):
            for j, second in enumerate(rings[True]):
                low, high = (
                    np.maximum(first.min(axis=1), second.min(axis=1)),
                    np.minimum(first.max(axis=1), second.max(axis=1)),
                )
                near = np.flatnonzero((low < high).all(axis=1))
                if i == j == 0 or not len(near):
                    continue
                inner = shapely.buffer(shapely.polygons(first[near]), apart)
                if shapely.intersects(inner, shapely.polygons(second[near])).any():
                    out.append(f"{self.gauge_side[i].name} reaches into {self.front_side[j].name}")
        return out

    def clearance(self, tools: list[Tool], angles: NDArray[np.float64]) -> float:
        """Smallest distance [mm] of the pieces to the tools that count."""
        best = 500.0
        for front, side in ((False, self.gauge_side), (True, self.front_side)):
            for piece in side:
                rings = self.swing.swung(piece.ring, angles)
                for tool in tools:
                    if no_clearance(piece.ring, self.chain.t, lies=piece.lies, tool=tool):
                        continue
                    best = nearest(placed(rings, self.swing, angles, tool, front=front), tool, best)
        return best

    def stop(self, *, low: float, high: float) -> tuple[float, Piece] | None:
        """Where the part reaches farthest back between two heights above the die top, sheet flat, and which piece (a leg
        rather than the arc before it)."""
        best: tuple[float, Piece] | None = None
        for piece in self.gauge_side:
            shape = shapely.Polygon(piece.ring + np.array([0.0, self.swing.t]))
            cut = shape.intersection(shapely.box(-FAR_MM, low, FAR_MM, high))
            if cut.is_empty:
                continue
            ahead = FAR_MM if best is None else float(cut.bounds[2]) - best[0]
            if ahead > 1e-6 or (ahead > -1e-6 and piece.name in self.chain.names):
                best = (float(cut.bounds[2]), piece)
        return best

    def shortest_side(self) -> float:
        """The shorter outside leg [mm]: from the mould line to the next finished bend's, or to the end of the sheet."""
        made = self.chain.bends[self.chain.index(self.bend_id)]
        found = []
        for side in (self.gauge_side, self.front_side):
            flat = 0.0
            for piece in side:
                if not piece.lies:
                    bend = next((b for b in self.chain.bends if b.id == piece.name), None)
                    flat += self.chain.setback(bend) if bend is not None else 0.0
                    break
                flat += float(np.ptp(piece.ring[:, 0]))
            found.append(flat + self.chain.setback(made))
        return min(found)

    def height(self) -> float:
        """From the lowest to the highest point of the part and the sheet's underside [mm]."""
        ys = np.concatenate([piece.ring[:, 1] for piece in (*self.gauge_side, *self.front_side)])
        return float(ys.max() - min(ys.min(), -self.swing.t))
