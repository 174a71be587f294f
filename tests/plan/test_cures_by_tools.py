"""Other tools, pieces, set-ups and brakes as cures: every one is solved again, and its size is held against the sums by hand."""

from __future__ import annotations

import itertools
from dataclasses import replace
from datetime import date
from math import ceil, cos, radians, sin

import pytest
from cured import (
    ALUMINIUM,
    SIZE_MM,
    assert_solved_again,
    beside,
    box,
    changed_by,
    looked,
    of_kind,
    refusal,
    sentences,
    solves,
    tooling,
    tray,
    two_tabs,
)

from bendwright.part.legs import outside_mm
from bendwright.plan.build import make_plan
from bendwright.plan.cures.clues import clues_in
from bendwright.plan.cures.tool_changes import with_contact
from bendwright.shop.tools import Piece
from shop_talk import SHOP, example, profile, sheet


@pytest.mark.origin("law", "a cure is a job that was solved")
def test_cures_of_the_narrow_channel_solve_again() -> None:
    """The gooseneck that hangs in the cabinet comes first: it costs nothing."""
    assert_solved_again(tray())
    assert tray().cures[0].sentence == "use punch P2 instead of P1"
    assert not tray().not_tried


@pytest.mark.origin("derived", "corner (57, 48.5): 5.36 beside the centre line at 89 degrees included")
def test_the_slimmest_punch_for_the_channel() -> None:
    """The body must end before the corner; in tenths."""
    cure = changed_by(tray(), "get a punch like P1 with a body at most")
    room = beside(57.0, 48.5)
    assert room - 0.1 - SIZE_MM <= (cure.after or 0.0) <= room + SIZE_MM
    assert cure.fails == pytest.approx((cure.after or 0.0) + 0.1)


@pytest.mark.origin(
    "derived",
    "a wall h inside passes under a ram w = 30 from the middle when (h + w sin(a/2))/cos(a/2) - sunk <= H, sunk the depth of the "
    "sharp corner under the nose, 0.76; at 90 degrees without radius h = (H - w)/sqrt 2; a wall that ends before the ram does has "
    "its far corner, 117 along, highest",
)
@pytest.mark.parametrize("leg", [66.0, 70.0, 85.0])
def test_box_deeper_than_its_punch(leg: float) -> None:
    """A taller punch in the next five millimetres, or the walls of one pair shorter; springback of aluminium 1.5 degrees."""
    half = radians(91.5 / 2.0)
    allowance = radians(90.0) * (0.15 * 12.0 + 0.42 * 1.5)
    sunk = (allowance / (2.0 * half) - 0.42 * 1.5) * (1.0 / cos(half) - 1.0)
    cures = looked(box(leg), ALUMINIUM, most=170)
    assert_solved_again(cures)
    tall = changed_by(cures, "get a punch like P1 but")
    edge = (leg - 1.5 + 30.0 * sin(half)) / cos(half) - sunk
    need = min(edge, 117.0 * sin(half) + (leg - 1.5) * cos(half) - sunk)
    assert tall.after == 5.0 * ceil(need / 5.0)
    assert tall.fails == pytest.approx((tall.after or 0.0) - 5.0)
    assert edge == pytest.approx(2.0**0.5 * (leg - 1.5) + 30.0, rel=0.02)
    shorter = changed_by(cures, f"shorten flanges front and back from {leg:.2f}")
    assert shorter.after == pytest.approx((120.0 + sunk) * cos(half) - 30.0 * sin(half) + 1.5, abs=SIZE_MM)
    assert shorter.after == pytest.approx((120.0 - 30.0) / 2.0**0.5 + 1.5, rel=0.02)
    assert {outside_mm(shorter.part, name) for name in ("left", "right")} == {leg}


@pytest.mark.origin(
    "derived",
    "between walls 117 apart less 1 mm a side: at most 115; at least the bend less what may stay uncovered",
)
def test_a_missing_piece() -> None:
    """A punch owned in solid lengths only: one short piece is enough, for the pair of walls made second. Nothing else of the
    punch changes.
    """
    tools = replace(ALUMINIUM, punches=(SHOP.cabinet.punch("P6"),))
    (asked,) = {clue.stack_mm for clue in clues_in(box(55.0), sentences(refusal(box(55.0), tools)))}
    assert asked is not None
    (cure,) = of_kind(looked(box(55.0), tools, most=120), "buy_piece")
    assert asked[0] <= (cure.after or 0.0) <= asked[1] <= 115.0 + 1e-6
    assert cure.sentence == f"get a piece of punch P6, {cure.after:.0f} mm long"
    assert solves(cure.part, cure.tooling)
    assert replace(cure.tooling.punches[0], pieces=()) == replace(tools.punches[0], pieces=())


@pytest.mark.origin(
    "derived", "2400 + 5 mm asked, 835 + 835 + 735 of one punch hang: what lacks is bought in one piece"
)
def test_a_drawer_too_short_for_the_bend() -> None:
    """A long bend: the piece makes up what the drawer lacks."""
    punch = replace(SHOP.cabinet.punch("P6"), pieces=(Piece(length_mm=835.0, count=2),))
    tools = replace(tooling(sheet("DC01", "1", "1.00"), die="V8"), punches=(punch,))
    cures = looked(profile("40 u90 30 x 2400"), tools, most=150)
    (cure,) = of_kind(cures, "buy_piece")
    stack = 2.0 * 835.0 + (cure.after or 0.0)
    assert 2400.0 - 2.0 * SHOP.practice.max_uncovered_end_mm - 10.0 <= stack <= 2405.0
    assert solves(cure.part, cure.tooling)


@pytest.mark.origin("derived", "160 = 100 + 60 and 120 = 100 + 20: the one piece of 100 is in both stacks")
def test_stacks_that_cannot_hang_at_once() -> None:
    """Two set-ups, or a second piece about as long as the one that is wanted twice."""
    few = tuple(Piece(length_mm=length) for length in (100.0, 60.0, 20.0))
    tools = tooling(sheet("DC01", "1", "1.00"), die="V8", punches="P1")
    tools = replace(tools, punches=(replace(SHOP.cabinet.punch("P1"), pieces=few),))
    cures = looked(two_tabs(), tools, most=260)
    assert_solved_again(cures)
    (twice,) = of_kind(cures, "two_set_ups")
    stations = make_plan(two_tabs(), twice.tooling, quantity=1, made_on=date(2026, 11, 26)).stations
    assert sorted(station.set_up for station in stations) == [1, 2]
    assert sorted(station.length_mm for station in stations) == [120.0, 160.0]
    (piece,) = of_kind(cures, "buy_piece")
    lengths = (100.0, 60.0, 20.0, piece.after or 0.0)
    assert any(150.0 <= sum(first) <= 164.0 and 110.0 <= sum(second) <= 124.0 for first, second in _two_stacks(lengths))
    assert not of_kind(cures, "buy_punch")


def _two_stacks(lengths: tuple[float, ...]) -> list[tuple[list[float], list[float]]]:
    """Every way to put each piece into the first stack, the second or neither."""
    ways = itertools.product((0, 1, 2), repeat=len(lengths))
    return [tuple([x for x, k in zip(lengths, way, strict=True) if k == which] for which in (1, 2)) for way in ways]  # type: ignore[misc]


@pytest.mark.origin("derived", "160 + 120 and 20 between them: 300 of a bed of 290")
def test_stations_longer_than_the_bed() -> None:
    """One after the other they hang."""
    tools = tooling(sheet("DC01", "1", "1.00"), die="V8", punches="P1")
    tools = replace(tools, brake=replace(tools.brake, bed_length_mm=290.0))
    cures = looked(two_tabs(), tools, most=60)
    (twice,) = of_kind(cures, "two_set_ups")
    assert solves(twice.part, twice.tooling)
    assert twice.tooling.brake == tools.brake


@pytest.mark.origin(
    "derived", "S355 of 10 mm: V100 needs 760 kN/m, M1 stands 1000/(0.6 x 2.6) = 641, M3 2200/(0.6 x 3.6) = 1019"
)
def test_thick_plate_goes_to_the_large_brake() -> None:
    """No size of the part helps; the brake does."""
    cures = looked(example("thick_bracket"), tooling(sheet("S355MC", "10", "10.00")), most=60)
    assert_solved_again(cures)
    assert [cure.sentence for cure in of_kind(cures, "other_brake")] == ["make it on brake M3"]
    assert of_kind(cures, "other_brake")[0].tooling.brake.id == "M3"


@pytest.mark.origin("derived", "1800 of bend on a bed of 1250: only a longer brake, and V50 is 33 t for 1.5 mm")
def test_a_door_on_the_small_brake_with_the_wrong_die() -> None:
    """Brake and tools are both wrong; neither alone helps."""
    cures = looked(example("cabinet_door"), tooling(sheet("DC01", "1.5", "1.50"), brake="M2", die="V50"), most=40)
    (cure,) = (item for item in of_kind(cures, "other_brake") if item.tooling.brake.id == "M1")
    assert cure.sentence == "make it on brake M1 with other tools of the cabinet"
    assert solves(cure.part, cure.tooling)


@pytest.mark.origin("practice", "about eight thicknesses of opening: 16 for 2 mm")
def test_the_die_told_lies_near_the_usual_one() -> None:
    """V6 was wished for a plain angle of 2 mm; V80 too: in both cases it goes to sixteen."""
    part = profile("80 u90 60 x 300")
    told = [of_kind(looked(part, tooling(sheet(), die=die), most=60), "other_die")[0] for die in ("V6", "V80")]
    assert [cure.sentence for cure in told] == ["use die V16 instead of V6", "use die V16 instead of V80"]


@pytest.mark.origin("derived", "an angle cut 6 mm wide: its edges are 6 mm long, 8 are asked for")
def test_an_edge_shorter_than_the_contact_asked_for() -> None:
    """Refused by the mm found, the mm asked for and where the shop says so; solved again with 6.0, and no more will do."""
    narrow, tools = profile("60 u90 30 x 6"), tooling(sheet("DC01", "1.5"), die="V12", punches="P1")
    (finding,) = refusal(narrow, tools).findings
    assert finding.sentence.endswith(
        "the edge of flange leg1 is 6.0 mm long, 8 mm are needed (finger_contact of practice.yaml)."
    )
    assert finding.cure.startswith("Make it 2.00 mm longer; or, where 6.0 mm hold the part")
    cures = looked(narrow, tools, most=4)
    assert_solved_again(cures)
    (cure,) = of_kind(cures, "finger_contact")
    assert (cure.before, cure.after, cure.fails, cure.unit) == (8.0, 6.0, 6.1, "mm")
    assert cure.sentence.startswith("with 6.0 mm of contact at a finger instead of 8 an order exists")


@pytest.mark.origin("law", "what the record of a gauge says goes before the shop's practice")
def test_the_contact_of_a_gauge_goes_before_the_practice() -> None:
    """Narrow fingertips of one brake: planned there; wide ones where the practice is content with less: refused, and said by which."""
    narrow, tools = profile("60 u90 30 x 6"), tooling(sheet("DC01", "1.5"), die="V12", punches="P1")
    assert solves(narrow, with_contact(tools, 5.0))
    content = replace(tools, practice=replace(tools.practice, finger_contact_mm=5.0))
    assert solves(narrow, content)
    (finding,) = refusal(narrow, with_contact(content, 7.0)).findings
    assert "7 mm are needed (gauge.finger_contact of brake M1)" in finding.sentence
    tiny = profile("60 u90 30 x 1.5")
    (finding,) = refusal(tiny, tools).findings
    assert "hold the part" not in finding.cure
