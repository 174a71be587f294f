"""The doubt in plain words: what makes most of each spread, and what would help."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from bendwright.doubt.result import Doubted, Remedy
from bendwright.doubt.spreads import CAUSE_WORDS
from bendwright.said import figure, phrase, say

GOOD_CPK = 1.33
NEARLY = 0.8
"""The remedy for the chief cause is named when it wins this share of what the best single remedy wins."""
FOR_CAUSE = {
    "thickness": "measure_sheets",
    "strength": "first_piece",
    "friction": "first_piece",
    "modulus": "first_piece",
    "ram": "better_ram",
    "gauge": "better_gauge",
    "cut_edge": "better_cut",
}


def sentences_of(bends: Sequence[Doubted], sizes: Sequence[Doubted], remedies: Sequence[Remedy]) -> tuple[str, ...]:
    """One sentence per group of bends that spread alike, then one on the leg that keeps its tolerance worst."""
    lines = []
    for alike in grouped(bends):
        many = "doubt.bends" if len(alike) > 1 else "doubt.bend"
        lines.append(_sentence(say(many, names=", ".join(item.name for item in alike)), alike[0], remedies))
    worst = worst_size(sizes)
    return (
        (*lines, _sentence(say("doubt.worst_size", worst=phrase(worst.name)), worst, remedies))
        if worst
        else tuple(lines)
    )


def grouped(items: Sequence[Doubted]) -> list[list[Doubted]]:
    """Angles or sizes that print alike, in their order."""
    groups: dict[tuple[object, ...], list[Doubted]] = {}
    for item in items:
        room = item.capability
        key = (round(item.aim, 1), f"{item.standard_deviation:.1g}", room and (room.cpk and f"{room.cpk:.1f}"))
        groups.setdefault(key, []).append(item)
    return list(groups.values())


def worst_size(sizes: Iterable[Doubted]) -> Doubted | None:
    """The leg with the least Cpk; openings, which no drawing asks for, are left out."""
    legs = [item for item in sizes if item.kind == "leg" and item.capability and item.capability.cpk is not None]
    return min(legs, key=lambda item: cpk_or_inf(item), default=None)


def best_remedy(item: Doubted, remedies: Sequence[Remedy]) -> tuple[Remedy, float] | None:
    """What to do about one angle or size, and the Cpk it brings: against the chief cause if that helps nearly as much as anything, else
    the best single one, else both measurements together; None where nothing helps.
    """
    if not item.shares or item.capability is None or item.capability.cpk is None:
        return None
    now = item.capability.cpk
    after: dict[str, tuple[Remedy, float]] = {remedy.name: (remedy, _after(remedy, item)) for remedy in remedies}
    singles = {name: entry for name, entry in after.items() if name != "both"}
    best = max(singles, key=lambda name: singles[name][1])
    chief = FOR_CAUSE[item.shares[0].cause]
    name = chief if singles[chief][1] - now >= NEARLY * (singles[best][1] - now) else best
    if singles[name][1] < 1.0 and after["both"][1] > singles[name][1] + 0.1:
        name = "both"
    remedy, cpk = after[name]
    return (remedy, cpk) if cpk > now + 0.05 else None


def _sentence(what: str, item: Doubted, remedies: Sequence[Remedy]) -> str:
    room = item.capability
    if not item.shares:
        return say("doubt.nothing_varies", what=what)
    unit = "°" if item.unit == "deg" else " mm"
    chief = item.shares[0]
    spread = say(
        "doubt.spread",
        what=what,
        high=0.5 * (item.high - item.low),
        unit=unit,
        share=100 * chief.share,
        CAUSE_WORDS=phrase(CAUSE_WORDS[chief.cause]),
    )
    if room is None or room.cpk is None:
        return say("doubt.no_tolerance", spread=spread)
    allowed = figure(f"±{0.5 * (room.upper - room.lower):.2g}{unit}")
    if room.cpk >= GOOD_CPK:
        return say("doubt.kept", spread=spread, allowed=allowed, cpk=room.cpk)
    share = figure(f"{100 * room.outside:.{0 if room.outside >= 0.1 else 1}f} %")
    outside = say("doubt.outside", share=share, allowed=allowed, cpk=room.cpk)
    helped = best_remedy(item, remedies)
    if helped is None:
        return say("doubt.outside_only", spread=spread, outside=outside)
    return say("doubt.helped", spread=spread, outside=outside, words=phrase(helped[0].words), helped=helped[1])


def _after(remedy: Remedy, item: Doubted) -> float:
    cpk = next(result.cpk for result in remedy.results if result.name == item.name)
    return float("inf") if cpk is None else cpk


def cpk_or_inf(item: Doubted) -> float:
    """Cpk of what has a tolerance and spreads, else infinity."""
    return item.capability.cpk if item.capability and item.capability.cpk is not None else float("inf")
