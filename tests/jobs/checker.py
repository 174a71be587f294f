"""An independent replay of a plan: every stroke folded, measured and run past the tools again, by other means.

Shares no code with the planner, the geometry kernels or the clearance evidence: it takes the numbers the plan states, the
part and the shop's tools, and says in sentences what does not agree. An empty list is a pass.
"""

from __future__ import annotations

import itertools
from collections import Counter
from math import isclose, radians, tan

import numpy as np
from panel_replay import PanelReplay, clearance, collisions, farthest_back
from replay import Swing, Tool, half_centre, machine, punch_section, shortest_leg, strongest_load
from section_replay import Chain, SectionStroke, chain_of, side_pieces
from shapely import box

from bendwright.part.model import Part
from bendwright.plan.result import PickedPiece, Plan, Station
from bendwright.shop.shop import Shop
from bendwright.shop.tools import Die, Punch
from bendwright.stroke.result import Stroke

LENGTH_MM = 0.02
DEPTH_MM = 0.002
FORMULA_SHARE = (0.75, 1.3)
DEPTH_SHARE = 0.15
"""How far the stroke of the mechanics may lie from the trade's formulas and from the closed form with the radius counted on."""


def complaints(part: Part, plan: Plan, shop: Shop, *, step_deg: float = 0.5) -> list[str]:
    """Everything in the plan that the replay does not find so."""
    out = [*_order(part, plan), *_pieces(plan, shop), *_sizes(part, plan), *_times(plan, shop)]
    done: frozenset[str] = frozenset()
    for stroke in plan.strokes:
        said = _numbers(part, stroke, plan, shop)
        if stroke.kind != "hem_flatten":
            said += _section(part, stroke, plan, shop, done, step_deg) if part.profile else []
            said += _space(part, stroke, plan, shop, done, step_deg)
        out += [f"stroke {stroke.number} ({stroke.bend_id}): {item}" for item in said]
        done |= {stroke.bend_id}
    return out


def swing_of(part: Part, stroke: Stroke, plan: Plan, shop: Shop) -> Swing:
    """The swing of a stroke from the plan's radius and K and the die's sizes."""
    size, die, t = plan.blank.size(stroke.bend_id), shop.cabinet.die(stroke.die_id), plan.blank.thickness_mm
    formed = size.inside_radius_mm if stroke.kind == "air_bend" else stroke.inside_radius_mm
    turned = part.bend(stroke.bend_id).turned_deg if stroke.kind == "air_bend" else 180.0 - stroke.target_included_deg
    allowance = radians(turned) * (formed + size.k_factor * t)
    loaded = radians(180.0 - stroke.loaded_included_deg)
    return Swing(allowance, size.k_factor * t, t, half_centre(die), die.shoulder_radius_mm, loaded)


def hung(stroke: Stroke, plan: Plan, shop: Shop) -> list[Tool]:
    """Punch stack (as whole, or body and feet between ears), die stack and machine; Z from the left end of the bend line.

    Both stacks begin at the same place; they are taken longer at either end by the clearance asked there.
    """
    station = plan.stations[stroke.station - 1]
    punch, die = shop.cabinet.punch(stroke.punch_id), shop.cabinet.die(stroke.die_id)
    shape = punch_section(punch, turned=stroke.punch_turned)
    room = shop.practice.end_clearance_mm - 0.05
    low, high = stroke.stack_from_mm - room, stroke.stack_from_mm + stroke.stack_length_mm + room
    ears = _ears(station, punch)
    below = stroke.stack_from_mm + _sum(station.die_pieces) + room
    others = [
        Tool(tool.name, tool.shape, tool.rises, low, below) if tool.name == "die" else tool
        for tool in machine(shop.brakes[plan.brake_id], punch.height_mm, die)
    ]
    if ears is None:
        return [Tool("punch", shape, False, low, high), *others]
    foot, overhang = ears
    feet = shape.intersection(box(-1e4, -1e4, 1e4, foot))
    return [
        Tool("punch", feet, False, low, high),
        Tool("punch", shape, False, low + overhang, high - overhang),
        *others,
    ]


def _ears(station: Station, punch: Punch) -> tuple[float, float] | None:
    """Foot height and overhang where both ends of the stack are ears looking outward; else None."""
    names = [piece.label.rpartition(" ear ")[2] for piece in (station.punch_pieces[0], station.punch_pieces[-1])]
    if names != (["right", "left"] if station.punch_turned else ["left", "right"]):
        return None
    ears = [piece.ear for piece in punch.pieces if piece.ear is not None]
    return max(ear.foot_height_mm for ear in ears), min(ear.overhang_mm for ear in ears)


def _order(part: Part, plan: Plan) -> list[str]:
    """Every bend once; a hem's flattening right after its pre-bend."""
    made = Counter(stroke.bend_id for stroke in plan.strokes if stroke.kind != "hem_flatten")
    out = [f"bend {bend.id} is made {made[bend.id]} times" for bend in part.bends if made[bend.id] != 1]
    out += [f"stroke {s.number} is number {i}" for i, s in enumerate(plan.strokes, start=1) if s.number != i]
    for before, after in itertools.pairwise(plan.strokes):
        if after.kind == "hem_flatten" and (before.kind, before.bend_id) != ("hem_prebend", after.bend_id):
            out.append(f"stroke {after.number} flattens {after.bend_id} before it is pre-bent")
    return out


def _pieces(plan: Plan, shop: Shop) -> list[str]:
    """Lengths sum up; no piece of the cabinet hangs twice; the stations do not overlap and stand on the bed."""
    out = []
    used: Counter[tuple[str, str]] = Counter()
    for station in plan.stations:
        if not isclose(sum(p.length_mm for p in station.punch_pieces), station.length_mm, abs_tol=1e-6):
            out.append(f"station {station.number}: pieces do not sum to {station.length_mm}")
        used.update((piece.tool_id, piece.label) for piece in (*station.punch_pieces, *station.die_pieces))
    owned: Counter[tuple[str, str]] = Counter()
    for tool in (*shop.cabinet.punches, *shop.cabinet.dies):
        for piece in tool.pieces:
            owned[tool.id, f"{piece.length_mm:g}" + (f" ear {piece.ear.side}" if piece.ear else "")] += piece.count
    out += [
        f"{tool} {label} hangs {count} times, {owned[tool, label]} owned"
        for (tool, label), count in used.items()
        if count > owned[tool, label]
    ]
    for set_up in {station.set_up for station in plan.stations}:
        together = [station for station in plan.stations if station.set_up == set_up]
        if len({_closed_height(station, shop) for station in together}) > 1:
            out.append(f"set-up {set_up} holds tools of different closed height")
        out += _on_bed(together, plan, shop)
    return out


def _closed_height(station: Station, shop: Shop) -> float:
    """Stations of one closed height hang together; another height is another set-up."""
    heights = shop.cabinet.punch(station.punch_id).height_mm + shop.cabinet.die(station.die_id).height_mm
    return round(heights, 1)


def _on_bed(stations: list[Station], plan: Plan, shop: Shop) -> list[str]:
    """Stations of one set-up side by side on the bed."""
    bed = shop.brakes[plan.brake_id].bed_length_mm
    spans = sorted((s.left_end_z_mm, s.left_end_z_mm + max(s.length_mm, _sum(s.die_pieces))) for s in stations)
    out = [f"stations overlap at {b[0]:.1f}" for a, b in itertools.pairwise(spans) if b[0] < a[1] - 1e-6]
    if bed is not None and (spans[0][0] < -1e-6 or spans[-1][1] > bed + 1e-6):
        out.append(f"stations from {spans[0][0]:.1f} to {spans[-1][1]:.1f} on a bed of {bed:.0f}")
    return out


def _sum(pieces: tuple[PickedPiece, ...]) -> float:
    return sum(piece.length_mm for piece in pieces)


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


def _times(plan: Plan, shop: Shop) -> list[str]:
    """Seconds of a piece from what the strokes say is done, and those sayings from the strokes before.

    Each set-up takes the piece in hand once: tools of another closed height are hung when all pieces are through.
    """
    times, out = shop.practice.times, []
    total = times.load_unload_s * len({station.set_up for station in plan.stations})
    before: Stroke | None = None
    for stroke in plan.strokes:
        hand = stroke.handling
        seconds = times.flip_s * hand.flip + times.turn_s * (hand.turn_deg > 1.0) + times.gauge_move_s * hand.gauge_move
        seconds += times.station_change_s * hand.station_change
        if not isclose(seconds, hand.seconds, abs_tol=1e-6):
            out.append(f"stroke {stroke.number}: {hand.seconds} s of handling, its words make {seconds}")
        if before is not None and stroke.kind != "hem_flatten" != before.kind:
            now, was = stroke.gauging, before.gauging
            moved = abs(now.x_mm - was.x_mm) > 0.05 or abs(now.r_mm - was.r_mm) > 0.05
            facts = (stroke.direction != before.direction, stroke.station != before.station, moved)
            if facts != (hand.flip, hand.station_change, hand.gauge_move):
                out.append(f"stroke {stroke.number}: flip, walk, gauge are {facts}")
        total += times.position_s + times.stroke_s + hand.seconds
        before = stroke
    if not isclose(total, plan.times.cycle_s, abs_tol=1e-6):
        out.append(f"{plan.times.cycle_s} s a piece, the strokes sum to {total}")
    if plan.lower_bound_s > plan.times.cycle_s + 1e-6:
        out.append(f"the proven least {plan.lower_bound_s} s is above the plan's {plan.times.cycle_s} s")
    return out


def _numbers(part: Part, stroke: Stroke, plan: Plan, shop: Shop) -> list[str]:
    """Force, limits, angles, depth, stack length and daylight of one stroke."""
    punch, die, brake = shop.cabinet.punch(stroke.punch_id), shop.cabinet.die(stroke.die_id), shop.brakes[plan.brake_id]
    if stroke.kind == "hem_flatten":
        return [] if punch.kind == die.kind == "flattening" else [f"{punch.id} and {die.id} do not flatten"]
    out = []
    swing, t = swing_of(part, stroke, plan, shop), plan.blank.thickness_mm
    line = next(item for item in plan.blank.bend_lines if item.bend_id == stroke.bend_id)
    length = sum(high - low for low, high in line.spans)
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
        out += _worked_out(stroke, formulas, depth)
    elif abs(depth - stroke.depth_mm) > DEPTH_MM:
        out.append(f"depth {stroke.depth_mm:.4f}, by the closed form {depth:.4f}")
    short = shop.practice.max_uncovered_end_mm + 1e-6
    if stroke.stack_from_mm > short or stroke.stack_from_mm + stroke.stack_length_mm < stroke.bend_length_mm - short:
        out.append(f"stack from {stroke.stack_from_mm:.2f} over {stroke.stack_length_mm:.1f} leaves the bend uncovered")
    station = plan.stations[stroke.station - 1]
    if (station.punch_id, station.die_id, station.length_mm) != (punch.id, die.id, stroke.stack_length_mm):
        out.append(f"station {station.number} holds {station.punch_id}/{station.die_id}")
    if _sum(station.die_pieces) < stroke.bend_length_mm - 2.0 * short:
        out.append(f"die stack of {_sum(station.die_pieces):.1f} under a bend of {stroke.bend_length_mm:.1f}")
    return out + _travel(swing, punch, die, plan, shop)


def _worked_out(stroke: Stroke, formulas: tuple[float, float], depth: float) -> list[str]:
    """A stroke of the mechanics: near what the trade's formulas and the closed form say, at one with its own curve."""
    own = stroke.mechanics
    assert own is not None
    out = []
    if not FORMULA_SHARE[0] * formulas[0] <= own.largest_line_load_kn_per_m <= FORMULA_SHARE[1] * formulas[1]:
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


def _travel(swing: Swing, punch: Punch, die: Die, plan: Plan, shop: Shop) -> list[str]:
    """Does the ram reach the depth?"""
    brake = shop.brakes[plan.brake_id]
    if brake.open_height_mm is None or brake.stroke_mm is None or brake.die_holder_height_mm is None:
        return []
    holders = brake.die_holder_height_mm + (brake.punch_holder_height_mm or 0.0)
    holders += 0.0 if brake.punch_clamps is None else brake.punch_clamps.height_mm
    daylight = brake.open_height_mm - punch.height_mm - die.height_mm - holders
    travel = daylight - swing.t + swing.depth(swing.loaded)
    return [f"ram travel {travel:.1f} above the stroke {brake.stroke_mm:g}"] if travel > brake.stroke_mm + 0.1 else []


def section_stroke(chain: Chain, swing: Swing, bend_id: str, gauge_flange: str, done: frozenset[str]) -> SectionStroke:
    """One stroke of a profile with the given flange's side at the gauge."""
    way = chain.toward(bend_id, gauge_flange)
    return SectionStroke(
        chain, swing, bend_id, side_pieces(chain, bend_id, way, done), side_pieces(chain, bend_id, -way, done)
    )


def _section(part: Part, stroke: Stroke, plan: Plan, shop: Shop, done: frozenset[str], step_deg: float) -> list[str]:
    """A profile's stroke in its section: collisions, clearance, stop, leg."""
    swing = swing_of(part, stroke, plan, shop)
    chain = chain_of(part, plan.blank.sizes, t=plan.blank.thickness_mm)
    bend = part.bend(stroke.bend_id)
    back = bend.child if stroke.gauged_flange_side == "child" else bend.parent
    own = section_stroke(chain, swing, bend.id, back, done)
    tools = hung(stroke, plan, shop)
    angles = swing.angles(step_deg)
    out = own.collisions(tools, angles)
    out += _close(stroke, own.clearance(tools, angles), step_deg)
    finger = shop.brakes[plan.brake_id].gauge.finger_height_mm or 12.0
    low = stroke.gauging.r_mm
    stop = own.stop(low=low + 0.1, high=low + finger)
    if stop is None or abs(stop[0] - stroke.gauging.x_mm) > LENGTH_MM:
        out.append(f"the gauge is sent to {stroke.gauging.x_mm:.3f}, the part reaches back to {stop and stop[0]}")
    least = shortest_leg(shop.cabinet.die(stroke.die_id), swing.loaded)
    if own.shortest_side() < least - 0.01:
        out.append(f"leg {own.shortest_side():.2f} below the shortest {least:.2f}")
    return out


def _close(stroke: Stroke, found: float, step_deg: float) -> list[str]:
    """The stated clearance against the sampled one: never larger; smaller only by the sampling, or against a lying leg.

    Between samples a point of the part moves by half a step times its distance; the planner also counts the arcs of walls
    across the stack's ends, which the replay leaves out: a clearance to an arc may be smaller.
    """
    said = stroke.clearance
    if said.mm > found + 0.02:
        return [f"clearance {said.mm:.3f} stated, {found:.3f} found"]
    slack = 0.5 + 0.25 * radians(step_deg) * 200.0
    if said.part_piece.startswith("bend"):
        return []
    return [f"clearance {said.mm:.3f} stated, {found:.3f} found"] if said.mm < found - slack else []


def _space(part: Part, stroke: Stroke, plan: Plan, shop: Shop, done: frozenset[str], step_deg: float) -> list[str]:
    """The stroke in space: walls beside the stack, the stop at every finger."""
    swing = swing_of(part, stroke, plan, shop)
    replay = PanelReplay(part, plan.blank)
    child = stroke.gauged_flange_side == "child"
    prisms = replay.prisms(stroke.bend_id, gauge_child=child, done=done)
    left, right = replay.ends_z(stroke.bend_id, gauge_child=child)
    if abs(right - left - stroke.bend_length_mm) > LENGTH_MM:
        return [f"bend {stroke.bend_length_mm:.2f} long, its ends are {right - left:.2f} apart"]
    tools = [
        Tool(tool.name, tool.shape, tool.rises, tool.low_z + left, tool.high_z + left)
        for tool in hung(stroke, plan, shop)
    ]
    out = collisions(prisms, swing, tools, swing.angles(step_deg))
    if not part.profile:
        out += _close(stroke, clearance(prisms, swing, _as_long(tools, shop), swing.angles(step_deg)), step_deg)
    finger = shop.brakes[plan.brake_id].gauge.finger_height_mm or 12.0
    half = (shop.brakes[plan.brake_id].gauge.finger_width_mm or 12.0) / 2
    for z in stroke.gauging.fingers_z_mm:
        low, ends = stroke.gauging.r_mm, (left + z - half, left + z + half)
        x = farthest_back(prisms, t=swing.t, low=low + 0.1, high=low + finger, ends_z=ends)
        if x is None or abs(x - stroke.gauging.x_mm) > LENGTH_MM:
            out.append(f"finger at {z:.1f}: sent to {stroke.gauging.x_mm:.3f}, the part reaches back to {x}")
    return out


def _as_long(tools: list[Tool], shop: Shop) -> list[Tool]:
    """The tools as long as they really are: the end clearance taken off again."""
    room = shop.practice.end_clearance_mm - 0.05
    return [
        Tool(t.name, t.shape, t.rises, t.low_z + room, t.high_z - room) if t.name in ("punch", "die") else t
        for t in tools
    ]
