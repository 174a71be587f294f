"""Bow of ram and bed: Timoshenko beam on two supports, even load in the middle (closed forms, handbook limits)."""

import pytest

from bendwright.mechanics.beam_deflection import PlateBeam, mid_deflection, sag_at, sag_over_load

PLATE = PlateBeam(span_mm=3000.0, plate_thickness_mm=60.0, plate_height_mm=1200.0)
SHORTER = PlateBeam(span_mm=2600.0, plate_thickness_mm=60.0, plate_height_mm=1200.0)
HEAVY = PlateBeam(span_mm=2550.0, plate_thickness_mm=80.0, plate_height_mm=1100.0)


@pytest.mark.parametrize(
    ("beam", "load", "length", "bending", "shear"),
    [
        (PLATE, 1000.0, 1500.0, 0.0824, 0.0387),
        (SHORTER, 1000.0, 2400.0, 0.1190, 0.0619),
        (HEAVY, 1600.0, 2000.0, 0.1485, 0.0675),
    ],
)
@pytest.mark.origin("derived", "P a^2 (12B - 7a)/(384 EI) + P a/(8 G As), E 210e3, G 80770, As 5/6 b h")
def test_sag_over_the_load(beam, load, length, bending, shear):
    """Three brakes; the shear share is about 30 %."""
    sag = sag_over_load(beam=beam, load_kn=load, loaded_length_mm=length)
    assert (sag.bending_mm, sag.shear_mm) == pytest.approx((bending, shear), abs=0.00006)
    assert 0.28 < sag.shear_mm / sag.total_mm < 0.36


@pytest.mark.origin("derived", "plate 60 x 1200 x 3000, 1 MN over 1500: 0.12104 mm; over 3000: 0.27114 mm")
def test_two_cases_to_five_decimals():
    """At full length the sag is 5PL^3/384EI + PL/8GAs = 0.19378 + 0.07738."""
    assert sag_over_load(beam=PLATE, load_kn=1000.0, loaded_length_mm=1500.0).total_mm == pytest.approx(
        0.12104, abs=1e-4
    )
    full = sag_over_load(beam=PLATE, load_kn=1000.0, loaded_length_mm=3000.0)
    assert full.total_mm == pytest.approx(0.27114, abs=1e-4)
    assert full == mid_deflection(beam=PLATE, load_kn=1000.0, loaded_length_mm=3000.0)


@pytest.mark.origin("derived", "P (8B^3 - 4a^2 B + a^3)/(384 EI) + P (B - a/2)/(4 G As)")
def test_mid_deflection():
    """0.2761 + 0.1161 mm for 1500 loaded; 0.3279 in all for the heavier plate."""
    bow = mid_deflection(beam=PLATE, load_kn=1000.0, loaded_length_mm=1500.0)
    assert (bow.bending_mm, bow.shear_mm) == pytest.approx((0.2761, 0.1161), abs=0.00006)
    assert mid_deflection(beam=HEAVY, load_kn=1600.0, loaded_length_mm=2000.0).total_mm == pytest.approx(
        0.3279, abs=6e-5
    )


@pytest.mark.origin("printed", "handbook limits: 5PB^3/384EI + PB/8GAs at a = B, PB^3/48EI + PB/4GAs at a -> 0")
def test_handbook_limits():
    """An even load over the whole span and a single load in the middle."""
    P, B = 1e6, 3000.0
    bending, shear = PLATE.bending_stiffness_n_mm2, PLATE.shear_stiffness_n
    full = mid_deflection(beam=PLATE, load_kn=1000.0, loaded_length_mm=B)
    assert full.bending_mm == pytest.approx(5.0 * P * B**3 / (384.0 * bending), rel=1e-12)
    assert full.shear_mm == pytest.approx(P * B / (8.0 * shear), rel=1e-12)
    point = mid_deflection(beam=PLATE, load_kn=1000.0, loaded_length_mm=1e-6)
    assert point.bending_mm == pytest.approx(P * B**3 / (48.0 * bending), rel=1e-9)
    assert point.shear_mm == pytest.approx(P * B / (4.0 * shear), rel=1e-9)


@pytest.mark.origin("law", "at the ends of the load the shape is the whole sag, in the middle 0, and it is symmetric")
def test_shape():
    """Zero load bows nothing."""
    case = {"beam": PLATE, "load_kn": 1000.0, "loaded_length_mm": 1500.0}
    whole = sag_over_load(**case)
    for end in (-750.0, 750.0):
        shape = sag_at(**case, from_middle_mm=end)
        assert (shape.bending_mm, shape.shear_mm) == pytest.approx((whole.bending_mm, whole.shear_mm), rel=1e-12)
    assert sag_at(**case, from_middle_mm=0.0).total_mm == 0.0
    assert sag_over_load(beam=PLATE, load_kn=0.0, loaded_length_mm=1500.0).total_mm == 0.0
