"""From three angles of test bends to the bow of a brake, and from a correction to what is turned at it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bendwright.findings import InputError, OutOfRangeError
from bendwright.mechanics.beam_deflection import PlateBeam, sag_over_load
from bendwright.quantities import Band
from bendwright.shop.brake_bow import CrownDevice
from bendwright.shop.read import built_in_shop
from bendwright.stroke.crown import crown_of_stroke
from bendwright.trial.bow_calibration import TestBend, bow_expected_deg, calibrate
from bendwright.trial.corrections import correct
from bendwright.trial.crown_setting import brake_change
from bendwright.trial.readings import BendAim, FirstPiece, Job, Reading

BRAKES = built_in_shop().brakes
LONG, SHORT, UNKNOWN = BRAKES["M1"], BRAKES["M2"], BRAKES["M3"]
DAY = {"date": "2026-11-25"}
ONE_BEAM = {"shear_share": 0.3, "supports_mm": (250.0, 3850.0)}


def bend(left, centre, right, name="t1", *, load=240.0, at=(550.0, 3550.0), per_degree=0.08, crown=0.0):
    """A test bend."""
    return TestBend(
        reading=Reading(bend_id=name, left_deg=left, centre_deg=centre, right_deg=right),
        line_load_kn_per_m=load,
        bend_mm=at,
        mm_per_degree=per_degree,
        crown_set_mm=crown,
    )


@pytest.mark.origin("derived", "(91.6 - (90.0 + 90.2)/2) x 0.08 = 0.12 mm at 240 kN/m from 550 to 3550")
def test_one_reading_of_an_unknown_brake() -> None:
    """The sag is that of the reading; half the load bows half as much; the next run on this bend reads the same."""
    done = calibrate(UNKNOWN, [bend(90.0, 91.6, 90.2)], **DAY, **ONE_BEAM)
    found = done.calibration
    assert found.sag_mm == pytest.approx(0.12)
    assert (found.date, found.line_load_kn_per_m, found.load_mm) == ("2026-11-25", 240.0, (550.0, 3550.0))
    assert (found.shear_share, found.supports_mm, found.readings, found.spread_mm) == (0.3, (250.0, 3850.0), 1, None)
    assert done.residuals_deg == pytest.approx((0.0,), abs=1e-9)
    known = replace(UNKNOWN, bow_calibration=found)
    again = crown_of_stroke(known, Band(120.0, 240.0), [(550.0, 3550.0)], 0.08)
    assert (again.needed_mm.low, again.needed_mm.high) == pytest.approx((0.06, 0.12))
    assert bow_expected_deg(known, bend(0.0, 0.0, 0.0)) == pytest.approx(1.5, abs=0.1)
    assert bow_expected_deg(UNKNOWN, bend(0.0, 0.0, 0.0)) is None


@pytest.mark.origin("derived", "a^3 (12B - 7a) for bending and a^2 for shear under one line load, B 3600, 3000 -> 1500")
def test_carried_over_to_another_length() -> None:
    """0.12 x (0.7 x (1/8)(43200 - 10500)/(43200 - 21000) + 0.3/4) = 0.02447 mm for half the length."""
    done = calibrate(UNKNOWN, [bend(90.0, 91.6, 90.2)], **DAY, **ONE_BEAM)
    known = replace(UNKNOWN, bow_calibration=done.calibration)
    half = crown_of_stroke(known, Band(240.0, 240.0), [(1300.0, 2800.0)], 0.08)
    assert half.needed_mm.low == pytest.approx(0.12 * (0.7 * 32700 / 22200 / 8 + 0.3 / 4), rel=1e-6)


@pytest.mark.origin(
    "derived", "readings made from plates 1.25 times as soft as the file says, one with the crown at 0.2 mm"
)
def test_known_plates_are_scaled() -> None:
    """Two lengths, two loads, one with crown: one ratio fits both, and the longest of them is written down."""
    plates = [
        PlateBeam(span_mm=2600.0, plate_thickness_mm=b, plate_height_mm=h, shear_modulus_mpa=210000 / 2.6)
        for b, h in ((70.0, 1050.0), (80.0, 1150.0))
    ]

    def sag(length, load):
        force = load * length / 1000
        return 1.25 * sum(sag_over_load(beam=p, load_kn=force, loaded_length_mm=length).total_mm for p in plates)

    long = 90.0 + (sag(2400.0, 300.0) - 0.2 * (2400 / 3000) ** 2) / 0.08
    tests = [
        bend(90.0, long, 90.0, "t1", load=300.0, at=(350.0, 2750.0), crown=0.2),
        bend(90.3, 90.2 + sag(1800.0, 500.0) / 0.1, 90.1, "t2", load=500.0, at=(650.0, 2450.0), per_degree=0.1),
    ]
    done = calibrate(LONG, tests, **DAY)
    assert done.calibration.sag_mm == pytest.approx(sag(2400.0, 300.0), rel=1e-6)
    assert (done.calibration.load_mm, done.calibration.readings) == ((350.0, 2750.0), 2)
    assert (done.calibration.shear_share, done.calibration.supports_mm) == (None, None)
    assert done.calibration.spread_mm == pytest.approx(0.0, abs=1e-9)
    known = replace(LONG, bow_calibration=done.calibration)
    assert [bow_expected_deg(known, test) for test in tests] == pytest.approx([long - 90.0, sag(1800.0, 500.0) / 0.1])


@pytest.mark.origin(
    "derived", "sags 0.12 and 0.16 of one bend: least squares 0.14, standard deviation 0.0283, -+0.25 degrees"
)
def test_readings_that_scatter() -> None:
    """Mean, spread and what is left of each; the next reading is met within the scatter."""
    done = calibrate(UNKNOWN, [bend(90.0, 91.5, 90.0), bend(90.0, 92.0, 90.0, "t2")], **DAY, **ONE_BEAM)
    assert done.sags_mm == pytest.approx((0.12, 0.16))
    assert done.calibration.sag_mm == pytest.approx(0.14)
    assert done.calibration.spread_mm == pytest.approx(0.0283, abs=1e-4)
    assert done.residuals_deg == pytest.approx((-0.25, 0.25))
    assert done.findings == ()


def refused(code, *tests, brake=UNKNOWN, **more):
    """The sentence of the one finding a calibration is refused with."""
    with pytest.raises(InputError) as caught:
        calibrate(brake, tests, **DAY, **(ONE_BEAM | more))
    (finding,) = caught.value.findings
    assert (finding.code, bool(finding.cure)) == (code, True)
    return finding.sentence


@pytest.mark.origin("law", "readings that cannot be used are refused with one sentence each")
def test_refused_readings() -> None:
    """None, one place missing, a slip, an impossible angle, no bow, no form, a crown nobody knows, over a support."""
    assert refused("T116") == "Nothing to learn from: no value was given."
    assert refused("T120", bend(90.0, 91.0, None)) == (
        "Test bend t1: left, centre and right are all needed to tell the bow."
    )
    assert "the right reading is 19 degrees" in refused("T101", bend(90.0, 91.0, 19.0))
    assert "the left reading is 190" in refused("T102", bend(190.0, 91.0, 90.0))
    assert refused("T104", bend(90.0, 91.0, 90.0), bend(90.0, 91.0, 90.0)) == "Bend 't1' was entered twice."
    assert refused("T123", bend(90.0, 89.8, 90.0)).startswith("Test bend t1 shows no bow")
    assert refused("T121", bend(90.0, 91.0, 90.0), shear_share=None) == (
        "Nothing tells the form of the bow of brake M3: the sizes of ram and bed are not known, and no supports with "
        "shear share were given."
    )
    assert refused("T122", bend(90.0, 91.0, 90.0, crown=0.2)) == (
        "The crown stood at 0.2 mm, but what it does to the bed is not known: crown_device.form, crown_device.span_mm."
    )
    short = bend(90.0, 91.0, 90.0, at=(75.0, 1175.0), crown=0.2)
    assert refused("T122", short, brake=SHORT, supports_mm=(75.0, 1175.0)).endswith("this brake has no crown.")
    ends = [bend(90.0, 91.0, 90.0, at=place) for place in ((0.0, 600.0), (2800.0, 3100.0))]
    for one in ends:
        assert refused("T126", one, brake=LONG).startswith("Test bend t1 lies over or beyond a support of the bed")
    assert refused("T126", bend(90.0, 91.0, 90.0, at=(3900.0, 4100.0))).startswith("Test bend t1 lies over")


@pytest.mark.origin("law", "numbers that are no sizes are refused by name")
def test_refused_numbers() -> None:
    """Line load, sensitivity, length and crown."""
    for wrong in ({"load": 0.0}, {"per_degree": -0.1}, {"at": (900.0, 900.0)}, {"crown": -0.1}):
        with pytest.raises(OutOfRangeError):
            calibrate(UNKNOWN, [bend(90.0, 91.0, 90.0, **wrong)], **DAY, **ONE_BEAM)


@pytest.mark.origin("law", "doubtful readings are taken and doubted")
def test_doubts() -> None:
    """T124: a bow no larger than the protractor's doubt; T125: readings of two machines."""
    done = calibrate(UNKNOWN, [bend(90.0, 90.2, 90.0)], **DAY, **ONE_BEAM)
    assert [str(doubt) for doubt in done.findings] == [
        "T124 watch [t1]: Test bend t1 shows a bow of 0.20 degrees, a protractor is sure of 0.1. Take a longer bend, "
        "thicker sheet or a narrower die, and read it three times."
    ]
    done = calibrate(UNKNOWN, [bend(90.0, 91.0, 90.0), bend(90.0, 93.0, 90.0, "t2")], **DAY, **ONE_BEAM)
    assert [doubt.code for doubt in done.findings] == ["T125"]
    assert done.findings[0].sentence == "The test bends on brake M3 disagree by 71 % of their mean sag."


@pytest.mark.origin(
    "derived",
    "0.1 mm/degree, 90.6/90.9/90.2 -> left 0.06, right 0.02, crown 0.05 = 0.2 high, 0.15 at the ends of the bend",
)
def test_three_angles_at_the_brake() -> None:
    """1500 in the middle of M1: crown 2 divisions; left 0.06 - 0.15, right 0.02 - 0.15, read at the axes 2600 apart."""
    aim = BendAim(bend_id="b1", included_deg=90.0, springback_deg=1.0, thickness_mm=1.5, mm_per_degree=0.1)
    read = Reading(bend_id="b1", left_deg=90.6, centre_deg=90.9, right_deg=90.2)
    correction = correct(FirstPiece(readings=(read,)), Job(bends=(aim,))).bend("b1")
    change = brake_change(LONG, correction, bend_mm=(800.0, 2300.0))
    assert (change.crown_height_mm, change.crown_divisions) == pytest.approx((0.2, 2.0))
    tilt = -0.04 * 2600 / 1500
    assert (change.y1_mm, change.y2_mm) == pytest.approx((-0.11 - tilt / 2, -0.11 + tilt / 2))
    assert change.unknown == ()
    bare = brake_change(replace(LONG, crown_device=CrownDevice()), correction, bend_mm=(800.0, 2300.0))
    assert (bare.crown_height_mm, bare.unknown) == (None, ("crown_device.form", "crown_device.span_mm"))
    assert (bare.y1_mm, bare.y2_mm) == pytest.approx((0.04 - tilt / 2, 0.04 + tilt / 2))
    nothing = brake_change(UNKNOWN, correction, bend_mm=(800.0, 2300.0))
    assert (nothing.y1_mm, nothing.crown_height_mm) == (None, None)
    assert nothing.unknown[0] == "bow of ram and bed"
    ends = correct(FirstPiece(readings=(replace(read, centre_deg=None),)), Job(bends=(aim,))).bend("b1")
    level = brake_change(LONG, ends, bend_mm=(800.0, 2300.0))
    assert (level.crown_height_mm, level.y1_mm) == (None, pytest.approx(0.04 - tilt / 2))
