"""A university exam with printed solution, after Marciniak, Duncan and Hu, Mechanics of Sheet Metal Forming, ch. 6.

Aluminium strip 1.2 x 40 mm, Y 250, E 70e3, nu 0.3, rolled to a closed tube of 40 mm circumference, then let go.
"""

from math import pi, radians, sin

import pytest

from bendwright.mechanics.moment_curvature import PLANE_STRAIN, plane_strain_modulus_mpa
from bendwright.mechanics.springback import gardiner_ratio, marciniak_ratio

FLOW = PLANE_STRAIN * 250.0
MODULUS = plane_strain_modulus_mpa(youngs_modulus_mpa=70000.0, poisson=0.3)
RADIUS = 40.0 / (2.0 * pi)
RATIO = marciniak_ratio(curve_radius_mm=RADIUS, thickness_mm=1.2, flow_mpa=FLOW, modulus_mpa=MODULUS)


@pytest.mark.origin("printed", "exam solution: E' 76.92 GPa, S 288.68 MPa, S/E' 0.003753, rho0 6.366")
def test_intermediate_values():
    """The plane-strain numbers of the solution."""
    assert pytest.approx(76920.0, abs=10.0) == MODULUS
    assert pytest.approx(288.68, abs=0.01) == FLOW
    assert pytest.approx(0.003753, abs=1e-6) == FLOW / MODULUS
    assert pytest.approx(6.366, abs=0.001) == RADIUS


@pytest.mark.origin("printed", "exam solution: opens 21.5 degrees, radius after 6.771, gap 2.53 mm")
def test_opening_radius_and_gap():
    """360 x 3 S/E' rho/t; the gap is the chord over the missing angle."""
    opens = 360.0 * (1.0 - RATIO)
    after = RADIUS / RATIO
    assert opens == pytest.approx(21.5, abs=0.05)
    assert after == pytest.approx(6.771, abs=0.001)
    assert 2.0 * after * sin(radians(opens) / 2.0) == pytest.approx(2.53, abs=0.01)


@pytest.mark.origin("law", "the printed formula is Gardiner's cubic without its cubic term 4 x^3")
def test_against_gardiner():
    """x = 0.0199: the cubic term is 3.2e-5."""
    sheet = {"thickness_mm": 1.2, "yield_mpa": 250.0, "youngs_modulus_mpa": 70000.0, "poisson": 0.3}
    exact = gardiner_ratio(radius_mm=RADIUS, **sheet)
    x = RADIUS * FLOW / (MODULUS * 1.2)
    assert exact - RATIO == pytest.approx(4.0 * x**3, rel=1e-6)
