"""Sheet and tools in the film of a plan: as near to each other as the plan says, never in the same place."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
import shapely
from filmed import NAMES, at, film, film_of, flats, machine, station_top

from bendwright.job import prepare
from out.glb_reader import check, parse
from shop_talk import SHOP, profile, sheet


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
