"""What does a plan ask of the setter, and how far will its marked sizes spread? The figures plans are held against each other by."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Literal

from bendwright.part.model import Part
from bendwright.plan.handling import LEAST_TURN_DEG
from bendwright.plan.result import Plan

MarkedBy = Literal["fit", "tolerance", "general"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Marked:
    """The flanges whose outside size is looked at, and what marks them: a fit, else a tolerance of their own, else the general one."""

    by: MarkedBy
    flange_ids: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeSpread:
    """One outside size and how far it will spread when nobody corrects: its standard deviation by first order [mm]."""

    flange_id: str
    aim_mm: float
    standard_deviation_mm: float

    @property
    def within_mm(self) -> float:
        """Two standard deviations: about 95 of 100 pieces keep within so much [mm]."""
        return 2.0 * self.standard_deviation_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """Counts and seconds of a plan: flips and turns between strokes, set-ups, stations, pieces to hang; set-up, one piece and the lot [s];
    the marked sizes. Strokes with what the shop avoids: the heavier side behind the tools, a poor gauge stop, in or off along the bed, off
    after a shift, bend ends left uncovered.
    """

    strokes: int
    flips: int
    turns: int
    set_ups: int
    stations: int
    pieces: int
    heavy_behind: int
    poor_stops: int
    along_bed: int
    shifted: int
    uncovered: int
    setup_s: float
    cycle_s: float
    lot_s: float
    sizes: tuple[SizeSpread, ...]

    @property
    def spread_mm(self) -> float:
        """Root of the sum of the squared standard deviations of all marked sizes [mm]."""
        return sqrt(sum(size.standard_deviation_mm**2 for size in self.sizes))


def marked_of(part: Part) -> Marked:
    """The sizes somebody marked on the drawing; all of them where nobody marked any."""
    fits = tuple(flange.id for flange in part.flanges if flange.fit)
    if fits:
        return Marked(by="fit", flange_ids=fits)
    own = tuple(flange.id for flange in part.flanges if flange.tolerance is not None)
    if own:
        return Marked(by="tolerance", flange_ids=own)
    return Marked(by="general", flange_ids=tuple(flange.id for flange in part.flanges))


def figures_of(plan: Plan, marked: Marked, *, heavy_behind: int) -> Figures:
    """The figures of a plan; sizes only where its doubt was studied."""
    hands = [stroke.handling for stroke in plan.strokes]
    return Figures(
        strokes=len(plan.strokes),
        flips=sum(hand.flip for hand in hands),
        turns=sum(hand.turn_deg > LEAST_TURN_DEG for hand in hands),
        set_ups=len({station.set_up for station in plan.stations}),
        stations=len(plan.stations),
        pieces=sum(len(station.punch_pieces) + len(station.die_pieces) for station in plan.stations),
        heavy_behind=heavy_behind,
        poor_stops=sum(stroke.gauging.verdict == "watch" for stroke in plan.strokes),
        along_bed=sum("along" in (stroke.brought_in, stroke.taken_off) for stroke in plan.strokes),
        shifted=sum(stroke.taken_off == "shift" for stroke in plan.strokes),
        uncovered=sum(stroke.stack_length_mm < stroke.bend_length_mm - 1e-6 for stroke in plan.strokes),
        setup_s=plan.times.setup_s,
        cycle_s=plan.times.cycle_s,
        lot_s=plan.times.setup_s + plan.quantity * plan.times.cycle_s,
        sizes=_sizes(plan, marked),
    )


def _sizes(plan: Plan, marked: Marked) -> tuple[SizeSpread, ...]:
    sizes = () if plan.doubt is None else plan.doubt.sizes
    legs = {
        flange_id: size for size in sizes if size.kind == "leg" for flange_id in [size.about.removeprefix("flange ")]
    }
    return tuple(
        SizeSpread(
            flange_id=name,
            aim_mm=legs[name].aim,
            standard_deviation_mm=legs[name].first_order,
        )
        for name in marked.flange_ids
        if name in legs
    )
