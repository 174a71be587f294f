"""From the corrections of bends and legs to what is changed stroke by stroke: depth, axes, crown, gauge."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from bendwright.plan.result import Plan
from bendwright.shop.brake import Brake
from bendwright.stroke.result import Stroke
from bendwright.trial.corrections import BendCorrection, Corrections, LegCorrection
from bendwright.trial.crown_setting import BrakeChange, brake_change

LEAST_CHANGE = 0.005
"""A smaller change than half the repeat accuracy of an ordinary axis (0.01 mm), or half of a hundredth of a degree, is none."""
Way = Literal["more", "less", "keep"]


@dataclass(frozen=True, slots=True, kw_only=True)
class DepthChange:
    """What one stroke asks for: its depth changes by ``change_mm`` (+ = deeper = the bend closes) to ``new_mm``.

    ``errors_deg`` by bend: mean of what was read less the target (+ = too open). ``brake`` is None where the brake or the place on it is
    not known; ``crown_mm`` more at the middle of the bend (None = not told by the readings).
    """

    stroke: int
    change_mm: float
    new_mm: float
    errors_deg: tuple[tuple[str, float], ...]
    crown_mm: float | None
    brake: BrakeChange | None


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeChange:
    """What one leg asks of the gauge of its stroke: X changes by ``change_mm`` (+ = away from the operator) to ``new_mm``.

    ``stroke`` is None where no gauge holds this leg: it takes what the others leave.
    """

    flange_id: str
    error_mm: float
    stroke: int | None
    change_mm: float | None
    new_mm: float | None


def way_of(change: float) -> Way:
    """Which way a change [mm or degrees] goes, as far as it is worth making."""
    if abs(change) < LEAST_CHANGE:
        return "keep"
    return "more" if change > 0.0 else "less"


def depth_changes(plan: Plan, corrections: Corrections, brake: Brake | None) -> tuple[DepthChange, ...]:
    """One entry for every stroke whose bends were read, in the order of the strokes."""
    out = []
    for stroke in plan.strokes:
        bends = [bend for bend in corrections.bends if bend.bend_id in stroke.bend_ids]
        if not bends:
            continue
        first = bends[0]
        out.append(
            DepthChange(
                stroke=stroke.number,
                change_mm=first.depth_mm,
                new_mm=stroke.depth_mm + first.depth_mm,
                errors_deg=tuple((bend.bend_id, bend.error_deg) for bend in bends),
                crown_mm=first.crown_mm,
                brake=_at_the_brake(plan, stroke, first, brake),
            )
        )
    return tuple(out)


def gauge_changes(plan: Plan, legs: Sequence[LegCorrection]) -> tuple[GaugeChange, ...]:
    """One entry for every leg measured."""
    return tuple(_gauge(plan, leg) for leg in legs)


def _gauge(plan: Plan, leg: LegCorrection) -> GaugeChange:
    makes = (stroke for stroke in plan.strokes if leg.gauged_at_bend in stroke.bend_ids)
    stroke = next((item for item in makes if item.gauging.kind != "none"), None)
    change = leg.x_offset_mm if stroke else None
    return GaugeChange(
        flange_id=leg.flange_id,
        error_mm=leg.error_mm,
        stroke=stroke.number if stroke else None,
        change_mm=change,
        new_mm=None if stroke is None or change is None else stroke.gauging.x_mm + change,
    )


def _at_the_brake(plan: Plan, stroke: Stroke, bend: BendCorrection, brake: Brake | None) -> BrakeChange | None:
    station = next((item for item in plan.stations if item.number == stroke.station), None)
    if brake is None or station is None:
        return None
    left = station.left_end_z_mm - stroke.stack_from_mm
    return brake_change(brake, bend, bend_mm=(left, left + stroke.bend_length_mm))
