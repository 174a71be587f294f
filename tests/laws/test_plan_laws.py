"""Laws every plan must keep: the optimum is one, mirrors plan alike, less choice is never better, nothing contradicts itself."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from bendwright.drawing.quick_profile import quick_profile
from bendwright.findings import NotPossibleError
from bendwright.job import Wishes, check_order, prepare
from bendwright.part.model import Header, Part
from bendwright.plan.choose import Tooling, choose
from bendwright.plan.costing import (
    setup_seconds,
)
from bendwright.plan.explain import can, real_stacks
from bendwright.plan.pins import held_to
from bendwright.plan.result import Plan
from bendwright.plan.search import cheapest
from bendwright.plan.solution import Solution
from bendwright.plan.stations import fill_slots, slots_for
from bendwright.shop.read import built_in_shop
from bendwright.shop.sheet import Sheet
from bendwright.shop.sheet_words import sheet_from_words
from every_order import FAR, Trial

SHOP = built_in_shop("saltmarsh")
QUANTITY = 20
EVERY_ORDER = pytest.mark.origin("law", "every order, side and station tried one by one")
SMALL = ("30 u90 50 u90 40", "20 u90 60 d90 35 u90 25", "18 u90 45 u90 70 u90 30", "40 d45 30 u90 25 u90 60")
TWO_STATIONS = ("59 u90 35 u45 31 u90 15 u90 21", "24 u90 53 u90 16 u45 49 u45 27")
LARGER = ("15 u90 40 u90 80 u90 40 u90 15", "20 u90 30 d90 60 u90 40 u45 30", "14 u90 25 u90 60 d90 30 d90 20 u90 16")


def _part(text: str, length: int = 200) -> Part:
    header = Header(part_no="SM-9900", revision="A", material="DX51D+Z", thickness_mm=1.5)
    return quick_profile(f"{text} x {length}", header=header)


def _sheet() -> Sheet:
    return sheet_from_words(material_name="DX51D+Z", thickness_text="1.5", measured_texts=["1.5"], shop=SHOP)


def _solution(part: Part, *punch_ids: str) -> Solution:
    tooling = Tooling(
        dies=(SHOP.cabinet.die("V12"),),
        punches=tuple(SHOP.cabinet.punch(name) for name in punch_ids),
        sheet=_sheet(),
        practice=SHOP.practice,
        brake=SHOP.brakes["M1"],
        bend_table=None,
    )
    return choose(part, tooling, quantity=QUANTITY).solution


@pytest.mark.parametrize("text", [*SMALL, TWO_STATIONS[0]])
@EVERY_ORDER
def test_the_cheapest_job_is_the_cheapest_of_all(text: str) -> None:
    """Every set of one or two stations the drawer can fill, with every order, side and station for each stroke."""
    solution = _solution(_part(text), "P1", "P2")
    tables = solution.tables
    slots = slots_for(tables.situation, tables.around)
    best, seen = FAR, set()
    for size in (1, 2):
        for group in itertools.combinations(slots, size):
            stations = fill_slots(group)
            if stations is None:
                continue
            key = tuple((s.slot.punch.id, s.slot.turned, s.slot.eared, s.punch_stack, s.die_stack) for s in stations)
            setup = setup_seconds(tables.situation, stations) + sum(s.slot.dislike_s for s in stations)
            least = tables.bends * 18.0 * QUANTITY
            if key in seen or setup + least >= best:
                continue
            seen.add(key)
            best = min(best, setup + QUANTITY * Trial(tables, tuple(stations)).costs())
    assert len(solution.stations) == (2 if text in TWO_STATIONS else 1)
    assert solution.job_s == pytest.approx(best, abs=1e-6)


@pytest.mark.parametrize("text", [*LARGER, *TWO_STATIONS])
@EVERY_ORDER
def test_the_order_is_the_cheapest_of_all_with_its_stations(text: str) -> None:
    """Four and five bends; the stations the search took are held."""
    solution = _solution(_part(text), "P1", "P2")
    assert solution.cost_s == pytest.approx(Trial(solution.tables, solution.stations).costs(), abs=1e-6)


@pytest.mark.parametrize("text", [*SMALL, LARGER[0]])
@EVERY_ORDER
def test_no_fixed_order_beats_the_optimum(text: str) -> None:
    """The optimum is the best of all orders held fixed, and at least one of them reaches it."""
    solution = _solution(_part(text), "P1", "P2")
    jobs = []
    for order in itertools.permutations(range(solution.tables.bends)):
        found = cheapest(held_to(solution.tables, order), quantity=QUANTITY)
        if found is not None:
            jobs.append(found.job_s)
    assert min(jobs) == pytest.approx(solution.job_s, abs=1e-6)


def _plan(part: Part, **wishes: object) -> Plan:
    return prepare(part, _sheet(), SHOP, Wishes(brake_id="M1", die_id="V12", quantity=QUANTITY, **wishes)).plan  # type: ignore[arg-type]


@pytest.mark.parametrize("text", SMALL)
@pytest.mark.origin("law", "a part read from the other end, or seen from below, is the same part")
def test_mirrored_parts_plan_alike(text: str) -> None:
    """Same blank, same seconds, same smallest clearance."""
    plan = _plan(_part(text))
    words = text.split()
    swapped = text.replace("u", "x").replace("d", "u").replace("x", "d")
    for other in (_plan(_part(" ".join(reversed(words)))), _plan(_part(swapped))):
        assert other.blank.height_mm == pytest.approx(plan.blank.height_mm, abs=1e-6)
        assert other.times.cycle_s == pytest.approx(plan.times.cycle_s)
        assert other.times.setup_s == pytest.approx(plan.times.setup_s)
        assert other.lower_bound_s == pytest.approx(plan.lower_bound_s)


@pytest.mark.parametrize("text", SMALL[:2])
@pytest.mark.origin("law", "force is line load times length; the section does not know the length")
def test_twice_as_long_needs_twice_the_force(text: str) -> None:
    """Depth, radius and blank height stay."""
    short, long = _plan(_part(text)), _plan(_part(text, 400))
    assert long.blank.height_mm == pytest.approx(short.blank.height_mm)
    for one, two in zip(
        sorted(short.strokes, key=lambda s: s.bend_id), sorted(long.strokes, key=lambda s: s.bend_id), strict=True
    ):
        assert two.force_kn.high == pytest.approx(2.0 * one.force_kn.high)
        assert two.depth_mm == pytest.approx(one.depth_mm)
        assert two.inside_radius_mm == pytest.approx(one.inside_radius_mm)


@pytest.mark.parametrize("text", [*SMALL, LARGER[0]])
@pytest.mark.origin("law", "what can be chosen with less can be chosen with more")
def test_another_punch_never_makes_it_dearer(text: str) -> None:
    """The job with one punch alone, where it works at all, is never cheaper than with both."""
    part = _part(text)
    both = _solution(part, "P1", "P2").job_s
    alone = []
    for punch in ("P1", "P2"):
        try:
            alone.append(_solution(part, punch).job_s)
        except NotPossibleError:
            continue
    assert all(job >= both - 1e-6 for job in alone)


@pytest.mark.parametrize("text", [*SMALL, *LARGER])
@pytest.mark.origin("law", "a plan does not contradict itself")
def test_a_plan_agrees_with_itself(text: str) -> None:
    """Its order passes the check of hand-made orders at its own time; no refusal forbids what it does; the bound holds."""
    part = _part(text)
    plan = _plan(part)
    order = tuple(stroke.bend_id for stroke in plan.strokes)
    verdict = check_order(part, _sheet(), SHOP, order, Wishes(brake_id="M1", die_id="V12", quantity=QUANTITY))
    assert verdict.works
    assert verdict.cycle_s == pytest.approx(plan.times.cycle_s)
    assert verdict.best_cycle_s == pytest.approx(plan.times.cycle_s)
    assert plan.lower_bound_s <= plan.times.cycle_s + 1e-9
    assert order[-1] not in {item.bend_id for item in plan.refused}


@pytest.mark.parametrize("text", SMALL)
@pytest.mark.origin("law", "an order works only if each of its strokes does")
def test_refused_orders_name_a_stroke_that_no_station_can_do(text: str) -> None:
    """Every order: it works, or the first stroke without a station is named, with its millimetres when something overlaps."""
    part = _part(text)
    solution = _solution(part, "P1", "P2")
    stacks = real_stacks(solution.tables)
    names = [bend.id for bend in part.bends]
    shop = replace(
        SHOP, cabinet=replace(SHOP.cabinet, punches=tuple(SHOP.cabinet.punch(name) for name in ("P1", "P2")))
    )
    for order in itertools.permutations(range(len(names))):
        mask, blocked = 0, None
        for bend in order:
            if not can(solution.tables, stacks, bend, mask):
                blocked = names[bend]
                break
            mask |= 1 << bend
        said = check_order(part, _sheet(), shop, tuple(names[i] for i in order), Wishes(brake_id="M1", die_id="V12"))
        if blocked is None:
            continue
        assert not said.works
        assert said.refused is not None
        assert said.refused.bend_id == blocked
        if "mm into" in said.sentence:
            assert said.refused.mm is not None
            assert said.refused.mm < 0.0
