"""Air-bending force: the published and the trade's formulas, one printed chart value, the table of line loads."""

import pytest

from bendwright.mechanics.bending_force import (
    air_bend_line_load_band,
    bottoming_line_load_band,
    coefficient_line_load_kn_per_m,
    coining_line_load_band,
    groover_line_load_kn_per_m,
    kalpakjian_line_load_band,
    kalpakjian_yield_line_load_kn_per_m,
    moment_line_load_kn_per_m,
    oehler_line_load_kn_per_m,
    trade_line_load_kn_per_m,
    us_trade_line_load_kn_per_m,
)
from bendwright.mechanics.hems import hem_flattening_line_load_band
from bendwright.mechanics.moment_curvature import PLANE_STRAIN

T2 = {"thickness_mm": 2.0, "opening_mm": 16.0, "tensile_mpa": 400.0}
T4 = {"thickness_mm": 4.0, "opening_mm": 32.0, "tensile_mpa": 450.0}


@pytest.mark.parametrize(
    ("formula", "sheet", "expected"),
    [
        (groover_line_load_kn_per_m, T2, 133.0),
        (trade_line_load_kn_per_m, T2, 142.0),
        (oehler_line_load_kn_per_m, T2, 150.0),
        (groover_line_load_kn_per_m, T4, 299.25),
        (trade_line_load_kn_per_m, T4, 319.5),
        (oehler_line_load_kn_per_m, T4, 337.5),
    ],
)
@pytest.mark.origin("derived", "C Rm t^2/V with C 1.33, 1.42, 1 + 4t/V")
def test_formulas(formula, sheet, expected):
    """t 2, V 16, Rm 400 over 1000 mm: 133 000, 142 000, 150 000 N; t 4, V 32, Rm 450: 337 500 N."""
    assert formula(**sheet) == pytest.approx(expected, abs=1e-3)


@pytest.mark.origin("printed", "Kalpakjian and Schmid, quoted: C from 1.2 to 1.33 for V dies, friction excluded")
def test_kalpakjian_band():
    """1.2 x 100 and 1.33 x 100."""
    band = kalpakjian_line_load_band(**T2)
    assert (band.low, band.high) == pytest.approx((120.0, 133.0))


@pytest.mark.origin("memory", "Kalpakjian and Schmid, Manufacturing Engineering and Technology: 1.3 Y L t^2/V")
def test_kalpakjian_by_yield():
    """1.3 x 250 x 4/16 = 81.25."""
    load = kalpakjian_yield_line_load_kn_per_m(thickness_mm=2.0, opening_mm=16.0, yield_mpa=250.0)
    assert load == pytest.approx(81.25)


@pytest.mark.origin("printed", "trade force chart of a machine seller: t 4, V 32, mild steel 45 kgf/mm2 -> 330 kN/m")
def test_one_printed_chart_value_lies_in_the_band():
    """441 MPa: 293 to 331; the chart's 330 lies at the upper end."""
    band = air_bend_line_load_band(thickness_mm=4.0, opening_mm=32.0, tensile_mpa=441.3)
    assert band.low < 330.0 <= band.high * 1.01


@pytest.mark.origin("practice", "US shop rule 575 t^2 L/V: 1/8 in over 1 in, one foot -> 8.98 tons = 79.93 kN")
def test_us_shop_rule():
    """575 x 0.015625 = 8.984 US tons; as a coefficient 1.597 at 60 ksi."""
    load = us_trade_line_load_kn_per_m(thickness_mm=3.175, opening_mm=25.4)
    assert load * 0.3048 == pytest.approx(79.929, abs=0.01)
    same = coefficient_line_load_kn_per_m(thickness_mm=3.175, opening_mm=25.4, tensile_mpa=413.7, coefficient=1.597)
    assert load == pytest.approx(same, rel=0.001)


@pytest.mark.origin("practice", "shop rule: 80 kN per metre and millimetre of thickness at V = 8 t, Rm 450")
def test_eighty_kilonewton_rule():
    """1.42 x 450/8 = 79.9."""
    for t in (1.0, 3.0, 6.0):
        load = trade_line_load_kn_per_m(thickness_mm=t, opening_mm=8.0 * t, tensile_mpa=450.0)
        assert load / t == pytest.approx(80.0, abs=0.2)


@pytest.mark.parametrize(
    ("t", "opening", "low", "high"),
    [
        (1.0, 8.0, 75, 84),
        (1.5, 12.0, 112, 127),
        (2.0, 16.0, 150, 169),
        (3.0, 24.0, 224, 253),
        (4.0, 32.0, 299, 338),
        (5.0, 40.0, 374, 422),
        (6.0, 50.0, 431, 480),
        (8.0, 63.0, 608, 689),
        (10.0, 80.0, 748, 844),
    ],
)
@pytest.mark.origin("derived", "1.33 and 1 + 4t/V times 450 t^2/V, rounded to whole kN/m")
def test_band_for_450_mpa(t, opening, low, high):
    """Nine usual pairs of thickness and opening."""
    band = air_bend_line_load_band(thickness_mm=t, opening_mm=opening, tensile_mpa=450.0)
    assert (band.low, band.high) == pytest.approx((low, high), abs=0.51)


@pytest.mark.origin("derived", "1 + 4t/V = 1.33 at V = 4t/0.33 = 12.12 t")
def test_the_two_formulas_cross():
    """Below 12.1 t Oehler is the upper end, above it Groover."""
    narrow = air_bend_line_load_band(thickness_mm=1.0, opening_mm=12.0, tensile_mpa=400.0)
    wide = air_bend_line_load_band(thickness_mm=1.0, opening_mm=12.3, tensile_mpa=400.0)
    assert narrow.high == oehler_line_load_kn_per_m(thickness_mm=1.0, opening_mm=12.0, tensile_mpa=400.0)
    assert wide.high == groover_line_load_kn_per_m(thickness_mm=1.0, opening_mm=12.3, tensile_mpa=400.0)


@pytest.mark.origin(
    "derived", "thin limit: s = V/(2 cos b), M = 1.1547 Rm t^2/4: F = (4M/V) cos^2 b, 1.155 Rm t^2/V at the start"
)
def test_fully_plastic_moment_explains_the_coefficients():
    """At b -> 0 without friction the line load is 1.155 Rm t^2/V; friction and thickness make 1.2-1.33 of it."""
    moment = PLANE_STRAIN * 400.0 * 2.0**2 / 4.0
    load = moment_line_load_kn_per_m(moment_n=moment, arm_mm=8.0, loaded_turned_deg=0.0)
    assert load / (400.0 * 4.0 / 16.0) == pytest.approx(1.1547, abs=1e-4)
    rubbed = moment_line_load_kn_per_m(moment_n=moment, arm_mm=8.0, loaded_turned_deg=60.0, friction=0.2)
    smooth = moment_line_load_kn_per_m(moment_n=moment, arm_mm=8.0, loaded_turned_deg=60.0)
    assert rubbed / smooth == pytest.approx(1.0 + 0.2 * 0.57735, abs=1e-5)


@pytest.mark.origin("practice", "bottoming 3-5 x, coining 5-10 x, flattening a hem 3-5 x the air-bend load")
def test_other_processes_are_multiples():
    """Never below the air-bend value."""
    air = air_bend_line_load_band(**T2)
    for band, low, high in (
        (bottoming_line_load_band(air_bend=air), 3.0, 5.0),
        (coining_line_load_band(air_bend=air), 5.0, 10.0),
        (hem_flattening_line_load_band(air_bend=air), 3.0, 5.0),
    ):
        assert (band.low, band.high) == pytest.approx((low * air.low, high * air.high))
