"""Films of the examples, and where everything in them is at a moment."""

from __future__ import annotations

from functools import cache

import numpy as np

from bendwright.drawing.plan_glb import plan_glb
from bendwright.part.model import Part
from bendwright.plan.result import Plan
from bendwright.stroke.result import Stroke
from out.glb_reader import Array, Glb, corners, parse, state, worlds
from out.real_plans import prepared
from shop_talk import SHOP, example

NAMES = ["instrument_rail", "cabinet_door", "cable_tray", "hive_roof", "station_tray", "stair_tread", "thick_bracket"]
FROM_MM = 1e-3


def film_of(part: Part, plan: Plan) -> bytes:
    """The film with the tools of the demo shop."""
    cabinet = SHOP.cabinet
    return plan_glb(part, plan, punches=cabinet.punches, dies=cabinet.dies, brake=SHOP.brakes[plan.brake_id])


@cache
def film(name: str) -> tuple[Part, Plan, Glb]:
    """Part, plan and film of an example."""
    part, plan = example(name), prepared(name).plan
    return part, plan, parse(film_of(part, plan))


def machine(glb: Glb, clip: str | None, seconds: float) -> dict[str, Array]:
    """Corners of all meshes by node name in the machine's own frame [mm] at a moment of a clip (None: as the file opens)."""
    moved = state(glb, glb.animation(clip) if clip else None, seconds)
    places = worlds(glb, moved)
    back = np.linalg.inv(places[glb.node("machine")])
    return {
        node["name"]: corners(glb, number, moved, back @ places[number])
        for number, node in enumerate(glb.json["nodes"])
        if "mesh" in node and abs(np.linalg.det(places[number])) > 1e-15
    }


def flats(part: Part, shown: dict[str, Array]) -> dict[str, Array]:
    """Corners of every flange's flat among the meshes."""
    names = {flange.id: f"flange {flange.id}" for flange in part.flanges} | {part.flanges[0].id: "part"}
    return {flange: shown[name] for flange, name in names.items() if name in shown}


def blank_corners(part: Part, plan: Plan, glb: Glb) -> dict[str, Array]:
    """Corners of the sheet's meshes in blank coordinates, flats by flange, bends by name: nodes at rest lie flat, the root's origin
    in the middle of the blank.
    """
    moved = {(glb.node("part"), "rotation"): np.array([0.0, 0.0, 0.0, 1.0])}
    moved[glb.node("part"), "translation"] = np.array([0.5 * plan.blank.width_mm, 0.5 * plan.blank.height_mm, 0.0])
    places = worlds(glb, moved)
    back = np.linalg.inv(places[glb.node("machine")])
    names = {f"flange {flange.id}": flange.id for flange in part.flanges} | {"part": part.flanges[0].id}
    return {
        names.get(node["name"], node["name"]): corners(glb, number, moved, back @ places[number])
        for number, node in enumerate(glb.json["nodes"])
        if "mesh" in node and (node["name"] in names or node["name"].startswith("bend "))
    }


def off_mm(one: Array, other: Array) -> float:
    """How far two sets of points lie apart after the best rigid motion of one (no mirror) [mm]."""
    a, b = one - one.mean(axis=0), other - other.mean(axis=0)
    u, _, vt = np.linalg.svd(a.T @ b)
    turn = u @ np.diag([1.0, 1.0, np.linalg.det(u @ vt)]) @ vt
    return float(np.abs(a @ turn - b).max())


def at(glb: Glb, stroke: Stroke, name: str) -> float:
    """The second of a named moment in a stroke's clip."""
    return float(glb.animation(f"stroke {stroke.number}")["extras"]["at_s"][name])


def station_top(plan: Plan, stroke: Stroke) -> float:
    """Height of the die top of a stroke's station over that of the first station [mm]."""
    own = SHOP.cabinet.die(plan.stations[stroke.station - 1].die_id)
    return own.height_mm - SHOP.cabinet.die(plan.stations[0].die_id).height_mm
