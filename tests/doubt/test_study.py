"""The study as a whole: Monte Carlo against first order, capability against the normal law, remedies, laws."""

from __future__ import annotations

import json
import time
from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest
from studied import EVERY, doubt_of, plan_of

from bendwright.doubt.capability import capability_of, class_of
from bendwright.doubt.responses import responses_of, rough_surface
from bendwright.doubt.result import Doubted, PlanDoubt
from bendwright.doubt.sentences import best_remedy, grouped, worst_size
from bendwright.doubt.spreads import Spread, Spreads
from bendwright.doubt.study import restudied, study
from bendwright.drawing.plan_file import plan_from_json, plan_to_json
from bendwright.findings import InputError
from shop_talk import SHOP, example, sheet

NORMAL_CPK_ONE_OUTSIDE = 2.0 * NormalDist().cdf(-3.0)


def told(doubt: PlanDoubt) -> tuple[Doubted, ...]:
    """All angles and sizes."""
    return (*doubt.bends, *doubt.sizes)


def all_normal(spreads: Spreads) -> Spreads:
    """The same standard deviations, every one normal."""
    return replace(spreads, items=tuple(replace(item, distribution="normal") for item in spreads.items))


@pytest.mark.origin("law", "where nothing varies nothing spreads")
def test_no_spread() -> None:
    """All standard deviations 0, no shares, no Cpk, nothing outside but what the aim itself is off."""
    doubt = doubt_of("instrument_rail")
    still = restudied(doubt, spreads=doubt.spreads.times(0.0), samples=200)
    for item in told(still):
        assert (item.standard_deviation, item.first_order, item.shares) == (pytest.approx(0.0, abs=1e-12), 0.0, ())
        assert item.capability is not None
        assert (item.capability.cp, item.capability.cpk, item.capability.outside) == (None, None, 0.0)
    assert still.sentences[0].endswith("nothing is said to vary.")


@pytest.mark.origin("law", "small spreads scale: twice as wide, twice the standard deviation")
def test_scaling() -> None:
    """The same lots at a tenth and a fifth of the width."""
    doubt = doubt_of("cable_tray")
    one, two = (restudied(doubt, spreads=doubt.spreads.times(f)) for f in (0.1, 0.2))
    for a, b in zip(told(one), told(two), strict=True):
        assert b.standard_deviation == pytest.approx(2.0 * a.standard_deviation, rel=0.01)
        assert b.first_order == pytest.approx(2.0 * a.first_order, rel=1e-6)


@pytest.mark.origin("law", "shares are shares, greatest first")
@pytest.mark.parametrize("name", EVERY)
def test_shares_add_up(name: str) -> None:
    """Of every angle and size of every example part."""
    for item in told(doubt_of(name)):
        assert sum(share.share for share in item.shares) == pytest.approx(1.0)
        assert [share.share for share in item.shares] == sorted((s.share for s in item.shares), reverse=True)


@pytest.mark.origin(
    "law", "first order against Monte Carlo: the sampling error of a standard deviation is 1 over root 2n"
)
@pytest.mark.parametrize("name", EVERY)
def test_first_order_against_monte_carlo(name: str) -> None:
    """Three sampling errors of 40,000 pieces and half a percent for the curve of the surfaces."""
    doubt = restudied(doubt_of(name), samples=40_000)
    for item in told(doubt):
        allowed = 3.0 / (2.0 * doubt.samples) ** 0.5 + 0.005
        assert item.standard_deviation == pytest.approx(item.first_order, rel=allowed)


@pytest.mark.origin("law", "a cause alone spreads by the root of its share")
def test_shares_against_one_cause_alone() -> None:
    """Only the ram, only the strength: Monte Carlo with all else still, against the share told."""
    doubt = doubt_of("instrument_rail", "1.98", "2.01")
    for cause in ("thickness", "strength", "ram"):
        alone = replace(doubt.spreads, items=tuple(item for item in doubt.spreads.items if item.cause == cause))
        for whole, part in zip(doubt.bends, restudied(doubt, spreads=alone).bends, strict=True):
            share = next(item.share for item in whole.shares if item.cause == cause)
            assert part.standard_deviation**2 / whole.first_order**2 == pytest.approx(share, rel=0.08)


@pytest.mark.origin("law", "the same seed gives the same digits, another seed others within the sampling error")
def test_seeds() -> None:
    """Twice the same, once another."""
    doubt = doubt_of("cable_tray")
    assert restudied(doubt) == doubt
    other = restudied(doubt, seed=doubt.seed + 1)
    assert other.bends != doubt.bends
    assert other.bends[0].standard_deviation == pytest.approx(doubt.bends[0].standard_deviation, rel=0.03)


@pytest.mark.origin("law", "more readings make narrower angles; measured is narrower than nominal")
def test_more_readings_narrow_the_angles() -> None:
    """None, two, eight readings."""
    eight = ("1.98", "2.01", "2.00", "1.99") * 2
    rows = [doubt_of("instrument_rail", *eight[:n]).bends[0].standard_deviation for n in (0, 2, 8)]
    assert rows == sorted(rows, reverse=True)
    assert rows[0] > 2.0 * rows[1]


@pytest.mark.origin("law", "normal law: a tolerance of three standard deviations has Cpk 1 and 0.27 % outside")
def test_capability_against_the_normal_law() -> None:
    """A million lots in the middle, then half a standard deviation off."""
    values = 10.0 + 0.1 * np.random.default_rng(5).standard_normal(1_000_000)
    found = capability_of(values, (9.7, 10.3, "drawn"))
    assert (found.cp, found.cpk) == (pytest.approx(1.0, rel=0.01), pytest.approx(1.0, rel=0.01))
    assert found.outside == pytest.approx(NORMAL_CPK_ONE_OUTSIDE, rel=0.1)
    off = capability_of(values + 0.05, (9.7, 10.3, "drawn"))
    assert off.cp == pytest.approx(1.0, rel=0.01)
    assert off.cpk == pytest.approx(2.5 / 3.0, rel=0.01)
    normal = NormalDist(10.05, 0.1)
    assert off.outside == pytest.approx(normal.cdf(9.7) + 1.0 - normal.cdf(10.3), rel=0.05)


@pytest.mark.origin(
    "law", "all causes normal and small: the limits that hold 95 of 100 are 1.96 standard deviations off"
)
def test_ninety_five_of_a_hundred() -> None:
    """Of 40,000 pieces."""
    doubt = doubt_of("station_tray")
    small = restudied(doubt, spreads=all_normal(doubt.spreads).times(0.2), samples=40_000)
    reach = NormalDist().inv_cdf(0.975)
    for item in told(small):
        assert 0.5 * (item.high - item.low) == pytest.approx(reach * item.standard_deviation, rel=0.03)


@pytest.mark.origin(
    "printed", "ISO 2768-1 m: 59.75 by its own limits, 50 +/-0.3; angles of legs over 10 to 50 mm +/-30 minutes"
)
def test_tolerances_taken() -> None:
    """The tray's base has its own; another class moves the rest alone."""
    doubt = doubt_of("cable_tray")
    by_name = {item.name: item.capability for item in told(doubt)}
    base, wall, bend = by_name["leg leg2"], by_name["leg leg1"], by_name["b1"]
    assert base is not None
    assert wall is not None
    assert bend is not None
    assert (base.lower, base.upper, base.source) == (59.5, 60.0, "the drawing")
    assert (wall.lower, wall.upper) == (pytest.approx(49.7), pytest.approx(50.3))
    assert (bend.lower, bend.upper) == (89.5, 90.5)
    coarse = {item.name: item.capability for item in told(restudied(doubt, tolerance_class="c"))}
    assert coarse["leg leg2"] == base
    assert coarse["leg leg1"].upper == pytest.approx(50.8)  # type: ignore[union-attr]


@pytest.mark.origin("practice", "general tolerances are noted as ISO 2768-mK, ISO 2768-1 c")
@pytest.mark.parametrize(
    ("notes", "shop", "grade"),
    [
        (("General tolerances ISO 2768-mK.",), "c", "m"),
        (("deburr", "ISO 2768-1 - f"), None, "f"),
        (("ISO 2768-cL",), None, "c"),
        (("no tolerance said",), "v", "v"),
        ((), None, "m"),
    ],
)
def test_class_of_the_drawing(notes: tuple[str, ...], shop: str | None, grade: str) -> None:
    """The notes, else the shop, else m."""
    assert class_of(notes, shop)[0] == grade  # type: ignore[arg-type]


@pytest.mark.origin(
    "derived", "depth held by the measured sheet: micrometer and what a sheet differs within itself stay"
)
def test_measuring_every_sheet() -> None:
    """Thickness alone varies: what is left is the slope times the root of the two squares."""
    doubt = doubt_of("instrument_rail")
    only = tuple(item for item in doubt.spreads.items if item.cause == "thickness")
    found = restudied(doubt, spreads=replace(doubt.spreads, items=only).times(0.3), samples=40_000)
    within = next(item.standard_deviation for item in found.spreads.items if item.scope == "stroke")
    slope = found.responses[0].included_deg.terms[0]
    left = abs(slope) * (within**2 + found.spreads.readings.micrometer_mm**2) ** 0.5
    after = next(item for item in found.remedies if item.name == "measure_sheets").results[0]
    assert after.standard_deviation == pytest.approx(left, rel=0.04)


@pytest.mark.origin(
    "derived", "one piece corrects the next: both their own errors and one reading stay, the batch goes"
)
def test_the_first_piece() -> None:
    """Ram and modulus alone: the modulus is the batch's and goes, the ram comes twice, the protractor once."""
    doubt = doubt_of("instrument_rail")
    kept = tuple(item for item in doubt.spreads.items if item.cause in ("ram", "modulus"))
    found = restudied(doubt, spreads=replace(doubt.spreads, items=kept), samples=40_000)
    ram = found.spreads.of("ram") * abs(found.responses[0].included_deg.terms[3])
    left = (2.0 * ram**2 + found.spreads.readings.protractor_deg**2) ** 0.5
    after = next(item for item in found.remedies if item.name == "first_piece").results[0]
    assert after.standard_deviation == pytest.approx(left, rel=0.04)


@pytest.mark.origin("law", "half the spread of one cause takes three quarters of its share away")
def test_better_machines() -> None:
    """A truer gauge and truer blanks on the sizes they make up."""
    doubt = doubt_of("hive_roof")
    for name, cause in (("better_gauge", "gauge"), ("better_cut", "cut_edge"), ("better_ram", "ram")):
        remedy = next(item for item in doubt.remedies if item.name == name)
        for item, after in zip(told(doubt), remedy.results, strict=True):
            share = next((s.share for s in item.shares if s.cause == cause), 0.0)
            left = item.standard_deviation * (1.0 - 0.75 * share) ** 0.5
            assert after.standard_deviation == pytest.approx(left, rel=0.03)


@pytest.mark.origin("law", "the sentence names the chief cause and a remedy that helps")
def test_sentences() -> None:
    """Unmeasured hot-rolled sheet: thickness, and measuring it."""
    doubt = doubt_of("instrument_rail")
    assert len(grouped(doubt.bends)) == 1
    names = ", ".join(item.name for item in doubt.bends)
    assert sorted(names.split(", ")) == ["b1", "b2", "b3", "b4"]
    assert doubt.sentences[0].startswith(f"Bends {names}: ±")
    assert "% of it thickness" in doubt.sentences[0]
    assert "measuring every sheet and correcting the depth brings Cpk to" in doubt.sentences[0]
    bend = doubt.bends[0]
    helped = best_remedy(bend, doubt.remedies)
    assert helped is not None
    assert bend.capability is not None
    assert helped[1] > (bend.capability.cpk or 0.0)
    worst = worst_size(doubt.sizes)
    assert worst is not None
    assert worst.name in {"leg leg2", "leg leg3", "leg leg4"}
    assert doubt.sentences[-1].startswith(f"Worst size, {worst.name}: ±")


@pytest.mark.origin("law", "hems are pressed: their angle is not studied, their leg follows the thickness")
def test_hems() -> None:
    """The hive roof's four walls and four hems."""
    doubt = doubt_of("hive_roof")
    assert len(doubt.responses) == 8
    assert {item.name for item in doubt.bends} == {"b1", "b2", "b3", "b4"}
    hems = [item for item in doubt.responses if not item.held]
    assert len(hems) == 4
    assert all(item.deduction_mm.terms[0] > 0.0 for item in hems)


@pytest.mark.origin(
    "law", "where the stroke model does not reach, slopes from the plan's mm per degree have the same signs"
)
def test_rough_slopes() -> None:
    """Against the surface of the same stroke: signs, and the size (a real bend is no pair of straight legs)."""
    plan = plan_of("instrument_rail")
    rough = rough_surface(plan.strokes[0], sheet("S235JR", "2"))
    fine = doubt_of("instrument_rail").responses[0]
    for i in (0, 1, 3):
        assert rough.included_deg.terms[i] / fine.included_deg.terms[i] == pytest.approx(1.0, abs=0.6)
        assert rough.deduction_mm.terms[i] * fine.deduction_mm.terms[i] > 0.0


@pytest.mark.origin("law", "a bend the stroke model does not reach is studied by rough slopes and says so")
def test_beyond_the_stroke_model() -> None:
    """A sheet as thick as the room between the shoulders of its die."""
    plan, part, used = plan_of("instrument_rail"), example("instrument_rail"), sheet("S235JR", "2")
    dies = {die.id: replace(die, opening_mm=5.0) for die in SHOP.cabinet.dies}
    punches = {punch.id: punch for punch in SHOP.cabinet.punches}
    found = responses_of(part, plan.strokes, sheet=used, dies=dies, punches=punches)
    assert all(item.source.startswith("rough slopes, the stroke model does not reach: R1") for item in found)
    assert found[0].included_deg.terms[3] == pytest.approx(-1.0 / plan.strokes[0].mm_per_degree)


@pytest.mark.origin("law", "a stored plan gives its study back to the last digit, and it can be run anew from there")
def test_storing() -> None:
    """Through the plan file."""
    plan = plan_of("cable_tray")
    back = plan_from_json(plan_to_json(plan))
    assert back.doubt == plan.doubt
    assert back.doubt is not None
    assert restudied(back.doubt) == plan.doubt
    assert json.loads(plan_to_json(replace(plan, doubt=None)))["doubt"] is None


@pytest.mark.origin("practice", "10,000 pieces of a part with six and more bends in less than a second on one core")
def test_it_is_quick() -> None:
    """Eight bends, the remedies too."""
    doubt = doubt_of("cabinet_door")
    assert len(doubt.responses) == 8
    start = time.process_time()
    restudied(doubt, samples=10_000)
    assert time.process_time() - start < 1.0


@pytest.mark.origin("law", "too few and too many samples are refused; a plan without bends to study has nothing to say")
def test_samples_and_nothing_to_study() -> None:
    """U101."""
    doubt = doubt_of("cable_tray")
    for samples in (0, 99, 1_000_001):
        with pytest.raises(InputError, match="U101"):
            restudied(doubt, samples=samples)
    none = study(responses=(), rules=(), spreads=doubt.spreads, tolerance_class="m", class_source="test", samples=100)
    assert (none.bends, none.sizes, none.sentences) == ((), (), ())


@pytest.mark.origin("law", "a spread of one stroke is not shared: two bends move apart, a batch moves both alike")
def test_what_is_shared() -> None:
    """The opening of a channel by the ram alone (two independent walls) and by the modulus alone (two alike)."""
    doubt = doubt_of("cable_tray")

    def opening(spread: Spread) -> tuple[float, float]:
        found = restudied(doubt, spreads=replace(doubt.spreads, items=(spread,)), samples=40_000)
        size = next(item for item in found.sizes if item.kind == "opening")
        return size.standard_deviation, 0.8727 * found.bends[0].standard_deviation

    ram = next(item for item in doubt.spreads.items if item.cause == "ram")
    modulus = next(item for item in doubt.spreads.items if item.cause == "modulus")
    whole, one = opening(ram)
    assert whole == pytest.approx(2.0**0.5 * one, rel=0.06)
    whole, one = opening(modulus)
    assert whole == pytest.approx(2.0 * one, rel=0.06)
