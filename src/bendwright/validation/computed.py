"""What the comparisons with finite-element bends share: the points, their words, one question put to many models."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from bendwright.validation.bend_points import BendCase, BendPoint, bend_cases
from bendwright.validation.comparison import Comparison, Evidence, Limit
from bendwright.validation.stroke_models import die_and_sheet

Place = tuple[BendCase, BendPoint]
Answer = Callable[[BendCase, BendPoint], float]

WEIGHT = (
    "Computed without the models, so a real test of geometry and mechanics; not of real sheet, which has Bauschinger "
    "effect, loss of modulus, grain and edges, nor of a real brake."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rival:
    """One way of asking a model; ``reason`` says why it is off where it is off.

    ``warning``: kept only to show what becomes of an answer that leaves out too much.
    """

    model: str
    answer: Answer
    reason: str
    warning: bool = False


def places() -> tuple[Place, ...]:
    """Every point of every case."""
    return tuple((case, point) for case in bend_cases() for point in case.points)


def words_of(case: BendCase, point: BendPoint) -> str:
    """A point in a few words."""
    return f"{case.name} at {point.depth_mm:g} mm"


def bend_under_load(case: BendCase, point: BendPoint) -> dict[str, float]:
    """The bend by the parameter names of the geometry, with its own radius: measured relaxed, 1 to 3 % more than under load."""
    return {
        **die_and_sheet(case),
        "loaded_turned_deg": point.loaded_turned_deg,
        "inside_radius_mm": point.inside_radius_mm,
    }


def computed_evidence(
    *,
    key: str,
    title: str,
    quantity: str,
    unit: str,
    limit: Limit,
    rows: Iterable[tuple[Place, float, float]],
    rivals: tuple[Rival, ...],
    pictures: Mapping[str, str] | None = None,
) -> Evidence:
    """One question: at each place the computed value and its doubt, and what every rival answers."""
    comparisons = tuple(
        Comparison(
            model=rival.model,
            case=words_of(*place),
            quantity=quantity,
            unit=unit,
            outside=outside,
            doubt=doubt,
            ours=rival.answer(*place),
            limit=limit,
            warning=rival.warning,
        )
        for place, outside, doubt in rows
        for rival in rivals
    )
    return Evidence(
        key=key,
        title=title,
        source=sources(),
        kind="computed",
        weight=WEIGHT,
        comparisons=comparisons,
        reasons={rival.model: rival.reason for rival in rivals},
        pictures=pictures or {},
    )


def sources() -> str:
    """Where the tables of computed bends come from."""
    return "; ".join(dict.fromkeys(case.table.source for case in bend_cases()))
