"""Which die, and with it which radius and blank? Tried in the order a setter would, each with its refusals kept."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial

from bendwright.findings import Finding, NotPossibleError, found
from bendwright.part.bumped import runs_of
from bendwright.part.model import Part
from bendwright.plan.best_so_far import Effort
from bendwright.plan.finished import self_overlaps
from bendwright.plan.hearing import Heard, Progress
from bendwright.plan.jogging import JogMade, jogs_last, jogs_made
from bendwright.plan.layout import lay_out
from bendwright.plan.liked import in_order, liked_first, look_at_all
from bendwright.plan.no_order import Failure, failure_of, no_die, reason_of, told
from bendwright.plan.pins import RUNS, in_runs, pinned
from bendwright.plan.result import ToolChoice
from bendwright.plan.search import cheapest
from bendwright.plan.situation import Situation, web_too_short
from bendwright.plan.solution import Solution
from bendwright.plan.tables import Tables, make_tables
from bendwright.plan.tooling import Tooling as Tooling
from bendwright.said import joined, say
from bendwright.shop.tools import Die

MOST_DIES_TRIED = 12
SAME_RADIUS, SAME_RADIUS_MM = 0.1, 0.1
MOST_BENDS = 40


@dataclass(frozen=True, slots=True)
class Chosen:
    """The solution taken, every die looked at, and what the search asked; ``ended`` when whoever heard of it had enough."""

    solution: Solution
    choices: tuple[ToolChoice, ...]
    tables: Tables
    ended: bool = False


@dataclass(slots=True)
class _Listening:
    """Who hears of the best job so far, over all ways of tooling, and may end the looking once there is one; that proves nothing then."""

    heard: Heard | None
    told: Progress
    searched: Progress
    least_s: float | None = None
    ended: bool = False

    def begin(self, way: int, ways: int, dies: Sequence[Die] = ()) -> None:
        """The next way of tooling is looked at."""
        names = tuple(dict.fromkeys(die.id for die in dies))
        self.searched = replace(self.searched, dies=names, way=way, ways=ways)
        self(Progress(doing="tools"))

    def __call__(self, now: Progress) -> bool:
        """Told by the search under way; whether it goes on."""
        before, told = self.searched, self.told
        best_s, cycle_s = told.best_s, told.cycle_s
        if now.best_s is not None and (best_s is None or now.best_s < best_s):
            best_s, cycle_s = now.best_s, now.cycle_s
        leasts = [one for one in (now.least_s, self.least_s) if one is not None]
        self.told = replace(
            before,
            doing=now.doing,
            sets=before.sets + now.sets,
            states=before.states + now.states,
            best_s=best_s,
            cycle_s=cycle_s,
            least_s=min(leasts, default=None),
        )
        go_on = self.heard is None or self.heard(self.told)
        self.ended |= not go_on and best_s is not None
        return not self.ended

    def searched_through(self, way: Solution | None) -> None:
        """One search with these tools is over; what it could not come below stays true of the best of all ways, if it found an order."""
        self.searched = replace(self.searched, sets=self.told.sets, states=self.told.states)
        if way is not None:
            self.least_s = way.bound_s if self.least_s is None else min(self.least_s, way.bound_s)

    def check(self) -> None:
        """All is searched; what was found is worked out now."""
        if self.heard is not None:
            self.heard(replace(self.told, doing="checking"))


def choose(part: Part, tooling: Tooling, *, quantity: int, heard: Heard | None = None) -> Chosen:
    """The cheapest plan with the first die (or set of dies) that works, jogs bend by bend; where none does, with jogs in one stroke of an
    offset pair. ``heard`` is told how far the search is, a few times a second, and ends it by answering False as soon as there is an order.
    Raises NotPossibleError when nothing works.
    """
    pairs, start = (tooling.offset_punches, tooling.offset_dies), Progress(doing="tools", brake=tooling.brake.id)
    told_to = _Listening(heard, start, start)

    def chosen_with(jogs: tuple[JogMade, ...]) -> Chosen:
        return _choose(part, replace(tooling, jogs=jogs), quantity, told_to)

    chosen = jogs_last(part, tooling.sheet, *pairs, chosen_with)
    told_to.check()
    return replace(chosen, ended=told_to.ended)


def _choose(part: Part, tooling: Tooling, quantity: int, told_to: _Listening) -> Chosen:
    """One way of tooling after the other; punches whose noses leave nearly the same radius are held against each other."""
    if not part.bends:
        raise NotPossibleError(found("O109"))
    if len(part.bends) > MOST_BENDS:
        raise NotPossibleError(found("O103", count=len(part.bends), most=MOST_BENDS))
    looked, unfit = look_at_all(part, tooling, told_to.begin)
    failed, spoiled = list[Failure](), list[Finding]()
    best: Chosen | None = None
    effort = Effort(heard=None if told_to.heard is None else told_to)
    liked = list(in_order(part, tooling, looked))
    for number, situation in enumerate(liked):
        if best is not None and not _alike(best.tables.situation, situation):
            continue
        if best is None and len(failed) >= MOST_DIES_TRIED:
            break
        wrong = _overlapping(situation)
        if wrong:
            spoiled = spoiled or wrong
            continue
        told_to.begin(number + 1, len(liked), situation.dies)
        tables = pinned(make_tables(situation), tooling.pins)
        layouts: list[tuple[float, str]] = []
        solution = _solved(tables, quantity, partial(_placed, layouts), effort, told_to.searched_through)
        if solution is not None:
            best = _cheaper(best, Chosen(solution, _choices(looked, situation), tables))
        elif best is None:
            failed.append(failure_of(in_runs(tables, "one end")[0], layouts))
        if best is not None and told_to.ended:
            return replace(best, solution=replace(best.solution, proven=False))
    if best is not None:
        return best
    raise NotPossibleError(told(failed) or spoiled or _no_die(part, looked, unfit, tooling))


def _no_die(part: Part, looked: list[Situation], unfit: dict[str, Finding], tooling: Tooling) -> list[Finding]:
    thickness, wished = tooling.sheet.thickness_mm, tooling.wished_die
    return no_die(part, looked, unfit, tooling.dies, thickness_mm=thickness, wished_die=wished)


def _alike(first: Situation, second: Situation) -> bool:
    """The same dies, and radii that hardly differ: only the punches tell."""
    radii = [[verdict.size.inside_radius_mm for verdict in item.verdicts] for item in (first, second)]
    near = all(abs(a - b) <= max(SAME_RADIUS * a, SAME_RADIUS_MM) for a, b in zip(*radii, strict=True))
    return first.dies == second.dies and near


def _cheaper(one: Chosen | None, other: Chosen) -> Chosen:
    """The cheaper of two jobs; proven only where both are."""
    if one is None:
        return other
    kept = other if other.solution.job_s < one.solution.job_s - 1e-9 else one
    proven = one.solution.proven and other.solution.proven
    return replace(kept, solution=replace(kept.solution, proven=proven))


def chosen_again(chosen: Chosen, change: Callable[[Tables], Tables], *, quantity: int, effort: Effort) -> Chosen | None:
    """The cheapest order with the dies already chosen when something is changed: other seconds, other stops. None when none was found with
    the effort made.
    """
    solution = _solved(change(chosen.tables), quantity, partial(_placed, []), effort)
    return None if solution is None else replace(chosen, solution=solution)


def _solved(
    tables: Tables,
    quantity: int,
    accept: Callable[[Solution], bool],
    effort: Effort,
    after: Callable[[Solution | None], None] = lambda _: None,
) -> Solution | None:
    """The cheapest plan; of large radii made hit by hit in one go, the flat sheet at the gauge, where that can be. ``after`` is told what
    each search found.
    """
    for how in RUNS if runs_of(tables.situation.part) else RUNS[:1]:
        ways = list[Solution]()
        for run in in_runs(tables, how):
            way = cheapest(run, quantity=quantity, accept=accept, effort=effort)
            after(way)
            ways += [] if way is None else [way]
        if ways:
            best = min(ways, key=lambda way: way.job_s)
            return replace(best, proven=how == RUNS[0] and all(way.proven for way in ways))
    return None


def blank_situation(part: Part, tooling: Tooling) -> Situation:
    """The situation whose blank would be cut, no order searched; raises NotPossibleError when no die suits."""
    situations = possible_situations(part, tooling)
    first = next(situations)
    return next((one for one in itertools.chain((first,), situations) if not web_too_short(one)), first)


def possible_situations(part: Part, tooling: Tooling) -> Iterator[Situation]:
    """The ways of tooling that would be tried, the liked ones first, those with offset pairs last; raises NotPossibleError when there is
    none.
    """
    if not part.bends:
        raise NotPossibleError(found("O109"))
    jogs, unsuited = jogs_made(part, tooling.sheet, tooling.offset_punches, tooling.offset_dies)
    refused, given = list[Finding](), 0
    for tools in (tooling, replace(tooling, jogs=jogs)) if jogs else (tooling,):
        try:
            for situation in _situations(part, tools):
                given += 1
                yield situation
        except NotPossibleError as error:
            refused = list(error.findings)
    if not given:
        raise NotPossibleError([*refused, *unsuited])


def _situations(part: Part, tooling: Tooling) -> Iterator[Situation]:
    looked, unfit = list[Situation](), dict[str, Finding]()
    spoiled, given = list[Finding](), 0
    for situation in itertools.islice(liked_first(part, tooling, looked, unfit), MOST_DIES_TRIED):
        wrong = _overlapping(situation)
        if not wrong:
            given += 1
            yield situation
        spoiled = spoiled or wrong
    if not given:
        raise NotPossibleError(spoiled or _no_die(part, looked, unfit, tooling))


def _overlapping(situation: Situation) -> list[Finding]:
    """A blank that lies over itself cannot be cut (M103), a part that runs into itself cannot be bent (M105)."""
    if situation.blank.overlap_mm2 > 0.0:
        return [found("M103", area=situation.blank.overlap_mm2)]
    return list(self_overlaps(situation.part, situation.blank))


def _placed(said: list[tuple[float, str]], solution: Solution) -> bool:
    layout = lay_out(solution)
    said.extend((layout.total_mm, complaint) for complaint in layout.complaints)
    return not layout.complaints


def _choices(looked: list[Situation], taken: Situation) -> tuple[ToolChoice, ...]:
    out: dict[str, ToolChoice] = {}
    jogged = {taken.part.bends[bend].id for made in taken.jogs for bend in made.jog.bends}
    used = {die.id for i, die in enumerate(taken.dies) if not taken.jogged >> i & 1}
    for situation in looked:
        for verdict in situation.verdicts:
            if verdict.bend.kind != "bend" or verdict.bend.id in jogged:
                continue
            die = verdict.die
            refusals = [c for v in situation.verdicts for c in v.refusals()]
            before = out.get(die.id)
            if before is not None and (before.verdict != "refused" or refusals):
                continue
            state = "taken" if die.id in used else ("refused" if refusals else "possible")
            reason = (
                joined(", ", dict.fromkeys(map(reason_of, refusals)))
                if refusals
                else say("why.opening_alone", times=die.opening_mm / situation.sheet.thickness_mm)
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
