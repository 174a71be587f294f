"""Which model answers for a bend: the order of belief, the mechanics beside the charts, and what happens without an answer."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import pi, radians, tan

import pytest

from bendwright.drawing.plan_file import plan_from_json, plan_to_json
from bendwright.job import Prepared, Wishes, prepare
from bendwright.part.bend_size import BendSize
from bendwright.part.model import Bend
from bendwright.plan.real_stroke import place_on_bed
from bendwright.plan.result import Plan
from bendwright.quantities import Band
from bendwright.shop.bend_table import BendTable, BendTableRow
from bendwright.shop.practice import Practice
from bendwright.shop.sheet import Sheet
from bendwright.stroke.air_stroke import AirStroke, NoAnswer, air_stroke, asked
from bendwright.stroke.die_choice import judge_die
from bendwright.stroke.loads import die_load_checks, line_load, punch_load_check
from bendwright.stroke.model_numbers import both_models, thickness_slopes_deg_per_mm
from bendwright.stroke.sizing import size_bend
from bendwright.stroke.swing import swing_of
from shop_talk import SHOP, example, of_code, profile, sheet

BEND = Bend(id="b1", parent="a", child="b", start=(0.0, 0.0), end=(100.0, 0.0), turned_deg=90.0, direction="up")
SILENT = Practice(passport=SHOP.practice.passport)
"""A shop that states nothing."""
V16, P1 = SHOP.cabinet.die("V16"), SHOP.cabinet.punch("P1")


MEASURED = BendTable(
    rows=(
        BendTableRow(
            material="S235JR",
            thickness_mm=2.0,
            die_opening_mm=16.0,
            punch_radius_mm=None,
            turned_deg=90.0,
            bend_deduction_mm=3.9,
            measured_to="mould_line",
            inside_radius_mm=2.7,
        ),
    ),
    passport=SHOP.practice.passport,
)


def stroke(bend: Bend = BEND, *, used: Sheet | None = None, die: str = "V16", practice: Practice = SILENT) -> AirStroke:
    """The mechanics' stroke of a bend."""
    answer = air_stroke(bend, sheet=used or sheet(), die=SHOP.cabinet.die(die), punch=P1, practice=practice)
    assert isinstance(answer, AirStroke)
    return answer


def size(practice: Practice, *, bend: Bend = BEND, table: BendTable | None = None, asks: bool = True) -> BendSize:
    """The size of a bend of S235JR, 2 mm, in V16."""
    return size_bend(
        bend,
        sheet=sheet(),
        practice=practice,
        bend_table=table,
        opening_mm=16.0,
        punch_radius_mm=P1.nose_radius_mm,
        stroke=stroke(bend, practice=practice) if asks else None,
    )


@pytest.mark.origin("law", "bend table before practice before material before the model, each quantity by itself")
def test_the_order_of_belief() -> None:
    """Radius, deduction and springback walk down the list; what nobody states comes from the stroke, never from DIN."""
    bare = size(SILENT)
    assert "stroke model" in bare.radius_source
    assert bare.allowance_source == "stroke model"
    own = replace(SILENT, radius_over_opening={"steel": 0.16}, allowance="k_factor", k_factor=0.42)
    assert size(own).inside_radius_mm == pytest.approx(2.56)
    assert "0.42" in size(own).allowance_source
    tabled = size(own, table=MEASURED)
    assert tabled.inside_radius_mm == 2.7
    assert tabled.bend_deduction_mm == pytest.approx(3.9)
    of_record = sheet()
    of_record = replace(of_record, material=replace(of_record.material, springback_deg=0.7))
    for practice, expected in ((replace(SILENT, springback_deg={"steel": 1.2}), 1.2), (SILENT, 0.7)):
        made = stroke(used=of_record, practice=practice).made
        assert 90.0 - made.loaded_included_deg == pytest.approx(expected, abs=1e-6)
    assert stroke().made.springback_deg == pytest.approx(90.0 - stroke().made.loaded_included_deg, abs=1e-6)


@pytest.mark.origin(
    "derived", "at the stroke's own radius its own deduction; dBD/dR = 2 tan 45 - pi/2 for a radius stated"
)
def test_the_deduction_of_the_stroke() -> None:
    """A radius somebody states moves the deduction as geometry says, the neutral axis staying."""
    bare = stroke().aimed
    assert size(SILENT).bend_deduction_mm == pytest.approx(bare.bend_deduction_mm, abs=1e-9)
    stated = replace(SILENT, radius_over_opening={"steel": 0.16})
    moved = size(stated).bend_deduction_mm - bare.bend_deduction_mm
    assert moved == pytest.approx((2.0 - pi / 2.0) * (2.56 - bare.inside_radius_mm), abs=1e-9)


@pytest.mark.origin("derived", "to the outer tangent 2 (R + t) is set back, to the mould line 2 (R + t) tan(67.5)")
def test_legs_to_the_outer_tangent() -> None:
    """The same arc, other ends of the legs."""
    sharp = replace(BEND, turned_deg=135.0)
    line, tangent = size(SILENT, bend=sharp), size(SILENT, bend=replace(sharp, measured_to="outer_tangent"))
    assert line.bend_allowance_mm == pytest.approx(tangent.bend_allowance_mm)
    reach = line.inside_radius_mm + 2.0
    apart = 2.0 * reach * (tan(radians(67.5)) - 1.0)
    assert line.bend_deduction_mm - tangent.bend_deduction_mm == pytest.approx(apart)
    mechanics = [
        both_models(bend, sheet=sheet(), die=V16, punch=P1, practice=SILENT)[0].bend_deduction_mm
        for bend in (sharp, replace(sharp, measured_to="outer_tangent"))
    ]
    assert mechanics[0] - mechanics[1] == pytest.approx(apart)


@pytest.mark.origin("derived", "0.16 V; DIN k = 0.7036; 1.33 and 1 + 4t/V with Rm 410: 136.3 and 153.75 kN/m")
def test_the_charts() -> None:
    """Without the mechanics everything is as the trade has it, and the swing says so."""
    charts = replace(SILENT, bend_model="charts")
    assert asked(BEND, sheet=sheet(), die=V16, punch=P1, practice=charts) == (None, None)
    made = size(charts, asks=False)
    assert made.inside_radius_mm == pytest.approx(2.56)
    assert made.bend_allowance_mm == pytest.approx(5.1264, abs=0.0005)
    assert made.allowance_source == "DIN 6935"
    swing = swing_of(BEND, made, V16, sheet=sheet(), practice=charts, stroke=stroke())
    assert (swing.line_load.low, swing.line_load.high) == pytest.approx((136.325, 153.75))
    assert swing.stroke is None
    assert swing.depth_source.startswith("straight legs")


@pytest.mark.origin("law", "a method asked for by name is taken whatever the model")
def test_the_allowance_of_the_stroke_beside_the_charts() -> None:
    """``allowance: stroke_model`` with charts: radius of the trade, neutral axis of the stroke."""
    mixed = replace(SILENT, bend_model="charts", allowance="stroke_model")
    made = size(mixed)
    stroke_asked, no_answer = asked(BEND, sheet=sheet(), die=V16, punch=P1, practice=mixed)
    assert isinstance(stroke_asked, AirStroke)
    assert no_answer is None
    assert made.inside_radius_mm == pytest.approx(2.56)
    assert made.allowance_source == "stroke model"


@pytest.mark.origin("practice", "the trade's formulas and the closed form with radii lie near any sound stroke")
@pytest.mark.parametrize("die", ["V12", "V16", "V20"])
def test_the_two_models_agree_roughly(die: str) -> None:
    """A tenth in force and depth, a quarter of a millimetre of deduction a bend; both with all their numbers."""
    mechanics, charts = both_models(BEND, sheet=sheet(), die=SHOP.cabinet.die(die), punch=P1, practice=SHOP.practice)
    assert (mechanics.model, charts.model) == ("mechanics", "charts")
    assert mechanics.line_load_kn_per_m.middle == pytest.approx(charts.line_load_kn_per_m.middle, rel=0.12)
    assert mechanics.depth_mm == pytest.approx(charts.depth_mm, rel=0.1)
    assert mechanics.mm_per_degree == pytest.approx(charts.mm_per_degree, rel=0.15)
    assert mechanics.bend_deduction_mm == pytest.approx(charts.bend_deduction_mm, abs=0.75)


@pytest.mark.origin("law", "a degree more is a degree more on the curve; the band holds model and strength")
def test_the_stroke_of_a_bend() -> None:
    """Millimetres per degree by the curve's own depths, the largest force within its band, narrower with a certificate."""
    one = stroke()
    left = one.made.relaxed_included_deg
    deeper, shallower = (one.curve.for_relaxed(included_deg=left + step).depth_mm for step in (-1.0, 1.0))
    assert one.mm_per_degree == pytest.approx((deeper - shallower) / 2.0, rel=0.03)
    assert one.largest_kn_per_m > one.made.force_n_per_mm
    band, known = one.line_load, stroke(used=replace(sheet(), tensile_mpa=410.0)).line_load
    assert band.low < one.largest_kn_per_m < band.high
    assert known.high - known.low < band.high - band.low
    points = one.points()
    assert 6 <= len(points) <= 12
    assert points[0] == (0.0, 0.0, 180.0, 180.0)
    assert points[-1][0] == pytest.approx(one.made.depth_mm)
    assert all(later[0] > sooner[0] for sooner, later in pairwise(points))


@pytest.mark.origin(
    "derived", "fixed to the die a sheet thicker by dt is touched dt / sin(loaded/2) / (mm per degree) earlier"
)
def test_thicker_sheet() -> None:
    """The slope of the stroke lies near the geometry of straight legs; counted from touch it is several times smaller."""
    one = stroke()
    by_ram, by_touch = thickness_slopes_deg_per_mm(one)
    assert by_ram is not None
    assert by_touch is not None
    assert by_ram == pytest.approx(-1.0 / (0.7071 * one.mm_per_degree), rel=0.15)
    assert by_ram < 2.0 * by_touch < 0.0


@pytest.mark.origin("law", "what is next to nothing does next to nothing")
def test_a_stated_springback_of_nothing() -> None:
    """A shop that states 0 degrees gets the size of one that states a millionth: the bend is no hem."""
    none, hardly = (stroke(practice=replace(SILENT, springback_deg={"steel": deg})) for deg in (0.0, 1e-6))
    assert none.aimed.relaxed_included_deg == pytest.approx(90.0)
    assert none.aimed.bend_deduction_mm == pytest.approx(hardly.aimed.bend_deduction_mm, abs=1e-4)
    assert none.made.depth_mm == pytest.approx(hardly.made.depth_mm, abs=1e-4)


@pytest.mark.origin("law", "a bend turned by very little has a stroke as any other")
def test_hardly_turned() -> None:
    """A bend of one degree is answered, near the depth of straight legs."""
    one = stroke(replace(BEND, turned_deg=1.0))
    assert one.made.relaxed_included_deg == pytest.approx(179.0)
    assert 0.0 < one.mm_per_degree < 0.2


@pytest.mark.origin("law", "what nothing can answer is said, and the charts stand in with their own source")
def test_no_answer() -> None:
    """A nose of 6 mm cannot go down between shoulders 8 mm apart."""
    blunt = SHOP.cabinet.punch("P4")
    stroke_asked, no_answer = asked(BEND, sheet=sheet(), die=SHOP.cabinet.die("V8"), punch=blunt, practice=SILENT)
    assert stroke_asked is None
    assert isinstance(no_answer, NoAnswer)
    made = size(SILENT, asks=False)
    assert made.allowance_source == "DIN 6935, the stroke model has no answer"
    assert "common practice" in made.radius_source


@pytest.mark.origin("law", "what nothing can answer is said, and the charts' band stands in")
def test_a_plan_without_an_answer() -> None:
    """K130 is a watch for the bend: with a nose of 1.5 mm, DC01 of 1.5 mm does not close to 30 degrees in V6."""
    blunt = tuple(replace(p, nose_radius_mm=1.5) if p.kind == "acute" else p for p in SHOP.cabinet.punches)
    shop = replace(SHOP, cabinet=replace(SHOP.cabinet, punches=blunt))
    found = prepare(profile("hu20 60 u90 60 x 300"), sheet("DC01", "1.5"), shop, Wishes(brake_id="M1"))
    (said,) = of_code(found.findings, "K130")
    assert said.sentence.startswith(
        "Bend h1 in die V6-30: the stroke model has no answer (loaded_included_deg 30 lies outside"
    )
    assert said.severity.value == "watch"
    made = {stroke.bend_id: stroke for stroke in found.plan.strokes if stroke.kind != "hem_flatten"}
    assert made["h1"].mechanics is None
    assert made["b1"].mechanics is not None
    load = line_load(sheet=sheet("DC01", "1.5"), die=SHOP.cabinet.die("V6-30"))
    band = made["h1"].line_load_kn_per_m
    assert (band.low, band.high) == pytest.approx((load.low, load.high))


def _plan(**wishes: object) -> Prepared:
    return prepare(example("instrument_rail"), sheet("S235JR", "2", "1.97"), SHOP, Wishes(brake_id="M1", **wishes))  # type: ignore[arg-type]


@pytest.mark.origin("law", "the shop's own K, radius and springback decide blank and gauge under either model")
def test_a_shop_that_states_its_own_keeps_its_blank() -> None:
    """Only depth and force change with the model."""
    worked, charts = _plan().plan, _plan(model="charts").plan
    assert worked.blank == charts.blank
    for one, two in zip(worked.strokes, charts.strokes, strict=True):
        assert one.gauging == two.gauging
        assert one.loaded_included_deg == two.loaded_included_deg
        assert one.mechanics is not None
        assert two.mechanics is None
        assert one.depth_mm != two.depth_mm


@pytest.mark.origin("law", "one radius: the stroke's, the blank's and the gauge's are the same")
def test_one_radius_through_the_plan() -> None:
    """A shop that states nothing: deduction and gauge position follow from the stroke's radius and allowance."""
    shop = replace(SHOP, practice=replace(SILENT, times=SHOP.practice.times))
    plan = prepare(profile("60 u90 50 x 300"), sheet(), shop, Wishes(brake_id="M1", die_id="V12-80")).plan
    (made,) = plan.strokes
    own = plan.blank.size("b1")
    assert made.inside_radius_mm == own.inside_radius_mm
    assert made.bend_deduction_mm == own.bend_deduction_mm
    assert max(plan.blank.width_mm, plan.blank.height_mm) in (pytest.approx(110.0 - own.bend_deduction_mm), 300.0)
    assert min(abs(leg - own.bend_deduction_mm / 2.0 - made.gauging.x_mm) for leg in (60.0, 50.0)) < 1e-6
    assert {"stroke model"} == {text[:12] for text in (made.radius_source, made.allowance_source, made.depth_source)}


@pytest.mark.origin("law", "a stored plan is read back to the same plan, crown and stroke included")
def test_round_trip() -> None:
    """Through JSON with every record."""
    plan = _plan().plan
    again: Plan = plan_from_json(plan_to_json(plan))
    assert again == plan
    first = again.strokes[0]
    assert first.crown is not None
    assert first.crown.needed_mm is not None
    assert first.mechanics is not None
    assert len(first.mechanics.curve) <= 12
    assert len(first.crown.curve) <= 13


@pytest.mark.origin(
    "derived",
    "stack of 60 at 500 on the bed over w from -10: w 0 lies 10 from its end, on the left or, mirrored, right",
)
def test_where_a_bend_lies_on_the_bed() -> None:
    """Seen from either side of the bend."""
    assert place_on_bed((0.0, 40.0), 1, -10.0, 500.0, 60.0) == (510.0, 550.0)
    assert place_on_bed((0.0, 40.0), 0, -10.0, 500.0, 60.0) == (510.0, 550.0)
    assert place_on_bed((0.0, 30.0), 0, -10.0, 500.0, 60.0) == (520.0, 550.0)


@pytest.mark.origin("law", "springback of strong sheet in a wide die asks for a longer flange than the rule")
def test_a_flange_that_slips() -> None:
    """Hard aluminium in V80 springs back by 17 degrees: the rule's V / sqrt 2 is passed by the stroke's own reach."""
    used, die = sheet("EN AW-6082 T6", "3"), SHOP.cabinet.die("V80")
    one = stroke(used=used, die="V80", practice=SILENT)
    made = size_bend(
        BEND, sheet=used, practice=SILENT, bend_table=None, opening_mm=80.0, punch_radius_mm=0.8, stroke=one
    )

    def checks(leg: float) -> dict[str, str]:
        verdict = judge_die(
            die, BEND, made, legs_mm=(leg, leg), least_legs_mm=(leg, leg), length_mm=100.0, along_grain=None,
            sheet=used, practice=SILENT, brake=SHOP.brakes["M1"], stroke=one,
        )  # fmt: skip
        return {check.name: check.verdict for check in verdict.checks}

    rule = checks(1e3)
    assert "reach of the flange" not in rule
    assert one.shortest_leg_mm() > 0.0
    short = checks(one.shortest_leg_mm() - 0.5)
    assert "no" in (short["minimum flange"], short.get("reach of the flange"))


@pytest.mark.origin("law", "a springback worked out to 0.15 degrees refuses no tool that is nearer than that")
@pytest.mark.parametrize(("told", "verdicts"), [(None, ("ok", "watch", "no")), (2.0, ("ok", "no", "no"))])
def test_tools_within_the_doubt_of_the_springback(told: float | None, verdicts: tuple[str, ...]) -> None:
    """A springback the shop states refuses a die at once; a worked-out one only beyond its own doubt."""
    practice = SILENT if told is None else replace(SILENT, springback_deg={"steel": told})
    one, made = stroke(practice=practice), size(practice)
    loaded = swing_of(BEND, made, V16, sheet=sheet(), practice=practice, stroke=one).loaded_included_deg

    def verdict(more: float) -> str:
        judged = judge_die(
            replace(V16, angle_deg=loaded + more), BEND, made, legs_mm=(99.0, 99.0), least_legs_mm=(99.0, 99.0),
            length_mm=100.0, along_grain=None, sheet=sheet(), practice=practice, brake=SHOP.brakes["M1"], stroke=one,
        )  # fmt: skip
        return next(check.verdict for check in judged.checks if check.name == "die angle")

    assert tuple(verdict(more) for more in (-0.1, 0.1, 0.2)) == verdicts


@pytest.mark.origin("law", "a brittle sheet over a narrow die is said, a soft one is not")
def test_outer_strain() -> None:
    """Hard aluminium of 3 mm in V25 goes past four even elongations; deep-drawing steel does not."""

    def verdict(name: str, thickness: str, die: str) -> str:
        used = sheet(name, thickness)
        one = stroke(used=used, die=die)
        made = size_bend(
            BEND, sheet=used, practice=SILENT, bend_table=None,
            opening_mm=SHOP.cabinet.die(die).opening_mm, punch_radius_mm=0.8, stroke=one,
        )  # fmt: skip
        judged = judge_die(
            SHOP.cabinet.die(die), BEND, made, legs_mm=(99.0, 99.0), least_legs_mm=(99.0, 99.0), length_mm=100.0,
            along_grain=None, sheet=used, practice=SILENT, brake=SHOP.brakes["M1"], stroke=one,
        )  # fmt: skip
        return next(check.verdict for check in judged.checks if check.name == "outer strain")

    assert verdict("EN AW-6082 T6", "3", "V25") == "watch"
    assert verdict("DC01", "1.5", "V12") == "ok"


@pytest.mark.origin(
    "law", "a limit between the worked-out load and the formulas' is a watch, above both nothing, below both a no"
)
def test_a_limit_between_the_two_models() -> None:
    """The trade's formulas are not forgotten where they alone pass a limit."""
    worked, charts = Band(100.0, 120.0, "hand"), Band(110.0, 150.0, "hand")
    die, brake = SHOP.cabinet.die("V16"), SHOP.brakes["M1"]
    for limit, expected in ((119.0, "no"), (130.0, "watch"), (151.0, "ok")):
        held = replace(die, max_line_load_kn_per_m=limit)
        checks = die_load_checks(worked, length_mm=1000.0, die=held, brake=brake, charts=charts)
        (check,) = [check for check in checks if check.name == "die line load"]
        assert check.verdict == expected
        assert ("formulas say 150 kN/m" in check.rule) is (expected == "watch")
        plain = die_load_checks(worked, length_mm=1000.0, die=held, brake=brake)
        assert [check.verdict for check in plain if check.name == "die line load"] == ["no" if limit < 120 else "ok"]
        punch = punch_load_check(worked, replace(P1, max_line_load_kn_per_m=limit), charts=charts)
        assert punch.verdict == expected
