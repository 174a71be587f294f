"""Plans replayed by the independent checker, and what the planner calls impossible tried by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from by_hand import bench_of, some_order
from checker import complaints
from golden_sheet import JOBS, job_for
from stories import SHOP, part_of, plan_of, sheet_for

from bendwright.findings import NotPossibleError
from bendwright.part.bend_size import fixed_size
from bendwright.part.model import Part
from bendwright.plan.result import Plan
from random_work import random_panel, random_profile

SQUARE_SEEDS = range(26)
ACUTE_SEEDS = range(100, 108)
PANEL_SEEDS = range(8)
MOST_BY_HAND = 4
REPLAY = "folded anew in space with sums of its own, run past the tools without a gap between poses"


def _random_plan(seed: int, *, acute: bool) -> tuple[Part, Plan | None]:
    part = random_profile(seed, acute=acute)
    die, reading = ("V6-30", "0.70") if acute else ("V12", "1.50")
    try:
        return part, plan_of(part, reading, brake_id="M1", die_id=die, model="charts")
    except NotPossibleError:
        return part, None


@pytest.mark.parametrize("name", JOBS)
@pytest.mark.origin("law", REPLAY)
def test_every_example_plan_replays(name: str) -> None:
    """Blank, order, pieces, times, forces, depth, stops and clearances of all example parts."""
    part, plan = job_for(name)
    assert complaints(part, plan, SHOP) == []


@pytest.mark.parametrize("name", JOBS)
@pytest.mark.origin("law", REPLAY)
def test_every_example_plan_of_the_charts_replays(name: str) -> None:
    """The same with depth and force of the charts, which the checker's own formulas give to the last digit."""
    part, plan = job_for(name, model="charts")
    assert complaints(part, plan, SHOP) == []


@pytest.mark.parametrize("seed", SQUARE_SEEDS)
@pytest.mark.origin("law", REPLAY)
def test_a_random_profile_replays_or_no_order_works(seed: int) -> None:
    """Two to six bends up and down; up to four bends, what is refused is refused by hand too."""
    part, plan = _random_plan(seed, acute=False)
    if plan is not None:
        assert complaints(part, plan, SHOP) == []
    elif len(part.bends) <= MOST_BY_HAND:
        assert _by_hand(part, acute=False) is None


@pytest.mark.parametrize("seed", ACUTE_SEEDS)
@pytest.mark.origin("law", REPLAY)
def test_a_random_profile_with_acute_bends_replays_or_no_order_works(seed: int) -> None:
    """Turned up to 145 degrees with the acute tools, in thin sheet."""
    part, plan = _random_plan(seed, acute=True)
    if plan is not None:
        assert complaints(part, plan, SHOP) == []
    elif len(part.bends) <= MOST_BY_HAND:
        assert _by_hand(part, acute=True) is None


@pytest.mark.parametrize("seed", PANEL_SEEDS)
@pytest.mark.origin("law", REPLAY)
def test_a_random_panel_replays(seed: int) -> None:
    """Walls up and down, returns short of the corners, stacks between walls."""
    part = random_panel(seed)
    plan = plan_of(part, "1.50", brake_id="M1", die_id="V12", model="charts")
    assert complaints(part, plan, SHOP) == []


@pytest.mark.origin("law", "a test that meets only one of the two answers proves nothing")
def test_the_random_profiles_hold_both_answers() -> None:
    """Enough of them are planned, and enough small ones refused, to mean something."""
    found = [_random_plan(seed, acute=False) for seed in SQUARE_SEEDS]
    assert sum(plan is not None for _, plan in found) >= 10
    assert sum(plan is None and len(part.bends) <= MOST_BY_HAND for part, plan in found) >= 3


def _by_hand(part: Part, *, acute: bool) -> tuple[str, ...] | None:
    """An order in which every stroke surely works, by the replay's own means."""
    die = SHOP.cabinet.die("V6-30" if acute else "V12")
    t = 0.7 if acute else 1.5
    sizes = tuple(
        fixed_size(bend, inside_radius_mm=0.16 * die.opening_mm, k_factor=0.42, thickness_mm=t) for bend in part.bends
    )
    tensile = sheet_for(part).strength_mpa
    bench = bench_of(
        part, sizes, die, SHOP.brakes["M1"], SHOP.cabinet, SHOP.practice, t=t, tensile=tensile, springback_deg=1.0
    )  # fmt: skip
    return some_order(bench)


@pytest.mark.origin("law", "a possible part is found possible by hand")
def test_trying_by_hand_finds_orders_where_they_exist() -> None:
    """The rail of the examples is far from every limit; the search by hand finds one of its orders."""
    part = part_of("instrument_rail")
    sizes = tuple(fixed_size(bend, inside_radius_mm=2.56, k_factor=0.42, thickness_mm=2.0) for bend in part.bends)
    bench = bench_of(
        part,
        sizes,
        SHOP.cabinet.die("V16"),
        SHOP.brakes["M1"],
        SHOP.cabinet,
        SHOP.practice,
        t=2.0,
        tensile=410.0,
        springback_deg=1.0,
    )
    order = some_order(bench)
    assert order is not None
    assert order.index("b1") < order.index("b2")
    assert order.index("b4") < order.index("b3")


RAIL = part_of("instrument_rail")


def _with_stroke(plan: Plan, number: int, **changes: object) -> Plan:
    strokes = [replace(s, **changes) if s.number == number else s for s in plan.strokes]  # type: ignore[arg-type]
    return replace(plan, strokes=tuple(strokes))


def _walls_first(plan: Plan) -> Plan:
    by_id = {stroke.bend_id: stroke for stroke in plan.strokes}
    order = [by_id[name] for name in ("b3", "b2", "b1", "b4")]
    return replace(plan, strokes=tuple(replace(s, number=i) for i, s in enumerate(order, start=1)))


def _gauge_off(plan: Plan) -> Plan:
    last = plan.strokes[-1]
    return _with_stroke(plan, last.number, gauging=replace(last.gauging, x_mm=last.gauging.x_mm + 0.1))


def _gauge_on_the_edge(plan: Plan) -> Plan:
    last = plan.strokes[-1]
    return _with_stroke(plan, last.number, gauging=replace(last.gauging, x_mm=49.33))


def _clearance_too_good(plan: Plan) -> Plan:
    last = plan.strokes[-1]
    return _with_stroke(plan, last.number, clearance=replace(last.clearance, mm=last.clearance.mm + 0.5))


def _piece_missing(plan: Plan) -> Plan:
    station = plan.stations[0]
    return replace(plan, stations=(replace(station, punch_pieces=station.punch_pieces[1:]),))


def _piece_twice(plan: Plan) -> Plan:
    station = plan.stations[0]
    return replace(plan, stations=(replace(station, punch_pieces=station.punch_pieces[:1] * 3, length_mm=2505.0),))


def _weak(plan: Plan) -> Plan:
    force = plan.strokes[0].force_kn
    return _with_stroke(plan, 1, force_kn=replace(force, low=0.9 * force.low))


TAMPERED = {
    "walls first": (_walls_first, "V110"),
    "gauge a tenth off": (_gauge_off, "V116"),
    "gauged on the blank's edge": (_gauge_on_the_edge, "V116"),
    "clearance half a millimetre too good": (_clearance_too_good, "V112"),
    "a piece missing": (_piece_missing, "V105"),
    "a piece hung thrice": (_piece_twice, "hangs 3 times"),
    "force too low": (_weak, "by the formulas"),
    "a bend forgotten": (lambda plan: replace(plan, strokes=plan.strokes[:3]), "is made 0 times"),
    "too deep": (lambda plan: _with_stroke(plan, 2, depth_mm=plan.strokes[1].depth_mm + 0.01), "by the closed form"),
    "stack beside the bend": (lambda plan: _with_stroke(plan, 1, stack_from_mm=20.0), "V108"),
    "blank too long": (
        lambda plan: replace(plan, blank=replace(plan.blank, height_mm=175.5)),
        "by legs and deductions",
    ),
    "time too short": (lambda plan: replace(plan, times=replace(plan.times, cycle_s=90.0)), "V123"),
}


@pytest.mark.parametrize("name", TAMPERED)
@pytest.mark.origin("law", "a plan made wrong on purpose is found out")
def test_the_checker_sees(name: str) -> None:
    """Every kind of complaint is provoked once, on the rail."""
    tamper, words = TAMPERED[name]
    plan = plan_of(RAIL, "2.00", brake_id="M1", model="charts")
    assert complaints(RAIL, plan, SHOP) == []
    said = complaints(RAIL, tamper(plan), SHOP)
    assert any(words in item for item in said), said


@pytest.mark.origin("law", "a plan made wrong on purpose is found out")
def test_the_checker_sees_a_stack_too_long_for_the_walls() -> None:
    """The tray with a stack of 177 between walls 177 apart inside: no room at its ends."""
    tray = part_of("station_tray")
    plan = plan_of(tray)
    longer = replace(plan.stations[0], length_mm=177.0)
    strokes = [replace(s, stack_length_mm=177.0, stack_from_mm=s.stack_from_mm - 1.0) for s in plan.strokes]
    said = complaints(tray, replace(plan, stations=(longer,), strokes=tuple(strokes)), SHOP)
    assert any("V111" in item or "V110" in item for item in said)


@pytest.mark.origin("law", "a plan made wrong on purpose is found out")
def test_the_checker_sees_a_straight_punch_in_the_narrow_channel() -> None:
    """The cable tray's second leg runs into it."""
    tray = part_of("cable_tray")
    plan = plan_of(tray, brake_id="M1")
    said = complaints(tray, _with_stroke(plan, 2, punch_id="P1", punch_turned=False), SHOP)
    assert any("V110" in item and "into the punch P1" in item for item in said)
