"""The replay of the product: plans that hold replay clean, and each thing made wrong on purpose is found by its finding."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from planned import SHOP, example, plan_of

from bendwright.findings import Finding
from bendwright.part.model import Header, Part
from bendwright.part.panel import panel_part
from bendwright.part.typed import TypedBase, TypedBend, TypedFlange
from bendwright.plan.result import ClampPlace, PickedPiece, Plan
from bendwright.replay.bringing import daylight_mm
from bendwright.replay.folding import sheet_of
from bendwright.replay.hung import punch_parts
from bendwright.replay.replay import replay_plan
from bendwright.replay.standing import stand
from bendwright.shop.brake import Brake

M1 = SHOP.brakes["M1"]
WRONG = "a plan made wrong on purpose is found out"


def said(part: Part, plan: Plan, brake: Brake = M1) -> tuple[Finding, ...]:
    """The replay's findings."""
    return replay_plan(part, plan, cabinet=SHOP.cabinet, brake=brake, practice=SHOP.practice)


def planned(name: str) -> tuple[Part, Plan]:
    """An example part and its plan."""
    part = example(name)
    plan = plan_of(part)
    assert plan is not None
    return part, plan


def stroke(plan: Plan, which: int, **changes: Any) -> Plan:
    """The plan with one stroke changed; negative numbers count from the end."""
    which = which if which > 0 else len(plan.strokes) + 1 + which
    return replace(plan, strokes=tuple(replace(s, **changes) if s.number == which else s for s in plan.strokes))


def gauging(plan: Plan, number: int, **changes: Any) -> Plan:
    """The plan with the gauging of one stroke changed."""
    return stroke(plan, number, gauging=replace(plan.strokes[number - (number > 0)].gauging, **changes))


def station(plan: Plan, **changes: Any) -> Plan:
    """The plan with its first station changed."""
    return replace(plan, stations=(replace(plan.stations[0], **changes), *plan.stations[1:]))


def tools(plan: Plan, **changes: Any) -> Plan:
    """Other tools in the first station and in all strokes made there."""
    strokes = tuple(replace(s, **changes) if s.station == 1 else s for s in plan.strokes)
    return replace(station(plan, **changes), strokes=strokes)


def in_order(plan: Plan, order: list[int]) -> Plan:
    """The strokes in another order, numbered anew."""
    return replace(
        plan, strokes=tuple(replace(plan.strokes[old - 1], number=new) for new, old in enumerate(order, start=1))
    )


def backwards(plan: Plan) -> Plan:
    """Last stroke first."""
    return in_order(plan, list(range(len(plan.strokes), 0, -1)))


def longer_stack(plan: Plan) -> Plan:
    """The tray's stack as long as its walls are apart."""
    length = 177.0
    strokes = [replace(s, stack_length_mm=length, stack_from_mm=s.stack_from_mm - 1.0) for s in plan.strokes]
    return replace(station(plan, length_mm=length), strokes=tuple(strokes))


def narrow(**changes: Any) -> Brake:
    """The brake with a gauge changed."""
    return replace(M1, gauge=replace(M1.gauge, **changes))


Change = Callable[[Plan], Plan]
SAME: Change = lambda plan: plan  # noqa: E731
CASES: list[tuple[str, str, Change, Brake, str]] = [
    ("V100", "instrument_rail", lambda p: tools(p, punch_id="P77"), M1, "The plan names punch P77"),
    ("V100", "instrument_rail", lambda p: stroke(p, 1, station=9), M1, "The plan names station 9"),
    ("V101", "instrument_rail", lambda p: replace(p, strokes=p.strokes[:3]), M1, "is made 0 times"),
    ("V101", "instrument_rail", lambda p: stroke(p, 1, with_bends=("b77",)), M1, "Bend b77 is not a bend of the part"),
    ("V101", "instrument_rail", lambda p: stroke(p, 2, bend_length_mm=1199.0), M1, "is 1199.00 mm long by the plan"),
    ("V102", "hive_roof", lambda p: in_order(p, [3, 1, 2, *range(4, 13)]), M1, "is made by hem_flatten, hem_prebend"),
    ("V102", "instrument_rail", lambda p: stroke(p, 2, number=7), M1, "strokes are numbered 1, 7, 3, 4"),
    ("V102", "hive_roof", lambda p: stroke(p, 3, die_id="V16"), M1, "and die V16 do not flatten"),
    ("V104", "instrument_rail", lambda p: station(p, punch_pieces=p.stations[0].punch_pieces * 3), M1, "at once,"),
    (
        "V105",
        "instrument_rail",
        lambda p: station(p, punch_pieces=p.stations[0].punch_pieces[1:]),
        M1,
        "long by the plan",
    ),
    (
        "V106",
        "instrument_rail",
        lambda p: station(p, left_end_z_mm=-50.0),
        M1,
        "station 1 stands 50.0 mm beyond the bed",
    ),
    (
        "V107",
        "hive_roof",
        lambda p: replace(p, stations=tuple(replace(s, set_up=1) for s in p.stations)),
        M1,
        "heights",
    ),
    ("V108", "instrument_rail", lambda p: stroke(p, 1, stack_from_mm=20.0), M1, "leaves 20.00 mm of the bend's end"),
    ("V109", "instrument_rail", lambda p: stroke(p, 1, punch_id="P2"), M1, "wants P2 over"),
    ("V110", "instrument_rail", lambda p: in_order(p, [1, 3, 2, 4]), M1, "mm into the punch"),
    ("V111", "station_tray", longer_stack, M1, "mm from the end of the"),
    ("V112", "instrument_rail", lambda p: clearer(p), M1, "comes within"),
    ("V113", "instrument_rail", lambda p: stroke(p, -1, loaded_included_deg=5.0), M1, "into each other at"),
    ("V114", "instrument_rail", lambda p: tools(p, punch_id="P3-flat"), M1, "the sheet being bent reaches into"),
    ("V115", "instrument_rail", lambda p: tools(p, die_id="V50"), M1, "its shoulder touches it at"),
    ("V116", "instrument_rail", lambda p: gauging(p, 1, x_mm=p.strokes[0].gauging.x_mm + 0.15), M1, "reaches back to"),
    ("V116", "instrument_rail", lambda p: gauging(p, 1, fingers_z_mm=(1800.0,)), M1, "does not come to its height"),
    ("V117", "instrument_rail", lambda p: gauging(p, 1, flange_id="leg3"), M1, "touch the gauge where"),
    ("V118", "instrument_rail", lambda p: gauging(p, 1, contact_mm=1300.0), M1, "1200.00 mm are there"),
    ("V119", "instrument_rail", lambda p: gauging(p, 1, x_mm=4.0), M1, "mm into the punch"),
    ("V119", "instrument_rail", SAME, narrow(beam_behind_mm=-5.0, beam_height_mm=(-40.0, 20.0)), "into the beam"),
    ("V120", "instrument_rail", SAME, narrow(x_range_mm=(300.0, 500.0)), "beyond its 300 to 500 mm"),
    ("V121", "instrument_rail", SAME, replace(M1, open_height_mm=240.0), "too high for the tools opened by"),
    ("V122", "instrument_rail", SAME, replace(M1, stroke_mm=50.0), "its stroke is 50 mm"),
    (
        "V123",
        "instrument_rail",
        lambda p: replace(p, times=replace(p.times, cycle_s=90.0)),
        M1,
        "Time of the piece: 90.0 s",
    ),
    ("V124", "instrument_rail", lambda p: flipped(p), M1, "turn the sheet over"),
]


def clearer(plan: Plan) -> Plan:
    """The last stroke's clearance half a millimetre larger."""
    last = plan.strokes[-1]
    return stroke(plan, -1, clearance=replace(last.clearance, mm=last.clearance.mm + 0.5))


def flipped(plan: Plan) -> Plan:
    """A flip said that is not needed, with its seconds."""
    second = plan.strokes[1]
    flip = not second.handling.flip
    seconds = second.handling.seconds + (8.0 if flip else -8.0)
    return stroke(plan, 2, handling=replace(second.handling, flip=flip, seconds=seconds))


@pytest.mark.parametrize(("code", "name", "change", "brake", "words"), CASES)
@pytest.mark.origin("law", WRONG)
def test_each_wrong_thing_has_its_finding(code: str, name: str, change: Change, brake: Brake, words: str) -> None:
    """The untouched plan is clean on the brake it was made for; the changed one is not."""
    part, plan = planned(name)
    assert said(part, plan) == ()
    found = [finding for finding in said(part, change(plan), brake) if finding.code == code]
    assert any(words in finding.sentence for finding in found), found
    assert all(finding.severity == "error" and finding.where for finding in found if code != "V100")


@pytest.mark.parametrize("name", ["cabinet_door", "station_tray", "hive_roof"])
@pytest.mark.origin("law", WRONG)
def test_the_order_turned_round_does_not_replay(name: str) -> None:
    """Returns before walls: made last first, the walls stand in the way."""
    part, plan = planned(name)
    codes = {finding.code for finding in said(part, backwards(plan))}
    assert codes & {"V102", "V110", "V116"}


def tabs(*, second_left_mm: float = 180.0, root: tuple[tuple[float, float], ...] | None = None) -> Part:
    """A plate of 260 with two tabs along its front edge, each 80 wide."""
    base = TypedBase(points=root or ((0.0, 0.0), (260.0, 0.0), (260.0, 120.0), (0.0, 120.0)))
    flanges = [
        TypedFlange(
            name=name, edge="front", leg_mm=30.0, bend=TypedBend(direction="up"), left_mm=left, right_mm=180.0 - left
        )
        for name, left in (("one", 0.0), ("two", second_left_mm))
    ]
    header = Header(part_no="SM-8800", revision="A", material="DX51D+Z", thickness_mm=1.5)
    return panel_part(header, base=base, flanges=flanges)


def whole() -> Part:
    """The same plate with one flange all along its front edge."""
    base = TypedBase(points=((0.0, 0.0), (260.0, 0.0), (260.0, 120.0), (0.0, 120.0)))
    header = Header(part_no="SM-8801", revision="A", material="DX51D+Z", thickness_mm=1.5)
    flange = TypedFlange(name="one", edge="front", leg_mm=30.0, bend=TypedBend(direction="up"))
    return panel_part(header, base=base, flanges=[flange])


@pytest.mark.origin("law", "two tabs on one line are one bend with a gap in it")
def test_two_tabs_in_one_stroke() -> None:
    """The stroke of the whole flange makes both tabs; contact and clearance are less: the sheet between the tabs dips to the bed."""
    part, plan = tabs(), plan_of(whole(), "V12")
    apart = plan_of(part, "V12")
    assert plan is not None
    assert apart is not None
    assert len(plan.strokes) == 1
    both = [bend.id for bend in part.bends]
    merged = stroke(replace(plan, blank=apart.blank), 1, bend_id=both[0], with_bends=tuple(both[1:]))
    contact = merged.strokes[0].gauging.contact_mm
    if merged.strokes[0].gauging.flange_id != part.flanges[0].id:
        merged = gauging(merged, 1, flange_id=part.bend(both[0]).child, contact_mm=min(contact, 160.0))
    assert {finding.code for finding in said(part, merged)} <= {"V112"}
    near = replace(merged.strokes[0].clearance, mm=54.0)
    assert said(part, stroke(merged, 1, clearance=near)) == ()
    assert {f.code for f in said(part, stroke(merged, 1, with_bends=()))} == {"V101"}


@pytest.mark.origin("law", WRONG)
def test_bends_off_the_line_are_not_one_stroke() -> None:
    """Two bends of the rail lie one behind the other."""
    part, plan = planned("instrument_rail")
    first, second = plan.strokes[:2]
    merged = replace(plan, strokes=(replace(first, with_bends=(second.bend_id,)), *plan.strokes[2:]))
    found = [f for f in said(part, merged) if f.code == "V103"]
    assert any("mm off its line" in finding.sentence for finding in found)


def clamped(plan: Plan, *places: tuple[float, float]) -> Plan:
    """The first station with clamps (from, length)."""
    return station(plan, clamps=tuple(ClampPlace(from_mm=low, length_mm=length) for low, length in places))


def with_clamps(half_depth_mm: float) -> Brake:
    """The brake with four clamps of 100 mm, 60 high."""
    brake_model = pytest.importorskip("bendwright.shop.brake")
    pieces = (brake_model.ClampPiece(length_mm=100.0, count=4),)
    clamps = brake_model.PunchClamps(height_mm=60.0, half_depth_mm=half_depth_mm, pieces=pieces)
    return replace(M1, punch_clamps=clamps, open_height_mm=(M1.open_height_mm or 0.0) + 60.0, stroke_mm=None)


@pytest.mark.origin("law", WRONG)
def test_clamps_are_counted_placed_and_met() -> None:
    """More clamps than owned, clamps beside the stack, and a deep clamp that the swinging plate runs into."""
    part, plan = planned("cabinet_door")
    slim = with_clamps(20.0)
    assert said(part, clamped(plan, (0.0, 100.0)), slim) == ()
    codes = {f.code: f.sentence for f in said(part, clamped(plan, *((100.0 * i, 100.0) for i in range(5))), slim)}
    assert "hangs 5 times at once, 4 owned" in codes["V104"]
    beyond = said(part, clamped(plan, (-30.0, 100.0)), slim)
    assert any(f.code == "V106" and "30.0 mm beyond the punch stack" in f.sentence for f in beyond)
    deep = said(part, clamped(plan, (0.0, 100.0)), with_clamps(400.0))
    assert any(f.code == "V110" and "into the clamp" in f.sentence for f in deep)


@pytest.mark.origin(
    "law", "what stands up inside the punch's throat passes along the bed where it does not pass from the front"
)
def test_brought_in_along_the_bed() -> None:
    """The rail's walls are too high for the opened tools, but slide in beside the punch; not when the tip is in the sheet."""
    part, plan = planned("instrument_rail")
    along = replace(plan, strokes=tuple(replace(s, brought_in="along") for s in plan.strokes))
    first = plan.strokes[0]
    free = daylight_mm(M1, SHOP.cabinet.punch(first.punch_id), SHOP.cabinet.die(first.die_id))
    assert free is not None
    low = replace(M1, open_height_mm=(M1.open_height_mm or 0.0) - free + 10.0)
    assert "V121" in {finding.code for finding in said(part, plan, low)}
    assert said(part, along, low) == ()
    lower = replace(M1, open_height_mm=(M1.open_height_mm or 0.0) - free + 1.0)
    found = said(part, along, lower)
    assert any(f.code == "V121" and "brought in along the bed" in f.sentence for f in found)


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.origin(
    "derived", "pieces of 100 with ears of 25 outside and one of 40 between: body 25 to 215, feet beside it"
)
def test_ears_hang_body_and_foot(turned: bool) -> None:
    """Both ears look outward, whichever way round the punch hangs; looking inward they leave a gap in the body."""
    punch = SHOP.cabinet.punch("P1")
    names = ["100 ear left", "40", "100 ear right"][:: -1 if turned else 1]
    pieces = tuple(
        PickedPiece(tool_id="P1", length_mm=float(name.split()[0]), label=name, location="") for name in names
    )
    hung = [(name, low, high) for name, _, low, high in punch_parts(punch, pieces, turned=turned)]
    foot, body = "ear foot of punch P1", "punch P1"
    assert hung == [(foot, 0.0, 25.0), (foot, 215.0, 240.0), (body, 25.0, 215.0)]
    inward = [(name, low, high) for name, _, low, high in punch_parts(punch, pieces, turned=not turned)]
    assert inward == [
        (foot, 75.0, 100.0),
        (foot, 140.0, 165.0),
        (body, 0.0, 75.0),
        (body, 100.0, 140.0),
        (body, 165.0, 240.0),
    ]
    shapes = {name: shape for name, shape, _, _ in punch_parts(punch, pieces, turned=turned)}
    assert shapes[foot].bounds[3] == pytest.approx(20.0)
    assert shapes[body].bounds[3] == pytest.approx(120.0)


@pytest.mark.parametrize("name", ["cabinet_door", "instrument_rail", "station_tray"])
@pytest.mark.origin("law", "the bend stands where the two sides of the sheet meet")
def test_a_stroke_stands_on_its_line(name: str) -> None:
    """The lying sheet's face is y = 0 and the stretches of the bend are as long as the plan says."""
    part, plan = planned(name)
    sheet, made = sheet_of(part, plan.blank), {}
    for one in plan.strokes:
        standing, wrong = stand(one, sheet, made)
        assert wrong == []
        assert standing.right - standing.left == pytest.approx(one.bend_length_mm, abs=1e-6)
        assert max(p.high[1] for p in standing.pieces if p.leg) == pytest.approx(0.0, abs=1e-9)
        made[one.bend_id] = sheet.finished(part.bend(one.bend_id))
