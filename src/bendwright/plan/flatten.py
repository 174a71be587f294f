"""The second stroke of a hem: pressing the pre-bent hem flat, on a flattening punch and die of their own.

Force is the trade's 3 to 5 times the air-bend load.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from bendwright.findings import Finding, found
from bendwright.mechanics.hems import hem_flattening_line_load_band
from bendwright.plan.backwards import Step
from bendwright.plan.flat_pair import FlatTools
from bendwright.plan.layout import bent_mm
from bendwright.plan.pressing import no_room_for_pair, place_of_pair, room_beside_mm, stop_height_mm
from bendwright.plan.stations import Station
from bendwright.plan.tables import Tables
from bendwright.said import phrase, say, unstopped
from bendwright.stroke.loads import force_of, line_load
from bendwright.stroke.result import Check, Clearance, Gauging, Handling, NamedPolygon, SectionView, Stroke, Verdict

CAP_MM = 500.0


def overloads(strokes: Sequence[Stroke]) -> list[Finding]:
    """K107 for every flattening stroke, K131 for every jog, whose load passes a limit even at the low end of its band."""
    return [
        found(
            "K107" if stroke.kind == "hem_flatten" else "K131",
            where=f"bend {stroke.bend_id}",
            bend=stroke.bends_name if stroke.kind == "offset" else stroke.bend_id,
            name=phrase(check.name),
            low=low,
            high=check.value,
            limit=check.limit,
            unit=check.unit,
        )
        for stroke in strokes
        if stroke.kind in ("hem_flatten", "offset")
        for check, low in ((check, _low_end(stroke, check)) for check in stroke.loads)
        if check.limit is not None and low > check.limit
    ]


def _low_end(stroke: Stroke, check: Check) -> float:
    return check.value * stroke.line_load_kn_per_m.low / stroke.line_load_kn_per_m.high


def pressed_stroke(
    tables: Tables, step: Step, station: Station, number: int, first: Sequence[Stroke], hand: Handling
) -> Stroke:
    """The stroke that presses hems flat; ``first`` are the strokes that bent them. The trade's rule counts in air bends of the charts."""
    situation, item, move = tables.situation, tables.around[step.move], tables.moves[step.move]
    assert situation.flat is not None
    before = first[0]
    length = bent_mm(tables, step)
    load = hem_flattening_line_load_band(air_bend=line_load(sheet=situation.sheet, die=situation.dies[step.bend]))
    force = force_of(load, length_mm=length)
    stop, start = stop_height_mm(situation, step.bend), place_of_pair(situation, item, situation.flat, step.mask)
    thickness = situation.blank.thickness_mm
    low, high = item.span
    opened = before.gauging.x_mm * math.sin(math.radians(before.target_included_deg)) + thickness
    return replace(
        before,
        number=number,
        kind="hem_flatten",
        gauged_flange_side="child",
        with_bends=tuple(situation.part.bends[i].id for i in move.bends[1:]),
        station=step.station + 1,
        punch_id=station.slot.punch.id,
        punch_turned=False,
        die_id=station.slot.die.id,
        stack_length_mm=station.punch_stack.length_mm,
        stack_from_mm=start - low,
        bend_length_mm=high - low,
        target_included_deg=0.0,
        loaded_included_deg=0.0,
        springback_deg=0.0,
        springback_source="pressed flat",
        depth_mm=max(opened - stop, 0.0),
        depth_source="twice the sheet and the gap above the flat die",
        mechanics=None,
        models=(),
        crown=None,
        mm_per_degree=0.0,
        force_kn=force,
        line_load_kn_per_m=load,
        loads=tuple(_flat_load(check, load.high, force.high, situation.flat) for check in before.loads),
        checks=(_stop_check(stop),),
        gauging=_no_gauging(before),
        handling=replace(hand, text=say("handling.flatten", hand=unstopped(hand.text), stop=stop)),
        clearance=clearance_of_pair(tables, step, "hem"),
        cautions=("Keep fingers off the folded edge; the sheet creeps out toward you.",),
        why=("force: 3 to 5 times the air bend, common practice",),
        brought_in="straight",
        taken_off="up",
        view=_view(situation.flat, stop, thickness, before.gauging.x_mm),
    )


def clearance_of_pair(tables: Tables, step: Step, own: str) -> Clearance:
    """How near what stands beside a hem or a jog comes to the tools; ``own`` is what lies between them."""
    situation, item = tables.situation, tables.around[step.move]
    met = no_room_for_pair(situation, item, step.mask)
    mm, piece, against = room_beside_mm(situation, item, step.mask)
    if met is not None:
        mm, piece, against = -met.mm, met.body, met.against
    if mm >= CAP_MM:
        mm, piece, against = CAP_MM, "", ""
    verdict: Verdict = "ok"
    if mm < situation.practice.clearance_watch_mm:
        verdict = "no" if met else "watch"
    return Clearance(
        mm=mm,
        part_piece=piece or own,
        against=against or "nothing: all else lies flat",
        at_turned_deg=180.0,
        at_point=(0.0, 0.0),
        verdict=verdict,
    )


def _no_gauging(before: Stroke) -> Gauging:
    return Gauging(
        kind="none",
        flange_id=before.gauging.flange_id,
        x_mm=0.0,
        r_mm=0.0,
        fingers_z_mm=(),
        contact_mm=0.0,
        at="folded edge between the flat tools, sheet held in front",
        holds="the hem",
        takes_error="nothing",
        verdict="ok",
    )


def _flat_load(check: Check, line: float, force: float, tools: FlatTools) -> Check:
    """The same limits held against the flattening load; the tools' own limits are those of the flattening pair. Above a
    limit is a watch here, since the band is wide; ``overloads`` says what passes a limit at its low end.
    """
    values = {"machine total": force, "heavier cylinder": 0.5 * force}
    limits = {"punch line load": tools.punch.max_line_load_kn_per_m, "die line load": tools.die.max_line_load_kn_per_m}
    value, limit = values.get(check.name, line), limits.get(check.name, check.limit)
    verdict: Verdict = "watch" if limit is None or value > limit else "ok"
    return replace(check, value=value, limit=limit, verdict=verdict)


def _stop_check(stop: float) -> Check:
    return Check(
        name="stop height",
        value=stop,
        limit=None,
        unit="mm",
        verdict="ok",
        rule="the ram stops at 2 t and the gap above the flat die",
        source="geometry",
    )


def _view(tools: FlatTools, stop: float, thickness: float, leg: float) -> SectionView:
    def polygon(role: str, name: str, points: Sequence[tuple[float, float]]) -> NamedPolygon:
        return NamedPolygon(role=role, name=name, points=tuple(points))  # type: ignore[arg-type]

    punch = [(x, y + stop) for x, y in tools.punch.outline]
    half = 0.5 * leg
    lower = [(-60.0, 0.0), (half, 0.0), (half, thickness), (-60.0, thickness)]
    upper = [(-half, stop - thickness), (half, stop - thickness), (half, stop), (-half, stop)]
    return SectionView(
        polygons=(
            polygon("punch", f"punch {tools.punch.id}", punch),
            polygon("die", f"die {tools.die.id}", tools.die.outline),
            polygon("part", "sheet", lower),
            polygon("part", "sheet", upper),
        )
    )
