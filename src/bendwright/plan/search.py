"""Which order is the cheapest of all that work? Exact over orders, bends made together, sides to the gauge, punches, ways round and
stations.

For every set of one, two or three kinds of station that the drawer can fill, the cheapest order is found backwards from the
finished part; a bound on the cycle (every tool at hand, no walking) stops the enumeration as soon as nothing left can be cheaper.
"""

from __future__ import annotations

import itertools
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import partial

from bendwright.geometry.kernels import FAR
from bendwright.plan.backwards import LEAN_ABOVE, NONE, Found, any_order, better, glimpsed, solved, states_known
from bendwright.plan.best_so_far import Best, Effort
from bendwright.plan.costing import between_kinds, between_stations, costs_of, in_set_ups, set_up_orders, setups_of
from bendwright.plan.hearing import Pause
from bendwright.plan.labels import Costs, least_of_all
from bendwright.plan.solution import Solution, in_order_of_use, real_cycle_s, to_hang_s
from bendwright.plan.station_sets import (
    FIRST_SETS,
    greedy_sets,
    neighbours,
    single_stations,
    station_sets,
    usable_stations,
)
from bendwright.plan.stations import Station, flat_stations, pack_stations, wished_stacks
from bendwright.plan.tables import Tables
from bendwright.plan.who_can import bends_in_reach, strokes_made

MOST_AT_ONCE = 6
MOST_BOUND, MOST_REAL_BOUND = 1 << 13, 1 << 12
MOST_ROUNDS, MOST_NEAR = 6, 400
BOUND_S = 0.2
"""Seconds of computing for a better bound of a plan once the search has to end."""
Sets = Iterable[tuple[Station, ...] | None]


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
    usable, flat, costs = usable_stations(tables), flat_stations(situation), costs_of(tables)
    real = costs_of(tables, preferences=False)
    least_s = situation.practice.times.load_unload_s + least_of_all(real, tables.full)
    best = Best(tables, quantity, effort, accept, bound_s=least_of_all(costs, tables.full), least_s=least_s)
    if best.bound_s >= FAR or not (usable or flat):
        return None
    sets = station_sets(
        tables,
        usable,
        hopeless=best.hopeless,
        to_hang=lambda stations: to_hang_s(situation, (*stations, *flat)),
        stuck=lambda: best.solution is None,
        along_an_order=lambda: sets_along_an_order(tables, usable, best.go_on),
        reach=lambda: bends_in_reach(tables, usable, states_known(tables, best.go_on)),
    )
    whole = (None if one is None else (*one, *flat) for one in sets)
    first = list(itertools.islice(whole, FIRST_SETS))
    more = [(*one, *flat) for one in single_stations(tables, usable)] if tables.bends > LEAN_ABOVE else []
    _look_at(best, _promising(best, [*first, *(one for one in more if one not in first)], costs), costs, narrow=True)
    best.doing = "any"
    at_hand = pack_stations(situation, [*usable, *flat])
    if best.solution is None and not any_order(tables, at_hand, effort.most_states, pause=best.go_on):
        return None
    complete = not best.ended and _bounded(best, costs, real)
    if complete:
        complete = _look_at(best, itertools.chain(first, whole), costs)
    if not complete and not best.ended:
        _improve(best, usable, costs)
    return None if best.solution is None else _told(best, best.solution, real, complete)


def _look_at(best: Best, sets: Sets, costs: Costs, *, narrow: bool = False) -> bool:
    """The cheapest order with each of these sets; with ``narrow`` a cheap one. Whether nothing was left out."""
    complete = True
    for stations in sets:
        complete &= stations is not None
        if stations is not None and not best.hopeless(to_hang_s(best.tables.situation, stations)):
            found = order_with(
                best.tables,
                stations,
                costs=costs,
                effort=best.effort,
                upper=best.upper(stations),
                narrow=narrow,
                pause=best.go_on,
            )
            best.offer(stations, found)
            complete &= found.complete
        if not best.go_on():
            return False
    return complete


def _promising(best: Best, sets: Sequence[tuple[Station, ...] | None], costs: Costs) -> Iterator[tuple[Station, ...]]:
    """Sets in the order of the seconds that the job takes at least with them, until no other can be better."""
    least = []
    for number, stations in enumerate(sets):
        if stations is not None:
            own = least_of_all(between_stations(costs, best.tables, stations), best.tables.full)
            least.append((to_hang_s(best.tables.situation, stations) + best.quantity * own, number, stations))
    for seconds, _, stations in sorted(least, key=lambda item: item[:2]):
        if best.solution is not None and seconds >= best.solution.job_s - 1e-9:
            return
        yield stations


def _improve(best: Best, usable: Sequence[Station], costs: Costs) -> None:
    """Where not all sets could be looked at: those that differ from the best in one station, until none of them is better."""
    situation, best.doing = best.tables.situation, "near"
    flat, before = flat_stations(situation), None
    for _ in range(MOST_ROUNDS):
        if best.solution is None or best.solution is before or best.ended:
            return
        before = best.solution
        near = neighbours([one for one in before.stations if not one.flattens], usable)
        priced = [(to_hang_s(situation, (*own, *flat)), (*own, *flat)) for own in near]
        nearest = sorted(priced, key=lambda item: item[0])[:MOST_NEAR]
        _look_at(best, (stations for _, stations in nearest), costs, narrow=True)


def _bounded(best: Best, costs: Costs, real: Costs) -> bool:
    """What no order is cheaper than, as the search counts and in real seconds, as far as the search goes on; whether it does."""
    best.doing = "bound"
    best.bound_s, _ = _bound(best, costs, MOST_BOUND, best.go_on, upper=best.cost_s)
    _least(best, real, best.go_on)
    best.doing = "stations"
    return best.go_on()


def _least(best: Best, real: Costs, pause: Pause) -> None:
    """The least cycle any order can have, in real seconds; a short search for it."""
    load = best.tables.situation.practice.times.load_unload_s
    upper = FAR if best.cycle_s is None else best.cycle_s - load
    least, best.exact = _bound(best, real, MOST_REAL_BOUND, pause, upper=upper)
    best.least_s = max(best.least_s, load + least)


def _bound(best: Best, costs: Costs, most_states: int, pause: Pause, *, upper: float) -> tuple[float, bool]:
    """What no order can cost less than, be it ``upper``: the cheapest with every stack one may wish for at hand and no walking but between
    dies. Where that takes too many states or ``pause`` ends it (False), what the cheapest strokes and the fewest turns take.
    """
    stacks = wished_stacks(best.tables.situation)
    costs = between_kinds(costs, best.tables, stacks)
    most = min(best.effort.most_states, most_states)
    found = solved(best.tables, stacks, costs, most, upper=upper, pause=pause)
    least = found.cost_s if found.complete else least_of_all(costs, best.tables.full)
    return min(upper, least), found.complete


def _told(best: Best, solution: Solution, real: Costs, proven: bool) -> Solution:
    if not best.exact:
        ends = time.process_time() + BOUND_S
        _least(best, real, lambda _: time.process_time() < ends if best.ended else best.go_on())
    bound = min(best.least_s, real_cycle_s(solution))
    return replace(in_order_of_use(solution), states=best.states, bound_s=bound, proven=proven)


def order_with(
    tables: Tables,
    stations: Sequence[Station],
    *,
    costs: Costs | None = None,
    effort: Effort | None = None,
    upper: float = FAR,
    narrow: bool = False,
    pause: Pause | None = None,
) -> Found:
    """The cheapest order with these stations, whatever the order of their set-ups, that costs no more than ``upper``; without steps
    where there is none. ``costs`` are those of the tables with all stations as one; ``narrow`` takes a cheap one for the cheapest.
    ``pause`` may end it with the cheapest so far.
    """
    situation = tables.situation
    own = between_stations(costs or costs_of(tables), tables, stations)
    stacks = pack_stations(situation, stations)
    best = NONE
    for ranks in set_up_orders(setups_of(stations)):
        apart = in_set_ups(own, situation, ranks)
        cap = min(upper, best.cost_s)
        if narrow:
            found = glimpsed(tables, stacks, apart, upper=cap, pause=pause)
        else:
            found = solved(tables, stacks, apart, (effort or Effort()).most_states, upper=cap, pause=pause)
        best = better(best, found)
    return best


def sets_along_an_order(
    tables: Tables, usable: Sequence[Station], pause: Pause | None = None
) -> Iterator[tuple[Station, ...]]:
    """Sets of stations that make all strokes of one order that works when all of them are at hand: first stations of one closed
    height, which hang together, then all.
    """
    setups = setups_of(usable)
    alike = [[one for one, setup in zip(usable, setups, strict=True) if setup == own] for own in dict.fromkeys(setups)]
    for group in [*alike, list(usable)] if len(alike) > 1 else [list(usable)]:
        stacks = pack_stations(tables.situation, [*group, *flat_stations(tables.situation)])
        found = glimpsed(tables, stacks, costs_of(tables), pause=pause)
        if found.steps:
            yield from greedy_sets(group, partial(strokes_made, tables, found.steps), MOST_AT_ONCE)
