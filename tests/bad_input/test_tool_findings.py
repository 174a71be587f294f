"""Tools, brakes, stations and orders that do not do: each with its exact finding."""

from __future__ import annotations

from dataclasses import replace

import pytest
from asked import M1, plan, refused, sentences

from bendwright.job import Wishes, check_order, prepare
from bendwright.shop.bend_table import BendTable, BendTableRow
from bendwright.shop.brake import BackGauge
from shop_talk import SHOP, example, of_code, panel, profile, sheet, shop_with

P1_ON_M1 = Wishes(brake_id="M1", punch_id="P1")


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


def test_hem_too_strong_for_the_flattening_tools() -> None:
    """K107: 3 x the lower air-bend load of V6, 3 x 1.33 x 410 x 1.5^2 / 6 = 613 kN/m, is above the punch's 500.

    By the mechanics the pre-bend itself is already too much for the die, so the charts are asked.
    """
    charts = replace(M1, model="charts")
    findings = refused(lambda: plan(profile("hu20 60 u90 60 x 600"), thickness="1.5", wishes=charts))
    assert {finding.code for finding in findings} == {"K107"}
    assert findings[0].sentence == "Flattening hem h1 takes 613 to 1538 kN/m (punch line load), the limit is 500 kN/m."


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


def test_brakes_not_taken_keep_their_reasons() -> None:
    """O116: the two brakes before the one that can."""
    done = prepare(example("thick_bracket"), sheet("S355MC", "10"), SHOP)
    assert done.plan.brake_id == "M3"
    assert [finding.where for finding in of_code(done.findings, "O116")] == ["brake M1", "brake M2"]
    assert "machine line load" in of_code(done.findings, "O116")[0].sentence


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
