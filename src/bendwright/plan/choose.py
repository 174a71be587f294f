"""Which die, and with it which radius and blank? Tried in the order a setter would, each with its refusals kept."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from bendwright.findings import Finding, NotPossibleError, found
from bendwright.part.model import Part
from bendwright.plan.explain import Obstacle, nearest_order
from bendwright.plan.layout import lay_out
from bendwright.plan.result import ToolChoice
from bendwright.plan.search import MOST_BENDS, Prepared, Solution, cheapest, possible_strokes, prepare_tables
from bendwright.plan.situation import Situation, make_situation
from bendwright.shop.bend_table import BendTable
from bendwright.shop.brake import Brake
from bendwright.shop.practice import Practice
from bendwright.shop.sheet import Sheet
from bendwright.shop.tools import Die, Punch
from bendwright.stroke.die_choice import DieVerdict, usual_opening_mm
from bendwright.stroke.result import Check
from bendwright.stroke.sizing import natural_radius_mm

MOST_DIES_TRIED = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Tooling:
    """What may be used: dies, punches, sheet, practice, brake, bend table; ``wished_die`` is the one for all
    air bends, the flat tools press hems."""

    dies: tuple[Die, ...]
    punches: tuple[Punch, ...]
    sheet: Sheet
    practice: Practice
    brake: Brake
    bend_table: BendTable | None
    wished_die: str | None = None
    flat_punches: tuple[Punch, ...] = ()
    flat_dies: tuple[Die, ...] = ()


@dataclass(frozen=True, slots=True)
class Chosen:
    """The solution taken, every die looked at, and the attempts that failed."""

    solution: Solution
    choices: tuple[ToolChoice, ...]


def choose(part: Part, tooling: Tooling, *, quantity: int) -> Chosen:
    """The cheapest plan with the first die (or set of dies) that works; raises NotPossibleError when none does."""
    if not part.bends:
        raise NotPossibleError(found("O109"))
    if len(part.bends) > MOST_BENDS:
        raise NotPossibleError(found("O103", count=len(part.bends), most=MOST_BENDS))
    looked = _look(part, tooling)
    failed: list[Finding] = []
    for number, situation in enumerate(_assignments(part, tooling, looked)):
        if number >= MOST_DIES_TRIED:
            break
        prepared = prepare_tables(situation)
        layouts: list[str] = []
        solution = cheapest(prepared, quantity=quantity, accept=partial(_placed, layouts))
        if solution is not None:
            return Chosen(solution, _choices(looked, situation))
        failed.append(_failure(prepared, tooling, layouts))
    raise NotPossibleError(failed or _no_die(part, looked))


def blank_situation(part: Part, tooling: Tooling) -> Situation:
    """The situation whose blank would be cut, no order searched; raises NotPossibleError when no die suits."""
    if not part.bends:
        raise NotPossibleError(found("O109"))
    looked = _look(part, tooling)
    for situation in _assignments(part, tooling, looked):
        return situation
    raise NotPossibleError(_no_die(part, looked))


def _placed(said: list[str], solution: Solution) -> bool:
    complaints = lay_out(solution).complaints
    said.extend(complaints)
    return not complaints


def _look(part: Part, tooling: Tooling) -> list[Situation]:
    """Every die with every group of punches of equal effect on the radius, the radius the die gives first."""
    out = []
    for die in tooling.dies:
        if tooling.wished_die is not None and die.id != tooling.wished_die:
            continue
        for nose, punches in _nose_groups(die, tooling):
            dies = tuple(_die_for(part, i, die, tooling) for i in range(len(part.bends)))
            try:
                out.append(
                    make_situation(
                        part,
                        dies,
                        punches,
                        sheet=tooling.sheet,
                        practice=tooling.practice,
                        brake=tooling.brake,
                        bend_table=tooling.bend_table,
                        nose_mm=nose,
                    )
                )
            except NotPossibleError:
                continue
    return out


def _nose_groups(die: Die, tooling: Tooling) -> list[tuple[float, tuple[Punch, ...]]]:
    natural, _ = natural_radius_mm(
        sheet=tooling.sheet, practice=tooling.practice, opening_mm=die.opening_mm, punch_radius_mm=0.0
    )
    groups: dict[float, list[Punch]] = {}
    for punch in tooling.punches:
        if punch.kind != "flattening":
            nose = punch.nose_radius_mm if punch.nose_radius_mm > natural else 0.0
            groups.setdefault(nose, []).append(punch)
    return [(nose, tuple(groups[nose])) for nose in sorted(groups)]


def _die_for(part: Part, bend: int, die: Die, tooling: Tooling) -> Die:
    """The die itself; hems take the acute die whose opening suits the sheet best."""
    if part.bends[bend].kind == "bend":
        return die
    acute = [d for d in tooling.dies if d.kind == "vee" and d.angle_deg <= 35.0]
    usual = usual_opening_mm(tooling.sheet.thickness_mm)
    return min(acute, key=lambda d: (abs(math.log(d.opening_mm / usual)), d.id)) if acute else die


def _assignments(part: Part, tooling: Tooling, looked: list[Situation]) -> Iterator[Situation]:
    """Situations without a refusal, the liked ones first; then, if there is none, each bend with its own best die."""
    whole = [s for s in looked if all(v.verdict != "no" for v in s.verdicts) and _air(s)]
    yield from sorted(whole, key=_dislike)
    if whole:
        return
    picked: list[DieVerdict] = []
    for i in range(len(part.bends)):
        fine = [s for s in looked if s.verdicts[i].verdict != "no"]
        if not fine:
            return
        picked.append(min(fine, key=_dislike).verdicts[i])
    dies = tuple(verdict.die for verdict in picked)
    punches = tuple(p for p in tooling.punches if p.kind != "flattening")
    natural = [p for p in punches if all(p.nose_radius_mm <= v.size.inside_radius_mm for v in picked)]
    if natural:
        yield make_situation(
            part,
            dies,
            tuple(natural),
            sheet=tooling.sheet,
            practice=tooling.practice,
            brake=tooling.brake,
            bend_table=tooling.bend_table,
            nose_mm=0.0,
        )


def _air(situation: Situation) -> bool:
    return all(v.swing is not None for v in situation.verdicts)


def _dislike(situation: Situation) -> tuple[float, float, str]:
    """Sort key: dies with a watch later, then distance from the usual opening and from the drawn radius, then the id."""
    usual = usual_opening_mm(situation.sheet.thickness_mm)
    off, watch = 0.0, 0
    for verdict in situation.verdicts:
        off = max(off, abs(math.log(verdict.die.opening_mm / usual)))
        drawn = verdict.bend.drawn_radius_mm
        if drawn:
            off += 0.5 * abs(math.log(verdict.size.inside_radius_mm / drawn)) / len(situation.verdicts)
        names = {c.name for c in verdict.checks if c.verdict == "watch"} - {
            "least inside radius",
            "radius against drawing",
        }
        watch = max(watch, len(names))
    nose = min(p.nose_radius_mm for p in situation.punches)
    return (watch * 0.05 + off, nose, situation.dies[0].id)


def _choices(looked: list[Situation], taken: Situation) -> tuple[ToolChoice, ...]:
    out: dict[str, ToolChoice] = {}
    used = {die.id for die in taken.dies}
    for situation in looked:
        for verdict in situation.verdicts:
            if verdict.bend.kind != "bend":
                continue
            die = verdict.die
            refusals = [c for v in situation.verdicts for c in v.refusals()]
            before = out.get(die.id)
            if before is not None and (before.verdict != "refused" or refusals):
                continue
            state = "taken" if die.id in used else ("refused" if refusals else "possible")
            reason = (
                ", ".join(dict.fromkeys(_reason(check) for check in refusals))
                if refusals
                else f"{die.opening_mm / situation.sheet.thickness_mm:.1f} t"
            )
            out[die.id] = ToolChoice(
                die_id=die.id,
                opening_mm=die.opening_mm,
                inside_radius_mm=verdict.size.inside_radius_mm,
                verdict=state,  # type: ignore[arg-type]
                reason=reason,
                checks=verdict.checks,
            )
            break
    return tuple(sorted(out.values(), key=lambda item: (item.opening_mm, item.die_id)))


def _reason(check: Check) -> str:
    if check.limit is None:
        return f"{check.name}: {check.rule.rstrip('.')}"
    return f"{check.name} {check.value:.2f} against {check.limit:.2f} {check.unit}"


def _no_die(part: Part, looked: list[Situation]) -> list[Finding]:
    out = []
    for i, bend in enumerate(part.bends):
        if any(s.verdicts[i].verdict != "no" for s in looked):
            continue
        reasons: dict[str, str] = {}
        for situation in looked:
            verdict = situation.verdicts[i]
            reasons.setdefault(verdict.die.id, ", ".join(_reason(check) for check in verdict.refusals()))
        text = "; ".join(f"{die}: {why}" for die, why in reasons.items()) or "the cabinet holds none"
        out.append(found("O102", where=f"bend {bend.id}", bend=bend.id, reasons=text.rstrip(".")))
    return out or [found("O102", where="part", bend=part.bends[0].id, reasons="no punch suits the dies that fit")]


def _failure(prepared: Prepared, tooling: Tooling, layouts: list[str]) -> Finding:
    if layouts:
        return found("O108", reason=layouts[0])
    obstacles = nearest_order(prepared, possible_strokes(prepared))
    dies = ", ".join(dict.fromkeys(die.id for die in prepared.situation.dies))
    reason = (
        "; ".join(item.sentence for item in obstacles[:4])
        or "every stroke can be done, but no set of stations the drawer can fill does them all"
    )
    return found("O101", die=dies, brake=tooling.brake.id, reason=reason, cure=_cure(obstacles))


def _cure(obstacles: list[Obstacle]) -> str:
    best = obstacles[0] if obstacles else None
    if best is None or best.mm is None:
        return "Change the part, the tools or the brake."
    return f"At least {-best.mm:.2f} mm must be gained there: a slimmer or deeper-throated tool, or a changed flange."
