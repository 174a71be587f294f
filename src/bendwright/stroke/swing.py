"""How one bend moves while it is made: the numbers the clearance kernels and the depth need."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bendwright.mechanics.ram_depth import (
    arc_keeping_radius_change_mm_per_deg,
    mm_per_degree,
    ram_depth_mm,
)
from bendwright.part.bend_size import BendSize
from bendwright.part.model import Bend
from bendwright.quantities import Band
from bendwright.said import joined, phrase
from bendwright.shop.practice import Practice
from bendwright.shop.sheet import Sheet
from bendwright.shop.tools import Die
from bendwright.stroke.air_bend_of import half_centre_of
from bendwright.stroke.air_stroke import FROM_MECHANICS, AirStroke, target_included_deg
from bendwright.stroke.loads import line_load
from bendwright.stroke.sizing import Spring, natural_radius_mm, springback

HEM_SPRING = Spring(0.0, "pre-bend of a hem, flattened afterwards")
SPRINGBACK_DOUBT_DEG = 0.15
"""How far a worked-out springback lies from finite-element bends, see ``docs/validation.md`` [degrees]."""
CHART_DEPTH = "straight legs and a round arc between the die shoulders"


@dataclass(frozen=True, slots=True, kw_only=True)
class Swing:
    """Angles and geometry of one stroke. ``target_turned_deg`` is what this stroke leaves (150 for the pre-bend of a hem),
    ``formed_radius_mm`` the inside radius in it (of a hem: before it is flattened). ``stroke`` is the answer of the mechanics;
    None = depth and line load come from the charts.
    """

    bend: Bend
    size: BendSize
    die: Die
    spring: Spring
    thickness_mm: float
    formed_radius_mm: float
    target_turned_deg: float
    loaded_turned_deg: float
    half_centre_mm: float
    depth_mm: float
    mm_per_degree: float
    line_load: Band
    stroke: AirStroke | None

    @property
    def depth_source(self) -> str:
        """What says so of the depth and of what a degree more takes."""
        return (
            CHART_DEPTH if self.stroke is None else joined(", ", (phrase(FROM_MECHANICS), phrase(self.stroke.source)))
        )

    @property
    def loaded_included_deg(self) -> float:
        """Angle between the legs under the punch [degrees]."""
        return 180.0 - self.loaded_turned_deg

    @property
    def sharpest_tool_deg(self) -> float:
        """Largest angle of punch and die that may pass [degrees]: the loaded angle, and the doubt of a springback that was
        worked out and not measured.
        """
        doubt = SPRINGBACK_DOUBT_DEG if self.spring.source.startswith(FROM_MECHANICS) else 0.0
        return self.loaded_included_deg + doubt

    @property
    def kernel_numbers(self) -> tuple[float, float, float, float, float, float]:
        """End angle [rad], allowance, K t, t, half distance of the shoulder centres, shoulder radius [mm]."""
        loaded = math.radians(self.loaded_turned_deg)
        allowance = self.size.bend_allowance_mm
        if self.bend.kind != "bend":
            allowance = loaded * (self.formed_radius_mm + self.size.k_factor * self.thickness_mm)
        return (
            loaded,
            allowance,
            self.size.k_factor * self.thickness_mm,
            self.thickness_mm,
            self.half_centre_mm,
            self.die.shoulder_radius_mm,
        )


def swing_of(
    bend: Bend, size: BendSize, die: Die, *, sheet: Sheet, practice: Practice, stroke: AirStroke | None = None
) -> Swing:
    """The swing of one bend in one die: loaded angle = target + springback; depth and line load by the stroke given, else by
    the charts.

    Raises OutOfRangeError where the die is so small that no straight leg is left.
    """
    stroke = stroke if practice.bend_model == "mechanics" else None
    half_centre = half_centre_of(die)
    radius = size.inside_radius_mm
    if bend.kind != "bend":
        radius, _ = natural_radius_mm(
            sheet=sheet, practice=practice, opening_mm=die.opening_mm, punch_radius_mm=0.0, stroke=stroke
        )
    target = 180.0 - target_included_deg(bend)
    spring = HEM_SPRING
    if bend.kind == "bend":
        spring = springback(
            sheet=sheet,
            practice=practice,
            size=size,
            turned_deg=target,
            half_centre_mm=half_centre,
            shoulder_radius_mm=die.shoulder_radius_mm,
            stroke=stroke,
            hit=bend.hit is not None,
        )
    loaded = target + spring.deg
    depth, per_degree = chart_depth_mm(
        loaded_turned_deg=loaded, inside_radius_mm=radius, half_centre_mm=half_centre, sheet=sheet, die=die
    )
    return Swing(
        bend=bend,
        size=size,
        die=die,
        spring=spring,
        thickness_mm=sheet.thickness_mm,
        formed_radius_mm=radius,
        target_turned_deg=target,
        loaded_turned_deg=loaded,
        half_centre_mm=half_centre,
        depth_mm=depth if stroke is None else stroke.made.depth_mm,
        mm_per_degree=per_degree if stroke is None else stroke.mm_per_degree,
        line_load=line_load(sheet=sheet, die=die) if stroke is None else stroke.line_load,
        stroke=stroke,
    )


def chart_depth_mm(
    *, loaded_turned_deg: float, inside_radius_mm: float, half_centre_mm: float, sheet: Sheet, die: Die
) -> tuple[float, float]:
    """Depth by the closed form with radii, and what one degree more takes [mm]. OutOfRangeError R107 without a leg."""
    numbers = {
        "loaded_turned_deg": loaded_turned_deg,
        "half_centre_mm": half_centre_mm,
        "inside_radius_mm": inside_radius_mm,
        "thickness_mm": sheet.thickness_mm,
        "shoulder_radius_mm": die.shoulder_radius_mm,
    }
    closing = arc_keeping_radius_change_mm_per_deg(
        inside_radius_mm=inside_radius_mm, loaded_turned_deg=loaded_turned_deg
    )
    return ram_depth_mm(**numbers), mm_per_degree(**numbers, radius_change_mm_per_deg=closing)
