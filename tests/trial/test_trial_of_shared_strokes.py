"""The first piece of a plan with two bends made by one stroke: read apart, corrected together."""

from __future__ import annotations

import pytest

from bendwright.trial.corrections import Corrections, correct
from bendwright.trial.from_plan import job_of_plan
from bendwright.trial.readings import FirstPiece, Reading
from tabs import planned, shared


def corrected(**centre_deg: float) -> Corrections:
    """The correction for angles read in the middle, the sheet as thick as planned."""
    plan = planned().plan
    readings = tuple(
        Reading(bend_id=name, left_deg=value, centre_deg=value, right_deg=value) for name, value in centre_deg.items()
    )
    return correct(FirstPiece(readings=readings, thickness_mm=plan.sheet.thickness_mm), job_of_plan(plan))


@pytest.mark.origin("law", "every bend can be read, and the part has one flange more than bends")
def test_every_bend_is_in_the_job() -> None:
    """Three bends, two strokes, four flanges."""
    job = job_of_plan(planned().plan)
    assert sorted(aim.bend_id for aim in job.bends) == ["b1", "b2", "b3"]
    assert job.flange_count == 4
    assert (job.made_with("b1"), job.made_with("b2"), job.made_with("b3")) == (("b2",), ("b1",), ())


@pytest.mark.origin("derived", "b1 0.6 degrees too open, b2 0.2 too open: 0.4 deeper for both leaves +0.2 and -0.2")
def test_one_depth_for_both() -> None:
    """The mean of both, no tilt and no crown, each bend's own springback, and what is left said."""
    result = corrected(b1=90.6, b2=90.2, b3=90.3)
    per_degree = shared().mm_per_degree
    for name, other, error in (("b1", "b2", 0.6), ("b2", "b1", 0.2)):
        bend = result.bend(name)
        assert bend.depth_mm == pytest.approx(0.4 * per_degree)
        assert bend.error_deg == pytest.approx(error)
        assert bend.springback_effect_deg == pytest.approx(error)
        assert bend.with_bends == (other,)
        assert (bend.left_mm, bend.right_mm, bend.tilt_mm, bend.crown_mm) == (None, None, None, None)
    alone = result.bend("b3")
    assert (alone.depth_mm, alone.with_bends) == (pytest.approx(0.3 * alone.mm_per_degree), ())
    assert (alone.tilt_mm, alone.crown_mm) == (0.0, 0.0)
    (said,) = [item for item in result.findings if item.code == "T119"]
    assert said.sentence.endswith("What that leaves: b1 +0.20 degrees, b2 -0.20 degrees.")


@pytest.mark.origin("law", "a bend that was not read gets what its stroke gets, and that is said")
def test_one_of_two_read() -> None:
    """b2 alone."""
    result = corrected(b2=91.0)
    assert [bend.bend_id for bend in result.bends] == ["b2"]
    assert result.bend("b2").depth_mm == pytest.approx(shared().mm_per_degree)
    (said,) = [item for item in result.findings if item.code == "T119"]
    assert "b1 was not read, b2 +0.00 degrees" in said.sentence


@pytest.mark.origin("law", "a slip of one bend does not go into the depth of the other")
def test_a_slip_is_left_out() -> None:
    """b1 at 99 degrees is told as a slip, b2 alone decides."""
    result = corrected(b1=99.0, b2=90.2)
    assert [bend.bend_id for bend in result.bends] == ["b2"]
    assert result.bend("b2").depth_mm == pytest.approx(0.2 * shared().mm_per_degree)
    assert {item.code for item in result.findings} == {"T101", "T119"}
