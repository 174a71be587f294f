"""First pieces of Saltmarsh Instruments: what to turn, by how much, and what nothing can cure."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bendwright.mechanics.ram_depth import sharp_depth_mm
from bendwright.trial.axes import axis_changes_mm
from bendwright.trial.corrections import correct, thickness_effect_deg
from bendwright.trial.from_plan import job_of_plan
from bendwright.trial.learned import learn
from bendwright.trial.readings import BendAim, FirstPiece, Job, LegAim, LegReading, Reading
from out.sample_plan import channel_plan

PANEL = {"bend_id": "b1", "included_deg": 90.0, "opening_mm": 12.0}
BATCH_A = BendAim(**PANEL, springback_deg=2.5, thickness_mm=1.48)
BATCH_C = BendAim(**PANEL, springback_deg=3.6, thickness_mm=1.46)


def readings(left, centre, right, **more):
    """One bend read at three places."""
    return (Reading(bend_id="b1", left_deg=left, centre_deg=centre, right_deg=right, **more),)


def corrected(aim, places, thickness_mm=None):
    """The correction of one bend."""
    return correct(FirstPiece(readings=readings(*places), thickness_mm=thickness_mm), Job(bends=(aim,))).bend("b1")


@pytest.mark.parametrize(
    ("thickness", "thickness_effect", "reading", "deeper"), [(1.53, -0.80, 90.296, 0.027), (1.46, 0.32, 91.421, 0.129)]
)
@pytest.mark.origin(
    "derived", "sharp model, V 12: same depth, t 1.48 -> 1.53 and 1.46; springback 2.5 -> 3.6 opens 1.10"
)
def test_three_batches_one_programme(thickness, thickness_effect, reading, deeper):
    """Splash panel, batch A 90.0. Batch B: 87.5 - 0.80 loaded, + 3.6 = 90.3. Batch C: 87.5 + 0.32 + 3.6 = 91.4.

    Loaded must become 86.4: D(86.4, 1.53) - D(87.5, 1.48) = 0.027; D(86.4, 1.46) - D(87.5, 1.48) = 0.129.
    """
    assert thickness_effect_deg(aim=BATCH_A, thickness_mm=thickness) == pytest.approx(thickness_effect, abs=0.006)
    bend = corrected(BATCH_A, (reading, reading, reading), thickness)
    assert bend.thickness_effect_deg == pytest.approx(thickness_effect, abs=0.006)
    assert bend.springback_effect_deg == pytest.approx(1.10, abs=0.006)
    assert bend.springback_deg == pytest.approx(3.6, abs=0.006)
    assert bend.depth_mm == pytest.approx(deeper, abs=0.0006)
    assert (bend.tilt_mm, bend.crown_mm) == (0.0, 0.0)
    by_hand = sharp_depth_mm(included_deg=86.4, opening_mm=12.0, thickness_mm=thickness) - sharp_depth_mm(
        included_deg=87.5, opening_mm=12.0, thickness_mm=1.48
    )
    assert bend.depth_mm == pytest.approx(by_hand, abs=0.0006)


@pytest.mark.origin("derived", "first batch read as programmed: nothing to turn")
def test_batch_a_needs_nothing():
    """All errors, effects and corrections are 0."""
    bend = corrected(BATCH_A, (90.0, 90.0, 90.0), 1.48)
    assert (bend.error_deg, bend.springback_effect_deg, bend.depth_mm) == (0.0, pytest.approx(0.0, abs=1e-9), 0.0)


@pytest.mark.parametrize(("mm_per_degree", "crown"), [(None, 0.083), (0.0862, 0.078)])
@pytest.mark.origin("derived", "0.9 degrees x 0.0919 at 86.4 loaded, t 1.46 = 0.083; x 0.0862 at 90, t 1.5 = 0.078")
def test_open_centre_is_crown_not_depth(mm_per_degree, crown):
    """L/C/R 90.0/90.9/90.0: crown alone, by the sharp model at the loaded angle or by a given mm per degree."""
    aim = BendAim(**PANEL, springback_deg=3.6, thickness_mm=1.46, mm_per_degree=mm_per_degree)
    bend = corrected(aim, (90.0, 90.9, 90.0), 1.46)
    assert bend.crown_mm == pytest.approx(crown, abs=0.0006)
    assert (bend.depth_mm, bend.tilt_mm) == (0.0, 0.0)
    assert bend.model == ("sharp corners" if mm_per_degree is None else "mm per degree of the plan")


@pytest.mark.origin(
    "derived", "0.1 mm/degree: ends 90.6 and 90.2 -> depth 0.04, tilt -0.04; centre 0.5 over their mean -> 0.05"
)
def test_three_angles_three_corrections():
    """Left end needs 0.06, right end 0.02; centre 0.09 in all: mean 0.04 + crown 0.05."""
    aim = BendAim(**PANEL, springback_deg=1.0, thickness_mm=1.5, mm_per_degree=0.1)
    bend = corrected(aim, (90.6, 90.9, 90.2), 1.5)
    assert (bend.left_mm, bend.right_mm) == pytest.approx((0.06, 0.02))
    assert (bend.depth_mm, bend.tilt_mm, bend.crown_mm) == pytest.approx((0.04, -0.04, 0.05))


@pytest.mark.origin("derived", "m 0.0862 at fixed ram place: -(0.05)/(sin(43.75) 0.0862) = -0.839 degrees")
def test_thickness_effect_by_mm_per_degree():
    """The linear form is the sharp model's tangent, with the plan's own sensitivity."""
    aim = BendAim(**PANEL, springback_deg=2.5, thickness_mm=1.48, mm_per_degree=0.0862)
    assert thickness_effect_deg(aim=aim, thickness_mm=1.53) == pytest.approx(-0.839, abs=0.001)


@pytest.mark.origin("law", "errors of thickness and springback add up; mirrored readings mirror the tilt")
@given(
    st.floats(86.0, 94.0),
    st.floats(-0.9, 0.9),
    st.floats(-0.9, 0.9),
    st.floats(1.40, 1.56),
    st.sampled_from([None, 0.06]),
)
def test_sums_and_mirror(mean, twist, bow, thickness, mm_per_degree):
    """Error = thickness effect + springback effect; left and right change places; open needs deeper."""
    aim = BendAim(**PANEL, springback_deg=2.5, thickness_mm=1.48, mm_per_degree=mm_per_degree)
    bend = corrected(aim, (mean - twist, mean + bow, mean + twist), thickness)
    mirrored = corrected(aim, (mean + twist, mean + bow, mean - twist), thickness)
    effects = bend.thickness_effect_deg + bend.springback_effect_deg
    assert effects == pytest.approx(bend.error_deg, abs=1e-9)
    assert mirrored.tilt_mm == pytest.approx(-bend.tilt_mm, abs=1e-9)
    assert (mirrored.depth_mm, mirrored.crown_mm) == pytest.approx((bend.depth_mm, bend.crown_mm), abs=1e-9)
    assert bend.left_mm + bend.right_mm == pytest.approx(2.0 * bend.depth_mm, abs=1e-9)
    assert (bend.depth_mm > 0.0) == (bend.error_deg > 0.0) or abs(bend.error_deg) < 1e-6


@pytest.mark.origin("law", "after the correction a piece of the same sheet is right: error and correction vanish")
def test_correction_converges_at_once():
    """The learned springback and the measured thickness make the next programme; its reading is the target."""
    first = corrected(BATCH_A, (91.421, 91.421, 91.421), 1.46)
    aim = BendAim(**PANEL, springback_deg=first.springback_deg, thickness_mm=1.46)
    assert corrected(aim, (90.0, 90.0, 90.0), 1.46).depth_mm == pytest.approx(0.0, abs=1e-9)


CLAMP = (LegAim(flange_id="long", outside_mm=63.5), LegAim(flange_id="short", outside_mm=41.275, gauged_at_bend="b1"))


def legs(**measured):
    """Measured outside legs."""
    return tuple(LegReading(flange_id=name, measured_mm=value) for name, value in measured.items())


@pytest.mark.origin(
    "derived", "customer's flat 101.65 against 63.5 + 41.275 - 3.645 = 101.13: 0.52 too long, all on the free leg"
)
def test_wrong_blank_is_no_matter_of_offsets():
    """Mast clamp: short leg gauged right, long leg 64.02."""
    result = correct(FirstPiece(legs=legs(long=64.02, short=41.275)), Job(legs=CLAMP))
    assert result.blank.error_mm == pytest.approx(0.52)
    assert not result.blank.right
    assert result.blank.sentence == "The blank is wrong by +0.52 mm, no offset cures it."
    assert result.blank.deduction_change_mm == pytest.approx(0.52)
    assert [leg.x_offset_mm for leg in result.legs] == [None, 0.0]


@pytest.mark.origin("derived", "legs 63.20 and 41.575: errors -0.30 and +0.30, sum 0; the gauge goes 0.30 nearer")
def test_offset_moves_millimetres_between_flanges():
    """The blank is right; one offset cures both."""
    result = correct(FirstPiece(legs=legs(long=63.2, short=41.575)), Job(legs=CLAMP))
    assert result.blank.right
    assert result.blank.sentence == "The blank is right within 0.1 mm (sum of flange errors +0.00 mm)."
    assert result.legs[1].x_offset_mm == pytest.approx(-0.30)
    assert result.findings == ()


@pytest.mark.origin(
    "derived", "true deduction +0.20 a bend on a 15-40-80-40-15 channel: gauge errors +0.10, base +0.40; sum 0.80"
)
def test_lipped_channel():
    """X = outside - BD/2 puts +0.10 on each gauged flange and the rest on the base: four bends, 0.20 each."""
    names = {"lip_a": 15.0, "wall_a": 40.0, "base": 80.0, "wall_b": 40.0, "lip_b": 15.0}
    aims = tuple(LegAim(flange_id=name, outside_mm=length) for name, length in names.items())
    measured = {name: length + (0.4 if name == "base" else 0.1) for name, length in names.items()}
    result = correct(FirstPiece(legs=legs(**measured)), Job(legs=aims))
    assert result.blank.error_mm == pytest.approx(0.80)
    assert result.blank.deduction_change_mm == pytest.approx(0.20)


@given(st.lists(st.floats(-2.0, 2.0), min_size=2, max_size=8))
@pytest.mark.origin("law", "sum of flange errors = error of the blank, whatever the split")
def test_sum_rule(errors):
    """Moving millimetres between flanges never changes the verdict."""
    aims = tuple(LegAim(flange_id=str(i), outside_mm=50.0) for i in range(len(errors)))

    def blank(deviations):
        measured = {str(i): 50.0 + e for i, e in enumerate(deviations)}
        return correct(FirstPiece(legs=legs(**measured)), Job(legs=aims)).blank.error_mm

    assert blank(errors) == pytest.approx(sum(errors), abs=1e-9)
    shifted = [errors[0] + 0.7, errors[1] - 0.7, *errors[2:]]
    assert blank(shifted) == pytest.approx(sum(errors), abs=1e-9)


@pytest.mark.origin("derived", "line through both places: left 0.02 at -500, right 0.04 at +100, axes 2600 apart")
def test_axes():
    """Slope 0.02/600 per mm; middle 0.02 + 500 x slope; axes at -1300 and 1300: -0.00667, 0.08."""
    y1, y2 = axis_changes_mm(left_mm=0.02, right_mm=0.04, left_z_mm=-500.0, right_z_mm=100.0, axes_distance_mm=2600.0)
    assert (y1, y2) == pytest.approx((0.02 - 800.0 * 0.02 / 600.0, 0.04 + 1200.0 * 0.02 / 600.0))


@given(st.floats(-0.2, 0.2), st.floats(-0.2, 0.2), st.floats(-1000.0, -10.0), st.floats(10.0, 1000.0))
@pytest.mark.origin("law", "a mirrored layout mirrors the axes; equal changes move both axes alike")
def test_axes_mirror(left, right, left_z, right_z):
    """Off-centre stations: swap and negate the places, the axes swap."""
    line = {"axes_distance_mm": 2600.0}
    y1, y2 = axis_changes_mm(left_mm=left, right_mm=right, left_z_mm=left_z, right_z_mm=right_z, **line)
    mirrored = axis_changes_mm(left_mm=right, right_mm=left, left_z_mm=-right_z, right_z_mm=-left_z, **line)
    assert mirrored == pytest.approx((y2, y1), abs=1e-9)
    same = axis_changes_mm(left_mm=left, right_mm=left, left_z_mm=left_z, right_z_mm=right_z, **line)
    assert same == pytest.approx((left, left))


@pytest.mark.origin("derived", "3.88, 3.90, 3.92: mean 3.90, sample spread 0.02; one value has no spread")
def test_learned_deduction():
    """Number, mean and spread."""
    three, one = learn((3.88, 3.90, 3.92)), learn((3.9,))
    assert (three.count, three.mean, three.spread) == (3, pytest.approx(3.90), pytest.approx(0.02))
    assert (one.count, one.mean, one.spread) == (1, 3.9, None)


@pytest.mark.origin(
    "derived", "0.03 mm more at -16.5 degrees/mm: -0.495; geometry of straight legs at 0.0835 mm/degree: -0.51"
)
def test_thickness_effect_of_the_worked_out_stroke():
    """The plan's own slope beats the geometry; what is left of the error is springback."""
    aim = BendAim(
        bend_id="b1",
        included_deg=90.0,
        springback_deg=1.0,
        thickness_mm=2.0,
        mm_per_degree=0.0835,
        ram_deg_per_mm=-16.5,
    )
    assert thickness_effect_deg(aim=aim, thickness_mm=2.03) == pytest.approx(-0.495)
    straight = replace(aim, ram_deg_per_mm=None)
    assert thickness_effect_deg(aim=straight, thickness_mm=2.03) == pytest.approx(-0.513, abs=0.001)
    piece = FirstPiece(readings=(Reading(bend_id="b1", centre_deg=90.3),), thickness_mm=2.03)
    (bend,) = correct(piece, Job(bends=(aim,))).bends
    assert bend.thickness_effect_deg == pytest.approx(-0.495)
    assert bend.springback_effect_deg == pytest.approx(0.795)
    assert bend.depth_mm == pytest.approx(0.3 * 0.0835)


@pytest.mark.origin("law", "a plan's own numbers come through unchanged")
def test_job_of_a_plan():
    """Bends, springback, thickness, opening and mm per degree from the plan; five flanges."""
    plan = channel_plan()
    job = job_of_plan(plan, legs=CLAMP)
    assert {aim.bend_id for aim in job.bends} == {stroke.bend_id for stroke in plan.strokes}
    assert (job.flange_count, job.legs) == (5, CLAMP)
    for aim, stroke in zip(job.bends, plan.strokes, strict=True):
        assert aim.springback_deg == stroke.springback_deg
        assert aim.mm_per_degree == stroke.mm_per_degree
        assert aim.ram_deg_per_mm == stroke.mechanics.ram_deg_per_mm
        assert aim.thickness_mm == plan.sheet.thickness_mm
    piece = FirstPiece(readings=(Reading(bend_id=job.bends[0].bend_id, centre_deg=91.0),), thickness_mm=None)
    bend = correct(piece, job).bends[0]
    assert bend.depth_mm == pytest.approx(plan.strokes[0].mm_per_degree)
