"""Groover, Fundamentals of Modern Manufacturing, sheet-metal bending: worked example and end-of-chapter problems.

Remembered, every number recomputed. K is 0.33 for R < 2 t and 0.50 from there; force 1.33 TS w t^2/D.
"""

import pytest

from bendwright.mechanics.bend_allowance import groover_k, k_factor_allowance_mm
from bendwright.mechanics.bending_force import groover_line_load_kn_per_m

N_PER_LBF = 4.4482216


@pytest.mark.parametrize(
    ("turned", "radius", "thickness", "k_factor", "expected", "straight", "blank"),
    [
        (60.0, 4.75, 3.2, 0.33, 6.080, 63.0, 69.08),
        (40.0, 8.5, 5.0, 0.33, 7.086, 104.5, 111.59),
        (40.0, 11.35, 5.0, 0.50, 9.6691, 104.5, 114.17),
    ],
)
@pytest.mark.origin("memory", "Groover, worked example (6.08, 69.08) and problems (7.09, 111.59; 9.67, 114.17)")
def test_bend_allowance(turned, radius, thickness, k_factor, expected, straight, blank):
    """2 pi A/360 (R + K t), and the blank with the straight lengths of the problem."""
    assert groover_k(radius_over_thickness=radius / thickness) == k_factor
    allowance = k_factor_allowance_mm(
        inside_radius_mm=radius, thickness_mm=thickness, turned_deg=turned, k_factor=k_factor
    )
    assert allowance == pytest.approx(expected, abs=1e-3)
    assert straight + allowance == pytest.approx(blank, abs=0.01)


@pytest.mark.origin("memory", "Groover, problem: 4.0 in blank, R 3/16, t 5/32, 90 degrees -> legs 1.8122 in")
def test_legs_from_a_blank():
    """BA = 0.3755; two straight legs (4.0 - BA)/2 = 1.8122."""
    allowance = k_factor_allowance_mm(inside_radius_mm=0.1875, thickness_mm=0.15625, turned_deg=90.0, k_factor=0.33)
    assert allowance == pytest.approx(0.3755, abs=1e-4)
    assert (4.0 - allowance) / 2.0 == pytest.approx(1.8122, abs=1e-4)


@pytest.mark.parametrize(
    ("thickness", "width", "opening", "tensile", "newtons", "tolerance"),
    [
        (3.2, 44.5, 25.0, 450.0, 10909.0, 1.0),
        (5.0, 35.0, 40.0, 600.0, 17456.0, 1.0),
        (3.0, 20.0, 15.0, 340.0, 5426.0, 1.0),
    ],
)
@pytest.mark.origin("memory", "Groover, worked example 10 909 N and problems 17 460 N, 5426 N")
def test_force(thickness, width, opening, tensile, newtons, tolerance):
    """1 kN/m is 1 N/mm: line load times width in mm is newtons."""
    load = groover_line_load_kn_per_m(thickness_mm=thickness, opening_mm=opening, tensile_mpa=tensile)
    assert load * width == pytest.approx(newtons, abs=tolerance)


@pytest.mark.origin("memory", "Groover, problem in inches: 5/32 x 1.5 in, D 1.25 in, 70 000 psi -> 2728 lbf")
def test_force_in_inches():
    """1.33 x 70 000 x 1.5 x 0.15625^2/1.25 = 2728 lbf."""
    inch, psi = 25.4, N_PER_LBF / 25.4**2
    load = groover_line_load_kn_per_m(thickness_mm=0.15625 * inch, opening_mm=1.25 * inch, tensile_mpa=70000.0 * psi)
    assert load * 1.5 * inch / N_PER_LBF == pytest.approx(2728.0, abs=1.0)
