"""One stroke in full: every number with its source, every check, the way down as curves, crown and angle along the bend, both models."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from bendwright.bench.german import with_german
from bendwright.bench.pages.stroke_card import CheckShown, StrokeCard, checks_shown, stroke_card
from bendwright.plan.result import Plan
from bendwright.said import say
from bendwright.sheets.axis import angles_along, round_marks
from bendwright.sheets.shown import (
    Shown,
    angle,
    difference_deg,
    length,
    line_load,
    percent,
    plain,
)
from bendwright.stroke.crown import Crown, ThreeAngles
from bendwright.stroke.result import MechanicsOfStroke, ModelNumbers, Stroke


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberShown:
    """One number of the stroke by its key (the pages have the words)."""

    key: str
    shown: Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelShown:
    """What one model says by itself; ``counts`` when depth and force of the plan come from it."""

    model: str
    counts: bool
    numbers: list[NumberShown]


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """An axis of a curve: its ends in the curve's own unit, and round marks with their texts."""

    low: float
    high: float
    marks: list[Shown]


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """A line to draw: points in the units of its axes."""

    key: str
    points: list[tuple[float, float]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plot:
    """Curves over one pair of axes; ``at`` is the place on the lower axis that the stroke goes to (None = none), ``marks`` are levels."""

    key: str
    x: Axis
    y: Axis
    curves: list[Curve]
    at: float | None
    level: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CrownShown:
    """What to set and what is left along the bend; ``unknown`` names what nobody told of the brake."""

    numbers: list[NumberShown]
    left: Shown
    centre: Shown
    right: Shown
    plot: Plot | None
    unknown: list[str]
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StrokePage:
    """One stroke in full; ``plots`` are the way down (none where the charts gave the depth)."""

    job: str
    card: StrokeCard
    numbers: list[NumberShown]
    checks: list[CheckShown]
    plots: list[Plot]
    crown: CrownShown | None
    models: list[ModelShown]
    german: dict[str, str] = field(default_factory=dict)


def stroke_page(job: str, plan: Plan, number: int) -> StrokePage | None:
    """The page of one stroke; None where the plan has no such stroke."""
    stroke = next((one for one in plan.strokes if one.number == number), None)
    if stroke is None:
        return None
    mechanics = stroke.mechanics
    return with_german(
        StrokePage(
            job=job,
            card=stroke_card(plan, stroke),
            numbers=_numbers(stroke),
            checks=checks_shown(plan, stroke),
            plots=_way_down(stroke, mechanics) if mechanics is not None and len(mechanics.curve) > 1 else [],
            crown=None if stroke.crown is None else _crown(stroke.crown),
            models=[_model(one, counts=_counts(one, stroke)) for one in stroke.models],
        )
    )


def _numbers(stroke: Stroke) -> list[NumberShown]:
    flat, mechanics = stroke.kind == "hem_flatten", stroke.mechanics
    said = "" if mechanics is None else say("source.stroke_model_with", flow_curve=mechanics.flow_curve)
    rows = {
        "inside_radius": length(None if flat else stroke.inside_radius_mm, source=stroke.radius_source),
        "allowance": length(stroke.bend_allowance_mm, decimals=3, source=stroke.allowance_source),
        "deduction": length(stroke.bend_deduction_mm, decimals=3, source=stroke.allowance_source),
        "mm_per_degree": length(stroke.mm_per_degree, decimals=3, source=stroke.depth_source),
        "line_load": line_load(stroke.line_load_kn_per_m, source=stroke.line_load_kn_per_m.source),
        "bend_length": length(stroke.bend_length_mm, decimals=1, source="the drawing"),
        "stack_length": length(stroke.stack_length_mm, decimals=1, source="pieces of the station"),
        "stack_from": length(stroke.stack_from_mm, decimals=1, source="place of the sheet at the station"),
        "contact": length(stroke.gauging.contact_mm, decimals=1, source=stroke.gauging.at),
        "whip": plain(
            stroke.whip_m_per_s, decimals=2, unit="m/s", source="speed of the outer edge at the brake's own speed"
        ),
    }
    if mechanics is not None:
        rows |= {
            "largest_line_load": line_load(mechanics.largest_line_load_kn_per_m, source=said),
            "outer_strain": percent(100.0 * mechanics.outer_strain, decimals=1),
            "centre_thickness": length(mechanics.centre_thickness_mm, source=said),
            "shortest_leg": length(mechanics.shortest_leg_mm, source=said),
        }
    return [NumberShown(key=key, shown=shown) for key, shown in rows.items()]


def _counts(model: ModelNumbers, stroke: Stroke) -> bool:
    return model.model == ("charts" if stroke.mechanics is None else "mechanics")


def _model(model: ModelNumbers, *, counts: bool) -> ModelShown:
    source = say("source.model_alone", model=model.model)
    rows = {
        "inside_radius": length(model.inside_radius_mm, source=source),
        "deduction": length(model.bend_deduction_mm, decimals=3, source=source),
        "springback": difference_deg(model.springback_deg, source=source),
        "depth": length(model.depth_mm, decimals=3, source=source),
        "mm_per_degree": length(model.mm_per_degree, decimals=3, source=source),
        "line_load": line_load(model.line_load_kn_per_m, source=model.line_load_kn_per_m.source),
    }
    return ModelShown(
        model=model.model, counts=counts, numbers=[NumberShown(key=key, shown=shown) for key, shown in rows.items()]
    )


def _way_down(stroke: Stroke, mechanics: MechanicsOfStroke) -> list[Plot]:
    """Line load over depth, and both angles over depth."""
    curve = mechanics.curve
    depths = [point.depth_mm for point in curve]
    x = _axis(depths, lambda mm: length(mm, decimals=1))
    loads = [point.line_load_kn_per_m for point in curve]
    loaded = [(point.depth_mm, point.loaded_included_deg) for point in curve]
    relaxed = [(point.depth_mm, point.relaxed_included_deg) for point in curve]
    return [
        Plot(
            key="load",
            x=x,
            y=_axis([0.0, *loads], line_load),
            curves=[Curve(key="line_load", points=list(zip(depths, loads, strict=True)))],
            at=stroke.depth_mm,
            level=None,
        ),
        Plot(
            key="angle",
            x=x,
            y=_axis([deg for _, deg in (*loaded, *relaxed)], lambda deg: angle(deg, decimals=0)),
            curves=[Curve(key="under", points=loaded), Curve(key="after", points=relaxed)],
            at=stroke.depth_mm,
            level=stroke.target_included_deg,
        ),
    ]


def _axis(values: Sequence[float], text: Callable[[float], Shown], *, at_least: float = 0.0) -> Axis:
    """The axis that holds all values; it reaches at least so far either way from 0, where that is asked for."""
    low, high = min(values), max(values)
    marks = round_marks(min(low, -at_least), max(high, at_least)) if at_least else round_marks(low, high)
    return Axis(low=marks[0], high=marks[-1], marks=[text(mark) for mark in marks])


def _crown(crown: Crown) -> CrownShown:
    rows = {
        "needed": length(crown.needed_mm.middle if crown.needed_mm else None, source=crown.source),
        "height": length(crown.height_mm, source=crown.source),
        "divisions": plain(crown.divisions, decimals=1, source=crown.source),
        "deeper": length(crown.depth_mm, decimals=3, source=crown.source),
        "tilt": length(crown.tilt_mm, decimals=3, source=crown.source),
        "y1": length(crown.y1_mm, decimals=3, source=crown.source),
        "y2": length(crown.y2_mm, decimals=3, source=crown.source),
        "give": length(crown.give_mm, decimals=3, source=crown.source),
    }
    along = angles_along(crown)
    left = _three(crown.after_deg)
    return CrownShown(
        numbers=[NumberShown(key=key, shown=shown) for key, shown in rows.items()],
        left=left[0],
        centre=left[1],
        right=left[2],
        plot=_along(along) if len(along) > 1 else None,
        unknown=list(crown.unknown),
        source=crown.source,
    )


def _along(rows: Sequence[tuple[float, float, float]]) -> Plot:
    """The angle's error along the bed, before and with crown and tilt."""
    before, after = [(z, a) for z, a, _ in rows], [(z, b) for z, _, b in rows]
    return Plot(
        key="along",
        x=_axis([z for z, _ in before], lambda mm: length(mm, decimals=0)),
        y=_axis([deg for _, deg in (*before, *after)], lambda deg: difference_deg(deg, decimals=2), at_least=0.1),
        curves=[Curve(key="without_crown", points=before), Curve(key="with_crown", points=after)],
        at=None,
        level=0.0,
    )


def _three(errors: ThreeAngles | None) -> tuple[Shown, Shown, Shown]:
    values = (None, None, None) if errors is None else (errors.left_deg, errors.centre_deg, errors.right_deg)
    left, centre, right = (difference_deg(value) for value in values)
    return left, centre, right
