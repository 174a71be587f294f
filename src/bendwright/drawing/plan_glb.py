"""The whole plan as a film in three dimensions: a GLB file (glTF 2.0) with one clip for each stroke and one over all.

Inside the file everything is in the machine frame of ``docs/nomenclature.md`` [mm]: x toward the back gauge, y up, z to the
operator's right, y = 0 the die top of the first station. One node, ``machine``, turns it by 90 degrees about y and scales it
to metres, so that glTF's +z looks at the operator, +x is the operator's right and y stays up.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from bendwright.drawing.glb import GlbFile, Json, linear_colour
from bendwright.drawing.plan_glb_clips import add_clips
from bendwright.drawing.plan_glb_motion import Bending, bending_of, reaches_of
from bendwright.drawing.plan_glb_part import Looks, Reach, add_part
from bendwright.drawing.plan_glb_release import held_strokes
from bendwright.drawing.plan_glb_sheet import sheet_of
from bendwright.drawing.plan_glb_timeline import Scene, clip_of, laid_flat
from bendwright.drawing.plan_glb_tools import ToolLooks, add_tools
from bendwright.findings import InputError, found
from bendwright.part.model import Part
from bendwright.plan.result import Plan
from bendwright.said import phrase
from bendwright.shop.brake import Brake
from bendwright.shop.tools import Die, Punch

SPEED = 4.0
COLOURS = {
    "sheet top": "#dfeaf4",
    "sheet bottom": "#1d5c94",
    "sheet line": "#17202a",
    "tool": "#eceff2",
    "machine": "#f6f7f8",
    "finger": "#b35c00",
    "line": "#6d7782",
}
"""Materials; the colours are those of the pictures on paper."""


def plan_glb(
    part: Part,
    plan: Plan,
    *,
    punches: Sequence[Punch],
    dies: Sequence[Die],
    brake: Brake | None = None,
    speed: float = SPEED,
) -> bytes:
    """The film of a plan. ``punches`` and ``dies`` are the cabinet's, ``brake`` gives ram, bed and fingers their sizes;
    ``speed``: seconds of the plan in a second of the film.

    Raises InputError: D510 when the plan is not one of this part, D511 when a tool of the plan is not there.
    """
    upper, lower = {punch.id: punch for punch in punches}, {die.id: die for die in dies}
    _check(part, plan, upper, lower)
    blank = plan.blank
    bendings, shapes = _bendings(part, plan, lower)
    file = GlbFile()
    file.json.update({"asset": {"version": "2.0", "generator": "bendwright"}, "scene": 0})
    looks = {name: file.add("materials", _material(name, code)) for name, code in COLOURS.items()}
    sheet = sheet_of(
        part,
        blank,
        {name: max(reach.arc_mm for reach in own) for name, own in shapes.items()},
        {name: max(reach.turned_deg for reach in own) for name, own in shapes.items()},
    )
    own_looks = Looks(looks["sheet top"], looks["sheet bottom"], looks["sheet line"])
    nodes = add_part(file, part, blank, sheet, own_looks, shapes)
    tool_looks = ToolLooks(looks["tool"], looks["machine"], looks["finger"], looks["line"])
    tools = add_tools(file, plan, upper, lower, brake, tool_looks)
    scene = Scene(part, blank, nodes, tools, shapes, speed, held_strokes(plan))
    stations = {station.number: station for station in plan.stations}
    each_s = (plan.times.cycle_s - sum(s.handling.seconds for s in plan.strokes)) / len(plan.strokes)
    left, clips = laid_flat(scene), []
    for bending in bendings:
        station = stations[bending.stroke.station]
        pair = upper[station.punch_id], lower[station.die_id]
        clip, left = clip_of(scene, bending, left, station, pair, each_s)
        clips.append(clip)
    _add_root(
        file, plan, [nodes.flanges[part.flanges[0].id], *tools.rams.values(), *tools.beds.values(), *tools.fingers]
    )
    add_clips(file, clips)
    return file.to_bytes()


def _check(part: Part, plan: Plan, punches: dict[str, Punch], dies: dict[str, Die]) -> None:
    problems = []
    own, planned = {bend.id for bend in part.bends}, {name for stroke in plan.strokes for name in stroke.bend_ids}
    flanges = {flange.id for flange in part.flanges} == {flat.flange_id for flat in plan.blank.flats}
    if own != planned or not flanges or not plan.strokes:
        problems.append(
            found("D510", came=", ".join(sorted(planned)) or phrase("no bends"), allowed=", ".join(sorted(own)))
        )
    for station in plan.stations:
        where = f"station {station.number}"
        if station.punch_id not in punches:
            problems.append(found("D511", where=where, tool=phrase(f"punch {station.punch_id}")))
        if station.die_id not in dies:
            problems.append(found("D511", where=where, tool=phrase(f"die {station.die_id}")))
    if problems:
        raise InputError(problems)


def _bendings(part: Part, plan: Plan, dies: dict[str, Die]) -> tuple[list[Bending], dict[str, list[Reach]]]:
    """What every stroke bends, and all shapes each bend takes, lying flat first."""
    shapes = {bend.id: [Reach(0.0, plan.blank.size(bend.id).bend_allowance_mm)] for bend in part.bends}
    reached: dict[str, Reach] = {}
    gauged: dict[str, float] = {}
    stations = {station.number: station for station in plan.stations}
    out = []
    for stroke in plan.strokes:
        station = stations[stroke.station]
        all_reaches = {}
        for name in stroke.bend_ids:
            bend, own = part.bend(name), shapes[name]
            reaches = reaches_of(stroke, bend, plan.blank, reached.get(name))
            if len(own) == 1:
                own[0] = reaches[0]
            own += [reach for reach in dict.fromkeys(reaches) if reach not in own]
            all_reaches[name], reached[name] = reaches, reaches[-1]
        gauge_x = gauged.get(stroke.bend_id, stroke.gauging.x_mm)
        die = dies[station.die_id]
        left = station.left_end_z_mm
        out.append(bending_of(stroke, all_reaches, die=die, left_mm=left, gauge_x_mm=gauge_x))
        gauged[stroke.bend_id] = stroke.gauging.x_mm
    return out, shapes


def _material(name: str, code: str) -> Json:
    surface = {"baseColorFactor": linear_colour(code), "metallicFactor": 0.0, "roughnessFactor": 0.75}
    return {"name": name, "pbrMetallicRoughness": surface, "doubleSided": name.startswith("sheet")}


def _add_root(file: GlbFile, plan: Plan, children: list[int]) -> None:
    half = math.sqrt(0.5)
    place = {"rotation": [0.0, half, 0.0, half], "scale": [1e-3] * 3}
    root = file.add("nodes", {"name": "machine", "children": children, **place})
    said = {
        "part_no": plan.header.part_no,
        "revision": plan.header.revision,
        "thickness_mm": plan.blank.thickness_mm,
        "strokes": len(plan.strokes),
        "frame": "inside node machine: mm, x toward the back gauge, y up, z to the operator's right",
    }
    file.add("scenes", {"name": plan.header.part_no, "nodes": [root], "extras": said})
