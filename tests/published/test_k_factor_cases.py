"""General K-factor arithmetic: BA = A (r + K t), set-back, BD = 2 set-back - BA, and K from a test strip."""

import pytest

from bendwright.findings import OutOfRangeError
from bendwright.mechanics.bend_allowance import (
    deduction_mm,
    hill_k,
    k_factor_allowance_mm,
    k_from_coupon,
    k_of_allowance,
    setback_mm,
    table_k,
)


def bend(turned, radius, thickness, k_factor, measured_to="mould_line"):
    """BA, set-back and BD of one bend."""
    sizes = {"inside_radius_mm": radius, "thickness_mm": thickness, "turned_deg": turned}
    allowance = k_factor_allowance_mm(**sizes, k_factor=k_factor)
    setback = setback_mm(**sizes, measured_to=measured_to)
    return allowance, setback, deduction_mm(setback_mm=setback, bend_allowance_mm=allowance)


@pytest.mark.parametrize(
    ("turned", "radius", "thickness", "k_factor", "expected"),
    [
        (90.0, 2.0, 2.0, 0.40, (4.3982, 4.0000, 3.6018)),
        (90.0, 3.0, 2.0, 0.43, (6.0633, 5.0000, 3.9367)),
        (45.0, 3.0, 2.0, 0.43, (3.0316, 2.0711, 1.1105)),
        (120.0, 3.0, 2.0, 0.43, (8.0844, 8.6603, 9.2361)),
        (60.0, 1.0, 1.0, 0.38, (1.4451, 1.1547, 0.8643)),
        (30.0, 5.0, 1.5, 0.45, (2.9714, 1.7417, 0.5119)),
    ],
)
@pytest.mark.origin("derived", "BA = A (r + K t), set-back (r+t) tan(A/2), BD = 2 set-back - BA, worked out separately")
def test_allowance_setback_deduction(turned, radius, thickness, k_factor, expected):
    """Six bends to four decimals."""
    assert bend(turned, radius, thickness, k_factor) == pytest.approx(expected, abs=1e-3)


@pytest.mark.origin("printed", "public bend-allowance page, inches: 2 + 3 + BA(0.125, 0.036, 0.42) = 5.2201, BD 0.1019")
def test_two_ways_to_a_blank():
    """Inside-tangent legs add the allowance: 5.2201; mould-line legs take the deduction: 4.8981."""
    allowance, _, deduction = bend(90.0, 0.125, 0.036, 0.42)
    assert 2.0 + 3.0 + allowance == pytest.approx(5.2201, abs=1e-4)
    assert deduction == pytest.approx(0.1019, abs=1e-4)
    assert 2.0 + 3.0 - deduction == pytest.approx(4.8981, abs=1e-4)


@pytest.mark.parametrize(("turned", "deduction"), [(45.0, 1.107), (90.0, 3.779), (135.0, 14.007)])
@pytest.mark.origin("derived", "t 2, R 2.56, K 0.42, legs to the mould line")
def test_deduction_at_three_angles(turned, deduction):
    """At 90: 2 x 4.56 - pi/2 (2.56 + 0.84) = 3.779."""
    assert bend(turned, 2.56, 2.0, 0.42)[2] == pytest.approx(deduction, abs=1e-3)


@pytest.mark.origin("derived", "135 degrees, R 2.56, t 2, K 0.42: 2 (R+t) - BA = 9.12 - 8.011")
def test_outer_tangent_changes_everything_above_90():
    """The same bend: 14.007 to the mould line, 1.109 to the outer tangent."""
    assert bend(135.0, 2.56, 2.0, 0.42, "outer_tangent")[2] == pytest.approx(1.109, abs=1e-3)
    assert bend(90.0, 2.56, 2.0, 0.42, "outer_tangent") == bend(90.0, 2.56, 2.0, 0.42, "mould_line")


@pytest.mark.origin("derived", "135 degrees, r 3, t 2, K 0.43: 15.05 or 0.905")
def test_the_fourteen_millimetre_trap():
    """The convention alone moves the deduction by 14 mm."""
    assert bend(135.0, 3.0, 2.0, 0.43)[2] == pytest.approx(15.05, abs=0.005)
    assert bend(135.0, 3.0, 2.0, 0.43, "outer_tangent")[2] == pytest.approx(0.905, abs=1e-3)


@pytest.mark.origin("law", "tan runs to infinity at 180 degrees")
def test_mould_line_ends_at_180():
    """R104 at 180; the outer tangent goes on with r + t."""
    sizes = {"inside_radius_mm": 1.0, "thickness_mm": 2.0, "turned_deg": 180.0}
    with pytest.raises(OutOfRangeError) as caught:
        setback_mm(**sizes, measured_to="mould_line")
    assert caught.value.findings[0].code == "R104"
    assert setback_mm(**sizes, measured_to="outer_tangent") == 3.0


@pytest.mark.origin("derived", "strip 100.00, outside legs 52.90 + 51.00 at 90 degrees: BD = 3.90; K = (BA/A - r)/t")
def test_k_from_a_test_strip():
    """r 2.56, t 2: BA = 9.12 - 3.90 = 5.22, 5.22/1.5708 = 3.3232, less 2.56, over 2 = 0.3816."""
    strip = {"flat_length_mm": 100.0, "leg_a_mm": 52.9, "leg_b_mm": 51.0}
    k_factor = k_from_coupon(**strip, inside_radius_mm=2.56, thickness_mm=2.0, turned_deg=90.0)
    assert k_factor == pytest.approx(0.3816, abs=1e-4)


@pytest.mark.origin("law", "round trip through allowance and deduction")
def test_k_comes_back():
    """From K to BD to a strip and back, for an obtuse and an acute bend and both leg measures."""
    for turned, measured_to in ((50.0, "mould_line"), (130.0, "outer_tangent"), (130.0, "mould_line")):
        allowance, _, deduction = bend(turned, 3.0, 2.0, 0.43, measured_to)
        sizes = {"inside_radius_mm": 3.0, "thickness_mm": 2.0, "turned_deg": turned}
        assert k_of_allowance(bend_allowance_mm=allowance, **sizes) == pytest.approx(0.43, abs=1e-12)
        strip = {"flat_length_mm": 200.0 - deduction, "leg_a_mm": 120.0, "leg_b_mm": 80.0}
        assert k_from_coupon(**strip, **sizes, measured_to=measured_to) == pytest.approx(0.43, abs=1e-9)


@pytest.mark.parametrize(
    ("process", "hardness", "ratio", "k_factor"),
    [
        ("air", "soft", 0.5, 0.33),
        ("air", "medium", 1.0, 0.38),
        ("air", "hard", 1.01, 0.45),
        ("air", "medium", 3.0, 0.43),
        ("air", "soft", 3.01, 0.50),
    ],
)
@pytest.mark.origin("printed", "encyclopedia article on bending, K table, row of air bending")
def test_table_air(process, hardness, ratio, k_factor):
    """Bands up to t, to 3 t, above; the ends belong to the smaller band."""
    assert table_k(process=process, hardness_class=hardness, radius_over_thickness=ratio) == k_factor


@pytest.mark.parametrize(
    ("ratio", "k_factor"), [(0.5, 0.366), (0.63, 0.383), (1.0, 0.414), (2.0, 0.449), (10.0, 0.488)]
)
@pytest.mark.origin("derived", "(sqrt(r (r+t)) - r)/t")
def test_hill(ratio, k_factor):
    """sqrt(2) - 1 = 0.414 for r = t."""
    assert hill_k(radius_over_thickness=ratio) == pytest.approx(k_factor, abs=0.0006)
