"""A whole plan on one page: sheet, brake, stations, blank, strokes, why, what was refused, how good and how sure it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from bendwright.bench.german import with_german
from bendwright.bench.pages.doubt_bars import DoubtShown, doubt_shown
from bendwright.bench.pages.stroke_card import CheckShown, StrokeCard, check_shown, stroke_card
from bendwright.bench.problems import InGerman, shown
from bendwright.findings import Finding
from bendwright.plan.result import Plan, Station
from bendwright.said import joined, phrase, say
from bendwright.sheets.mind import cautions, first_and_other_findings, loads_not_told
from bendwright.sheets.model_section import crown_lines, model_line
from bendwright.sheets.plan_words import NEVER_REPLACES, Pick, ends_of, picks, reasons, sheet_words
from bendwright.sheets.proof import proof_of
from bendwright.sheets.shown import Shown, change, count, in_unit, length, mass, plain, time
from bendwright.sheets.where import strokes_of


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetShown:
    """The sheet the plan was made for; ``words`` is all of it in a line."""

    words: str
    material: str
    thickness: Shown
    nominal: Shown
    measured: bool
    tensile: Shown
    batch: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PickShown:
    """One line of the pick list: what, its pieces from left to right, where they lie, how long they are together."""

    what: str
    pieces: str
    locations: str
    length: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StationShown:
    """One station: which set-up, from which to which end of its punch on the bed, how far its die reaches where that is elsewhere, what to
    pick for it, daylight.
    """

    number: int
    set_up: int
    punch: str
    punch_turned: bool
    die: str
    left: Shown
    right: Shown
    die_right: Shown | None
    daylight: Shown
    picks: list[PickShown]


@dataclass(frozen=True, slots=True, kw_only=True)
class LegShown:
    """An outside size a person can measure; "" in ``held_at`` = it takes what the others leave."""

    flange: str
    aimed: Shown
    drawn: Shown
    held_at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DieShown:
    """One die looked at, with the checks behind the verdict that are not ok."""

    die: str
    opening: Shown
    radius: Shown
    verdict: str
    reason: str
    checks: list[CheckShown]


@dataclass(frozen=True, slots=True, kw_only=True)
class RefusedShown:
    """Another way that does not work, and by how much."""

    sentence: str
    bend: str
    against: str
    by: Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedFinding:
    """A finding with the numbers of the strokes it concerns (none = the whole plan); ``first`` ones can hurt or are done by hand."""

    code: str
    severity: str
    sentence: str
    where: str
    cure: str
    in_german: InGerman | None
    strokes: list[int]
    first: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ProofShown:
    """Whether the plan is proven the best, in words, and the seconds over what no order comes below."""

    proven: bool
    words: str
    gap: Shown
    states: Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class BendChoice:
    """A bend as it may be pinned: its name and the two flanges of which one may lie at the gauge."""

    id: str
    sides: list[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class MovedShown:
    """One number that moved because the sheet is not nominal."""

    what: str
    nominal: Shown
    measured: Shown
    change: Shown | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanPage:
    """Everything of a plan; the strokes' own pages tell more of each. ``order`` is the order as a hand-made one is written; pictures are
    at /jobs/{id}/pictures/ by name: blank, stations, folded, stroke-1, section-1 (large).
    """

    job: str
    part_no: str
    revision: str
    title: str
    customer: str
    notes: list[str]
    made_on: str
    quantity: int
    sheet: SheetShown
    brake_id: str
    brake: str
    blank_width: Shown
    blank_height: Shown
    blank_mass: Shown
    setup_time: Shown
    cycle_time: Shown
    proof: ProofShown
    model: str
    crown: list[str]
    stations: list[StationShown]
    strokes: list[StrokeCard]
    order: list[str]
    bends: list[BendChoice]
    pins: list[str]
    legs: list[LegShown]
    dies: list[DieShown]
    reasons: list[str]
    refused: list[RefusedShown]
    findings: list[PlacedFinding]
    cautions: list[str]
    doubt: DoubtShown | None
    moved: list[MovedShown]
    never: str
    german: dict[str, str] = field(default_factory=dict)


def plan_page(
    job: str, plan: Plan, *, part: dict[str, Any], moved: Sequence[dict[str, Any]], pins: Sequence[str]
) -> PlanPage:
    """The page of a stored plan; ``moved`` and ``pins`` as they were kept with the job."""
    head, proof = plan.header, proof_of(plan)
    cards = [stroke_card(plan, stroke) for stroke in plan.strokes]
    return with_german(
        PlanPage(
            job=job,
            part_no=head.part_no,
            revision=head.revision,
            title=head.title,
            customer=head.customer,
            notes=list(head.notes),
            made_on=plan.made_on,
            quantity=plan.quantity,
            sheet=_sheet(plan),
            brake_id=plan.brake_id,
            brake=f"{plan.brake_id} · {plan.brake_name}",
            blank_width=length(plan.blank.width_mm, source=_blank_source(plan)),
            blank_height=length(plan.blank.height_mm, source=_blank_source(plan)),
            blank_mass=mass(plan.mass_kg),
            setup_time=time(plan.times.setup_s),
            cycle_time=time(plan.times.cycle_s),
            proof=ProofShown(
                proven=proof.proven, words=proof.words, gap=time(proof.gap_s), states=count(plan.states_searched)
            ),
            model=model_line(plan),
            crown=crown_lines(plan),
            stations=_stations(plan),
            strokes=cards,
            order=[card.written for card in cards if card.written],
            bends=_bends(plan, part),
            pins=list(pins),
            legs=_legs(plan),
            dies=_dies(plan),
            reasons=list(reasons(plan)),
            refused=_refused(plan),
            findings=_findings(plan),
            cautions=[*cautions(plan), *loads_not_told(plan)],
            doubt=doubt_shown(plan.doubt),
            moved=[_moved(item) for item in moved],
            never=NEVER_REPLACES,
        )
    )


def _legs(plan: Plan) -> list[LegShown]:
    return [
        LegShown(
            flange=leg.flange_id,
            aimed=length(leg.aimed_mm, source="the middle of the drawing's tolerance"),
            drawn=length(leg.drawn_mm, source="the drawing"),
            held_at=leg.gauged_at_bend or "",
        )
        for leg in plan.legs
    ]


def _refused(plan: Plan) -> list[RefusedShown]:
    return [
        RefusedShown(sentence=one.sentence, bend=one.bend_id, against=one.against, by=length(one.mm, decimals=1))
        for one in plan.refused
    ]


def _bends(plan: Plan, part: dict[str, Any]) -> list[BendChoice]:
    """The bends made as drawn; those made hit by hit are settled hit by hit, which no page offers."""
    made = {name for stroke in plan.strokes for name in stroke.bend_ids}
    drawn = [bend for bend in part["part"]["bends"] if bend["id"] in made]
    return [BendChoice(id=bend["id"], sides=[bend["parent"], bend["child"]]) for bend in drawn]


def _blank_source(plan: Plan) -> str:
    told = dict.fromkeys(stroke.allowance_source for stroke in plan.strokes)
    return say("source.blank", told=joined("; ", map(phrase, told)))


def _sheet(plan: Plan) -> SheetShown:
    sheet = plan.sheet
    known = "readings of the sheet" if sheet.measured else "nominal, nobody measured it"
    return SheetShown(
        words=sheet_words(sheet),
        material=sheet.material,
        thickness=length(sheet.thickness_mm, source=known),
        nominal=length(sheet.nominal_thickness_mm),
        measured=sheet.measured,
        tensile=plain(
            sheet.tensile_mpa, decimals=0, unit="MPa", source="the sheet's certificate or the material's record"
        ),
        batch=sheet.batch,
    )


def _stations(plan: Plan) -> list[StationShown]:
    rows = picks(plan)
    return [_station(station, [row for row in rows if row.station == station.number]) for station in plan.stations]


def _station(station: Station, rows: Sequence[Pick]) -> StationShown:
    punch, die = ends_of(station)
    return StationShown(
        number=station.number,
        set_up=station.set_up,
        punch=station.punch_id,
        punch_turned=station.punch_turned,
        die=station.die_id,
        left=length(station.left_end_z_mm, decimals=1),
        right=length(punch, decimals=1),
        die_right=None if abs(punch - die) < 0.05 else length(die, decimals=1),
        daylight=length(station.daylight_mm, decimals=0),
        picks=[PickShown(what=row.what, pieces=row.pieces, locations=row.locations, length=row.length) for row in rows],
    )


def _dies(plan: Plan) -> list[DieShown]:
    return [
        DieShown(
            die=item.die_id,
            opening=length(item.opening_mm, decimals=1),
            radius=length(item.inside_radius_mm),
            verdict=item.verdict,
            reason=item.reason,
            checks=[check_shown(check) for check in item.checks if check.verdict != "ok"],
        )
        for item in plan.tool_choices
    ]


def _findings(plan: Plan) -> list[PlacedFinding]:
    first, others = first_and_other_findings(plan)
    return [_placed(item, plan, first=item in first) for item in (*first, *others)]


def _placed(finding: Finding, plan: Plan, *, first: bool) -> PlacedFinding:
    said = shown(finding)
    return PlacedFinding(
        code=said.code,
        severity=said.severity,
        sentence=said.sentence,
        where=said.where,
        cure=said.cure,
        in_german=said.in_german,
        strokes=list(strokes_of(finding.where, plan)),
        first=first,
    )


def _moved(item: dict[str, Any]) -> MovedShown:
    decimals = 3 if "depth" in item["what"] else 2
    nominal, measured = (
        length(item[name], decimals=decimals) if item["unit"] == "mm" else in_unit(item[name], item["unit"])
        for name in ("nominal", "measured")
    )
    return MovedShown(what=item["what"], nominal=nominal, measured=measured, change=change(nominal, measured))
