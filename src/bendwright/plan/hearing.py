"""How far is a search, and who may end it with the best it has?"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

Doing = Literal["tools", "first", "any", "bound", "stations", "near", "checking"]
"""What a search does: looks at how the part lies in tools; a cheap order with the first sets of stations; whether there is an order at all;
what no order can be cheaper than; the cheapest order with every set; sets that differ in one station from the best; it is over, and
what was found is worked out stroke by stroke.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """How far a search is: what it does, sets of stations and states looked at; ``best_s`` the whole job [s], as the search counts it, with
    the best order so far (None: there is none yet), ``cycle_s`` the seconds of a piece with it; ``least_s`` what no order with these tools
    can take less than [s a piece]. ``brake``, ``dies`` and ``way`` of at most ``ways``: the tools looked at now.
    """

    doing: Doing
    sets: int = 0
    states: int = 0
    best_s: float | None = None
    cycle_s: float | None = None
    least_s: float | None = None
    brake: str = ""
    dies: tuple[str, ...] = ()
    way: int = 1
    ways: int = 1

    @property
    def gap(self) -> float | None:
        """By what share of its seconds a piece could be quicker at most; None where nothing is known of it."""
        if self.cycle_s is None or self.least_s is None or self.cycle_s <= 0.0:
            return None
        return max(self.cycle_s - self.least_s, 0.0) / self.cycle_s


Heard = Callable[[Progress], bool]
"""Told of the progress a few times a second; answers whether the search goes on."""
Pause = Callable[[int], bool]
"""Asked a few times a second within one search, with the states looked at in it; answers whether it goes on."""
