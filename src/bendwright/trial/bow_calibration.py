"""From the angles of test bends to how much ram and bed of this brake really bow.

A test bend is read at its left end, middle and right end. The middle is more open by (C - (L + R)/2) degrees; times mm per
degree, and with the lift of the crown that was set, that is the sag of ram and bed over this bend. The form of the sag comes
from the beams (sizes of the plates, or one beam with a shear share); one ratio for all readings makes them soft enough, by
least squares of the angles.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bendwright.findings import Finding, InputError, found
from bendwright.mechanics.beam_any_load import SupportedBeam
from bendwright.mechanics.limits import not_negative, positive
from bendwright.said import phrase
from bendwright.shop.brake import Brake
from bendwright.shop.brake_bow import BowCalibration, Pair
from bendwright.stroke.bow import beams_to_scale, give_of, sag_of
from bendwright.stroke.crown_device import crown_lacks, crown_rise
from bendwright.trial.learned import learn
from bendwright.trial.readings import BendAim, FirstPiece, Job, Reading, check_piece, slips

PROTRACTOR_DEG = 0.1
"""Doubt of one reading with a good protractor."""
LARGEST_SPREAD = 0.25
"""Sags of several test bends that differ by more than this share of their mean do not belong to one machine."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TestBend:
    """One bend read at left, centre and right, made under a line load at ``bend_mm`` (from the left end of the bed).

    ``crown_set_mm`` is the height the crown stood at in its own middle.
    """

    __test__ = False

    reading: Reading
    line_load_kn_per_m: float
    bend_mm: Pair
    mm_per_degree: float
    crown_set_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Calibrated:
    """What to write into the brake's file; for each test bend the sag it shows [mm] and by how much its bow [degrees]
    differs from what the calibrated brake would give.
    """

    calibration: BowCalibration
    sags_mm: tuple[float, ...]
    residuals_deg: tuple[float, ...]
    findings: tuple[Finding, ...]


def calibrate(
    brake: Brake,
    tests: Sequence[TestBend],
    *,
    date: str,
    shear_share: float | None = None,
    supports_mm: Pair | None = None,
) -> Calibrated:
    """The bow of the brake from test bends; what was measured on it before is not used.

    Without the sizes of the plates, ``shear_share`` (at the longest test bend) and ``supports_mm`` are needed. Raises
    InputError: T116 without readings, T101 to T104 for readings that cannot be, T120 for a place not read, T121 where nothing
    tells the form of the bow, T122 for a crown nobody knows, T123 for a bend that shows no bow, T126 for one over a support.
    """
    _check(brake, tests)
    longest = max(tests, key=lambda test: test.bend_mm[1] - test.bend_mm[0])
    beams = beams_to_scale(brake, load_mm=longest.bend_mm, shear_share=shear_share, supports_mm=supports_mm)
    if not beams and (shear_share is None or supports_mm is None):
        raise InputError(found("T121", where=f"brake {brake.id}", brake=brake.id))
    if astray := [test.reading.bend_id for test in tests if not _between_supports(beams, test)]:
        raise InputError([found("T126", where=bend_id, bend_id=bend_id) for bend_id in astray])
    model = [sag_of(beams, line_load_kn_per_m=test.line_load_kn_per_m, load_mm=test.bend_mm) for test in tests]
    sags = [_sag_mm(brake, beams[-1], test) for test in tests]
    if flat := [test.reading.bend_id for test, sag in zip(tests, sags, strict=True) if sag <= 0.0]:
        raise InputError([found("T123", where=bend_id, bend_id=bend_id) for bend_id in flat])
    wanted, given = (np.array(one) / [test.mm_per_degree for test in tests] for one in (sags, model))
    ratio = float(wanted @ given) / float(given @ given)
    known, whole = learn([sag / one for sag, one in zip(sags, model, strict=True)]), model[tests.index(longest)]
    one_beam = len(beams) == 1
    calibration = BowCalibration(
        date=date,
        line_load_kn_per_m=longest.line_load_kn_per_m,
        load_mm=longest.bend_mm,
        sag_mm=ratio * whole,
        shear_share=shear_share if one_beam else None,
        supports_mm=supports_mm if one_beam else None,
        readings=known.count,
        spread_mm=None if known.spread is None else known.spread * whole,
    )
    return Calibrated(
        calibration=calibration,
        sags_mm=tuple(sags),
        residuals_deg=tuple((wanted - ratio * given).tolist()),
        findings=tuple(_doubts(tests, sags, calibration, brake)),
    )


def bow_expected_deg(brake: Brake, test: TestBend) -> float | None:
    """How much more open the middle of such a bend must come out than the mean of its ends [degrees]; None = not known.

    The angles of ``test.reading`` are not looked at. InputError T122 for a crown that is set but not known.
    """
    brake_give = give_of(brake)
    if brake_give is None:
        return None
    sag = sag_of(brake_give.beams, line_load_kn_per_m=test.line_load_kn_per_m, load_mm=test.bend_mm)
    return (sag - _crown_share_mm(brake, brake_give.beams[-1], test)) / test.mm_per_degree


def _between_supports(beams: Sequence[SupportedBeam], test: TestBend) -> bool:
    """True where the middle of the bend lies between the supports and the beams' middle gives way more than the ends there."""
    middle = 0.5 * (test.bend_mm[0] + test.bend_mm[1])
    between = all(beam.left_support_mm < middle < beam.right_support_mm for beam in beams)
    return between and sag_of(beams, line_load_kn_per_m=1.0, load_mm=test.bend_mm) > 0.0


def _sag_mm(brake: Brake, bed: SupportedBeam, test: TestBend) -> float:
    """The sag this bend shows, the crown's share added back [mm]."""
    given = test.reading.given()
    open_deg = given["centre"] - 0.5 * (given["left"] + given["right"])
    return open_deg * test.mm_per_degree + _crown_share_mm(brake, bed, test)


def _crown_share_mm(brake: Brake, bed: SupportedBeam, test: TestBend) -> float:
    """How much more the crown that was set lifts the middle of the bend than its ends [mm]."""
    if test.crown_set_mm == 0.0:
        return 0.0
    start, end = test.bend_mm
    rise = crown_rise(brake, bed, np.array([start, 0.5 * (start + end), end]))
    if rise is None:
        fields = ", ".join(crown_lacks(brake, bed)) or phrase("this brake has no crown")
        raise InputError(found("T122", where=test.reading.bend_id, height=test.crown_set_mm, fields=fields))
    return test.crown_set_mm * float(rise[1] - 0.5 * (rise[0] + rise[2]))


def _check(brake: Brake, tests: Sequence[TestBend]) -> None:
    """Refuse no readings, impossible or missing ones, slips, and sizes of 0 or less."""
    if not tests:
        raise InputError(found("T116", where=f"brake {brake.id}"))
    readings = tuple(test.reading for test in tests)
    aims = tuple(_aim(reading) for reading in {reading.bend_id: reading for reading in readings}.values())
    check_piece(FirstPiece(readings=readings), Job(bends=aims))
    missing = [reading for reading in readings if len(reading.given()) < 3]
    if missing:
        raise InputError([found("T120", where=one.bend_id, bend_id=one.bend_id) for one in missing])
    doubted = [slip for reading in readings for slip in slips(reading, _aim(reading))]
    if doubted:
        raise InputError(doubted)
    for test in tests:
        length = test.bend_mm[1] - test.bend_mm[0]
        positive(line_load_kn_per_m=test.line_load_kn_per_m, mm_per_degree=test.mm_per_degree, bend_length_mm=length)
        not_negative(crown_set_mm=test.crown_set_mm)


def _aim(reading: Reading) -> BendAim:
    """An aim that is just the first angle read: a test bend has no other."""
    first = next(iter(reading.given().values()), 90.0)
    return BendAim(bend_id=reading.bend_id, included_deg=first, springback_deg=0.0, thickness_mm=1.0, mm_per_degree=1.0)


def _doubts(
    tests: Sequence[TestBend], sags: Sequence[float], calibration: BowCalibration, brake: Brake
) -> list[Finding]:
    """Bows no larger than the protractor's doubt (T124); test bends that do not agree (T125)."""
    said = []
    for test, sag in zip(tests, sags, strict=True):
        bow = sag / test.mm_per_degree
        if bow < 3.0 * PROTRACTOR_DEG:
            name = test.reading.bend_id
            said.append(found("T124", where=name, bend_id=name, bow=bow, doubt=PROTRACTOR_DEG))
    spread = calibration.spread_mm
    if spread is not None and spread > LARGEST_SPREAD * calibration.sag_mm:
        percent = 100.0 * spread / calibration.sag_mm
        said.append(found("T125", where=f"brake {brake.id}", brake=brake.id, percent=percent))
    return said
