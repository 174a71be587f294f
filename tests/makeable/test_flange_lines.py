"""Flanges against the dies owned: what is missing, which die would do, and pairs of bends too near each other."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from told import line_of, lines_of, looked_of, report_of

from bendwright.findings import NotPossibleError
from bendwright.job import Wishes, prepare
from bendwright.makeable.flanges import die_fits
from bendwright.makeable.webs import half_body_mm
from bendwright.part.model import Part
from shop_talk import SHOP, example, profile, sheet, shop_with

FEW = settings(max_examples=20, deadline=None)
LOADED = math.sin(math.radians(44.5))


@pytest.mark.origin(
    "derived", "t 2, 90 + 1 deg springback: V16 wants 16/(2 sin 44.5) = 11.41, V12 8.56, V10 7.13, V8 5.71; flange 9"
)
def test_a_short_flange_takes_a_narrower_die() -> None:
    """V16 is refused, V12 offered with a watch (0.44 below its margin), V10 has it."""
    part = profile("9 u90 60 x 100")
    line = line_of(report_of(part), "flange", "leg in V12", "leg1")
    assert (line.value, line.limit) == (pytest.approx(9.0, abs=1e-4), pytest.approx(12.0 / 2.0 / LOADED, abs=1e-3))
    assert line.verdict == "watch"
    assert "the usual V16 would want 2.41 mm more" in line.note
    assert line.fix is not None
    assert line.fix.amount == pytest.approx(1.0 - (9.0 - 8.5603), abs=1e-3)
    wished = line_of(report_of(part, die_id="V16"), "flange", "leg in V16", "leg1")
    assert wished.verdict == "no"
    assert wished.short_by == pytest.approx(16.0 / 2.0 / LOADED - 9.0, abs=1e-3)
    ten = line_of(report_of(part, die_id="V10"), "flange", "leg in V10", "leg1")
    assert ten.verdict == "ok"


@pytest.mark.origin("derived", "no die narrower than V16: 2.41 mm are missing, and nothing owned helps")
def test_what_is_missing_is_said_when_no_die_helps() -> None:
    """A cabinet of wide dies; then one with a die that is short enough and fails otherwise."""
    wide = shop_with(dies=tuple(die for die in SHOP.cabinet.dies if die.opening_mm >= 16.0))
    report = report_of(profile("9 u90 60 x 100"), shop=wide)
    line = line_of(report, "flange", "leg in", "leg1")
    assert report.verdict == "no"
    assert line.fix is not None
    assert line.fix.sentence.startswith("2.41 mm longer")
    assert "no die owned is narrow enough" in line.fix.sentence
    weak = tuple(
        replace(die, max_line_load_kn_per_m=50.0) if die.opening_mm < 16.0 else die for die in SHOP.cabinet.dies
    )
    other = line_of(report_of(profile("9 u90 60 x 100"), shop=shop_with(dies=weak)), "flange", "leg in", "leg1")
    assert other.fix is not None
    assert "V12-80 would be short enough but fails on die line load" in other.fix.sentence


@given(st.floats(4.0, 14.0), st.sampled_from([45.0, 90.0, 120.0]), st.sampled_from(["V16", "V20", "V12"]))
@FEW
@pytest.mark.origin("law", "lengthened by what is missing the flange fits the die; a hundredth less does not do")
def test_longer_by_the_proposed_amount_the_die_fits(leg: float, turned: float, die: str) -> None:
    """The report of the lengthened part has no such line any more."""
    line = line_of(report_of(profile(f"{leg!r} u{turned:g} 60 x 100"), die_id=die), "flange", "leg in", "leg1")
    assume(line.verdict == "no")
    assert line.fix is not None
    assert line.fix.amount is not None
    for more, verdicts in ((0.0, {"watch", "ok"}), (-0.01, {"no"})):
        longer = leg + line.fix.amount + more
        again = line_of(report_of(profile(f"{longer!r} u{turned:g} 60 x 100"), die_id=die), "flange", "leg in", "leg1")
        assert again.verdict in verdicts


@given(st.floats(5.0, 30.0), st.sampled_from(["u", "d"]))
@settings(max_examples=8, deadline=None)
@pytest.mark.origin(
    "law",
    "a report without a no about webs and steps, and the search with real tools and poses, agree where both are sure",
)
def test_webs_the_report_refuses_have_no_plan(web: float, way: str) -> None:
    """A channel or a step 60-web-60: what the report calls impossible the exact search cannot plan either, in that die."""
    part = profile(f"60 u90 {web!r} {way}90 60 x 200")
    report = report_of(part, die_id="V16")
    bad = [line for line in lines_of(report, "flange", "", "leg2") if line.verdict == "no"]
    assume(bad)
    with pytest.raises(NotPossibleError):
        prepare(part, sheet(), SHOP, Wishes(die_id="V16"))


@pytest.mark.origin(
    "derived", "web 12, V16: 12 - R - t = 7.44 straight to the other tangent, 11.41 asked; V10 would want 7.13"
)
def test_two_bends_too_near() -> None:
    """A narrow channel."""
    line = line_of(report_of(profile("30 u90 12 u90 30 x 300"), die_id="V16"), "flange", "web to the tangent")
    assert line.value == pytest.approx(12.0 - 2.56 - 2.0, abs=1e-3)
    assert line.limit == pytest.approx(16.0 / 2.0 / LOADED, abs=1e-3)
    assert line.verdict == "no"
    assert "2.88 mm flat between the tangents = 1.4 t" in line.note
    assert lines_of(report_of(profile("30 u90 12 u90 30 x 300")), "flange", "step beside") == []


@pytest.mark.origin(
    "derived",
    "half the body of V16 is 13: straight past it 13 + BD/2 1.89 = 14.89 to the tangent, so the web is 14.89 + R + t = 19.45",
)
def test_a_step_must_clear_the_body_of_the_die() -> None:
    """12 is too little, 19.3 a hair, 20 is within the watch, 22 enough."""
    v16 = SHOP.cabinet.die("V16")
    assert half_body_mm(v16) == pytest.approx(13.0)
    bd = 2.0 * 4.56 - math.pi / 2.0 * (2.56 + 0.42 * 2.0)
    for web, verdict in ((12.0, "no"), (19.3, "no"), (20.0, "watch"), (22.0, "ok")):
        line = line_of(report_of(profile(f"30 u90 {web} d90 30 x 300"), die_id="V16"), "flange", "step beside die V16")
        assert line.value == pytest.approx(web - 4.56, abs=1e-3)
        assert line.limit == pytest.approx(13.0 + bd / 2.0, abs=1e-3)
        assert line.verdict == verdict


@pytest.mark.origin(
    "law",
    "the quick look at a step says no where the exact search with tools and poses finds the die in the way, and only there",
)
@pytest.mark.parametrize("turned", [60, 90])
@pytest.mark.parametrize("aside", [-1.5, -0.6, 0.6, 1.5])
def test_steps_agree_with_the_search(turned: int, aside: float) -> None:
    """Webs to either side of the limit, in one die."""
    tangent = 4.56 * math.tan(math.radians(turned / 2.0))
    probe = line_of(report_of(profile(f"60 u{turned} 40 d{turned} 60 x 200"), die_id="V16"), "flange", "step beside")
    assert probe.limit is not None
    part = profile(f"60 u{turned} {probe.limit + tangent + aside:.3f} d{turned} 60 x 200")
    line = line_of(report_of(part, die_id="V16"), "flange", "step beside")
    assert (line.verdict == "no") is (aside < 0.0)
    if aside < 0.0:
        with pytest.raises(NotPossibleError):
            prepare(part, sheet(), SHOP, Wishes(die_id="V16"))
    else:
        assert prepare(part, sheet(), SHOP, Wishes(die_id="V16")).plan.strokes


@pytest.mark.origin("derived", "hem 12 in V6-30 at 30 degrees: 6/(2 sin 15) = 11.59, 0.41 to spare of 1")
def test_the_hems_of_the_hive_roof() -> None:
    """The pre-bend asks for the longest flange."""
    line = line_of(report_of(example("hive_roof")), "flange", "leg in V6-30", "front.hem")
    assert line.value == pytest.approx(12.0, abs=1e-3)
    assert line.limit == pytest.approx(6.0 / 2.0 / math.sin(math.radians(15.0)), abs=1e-3)
    assert line.verdict == "watch"
    assert len(line.places) == 4


def no_die(part: Part) -> str:
    """What is said of a bend that no die does."""
    return line_of(report_of(part), "flange", "no die owned does it").note


@pytest.mark.origin(
    "derived", "springback 2.5: loaded 20 - ... below every die's groove; the acute ones are for hems of thin sheet"
)
def test_a_bend_no_die_does() -> None:
    """Turned 165 in 6 mm: each die near the usual opening says why not."""
    said = no_die(
        replace(profile("150 u165 200 x 300"), header=replace(profile("9 u90 9 x 9").header, thickness_mm=6.0))
    )
    assert "die angle" in said
    assert said.count(":") >= 3


@pytest.mark.origin("law", "dies are told narrowest first, and each shortest leg follows from its own opening")
def test_fits_of_all_dies() -> None:
    """V / (2 sin(included / 2)) for every die that forms the bend."""
    fits = die_fits(looked_of(profile("30 u90 60 x 100")), 0)
    openings = [fit.die.opening_mm for fit in fits]
    assert openings == sorted(openings)
    assert len(fits) > 5
    for fit in fits:
        assert fit.shortest_mm == pytest.approx(fit.die.opening_mm / 2.0 / LOADED, abs=1e-6)


@pytest.mark.origin(
    "law", "where the usual die has no room the report goes on to a slimmer die, in which the search finds a plan"
)
def test_a_narrow_step_takes_a_slimmer_die() -> None:
    """Web 16 in 2 mm: V16 and V12 are too stout, V10 is not."""
    part = profile("60 u90 16 d90 60 x 200")
    report = report_of(part)
    assert report.verdict != "no"
    assert "V16" not in dict(report.dies).values()
    (die,) = set(dict(report.dies).values())
    plan = prepare(part, sheet(), SHOP, Wishes(die_id=die)).plan
    assert {stroke.die_id for stroke in plan.strokes} == {die}
    refused = line_of(report_of(part, die_id="V16"), "flange", "step beside die V16")
    assert refused.fix is not None
    assert refused.fix.amount == pytest.approx(19.45 - 16.0, abs=0.01)
