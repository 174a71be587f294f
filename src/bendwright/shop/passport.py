"""Where a record comes from: every shop file carries one."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Passport:
    """Origin, date, units and sources of a file; ``demo`` marks invented data."""

    origin: str
    date: str
    units: str = "mm, kN, MPa, degrees"
    sources: tuple[str, ...] = ()
    note: str = ""
    demo: bool = False
