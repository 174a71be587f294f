"""The gauging of one stroke in words and numbers: where the fingers stand, what they hold, what takes the error."""

from __future__ import annotations

from bendwright.plan.gauges import FINGER_MM, Stop
from bendwright.plan.search import Prepared, Step
from bendwright.plan.tables import span_of
from bendwright.stroke.result import Gauging, Verdict

BETWEEN_MM = 5.0


def gauging_of(prepared: Prepared, step: Step) -> Gauging:
    """The gauging the search took for this step."""
    number = int(prepared.gauges.best[step.bend, step.side, step.mask])
    x, r, low, high, rank = (float(v) for v in prepared.gauges.value[step.bend, step.side, step.mask])
    stop = prepared.stops[step.bend][step.side].stops[number]
    bend = prepared.situation.part.bends[step.bend]
    back, front = (bend.child, bend.parent) if step.side == 1 else (bend.parent, bend.child)
    verdict: Verdict = "ok" if rank < 0.7 else "watch"
    return Gauging(
        kind="edge" if stop.kind == "edge" else "face",
        flange_id=stop.flange_id,
        x_mm=x,
        r_mm=r,
        fingers_z_mm=_fingers(prepared, step, low, high),
        contact_mm=high - low,
        at=_at(stop),
        holds=f"flange {back}" if stop.direct else f"everything from flange {back} to flange {stop.flange_id}",
        takes_error=f"flange {front}",
        verdict=verdict,
    )


def _at(stop: Stop) -> str:
    if stop.kind == "edge":
        return f"free edge of flange {stop.flange_id}"
    if stop.kind == "face":
        return f"outer face of flange {stop.flange_id}"
    return f"outside of the bend before flange {stop.flange_id}"


def _fingers(prepared: Prepared, step: Step, low: float, high: float) -> tuple[float, ...]:
    """Middles of the fingers from the left end of the bend line, operator's view [mm]: a fifth in from each end, or as far
    out as the least contact allows where they would not stand side by side.
    """
    gauge = prepared.situation.brake.gauge
    wide = gauge.finger_width_mm or FINGER_MM
    contact = prepared.situation.practice.finger_contact_mm
    first, last = span_of(prepared.around[step.bend].frames[1])
    inset = max(0.5 * wide, 0.2 * (high - low))
    if high - low - 2.0 * inset < wide + BETWEEN_MM:
        inset = contact - 0.5 * wide
    if (gauge.fingers or 2) < 2 or high - low - 2.0 * inset < wide + BETWEEN_MM or high - low < 2.0 * contact:
        places = [0.5 * (low + high)]
    else:
        places = [low + inset, high - inset]
    if step.side == 1:
        return tuple(place - first for place in places)
    return tuple(last - place for place in reversed(places))
