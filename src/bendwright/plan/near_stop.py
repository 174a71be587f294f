"""Which stop of the back gauge comes nearest, and what does it lack?"""

from __future__ import annotations

from bendwright.plan.gauges import Stop
from bendwright.plan.tables import Tables, bodies_here


def no_stop_reason(tables: Tables, move: int, mask: int) -> tuple[str, float | None]:
    """In words what the best stop lacks, and by how many millimetres (negative; None where they do not tell)."""
    said = [
        item
        for side in (0, 1)
        for stop in tables.gauge_stops[move][side]
        for item in _lacks(tables, move, mask, side, stop)
    ]
    if not said:
        return "nothing straight and parallel to the bend lies within reach", None
    return max(said, key=lambda item: item[1])


def _lacks(tables: Tables, move: int, mask: int, side: int, stop: Stop) -> list[tuple[str, float]]:
    """What one stop lacks as the part stands; empty where it cannot be told in millimetres."""
    x_low, x_high, r_low, r_high, _, contact, *_ = (float(v) for v in tables.stops.limits)
    place = _place(tables, move, mask, stop)
    if place is None:
        return []
    x, low, high, r = place
    where = f"the {stop.kind} of flange {stop.flange_id}"
    checks = [
        (f"{where} is {high - low:.1f} mm long, {contact:g} mm are needed", high - low - contact),
        (f"{where} lies at X {x:.1f}, nearer than the gauge comes ({x_low:g})", x - x_low),
        (f"{where} lies at X {x:.1f}, farther than the gauge goes ({x_high:g})", x_high - x),
        (f"{where} asks for R {r:.1f}, lower than the gauge comes ({r_low:g})", r - r_low),
        (f"{where} asks for R {r:.1f}, higher than the gauge goes ({r_high:g})", r_high - r),
    ]
    worst = min(checks, key=lambda item: item[1])
    if worst[1] < 0.0:
        return [worst]
    return [(f"{where} at X {x:.1f} is hidden by sheet that sticks out behind it", -contact)]


def _place(tables: Tables, move: int, mask: int, stop: Stop) -> tuple[float, float, float, float] | None:
    """(x, low w, high w, r) of a stop as the part stands; None when it is not there."""
    if stop.kind == "face":
        present, rows = bodies_here(tables, move, mask, -1)
        number = tables.around[move].at + stop.body
        own = [row for body, row in zip(present, rows, strict=True) if body == number]
        if not own:
            return None
        box = tables.memory.looks.box[own[0]]
        if box[1] - box[0] > tables.situation.blank.thickness_mm + 1e-4:
            return None
        return float(box[1]), float(box[6]), float(box[7]), max(0.0, float(box[2]))
    standing = any(mask >> bend & 1 for bend in stop.path)
    if standing or (stop.arc >= 0 and not mask >> stop.arc & 1):
        return None
    x, low, high, r = stop.numbers
    return x, low, high, r
