"""What do the two models say of one bend, each by itself?"""

from __future__ import annotations

from dataclasses import replace

from bendwright.findings import OutOfRangeError
from bendwright.mechanics.bend_allowance import deduction_mm, din_6935_allowance_mm, setback_mm
from bendwright.mechanics.inside_radius import air_bend_radius_mm
from bendwright.mechanics.stroke_sensitivity import thickness_and_springback_effects
from bendwright.part.model import Bend
from bendwright.shop.practice import Practice
from bendwright.shop.sheet import Sheet
from bendwright.shop.tools import Die, Punch
from bendwright.stroke.air_bend_of import half_centre_of
from bendwright.stroke.air_stroke import STEP_DEG, AirStroke, air_stroke, target_included_deg
from bendwright.stroke.loads import line_load
from bendwright.stroke.result import MechanicsOfStroke, ModelNumbers, StrokePoint
from bendwright.stroke.sizing import closed_springback
from bendwright.stroke.swing import chart_depth_mm

THICKER = 0.03
"""Share of the thickness the slopes by thickness are drawn over, to either side."""


def both_models(bend: Bend, *, sheet: Sheet, die: Die, punch: Punch, practice: Practice) -> tuple[ModelNumbers, ...]:
    """Mechanics and charts for an air bend, whichever of them has an answer; () for hems."""
    if bend.kind != "bend":
        return ()
    bare = Practice(passport=practice.passport)
    stroke = air_stroke(bend, sheet=_unstated(sheet), die=die, punch=punch, practice=bare)
    answers = (
        _mechanics(bend, stroke) if isinstance(stroke, AirStroke) else None,
        _charts(bend, sheet=sheet, die=die, punch=punch),
    )
    return tuple(answer for answer in answers if answer is not None)


def mechanics_of(stroke: AirStroke | None) -> MechanicsOfStroke | None:
    """What is kept of the mechanics' stroke."""
    if stroke is None:
        return None
    by_ram, by_touch = thickness_slopes_deg_per_mm(stroke)
    return MechanicsOfStroke(
        flow_curve=stroke.source,
        largest_line_load_kn_per_m=stroke.largest_kn_per_m,
        end_line_load_kn_per_m=stroke.made.force_n_per_mm,
        outer_strain=stroke.made.outer_strain,
        centre_thickness_mm=stroke.made.centre_thickness_mm,
        shortest_leg_mm=stroke.shortest_leg_mm(),
        ram_deg_per_mm=by_ram,
        touch_deg_per_mm=by_touch,
        curve=tuple(
            StrokePoint(depth_mm=depth, line_load_kn_per_m=load, loaded_included_deg=loaded, relaxed_included_deg=left)
            for depth, load, loaded, left in stroke.points()
        ),
    )


def thickness_slopes_deg_per_mm(stroke: AirStroke) -> tuple[float | None, float | None]:
    """Change of the loaded included angle [deg] per mm of thickness: the ram's place fixed to the die, and the depth counted from
    first touch, which leaves out that a thicker sheet is touched earlier.
    """
    curve, made = stroke.curve, stroke.made
    more = THICKER * curve.bend.thickness_mm
    try:
        by_ram = (
            thickness_and_springback_effects(
                curve.bend,
                included_deg=made.relaxed_included_deg,
                thickness_mm=curve.bend.thickness_mm + more,
                springback_before_deg=0.0,
                springback_now_deg=0.0,
            ).thickness_deg
            / more
        )
        deep = curve.for_loaded(included_deg=made.loaded_included_deg - STEP_DEG)
        shallow = curve.for_loaded(included_deg=made.loaded_included_deg + STEP_DEG)
    except OutOfRangeError:
        return None, None
    return by_ram, by_ram + 2.0 * STEP_DEG / (deep.depth_mm - shallow.depth_mm)


def _unstated(sheet: Sheet) -> Sheet:
    """The sheet without the springback its record states."""
    return replace(sheet, material=replace(sheet.material, springback_deg=None))


def _mechanics(bend: Bend, stroke: AirStroke) -> ModelNumbers:
    state = stroke.made
    shape = {"inside_radius_mm": state.inside_radius_mm, "thickness_mm": stroke.curve.bend.thickness_mm}
    to_mould_line, as_drawn = (
        setback_mm(**shape, turned_deg=bend.turned_deg, measured_to=measured)
        for measured in ("mould_line", bend.measured_to)
    )
    return ModelNumbers(
        model="mechanics",
        inside_radius_mm=state.inside_radius_mm,
        bend_deduction_mm=state.bend_deduction_mm + 2.0 * (as_drawn - to_mould_line),
        springback_deg=state.springback_deg,
        depth_mm=state.depth_mm,
        mm_per_degree=stroke.mm_per_degree,
        line_load_kn_per_m=stroke.line_load,
    )


def _charts(bend: Bend, *, sheet: Sheet, die: Die, punch: Punch) -> ModelNumbers | None:
    """Trade ratio for the radius, DIN 6935, closed springback, depth with radii, the band of the two formulas."""
    turned = 180.0 - target_included_deg(bend)
    half_centre = half_centre_of(die)
    radius, _ = air_bend_radius_mm(
        family=sheet.material.family, opening_mm=die.opening_mm, punch_radius_mm=punch.nose_radius_mm
    )
    shape = {"inside_radius_mm": radius, "thickness_mm": sheet.thickness_mm, "turned_deg": turned}
    allowance = din_6935_allowance_mm(**shape)
    try:
        spring = closed_springback(
            sheet=sheet,
            inside_radius_mm=radius,
            turned_deg=turned,
            half_centre_mm=half_centre,
            shoulder_radius_mm=die.shoulder_radius_mm,
        ).deg
        depth, per_degree = chart_depth_mm(
            loaded_turned_deg=turned + spring, inside_radius_mm=radius, half_centre_mm=half_centre, sheet=sheet, die=die
        )
    except OutOfRangeError:
        return None
    setback = setback_mm(**shape, measured_to=bend.measured_to)
    return ModelNumbers(
        model="charts",
        inside_radius_mm=radius,
        bend_deduction_mm=deduction_mm(setback_mm=setback, bend_allowance_mm=allowance),
        springback_deg=spring,
        depth_mm=depth,
        mm_per_degree=per_degree,
        line_load_kn_per_m=line_load(sheet=sheet, die=die),
    )
