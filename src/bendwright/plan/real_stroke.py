"""The stroke with the punch that really hangs there, at the place on the bed where it really hangs."""

from __future__ import annotations

from dataclasses import replace

from bendwright.findings import Finding, Severity
from bendwright.plan.backwards import Step, swing_at
from bendwright.plan.stations import Station
from bendwright.plan.tables import Tables
from bendwright.stroke.air_stroke import NoAnswer, asked
from bendwright.stroke.crown import Crown, crown_of_stroke
from bendwright.stroke.swing import Swing, swing_of

MOST_CROWN_POINTS = 13


def real_swing(tables: Tables, step: Step, station: Station) -> tuple[Swing, NoAnswer | None]:
    """The swing the search counted on, its depth, springback and load worked out for the nose of the station's punch; and why
    the charts stand in where the mechanics have no answer.

    Radius, allowance and clearances stay those of the search; they were asked of the middle nose of all punches.
    """
    situation, swing = tables.situation, swing_at(tables, step)
    punch, die = station.slot.punch, station.slot.die
    if swing.stroke is None or punch.nose_radius_mm == swing.stroke.curve.bend.nose_radius_mm:
        return swing, situation.verdicts[step.bend].no_answer
    stroke, no_answer = asked(swing.bend, sheet=situation.sheet, die=die, punch=punch, practice=situation.practice)
    real = swing_of(swing.bend, swing.size, die, sheet=situation.sheet, practice=situation.practice, stroke=stroke)
    return real, no_answer


def crown_of(
    tables: Tables, step: Step, station: Station, start_w: float, left_end_mm: float, swing: Swing
) -> Crown | None:
    """Crown, tilt and angles left of the stroke, ``start_w`` being where the stack begins along the bend and ``left_end_mm``
    where on the bed. None where the stack has no place on a bed of known length.
    """
    brake = tables.situation.brake
    if brake.bed_length_mm is None:
        return None
    spans = tables.around[step.move].frames[1].spans
    ranges = [place_on_bed(span, step.side, start_w, left_end_mm, station.punch_stack.length_mm) for span in spans]
    crown = crown_of_stroke(brake, swing.line_load, ranges, swing.mm_per_degree)
    every = max(1, -(-len(crown.curve) // MOST_CROWN_POINTS))
    return replace(crown, curve=crown.curve[::every])


def crown_findings(crown: Crown | None, *, bend_id: str) -> list[Finding]:
    """What is to be said of the crown: of the stroke what is a watch, of the brake what is not known of it."""
    said = crown.findings if crown else ()
    return [replace(one, where=f"bend {bend_id}") if one.severity is Severity.WATCH else one for one in said]


def place_on_bed(
    span: tuple[float, float], side: int, start_w: float, left_end_mm: float, stack_mm: float
) -> tuple[float, float]:
    """A length along the bend as ends on the bed, from left to right; seen from the parent's side it runs the other way."""
    low, high = span
    if side == 1:
        return left_end_mm + low - start_w, left_end_mm + high - start_w
    return left_end_mm + start_w + stack_mm - high, left_end_mm + start_w + stack_mm - low
