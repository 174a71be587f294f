"""A hand-made order, stroke by stroke, and a search that is ended early."""

from __future__ import annotations

import pytest

from bendwright.findings import InputError
from bendwright.job import Wishes, check_order, hand_orders, prepare
from bendwright.plan.hearing import Progress
from shop_talk import SHOP, profile, sheet

PART = profile("15 u90 40 u90 80 u90 40 u90 15 x 1200")
WISHES = Wishes(brake_id="M1")


@pytest.mark.origin("practice", "the lips of a lipped channel come first; a lip last runs into the punch")
def test_every_stroke_of_a_hand_made_order_has_its_own_verdict() -> None:
    """Strokes before the obstacle work, that one is refused with what is in the way and how far, the rest is not reached."""
    plan = prepare(PART, sheet("S235", "2"), SHOP, WISHES).plan
    orders = hand_orders(PART, sheet("S235", "2"), SHOP, WISHES, planned=plan)
    lip_late = orders.judged(("b4", "b2", "b1", "b3"))
    assert [stroke.verdict for stroke in lip_late.strokes] == ["works", "works", "refused", "not reached"]
    refused = lip_late.strokes[2]
    assert lip_late.refused is not None
    assert refused.mm is not None
    assert refused.mm < 0.0
    assert (refused.sentence, refused.mm) == (lip_late.refused.sentence, lip_late.refused.mm)
    lips_first = orders.judged(("b4", "b1", "b2", "b3"))
    assert {stroke.verdict for stroke in lips_first.strokes} == {"works"}
    assert lips_first.cycle_s == pytest.approx(plan.times.cycle_s)


@pytest.mark.origin(
    "derived", "judged with the plan's tools or after a search of its own: the same tools, the same words"
)
def test_judging_with_the_plan_says_what_the_search_says() -> None:
    """With the plan at hand nothing is searched, and the verdicts are those of the command."""
    own = sheet("S235", "2")
    plan = prepare(PART, own, SHOP, WISHES).plan
    orders = hand_orders(PART, own, SHOP, WISHES, planned=plan)
    for order in (("b1", "b2", "b3", "b4"), ("b1", "b4", "b2", "b3"), ("b3", "b4", "b2", "b1")):
        judged, checked = orders.judged(order), check_order(PART, own, SHOP, order, WISHES)
        assert judged.sentence.replace("at most ", "") == checked.sentence
        assert (judged.refused, judged.cycle_s) == (checked.refused, checked.cycle_s)


@pytest.mark.origin("derived", "what a person settles holds for a hand-made order as well")
def test_pins_hold_for_a_hand_made_order() -> None:
    """An order against a pin is refused for it; a pin that is not understood is told."""
    own = sheet("S235", "2")
    orders = hand_orders(PART, own, SHOP, WISHES, planned=prepare(PART, own, SHOP, WISHES).plan)
    against = orders.judged(("b4", "b1", "b2", "b3"), pins=("b1<b4",))
    assert against.strokes[0].sentence == "bend b4 has its fixed place in the order"
    with pytest.raises(InputError) as wrong:
        orders.judged(("b4", "b1", "b2", "b3"), pins=("b1<b9",))
    assert wrong.value.findings[0].code == "O121"


@pytest.mark.origin("derived", "who ends a search keeps a plan that works; that it is the best is not said then")
def test_a_search_ended_early_keeps_its_best_and_proves_nothing() -> None:
    """Ending at the first word gives a plan that is not called the best; ending before there is one changes nothing."""
    part = profile("20 u90 30 d90 40 u90 60 u90 120 u90 60 u90 20 x 800")
    heard = list[Progress]()

    def enough(now: Progress) -> bool:
        heard.append(now)
        return False

    whole = prepare(part, sheet("S235", "2"), SHOP, WISHES).plan
    ended = prepare(part, sheet("S235", "2"), SHOP, WISHES, heard=enough).plan
    assert whole.optimal
    assert not ended.optimal
    assert heard[-1].doing == "checking"
    assert heard[-1].best_s is not None
    assert [now.best_s for now in heard].count(None) == len(heard) - 2
    assert ended.times.cycle_s >= whole.times.cycle_s - 1e-9
