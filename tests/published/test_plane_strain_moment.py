"""Plane-strain moment and springback of the arc: a table computed by other code, twice, from the same equations.

E 210e3, nu 0.3; moment per mm of width [N], curvature ratio after/before, springback of a 90 degree arc.
"""

import pytest

from bendwright.mechanics.moment_curvature import FlowCurve, epp_moment_n, hardening_moment_n, hosford_caddell_moment_n
from bendwright.mechanics.springback import (
    air_bend_springback_deg,
    arc_springback_deg,
    curvature_ratio,
    hosford_caddell_change,
    leg_springback_deg,
)

STEEL = {"youngs_modulus_mpa": 210000.0, "poisson": 0.3}
DC = {"law": "swift", "k_mpa": 525.0, "e0_or_b": 0.0037, "n": 0.186, "yield_mpa": 200.0}
S355 = {"law": "swift", "k_mpa": 710.0, "e0_or_b": 0.0100, "n": 0.123, "yield_mpa": 410.0}
IDEAL = {"yield_mpa": 250.0}

TABLE = [
    (IDEAL, 2.0, 5.0, 288.67, 0.98874, 1.013),
    (IDEAL, 3.0, 30.0, 649.37, 0.96060, 3.546),
    (DC, 1.0, 1.0, 116.25, 0.99093, 0.816),
    (DC, 2.0, 2.6, 449.65, 0.98948, 0.947),
    (DC, 3.0, 30.0, 736.67, 0.95531, 4.022),
    (S355, 2.0, 2.6, 674.69, 0.98421, 1.421),
    (S355, 6.0, 8.0, 6059.1, 0.98395, 1.444),
]


@pytest.mark.parametrize(("sheet", "t", "ri", "moment", "ratio", "springback"), TABLE)
@pytest.mark.origin("derived", "code-verification table, computed twice by other code from the same equations")
def test_arc(sheet, t, ri, moment, ratio, springback):
    """Moment, curvature ratio and arc springback."""
    sizes = {"thickness_mm": t, "curve_radius_mm": ri + t / 2.0}
    if "law" in sheet:
        found = hardening_moment_n(**sizes, **STEEL, curve=FlowCurve(**sheet))
    else:
        found = epp_moment_n(**sizes, **STEEL, **sheet)
    assert found == pytest.approx(moment, rel=3e-5)
    assert curvature_ratio(**sizes, **STEEL, moment_n=found) == pytest.approx(ratio, abs=1.1e-5)
    bend = {"thickness_mm": t, "inside_radius_mm": ri, "turned_deg": 90.0}
    assert arc_springback_deg(**bend, **STEEL, moment_n=found) == pytest.approx(springback, abs=0.001)
    assert air_bend_springback_deg(**bend, **STEEL, **sheet, leg_arm_mm=0.0) == pytest.approx(springback, abs=0.001)


@pytest.mark.origin(
    "derived", "Hosford and Caddell closed form: 6/2.2 x K'/E' x (t/2 rho)^0.2 x rho/t, no elastic core"
)
def test_hollomon_closed_form():
    """Hollomon 500/0.2, t 2, rho 6: M 377.49, springback share 0.014722, 1.325 degrees of 90."""
    sizes = {"thickness_mm": 2.0, "curve_radius_mm": 6.0, "k_mpa": 500.0, "n": 0.2}
    assert hosford_caddell_moment_n(**sizes) == pytest.approx(377.49, abs=0.01)
    change = hosford_caddell_change(**sizes, **STEEL)
    assert change == pytest.approx(0.014722, abs=1e-6)
    assert 90.0 * change == pytest.approx(1.325, abs=0.001)
    printed_form = 6.0 / 2.2 * 500.0 * (4.0 / 3.0) ** 0.6 / (210000.0 / 0.91) * (1.0 / 6.0) ** 0.2 * 6.0 / 2.0
    assert change == pytest.approx(printed_form, rel=1e-12)


@pytest.mark.origin("law", "a power law without elastic core is the limit of a stiff sheet")
def test_numerical_hollomon_tends_to_the_closed_form():
    """With a modulus ten thousand times as high the elastic strain vanishes."""
    sizes = {"thickness_mm": 2.0, "curve_radius_mm": 6.0}
    stiff = hardening_moment_n(
        **sizes, youngs_modulus_mpa=2.1e9, poisson=0.3, curve=FlowCurve(law="hollomon", k_mpa=500.0, n=0.2)
    )
    assert stiff == pytest.approx(hosford_caddell_moment_n(**sizes, k_mpa=500.0, n=0.2), rel=3e-4)


@pytest.mark.origin("law", "no hardening: every flow curve is the ideally plastic sheet")
def test_flow_curves_without_hardening_are_ideally_plastic():
    """Swift n = 0, Voce Rsat = Rp, at small and at large radius."""
    for radius in (4.0, 40.0, 400.0):
        sizes = {"thickness_mm": 2.0, "curve_radius_mm": radius, **STEEL}
        ideal = epp_moment_n(**sizes, yield_mpa=250.0)
        swift = FlowCurve(law="swift", k_mpa=250.0, e0_or_b=0.01, n=0.0)
        voce = FlowCurve(law="voce", k_mpa=250.0, e0_or_b=20.0, yield_mpa=250.0)
        for curve in (swift, voce):
            assert hardening_moment_n(**sizes, curve=curve) == pytest.approx(ideal, rel=1e-6)


@pytest.mark.origin("derived", "6 M s/(E' t^3) = 6 x 450 x 5.9/(230769 x 8) = 0.00863 rad")
def test_leg_springback():
    """0.49 degrees a leg: the legs of an air bend double the arc's springback."""
    leg = leg_springback_deg(moment_n=450.0, thickness_mm=2.0, leg_arm_mm=5.9, **STEEL)
    assert leg == pytest.approx(0.494, abs=0.001)
    whole = air_bend_springback_deg(
        thickness_mm=2.0, inside_radius_mm=2.6, turned_deg=90.0, **STEEL, **DC, leg_arm_mm=5.9
    )
    assert whole == pytest.approx(1.93, abs=0.01)


@pytest.mark.origin("derived", "Voce: Rsat - (Rsat - Rp) exp(-b e): 282 - 132 exp(-2.03) = 264.66 at e 0.1")
def test_voce_curve():
    """5754-like: Rp 150, Rsat 282, b 20.3; the yield stands at e = 0."""
    curve = FlowCurve(law="voce", k_mpa=282.0, e0_or_b=20.3, yield_mpa=150.0)
    assert curve.stress_mpa(plastic_strain=0.0) == pytest.approx(150.0)
    assert curve.stress_mpa(plastic_strain=0.1) == pytest.approx(264.66, abs=0.01)


@pytest.mark.origin("derived", "S = 2 x 100/sqrt3 = 115.47; Me = S t^2/6 = 27.71, Mp = S t^2/4 = 41.57 N for t 1.2")
def test_first_yield_and_full_plasticity():
    """A public notebook prints 20.8 and 31.2 here: it multiplies by sqrt3/2 instead of 2/sqrt3."""
    modulus = 210000.0 / 0.91
    sheet = {"thickness_mm": 1.2, "yield_mpa": 100.0, **STEEL}
    first_yield_radius = modulus * 0.6 / 115.470
    assert 1.0 / first_yield_radius == pytest.approx(8.34e-4, abs=1e-6)
    assert epp_moment_n(**sheet, curve_radius_mm=first_yield_radius) == pytest.approx(27.71, abs=0.01)
    assert epp_moment_n(**sheet, curve_radius_mm=1.0) == pytest.approx(41.57, abs=0.01)
