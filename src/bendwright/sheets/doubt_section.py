"""How much the pieces will vary, on the setup sheet and in the terminal: few words, no colour."""

from __future__ import annotations

from typing import Any

from bendwright.doubt.result import Doubted, PlanDoubt
from bendwright.doubt.sentences import GOOD_CPK, best_remedy, cpk_or_inf, grouped, worst_size
from bendwright.doubt.spreads import CAUSE_WORDS
from bendwright.plan.result import Plan
from bendwright.sheets.plan_words import fixed, short

HEAD = ("what", "aim", "±", "allowed", "Cpk", "verdict", "chief causes", "what helps most, and the Cpk it brings")
MOST_ROWS = 4
LEAST_SHARE = 0.05
LONGEST_LINE = 105
"""Letters of the one line; a Letter or A4 sheet holds some 110 after its heading."""
SHORT_CURES = {
    "measure_sheets": "measure every sheet",
    "first_piece": "correct by each first piece",
    "both": "measure sheets, correct by first pieces",
    "better_ram": "a truer ram",
    "better_gauge": "a truer gauge",
    "better_cut": "truer blanks",
}


def doubt_section(plan: Plan, *, dense: bool) -> dict[str, Any] | None:
    """For the template: a table of the groups of bends and the worst sizes where there is room, else one line on the worst of both;
    None when the plan was not studied.
    """
    doubt = plan.doubt
    if doubt is None or not (doubt.bends or doubt.sizes):
        return None
    rows = [_row(names, items[0], doubt) for names, items in _told(doubt)]
    return {"line": doubt_line(doubt), "head": list(HEAD), "rows": [] if dense or len(rows) > MOST_ROWS else rows}


def doubt_line(doubt: PlanDoubt) -> str:
    """One short line: the bends and, where the line holds it, the leg that keep their tolerance worst, the chief cause of each, and
    what helps the bends.
    """
    told = [entry for entry in (_worst_angles(doubt), _worst_leg(doubt)) if entry]
    parts = []
    for names, items in told:
        item, few = items[0], f"{len(items)} bends" if len(items) > 2 else names
        chief = f" ({CAUSE_WORDS[item.shares[0].cause]})" if item.shares else ""
        parts.append(f"{few} ±{_half(item)}{_unit(item)} of ±{_allowed(item)}{chief}")
    helped = best_remedy(told[0][1][0], doubt.remedies) if told else None
    cure = f"; helps most: {SHORT_CURES[helped[0].name]}" if helped and verdict(told[0][1][0]) != "kept" else ""
    line = "; ".join(parts) + cure
    return line if len(line) <= LONGEST_LINE else parts[0] + cure


def verdict(item: Doubted) -> str:
    """``kept`` from Cpk 1.33 on, ``tight`` from 1, ``not kept`` below; ``no limit`` where no tolerance is known."""
    if item.capability is None:
        return "no limit"
    cpk = item.capability.cpk
    return "kept" if cpk is None or cpk >= GOOD_CPK else "tight" if cpk >= 1.0 else "not kept"


def all_rows(doubt: PlanDoubt) -> list[list[str]]:
    """Every angle and size in the columns of ``HEAD``."""
    return [_row(item.name, item, doubt) for item in (*doubt.bends, *doubt.sizes)]


def _told(doubt: PlanDoubt) -> list[tuple[str, list[Doubted]]]:
    """Groups of bends that spread alike, then the worst leg."""
    worst = _worst_leg(doubt)
    return [(_names(group), group) for group in grouped(doubt.bends)] + ([worst] if worst else [])


def _worst_angles(doubt: PlanDoubt) -> tuple[str, list[Doubted]] | None:
    groups = grouped(doubt.bends)
    worst = min(groups, key=lambda group: cpk_or_inf(group[0]), default=None)
    return (_names(worst), worst) if worst else None


def _worst_leg(doubt: PlanDoubt) -> tuple[str, list[Doubted]] | None:
    worst = worst_size(doubt.sizes)
    return (worst.name, [worst]) if worst else None


def _names(group: list[Doubted]) -> str:
    names = [item.name for item in group]
    return ", ".join(names) if len(names) < 5 else f"{names[0]} … {names[-1]} ({len(names)} bends)"


def _row(names: str, item: Doubted, doubt: PlanDoubt) -> list[str]:
    cpk = item.capability.cpk if item.capability else None
    helped = best_remedy(item, doubt.remedies) if verdict(item) != "kept" else None
    return [
        names,
        f"{short(item.aim, 2)}{_unit(item)}",
        _half(item),
        f"±{_allowed(item)}",
        "–" if cpk is None else fixed(cpk, 2),
        verdict(item),
        _causes(item, 3),
        f"{helped[0].words}: {fixed(helped[1], 2)}" if helped else "",
    ]


def _causes(item: Doubted, most: int) -> str:
    told = [share for share in item.shares[:most] if share.share >= LEAST_SHARE] or list(item.shares[:1])
    return ", ".join(f"{fixed(100.0 * share.share, 0)} % {CAUSE_WORDS[share.cause]}" for share in told)


def _half(item: Doubted) -> str:
    return fixed(0.5 * (item.high - item.low), 2)


def _allowed(item: Doubted) -> str:
    room = item.capability
    return "?" if room is None else short(0.5 * (room.upper - room.lower), 2)


def _unit(item: Doubted) -> str:
    return "°" if item.unit == "deg" else " mm"
