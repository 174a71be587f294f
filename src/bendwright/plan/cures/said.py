"""The cures as findings, to stand beside the refusal they belong to."""

from __future__ import annotations

import re
from typing import Any

from bendwright.findings import Finding, found
from bendwright.plan.cures.records import Cures

MOST_NAMED = 6


def findings_of(cures: Cures) -> tuple[Finding, ...]:
    """A note for every cure, the cheapest first; what time was left out (O151), or that nothing helped (O152)."""
    said = [found("O150", where=cure.kind.replace("_", " "), cure=cure.sentence) for cure in cures.cures]
    spent: dict[str, Any] = {"solves": cures.solves, "seconds": cures.seconds}
    if cures.not_tried:
        said.append(found("O151", count=len(cures.cures), left=_listed(cures.not_tried), **spent))
    elif not cures.cures:
        said.append(found("O152", without=_listed(cures.without), **spent))
    return tuple(said)


_APPLIED = (
    (re.compile(r"use die (\S+?)(?: instead of \S+| with punch (\S+))?$"), ("die", "punch")),
    (re.compile(r"use punch (\S+) instead of .+$"), ("punch",)),
    (re.compile(r"hang punch \S+ beside .+$"), ("punch",)),
    (re.compile(r"make it on brake (\S+) with other tools of the cabinet$"), ("brake", "die", "punch")),
    (re.compile(r"make it on brake (\S+)$"), ("brake",)),
)


def wishes_of(cure: str) -> dict[str, str | None] | None:
    """What a person would wish ("die", "punch", "brake"; None = leave it open) to plan again with a told cure; None where it takes more
    than a wish: another drawing, a tool to buy.
    """
    for pattern, names in _APPLIED:
        match = pattern.match(cure)
        if match:
            given = (*match.groups(), *[None] * len(names))
            return dict(zip(names, given, strict=False))
    return None


def _listed(names: tuple[str, ...]) -> str:
    """The first few names, and how many more there are."""
    more = len(names) - MOST_NAMED
    return ", ".join(names[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
