"""What the operator does between strokes, and what it costs."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bendwright.job import Wishes, check_order, prepare
from bendwright.plan.handling import Stance, change, change_seconds
from shop_talk import SHOP, profile, sheet

TIMES = SHOP.practice.times
LAW = pytest.mark.origin("law", "geometry of turning a sheet over and round")


@LAW
@pytest.mark.parametrize(
    ("before", "after", "expected"),
    [
        (Stance("up", 0.0, 1), Stance("up", 0.0, 1), (False, 0.0, False)),
        (Stance("up", 0.0, 1), Stance("up", 90.0, 1), (False, 90.0, False)),
        (Stance("up", 10.0, 1), Stance("up", 350.0, 2), (False, 20.0, True)),
        (Stance("up", 0.0, 1), Stance("down", 0.0, 1), (True, 0.0, False)),
        (Stance("up", 0.0, 1), Stance("down", 180.0, 1), (True, 0.0, False)),
        (Stance("up", 0.0, 1), Stance("down", 120.0, 1), (True, 60.0, False)),
    ],
)
def test_changes(before: Stance, after: Stance, expected: tuple[bool, float, bool]) -> None:
    """A flip may be made about either axis, so that no half turn is needed after it."""
    assert change(before, after) == expected
    assert change(after, before) == expected


@LAW
def test_one_flip_more_costs_its_set_value() -> None:
    """Raising the seconds of a flip by 7 raises a plan with one flip by exactly 7."""
    part = profile("40 u90 60 d90 40 x 300")
    slow = replace(SHOP, practice=replace(SHOP.practice, times=replace(TIMES, flip_s=TIMES.flip_s + 7.0)))
    plans = [prepare(part, sheet(), shop, Wishes(brake_id="M1")).plan for shop in (SHOP, slow)]
    assert [sum(stroke.handling.flip for stroke in plan.strokes) for plan in plans] == [1, 1]
    assert plans[1].times.cycle_s - plans[0].times.cycle_s == pytest.approx(7.0)


@LAW
def test_seconds_add_up() -> None:
    """Flip, turn and walk each bring their own seconds."""
    seconds = change_seconds(Stance("up", 0.0, 1), Stance("down", 90.0, 2), TIMES)
    assert seconds == TIMES.flip_s + TIMES.turn_s + TIMES.station_change_s


@LAW
def test_the_plan_is_its_own_hand_order() -> None:
    """The order of the plan, given by hand, works and takes the plan's time; so does every order that works, or more."""
    part = profile("30 u90 50 u90 80 u90 50 x 300")
    plan = prepare(part, sheet(), SHOP, Wishes(brake_id="M1")).plan
    order = tuple(stroke.bend_id for stroke in plan.strokes)
    checked = check_order(part, sheet(), SHOP, order, Wishes(brake_id="M1"))
    assert checked.works
    assert checked.cycle_s == pytest.approx(plan.times.cycle_s)
    assert plan.lower_bound_s <= plan.times.cycle_s + 1e-9


@LAW
def test_a_hand_order_is_judged_where_no_order_works() -> None:
    """A hat with walls of 12 and a finger 12 high: the stroke that fails in the typed order is named."""
    part = profile("30 u90 12 d90 40 d90 12 u90 30 x 800")
    wishes = Wishes(brake_id="M1", die_id="V6-30", punch_id="P3")
    checked = check_order(part, sheet("1.4301", "1"), SHOP, ("b1", "b2", "b4", "b3"), wishes)
    assert not checked.works
    assert checked.best_cycle_s is None
    assert checked.sentence.startswith("Does not work: bend b3 has no edge or face the back gauge can stop on: ")
