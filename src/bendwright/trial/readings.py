"""What was measured on the first piece, and what it was to be. Anything not measured is None, never 0."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from bendwright.findings import Finding, InputError, found
from bendwright.said import in_both, phrase

JUMP_DEG = 5.0
SLIP_MM, SLIP_SHARE = 5.0, 0.1
"""A flange further off than both, in mm and of its length, was not measured right or not gauged at all."""
"""A reading this far from the others or from the target is taken for a slip (one bend rarely varies by 1 degree)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """Included angles of one bend, seen by the operator from the front [degrees]. ``confirmed`` = measured again."""

    bend_id: str
    left_deg: float | None = None
    centre_deg: float | None = None
    right_deg: float | None = None
    confirmed: bool = False

    def given(self) -> dict[str, float]:
        """The readings that were taken, by place."""
        places = {"left": self.left_deg, "centre": self.centre_deg, "right": self.right_deg}
        return {place: value for place, value in places.items() if value is not None}


@dataclass(frozen=True, slots=True, kw_only=True)
class LegReading:
    """Measured outside length of one flange [mm]; None = not measured."""

    flange_id: str
    measured_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstPiece:
    """Everything measured on one piece. ``thickness_mm`` is the sheet's measured thickness."""

    readings: tuple[Reading, ...] = ()
    legs: tuple[LegReading, ...] = ()
    thickness_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BendAim:
    """What one bend was programmed for: wanted included angle, springback and thickness counted on.

    ``mm_per_degree`` is the plan's own sensitivity, ``ram_deg_per_mm`` its change of the loaded angle per mm of thickness
    with the ram's place fixed to the die (None = from the geometry of straight legs). Without ``mm_per_degree`` the
    sharp-corner model is taken, which needs ``opening_mm`` and asks for too much depth by 30-50 %; it is sure of the sign only.
    ``stroke`` is the number of the stroke that makes it: bends with the same one share its depth (None = a stroke of its own).
    """

    bend_id: str
    included_deg: float
    springback_deg: float
    thickness_mm: float
    opening_mm: float | None = None
    mm_per_degree: float | None = None
    ram_deg_per_mm: float | None = None
    stroke: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LegAim:
    """Wanted outside length of one flange [mm]. ``gauged_at_bend`` is the bend whose gauge position sets it; None = it
    takes the error that is left.
    """

    flange_id: str
    outside_mm: float
    gauged_at_bend: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """What the piece was to be: the bends, and all flanges of one straight section across the part.

    ``flange_count`` is the number of flanges of the whole part (None = the section is known to be complete).
    """

    bends: tuple[BendAim, ...] = ()
    legs: tuple[LegAim, ...] = ()
    flange_count: int | None = None

    def made_with(self, bend_id: str) -> tuple[str, ...]:
        """The other bends of the stroke that makes this one."""
        number = next(aim.stroke for aim in self.bends if aim.bend_id == bend_id)
        alike = (aim.bend_id for aim in self.bends if number is not None and aim.stroke == number)
        return tuple(name for name in alike if name != bend_id)


def check_piece(piece: FirstPiece, job: Job) -> None:
    """Refuse readings that cannot be used: unknown or double names, impossible numbers (InputError, all findings)."""
    findings = _names("bend", [r.bend_id for r in piece.readings], [b.bend_id for b in job.bends])
    findings += _names("flange", [leg.flange_id for leg in piece.legs], [leg.flange_id for leg in job.legs])
    for reading in piece.readings:
        for place, value in reading.given().items():
            if not 0.0 < value < 180.0:
                findings.append(
                    found("T102", where=reading.bend_id, bend_id=reading.bend_id, place=phrase(place), value=value)
                )
    lengths = [(leg.flange_id, leg.measured_mm) for leg in piece.legs] + [("thickness", piece.thickness_mm)]
    findings += [
        found("T108", where=name, name=name, value=length)
        for name, length in lengths
        if length is not None and not 0.0 < length < float("inf")
    ]
    read = {reading.bend_id for reading in piece.readings}
    findings += [
        found("T114", where=aim.bend_id, bend_id=aim.bend_id)
        for aim in job.bends
        if aim.bend_id in read and aim.opening_mm is None and aim.mm_per_degree is None
    ]
    if findings:
        raise InputError(findings)


def _names(what: str, came: Iterable[str], known: Iterable[str]) -> list[Finding]:
    """Findings for names the job does not have (T103) or that came twice (T104)."""
    names, known = list(came), list(known)
    shown = ", ".join(known) or phrase("none")
    findings = [
        found("T103", where=name, what=phrase(what), name=name, known=shown)
        for name in dict.fromkeys(names)
        if name not in known
    ]
    twice = [name for name in dict.fromkeys(names) if names.count(name) > 1]
    return findings + [
        found("T104", where=name, what=in_both(str.capitalize, phrase(what)), name=name) for name in twice
    ]


def slips(reading: Reading, aim: BendAim) -> list[Finding]:
    """Readings 5 degrees or more off all other readings or off the target (T101); none if confirmed."""
    if reading.confirmed:
        return []
    given = reading.given()
    findings = []
    for place, value in given.items():
        others = [other for key, other in given.items() if key != place]
        off_others = min((abs(value - other) for other in others), default=0.0)
        off_target = abs(value - aim.included_deg)
        if max(off_others, off_target) >= JUMP_DEG:
            by_others = off_others >= JUMP_DEG
            jump, against = (off_others, "the nearest other reading") if by_others else (off_target, "the target")
            values = {"place": phrase(place), "value": value, "jump": jump, "against": phrase(against)}
            findings.append(found("T101", where=reading.bend_id, bend_id=reading.bend_id, **values))
    return findings


def length_slips(piece: FirstPiece, job: Job) -> list[Finding]:
    """Flanges further from the length wanted than any offset cures (T118)."""
    wanted = {aim.flange_id: aim.outside_mm for aim in job.legs}
    findings = []
    for leg in piece.legs:
        if leg.measured_mm is None:
            continue
        outside = wanted[leg.flange_id]
        off, most = abs(leg.measured_mm - outside), max(SLIP_MM, SLIP_SHARE * outside)
        if off > most:
            values = {"measured_mm": leg.measured_mm, "wanted_mm": outside, "off_mm": off, "most_mm": most}
            findings.append(found("T118", where=leg.flange_id, flange_id=leg.flange_id, **values))
    return findings
