"""Laws every bending model must keep, whatever its numbers: signs, monotony, scaling, limits, round trips."""

from math import pi

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from bendwright.findings import OutOfRangeError
from bendwright.mechanics.beam_deflection import PlateBeam, mid_deflection, sag_over_load
from bendwright.mechanics.bend_allowance import (
    aircraft_allowance_mm,
    deduction_mm,
    din_6935_deduction_mm,
    din_6935_k,
    handbook_allowance_mm,
    hill_k,
    k_factor_allowance_mm,
    k_of_allowance,
    setback_mm,
)
from bendwright.mechanics.bending_force import (
    air_bend_line_load_band,
    groover_line_load_kn_per_m,
    oehler_line_load_kn_per_m,
    trade_line_load_kn_per_m,
    us_trade_line_load_kn_per_m,
)
from bendwright.mechanics.hems import hem_deduction_mm
from bendwright.mechanics.loads import off_centre_shares
from bendwright.mechanics.minimum_flange import minimum_flange_exact_mm, minimum_flange_mm
from bendwright.mechanics.moment_curvature import FlowCurve, epp_moment_n, hardening_moment_n
from bendwright.mechanics.ram_depth import mm_per_degree, ram_depth_mm, sharp_depth_mm
from bendwright.mechanics.springback import air_bend_springback_deg, former_ratio, gardiner_ratio

thicknesses = st.floats(0.3, 20.0)
ratios = st.floats(0.05, 30.0)
turneds = st.floats(1.0, 179.0)
ks = st.floats(0.0, 1.0)
strengths = st.floats(50.0, 1500.0)
FORMULAS = (
    groover_line_load_kn_per_m,
    trade_line_load_kn_per_m,
    oehler_line_load_kn_per_m,
    us_trade_line_load_kn_per_m,
)


@given(thicknesses, ratios, turneds, ks)
@pytest.mark.origin("law", "2 tan(x/2) >= x and R + t >= R + K t")
def test_deduction_to_the_mould_line_is_positive(t, ratio, turned, k_factor):
    """BD > 0 for every K up to 1 and every angle; it grows with the angle and vanishes with it."""
    sizes = {"inside_radius_mm": ratio * t, "thickness_mm": t}

    def deduction(at_deg):
        allowance = k_factor_allowance_mm(**sizes, turned_deg=at_deg, k_factor=k_factor)
        setback = setback_mm(**sizes, turned_deg=at_deg, measured_to="mould_line")
        return deduction_mm(setback_mm=setback, bend_allowance_mm=allowance)

    assert deduction(turned) > 0.0
    assert deduction(turned) >= deduction(0.5 * turned)
    assert deduction(1e-6) == pytest.approx(0.0, abs=1e-6 * t * (1.0 + ratio))


@given(thicknesses, ratios, turneds, st.floats(0.1, 50.0))
@pytest.mark.origin("law", "lengths have no unit of their own: all sizes x s gives all lengths x s")
def test_lengths_scale(t, ratio, turned, scale):
    """K rule, DIN, handbook and aircraft formula in any unit of length."""

    def lengths(unit):
        sizes = {"inside_radius_mm": ratio * t * unit, "thickness_mm": t * unit}
        return (
            k_factor_allowance_mm(**sizes, turned_deg=turned, k_factor=0.4),
            din_6935_deduction_mm(**sizes, included_deg=180.0 - turned),
            handbook_allowance_mm(**sizes, turned_deg=turned, c=0.64),
            aircraft_allowance_mm(**sizes, turned_deg=turned),
            setback_mm(**sizes, turned_deg=turned, measured_to="outer_tangent"),
        )

    scaled = [scale * length for length in lengths(1.0)]
    assert lengths(scale) == pytest.approx(scaled, rel=1e-9, abs=1e-9 * scale * t * (1.0 + ratio))


@given(thicknesses, ratios, ratios)
@example(t=1.0, one=0.05, other=0.05000000000000001)
@pytest.mark.origin("law", "both K rules rise with r/t and end at half the thickness")
def test_k_rises_with_the_radius(t, one, other):
    """DIN k within 0..1, Hill's K below 0.5."""
    small, large = sorted((one, other))
    k_small, k_large = (din_6935_k(inside_radius_mm=x * t, thickness_mm=t) for x in (small, large))
    assert 0.0 <= k_small <= k_large <= 1.0
    assert 0.0 < hill_k(radius_over_thickness=small) <= hill_k(radius_over_thickness=large) < 0.5


@given(thicknesses, ratios, turneds, ks)
@pytest.mark.origin("law", "round trip")
def test_k_comes_back_from_its_allowance(t, ratio, turned, k_factor):
    """K -> BA -> K."""
    sizes = {"inside_radius_mm": ratio * t, "thickness_mm": t, "turned_deg": turned}
    allowance = k_factor_allowance_mm(**sizes, k_factor=k_factor)
    assert k_of_allowance(bend_allowance_mm=allowance, **sizes) == pytest.approx(k_factor, abs=1e-9)


@given(thicknesses, st.floats(4.0, 20.0), strengths)
@pytest.mark.origin("law", "F ~ Rm t^2/V; the band holds its own two formulas")
def test_force_scales(t, v_over_t, tensile):
    """Strength and size by proportion; at a fixed opening twice the thickness takes four times the load."""
    opening = v_over_t * t
    for formula in FORMULAS:
        load = formula(thickness_mm=t, opening_mm=opening, tensile_mpa=tensile)
        assert formula(thickness_mm=t, opening_mm=opening, tensile_mpa=1.5 * tensile) == pytest.approx(1.5 * load)
        assert formula(thickness_mm=2 * t, opening_mm=2 * opening, tensile_mpa=tensile) == pytest.approx(2.0 * load)
        assert formula(thickness_mm=t, opening_mm=2 * opening, tensile_mpa=tensile) < 0.51 * load
    load = groover_line_load_kn_per_m(thickness_mm=t, opening_mm=opening, tensile_mpa=tensile)
    twice = groover_line_load_kn_per_m(thickness_mm=2.0 * t, opening_mm=opening, tensile_mpa=tensile)
    assert twice == pytest.approx(4.0 * load)
    band = air_bend_line_load_band(thickness_mm=t, opening_mm=opening, tensile_mpa=tensile)
    assert band.low <= load <= band.high


@given(thicknesses, st.floats(6.0, 16.0), st.floats(0.5, 2.0), st.floats(5.0, 100.0))
@pytest.mark.origin("law", "deeper closes; thin and sharp is the limit of the flange with radii")
def test_depth_and_flange(t, v_over_t, radius_over_t, turned):
    """Depth rises with the turned angle; without radii and thickness the flange is V/(2 sin(included/2))."""
    sizes = {
        "half_centre_mm": v_over_t * t / 2.0,
        "inside_radius_mm": radius_over_t * t,
        "thickness_mm": t,
        "shoulder_radius_mm": 0.5 * t,
    }
    try:
        depth = ram_depth_mm(loaded_turned_deg=turned, **sizes)
    except OutOfRangeError:
        assume(False)
    assert 0.0 < ram_depth_mm(loaded_turned_deg=0.9 * turned, **sizes) < depth
    assert mm_per_degree(loaded_turned_deg=turned, **sizes) >= 0.0
    thin = {"half_centre_mm": 8.0, "inside_radius_mm": 0.0, "thickness_mm": 1e-9, "shoulder_radius_mm": 0.0}
    exact = minimum_flange_exact_mm(loaded_turned_deg=turned, **thin)
    assert exact == pytest.approx(minimum_flange_mm(opening_mm=16.0, included_deg=180.0 - turned), rel=1e-6)
    assert sharp_depth_mm(included_deg=180.0 - turned, opening_mm=v_over_t * t, thickness_mm=t) > -t


@given(thicknesses, st.floats(1.0, 400.0), strengths, st.floats(0.0, 0.4))
@pytest.mark.origin("law", "elastic moment <= moment <= fully plastic moment")
def test_moment_bounds(t, radius_over_t, yield_mpa, poisson):
    """The ideally plastic moment lies below both ends; hardening from the same yield never lowers it."""
    sheet = {"thickness_mm": t, "curve_radius_mm": radius_over_t * t, "youngs_modulus_mpa": 2e5, "poisson": poisson}
    moment = epp_moment_n(**sheet, yield_mpa=yield_mpa)
    plastic = 2.0 / 3.0**0.5 * yield_mpa * t**2 / 4.0
    elastic = 2e5 / (1.0 - poisson**2) * t**3 / (12.0 * radius_over_t * t)
    assert 0.0 < moment <= min(plastic, elastic) * (1.0 + 1e-9)
    harder = FlowCurve(law="voce", k_mpa=1.5 * yield_mpa, e0_or_b=10.0, yield_mpa=yield_mpa)
    assert hardening_moment_n(**sheet, curve=harder) >= moment * (1.0 - 1e-4)


@given(thicknesses, st.floats(0.5, 30.0), st.floats(10.0, 150.0), strengths, st.floats(0.0, 20.0))
@pytest.mark.origin("law", "springback grows with angle, strength and arm, falls with the modulus")
def test_springback_directions(t, radius_over_t, turned, yield_mpa, arm_over_t):
    """Ideally plastic air bend; the size of the bend does not matter, only its proportions."""
    base = {
        "thickness_mm": t,
        "inside_radius_mm": radius_over_t * t,
        "turned_deg": turned,
        "youngs_modulus_mpa": 2e5,
        "poisson": 0.3,
        "yield_mpa": yield_mpa,
        "leg_arm_mm": arm_over_t * t,
    }
    spring = air_bend_springback_deg(**base)
    assert spring > 0.0
    for name, factor in (("turned_deg", 1.01), ("yield_mpa", 1.01), ("leg_arm_mm", 1.01), ("youngs_modulus_mpa", 0.99)):
        assert air_bend_springback_deg(**{**base, name: factor * base[name]}) >= spring - 1e-12
    scaled = {name: 3.0 * base[name] for name in ("thickness_mm", "inside_radius_mm", "leg_arm_mm")}
    assert air_bend_springback_deg(**{**base, **scaled}) == pytest.approx(spring, rel=1e-9)


@given(st.floats(0.5, 100.0), strengths)
@pytest.mark.origin("law", "the tool radius found gives the wanted radius back")
def test_former_ratio_is_consistent(radius_over_t, yield_mpa):
    """kR is the Gardiner ratio of its own tool radius."""
    sheet = {"thickness_mm": 1.0, "yield_mpa": yield_mpa, "youngs_modulus_mpa": 2e5, "poisson": 0.3}
    factor = former_ratio(finished_radius_mm=radius_over_t, **sheet)
    assert gardiner_ratio(radius_mm=factor * (radius_over_t + 0.5), **sheet) == pytest.approx(factor, abs=1e-9)


@given(st.floats(0.0, 3000.0), st.floats(-1.0, 1.0), st.floats(500.0, 5000.0))
@pytest.mark.origin("law", "statics: shares add up, mirror images swap them")
def test_off_centre_shares(force, place, distance):
    """Sum is the force, no share is negative."""
    case = {"force_kn": force, "cylinder_distance_mm": distance}
    left, right = off_centre_shares(**case, eccentricity_mm=place * distance / 2.0)
    assert left + right == pytest.approx(force)
    assert min(left, right) >= 0.0
    assert off_centre_shares(**case, eccentricity_mm=-place * distance / 2.0) == pytest.approx((right, left))


@given(st.floats(500.0, 5000.0), st.floats(0.01, 1.0), st.floats(1.0, 3000.0))
@pytest.mark.origin("law", "the sag over the load is a part of the whole bow; both are linear in the load")
def test_beam(span, share, load):
    """0 < sag <= bow, twice the load bows twice."""
    beam = PlateBeam(span_mm=span, plate_thickness_mm=60.0, plate_height_mm=1000.0)
    case = {"beam": beam, "loaded_length_mm": share * span}
    sag, bow = sag_over_load(**case, load_kn=load), mid_deflection(**case, load_kn=load)
    assert 0.0 < sag.total_mm <= bow.total_mm * (1.0 + 1e-12)
    assert sag_over_load(**case, load_kn=2.0 * load).total_mm == pytest.approx(2.0 * sag.total_mm)


@given(thicknesses, st.floats(0.05, 3.0), ks)
@pytest.mark.origin("law", "a closed hem is the open hem without gap; each mm of radius takes (pi - 2) mm more sheet")
def test_hems(t, gap_over_t, k_factor):
    """Linear in the gap."""
    closed = hem_deduction_mm(kind="closed", thickness_mm=t, k_factor=k_factor)
    opened = hem_deduction_mm(kind="open", thickness_mm=t, k_factor=k_factor, gap_mm=gap_over_t * t)
    assert closed - opened == pytest.approx((pi - 2.0) * gap_over_t * t / 2.0, rel=1e-9)
