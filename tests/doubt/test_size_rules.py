"""Which outside size takes which error."""

from __future__ import annotations

from dataclasses import replace
from math import radians, sin

import pytest
from studied import EVERY, PROFILES, plan_of

from bendwright.doubt.result import SizeRule
from bendwright.doubt.size_rules import size_rules
from bendwright.part.aim import aimed
from shop_talk import example


def rules_of(name: str) -> dict[str, SizeRule]:
    """The rules of an example part as planned, by name."""
    part = example(name)
    return {rule.name: rule for rule in size_rules(part, aimed(part), plan_of(name).strokes)}


def moved(rule: SizeRule, *, deduction: float = 0.0, gauge: float = 0.0, edge: float = 0.0) -> float:
    """What one size does when every bend and edge is off by as much."""
    parts = ((rule.deduction_mm, deduction), (rule.gauge_mm, gauge), (rule.edge_mm, edge))
    return sum(value * by for terms, by in parts for _, value in terms)


@pytest.mark.origin(
    "derived", "lipped channel 15-40-80-40-15: lips by edge, walls by the lips' faces, base takes the rest"
)
@pytest.mark.parametrize(
    ("name", "mm"), [("leg leg1", 15.1), ("leg leg5", 15.1), ("leg leg2", 40.1), ("leg leg4", 40.1), ("leg leg3", 80.4)]
)
def test_a_deduction_that_is_wrong(name: str, mm: float) -> None:
    """True deduction 0.20 more at every bend: lips 15.1, walls 40.1, base 80.4."""
    rule = rules_of("instrument_rail")[name]
    assert rule.aimed_mm + moved(rule, deduction=0.20) == pytest.approx(mm)


@pytest.mark.origin("derived", "channel 50-60-50, base gauged off the first leg: base 60, error goes to the second leg")
def test_the_leg_that_takes_the_error() -> None:
    """A gauge 0.1 too far at both strokes: the gauged ones 0.1 longer, the other 0.2 shorter."""
    rules = rules_of("cable_tray")
    assert moved(rules["leg leg2"], gauge=0.1) == pytest.approx(0.1)
    assert moved(rules["leg leg3"], gauge=0.1) == pytest.approx(0.1)
    assert moved(rules["leg leg1"], gauge=0.1) == pytest.approx(-0.2)


@pytest.mark.origin("law", "the flanges of a section add up to the blank and the deductions, wherever the gauge stands")
@pytest.mark.parametrize("name", PROFILES)
def test_flanges_add_up(name: str) -> None:
    """Gauge errors cancel in the sum; each deduction and each of the two edges counts once."""
    legs = [rule for rule in rules_of(name).values() if rule.kind == "leg"]
    total: dict[tuple[str, str], float] = {}
    for rule in legs:
        for what, terms in (("gauge", rule.gauge_mm), ("deduction", rule.deduction_mm), ("edge", rule.edge_mm)):
            for key, value in terms:
                total[what, key] = total.get((what, key), 0.0) + value
    bends = {bend.id for bend in example(name).bends}
    assert {key: round(value, 9) for (what, key), value in total.items() if what == "gauge"} == dict.fromkeys(
        bends, 0.0
    )
    assert {key: value for (what, key), value in total.items() if what == "deduction"} == dict.fromkeys(bends, 1.0)
    edges = [value for (what, _), value in total.items() if what == "edge"]
    assert edges == [1.0, 1.0]


@pytest.mark.origin(
    "law", "a leg the plan says is held at a bend takes that bend's gauge error, no other, and no cut edge"
)
@pytest.mark.parametrize("name", EVERY)
def test_held_legs_agree_with_the_plan(name: str) -> None:
    """Legs of the plan with a bend that holds them."""
    rules = rules_of(name)
    for leg in plan_of(name).legs:
        rule = rules[f"leg {leg.flange_id}"]
        if leg.gauged_at_bend is not None:
            assert rule.gauge_mm == ((leg.gauged_at_bend, 1.0),)
            assert rule.edge_mm == ()


@pytest.mark.origin("derived", "a wall of height h turned by a small angle moves its free end by h sin(included)")
def test_the_opening_of_a_channel() -> None:
    """50 high on both sides: 0.873 mm a degree each, and all that the base takes."""
    rules = rules_of("cable_tray")
    opening = next(rule for rule in rules.values() if rule.kind == "opening")
    per_degree = 50.0 * sin(radians(90.0)) * radians(1.0)
    assert sorted(opening.included_deg) == [("b1", pytest.approx(per_degree)), ("b2", pytest.approx(per_degree))]
    assert opening.gauge_mm == rules["leg leg2"].gauge_mm


@pytest.mark.origin("law", "a step has no opening; the drawing's own limits are kept")
def test_no_opening_over_a_step_and_own_limits() -> None:
    """Bends to opposite sides; the tray's base 60 +0/-0.5."""
    part = example("cable_tray")
    other = replace(part, bends=(part.bends[0], replace(part.bends[1], direction="down")))
    kinds = [rule.kind for rule in size_rules(other, aimed(other), plan_of("cable_tray").strokes)]
    assert kinds == ["leg", "leg", "leg"]
    base = rules_of("cable_tray")["leg leg2"]
    assert (base.lower_mm, base.upper_mm, base.aimed_mm) == (59.5, 60.0, 59.75)
