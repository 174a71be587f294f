"""How near does each stroke model come, in one table: rms and largest difference by case and over all of them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from bendwright.validation.comparison import Comparison, Evidence
from bendwright.validation.markdown import table

QUANTITIES = {
    "relaxed included": "relaxed angle [degrees]",
    "springback": "springback [degrees]",
    "force": "force [%]",
    "inside radius": "inside radius [%]",
    "bend deduction": "bend deduction [mm]",
    "outer strain": "outer strain",
}
USUAL_INCLUDED_DEG = (80.0, 160.0)
WORDS = (
    "Root mean square of the differences, and in brackets the largest with its sign. The limits were set for bends between 80 "
    "and 160 degrees; deeper ones stand in the tables and are judged by the same limits."
)


def stroke_summary(evidence: Sequence[Evidence]) -> list[str]:
    """Heading, words and table over the evidences of whole strokes; nothing when there are none."""
    strokes = [one for one in evidence if one.key.startswith("stroke_")]
    if not strokes:
        return []
    everything = [c for one in strokes for c in one.comparisons]
    groups: list[tuple[str, Sequence[Comparison]]] = [
        (one.title.removeprefix("Stroke "), one.comparisons) for one in strokes
    ]
    groups += [
        ("**all, {:g} to {:g} degrees**".format(*USUAL_INCLUDED_DEG), _usual(strokes)),
        ("**all**", everything),
    ]
    models = list(dict.fromkeys(c.model for c in everything))
    rows = [
        (name, f"`{model}`", *_cells([c for c in compared if c.model == model]))
        for name, compared in groups
        for model in models
    ]
    head = ("case", "model", *QUANTITIES.values(), "within limits")
    return ["### Whole strokes in short", WORDS, table(head, rows)]


def _usual(strokes: Iterable[Evidence]) -> list[Comparison]:
    """What was compared at depths whose bend is left between the usual angles."""
    low, high = USUAL_INCLUDED_DEG
    kept = []
    for one in strokes:
        angles = {c.case: c.outside for c in one.comparisons if c.quantity == "relaxed included"}
        kept += [c for c in one.comparisons if low <= angles[c.case] <= high]
    return kept


def _cells(compared: Sequence[Comparison]) -> list[str]:
    """One cell a quantity, and how many values lie within their limit."""
    cells = []
    for quantity in QUANTITIES:
        own = [c for c in compared if c.quantity == quantity]
        shares = [100.0 * c.difference / c.outside if c.limit.relative else c.difference for c in own]
        cells.append(_cell(shares, 1 if own and own[0].limit.relative else 3))
    return [*cells, f"{sum(c.within for c in compared)} of {len(compared)}"]


def _cell(differences: Sequence[float], decimals: int) -> str:
    """``0.31 (-0.57)``; a dash when a model says nothing."""
    if not differences:
        return "-"
    rms = (sum(d * d for d in differences) / len(differences)) ** 0.5
    largest = max(differences, key=abs)
    return f"{rms + 1e-8:.{decimals}f} ({largest + 1e-8:+.{decimals}f})"
