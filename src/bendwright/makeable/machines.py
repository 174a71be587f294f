"""Which brake is large, strong and open enough, and who must lift the part? A quick look: no order, no stations.

Everything is held against the dies taken. A brake the report knows nothing of in some respect is not refused for it: that is a
line that says so. The whole of a brake's lines is its verdict; the part can be made when one brake can.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from bendwright.makeable.line import PRACTICE, Bound, Fix, Line, from_check, guarded, worst
from bendwright.makeable.looked import Looked
from bendwright.mechanics.space import box_punch_height_mm
from bendwright.part.model import Bend
from bendwright.plan.permissions import free_daylight_mm
from bendwright.plan.situation import Situation
from bendwright.said import phrase, say
from bendwright.shop.brake import Brake
from bendwright.shop.tools import Punch
from bendwright.stroke.loads import die_load_checks, force_of, line_load, low_force_check
from bendwright.stroke.result import Verdict

LOAD_CURES = {
    "machine total": "a wider die, a shorter bend or a stronger brake",
    "machine line load": "a wider die or a stronger brake",
    "die line load": "a wider die or a stronger one",
}
STANDING_DEG = 60.0
SQUARE_SINE = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class BrakeLook:
    """One brake and every line held against it."""

    brake_id: str
    name: str
    lines: tuple[Line, ...]

    @property
    def verdict(self) -> Verdict:
        """Worst of its lines."""
        return worst(self.lines)


def brake_looks(looked: Looked) -> tuple[BrakeLook, ...]:
    """Every brake that may be used, in the shop's order."""
    taken = looked.taken
    if taken is None:
        return ()
    return tuple(
        BrakeLook(
            brake_id=brake.id,
            name=brake.name,
            lines=tuple(guarded("machine", "brake", f"brake {brake.id}", brake_lines(looked, taken, brake))),
        )
        for brake in looked.brakes
    )


def brake_lines(looked: Looked, taken: Situation, brake: Brake) -> Iterator[Line]:
    """Length, frames, loads, open height, box depth and gauge reach of one brake."""
    for i in range(len(taken.part.bends)):
        yield from _length(taken, i, brake)
        yield from _loads(taken, i, brake)
        yield from _gauge(taken, i, brake)
    yield from _open_height(looked, taken, brake)
    yield from _box(looked, taken, brake)


def _line(
    what: str, place: str, value: float, limit: float | None, bound: Bound, rule: str, brake: Brake, verdict: Verdict,
    fix: Fix | None = None,
) -> Line:  # fmt: skip
    return Line(
        group="machine",
        what=what,
        places=(place,),
        value=value,
        limit=limit,
        unit="mm",
        bound=bound,
        rule=rule,
        source=f"brake {brake.id}",
        verdict=verdict,
        note="" if limit is not None else say("line.not_known_of", brake=brake.id),
        fix=fix,
    )


def _length(taken: Situation, i: int, brake: Brake) -> Iterator[Line]:
    """Bed and, for bends longer than the way between the frames, the throat."""
    line = taken.lines[i]
    if not line.spans:
        return
    length = line.spans[-1][1] - line.spans[0][0]
    place, bed = f"bend {line.bend_id}", brake.bed_length_mm
    verdict: Verdict = "watch" if bed is None else ("no" if length > bed else "ok")
    fix = (
        Fix(sentence=say("fix.shorter", length=length - bed), amount=length - bed, unit="mm")
        if bed and length > bed
        else None
    )
    yield _line(
        "bend on the bed", place, length, bed, "most", "the bend is not longer than the bed", brake, verdict, fix
    )
    frames = brake.between_frames_mm
    if frames is None or length <= frames:
        return
    behind = min(_reach_mm(taken, i, side) for side in (0, 1))
    throat = brake.throat_mm
    verdict = "watch" if throat is None else ("no" if behind > throat else "ok")
    rule = "a bend longer than the way between the frames: what lies behind it fits into their throat"
    yield _line("sheet in the throat", place, behind, throat, "most", rule, brake, verdict)


def _reach_mm(taken: Situation, i: int, side: int) -> float:
    """How far the flat blank reaches from a bend's line on one side of it [mm]."""
    line = taken.lines[i]
    length = math.dist(line.start, line.end)
    out = ((line.end[1] - line.start[1]) / length, (line.start[0] - line.end[0]) / length)
    sign = 1.0 if side else -1.0
    return max(sign * ((x - line.start[0]) * out[0] + (y - line.start[1]) * out[1]) for x, y in taken.blank.outline)


def _loads(taken: Situation, i: int, brake: Brake) -> Iterator[Line]:
    verdict, place = taken.verdicts[i], f"bend {taken.part.bends[i].id}"
    swing = verdict.swing
    if swing is None:
        return
    charts = None if swing.stroke is None else line_load(sheet=taken.sheet, die=verdict.die)
    length = taken.bend_length_mm(i)
    for check in die_load_checks(swing.line_load, length_mm=length, die=verdict.die, brake=brake, charts=charts):
        over = check.value - check.limit if check.limit else 0.0
        cure = LOAD_CURES.get(check.name, "a wider die")
        fix = Fix(sentence=say("fix.less_load", over=over, unit=check.unit, cure=phrase(cure))) if over > 0.0 else None
        yield from_check(
            check,
            "machine",
            place,
            bound="most",
            fix=fix,
            what=say("line.check_in_die", check=phrase(check.name), die=verdict.die.id),
        )
    yield from _punch(taken, i, place)
    low = low_force_check(force_of(swing.line_load, length_mm=length), brake)
    if low is not None:
        yield from_check(low, "machine", place, bound="least")


def _punch(taken: Situation, i: int, place: str) -> Iterator[Line]:
    """The strongest punch acute enough."""
    swing = taken.verdicts[i].swing
    assert swing is not None
    acute = [p for p in taken.punches if p.angle_deg <= swing.sharpest_tool_deg + 1e-9]
    known = [p for p in acute if p.max_line_load_kn_per_m is not None]
    if not acute:
        rule = "a punch not above the loaded included angle"
        sharpest = min((p.angle_deg for p in taken.punches), default=math.nan)
        yield Line(
            group="machine", what="punch angle", places=(place,), value=sharpest, limit=swing.loaded_included_deg,
            unit="deg", bound="most", rule=rule, source="geometry", verdict="no",
            fix=Fix(
                sentence=say("fix.acute_punch", loaded_included_deg=swing.loaded_included_deg),
                amount=sharpest - swing.loaded_included_deg, unit="deg",
            ),
        )  # fmt: skip
    if not known or len(known) < len(acute):
        return
    best = max(known, key=lambda p: p.max_line_load_kn_per_m or 0.0)
    value, limit = swing.line_load.high, best.max_line_load_kn_per_m or 0.0
    yield Line(
        group="machine",
        what="line load of the strongest punch",
        places=(place,),
        value=value,
        limit=limit,
        unit="kN/m",
        bound="most",
        rule="stamped on the punch",
        source=f"punch {best.id}",
        verdict="no" if value > limit * (1.0 + 1e-9) else "ok",
    )


def _gauge(taken: Situation, i: int, brake: Brake) -> Iterator[Line]:
    """Can the fingers come to an edge of the flat blank on one side at least?"""
    reach = brake.gauge.x_range_mm
    if reach is None or not taken.lines[i].spans:
        return
    sides = [_reach_mm(taken, i, side) for side in (0, 1)]
    fits = [x for x in sides if reach[0] - 1e-9 <= x <= reach[1] + 1e-9]
    nearest = fits[0] if fits else min(sides, key=lambda x: max(x - reach[1], reach[0] - x))
    small = nearest < reach[0]
    yield _line(
        "gauge to the edge of the flat blank",
        f"bend {taken.lines[i].bend_id}",
        min(fits) if fits else nearest,
        reach[0] if small else reach[1],
        "least" if small else "most",
        "the fingers reach an edge on one side of the bend; else by hand to a mark, or off a formed face",
        brake,
        "ok" if fits else "watch",
    )


def _open_height(looked: Looked, taken: Situation, brake: Brake) -> Iterator[Line]:
    """Room between the lowest punch and each die taken, and the ram's way down."""
    for i in {die.id: i for i, die in enumerate(taken.dies)}.values():
        swing, die = taken.verdicts[i].swing, taken.dies[i]
        punches = [p for p in taken.punches if swing is None or p.angle_deg <= swing.sharpest_tool_deg + 1e-9]
        if not punches or swing is None:
            continue
        free = {punch.id: free_daylight_mm(brake, punch.height_mm, die.height_mm) for punch in punches}
        best = (
            max((value, name) for name, value in free.items() if value is not None)
            if None not in free.values()
            else None
        )
        place = f"die {die.id}"
        if best is None:
            yield _line(
                "open height", place, math.nan, None, "least", "room for the sheet between the tools", brake, "watch"
            )
            continue
        verdict: Verdict = "ok" if best[0] > looked.thickness_mm else "no"
        rule = say("line.fits_open", best=best[1])
        yield _line("daylight", place, best[0], looked.thickness_mm, "least", rule, brake, verdict)
        if brake.stroke_mm is not None:
            travel = min(value or 0.0 for value in free.values()) - looked.thickness_mm + swing.depth_mm
            rule = "the ram comes down to the depth with the tallest of the punches"
            verdict = "ok" if travel <= brake.stroke_mm else "no"
            yield _line("ram travel", place, travel, brake.stroke_mm, "most", rule, brake, verdict)


def _box(looked: Looked, taken: Situation, brake: Brake) -> Iterator[Line]:
    """Walls all round: the walls bent first stand beside the bends made last, and the punch must be taller than they are,
    with its clamps where it hangs in such: the walls stand in the gaps between them.
    """
    if brake.ram_half_depth_mm is None:
        return
    clamps = brake.punch_clamps
    more, how = (0.0, "") if clamps is None else (clamps.height_mm, say("line.and_clamps", height_mm=clamps.height_mm))
    for flange in taken.part.flanges:
        deep = _standing_mm(looked, taken, flange.id)
        if deep is None:
            continue
        tallest = max(taken.punches, key=_height, default=None)
        if tallest is None:
            return
        need = box_punch_height_mm(inside_depth_mm=deep, half_width_mm=brake.ram_half_depth_mm)
        short = need - tallest.height_mm - more
        yield _line(
            "punch height for the box",
            f"flange {flange.id}",
            tallest.height_mm + more,
            need,
            "least",
            say("line.box_height", deep=deep, ram_half_depth_mm=brake.ram_half_depth_mm, tallest=tallest.id, how=how),
            brake,
            "no" if short > 0.0 else "ok",
            Fix(sentence=say("fix.lower_walls", short=short / math.sqrt(2.0), need=need - more), amount=short / math.sqrt(2.0),
                unit="mm") if short > 0.0 else None,
        )  # fmt: skip


def _height(punch: Punch) -> float:
    return punch.height_mm


def _standing_mm(looked: Looked, taken: Situation, flange_id: str) -> float | None:
    """Inside height of the walls that must stand while others across them are bent, the lower pair first; None where no
    bends of the flange stand across each other.
    """
    own = [b for b in taken.part.bends if b.parent == flange_id and b.kind == "bend" and b.turned_deg >= STANDING_DEG]
    heights: list[float] = []
    for first in own:
        for second in own:
            if first.id < second.id and first.direction == second.direction and _across(first, second):
                legs = [_wall_mm(taken, bend) - looked.thickness_mm for bend in (first, second)]
                heights.append(min(legs))
    return max((height for height in heights if height > 0.0), default=None)


def _across(first: Bend, second: Bend) -> bool:
    a, b = ((bend.end[0] - bend.start[0], bend.end[1] - bend.start[1]) for bend in (first, second))
    return abs(a[0] * b[1] - a[1] * b[0]) > SQUARE_SINE * math.hypot(*a) * math.hypot(*b)


def _wall_mm(taken: Situation, bend: Bend) -> float:
    """Outside height of the wall a bend raises [mm]."""
    return max(y for _, y in taken.part.flange(bend.child).outline)


def handling_lines(looked: Looked) -> Iterator[Line]:
    """Mass, who lifts it, and whether hands come near the punch."""
    taken = looked.taken
    if taken is None:
        return
    blank, limit = taken.blank, taken.practice.two_person_mass_kg
    mass = blank.mass_kg(density_kg_per_m3=looked.sheet.material.density_kg_per_m3)
    who = "one person" if mass < limit else ("two persons" if mass < 2.0 * limit else "a lifting aid")
    yield Line(
        group="handling",
        what=say("line.mass_of_blank", who=phrase(who)),
        places=(say("line.blank_size", width_mm=blank.width_mm, height_mm=blank.height_mm),),
        value=mass,
        limit=limit,
        unit="kg",
        bound="most",
        rule=say("line.who_lifts", limit=limit, limit2=2.0 * limit),
        source="the shop's practice",
        verdict="watch" if mass >= limit else "ok",
        fix=Fix(sentence=who) if mass >= limit else None,
    )
    room = taken.practice.hand_room_mm
    for i, line in enumerate(taken.lines):
        front = max(_reach_mm(taken, i, side) for side in (0, 1))
        yield Line(
            group="handling",
            what="sheet in front of the die to hold on to",
            places=(f"bend {line.bend_id}",),
            value=front,
            limit=room,
            unit="mm",
            bound="least",
            rule="hands stay that far from the punch",
            source=say("line.hand_room", PRACTICE=phrase(PRACTICE)),
            verdict="watch" if front < room else "ok",
            fix=Fix(sentence="use a holder, never the hand inside the danger area", amount=room - front, unit="mm")
            if front < room
            else None,
        )
