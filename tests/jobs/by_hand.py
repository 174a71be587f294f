"""Random small profiles, and every order of them tried by hand: with the replay's own folding and clearances only."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import radians

import numpy as np
from replay import Swing, Tool, half_centre, machine, punch_section, shortest_leg, strongest_load
from section_replay import Chain, SectionStroke, chain_of, side_pieces

from bendwright.drawing.quick_profile import quick_profile
from bendwright.part.bend_size import BendSize
from bendwright.part.model import Direction, Header, Part
from bendwright.part.panel import panel_part
from bendwright.part.typed import TypedBase, TypedBend, TypedFlange
from bendwright.shop.brake import Brake
from bendwright.shop.practice import Practice
from bendwright.shop.tools import Cabinet, Die, Punch

ROBUST_MM = 0.6
STEP_DEG = 3.0


SQUARE = (90, 90, 90, 90, 90, 90, 30, 45, 60, 75)
ACUTE = (90, 90, 90, 45, 100, 120, 135, 145)


def random_profile(seed: int, *, acute: bool = False) -> Part:
    """A profile of two to six bends in galvanized sheet, 200 long, mostly to one side: mostly square bends in 1.5 mm, or
    also acute ones in 0.7 mm.
    """
    draw = np.random.default_rng(seed)
    count = int(draw.integers(2, 7))
    legs = [int(draw.integers(13, 75)) for _ in range(count + 1)]
    words = [str(legs[0])]
    for leg in legs[1:]:
        way = "u" if draw.random() < 0.75 else "d"
        turned = draw.choice(ACUTE if acute else SQUARE)
        words += [f"{way}{turned}", str(leg)]
    header = Header(part_no=f"SM-9{seed:03d}", revision="A", material="DX51D+Z", thickness_mm=0.7 if acute else 1.5)
    return quick_profile(" ".join(words) + " x 200", header=header)


@dataclass(frozen=True)
class Bench:
    """Part, sizes, die, brake, punches and rules to try orders with."""

    chain: Chain
    die: Die
    brake: Brake
    punches: tuple[Punch, ...]
    practice: Practice
    springback_deg: float

    def swing(self, bend_id: str) -> Swing:
        """The bend in this die."""
        bend = self.chain.bends[self.chain.index(bend_id)]
        size = self.chain.sizes[bend_id]
        loaded = radians(bend.turned_deg + self.springback_deg)
        return Swing(
            self.chain.allowance(bend),
            size.k_factor * self.chain.t,
            self.chain.t,
            half_centre(self.die),
            self.die.shoulder_radius_mm,
            loaded,
        )

    def stroke(self, bend_id: str, way: int, done: frozenset[str]) -> SectionStroke:
        """One bend, the chain's later (+1) or earlier (-1) side at the gauge."""
        return SectionStroke(
            self.chain,
            self.swing(bend_id),
            bend_id,
            side_pieces(self.chain, bend_id, way, done),
            side_pieces(self.chain, bend_id, -way, done),
        )

    def surely_possible(self, bend_id: str, done: frozenset[str]) -> bool:
        """True when some side, punch and way round does this bend with room to spare everywhere."""
        for way in (1, -1):
            stroke = self.stroke(bend_id, way, done)
            if not self._held(stroke) or not self._apart(stroke, self._machine()):
                continue
            if stroke.shortest_side() < shortest_leg(self.die, stroke.swing.loaded) + 0.05:
                continue
            for punch in self.punches:
                for turned in (False, True):
                    if self._passes(stroke, punch, turned):
                        return True
        return False

    def _machine(self) -> list[Tool]:
        return [tool for tool in machine(self.brake, 0.0, self.die) if tool.name != "ram"]

    def _passes(self, stroke: SectionStroke, punch: Punch, turned: bool) -> bool:
        daylight = (self.brake.open_height_mm or 0.0) - punch.height_mm - self.die.height_mm
        daylight -= (self.brake.die_holder_height_mm or 0.0) + (self.brake.punch_holder_height_mm or 0.0)
        daylight -= 0.0 if self.brake.punch_clamps is None else self.brake.punch_clamps.height_mm
        if stroke.height() > daylight - 1.5:
            return False
        if daylight + stroke.swing.depth(stroke.swing.loaded) > (self.brake.stroke_mm or 0.0):
            return False
        tools = [Tool("punch", punch_section(punch, turned=turned), False)]
        tools += [tool for tool in machine(self.brake, punch.height_mm, self.die) if tool.name == "ram"]
        return self._apart(stroke, tools)

    def _apart(self, stroke: SectionStroke, tools: list[Tool]) -> bool:
        """Nothing that stands comes near a tool (the loaded end looked at first), and nothing touches the part itself."""
        for angles in (np.array([stroke.swing.loaded]), stroke.swing.angles(STEP_DEG)):
            if stroke.clearance(tools, angles) < ROBUST_MM or stroke.collisions(tools, angles):
                return False
        return True

    def _held(self, stroke: SectionStroke) -> bool:
        """The end of the lying sheet or an upright face is what the finger meets first, within the gauge's travel."""
        stop = stroke.stop(low=0.1, high=self.brake.gauge.finger_height_mm or 12.0)
        low, high = self.brake.gauge.x_range_mm or (0.0, 0.0)
        if stop is None or not low + 0.1 < stop[0] < high - 0.1:
            return False
        piece = stop[1]
        upright = (
            abs(piece.leans_deg - 90.0) < 1e-6 and piece.name in self.chain.names and np.ptp(piece.ring[:, 1]) > 5.0
        )
        return piece.lies or bool(upright)


def bench_of(
    part: Part,
    sizes: tuple[BendSize, ...],
    die: Die,
    brake: Brake,
    cabinet: Cabinet,
    practice: Practice,
    *,
    t: float,
    tensile: float,
    springback_deg: float,
) -> Bench:
    """A bench with the punches that suit every bend: angle, nose, line load."""
    closed = 180.0 - max(bend.turned_deg for bend in part.bends) - springback_deg
    radius = min(size.inside_radius_mm for size in sizes)
    load = strongest_load(t, die.opening_mm, tensile)[1]
    punches = tuple(
        punch
        for punch in cabinet.punches
        if punch.kind != "flattening"
        and punch.angle_deg <= closed
        and punch.nose_radius_mm <= radius
        and (punch.max_line_load_kn_per_m or 0.0) >= load
    )
    return Bench(chain_of(part, sizes, t=t), die, brake, punches, practice, springback_deg)


def some_order(bench: Bench) -> tuple[str, ...] | None:
    """An order whose every stroke is surely possible; None when no order is."""
    names = tuple(bend.id for bend in bench.chain.bends)

    @cache
    def possible(bend_id: str, done: frozenset[str]) -> bool:
        return bench.surely_possible(bend_id, done)

    def onward(made: tuple[str, ...]) -> tuple[str, ...] | None:
        if len(made) == len(names):
            return made
        for name in names:
            if name not in made and possible(name, frozenset(made)):
                whole = onward((*made, name))
                if whole is not None:
                    return whole
        return None

    return onward(())


def random_panel(seed: int) -> Part:
    """A panel in 1.5 mm galvanized sheet: walls up or down on two to four edges, returns on some of them, short of the corners."""
    draw = np.random.default_rng(seed)
    width, depth = float(draw.integers(90, 320)), float(draw.integers(90, 320))
    edges = [str(edge) for edge in draw.permutation(["front", "right", "back", "left"])[: int(draw.integers(2, 5))]]
    flanges = []
    for edge in edges:
        way: Direction = "up" if draw.random() < 0.8 else "down"
        leg = float(draw.integers(14, 45))
        back: tuple[TypedFlange, ...] = ()
        if draw.random() < 0.4:
            short = float(draw.integers(13, 18))
            back = (
                TypedFlange(
                    name=f"{edge}.far", edge="far", leg_mm=short, bend=TypedBend(direction=way), left_mm=short + 2.0,
                    right_mm=short + 2.0,
                ),
            )  # fmt: skip
        flanges.append(TypedFlange(name=edge, edge=edge, leg_mm=leg, bend=TypedBend(direction=way), flanges=back))
    header = Header(part_no=f"SM-8{seed:03d}", revision="A", material="DX51D+Z", thickness_mm=1.5)
    base = TypedBase(points=((0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth)))
    return panel_part(header, base=base, flanges=flanges)
