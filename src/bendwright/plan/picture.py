"""The true-to-scale section of a stroke at the machine: tools, sheet before and after, gauge finger."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np
import shapely

from bendwright.geometry.rigid import Array
from bendwright.plan.backwards import Step
from bendwright.plan.evidence import Posed, arc_ring, rise_at, swung
from bendwright.plan.situation import Situation
from bendwright.plan.stations import Station
from bendwright.stroke.result import Gauging, NamedPolygon, SectionView
from bendwright.stroke.swing import Swing
from bendwright.stroke.tooling import below_ram_mm

RAM_SHOWN_MM = 60.0
BED_SHOWN_MM = 40.0
Role = Literal["punch", "die", "punch_holder", "die_holder", "ram", "bed", "part", "part_start", "finger"]


def section_view(
    situation: Situation, step: Step, station: Station, bodies: Sequence[Posed], gauging: Gauging
) -> SectionView:
    """Section in the middle of the bend: tools at the end of the stroke, sheet at the start and loaded at the end."""
    swing = situation.verdicts[step.bend].swing
    assert swing is not None
    loaded = swing.kernel_numbers[0]
    polygons = [*_tools(situation, station, swing, loaded)]
    for role, angle in (("part_start", 0.0), ("part", loaded)):
        polygons.extend(_sheet(bodies, step, swing, angle, "part_start" if role == "part_start" else "part"))
    if gauging.kind != "none":
        gauge = situation.brake.gauge
        high, long = gauge.finger_height_mm or 12.0, min(gauge.finger_length_mm or 60.0, 60.0)
        x, r = gauging.x_mm, gauging.r_mm
        ring = np.array([(x, r), (x + long, r), (x + long, r + high), (x, r + high)])
        polygons.append(_named("finger", "gauge finger", ring))
    return SectionView(polygons=tuple(polygons))


def _tools(situation: Situation, station: Station, swing: Swing, loaded: float) -> list[NamedPolygon]:
    punch, die = station.slot.punch, station.slot.die
    brake = situation.brake
    tip = -rise_at(swing, loaded)
    sign = -1.0 if station.slot.turned else 1.0
    outline = np.array([(sign * x, y + tip) for x, y in punch.outline])
    out = [_named("punch", f"punch {punch.id}", outline), _named("die", f"die {die.id}", np.array(die.outline))]
    if brake.punch_clamps is not None:
        half, foot = brake.punch_clamps.half_depth_mm, tip + punch.height_mm
        out.append(_box("punch_holder", "clamp", half, foot, foot + brake.punch_clamps.height_mm))
    if brake.ram_half_depth_mm is not None:
        half, foot = brake.ram_half_depth_mm, tip + below_ram_mm(punch, brake)
        out.append(_box("ram", "ram", half, foot, foot + RAM_SHOWN_MM))
    top = -die.height_mm
    if brake.die_holder_width_mm and brake.die_holder_height_mm:
        under = top - brake.die_holder_height_mm
        out.append(_box("die_holder", "die holder", 0.5 * brake.die_holder_width_mm, under, top))
        top = under
    if brake.table_width_mm is not None:
        out.append(_box("bed", "bed", 0.5 * brake.table_width_mm, top - BED_SHOWN_MM, top))
    return out


def _box(role: Role, name: str, half: float, low: float, high: float) -> NamedPolygon:
    return _named(role, name, np.array([(-half, low), (half, low), (half, high), (-half, high)]))


def _sheet(bodies: Sequence[Posed], step: Step, swing: Swing, turned_rad: float, role: Role) -> list[NamedPolygon]:
    rise = rise_at(swing, turned_rad)
    pieces = [shapely.Polygon(arc_ring(swing, turned_rad))]
    for posed in bodies:
        if not posed.low_w - 1e-6 <= 0.0 <= posed.high_w + 1e-6:
            continue
        ring = swung(posed.ring, swing, turned_rad)
        pieces.append(shapely.Polygon(_mirrored(ring) if posed.side != step.side else ring))
    joined = shapely.union_all([piece.buffer(0.01, join_style="mitre") for piece in pieces], grid_size=1e-5)
    out = []
    for part in getattr(joined, "geoms", [joined]):
        ring = np.array(part.exterior.coords)[:-1] - np.array([0.0, rise])
        out.append(_named(role, "sheet", ring))
    return out


def _mirrored(ring: Array) -> Array:
    return np.asarray(ring[::-1] * np.array([-1.0, 1.0]))


def _named(role: Role, name: str, ring: Array) -> NamedPolygon:
    return NamedPolygon(role=role, name=name, points=tuple((round(float(x), 4), round(float(y), 4)) for x, y in ring))
