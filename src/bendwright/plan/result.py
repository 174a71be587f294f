"""A finished plan: what hangs where, which stroke follows which, and the evidence."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bendwright.doubt.result import PlanDoubt
from bendwright.findings import Finding
from bendwright.part.blank_model import Blank
from bendwright.part.model import Header
from bendwright.stroke.result import Check, Stroke


@dataclass(frozen=True, slots=True, kw_only=True)
class PickedPiece:
    """One piece out of the cabinet, in the order it hangs from left to right."""

    tool_id: str
    length_mm: float
    label: str
    location: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ClampPlace:
    """One clamp over a punch stack: its length, and its left end from the left end of the stack [mm]."""

    length_mm: float
    from_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """One place on the bed: a punch stack over a die stack, both beginning at ``left_end_z_mm``; ``length_mm`` is the punch
    stack's, the die stack may be longer. Stations of one ``set_up`` hang together, the others follow after a re-tooling.
    ``clamps`` are those that must stand over this stack and nowhere beyond (empty = the brake holds punches in one rail).
    """

    number: int
    set_up: int
    punch_id: str
    punch_turned: bool
    die_id: str
    length_mm: float
    left_end_z_mm: float
    punch_pieces: tuple[PickedPiece, ...]
    die_pieces: tuple[PickedPiece, ...]
    daylight_mm: float | None
    clamps: tuple[ClampPlace, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetUsed:
    """The sheet the plan was made for."""

    material: str
    family: str
    nominal_thickness_mm: float
    thickness_mm: float
    measured: bool
    tensile_mpa: float
    yield_mpa: float
    density_kg_per_m3: float
    batch: str
    film_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanLeg:
    """One outside dimension a person can measure: the flange, the size aimed at (middle of its tolerance) and as drawn [mm],
    and the bend whose gauging holds it (None: it takes what the others leave).
    """

    flange_id: str
    aimed_mm: float
    drawn_mm: float
    gauged_at_bend: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolChoice:
    """One die looked at: taken, possible or refused, with the reason in words and the checks behind it."""

    die_id: str
    opening_mm: float
    inside_radius_mm: float
    verdict: Literal["taken", "possible", "refused"]
    reason: str
    checks: tuple[Check, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RefusedOrder:
    """Why another way of doing it does not work: the stroke that fails and by how much."""

    sentence: str
    bend_id: str
    against: str
    mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanTimes:
    """Seconds: set-up once, handling and strokes per piece."""

    setup_s: float
    cycle_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Everything the paper, the screen and the files show. ``optimal`` is true when no cheaper order exists among the
    stated candidates; ``lower_bound_s`` is the proven least cycle time. ``doubt`` is None when the spread was not studied.
    """

    schema: str
    header: Header
    sheet: SheetUsed
    brake_id: str
    brake_name: str
    quantity: int
    blank: Blank
    mass_kg: float
    stations: tuple[Station, ...]
    strokes: tuple[Stroke, ...]
    legs: tuple[PlanLeg, ...]
    tool_choices: tuple[ToolChoice, ...]
    refused: tuple[RefusedOrder, ...]
    times: PlanTimes
    optimal: bool
    lower_bound_s: float
    states_searched: int
    cautions: tuple[str, ...]
    findings: tuple[Finding, ...]
    made_on: str
    doubt: PlanDoubt | None = None
