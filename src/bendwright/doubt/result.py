"""What is said of the spread of one plan. Frozen, storable, complete: the study can be run anew from it alone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bendwright.doubt.spreads import Spreads
from bendwright.mechanics.stroke_surface import QuadraticChange
from bendwright.shop.general_tolerance import Grade

Term = tuple[str, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class BendResponse:
    """Changes of one bend's included angle and deduction over the four variables of ``mechanics/stroke_surface.py``: thickness
    [mm] with the ram's place fixed to the die, logarithm of strength over modulus, friction, extra depth [mm].

    ``held`` is false for a hem: its angle is pressed, only its size follows the thickness. ``shorter_leg_mm`` is the shorter
    outside leg beside the bend, as drawn; of a hit of a large radius, ``hit_of`` that bend, beside the radius.
    """

    bend_id: str
    stroke: int
    target_included_deg: float
    held: bool
    shorter_leg_mm: float
    included_deg: QuadraticChange
    deduction_mm: QuadraticChange
    source: str
    hit_of: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeRule:
    """One outside size: how it is made up of errors. ``gauge_mm`` and ``deduction_mm`` by bend, ``edge_mm`` by the flange that ends there
    (all mm per mm), ``included_deg`` by bend (mm per degree).

    ``lower_mm`` and ``upper_mm`` are the drawing's own limits (None = it has none). An opening is the outside distance
    of two parallel flanges at their free ends.
    """

    name: str
    kind: Literal["leg", "opening"]
    flange_id: str
    drawn_mm: float
    aimed_mm: float
    lower_mm: float | None
    upper_mm: float | None
    gauge_mm: tuple[Term, ...]
    edge_mm: tuple[Term, ...]
    deduction_mm: tuple[Term, ...]
    included_deg: tuple[Term, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """Part of a variance (0 to 1) that one cause makes, by first order."""

    cause: str
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Capability:
    """A spread against two limits. ``cp`` = room over six standard deviations, ``cpk`` = nearer room over three; None where nothing
    spreads. ``outside`` is the share of pieces expected outside, counted among the samples.
    """

    lower: float
    upper: float
    cp: float | None
    cpk: float | None
    outside: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubted:
    """One angle [degrees included] or size [mm] and how it spreads: mean, standard deviation and the limits that hold 95 of
    100 pieces, all by Monte Carlo; ``first_order`` is the standard deviation by first order, ``shares`` what makes it.

    ``capability`` is None where no tolerance is known for such a size.
    """

    name: str
    kind: Literal["included_angle", "leg", "opening"]
    unit: Literal["deg", "mm"]
    about: str
    aim: float
    mean: float
    standard_deviation: float
    low: float
    high: float
    first_order: float
    shares: tuple[Share, ...]
    capability: Capability | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedied:
    """What one remedy makes of one angle or size."""

    name: str
    standard_deviation: float
    cpk: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy:
    """One thing that could be done, what it is in words, and what it makes of every angle and size."""

    name: Literal["measure_sheets", "first_piece", "both", "better_ram", "better_gauge", "better_cut"]
    words: str
    results: tuple[Remedied, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanDoubt:
    """The spread of every angle and outside size of a plan, from what, against which tolerance, and what would help.

    It is the spread of pieces out of many batches when gauge and depth stay as programmed and nobody corrects. A model that
    is wrong by the same amount for every piece is not counted: the first piece ever made takes that out.
    """

    samples: int
    seed: int
    tolerance_class: Grade
    class_source: str
    spreads: Spreads
    responses: tuple[BendResponse, ...]
    rules: tuple[SizeRule, ...]
    bends: tuple[Doubted, ...]
    sizes: tuple[Doubted, ...]
    remedies: tuple[Remedy, ...]
    sentences: tuple[str, ...]
