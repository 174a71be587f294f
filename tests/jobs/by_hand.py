"""Every order of a small profile tried by hand: folded in its section, with own clearances only."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import radians

import numpy as np
from section_by_hand import Chain, SectionStroke, chain_of, side_pieces
from swing_by_hand import Swing, Tool, half_centre, machine, punch_section, shortest_leg, strongest_load

from bendwright.part.bend_size import BendSize
from bendwright.part.model import Part
from bendwright.shop.brake import Brake
from bendwright.shop.practice import Practice
from bendwright.shop.tools import Cabinet, Die, Punch

ROBUST_MM = 0.6
STEP_DEG = 3.0


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
