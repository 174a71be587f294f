"""A run of pieces drawn by lot, and the same by first order.

Every cause has its own independent draws: one a batch or a sheet, one a stroke, one an edge. Bends made by one stroke share its
draws, which go by the name of the first of them. The angles follow the quadratic surfaces of the bends, the sizes add up what their
rules say. Arrays have one row a piece.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import sqrt
from typing import TYPE_CHECKING

import numpy as np

from bendwright.doubt.result import BendResponse, SizeRule
from bendwright.doubt.spreads import Cause, Spread, Spreads
from bendwright.mechanics.stroke_surface import terms_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

COLUMNS: dict[str, int] = {"thickness": 0, "strength": 1, "modulus": 1, "friction": 2, "ram": 3}
"""Which variable of the surface a cause moves; a stiffer sheet counts as a weaker one."""


@dataclass(frozen=True, slots=True)
class Lot:
    """One thing that is drawn: its spread and which edge or stroke (by its first bend) it belongs to ("" = all bends)."""

    spread: Spread
    of: str

    @property
    def cause(self) -> Cause:
        """What it is a part of."""
        return self.spread.cause


@dataclass(frozen=True, slots=True, kw_only=True)
class Pieces:
    """Deviations of many pieces: per bend the four variables (n, bends, 4), gauge errors (n, bends), edges (n, edges)."""

    variables: Array
    gauge: Array
    edge: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """Changes of the included angles (n, bends) and of the sizes (n, rules)."""

    included_deg: Array
    size_mm: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Model:
    """Bends and size rules with their order fixed, and everything that is drawn for them."""

    responses: tuple[BendResponse, ...]
    rules: tuple[SizeRule, ...]
    lots: tuple[Lot, ...]
    edges: tuple[str, ...]


def model_of(responses: Sequence[BendResponse], rules: Sequence[SizeRule], spreads: Spreads) -> Model:
    """Everything that is drawn: batch and sheet lots once, stroke lots per stroke, edge lots per free edge."""
    edges = tuple(dict.fromkeys(name for rule in rules for name, _ in rule.edge_mm))
    strokes = tuple(dict.fromkeys(firsts_of(responses)))
    places = {"batch": ("",), "sheet": ("",), "stroke": strokes, "edge": edges}
    lots = tuple(Lot(item, of) for item in spreads.items for of in places[item.scope])
    return Model(responses=tuple(responses), rules=tuple(rules), lots=lots, edges=edges)


def firsts_of(responses: Sequence[BendResponse]) -> tuple[str, ...]:
    """For every bend the first bend of the stroke that makes it."""
    first: dict[int, str] = {}
    return tuple(first.setdefault(item.stroke, item.bend_id) for item in responses)


def drawn(model: Model, *, samples: int, generator: np.random.Generator) -> Array:
    """Draws of every lot in standard deviations, one row a piece (samples, lots)."""
    out = np.empty((samples, len(model.lots)))
    for i, lot in enumerate(model.lots):
        if lot.spread.distribution == "uniform":
            out[:, i] = generator.uniform(-sqrt(3.0), sqrt(3.0), samples)
        else:
            out[:, i] = generator.standard_normal(samples)
    return out


def pieces_of(model: Model, draws: Array) -> Pieces:
    """The deviations those draws mean."""
    n, names = len(draws), [item.bend_id for item in model.responses]
    firsts = np.array(firsts_of(model.responses))
    pieces = Pieces(
        variables=np.zeros((n, len(names), 4)), gauge=np.zeros((n, len(names))), edge=np.zeros((n, len(model.edges)))
    )
    for i, lot in enumerate(model.lots):
        value = lot.spread.standard_deviation * draws[:, i]
        if lot.cause == "gauge":
            pieces.gauge[:, names.index(lot.of)] += value
        elif lot.cause == "cut_edge":
            pieces.edge[:, model.edges.index(lot.of)] += value
        else:
            sign = -1.0 if lot.cause == "modulus" else 1.0
            mine = slice(None) if not lot.of else firsts == lot.of
            pieces.variables[:, mine, COLUMNS[lot.cause]] += sign * value[:, None]
    return pieces


def outcome_of(model: Model, pieces: Pieces) -> Outcome:
    """Angles by the surfaces, sizes by the rules."""
    names = [item.bend_id for item in model.responses]
    included, deduction = np.zeros(pieces.gauge.shape), np.zeros(pieces.gauge.shape)
    for k, item in enumerate(model.responses):
        terms = terms_of(pieces.variables[:, k, :])
        included[:, k] = terms @ np.array(item.included_deg.terms)
        deduction[:, k] = terms @ np.array(item.deduction_mm.terms)
    weights = {
        "gauge": _weights((rule.gauge_mm for rule in model.rules), names),
        "edge": _weights((rule.edge_mm for rule in model.rules), model.edges),
        "deduction": _weights((rule.deduction_mm for rule in model.rules), names),
        "included": _weights((rule.included_deg for rule in model.rules), names),
    }
    size = pieces.gauge @ weights["gauge"] + pieces.edge @ weights["edge"]
    size += deduction @ weights["deduction"] + included @ weights["included"]
    return Outcome(included_deg=included, size_mm=size)


def first_order(model: Model) -> tuple[Array, Array]:
    """Standard deviations one lot at a time: of the angles (lots, bends) and of the sizes (lots, rules), with the signs of their slopes.

    The slope is taken by a hundredth of a standard deviation to both sides, so the squares of the surfaces fall out.
    """
    step = 0.01
    up, down = (outcome_of(model, pieces_of(model, sign * step * np.eye(len(model.lots)))) for sign in (1.0, -1.0))
    return (
        (up.included_deg - down.included_deg) / (2.0 * step),
        (up.size_mm - down.size_mm) / (2.0 * step),
    )


def _weights(terms: Iterable[Sequence[tuple[str, float]]], names: Sequence[str]) -> Array:
    columns = []
    for row in terms:
        column = np.zeros(len(names))
        for name, value in row:
            if name in names:
                column[names.index(name)] += value
        columns.append(column)
    return np.array(columns).reshape(len(columns), len(names)).T
