"""From the planner's refusal to what would cure it, with all the shop has."""

from __future__ import annotations

from bendwright.findings import NotPossibleError
from bendwright.part.aim import aimed
from bendwright.part.model import Part
from bendwright.plan.choose import Tooling, choose
from bendwright.plan.cures.clues import clues_in
from bendwright.plan.cures.look import Solves, cures_of
from bendwright.plan.cures.records import Cures, Others
from bendwright.shop.shop import Shop


def can_be_made(part: Part, tooling: Tooling) -> bool:
    """The planner's own answer for a part as drawn."""
    try:
        choose(aimed(part), tooling, quantity=1)
    except NotPossibleError:
        return False
    return True


def cures_of_refusal(
    part: Part,
    tooling: Tooling,
    refusal: NotPossibleError,
    *,
    shop: Shop,
    solves: Solves,
    seconds: float,
    most_solves: int | None = None,
) -> Cures:
    """The cures of a part (as drawn) refused with this tooling; the refusal's own words say where to look first."""
    sentences = [finding.sentence for finding in refusal.findings]
    clues = clues_in(part, sentences, tools=[punch.id for punch in tooling.punches])
    others = Others(dies=shop.cabinet.dies, punches=shop.cabinet.punches, brakes=tuple(shop.brakes.values()))
    return cures_of(part, tooling, solves=solves, seconds=seconds, clues=clues, others=others, most_solves=most_solves)
