"""The sheets of the example parts: pages, and everything a setter must not miss."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest
from real_plans import LONG_NAMES, prepared, with_long_names
from test_setup_sheet import pages

from bendwright.plan.result import Plan
from bendwright.sheets.mind import listed_strokes, merged
from bendwright.sheets.plan_words import ends_of, set_ups
from bendwright.sheets.section_picture import section_svg
from bendwright.sheets.setup_content import Room, setup_content
from bendwright.sheets.setup_sheet import ROOMS, setup_sheet_pdf
from bendwright.sheets.station_picture import ROW_MM, stations_svg
from bendwright.sheets.terminal import WIDTH, plan_summary
from shop_talk import of_code

UP_TO_EIGHT = ("cabinet_door", "station_tray", "instrument_rail", "stair_tread")
BRIEF = next(room for room in ROOMS if room.findings == "brief")
APART = next(room for room in ROOMS if room.findings == "apart")


def content(plan: Plan, room: Room) -> dict[str, Any]:
    """What the template gets."""
    return setup_content(plan, (), width_mm=178.0, room=room, with_reasons=False)


def figures(text: str) -> set[str]:
    """All numbers with decimals in a text."""
    return set(re.findall(r"\d+\.\d+", text))


@pytest.mark.origin("practice", "one page for up to eight strokes on A4 and on Letter is the rule of this sheet")
@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("measured", [False, True])
@pytest.mark.parametrize("name", UP_TO_EIGHT)
def test_one_page(name: str, measured: bool, paper: Any) -> None:
    """Nominal and measured."""
    job = prepared(name, measured=measured)
    assert len(job.plan.strokes) <= 8
    assert pages(setup_sheet_pdf(job.plan, job.moved, paper=paper)) == 1


@pytest.mark.origin("practice", "one page for up to eight strokes, whatever the flanges are called")
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_one_page_with_long_names(paper: Any) -> None:
    """Eight strokes with names of twenty to thirty letters."""
    plan = with_long_names(prepared("cabinet_door").plan)
    assert len(plan.strokes) == 8
    assert plan.strokes[0].gauging.at in {f"free edge of flange {name}.return_lip" for name in LONG_NAMES.values()}
    assert pages(setup_sheet_pdf(plan, (), paper=paper)) == 1


@pytest.mark.origin("practice", "twelve strokes take two pages")
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_two_pages(paper: Any) -> None:
    """The hive roof with its flattening strokes."""
    job = prepared("hive_roof")
    assert len(job.plan.strokes) == 12
    assert pages(setup_sheet_pdf(job.plan, job.moved, paper=paper)) == 2


@pytest.mark.origin("practice", "points to mind that do not hurt may move to a page of their own; strokes stay on one")
def test_many_findings_move_to_a_page_of_their_own() -> None:
    """Thirty findings about holes beside eight strokes: one page for the floor and one with the findings in full."""
    plan = prepared("cabinet_door").plan
    hole = prepared("station_tray").plan.findings[0]
    holes = tuple(
        replace(hole, code="M102", where="", sentence=f"Hole {i} is near a bend. {i}.25 mm.") for i in range(30)
    )
    pdf = setup_sheet_pdf(replace(plan, findings=(*plan.findings, *holes)), ())
    assert pages(pdf) == 2


@pytest.mark.origin("law", "no number of a finding is lost, neither in the terminal nor on the sheet")
@pytest.mark.parametrize("name", ["cabinet_door", "hive_roof", "station_tray", "stair_tread"])
def test_no_finding_is_lost(name: str) -> None:
    """Terminal: every code with every figure. Sheet: in full every figure; in brief every figure but those of advice
    and rules; apart all on the page that follows.
    """
    plan = prepared(name).plan
    assert plan.findings
    text = " ".join(plan_summary(plan).split())
    for item in plan.findings:
        assert figures(item.sentence + item.cure) <= figures(text)
        assert f"! {item.code} {item.severity} " in text or f"! {item.code} {item.severity}:" in text
    for item in merged(plan):
        assert " ".join(item.sentence.split()) in text
    for room in (ROOMS[0], BRIEF, APART):
        data = content(plan, room)
        said = " ".join([*data["cautions"], *data["mind"], *(data["apart"] or {"findings": []})["findings"]])
        facts = " ".join(value for _, value in data["facts"])
        for item in plan.findings:
            wanted = item.sentence if room.findings == "brief" else item.sentence + item.cure
            if item.code == "K102" and room.findings == "brief":
                wanted = item.sentence.partition(": ")[0]
            assert figures(wanted) <= figures(f"{said} {facts}"), (item, room.findings)


@pytest.mark.origin("law", "the page for the floor is complete without the others")
@pytest.mark.parametrize("room", [ROOMS[0], BRIEF, APART], ids=["full", "brief", "apart"])
def test_what_hurts_stands_in_full_on_every_sheet(room: Room) -> None:
    """Cautions and the caught part with its cure, however scarce the room."""
    plan = prepared("cabinet_door").plan
    data = content(plan, room)
    held = [
        stroke
        for stroke in plan.strokes
        if f"stroke {stroke.number}" in {f.where for f in of_code(plan.findings, "K105")}
    ]
    bends = ", ".join(stroke.bend_id for stroke in held)
    assert held
    assert data["cautions"][0] == "Blank weighs 14.5 kg: two persons or a lifting aid."
    assert data["cautions"][-1] == (
        f"After {listed_strokes([stroke.number for stroke in held])} (bends {bends}) flange front.far holds the punch: it "
        "overlaps the ear foot by 9.5 mm per side. Slide the end pieces inward by at least 10.5 mm each, or tilt the part off."
    )
    hive = content(prepared("hive_roof").plan, room)["cautions"]
    assert any("run all pieces through the strokes of station 1" in line for line in hive)


@pytest.mark.origin(
    "law", "a hem pressed flat is not gauged and has no angle to set; where all else lies flat nothing is near"
)
def test_flattening_stroke() -> None:
    """Stop height instead of X and angle; a dash, never 0.0, where there is nothing to tell; no mark in the picture."""
    plan = prepared("hive_roof").plan
    stroke = next(stroke for stroke in plan.strokes if stroke.kind == "hem_flatten")
    card = content(plan, ROOMS[0])["strokes"][stroke.number - 1]
    assert {key: card[key] for key in ("x", "r", "z", "target", "loaded", "clear", "error", "leg")} == {
        "x": None,
        "r": None,
        "z": None,
        "target": None,
        "loaded": None,
        "clear": "",
        "error": "",
        "leg": "",
    }
    assert card["stated"] == ["stop height 1.40 mm"]
    n, last = stroke.station, plan.strokes[stroke.number - 2].station
    go = ("→ ", f"Go to station {n}; flatten to 1.40 mm") if n != last else ("", "As it lies; flatten to 1.40 mm")
    assert card["do"] == f"{go[0]}stn {n}: hem, press flat; {go[1]}"
    assert card["at"] == "no gauge: folded edge between the flat tools, sheet held in front"
    assert "watch" not in section_svg(stroke)
    text = plan_summary(plan)
    row = next(line for line in text.splitlines() if line.startswith(f"  {stroke.number:<5}{stroke.bend_id} ")).split()
    assert row[6:] == ["-", "-", "5.225", "flat", "-", row[11], row[12], "-", "ok"]
    how = " ".join(text.partition("\nHow\n")[2].split())
    how = how.partition(f"{stroke.number}. ")[2].partition(f"{stroke.number + 1}. ")[0]
    assert "stop height 1.40 mm" in how
    assert "error goes to" not in how


@pytest.mark.origin("law", "the share of the limit is that of a load; a least force has none")
def test_share_of_the_limit() -> None:
    """The tray's strokes below the least force of the brake (about 6 of 8 kN = 76 %) still show the share of a load."""
    plan = prepared("station_tray").plan
    least = [check for stroke in plan.strokes for check in stroke.checks if check.name == "least force"]
    assert {check.verdict for check in least} == {"ok", "watch"}
    card = content(plan, ROOMS[0])["strokes"][0]
    assert card["load"] == f"6–7 kN, {max(check.percent or 0.0 for check in plan.strokes[0].loads):.0f} % of limit"
    assert card["flagged"] == ["△ WATCH least force"]
    lowest = min(check.value for check in least)
    assert any(f"least force {lowest:.2f} kN against 8.00 kN" in line for line in content(plan, ROOMS[0])["mind"])


@pytest.mark.origin("law", "what hangs in turn is drawn in rows of its own, what hangs together does not overlap")
def test_stations_of_two_set_ups() -> None:
    """The hive roof: hemming and flattening tools together, the wall tools after them."""
    plan = prepared("hive_roof").plan
    rows = set_ups(plan.stations)
    assert [[station.number for station in row] for row in rows] == [[1, 2], [3]]
    for row in rows:
        for left, right in pairwise(row):
            assert max(ends_of(left)) <= right.left_end_z_mm
    svg = stations_svg(plan)
    assert f'height="{2 * ROW_MM:g}mm"' in svg
    for text in ("set-up 1: station 1", "station 2", "set-up 2: station 3"):
        assert f">{text}</text>" in svg
    assert len(set(re.findall(r">(mm from the left end of the bed: [^<]*)<", svg))) == 1


@pytest.mark.origin("law", "the finger stands where the gauge stands, and no part of the sheet lies inside it")
@pytest.mark.parametrize("name", ["cabinet_door", "hive_roof", "instrument_rail", "stair_tread", "station_tray"])
def test_finger_never_covers_the_part(name: str) -> None:
    """Neither the sheet as laid in nor as bent reaches into the finger by more than the drawing's own 0.05 mm."""
    shapely = pytest.importorskip("shapely")
    for stroke in prepared(name).plan.strokes:
        fingers = [shapely.Polygon(item.points) for item in stroke.view.polygons if item.role == "finger"]
        assert len(fingers) == (stroke.gauging.kind != "none")
        for finger in fingers:
            assert finger.bounds[0] == pytest.approx(stroke.gauging.x_mm, abs=0.001)
            for item in stroke.view.polygons:
                if item.role in ("part", "part_start"):
                    inside = finger.buffer(-0.05).intersection(shapely.Polygon(item.points))
                    assert inside.area == 0.0, (stroke.number, item.role)


@pytest.mark.origin("law", "texts stay within the terminal's width")
def test_summary_width() -> None:
    """Twelve strokes, two set-ups."""
    assert max(len(line) for line in plan_summary(prepared("hive_roof").plan).splitlines()) <= WIDTH
