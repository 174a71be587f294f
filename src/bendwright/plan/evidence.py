"""The evidence for one stroke of a plan: smallest clearance, where and when; end clearance; reach; the section picture."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
import shapely.ops

from bendwright.geometry.convex import convex_hull, pack
from bendwright.geometry.kernels import FAR, die_rise, radius_at, swing_gap, swing_ring
from bendwright.geometry.rigid import Array
from bendwright.geometry.swing_table import ACROSS_MM, posed_cloud
from bendwright.plan.answers import SELF_CAP_MM
from bendwright.plan.around import Surroundings
from bendwright.plan.backwards import Step, swing_at
from bendwright.plan.places import orientation_of, room_at
from bendwright.plan.stations import Station, die_shift_mm
from bendwright.plan.tables import Tables, ask
from bendwright.stroke.bodies import Body
from bendwright.stroke.result import Clearance, Verdict
from bendwright.stroke.swing import Swing
from bendwright.stroke.tooling import ToolClass, below_classes, below_ram_mm, ear_of, punch_classes, ram_class

CAP_MM = 500.0
TOUCH_MM = -0.01
ARC_POINTS = 9


@dataclass(frozen=True, slots=True)
class Posed:
    """A body as it stands when the stroke begins: side (0 parent, 1 child), ring in (u, v), reach along the bend (w), ``flat`` for
    the legs of the bend, and how far a relieved tool end may reach into it.
    """

    side: int
    body: Body
    ring: Array
    low_w: float
    high_w: float
    flat: bool
    ease_mm: float


def posed_bodies(tables: Tables, step: Step) -> list[Posed]:
    """All bodies around the bend as they stand with the bends done so far, sheet lying flat."""
    item = tables.around[step.move]
    return [posed_body(tables, step, number) for number in _present(item, step.mask)]


def posed_body(tables: Tables, step: Step, number: int) -> Posed:
    """One body around the bend by its number among those of its move."""
    item = tables.around[step.move]
    ease = float(tables.packed.ease[item.at + number])
    return _posed(item, number, step.mask, tables.situation.blank.thickness_mm, ease)


def _present(item: Surroundings, mask: int) -> Iterator[int]:
    for number, (_, body) in enumerate(item.bodies):
        if body.here(mask):
            yield number


def _posed(item: Surroundings, number: int, mask: int, thickness: float, ease: float) -> Posed:
    side, body = item.bodies[number]
    pose = sum(1 << i for i, bend in enumerate(body.path) if mask >> bend & 1)
    seen = np.empty_like(body.cloud)
    frame = item.frames[side]
    posed_cloud(body.cloud, body.turns, body.moves, pose, frame.turn, frame.move, seen)
    in_plane = seen[:, 1].min() > -thickness - 1e-6 and seen[:, 1].max() < 1e-6
    flat = bool(in_plane and seen[:, 0].min() > -ACROSS_MM)
    low, high = float(seen[:, 2].min()), float(seen[:, 2].max())
    return Posed(side, body, convex_hull(seen[:, :2]), low, high, flat, ease)


def end_clearance_mm(tables: Tables, step: Step, station: Station, start: float) -> float | None:
    """Smallest room [mm] between a stack end and what stands beside it; None when nothing does."""
    o = orientation_of(station.slot.turned, step.side)
    window = room_at(tables, step, station).window(o, 2 if station.slot.eared else 0)
    rooms = [start - window[0], window[1] - start - station.punch_stack.length_mm]
    near = [room for room in rooms if room < 0.5 * FAR]
    return float(min(near)) if near else None


def oriented_classes(tables: Tables, step: Step, station: Station, side: int) -> list[ToolClass]:
    """Tool classes as a body of the given side meets them: the stack's punch parts, ram, die, die holder, bed."""
    punch, brake = station.slot.punch, tables.situation.brake
    made = punch_classes(punch, brake)
    chosen = made[1:] if station.slot.eared and len(made) > 1 else made[:1]
    o = orientation_of(station.slot.turned, step.side)
    mirrored = o == 1 if side == 1 else o == 0
    parts = [item.mirrored() if mirrored else item for item in chosen]
    return [*parts, ram_class(brake, below_ram_mm(punch, brake)), *below_classes(brake, station.slot.die)]


def clearance(tables: Tables, step: Step, station: Station, bodies: list[Posed], start: float) -> Clearance:
    """The smallest distance of the stroke over its whole swing: to the tools within the reach of the stacks, to the machine,
    and (where it comes under half a millimetre) of the part to itself. What rests on the die by design is no clearance.
    """
    situation = tables.situation
    swing = swing_at(tables, step)
    best = CAP_MM
    found: tuple[Posed, ToolClass, float] | None = None
    reach = (start, start + station.punch_stack.length_mm)
    tools = {side: oriented_classes(tables, step, station, side) for side in {posed.side for posed in bodies}}
    for posed in bodies:
        for item in tools[posed.side]:
            if not (item.beside if posed.flat else item.pieces):
                continue
            low, high = _reach_of(station, item, reach, step.side)
            if item.stacked and (posed.high_w - posed.ease_mm <= low or posed.low_w + posed.ease_mm >= high):
                continue
            gap, angle = ring_gap(posed, item, swing, best)
            if _rests(posed, item, swing.thickness_mm, gap):
                continue
            if gap < best:
                best, found = gap, (posed, item, angle)
    own = ask(tables, step.move, step.mask).apart_mm
    if own < min(best, SELF_CAP_MM):
        return Clearance(
            mm=own,
            part_piece="part",
            against="part itself",
            at_turned_deg=0.0,
            at_point=(0.0, 0.0),
            verdict="watch",
        )
    if found is None:
        return Clearance(
            mm=CAP_MM, part_piece="part", against="everything", at_turned_deg=0.0, at_point=(0.0, 0.0), verdict="ok"
        )
    posed, item, angle = found
    verdict: Verdict = "no" if best < TOUCH_MM else ("watch" if best < situation.practice.clearance_watch_mm else "ok")
    return Clearance(
        mm=best,
        part_piece=posed.body.name,
        against=item.name,
        at_turned_deg=math.degrees(angle),
        at_point=_where(posed, item, swing, angle, step),
        verdict=verdict,
    )


def _rests(posed: Posed, item: ToolClass, thickness: float, gap: float) -> bool:
    """Near by design: what stands on the plane of the die only rises; sheet that lies across the line beside the bend touches
    punch and die, but dips toward the bed.
    """
    on_plane = float(posed.ring[:, 1].min()) >= -thickness - 1e-3
    if gap < TOUCH_MM or not on_plane:
        return False
    across = not posed.flat and float(posed.ring[:, 1].max()) <= 1e-6
    return item.role in ("punch", "die") if across else item.moving


def _reach_of(station: Station, item: ToolClass, reach: tuple[float, float], side: int) -> tuple[float, float]:
    """Where a tool class of the station stands along the bend (w) [mm], given where the punch stack does."""
    if item.role == "die":
        start = reach[0] + die_shift_mm(station, side)
        return start, start + station.die_stack.length_mm
    inset = _ear_inset(station, item)
    return reach[0] + inset, reach[1] - inset


def _ear_inset(station: Station, item: ToolClass) -> float:
    ear = ear_of(station.slot.punch)
    return ear[1] if station.slot.eared and ear is not None and item.name.endswith("body") else 0.0


def ring_gap(posed: Posed, item: ToolClass, swing: Swing, cap: float) -> tuple[float, float]:
    """Smallest gap [mm] of one body to one class over the swing and the turned angle [rad] where it occurs."""
    ring = posed.ring
    rings, counts = pack(item.beside if posed.flat else item.pieces)
    gap, angle, _ = swing_gap(
        np.ascontiguousarray(ring), len(ring), rings, counts, item.moving, swing.kernel_numbers, cap, 0.005, 0.0
    )
    return float(gap), float(angle)


def swung(ring: Array, swing: Swing, turned_rad: float) -> Array:
    """A ring of a side at the turned angle [rad], punch frame."""
    out = np.empty_like(ring)
    numbers = swing.kernel_numbers
    swing_ring(np.ascontiguousarray(ring), len(ring), turned_rad, numbers[1], numbers[2], out)
    return out


def rise_at(swing: Swing, turned_rad: float) -> float:
    """Height of the die top above the punch tip [mm] at the turned angle [rad]."""
    return float(die_rise(turned_rad, *swing.kernel_numbers[1:]))


def arc_ring(swing: Swing, turned_rad: float) -> Array:
    """Outline of the bend zone itself at the turned angle [rad], punch frame."""
    numbers = swing.kernel_numbers
    thickness = swing.thickness_mm
    if turned_rad < 1e-6:
        half = 0.5 * numbers[1]
        return np.array([(-half, 0.0), (-half, -thickness), (half, -thickness), (half, 0.0)])
    radius = float(radius_at(turned_rad, numbers[1], numbers[2]))
    steps = np.linspace(-0.5 * turned_rad, 0.5 * turned_rad, ARC_POINTS)
    inner = [(radius * math.sin(a), radius - radius * math.cos(a)) for a in steps]
    outer = [((radius + thickness) * math.sin(a), radius - (radius + thickness) * math.cos(a)) for a in steps]
    return np.array([*outer, *reversed(inner)])


def _where(posed: Posed, item: ToolClass, swing: Swing, turned_rad: float, step: Step) -> tuple[float, float]:
    """Point of the body nearest to the class at that angle, machine frame (die top y = 0, x toward the gauge)."""
    rise = rise_at(swing, turned_rad)
    body = shapely.Polygon(swung(posed.ring, swing, turned_rad))
    lift = rise if item.moving else 0.0
    tools = shapely.union_all(
        [shapely.Polygon(piece + np.array([0.0, lift])) for piece in (item.beside if posed.flat else item.pieces)]
    )
    point = shapely.ops.nearest_points(body, tools)[0]
    gauge_side = posed.side == step.side
    return (float(point.x if gauge_side else -point.x), float(point.y - rise))
