"""Jobs that cannot be made, or need a person's eye: each with its exact finding."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from bendwright.findings import BendwrightError, Finding
from bendwright.job import Prepared, Wishes, check_order, prepare
from bendwright.part.model import Bend, Flange, Header, Part, Tolerance
from bendwright.plan import strokes as strokes_module
from bendwright.plan.removal import Trap
from bendwright.plan.strokes import trap_finding
from bendwright.shop.bend_table import BendTable, BendTableRow
from bendwright.shop.brake import BackGauge
from shop_talk import SHOP, example, of_code, panel, profile, sheet, shop_with

M1 = Wishes(brake_id="M1")
P1_ON_M1 = Wishes(brake_id="M1", punch_id="P1")


def refused(call: Callable[[], object]) -> tuple[Finding, ...]:
    """The findings of a job that is refused."""
    with pytest.raises(BendwrightError) as caught:
        call()
    return caught.value.findings


def sentences(findings: tuple[Finding, ...] | list[Finding]) -> list[str]:
    """Their sentences."""
    return [finding.sentence for finding in findings]


def plan(part: Part, *, wishes: Wishes = M1, thickness: str = "2", material: str = "S235JR") -> Prepared:
    """A plan in the demo shop."""
    return prepare(part, sheet(material, thickness), SHOP, wishes)


@pytest.mark.parametrize(
    ("wishes", "sentence"),
    [
        (Wishes(brake_id="M9"), "There is no brake 'M9' in the shop; it has M1, M2, M3, M4."),
        (
            Wishes(brake_id="M1", die_id="V17"),
            "There is no die 'V17' in the shop; it has V6, V8, V10, V12, V16, V20, V25, V32, V50, V63, V80, V100, V6-30, V12-80.",
        ),
        (Wishes(brake_id="M1", punch_id="X"), "There is no punch 'X' in the shop; it has P1, P2, P3, P4, P5, P6."),
    ],
)
def test_tools_and_brakes_the_shop_does_not_have(wishes: Wishes, sentence: str) -> None:
    """O104 names what is there."""
    (finding,) = refused(lambda: plan(profile("60 u90 30 x 100"), wishes=wishes))
    assert (finding.code, finding.sentence) == ("O104", sentence)


def test_too_many_bends() -> None:
    """O103: the search ends at forty."""
    (finding,) = refused(lambda: plan(profile("40 " + "u5 40 d5 40 " * 21 + "x 100")))
    assert finding.code == "O103"
    assert finding.sentence == "The part has 42 bends; orders are searched up to 40."


@pytest.mark.parametrize("bump", ["b9", "b1=1", "b1=", "=5", "b1=5=6", ""])
def test_bumps_nobody_understands(bump: str) -> None:
    """O123: what came, the bends there are."""
    (finding,) = refused(lambda: plan(profile("60 u90 60 x 100"), wishes=Wishes(bumps=(bump,))))
    assert finding.code == "O123"
    assert finding.sentence == f"'{bump}' does not say which bend is made hit by hit; the part has b1."


def test_a_bend_bumped_twice() -> None:
    """O123: each bend once."""
    (finding,) = refused(lambda: plan(profile("60 u90 60 x 100"), wishes=Wishes(bumps=("b1", "b1=5"))))
    assert (finding.code, finding.sentence[:6]) == ("O123", "'b1=5'")


def test_more_hits_than_can_be_searched() -> None:
    """O124: with what coarser facets it can."""
    hood = example("weather_hood")
    (finding,) = refused(lambda: plan(hood, wishes=Wishes(bumps=("b1=45",))))
    assert finding.code == "O124"
    assert finding.sentence.startswith(
        "45 hits for bend b1 are too many: with the part's other bends orders are searched up to 40"
    )
    assert finding.cure.startswith("Take coarser facets: 40 hits leave them 0.029 mm off the circle")


def test_facets_too_fine_for_the_dies() -> None:
    """M113: V10 is the narrowest of 5 t; a bend without radius (M110) and a hem (M111) are not divided either."""
    hood = example("weather_hood")
    (finding,) = refused(lambda: plan(hood, wishes=Wishes(bumps=("b1=0.005mm",))))
    assert finding.code == "M113"
    assert "need 97 hits; the die of 10 mm allows 47" in finding.sentence
    (finding,) = refused(lambda: plan(profile("60 u90 60 x 100"), wishes=Wishes(bumps=("b1",))))
    assert finding.code == "M110"


def test_bumped_is_said() -> None:
    """O122: how many hits, why, what the facets do."""
    made = plan(example("weather_hood"), wishes=Wishes(brake_id="M1", die_id="V20", bumps=("b1=12",)))
    (finding,) = of_code(made.findings, "O122")
    assert finding.sentence == (
        "Bend b1, inside radius 150 mm, is made hit by hit (as asked): 12 hits of 7.50 degrees, b1.1 to b1.12, "
        "19.77 mm apart on the sheet; the facets stand 0.325 mm off the circle."
    )


def test_no_bends() -> None:
    """O109: a flat plate needs no plan."""
    (finding,) = refused(lambda: plan(panel("panel:\n  base: {width: 100, depth: 50}\n")))
    assert (finding.code, finding.sentence) == ("O109", "The part has no bends.")


def test_flange_without_flat() -> None:
    """M101: two set-backs of 2.56 + 2 in a flange of 6; said once, for the part's flange, not for every bend."""
    findings = refused(lambda: plan(profile("60 u90 6 u90 60 x 100"), wishes=Wishes(brake_id="M1", die_id="V16")))
    assert [finding.code for finding in findings] == ["M101"]
    assert sentences(findings) == [
        "Flange leg2 (6.0 mm) has no flat left: bends b1, b2 beside it take 9.1 mm together."
    ]


def test_edge_eaten_up_by_a_neighbour() -> None:
    """M106: a flange that hangs only where the neighbouring bend takes its edge."""
    base = Flange(id="base", outline=((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)))
    small = Flange(id="left", outline=((0.0, 0.0), (3.0, 0.0), (3.0, 40.0), (0.0, 40.0)))
    front = Flange(id="front", outline=((0.0, 0.0), (100.0, 0.0), (100.0, 40.0), (0.0, 40.0)))
    bends = (
        Bend(
            id="b1", parent="base", child="front", start=(0.0, 0.0), end=(100.0, 0.0), turned_deg=90.0, direction="up"
        ),
        Bend(id="b2", parent="base", child="left", start=(0.0, 3.0), end=(0.0, 0.0), turned_deg=90.0, direction="up"),
    )
    part = Part(header=Header(part_no="T-4", revision="A"), flanges=(base, front, small), bends=bends)
    (finding,) = refused(lambda: plan(part, wishes=Wishes(brake_id="M1", die_id="V16")))
    assert (finding.code, finding.sentence) == (
        "M106",
        "Bend b2 has no material: neighbouring bends or notches take the whole edge between flanges base and left.",
    )


def test_flange_too_short_for_the_die() -> None:
    """O102: 10 mm against 16 / (2 sin 44.5 deg) = 11.41 mm."""
    (finding,) = refused(lambda: plan(profile("60 u90 10 x 100"), wishes=Wishes(brake_id="M1", die_id="V16")))
    assert finding.code == "O102"
    assert finding.sentence == "No die of the cabinet suits bend b1: V16: minimum flange 10.00 against 11.41 mm."


def test_no_order_names_the_millimetres() -> None:
    """O101: base 57 and leg 48.5 inside against a punch 7 mm half wide, at 89 degrees loaded (worked out in the jobs)."""
    findings = refused(
        lambda: prepare(
            example("cable_tray"), sheet("DX51D+Z", "1.5"), SHOP, Wishes(brake_id="M1", punch_id="P1", die_id="V12")
        )
    )
    (finding,) = findings
    assert finding.code == "O101"
    assert finding.sentence == (
        "No order works with die V12 on brake M1: at bend b2 flange leg1 runs 1.81 mm into the punch P1."
    )
    assert finding.cure == (
        "At least 1.81 mm must be gained there: a slimmer or deeper-throated tool, or a changed flange."
    )


def test_no_stack_long_enough() -> None:
    """O101 with the length the drawer does not give; no millimetres of overlap to gain."""
    wishes = Wishes(brake_id="M1", die_id="V16", punch_id="P5")
    (finding,) = refused(lambda: plan(profile("60 u90 30 x 2900"), wishes=wishes))
    assert finding.sentence == (
        "No order works with die V16 on brake M1: bend b1 needs a stack of at least 2895.0 mm; punch P5 has 835 mm in all, "
        "die V16 has 3340 mm in all."
    )
    assert finding.cure == "Add pieces to the drawer that make up that length, or take other tools."


def test_one_reason_each() -> None:
    """O101 once for all dies that fail alike, each reason with its own cure; O132 for what must be cured beside it: both edges of a strip
    6 mm wide are too short for a finger.
    """
    wide = refused(lambda: plan(profile("50 u90 60 u90 50 x 200"), thickness="1.5", wishes=P1_ON_M1))
    assert [finding.code for finding in wide] == ["O101"]
    assert (
        "with dies V32, V25, V20, V16, V12, V12-80, V10, V8, V6 and V6-30 on brake M1: at bend b2 flange"
        in wide[0].sentence
    )
    first, second = refused(lambda: plan(profile("50 u90 60 u90 50 x 6"), thickness="1.5", wishes=P1_ON_M1))
    assert (first.code, second.code) == ("O101", "O132")
    assert first.sentence.endswith(
        "and V32 on brake M1: bend b1 has no edge or face the back gauge can stop on: the edge of flange leg3 is 6.0 mm long, "
        "8 mm are needed (finger_contact of practice.yaml)."
    )
    assert second.sentence.startswith("The order that comes nearest with dies ")
    assert second.sentence.endswith(
        "on brake M1 fails at another stroke too: bend b2 has no edge or face the back gauge can stop on: the face of flange leg1 "
        "is 6.0 mm long, 8 mm are needed (finger_contact of practice.yaml)."
    )
    assert first.cure == second.cure
    assert first.cure.startswith("Make it 2.00 mm longer; or, where 6.0 mm hold the part")


def test_what_lacks_with_each_die() -> None:
    """A gooseneck 4 mm short: the least with the narrowest die, the others beside it."""
    (finding,) = refused(lambda: plan(profile("40 u90 25 u90 40 u90 15 x 200"), thickness="1.5"))
    assert finding.sentence.endswith(
        "(4.1 mm with V6 and V6-30, 4.2 mm with V8, 4.3 mm with V10, 4.4 mm with V12 and V12-80, 4.6 mm with V16, 4.8 mm with V20)."
    )
    assert finding.cure.startswith("At least 4.14 mm must be gained there")


def test_bend_longer_than_the_bed() -> None:
    """O102: 3500 mm on a bed of 3100."""
    (finding,) = refused(lambda: plan(profile("60 u90 30 x 3500"), wishes=Wishes(brake_id="M1", die_id="V16")))
    assert finding.sentence == "No die of the cabinet suits bend b1: V16: bend length 3500.00 against 3100.00 mm."


def test_part_that_runs_into_itself() -> None:
    """M105 is said once, before any brake: two returns of 30 in a base of 50 lie 10 over each other; less 10.1 they lie apart."""
    findings = refused(lambda: prepare(profile("30 u90 40 u90 50 u90 40 u90 30 x 400"), sheet("DC01", "1.5"), SHOP))
    assert [finding.code for finding in findings] == ["M105"]
    assert findings[0].sentence == (
        "The finished part runs into itself: flanges leg1 and leg5 overlap by 10.00 mm (200.0, 173.7 on the blank)."
    )
    assert findings[0].cure == (
        "Cut 10.10 x 400.0 mm off flange leg5 there, which leaves 0.1 mm between them, or change an angle; "
        "no tool or order can make the part as drawn."
    )
    shorter = profile("30 u90 40 u90 50 u90 40 u90 19.9 x 400")
    assert "M105" not in {finding.code for finding in refused(lambda: prepare(shorter, sheet("DC01", "1.5"), SHOP))}


def test_hem_too_strong_for_the_flattening_tools() -> None:
    """K107: 3 x the lower air-bend load of V6, 3 x 1.33 x 410 x 1.5^2 / 6 = 613 kN/m, is above the punch's 500.

    By the mechanics the pre-bend itself is already too much for the die, so the charts are asked.
    """
    charts = replace(M1, model="charts")
    findings = refused(lambda: plan(profile("hu20 60 u90 60 x 600"), thickness="1.5", wishes=charts))
    assert {finding.code for finding in findings} == {"K107"}
    assert findings[0].sentence == "Flattening hem h1 takes 613 to 1538 kN/m (punch line load), the limit is 500 kN/m."


def test_part_that_cannot_come_off_the_punch() -> None:
    """K105 with the way out that is left."""
    at = {"number": 4, "bend": "b1", "where": "stroke 4"}
    over = Trap(piece="flange front.far", overlap_mm=297.0, sideways=True, ear_foot=False)
    assert trap_finding(over, at).cure == "Slide the part off along the bed, or take the punch out with it."
    aside = trap_finding(replace(over, shift=True), at)
    assert aside.cure == "Lower the part, shift it toward front or gauge and lead it off the punch by hand."


def test_lipped_box_is_led_off_by_hand() -> None:
    """Returns of 60 over a base of 200 leave 80 mm: the gooseneck does not come out straight, but shifted it does."""
    text = (
        "panel:\n  base: {width: 300, depth: 200}\n  flanges:\n"
        "    - {edge: left, leg: 50, direction: up}\n    - {edge: right, leg: 50, direction: up}\n"
        "    - edge: [front, back]\n      leg: 50\n      direction: up\n"
        "      flanges:\n        - {edge: far, leg: 60, direction: up, left: 3, right: 3}\n"
    )
    done = plan(panel(text), thickness="1.5", material="DC01")
    assert of_code(done.findings, "K105")[-1].cure.startswith("Lower the part, shift it")


def test_stations_that_do_not_fit_on_the_bed() -> None:
    """O108: a bend of 601 mm, no end uncovered, takes 605 mm of punch pieces; the bed has 601."""
    brake = replace(SHOP.brakes["M1"], bed_length_mm=601.0)
    practice = replace(SHOP.practice, max_uncovered_end_mm=0.0)
    shop = replace(SHOP, brakes={"M1": brake}, practice=practice)
    wishes = Wishes(die_id="V16", punch_id="P5")
    (finding,) = refused(lambda: prepare(profile("60 u90 30 x 601"), sheet(), shop, wishes))
    assert finding.code == "O108"
    assert finding.sentence == "The stations cannot be placed: the stations need 605 mm of bed, brake M1 has 601 mm."


def test_order_by_hand_must_name_every_bend_once() -> None:
    """O115 lists the bends."""
    (finding,) = refused(lambda: check_order(profile("60 u90 30 x 100"), sheet(), SHOP, ("b1", "b9"), M1))
    assert (finding.code, finding.sentence) == ("O115", "'b1, b9' is not an order of this part's bends; it has b1.")


def test_only_bends_of_one_line_go_together() -> None:
    """O120: two legs of a channel are not on one line."""
    part = profile("30 u90 60 u90 30 x 100")
    (finding,) = refused(lambda: check_order(part, sheet(), SHOP, ("b1+b2",), M1))
    assert finding.code == "O120"
    assert finding.sentence.startswith("Bends b1, b2 cannot be made by one stroke: they do not lie on one line")


def test_blank_that_overlaps_itself() -> None:
    """M103: two wide flanges on neighbouring edges lie over each other in the flat: 40 x 40 mm, less what the bends take."""
    wide = ((-40.0, 0.0), (140.0, 0.0), (140.0, 40.0), (-40.0, 40.0))
    base = Flange(id="base", outline=((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)))
    bends = (
        Bend(
            id="b1", parent="base", child="front", start=(0.0, 0.0), end=(100.0, 0.0), turned_deg=90.0, direction="up"
        ),
        Bend(id="b2", parent="base", child="left", start=(0.0, 100.0), end=(0.0, 0.0), turned_deg=90.0, direction="up"),
    )
    flanges = (base, Flange(id="front", outline=wide), Flange(id="left", outline=wide))
    part = Part(header=Header(part_no="T-3", revision="A"), flanges=flanges, bends=bends)
    findings = refused(lambda: plan(part))
    assert [finding.code for finding in findings] == ["M103"]
    assert findings[0].sentence.startswith("The blank overlaps itself by ")


def test_missing_machine_fields_are_said() -> None:
    """O106 lists what nobody filled in, and only what planning needs."""
    brake = replace(SHOP.brakes["M1"], throat_mm=None, year=None)
    done = prepare(profile("60 u90 30 x 100"), sheet(), replace(SHOP, brakes={"M1": brake}))
    (finding,) = of_code(done.findings, "O106")
    assert finding.sentence == "Brake M1: nobody has filled in throat_mm; what depends on it is not checked."


def test_tools_without_a_load_limit_are_said() -> None:
    """O107 and a watch on the load that could not be held against anything."""
    punch = replace(SHOP.cabinet.punch("P1"), max_line_load_kn_per_m=None)
    done = prepare(profile("60 u90 30 x 300"), sheet(), shop_with(punches=(punch,)), M1)
    assert sentences(of_code(done.findings, "O107")) == ["Tool P1: no line-load limit is known."]
    assert any("against an unknown limit" in text for text in sentences(of_code(done.findings, "K102")))


def test_sheet_that_nobody_measured_and_that_is_not_the_drawn_one() -> None:
    """O110 and O114."""
    done = plan(profile("60 u90 30 x 100", thickness_mm=3.0))
    assert sentences(of_code(done.findings, "O110")) == [
        "The sheet was not measured; everything is worked out for 2.00 mm nominal."
    ]
    assert sentences(of_code(done.findings, "O114")) == [
        "The drawing asks for 3.000 mm, the sheet is 2.000 mm nominal."
    ]
    measured = prepare(profile("60 u90 30 x 100"), sheet("S235JR", "2", "1.97", "1.99"), SHOP, M1)
    assert not of_code(measured.findings, "O110")


def test_brakes_not_taken_keep_their_reasons() -> None:
    """O116: the two brakes before the one that can."""
    done = prepare(example("thick_bracket"), sheet("S355MC", "10"), SHOP)
    assert done.plan.brake_id == "M3"
    assert [finding.where for finding in of_code(done.findings, "O116")] == ["brake M1", "brake M2"]
    assert "machine line load" in of_code(done.findings, "O116")[0].sentence


def test_holes_near_a_bend() -> None:
    """M102 and M104 on the stair tread: 2.38 mm clear, and within half of V32."""
    done = plan(example("stair_tread"), thickness="4")
    first = of_code(done.findings, "M102")[0]
    assert first.sentence == (
        "The circle (one of 2 alike) of flange front leaves 2.38 mm (0.6 t) of clear sheet to the tangent of bend b1; "
        "the rule is 2 t."
    )
    assert first.cure == (
        "Move its centre to 23.62 mm or more from the outside of the bend, cut it after bending, or accept it oval."
    )
    assert of_code(done.findings, "M104")[0].sentence == (
        "The edge of the circle (one of 2 alike) of flange front is 7.72 mm from bend line b1, inside half the die "
        "opening (16.0 mm)."
    )


def test_close_passes_and_trapped_parts() -> None:
    """K101, K105 and O111 on the cabinet door."""
    done = plan(example("cabinet_door"), thickness="1.5", material="DC01")
    strokes = {stroke.bend_id: stroke.number for stroke in done.plan.strokes}
    assert {finding.sentence for finding in of_code(done.findings, "K101")} >= {
        f"Stroke {strokes[bend]} (bend {bend}): flange {flange} comes within 0.93 mm of the punch P1 at 89.0 degrees included."
        for bend, flange in (("b1", "front.far"), ("b2", "back.far"))
    }
    trapped = of_code(done.findings, "K105")[-1]
    assert "holds the punch: it overlaps the ear foot by 9.5 mm per side." in trapped.sentence
    assert trapped.cure == "Slide the end pieces inward by at least 10.5 mm each, or tilt the part off."
    assert of_code(done.findings, "O111")[0].sentence.startswith(
        "A side wall's inside radius overlaps a square tool end by about 0.21 mm"
    )


def test_error_that_must_fall_on_a_fit() -> None:
    """K103: a fit leg too long for the gauge's reach can only stand in front, where the error goes."""
    part = profile("40 u90 700 x 300")
    wanted = tuple(
        replace(flange, fit=flange.id == "leg2", tolerance=Tolerance(minus_mm=-0.2, plus_mm=0.2))
        for flange in part.flanges
    )
    done = plan(replace(part, flanges=wanted))
    (finding,) = of_code(done.findings, "K103")
    assert (
        finding.sentence == "Stroke 1 (bend b1) is gauged so that the error falls on the fit dimension of flange leg2."
    )


def test_little_edge_for_the_fingers() -> None:
    """K104: a part 20 mm long has 20 mm of edge, two fingers want 26; a long bend wants three tenths of it."""
    done = plan(profile("60 u90 30 x 20"))
    (finding,) = of_code(done.findings, "K104")
    assert finding.sentence == (
        "Stroke 1 (bend b1): only 20.0 mm of edge for the gauge fingers; 26 mm would hold the part square."
    )


def test_sheet_that_tips_behind() -> None:
    """K108: flats of 8.58 (middle at -6.29) and 146.58 (middle at 75.3) about the bend: 70.8 behind, less V/2 = 6: 65 mm."""
    done = plan(profile("12 u90 150 x 100"), wishes=Wishes(brake_id="M1", die_id="V12"), thickness="1.5")
    codes = of_code(done.findings, "K108")
    behind = done.plan.strokes[0].gauged_flange_side == "parent"
    assert bool(codes) == behind
    forced = replace(SHOP.brakes["M1"], gauge=replace(SHOP.brakes["M1"].gauge, x_range_mm=(100.0, 600.0)))
    shop = replace(SHOP, brakes={"M1": forced})
    done = prepare(profile("12 u90 150 x 100"), sheet("S235JR", "1.5"), shop, Wishes(die_id="V12"))
    (finding,) = of_code(done.findings, "K108")
    assert finding.sentence == (
        "Stroke 1 (bend b1): the sheet's weight lies 65 mm behind the rear die shoulder; it tips toward the gauge."
    )


def test_strength_outside_the_standard() -> None:
    """O119: 4000 MPa for S235JR is a slip."""
    odd = replace(sheet(), tensile_mpa=560.0)
    done = prepare(profile("60 u90 30 x 100"), odd, SHOP, M1)
    (finding,) = of_code(done.findings, "O119")
    assert finding.sentence == (
        "The tensile strength given is 560 MPa; the standard's range for S235JR is 360 to 510 MPa."
    )


def test_plan_whose_own_evidence_says_no_is_withheld(monkeypatch: pytest.MonkeyPatch) -> None:
    """K109: should search and evidence ever disagree, the plan does not leave."""
    real = strokes_module.clearance

    def worse(*given: object) -> object:
        return replace(real(*given), mm=-0.7, verdict="no", part_piece="flange leg1", against="punch P1")  # type: ignore[arg-type]

    monkeypatch.setattr(strokes_module, "clearance", worse)
    findings = refused(lambda: plan(profile("60 u90 30 x 100"), wishes=Wishes(brake_id="M1", die_id="V16")))
    assert [finding.code for finding in findings] == ["K109"]
    assert (
        findings[0].sentence
        == "Stroke 1 (bend b1): flange leg1 overlaps the punch P1 by 0.70 mm; the plan is withheld."
    )


def test_slips_in_the_bend_table() -> None:
    """A deduction of 9.90 typed for 3.90 means a K of -1.6: the die is refused with it."""
    row = BendTableRow(
        material="S235JR",
        thickness_mm=2.0,
        die_opening_mm=16.0,
        punch_radius_mm=None,
        turned_deg=90.0,
        bend_deduction_mm=9.90,
        measured_to="mould_line",
    )
    shop = replace(SHOP, bend_table=BendTable(rows=(row,), passport=SHOP.practice.passport))
    wishes = Wishes(brake_id="M1", die_id="V16")
    (finding,) = refused(lambda: prepare(profile("60 u90 30 x 100"), sheet(), shop, wishes))
    assert finding.code == "O102"
    assert "K of the bend table -1.53 against 0.00" in finding.sentence


def test_flange_with_a_hole_in_its_edge() -> None:
    """A 30 mm wide cut leaves a leg of 5 on a bend of 200: a watch; the same over 100 mm refuses the die."""
    text = (
        "panel:\n  base: {{width: 200, depth: 100}}\n  flanges:\n    - edge: front\n      leg: 40\n      direction: up\n"
        "      points: [[0,0],[200,0],[200,40],[{right},40],[{right},5],[60,5],[60,40],[0,40]]\n"
    )
    wishes = Wishes(brake_id="M1", die_id="V12")
    done = plan(panel(text.format(right=90)), thickness="1.5", material="DC01", wishes=wishes)
    (finding,) = [
        item for item in of_code(done.findings, "K102") if item.sentence.startswith("shortest part of the flange")
    ]
    assert "5.00 mm against 8.56 mm" in finding.sentence
    (refusal,) = refused(lambda: plan(panel(text.format(right=160)), thickness="1.5", material="DC01", wishes=wishes))
    assert "minimum flange 5.00 against 8.56 mm" in refusal.sentence


def test_hems_without_flattening_tools() -> None:
    """O117 for each hem; O118 says that the hemming tools do not hang beside the others."""
    punches = tuple(punch for punch in SHOP.cabinet.punches if punch.id != "P3-flat")
    done = prepare(example("hive_roof"), sheet("DX51D+Z", "0.7"), shop_with(punches=punches), M1)
    assert len(of_code(done.findings, "O117")) == 4
    assert "the cabinet holds no flattening punch and die long enough" in of_code(done.findings, "O117")[0].sentence
    assert of_code(done.findings, "O118")[0].sentence == (
        "Stations differ in closed height and cannot hang side by side: run all pieces through the strokes of station 1, "
        "then re-tool for station 2."
    )


def test_gauge_that_reaches_nothing() -> None:
    """O101 names the back gauge when no edge or face lies within its X range."""
    gauge = BackGauge(x_range_mm=(500.0, 600.0))
    shop = replace(SHOP, brakes={"M1": replace(SHOP.brakes["M1"], gauge=gauge)})
    findings = refused(lambda: prepare(profile("60 u90 30 x 100"), sheet(), shop, Wishes(die_id="V16")))
    assert "bend b1 has no edge or face the back gauge can stop on" in findings[0].sentence
