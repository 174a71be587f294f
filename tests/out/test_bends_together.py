"""Several bends made by one stroke, sheets brought in along the bed, slanted stops, clamps: on paper, in the film, in the files."""

from __future__ import annotations

import csv
import io
import math
import re
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest

from bendwright.drawing.plan_file import plan_from_json, plan_to_json
from bendwright.drawing.strokes_csv import strokes_csv
from bendwright.part.fold import fold
from bendwright.part.model import Part
from bendwright.plan.result import ClampPlace, Plan, PlanLeg
from bendwright.sheets.plan_words import picks
from bendwright.sheets.section_picture import section_svg
from bendwright.sheets.setup_content import setup_content
from bendwright.sheets.setup_sheet import ROOMS, setup_sheet_pdf
from bendwright.sheets.station_picture import CLAMPS_MM, ROW_MM, stations_svg
from bendwright.sheets.terminal import WIDTH, plan_summary
from bendwright.stroke.result import Stroke
from out.filmed import at, blank_corners, film_of, flats, machine, off_mm, station_top
from out.glb_reader import Glb, check, parse
from tabs import planned, shared

SLANT = ((30.0, 190.0), (27.1, 31.4))
"""Places of two fingers from the left end of both bends, and the X of each [mm]."""


def changed(**fields: Any) -> Plan:
    """The plan with some fields of its stroke of two bends changed."""
    plan, number = planned().plan, shared().number
    strokes = tuple(replace(stroke, **fields) if stroke.number == number else stroke for stroke in plan.strokes)
    return replace(plan, strokes=strokes)


def slanted() -> Plan:
    """The stroke of two bends gauged against an edge aslant, with two fingers that must draw back 3.24 mm."""
    places, xs = SLANT
    stop = replace(shared().gauging, fingers_z_mm=places, fingers_x_mm=xs, x_mm=min(xs), retract_mm=3.24)
    return changed(gauging=stop)


def card(plan: Plan, room: int = 0) -> dict[str, Any]:
    """What the setup sheet prints of the stroke of two bends."""
    content = setup_content(plan, (), width_mm=178.0, room=ROOMS[room], with_reasons=False)
    found: dict[str, Any] = content["strokes"][shared().number - 1]
    return found


def row_of(plan: Plan) -> dict[str, str]:
    """The row of that stroke in the programme table."""
    return list(csv.DictReader(io.StringIO(strokes_csv(plan))))[shared().number - 1]


@pytest.mark.origin("law", "every bend of a stroke is named wherever the stroke is")
def test_both_bends_are_named() -> None:
    """Card, section, terminal, table; the plan file gives the same plan back."""
    plan = planned().plan
    assert card(plan)["bend"] == "b1 + b2"
    assert card(plan)["bends"] == ["b1", "b2"]
    assert "b1 + b2 in one stroke" in card(plan)["do"]
    assert "bends b1 + b2: section" in section_svg(shared())
    text = plan_summary(plan)
    assert re.search(rf"^  {shared().number}    b1 \+ b2 ", text, re.MULTILINE)
    assert f"  {shared().number}. b1 + b2 in one stroke; " in text
    assert row_of(plan)["bend"] == "b1+b2"
    assert plan_from_json(plan_to_json(plan)) == plan


@pytest.mark.origin("law", "no bend is cut off where names run out of room")
def test_many_bends_are_counted_at_the_head() -> None:
    """Five bends: their number at the head of the card, all names below; the terminal stays within its width."""
    plan = changed(with_bends=("b2", "b5", "b6", "b7"))
    assert card(plan)["bend"] == "5 bends"
    for room in (0, len(ROOMS) - 1):
        assert "b1 + b2 + b5 + b6 + b7 in one stroke" in card(plan, room)["do"]
    text = plan_summary(plan)
    assert "b1 + b2 + b5 + b6 + b7 in one stroke" in text
    assert max(map(len, text.splitlines())) <= WIDTH


@pytest.mark.origin("law", "a leg is read where its gauging is, whichever bend of the stroke holds it")
def test_legs_of_all_bends() -> None:
    """Held at the second bend; two different sizes stand side by side."""
    legs = [PlanLeg(flange_id="t2", aimed_mm=25.0, drawn_mm=25.0, gauged_at_bend="b2")]
    assert card(replace(planned().plan, legs=tuple(legs)))["leg"] == "25.00"
    legs.append(PlanLeg(flange_id="t1", aimed_mm=30.5, drawn_mm=30.5, gauged_at_bend="b1"))
    assert card(replace(planned().plan, legs=tuple(legs)))["leg"] == "25.00 / 30.50"


@pytest.mark.origin("practice", "a setter is told how the sheet goes in and comes off where it is not straight")
@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"brought_in": "along"}, "in along the bed, from the end of the stack"),
        ({"taken_off": "shift"}, "off: lower it, shift toward front or gauge"),
        ({"taken_off": "along"}, "off along the bed, past the end of the stack"),
    ],
)
def test_ways_in_and_off(fields: dict[str, Any], words: str) -> None:
    """On the card however scarce the room, in the terminal, in the table; nothing is said of the plain way."""
    for room in (0, len(ROOMS) - 1):
        assert words in card(changed(**fields), room)["do"]
        assert words not in card(planned().plan, room)["do"]
    assert words in " ".join(plan_summary(changed(**fields)).split())
    row = row_of(changed(**fields))
    assert {key: row[key] for key in fields} == fields
    assert (row_of(planned().plan)["brought_in"], row_of(planned().plan)["taken_off"]) == ("straight", "up")


@pytest.mark.origin("law", "another sign for another way in, said in its title")
def test_the_sign_of_the_way_in() -> None:
    """The icon of the card."""
    assert "in along the bed" in card(changed(brought_in="along"))["icon"]
    assert "in along the bed" not in card(planned().plan)["icon"]


@pytest.mark.origin(
    "law", "each finger has its own X; the places along the bed follow from stack and left end of all bends"
)
def test_slanted_stops() -> None:
    """X1 and X2 on the card however scarce the room, each with its place in the terminal, and in the table."""
    plan = slanted()
    left = plan.stations[shared().station - 1].left_end_z_mm - shared().stack_from_mm
    places = [left + z for z in SLANT[0]]
    for room in (0, len(ROOMS) - 1):
        told = card(plan, room)
        assert told["each_x"] == ["27.10", "31.40"]
        assert told["z"] == f"Z {places[0]:.0f} / {places[1]:.0f}; fingers back 3.2 mm before it swings"
    text = " ".join(plan_summary(plan).split())
    assert f"fingers X1 27.10 at Z {places[0]:.0f}, X2 31.40 at Z {places[1]:.0f}; fingers back 3.2 mm" in text
    row = row_of(plan)
    assert (row["x_mm"], row["finger_x_mm"], row["retract_mm"]) == ("27.10", "27.10 31.40", "3.24")
    assert row["finger_z_from_bed_end_mm"] == f"{places[0]:.1f} {places[1]:.1f}"
    straight = row_of(planned().plan)
    assert set(straight["finger_x_mm"].split()) == {straight["x_mm"]}
    assert card(planned().plan)["each_x"] == []


@pytest.mark.origin("law", "clamps stand where the plan puts them over their stack")
def test_clamps() -> None:
    """In the pick list with the left ends on the bed, drawn over the punches; a brake with one rail has none."""
    plan = planned().plan
    (station,) = plan.stations
    own = (ClampPlace(length_mm=90.0, from_mm=0.0), ClampPlace(length_mm=90.0, from_mm=station.length_mm - 90.0))
    plan = replace(plan, stations=(replace(station, clamps=own),))
    (pick,) = [pick for pick in picks(plan) if pick.what.startswith("clamps")]
    left = station.left_end_z_mm
    assert (pick.pieces, pick.length) == ("2 × 90", "180")
    assert pick.locations == f"Z {left:.0f} / {left + station.length_mm - 90.0:.0f}"
    assert pick.locations in plan_summary(plan)
    rail = replace(plan, stations=(replace(station, clamps=()),))
    assert len(picks(rail)) == len(picks(plan)) - 1
    drawn, bare = stations_svg(plan), stations_svg(rail)
    assert f'height="{ROW_MM + CLAMPS_MM:g}mm"' in drawn
    assert f'height="{ROW_MM:g}mm"' in bare
    assert drawn.count("<path") + drawn.count("<polygon") == bare.count("<path") + bare.count("<polygon") + 2


@pytest.mark.origin("practice", "one page for up to eight bends is the rule of this sheet")
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_eight_bends_with_all_of_it_on_one_page(paper: Any) -> None:
    """Three strokes of two bends with slanted stops, the long ways and cells for the readings of each bend, two of one bend."""
    plan = slanted()
    long = replace(plan.strokes[shared().number - 1], brought_in="along", taken_off="along")
    one = next(stroke for stroke in plan.strokes if not stroke.with_bends)
    five = tuple(replace(stroke, number=i) for i, stroke in enumerate((one, long, long, long, one), start=1))
    assert sum(len(stroke.bend_ids) for stroke in five) == 8
    pdf = setup_sheet_pdf(replace(plan, strokes=five), (), paper=paper)
    assert re.findall(rb"/Count (\d+)", pdf)[0] == b"1"


@cache
def film() -> tuple[Part, Plan, Glb]:
    """Part, plan and film."""
    job = planned()
    return job.part, job.plan, parse(film_of(job.part, job.plan))


def children(part: Part, stroke: Stroke) -> list[str]:
    """The flanges a stroke turns."""
    return [part.bend(name).child for name in stroke.bend_ids]


@pytest.mark.origin("law", "flat at first; at last all flanges where part.fold puts them")
def test_the_film_folds_every_bend() -> None:
    """Both tabs of the stroke and the third one."""
    part, plan, glb = film()
    check(glb)
    blank = {name: points for name, points in blank_corners(part, plan, glb).items() if not name.startswith("bend ")}
    placed = fold(part, plan.blank)
    folded = np.vstack([placed[flange].points(blank[flange]) for flange in blank])
    shown = flats(part, machine(glb, "whole plan", 1e6))
    assert off_mm(np.vstack([shown[flange] for flange in blank]), folded) < 1e-4
    extras = glb.animation(f"stroke {shared().number}")["extras"]
    assert (extras["bend"], extras["bends"]) == ("b1 + b2", ["b1", "b2"])
    assert (extras["brought_in"], extras["taken_off"]) == ("straight", "up")


@pytest.mark.origin("law", "bends of one stroke turn together: at every moment both tabs lie in one plane")
def test_both_tabs_swing_together() -> None:
    """From touch to free 30 moments; loaded both wings are up by half the turned angle."""
    part, _, glb = film()
    stroke = shared()
    names = children(part, stroke)
    for seconds in np.linspace(at(glb, stroke, "touch"), at(glb, stroke, "free"), 30):
        own = flats(part, machine(glb, f"stroke {stroke.number}", float(seconds)))
        first, second = (np.unique(np.round(own[name][:, :2], 3), axis=0) for name in names)
        assert first == pytest.approx(second, abs=2e-3)
    own = flats(part, machine(glb, f"stroke {stroke.number}", at(glb, stroke, "loaded")))
    for name in (*names, "base"):
        spread = own[name] - own[name].mean(axis=0)
        normal = np.linalg.svd(spread)[2][-1]
        up = math.degrees(math.atan2(abs(normal[0]), abs(normal[1])))
        assert up == pytest.approx(0.5 * (180.0 - stroke.loaded_included_deg), abs=1e-3)


@pytest.mark.origin("law", "stack and fingers count from the left end of all bends of the stroke together")
def test_the_left_end_of_all_bends() -> None:
    """The leftmost tab begins where the stack says, the rightmost ends a bend length further; fingers lie against the sheet."""
    part, plan, glb = film()
    for stroke in plan.strokes:
        shown = machine(glb, f"stroke {stroke.number}", at(glb, stroke, "down"))
        left = plan.stations[stroke.station - 1].left_end_z_mm - stroke.stack_from_mm
        z = np.concatenate([flats(part, shown)[name][:, 2] for name in children(part, stroke)])
        assert (z.min(), z.max()) == pytest.approx((left, left + stroke.bend_length_mm), abs=1e-3)
        edge = flats(part, shown)[stroke.gauging.flange_id]
        for number, place in enumerate(stroke.gauging.fingers_z_mm, 1):
            finger = shown[f"finger {number}"]
            assert finger[:, 2].mean() == pytest.approx(left + place, abs=1e-3)
            assert finger[:, 0].min() == pytest.approx(edge[:, 0].max(), abs=0.01)
            assert edge[:, 2].min() < left + place < edge[:, 2].max()


@pytest.mark.origin("law", "each finger stands at the plan's own X for it")
def test_slanted_fingers_in_the_film() -> None:
    """Two fingers, 27.1 and 31.4 from the die's middle, drawn back at least as far as asked."""
    job, plan, stroke = planned(), slanted(), shared()
    plan = replace(
        plan,
        strokes=tuple(
            replace(s, gauging=replace(s.gauging, retract_mm=44.0)) if s.number == stroke.number else s
            for s in plan.strokes
        ),
    )
    glb = parse(film_of(job.part, plan))
    for moment, back in (("down", 0.0), ("out", 44.0)):
        shown = machine(glb, f"stroke {stroke.number}", at(glb, stroke, moment))
        for number, x in enumerate(SLANT[1], 1):
            finger = shown[f"finger {number}"]
            assert finger[:, 0].min() == pytest.approx(x + back, abs=1e-3)
            assert finger[:, 1].min() - station_top(plan, stroke) == pytest.approx(stroke.gauging.r_mm, abs=1e-3)


@pytest.mark.origin("law", "what comes in or goes off along the bed passes the end of the stack")
def test_along_the_bed_in_the_film() -> None:
    """Beside the stack before it is laid in, and before the ram is open; never so on the plain way."""
    part, stroke = planned().part, shared()
    moments = {"in": ("carried", "over"), "off": ("open", "open")}
    for fields, way in (({"brought_in": "along"}, "in"), ({"taken_off": "along"}, "off")):
        for plan, beside in ((changed(**fields), True), (planned().plan, False)):
            glb = parse(film_of(part, plan))
            first, last = (at(glb, stroke, name) for name in moments[way])
            shown = machine(glb, f"stroke {stroke.number}", 0.5 * (first + last))
            z = np.vstack(list(flats(part, shown).values()))[:, 2]
            stack = shown[f"station {stroke.station} punch {stroke.punch_id}"][:, 2]
            assert (z.min() > stack.max() or z.max() < stack.min()) == beside
