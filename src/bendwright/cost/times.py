"""Seconds of set-up and of one piece, from what hangs and what is handled; the coefficients are the shop's."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from math import fsum

from bendwright.findings import InputError, found
from bendwright.plan.result import Plan
from bendwright.said import phrase
from bendwright.shop.practice import HandlingTimes


@dataclass(frozen=True, slots=True, kw_only=True)
class Counts:
    """What is handled for one piece: strokes, flips, turns, gauge moves, walks to another station."""

    strokes: int
    flips: int = 0
    turns: int = 0
    gauge_moves: int = 0
    station_changes: int = 0


def setup_seconds(*, stations: int, pieces: int, times: HandlingTimes) -> float:
    """Set-up of the machine: base + per station + per tool piece hung [s]."""
    _not_negative(stations=stations, pieces=pieces)
    return times.setup_base_s + stations * times.setup_station_s + pieces * times.setup_piece_s


def cycle_seconds(*, counts: Counts, times: HandlingTimes) -> float:
    """One piece: every stroke is positioned and bent, then flips, turns, moves and walks, load and unload once [s]."""
    _not_negative(**{field.name: getattr(counts, field.name) for field in fields(counts)})
    return fsum(
        (
            counts.strokes * (times.position_s + times.stroke_s),
            counts.flips * times.flip_s,
            counts.turns * times.turn_s,
            counts.gauge_moves * times.gauge_move_s,
            counts.station_changes * times.station_change_s,
            times.load_unload_s,
        )
    )


def counts_of(plan: Plan) -> Counts:
    """What a plan handles for one piece, as its strokes say."""
    handlings = [stroke.handling for stroke in plan.strokes]
    return Counts(
        strokes=len(handlings),
        flips=sum(handling.flip for handling in handlings),
        turns=sum(handling.turn_deg != 0.0 for handling in handlings),
        gauge_moves=sum(handling.gauge_move for handling in handlings),
        station_changes=sum(handling.station_change for handling in handlings),
    )


def calibration_factor(*, planned_s: Sequence[float], actual_s: Sequence[float]) -> float:
    """Sum of actual over sum of planned seconds: multiply the next plan's times by it. InputError T112 for no time."""
    planned, actual = fsum(planned_s), fsum(actual_s)
    if not planned > 0.0 or not actual >= 0.0:
        raise InputError(found("T112", where="planned_s", name=phrase("the sum of planned times"), value=planned))
    return actual / planned


def _not_negative(**counts: int) -> None:
    """Refuse counts below 0 (InputError T112)."""
    findings = [found("T112", where=name, name=name, value=value) for name, value in counts.items() if value < 0]
    if findings:
        raise InputError(findings)
