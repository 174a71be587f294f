"""Table of springback factors kR of a metal-trade table book (values read in a stored copy, column heads remembered).

kR = workpiece angle/tool angle over r2/s, bending over a former. The yields that fit show mixed tempers (the stainless
row is spring-hard), so the table is held as a trend only: falling factor, within 0.03 of a one-yield sheet.
"""

import pytest

from bendwright.mechanics.springback import former_ratio

HEADS = (1.0, 1.6, 2.5, 4.0, 6.3, 10.0, 16.0, 25.0, 40.0, 63.0, 100.0)
ROWS = [
    ("DC01", 210e3, 322.0, (0.99, 0.99, 0.99, 0.97, 0.96, 0.96, 0.93, 0.90, 0.85, 0.77, 0.66)),
    ("X12CrNi18-8", 200e3, 825.0, (0.99, 0.98, 0.97, 0.95, 0.93, 0.89, 0.84, 0.76, 0.63, None, None)),
    ("CuNi18Zn20", 130e3, 246.0, (None, None, None, 0.97, 0.96, 0.95, 0.92, 0.87, 0.82, 0.72, None)),
]


@pytest.mark.parametrize(("name", "modulus", "yield_mpa", "factors"), ROWS)
@pytest.mark.origin("printed", "metal-trade table book, springback factor kR; yields fitted, one per row")
def test_trend(name, modulus, yield_mpa, factors):
    """Printed to 0.01; a single yield per row stays within 0.03 of every value."""
    for ratio, printed in zip(HEADS, factors, strict=True):
        if printed is None:
            continue
        factor = former_ratio(
            finished_radius_mm=ratio, thickness_mm=1.0, yield_mpa=yield_mpa, youngs_modulus_mpa=modulus, poisson=0.3
        )
        assert factor == pytest.approx(printed, abs=0.03)


@pytest.mark.origin("law", "larger radius, more springback; kR between 0 and 1")
def test_factor_falls_with_the_radius():
    """Falls over all heads, and a stronger sheet springs more at each of them."""
    sheet = {"thickness_mm": 1.0, "youngs_modulus_mpa": 210e3, "poisson": 0.3}
    soft, hard = (
        [former_ratio(finished_radius_mm=head, yield_mpa=strength, **sheet) for head in HEADS]
        for strength in (200.0, 400.0)
    )
    assert soft == sorted(soft, reverse=True)
    assert all(0.0 < b < a < 1.0 for a, b in zip(soft, hard, strict=True))
