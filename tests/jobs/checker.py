"""A plan looked at from outside: replayed by the product's own replay, its blank and its loads worked out by other sums.

Shares no code with the planner: it takes the numbers the plan states, the part and the shop's tools, and says in sentences
what does not agree. An empty list is a pass.
"""

from __future__ import annotations

import itertools
from math import radians, tan

import numpy as np
from section_by_hand import chain_of
from swing_by_hand import Swing, half_centre, strongest_load

from bendwright.part.model import Part
from bendwright.plan.result import Plan
from bendwright.replay.replay import replay_plan
from bendwright.shop.shop import Shop
from bendwright.stroke.result import Stroke

LENGTH_MM = 0.02
DEPTH_MM = 0.002
FORMULA_SHARE = (0.75, 1.3)
SLIGHT_DEG = 15.0
"""The formulas' tensile strength is that of a whole bend; one of so few degrees is hardly stretched past the yield strength."""
DEPTH_SHARE = 0.15
"""How far the stroke of the mechanics may lie from the trade's formulas and from the closed form with the radius counted on."""


def complaints(part: Part, plan: Plan, shop: Shop) -> list[str]:
    """Everything in the plan that the replay or the sums here do not find so."""
    tools = {"cabinet": shop.cabinet, "brake": shop.brakes[plan.brake_id], "practice": shop.practice}
    out = [f"{finding.code} {finding.sentence}" for finding in replay_plan(part, plan, **tools)]
    out += _sizes(part, plan)
    for stroke in plan.strokes:
        out += [f"stroke {stroke.number} ({stroke.bend_id}): {item}" for item in _numbers(part, stroke, plan, shop)]
    return out


def swing_of(part: Part, stroke: Stroke, plan: Plan, shop: Shop) -> Swing:
    """The swing of a stroke from the plan's radius and K and the die's sizes."""
    size, die, t = plan.blank.size(stroke.bend_id), shop.cabinet.die(stroke.die_id), plan.blank.thickness_mm
    formed = size.inside_radius_mm if stroke.kind == "air_bend" else stroke.inside_radius_mm
    turned = part.bend(stroke.bend_id).turned_deg if stroke.kind == "air_bend" else 180.0 - stroke.target_included_deg
    allowance = radians(turned) * (formed + size.k_factor * t)
    loaded = radians(180.0 - stroke.loaded_included_deg)
    return Swing(allowance, size.k_factor * t, t, half_centre(die), die.shoulder_radius_mm, loaded)


def _sizes(part: Part, plan: Plan) -> list[str]:
    """Blank from outside lengths less deductions, and its area from its pieces."""
    blank = plan.blank
    if part.profile:
        chain = chain_of(part, blank.sizes, t=blank.thickness_mm)
        length = max(x for x, _ in part.flanges[0].outline) - min(x for x, _ in part.flanges[0].outline)
        wanted = (length, chain.blank)
    else:
        wanted = panel_size(part, plan)
    found = (blank.width_mm, blank.height_mm)
    if any(abs(a - b) > LENGTH_MM for a, b in zip(wanted, found, strict=True)):
        return [f"blank {found[0]:.3f} x {found[1]:.3f}, by legs and deductions {wanted[0]:.3f} x {wanted[1]:.3f}"]
    return []


def panel_size(part: Part, plan: Plan) -> tuple[float, float]:
    """Width and depth of a panel's blank: base, and what the flanges add on each of its four sides [mm]."""

    def reach(flange_id: str) -> float:
        own = max(y for _, y in part.flange(flange_id).outline)
        far = [reach(b.child) + b.start[1] - _deduction(part, plan, b.id) for b in part.bends if b.parent == flange_id]
        return max([own, *far])

    root = part.flanges[0]
    low = [min(p[i] for p in root.outline) for i in (0, 1)]
    high = [max(p[i] for p in root.outline) for i in (0, 1)]
    ends = {"left": low[0], "right": high[0], "front": low[1], "back": high[1]}
    for bend in part.bends:
        if bend.parent != root.id:
            continue
        dx, dy = bend.end[0] - bend.start[0], bend.end[1] - bend.start[1]
        out = reach(bend.child) - _deduction(part, plan, bend.id)
        if abs(dx) > abs(dy):
            side, at = ("front", bend.start[1] - out) if dx > 0 else ("back", bend.start[1] + out)
        else:
            side, at = ("right", bend.start[0] + out) if dy > 0 else ("left", bend.start[0] - out)
        ends[side] = min(ends[side], at) if side in ("left", "front") else max(ends[side], at)
    return ends["right"] - ends["left"], ends["back"] - ends["front"]


def _deduction(part: Part, plan: Plan, bend_id: str) -> float:
    bend, size, t = part.bend(bend_id), plan.blank.size(bend_id), plan.blank.thickness_mm
    turned, outer = radians(bend.turned_deg), size.inside_radius_mm + t
    setback = outer if bend.measured_to == "outer_tangent" and bend.turned_deg > 90.0 else outer * tan(turned / 2)
    return 2.0 * setback - turned * (size.inside_radius_mm + size.k_factor * t)


def _numbers(part: Part, stroke: Stroke, plan: Plan, shop: Shop) -> list[str]:
    """Force, limits, angles and depth of one stroke."""
    punch, die, brake = shop.cabinet.punch(stroke.punch_id), shop.cabinet.die(stroke.die_id), shop.brakes[plan.brake_id]
    if stroke.kind == "hem_flatten":
        return [] if punch.kind == die.kind == "flattening" else [f"{punch.id} and {die.id} do not flatten"]
    out = []
    swing, t = swing_of(part, stroke, plan, shop), plan.blank.thickness_mm
    lines = [item for item in plan.blank.bend_lines if item.bend_id in stroke.bend_ids]
    length = sum(high - low for line in lines for low, high in line.spans)
    formulas = strongest_load(t, die.opening_mm, plan.sheet.tensile_mpa)
    load = formulas if stroke.mechanics is None else (stroke.line_load_kn_per_m.low, stroke.line_load_kn_per_m.high)
    for name, band, factor in (("kN/m", stroke.line_load_kn_per_m, 1.0), ("kN", stroke.force_kn, length / 1000.0)):
        if any(abs(a / (b * factor) - 1.0) > 0.01 for a, b in zip((band.low, band.high), load, strict=True)):
            out.append(
                f"{band.low:.1f}-{band.high:.1f} {name}, by the formulas {load[0] * factor:.1f}-{load[1] * factor:.1f}"
            )
    limits = (brake.line_load_limit_kn_per_m, punch.max_line_load_kn_per_m, die.max_line_load_kn_per_m)
    out += [
        f"{load[1]:.0f} kN/m above {limit:.0f}" for limit in limits if limit is not None and load[1] > limit * 1.001
    ]
    if max(punch.angle_deg, die.angle_deg) > stroke.loaded_included_deg + 1e-6:
        out.append(
            f"tools of {punch.angle_deg:g} and {die.angle_deg:g} cannot close to {stroke.loaded_included_deg:.2f}"
        )
    radii = stroke.inside_radius_mm + t + swing.shoulder
    depth = swing.half_centre * tan(swing.loaded / 2) - radii * (1.0 / np.cos(swing.loaded / 2) - 1.0)
    if stroke.mechanics is not None:
        out += _worked_out(stroke, plan, formulas, depth)
    elif abs(depth - stroke.depth_mm) > DEPTH_MM:
        out.append(f"depth {stroke.depth_mm:.4f}, by the closed form {depth:.4f}")
    return out


def _worked_out(stroke: Stroke, plan: Plan, formulas: tuple[float, float], depth: float) -> list[str]:
    """A stroke of the mechanics: near what the trade's formulas and the closed form say, at one with its own curve."""
    own = stroke.mechanics
    assert own is not None
    out = []
    least = FORMULA_SHARE[0]
    if stroke.target_included_deg > 180.0 - SLIGHT_DEG:
        least *= plan.sheet.yield_mpa / plan.sheet.tensile_mpa
    if not least * formulas[0] <= own.largest_line_load_kn_per_m <= FORMULA_SHARE[1] * formulas[1]:
        out.append(f"{own.largest_line_load_kn_per_m:.1f} kN/m, far from {formulas[0]:.1f}-{formulas[1]:.1f}")
    if not stroke.line_load_kn_per_m.low < own.largest_line_load_kn_per_m < stroke.line_load_kn_per_m.high:
        out.append(f"largest load {own.largest_line_load_kn_per_m:.1f} kN/m outside its band")
    if abs(depth / stroke.depth_mm - 1.0) > DEPTH_SHARE:
        out.append(f"depth {stroke.depth_mm:.4f}, far from the closed form's {depth:.4f}")
    end = own.curve[-1]
    if max(abs(end.depth_mm - stroke.depth_mm), abs(end.loaded_included_deg - stroke.loaded_included_deg)) > 0.002:
        out.append(f"the curve ends at {end.depth_mm:.3f} mm, {end.loaded_included_deg:.3f} degrees")
    for one, two in itertools.pairwise(own.curve):
        if two.depth_mm <= one.depth_mm or two.loaded_included_deg >= one.loaded_included_deg:
            out.append(f"the curve goes back at {two.depth_mm:.3f} mm")
    return out
