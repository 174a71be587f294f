"""The gauging of one stroke in words and numbers: where the fingers stand, what they hold, what takes the error."""

from __future__ import annotations

from bendwright.plan.gauges import FINGER_MM, Stop
from bendwright.plan.search import Prepared, Step
from bendwright.plan.tables import span_of
from bendwright.stroke.result import Gauging, Verdict


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
    """Middles of the fingers from the left end of the bend line, operator's view [mm]: a fifth in from each end."""
    gauge = prepared.situation.brake.gauge
    wide = gauge.finger_width_mm or FINGER_MM
    contact = prepared.situation.practice.finger_contact_mm
    first, last = span_of(prepared.around[step.bend].frames[1])
    if high - low < 2.0 * contact + 10.0 or (gauge.fingers or 2) < 2:
        places = [0.5 * (low + high)]
    else:
        inset = max(0.5 * min(wide, (high - low) / 2.0), 0.2 * (high - low))
        places = [low + inset, high - inset] if 2.0 * inset < high - low - 5.0 else [low + contact, high - contact]
    if step.side == 1:
        return tuple(place - first for place in places)
    return tuple(last - place for place in reversed(places))
