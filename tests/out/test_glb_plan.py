"""The film of a plan, read by the letter of glTF 2.0, held against fold, section pictures and clearances of the plan."""

from __future__ import annotations

import gzip
import math
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest
import shapely

from bendwright.drawing.glb import GlbFile, linear_colour, quaternion
from bendwright.drawing.plan_glb import COLOURS, SPEED, plan_glb
from bendwright.findings import InputError
from bendwright.geometry.rigid import about_line
from bendwright.job import prepare
from bendwright.part.fold import fold
from bendwright.part.model import Part
from bendwright.plan.result import ClampPlace, Plan
from bendwright.sheets import palette
from bendwright.stroke.result import Stroke
from out.glb_reader import Array, Glb, check, corners, parse, state, worlds
from out.real_plans import prepared
from shop_talk import SHOP, example, profile, sheet

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


@pytest.mark.origin("printed", "glTF 2.0 specification, Khronos Group / ISO/IEC 12113:2022")
@pytest.mark.parametrize("name", NAMES)
def test_the_file_keeps_the_specification(name: str) -> None:
    """Container, views, accessors, meshes, nodes and animations, one clip a stroke and one over all."""
    _, plan, glb = film(name)
    check(glb)
    names = [animation["name"] for animation in glb.json["animations"]]
    assert names == [*(f"stroke {stroke.number}" for stroke in plan.strokes), "whole plan"]


@pytest.mark.origin("law", "flat sheet at first; at last the placements of part.fold, up to one rigid motion")
@pytest.mark.parametrize("name", NAMES)
def test_from_flat_to_folded(name: str) -> None:
    """Corners of all flats: as on the blank when the film begins, as folded when the whole film or the last clip ends."""
    part, plan, glb = film(name)
    blank = {name: points for name, points in blank_corners(part, plan, glb).items() if not name.startswith("bend ")}
    size = max(plan.blank.width_mm, plan.blank.height_mm)
    placed = fold(part, plan.blank)
    drawn = np.vstack([blank[flange] for flange in blank])
    folded = np.vstack([placed[flange].points(blank[flange]) for flange in blank])
    last = f"stroke {plan.strokes[-1].number}"
    for clip, seconds, wanted in (("stroke 1", 0.0, drawn), ("whole plan", 0.0, drawn), (None, 0.0, drawn),
                                  (last, 1e6, folded), ("whole plan", 1e6, folded)):  # fmt: skip
        shown = flats(part, machine(glb, clip, seconds))
        assert off_mm(np.vstack([shown[flange] for flange in blank]), wanted) < 1e-4 * max(1.0, size / 1000.0)


@pytest.mark.origin("law", "a bend's sheet ends where the flats begin, at every time")
@pytest.mark.parametrize("name", NAMES)
def test_bends_stay_joined_to_their_flats(name: str) -> None:
    """At 40 moments of the film every corner on a bend's two edges is where its flat carries it, within 0.05 mm."""
    part, plan, glb = film(name)
    whole = glb.animation("whole plan")
    length = max(float(glb.accessor(sampler["input"])[-1]) for sampler in whole["samplers"])
    rest = worlds(glb, {})
    lines = {line.bend_id: line for line in plan.blank.bend_lines}
    lying = blank_corners(part, plan, glb)
    joints = []
    for bend in part.bends:
        number, line = glb.node(f"bend {bend.id}"), lines[bend.id]
        sheet = corners(glb, number, {}, rest[number])
        along = np.subtract(line.end, line.start) / math.dist(line.start, line.end)
        out_of = (lying[f"bend {bend.id}"][:, :2] - line.start) @ (along[1], -along[0])
        for flange, end in ((bend.parent, out_of.min()), (bend.child, out_of.max())):
            node = glb.node("part" if flange == part.flanges[0].id else f"flange {flange}")
            back = np.linalg.inv(rest[node])
            joints.append((number, node, np.abs(out_of - end) < 1e-3, sheet @ back[:3, :3].T + back[:3, 3]))
    assert joints
    for seconds in np.linspace(0.0, length, 40):
        moved = state(glb, whole, float(seconds))
        places = worlds(glb, moved)
        for number, node, own, local in joints:
            shown = corners(glb, number, moved, places[number])[own]
            carried = (local @ places[node][:3, :3].T + places[node][:3, 3])[own]
            assert len(shown) >= 2
            assert np.abs(shown - carried).max() < 0.05 * FROM_MM


@pytest.mark.origin("law", "both wings turn by half the loaded angle; the tip stands where the plan's section has it")
@pytest.mark.parametrize("name", NAMES)
def test_under_the_punch(name: str) -> None:
    """Loaded: legs as far from level as each other, the angle between them the plan's, punch and die as in the section."""
    part, plan, glb = film(name)
    for stroke in plan.strokes:
        if stroke.kind != "air_bend":
            continue
        shown = machine(glb, f"stroke {stroke.number}", at(glb, stroke, "loaded"))
        bend, own = part.bend(stroke.bend_id), flats(part, shown)
        back = stroke.gauged_flange_side
        slopes = {}
        for flange, way in ((bend.child, 1.0), (bend.parent, -1.0)):
            spread = own[flange] - own[flange].mean(axis=0)
            normal = np.linalg.svd(spread)[2][-1]
            assert abs(normal[2]) < 1e-5
            side = way if back == "child" else -way
            slopes[flange] = math.degrees(math.atan2(abs(normal[0]), abs(normal[1])))
            assert side * (own[flange].mean(axis=0)[0]) > 0.0
        wings = [slopes[bend.child], slopes[bend.parent]]
        assert wings == pytest.approx([0.5 * (180.0 - stroke.loaded_included_deg)] * 2, abs=1e-3)
        punch = next(item for item in stroke.view.polygons if item.role == "punch")
        top = station_top(plan, stroke)
        mesh = shown[f"station {stroke.station} punch {stroke.punch_id}"]
        assert mesh[:, 1].min() - top == pytest.approx(min(y for _, y in punch.points), abs=2e-3)
        assert np.ptp(mesh[:, 2]) == pytest.approx(stroke.stack_length_mm, abs=1e-3)


def station_top(plan: Plan, stroke: Stroke) -> float:
    """Height of the die top of a stroke's station over that of the first station [mm]."""
    own = SHOP.cabinet.die(plan.stations[stroke.station - 1].die_id)
    return own.height_mm - SHOP.cabinet.die(plan.stations[0].die_id).height_mm


@pytest.mark.origin(
    "law", "the sheet of the film is the sheet of the plan's own section pictures, before and under load"
)
@pytest.mark.parametrize("name", ["instrument_rail", "cable_tray", "thick_bracket", "stair_tread"])
def test_the_film_shows_what_the_sections_show(name: str) -> None:
    """Profiles are the same all along: seen from the end every corner lies on the section, and both are as large.

    Both draw arcs as chords of up to 11 degrees; the sections turn by the loaded angle of the search's punch, which may be some
    hundredths of a degree off the stroke's own.
    """
    _, plan, glb = film(name)
    for stroke in plan.strokes:
        for moment, role in (("down", "part_start"), ("loaded", "part")):
            shown = machine(glb, f"stroke {stroke.number}", at(glb, stroke, moment))
            sheet = [
                points for node, points in shown.items() if node == "part" or node.split()[0] in ("flange", "bend")
            ]
            seen = np.vstack(sheet)[:, :2] - (0.0, station_top(plan, stroke))
            drawn = [shapely.Polygon(item.points) for item in stroke.view.polygons if item.role == role]
            section = shapely.union_all(drawn)
            rough = 0.02 + 0.006 * (stroke.inside_radius_mm + plan.blank.thickness_mm) + 2e-4 * np.abs(seen).max()
            assert max(section.distance(shapely.Point(*spot)) for spot in seen) < rough
            box = shapely.MultiPoint(seen).bounds
            assert box == pytest.approx(section.bounds, abs=rough + 2e-4 * np.abs(seen).max())


@pytest.mark.origin("law", "nothing comes nearer to the punch than the plan says, and something comes as near")
@pytest.mark.parametrize("name", ["instrument_rail", "cable_tray", "cabinet_door"])
def test_clearance_is_the_plans(name: str) -> None:
    """Along the stroke, between key times too: flats that do not lie on the die, against the punch, seen from the bed's end."""
    part, plan, glb = film(name)
    told = 0
    for stroke in plan.strokes:
        if stroke.kind != "air_bend" or stroke.clearance.against != f"punch {stroke.punch_id}":
            continue
        punch = SHOP.cabinet.punch(stroke.punch_id)
        sign = -1.0 if stroke.punch_turned else 1.0
        lying = flats(part, machine(glb, f"stroke {stroke.number}", at(glb, stroke, "down")))
        standing = [flange for flange, points in lying.items() if np.ptp(points[:, 1]) > 2.0 * plan.blank.thickness_mm]
        nearest = math.inf
        for seconds in np.linspace(at(glb, stroke, "touch"), at(glb, stroke, "loaded"), 80):
            shown = machine(glb, f"stroke {stroke.number}", float(seconds))
            mesh = shown[f"station {stroke.station} punch {stroke.punch_id}"]
            tool = shapely.Polygon([(sign * x, y + mesh[:, 1].min()) for x, y in punch.outline])
            for flange, points in flats(part, shown).items():
                beside = points[:, 2].max() > mesh[:, 2].min() and points[:, 2].min() < mesh[:, 2].max()
                if flange in standing and beside:
                    nearest = min(nearest, tool.distance(shapely.MultiPoint(points[:, :2]).convex_hull))
        assert nearest > stroke.clearance.mm - 0.02
        if stroke.clearance.part_piece.startswith("flange"):
            told += 1
            assert nearest == pytest.approx(stroke.clearance.mm, abs=0.1)
    assert told


@pytest.mark.origin("law", "the closest place lies on the sheet, or no further from it than the clearance")
@pytest.mark.parametrize("name", ["instrument_rail", "cable_tray", "cabinet_door", "station_tray"])
def test_the_closest_place_is_where_the_clip_says(name: str) -> None:
    """At the second and the spot named in the extras the sheet is as near as the plan says, along the stroke's own tools."""
    _, plan, glb = film(name)
    for stroke in plan.strokes:
        said: dict[str, Any] = glb.animation(f"stroke {stroke.number}")["extras"]
        assert at(glb, stroke, "touch") <= said["clearance_at_s"] <= at(glb, stroke, "loaded")
        shown = machine(glb, f"stroke {stroke.number}", said["clearance_at_s"])
        pieces = [points for node, points in shown.items() if node == "part" or node.split()[0] in ("flange", "bend")]
        spot = shapely.Point(said["clearance_at_mm"])
        near = min(spot.distance(shapely.MultiPoint(points[:, :2]).convex_hull) for points in pieces)
        assert near <= max(0.0, stroke.clearance.mm) + 0.3
        station = plan.stations[stroke.station - 1]
        assert said["clearance_along_mm"] == pytest.approx(
            (station.left_end_z_mm, station.left_end_z_mm + station.length_mm), abs=1e-3
        )


@pytest.mark.origin("law", "sheet and tools are never in the same place")
@pytest.mark.parametrize("name", NAMES)
def test_sheet_and_tools_do_not_cross(name: str) -> None:
    """While the ram moves no corner of the sheet lies deeper in punch or die than chords of their arcs are off: 0.1 mm."""
    _, plan, glb = film(name)
    for stroke in plan.strokes:
        punch, die = SHOP.cabinet.punch(stroke.punch_id), SHOP.cabinet.die(stroke.die_id)
        sign = -1.0 if stroke.punch_turned else 1.0
        eared = any("ear" in piece.label for piece in plan.stations[stroke.station - 1].punch_pieces)
        relieved = max((piece.ear.overhang_mm for piece in punch.pieces if piece.ear and eared), default=0.0)
        for seconds in np.linspace(at(glb, stroke, "down"), at(glb, stroke, "open"), 60):
            shown = machine(glb, f"stroke {stroke.number}", float(seconds))
            sheet = np.vstack(
                [p for node, p in shown.items() if node == "part" or node.split()[0] in ("flange", "bend")]
            )
            tip = shown[f"station {stroke.station} punch {stroke.punch_id}"]
            block = shown[f"station {stroke.station} die {stroke.die_id}"]
            tools = [(tip, [(sign * x, y + tip[:, 1].min()) for x, y in punch.outline], relieved)]
            tools.append((block, [(x, y + station_top(plan, stroke)) for x, y in die.outline], 0.0))
            for mesh, outline, end in tools:
                along = sheet[:, 2]
                within = sheet[(along > mesh[:, 2].min() + end) & (along < mesh[:, 2].max() - end)][:, :2]
                tool = shapely.Polygon(outline)
                spots = shapely.points(within)
                inside = spots[shapely.contains(tool, spots)]
                assert not len(inside) or shapely.distance(tool.exterior, inside).max() < 0.1


@pytest.mark.origin("law", "sheet and tools are never in the same place")
def test_a_part_that_holds_the_punch_is_led_off() -> None:
    """A channel as deep as wide stands over the punch when it is bent: it leaves past the end of the stack before the ram opens."""
    part = profile("30 u90 30 u90 30 x 80", material="S235JR")
    plan = prepare(part, sheet("S235JR", "2"), SHOP).plan
    held = [finding.where for finding in plan.findings if finding.code == "K105"]
    assert held == ["stroke 2"]
    glb = parse(film_of(part, plan))
    check(glb)
    stroke = plan.strokes[1]
    punch = SHOP.cabinet.punch(stroke.punch_id)
    sign = -1.0 if stroke.punch_turned else 1.0
    for seconds in np.linspace(at(glb, stroke, "loaded"), at(glb, stroke, "lifted"), 80):
        shown = machine(glb, "stroke 2", float(seconds))
        tip = shown[f"station {stroke.station} punch {stroke.punch_id}"]
        tool = shapely.Polygon([(sign * x, y + tip[:, 1].min()) for x, y in punch.outline])
        for points in flats(part, shown).values():
            if points[:, 2].max() > tip[:, 2].min() and points[:, 2].min() < tip[:, 2].max():
                hull = shapely.MultiPoint(points[:, :2]).convex_hull
                assert hull.intersection(tool).area < 0.1
    last = np.vstack(list(flats(part, machine(glb, "stroke 2", at(glb, stroke, "open"))).values()))
    assert last[:, 2].min() > tip[:, 2].max() or last[:, 2].max() < tip[:, 2].min()


@pytest.mark.origin("law", "the gauged edge or face stands against the fingers where the plan puts them")
@pytest.mark.parametrize("name", NAMES)
def test_the_sheet_lies_against_the_fingers(name: str) -> None:
    """Lying on the die, before the ram comes: fingers at X, R and their Z; nothing of the part beyond them at their height."""
    part, plan, glb = film(name)
    for stroke in plan.strokes:
        if stroke.gauging.kind == "none":
            continue
        shown = machine(glb, f"stroke {stroke.number}", at(glb, stroke, "down"))
        left = plan.stations[stroke.station - 1].left_end_z_mm - stroke.stack_from_mm
        top = station_top(plan, stroke)
        for number, z in enumerate(stroke.gauging.fingers_z_mm, 1):
            finger = shown[f"finger {number}"]
            assert finger.min(axis=0)[:2] == pytest.approx((stroke.gauging.x_mm, stroke.gauging.r_mm + top), abs=1e-3)
            assert finger[:, 2].mean() == pytest.approx(left + z, abs=1e-3)
        sheet = np.vstack([p for node, p in shown.items() if node == "part" or node.split()[0] in ("flange", "bend")])
        if stroke.gauging.kind == "edge":
            own = flats(part, shown)[stroke.gauging.flange_id]
            assert own[:, 0].max() == pytest.approx(stroke.gauging.x_mm, abs=0.01)
        lowest, highest = stroke.gauging.r_mm + top, stroke.gauging.r_mm + top + 12.0
        band = sheet[(sheet[:, 1] > lowest - 0.5) & (sheet[:, 1] < highest)]
        assert band[:, 0].max() < stroke.gauging.x_mm + 0.05


@pytest.mark.origin("derived", "a hem pressed shut is two sheets high; its child lies on the parent's face")
def test_hems_are_pressed_flat() -> None:
    """The bar ends two sheets over the flat die, the folded layer lies between, and nothing else of the plan's set-up is seen."""
    part, plan, glb = film("hive_roof")
    pressed = [stroke for stroke in plan.strokes if stroke.kind == "hem_flatten"]
    assert len(pressed) == 4
    for stroke in pressed:
        shown = machine(glb, f"stroke {stroke.number}", at(glb, stroke, "loaded"))
        top, t = station_top(plan, stroke), plan.blank.thickness_mm
        bar = shown[f"station {stroke.station} punch {stroke.punch_id}"]
        assert bar[:, 1].min() - top == pytest.approx(2.0 * t, abs=1e-3)
        layer = flats(part, shown)[part.bend(stroke.bend_id).child]
        assert (layer[:, 1].min() - top, layer[:, 1].max() - top) == pytest.approx((t, 2.0 * t), abs=1e-3)
        assert abs(layer[:, 0]).max() < max(x for x, _ in SHOP.cabinet.punch(stroke.punch_id).outline)
        before = machine(glb, f"stroke {stroke.number}", at(glb, stroke, "touch"))
        raised = flats(part, before)[part.bend(stroke.bend_id).child]
        bar = before[f"station {stroke.station} punch {stroke.punch_id}"]
        assert raised[:, 1].max() == pytest.approx(bar[:, 1].min(), abs=0.01)


@pytest.mark.origin("law", "tools of another set-up are away while one is worked with")
def test_one_set_up_at_a_time() -> None:
    """Punches and dies are there in the strokes of their set-up and nowhere else, in the clips and in the whole film."""
    _, plan, glb = film("hive_roof")
    set_ups = {station.number: station.set_up for station in plan.stations}
    assert len(set(set_ups.values())) == 2
    for stroke in plan.strokes:
        clip = glb.animation(f"stroke {stroke.number}")
        moments = [(f"stroke {stroke.number}", 0.5 * clip["extras"]["at_s"]["out"])]
        moments.append(("whole plan", clip["extras"]["starts_s"] + moments[0][1]))
        for name, seconds in moments:
            there = {int(node.split()[1]) for node in machine(glb, name, seconds) if node.startswith("station")}
            assert there == {number for number, set_up in set_ups.items() if set_up == set_ups[stroke.station]}


@pytest.mark.origin(
    "derived", "glTF: y up, metres, +z toward the viewer in front; machine: x away from the operator, z right"
)
def test_it_stands_the_right_way_round() -> None:
    """Die tops level in x and z, the fingers behind (-z), the bed's left end at smaller x, sizes in metres."""
    _, plan, glb = film("station_tray")
    moved = state(glb, glb.animation("stroke 1"), at(glb, plan.strokes[0], "down"))
    places = worlds(glb, moved)
    fingers = [corners(glb, glb.node(f"finger {n}"), moved, places[glb.node(f"finger {n}")]) for n in (1, 2)]
    assert fingers[0][:, 0].mean() < fingers[1][:, 0].mean()
    assert max(finger[:, 2].max() for finger in fingers) == pytest.approx(
        -plan.strokes[0].gauging.x_mm * FROM_MM, abs=1e-6
    )
    die = glb.node(f"station 1 die {plan.stations[0].die_id}")
    block = corners(glb, die, moved, places[die])
    assert block[:, 1].max() == pytest.approx(0.0, abs=1e-7)
    assert np.ptp(block[:, 0]) == pytest.approx(
        sum(p.length_mm for p in plan.stations[0].die_pieces) * FROM_MM, rel=1e-6
    )
    assert block[:, 0].min() == pytest.approx(plan.stations[0].left_end_z_mm * FROM_MM, rel=1e-6)


@pytest.mark.origin(
    "derived", "brake M4: clamps 127 high and 2 x 15 deep under the ram; holder 55 high and 40 wide on the bed"
)
def test_clamps_and_die_holder_are_shown() -> None:
    """Two clamps over the stack where the plan puts them, the ram on top of them, and the die on its holder."""
    part, plan = example("cable_tray"), prepared("cable_tray").plan
    places = (ClampPlace(length_mm=90.0, from_mm=5.0), ClampPlace(length_mm=40.0, from_mm=205.0))
    clamped = replace(plan, stations=tuple(replace(station, clamps=places) for station in plan.stations))
    cabinet, brake = SHOP.cabinet, SHOP.brakes["M4"]
    glb = parse(plan_glb(part, clamped, punches=cabinet.punches, dies=cabinet.dies, brake=brake))
    check(glb)
    stroke = plan.strokes[0]
    for moment in ("down", "loaded"):
        shown = machine(glb, f"stroke {stroke.number}", at(glb, stroke, moment))
        station = clamped.stations[stroke.station - 1]
        punch, clamps = (shown[f"station {station.number} {what}"] for what in (f"punch {station.punch_id}", "clamps"))
        ram = shown[f"ram beam {station.set_up}"]
        shoulder, left = punch[:, 1].max(), station.left_end_z_mm
        assert (clamps[:, 1].min(), clamps[:, 1].max()) == pytest.approx((shoulder, shoulder + 127.0), abs=1e-3)
        assert (clamps[:, 0].min(), clamps[:, 0].max()) == pytest.approx((-15.0, 15.0), abs=1e-3)
        ends = np.unique(np.round(clamps[:, 2] - left, 3))
        assert ends == pytest.approx([5.0, 95.0, 205.0, 245.0], abs=2e-3)
        assert ram[:, 1].min() == pytest.approx(shoulder + 127.0, abs=1e-3)
        die = shown[f"station {station.number} die {station.die_id}"]
        holder, bed = shown[f"die holder {station.set_up}"], shown[f"bed beam {station.set_up}"]
        foot = die[:, 1].min()
        assert (holder[:, 1].min(), holder[:, 1].max()) == pytest.approx((foot - 55.0, foot), abs=1e-3)
        assert np.ptp(holder[:, 0]) == pytest.approx(40.0, abs=1e-3)
        assert bed[:, 1].max() == pytest.approx(foot - 55.0, abs=1e-3)


@pytest.mark.origin("law", "what is not known is not drawn")
def test_unknown_holders_are_not_drawn() -> None:
    """M1: one rail of height 0 and a holder of unknown width: the ram stands on the punch, the bed under the die."""
    _, plan, glb = film("cable_tray")
    assert plan.brake_id == "M1"
    names = {node["name"] for node in glb.json["nodes"]}
    assert not {name for name in names if "clamps" in name or "die holder" in name}
    stroke = plan.strokes[0]
    shown = machine(glb, f"stroke {stroke.number}", at(glb, stroke, "loaded"))
    punch = shown[f"station {stroke.station} punch {stroke.punch_id}"]
    die = shown[f"station {stroke.station} die {stroke.die_id}"]
    assert shown["ram beam 1"][:, 1].min() == pytest.approx(punch[:, 1].max(), abs=1e-3)
    assert shown["bed beam 1"][:, 1].max() == pytest.approx(die[:, 1].min(), abs=1e-3)


@pytest.mark.origin("law", "what the clips say is what the plan says; seconds are the plan's, run faster")
@pytest.mark.parametrize("name", ["hive_roof", "cable_tray"])
def test_clips_say_what_they_show(name: str) -> None:
    """Stroke, bend, angles, gauge, clearance in every clip's extras; lengths in proportion, the clips end to end in the whole."""
    part, plan, glb = film(name)
    start = 0.0
    for stroke in plan.strokes:
        clip = glb.animation(f"stroke {stroke.number}")
        said: dict[str, Any] = clip["extras"]
        assert (said["stroke"], said["bend"], said["kind"]) == (stroke.number, stroke.bend_id, stroke.kind)
        assert said["clearance_mm"] == pytest.approx(stroke.clearance.mm, abs=1e-4)
        assert said["loaded_included_deg"] == pytest.approx(stroke.loaded_included_deg, abs=1e-4)
        assert said["x_mm"] == pytest.approx(stroke.gauging.x_mm, abs=1e-4)
        assert said["starts_s"] == pytest.approx(start, abs=1e-3)
        length = max(float(glb.accessor(sampler["input"])[-1]) for sampler in clip["samplers"])
        least = 2.0 - stroke.handling.seconds if stroke.handling.seconds < 2.0 else 0.0
        assert length == pytest.approx((said["plan_s"] + least) / SPEED, abs=1e-3)
        start += length
    assert sum(glb.animation(f"stroke {s.number}")["extras"]["plan_s"] for s in plan.strokes) == pytest.approx(
        plan.times.cycle_s, abs=0.01
    )
    nodes = {node["name"]: node for node in glb.json["nodes"]}
    for bend in part.bends:
        assert nodes[f"bend {bend.id}"]["extras"]["bend"] == bend.id
    assert glb.json["scenes"][0]["extras"]["part_no"] == part.header.part_no


@pytest.mark.origin("law", "colours on the screen are those on paper; the same plan gives the same bytes, small ones")
def test_colours_bytes_and_size() -> None:
    """Every material's colour is one of the paper's palette; twelve strokes stay below 50 kB packed."""
    known = {value for value in vars(palette).values() if isinstance(value, str)} | {
        look.fill for look in palette.LOOKS.values()
    }
    assert set(COLOURS.values()) <= known
    part, plan = example("hive_roof"), prepared("hive_roof").plan
    data = film_of(part, plan)
    assert data == film_of(part, plan)
    assert len(plan.strokes) == 12
    assert len(gzip.compress(data)) < 50_000


@pytest.mark.origin("law", "the finding's own text, filled with what is missing")
def test_a_film_of_the_wrong_things() -> None:
    """A plan of another part, and tools that are not there, are said all at once."""
    part, plan = example("cable_tray"), prepared("cable_tray").plan
    with pytest.raises(InputError) as caught:
        plan_glb(example("mast_clamp"), plan, punches=(), dies=SHOP.cabinet.dies)
    assert [str(item) for item in caught.value.findings] == [
        "D510 error: The plan is not one of this part: it bends b1, b2, the part has b1. Take the part the plan was made for,"
        " or make the plan again.",
        "D511 error [station 1]: The plan uses punch P2, which is not among the tools given. Take the shop the plan was made"
        " for, or make the plan again.",
    ]
    with pytest.raises(InputError) as caught:
        plan_glb(part, replace(plan, strokes=()), punches=SHOP.cabinet.punches, dies=SHOP.cabinet.dies)
    assert [item.code for item in caught.value.findings] == ["D510"]


@pytest.mark.origin("derived", "a turn by a about a unit axis n is (n sin a/2, cos a/2); sRGB 0.5 is linear 0.2140")
def test_quaternions_and_colours() -> None:
    """Every kind of rotation, half turns about each axis among them; black, white and middle grey."""
    for axis in (*np.eye(3), np.array([0.6, 0.0, 0.8]), np.array([-1.0, 2.0, 2.0]) / 3.0):
        for turned in (0.0, 0.3, 1.6, 3.0, math.pi):
            got = quaternion(about_line(np.zeros(3), axis, turned).turn)
            want = np.array([*(axis * math.sin(0.5 * turned)), math.cos(0.5 * turned)])
            assert min(np.abs(got - want).max(), np.abs(got + want).max()) < 1e-7
    assert linear_colour("#000000") == [0.0, 0.0, 0.0, 1.0]
    assert linear_colour("#ff8000") == pytest.approx([1.0, 0.215861, 0.0, 1.0], abs=1e-6)


@pytest.mark.origin("printed", "glTF 2.0: 16-bit indices end below 65535; larger meshes need 32 bits")
def test_large_meshes() -> None:
    """More corners than 16 bits count are stored with 32-bit indices, and both kinds stand in one file."""
    file = GlbFile()
    file.json.update({"asset": {"version": "2.0"}, "scene": 0})
    file.add("materials", {"pbrMetallicRoughness": {"baseColorFactor": [1.0, 1.0, 1.0, 1.0]}})
    for count in (3, 70_000):
        points = np.random.default_rng(1).normal(size=(count, 3))
        row = {"attributes": {"POSITION": file.positions(points)}, "mode": 4, "material": 0}
        numbers = np.arange(count - count % 3).reshape(-1, 3)
        mesh = file.add("meshes", {"primitives": [row | {"indices": file.indices(numbers)}]})
        file.add("nodes", {"name": f"of {count}", "mesh": mesh})
    file.add("scenes", {"nodes": [0, 1]})
    glb = parse(file.to_bytes())
    check(glb)
    kinds = [glb.json["accessors"][mesh["primitives"][0]["indices"]]["componentType"] for mesh in glb.json["meshes"]]
    assert kinds == [5123, 5125]
