"""The second stroke of a hem: pressing the pre-bent hem flat.

The stroke follows its pre-bend at once, on a flattening punch and die of their own. Force is the trade's 3 to 5 times the
air-bend load; no clearance is worked out for it beyond the closed height, and the stroke says so.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from bendwright.findings import Finding, found
from bendwright.mechanics.hems import flattened_height_mm, hem_flattening_line_load_band
from bendwright.part.model import Part
from bendwright.plan.layout import OnBed
from bendwright.plan.pick import picked
from bendwright.plan.result import Station
from bendwright.plan.stacks import Stack, best_stack
from bendwright.quantities import Band
from bendwright.shop.sheet import Sheet
from bendwright.shop.tools import Die, Punch
from bendwright.stroke.loads import force_of, line_load
from bendwright.stroke.result import Check, Clearance, Gauging, Handling, NamedPolygon, SectionView, Stroke, Verdict

WALK_S = 5.0
NOT_CHECKED = "not worked out: flattening needs only the closed height"


@dataclass(frozen=True, slots=True)
class FlatTools:
    """The flattening pair and its stacks."""

    punch: Punch
    die: Die
    upper: Stack
    lower: Stack


def flat_tools(punches: Sequence[Punch], dies: Sequence[Die], *, length_mm: float) -> FlatTools | None:
    """The first flattening pair of the cabinet whose pieces cover the hem [mm]; None when there is none."""
    for punch in punches:
        for die in dies:
            if punch.kind == die.kind == "flattening":
                upper = best_stack(punch.pieces, least_mm=length_mm, roomy=True)
                lower = best_stack(die.pieces, least_mm=length_mm, roomy=True)
                if upper is not None and lower is not None:
                    return FlatTools(punch, die, upper, lower)
    return None


def with_flattening(
    part: Part,
    strokes: Sequence[Stroke],
    tools: FlatTools | None,
    *,
    station: int,
    sheet: Sheet,
    dies: Sequence[Die],
) -> tuple[tuple[Stroke, ...], list[Finding]]:
    """Put a flattening stroke after every pre-bend and number all strokes anew; O117 where no pair of tools exists. The trade's
    rule counts in air bends of the charts.
    """
    out: list[Stroke] = []
    findings: list[Finding] = []
    for stroke in strokes:
        back = bool(out) and out[-1].kind == "hem_flatten"
        hand = _back_to(stroke.handling, stroke.station) if back else stroke.handling
        out.append(replace(stroke, number=len(out) + 1, handling=hand))
        if stroke.kind != "hem_prebend":
            continue
        if tools is None:
            findings.append(
                found("O117", where=f"bend {stroke.bend_id}", bend=stroke.bend_id, length=stroke.bend_length_mm)
            )
            continue
        gap = part.bend(stroke.bend_id).hem_gap_mm or 0.0
        air = line_load(sheet=sheet, die=next(die for die in dies if die.id == stroke.die_id))
        out.append(_flatten(stroke, tools, len(out) + 1, station, sheet.thickness_mm, gap, air))
    return tuple(out), findings


def on_bed(tools: FlatTools) -> OnBed:
    """The flattening pair as a stack on the bed; the part is put in by hand, so nothing is counted beside it."""
    length = max(tools.upper.length_mm, tools.lower.length_mm)
    return OnBed(length, 0.0, 0.0, 0.0, 0.0, tools.punch.height_mm + tools.die.height_mm)


def flat_station(tools: FlatTools, first: Station, *, number: int, set_up: int, left_end_mm: float) -> Station:
    """The flattening station as a line of the pick list, built after the fields of another station."""
    return replace(
        first,
        number=number,
        set_up=set_up,
        left_end_z_mm=left_end_mm,
        punch_id=tools.punch.id,
        punch_turned=False,
        die_id=tools.die.id,
        length_mm=tools.upper.length_mm,
        punch_pieces=picked(tools.upper, tools.punch.id, tools.punch.location, turned=False),
        die_pieces=picked(tools.lower, tools.die.id, tools.die.location, turned=False),
    )


def overloads(strokes: Sequence[Stroke]) -> list[Finding]:
    """K107 for every flattening stroke whose load passes a limit even at the low end of its band."""
    return [
        found(
            "K107",
            where=f"bend {stroke.bend_id}",
            bend=stroke.bend_id,
            name=check.name,
            low=low,
            high=check.value,
            limit=check.limit,
            unit=check.unit,
        )
        for stroke in strokes
        if stroke.kind == "hem_flatten"
        for check, low in ((check, _low_end(stroke, check)) for check in stroke.loads)
        if check.limit is not None and low > check.limit
    ]


def _low_end(stroke: Stroke, check: Check) -> float:
    return check.value * stroke.line_load_kn_per_m.low / stroke.line_load_kn_per_m.high


def _flatten(
    before: Stroke, tools: FlatTools, number: int, station: int, thickness: float, gap: float, air_bend: Band
) -> Stroke:
    load = hem_flattening_line_load_band(air_bend=air_bend)
    force = force_of(load, length_mm=before.bend_length_mm)
    stop = flattened_height_mm(thickness_mm=thickness, gap_mm=gap)
    opened = before.gauging.x_mm * math.sin(math.radians(before.target_included_deg)) + thickness
    return replace(
        before,
        number=number,
        kind="hem_flatten",
        station=station,
        punch_id=tools.punch.id,
        punch_turned=False,
        die_id=tools.die.id,
        stack_length_mm=tools.upper.length_mm,
        stack_from_mm=0.5 * (before.bend_length_mm - tools.upper.length_mm),
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
        loads=tuple(_flat_load(check, load.high, force.high, tools) for check in before.loads),
        checks=(_stop_check(stop),),
        gauging=_no_gauging(before),
        handling=_handling(station, stop),
        clearance=Clearance(
            mm=0.0, part_piece="hem", against=NOT_CHECKED, at_turned_deg=180.0, at_point=(0.0, 0.0), verdict="watch"
        ),
        cautions=("Keep fingers off the folded edge; the sheet is pushed out toward you.",),
        why=("force: 3 to 5 times the air bend, common practice",),
        view=_view(tools, stop, thickness, before.gauging.x_mm),
    )


def _no_gauging(before: Stroke) -> Gauging:
    return Gauging(
        kind="none",
        flange_id=before.gauging.flange_id,
        x_mm=0.0,
        r_mm=0.0,
        fingers_z_mm=(),
        contact_mm=0.0,
        at="pushed in by hand tool, folded edge to the front",
        holds="the hem",
        takes_error="nothing",
        verdict="ok",
    )


def _handling(station: int, stop: float) -> Handling:
    return Handling(
        flip=False,
        turn_deg=0.0,
        station_change=True,
        gauge_move=False,
        seconds=WALK_S,
        text=f"Go to station {station} and flatten to {stop:.2f} mm.",
    )


def _back_to(hand: Handling, station: int) -> Handling:
    """The handling of a stroke that follows a flattening: the operator walks back first."""
    if hand.station_change:
        return hand
    text = f"Go back to station {station}" + (
        "." if hand.text == "As it lies." else f", {hand.text[0].lower()}{hand.text[1:]}"
    )
    return replace(hand, station_change=True, seconds=hand.seconds + WALK_S, text=text)


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
    lower = [(-half, 0.0), (60.0, 0.0), (60.0, thickness), (-half, thickness)]
    upper = [(-half, stop - thickness), (half, stop - thickness), (half, stop), (-half, stop)]
    return SectionView(
        polygons=(
            polygon("punch", f"punch {tools.punch.id}", punch),
            polygon("die", f"die {tools.die.id}", tools.die.outline),
            polygon("part", "sheet", lower),
            polygon("part", "sheet", upper),
        )
    )
