"""How does each bend of the plan answer when sheet, friction or ram are not as counted on?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import radians, sin

from bendwright.doubt.result import BendResponse
from bendwright.findings import OutOfRangeError
from bendwright.mechanics.stroke_surface import TERMS, QuadraticChange, StrokeSurface, stroke_surface
from bendwright.part.legs import outside_mm
from bendwright.part.model import Bend, Part
from bendwright.said import say
from bendwright.shop.sheet import Sheet
from bendwright.shop.tools import Die, Punch
from bendwright.stroke.air_bend_of import air_bend_of
from bendwright.stroke.result import Stroke

NO_CHANGE = QuadraticChange(terms=(0.0,) * TERMS, error=0.0)


def responses_of(
    part: Part, strokes: Sequence[Stroke], *, sheet: Sheet, dies: Mapping[str, Die], punches: Mapping[str, Punch]
) -> tuple[BendResponse, ...]:
    """One response per bend, in the order bent: the stroke model's surface, or rough slopes where it does not reach. All bends of a
    stroke answer alike.
    """
    out: dict[str, BendResponse] = {}
    for stroke in strokes:
        own = [name for name in stroke.bend_ids if name not in out]
        if stroke.kind == "hem_flatten" or not own:
            continue
        if stroke.kind == "hem_prebend":
            surface, held, source = _hem(stroke, sheet), False, "hem: deduction grows with the thickness"
        elif stroke.kind == "offset":
            surface, held, source = _hem(stroke, sheet), False, "offset tools: deduction grows with the thickness"
        else:
            held = True
            surface, source = _surface(stroke, sheet, dies[stroke.die_id], punches[stroke.punch_id])
        for name in own:
            bend = part.bend(name)
            out[name] = BendResponse(
                bend_id=name,
                stroke=stroke.number,
                target_included_deg=stroke.target_included_deg,
                held=held,
                shorter_leg_mm=min(outside_mm(part, name) for name in legs_of(part, bend)),
                included_deg=surface.included_deg,
                deduction_mm=surface.deduction_mm,
                source=source,
                hit_of=bend.hit.of if bend.hit else "",
            )
    return tuple(out.values())


def legs_of(part: Part, bend: Bend) -> tuple[str, str]:
    """The flanges whose angle a bend makes: those beside it, of a hit those beside the large radius."""
    if bend.hit is None:
        return bend.parent, bend.child
    run = [other for other in part.bends if other.hit is not None and other.hit.of == bend.hit.of]
    return run[0].parent, run[-1].child


def _surface(stroke: Stroke, sheet: Sheet, die: Die, punch: Punch) -> tuple[StrokeSurface, str]:
    bend, curve = air_bend_of(sheet=sheet, die=die, punch=punch)
    try:
        surface = stroke_surface(
            bend, included_deg=stroke.target_included_deg, to_outer_tangent=_to_tangent(stroke, sheet)
        )
    except OutOfRangeError as error:
        return rough_surface(stroke, sheet), say("source.rough_slopes", code=error.findings[0].code)
    return surface, say("source.stroke_model_of", curve_source=curve)


def rough_surface(stroke: Stroke, sheet: Sheet) -> StrokeSurface:
    """Slopes without the stroke model, m = mm per degree of the plan: 1/m per mm of depth; per mm of thickness
    1/(m sin(loaded/2)), as where straight legs slide over the die; springback in proportion to strength over modulus; deduction in
    proportion to the thickness and, with the angle, set-back against allowance at the inside radius.
    """
    per_mm = 1.0 / stroke.mm_per_degree
    half = radians(stroke.loaded_included_deg) / 2.0
    thickness = per_mm / sin(half)
    turned = radians(180.0 - stroke.target_included_deg)
    of_angle = (_setback_growth(stroke, sheet) - stroke.bend_allowance_mm / turned) * radians(1.0)
    angle = (-thickness, stroke.springback_deg, 0.0, -per_mm)
    own = (stroke.bend_deduction_mm / sheet.thickness_mm, 0.0, 0.0, 0.0)
    size = tuple(a - of_angle * b for a, b in zip(own, angle, strict=True))
    rest = (0.0,) * (TERMS - len(angle))
    return StrokeSurface(
        included_deg=QuadraticChange(terms=(*angle, *rest), error=0.0),
        deduction_mm=QuadraticChange(terms=(*size, *rest), error=0.0),
    )


def _setback_growth(stroke: Stroke, sheet: Sheet) -> float:
    """Growth of both set-backs to the mould line with the turned angle [mm/rad]; 0 where legs end at the outer tangent."""
    if _to_tangent(stroke, sheet):
        return 0.0
    outside = stroke.inside_radius_mm + sheet.thickness_mm
    return outside / sin(radians(stroke.target_included_deg) / 2.0) ** 2


def _to_tangent(stroke: Stroke, sheet: Sheet) -> bool:
    """Whether the legs of this bend, turned past 90, end at the outer tangent: its two set-backs are radius and thickness."""
    setback = 0.5 * (stroke.bend_deduction_mm + stroke.bend_allowance_mm)
    past = stroke.target_included_deg < 90.0 - 1e-6
    return past and abs(setback - stroke.inside_radius_mm - sheet.thickness_mm) < 1e-3


def _hem(stroke: Stroke, sheet: Sheet) -> StrokeSurface:
    slope = stroke.bend_deduction_mm / sheet.thickness_mm
    size = QuadraticChange(terms=(slope, *(0.0,) * (TERMS - 1)), error=0.0)
    return StrokeSurface(included_deg=NO_CHANGE, deduction_mm=size)
