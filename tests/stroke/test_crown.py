"""What a stroke asks of crown and ram: the demo shop's brakes, worked by hand from their plates."""

from __future__ import annotations

import json
from dataclasses import asdict, replace

import numpy as np
import pytest

from bendwright.drawing.record_codec import decode, encode
from bendwright.mechanics.beam_deflection import PlateBeam, sag_over_load
from bendwright.quantities import Band
from bendwright.shop.brake_bow import BrakePlate, CrownDevice
from bendwright.shop.read import built_in_shop
from bendwright.stroke.bow import give_of
from bendwright.stroke.crown import Crown, crown_of_stroke
from bendwright.stroke.crown_device import setting_for

BRAKES = built_in_shop().brakes
LONG, SHORT, UNKNOWN = BRAKES["M1"], BRAKES["M2"], BRAKES["M3"]
LOAD = Band(280.0, 320.0, "hand")


@pytest.mark.origin(
    "derived", "both plates' P a^2 (12B - 7a)/384EI + P a/8GAs; end of the bend: R/800 + w(75) + 300/12000"
)
def test_centred_bend_on_known_plates() -> None:
    """2450 mm at 300 kN/m in the middle of M1: the sum of two centred beams; nothing to tilt."""
    crown = crown_of_stroke(LONG, LOAD, [(325.0, 2775.0)], 0.08)
    plates = [
        PlateBeam(span_mm=2600.0, plate_thickness_mm=b, plate_height_mm=h, shear_modulus_mpa=210000 / 2.6)
        for b, h in ((70.0, 1050.0), (80.0, 1150.0))
    ]
    bows = [sag_over_load(beam=plate, load_kn=735.0, loaded_length_mm=2450.0) for plate in plates]
    sag = sum(bow.total_mm for bow in bows)
    assert crown.needed_mm is not None
    assert (crown.needed_mm.low, crown.needed_mm.high) == pytest.approx((sag * 280 / 300, sag * 320 / 300))
    assert crown.shear_share == pytest.approx(sum(bow.shear_mm for bow in bows) / sag)
    assert crown.before_deg is not None
    assert (crown.before_deg.left_deg, crown.before_deg.centre_deg) == pytest.approx((0.0, sag / 0.08), abs=1e-9)
    assert crown.tilt_mm == pytest.approx(0.0, abs=1e-12)
    ends = 0.0
    for plate in plates:
        slope_end, moment_end = _line_near_support(plate, 75.0)
        ends += slope_end / plate.bending_stiffness_n_mm2 + moment_end / plate.shear_stiffness_n
    assert crown.give_mm == pytest.approx(367.5 / 800 + 300 / 12000 + ends, rel=1e-6)


def _line_near_support(plate: PlateBeam, x: float) -> tuple[float, float]:
    """EI times the bending, GAs times the shear deflection x from a support, before the load 300 N/mm from 75 to 2525.

    EI w = EI theta0 x - R x^3/6 with EI theta0 = R L^2/16 - sum over the load; by symmetry the slope is 0 in the middle:
    EI theta0 = R (L/2)^2/2 - q (L/2 - 75)^3/6.
    """
    reaction, half = 367500.0, plate.span_mm / 2
    turn = reaction * half**2 / 2 - 300.0 * (half - 75.0) ** 3 / 6
    return turn * x - reaction * x**3 / 6, reaction * x


@pytest.mark.origin(
    "derived",
    "parabola over 3000: rise over 2450 is h (2450/3000)^2; three angles set equal, the depth in their middle",
)
def test_the_crown_is_the_best_of_its_kind() -> None:
    """No height near it leaves a smaller worst angle; here it is the one that makes the three angles equal; 0.1 mm steps."""
    crown = crown_of_stroke(LONG, LOAD, [(325.0, 2775.0)], 0.08)
    assert crown.height_mm is not None
    assert crown.before_deg is not None
    assert crown.after_deg is not None
    assert crown.height_mm * (2450 / 3000) ** 2 == pytest.approx(crown.before_deg.centre_deg * 0.08, rel=1e-9)
    assert crown.divisions == pytest.approx(10 * crown.height_mm)

    for near in (0.98, 1.02):
        other = crown_of_stroke(LONG, LOAD, [(325.0, 2775.0)], 0.08, height_mm=crown.height_mm * near)
        assert other.worst_after_deg > 1.02 * crown.worst_after_deg
    three = (crown.after_deg.left_deg, crown.after_deg.centre_deg, crown.after_deg.right_deg)
    assert three == pytest.approx((crown.worst_after_deg,) * 3, rel=1e-6)
    assert crown.worst_after_deg == pytest.approx(max(abs(after) for _, _, after in crown.curve) / 0.08)


@pytest.mark.origin("law", "depth, tilt and crown as told, put into the opening, leave the angles told")
def test_depth_tilt_and_crown_add_up() -> None:
    """At every place: before - height x rise - line through both axes = after."""
    crown = crown_of_stroke(LONG, LOAD, [(200.0, 1500.0)], 0.08)
    assert None not in (crown.y1_mm, crown.y2_mm, crown.height_mm, crown.tilt_mm, crown.depth_mm)
    z, before, after = (np.array(column) for column in zip(*crown.curve, strict=True))
    rise = 1.0 - ((z - 1550.0) / 1500.0) ** 2
    line = crown.y1_mm + (crown.y2_mm - crown.y1_mm) * (z - 250.0) / 2600.0
    assert (before - crown.height_mm * rise - line).tolist() == pytest.approx(after.tolist(), abs=1e-9)
    assert line[-1] - line[0] == pytest.approx(crown.tilt_mm)
    assert 0.5 * (line[-1] + line[0]) == pytest.approx(crown.depth_mm)
    assert crown.tilt_mm < -0.05


@pytest.mark.origin("derived", "90 kN at 450, cylinders at 250 and 2850: 83.08 and 6.92 kN over 800 and 400 kN/mm")
def test_ends_of_unequal_stiffness_tilt_the_ram() -> None:
    """Only the give of the ends changes: 0.1038 and 0.0173 mm, -0.0866 over 2600 mm."""
    stiff = replace(LONG, beams=replace(LONG.beams, frame_stiffness_kn_per_mm=(1e5, 1e5)))
    soft = replace(LONG, beams=replace(LONG.beams, frame_stiffness_kn_per_mm=(800.0, 400.0)))
    one, two = (crown_of_stroke(brake, Band(300.0, 300.0), [(300.0, 600.0)], 0.01).curve for brake in (stiff, soft))
    slope = [(b[-1][1] - b[0][1]) / 300.0 for b in (one, two)]
    left, right = 90.0 * (1 - 200 / 2600), 90.0 * 200 / 2600
    wanted = (right / 400 - left / 800) / 2600 - (right - left) / 1e5 / 2600
    assert slope[1] - slope[0] == pytest.approx(wanted, rel=1e-9)


@pytest.mark.origin("law", "two bends in one stroke bow like the sum of both; mirrored they mirror")
def test_two_bends_in_one_stroke() -> None:
    """The order in which they are named does not matter."""
    crown = crown_of_stroke(LONG, LOAD, [(300.0, 1000.0), (1500.0, 2600.0)], 0.08)
    turned = crown_of_stroke(LONG, LOAD, [(1500.0, 2600.0), (300.0, 1000.0)], 0.08)
    assert turned == crown
    assert crown.ranges_mm == ((300.0, 1000.0), (1500.0, 2600.0))
    assert not any(1000.0 < z < 1500.0 for z, _, _ in crown.curve)
    mirrored = crown_of_stroke(LONG, LOAD, [(2100.0, 2800.0), (500.0, 1600.0)], 0.08)
    assert mirrored.tilt_mm == pytest.approx(-crown.tilt_mm)


@pytest.mark.origin("law", "unknown is unknown: nothing is told of a brake whose bow nobody knows")
def test_nothing_is_known_of_one_brake() -> None:
    """K120 says so and how to measure it; no number comes out. One plate alone is not enough."""
    half = replace(UNKNOWN, beams=replace(UNKNOWN.beams, bed=LONG.beams.bed))
    for brake in (UNKNOWN, half):
        crown = crown_of_stroke(brake, LOAD, [(500.0, 2500.0)], 0.08)
        assert (crown.needed_mm, crown.height_mm, crown.tilt_mm, crown.after_deg) == (None, None, None, None)
        assert crown.unknown == ("bow of ram and bed",)
        (note,) = crown.findings
        assert (note.code, note.severity) == ("K120", "note")
        assert note.sentence.startswith("Nothing is known of how ram and bed of brake M3 Breakwater bow")
        assert "bendwright shop bow" in note.cure


@pytest.mark.origin("derived", "the file's own sag: 0.034 mm at 200 kN/m from 75 to 1175, 35 % of it shear")
def test_a_measured_bow_with_its_date() -> None:
    """M2: the reading comes back; a bend half as long bows by closed form with the same stiffnesses; no crown, only depth."""
    crown = crown_of_stroke(SHORT, Band(200.0, 200.0), [(75.0, 1175.0)], 0.08)
    assert crown.needed_mm is not None
    assert crown.needed_mm.low == pytest.approx(0.034)
    assert crown.shear_share == pytest.approx(0.35)
    assert "measured 2026-11-18 on 3 bends (spread 0.004 mm)" in crown.source
    assert (crown.height_mm, crown.divisions, crown.give_mm) == (None, None, None)
    assert crown.unknown == ("give of frames and cylinders", "give of the tools")
    bending, shear = 0.034 * 0.65, 0.034 * 0.35
    half = crown_of_stroke(SHORT, Band(200.0, 200.0), [(350.0, 900.0)], 0.08)
    assert half.needed_mm is not None
    wanted = bending * (0.5**3 * (12 - 3.5)) / 5 + shear * 0.5**2
    assert half.needed_mm.low == pytest.approx(wanted, rel=1e-6)


@pytest.mark.origin(
    "derived", "with known plates the measured sag scales both of them: 0.31 against what the plates give"
)
def test_a_measured_bow_beats_the_plates() -> None:
    """Every bend bows by the same ratio more."""
    calibration = replace(SHORT.bow_calibration, line_load_kn_per_m=300.0, load_mm=(325.0, 2775.0), sag_mm=0.31)
    measured = replace(LONG, bow_calibration=calibration)
    load = Band(300.0, 300.0)
    plain, known = (crown_of_stroke(brake, load, [(325.0, 2775.0)], 0.08) for brake in (LONG, measured))
    assert known.needed_mm.low == pytest.approx(0.31)
    ratio = 0.31 / plain.needed_mm.low
    plain, known = (crown_of_stroke(brake, load, [(900.0, 1900.0)], 0.08) for brake in (LONG, measured))
    assert known.needed_mm.low == pytest.approx(ratio * plain.needed_mm.low)


@pytest.mark.origin("law", "what cannot be set or leaves too much is said")
def test_what_is_said() -> None:
    """K121 much left without a crown, K122 crown at its end, K123 off the bed, K124 a crown nobody knows."""
    bend = [(325.0, 2775.0)]
    bare = crown_of_stroke(replace(LONG, crowning="none"), Band(600.0, 600.0), bend, 0.08)
    assert [finding.code for finding in bare.findings] == ["K121"]
    assert bare.findings[0].sentence == (
        f"Up to {bare.worst_after_deg:.2f} degrees of the bow are left along the bend; its middle opens "
        f"{bare.needed_mm.middle:.3f} mm more than its ends."
    )
    low = replace(LONG, crown_device=replace(LONG.crown_device, largest_mm=0.2))
    short = crown_of_stroke(low, LOAD, bend, 0.08)
    assert [finding.code for finding in short.findings] == ["K122", "K121"]
    assert (short.height_mm, short.divisions) == (0.2, pytest.approx(2.0))
    assert short.findings[0].sentence.startswith("The crown of brake M1 would have to stand at 0.4")
    off = crown_of_stroke(LONG, Band(10.0, 10.0), [(-50.0, 900.0)], 0.08)
    assert [str(finding) for finding in off.findings] == [
        f"K123 watch [brake M1]: The bend lies from -50 to 900 mm, the {what} of brake M1 from 0 to 3100 mm. Move the "
        "bend inward; where the sheet is not held the angle stays open."
        for what in ("bed", "ram")
    ]
    blank = crown_of_stroke(replace(LONG, crown_device=CrownDevice()), Band(50.0, 50.0), bend, 0.08)
    assert [finding.code for finding in blank.findings] == ["K124"]
    assert "crown_device.form, crown_device.span_mm not known" in blank.findings[0].sentence
    assert (blank.height_mm, blank.unknown) == (None, ("crown_device.form", "crown_device.span_mm"))
    nobody = crown_of_stroke(replace(LONG, crowning="unknown"), Band(50.0, 50.0), bend, 0.08)
    assert nobody.unknown == ("crowning",)


@pytest.mark.origin("practice", "a protractor shows no less than 0.05 degrees: nothing is set for less")
def test_nothing_is_set_for_what_nobody_sees() -> None:
    """A short strip of thin sheet at the end of the bed: no crown, no tilt, the angles as they are."""
    crown = crown_of_stroke(LONG, Band(40.0, 45.0), [(400.0, 500.0)], 0.08)
    assert (crown.height_mm, crown.tilt_mm, crown.depth_mm) == (0.0, 0.0, 0.0)
    assert crown.after_deg == crown.before_deg
    assert crown.worst_after_deg is not None
    assert 0.0 < crown.worst_after_deg < 0.05


@pytest.mark.origin(
    "derived", "a bed's own bow over the whole span takes its own share away; 1 - (z/(l/2))^2 for a parabola"
)
def test_forms_and_settings_of_the_crown() -> None:
    """The middle of a bend of 1500 rises 1/4 of the height more than its ends under a parabola 3000 long: 0.08 mm = 0.32."""
    bed = give_of(LONG).beams[-1]
    setting = setting_for(LONG, bed, crown_mm=0.08, bend_mm=(800.0, 2300.0))
    assert (setting.height_mm, setting.divisions) == (pytest.approx(0.32), pytest.approx(3.2))
    assert (setting.left_lift_mm, setting.right_lift_mm) == pytest.approx((0.24, 0.24))
    own = replace(LONG, crown_device=CrownDevice(form="bed_bow", span_mm=(250.0, 2850.0)))
    crown = crown_of_stroke(own, LOAD, [(250.0, 2850.0)], 0.08)
    assert crown.worst_after_deg < 0.02
    assert crown.divisions is None
    assert setting_for(replace(LONG, crowning="none"), bed, crown_mm=0.08, bend_mm=(800.0, 2300.0)) is None


@pytest.mark.origin("law", "a result is plain data, there and back")
def test_the_result_is_plain_data() -> None:
    """Known and unknown answers survive the plan's own JSON form."""
    for brake in (LONG, SHORT, UNKNOWN):
        crown = crown_of_stroke(brake, LOAD, [(100.0, 700.0), (800.0, 1100.0)], 0.08)
        problems: list[object] = []
        data = json.loads(json.dumps(encode(Crown, crown, "", problems)))
        assert decode(Crown, data, "", problems) == crown
        assert not problems
        json.dumps(asdict(crown))


@pytest.mark.origin("law", "a plate with a blank is not a plate")
def test_missing_fields_are_listed() -> None:
    """Whole plates by one name, single fields by theirs; a measured bow that stands alone needs no plates."""
    assert LONG.missing_bow_fields() == ()
    assert SHORT.missing_bow_fields() == (
        "beams.frame_stiffness_kn_per_mm",
        "beams.tool_stiffness_kn_per_mm_per_m",
    )
    partly = replace(
        UNKNOWN.beams, ram=BrakePlate(height_mm=900.0, thickness_mm=60.0, supports_mm=(0.0, 9.0), ends_mm=(0.0, 9.0))
    )
    missing = replace(UNKNOWN, beams=partly).missing_bow_fields()
    assert missing[:3] == ("crown_device", "beams.ram.youngs_modulus_mpa", "beams.bed")
