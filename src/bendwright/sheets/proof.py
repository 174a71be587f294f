"""How good is the plan, as far as it is proven? In words, with the seconds that may still be in it."""

from __future__ import annotations

from dataclasses import dataclass

from bendwright.plan.result import Plan
from bendwright.said import figure, say
from bendwright.sheets.plan_words import fixed


@dataclass(frozen=True, slots=True)
class Proof:
    """``proven``: no cheaper order exists among the candidates. ``gap_s``: seconds per piece over what no order of any stations can
    come below (those seconds count no walking and no second set-up, so a gap stays open even where the best is proven).
    """

    proven: bool
    words: str
    gap_s: float


def proof_of(plan: Plan) -> Proof:
    """What the search showed of the plan."""
    gap = max(plan.times.cycle_s - plan.lower_bound_s, 0.0)
    least = say("proof.least", lower_bound_s=figure(fixed(plan.lower_bound_s, 0)))
    if plan.optimal:
        words = say("proof.none_cheaper", least=least)
    elif gap < 0.5:
        words = say("proof.as_fast", least=least)
    else:
        words = say("proof.may_exist", gap=figure(fixed(gap, 0)), least=least)
    return Proof(plan.optimal, words, gap)
