"""Machinery's Handbook, sheet-metal bending: L = (c T + 1.57 R) A/90, constants after bench experiments.

Formula and constants were read in a public program made from the handbook; example 1 is remembered and recomputed.
All lengths in inches.
"""

import pytest

from bendwright.mechanics.bend_allowance import HANDBOOK_C, handbook_allowance_mm, k_of_allowance


@pytest.mark.origin("printed", "manual page of a public bend program after the handbook: prints 0.276 in")
def test_soft_steel_90():
    """0.64 x 0.125 + 1.57 x 0.125 = 0.27625."""
    value = handbook_allowance_mm(inside_radius_mm=0.125, thickness_mm=0.125, turned_deg=90.0, c=0.64)
    assert value == pytest.approx(0.2763, abs=1e-4)


@pytest.mark.parametrize(("radius", "turned", "expected"), [(0.375, 180.0, 1.3375), (0.625, 60.0, 0.7075)])
@pytest.mark.origin("memory", "Machinery's Handbook, example 1 (prints 1.338 and 0.707), recomputed")
def test_example_1_bends(radius, turned, expected):
    """(0.08 + 1.57 R) A/90."""
    value = handbook_allowance_mm(inside_radius_mm=radius, thickness_mm=0.125, turned_deg=turned, c=0.64)
    assert value == pytest.approx(expected, abs=1e-4)


@pytest.mark.origin("memory", "Machinery's Handbook, example 1 (prints 5.545 in)")
def test_example_1_length():
    """3.5 straight + 1.3375 + 0.7075 = 5.545."""
    bends = ((0.375, 180.0), (0.625, 60.0))
    arcs = (handbook_allowance_mm(inside_radius_mm=r, thickness_mm=0.125, turned_deg=a, c=0.64) for r, a in bends)
    assert 3.5 + sum(arcs) == pytest.approx(5.545, abs=0.0005)


@pytest.mark.parametrize(("hardness", "k_factor"), [("soft", 0.3501), ("medium", 0.4074), ("hard", 0.4520)])
@pytest.mark.origin("derived", "K = 2 c/pi; 1.57 for pi/2 moves it by 0.0008 r/t")
def test_equivalent_k_factor(hardness, k_factor):
    """c T over 90 degrees is pi/2 K T."""
    allowance = handbook_allowance_mm(inside_radius_mm=0.0, thickness_mm=1.0, turned_deg=90.0, c=HANDBOOK_C[hardness])
    back = k_of_allowance(bend_allowance_mm=allowance, inside_radius_mm=0.0, thickness_mm=1.0, turned_deg=90.0)
    assert back == pytest.approx(k_factor, abs=1e-4)


@pytest.mark.origin("law", "both terms scale with the angle")
def test_both_terms_scale_with_the_angle():
    """A public script scales the radius term alone; here twice the angle takes twice the sheet."""
    sizes = {"inside_radius_mm": 0.2, "thickness_mm": 0.1, "c": 0.55}
    half, whole = (handbook_allowance_mm(**sizes, turned_deg=turned) for turned in (45.0, 90.0))
    assert whole == pytest.approx(2.0 * half, rel=1e-12)
