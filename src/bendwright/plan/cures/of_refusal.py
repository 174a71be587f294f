"""From the planner's refusal to what would cure it, with all the shop has."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from bendwright.findings import Finding, NotPossibleError
from bendwright.part.aim import aimed
from bendwright.part.model import Part
from bendwright.plan.choose import Tooling, choose
from bendwright.plan.cures.applied import Applied, applied
from bendwright.plan.cures.clues import clues_in
from bendwright.plan.cures.look import Solves, cures_of
from bendwright.plan.cures.records import Cures, Others
from bendwright.plan.cures.said import findings_of
from bendwright.shop.shop import Shop

SEARCHED = frozenset({"O101", "O108"})
"""Refusals of an order or of stations: what a cure may be looked for."""


class CurableError(NotPossibleError):
    """A refusal whose cures were looked for; ``cures`` in the order of their findings."""

    def __init__(self, findings: Iterable[Finding], cures: Sequence[Applied]) -> None:
        super().__init__(findings)
        self.cures = tuple(cures)


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


def with_cures(
    refused: Sequence[Finding],
    drawn: Part,
    failed: Sequence[tuple[Part, Tooling, NotPossibleError]],
    *,
    shop: Shop,
    seconds: float,
) -> NotPossibleError:
    """The refusal of a job, with the findings of its cures, each solved again: looked for at most ``seconds`` with the first tooling
    that was refused for its order or stations (``failed``: what was bent, with what, why not).
    """
    searched = [item for item in failed if any(finding.code in SEARCHED for finding in item[2].findings)]
    if seconds <= 0.0 or not searched:
        return NotPossibleError(refused)
    bent, tooling, refusal = searched[0]
    cures = cures_of_refusal(bent, tooling, refusal, shop=shop, solves=can_be_made, seconds=seconds)
    told = [applied(cure, tooling, drawn=drawn, bent=bent) for cure in cures.cures]
    return CurableError([*refused, *findings_of(cures)], told)
