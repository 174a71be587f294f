"""FAA texts: AC 43.13-1B bend allowance, and the U-channel example of FAA-H-8083-31 (page 230). Inches."""

import pytest

from bendwright.mechanics.bend_allowance import aircraft_allowance_mm, k_of_allowance, setback_mm


@pytest.mark.origin("derived", "printed formula (0.01743 R + 0.0078 T) A with R 0.16, T 0.04, A 90")
def test_bend_allowance():
    """(0.0027888 + 0.000312) x 90 = 0.2791."""
    value = aircraft_allowance_mm(inside_radius_mm=0.16, thickness_mm=0.04, turned_deg=90.0)
    assert value == pytest.approx(0.2791, abs=1e-4)


@pytest.mark.origin("printed", "FAA-H-8083-31, U-channel example: SB 0.2; flats 0.8, 1.6, 0.8")
def test_setback_and_flats_of_the_u_channel():
    """Channel 1.0 x 2.0 x 1.0 outside: flats are the legs less the set-backs."""
    setback = setback_mm(inside_radius_mm=0.16, thickness_mm=0.04, turned_deg=90.0, measured_to="mould_line")
    assert setback == pytest.approx(0.2, abs=1e-9)
    assert (1.0 - setback, 2.0 - 2.0 * setback) == pytest.approx((0.8, 1.6), abs=1e-9)


@pytest.mark.origin("derived", "0.0078 x 180/pi = 0.447")
def test_equivalent_k_factor():
    """0.0078 per degree is K = 0.4469; 0.01743 instead of 0.0174533 takes 0.0013 r/t off."""
    allowance = aircraft_allowance_mm(inside_radius_mm=0.0, thickness_mm=1.0, turned_deg=90.0)
    k_factor = k_of_allowance(bend_allowance_mm=allowance, inside_radius_mm=0.0, thickness_mm=1.0, turned_deg=90.0)
    assert k_factor == pytest.approx(0.447, abs=0.0005)
