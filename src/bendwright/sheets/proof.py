"""How good is the plan, as far as it is proven? In words, with the seconds that may still be in it."""

from __future__ import annotations

from dataclasses import dataclass

from bendwright.plan.result import Plan
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
    least = f"no order can take less than {fixed(plan.lower_bound_s, 0)} s a piece"
    if plan.optimal:
        words = f"no cheaper order exists with these dies and the pieces in the cabinet; {least}"
    elif gap < 0.5:
        words = f"as fast as any order can be: {least}"
    else:
        words = f"a better order may exist, at most {fixed(gap, 0)} s a piece faster; {least}"
    return Proof(plan.optimal, words, gap)
