"""What was read at the brake, as it is kept, and what it asks for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from bendwright.bench.german import with_german
from bendwright.bench.problems import FindingShown, shown
from bendwright.findings import Finding
from bendwright.plan.result import Plan
from bendwright.sheets.shown import Shown, angle, difference_deg, length, plain
from bendwright.shop.brake import Brake
from bendwright.store.records import KeptReading
from bendwright.trial.corrections import BlankVerdict, Corrections
from bendwright.trial.stroke_changes import (
    DepthChange,
    GaugeChange,
    Way,
    depth_changes,
    gauge_changes,
    way_of,
)
from bendwright.wanted.reading_words import Measured


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadBack:
    """One number of an entry as it was understood: of which bend (with its place) or flange; "thickness" = of the sheet."""

    of: str
    place: Literal["left", "centre", "right", "length"]
    value: Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingKept:
    """One entry as it is kept: its UUID, which version, what was typed, what was understood, and what is doubted about it."""

    id: str
    version: int
    stroke: int
    piece: int
    taken_at: str
    typed: dict[str, Any]
    read: list[ReadBack]
    findings: list[FindingShown]


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """How much, without a sign, and which way; ``keep`` = too little to be worth it."""

    way: Way
    by: Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class BendError:
    """How far the mean of a bend's readings is from its target; more = too open."""

    bend: str
    error: Change


@dataclass(frozen=True, slots=True, kw_only=True)
class StrokeChange:
    """What to change at one stroke: its depth (more = deeper) to ``new_depth``; or, with a tilt, the left and the right axis (Y1, Y2).
    ``crown`` at the crown's own middle (more = higher), ``crown_divisions`` the same on its scale, ``crown_at_bend`` at the middle of the
    bend. None = not told by the readings, or not known of the brake (``unknown``).
    """

    stroke: int
    depth: Change
    new_depth: Shown
    errors: list[BendError]
    left: Change | None
    right: Change | None
    crown_at_bend: Change | None
    crown: Change | None
    crown_divisions: Shown | None
    unknown: list[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class LegChange:
    """What one leg asks for: its error (more = too long), and X of ``stroke`` (more = away from the operator) to ``new_x``; None = no gauge
    holds it.
    """

    flange: str
    error: Change
    stroke: int | None
    x: Change | None
    new_x: Shown | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BlankShown:
    """Whether the blank was right: the sum of the errors of all flanges, and by how much the deduction of each bend was off."""

    right: bool
    error: Shown
    deduction_change: Shown
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectionsPage:
    """Everything the readings of one piece ask for; ``entries`` is how many of them were kept."""

    piece: int
    entries: int
    strokes: list[StrokeChange]
    legs: list[LegChange]
    blank: BlankShown | None
    findings: list[FindingShown]
    german: dict[str, str] = field(default_factory=dict)


def reading_kept(kept: KeptReading, measured: Measured, findings: Sequence[Finding]) -> ReadingKept:
    """An entry for the pages."""
    places: tuple[Literal["left", "centre", "right"], ...] = ("left", "centre", "right")
    read = [
        ReadBack(of=bend, place=place, value=angle(values[place], decimals=2))
        for bend, values in measured.angles_deg.items()
        for place in places
        if place in values
    ]
    lengths = {**measured.legs_mm}
    if measured.thickness_mm is not None:
        lengths["thickness"] = measured.thickness_mm
    read += [ReadBack(of=name, place="length", value=length(value)) for name, value in lengths.items()]
    return ReadingKept(
        id=kept.id,
        version=kept.version,
        stroke=kept.stroke,
        piece=kept.values["piece"],
        taken_at=kept.taken_at.isoformat(),
        typed=kept.values,
        read=read,
        findings=[shown(item) for item in findings],
    )


def corrections_page(
    plan: Plan, corrections: Corrections, brake: Brake | None, *, piece: int, entries: int
) -> CorrectionsPage:
    """What ``corrections`` ask for, on the brake if it is known."""
    return with_german(
        CorrectionsPage(
            piece=piece,
            entries=entries,
            strokes=[_stroke(change) for change in depth_changes(plan, corrections, brake)],
            legs=[_leg(change) for change in gauge_changes(plan, corrections.legs)],
            blank=_blank(corrections.blank),
            findings=[shown(item) for item in corrections.findings],
        )
    )


def _change(value_mm: float | None) -> Change | None:
    return None if value_mm is None else Change(way=way_of(value_mm), by=length(abs(value_mm), decimals=2))


def _stroke(change: DepthChange) -> StrokeChange:
    brake = change.brake
    divisions = brake.crown_divisions if brake else None
    return StrokeChange(
        stroke=change.stroke,
        depth=Change(way=way_of(change.change_mm), by=length(abs(change.change_mm), decimals=2)),
        new_depth=length(change.new_mm, decimals=3),
        errors=[
            BendError(bend=name, error=Change(way=way_of(error), by=difference_deg(abs(error))))
            for name, error in change.errors_deg
        ],
        left=_change(brake.y1_mm if brake else None),
        right=_change(brake.y2_mm if brake else None),
        crown_at_bend=_change(change.crown_mm),
        crown=_change(brake.crown_height_mm if brake else None),
        crown_divisions=None if divisions is None else plain(abs(divisions), decimals=1),
        unknown=list(brake.unknown) if brake else ["brake"],
    )


def _leg(change: GaugeChange) -> LegChange:
    return LegChange(
        flange=change.flange_id,
        error=Change(way=way_of(change.error_mm), by=length(abs(change.error_mm), decimals=2)),
        stroke=change.stroke,
        x=_change(change.change_mm),
        new_x=None if change.new_mm is None else length(change.new_mm, decimals=2),
    )


def _blank(verdict: BlankVerdict | None) -> BlankShown | None:
    if verdict is None:
        return None
    return BlankShown(
        right=verdict.right,
        error=length(verdict.error_mm, decimals=2),
        deduction_change=length(verdict.deduction_change_mm, decimals=3),
        sentence=verdict.sentence,
    )
