"""Bends on one line made by one stroke; what is settled of the order; a search cut short; slanted edges as stops."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from bendwright.findings import InputError
from bendwright.job import Wishes, check_order, prepare
from bendwright.part.aim import aimed
from bendwright.part.model import Part
from bendwright.plan.best_so_far import Effort
from bendwright.plan.choose import Tooling, choose
from bendwright.plan.hearing import Progress
from bendwright.plan.moves import moves_of
from bendwright.plan.search import cheapest
from bendwright.plan.solution import Solution, real_cycle_s
from bendwright.plan.tooled import tooling_for
from bendwright.replay.replay import replay_plan
from shop_talk import SHOP, panel, profile, sheet

DERIVED = "derived"
LAW = "law"
TABS = (
    "panel:\n  base: {width: 300, depth: 100}\n  flanges:\n"
    "    - {name: a, edge: front, leg: 30, direction: up, left: 0, right: 200}\n"
    "    - {name: b, edge: front, leg: 30, direction: up, left: 110, right: 80}\n"
    "    - {name: c, edge: front, leg: 30, direction: up, left: 230, right: 0}\n"
    "    - {name: d, edge: back, leg: 25, direction: up, left: 20, right: 20}\n"
)


def tooling(brake_id: str = "M1", thickness: str = "1.5") -> Tooling:
    """Everything of the demo shop on one brake."""
    return tooling_for(sheet("DC01", thickness), SHOP, SHOP.brakes[brake_id])


def solution(part: Part) -> Solution:
    """The cheapest job of one piece."""
    return choose(aimed(part), tooling(), quantity=1).solution


@pytest.mark.origin(DERIVED, "three tabs of one line: 7 sets of them; one stroke for all, one for the back: 2 x 18 s")
def test_tabs_of_one_edge_are_one_stroke() -> None:
    """Every set of the three can be made together; the plan makes all three at once, and the replay agrees."""
    part = panel(TABS)
    tables = solution(part).tables
    sets = {move.bends for move in tables.moves}
    assert sets == {(3,)} | {c for k in (1, 2, 3) for c in itertools.combinations(range(3), k)}
    found = prepare(part, sheet("DC01", "1.5"), SHOP, Wishes(brake_id="M1"))
    assert sorted(stroke.bend_ids for stroke in found.plan.strokes) == [("b1", "b2", "b3"), ("b4",)]
    together = next(stroke for stroke in found.plan.strokes if stroke.with_bends)
    assert together.bend_length_mm == pytest.approx(300.0, abs=1e-6)
    brake = SHOP.brakes["M1"]
    assert replay_plan(part, found.plan, cabinet=SHOP.cabinet, brake=brake, practice=SHOP.practice) == ()


@pytest.mark.origin(DERIVED, "a tab that folds the other way, or at another angle, needs its own stroke")
@pytest.mark.parametrize(
    "change",
    [
        ("direction: up, left: 110", "direction: down, left: 110"),
        ("left: 230, right: 0", "left: 230, right: 0, turned: 60"),
    ],
)
def test_only_bends_that_turn_alike_go_together(change: tuple[str, str]) -> None:
    """The two left over can."""
    part = panel(TABS.replace(*change))
    odd = next(i for i, bend in enumerate(part.bends) if bend.direction == "down" or bend.turned_deg != 90.0)
    assert all(odd not in move.bends for move in solution(part).tables.moves if len(move.bends) > 1)


@pytest.mark.origin(LAW, "what can be done one by one and together costs no more than one by one")
def test_together_is_never_dearer() -> None:
    """The cycle of the plan against the cheapest order one by one."""
    best = solution(panel(TABS))
    alone = replace(best.tables, packed=best.tables.packed._replace(sides=_only_single(best)))
    apart = cheapest(alone, quantity=1)
    assert apart is not None
    assert real_cycle_s(best) <= real_cycle_s(apart) - 2 * 18.0 + 1e-6


def _only_single(best: Solution):  # type: ignore[no-untyped-def]
    sides = best.tables.packed.sides.copy()
    for number, move in enumerate(best.tables.moves):
        if len(move.bends) > 1:
            sides[number] = False
    return sides


@pytest.mark.origin(LAW, "an order written with + is judged stroke by stroke like any other")
def test_orders_by_hand_with_bends_made_together() -> None:
    """The plan's own order works and is as fast; one by one works and is slower."""
    part = panel(TABS)
    wishes = Wishes(brake_id="M1")
    plan = prepare(part, sheet("DC01", "1.5"), SHOP, wishes).plan
    own = tuple("+".join(stroke.bend_ids) for stroke in plan.strokes)
    said = check_order(part, sheet("DC01", "1.5"), SHOP, own, wishes)
    assert said.works
    assert said.cycle_s == pytest.approx(plan.times.cycle_s)
    single = check_order(part, sheet("DC01", "1.5"), SHOP, ("b4", "b1", "b2", "b3"), wishes)
    assert single.cycle_s is None or single.cycle_s > plan.times.cycle_s


@pytest.mark.origin(LAW, "what is settled holds in the plan, and less choice is never better")
@pytest.mark.parametrize("pin", ["b1<b2", "b2<b1", "b1@leg1", "b1@leg2", "b2=P2"])
def test_pins_hold(pin: str) -> None:
    """Order, side at the gauge and punch as settled."""
    part = profile("30 u90 60 u90 40 x 200")
    free = prepare(part, sheet(), SHOP, Wishes(brake_id="M1")).plan
    plan = prepare(part, sheet(), SHOP, Wishes(brake_id="M1", pins=(pin,))).plan
    order = [stroke.bend_id for stroke in plan.strokes]
    strokes = {stroke.bend_id: stroke for stroke in plan.strokes}
    if "<" in pin:
        first, later = pin.split("<")
        assert order.index(first) < order.index(later)
    elif "@" in pin:
        assert strokes["b1"].gauged_flange_side == ("child" if pin == f"b1@{part.bend('b1').child}" else "parent")
    else:
        assert strokes["b2"].punch_id == "P2"
    assert plan.times.setup_s + plan.times.cycle_s >= free.times.setup_s + free.times.cycle_s - 1e-6


@pytest.mark.origin(LAW, "what names no bend, flange or punch of the job settles nothing")
@pytest.mark.parametrize("pin", ["b9<b1", "b1<b1", "b1@leg9", "b1=P99", "b1", "", "b1 before b2", "<<", "b1<b2<b3"])
def test_pins_that_say_nothing_are_refused(pin: str) -> None:
    """O121 says what can be written."""
    part = profile("30 u90 60 u90 40 x 200")
    with pytest.raises(InputError) as caught:
        prepare(part, sheet(), SHOP, Wishes(brake_id="M1", pins=(pin,)))
    assert [finding.code for finding in caught.value.findings] == ["O121"]


@pytest.mark.origin(
    LAW, "an order found with states dropped works, is not said to be proven, and is no better than the best"
)
def test_a_search_cut_short_says_so() -> None:
    """Ten bends, of which the search keeps few states of every size."""
    text = " ".join(["40", *(f"{'ud'[i % 2]}20 40" for i in range(10)), "x 400"])
    tables = solution(profile(text)).tables
    best = cheapest(tables, quantity=1)
    short = cheapest(tables, quantity=1, effort=Effort(most_states=8))
    assert best is not None
    assert best.proven
    assert short is not None
    assert short.job_s >= best.job_s - 1e-9
    assert short.bound_s <= real_cycle_s(best) + 1e-9


@pytest.mark.origin(LAW, "an order found with states dropped is no better than the best, however many are kept")
@pytest.mark.parametrize("most", [40, 300, 900])
def test_a_search_ends_wherever_its_tables_are_full(most: int) -> None:
    """A chain all one way: many ways to the same few sets, so that labels run out before states do."""
    tables = solution(profile(" ".join(["30", *("u8 40" for _ in range(11)), "x 300"]))).tables
    best, short = cheapest(tables, quantity=1), cheapest(tables, quantity=1, effort=Effort(most_states=most))
    assert best is not None
    assert short is not None
    assert short.job_s >= best.job_s - 1e-9


@pytest.mark.origin(LAW, "seconds that are over end the search with the order there is, its bound still a bound")
def test_seconds_that_are_over() -> None:
    """A first order works; nothing more is looked at."""
    tables = solution(profile("30 u90 60 u90 40 d90 30 x 200")).tables
    best, hasty = cheapest(tables, quantity=1), cheapest(tables, quantity=1, effort=Effort(seconds=1e-9))
    assert best is not None
    assert hasty is not None
    assert not hasty.proven
    assert hasty.bound_s <= real_cycle_s(best) + 1e-9
    assert hasty.job_s >= best.job_s - 1e-9


@pytest.mark.origin(LAW, "who hears of the search can end it: the best so far is given and not called proven")
def test_a_search_can_be_ended() -> None:
    """After the first set of stations."""
    tables = solution(profile("30 u90 60 u90 40 x 200")).tables
    heard: list[float | None] = []

    def end(now: Progress) -> bool:
        heard.append(now.best_s)
        return False

    found = cheapest(tables, quantity=1, effort=Effort(heard=end))
    assert len(heard) == 1
    assert (found is None) == (heard[0] is None)
    assert found is None or not found.proven


@pytest.mark.origin(
    DERIVED, "an edge that rises 1 in 5: fingers 0.6 of it apart differ by a fifth of that; only where X1 and X2 part"
)
def test_slanted_edges_need_a_finger_each() -> None:
    """A panel whose far edges both run aslant to the bend: refused with one X, gauged with two."""
    text = (
        "panel:\n  base:\n    points: [[0, 0], [400, 0], [400, 200], [0, 120]]\n"
        "  flanges:\n    - {name: a, edge: 1, leg: 40, direction: up}\n"
    )
    part = panel(text)
    plan = prepare(part, sheet("DC01", "1"), SHOP, Wishes(brake_id="M2", pins=("b1@base",))).plan
    stroke = plan.strokes[0]
    xs, zs = stroke.gauging.fingers_x_mm, stroke.gauging.fingers_z_mm
    assert len(xs) == len(zs) == 2
    assert abs(xs[1] - xs[0]) == pytest.approx(0.2 * abs(zs[1] - zs[0]), rel=0.01)
    assert stroke.gauging.verdict == "watch"


@pytest.mark.origin(LAW, "moves are numbered the same way whatever was asked before")
def test_moves_are_always_numbered_alike() -> None:
    """Twice the same part, twice the same moves."""
    one, two = solution(panel(TABS)), solution(panel(TABS))
    assert moves_of(one.tables.situation) == moves_of(two.tables.situation)
    assert one.steps == two.steps
