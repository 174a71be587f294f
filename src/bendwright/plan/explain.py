"""Why does an order not work? The stroke that fails, what runs into what, by how many millimetres.

Backwards from the finished part, the smallest set of done bends that can still be finished is found; every stroke that
would lead into it is blocked. The least blocked one is the obstruction named.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bendwright.plan import kernels
from bendwright.plan.search import Prepared
from bendwright.plan.stations import SELF_LEAST_MM, Flags, punch_suits
from bendwright.plan.tables import PunchTables, span_of


@dataclass(frozen=True, slots=True)
class Obstacle:
    """One blocked stroke: bend index, bends done before, sentence, what is in the way, overlap or shortfall [mm] if any."""

    bend: int
    mask: int
    sentence: str
    against: str
    mm: float | None


def obstacle(prepared: Prepared, bend: int, mask: int, possible: Flags | None = None) -> Obstacle | None:
    """Why no side, punch or way round can do this bend with these bends done; None when one can.

    Of several reasons the one nearest to working is named: tools and machine by the least overlap. With ``possible``
    [bend, mask] (strokes some stack can do) a missing stack is named as well.
    """
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
        return None if possible is None or possible[bend, mask] else _no_stack(prepared, bend, mask)
    real = [item for item in found if item is not None]
    if not real:
        reasons = sorted({punch_suits(p, situation, bend) or "" for p in situation.punches})
        return Obstacle(bend, mask, f"no punch suits bend {name}: {'; '.join(reasons)}", "punches", None)
    return max(real, key=lambda item: -1e9 if item.mm is None else item.mm)


def _no_stack(prepared: Prepared, bend: int, mask: int) -> Obstacle:
    """Tools would pass, but no stack of the drawer is long enough for the bend and short enough for what stands beside."""
    practice = prepared.situation.practice
    low, high = span_of(prepared.around[bend].frames[1])
    name = prepared.situation.part.bends[bend].id
    need = high - low - 2.0 * practice.max_uncovered_end_mm
    rooms = [
        float(table.windows[bend, mask, o, k, 1] - table.windows[bend, mask, o, k, 0])
        for table in prepared.punches
        for o in (0, 1)
        for k in (0, 2)
        if table.worst[bend, mask, o, 2] >= 0.0
    ]
    room = max(rooms, default=0.0) - 2.0 * practice.end_clearance_mm
    if room > 1e6:
        text = f"bend {name} needs a stack of at least {need:.1f} mm, which the drawer of the punches that suit does not give"
        return Obstacle(bend, mask, text, "punch stack", None)
    text = f"bend {name} needs a stack between {need:.1f} and {room:.1f} mm, which the drawer does not give"
    return Obstacle(bend, mask, text, "punch stack", room - need if room < need else None)


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
    situation = prepared.situation
    if punch_suits(table.punch, situation, bend) is not None:
        return []
    name = situation.part.bends[bend].id
    out: list[Obstacle | None] = []
    for o in (0, 1):
        kinds = [k for k in (2, 0) if table.worst[bend, mask, o, k] < 0.0]
        if not kinds:
            out.append(None)
            continue
        kind = min(kinds, key=lambda k: table.worst[bend, mask, o, k])
        body, tool = (int(v) for v in table.who[bend, mask, o, kind])
        mm = float(table.worst[bend, mask, o, kind])
        piece = prepared.around[bend].bodies[body][1].name
        against = table.classes[tool].name
        way = " mounted turned" if o == 1 else ""
        against = against.replace(situation.dies[-1].id, situation.dies[bend].id) if "die" in against else against
        sentence = f"at bend {name} {piece} runs {-mm:.2f} mm into the {against} (punch {table.punch.id}{way})"
        out.append(Obstacle(bend, mask, sentence, against, mm))
    return out


def first_obstruction(prepared: Prepared, possible: Flags) -> list[Obstacle]:
    """The obstructions at the smallest set of done bends from which the part can be finished, least blocked first.

    ``possible`` [bend, mask before] are the strokes some station can do.
    """
    n = len(prepared.around)
    good = kernels.reached_backwards(n, possible)
    masks = [int(m) for m in np.flatnonzero(good)]
    fewest = min(m.bit_count() for m in masks)
    found = []
    for mask in (m for m in masks if m.bit_count() == fewest):
        for bend in range(n):
            if mask >> bend & 1:
                item = obstacle(prepared, bend, mask & ~(1 << bend), possible)
                if item is not None:
                    found.append(item)
    unique = {item.sentence: item for item in found}
    return sorted(unique.values(), key=lambda item: (-(item.mm if item.mm is not None else -1e9), item.sentence))


def done_names(prepared: Prepared, mask: int) -> str:
    """Names of the done bends in words."""
    names: Sequence[str] = [bend.id for i, bend in enumerate(prepared.situation.part.bends) if mask >> i & 1]
    return ", ".join(names) if names else "nothing"
