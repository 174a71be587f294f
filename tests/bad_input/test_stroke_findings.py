"""Plans that need a person's eye, or are withheld: each with its exact finding."""

from __future__ import annotations

from dataclasses import replace

import pytest
from asked import M1, plan, refused, sentences

from bendwright.job import Wishes, prepare
from bendwright.part.model import Tolerance
from bendwright.plan import strokes as strokes_module
from bendwright.plan.removal import Trap
from bendwright.plan.strokes import trap_finding
from shop_talk import SHOP, example, of_code, panel, profile, sheet


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
