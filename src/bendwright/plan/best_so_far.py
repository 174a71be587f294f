"""The best job so far: what it costs, what cannot be better, who hears of it and may end the search."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from bendwright.geometry.kernels import FAR
from bendwright.plan.backwards import MOST_STATES, Found
from bendwright.plan.hearing import Doing, Heard, Progress
from bendwright.plan.solution import Solution, real_cycle_s, to_hang_s
from bendwright.plan.stations import Station
from bendwright.plan.tables import Tables


@dataclass(frozen=True, slots=True)
class Effort:
    """How far the search may go: states of one search before it keeps only the cheapest of every size, seconds in all (None: as long
    as it takes), and who hears of it after every set of stations and a few times a second, and may end it by answering False.
    """

    most_states: int = MOST_STATES
    seconds: float | None = None
    heard: Heard | None = None


class Best:
    """The best job so far, and what was looked at on the way to it.

    ``bound_s`` is what no order costs less than, as the search counts; ``least_s`` the same in real seconds of a piece, ``exact`` when no
    search can tell a better one. ``ended`` as soon as whoever hears has had enough, or the seconds are over; it stays so.
    """

    def __init__(
        self,
        tables: Tables,
        quantity: int,
        effort: Effort,
        accept: Callable[[Solution], bool],
        *,
        bound_s: float,
        least_s: float,
    ) -> None:
        self.tables, self.quantity = tables, quantity
        self.effort, self._accept = effort, accept
        self.bound_s, self.least_s, self.exact = bound_s, least_s, False
        self.doing: Doing = "first"
        self.states = self._looked = 0
        self._sets: set[tuple[Station, ...]] = set()
        self.solution: Solution | None = None
        self.cycle_s: float | None = None
        self.ended = False
        self._began = time.monotonic()

    @property
    def late(self) -> bool:
        """Whether the seconds are over."""
        return self.effort.seconds is not None and time.monotonic() > self._began + self.effort.seconds

    @property
    def cost_s(self) -> float:
        """What a piece costs with it [s]; FAR while there is none."""
        return FAR if self.solution is None else self.solution.cost_s

    def go_on(self, looked: int = 0) -> bool:
        """Tell whoever hears, ``looked`` states into a search; whether the search goes on. Seconds end it that are over, but not before
        there is an order or every set of stations has its turn.
        """
        if self.ended:
            return False
        self._looked = max(self._looked, self.states + looked)
        heard = self.effort.heard
        go_on = heard is None or heard(self._progress())
        self.ended = not go_on or (self.late and (self.solution is not None or self.doing == "stations"))
        return not self.ended

    def _progress(self) -> Progress:
        return Progress(
            doing=self.doing,
            sets=len(self._sets),
            states=self._looked,
            best_s=None if self.solution is None else self.solution.job_s,
            cycle_s=self.cycle_s,
            least_s=self.least_s,
        )

    def hopeless(self, hanging_s: float) -> bool:
        """Whether something that takes so long to hang can no longer be better."""
        return self.solution is not None and hanging_s + self.quantity * self.bound_s >= self.solution.job_s - 1e-9

    def upper(self, stations: Sequence[Station]) -> float:
        """What a piece may cost with these stations [s]; as much as the best does with its own."""
        if self.solution is None:
            return FAR
        return (self.solution.job_s - to_hang_s(self.tables.situation, stations)) / self.quantity

    def offer(self, stations: tuple[Station, ...], found: Found) -> None:
        """Take it when it is better and accepted."""
        self._sets.add(stations)
        self.states += found.states
        job = to_hang_s(self.tables.situation, stations) + self.quantity * found.cost_s
        if found.steps and (self.solution is None or job < self.solution.job_s - 1e-9):
            solution = Solution(self.tables, stations, found.steps, job, found.cost_s, self.bound_s, self.states)
            if self._accept(solution):
                self.solution, self.cycle_s = solution, real_cycle_s(solution)
