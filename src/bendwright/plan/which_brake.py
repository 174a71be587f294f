"""Which of the brakes that can make a part should?

A brake that is to press with less force than it can hold steadily may not hold the angle: one that can is taken before it, whatever
its hour costs (trade practice: the small part goes to the small brake). Of those alike in that the cheapest hour is asked first, else
the shop's order stands. Only brakes that would better hold the strokes found are searched after the first that can.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from bendwright.findings import Finding, found
from bendwright.part.aim import aimed
from bendwright.part.model import Part
from bendwright.plan.build import plan_of
from bendwright.plan.choose import Chosen, Tooling, choose
from bendwright.plan.hearing import Heard
from bendwright.plan.result import Plan
from bendwright.shop.brake import Brake

LEAST_FORCE = "least force"


@dataclass(frozen=True, slots=True)
class Made:
    """A part with its large radii divided into hits, what is to be said of those, and its plan on the brake of the tooling."""

    part: Part
    tooling: Tooling
    chosen: Chosen
    plan: Plan
    bumped: tuple[Finding, ...]


def made_with(
    part: Part, tooling: Tooling, bumped: tuple[Finding, ...], *, quantity: int, heard: Heard | None = None
) -> Made:
    """The plan on the brake of the tooling, of a part as ``Made`` has it; ``heard`` as of ``plan.choose.choose``. Raises NotPossibleError
    when that brake cannot.
    """
    chosen = choose(aimed(part), tooling, quantity=quantity, heard=heard)
    plan = plan_of(part, chosen, tooling, quantity=quantity, made_on=date.today())
    return Made(part, tooling, chosen, plan, bumped)


def best_made(brakes: Iterable[Brake], make: Callable[[Brake], Made | None]) -> tuple[Made | None, tuple[Finding, ...]]:
    """The best of what ``make`` gives (None: that brake cannot), and a note (O133) for every brake that can and is not taken.
    Where a search was ended early no other brake is searched after it.
    """
    best: Made | None = None
    notes: list[Finding] = []
    waiting = list(brakes)
    while waiting:
        made = make(waiting.pop(0))
        enough = made is not None and made.chosen.ended
        if made is not None and best is not None:
            best, made = (made, best) if _better(made, best) else (best, made)
            notes.append(_note(made))
        best = best or made
        if best is not None:
            waiting = [] if enough else _that_may_be_better(best, waiting)
    return best, tuple(notes)


def unsteady_kn(plan: Plan, brake: Brake) -> tuple[float, ...]:
    """Forces of the strokes that are below what a brake can hold [kN], lower end of their band; none where the brake does not say."""
    forces = [check.value for stroke in plan.strokes for check in stroke.checks if check.name == LEAST_FORCE]
    return tuple(force for force in forces if brake.min_force_kn is not None and force < brake.min_force_kn)


def _short_kn(plan: Plan, brake: Brake) -> float:
    """What lacks to the force a brake can hold, over all strokes of a plan [kN]."""
    return sum((brake.min_force_kn or 0.0) - force for force in unsteady_kn(plan, brake))


def _that_may_be_better(best: Made, brakes: Sequence[Brake]) -> list[Brake]:
    """The brakes that say how little they can hold and come nearer to these forces; the nearest first, then the cheapest hour."""
    own = _short_kn(best.plan, best.tooling.brake)
    short = {brake.id: _short_kn(best.plan, brake) for brake in brakes if brake.min_force_kn is not None}
    nearer = [brake for brake in brakes if short.get(brake.id, own) < own]
    return sorted(
        nearer, key=lambda brake: (short[brake.id], math.inf if brake.rate_per_h is None else brake.rate_per_h)
    )


def _better(one: Made, other: Made) -> bool:
    """Less lacks to the force it can hold; then less money for the job, less time where an hour of one of them has no price."""
    priced = None not in (one.tooling.brake.rate_per_h, other.tooling.brake.rate_per_h)

    def burden(made: Made) -> tuple[float, float]:
        plan, brake = made.plan, made.tooling.brake
        seconds = plan.times.setup_s + plan.quantity * plan.times.cycle_s
        return _short_kn(plan, brake), seconds * ((brake.rate_per_h or 0.0) if priced else 1.0)

    return burden(one) < burden(other)


def _note(made: Made) -> Finding:
    plan, brake = made.plan, made.tooling.brake
    low = len(unsteady_kn(plan, brake))
    return found(
        "O133",
        where=f"brake {brake.id}",
        brake=brake.id,
        seconds=plan.times.cycle_s,
        count=low,
        strokes=len(plan.strokes),
        least=brake.min_force_kn,
    )
