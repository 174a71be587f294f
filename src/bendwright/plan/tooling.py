"""What of the shop a job may use."""

from __future__ import annotations

from dataclasses import dataclass

from bendwright.plan.jogging import JogMade
from bendwright.plan.pins import Pin
from bendwright.shop.bend_table import BendTable
from bendwright.shop.brake import Brake
from bendwright.shop.practice import Practice
from bendwright.shop.sheet import Sheet
from bendwright.shop.tools import Die, Punch


@dataclass(frozen=True, slots=True, kw_only=True)
class Tooling:
    """What may be used: dies, punches, sheet, practice, brake, bend table; ``wished_die`` is the one for all
    air bends, the flat tools press hems, the offset tools make jogs: ``jogs`` are those they do make."""

    dies: tuple[Die, ...]
    punches: tuple[Punch, ...]
    sheet: Sheet
    practice: Practice
    brake: Brake
    bend_table: BendTable | None
    wished_die: str | None = None
    flat_punches: tuple[Punch, ...] = ()
    flat_dies: tuple[Die, ...] = ()
    offset_punches: tuple[Punch, ...] = ()
    offset_dies: tuple[Die, ...] = ()
    jogs: tuple[JogMade, ...] = ()
    pins: tuple[Pin, ...] = ()
