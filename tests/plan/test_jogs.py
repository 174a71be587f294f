"""A jog whose web is too short for a die is made in one stroke of an offset pair, gauged, when nothing stands in the way."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from bendwright.doubt.size_rules import size_rules
from bendwright.findings import NotPossibleError
from bendwright.job import Prepared, Wishes, blank_of, check_order, prepare
from bendwright.part.aim import aimed
from bendwright.part.blank_model import Blank
from bendwright.part.model import Part
from bendwright.plan.choose import blank_situation, choose
from bendwright.plan.explain import obstacle, real_stacks
from bendwright.plan.jogging import STEP_OFF_MM, jogs_made, jogs_of
from bendwright.plan.result import Plan
from bendwright.plan.tables import make_tables
from bendwright.plan.tooled import tooling_for
from bendwright.replay.replay import replay_plan
from bendwright.shop.shop import Shop
from bendwright.stroke.pressed import pressed_k_factor
from bendwright.stroke.stepped import Step, step_in_one_stroke
from shop_talk import SHOP, of_code, panel, profile, sheet, shop_with

JOG = "40 u90 6 d90 50 x 300"
WALL_BEHIND = "40 u90 6 d90 25 u90 60 x 300"
PAIR_K = pressed_k_factor("bottom", sheet(thickness="1.5"), 1.0)


@cache
def _job(text: str, *measured: str) -> Prepared:
    return prepare(profile(text), sheet("S235JR", "1.5", *measured), SHOP, Wishes(brake_id="M1", quantity=20))


def _tables(text: str):  # type: ignore[no-untyped-def]
    tooling = tooling_for(sheet("S235JR", "1.5"), SHOP, SHOP.brakes["M1"])
    return make_tables(blank_situation(aimed(profile(text)), tooling))


def _blank(text: str) -> Blank:
    return blank_of(profile(text), sheet("S235JR", "1.5"), SHOP, Wishes(brake_id="M1"))


def _told(plan: Plan, part: Part, shop: Shop = SHOP) -> set[str]:
    said = replay_plan(aimed(part), plan, cabinet=shop.cabinet, brake=shop.brakes["M1"], practice=shop.practice)
    return {finding.code for finding in said}


@pytest.mark.origin(
    "derived", "6 outside in 1.5 mm is a step of 4.5, the pair's; 40 + 3 - BD from the edge to the middle of the web"
)
def test_a_short_jog_is_made_in_one_stroke() -> None:
    """Both bends in one gauged stroke of the pair, said as a finding, the tools closed on the step."""
    plan = _job(JOG).plan
    (stroke,) = plan.strokes
    assert stroke.kind == "offset"
    assert set(stroke.bend_ids) == {"b1", "b2"}
    assert (stroke.punch_id, stroke.die_id) == ("J45", "K45")
    assert stroke.gauging.kind == "edge"
    leg = {"leg1": 40.0, "leg3": 50.0}[stroke.gauging.flange_id]
    assert stroke.gauging.x_mm == pytest.approx(leg + 3.0 - plan.blank.size("b1").bend_deduction_mm, abs=1e-6)
    assert stroke.depth_mm == pytest.approx(4.5)
    assert plan.optimal
    assert of_code(plan.findings, "O131")
    assert _told(plan, profile(JOG)) == set()


@pytest.mark.parametrize("text", [JOG, "30 u90 6 d90 30 x 200", "45 d90 6.05 u90 60 x 300"])
@pytest.mark.origin("law", "the blank is the flat length of the one stroke")
def test_the_blank_is_the_flat_length_of_one_stroke(text: str) -> None:
    """Legs and step go into the flat length; the plan's blank is as long."""
    first, _, web, _, last, _, length = text.split()
    plan, own = _job(text).plan, sheet("S235JR", "1.5")
    step = Step(step_mm=float(web) - 1.5, turned_deg=90.0, legs_mm=(float(first), float(last)))
    once = step_in_one_stroke(step, tool_radius_mm=1.0, k_factor=PAIR_K, sheet=own)
    sides = sorted((plan.blank.width_mm, plan.blank.height_mm))
    assert sides == pytest.approx(sorted((once.blank_mm, float(length))), abs=1e-6)


@pytest.mark.origin("practice", "a usual die is taken wherever it does the job")
def test_a_long_web_is_bent_bend_by_bend() -> None:
    """With 20 between the mould lines there is room for a die: two air bends."""
    plan = _job("40 u90 20 d90 50 x 300").plan
    assert [stroke.kind for stroke in plan.strokes] == ["air_bend", "air_bend"]
    assert not of_code(plan.findings, "O131")


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("40 u90 5 d90 50 x 300", "pair J45/K45 makes a step of 4.5 mm, to be taken within 0.1 mm"),
        ("40 u60 6 d60 50 x 300", "pair J45/K45 turns by 90 degrees"),
        ("40 u90 6 d90 50 x 900", "pair J45/K45 has no pieces for 900.0 mm"),
    ],
)
@pytest.mark.origin("law", "a pair makes the step it is ground for, as long as its pieces, no other")
def test_what_the_pair_does_not_make_is_refused_by_name(text: str, why: str) -> None:
    """The finding names the step wanted, the pair and what it makes."""
    tooling = tooling_for(sheet("S235JR", "1.5"), SHOP, SHOP.brakes["M1"])
    with pytest.raises(NotPossibleError) as caught:
        choose(aimed(profile(text)), tooling, quantity=20)
    (said,) = of_code(caught.value.findings, "O130")
    assert why in said.sentence
    assert "(step " in said.sentence


@pytest.mark.origin("derived", "step = web - t: 6 - 1.62 is 0.12 below the pair's 4.5, and 1.62 is thicker than 1.6")
def test_the_measured_sheet_decides() -> None:
    """A sheet within the tolerance is taken, one beyond is not."""
    part, tools = aimed(profile(JOG)), SHOP.cabinet
    for measured, fits in (("1.45", True), ("1.55", True), ("1.62", False)):
        made, said = jogs_made(part, sheet("S235JR", "1.5", measured), tools.punches, tools.dies)
        assert (len(made), len(said)) == ((1, 0) if fits else (0, 1))
        assert all(abs(one.step_mm - 4.5) <= STEP_OFF_MM for one in made)
    bare = shop_with(punches=tuple(punch for punch in tools.punches if punch.kind != "offset")).cabinet
    _, said = jogs_made(part, sheet("S235JR", "1.5"), bare.punches, bare.dies)
    assert "the cabinet holds no offset punch and die" in said[0].sentence


@pytest.mark.parametrize("text", ["40 u90 6 u90 50 x 300", "40 u90 6 d45 50 x 300"])
@pytest.mark.origin("law", "a jog turns back by what it turned")
def test_what_is_no_jog(text: str) -> None:
    """A channel and a step whose ends are not parallel are none."""
    assert jogs_of(profile(text)) == ()


@pytest.mark.origin(
    "derived", "the punch reaches 15 mm back: a wall 25 - 6 behind would stand beside it, one at 12 in it"
)
def test_a_wall_beside_the_jog() -> None:
    """A wall far enough off may come first or last; one in the way of the punch is named."""
    plan = _job(WALL_BEHIND).plan
    assert sorted(stroke.kind for stroke in plan.strokes) == ["air_bend", "offset"]
    assert _told(plan, profile(WALL_BEHIND)) == set()
    near = "40 u90 6 d90 14 u90 60 x 300"
    tables = _tables(near)
    assert tables.situation.blank.bend_lines == _blank(near).bend_lines
    jog = next(k for k, move in enumerate(tables.moves) if move.jog and tables.packed.sides[k].any())
    wall = next(i for i, bend in enumerate(tables.situation.part.bends) if bend.id == "b3")
    said = obstacle(tables, jog, 1 << wall, real_stacks(tables))
    assert said is not None
    assert said.sentence.startswith("jog b2 + b1 cannot be made in one stroke: ")
    assert said.against == "punch J45"
    half = obstacle(tables, tables.moves[jog].bends[0], 0, real_stacks(tables))
    assert half is not None
    assert half.sentence.endswith(" is half of jog b2 + b1, made in one stroke")


@pytest.mark.origin("law", "an order made by hand is held against the same rules, what is pinned is kept")
def test_orders_by_hand_and_pins() -> None:
    """Both bends are written as one stroke; a flange pinned to the gauge lies there."""
    text, own, wishes = (
        "20 u90 40 u90 6 d90 50 d90 20 x 300",
        sheet("S235JR", "1.5"),
        Wishes(brake_id="M1", quantity=20),
    )
    assert check_order(profile(text), own, SHOP, ("b1", "b2+b3", "b4"), wishes).works
    assert not check_order(profile(text), own, SHOP, ("b1", "b2", "b3", "b4"), wishes).works
    for pin, flange in (("b3@leg4", "leg5"), ("b2@leg2", "leg1")):
        plan = prepare(profile(text), own, SHOP, replace(wishes, pins=(pin,))).plan
        jog = next(stroke for stroke in plan.strokes if stroke.kind == "offset")
        assert jog.gauging.flange_id == flange
        assert _told(plan, profile(text)) == set()


@pytest.mark.origin("law", "a plan made wrong on purpose is found out")
def test_the_replay_sees_wrong_jogs() -> None:
    """Other tools, another gauge, a step the pair does not make, only one of the bends."""
    plan, part = _job(JOG).plan, profile(JOG)
    (stroke,) = plan.strokes

    def with_stroke(**changes: object) -> Plan:
        return replace(plan, strokes=(replace(stroke, **changes),))  # type: ignore[arg-type]

    assert "V102" in _told(with_stroke(punch_id="P1", die_id="V12"), part)
    assert "V116" in _told(with_stroke(gauging=replace(stroke.gauging, x_mm=stroke.gauging.x_mm - 1.0)), part)
    assert "V101" in _told(with_stroke(with_bends=()), part)
    channel = "40 u90 60 u90 50 x 300"
    bends = _job(channel).plan
    both = (replace(bends.strokes[0], kind="offset", with_bends=(bends.strokes[1].bend_id,)),)
    assert "V103" in _told(replace(bends, strokes=both), profile(channel))
    other = replace(SHOP.cabinet.punch("J45").offset, step_mm=5.0)  # type: ignore[type-var]
    punches = tuple(replace(p, offset=other) if p.id == "J45" else p for p in SHOP.cabinet.punches)
    assert "V102" in _told(plan, part, shop_with(punches=punches))


@pytest.mark.origin("law", "a plan made wrong on purpose is found out")
def test_the_replay_sees_a_wall_in_the_punch() -> None:
    """The same plan for a wall so near that it would stand in the punch, made first."""
    near = "40 u90 6 d90 25 u90 60 x 300"
    plan = _job(near).plan
    jog = next(stroke for stroke in plan.strokes if stroke.kind == "offset")
    wall = next(stroke for stroke in plan.strokes if stroke.kind != "offset")
    strokes = (replace(wall, number=1), replace(jog, number=2))
    wide = tuple(
        replace(p, outline=tuple((x * 3.0 if abs(x) > 10.0 else x, y) for x, y in p.outline)) if p.id == "J45" else p
        for p in SHOP.cabinet.punches
    )
    assert "V110" in _told(replace(plan, strokes=strokes), profile(near), shop_with(punches=wide))


@pytest.mark.origin(
    "derived", "the tools make the web; a deduction off by 1 lengthens both legs, the gauge moves both lines alike"
)
def test_who_takes_the_error_of_a_jog() -> None:
    """The web takes nothing, the gauged leg the gauge, both legs all of the deduction."""
    part = aimed(profile(JOG))
    (stroke,) = _job(JOG).plan.strokes
    rules = {rule.flange_id: rule for rule in size_rules(profile(JOG), part, (stroke,)) if rule.kind == "leg"}
    assert rules["leg2"].gauge_mm == rules["leg2"].deduction_mm == ()
    assert dict(rules["leg1"].deduction_mm) == {"b1": pytest.approx(1.0)}
    assert dict(rules["leg3"].deduction_mm) == {"b2": pytest.approx(1.0)}
    gauged, free = ("leg1", "leg3") if stroke.gauging.flange_id == "leg1" else ("leg3", "leg1")
    assert [abs(by) for _, by in rules[gauged].gauge_mm] == [1.0]
    assert [by for _, by in rules[free].gauge_mm] == [-by for _, by in rules[gauged].gauge_mm]


HEMMED = """
material: DX51D+Z
thickness: 1.2
panel:
  base: {width: 200, depth: 120}
  flanges:
    - edge: front
      leg: 5.7
      direction: up
      flanges: [{edge: far, leg: 40, direction: down, hem: {kind: closed, length: 12, direction: up}}]
"""


@pytest.mark.origin("law", "each pair does its own work")
def test_a_hem_and_a_jog() -> None:
    """The hem is pressed by the flat tools, the jog made by the offset pair, at stations of their own."""
    part = panel(HEMMED)
    plan = prepare(part, sheet("DX51D+Z", "1.2"), SHOP, Wishes(brake_id="M1", quantity=20)).plan
    tools = {stroke.kind: stroke.punch_id for stroke in plan.strokes}
    assert tools == {"hem_prebend": "P3", "hem_flatten": "P3-flat", "offset": "J45"}
    assert _told(plan, part) == set()


@pytest.mark.origin(
    "derived", "the punch reaches 15 mm back: an edge 12 + 3 - BD = 12.6 from the middle of the web lies under it"
)
def test_no_finger_under_the_punch() -> None:
    """With two such short legs nothing is left for the gauge; with one the other is taken."""
    plan = _job("12 u90 6 d90 50 x 120").plan
    assert plan.strokes[0].gauging.flange_id == "leg3"
    assert _told(plan, profile("12 u90 6 d90 50 x 120")) == set()
    with pytest.raises(NotPossibleError) as caught:
        _job("12 u90 6 d90 12 x 120")
    assert "the back gauge can stop on" in caught.value.findings[0].sentence
