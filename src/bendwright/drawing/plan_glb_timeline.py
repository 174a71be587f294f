"""One stroke from the hands to the hands: carry and turn, put in against the fingers, ram down, bend, ram up, take out.

Seconds are the plan's, run faster; how they are shared out within a stroke is a sketch (``SHARES``).
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from bendwright.drawing.glb import Json, quaternion
from bendwright.drawing.plan_glb_clips import Clip, Place, Track
from bendwright.drawing.plan_glb_motion import Bending, Sweep, folded_corners, moved, sweep_of, turned_between
from bendwright.drawing.plan_glb_part import PartNodes, Reach, child_pose, placed_at
from bendwright.drawing.plan_glb_release import aside_mm, past_end_mm
from bendwright.drawing.plan_glb_tools import ToolNodes
from bendwright.geometry.rigid import Array, Rigid
from bendwright.part.blank_model import Blank
from bendwright.part.model import Part
from bendwright.plan.result import Station
from bendwright.shop.tools import Die, Punch

LEAST_HANDLING_S = 2.0
SHARES = {
    "over": 0.10,
    "down": 0.16,
    "touch": 0.28,
    "loaded": 0.62,
    "free": 0.66,
    "open": 0.78,
    "lifted": 0.84,
    "out": 1.0,
}
ROOM_MM = 30.0
CLEAR_MM = 5.0
AWAY_MM = 200.0
UNDER_MM = 60.0
DRAWN_BACK_MM = 30.0
LEAST_OPEN_MM = 60.0


@dataclass(frozen=True, slots=True)
class Scene:
    """What does not change from stroke to stroke: part, blank, nodes, shapes of every bend, seconds run at a time, and the strokes
    after which the plan says that the part holds the punch.
    """

    part: Part
    blank: Blank
    nodes: PartNodes
    tools: ToolNodes
    shapes: Mapping[str, Sequence[Reach]]
    speed: float
    held: Collection[int]


@dataclass(frozen=True, slots=True)
class Left:
    """How a stroke leaves things: the part in the hands, each set-up's ram, the fingers, what is bent so far, and so where
    every flange and all corners lie with the root held.
    """

    root: Rigid | None
    open_mm: Mapping[int, float]
    fingers: tuple[Array, ...]
    reached: Mapping[str, Reach]
    placed: Mapping[str, Rigid]
    corners: Array


@dataclass(frozen=True, slots=True)
class _Ways:
    """Where the part goes by hand: seen from where it is bent, first in front of the bed, then over the die, and back; and how
    high it stands under the punch on its way, over the die top [mm].
    """

    rest: Rigid
    over: Rigid
    front: Rigid
    high_mm: float


def laid_flat(scene: Scene) -> Left:
    """How things are before the first stroke."""
    placed = placed_at(scene.part, scene.blank, {})
    return Left(None, {}, (), {}, placed, folded_corners(scene.blank, placed))


def clip_of(
    scene: Scene, bending: Bending, left: Left, station: Station, tools: tuple[Punch, Die], seconds: float
) -> tuple[Clip, Left]:
    """The clip of one stroke and how it leaves things; ``seconds`` are those of positioning and stroke in the plan."""
    stroke, top = bending.stroke, scene.tools.tops_mm[station.number]
    parent = left.placed[scene.part.bend(stroke.bend_id).parent]
    origin = scene.nodes.origins[scene.part.flanges[0].id]
    sweep = sweep_of(bending, scene.part, scene.blank, tools[0], parent, origin)
    made = {**left.reached, **{name: reaches[-1] for name, reaches in bending.all_reaches.items()}}
    placed = placed_at(scene.part, scene.blank, made)
    corners = folded_corners(scene.blank, placed)
    half = max(abs(x) for x, _ in tools[1].outline)
    begin = _ways(scene, left.corners, sweep.first, top, half)
    end = _ways(scene, corners, sweep.last, top, half)
    handling = max(stroke.handling.seconds, LEAST_HANDLING_S) / scene.speed
    length = seconds / scene.speed
    at = {"carried": handling} | {name: handling + share * length for name, share in SHARES.items()}
    times = _bending_times(sweep, at)
    wide = max(LEAST_OPEN_MM, begin.high_mm + ROOM_MM, end.high_mm + ROOM_MM)
    wide = wide if station.daylight_mm is None else min(wide, station.daylight_mm)
    aside = _aside(scene, bending, sweep, placed, station, tools[0])
    beside = past_end_mm(sweep.first.points(left.corners), station) if stroke.brought_in == "along" else 0.0
    tracks = _part_tracks(scene, left.root or begin.front, begin, end, sweep, times, at, top, (beside, aside))
    tracks |= _bend_tracks(scene, bending, sweep, times)
    keys = [(0.0, left.open_mm.get(station.set_up, wide)), (handling, wide), (at["down"], wide)]
    keys += zip(times, sweep.tips_mm, strict=True)
    eased = float(sweep.tips_mm[-1]) + CLEAR_MM
    keys += [(_eased_s(at), eased), (at["open"], eased), (at["lifted"], wide)] if aside else [(at["open"], wide)]
    keys.append((at["out"], wide))
    tracks[scene.tools.rams[station.set_up], "translation"] = _track([(t, (0.0, float(y), 0.0)) for t, y in keys])
    fingers, finger_tracks = _finger_tracks(scene, bending, left, top, at)
    tracks |= finger_tracks | _set_up_tracks(scene, station.set_up)
    extras = _extras(bending, seconds, at) | {"holds_punch": stroke.number in scene.held}
    extras |= _closest(bending, sweep, times, station, top)
    clip = Clip(f"stroke {stroke.number}", at["out"], tracks, extras)
    return clip, Left(end.front, {**left.open_mm, station.set_up: wide}, fingers, made, placed, corners)


def _track(keys: Sequence[tuple[float, Sequence[float] | Array]]) -> Track:
    return Track(tuple(t for t, _ in keys), np.array([row for _, row in keys], dtype=np.float64))


def _aside(
    scene: Scene, bending: Bending, sweep: Sweep, placed: Mapping[str, Rigid], station: Station, punch: Punch
) -> float:
    """How far along the bed the part goes to come off a punch it holds, or off the tools where the plan says so [mm]."""
    there = {name: sweep.last.after(place) for name, place in placed.items()}
    if bending.stroke.taken_off == "along":
        return past_end_mm(folded_corners(scene.blank, there), station)
    if bending.stroke.number not in scene.held:
        return 0.0
    bends = [scene.part.bend(name) for name in bending.stroke.bend_ids]
    legs = {flange for bend in bends for flange in (bend.parent, bend.child)}
    return aside_mm(scene.blank, there, legs, station, punch, tip_mm=float(sweep.tips_mm[-1]))


def _eased_s(at: Mapping[str, float]) -> float:
    """When the punch has let go of a part that holds it."""
    return at["free"] + 0.3 * (at["open"] - at["free"])


def _ways(scene: Scene, folded: Array, root: Rigid, top: float, half: float) -> _Ways:
    corners = root.points(folded)
    low = float(corners[corners[:, 0] > -half][:, 1].min()) - scene.blank.thickness_mm
    lift, away = max(0.0, -low) + CLEAR_MM, float(corners[:, 0].max()) + half + AWAY_MM
    under = corners[np.abs(corners[:, 0]) < UNDER_MM]
    high = float(under[:, 1].max()) + lift if len(under) else 0.0
    rest = moved(root, (0.0, top, 0.0))
    return _Ways(rest, moved(rest, (0.0, lift, 0.0)), moved(rest, (-away, lift, 0.0)), high)


def _bending_times(sweep: Sweep, at: Mapping[str, float]) -> list[float]:
    """The time of every moment: the ram goes at one speed down to the loaded reach, then the sheet springs."""
    loaded = sweep.marks[-2]
    travel = np.concatenate([[0.0], np.cumsum(np.maximum(-np.diff(sweep.tips_mm[: loaded + 1]), 1e-3))])
    times = at["touch"] + (at["loaded"] - at["touch"]) * travel / travel[-1]
    back = len(sweep.reaches) - 1 - loaded
    return [*times.tolist(), *(at["loaded"] + (at["free"] - at["loaded"]) * (k + 1) / back for k in range(back))]


def _part_tracks(
    scene: Scene, start: Rigid, begin: _Ways, end: _Ways, sweep: Sweep, times: Sequence[float],
    at: Mapping[str, float], top: float, aside: tuple[float, float],
) -> dict[Place, Track]:  # fmt: skip
    """The part from hand to hand; ``aside`` is how far beside the tools it stands before it comes in and after it is led off."""
    root = scene.part.flanges[0].id
    node, origin = scene.nodes.flanges[root], scene.nodes.origins[root]
    before, way = [(0.0, start)], (0.0, 0.0, aside[0])
    ready = moved(begin.front, way)
    before += [(share * at["carried"], pose) for share, pose in turned_between(start, ready, origin)]
    before += [(0.5 * (at["carried"] + at["over"]), moved(begin.over, way))] if aside[0] else []
    before += [(at["over"], begin.over), (at["down"], begin.rest)]
    way = (0.0, 0.0, aside[1])
    after = [(_eased_s(at), end.rest)] if aside[1] else []
    after += [(at["open"], moved(end.rest, way)), (at["lifted"], moved(end.over, way)), (at["out"], end.front)]
    raised = sweep.spots + np.array([0.0, top, 0.0])
    spots = [*_at(before, origin), *zip(times, raised, strict=True), *_at(after, origin)]
    turns = [*_turns(before), *zip(times, sweep.turns, strict=True), *_turns(after)]
    return {(node, "translation"): _track(spots), (node, "rotation"): _track(turns)}


def _at(poses: Sequence[tuple[float, Rigid]], origin: Array) -> list[tuple[float, Array]]:
    return [(t, pose.points(origin[None])[0]) for t, pose in poses]


def _turns(poses: Sequence[tuple[float, Rigid]]) -> list[tuple[float, Array]]:
    return [(t, quaternion(pose.turn)) for t, pose in poses]


def _bend_tracks(scene: Scene, bending: Bending, sweep: Sweep, times: Sequence[float]) -> dict[Place, Track]:
    """The children turning together, and their bends taking the shapes of the arc, one after the other."""
    marks = [times[mark] for mark in sweep.marks]
    tracks: dict[Place, Track] = {}
    for name, reaches in bending.all_reaches.items():
        tracks |= _child_tracks(scene, name, list(zip(marks, reaches, strict=True)))
    return tracks


def _child_tracks(scene: Scene, bend_id: str, own: Sequence[tuple[float, Reach]]) -> dict[Place, Track]:
    bend = scene.part.bend(bend_id)
    poses = [(t, child_pose(scene.part, scene.blank, scene.nodes, bend.id, reach)) for t, reach in own]
    shapes = list(scene.shapes[bend.id])
    weights = np.zeros((len(own), len(shapes) - 1))
    for row, (_, reach) in zip(weights, own, strict=True):
        if shapes.index(reach):
            row[shapes.index(reach) - 1] = 1.0
    node = scene.nodes.flanges[bend.child]
    return {
        (node, "translation"): _track([(t, spot) for t, (spot, _) in poses]),
        (node, "rotation"): _track([(t, turn) for t, (_, turn) in poses]),
        (scene.nodes.bends[bend.id], "weights"): Track(tuple(t for t, _ in own), weights),
    }


def _finger_tracks(
    scene: Scene, bending: Bending, left: Left, top: float, at: Mapping[str, float]
) -> tuple[tuple[Array, ...], dict[Place, Track]]:
    """Fingers go to their place while the part is in the hands, and draw back when the punch holds the sheet; those without work
    stand out of the way.
    """
    gauging = bending.stroke.gauging
    xs = gauging.fingers_x_mm or (gauging.x_mm,) * len(gauging.fingers_z_mm)
    spots_z = zip(xs, gauging.fingers_z_mm, strict=True)
    places = [np.array([x, gauging.r_mm + top, bending.left_mm + z]) for x, z in spots_z]
    spots: list[Array] = []
    tracks: dict[Place, Track] = {}
    for number, node in enumerate(scene.tools.fingers):
        used = number < len(places)
        was = left.fingers[number] if left.fingers else places[min(number, len(places) - 1)] if places else np.zeros(3)
        spot = places[number] if used else np.array([max(was[0], AWAY_MM), was[1], was[2]])
        after = spot + np.array([max(DRAWN_BACK_MM, gauging.retract_mm) if used else 0.0, 0.0, 0.0])
        keys = [(0.0, was), (0.7 * at["carried"], spot), (at["down"], spot), (at["touch"], after), (at["out"], after)]
        tracks[node, "translation"] = _track(keys)
        spots.append(after)
    return tuple(spots), tracks


def _set_up_tracks(scene: Scene, set_up: int) -> dict[Place, Track]:
    """Only the set-up in use is there."""
    if len(scene.tools.rams) < 2:
        return {}
    return {
        (node, "scale"): Track((0.0,), np.full((1, 3), 1.0 if number == set_up else 0.0), jumps=True)
        for nodes in (scene.tools.rams, scene.tools.beds)
        for number, node in nodes.items()
    }


def _extras(bending: Bending, seconds: float, at: Mapping[str, float]) -> Json:
    stroke = bending.stroke
    close = stroke.clearance
    return {
        "stroke": stroke.number,
        "bend": stroke.bends_name,
        "bends": list(stroke.bend_ids),
        "brought_in": stroke.brought_in,
        "taken_off": stroke.taken_off,
        "kind": stroke.kind,
        "direction": stroke.direction,
        "station": stroke.station,
        "punch": stroke.punch_id,
        "die": stroke.die_id,
        "target_included_deg": round(stroke.target_included_deg, 4),
        "loaded_included_deg": round(stroke.loaded_included_deg, 4),
        "depth_mm": round(stroke.depth_mm, 4),
        "x_mm": round(stroke.gauging.x_mm, 4),
        "r_mm": round(stroke.gauging.r_mm, 4),
        "clearance_mm": round(close.mm, 4),
        "clearance_verdict": close.verdict,
        "clearance_against": close.against,
        "clearance_at_turned_deg": round(close.at_turned_deg, 4),
        "plan_s": round(stroke.handling.seconds + seconds, 4),
        "handling": stroke.handling.text,
        "at_s": {name: round(value, 6) for name, value in at.items()},
    }


def _closest(bending: Bending, sweep: Sweep, times: Sequence[float], station: Station, top: float) -> Json:
    """Where and when the part comes closest to what it must not touch: x and y in the film's frame, from where to where along
    the bed (the section is the same along the tools) [mm], and the second of the clip.
    """
    close = bending.stroke.clearance
    going = sweep.marks[:-1]
    turned = [reach.turned_deg for reach in sweep.reaches[: len(going)]]
    left = station.left_end_z_mm
    return {
        "clearance_at_mm": [round(close.at_point[0], 4), round(close.at_point[1] + top, 4)],
        "clearance_along_mm": [round(left, 4), round(left + station.length_mm, 4)],
        "clearance_at_s": round(float(np.interp(close.at_turned_deg, turned, [times[mark] for mark in going])), 6),
    }
