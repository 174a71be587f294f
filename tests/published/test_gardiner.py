"""Gardiner, The springback of metals, Trans. ASME 79 (1957): R0/Rf = 4 x^3 - 3 x + 1 (two public codings)."""

import pytest

from bendwright.mechanics.moment_curvature import epp_moment_n
from bendwright.mechanics.springback import curvature_ratio, gardiner_ratio


@pytest.mark.parametrize(
    ("yield_mpa", "modulus", "radius", "thickness", "expected"),
    [
        (275.0, 205e3, 4.75, 3.2, 0.99403),
        (250.0, 210e3, 10.0, 2.0, 0.98214),
        (250.0, 210e3, 50.0, 1.0, 0.82227),
        (205.0, 193e3, 20.0, 1.0, 0.93631),
        (276.0, 69e3, 6.0, 2.0, 0.96401),
    ],
)
@pytest.mark.origin("derived", "the printed cubic worked out separately; first row x = 0.0019912")
def test_ratio(yield_mpa, modulus, radius, thickness, expected):
    """Five materials and radii to five decimals."""
    ratio = gardiner_ratio(radius_mm=radius, thickness_mm=thickness, yield_mpa=yield_mpa, youngs_modulus_mpa=modulus)
    assert ratio == pytest.approx(expected, abs=1e-5)


@pytest.mark.origin("law", "x = 1/2 is the sheet that just stays elastic")
def test_elastic_sheet_springs_flat():
    """4/8 - 3/2 + 1 = 0 at x = 0.5, and 0 from there on."""
    sheet = {"thickness_mm": 1.0, "yield_mpa": 200.0, "youngs_modulus_mpa": 200000.0}
    assert gardiner_ratio(radius_mm=499.999, **sheet) == pytest.approx(0.0, abs=1e-9)
    assert gardiner_ratio(radius_mm=500.0, **sheet) == 0.0
    assert gardiner_ratio(radius_mm=5000.0, **sheet) == 0.0


@pytest.mark.parametrize("radius", [3.0, 6.0, 60.0, 400.0, 900.0])
@pytest.mark.origin("law", "in plane strain the cubic is the exact unloading of the ideally plastic moment")
def test_plane_strain_form_equals_moment_and_unloading(radius):
    """Y -> 2Y/sqrt3, E -> E/(1 - nu^2): same as 1 - 12 M rho/(E' t^3), elastic sheets included."""
    sheet = {"thickness_mm": 2.0, "youngs_modulus_mpa": 210000.0, "poisson": 0.3}
    moment = epp_moment_n(**sheet, curve_radius_mm=radius, yield_mpa=250.0)
    ratio = curvature_ratio(**sheet, moment_n=moment, curve_radius_mm=radius)
    assert gardiner_ratio(radius_mm=radius, yield_mpa=250.0, **sheet) == pytest.approx(ratio, abs=1e-12)
