"""How long does the exact search for the bend order take, beside trying every order?

Families of small parts (``planner_parts``): chains, plates where nearly every order is legal, and tabs that one stroke can make
together. The stations are those of the cheapest plan and, beside them, one more of the drawer that hangs at the same height. What may
be done is asked once for every move, every set of done bends and every station, through the planner's own questions; a compiled
walk then tries all orders of all moves on these answers, with the planner's seconds. Search and walk must find the same least cost.
Run: ``python benchmarks/order_search.py``
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import NamedTuple

import numpy as np
import planner_parts as parts
from numba import njit
from planner_growth import situation_of

from bendwright.geometry.kernels import FAR
from bendwright.geometry.rigid import Array
from bendwright.part.model import Part
from bendwright.plan.answers import SELF_LEAST_MM
from bendwright.plan.costing import ALONG_S, ASIDE_S, FIT_S, POOR_STOP_S, SHIFT_S, costs_of, setups_of
from bendwright.plan.fits import ALONG_IN, ALONG_OFF, ASIDE, SHIFT_OFF, fits
from bendwright.plan.orders import SAME_PLACE_MM, Costs
from bendwright.plan.packed import Flags, Ints
from bendwright.plan.search import cheapest, order_with
from bendwright.plan.station_sets import usable_stations
from bendwright.plan.stations import Station, pack_stations
from bendwright.plan.tables import Tables, ask, make_tables, room_for

FAMILIES: tuple[tuple[str, Callable[[int], Part], tuple[int, ...]], ...] = (
    ("zigzag", parts.zigzag, (4, 6, 8, 10, 12)),
    ("stepped chain", parts.stepped, (4, 6, 7, 8)),
    ("plate", parts.plate, (4, 5, 6, 7)),
    ("tabs", parts.tabs, (4, 6, 8)),
    ("tray", parts.tray, (8,)),
)


class Questions(NamedTuple):
    """All answers. Actions: ``makes`` bends, ``change`` [action, next action] in seconds. By [action, set of done bends]: ``allowed``,
    stop ``x`` and ``r`` [mm], ``own`` seconds; ``gauge`` seconds of moving the stop.
    """

    makes: Ints
    change: Array
    allowed: Flags
    x: Array
    r: Array
    own: Array
    gauge: float


@njit(cache=True, error_model="numpy")
def every_order(asked, full):  # type: ignore[no-untyped-def]
    """Least seconds over all orders, and how many strokes were looked at; walks through all, remembers nothing."""
    actions = asked.makes.shape[0]
    chosen = np.full(65, -1, dtype=np.int64)
    cost = np.zeros(66)
    best, looked, depth, mask = np.inf, 0, 0, np.int64(0)
    while depth >= 0:
        if chosen[depth] >= 0:
            mask ^= asked.makes[chosen[depth]]
        a = chosen[depth] + 1
        while a < actions and (mask & asked.makes[a] or not asked.allowed[a, mask]):
            a += 1
        if a == actions:
            chosen[depth] = -1
            depth -= 1
            continue
        looked += 1
        chosen[depth] = a
        seconds = asked.own[a, mask]
        if depth > 0:
            last = chosen[depth - 1]
            earlier = mask ^ asked.makes[last]
            seconds += asked.change[last, a]
            moved = max(abs(asked.x[a, mask] - asked.x[last, earlier]), abs(asked.r[a, mask] - asked.r[last, earlier]))
            if moved > SAME_PLACE_MM:
                seconds += asked.gauge
        cost[depth + 1] = cost[depth] + seconds
        mask |= asked.makes[a]
        if mask == full:
            best = min(best, cost[depth + 1])
        else:
            depth += 1
    return best, looked


def questions(tables: Tables, stations: tuple[Station, ...]) -> Questions:
    """Ask everything about every move, both sides, every station, for every set of done bends."""
    packed, stacks = tables.packed, pack_stations(tables.situation, stations)
    costs = costs_of(tables, setups_of(stations))
    acts = [(m, s, k) for m in range(len(tables.moves)) for s in (0, 1) for k in range(len(stations))]
    shape = (len(acts), tables.full + 1)
    allowed, x, r, own = np.zeros(shape, dtype=np.bool_), np.zeros(shape), np.zeros(shape), np.zeros(shape)
    for a, (move, side, station) in enumerate(acts):
        suits = tables.tools.suits[stacks.punch[station], move]
        for mask in range(tables.full + 1):
            if mask & (packed.makes[move] | packed.bars[move]) or packed.needs[move] & ~mask or not suits:
                continue
            said = ask(tables, move, mask)
            stop = np.array(said.stops[side])
            row = room_for(tables, move, mask, int(stacks.punch[station])).row
            flags = fits(packed, tables.tools, stacks, move, row, stop, side, station)
            allowed[a, mask] = flags != 0 and said.apart_mm >= SELF_LEAST_MM
            x[a, mask], r[a, mask] = stop[1], stop[2]
            own[a, mask] = stroke_seconds(costs, move, side, float(stop[5]), int(flags))
    change = [
        [costs.turning[costs.stance[m, s], costs.stance[n, t]] + costs.walking[k, j] for n, t, j in acts]
        for m, s, k in acts
    ]
    makes = np.array([packed.makes[move] for move, _, _ in acts], dtype=np.int64)
    return Questions(makes, np.array(change), allowed, x, r, own, costs.gauge)


def stroke_seconds(costs: Costs, move: int, side: int, rank: float, flags: int) -> float:
    """Seconds of a stroke and what the shop would pay to avoid its drawbacks, as the method says."""
    seconds = float(costs.own[move, side])
    if rank < FAR:
        seconds += POOR_STOP_S * round(min(max(rank + 0.1, 0.0), 3.0)) + (FIT_S if rank >= 3.0 else 0.0)
    seconds += ASIDE_S if flags & ASIDE else 0.0
    seconds += ALONG_S if flags & (ALONG_IN | ALONG_OFF) else 0.0
    return seconds + (SHIFT_S if flags & SHIFT_OFF else 0.0)


def station_sets(tables: Tables) -> list[tuple[Station, ...]]:
    """The stations of the cheapest plan; and the same with one more of another kind beside them, of the same height."""
    solution = cheapest(tables, quantity=1)
    assert solution is not None, "every family here can be made"
    own = solution.stations
    more = (one for one in usable_stations(tables) if one not in own and len(set(setups_of((*own, one)))) == 1)
    return [own, *[(*own, one) for one in more][:1]]


def compare(name: str, part: Part) -> None:
    """The lines of one part, one for each set of stations."""
    situation = situation_of(part, drawer=False)
    for stations in station_sets(make_tables(situation)):
        tables = make_tables(situation)
        start = time.perf_counter()
        found = order_with(tables, stations)
        first = time.perf_counter() - start
        asked = questions(tables, stations)
        again = min(repeated(tables, stations) for _ in range(5))
        start = time.perf_counter()
        best, looked = every_order(asked, np.int64(tables.full))
        walk = time.perf_counter() - start
        assert found is not None, f"{name}: the search found nothing, the walk {best}"
        assert abs(best - found.cost_s) < 1e-6, f"{name}: the walk found {best}, the search {found.cost_s}"
        line = f"{name:15}{tables.bends:6}{len(tables.moves):7}{len(stations):10}{first:10.4f}{again:10.5f}"
        print(f"{line}{walk:11.5f}{looked:14}{walk / again:9.1f}{best:10.1f}", flush=True)


def repeated(tables: Tables, stations: tuple[Station, ...]) -> float:
    """Seconds of the search when every answer is known."""
    start = time.perf_counter()
    order_with(tables, stations)
    return time.perf_counter() - start


def main() -> None:
    """All families, after one small run of everything to compile it."""
    situation = situation_of(parts.zigzag(4), drawer=False)
    tables = make_tables(situation)
    every_order(questions(tables, station_sets(tables)[0]), np.int64(tables.full))
    print(
        "one run, caches warm; seconds; again = answers known, best of five; ratio = walk over again, on the same answers"
    )
    head = f"{'':15}{'bends':>6}{'moves':>7}{'stations':>10}{'search':>10}{'again':>10}"
    print(f"{head}{'walk':>11}{'strokes':>14}{'ratio':>9}{'cost':>10}")
    for name, family, sizes in FAMILIES:
        for bends in sizes:
            compare(name, family(bends))


if __name__ == "__main__":
    main()
