"""The whole study: draw a run, look at every angle and size, hold it against its tolerance, try the remedies."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from bendwright.doubt.capability import NEGLIGIBLE, Limits, angle_limits, capability_of, cpk_of, size_limits
from bendwright.doubt.remedies import WORDS, remedied, run_of
from bendwright.doubt.result import BendResponse, Doubted, PlanDoubt, Remedied, Remedy, Share, SizeRule
from bendwright.doubt.sampling import Model, Outcome, first_order, model_of, outcome_of, pieces_of
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
    room = _room_of(model, tolerance_class)
    angle_slopes, size_slopes = first_order(model)
    bends = _bends(model, angle_slopes, outcome, room)
    sizes = _sizes(model, size_slopes, outcome, room)
    remedies = _remedies(model, remedied(model, run, spreads.readings), room)
    return PlanDoubt(
        samples=samples,
        seed=seed,
        tolerance_class=tolerance_class,
        class_source=class_source,
        spreads=spreads,
        responses=model.responses,
        rules=model.rules,
        bends=bends,
        sizes=sizes,
        remedies=remedies,
        sentences=sentences_of(bends, sizes, remedies),
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


@dataclass(frozen=True, slots=True)
class _Angle:
    """One angle of the drawing: of a bend, or of a large radius as the sum of its hits (their places in the model)."""

    name: str
    places: tuple[int, ...]
    aim: float
    limits: Limits

    def change(self, included_deg: Array) -> Array:
        """Changes of the angle, given those of all bends (samples or lots, bends)."""
        out: Array = included_deg[:, list(self.places)].sum(axis=1)
        return out


@dataclass(frozen=True, slots=True)
class _Room:
    """Angles that depths hold, with their limits, and the limits of all sizes."""

    held: tuple[_Angle, ...]
    sizes: tuple[Limits | None, ...]


def _room_of(model: Model, grade: Grade) -> _Room:
    groups: dict[str, list[int]] = {}
    for i, item in enumerate(model.responses):
        if item.held:
            groups.setdefault(item.hit_of or f" {item.bend_id}", []).append(i)
    held = []
    for places in groups.values():
        first = model.responses[places[0]]
        whole = replace(first, target_included_deg=180.0 - len(places) * (180.0 - first.target_included_deg))
        name = first.hit_of or first.bend_id
        held.append(_Angle(name, tuple(places), whole.target_included_deg, angle_limits(whole, grade)))
    return _Room(tuple(held), tuple(size_limits(rule, grade) for rule in model.rules))


def _bends(model: Model, slopes: Array, outcome: Outcome, room: _Room) -> tuple[Doubted, ...]:
    return tuple(
        _doubted(
            model,
            angle.change(outcome.included_deg),
            angle.change(slopes),
            limits=angle.limits,
            name=angle.name,
            kind="included_angle",
            unit="deg",
            about=f"bend {angle.name}",
            aim=angle.aim,
        )
        for angle in room.held
    )


def _sizes(model: Model, slopes: Array, outcome: Outcome, room: _Room) -> tuple[Doubted, ...]:
    return tuple(
        _doubted(
            model,
            outcome.size_mm[:, k],
            slopes[:, k],
            limits=room.sizes[k],
            name=rule.name,
            kind=rule.kind,
            unit="mm",
            about=f"flange {rule.flange_id}",
            aim=rule.aimed_mm,
        )
        for k, rule in enumerate(model.rules)
    )


def _doubted(model: Model, change: Array, slopes: Array, *, limits: Limits | None, aim: float, **words: Any) -> Doubted:
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


def _remedies(model: Model, outcomes: dict[str, Outcome], room: _Room) -> tuple[Remedy, ...]:
    def results(outcome: Outcome) -> Iterable[Remedied]:
        for angle in room.held:
            yield _result(angle.name, angle.aim + angle.change(outcome.included_deg), angle.limits)
        for k, (rule, own) in enumerate(zip(model.rules, room.sizes, strict=True)):
            yield _result(rule.name, rule.aimed_mm + outcome.size_mm[:, k], own)

    return tuple(
        Remedy(name=name, words=words, results=tuple(results(outcomes[name])))  # type: ignore[arg-type]
        for name, words in WORDS.items()
    )


def _result(name: str, values: Array, limits: Limits | None) -> Remedied:
    return Remedied(
        name=name,
        standard_deviation=float(values.std()),
        cpk=None if limits is None else cpk_of(values, limits),
    )
