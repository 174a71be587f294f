"""Of the brakes that can make a part, the one that holds the force of its strokes; the others are named with their reason."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bendwright.job import Prepared, Wishes, hand_orders, prepare
from bendwright.plan.hearing import Progress
from bendwright.plan.which_brake import unsteady_kn
from bendwright.shop.brake import Brake
from bendwright.shop.shop import Shop
from shop_talk import SHOP, of_code, profile, sheet

PRACTICE = pytest.mark.origin(
    "practice", "the small part goes to the small brake: a large one does not hold a small force"
)
M1, M2 = SHOP.brakes["M1"], SHOP.brakes["M2"]
"""In the shop's order; they hold 20 and 8 kN, an hour costs 62 and 55."""


def with_brakes(**changed: Brake) -> Shop:
    """The shop with some of its brakes otherwise."""
    return replace(SHOP, brakes={**SHOP.brakes, **changed})


def angle(shop: Shop = SHOP, *, length: int = 150, thickness: str = "1.5", brake_id: str | None = None) -> Prepared:
    """An angle of one stroke."""
    return prepare(profile(f"40 u90 25 x {length}"), sheet("DC01", thickness), shop, Wishes(brake_id=brake_id))


@PRACTICE
def test_the_small_part_goes_to_the_small_brake() -> None:
    """12 kN: below what the first of the shop can hold, above what the second can; the first is named with what it lacks."""
    got = angle()
    assert got.plan.brake_id == "M2"
    assert unsteady_kn(got.plan, M2) == ()
    (force,) = unsteady_kn(got.plan, M1)
    assert 8.0 < force < 20.0
    (note,) = of_code(got.findings, "O133")
    assert note.where == "brake M1"
    assert note.sentence == (
        "Not taken: brake M1 can make the part too, in 38 s a piece, but in 1 of 1 strokes it needs less than the 20 kN "
        "it can hold steadily."
    )


@PRACTICE
def test_where_none_holds_it_the_nearest_is_taken() -> None:
    """3 kN are held by none; 8 comes nearer than 10 or 20."""
    got = angle(length=60, thickness="1")
    assert len(unsteady_kn(got.plan, M2)) == 1
    assert got.plan.brake_id == "M2"


@PRACTICE
def test_else_the_order_of_the_shop_stands() -> None:
    """A force the first brake holds; a brake wished for; a first that says nothing of its least force; others that hold no less."""
    assert angle(length=600).plan.brake_id == "M1"
    assert of_code(angle(length=600).findings, "O133") == []
    assert angle(brake_id="M1").plan.brake_id == "M1"
    assert angle(with_brakes(M1=replace(M1, min_force_kn=None))).plan.brake_id == "M1"
    as_bad = {name: replace(brake, min_force_kn=20.0) for name, brake in SHOP.brakes.items()}
    assert angle(with_brakes(**as_bad)).plan.brake_id == "M1"


@PRACTICE
def test_of_brakes_that_hold_it_the_cheapest_hour() -> None:
    """The second and the fourth hold 12 kN: the one whose hour costs less; the fourth where the second does not hold it."""
    assert angle(with_brakes(M2=replace(M2, rate_per_h=90.0))).plan.brake_id == "M4"
    assert angle(with_brakes(M2=replace(M2, rate_per_h=None))).plan.brake_id == "M4"
    assert angle(with_brakes(M2=replace(M2, min_force_kn=12.5))).plan.brake_id == "M4"


@pytest.mark.origin("law", "who has had enough waits for no other brake")
@pytest.mark.parametrize(("enough", "asked"), [(False, ["M1", "M2"]), (True, ["M1"])])
def test_enough_on_one_brake_is_enough(enough: bool, asked: list[str]) -> None:
    """The small part again: the brake that would hold it is not searched after the first search was ended."""
    words = list[Progress]()

    def heard(now: Progress) -> bool:
        words.append(now)
        return not enough

    plan = prepare(profile("40 u90 25 x 150"), sheet("DC01", "1.5"), SHOP, heard=heard).plan
    assert list(dict.fromkeys(now.brake for now in words)) == asked
    assert (plan.brake_id, plan.optimal) == (asked[-1], not enough)


@pytest.mark.origin("law", "an order is held against the plan that would be made")
def test_a_hand_made_order_is_judged_on_the_brake_of_the_plan() -> None:
    """The second of the shop, as for the plan; the first where that is wished; the next where the first has no room for the order."""
    part, tin = profile("40 u90 25 x 150"), sheet("DC01", "1.5")
    for shop, wishes, brake in (
        (SHOP, Wishes(), "M2"),
        (SHOP, Wishes(brake_id="M1"), "M1"),
        (
            with_brakes(M1=replace(M1, gauge=replace(M1.gauge, x_range_mm=(400.0, 600.0)), min_force_kn=None)),
            Wishes(),
            "M2",
        ),
    ):
        orders, plan = hand_orders(part, tin, shop, wishes), prepare(part, tin, shop, wishes).plan
        assert plan.brake_id == brake
        assert [tables.situation.brake.id for tables in orders.tooled] == [brake]
        assert orders.best_cycle_s == pytest.approx(plan.times.cycle_s)
        assert orders.judged(("b1",)).refused is None
