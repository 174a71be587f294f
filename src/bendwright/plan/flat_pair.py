"""Which tools press hems flat? A pair and its stacks; offset pairs stand in the same way."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bendwright.plan.stacks import Stack, best_stack
from bendwright.shop.tools import Die, Punch


@dataclass(frozen=True, slots=True)
class FlatTools:
    """A flattening or offset pair and its stacks."""

    punch: Punch
    die: Die
    upper: Stack
    lower: Stack

    @property
    def length_mm(self) -> float:
        """How far the pair reaches along the bed [mm]."""
        return max(self.upper.length_mm, self.lower.length_mm)


def flat_tools(punches: Sequence[Punch], dies: Sequence[Die], *, length_mm: float) -> FlatTools | None:
    """The first flattening pair of the cabinet whose pieces cover the hem [mm]; None when there is none."""
    for punch in punches:
        for die in dies:
            if punch.kind == die.kind == "flattening":
                upper = best_stack(punch.pieces, least_mm=length_mm, roomy=True)
                lower = best_stack(die.pieces, least_mm=length_mm, roomy=True)
                if upper is not None and lower is not None:
                    return FlatTools(punch, die, upper, lower)
    return None
