"""The search for cures itself: what it is told, what it tries, where it ends, and that it tells nothing it did not solve."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from cured import (
    ALL,
    LONG_S,
    SIZE_MM,
    TRAY,
    TRAY_TOOLS,
    beside,
    changed_by,
    looked,
    of_kind,
    refusal,
    sentences,
    solves,
    tray,
)

from bendwright.part.legs import outside_mm
from bendwright.part.model import Part
from bendwright.plan.choose import Tooling
from bendwright.plan.cures.clues import clues_in
from bendwright.plan.cures.look import cures_of
from bendwright.plan.cures.records import Clue
from shop_talk import example, profile


@pytest.mark.origin("law", "where one piece is not enough, two of a length are tried")
def test_two_pieces() -> None:
    """A job that needs two more of 90 mm; any number of lengths at once would do too."""

    def two_of_90(_: Part, tools: Tooling) -> bool:
        lengths = [piece.length_mm for piece in tools.punches[0].pieces]
        return lengths.count(90.0) >= 2 or 512.0 in lengths

    clue = Clue(against="stack", stack_mm=(90.0, 90.0))
    cures = cures_of(TRAY, TRAY_TOOLS, solves=two_of_90, seconds=LONG_S, clues=(clue,))
    assert [cure.sentence for cure in of_kind(cures, "buy_piece")] == ["get two pieces of punch P1, 90 mm long"]


@pytest.mark.origin("law", "flanges left out are told")
def test_a_part_with_many_flanges() -> None:
    """Of eleven flanges the last three are not looked at, and the answer says so."""
    part = profile("30 " + "u20 30 " * 10 + "x 100")
    cures = cures_of(part, TRAY_TOOLS, solves=lambda *_: False, seconds=LONG_S)
    assert len(part.flanges) == 11
    assert cures.not_tried[-1].startswith("the flanges ")
    assert cures.not_tried[-1].count("leg") == 3


@pytest.mark.origin("law", "the search finds the edges of any set of sizes that works, also where it is no half line")
@pytest.mark.parametrize(
    ("works", "word", "nearest", "farthest"),
    [
        ((15.0, 16.8), "shorten", 16.8, 15.0),
        ((18.6, 25.0), "lengthen", 18.6, 25.0),
        ((14.0, 14.6), "shorten", 14.6, 14.0),
    ],
)
def test_sizes_between_two_that_fail(works: tuple[float, float], word: str, nearest: float, farthest: float) -> None:
    """A return of 18 fails, some less or more works, still less or more fails: both ends are told."""
    part = profile("18 u90 80 x 200")

    def some(changed: Part, _: Tooling) -> bool:
        return works[0] - 1e-6 <= outside_mm(changed, "leg1") <= works[1] + 1e-6 and outside_mm(changed, "leg2") == 80.0

    cures = cures_of(part, TRAY_TOOLS, solves=some, seconds=LONG_S)
    (cure,) = cures.cures
    assert cure.sentence.startswith(f"{word} flange leg1 from 18.00 to {nearest:.2f} mm; sizes tried from there")
    assert cure.works == pytest.approx((nearest, farthest))
    assert cure.fails == pytest.approx(nearest + (0.05 if word == "shorten" else -0.05))


@pytest.mark.origin("law", "clamps are asked for only against the machine; the lowest that do are told")
def test_clamps_with_gaps() -> None:
    """From a brake of the shop that has them, else a height that would do."""

    def clamped(_: Part, tools: Tooling) -> bool:
        clamps = tools.brake.punch_clamps
        return clamps is not None and clamps.height_mm >= 40.0 and tools.brake.punch_held == "clamps"

    ram, other = Clue(against="machine", mm=5.0), Clue(against="punch", mm=5.0)
    for clue, found in ((ram, 1), (other, 0)):
        cures = cures_of(TRAY, TRAY_TOOLS, solves=clamped, seconds=LONG_S, clues=(clue,))
        assert len(of_kind(cures, "clamp_gap")) == found
    (cure,) = of_kind(cures_of(TRAY, TRAY_TOOLS, solves=clamped, seconds=LONG_S, clues=(ram,)), "clamp_gap")
    assert cure.after == 40.0
    assert "instead of one rail: 40 mm high" in cure.sentence


@pytest.mark.origin("law", "nothing is told that was not answered with yes; the same answers give the same cures")
def test_nothing_is_told_that_was_not_solved() -> None:
    """Every cure's job is among those answered with yes; with no yes at all there is no cure."""
    yes: list[tuple[Part, Tooling]] = []

    def kept(part: Part, tools: Tooling) -> bool:
        if solved := solves(part, tools):
            yes.append((part, tools))
        return solved

    clues = clues_in(TRAY, sentences(refusal(TRAY, TRAY_TOOLS)), tools=["P1"])
    first = cures_of(TRAY, TRAY_TOOLS, solves=kept, seconds=LONG_S, clues=clues, others=ALL)
    assert all((cure.part, cure.tooling) in yes for cure in first.cures)
    assert first.cures == tray().cures
    none = cures_of(TRAY, TRAY_TOOLS, solves=lambda *_: None, seconds=LONG_S, others=ALL)
    assert (none.cures, none.not_tried) == ((), ())
    assert "shorten flange leg1" in none.without


def counting(step_s: float) -> Callable[[], float]:
    """A clock that goes on by so much each time it is looked at."""
    now = [0.0]

    def clock() -> float:
        now[0] += step_s
        return now[0]

    return clock


@pytest.mark.origin("law", "no more solves than allowed; what was not reached is told")
def test_the_search_ends_when_its_time_is_up() -> None:
    """By solves and by seconds; what was found before stays found."""
    few = looked(TRAY, TRAY_TOOLS, most=12)
    assert few.solves == 12
    assert "shorten flange leg1" in few.not_tried
    assert [cure.sentence for cure in few.cures] == ["use punch P2 instead of P1"]
    short = cures_of(TRAY, TRAY_TOOLS, solves=lambda *_: False, seconds=10.0, clock=counting(1.0))
    assert short.solves < 10
    assert short.not_tried
    nothing = cures_of(TRAY, TRAY_TOOLS, solves=lambda *_: True, seconds=0.0)
    assert (nothing.solves, nothing.cures) == (0, ())


@pytest.mark.origin("law", "a clue is what the planner's own sentence says")
def test_clues_of_a_refusal() -> None:
    """Flange, bend, tool and millimetres of the channel; 'front' is not read into 'front.far'."""
    (clue,) = clues_in(TRAY, sentences(refusal(TRAY, TRAY_TOOLS)), tools=["P1", "P2"])
    assert (clue.flanges, clue.bends, clue.tools, clue.against) == (("leg1",), ("b2",), ("P1",), "punch")
    assert clue.mm == pytest.approx(7.0 - beside(57.0, 48.5), abs=SIZE_MM)
    door = example("cabinet_door")
    (clue,) = clues_in(door, ["at bend b1 flange front.far runs 2.85 mm into the ram."])
    assert (clue.flanges, clue.against, clue.mm) == (("front.far",), "machine", 2.85)
    assert clues_in(door, ["nothing of the sort"]) == ()


@pytest.mark.origin("law", "names nobody knows are no reason to stop")
def test_clues_that_name_nothing_of_the_part() -> None:
    """A clue with other names is no more than no clue."""
    odd = Clue(flanges=("leg77",), bends=("b99",), tools=("P99",), mm=-3.0)
    cures = cures_of(TRAY, TRAY_TOOLS, solves=solves, seconds=LONG_S, clues=(odd,), most_solves=200)
    assert changed_by(cures, "shorten flange leg1").after == changed_by(tray(), "shorten flange leg1").after
