"""The cures as findings, to stand beside the refusal they belong to."""

from __future__ import annotations

from typing import Any

from bendwright.findings import Finding, found
from bendwright.plan.cures.records import Cures
from bendwright.said import joined, phrase, say

MOST_NAMED = 6


def findings_of(cures: Cures) -> tuple[Finding, ...]:
    """A note for every cure, the cheapest first; what time was left out (O151), or that nothing helped (O152)."""
    said = [found("O150", where=cure.kind.replace("_", " "), cure=phrase(cure.sentence)) for cure in cures.cures]
    spent: dict[str, Any] = {"solves": cures.solves, "seconds": cures.seconds}
    if cures.not_tried:
        said.append(found("O151", count=len(cures.cures), left=_listed(cures.not_tried), **spent))
    elif not cures.cures:
        said.append(found("O152", without=_listed(cures.without), **spent))
    return tuple(said)


def _listed(names: tuple[str, ...]) -> str:
    """The first few names, and how many more there are."""
    more = len(names) - MOST_NAMED
    first = joined(", ", map(phrase, names[:MOST_NAMED]))
    return say("cure.and_more", names=first, more=more) if more > 0 else first
