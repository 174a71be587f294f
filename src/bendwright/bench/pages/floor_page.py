"""Everything the screens at the brake show of one job, at once: they go on without the network."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from bendwright.bench.german import with_german
from bendwright.plan.handling import LEAST_TURN_DEG
from bendwright.plan.result import Plan, Station
from bendwright.sheets import shown
from bendwright.sheets.blank_picture import blank_svg
from bendwright.sheets.icons import handling_svg
from bendwright.sheets.mind import cautions, first_and_other_findings, in_full, loads_not_told
from bendwright.sheets.operator_picture import operator_svg, set_up_svg
from bendwright.sheets.plan_mark import plan_mark
from bendwright.sheets.plan_words import (
    ends_of,
    finger_places,
    flagged,
    gauging_doubt,
    hardest_load,
    nothing_near,
    piece_words,
    set_ups,
)
from bendwright.sheets.section_picture import section_svg
from bendwright.sheets.shown import Shown
from bendwright.sheets.standing_pieces import standing_pieces
from bendwright.stroke.result import Check, Stroke

SECTION_MM = (33.9, 30.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorPiece:
    """One piece to fetch and tick off: row, number there from the left (as in the picture), tool ("" = a clamp), the piece's name, length,
    left end on the bed, where it is kept ("" = not stated).
    """

    row: Literal["punch", "die", "clamp"]
    number: int
    tool: str
    label: str
    length: Shown
    at: Shown
    location: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorStation:
    """One place on the bed: tools, whether the punch hangs turned, its ends from the left end of the bed, its pieces."""

    number: int
    punch: str
    punch_turned: bool
    die: str
    left_end: Shown
    punch_end: Shown
    die_end: Shown
    pieces: list[FloorPiece]


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorSetUp:
    """Stations that hang together, with their picture; all pieces of the lot go through the strokes of one set-up, then the next."""

    number: int
    picture: str
    stations: list[FloorStation]


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorFinger:
    """One finger, numbered from the left: place along the bed, and X where it has one of its own."""

    number: int
    z: Shown
    x: Shown | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorGauge:
    """What is pushed against the fingers: a free edge or an outer face of ``flange``, or nothing; ``at`` says it in the plan's words.

    ``error_to`` is what takes the error; ``retract`` how far the fingers draw back before the sheet swings; ``doubt`` why it needs an eye.
    """

    kind: Literal["edge", "face", "none"]
    flange: str
    at: str
    error_to: str
    x: Shown | None
    r: Shown | None
    fingers: list[FloorFinger]
    retract: Shown | None
    doubt: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorHandling:
    """What is done with the sheet before the stroke; ``lay_up`` is the side that lies up at the first stroke (None later)."""

    icon: str
    lay_up: Literal["top", "bottom"] | None
    flip: bool
    turn: Shown | None
    go_to_station: bool
    gauge_moves: bool
    in_along: bool
    off: Literal["up", "shift", "along"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorStated:
    """A number of the stroke that has no limit, such as a stop height."""

    name: str
    value: Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorLeg:
    """An outside length to check after the stroke."""

    flange: str
    aimed: Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorStroke:
    """One screen. ``read_angles`` are the bends of which angles may be entered, ``read_legs`` the lengths to check.

    ``target`` and ``loaded`` are None where no angle is aimed at (a hem pressed flat). ``cautions`` and ``watch`` are sentences.
    """

    number: int
    bends: list[str]
    kind: Literal["air_bend", "hem_prebend", "hem_flatten", "offset"]
    direction: Literal["up", "down"]
    set_up: int
    station: int
    punch: str
    punch_turned: bool
    die: str
    handling: FloorHandling
    gauge: FloorGauge
    depth: Shown
    target: Shown | None
    loaded: Shown | None
    stated: list[FloorStated]
    force: Shown
    load: Shown | None
    clearance: Shown | None
    clearance_verdict: Literal["ok", "watch", "no"]
    cautions: list[str]
    watch: list[str]
    read_angles: list[str]
    read_legs: list[FloorLeg]
    operator_picture: str
    section_picture: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorPlan:
    """All screens of one job. ``mark`` changes with the plan; ``cautions`` are what can hurt, ``notes`` what else to mind; ``dropped``: the
    job was taken off the list.
    """

    job: str
    dropped: bool
    mark: str
    part_no: str
    revision: str
    title: str
    brake: str
    quantity: int
    material: str
    thickness: Shown
    measured: bool
    batch: str
    drawing_unit: str
    blank_width: Shown
    blank_height: Shown
    mass: Shown
    blank_picture: str
    set_up_time: Shown
    cycle_time: Shown
    cautions: list[str]
    notes: list[str]
    set_ups: list[FloorSetUp]
    strokes: list[FloorStroke]
    german: dict[str, str] = field(default_factory=dict)


def floor_plan(plan: Plan, *, job: str) -> FloorPlan:
    """The screens of ``plan``."""
    first, others = first_and_other_findings(plan)
    sheet, blank = plan.sheet, plan.blank
    return with_german(
        FloorPlan(
            job=job,
            dropped=False,
            mark=plan_mark(plan),
            part_no=plan.header.part_no,
            revision=plan.header.revision,
            title=plan.header.title,
            brake=f"{plan.brake_id} · {plan.brake_name}",
            quantity=plan.quantity,
            material=sheet.material,
            thickness=shown.length(sheet.thickness_mm, decimals=2),
            measured=sheet.measured,
            batch=sheet.batch,
            drawing_unit=plan.header.drawing_unit,
            blank_width=shown.length(blank.width_mm, decimals=2),
            blank_height=shown.length(blank.height_mm, decimals=2),
            mass=shown.mass(plan.mass_kg),
            blank_picture=blank_svg(blank, grain=plan.header.grain),
            set_up_time=shown.time(plan.times.setup_s),
            cycle_time=shown.time(plan.times.cycle_s),
            cautions=[*cautions(plan), *loads_not_told(plan), *map(in_full, first)],
            notes=[in_full(item) for item in others],
            set_ups=[
                FloorSetUp(number=row[0].set_up, picture=set_up_svg(row), stations=[_station(item) for item in row])
                for row in set_ups(plan.stations)
            ],
            strokes=[_stroke(plan, stroke) for stroke in plan.strokes],
        )
    )


def _station(station: Station) -> FloorStation:
    punch_end, die_end = ends_of(station)
    return FloorStation(
        number=station.number,
        punch=station.punch_id,
        punch_turned=station.punch_turned,
        die=station.die_id,
        left_end=shown.length(station.left_end_z_mm, decimals=1),
        punch_end=shown.length(punch_end, decimals=1),
        die_end=shown.length(die_end, decimals=1),
        pieces=[
            FloorPiece(
                row=piece.row,
                number=piece.number,
                tool=piece.tool_id,
                label=piece_words(piece.label),
                length=shown.length(piece.length_mm, decimals=1),
                at=shown.length(piece.at_mm, decimals=1),
                location=piece.location,
            )
            for piece in standing_pieces(station)
        ],
    )


def _stroke(plan: Plan, stroke: Stroke) -> FloorStroke:
    flat, hardest = stroke.kind == "hem_flatten", hardest_load(stroke.loads)
    width, height = SECTION_MM
    return FloorStroke(
        number=stroke.number,
        bends=list(stroke.bend_ids),
        kind=stroke.kind,
        direction=stroke.direction,
        set_up=next((item.set_up for item in plan.stations if item.number == stroke.station), 1),
        station=stroke.station,
        punch=stroke.punch_id,
        punch_turned=stroke.punch_turned,
        die=stroke.die_id,
        handling=_handling(stroke),
        gauge=_gauge(plan, stroke),
        depth=shown.length(stroke.depth_mm, decimals=3, source=stroke.depth_source),
        target=None if flat else shown.angle(stroke.target_included_deg),
        loaded=None if flat else shown.angle(stroke.loaded_included_deg, source=stroke.springback_source),
        stated=[_stated(check) for check in stroke.checks if check.limit is None and check.verdict == "ok"],
        force=shown.force(stroke.force_kn, source=stroke.force_kn.source),
        load=shown.percent(hardest.percent) if hardest else None,
        clearance=None if nothing_near(stroke) else shown.length(stroke.clearance.mm, decimals=1),
        clearance_verdict=stroke.clearance.verdict,
        cautions=list(stroke.cautions),
        watch=list(flagged(stroke)),
        read_angles=list(stroke.bend_ids) if stroke.kind == "air_bend" else [],
        read_legs=_legs(plan, stroke),
        operator_picture=operator_svg(plan, stroke),
        section_picture=section_svg(stroke, width_mm=width, height_mm=height),
    )


def _handling(stroke: Stroke) -> FloorHandling:
    told = stroke.handling
    up: Literal["top", "bottom"] = "top" if stroke.direction == "up" else "bottom"
    return FloorHandling(
        icon=handling_svg(told, along=stroke.brought_in == "along"),
        lay_up=up if stroke.number == 1 else None,
        flip=told.flip,
        turn=shown.difference_deg(told.turn_deg, decimals=0) if abs(told.turn_deg) > LEAST_TURN_DEG else None,
        go_to_station=told.station_change,
        gauge_moves=told.gauge_move,
        in_along=stroke.brought_in == "along",
        off=stroke.taken_off,
    )


def _gauge(plan: Plan, stroke: Stroke) -> FloorGauge:
    gauge, used = stroke.gauging, stroke.gauging.kind != "none"
    own = gauge.fingers_x_mm or (None,) * len(gauge.fingers_z_mm)
    fingers = sorted(zip(finger_places(plan, stroke), own, strict=False), key=lambda item: item[0])
    return FloorGauge(
        kind=gauge.kind,
        flange=gauge.flange_id,
        at=gauge.at,
        error_to=gauge.takes_error if used else "",
        x=shown.length(gauge.x_mm, decimals=2) if used else None,
        r=shown.length(gauge.r_mm, decimals=1) if used else None,
        fingers=[
            FloorFinger(
                number=number,
                z=shown.length(z, decimals=0),
                x=None if x is None else shown.length(x, decimals=2),
            )
            for number, (z, x) in enumerate(fingers if used else (), start=1)
        ],
        retract=shown.length(gauge.retract_mm, decimals=1) if gauge.retract_mm else None,
        doubt=gauging_doubt(stroke) if gauge.verdict != "ok" else "",
    )


def _stated(check: Check) -> FloorStated:
    length = check.unit == "mm"
    value = shown.length(check.value, decimals=2) if length else shown.plain(check.value, decimals=2, unit=check.unit)
    return FloorStated(name=check.name, value=value)


def _legs(plan: Plan, stroke: Stroke) -> list[FloorLeg]:
    """The legs the stroke's gauging holds; at the last stroke those too that take what is left."""
    if stroke.kind == "hem_prebend":
        return []
    last = stroke.number == plan.strokes[-1].number
    return [
        FloorLeg(flange=leg.flange_id, aimed=shown.length(leg.aimed_mm, decimals=2))
        for leg in plan.legs
        if (leg.gauged_at_bend in stroke.bend_ids if leg.gauged_at_bend else last)
    ]
