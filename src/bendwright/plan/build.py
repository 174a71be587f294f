"""From part, sheet and shop to the finished plan."""

from __future__ import annotations

import math
from datetime import date

import shapely

from bendwright.findings import Finding, NotPossibleError, Severity, found
from bendwright.part.aim import aimed
from bendwright.part.bumped import facets_of
from bendwright.part.legs import outside_mm
from bendwright.part.model import Part
from bendwright.plan.choose import Chosen, Tooling, choose
from bendwright.plan.clamping import clamps_over
from bendwright.plan.costing import setup_seconds, setups_of
from bendwright.plan.explain import done_names, obstacle, real_stacks
from bendwright.plan.feature_findings import feature_findings
from bendwright.plan.flatten import overloads
from bendwright.plan.jog_stroke import jog_findings
from bendwright.plan.layout import Layout, lay_out
from bendwright.plan.permissions import free_daylight_mm
from bendwright.plan.pick import picked
from bendwright.plan.result import Plan, PlanLeg, PlanTimes, RefusedOrder, SheetUsed, Station
from bendwright.plan.situation import Situation
from bendwright.plan.solution import Solution
from bendwright.plan.strokes import make_strokes
from bendwright.plan.tables import Tables
from bendwright.said import joined, phrase, say
from bendwright.shop.practice import Practice
from bendwright.shop.sheet import Sheet
from bendwright.stroke.result import Stroke

SCHEMA = "bendwright-plan/1"
NOT_FOR_PLANNING = {
    "year", "drive", "hour_meter_h", "guard", "axes_order", "crowning_scale", "rate_per_h", "crowning", "y_repeat_mm",
    "return_mm_per_s", "approach_mm_per_s", "gauge.x_repeat_mm", "gauge.z_range_mm", "gauge.independent_x",
    "punch_held", "punch_clamps", "die_holder_width_mm", "gauge.beam_behind_mm", "gauge.beam_height_mm", "gauge.retract_mm",
    "gauge.fingers_apart_mm",
}  # fmt: skip


def make_plan(part: Part, tooling: Tooling, *, quantity: int, made_on: date) -> Plan:
    """The cheapest plan that works; raises NotPossibleError with the obstructions when there is none."""
    return plan_of(part, choose(aimed(part), tooling, quantity=quantity), tooling, quantity=quantity, made_on=made_on)


def plan_of(part: Part, chosen: Chosen, tooling: Tooling, *, quantity: int, made_on: date) -> Plan:
    """The plan of an order found; raises NotPossibleError when a stroke of it may not be made."""
    solution = chosen.solution
    tables = solution.tables
    situation = tables.situation
    strokes, stations, said = _made(chosen)
    mass = situation.blank.mass_kg(density_kg_per_m3=tooling.sheet.material.density_kg_per_m3)
    return Plan(
        schema=SCHEMA,
        header=part.header,
        sheet=_sheet_used(tooling.sheet),
        brake_id=tooling.brake.id,
        brake_name=tooling.brake.name,
        quantity=quantity,
        blank=situation.blank,
        mass_kg=mass,
        stations=stations,
        strokes=strokes,
        legs=_legs(part, situation.part, strokes),
        tool_choices=chosen.choices,
        refused=_refused(tables),
        times=_times(solution, strokes, stations, tooling.practice),
        optimal=solution.proven,
        lower_bound_s=solution.bound_s,
        states_searched=solution.states,
        cautions=tuple(_cautions(part, tooling, mass, strokes)),
        findings=(*said, *feature_findings(situation), *_general(part, tooling, chosen)),
        made_on=made_on.isoformat(),
    )


def _made(chosen: Chosen) -> tuple[tuple[Stroke, ...], tuple[Station, ...], list[Finding]]:
    """Strokes, stations and what is to be said of them; NotPossibleError when a stroke may not be made."""
    solution = chosen.solution
    layout = lay_out(solution)
    strokes, said = make_strokes(solution, layout)
    stopped = [*overloads(strokes), *(f for f in said if f.severity is Severity.ERROR), *_withheld(strokes)]
    if stopped:
        raise NotPossibleError(stopped)
    situation = solution.tables.situation
    return strokes, tuple(_stations(solution, layout)), [*said, *_never_pressed(situation), *jog_findings(situation)]


def _never_pressed(situation: Situation) -> list[Finding]:
    """O117 for every hem that no pair of tools can press flat."""
    return [
        found("O117", where=f"bend {bend.id}", bend=bend.id, length=situation.bend_length_mm(i))
        for i, bend in enumerate(situation.part.bends)
        if bend.kind != "bend" and i not in situation.hems
    ]


def _withheld(strokes: tuple[Stroke, ...]) -> list[Finding]:
    """K109 for every stroke whose own evidence says no: such a plan never leaves, whatever the search thought of it."""
    return [
        found(
            "K109",
            where=f"stroke {stroke.number}",
            number=stroke.number,
            bend=stroke.bend_id,
            piece=phrase(stroke.clearance.part_piece),
            against=phrase(stroke.clearance.against),
            mm=-stroke.clearance.mm,
        )
        for stroke in strokes
        if stroke.clearance.verdict == "no"
    ]


def _legs(drawn: Part, aimed_at: Part, strokes: tuple[Stroke, ...]) -> tuple[PlanLeg, ...]:
    """Outside sizes of all flanges; a flange is held by the last stroke that gauges off itself or off the face at its end."""
    held, facets = dict[str, str](), facets_of(drawn)
    for stroke in strokes:
        if stroke.gauging.kind == "none" or not stroke.gauging.holds.startswith("flange "):
            continue
        if stroke.kind == "offset":
            held[stroke.gauging.holds.removeprefix("flange ")] = stroke.bend_id
            continue
        for bend in (drawn.bend(name) for name in stroke.bend_ids):
            back = bend.child if stroke.gauged_flange_side == "child" else bend.parent
            held[back] = stroke.bend_id
    return tuple(
        PlanLeg(
            flange_id=flange.id,
            aimed_mm=outside_mm(aimed_at, flange.id),
            drawn_mm=outside_mm(drawn, flange.id),
            gauged_at_bend=held.get(flange.id),
        )
        for flange in drawn.flanges
        if flange.id not in facets
    )


def _sheet_used(sheet: Sheet) -> SheetUsed:
    return SheetUsed(
        material=sheet.material.name,
        family=sheet.material.family,
        nominal_thickness_mm=sheet.nominal_thickness_mm,
        thickness_mm=sheet.thickness_mm,
        measured=sheet.is_measured,
        tensile_mpa=sheet.strength_mpa,
        yield_mpa=sheet.material.yield_mpa,
        density_kg_per_m3=sheet.material.density_kg_per_m3,
        batch=sheet.batch,
        film_mm=sheet.film_mm,
    )


def _stations(solution: Solution, layout: Layout) -> list[Station]:
    out = []
    brake = solution.tables.situation.brake
    for k, item in enumerate(solution.stations):
        punch, die = item.slot.punch, item.slot.die
        out.append(
            Station(
                number=k + 1,
                set_up=setups_of(solution.stations)[k] + 1,
                punch_id=punch.id,
                punch_turned=item.slot.turned,
                die_id=die.id,
                length_mm=item.punch_stack.length_mm,
                left_end_z_mm=layout.left_ends_mm[k],
                punch_pieces=picked(item.punch_stack, punch.id, punch.location, turned=item.slot.turned),
                die_pieces=picked(item.die_stack, die.id, die.location, turned=False),
                daylight_mm=free_daylight_mm(brake, punch.height_mm, die.height_mm),
                clamps=clamps_over(item, brake),
            )
        )
    return out


def _times(
    solution: Solution, strokes: tuple[Stroke, ...], stations: tuple[Station, ...], practice: Practice
) -> PlanTimes:
    """Set-up and cycle [s]; each set-up takes the piece in hand once more."""
    times = practice.times
    handling = sum(stroke.handling.seconds for stroke in strokes)
    loads = len({station.set_up for station in stations})
    cycle = loads * times.load_unload_s + handling + len(strokes) * (times.position_s + times.stroke_s)
    return PlanTimes(setup_s=setup_seconds(solution.tables.situation, solution.stations), cycle_s=cycle)


def _refused(tables: Tables) -> tuple[RefusedOrder, ...]:
    """For every bend: what stands in the way if it were made last, with all others done; hits keep to their run."""
    stacks = real_stacks(tables)
    out: dict[str, RefusedOrder] = {}
    jogged = tables.situation.jogged
    singles = [i for i, own in enumerate(tables.situation.part.bends) if own.hit is None and not jogged >> i & 1]
    for number in (*singles, *(k for k, move in enumerate(tables.moves) if move.jog)):
        move = tables.moves[number]
        stages = sum(tables.situation.stage_of(bend) for bend in move.bends)
        mask = tables.full & ~(move.makes | stages)
        item = obstacle(tables, number, mask, stacks)
        if item is None:
            continue
        name = " + ".join(tables.situation.part.bends[bend].id for bend in move.bends)
        sentence = say("order.cannot_be_last", name=name, done_names=done_names(tables, mask), sentence=item.sentence)
        out[sentence] = RefusedOrder(sentence=sentence, bend_id=name, against=item.against, mm=item.mm)
    return tuple(out.values())


def _cautions(part: Part, tooling: Tooling, mass: float, strokes: tuple[Stroke, ...]) -> list[str]:
    practice = tooling.practice
    out = []
    if mass >= practice.two_person_mass_kg:
        out.append(say("caution.weight", mass=mass))
    fast = max(strokes, key=lambda stroke: stroke.whip_m_per_s)
    if fast.whip_m_per_s > practice.whip_watch_m_per_s:
        out.append(say("caution.whip", whip_m_per_s=fast.whip_m_per_s, fast=fast.number))
    front = min(_front_reach(stroke) for stroke in strokes)
    if front < practice.hand_room_mm:
        out.append(say("caution.fingers_near", front=front))
    if any(stroke.kind in ("hem_prebend", "hem_flatten") for stroke in strokes):
        out.append("Hems: the flattening stroke pushes the sheet out and pinches; keep fingers off the folded edge.")
    film = tooling.sheet.film_sides
    if film not in ("none", "unknown"):
        out.append("Film on the sheet: count it in when measuring, check it after the first bend.")
    out.append("Pinch points between part, punch, ram and gauge at every stroke.")
    return out


def _front_reach(stroke: Stroke) -> float:
    start = [p for p in stroke.view.polygons if p.role == "part_start"]
    return max(0.0, -min((shapely.Polygon(p.points).bounds[0] for p in start), default=-math.inf))


def _general(part: Part, tooling: Tooling, chosen: Chosen) -> list[Finding]:
    out: list[Finding] = []
    sheet = tooling.sheet
    if not sheet.is_measured:
        out.append(found("O110", thickness=sheet.nominal_thickness_mm))
    usual = sheet.material.tensile_range_mpa
    if sheet.tensile_mpa is not None and usual is not None and not usual[0] <= sheet.tensile_mpa <= usual[1]:
        name = sheet.material.name
        out.append(found("O119", material=name, tensile=sheet.tensile_mpa, low=usual[0], high=usual[1]))
    drawn = part.header.thickness_mm
    if drawn is not None and abs(drawn - sheet.nominal_thickness_mm) > 0.01:
        out.append(found("O114", drawn=drawn, nominal=sheet.nominal_thickness_mm))
    missing = [name for name in tooling.brake.missing_fields() if name not in NOT_FOR_PLANNING]
    if missing:
        out.append(found("O106", brake=tooling.brake.id, fields=", ".join(missing)))
    setups = setups_of(chosen.solution.stations)
    if len(set(setups)) > 1:
        words = [
            joined(" and ", (phrase(f"station {k + 1}") for k, own in enumerate(setups) if own == one))
            for one in sorted(set(setups))
        ]
        out.append(found("O118", first=words[0], then=joined(", then ", words[1:])))
    for station in chosen.solution.stations:
        for tool in (station.slot.punch, station.slot.die):
            if tool.max_line_load_kn_per_m is None:
                out.append(found("O107", tool=tool.id))
    return list(dict.fromkeys(out))
