"""Why does no way of tooling lead to an order?"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bendwright.findings import Finding, found
from bendwright.part.model import Part
from bendwright.plan.explain import Obstacle, nearest_order, real_stacks
from bendwright.plan.situation import Situation
from bendwright.plan.tables import Tables
from bendwright.shop.tools import Die
from bendwright.stroke.die_choice import usual_opening_mm
from bendwright.stroke.result import Check


def reason_of(check: Check) -> str:
    """A refusal in words."""
    if check.limit is None:
        return f"{check.name}: {check.rule.rstrip('.')}"
    return f"{check.name} {check.value:.2f} against {check.limit:.2f} {check.unit}"


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
                reasons.setdefault(verdict.die.id, ", ".join(reason_of(check) for check in verdict.refusals()))
        text = "; ".join(f"{die}: {why.rstrip('.')}" for die, why in reasons.items()) or "the cabinet holds none"
        if len(near) < len(dies) and wished_die is None:
            text += f"; the others are far from the usual {usual:.0f} mm"
        out.append(found("O102", where=f"bend {bend.id}", bend=bend.id, reasons=text))
    return out or [found("O102", where="part", bend=part.bends[0].id, reasons="no punch suits the dies that fit")]


@dataclass(frozen=True, slots=True)
class Failure:
    """A way of tooling that led nowhere: its dies, the finding, the millimetres that lack (None: not a matter of mm)."""

    dies: str
    finding: Finding
    lack_mm: float | None


def told(failed: Sequence[Failure]) -> list[Finding]:
    """Each set of dies once, by its way that comes nearest."""
    best: dict[str, Failure] = {}
    for item in failed:
        before = best.get(item.dies)
        if before is None or _far(item) < _far(before):
            best[item.dies] = item
    return [item.finding for item in sorted(best.values(), key=_far)]


def _far(failure: Failure) -> float:
    return math.inf if failure.lack_mm is None else failure.lack_mm


def failure_of(tables: Tables, layouts: Sequence[tuple[float, str]]) -> Failure:
    """What stops a way of tooling: the bed, where stations were found that do not fit on it (``layouts``: length, complaint), or the order
    that comes nearest.
    """
    dies = ", ".join(dict.fromkeys(die.id for die in tables.situation.dies))
    if layouts:
        return Failure(dies, found("O108", reason=min(layouts)[1]), None)
    obstacles = nearest_order(tables, real_stacks(tables))
    reason = "; ".join(item.sentence for item in obstacles[:4])
    reason = (
        reason
        or "every stroke can be done, but no set of stations was found that the drawer can fill and that does them all"
    )
    finding = found("O101", die=dies, brake=tables.situation.brake.id, reason=reason, cure=_cure(obstacles))
    known = obstacles and all(item.mm is not None for item in obstacles)
    return Failure(dies, finding, -(obstacles[0].mm or 0.0) if known else None)


def _cure(obstacles: Sequence[Obstacle]) -> str:
    best = obstacles[0] if obstacles else None
    if best is None or best.mm is None:
        return "Change the part, the tools or the brake."
    if best.against.startswith("shoulder"):
        return f"Take a narrower die, or make the flange {-best.mm:.2f} mm longer; an offset tool makes a short step in one stroke."
    if not best.against.startswith(("punch", "die", "ram", "bed")):
        return f"At least {-best.mm:.2f} mm must be gained there: a longer edge, another gauge or a changed flange."
    return f"At least {-best.mm:.2f} mm must be gained there: a slimmer or deeper-throated tool, or a changed flange."
