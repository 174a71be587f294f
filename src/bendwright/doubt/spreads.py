"""What varies: causes, how widely, from where to where, and who says so."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

Cause = Literal["thickness", "strength", "friction", "modulus", "ram", "gauge", "cut_edge"]
Scope = Literal["batch", "sheet", "stroke", "edge"]
Distribution = Literal["normal", "uniform"]
CAUSES: tuple[Cause, ...] = ("thickness", "strength", "friction", "modulus", "ram", "gauge", "cut_edge")
CAUSE_WORDS: dict[str, str] = {
    "thickness": "thickness",
    "strength": "strength",
    "friction": "friction",
    "modulus": "springback (modulus)",
    "ram": "ram",
    "gauge": "gauge",
    "cut_edge": "cut edge",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """One standard deviation: of thickness, ram, gauge and cut edge in mm, of strength and modulus as a share, of friction plain.

    ``scope`` says what shares one value: all pieces of a ``batch``, all bends of one piece (``sheet``), one ``stroke``
    or one ``edge``. A uniform spread has its limits 1.732 standard deviations off the middle.
    """

    cause: Cause
    scope: Scope
    distribution: Distribution
    standard_deviation: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """Standard deviations of what a person reads: thickness, included angle, length."""

    micrometer_mm: float
    protractor_deg: float
    caliper_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Spreads:
    """Everything that varies, and how well it is measured."""

    items: tuple[Spread, ...]
    readings: Readings

    def times(self, factor: float, *causes: Cause) -> Spreads:
        """The same with the spreads of these causes (all, when none is named) ``factor`` times as wide."""
        items = (
            replace(item, standard_deviation=factor * item.standard_deviation)
            if not causes or item.cause in causes
            else item
            for item in self.items
        )
        return replace(self, items=tuple(items))

    def of(self, cause: Cause) -> float:
        """Standard deviation of a cause, its scopes together."""
        return float(sum(item.standard_deviation**2 for item in self.items if item.cause == cause) ** 0.5)
