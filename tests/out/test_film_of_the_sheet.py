"""The sheet in the film of a plan: flat at first, folded at last, in between as the plan's own sections and fingers have it."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from filmed import FROM_MM, NAMES, at, blank_corners, film, flats, machine, off_mm, station_top

from bendwright.part.fold import fold
from out.glb_reader import corners, state, worlds
from shop_talk import SHOP


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
