"""Why does an order not work? The stroke that fails, what runs into what, by how many millimetres.

Where no order works, the one that comes nearest is looked for: the order whose worst obstruction is the smallest of all.
No cure smaller than that can make the part with these tools.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from bendwright.geometry.rigid import Array
from bendwright.plan.evidence import posed_body, ring_gap
from bendwright.plan.permissions import (
    SELF_LEAST_MM,
    Flags,
    finger_clear,
    free_daylight_mm,
    passes_under,
    punch_suits,
    standing_height_mm,
)
from bendwright.plan.search import Prepared, Step, swing_at
from bendwright.plan.stacks import drawer
from bendwright.plan.tables import PunchTables, span_of
from bendwright.stroke.tooling import ear_of, is_symmetric

PLAIN, EARED, MACHINE = 0, 1, 2
NOT_IN_MM = 1e6
NO_STACK_MM = 1e-3
NO_STOP_MM = 0.5


@dataclass(frozen=True, slots=True)
class Obstacle:
    """One blocked stroke: bend index, bends done before, sentence, what is in the way, overlap or shortfall [mm] if any."""

    bend: int
    mask: int
    sentence: str
    against: str
    mm: float | None


def obstacle(prepared: Prepared, bend: int, mask: int, possible: Flags) -> Obstacle | None:
    """Why this bend cannot be made with these bends done; None when some station can (``possible`` [bend, mask before]).

    Of several reasons the one nearest to working is named: tools and machine by the least overlap.
    """
    if possible[bend, mask]:
        return None
    situation = prepared.situation
    name = situation.part.bends[bend].id
    if prepared.self_gap[bend, mask] < SELF_LEAST_MM:
        mm = float(prepared.self_gap[bend, mask])
        return Obstacle(bend, mask, f"at bend {name} the part runs into itself by {-mm:.2f} mm", "the part itself", mm)
    short = _short_leg(prepared, bend, mask)
    if short is not None:
        return short
    if not (prepared.gauges.best[bend, :, mask] >= 0).any():
        return Obstacle(bend, mask, f"bend {name} has no edge or face the back gauge can stop on", "back gauge", None)
    found = [item for table in prepared.punches for item in _tool_obstacles(prepared, table, bend, mask)]
    if any(item is None for item in found):
        return _machine_reason(prepared, bend, mask) or _no_stack(prepared, bend, mask)
    real = [item for item in found if item is not None]
    if not real:
        reasons = sorted({punch_suits(p, situation, bend) or "" for p in situation.punches})
        return Obstacle(bend, mask, f"no punch suits bend {name}: {'; '.join(reasons)}", "punches", None)
    return max(real, key=lambda item: -1e9 if item.mm is None else item.mm)


def _machine_reason(prepared: Prepared, bend: int, mask: int) -> Obstacle | None:
    """Daylight or gauge fingers, where they stop every punch that would pass; None when it is the stacks."""
    situation = prepared.situation
    name = situation.part.bends[bend].id
    tables = [t for t in prepared.punches if punch_suits(t.punch, situation, bend) is None]
    sides = [side for side in (0, 1) if prepared.gauges.best[bend, side, mask] >= 0]
    under = [(t, side) for t in tables for side in sides if passes_under(situation, t, bend, side)[mask]]
    if not under:
        height = min(float(standing_height_mm(situation, t, bend, side)[mask]) for t in tables for side in sides)
        free = max(
            free_daylight_mm(situation.brake, t.punch.height_mm, situation.dies[bend].height_mm) or 0.0 for t in tables
        )
        text = f"at bend {name} the part stands {height:.1f} mm high behind the tools, the daylight is {free:.1f} mm at most"
        return Obstacle(bend, mask, text, "daylight", free - 1.0 - height)
    clear = [
        True
        for t, side in under
        for turned in (False, True)
        if finger_clear(situation, t.punch, prepared.gauges.value[bend, side, mask : mask + 1], turned=turned)[0]
    ]
    if clear:
        return None
    x = max(float(prepared.gauges.value[bend, side, mask, 0]) for side in sides)
    text = f"at bend {name} the gauge finger at X {x:.2f} would stand in the punch when it touches the sheet"
    return Obstacle(bend, mask, text, "gauge finger", None)


def _no_stack(prepared: Prepared, bend: int, mask: int) -> Obstacle:
    """Tools would pass, but no stack of the drawer is long enough for the bend and short enough for what stands beside."""
    practice = prepared.situation.practice
    low, high = span_of(prepared.around[bend].frames[1])
    name = prepared.situation.part.bends[bend].id
    need = high - low - 2.0 * practice.max_uncovered_end_mm
    rooms = [item for table in prepared.punches for item in _rooms(table, bend, mask)]
    kind, room = max(rooms, key=lambda item: item[1])
    room -= 2.0 * practice.end_clearance_mm
    if room > 1e6:
        text = f"bend {name} needs a stack of at least {need:.1f} mm; {_longest(prepared, bend)}"
        return Obstacle(bend, mask, text, "punch stack", None)
    if room < need:
        text = f"bend {name} needs {kind} stack of {need:.1f} mm, only {max(room, 0.0):.1f} mm fit between what stands beside it"
        return Obstacle(bend, mask, text, "punch stack", room - need)
    text = f"bend {name} needs {kind} stack between {need:.1f} and {room:.1f} mm, which the drawer does not give"
    return Obstacle(bend, mask, text, "punch stack", None)


def _longest(prepared: Prepared, bend: int) -> str:
    """How much of each tool that suits the bend hangs in the drawer."""
    situation = prepared.situation
    tools = [t.punch for t in prepared.punches if punch_suits(t.punch, situation, bend) is None]
    words = [f"punch {punch.id} has {sum(p.length_mm for p in drawer(punch.pieces)):.0f} mm in all" for punch in tools]
    die = situation.dies[bend]
    words.append(f"die {die.id} has {sum(p.length_mm for p in drawer(die.pieces)):.0f} mm in all")
    return ", ".join(words)


def _rooms(table: PunchTables, bend: int, mask: int) -> Iterator[tuple[str, float]]:
    """Room for a plain and for an eared stack [mm] of this punch, both ways round, where nothing else is in the way."""
    ear = ear_of(table.punch)
    for o in (0, 1):
        worst, windows = table.worst[bend, mask, o], table.windows[bend, mask, o]
        wide = windows[:, 1] - windows[:, 0]
        if worst[MACHINE] >= 0.0 and worst[PLAIN] >= 0.0:
            yield "a", float(min(wide[0], wide[3]))
        if worst[MACHINE] >= 0.0 and worst[EARED] >= 0.0 and ear is not None:
            yield "an eared", float(min(wide[2], wide[1] + 2.0 * ear[1], wide[3]))
    yield "a", 0.0


def _short_leg(prepared: Prepared, bend: int, mask: int) -> Obstacle | None:
    situation = prepared.situation
    index = {item.id: i for i, item in enumerate(situation.part.bends)}
    need = situation.shortest_leg_mm(bend)
    for leg in situation.legs[bend]:
        done = [name for name in leg.far_bends if mask >> index[name] & 1]
        if done and leg.outside_mm < need - 1e-9:
            own = situation.part.bends[bend].id
            sentence = (
                f"once bend {done[0]} is made, the leg beside bend {own} is {leg.outside_mm:.2f} mm, "
                f"the die needs {need:.2f} mm"
            )
            return Obstacle(bend, mask, sentence, f"die {situation.dies[bend].id}", leg.outside_mm - need)
    return None


def _tool_obstacles(prepared: Prepared, table: PunchTables, bend: int, mask: int) -> list[Obstacle | None]:
    """For both ways round, the nearer of plain and eared stack: what it runs into (None: nothing)."""
    if punch_suits(table.punch, prepared.situation, bend) is not None:
        return []
    out: list[Obstacle | None] = []
    for o in (0, 1):
        worst = table.worst[bend, mask, o]
        stacks = [PLAIN, EARED] if ear_of(table.punch) else [PLAIN]
        kind = max(stacks, key=lambda k: min(worst[k], worst[MACHINE]))
        if worst[MACHINE] < worst[kind]:
            kind = MACHINE
        out.append(_named(prepared, table, bend, mask, o, kind) if worst[kind] < 0.0 else None)
    return out


def _named(prepared: Prepared, table: PunchTables, bend: int, mask: int, o: int, kind: int) -> Obstacle:
    body, tool = (int(v) for v in table.who[bend, mask, o, kind])
    mm = _exact(prepared, table, bend, mask, body, tool)
    situation = prepared.situation
    piece = prepared.around[bend].bodies[body][1].name
    item = table.classes[tool]
    against = f"die {situation.dies[bend].id}" if item.role == "die" else item.name
    way = " mounted turned" if o == 1 and not is_symmetric(table.punch.outline) else ""
    if _lies_across(prepared, bend, mask, body):
        own = situation.part.bends[bend].id
        sentence = f"at bend {own} {piece} lies flat across the bend line beside its end and would be pressed too"
        return Obstacle(bend, mask, sentence, against, None)
    sentence = f"at bend {situation.part.bends[bend].id} {piece} runs {-mm:.2f} mm into the {against}"
    if item.role != "punch" or way:
        sentence += f" (punch {table.punch.id}{way})"
    return Obstacle(bend, mask, sentence, against, mm)


def _lies_across(prepared: Prepared, bend: int, mask: int, body: int) -> bool:
    """Sheet in the plane of the legs that reaches over the bend line."""
    side = prepared.around[bend].bodies[body][0]
    posed = posed_body(prepared, Step(bend, side, 0, mask), body)
    thickness = prepared.situation.blank.thickness_mm
    return bool(posed.ring[:, 1].max() < 1e-6 and posed.ring[:, 1].min() > -thickness - 1e-6 and not posed.flat)


def _exact(prepared: Prepared, table: PunchTables, bend: int, mask: int, body: int, tool: int) -> float:
    """The overlap [mm] of one body with one tool class to a hundredth; the tables stop at a twentieth of its depth."""
    side = prepared.around[bend].bodies[body][0]
    step = Step(bend, side, 0, mask)
    posed = posed_body(prepared, step, body)
    return ring_gap(posed, table.classes[tool], swing_at(prepared, step), 0.0)[0]


def nearest_order(prepared: Prepared, possible: Flags) -> list[Obstacle]:
    """What stands in the way of the order that comes nearest to working: its worst obstruction is the least of all orders.

    ``possible`` [bend, mask before] are the strokes some station can do. Empty when each stroke could be done.
    """
    n = len(prepared.around)
    lack = _shortfall_mm(prepared, possible)
    worst = np.zeros(1 << n)
    for mask in range((1 << n) - 2, -1, -1):
        worst[mask] = min(max(lack[b, mask], worst[mask | 1 << b]) for b in range(n) if not mask >> b & 1)
    found, mask = [], 0
    while mask != (1 << n) - 1:
        bend = min(
            (b for b in range(n) if not mask >> b & 1), key=lambda b: (max(lack[b, mask], worst[mask | 1 << b]), b)
        )
        item = obstacle(prepared, bend, mask, possible)
        if item is not None:
            found.append(item)
        mask |= 1 << bend
    return sorted(found, key=lambda item: item.mm if item.mm is not None else -NOT_IN_MM)


def _shortfall_mm(prepared: Prepared, possible: Flags) -> Array:
    """Millimetres that each stroke [bend, mask before] lacks at best; 0 where it can be done, large where mm do not tell."""
    situation = prepared.situation
    n = len(prepared.around)
    tools = np.full((n, 1 << n), NOT_IN_MM)
    for table in prepared.punches:
        stacks = [PLAIN, EARED] if ear_of(table.punch) else [PLAIN]
        over = np.maximum(0.0, -table.worst)
        least = np.min([np.maximum(over[..., k], over[..., MACHINE]) for k in stacks], axis=0).min(axis=2)
        for bend in range(n):
            if punch_suits(table.punch, situation, bend) is None:
                tools[bend] = np.minimum(tools[bend], least[bend])
    lack = np.maximum(tools, np.where(prepared.self_gap < SELF_LEAST_MM, -prepared.self_gap, 0.0))
    lack = np.where((prepared.gauges.best >= 0).any(axis=1), lack, np.maximum(lack, NO_STOP_MM))
    lack = np.where((lack == 0.0) & ~possible, np.maximum(_room_lack_mm(prepared), NO_STACK_MM), lack)
    return np.where(possible, 0.0, lack)


def _room_lack_mm(prepared: Prepared) -> Array:
    """Room [mm] that the best stack lacks at each stroke between what stands beside it; 0 where only pieces are missing."""
    practice = prepared.situation.practice
    lack = np.full(prepared.self_gap.shape, NOT_IN_MM)
    for bend, item in enumerate(prepared.around):
        low, high = span_of(item.frames[1])
        need = high - low - 2.0 * practice.max_uncovered_end_mm + 2.0 * practice.end_clearance_mm
        for table in prepared.punches:
            ear = ear_of(table.punch)
            for o in (0, 1):
                wide = table.windows[bend, :, o, :, 1] - table.windows[bend, :, o, :, 0]
                worst = table.worst[bend, :, o]
                clear = worst[:, MACHINE] >= 0.0
                plain = np.where(
                    clear & (worst[:, PLAIN] >= 0.0),
                    np.maximum(0.0, need - np.minimum(wide[:, 0], wide[:, 3])),
                    NOT_IN_MM,
                )
                lack[bend] = np.minimum(lack[bend], plain)
                if ear is not None:
                    room = np.minimum(np.minimum(wide[:, 2], wide[:, 3]), wide[:, 1] + 2.0 * ear[1])
                    eared = np.where(clear & (worst[:, EARED] >= 0.0), np.maximum(0.0, need - room), NOT_IN_MM)
                    lack[bend] = np.minimum(lack[bend], eared)
    return lack


def done_names(prepared: Prepared, mask: int) -> str:
    """Names of the done bends in words."""
    names: Sequence[str] = [bend.id for i, bend in enumerate(prepared.situation.part.bends) if mask >> i & 1]
    return ", ".join(names) if names else "nothing"
