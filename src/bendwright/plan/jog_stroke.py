"""The stroke that makes a jog: both bends at once on an offset pair, the sheet against the gauge as for any bend.

Force is the band of the one-stroke load: hinges of the web alone, to both bends pressed home, and the trade's rule beside it.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import shapely

from bendwright.findings import Finding, found
from bendwright.geometry.rigid import Array
from bendwright.part.model import Bend
from bendwright.plan.backwards import Step
from bendwright.plan.evidence import Posed, posed_bodies
from bendwright.plan.flatten import clearance_of_pair
from bendwright.plan.jogging import STEP_OFF_MM, JogMade
from bendwright.plan.layout import Layout
from bendwright.plan.pressing import place_of_pair
from bendwright.plan.situation import Situation
from bendwright.plan.stations import Station
from bendwright.plan.tables import Tables
from bendwright.said import joined, phrase, say
from bendwright.stroke.loads import die_load_checks, force_of, off_centre_check, punch_load_check
from bendwright.stroke.result import Check, Gauging, Handling, NamedPolygon, SectionView, Stroke

ARC_POINTS = 9
BAND = "the band is wide: its low end keeps the limit"


def jog_stroke(
    tables: Tables, step: Step, station: Station, number: int, gauging: Gauging, hand: Handling, layout: Layout
) -> Stroke:
    """The record of the stroke; the bend beyond which the sheet lies in front gives it its name."""
    situation, item, move = tables.situation, tables.around[step.move], tables.moves[step.move]
    made = situation.jog_of(step.bend)
    assert made is not None
    part = situation.part
    low, high = item.span
    start = place_of_pair(situation, item, situation.pairs[move.pair], step.mask)
    length = max(situation.bend_length_mm(bend) for bend in move.bends)
    return Stroke(
        **_jog_fields(situation, made, part.bends[step.bend]),
        number=number,
        gauged_flange_side="child" if step.side == 1 else "parent",
        station=step.station + 1,
        punch_id=station.slot.punch.id,
        punch_turned=False,
        die_id=station.slot.die.id,
        stack_length_mm=station.punch_stack.length_mm,
        stack_from_mm=start - low if step.side == 1 else high - start - station.punch_stack.length_mm,
        bend_length_mm=high - low,
        force_kn=force_of(made.line_load, length_mm=length),
        line_load_kn_per_m=made.line_load,
        mechanics=None,
        models=(),
        crown=None,
        loads=_loads(situation, made, station, length, step, layout),
        checks=(*made.checks(), _stop_check(situation, made)),
        gauging=gauging,
        handling=hand,
        clearance=clearance_of_pair(tables, step, "sheet"),
        whip_m_per_s=0.0,
        cautions=("Keep fingers off the step; the sheet tips while the tools close.",),
        why=(
            say("why.offset_pair", punch=station.slot.punch.id, die=station.slot.die.id, step_mm=made.offset.step_mm),
            "force: hinges of the web to both bends pressed home, and the trade's 4 to 8 air bends",
        ),
        view=_view(tables, step, station, made, gauging),
        with_bends=tuple(part.bends[i].id for i in move.bends[1:]),
    )


def _jog_fields(situation: Situation, made: JogMade, bend: Bend) -> dict[str, Any]:
    """The fields that pair and sheet alone decide."""
    size = situation.blank.size(bend.id)
    return {
        "bend_id": bend.id,
        "kind": "offset",
        "direction": bend.direction,
        "target_included_deg": 180.0 - bend.turned_deg,
        "loaded_included_deg": 180.0 - bend.turned_deg,
        "springback_deg": 0.0,
        "springback_source": "not counted: the tools close on the step, what springs back shows on a strip",
        "inside_radius_mm": size.inside_radius_mm,
        "radius_source": size.radius_source,
        "bend_allowance_mm": size.bend_allowance_mm,
        "bend_deduction_mm": size.bend_deduction_mm,
        "allowance_source": size.allowance_source,
        "depth_mm": made.offset.step_mm,
        "depth_source": "the pair's step from first touch, tools closed on the sheet",
        "mm_per_degree": 0.0,
    }


def jog_findings(situation: Situation) -> list[Finding]:
    """O131 for every jog made in one stroke."""
    out = []
    for made in situation.jogs:
        names = " + ".join(situation.part.bends[i].id for i in made.jog.bends)
        out.append(
            found(
                "O131",
                where=f"bends {names}",
                bends=names,
                step=made.step_mm,
                punch=made.tools.punch.id,
                die=made.tools.die.id,
                ground=made.offset.step_mm,
                off=STEP_OFF_MM,
            )
        )
    return out


def _loads(
    situation: Situation, made: JogMade, station: Station, length: float, step: Step, layout: Layout
) -> tuple[Check, ...]:
    """The limits against the load; where only the high end of the wide band passes one it is a watch."""
    brake, load = situation.brake, made.line_load
    middle = layout.left_ends_mm[step.station] + 0.5 * station.punch_stack.length_mm
    off = 0.0 if brake.bed_length_mm is None else middle - 0.5 * brake.bed_length_mm
    checks = (
        *die_load_checks(load, length_mm=length, die=station.slot.die, brake=brake),
        punch_load_check(load, station.slot.punch),
        off_centre_check(force_of(load, length_mm=length), from_middle_mm=off, brake=brake),
    )
    share = load.low / load.high
    return tuple(
        replace(check, verdict="watch", rule=joined("; ", (phrase(check.rule), phrase(BAND))))
        if check.verdict == "no" and check.limit is not None and check.value * share <= check.limit
        else check
        for check in checks
    )


def _stop_check(situation: Situation, made: JogMade) -> Check:
    below = made.offset.step_mm - situation.blank.thickness_mm
    return Check(
        name="stop height",
        value=situation.blank.thickness_mm,
        limit=None,
        unit="mm",
        verdict="ok",
        rule=say("rule.ram_stops", below=below),
        source="geometry",
    )


def _view(tables: Tables, step: Step, station: Station, made: JogMade, gauging: Gauging) -> SectionView:
    """Section in the middle: tools closed, sheet before and after, finger."""
    situation, bodies = tables.situation, posed_bodies(tables, step)
    thickness, gauge = situation.blank.thickness_mm, situation.brake.gauge
    closed = thickness - made.offset.step_mm
    polygons = [
        _named(
            "punch", f"punch {station.slot.punch.id}", np.array(station.slot.punch.outline) + np.array([0.0, closed])
        ),
        _named("die", f"die {station.slot.die.id}", np.array(station.slot.die.outline)),
    ]
    for role, pressed in (("part_start", False), ("part", True)):
        pieces = [shapely.Polygon(_web(made, thickness) if pressed else _flat(made, thickness))]
        pieces += [
            shapely.Polygon(_placed(body, made, step.side, thickness, pressed=pressed))
            for body in bodies
            if body.low_w <= 1e-6 and body.high_w >= -1e-6
        ]
        joined = shapely.union_all([piece.buffer(0.01, join_style="mitre") for piece in pieces], grid_size=1e-5)
        parts = getattr(joined, "geoms", [joined])
        polygons += [_named(role, "sheet", np.array(part.exterior.coords)[:-1]) for part in parts]
    high, long = gauge.finger_height_mm or 12.0, min(gauge.finger_length_mm or 60.0, 60.0)
    x, r = gauging.x_mm, gauging.r_mm
    polygons.append(
        _named("finger", "gauge finger", np.array([(x, r), (x + long, r), (x + long, r + high), (x, r + high)]))
    )
    return SectionView(polygons=tuple(polygons))


def _placed(body: Posed, made: JogMade, behind: int, thickness: float, *, pressed: bool) -> Array:
    """A body's ring at the machine, before or after."""
    way = 1.0 if body.side == behind else -1.0
    ring = body.ring * np.array([way, 1.0]) + np.array([0.0, thickness])
    if pressed:
        ring = ring - np.array([way * 0.5 * made.once.sizes.extra_mm, 0.0 if way > 0.0 else made.step_mm])
    return np.asarray(ring)


def _flat(made: JogMade, thickness: float) -> list[tuple[float, float]]:
    half = 0.5 * made.once.sizes.flat_mm
    return [(-half, 0.0), (half, 0.0), (half, thickness), (-half, thickness)]


def _web(made: JogMade, thickness: float) -> list[tuple[float, float]]:
    """Both arcs and the web: low in front, high behind."""
    half, radius, turned = 0.5 * made.once.sizes.run_mm, made.once.inside_radius_mm, math.radians(made.jog.turned_deg)
    swings = [turned * k / (ARC_POINTS - 1) for k in range(ARC_POINTS)]
    low, high = (-half, thickness - made.step_mm + radius), (half, -radius)

    def arc(middle: tuple[float, float], way: float, r: float) -> list[tuple[float, float]]:
        return [(middle[0] + way * r * math.sin(a), middle[1] - way * r * math.cos(a)) for a in swings]

    top = arc(low, 1.0, radius) + arc(high, -1.0, radius + thickness)[::-1]
    return top + (arc(high, -1.0, radius) + arc(low, 1.0, radius + thickness)[::-1])


def _named(role: str, name: str, ring: Array) -> NamedPolygon:
    points = tuple((round(float(x), 4), round(float(y), 4)) for x, y in ring)
    return NamedPolygon(role=role, name=name, points=points)  # type: ignore[arg-type]
