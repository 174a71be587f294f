"""Why does no way of tooling lead to an order?"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bendwright.findings import Finding, found
from bendwright.part.model import Part
from bendwright.plan.explain import Obstacle, real_stacks
from bendwright.plan.nearest import nearest_order
from bendwright.plan.situation import Situation
from bendwright.plan.tables import Tables
from bendwright.plan.what_helps import what_helps
from bendwright.said import figure, in_both, joined, listed, phrase, say, unstopped
from bendwright.shop.tools import Die
from bendwright.stroke.die_choice import usual_opening_mm
from bendwright.stroke.result import Check

NUMBERS = re.compile(r"\d+\.\d+")
NO_STATIONS = (
    "every stroke can be done, but no set of stations was found that the drawer can fill and that does them all"
)
MOST_BLOCKED = 4
"""So many blocked strokes of an order are told."""


def reason_of(check: Check) -> str:
    """A refusal in words."""
    if check.limit is None:
        return joined(": ", (phrase(check.name), unstopped(check.rule)))
    return say("order.check_against", check=phrase(check.name), value=check.value, limit=check.limit, unit=check.unit)


def no_die(
    part: Part,
    looked: Sequence[Situation],
    unfit: Mapping[str, Finding],
    dies: Sequence[Die],
    *,
    thickness_mm: float,
    wished_die: str | None,
) -> list[Finding]:
    """For every bend that no die suits: each die near the usual opening with all its refusals (``unfit``: why the blank cannot even be
    laid out with a die, by its id).
    """
    usual = usual_opening_mm(thickness_mm)
    near = {die.id for die in dies if 0.4 * usual <= die.opening_mm <= 2.5 * usual and wished_die in (None, die.id)}
    near = near or {die.id for die in dies}
    openings = {die.id: die.opening_mm for die in dies}
    if near and near <= set(unfit):
        usual_die = min(near, key=lambda die: (abs(math.log(openings[die] / usual)), die))
        return [unfit[usual_die]]
    out = []
    for i, bend in enumerate(part.bends):
        if any(s.verdicts[i].verdict != "no" for s in looked):
            continue
        reasons = {die: finding.sentence for die, finding in unfit.items() if die in near}
        for situation in looked:
            verdict = situation.verdicts[i]
            if verdict.die.id in near:
                reasons.setdefault(verdict.die.id, joined(", ", map(reason_of, verdict.refusals())))
        told = [joined(": ", (die, unstopped(why))) for die, why in reasons.items()]
        text = joined("; ", told) if told else phrase("the cabinet holds none")
        if len(near) < len(dies) and wished_die is None:
            text = say("order.others_far", text=phrase(text), usual=usual)
        out.append(found("O102", where=f"bend {bend.id}", bend=bend.id, reasons=phrase(text)))
    return out or [
        found("O102", where="part", bend=part.bends[0].id, reasons=phrase("no punch suits the dies that fit"))
    ]


@dataclass(frozen=True, slots=True)
class Failure:
    """A way of tooling that led nowhere: its dies and brake, and what blocks strokes of the order that comes nearest, the worst first; or
    why its stations do not fit on the bed (``layout``).
    """

    dies: str
    brake: str
    blocked: tuple[Obstacle, ...] = ()
    layout: str = ""

    @property
    def lack_mm(self) -> float:
        """The millimetres that lack at worst; infinite where it is not a matter of millimetres."""
        known = self.blocked and all(item.mm is not None for item in self.blocked)
        return -(self.blocked[0].mm or 0.0) if known else math.inf


def told(failed: Sequence[Failure]) -> list[Finding]:
    """Each set of dies once, by its way that comes nearest. A finding has one reason and what helps against it: first what is worst with
    some dies (O101), then what must be cured beside it (O132), the nearest to a cure first.
    """
    best: dict[str, Failure] = {}
    for item in failed:
        before = best.get(item.dies)
        if before is None or item.lack_mm < before.lack_mm:
            best[item.dies] = item
    nearest = sorted(best.values(), key=lambda item: item.lack_mm)
    worst = [(item, item.blocked[0]) for item in nearest if not item.layout]
    beside = [(item, other) for item in nearest for other in item.blocked[1:MOST_BLOCKED]]
    layouts = dict.fromkeys(item.layout for item in nearest if item.layout)
    return [
        *_one_each("O101", worst),
        *(found("O108", reason=phrase(text)) for text in layouts),
        *_one_each("O132", beside),
    ]


def _one_each(code: str, said: Sequence[tuple[Failure, Obstacle]]) -> list[Finding]:
    """The same reason under several dies is one finding."""
    groups: dict[str, list[tuple[Failure, Obstacle]]] = {}
    for failure, item in said:
        groups.setdefault(NUMBERS.sub("#", _of_any_die(failure, item.sentence)), []).append((failure, item))
    for group in groups.values():
        group.sort(key=lambda one: _lack(one[1]))
    return [_finding(code, group) for group in sorted(groups.values(), key=lambda group: _lack(group[0][1]))]


def _finding(code: str, group: Sequence[tuple[Failure, Obstacle]]) -> Finding:
    failure, nearest = group[0]
    dies: dict[str, list[str]] = {}
    for other, item in group:
        dies.setdefault(f"{_lack(item):.1f} mm", []).append(other.dies)
    names = [name for same in dies.values() for name in same]
    reason = nearest.sentence if len(names) == 1 else _of_any_die(failure, nearest.sentence)
    if len(dies) > 1:
        lacks = [say("order.lack_with", lack=figure(lack), dies=listed(same)) for lack, same in dies.items()]
        reason = say("order.lacks", reason=reason, lacks=joined(", ", lacks))
    words = f"die{'s' * (len(names) > 1)} {listed(names)}"
    return found(code, dies=phrase(words), brake=failure.brake, reason=phrase(reason), cure=phrase(what_helps(nearest)))


def _of_any_die(failure: Failure, sentence: str) -> str:
    """The sentence without the name of the die."""
    names = "|".join(re.escape(name) for name in failure.dies.split(" + "))
    return in_both(lambda text: re.sub(rf"\b(die|Matrize) (?:{names})(?![\w-])", r"\1", text), sentence)


def _lack(item: Obstacle) -> float:
    return math.inf if item.mm is None else -item.mm


def failure_of(tables: Tables, layouts: Sequence[tuple[float, str]]) -> Failure:
    """What stops a way of tooling: the bed, where stations were found that do not fit on it (``layouts``: length, complaint), or the order
    that comes nearest.
    """
    dies = " + ".join(dict.fromkeys(die.id for die in tables.situation.dies))
    brake = tables.situation.brake.id
    if layouts:
        return Failure(dies, brake, layout=min(layouts)[1])
    blocked = nearest_order(tables, real_stacks(tables)) or [Obstacle(0, 0, NO_STATIONS, "stations", None)]
    return Failure(dies, brake, tuple(sorted(blocked, key=lambda item: (-round(_lack(item), 1), item.sentence))))
