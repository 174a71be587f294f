"""How kinds of bent sheets are kept by name, each made once."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from known import Known, known
from sheet_parts import Bent, outside_legs, profile


class Catalogue(dict[str, Callable[[], Known]]):
    """Makers of known parts by name."""

    def entry(self, make: Callable[[], Known]) -> Callable[[], Known]:
        """Keep a maker under its own name."""
        self[make.__name__.strip("_")] = cache(make)
        return make


def of_profile(
    name: str, straights: list[float], bends: list[Bent], width: float, t: float, k: float = 0.44, **more: object
) -> Known:
    blank = profile(straights, bends, width_mm=width, thickness_mm=t, k_factor=k, **more)  # type: ignore[arg-type]
    return known(name, blank, legs_mm=tuple(outside_legs(straights, bends, t)))
