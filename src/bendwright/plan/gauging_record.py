"""The gauging of one stroke in words and numbers: where the fingers stand, what they hold, what takes the error."""

from __future__ import annotations

import numpy as np

from bendwright.geometry.rigid import Array
from bendwright.part.bumped import facets_of
from bendwright.plan.around import FINGER_MM
from bendwright.plan.backwards import Step, swing_at
from bendwright.plan.evidence import posed_bodies, rise_at, swung
from bendwright.plan.gauges import BETWEEN_MM, Stop
from bendwright.plan.tables import Tables, ask, stop_of
from bendwright.said import say
from bendwright.stroke.result import Gauging, Verdict

STEPS = 24


def gauging_of(tables: Tables, step: Step) -> Gauging:
    """The gauging the search took for this step."""
    number, x, r, low, high, rank = ask(tables, step.move, step.mask).stops[step.side]
    stop = stop_of(tables, step.move, step.side, number)
    part = tables.situation.part
    bend, facets = part.bends[step.bend], facets_of(part)
    back, front = (bend.child, bend.parent) if step.side == 1 else (bend.parent, bend.child)
    move = tables.moves[step.move]
    made = tables.situation.jog_of(step.bend) if move.jog else None
    back = back if made is None else made.beyond(move.bends[1])
    stretches = tuple((max(a, low), min(b, high)) for a, b in stop.stretches if min(b, high) > max(a, low))
    stretches = stretches or ((low, high),)
    verdict: Verdict = "ok" if rank < 0.7 else "watch"
    middles = _middles(tables, stretches)
    first, last = tables.around[step.move].span
    along = (middles, first, 1.0) if step.side == 1 else (middles[::-1], last, -1.0)
    half = 0.5 * (tables.situation.brake.gauge.finger_width_mm or FINGER_MM)
    own = tuple(stop.x_at(w, x) + abs(stop.rise) * half for w in along[0]) if stop.rise != 0.0 else ()
    fingers = zip(own or (x,) * len(middles), along[0], strict=True)
    return Gauging(
        kind="edge" if stop.kind == "edge" else "face",
        flange_id=stop.flange_id,
        x_mm=min(own) if own else x,
        r_mm=r,
        fingers_z_mm=tuple(along[2] * (w - along[1]) for w in along[0]),
        contact_mm=sum(b - a for a, b in stretches),
        at=_at(stop),
        holds=f"flange {back}"
        if stop.direct and back not in facets
        else say("gauge.everything", back=back, flange_id=stop.flange_id),
        takes_error=say("gauge.radius_of", of=bend.hit.of) if bend.hit and front in facets else f"flange {front}",
        verdict=verdict,
        fingers_x_mm=own,
        retract_mm=0.0 if move.jog else max(retract_mm(tables, step, at, r, (w - half, w + half)) for at, w in fingers),
    )


def retract_mm(tables: Tables, step: Step, x_mm: float, r_mm: float, width: tuple[float, float]) -> float:
    """How far the sheet before a finger moves toward it while it swings up [mm]: it must have drawn back by then; ``width`` is
    the finger's along the bend."""
    swing = swing_at(tables, step)
    finger = tables.situation.brake.gauge.finger_height_mm or FINGER_MM
    low, high = width
    out = 0.0
    for posed in posed_bodies(tables, step):
        if posed.side != step.side or posed.high_w <= low or posed.low_w >= high:
            continue
        for share in np.linspace(0.0, 1.0, STEPS):
            turned = float(share) * swing.kernel_numbers[0]
            ring = swung(posed.ring, swing, turned) - np.array([0.0, rise_at(swing, turned)])
            inside = clipped_to_band(ring, r_mm, r_mm + finger)
            out = max(out, inside - x_mm)
    return round(out, 2) if out > 0.05 else 0.0


def clipped_to_band(ring: Array, low: float, high: float) -> float:
    """Farthest x of a convex ring between two heights; far below where it is not there."""
    best = -1e9
    for i in range(len(ring)):
        (ax, ay), (bx, by) = ring[i], ring[(i + 1) % len(ring)]
        if low <= ay <= high:
            best = max(best, float(ax))
        for level in (low, high):
            if (ay - level) * (by - level) < 0.0:
                best = max(best, float(ax + (level - ay) / (by - ay) * (bx - ax)))
    return best


def _at(stop: Stop) -> str:
    if stop.rise != 0.0:
        return say("gauge.aslant_edge", flange_id=stop.flange_id)
    if stop.kind == "edge":
        return say("gauge.free_edge", flange_id=stop.flange_id)
    if stop.kind == "face":
        return say("gauge.outer_face", flange_id=stop.flange_id)
    return say("gauge.outside_of_bend", flange_id=stop.flange_id)


def _middles(tables: Tables, stretches: tuple[tuple[float, float], ...]) -> tuple[float, ...]:
    """Middles of the fingers along the bend (w) [mm]: a fifth in from each end, whole on the stop where it is wide enough, in the
    middle of it where it is not; as far apart as the fingers can go; one finger where two would not stand side by side.
    """
    gauge = tables.situation.brake.gauge
    wide = gauge.finger_width_mm or FINGER_MM
    contact = tables.situation.finger_contact_mm
    near, far = gauge.fingers_apart_mm or (wide + BETWEEN_MM, 1e9)
    left, right = stretches[0], stretches[-1]
    spread = 0.2 * (right[1] - left[0])
    places = [_place(left, left[0] + spread, wide), _place(right, right[1] - spread, wide)]
    if places[1] - places[0] < near:
        places = [_place(left, left[0], wide), _place(right, right[1], wide)]
    if places[1] - places[0] > far:
        middle = 0.5 * (places[0] + places[1])
        places = [_place(left, middle - 0.5 * far, wide), _place(right, middle + 0.5 * far, wide)]
    alone = (gauge.fingers or 2) < 2 or not near - 1e-6 <= places[1] - places[0] <= far + 1e-6
    if alone or right[1] - left[0] < 2.0 * contact:
        longest = max(stretches, key=lambda item: item[1] - item[0])
        return (0.5 * (longest[0] + longest[1]),)
    return (places[0], places[1])


def _place(stretch: tuple[float, float], wanted: float, wide: float) -> float:
    """A finger's middle as near the wanted place as keeps the whole finger on the stretch; its middle where it is too short."""
    low, high = stretch
    if high - low >= wide:
        return min(max(wanted, low + 0.5 * wide), high - 0.5 * wide)
    return 0.5 * (low + high)
