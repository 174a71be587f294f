"""What was read off protractor and caliper, as it was typed, becomes readings of a piece."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from bendwright.findings import Finding
    from bendwright.plan.result import Plan
    from bendwright.trial.corrections import Corrections
    from bendwright.trial.readings import FirstPiece, Job

PLACES = ("left", "centre", "right")


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One entry, read: included angles by bend and place [degrees], outside lengths by flange and the sheet's thickness [mm]; the bends of
    which the readings were taken twice and stand.
    """

    angles_deg: Mapping[str, Mapping[str, float]]
    legs_mm: Mapping[str, float]
    thickness_mm: float | None
    confirmed: frozenset[str]


def read_measured(typed: Mapping[str, Any]) -> Measured:
    """One entry: "bends" [{"bend", "left", "centre", "right"}], "legs" [{"flange", "length"}], "thickness", "angle_kind" (included or
    turned), "unit" (mm or inch), "confirmed". Blank = not read. Raises InputError (Q1xx) with everything that cannot be read.
    """
    from bendwright.findings import BendwrightError, InputError
    from bendwright.quantities import is_blank, parse_angle_deg, parse_optional_length

    findings: list[Finding] = []

    def angle(text: str, where: str) -> float:
        value = parse_angle_deg(text, where=where, allow_zero=True)
        return 180.0 - value if typed["angle_kind"] == "turned" else value

    def length(text: str, where: str) -> float | None:
        return parse_optional_length(text, default_unit=typed["unit"], where=where)

    def read(reader: Any, text: str, where: str) -> Any:
        try:
            return None if is_blank(text) else reader(text, where)
        except BendwrightError as error:
            findings.extend(error.findings)
            return None

    angles = {
        bend["bend"]: {
            place: value
            for place in PLACES
            if (value := read(angle, bend[place], f"{bend['bend']} {place}")) is not None
        }
        for bend in typed["bends"]
    }
    legs = {
        leg["flange"]: value
        for leg in typed["legs"]
        if (value := read(length, leg["length"], leg["flange"])) is not None
    }
    thickness = read(length, typed["thickness"], "thickness")
    if findings:
        raise InputError(findings)
    confirmed = frozenset(angles) if typed["confirmed"] else frozenset()
    return Measured(angles_deg=angles, legs_mm=legs, thickness_mm=thickness, confirmed=confirmed)


def piece_of(entries: Iterable[Measured]) -> FirstPiece:
    """All entries of one piece as one, in the order they were taken: at each place the last one counts."""
    from bendwright.trial.readings import FirstPiece, LegReading, Reading

    read: dict[str, dict[str, float]] = {}
    legs: dict[str, float] = {}
    confirmed: frozenset[str] = frozenset()
    thickness = None
    for entry in entries:
        for bend_id, places in entry.angles_deg.items():
            read.setdefault(bend_id, {}).update(places)
        legs.update(entry.legs_mm)
        confirmed = (confirmed - entry.angles_deg.keys()) | entry.confirmed
        thickness = entry.thickness_mm if entry.thickness_mm is not None else thickness
    return FirstPiece(
        readings=tuple(
            Reading(
                bend_id=bend_id,
                left_deg=places.get("left"),
                centre_deg=places.get("centre"),
                right_deg=places.get("right"),
                confirmed=bend_id in confirmed,
            )
            for bend_id, places in read.items()
            if places
        ),
        legs=tuple(LegReading(flange_id=name, measured_mm=value) for name, value in legs.items()),
        thickness_mm=thickness,
    )


def job_for(plan: Plan, flange_ids: Collection[str] | None = None) -> Job:
    """The plan's job with the aims of these flanges; None = of all that can be measured."""
    from bendwright.trial.from_plan import job_of_plan
    from bendwright.trial.readings import LegAim

    aims = (
        LegAim(flange_id=leg.flange_id, outside_mm=leg.aimed_mm, gauged_at_bend=leg.gauged_at_bend)
        for leg in plan.legs
        if flange_ids is None or leg.flange_id in flange_ids
    )
    return job_of_plan(plan, legs=tuple(aims))


def corrections_of(plan: Plan, piece: FirstPiece) -> Corrections:
    """Corrections of one piece made by ``plan``, by the legs that were measured. Raises InputError (T102 to T104, T108, T114) for readings
    that cannot be used.
    """
    from bendwright.trial.corrections import correct

    return correct(piece, job_for(plan, {leg.flange_id for leg in piece.legs}))
