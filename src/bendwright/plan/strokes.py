"""Every stroke of a solution with its evidence, ready for paper."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import shapely

from bendwright.findings import Finding, Severity, found
from bendwright.mechanics.whip import edge_speed_m_per_s
from bendwright.part.model import Part
from bendwright.plan.backwards import Step, swing_at
from bendwright.plan.evidence import Posed, clearance, end_clearance_mm, posed_bodies
from bendwright.plan.fits import ALONG_IN, ALONG_OFF, SHIFT_OFF
from bendwright.plan.flatten import pressed_stroke
from bendwright.plan.gauges import good_contact_mm
from bendwright.plan.gauging_record import gauging_of
from bendwright.plan.handling import Stance, handling, stance
from bendwright.plan.jog_stroke import jog_stroke
from bendwright.plan.layout import Layout, bent_mm
from bendwright.plan.picture import section_view
from bendwright.plan.places import stack_start
from bendwright.plan.real_stroke import crown_findings, crown_of, real_swing
from bendwright.plan.removal import Trap, trap
from bendwright.plan.solution import Solution
from bendwright.plan.stations import Station
from bendwright.plan.tables import Tables
from bendwright.quantities import Band
from bendwright.said import figure, phrase, say
from bendwright.stroke.loads import (
    die_load_checks,
    force_of,
    line_load,
    low_force_check,
    off_centre_check,
    punch_load_check,
)
from bendwright.stroke.model_numbers import both_models, mechanics_of
from bendwright.stroke.result import Check, Gauging, Handling, Stroke
from bendwright.stroke.swing import Swing

TIPS_WATCH_MM = 5.0


def make_strokes(solution: Solution, layout: Layout) -> tuple[tuple[Stroke, ...], list[Finding]]:
    """All strokes in order, and what a person should know about them."""
    strokes: list[Stroke] = []
    findings: list[Finding] = []
    before: Stance | None = None
    last: Gauging | None = None
    tables, times = solution.tables, solution.tables.situation.practice.times
    for number, step in enumerate(solution.steps, start=1):
        station = solution.stations[step.station]
        now = stance(tables.situation, step.bend, step.side, step.station + 1)
        if tables.moves[step.move].pressed and not tables.moves[step.move].jog:
            hand = handling(before, now, gauge_moved=False, times=times)
            names = [tables.situation.part.bends[bend].id for bend in tables.moves[step.move].bends]
            first = [stroke for stroke in strokes if set(stroke.bend_ids) & set(names)]
            strokes.append(pressed_stroke(tables, step, station, number, first, hand))
            before, last = now, None
            continue
        gauging = gauging_of(tables, step)
        moved = last is not None and (abs(last.x_mm - gauging.x_mm) > 0.05 or abs(last.r_mm - gauging.r_mm) > 0.05)
        hand = handling(before, now, gauge_moved=moved, times=times)
        if tables.moves[step.move].jog:
            stroke = jog_stroke(tables, step, station, number, gauging, hand, layout)
            said = _said(tables, stroke, None)
        else:
            stroke, said = _stroke(tables, step, station, number, gauging, hand, layout)
        strokes.append(stroke)
        findings.extend(said)
        before, last = now, gauging
    findings = worst_of_runs(solution.tables.situation.part, strokes, findings)
    return tuple(strokes), [*dict.fromkeys(findings), *watched_checks(strokes)]


def worst_of_runs(part: Part, strokes: Sequence[Stroke], findings: Sequence[Finding]) -> list[Finding]:
    """The findings; of what is said of several hits of one large radius only what was said of the first, of clearances (K101) that of
    the hit with the least; errors all stay.
    """
    runs = {f"stroke {s.number}": (hit.of, s.clearance.mm) for s in strokes if (hit := part.bend(s.bend_id).hit)}
    worst: dict[tuple[str, str], Finding] = {}
    for item in findings:
        of, mm = runs.get(item.where, ("", 0.0))
        if of and item.severity is not Severity.ERROR:
            kept = worst.setdefault((of, item.code), item)
            if item.code == "K101" and round(mm, 2) < round(runs[kept.where][1], 2):
                worst[of, item.code] = item
    gone = {item for item in findings if item.where in runs and item.severity is not Severity.ERROR}
    return [item for item in findings if item not in gone - set(worst.values())]


def _stroke(
    tables: Tables, step: Step, station: Station, number: int, gauging: Gauging, hand: Handling, layout: Layout
) -> tuple[Stroke, list[Finding]]:
    situation = tables.situation
    swing, no_answer = real_swing(tables, step, station)
    bodies = posed_bodies(tables, step)
    start = stack_start(tables, step, station)
    low, high = tables.around[step.move].span
    length = bent_mm(tables, step)
    load = swing.line_load
    punch, die = station.slot.punch, station.slot.die
    force = force_of(load, length_mm=length)
    stroke = Stroke(
        **_bend_fields(swing),
        number=number,
        gauged_flange_side="child" if step.side == 1 else "parent",
        station=step.station + 1,
        punch_id=punch.id,
        punch_turned=station.slot.turned,
        die_id=die.id,
        stack_length_mm=station.punch_stack.length_mm,
        stack_from_mm=start - low if step.side == 1 else high - start - station.punch_stack.length_mm,
        bend_length_mm=high - low,
        force_kn=force,
        line_load_kn_per_m=load,
        models=both_models(swing.bend, sheet=situation.sheet, die=die, punch=punch, practice=situation.practice),
        crown=crown_of(tables, step, station, start, layout.left_ends_mm[step.station], swing),
        loads=_loads(tables, station, swing, length, layout, step),
        checks=_checks(tables, step, station, start, force),
        gauging=gauging,
        handling=hand,
        clearance=clearance(tables, step, station, bodies, start),
        whip_m_per_s=_whip(situation.brake.bend_mm_per_s, bodies, swing.half_centre_mm),
        cautions=(),
        why=_why(tables, step, station),
        view=section_view(situation, step, station, bodies, gauging),
        with_bends=tuple(situation.part.bends[i].id for i in tables.moves[step.move].bends[1:]),
        brought_in="along" if step.flags & ALONG_IN else "straight",
        taken_off="shift" if step.flags & SHIFT_OFF else ("along" if step.flags & ALONG_OFF else "up"),
    )
    said = _said(tables, stroke, trap(tables, step, station, bodies, start))
    said += crown_findings(stroke.crown, bend_id=stroke.bends_name)
    if no_answer is not None:
        said.append(
            found("K130", where=f"bend {stroke.bend_id}", bend=stroke.bend_id, die=die.id, why=no_answer.sentence)
        )
    tips = _tips_mm(tables, step, bodies)
    if tips > TIPS_WATCH_MM:
        said.append(found("K108", where=f"stroke {number}", number=number, bend=swing.bend.id, behind=tips))
    return stroke, said


def _bend_fields(swing: Swing) -> dict[str, Any]:
    """The fields of a stroke that die, sheet and springback alone decide."""
    return {
        "bend_id": swing.bend.id,
        "kind": "air_bend" if swing.bend.kind == "bend" else "hem_prebend",
        "direction": swing.bend.direction,
        "target_included_deg": 180.0 - swing.target_turned_deg,
        "loaded_included_deg": swing.loaded_included_deg,
        "springback_deg": swing.spring.deg,
        "springback_source": swing.spring.source,
        "inside_radius_mm": swing.formed_radius_mm,
        "radius_source": swing.size.radius_source,
        "allowance_source": swing.size.allowance_source,
        "depth_source": swing.depth_source,
        "mechanics": mechanics_of(swing.stroke),
        "bend_allowance_mm": swing.size.bend_allowance_mm,
        "bend_deduction_mm": swing.size.bend_deduction_mm,
        "depth_mm": swing.depth_mm,
        "mm_per_degree": swing.mm_per_degree,
    }


def _whip(speed: float | None, bodies: Sequence[Posed], half_centre: float) -> float:
    """Edge speed [m/s] of the farther side at the start; 0 where the machine's bending speed is not known."""
    if speed is None:
        return 0.0
    reach = max(float(abs(body.ring[:, 0]).max()) for body in bodies)
    return edge_speed_m_per_s(reach_mm=reach, ram_speed_mm_per_s=speed, half_centre_mm=half_centre)


def _loads(
    tables: Tables, station: Station, swing: Swing, length: float, layout: Layout, step: Step
) -> tuple[Check, ...]:
    brake, die, load = tables.situation.brake, station.slot.die, swing.line_load
    charts = None if swing.stroke is None else line_load(sheet=tables.situation.sheet, die=die)
    force = force_of(load, length_mm=length)
    middle = layout.left_ends_mm[step.station] + 0.5 * station.punch_stack.length_mm
    off = 0.0 if brake.bed_length_mm is None else middle - 0.5 * brake.bed_length_mm
    return (
        *die_load_checks(load, length_mm=length, die=die, brake=brake, charts=charts),
        punch_load_check(load, station.slot.punch, charts=charts),
        off_centre_check(force, from_middle_mm=off, brake=brake),
    )


def _checks(tables: Tables, step: Step, station: Station, start: float, force: Band) -> tuple[Check, ...]:
    verdict = tables.situation.verdicts[step.bend]
    loads = {"machine total", "machine line load", "die line load"}
    checks = [check for check in verdict.checks if check.name not in loads]
    least = low_force_check(force, tables.situation.brake)
    if least is not None:
        checks.append(least)
    room = end_clearance_mm(tables, step, station, start)
    if room is not None:
        limit = tables.situation.practice.end_clearance_mm
        checks.append(
            Check(
                name="end clearance",
                value=room,
                limit=limit,
                unit="mm",
                verdict="ok" if room >= limit - 1e-6 else "no",
                rule="room between each stack end and the wall standing beside it",
                source="the shop's practice",
            )
        )
    return tuple(checks)


def _why(tables: Tables, step: Step, station: Station) -> tuple[str, ...]:
    verdict = tables.situation.verdicts[step.bend]
    die, punch = station.slot.die, station.slot.punch
    return (
        say(
            "why.die",
            die=die.id,
            opening_mm=die.opening_mm,
            opening_mm2=die.opening_mm / tables.situation.blank.thickness_mm,
        ),
        say("why.inside_radius", radius_source=verdict.size.radius_source),
        say("why.allowance", allowance_source=phrase(verdict.size.allowance_source)),
        say("why.springback", value=phrase(verdict.swing.spring.source if verdict.swing else "not known")),
        say("why.depth", value=phrase(verdict.swing.depth_source if verdict.swing else "not known")),
        say("why.force", value=phrase(verdict.swing.line_load.source if verdict.swing else "not known")),
        say("why.punch", punch=punch.id, kind=phrase(punch.kind), angle_deg=punch.angle_deg),
    )


def _said(tables: Tables, stroke: Stroke, caught: Trap | None) -> list[Finding]:
    practice = tables.situation.practice
    at: dict[str, Any] = {"number": stroke.number, "bend": stroke.bends_name, "where": f"stroke {stroke.number}"}
    out = []
    close = stroke.clearance
    if close.verdict != "ok":
        out.append(
            found(
                "K101",
                piece=phrase(close.part_piece),
                mm=close.mm,
                against=phrase(close.against),
                limit=practice.clearance_watch_mm,
                included=180.0 - close.at_turned_deg,
                **at,
            )
        )
    out.extend(_gauge_said(tables, stroke, at))
    if caught is not None:
        out.append(trap_finding(caught, at))
    room = next((check.value for check in stroke.checks if check.name == "end clearance"), None)
    radius = stroke.inside_radius_mm
    if room is not None and room < radius:
        overlap = math.hypot(radius - room, radius) - radius
        out.append(found("O111", where=at["where"], overlap=overlap, number=stroke.number, clearance=room))
    return out


def _tips_mm(tables: Tables, step: Step, bodies: Sequence[Posed]) -> float:
    """How far the sheet's middle of mass lies behind the rear shoulder as it lies for the stroke [mm]; negative: it lies fast."""
    areas = {flat.flange_id: shapely.Polygon(flat.outline).area for flat in tables.situation.blank.flats}
    places: dict[str, list[float]] = {}
    for body in bodies:
        if body.body.zone is None:
            middle = float(shapely.MultiPoint(body.ring).convex_hull.centroid.x)
            places.setdefault(body.body.flange_id, []).append(middle if body.side == step.side else -middle)
    total = sum(areas[name] for name in places)
    mean = sum(areas[name] * sum(xs) / len(xs) for name, xs in places.items()) / total
    return mean - swing_at(tables, step).half_centre_mm


def _gauge_said(tables: Tables, stroke: Stroke, at: dict[str, Any]) -> list[Finding]:
    out = []
    gauging = stroke.gauging
    names = [bend.id for bend in tables.situation.part.bends]
    side_by_side = stroke.bend_ids[:1] if stroke.kind == "offset" else stroke.bend_ids
    good = good_contact_mm(tables.situation, [names.index(name) for name in side_by_side])
    if _reach(gauging) < good - 1e-6:
        out.append(found("K104", contact=gauging.contact_mm, good=good, **at))
    bend = tables.situation.part.bend(stroke.bend_id)
    front = bend.parent if stroke.gauged_flange_side == "child" else bend.child
    if gauging.verdict == "watch" and tables.situation.part.flange(front).fit:
        out.append(found("K103", flange=front, **at))
    return out


def _reach(gauging: Gauging) -> float:
    """How far apart the gauge can hold the part: the contact, or the spread of the fingers where notches lie between."""
    spread = gauging.fingers_z_mm[-1] - gauging.fingers_z_mm[0] if len(gauging.fingers_z_mm) > 1 else 0.0
    return max(gauging.contact_mm, spread)


def trap_finding(caught: Trap, at: dict[str, Any]) -> Finding:
    """K105 with the way off; ``at`` names stroke, bend and place."""
    what = "ear foot" if caught.ear_foot else "punch stack"
    if caught.sideways and caught.shift:
        cure, side = "Lower the part, shift it toward front or gauge and lead it off the punch by hand.", ""
    elif caught.sideways:
        cure, side = "Slide the part off along the bed, or take the punch out with it.", ""
    elif caught.ear_foot:
        cure = say("helps.slide_end_pieces", overlap_mm=caught.overlap_mm + 1.0)
        side = " per side"
    else:
        cure, side = "Tilt the part off the end of the stack.", ""
    return found(
        "K105",
        piece=phrase(caught.piece),
        what=phrase(what),
        overlap=caught.overlap_mm,
        side=phrase(side),
        cure=phrase(cure),
        **at,
    )


def watched_checks(strokes: Sequence[Stroke]) -> list[Finding]:
    """Every check a person should look at, said once for all strokes it concerns."""
    bends: dict[tuple[object, ...], list[str]] = {}
    first: dict[tuple[object, ...], Check] = {}
    for stroke in strokes:
        for check in (*stroke.checks, *stroke.loads):
            if check.verdict != "ok":
                key: tuple[object, ...] = (
                    check.name,
                    round(check.value, 2),
                    None if check.limit is None else round(check.limit, 2),
                    check.rule,
                )
                first.setdefault(key, check)
                bends.setdefault(key, []).extend(stroke.bend_ids)
    out = []
    for key, names in bends.items():
        check = first[key]
        limit = "an unknown limit" if check.limit is None else figure(f"{check.limit:.2f} {check.unit}")
        out.append(
            found(
                "K102",
                where="bends " + ", ".join(dict.fromkeys(names)),
                name=phrase(check.name),
                value=check.value,
                unit=check.unit,
                limit=phrase(limit),
                rule=phrase(check.rule),
                source=phrase(check.source),
            )
        )
    return out
