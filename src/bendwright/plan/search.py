"""Which order is the cheapest of all that work? Exact over orders, bends made together, sides to the gauge, punches, ways round and
stations.

For every set of one, two or three kinds of station that the drawer can fill, the cheapest order is found backwards from the
finished part; a bound on the cycle (every tool at hand, no walking) stops the enumeration as soon as nothing left can be cheaper.
"""

from __future__ import annotations

import itertools
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

import numpy as np

from bendwright.geometry.kernels import FAR
from bendwright.plan.backwards import (
    MOST_STATES,
    NONE,
    Found,
    Step,
    any_order,
    better,
    glimpsed,
    solved,
    states_known,
)
from bendwright.plan.costing import (
    between_kinds,
    between_stations,
    costs_of,
    in_set_ups,
    set_up_orders,
    setup_seconds,
    setups_of,
)
from bendwright.plan.handling import change_seconds, stance
from bendwright.plan.labels import Costs, least_of_all
from bendwright.plan.situation import Situation
from bendwright.plan.station_sets import FIRST_SETS, greedy_sets, neighbours, station_sets, usable_stations
from bendwright.plan.stations import Station, flat_stations, pack_stations, wished_stacks
from bendwright.plan.tables import Tables, ask
from bendwright.plan.who_can import bends_in_reach, strokes_made

MOST_AT_ONCE = 6
MOST_BOUND, MOST_REAL_BOUND = 1 << 13, 1 << 12
MOST_ROUNDS, MOST_NEAR = 6, 400


@dataclass(frozen=True, slots=True)
class Effort:
    """How far the search may go: states of one search before it keeps only the cheapest of every size, seconds in all (None: as long
    as it takes), and who hears after every set of stations of (cost of the best job so far or None, its bound) [s] and may end it
    by answering False.
    """

    most_states: int = MOST_STATES
    seconds: float | None = None
    heard: Callable[[float | None, float], bool] = lambda best, bound: True


@dataclass(frozen=True, slots=True)
class Solution:
    """The cheapest order found: steps, stations, and what was proved.

    ``job_s`` and ``cost_s`` count the shop's preferences (a poor gauge stop, the heavy side behind, ...) as seconds;
    ``bound_s`` is the least cycle any order and any set of stations can have, in real seconds; ``proven`` when no cheaper job
    exists among the candidates.
    """

    tables: Tables
    stations: tuple[Station, ...]
    steps: tuple[Step, ...]
    job_s: float
    cost_s: float
    bound_s: float
    states: int
    proven: bool = True


def cheapest(
    tables: Tables,
    *,
    quantity: int,
    accept: Callable[[Solution], bool] = lambda _: True,
    effort: Effort | None = None,
) -> Solution | None:
    """The cheapest order for ``quantity`` pieces, set-up included; None when no order works (or none was found with the effort made).

    ``accept`` may turn a solution down (stations that do not fit on the bed); the next cheapest set of stations is tried.
    """
    situation, effort = tables.situation, effort or Effort()
    ends = FAR if effort.seconds is None else time.monotonic() + effort.seconds
    usable, flat, costs = usable_stations(tables), flat_stations(situation), costs_of(tables)
    best = _Best(tables, quantity, least_of_all(costs, tables.full), accept)
    if best.bound_s >= FAR or not (usable or flat):
        return None
    sets = station_sets(
        tables,
        usable,
        hopeless=best.hopeless,
        to_hang=lambda stations: _to_hang_s(situation, (*stations, *flat)),
        stuck=lambda: best.solution is None,
        along_an_order=lambda: sets_along_an_order(tables, usable),
        reach=lambda: bends_in_reach(tables, usable, states_known(tables)),
    )
    whole = (None if one is None else (*one, *flat) for one in sets)
    first = list(itertools.islice(whole, FIRST_SETS))
    for stations in first:
        if stations is not None and not best.hopeless(_to_hang_s(situation, stations)):
            best.offer(stations, order_with(tables, stations, costs=costs, upper=best.upper(stations), narrow=True))
    if best.solution is None and not any_order(tables, pack_stations(situation, [*usable, *flat]), effort.most_states):
        return None
    complete = best.solution is None or time.monotonic() <= ends
    if complete:
        best.bound_s = _bound(tables, min(effort.most_states, MOST_BOUND), upper=best.cost_s)
    for stations in itertools.chain(first, whole) if complete else ():
        complete &= stations is not None
        if stations is not None and not best.hopeless(_to_hang_s(situation, stations)):
            found = order_with(tables, stations, costs=costs, effort=effort, upper=best.upper(stations))
            best.offer(stations, found)
            complete &= found.complete
        if not effort.heard(best.job_s, best.bound_s) or time.monotonic() > ends:
            complete = False
            break
    if not complete and time.monotonic() <= ends:
        _improve(best, usable, costs)
    return None if best.solution is None else _told(best.solution, best.states, complete, effort)


def _told(solution: Solution, states: int, proven: bool, effort: Effort) -> Solution:
    out = replace(_in_order_of_use(solution), states=states, proven=proven)
    return replace(out, bound_s=_real_bound_s(out, effort))


def _improve(best: _Best, usable: Sequence[Station], costs: Costs) -> None:
    """Where not all sets could be looked at: those that differ from the best in one station, until none of them is better."""
    situation = best.tables.situation
    flat, before = flat_stations(situation), None
    for _ in range(MOST_ROUNDS):
        if best.solution is None or best.solution is before:
            return
        before = best.solution
        near = neighbours([one for one in before.stations if not one.flattens], usable)
        priced = [(_to_hang_s(situation, (*own, *flat)), (*own, *flat)) for own in near]
        for to_hang, stations in sorted(priced, key=lambda item: item[0])[:MOST_NEAR]:
            if not best.hopeless(to_hang):
                upper = best.upper(stations)
                best.offer(stations, order_with(best.tables, stations, costs=costs, upper=upper, narrow=True))


@dataclass(slots=True)
class _Best:
    """The best job so far, and what was looked at on the way to it."""

    tables: Tables
    quantity: int
    bound_s: float
    accept: Callable[[Solution], bool]
    states: int = 0
    solution: Solution | None = field(default=None)

    @property
    def job_s(self) -> float | None:
        """Its seconds."""
        return None if self.solution is None else self.solution.job_s

    @property
    def cost_s(self) -> float:
        """What a piece costs with it [s]; FAR while there is none."""
        return FAR if self.solution is None else self.solution.cost_s

    def hopeless(self, to_hang_s: float) -> bool:
        """Whether something that takes so long to hang can no longer be better."""
        return self.solution is not None and to_hang_s + self.quantity * self.bound_s >= self.solution.job_s - 1e-9

    def upper(self, stations: Sequence[Station]) -> float:
        """What a piece may cost with these stations [s]; as much as the best does with its own."""
        if self.solution is None:
            return FAR
        return (self.solution.job_s - _to_hang_s(self.tables.situation, stations)) / self.quantity

    def offer(self, stations: tuple[Station, ...], found: Found) -> None:
        """Take it when it is better and accepted."""
        self.states += found.states
        job = _to_hang_s(self.tables.situation, stations) + self.quantity * found.cost_s
        if found.steps and (self.solution is None or job < self.solution.job_s - 1e-9):
            solution = Solution(self.tables, stations, found.steps, job, found.cost_s, self.bound_s, self.states)
            if self.accept(solution):
                self.solution = solution


def _bound(tables: Tables, most_states: int, *, upper: float, preferences: bool = True) -> float:
    """What no order can cost less than, be it ``upper``: the cheapest with every stack one may wish for at hand and no walking but between
    dies. Where that takes too many states, what the cheapest strokes and the fewest turns take.
    """
    stacks = wished_stacks(tables.situation)
    costs = between_kinds(costs_of(tables, preferences=preferences), tables, stacks)
    found = solved(tables, stacks, costs, most_states, upper=upper)
    return min(upper, found.cost_s if found.complete else least_of_all(costs, tables.full))


def _to_hang_s(situation: Situation, stations: Sequence[Station]) -> float:
    """Set-up time of the stations and what the shop dislikes about them [s]."""
    return setup_seconds(situation, stations) + sum(station.slot.dislike_s for station in stations)


def _real_bound_s(solution: Solution, effort: Effort) -> float:
    """The least cycle any order can have, in real seconds; a short search for it."""
    load, tables = solution.tables.situation.practice.times.load_unload_s, solution.tables
    most = min(effort.most_states, MOST_REAL_BOUND)
    return load + _bound(tables, most, upper=real_cycle_s(solution) - load, preferences=False)


def order_with(
    tables: Tables,
    stations: Sequence[Station],
    *,
    costs: Costs | None = None,
    effort: Effort | None = None,
    upper: float = FAR,
    narrow: bool = False,
) -> Found:
    """The cheapest order with these stations, whatever the order of their set-ups, that costs no more than ``upper``; without steps
    where there is none. ``costs`` are those of the tables with all stations as one; ``narrow`` takes a cheap one for the cheapest.
    """
    situation = tables.situation
    own = between_stations(costs or costs_of(tables), tables, stations)
    stacks = pack_stations(situation, stations)
    best = NONE
    for ranks in set_up_orders(setups_of(stations)):
        apart = in_set_ups(own, situation, ranks)
        cap = min(upper, best.cost_s)
        if narrow:
            found = glimpsed(tables, stacks, apart, upper=cap)
        else:
            found = solved(tables, stacks, apart, (effort or Effort()).most_states, upper=cap)
        best = better(best, found)
    return best


def sets_along_an_order(tables: Tables, usable: Sequence[Station]) -> Iterator[tuple[Station, ...]]:
    """Sets of stations that make all strokes of one order that works when all of them are at hand: first stations of one closed
    height, which hang together, then all.
    """
    setups = setups_of(usable)
    alike = [[one for one, setup in zip(usable, setups, strict=True) if setup == own] for own in dict.fromkeys(setups)]
    for group in [*alike, list(usable)] if len(alike) > 1 else [list(usable)]:
        stacks = pack_stations(tables.situation, [*group, *flat_stations(tables.situation)])
        found = glimpsed(tables, stacks, costs_of(tables))
        if found.steps:
            yield from greedy_sets(group, partial(strokes_made, tables, found.steps), MOST_AT_ONCE)


def _in_order_of_use(solution: Solution) -> Solution:
    """The same solution with its stations numbered as they are first used."""
    used = list(dict.fromkeys(step.station for step in solution.steps))
    return replace(
        solution,
        stations=tuple(solution.stations[k] for k in used),
        steps=tuple(replace(step, station=used.index(step.station)) for step in solution.steps),
    )


def real_cycle_s(solution: Solution) -> float:
    """Seconds per piece of the solution: loading, handling, positioning and strokes; no preferences in it."""
    tables = solution.tables
    times = tables.situation.practice.times
    loads = len(set(setups_of(solution.stations)))
    total = loads * times.load_unload_s + len(solution.steps) * (times.position_s + times.stroke_s)
    for before, after in itertools.pairwise(solution.steps):
        stances = [stance(tables.situation, s.bend, s.side, s.station) for s in (before, after)]
        total += change_seconds(stances[0], stances[1], times)
        if any(tables.moves[s.move].pressed and not tables.moves[s.move].jog for s in (before, after)):
            continue
        places = [np.array(ask(tables, s.move, s.mask).stops[s.side][1:3]) for s in (before, after)]
        total += times.gauge_move_s if bool((abs(places[0] - places[1]) > 0.05).any()) else 0.0
    return total
