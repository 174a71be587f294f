"""DIN 6935, cold bending of flat steel products: formula and table of a reprint, and the table of supplement 2.

The reprint (a metal-trade table book, stored public copy) prints k = 0.65 + 0.5 lg(r/s), v for three ranges of the
opening angle and one worked example. The 90 degree table of supplement 2 was remembered, one decimal printed.
"""

import pytest

from bendwright.mechanics.bend_allowance import (
    din_6935_allowance_mm,
    din_6935_deduction_mm,
    din_6935_k,
    k_factor_allowance_mm,
    setback_mm,
)


@pytest.mark.origin("printed", "table-book reprint of DIN 6935, worked example r 6, s 5: prints k 0.689")
def test_k_of_the_worked_example():
    """lg(1.2) = 0.0792, half of it and 0.65 make 0.6896; the book cuts to three digits."""
    assert din_6935_k(inside_radius_mm=6.0, thickness_mm=5.0) == pytest.approx(0.6896, abs=0.0005)


@pytest.mark.origin("printed", "table-book reprint of DIN 6935, worked example 16 + 21, r 6, s 5, 60 degrees, k 0.7")
def test_shortening_and_length_of_the_worked_example():
    """The book reads k 0.7 from the chart: v = 5.77, L = 16 + 21 - v = 31.23 (printed about 32, rounded up)."""
    v = din_6935_deduction_mm(inside_radius_mm=6.0, thickness_mm=5.0, included_deg=60.0, k=0.7)
    assert v == pytest.approx(5.77, abs=0.01)
    assert 16.0 + 21.0 - v == pytest.approx(31.23, abs=0.01)


@pytest.mark.origin("derived", "the same example with k by the formula: v = 22 - 2 pi/3 (6 + 0.6896 x 2.5)")
def test_worked_example_by_formula():
    """22 - 2.0944 x 7.7240 = 5.823; L = 31.18."""
    v = din_6935_deduction_mm(inside_radius_mm=6.0, thickness_mm=5.0, included_deg=60.0)
    assert v == pytest.approx(5.823, abs=0.001)
    assert 37.0 - v == pytest.approx(31.18, abs=0.005)


TABLE_90 = [
    (1.0, 1.0, 1.9187, 1.9),
    (1.6, 1.5, 2.9045, 2.9),
    (2.5, 2.0, 3.9759, 4.0),
    (2.5, 2.5, 4.7967, 4.8),
    (4.0, 3.0, 6.0381, 6.0),
    (6.0, 4.0, 8.2566, 8.3),
    (10.0, 6.0, 12.7063, 12.7),
    (16.0, 10.0, 20.9606, 21.0),
]


@pytest.mark.parametrize(("r", "s", "v", "printed"), TABLE_90)
@pytest.mark.origin("derived", "v = 2(r+s) - pi/2 (r + k s/2) worked out to four decimals")
def test_deduction_at_90(r, s, v, printed):
    """All eight sizes to four decimals."""
    assert din_6935_deduction_mm(inside_radius_mm=r, thickness_mm=s, included_deg=90.0) == pytest.approx(v, abs=1e-3)


@pytest.mark.parametrize(("r", "s", "v", "printed"), TABLE_90)
@pytest.mark.origin("memory", "DIN 6935 supplement 2, table for 90 degrees, one decimal")
def test_deduction_at_90_as_printed(r, s, v, printed):
    """Rounded to the table's one decimal."""
    assert round(din_6935_deduction_mm(inside_radius_mm=r, thickness_mm=s, included_deg=90.0), 1) == printed


@pytest.mark.parametrize(
    ("r", "s", "included", "v"),
    [
        (3.0, 2.0, 120.0, 1.8590),
        (3.0, 2.0, 135.0, 1.2063),
        (3.0, 2.0, 30.0, 0.2138),
        (3.0, 2.0, 165.0, 0.3379),
        (15.0, 3.0, 90.0, 10.0831),
    ],
)
@pytest.mark.origin("derived", "printed formulas of the three ranges, worked out separately")
def test_deduction_at_other_angles(r, s, included, v):
    """Acute angles keep r + s, obtuse ones take the tangent; r/s = 5 has k 0.9995."""
    value = din_6935_deduction_mm(inside_radius_mm=r, thickness_mm=s, included_deg=included)
    assert value == pytest.approx(v, abs=1e-3)


@pytest.mark.origin("printed", "table-book reprint of DIN 6935: opening angle above 165 to 180 degrees, v = 0")
def test_zero_above_165_only_on_wish():
    """The rule makes a step of 0.34 mm at 165 degrees; without it the formula runs on to 0 at 180."""
    sizes = {"inside_radius_mm": 3.0, "thickness_mm": 2.0}
    assert din_6935_deduction_mm(**sizes, included_deg=166.0, zero_above_165=True) == 0.0
    assert din_6935_deduction_mm(**sizes, included_deg=165.0, zero_above_165=True) == pytest.approx(0.3379, abs=1e-3)
    assert 0.0 < din_6935_deduction_mm(**sizes, included_deg=166.0) < 0.3379
    assert din_6935_deduction_mm(**sizes, included_deg=180.0) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize(("ratio", "k_factor"), [(0.5, 0.250), (1.0, 0.325), (2.0, 0.400), (3.0, 0.444), (5.0, 0.500)])
@pytest.mark.origin("derived", "K = k/2 = 0.325 + 0.25 lg(r/s), to three decimals")
def test_k_factor_by_radius(ratio, k_factor):
    """0.325 + 0.25 lg 0.5 = 0.2497, ... 0.325 + 0.25 lg 5 = 0.4997."""
    assert din_6935_k(inside_radius_mm=ratio, thickness_mm=1.0) / 2.0 == pytest.approx(k_factor, abs=0.0006)


@pytest.mark.origin("derived", "lg(0.05) = -1.301: the formula reaches 0 there and would fall below")
def test_k_never_leaves_zero_to_one():
    """Clamped at both ends; a sharp corner has k = 0."""
    assert din_6935_k(inside_radius_mm=0.0, thickness_mm=1.0) == 0.0
    assert din_6935_k(inside_radius_mm=0.04, thickness_mm=1.0) == 0.0
    assert din_6935_k(inside_radius_mm=6.0, thickness_mm=1.0) == 1.0


@pytest.mark.origin(
    "derived", "0.43 r + 1.48 s is 2(r+s) - pi/2 (r + K s) for K = 0.331 at every r/s; the standard's K varies"
)
def test_the_shop_shorthand_is_not_the_standard():
    """s 3.18, r 7: shorthand 7.72, the standard 7.31."""
    assert pytest.approx(7.72, abs=0.005) == 0.43 * 7.0 + 1.48 * 3.18
    value = din_6935_deduction_mm(inside_radius_mm=7.0, thickness_mm=3.18, included_deg=90.0)
    assert value == pytest.approx(7.31, abs=0.005)


@pytest.mark.origin("law", "deduction = 2 set-back - allowance, with K = k/2")
def test_deduction_allowance_and_k_agree():
    """The three functions tell the same story for an obtuse and an acute bend."""
    sizes = {"inside_radius_mm": 3.0, "thickness_mm": 2.0}
    for turned in (45.0, 120.0):
        allowance = din_6935_allowance_mm(**sizes, turned_deg=turned)
        k_factor = din_6935_k(**sizes) / 2.0
        assert allowance == k_factor_allowance_mm(**sizes, turned_deg=turned, k_factor=k_factor)
        setback = setback_mm(**sizes, turned_deg=turned, measured_to="outer_tangent")
        v = din_6935_deduction_mm(**sizes, included_deg=180.0 - turned)
        assert v == pytest.approx(2.0 * setback - allowance, abs=1e-12)
