"""Mast clamp: an L on an inch drawing in two revisions, a gauge number for thickness, a flat supplied by the customer."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import pytest
from bend_sums import UnderPunch, deduction, line_load
from stories import DEPTH_MM, LENGTH_MM, TURN_DEG, order_of, part_of, plan_of, prepared, sentences, sheet_for

from bendwright.part.bend_size import fixed_size
from bendwright.part.blank import make_blank
from bendwright.part.model import Part

CLAMP = part_of("mast_clamp")
JOB = {"tensile": "410", "brake_id": "M2"}


@pytest.mark.parametrize(
    ("material", "thickness"),
    [("S235JR", 1.897), ("DX51D+Z", 1.994), ("1.4301", 1.984), ("EN AW-5754 H111", 1.628)],
)
@pytest.mark.origin("memory", "gauge tables of sheet steel, galvanized, stainless and aluminium: 14 gauge")
def test_the_gauge_number_means_another_sheet_in_every_material(material: str, thickness: float) -> None:
    """14 gauge is 0.0747 in of steel, 0.0785 galvanized, 0.0781 stainless, 0.0641 aluminium."""
    sheet = sheet_for(CLAMP, material=material, thickness="14 ga")
    assert sheet.nominal_thickness_mm == pytest.approx(thickness, abs=0.001)


@pytest.mark.origin("derived", "t 1.90 measured, V16, R = 0.16 V = 2.56, K 0.42: BD 3.645")
def test_blank_and_gauge_of_both_revisions() -> None:
    """Legs 63.50 + 41.275 - BD = 101.13; revision B is 3.175 shorter. X = leg - BD/2: 39.45 (B 36.28)."""
    bd = deduction(t=1.9, radius=2.56)
    assert bd == pytest.approx(3.645, abs=0.001)
    for part, short_leg in (
        (CLAMP, 41.275),
        (part_of("mast_clamp", ("1.625", "1.500"), ("revision: C", "revision: B")), 38.1),
    ):
        plan = plan_of(part, "1.90", **JOB)
        assert sorted((plan.blank.width_mm, plan.blank.height_mm)) == pytest.approx(
            sorted((101.6, 63.5 + short_leg - bd)), abs=LENGTH_MM
        )
        (stroke,) = plan.strokes
        assert (stroke.die_id, stroke.punch_id) == ("V16", "P1")
        assert stroke.gauging.kind == "edge"
        assert stroke.gauging.x_mm == pytest.approx(short_leg - bd / 2.0, abs=LENGTH_MM)


@pytest.mark.origin("derived", "the leg that is the fit is held by the gauge: X = 63.50 - 3.645/2 = 61.68")
def test_the_leg_that_carries_the_fit_is_gauged() -> None:
    """The error of the sheet's length must land on the other leg, so the fit lies behind."""
    flanges = tuple(replace(flange, fit=flange.id == "leg1") for flange in CLAMP.flanges)
    (stroke,) = plan_of(replace(CLAMP, flanges=flanges), "1.90", **JOB).strokes
    assert stroke.gauging.flange_id == "leg1"
    assert stroke.gauging.x_mm == pytest.approx(61.68, abs=LENGTH_MM)
    assert "leg2" in stroke.gauging.takes_error


@pytest.mark.origin(
    "derived", "1.33 Rm t2/V = 123 and (1 + 4t/V) Rm t2/V = 136 kN/m at Rm 410; 101.6 mm long: 12.5-13.9 kN"
)
def test_force_and_depth() -> None:
    """Both formulas with the certificate's strength; depth and angles by the closed form."""
    (stroke,) = plan_of(CLAMP, "1.90", model="charts", **JOB).strokes
    band = line_load(t=1.9, v=16.0, rm=410.0)
    assert band == pytest.approx((123.0, 136.4), rel=0.01)
    assert (stroke.line_load_kn_per_m.low, stroke.line_load_kn_per_m.high) == pytest.approx(band, rel=0.01)
    assert (stroke.force_kn.low, stroke.force_kn.high) == pytest.approx((12.5, 13.86), rel=0.01)
    assert stroke.loaded_included_deg == pytest.approx(89.0, abs=TURN_DEG)
    bend = UnderPunch(t=1.9, radius=2.56, opening=16.0, shoulder=1.5, springback_deg=1.0)
    assert stroke.depth_mm == pytest.approx(bend.depth, abs=DEPTH_MM)


@pytest.mark.origin(
    "derived", "12 - 4.5 - (2.56 + 1.90) = 3.04 = 1.6 t; centre >= 4.5 + 2 x 1.9 + 4.46 = 12.76; 7.68 - 2 to the line"
)
def test_the_hole_is_too_near_the_bend() -> None:
    """Under the 2 t rule, and over the die opening: its edge is 5.68 from the bend line, half the opening is 8."""
    found = prepared(CLAMP, "1.90", **JOB)
    (near,) = sentences(found, "M102")
    assert "3.04 mm (1.6 t)" in near
    (cure,) = [item.cure for item in found.findings if item.code == "M102"]
    assert "12.76 mm" in cure
    (over,) = sentences(found, "M104")
    assert "5.68 mm" in over
    assert "8.0 mm" in over


@pytest.mark.origin(
    "derived", "the customer's flat 101.65 has K 0.5 and R = t: BD 2 (2 t) - pi/2 (1.5 t) = 3.123; 0.52 too long"
)
def test_the_customers_flat_is_half_a_millimetre_too_long() -> None:
    """All of the 0.52 would land on the leg that is not gauged."""
    t = 1.9
    theirs = _blank_with(CLAMP, inside_radius_mm=t, k_factor=0.5, thickness_mm=t)
    assert theirs == pytest.approx(63.5 + 41.275 - (4.0 * t - pi / 2.0 * 1.5 * t), abs=1e-6)
    assert theirs == pytest.approx(101.65, abs=LENGTH_MM)
    ours = plan_of(CLAMP, "1.90", **JOB).blank
    assert theirs - max(h for h in (ours.width_mm, ours.height_mm) if abs(h - 101.6) > 0.1) == pytest.approx(
        0.52, abs=LENGTH_MM
    )


@pytest.mark.origin("law", "one bend has one order")
def test_one_stroke() -> None:
    """Nothing to turn, nothing to walk."""
    plan = plan_of(CLAMP, "1.90", **JOB)
    assert order_of(plan) == ("b1",)
    assert plan.times.cycle_s == pytest.approx(20.0 + 6.0 + 12.0)


def _blank_with(part: Part, *, inside_radius_mm: float, k_factor: float, thickness_mm: float) -> float:
    """Developed length with a radius and K simply given."""
    sizes = {
        bend.id: fixed_size(bend, inside_radius_mm=inside_radius_mm, k_factor=k_factor, thickness_mm=thickness_mm)
        for bend in part.bends
    }
    blank = make_blank(part, sizes, thickness_mm=thickness_mm)
    return next(side for side in (blank.width_mm, blank.height_mm) if abs(side - 101.6) > 0.01)
