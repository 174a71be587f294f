"""The blank at the radii the drawing shows, by any allowance rule; and what a flat somebody else made believes in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, get_args

from bendwright.findings import InputError, found
from bendwright.mechanics.bend_allowance import (
    HANDBOOK_C,
    aircraft_allowance_mm,
    din_6935_allowance_mm,
    handbook_allowance_mm,
    k_factor_allowance_mm,
)
from bendwright.part.bend_size import BendSize, sized
from bendwright.part.blank import make_blank
from bendwright.part.blank_model import Blank
from bendwright.part.model import Bend, Part
from bendwright.said import phrase, say

DrawnRule = Literal["k_factor", "din_6935", "handbook", "aircraft"]
DRAWN_RULES: tuple[DrawnRule, ...] = get_args(DrawnRule)
STEP_OF_K = 0.02


def drawn_blank(part: Part, *, rule: DrawnRule = "k_factor", k_factor: float = 0.44) -> Blank:
    """The blank with every bend at its drawn radius (thickness where none is drawn).

    ``k_factor`` counts for that rule only.

    Raises NotPossibleError as ``make_blank`` does; InputError C114 when the part states no thickness.
    """
    thickness = part.header.thickness_mm
    if thickness is None:
        raise InputError(found("C114", what=phrase("thickness")))
    sizes = {bend.id: _size(bend, thickness, rule, k_factor) for bend in part.bends}
    return make_blank(part, sizes, thickness_mm=thickness)


def _size(bend: Bend, thickness_mm: float, rule: DrawnRule, k_factor: float) -> BendSize:
    radius, radius_source = _drawn_radius_mm(bend, thickness_mm)
    words = {
        "k_factor": say("source.k_given", k_factor=k_factor),
        "din_6935": "DIN 6935",
        "aircraft": "aircraft repair formula",
    }
    rules: dict[DrawnRule, Callable[[], float]] = {
        "k_factor": lambda: k_factor_allowance_mm(
            inside_radius_mm=radius, thickness_mm=thickness_mm, turned_deg=bend.turned_deg, k_factor=k_factor
        ),
        "din_6935": lambda: din_6935_allowance_mm(
            inside_radius_mm=radius, thickness_mm=thickness_mm, turned_deg=bend.turned_deg
        ),
        "handbook": lambda: handbook_allowance_mm(
            inside_radius_mm=radius, thickness_mm=thickness_mm, turned_deg=bend.turned_deg, c=HANDBOOK_C["soft"]
        ),
        "aircraft": lambda: aircraft_allowance_mm(
            inside_radius_mm=radius, thickness_mm=thickness_mm, turned_deg=bend.turned_deg
        ),
    }
    return sized(
        bend,
        inside_radius_mm=radius,
        bend_allowance_mm=rules[rule](),
        thickness_mm=thickness_mm,
        radius_source=radius_source,
        allowance_source=words.get(rule, say("source.handbook_soft", HANDBOOK_C=HANDBOOK_C["soft"])),
    )


def _drawn_radius_mm(bend: Bend, thickness_mm: float) -> tuple[float, str]:
    """The radius drawn, and what says so; a hem has the one its gap leaves, other bends without one a thickness."""
    if bend.drawn_radius_mm is not None:
        return bend.drawn_radius_mm, "drawn"
    if bend.kind != "bend":
        return 0.5 * (bend.hem_gap_mm or 0.0), "half the gap of the hem"
    return thickness_mm, "not drawn: one thickness"


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeCompared:
    """One size of a flat somebody else made against the own blank, both in mm or mm2.

    ``k_implied`` is the K-factor that would give that size at the radii drawn; None where the size does not depend on K.
    """

    what: Literal["longer side", "shorter side", "area"]
    given: float
    own: float
    k_implied: float | None

    @property
    def difference(self) -> float:
        """Given minus own."""
        return self.given - self.own


def compare_with_flat(
    part: Part, *, width_mm: float, height_mm: float, area_mm2: float, k_factor: float, rule: DrawnRule = "k_factor"
) -> tuple[SizeCompared, ...]:
    """Hold a flat's outer size and net area against the blank at the drawn radii by ``rule``.

    The blank's sizes grow evenly with K, so two blanks at different K tell which K each given size has.
    """
    own = _sizes(drawn_blank(part, rule=rule, k_factor=k_factor))
    at_k, other = (_sizes(drawn_blank(part, k_factor=k)) for k in (k_factor, k_factor + STEP_OF_K))
    given = (max(width_mm, height_mm), min(width_mm, height_mm), area_mm2)
    names: tuple[Literal["longer side", "shorter side", "area"], ...] = ("longer side", "shorter side", "area")
    out = []
    for what, theirs, mine, here, there in zip(names, given, own, at_k, other, strict=True):
        slope = (there - here) / STEP_OF_K
        known = abs(slope) > 1e-6 * max(here, 1.0)
        out.append(
            SizeCompared(
                what=what, given=theirs, own=mine, k_implied=k_factor + (theirs - here) / slope if known else None
            )
        )
    return tuple(out)


def _sizes(blank: Blank) -> tuple[float, float, float]:
    return (max(blank.width_mm, blank.height_mm), min(blank.width_mm, blank.height_mm), blank.area_mm2)
