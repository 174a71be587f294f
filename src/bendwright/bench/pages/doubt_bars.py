"""How much the pieces will vary: a bar for every size and angle, with its causes in words and what would help."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bendwright.doubt.result import Doubted, PlanDoubt, Remedy
from bendwright.doubt.sentences import best_remedy
from bendwright.doubt.spreads import CAUSE_WORDS
from bendwright.sheets.doubt_section import verdict
from bendwright.sheets.shown import Shown, angle, length, percent, plain


@dataclass(frozen=True, slots=True, kw_only=True)
class CauseShown:
    """What makes a share of the spread."""

    words: str
    share: Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class SpreadBar:
    """One angle or size: aim, the limits that hold 95 of 100 pieces, the tolerance (None = not known), Cpk, share outside, causes with
    the largest first, and what helps most with the Cpk it brings.

    ``verdict``: kept, tight, not kept, no limit.
    """

    name: str
    about: str
    kind: str
    aim: Shown
    low: Shown
    high: Shown
    lower: Shown | None
    upper: Shown | None
    cpk: Shown
    outside: Shown
    verdict: str
    source: str
    causes: list[CauseShown]
    helps: str
    helped_cpk: Shown | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DoubtShown:
    """The spread of a plan's angles and sizes, against which tolerance, in how many made-up pieces, and in sentences."""

    tolerance_class: str
    class_source: str
    samples: int
    sentences: list[str]
    bars: list[SpreadBar]


def doubt_shown(doubt: PlanDoubt | None) -> DoubtShown | None:
    """The bars of a plan; None where its spread was not studied."""
    if doubt is None:
        return None
    return DoubtShown(
        tolerance_class=doubt.tolerance_class,
        class_source=doubt.class_source,
        samples=doubt.samples,
        sentences=list(doubt.sentences),
        bars=[_bar(item, doubt.remedies) for item in (*doubt.sizes, *doubt.bends)],
    )


def _bar(item: Doubted, remedies: Sequence[Remedy]) -> SpreadBar:
    room = item.capability
    helped = best_remedy(item, remedies) if verdict(item) != "kept" else None
    return SpreadBar(
        name=item.name,
        about=item.about,
        kind=item.kind,
        aim=_number(item, item.aim),
        low=_number(item, item.low),
        high=_number(item, item.high),
        lower=None if room is None else _number(item, room.lower, room.source),
        upper=None if room is None else _number(item, room.upper, room.source),
        cpk=plain(room.cpk if room else None, decimals=2, source=room.source if room else None),
        outside=percent(None if room is None else 100.0 * room.outside, decimals=1),
        verdict=verdict(item),
        source="" if room is None else room.source,
        causes=[CauseShown(words=CAUSE_WORDS[one.cause], share=percent(100.0 * one.share)) for one in item.shares],
        helps=helped[0].words if helped else "",
        helped_cpk=plain(helped[1], decimals=2) if helped else None,
    )


def _number(item: Doubted, value: float, source: str | None = None) -> Shown:
    if item.unit == "deg":
        return angle(value, decimals=2, source=source)
    return length(value, source=source)
