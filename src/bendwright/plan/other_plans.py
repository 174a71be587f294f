"""Which other plans are worth a look? The best of each kind, and why it is there."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass, replace
from datetime import date
from functools import partial
from typing import Any, Literal, get_args

from bendwright.doubt.of_plan import doubt_of
from bendwright.findings import NotPossibleError
from bendwright.part.model import Part
from bendwright.plan.best_so_far import Effort
from bendwright.plan.build import plan_of
from bendwright.plan.choose import Chosen, Tooling, chosen_again
from bendwright.plan.figures import Figures, Marked, figures_of, marked_of
from bendwright.plan.other_seconds import as_fits, flips_first, light_side_first, stations_first
from bendwright.plan.other_words import asks_of, spread_of, why_of
from bendwright.plan.result import Plan
from bendwright.plan.tables import Tables

SCHEMA = "bendwright-other-plans/1"
Kind = Literal["least time", "fewest flips and turns", "fewest stations and pieces", "one person", "best accuracy"]
KINDS: tuple[Kind, ...] = get_args(Kind)
CLOSER = 0.95
"""A plan is shown for its accuracy where its spread is at most this share of the best shown."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """A kind a plan is the best of, and whether the search proved that none is better (with the dies chosen)."""

    kind: Kind
    proven: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WorthALook:
    """A plan with its figures and the kinds it is the best of; a sentence for each kind, one for what the plan asks, one for how its sizes
    spread.
    """

    plan: Plan
    figures: Figures
    claims: tuple[Claim, ...]
    why: tuple[str, ...]
    asks: str
    spread: str

    @property
    def name(self) -> str:
        """What it is called by: the first kind it is the best of."""
        return self.claims[0].kind

    @property
    def folder(self) -> str:
        """The name of a folder for it."""
        return self.name.replace(" ", "-")


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherPlans:
    """The plan itself first, then the others in the order of their kinds. ``left_out`` are kinds of which none was found in time."""

    marked: Marked
    plans: tuple[WorthALook, ...]
    left_out: tuple[Kind, ...]


def as_data(looked: OtherPlans) -> dict[str, Any]:
    """Everything but the plans themselves as plain JSON: what marks the sizes, figures, claims and reasons of each plan, kinds left out."""
    plans: list[dict[str, Any]] = [
        {
            "name": item.name,
            "claims": [asdict(claim) for claim in item.claims],
            "why": [*item.why, item.asks, item.spread],
            "figures": {**asdict(item.figures), "spread_mm": item.figures.spread_mm},
        }
        for item in looked.plans
    ]
    return {"schema": SCHEMA, "marked": asdict(looked.marked), "plans": plans, "left_out": list(looked.left_out)}


@dataclass(frozen=True, slots=True)
class Seen:
    """A plan made on the way: for which kind, its figures, and whether the search for it was complete."""

    kind: Kind
    plan: Plan
    figures: Figures
    proven: bool


Change = Callable[[Tables], Tables]
Measure = Callable[[Figures], tuple[float, ...]]
Prices = Callable[[Tables, int], Tables]
COUNTED: dict[Kind, tuple[Prices, Measure]] = {
    "fewest flips and turns": (flips_first, lambda f: (f.flips, f.turns)),
    "fewest stations and pieces": (stations_first, lambda f: (f.stations, f.set_ups, f.pieces)),
    "one person": (light_side_first, lambda f: (f.heavy_behind,)),
}


def other_plans(part: Part, tooling: Tooling, chosen: Chosen, plan: Plan, *, seconds: float) -> OtherPlans:
    """The best plan of each kind that can be found in about so many seconds, beside the plan made of the same part, tooling and order
    ``chosen``.

    A plan that is no better than one shown in what its kind counts is left out; the plan shown gets the claim.
    """
    ends = time.monotonic() + seconds
    job = _Job(part, tooling, chosen, plan.quantity, date.fromisoformat(plan.made_on), marked_of(part))
    main = Seen("least time", *job.with_figures(plan, chosen), plan.optimal)
    counted = [main]
    for number, (kind, (prices, _)) in enumerate(COUNTED.items()):
        share = (ends - time.monotonic()) / (len(COUNTED) + 1 - number)
        counted += job.seen(kind, partial(_priced, prices, plan.quantity), share)
    held = partial(as_fits, flange_ids=job.marked.flange_ids, pins=tooling.pins)
    accurate = list(job.seen("best accuracy", held, ends - time.monotonic()))
    return _worth(job.marked, main, counted, accurate)


def _priced(prices: Prices, quantity: int, tables: Tables) -> Tables:
    return prices(tables, quantity)


@dataclass(frozen=True, slots=True)
class _Job:
    """What all searches share."""

    part: Part
    tooling: Tooling
    chosen: Chosen
    quantity: int
    made_on: date
    marked: Marked

    def seen(self, kind: Kind, change: Change, seconds: float) -> Iterator[Seen]:
        """The plan of the cheapest order after a change; nothing where none is found in time or a stroke of it may not be made."""
        if seconds <= 0.0:
            return
        found = chosen_again(self.chosen, change, quantity=self.quantity, effort=Effort(seconds=seconds))
        if found is None:
            return
        own = self.chosen.tables
        tables = replace(found.solution.tables, situation=own.situation, heavy=own.heavy)
        bound_s = self.chosen.solution.bound_s
        solution = replace(found.solution, tables=tables, bound_s=bound_s, proven=False)
        found, proven = replace(found, solution=solution), found.solution.proven
        try:
            plan = plan_of(self.part, found, self.tooling, quantity=self.quantity, made_on=self.made_on)
        except NotPossibleError:
            return
        yield Seen(kind, *self.with_figures(plan, found), proven)

    def with_figures(self, plan: Plan, found: Chosen) -> tuple[Plan, Figures]:
        """A plan with its doubt studied, and the figures of it."""
        tools = self.tooling
        doubt = plan.doubt or doubt_of(
            self.part,
            plan.strokes,
            sheet=tools.sheet,
            dies=tools.dies,
            punches=tools.punches,
            brake=tools.brake,
            practice=tools.practice,
        )
        plan = replace(plan, doubt=doubt)
        return plan, figures_of(plan, self.marked, heavy_behind=_behind(self.chosen, found))


def _behind(chosen: Chosen, found: Chosen) -> int:
    """Strokes with the heavier side of the sheet behind the tools."""
    return sum(bool(chosen.tables.heavy[step.move, step.side]) for step in found.solution.steps)


def _worth(marked: Marked, main: Seen, counted: list[Seen], accurate: list[Seen]) -> OtherPlans:
    """Each kind's claim goes to the best plan of it; plans without a claim are left out."""
    holders: list[tuple[Seen, Claim]] = [(main, Claim(kind="least time", proven=main.proven))]
    for kind, (_, measure) in COUNTED.items():
        searched = [seen for seen in counted if seen.kind == kind]
        if searched:
            best = min(counted, key=partial(_rank, measure, main))
            proven = searched[0].proven or not any(measure(best.figures))
            holders.append((best, Claim(kind=kind, proven=proven)))
    shown = [seen for seen in counted if any(seen is holder for holder, _ in holders)]
    if accurate:
        best = min(shown, key=partial(_rank, _spread, main))
        closest = min([*counted, *accurate], key=partial(_rank, _spread, main))
        if closest.figures.spread_mm < CLOSER * best.figures.spread_mm:
            best = closest
            shown.append(closest)
        holders.append((best, Claim(kind="best accuracy", proven=False)))
    plans = [_told(seen, main, tuple(claim for holder, claim in holders if holder is seen)) for seen in shown]
    found = {claim.kind for _, claim in holders}
    return OtherPlans(marked=marked, plans=tuple(plans), left_out=tuple(kind for kind in KINDS if kind not in found))


def _told(seen: Seen, main: Seen, claims: tuple[Claim, ...]) -> WorthALook:
    own, its = seen.figures, main.figures
    why = tuple(why_of(claim.kind, own, its, proven=claim.proven) for claim in claims)
    asks, spread = asks_of(own, its, seen.plan.quantity), spread_of(own, its)
    return WorthALook(plan=seen.plan, figures=own, claims=claims, why=why, asks=asks, spread=spread)


def _rank(measure: Measure, main: Seen, seen: Seen) -> tuple[tuple[float, ...], bool, float]:
    """By what a kind counts; among equals the plan itself first, then the quickest."""
    return measure(seen.figures), seen is not main, round(seen.figures.lot_s, 1)


def _spread(figures: Figures) -> tuple[float, ...]:
    return (round(figures.spread_mm, 6),)
