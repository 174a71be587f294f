"""The whole study: draw a run, look at every angle and size, hold it against its tolerance, try the remedies."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from bendwright.doubt.capability import NEGLIGIBLE, angle_limits, capability_of, cpk_of, size_limits
from bendwright.doubt.remedies import WORDS, remedied, run_of
from bendwright.doubt.result import BendResponse, Doubted, PlanDoubt, Remedied, Remedy, Share, SizeRule
from bendwright.doubt.sampling import Model, first_order, model_of, outcome_of, pieces_of
from bendwright.doubt.sentences import sentences_of
from bendwright.doubt.spreads import CAUSES, Spreads
from bendwright.findings import InputError, found
from bendwright.shop.general_tolerance import Grade

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

SAMPLES, SEED = 10_000, 2768
FEWEST, MOST = 100, 1_000_000
HELD = (2.5, 97.5)
"""Percent of the samples below and above the two limits that hold 95 of 100."""


def study(
    *,
    responses: Sequence[BendResponse],
    rules: Sequence[SizeRule],
    spreads: Spreads,
    tolerance_class: Grade,
    class_source: str,
    samples: int = SAMPLES,
    seed: int = SEED,
) -> PlanDoubt:
    """The doubt of one plan; the same seed gives the same digits. InputError U101 for too few or too many samples."""
    if not FEWEST <= samples <= MOST:
        raise InputError(found("U101", where="samples", samples=samples, low=FEWEST, high=MOST))
    model = model_of(responses, rules, spreads)
    run = run_of(model, samples=samples, generator=np.random.default_rng(seed))
    outcome = outcome_of(model, pieces_of(model, run.draws))
    angle_slopes, size_slopes = first_order(model)
    kept = [i for i, item in enumerate(model.responses) if item.held]
    angle_room = {i: angle_limits(model.responses[i], tolerance_class) for i in kept}
    size_room = [size_limits(rule, tolerance_class) for rule in model.rules]
    angles = tuple(
        _doubted(
            model,
            outcome.included_deg[:, i],
            angle_slopes[:, i],
            limits=angle_room[i],
            name=model.responses[i].bend_id,
            kind="included_angle",
            unit="deg",
            about=f"bend {model.responses[i].bend_id}",
            aim=model.responses[i].target_included_deg,
        )
        for i in kept
    )
    sizes = tuple(
        _doubted(
            model,
            outcome.size_mm[:, k],
            size_slopes[:, k],
            limits=size_room[k],
            name=rule.name,
            kind=rule.kind,
            unit="mm",
            about=f"flange {rule.flange_id}",
            aim=rule.aimed_mm,
        )
        for k, rule in enumerate(model.rules)
    )
    remedies = _remedies(model, remedied(model, run, spreads.readings), angle_room, size_room)
    return PlanDoubt(
        samples=samples,
        seed=seed,
        tolerance_class=tolerance_class,
        class_source=class_source,
        spreads=spreads,
        responses=model.responses,
        rules=model.rules,
        angles=angles,
        sizes=sizes,
        remedies=remedies,
        sentences=sentences_of(angles, sizes, remedies),
    )


def restudied(
    doubt: PlanDoubt,
    *,
    spreads: Spreads | None = None,
    tolerance_class: Grade | None = None,
    samples: int | None = None,
    seed: int | None = None,
) -> PlanDoubt:
    """The study run anew from a stored one, with other spreads, another class, more samples or another seed."""
    return study(
        responses=doubt.responses,
        rules=doubt.rules,
        spreads=spreads or doubt.spreads,
        tolerance_class=tolerance_class or doubt.tolerance_class,
        class_source="asked for" if tolerance_class else doubt.class_source,
        samples=doubt.samples if samples is None else samples,
        seed=doubt.seed if seed is None else seed,
    )


def _doubted(
    model: Model, change: Array, slopes: Array, *, limits: tuple[float, float, str] | None, aim: float, **words: Any
) -> Doubted:
    values = aim + change
    low, high = np.percentile(values, HELD)
    return Doubted(
        **words,
        aim=aim,
        mean=float(values.mean()),
        standard_deviation=float(values.std()),
        low=float(low),
        high=float(high),
        first_order=float(np.sqrt(np.sum(slopes**2))),
        shares=_shares(model, slopes),
        capability=None if limits is None else capability_of(values, limits),
    )


def _shares(model: Model, slopes: Array) -> tuple[Share, ...]:
    """Shares of the variance by cause, greatest first; none where nothing spreads."""
    total = float(np.sum(slopes**2))
    if total < NEGLIGIBLE**2:
        return ()
    parts = dict.fromkeys(CAUSES, 0.0)
    for lot, slope in zip(model.lots, slopes, strict=True):
        parts[lot.cause] += float(slope) ** 2 / total
    ordered = sorted(parts.items(), key=lambda item: -item[1])
    return tuple(Share(cause=cause, share=share) for cause, share in ordered if share > 0.0)


def _remedies(
    model: Model,
    outcomes: dict[str, Any],
    angle_room: dict[int, tuple[float, float, str]],
    size_room: Sequence[tuple[float, float, str] | None],
) -> tuple[Remedy, ...]:
    def results(name: str) -> Iterable[Remedied]:
        outcome = outcomes[name]
        for i, limits in angle_room.items():
            item = model.responses[i]
            yield _result(item.bend_id, item.target_included_deg + outcome.included_deg[:, i], limits)
        for k, room in enumerate(size_room):
            yield _result(model.rules[k].name, model.rules[k].aimed_mm + outcome.size_mm[:, k], room)

    return tuple(
        Remedy(name=name, words=words, results=tuple(results(name)))  # type: ignore[arg-type]
        for name, words in WORDS.items()
    )


def _result(name: str, values: Array, limits: tuple[float, float, str] | None) -> Remedied:
    return Remedied(
        name=name,
        standard_deviation=float(values.std()),
        cpk=None if limits is None else cpk_of(values, limits),
    )
