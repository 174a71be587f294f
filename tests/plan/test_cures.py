"""Cures of parts that cannot be made: every one is solved again here, and its size is held against the sums by hand.

Under the punch, at the loaded turned angle a, a corner b along a leg and h above it stands b cos(a/2) - h sin(a/2) beside
the centre line and b sin(a/2) + h cos(a/2) above it (sharp bend; the radius moves it by some hundredths of a millimetre).
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from functools import cache
from math import ceil, cos, radians, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bendwright.findings import NotPossibleError
from bendwright.part.aim import aimed
from bendwright.part.legs import outside_mm
from bendwright.part.model import Bend, Flange, Header, Part
from bendwright.plan.build import make_plan
from bendwright.plan.choose import Tooling, blank_situation, choose
from bendwright.plan.cures.clues import clues_in
from bendwright.plan.cures.look import cures_of
from bendwright.plan.cures.of_refusal import cures_of_refusal
from bendwright.plan.cures.records import Clue, Cure, CureKind, Cures, Others
from bendwright.plan.cures.tool_changes import with_contact
from bendwright.shop.sheet import Sheet
from bendwright.shop.tools import Piece
from shop_talk import SHOP, example, panel, profile, sheet

HALF = radians(91.0 / 2.0)
"""Half the turned angle under load: 90 and 1 degree of springback."""
ALL = Others(dies=SHOP.cabinet.dies, punches=SHOP.cabinet.punches, brakes=tuple(SHOP.brakes.values()))
SIZE_MM = 0.06
"""The twentieth of a millimetre sizes are found to, and the radius left out."""
LONG_S = 600.0


def beside(b: float, h: float) -> float:
    """Where the corner (b, h) stands beside the centre line [mm]."""
    return b * cos(HALF) - h * sin(HALF)


def tooling(sheet_used: Sheet, *, brake: str = "M1", die: str | None = None, punches: str = "") -> Tooling:
    """The shop's tools as a person fixes them; no punches named: all."""
    names = punches.split()
    air = [punch for punch in SHOP.cabinet.punches if punch.kind != "flattening"]
    return Tooling(
        dies=tuple(d for d in SHOP.cabinet.dies if d.kind == "vee" and die in (None, d.id)),
        punches=tuple(punch for punch in air if not names or punch.id in names),
        sheet=sheet_used,
        practice=SHOP.practice,
        brake=SHOP.brakes[brake],
        bend_table=SHOP.bend_table,
        wished_die=die,
    )


def solves(part: Part, tools: Tooling) -> bool:
    """The planner's own answer."""
    try:
        choose(aimed(part), tools, quantity=1)
    except NotPossibleError:
        return False
    return True


def refusal(part: Part, tools: Tooling) -> NotPossibleError:
    """What the planner says against the part."""
    with pytest.raises(NotPossibleError) as caught:
        choose(aimed(part), tools, quantity=1)
    return caught.value


def sentences(error: NotPossibleError) -> list[str]:
    """The sentences of a refusal."""
    return [finding.sentence for finding in error.findings]


def looked(part: Part, tools: Tooling, *, most: int | None = None) -> Cures:
    """The cures of a refused part, with all the shop has."""
    error = refusal(part, tools)
    return cures_of_refusal(part, tools, error, shop=SHOP, solves=solves, seconds=LONG_S, most_solves=most)


def of_kind(cures: Cures, kind: CureKind) -> list[Cure]:
    """The cures of one kind."""
    return [cure for cure in cures.cures if cure.kind == kind]


def changed_by(cures: Cures, words: str) -> Cure:
    """The cure whose sentence begins so."""
    return next(cure for cure in cures.cures if cure.sentence.startswith(words))


def assert_solved_again(cures: Cures) -> None:
    """Every cure told makes the job possible, and ranks run on."""
    assert cures.cures
    assert [cure.rank for cure in cures.cures] == list(range(1, len(cures.cures) + 1))
    for cure in cures.cures:
        assert cure.verified
        assert solves(cure.part, cure.tooling), cure.sentence


TRAY = profile("50 u90 60 u90 50 x 2000")
TRAY_TOOLS = tooling(sheet("DX51D+Z", "1.5", "1.50"), die="V12", punches="P1")


@cache
def tray() -> Cures:
    """A channel too narrow for the straight punch."""
    return looked(TRAY, TRAY_TOOLS)


@pytest.mark.origin("law", "a cure is a job that was solved")
def test_cures_of_the_narrow_channel_solve_again() -> None:
    """The gooseneck that hangs in the cabinet comes first: it costs nothing."""
    assert_solved_again(tray())
    assert tray().cures[0].sentence == "use punch P2 instead of P1"
    assert not tray().not_tried


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


@pytest.mark.origin("derived", "corner (57, 48.5): 5.36 beside the centre line at 89 degrees included")
def test_the_slimmest_punch_for_the_channel() -> None:
    """The body must end before the corner; in tenths."""
    cure = changed_by(tray(), "get a punch like P1 with a body at most")
    room = beside(57.0, 48.5)
    assert room - 0.1 - SIZE_MM <= (cure.after or 0.0) <= room + SIZE_MM
    assert cure.fails == pytest.approx((cure.after or 0.0) + 0.1)


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


def box(leg: float) -> Part:
    """A tray with open corners and walls of that leg."""
    return panel(
        "panel:\n  base: {width: 180, depth: 120}\n  flanges:\n"
        f"    - {{edge: [front, right, back, left], leg: {leg:g}, direction: up}}\n"
    )


ALUMINIUM = tooling(sheet("EN AW-5754 H111", "1.5", "1.50"), brake="M2", die="V12", punches="P1")


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


def two_tabs() -> Part:
    """Tabs of 160 and 120 at the ground of notches 166 and 126 wide: every stack is bounded by the sheet beside it."""
    front = ((0.0, 0.0), (20.0, 0.0), (20.0, 40.0), (186.0, 40.0), (186.0, 0.0), (206.0, 0.0))
    back = ((206.0, 200.0), (166.0, 200.0), (166.0, 160.0), (40.0, 160.0), (40.0, 200.0), (0.0, 200.0))
    turned = {"turned_deg": 90.0, "direction": "up", "parent": "base"}
    return Part(
        header=Header(part_no="T-5", revision="A"),
        flanges=(
            Flange(id="base", outline=(*front, *back)),
            Flange(id="a", outline=((0.0, 0.0), (160.0, 0.0), (160.0, 30.0), (0.0, 30.0))),
            Flange(id="b", outline=((0.0, 0.0), (120.0, 0.0), (120.0, 30.0), (0.0, 30.0))),
        ),
        bends=(
            Bend(id="b1", child="a", start=(23.0, 40.0), end=(183.0, 40.0), **turned),  # type: ignore[arg-type]
            Bend(id="b2", child="b", start=(163.0, 160.0), end=(43.0, 160.0), **turned),  # type: ignore[arg-type]
        ),
    )


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
