"""Readings missing, slipped or impossible, and money and times that cannot be: each with its exact sentence."""

from dataclasses import replace
from math import inf, nan

import pytest

from bendwright.cost.price import half_setup_quantity, price_breaks
from bendwright.cost.times import Counts, calibration_factor, cycle_seconds, setup_seconds
from bendwright.findings import BendwrightError, InputError, OutOfRangeError
from bendwright.shop.practice import HandlingTimes
from bendwright.trial.axes import axis_changes_mm
from bendwright.trial.corrections import correct, thickness_effect_deg
from bendwright.trial.learned import learn
from bendwright.trial.readings import BendAim, FirstPiece, Job, LegAim, LegReading, Reading

AIM = BendAim(bend_id="b1", included_deg=90.0, springback_deg=2.5, thickness_mm=1.5, opening_mm=12.0)
LEGS = (LegAim(flange_id="base", outside_mm=80.0), LegAim(flange_id="wall", outside_mm=40.0))
JOB = Job(bends=(AIM,), legs=LEGS)


def read(**places):
    """One reading of bend b1."""
    return Reading(bend_id="b1", **places)


def lines(findings):
    """Code, severity and sentence of each finding."""
    return [(finding.code, finding.severity.value, finding.sentence) for finding in findings]


REFUSED = [
    (
        FirstPiece(readings=(read(left_deg=0.0, right_deg=190.0),)),
        [
            ("T102", "error", "Bend b1: the left reading is 0; an included angle between 0 and 180 degrees is needed."),
            (
                "T102",
                "error",
                "Bend b1: the right reading is 190; an included angle between 0 and 180 degrees is needed.",
            ),
        ],
    ),
    (
        FirstPiece(readings=(read(centre_deg=nan),)),
        [
            (
                "T102",
                "error",
                "Bend b1: the centre reading is nan; an included angle between 0 and 180 degrees is needed.",
            )
        ],
    ),
    (
        FirstPiece(readings=(replace(read(centre_deg=90.0), bend_id="b7"),)),
        [("T103", "error", "Readings were given for bend 'b7', which this job does not have; it has b1.")],
    ),
    (
        FirstPiece(legs=(LegReading(flange_id="lid", measured_mm=3.0),)),
        [("T103", "error", "Readings were given for flange 'lid', which this job does not have; it has base, wall.")],
    ),
    (
        FirstPiece(readings=(read(centre_deg=90.0), read(centre_deg=91.0))),
        [("T104", "error", "Bend 'b1' was entered twice.")],
    ),
    (
        FirstPiece(legs=(LegReading(flange_id="base", measured_mm=-80.0),), thickness_mm=inf),
        [
            ("T108", "error", "base is -80 mm; a length above 0 is needed."),
            ("T108", "error", "thickness is inf mm; a length above 0 is needed."),
        ],
    ),
]


@pytest.mark.parametrize(("piece", "expected"), REFUSED)
def test_impossible_readings_are_refused(piece, expected):
    """All findings at once."""
    with pytest.raises(InputError) as caught:
        correct(piece, JOB)
    assert lines(caught.value.findings) == expected
    assert all(finding.cure for finding in caught.value.findings)


def test_no_depth_model():
    """Neither die opening nor mm per degree: no correction can be computed."""
    blind = replace(AIM, opening_mm=None)
    sentence = "Bend b1: neither the plan's mm per degree nor the die opening is known."
    with pytest.raises(InputError) as caught:
        correct(FirstPiece(readings=(read(centre_deg=90.0),)), Job(bends=(blind,)))
    assert lines(caught.value.findings) == [("T114", "error", sentence)]
    with pytest.raises(InputError) as caught:
        thickness_effect_deg(aim=blind, thickness_mm=1.6)
    assert caught.value.findings[0].sentence == sentence


def test_a_slip_asks_to_measure_again():
    """9.0 typed for 90 and a centre 5 degrees off: no correction for this bend, until confirmed."""
    result = correct(FirstPiece(readings=(read(left_deg=90.2, centre_deg=9.0, right_deg=90.1),), thickness_mm=1.5), JOB)
    assert result.bends == ()
    assert lines(result.findings) == [
        (
            "T101",
            "watch",
            "Bend b1: the centre reading is 9 degrees, 81.1 degrees from the nearest other reading; "
            "5 degrees or more is taken for a slip of protractor or pen.",
        )
    ]
    stands = read(left_deg=90.0, centre_deg=95.0, right_deg=90.0, confirmed=True)
    confirmed = correct(FirstPiece(readings=(stands,), thickness_mm=1.5), JOB)
    assert confirmed.findings == ()
    assert confirmed.bend("b1").crown_mm > 0.4


def test_far_from_the_target_is_a_slip_too():
    """All three agree on 96: 6.0 degrees from the target."""
    piece = FirstPiece(readings=(read(left_deg=96.0, centre_deg=96.0, right_deg=96.0),), thickness_mm=1.5)
    sentences = [finding.sentence for finding in correct(piece, JOB).findings]
    assert sentences == [
        f"Bend b1: the {place} reading is 96 degrees, 6.0 degrees from the target; "
        "5 degrees or more is taken for a slip of protractor or pen."
        for place in ("left", "centre", "right")
    ]


@pytest.mark.parametrize(
    ("reading", "missing", "unknown"),
    [
        (read(centre_deg=90.5), "left and right", "tilt and crown"),
        (read(left_deg=90.5, right_deg=90.3), "centre", "the crown"),
        (read(left_deg=90.5, centre_deg=90.6), "right", "tilt and crown"),
    ],
)
def test_partial_readings_give_what_they_can(reading, missing, unknown):
    """Depth always; the rest is None and said, never 0."""
    result = correct(FirstPiece(readings=(reading,), thickness_mm=1.5), JOB)
    (bend,) = result.bends
    assert bend.depth_mm > 0.0
    assert bend.crown_mm is None
    assert (bend.tilt_mm is None) == (unknown == "tilt and crown")
    assert lines(result.findings) == [
        ("T105", "note", f"Bend b1: {missing} not measured, so {unknown} cannot be told.")
    ]


def test_nothing_measured_at_a_bend_gives_nothing():
    """An empty line of the form is no reading."""
    assert correct(FirstPiece(readings=(read(),), thickness_mm=1.5), JOB).bends == ()


def test_thickness_not_measured_or_far_off():
    """Unknown thickness books all on springback; 10 % off asks for the right sheet."""
    places = read(left_deg=91.0, centre_deg=91.0, right_deg=91.0)
    unknown = correct(FirstPiece(readings=(places,)), JOB)
    assert unknown.bend("b1").thickness_effect_deg is None
    assert unknown.bend("b1").springback_deg == pytest.approx(3.5)
    assert lines(unknown.findings) == [
        ("T110", "note", "Thickness not measured: the whole angle error is booked as springback.")
    ]
    far = correct(FirstPiece(readings=(places,), thickness_mm=1.2), JOB)
    assert lines(far.findings) == [
        ("T109", "watch", "Sheet thickness reads 1.2 mm, the programme was made for 1.5 mm: more than 10 % apart.")
    ]


def test_wrong_blank_is_said_with_its_cure():
    """Sum of errors +0.52."""
    piece = FirstPiece(
        legs=(LegReading(flange_id="base", measured_mm=80.42), LegReading(flange_id="wall", measured_mm=40.1))
    )
    (finding,) = correct(piece, JOB).findings
    assert (finding.code, finding.severity) == ("T106", "watch")
    assert finding.sentence == (
        "The blank is wrong by +0.52 mm: the measured outside lengths add up to 120.52 mm, they should be 120.00 mm. "
        "No offset of the gauge cures it."
    )
    assert finding.cure == "Cut the next blank -0.52 mm, or change the deduction of each bend by +0.52 mm (bends: 1)."


def test_blank_cannot_be_judged_from_half_the_flanges():
    """A flange not measured, a single flange given, a part with more flanges than the section."""
    base, wall = LegReading(flange_id="base", measured_mm=80.0), LegReading(flange_id="wall", measured_mm=40.0)
    unread = replace(wall, measured_mm=None)
    for legs, job, sentence in (
        ((base,), JOB, "Flange wall not measured: whether the blank is right cannot be told."),
        ((base, unread), JOB, "Flange wall not measured: whether the blank is right cannot be told."),
        (
            (base,),
            Job(legs=LEGS[:1]),
            "The other flanges of the section not measured: whether the blank is right cannot be told.",
        ),
    ):
        result = correct(FirstPiece(legs=legs), job)
        assert result.blank is None
        assert lines(result.findings) == [("T107", "note", sentence)]
    part = correct(FirstPiece(legs=(base, wall)), replace(JOB, flange_count=5))
    assert part.blank.right
    assert lines(part.findings) == [
        (
            "T117",
            "note",
            "Lengths of 2 of 5 flanges were entered; what is said of the blank holds if these are all flanges of one "
            "straight section.",
        )
    ]


def test_a_length_no_offset_cures():
    """A slip of the pen by a digit: said, and kept out of offsets and of the verdict on the blank."""
    result = correct(
        FirstPiece(
            legs=(LegReading(flange_id="base", measured_mm=800.0), LegReading(flange_id="wall", measured_mm=40.1))
        ),
        JOB,
    )
    assert [leg.flange_id for leg in result.legs] == ["wall"]
    assert result.blank is None
    assert lines(result.findings)[0] == (
        "T118",
        "watch",
        "Flange base: 800 mm is 720.0 mm from the 80 mm wanted; more than 8.0 mm is no matter of an offset but a slip of rule "
        "or pen, or a wrong stop. It gets no correction.",
    )
    near = correct(FirstPiece(legs=(LegReading(flange_id="base", measured_mm=87.9),)), JOB)
    assert near.legs[0].error_mm == pytest.approx(7.9)


def test_bends_of_one_stroke_are_not_corrected_apart():
    """T119: 90.3 and 90.1 at 0.1 mm a degree, one stroke: 0.020 mm deeper for both."""
    aims = tuple(replace(AIM, bend_id=name, mm_per_degree=0.1, stroke=4) for name in ("b1", "b2"))
    readings = (read(centre_deg=90.3), replace(read(centre_deg=90.1), bend_id="b2"))
    (note,) = correct(FirstPiece(readings=readings, thickness_mm=1.5), Job(bends=aims)).findings
    assert note.where == "b1, b2"
    assert lines([note]) == [
        (
            "T119",
            "note",
            "Bends b1, b2 are made by one stroke and cannot be corrected apart: the depth changes by +0.020 mm for all of "
            "them. What that leaves: b1 +0.10 degrees, b2 -0.10 degrees.",
        )
    ]


def test_confirmed_nonsense_meets_the_model():
    """178 degrees confirmed for a target of 90: no such bend."""
    places = read(left_deg=178.0, centre_deg=178.0, right_deg=178.0, confirmed=True)
    with pytest.raises(OutOfRangeError) as caught:
        correct(FirstPiece(readings=(places,), thickness_mm=1.5), JOB)
    assert lines(caught.value.findings) == [
        (
            "T113",
            "error",
            "Bend b1: springback came out as 90.5 degrees and the angle under load as -0.5; "
            "the depth model has no such bend.",
        )
    ]


TIMES = {"setup_s": 1500.0, "cycle_s": 92.0, "rate_per_h": 62.0}
ASKED = [
    (
        lambda: axis_changes_mm(left_mm=0.1, right_mm=0.2, left_z_mm=50.0, right_z_mm=50.0, axes_distance_mm=2600.0),
        [("T115", "error", "Left and right were measured at the same place, 50 mm from the middle of the bed.")],
    ),
    (lambda: learn(()), [("T116", "error", "Nothing to learn from: no value was given.")]),
    (
        lambda: price_breaks(**TIMES, quantities=(0, 2.5, True)),
        [
            ("T111", "error", f"Quantity is {quantity}; a whole number of 1 or more is needed.")
            for quantity in (0, 2.5, True)
        ],
    ),
    (
        lambda: price_breaks(**TIMES | {"cycle_s": -1.0, "rate_per_h": nan}, quantities=(1,)),
        [
            ("T112", "error", "cycle_s is -1.0; 0 or more is needed."),
            ("T112", "error", "rate_per_h is NaN; 0 or more is needed."),
        ],
    ),
    (
        lambda: half_setup_quantity(setup_s=1500.0, cycle_s=0.0),
        [("T112", "error", "set-up or cycle time is 0.0; 0 or more is needed.")],
    ),
    (
        lambda: setup_seconds(stations=-1, pieces=3, times=HandlingTimes()),
        [("T112", "error", "stations is -1; 0 or more is needed.")],
    ),
    (
        lambda: cycle_seconds(counts=Counts(strokes=4, flips=-2), times=HandlingTimes()),
        [("T112", "error", "flips is -2; 0 or more is needed.")],
    ),
    (
        lambda: calibration_factor(planned_s=(), actual_s=(10.0,)),
        [("T112", "error", "the sum of planned times is 0.0; 0 or more is needed.")],
    ),
]


@pytest.mark.parametrize(("ask", "expected"), ASKED)
def test_other_impossible_inputs(ask, expected):
    """One sentence each, no traceback."""
    with pytest.raises(BendwrightError) as caught:
        ask()
    assert lines(caught.value.findings) == expected
