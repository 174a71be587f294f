"""In which order would a setter try the dies, each with the punches of equal effect on the radius?

The usual opening and the drawn radius are liked, what wants watching is not. To lay a part out in one die takes a while: where only
the liked ones are wanted, the others are not looked at.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from operator import itemgetter

from bendwright.findings import Finding, NotPossibleError
from bendwright.part.model import Part
from bendwright.plan.flat_pair import FlatTools, flat_tools
from bendwright.plan.situation import Situation, make_situation
from bendwright.plan.tooling import Tooling
from bendwright.shop.tools import NOT_BENDING, Die, Punch
from bendwright.stroke.die_choice import DieVerdict, usual_opening_mm, wanted_opening_mm
from bendwright.stroke.sizing import natural_radius_mm


@dataclass(frozen=True, slots=True)
class _Tools:
    """One die with one group of punches of equal effect on the radius; hems are in a die of their own."""

    die_id: str
    dies: tuple[Die, ...]
    nose_mm: float
    punches: tuple[Punch, ...]


def _tools(part: Part, tooling: Tooling) -> list[_Tools]:
    """Every die with every group of punches, the radius the die gives first."""
    return [
        _Tools(die.id, tuple(_die_for(part, i, die, tooling) for i in range(len(part.bends))), nose, punches)
        for die in tooling.dies
        if tooling.wished_die in (None, die.id)
        for nose, punches in _nose_groups(die, tooling)
    ]


def look_at_all(
    part: Part, tooling: Tooling, tell: Callable[[int, int], None] = lambda _number, _count: None
) -> tuple[list[Situation], dict[str, Finding]]:
    """The part in all tools; and why the blank cannot even be laid out with some dies (by die id). ``tell`` hears which of how
    many is looked at.
    """
    looked, unfit = list[Situation](), dict[str, Finding]()
    everything = _tools(part, tooling)
    for number, tools in enumerate(everything):
        tell(number + 1, len(everything))
        _look_at(part, tooling, tools, looked, unfit)
    return looked, unfit


def _look_at(
    part: Part, tooling: Tooling, tools: _Tools, looked: list[Situation], unfit: dict[str, Finding]
) -> Situation | None:
    """The part in these tools, added to those looked at; None where the blank cannot be laid out."""
    try:
        situation = make_situation(
            part,
            tools.dies,
            tools.punches,
            sheet=tooling.sheet,
            practice=tooling.practice,
            brake=tooling.brake,
            bend_table=tooling.bend_table,
            nose_mm=tools.nose_mm,
            flat=_flattening(part, tooling),
            jogs=tooling.jogs,
        )
    except NotPossibleError as error:
        unfit.setdefault(tools.die_id, error.findings[0])
        return None
    looked.append(situation)
    return situation


def liked_first(
    part: Part, tooling: Tooling, looked: list[Situation], unfit: dict[str, Finding]
) -> Iterator[Situation]:
    """As ``in_order``, and no more is laid out than the asking needs: tools whose openings alone are disliked more wait."""

    def least(tools: _Tools) -> float:
        wanted = (wanted_opening_mm(bend, tooling.sheet.thickness_mm) for bend in part.bends)
        return max(abs(math.log(die.opening_mm / usual)) for die, usual in zip(tools.dies, wanted, strict=True))

    waiting: list[tuple[tuple[float, float, str], int, Situation]] = []
    given = 0
    for number, (bound, tools) in enumerate(sorted(((least(t), t) for t in _tools(part, tooling)), key=itemgetter(0))):
        while waiting and waiting[0][0][0] < bound:
            given += 1
            yield heapq.heappop(waiting)[2]
        situation = _look_at(part, tooling, tools, looked, unfit)
        if situation is not None and _whole(situation):
            heapq.heappush(waiting, (_dislike(situation), number, situation))
    while waiting:
        given += 1
        yield heapq.heappop(waiting)[2]
    if not given:
        yield from _mixed(part, tooling, looked)


def _nose_groups(die: Die, tooling: Tooling) -> list[tuple[float, tuple[Punch, ...]]]:
    natural, _ = natural_radius_mm(
        sheet=tooling.sheet, practice=tooling.practice, opening_mm=die.opening_mm, punch_radius_mm=0.0
    )
    groups: dict[float, list[Punch]] = {}
    for punch in tooling.punches:
        if punch.kind not in NOT_BENDING:
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


def in_order(part: Part, tooling: Tooling, looked: list[Situation]) -> Iterator[Situation]:
    """Situations without a refusal, the liked ones first; then, if there is none, each bend with its own best die."""
    whole = [situation for situation in looked if _whole(situation)]
    yield from sorted(whole, key=_dislike) if whole else _mixed(part, tooling, looked)


def _mixed(part: Part, tooling: Tooling, looked: list[Situation]) -> Iterator[Situation]:
    """Each bend in its own best die, where every bend has one."""
    picked: list[DieVerdict] = []
    for i in range(len(part.bends)):
        fine = [s for s in looked if s.verdicts[i].verdict != "no"]
        if not fine:
            return
        picked.append(min(fine, key=_dislike).verdicts[i])
    dies = tuple(verdict.die for verdict in picked)
    punches = tuple(p for p in tooling.punches if p.kind not in NOT_BENDING)
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
            flat=_flattening(part, tooling),
            jogs=tooling.jogs,
        )


def _whole(situation: Situation) -> bool:
    """Nothing is refused, and every bend can be formed."""
    return all(v.verdict != "no" and v.swing is not None for v in situation.verdicts)


def _dislike(situation: Situation) -> tuple[float, float, str]:
    """Sort key: dies with a watch later, then distance from the usual opening and from the drawn radius, then the id."""
    off, watch = 0.0, 0
    for verdict in situation.verdicts:
        usual = wanted_opening_mm(verdict.bend, situation.sheet.thickness_mm)
        off = max(off, abs(math.log(verdict.die.opening_mm / usual)))
        drawn = None if verdict.bend.hit else verdict.bend.drawn_radius_mm
        if drawn and verdict.size.inside_radius_mm > 0.0:
            off += 0.5 * abs(math.log(verdict.size.inside_radius_mm / drawn)) / len(situation.verdicts)
        names = {c.name for c in verdict.checks if c.verdict == "watch"} - {
            "least inside radius",
            "radius against drawing",
            "outer strain",
        }
        watch = max(watch, len(names))
    nose = min(p.nose_radius_mm for p in situation.punches)
    return (watch * 0.05 + off, nose, situation.dies[0].id)


def _flattening(part: Part, tooling: Tooling) -> FlatTools | None:
    """The flattening pair long enough for the longest hem."""
    hems = [math.dist(bend.start, bend.end) for bend in part.bends if bend.kind != "bend"]
    return flat_tools(tooling.flat_punches, tooling.flat_dies, length_mm=max(hems)) if hems else None
