"""Does what the plan hangs exist, hang only once, stand on the bed, and cover its bends?"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterator, Sequence

from bendwright.findings import Finding, found
from bendwright.plan.result import PickedPiece, Plan, Station
from bendwright.replay.passing import TOLERANCE_MM
from bendwright.replay.saying import at_stroke
from bendwright.replay.standing import Standing
from bendwright.said import phrase, say
from bendwright.shop.brake import Brake
from bendwright.shop.tools import Cabinet
from bendwright.stroke.result import Stroke

SAME_HEIGHT_MM = 0.1


def unknown_tools(plan: Plan, cabinet: Cabinet) -> list[Finding]:
    """V100 for every tool or station a plan names that is not there."""
    punches, dies = {tool.id for tool in cabinet.punches}, {tool.id for tool in cabinet.dies}
    numbers = [station.number for station in plan.stations]
    out = (
        []
        if numbers == list(range(1, len(numbers) + 1))
        else [found("V100", what=say("replay.numbered", numbers=", ".join(map(str, numbers))))]
    )
    pairs = [(item.punch_id, item.die_id) for item in plan.stations]
    pairs += [(item.punch_id, item.die_id) for item in plan.strokes]
    out += [found("V100", what=phrase(f"punch {punch}")) for punch, _ in pairs if punch not in punches]
    out += [found("V100", what=phrase(f"die {die}")) for _, die in pairs if die not in dies]
    out += [
        found("V100", what=phrase(f"station {stroke.station}"))
        for stroke in plan.strokes
        if not 1 <= stroke.station <= len(plan.stations)
    ]
    return list(dict.fromkeys(out))


def hanging(plan: Plan, cabinet: Cabinet, brake: Brake) -> Iterator[Finding]:
    """V104 to V107: pieces, lengths, places on the bed, set-ups."""
    for station in plan.stations:
        total = length_of(station.punch_pieces)
        if abs(total - station.length_mm) > TOLERANCE_MM:
            yield found(
                "V105", where=f"station {station.number}", number=station.number, total=total, length=station.length_mm
            )
    for set_up in dict.fromkeys(station.set_up for station in plan.stations):
        together = [station for station in plan.stations if station.set_up == set_up]
        yield from _owned(together, cabinet)
        yield from _on_bed(together, brake)
        heights = [cabinet.punch(s.punch_id).height_mm + cabinet.die(s.die_id).height_mm for s in together]
        if max(heights) - min(heights) > SAME_HEIGHT_MM:
            what = say("replay.heights_differ", number=set_up, mm=max(heights) - min(heights))
            yield found("V107", where=f"set-up {set_up}", what=what)
        yield from _clamps(together, brake)
    order = [plan.stations[stroke.station - 1].set_up for stroke in plan.strokes]
    runs = [set_up for set_up, _ in itertools.groupby(order)]
    for set_up in sorted({one for one in runs if runs.count(one) > 1}):
        what = say("replay.hung_times", number=set_up, count=runs.count(set_up))
        yield found("V107", where=f"set-up {set_up}", what=what)


def length_of(pieces: Sequence[PickedPiece]) -> float:
    """Length of pieces side by side [mm]."""
    return sum(piece.length_mm for piece in pieces)


def _owned(stations: Sequence[Station], cabinet: Cabinet) -> Iterator[Finding]:
    used: Counter[tuple[str, str]] = Counter()
    owned: Counter[tuple[str, str]] = Counter()
    for station in stations:
        used.update((piece.tool_id, piece.label) for piece in (*station.punch_pieces, *station.die_pieces))
    tools = [(tool.id, tool.pieces) for tool in cabinet.punches] + [(tool.id, tool.pieces) for tool in cabinet.dies]
    for name, pieces in tools:
        for piece in pieces:
            owned[name, f"{piece.length_mm:g}" + (f" ear {piece.ear.side}" if piece.ear else "")] += piece.count
    for (tool_id, label), count in used.items():
        if count > owned[tool_id, label]:
            yield found(
                "V104", where=f"tool {tool_id}", tool=tool_id, label=label, count=count, owned=owned[tool_id, label]
            )


def _on_bed(stations: Sequence[Station], brake: Brake) -> Iterator[Finding]:
    spans = sorted(
        (s.left_end_z_mm, s.left_end_z_mm + max(s.length_mm, length_of(s.die_pieces)), s.number) for s in stations
    )
    for first, second in itertools.pairwise(spans):
        if first[1] - second[0] > TOLERANCE_MM:
            what = say("replay.stations_overlap", first=first[2], second=second[2], mm=first[1] - second[0])
            yield found("V106", where=f"station {second[2]}", what=what)
    bed = brake.bed_length_mm
    for low, high, number in spans:
        over = max(-low, high - bed if bed is not None else 0.0)
        if over > TOLERANCE_MM:
            what = say("replay.beyond_bed", number=number, mm=over)
            yield found("V106", where=f"station {number}", what=what)


def _clamps(stations: Sequence[Station], brake: Brake) -> Iterator[Finding]:
    """V104 for clamps the brake has not, V106 for clamps beside their stack or in each other."""
    held = getattr(brake, "punch_clamps", None)
    owned = Counter({piece.length_mm: piece.count for piece in held.pieces}) if held is not None else Counter()
    used = Counter(clamp.length_mm for station in stations for clamp in station.clamps)
    for length, count in used.items():
        if count > owned[length]:
            at = {"where": f"brake {brake.id}", "tool": say("replay.clamps_of", brake=brake.id), "label": f"{length:g}"}
            yield found("V104", **at, count=count, owned=owned[length])
    places = sorted(
        (s.left_end_z_mm + clamp.from_mm, s.left_end_z_mm + clamp.from_mm + clamp.length_mm, s.number)
        for s in stations
        for clamp in s.clamps
    )
    ends = {s.number: (s.left_end_z_mm, s.left_end_z_mm + s.length_mm) for s in stations}
    for low, high, number in places:
        over = max(ends[number][0] - low, high - ends[number][1])
        if over > TOLERANCE_MM:
            what = say("replay.clamp_beyond", mm=over)
            yield found("V106", where=f"station {number}", what=what)
    for first, second in itertools.pairwise(places):
        if first[1] - second[0] > TOLERANCE_MM:
            what = say("replay.clamps_overlap", first=first[2], second=second[2], mm=first[1] - second[0])
            yield found("V106", where=f"station {second[2]}", what=what)


def covered(stroke: Stroke, standing: Standing, station: Station, most_uncovered_mm: float) -> Iterator[Finding]:
    """V108 where punch or die leaves more of the bend's ends free than the shop allows, V109 where other tools hang there."""
    at = at_stroke(stroke)
    if (station.punch_id, station.die_id, station.punch_turned) != (
        stroke.punch_id,
        stroke.die_id,
        stroke.punch_turned,
    ):
        yield found("V109", punch=stroke.punch_id, die=stroke.die_id, station=station.number, **at)
    if abs(station.length_mm - stroke.stack_length_mm) > TOLERANCE_MM:
        yield found(
            "V105", total=stroke.stack_length_mm, length=station.length_mm, where=at["where"], number=station.number
        )
    length = standing.right - standing.left
    if abs(length - stroke.bend_length_mm) > TOLERANCE_MM:
        yield found(
            "V101",
            what=say("replay.long_by", plan=stroke.bend_length_mm, sheet=length),
            bend=stroke.bend_id,
            where=at["where"],
        )
    start = stroke.stack_from_mm
    for name, long in (("punch", stroke.stack_length_mm), ("die", length_of(station.die_pieces))):
        free = max(start, length - start - long)
        if free > most_uncovered_mm + TOLERANCE_MM:
            yield found("V108", tool=phrase(name), free=free, allowed=most_uncovered_mm, **at)
