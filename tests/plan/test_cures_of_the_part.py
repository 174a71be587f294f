"""Flanges shorter, longer or cut back as cures: every one is solved again, and its size is held against the sums by hand."""

from __future__ import annotations

from math import cos, radians, sin

import pytest
from cured import (
    HALF,
    LONG_S,
    SIZE_MM,
    TRAY_TOOLS,
    assert_solved_again,
    beside,
    changed_by,
    looked,
    of_kind,
    sentences,
    solves,
    tooling,
    tray,
)
from hypothesis import given, settings
from hypothesis import strategies as st

from bendwright.findings import NotPossibleError
from bendwright.part.legs import outside_mm
from bendwright.part.model import Part
from bendwright.plan.choose import Tooling, blank_situation
from bendwright.plan.cures.clues import clues_in
from bendwright.plan.cures.look import cures_of
from shop_talk import panel, profile, sheet


@pytest.mark.origin(
    "derived", "leg h inside with 57 cos - h sin = 7 of the punch: 46.20, outside 47.70; U test h < b + s sqrt 2"
)
def test_the_tallest_leg_of_the_channel() -> None:
    """One shorter leg is enough; a tenth more does not work."""
    cure = changed_by(tray(), "shorten flange leg")
    leg = cure.sentence.split()[2]
    assert leg in {"leg1", "leg3"}
    tallest = (57.0 * cos(HALF) - 7.0) / sin(HALF) + 1.5
    assert cure.after == pytest.approx(tallest, abs=SIZE_MM)
    assert cure.after == pytest.approx(outside_mm(cure.part, leg))
    assert cure.sentence.startswith(f"shorten flange {leg} from 50.00 to {cure.after:.2f} mm")
    assert cure.fails == pytest.approx((cure.after or 0.0) + 0.05)
    assert not solves(profile(f"{(cure.after or 0.0) + 0.1:.2f} u90 60 u90 50 x 2000"), TRAY_TOOLS)
    assert cure.works is not None
    assert cure.works[1] < 20.0


@pytest.mark.origin("derived", "base b inside with b cos - 48.5 sin = 7: 59.34, outside 62.34")
def test_the_widest_base_of_the_channel() -> None:
    """The other way round: a wider base."""
    cure = changed_by(tray(), "lengthen flange leg2")
    assert cure.after == pytest.approx((7.0 + 48.5 * sin(HALF)) / cos(HALF) + 3.0, abs=SIZE_MM)
    assert not solves(profile(f"50 u90 {(cure.after or 0.0) - 0.1:.2f} u90 50 x 2000"), TRAY_TOOLS)


@pytest.mark.origin(
    "derived", "corner (17, 13.5): 2.29 at 89 degrees (2.47 at 90); leg b with b cos - 13.5 sin = 7: 26.72 outside"
)
def test_return_too_deep_for_the_punch() -> None:
    """Flange 20 with return 15 round a wide panel: a slimmer body, or a longer flange; both flanges must change."""
    part = profile("15 u90 20 u90 300 u90 20 u90 15 x 400")
    cures = looked(part, tooling(sheet("DC01", "1.5", "1.50"), die="V12", punches="P1"))
    assert_solved_again(cures)
    slim = changed_by(cures, "get a punch like P1")
    assert beside(17.0, 13.5) - 0.1 - SIZE_MM <= (slim.after or 0.0) <= beside(17.0, 13.5) + SIZE_MM
    longer = changed_by(cures, "lengthen flanges leg2 and leg4 from 20.00")
    assert longer.after == pytest.approx((7.0 + 13.5 * sin(HALF)) / cos(HALF) + 3.0, abs=SIZE_MM)


@pytest.mark.origin(
    "derived", "lip corner 38 high inside, base b - 15 - 2 from it: b cos - 38 sin = 7 gives 48.66, base 65.66"
)
def test_lipped_channel_with_a_narrow_base() -> None:
    """Base 50 does not work with the straight punch; how wide it must be."""
    part = profile("15 u90 40 u90 50 u90 40 u90 15 x 1200")
    cures = looked(part, tooling(sheet("S235JR", "2", "2.00"), die="V16", punches="P1"))
    assert_solved_again(cures)
    cure = changed_by(cures, "lengthen flange leg3 from 50.00")
    assert cure.after == pytest.approx((7.0 + 38.0 * sin(HALF)) / cos(HALF) + 17.0, abs=SIZE_MM)


@pytest.mark.origin(
    "derived",
    "U test: the leg standing first passes a body s wide when b cos(a/2) - h sin(a/2) > s; at 90 degrees h < b - s sqrt 2",
)
@settings(max_examples=5, deadline=None, derandomize=True)
@given(base=st.floats(40.0, 80.0), more=st.floats(0.3, 12.0))
def test_channels_of_any_size(base: float, more: float) -> None:
    """The shorter leg told is the tallest that works, whatever the channel; a tenth more is refused."""
    inside = (base - 3.0) * cos(HALF)
    tallest = (inside - 7.0) / sin(HALF) + 1.5
    leg = tallest + more
    part = profile(f"{leg:.3f} u90 {base:.3f} u90 {leg:.3f} x 300")
    cure = changed_by(looked(part, TRAY_TOOLS, most=110), "shorten flange leg1")
    assert cure.after == pytest.approx(tallest, abs=SIZE_MM)
    assert solves(cure.part, cure.tooling)
    assert not solves(profile(f"{(cure.after or 0.0) + 0.1:.3f} u90 {base:.3f} u90 {leg:.3f} x 300"), TRAY_TOOLS)


@pytest.mark.origin("derived", "V16 at 89 degrees: leg at least 8/sin(44.5) = 11.41; V12: 8.56")
def test_a_flange_too_short_for_the_die_wished() -> None:
    """The next narrower die, or the flange longer by what lacks."""
    cures = looked(profile("60 u90 10 x 100"), tooling(sheet(), die="V16"))
    assert_solved_again(cures)
    assert of_kind(cures, "other_die")[0].sentence == "use die V12 instead of V16"
    longer = changed_by(cures, "lengthen flange leg2")
    assert longer.after == pytest.approx(8.0 / sin(radians(44.5)), abs=0.05)
    assert longer.fails is not None
    assert longer.fails < 8.0 / sin(radians(44.5))


def drawn(part: Part, tools: Tooling) -> bool:
    """Whether the blank can be laid out and the finished part does not run into itself."""
    return blank_situation(part, tools) is not None


@pytest.mark.origin("derived", "returns 12 wide inside the outer edges: the others must end 12 from them at each end")
def test_returns_that_meet_in_the_corners() -> None:
    """The ends of one pair are cut back by the width of the other; the sheet of the wall itself stays as wide as it was."""
    part = panel(
        "panel:\n  base: {width: 300, depth: 200}\n  flanges:\n"
        "    - {edge: [front, back], leg: 25, direction: up, flanges: [{edge: far, leg: 12, direction: up}]}\n"
        "    - {edge: [left, right], leg: 25, direction: up, flanges: [{edge: far, leg: 12, direction: up}]}\n"
    )
    tools = tooling(sheet("DC01", "1", "1.00"), die="V8", punches="P1")
    with pytest.raises(NotPossibleError) as caught:
        drawn(part, tools)
    clues = clues_in(part, sentences(caught.value))
    cures = cures_of(part, tools, solves=drawn, seconds=LONG_S, clues=clues)
    cure = of_kind(cures, "relief")[0]
    assert drawn(cure.part, cure.tooling)
    back = 0.5 * ((cure.before or 0.0) - (cure.after or 0.0))
    assert back == pytest.approx(12.0, abs=0.06)
    assert cure.sentence.startswith("cut back both ends of flanges ")
    assert f"by {back:.2f} mm each" in cure.sentence
    assert not of_kind(cures, "other_punch")
