"""What would help? The same pieces once more, with something done about a cause.

* ``measure_sheets``: every sheet is measured and the depth of every stroke corrected by the bend's own slopes; what
  stays is the micrometer's error and what one sheet differs within itself.
* ``first_piece``: the first piece of a batch is measured, its angles first, then its legs, and depths and gauge positions are
  corrected by what it shows; its own sheet, strokes and readings are in the correction. The blank cannot be cured so. Bends made by
  one stroke get one depth, legs gauged by one stroke one gauge position: the mean of what each asks for.
* ``both`` of these; ``better_ram``, ``better_gauge``, ``better_cut``: half the spread.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from bendwright.doubt.sampling import Model, Outcome, Pieces, drawn, firsts_of, outcome_of, pieces_of
from bendwright.doubt.spreads import Cause, Readings

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

WORDS = {
    "measure_sheets": "measuring every sheet and correcting the depth",
    "first_piece": "correcting by the first piece of every batch",
    "both": "measuring every sheet and correcting by the first piece of every batch",
    "better_ram": "a ram that repeats twice as well",
    "better_gauge": "a gauge that repeats twice as well",
    "better_cut": "blanks cut twice as true",
}
HALVED: dict[str, Cause] = {"better_ram": "ram", "better_gauge": "gauge", "better_cut": "cut_edge"}
THICKNESS, DEPTH = 0, 3


@dataclass(frozen=True, slots=True)
class Run:
    """The draws of a run, those of the first piece of each one's batch, and the readings taken (in standard deviations)."""

    draws: Array
    first: Array
    sheet_reading: Array
    first_reading: Array
    angle_reading: Array
    leg_reading: Array


def run_of(model: Model, *, samples: int, generator: np.random.Generator) -> Run:
    """A run drawn by lot; first pieces share the batch's lots with their run."""
    draws, first = (drawn(model, samples=samples, generator=generator) for _ in range(2))
    batch = [i for i, lot in enumerate(model.lots) if lot.spread.scope == "batch"]
    first[:, batch] = draws[:, batch]
    bends, rules = len(model.responses), len(model.rules)
    normal = generator.standard_normal
    return Run(draws, first, normal(samples), normal(samples), normal((samples, bends)), normal((samples, rules)))


def remedied(model: Model, run: Run, readings: Readings) -> dict[str, Outcome]:
    """The outcome of every remedy, by name."""
    measured = _measured(model, run, readings)
    plain = (pieces_of(model, run.draws), pieces_of(model, run.first))
    out = {
        "measure_sheets": outcome_of(model, measured[0]),
        "first_piece": outcome_of(model, _by_first_piece(model, *plain, run, readings)),
        "both": outcome_of(model, _by_first_piece(model, *measured, run, readings)),
    }
    for name, cause in HALVED.items():
        halves = np.array([0.5 if lot.cause == cause else 1.0 for lot in model.lots])
        out[name] = outcome_of(model, pieces_of(model, run.draws * halves))
    return out


def _measured(model: Model, run: Run, readings: Readings) -> tuple[Pieces, Pieces]:
    """Run and first pieces with the depth corrected by the measured thickness of each sheet."""

    def corrected(draws: Array, reading: Array) -> Pieces:
        thickness = readings.micrometer_mm * reading
        for i, lot in enumerate(model.lots):
            if lot.cause == "thickness" and not lot.of:
                thickness = thickness + lot.spread.standard_deviation * draws[:, i]
        return _deeper(model, pieces_of(model, draws), lambda slopes: -slopes[THICKNESS] / slopes[DEPTH] * thickness)

    return corrected(run.draws, run.sheet_reading), corrected(run.first, run.first_reading)


def _by_first_piece(model: Model, pieces: Pieces, first: Pieces, run: Run, readings: Readings) -> Pieces:
    """The run after depths, then gauge positions, were corrected by the first piece."""
    seen = outcome_of(model, first).included_deg + readings.protractor_deg * run.angle_reading
    seen = _as_radii(model, seen, readings.protractor_deg * run.angle_reading)
    columns = iter(range(len(model.responses)))

    def correction(slopes: tuple[float, ...]) -> Array:
        off: Array = -seen[:, next(columns)] / slopes[DEPTH]
        return off

    deeper = _depths(model, correction, len(seen))
    first, pieces = (replace(item, variables=item.variables + deeper) for item in (first, pieces))
    legs = outcome_of(model, first).size_mm + readings.caliper_mm * run.leg_reading
    names = [item.bend_id for item in model.responses]
    gauge = pieces.gauge.copy()
    held: dict[str, list[int]] = {}
    for k, rule in enumerate(model.rules):
        if rule.kind == "leg" and len(rule.gauge_mm) == 1 and rule.gauge_mm[0][1] > 0.0:
            held.setdefault(rule.gauge_mm[0][0], []).append(k)
    for name, rows in held.items():
        gauge[:, names.index(name)] -= legs[:, rows].mean(axis=1)
    return replace(pieces, gauge=gauge)


def _as_radii(model: Model, seen: Array, reading: Array) -> Array:
    """What is seen of the angles where the hits of a large radius are measured by their sum alone, with one reading, and all are
    corrected alike.
    """
    out = seen.copy()
    for of in {item.hit_of for item in model.responses if item.hit_of}:
        own = [k for k, item in enumerate(model.responses) if item.hit_of == of]
        whole = (seen - reading)[:, own].sum(axis=1) + reading[:, own[0]]
        out[:, own] = whole[:, None] / len(own)
    return out


def _deeper(model: Model, pieces: Pieces, by: Callable[[tuple[float, ...]], Array]) -> Pieces:
    return replace(pieces, variables=pieces.variables + _depths(model, by, len(pieces.gauge)))


def _depths(model: Model, by: Callable[[tuple[float, ...]], Array], samples: int) -> Array:
    """Extra depths of all bends as changes of their variables (n, bends, 4); none where the angle is not held by depth."""
    out = np.zeros((samples, len(model.responses), 4))
    for k, item in enumerate(model.responses):
        slopes = item.included_deg.terms
        depth = by(slopes if slopes[DEPTH] else (0.0, 0.0, 0.0, 1.0))
        out[:, k, DEPTH] = depth if slopes[DEPTH] else 0.0
    firsts = np.array(firsts_of(model.responses))
    for name in dict.fromkeys(firsts):
        own = firsts == name
        out[:, own, DEPTH] = out[:, own, DEPTH].mean(axis=1, keepdims=True)
    return out
