"""The tasks of the person, wired in one place."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from bendwright.findings import Finding
from bendwright.part.blank_model import Blank
from bendwright.part.model import Part
from bendwright.plan.result import Plan
from bendwright.shop.sheet import Sheet
from bendwright.shop.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class Wishes:
    """What the person fixes beforehand; None = choose for me."""

    brake_id: str | None = None
    die_id: str | None = None
    punch_id: str | None = None
    quantity: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """One number that moved because the sheet is not nominal."""

    what: str
    unit: str
    nominal: float
    measured: float

    @property
    def change(self) -> float:
        """Measured minus nominal, in ``unit``."""
        return self.measured - self.nominal


@dataclass(frozen=True, slots=True, kw_only=True)
class Prepared:
    """The main job's answer: plan, what moved against the nominal sheet (empty when not measured), findings."""

    plan: Plan
    moved: tuple[Moved, ...]
    findings: tuple[Finding, ...]


def prepare(part: Part, sheet: Sheet, shop: Shop, wishes: Wishes | None = None) -> Prepared:
    """From part, real sheet and shop to a plan. Raises NotPossibleError with findings when none exists."""
    raise NotImplementedError


def blank_of(part: Part, sheet: Sheet, shop: Shop, wishes: Wishes | None = None) -> Blank:
    """The blank alone, for the die the planner would take or the one wished."""
    raise NotImplementedError


def write_outputs(prepared: Prepared, folder: Path, *, paper: str = "a4") -> dict[str, Path]:
    """Write setup sheet PDF, blank DXF, plan JSON, strokes CSV, pictures SVG; returns kind -> path. Atomic, never half a file."""
    raise NotImplementedError
