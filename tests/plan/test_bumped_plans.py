"""A large radius made hit by hit, planned: how many hits, one run, one gauge edge, the blank of the arc, and it replays."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from itertools import pairwise
from math import cos, pi, radians, tan

import pytest

from bendwright.cli.app import run
from bendwright.findings import NotPossibleError
from bendwright.job import Prepared, Wishes, blank_of, check_order, prepare
from bendwright.makeable.size_stack import WAYS, Errors, size_effects
from bendwright.mechanics.bend_allowance import din_6935_k
from bendwright.part.aim import aimed
from bendwright.part.bend_size import BendSize, fixed_size
from bendwright.part.blank import make_blank
from bendwright.part.bumped import bumped, facets_of, hit_size
from bendwright.part.legs import outside_mm
from bendwright.part.model import Circle, Header, Part, Tolerance
from bendwright.part.panel import panel_part
from bendwright.part.profile import profile_part
from bendwright.part.typed import TypedBase, TypedBend, TypedFlange, TypedLeg, TypedOpening
from bendwright.plan.bumping import by_hits, largest_radius_mm
from bendwright.plan.cures.part_changes import across_size_mm, stretched
from bendwright.plan.tooled import tooling_for
from bendwright.replay.replay import replay_plan
from bendwright.sheets.setup_content import Room, setup_content
from bendwright.shop.sheet import Sheet
from bendwright.shop.sheet_words import sheet_from_words
from shop_talk import SHOP, example

ROUND = TypedBend(direction="up", radius_mm=30.0)
LIP = TypedBend(direction="up")
PITCH_MM = 1e-6


def sheet(*readings: str, thickness: str = "2") -> Sheet:
    """Cold-rolled sheet."""
    return sheet_from_words(material_name="DC01", thickness_text=thickness, measured_texts=readings, shop=SHOP)


def strip(legs: tuple[float, ...], *bends: TypedBend) -> Part:
    """A profile 300 long of 2 mm."""
    header = Header(part_no="SM-9831", revision="A", material="DC01", thickness_mm=2.0)
    return profile_part(header, legs=[TypedLeg(length_mm=leg) for leg in legs], bends=list(bends), length_mm=300.0)


def divided(part: Part) -> Part:
    """Bend b1 in nine hits."""
    return bumped(part, "b1", hits=9, thickness_mm=2.0, k_factor=0.5).part


def bumped_sizes(part: Part) -> dict[str, BendSize]:
    """Sizes of the hits with a radius of 15."""
    return {b.id: hit_size(b, inside_radius_mm=15.0, thickness_mm=2.0, radius_source="given") for b in part.bends}


@cache
def planned(part: Part, *readings: str, **wishes: object) -> Prepared:
    """The plan on the first brake."""
    return prepare(part, sheet(*readings), SHOP, Wishes(brake_id="M1", **wishes))  # type: ignore[arg-type]


HOOD = example("weather_hood")
LIPPED = strip((25.0, 90.0, 90.0, 25.0), LIP, ROUND, LIP)


@pytest.mark.origin(
    "derived",
    "a design story's hood, its numbers worked anew: 151 pi/2 + 120 = 357.19; 152 (1 - cos(45/22)) = 0.097 with 22 hits,"
    " 0.106 with 21; 237.19/22 = 10.78, so V20; lines at 60 + (i - 1/2) pitch, stops off the far edge",
)
def test_the_hood() -> None:
    """Facets within 0.1: 22 hits of 4.09 degrees in V20, from the parent's end, each off the far edge."""
    plan = planned(HOOD).plan
    arc = 151.0 * pi / 2.0
    assert 152.0 * (1.0 - cos(radians(45.0 / 22.0))) < 0.1 < 152.0 * (1.0 - cos(radians(45.0 / 21.0)))
    assert plan.blank.height_mm == pytest.approx(357.19, abs=0.005)
    assert [stroke.bend_id for stroke in plan.strokes] == [f"b1.{number}" for number in range(1, 23)]
    assert {stroke.die_id for stroke in plan.strokes} == {"V20"}
    for number, stroke in enumerate(plan.strokes, 1):
        assert stroke.target_included_deg == pytest.approx(180.0 - 90.0 / 22.0)
        assert stroke.gauging.x_mm == pytest.approx(arc + 120.0 - (60.0 + (number - 0.5) * arc / 22.0), abs=0.005)
        assert stroke.gauging.flange_id == "leg2"
    said = next(item.sentence for item in planned(HOOD).findings if item.code == "O122")
    assert "no tool of the cabinet makes more than R 8.0" in said
    assert "22 hits of 4.09 degrees, b1.1 to b1.22, 10.78 mm apart" in said
    assert "0.097 mm off the circle" in said


@pytest.mark.origin("law", "the list to work from and the plan are the same work: X and depth of every hit, die, blank")
def test_the_list_of_hits_says_the_same(capsys: pytest.CaptureFixture[str]) -> None:
    """`bendwright curve round` with the facets of the plan."""
    plan = planned(HOOD).plan
    words = ["curve", "round", "--shop", "saltmarsh", "--material", "DC01", "--thickness", "2", "--radius", "150"]
    ends = ["--front", "60", "--back", "60", "--length", "1000", "--facet", "0.1", "--punch", plan.strokes[0].punch_id]
    assert run([*words, *ends, "--json"]) == 0
    curve = json.loads(capsys.readouterr().out)["curve"]
    assert curve["blank_mm"] == pytest.approx(plan.blank.height_mm, abs=1e-6)
    assert curve["tools"]["die"] == plan.strokes[0].die_id
    for hit, stroke in zip(curve["hit_list"], plan.strokes, strict=True):
        assert stroke.gauging.x_mm == pytest.approx(hit["x_mm"], abs=1e-6)
        assert stroke.depth_mm == pytest.approx(hit["depth_mm"], abs=1e-6)


@pytest.mark.parametrize(
    ("radius", "turned", "thickness", "die"),
    [(150.0, 90.0, 2.0, "V16"), (40.0, 60.0, 2.0, "V10"), (20.0, 90.0, 1.0, "V6")],
)
@pytest.mark.origin("law", "every hit bends its share of the neutral fibre: straights + (R + K t) A, K of DIN 6935")
def test_the_blank_is_that_of_the_arc(radius: float, turned: float, thickness: float, die: str) -> None:
    """Whatever die is taken, on the sheet as measured."""
    header = Header(part_no="SM-9832", revision="A", material="DC01", thickness_mm=thickness)
    legs = [TypedLeg(length_mm=230.0), TypedLeg(length_mm=240.0)]
    bend = TypedBend(direction="up", radius_mm=radius, turned_deg=turned)
    part = profile_part(header, legs=legs, bends=[bend], length_mm=300.0)
    for reading in (thickness, 0.98 * thickness):
        k = din_6935_k(inside_radius_mm=radius, thickness_mm=reading) / 2.0
        straight = 470.0 - 2.0 * (radius + reading) * tan(radians(turned) / 2.0)
        measured = sheet(f"{reading:g}", thickness=f"{thickness:g}")
        blank = blank_of(part, measured, SHOP, Wishes(brake_id="M1", die_id=die))
        assert len(blank.bend_lines) > 3
        assert max(blank.width_mm, blank.height_mm) == pytest.approx(
            straight + (radius + k * reading) * radians(turned)
        )


@pytest.mark.origin(
    "law", "one run from one end: neighbours follow each other, one pitch apart at one stop, equally deep"
)
def test_one_run_at_one_stop() -> None:
    """Lips at both ends: bent before or after all hits, never between."""
    plan = planned(LIPPED).plan
    places = [i for i, stroke in enumerate(plan.strokes) if stroke.bend_id.startswith("b2.")]
    assert places == list(range(places[0], places[-1] + 1))
    hits = [plan.strokes[i] for i in places]
    numbers = [int(stroke.bend_id.partition(".")[2]) for stroke in hits]
    assert {b - a for a, b in pairwise(numbers)} in ({1}, {-1})
    pitch = 31.0 * pi / 2.0 / len(hits)
    assert pitch >= 0.5 * SHOP.cabinet.die(hits[0].die_id).opening_mm
    for one, two in pairwise(hits):
        assert one.gauging.x_mm - two.gauging.x_mm == pytest.approx(pitch, abs=PITCH_MM)
        assert (one.gauging.flange_id, one.gauged_flange_side) == (two.gauging.flange_id, two.gauged_flange_side)
        assert one.depth_mm == pytest.approx(two.depth_mm, abs=1e-9)
        assert two.gauging.verdict == "ok"


@pytest.mark.origin("law", "folded anew in space with sums of its own, the plan holds")
def test_plans_replay() -> None:
    """Hood, lipped strip, and both models; a stop moved by a pitch does not replay."""
    for done in (planned(HOOD), planned(LIPPED), planned(strip((80.0, 80.0), ROUND), model="charts")):
        world = {"cabinet": SHOP.cabinet, "brake": SHOP.brakes["M1"], "practice": SHOP.practice}
        assert replay_plan(done.part, done.plan, **world) == ()  # type: ignore[arg-type]
        moved = replace(done.plan.strokes[3], gauging=done.plan.strokes[4].gauging)
        wrong = replace(done.plan, strokes=(*done.plan.strokes[:3], moved, *done.plan.strokes[4:]))
        assert replay_plan(done.part, wrong, **world) != ()  # type: ignore[arg-type]


@pytest.mark.origin(
    "derived",
    "straight 4 + half a pitch of 31 pi/2/9 = 2.7 is 6.7, V10 wants 5; straight 1 leaves 3.8 with the mould line",
)
def test_the_ends_of_the_run_lie_on_the_die() -> None:
    """The shortest leg is asked of the sheet beyond the run, not between hits."""
    assert planned(strip((36.0, 90.0), ROUND)).plan.strokes
    with pytest.raises(NotPossibleError, match=r"b1\.9: .*V10: minimum flange 3\.8\d against 5\.0\d mm"):
        planned(strip((33.0, 90.0), ROUND), die_id="V10", bumps=("b1=9",))


@pytest.mark.origin(
    "derived", "0.16 V up to V50 (30 t is 60) is 8.0: half of R 16.1 is more, of R 15.9 is not; R above 8 t"
)
def test_which_radii_are_bumped() -> None:
    """Those of which no tool makes half; and those named."""
    tooling = tooling_for(sheet(), SHOP, SHOP.brakes["M1"])
    assert largest_radius_mm(tooling) == pytest.approx(8.0)
    for radius, more in ((15.9, False), (16.1, True), (60.0, True)):
        part = strip((120.0, 120.0), replace(ROUND, radius_mm=radius))
        assert (len(by_hits(part, tooling).part.bends) > 1) is more
    named = planned(strip((80.0, 80.0), replace(ROUND, radius_mm=14.0)), bumps=("b1=4",)).plan
    assert len(named.strokes) == 4


@pytest.mark.origin("law", "aimed at first or divided first, the part is the same")
def test_tolerances_beside_a_divided_radius() -> None:
    """Blank and outside sizes agree, on either side of the radius."""
    header = Header(part_no="SM-9833", revision="A", material="DC01", thickness_mm=2.0)
    loose = Tolerance(minus_mm=-0.6, plus_mm=0.0)
    for legs in ((90.0, 80.0), (80.0, 90.0)):
        typed = [TypedLeg(length_mm=legs[0]), TypedLeg(length_mm=legs[1], tolerance=loose)]
        part = profile_part(header, legs=typed, bends=[ROUND], length_mm=300.0)
        one, two = aimed(divided(part)), divided(aimed(part))
        flat, same = (make_blank(item, bumped_sizes(item), thickness_mm=2.0) for item in (one, two))
        assert (flat.width_mm, flat.height_mm) == pytest.approx((same.width_mm, same.height_mm))
        assert stretched(one, "b1.facet3", by_mm=5.0) is None
        longer = stretched(divided(part), "leg2", by_mm=5.0)
        assert longer is not None
        assert (
            across_size_mm(longer, "leg2") == pytest.approx(outside_mm(longer, "leg2")) == pytest.approx(legs[1] + 5.0)
        )
        sizes = [outside_mm(item, "leg2") for item in (part, divided(part), aimed(part), one)]
        assert sizes == pytest.approx([legs[1], legs[1], legs[1] - 0.3, legs[1] - 0.3])


@pytest.mark.origin("law", "the drawing knows two legs and one radius, not facets")
def test_what_the_drawing_asks_is_what_is_told() -> None:
    """Legs as drawn; the angle of the whole radius in the doubt; on the sheet the hits between first and last are one card."""
    done = planned(HOOD)
    plan = done.plan
    assert {(leg.flange_id, round(leg.drawn_mm, 6)) for leg in plan.legs} == {("leg1", 212.0), ("leg2", 212.0)}
    assert not facets_of(done.part) & {leg.flange_id for leg in plan.legs}
    assert plan.doubt is not None
    assert [(item.name, item.aim) for item in plan.doubt.bends] == [("b1", pytest.approx(90.0))]
    assert sum(item.code == "K108" for item in done.findings) == 1
    room = Room(picture_mm=None, blank_mm=40.0, moved=0)
    cards = setup_content(plan, (), width_mm=178.0, room=room, with_reasons=False)["strokes"]
    assert [card["number"] for card in cards] == ["1", "2–21", "22"]
    assert cards[1]["each"][0] == ["2", f"{plan.strokes[1].gauging.x_mm:.2f}"]
    assert len(cards[1]["each"]) == 20


@pytest.mark.origin(
    "law", "off one edge and with one neutral axis, all hits together are as far off as one bend would be"
)
def test_sizes_are_as_far_off_as_with_one_bend() -> None:
    """Whichever way it is gauged: the same sizes, the same errors of deduction, gauge and cut edge; facets have no size."""
    part, errors = (
        strip((80.0, 90.0), ROUND),
        Errors(deduction_mm=0.1, thickness_mm=0.0, gauge_mm=0.1, cut_mm=0.2, source=""),
    )
    one = {"b1": fixed_size(part.bends[0], inside_radius_mm=30.0, k_factor=0.5, thickness_mm=2.0)}
    for way in WAYS:
        smooth = size_effects(part, one, errors, way=way)
        hits = size_effects(divided(part), bumped_sizes(divided(part)), errors, way=way)
        for a, b in zip(smooth, hits, strict=True):
            assert (a.flange_id, a.size_mm) == (b.flange_id, pytest.approx(b.size_mm))
            assert (a.deduction_mm, a.gauge_mm, a.cut_mm) == pytest.approx((b.deduction_mm, b.gauge_mm, b.cut_mm))


@pytest.mark.origin(
    "law", "an opening that hits cross is a window of theirs; a facet it parts is two pieces; the plan replays"
)
def test_an_opening_in_the_radius() -> None:
    """A hole of 24 in the arc of a panel's front: planned, folded anew, said once where it lies over the die."""
    hole = TypedOpening(shape=Circle(centre=(0.0, 0.0), diameter_mm=24.0), along_mm=150.0, across_mm=35.0)
    front = TypedFlange(name="front", edge="front", leg_mm=120.0, bend=TypedBend(direction="up", radius_mm=60.0))
    base = TypedBase(points=((0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0)), openings=(hole,))
    header = Header(part_no="SM-9834", revision="A", material="DC01", thickness_mm=2.0)
    done = planned(panel_part(header, base=base, flanges=[front]), bumps=("b1=8",))
    world = {"cabinet": SHOP.cabinet, "brake": SHOP.brakes["M1"], "practice": SHOP.practice}
    assert replay_plan(done.part, done.plan, **world) == ()  # type: ignore[arg-type]
    assert len(done.plan.blank.windows) == 1
    lost = 300.0 * (done.plan.blank.height_mm) - done.plan.blank.area_mm2
    assert lost == pytest.approx(pi * 144.0, abs=0.1)
    assert "M102" not in {item.code for item in done.findings}


@pytest.mark.origin("law", "the same hits on a thinner sheet: what moved is told of the first and the last")
def test_what_moves_with_the_sheet() -> None:
    """As many hits as on the nominal sheet, whatever the thickness."""
    moved = planned(strip((80.0, 80.0), ROUND), "1.95").moved
    assert {item.what for item in moved if item.what.endswith("X")} == {"bend b1.1 X", "bend b1.9 X"}
    assert all(abs(item.change) < 0.2 for item in moved if item.unit == "mm")


@pytest.mark.origin("law", "a run works from either end of a strip that is the same from both")
def test_orders_by_hand() -> None:
    """The radius named as drawn, hit by hit, backwards; not with a hit out of its place."""
    part, wishes = strip((80.0, 80.0), ROUND), Wishes(brake_id="M1", bumps=("b1=4",))
    for order in (("b1",), ("b1.1", "b1.2", "b1.3", "b1.4"), ("b1.4", "b1.3", "b1.2", "b1.1")):
        assert check_order(part, sheet(), SHOP, order, wishes).works, order
