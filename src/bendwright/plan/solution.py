"""An order that works with its stations: what it takes to hang them, what a piece takes, in the order they are used."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from bendwright.plan.backwards import Step
from bendwright.plan.costing import setup_seconds, setups_of
from bendwright.plan.handling import change_seconds, stance
from bendwright.plan.situation import Situation
from bendwright.plan.stations import Station
from bendwright.plan.tables import Tables, ask


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


def to_hang_s(situation: Situation, stations: Sequence[Station]) -> float:
    """Set-up time of the stations and what the shop dislikes about them [s]."""
    return setup_seconds(situation, stations) + sum(station.slot.dislike_s for station in stations)


def in_order_of_use(solution: Solution) -> Solution:
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
