"""Own bending models against finite-element air bends they were not made from.

Plane-strain finite-strain computations with rigid tools, friction 0.1, Swift hardening, V between the centres of the
shoulder arcs; estimated error of the references: depth at an angle below 0.02 mm, springback 0.02 degrees, force 1 %,
radius 2 %, deduction 0.01 mm. No Bauschinger effect and no loss of modulus: they judge the geometry and the statics,
not the sheet in the rack.
"""

from dataclasses import dataclass
from math import radians

import pytest

from bendwright.mechanics.bend_allowance import din_6935_k, k_of_allowance, setback_mm
from bendwright.mechanics.bending_force import moment_line_load_kn_per_m
from bendwright.mechanics.inside_radius import RADIUS_OVER_OPENING
from bendwright.mechanics.ram_depth import (
    apex_arm_mm,
    arc_keeping_radius_change_mm_per_deg,
    contact_arm_mm,
    mm_per_degree,
    ram_depth_mm,
)
from bendwright.mechanics.springback import air_bend_springback_deg, bend_moment_n


@dataclass(frozen=True, slots=True)
class Swift:
    """Elastic constants and Swift curve of a sheet."""

    youngs_modulus_mpa: float
    k_mpa: float
    e0: float
    n: float


MILD = Swift(210000.0, 600.0, 0.010, 0.18)
S304 = Swift(200000.0, 1370.0, 0.020, 0.40)

# sheet, t, V, shoulder, depth, force N/mm, included loaded, springback, inside radius, deduction
ROWS = [
    (MILD, 2.0, 16.0, 2.0, 2.49, 142.93923, 137.57861, 1.53592, 4.44862, 1.01025),
    (MILD, 2.0, 16.0, 2.0, 4.05, 139.81364, 111.77511, 1.66743, 2.58884, 2.03475),
    (MILD, 2.0, 16.0, 2.0, 5.05, 128.58156, 96.9233, 1.75894, 2.06385, 2.86525),
    (MILD, 2.0, 16.0, 2.0, 5.58, 120.98774, 89.75326, 1.81239, 1.8797, 3.36459),
    (S304, 1.5, 12.0, 1.5, 1.87, 155.65775, 135.21331, 2.32052, 4.52496, 0.83756),
    (S304, 1.5, 12.0, 1.5, 2.70, 164.25982, 115.38348, 2.60868, 3.05852, 1.47578),
    (S304, 1.5, 12.0, 1.5, 3.87, 151.89954, 90.15633, 2.99081, 2.18048, 2.72373),
    (S304, 1.5, 12.0, 1.5, 4.42, 139.33277, 79.81105, 3.16715, 1.97463, 3.47927),
    (MILD, 2.0, 12.0, 2.0, 1.80, 216.48933, 137.44103, 1.18736, 3.41763, 1.00919),
    (MILD, 2.0, 12.0, 2.0, 3.10, 223.54072, 105.1298, 1.26765, 1.79354, 2.31837),
    (MILD, 2.0, 12.0, 2.0, 3.74, 212.42219, 90.19353, 1.32755, 1.43321, 3.21046),
    (MILD, 1.0, 8.0, 1.0, 1.13, 71.16235, 141.31407, 1.52229, 2.59218, 0.4470),
    (MILD, 1.0, 8.0, 1.0, 2.13, 69.81508, 107.9051, 1.6953, 1.30583, 1.12182),
    (MILD, 1.0, 8.0, 1.0, 2.76, 63.02191, 89.00639, 1.84526, 1.05217, 1.74866),
    (MILD, 2.0, 20.0, 2.5, 3.15, 108.92057, 137.54844, 1.84876, 5.47969, 1.02055),
    (MILD, 2.0, 20.0, 2.5, 5.74, 101.59336, 104.99412, 2.0637, 2.88844, 2.4632),
    (MILD, 2.0, 20.0, 2.5, 7.30, 88.66001, 88.41532, 2.21787, 2.33281, 3.62264),
]
ROW = ("sheet", "t", "opening", "shoulder", "depth", "force", "loaded", "springback", "radius", "deduction")
reference = pytest.mark.origin("printed", "finite-element reference bends (air_bends table, five cases)")


def place(t, opening, shoulder, loaded, radius):
    """The bend's geometry under load by parameter names."""
    return {
        "loaded_turned_deg": 180.0 - loaded,
        "half_centre_mm": opening / 2.0,
        "inside_radius_mm": radius,
        "thickness_mm": t,
        "shoulder_radius_mm": shoulder,
    }


def sheet_inputs(sheet, t, radius):
    """Sheet and radius by parameter names; the yield is the Swift curve's first value."""
    return {
        "thickness_mm": t,
        "inside_radius_mm": radius,
        "youngs_modulus_mpa": sheet.youngs_modulus_mpa,
        "poisson": 0.3,
        "yield_mpa": sheet.k_mpa * sheet.e0**sheet.n,
        "law": "swift",
        "k_mpa": sheet.k_mpa,
        "e0_or_b": sheet.e0,
        "n": sheet.n,
    }


@pytest.mark.parametrize(ROW, ROWS)
@reference
def test_depth(sheet, t, opening, shoulder, depth, force, loaded, springback, radius, deduction):
    """With the radius really there, straight legs and an arc give the depth within 0.03 mm (0.4 degrees)."""
    assert ram_depth_mm(**place(t, opening, shoulder, loaded, radius)) == pytest.approx(depth, abs=0.03)


@pytest.mark.parametrize(ROW, ROWS)
@reference
def test_springback(sheet, t, opening, shoulder, depth, force, loaded, springback, radius, deduction):
    """Arc and legs together lie 7-16 % above the reference: the moment is taken as constant over the arc."""
    bend = place(t, opening, shoulder, loaded, radius)
    found = air_bend_springback_deg(
        **sheet_inputs(sheet, t, radius), turned_deg=180.0 - loaded, leg_arm_mm=contact_arm_mm(**bend)
    )
    assert 1.07 < found / springback < 1.16


@pytest.mark.parametrize(ROW, ROWS)
@reference
def test_arc_alone_or_yield_alone_is_not_enough(
    sheet, t, opening, shoulder, depth, force, loaded, springback, radius, deduction
):
    """Without the legs 45-68 % of the springback remain, without hardening less than 80 %."""
    inputs = sheet_inputs(sheet, t, radius)
    arm = contact_arm_mm(**place(t, opening, shoulder, loaded, radius))
    turned = 180.0 - loaded
    assert 0.45 < air_bend_springback_deg(**inputs, turned_deg=turned, leg_arm_mm=0.0) / springback < 0.68
    ideal = {**inputs, "law": None}
    assert air_bend_springback_deg(**ideal, turned_deg=turned, leg_arm_mm=arm) < 0.8 * springback


@pytest.mark.parametrize(ROW, ROWS)
@reference
def test_force(sheet, t, opening, shoulder, depth, force, loaded, springback, radius, deduction):
    """The two arms of the moment enclose the force: 5-15 % below to the apex, 20-50 % above to the end of the arc."""
    bend = place(t, opening, shoulder, loaded, radius)
    statics = {
        "moment_n": bend_moment_n(**sheet_inputs(sheet, t, radius)),
        "loaded_turned_deg": 180.0 - loaded,
        "friction": 0.1,
    }
    assert 0.85 < moment_line_load_kn_per_m(**statics, arm_mm=apex_arm_mm(**bend)) / force < 0.96
    assert 1.20 < moment_line_load_kn_per_m(**statics, arm_mm=contact_arm_mm(**bend)) / force < 1.50


@pytest.mark.parametrize(
    ("t", "opening", "shoulder", "loaded", "radius", "expected"),
    [
        (2.0, 16.0, 2.0, 89.75, 1.880, 0.076),
        (1.5, 12.0, 1.5, 90.16, 2.180, 0.052),
        (2.0, 20.0, 2.5, 91.71, 2.419, 0.100),
        (1.0, 8.0, 1.0, 89.01, 1.052, 0.034),
    ],
)
@pytest.mark.origin(
    "printed", "slopes of the finite-element reference bends at 90 degrees: 0.076, 0.052, 0.100, 0.034 mm"
)
def test_mm_per_degree(t, opening, shoulder, loaded, radius, expected):
    """With the arc keeping its length within 10 %; with the radius held 6-22 % too little."""
    bend = place(t, opening, shoulder, loaded, radius)
    change = arc_keeping_radius_change_mm_per_deg(inside_radius_mm=radius, loaded_turned_deg=180.0 - loaded)
    assert mm_per_degree(**bend, radius_change_mm_per_deg=change) == pytest.approx(expected, rel=0.10)
    assert 0.75 < mm_per_degree(**bend) / expected < 0.97


@reference
def test_the_inside_arc_nearly_keeps_its_length():
    """Radius x turned angle over all rows of one case stays within 15 % of its mean."""
    for opening in (12.0, 16.0, 20.0, 8.0):
        for strong in (MILD, S304):
            arcs = [row[8] * radians(180.0 - row[6]) for row in ROWS if row[2] == opening and row[0] == strong]
            if arcs:
                mean = sum(arcs) / len(arcs)
                assert all(abs(arc - mean) < 0.15 * mean for arc in arcs)


@pytest.mark.parametrize(ROW, ROWS)
@reference
def test_k_factor(sheet, t, opening, shoulder, depth, force, loaded, springback, radius, deduction):
    """K of the references (radius and deduction of the relaxed bend) is 0.40-0.45; DIN agrees at r = 3 t and falls to 0.12
    below it towards r = 0.7 t: its deductions are larger there.
    """
    turned = 180.0 - loaded - springback
    sizes = {"inside_radius_mm": radius, "thickness_mm": t, "turned_deg": turned}
    setback = setback_mm(**sizes, measured_to="mould_line")
    k_factor = k_of_allowance(bend_allowance_mm=2.0 * setback - deduction, **sizes)
    assert 0.40 < k_factor < 0.45
    assert -0.005 < k_factor - din_6935_k(inside_radius_mm=radius, thickness_mm=t) / 2.0 < 0.13


@reference
def test_the_trades_radius_is_a_guess():
    """Near 90 the references have 0.117-0.132 V (mild) and 0.182 V (304-like); the trade says 0.16 and 0.21."""
    near_90 = [row for row in ROWS if abs(row[6] - 90.0) < 2.0]
    assert len(near_90) == 5
    for sheet, _, opening, *_, radius, _ in near_90:
        family = "steel" if sheet is MILD else "stainless"
        assert 0.70 < radius / opening / RADIUS_OVER_OPENING[family] < 0.90
