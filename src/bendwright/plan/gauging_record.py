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
    stretches = tuple((max(a, low), min(b, high)) for a, b in stop.stretches if min(b, high) > max(a, low))
    stretches = stretches or ((low, high),)
    verdict: Verdict = "ok" if rank < 0.7 else "watch"
    return Gauging(
        kind="edge" if stop.kind == "edge" else "face",
        flange_id=stop.flange_id,
        x_mm=x,
        r_mm=r,
        fingers_z_mm=_fingers(prepared, step, stretches),
        contact_mm=sum(b - a for a, b in stretches),
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


def _fingers(prepared: Prepared, step: Step, stretches: tuple[tuple[float, float], ...]) -> tuple[float, ...]:
    """Middles of the fingers from the left end of the bend line, operator's view [mm]: a fifth in from each end, whole on the
    stop where it is wide enough, in the middle of it where it is not; one finger where two would not stand side by side.
    """
    gauge = prepared.situation.brake.gauge
    wide = gauge.finger_width_mm or FINGER_MM
    contact = prepared.situation.practice.finger_contact_mm
    first, last = span_of(prepared.around[step.bend].frames[1])
    left, right = stretches[0], stretches[-1]
    spread = 0.2 * (right[1] - left[0])
    places = [_place(left, left[0] + spread, wide), _place(right, right[1] - spread, wide)]
    if places[1] - places[0] < wide + BETWEEN_MM:
        places = [_place(left, left[0], wide), _place(right, right[1], wide)]
    if (gauge.fingers or 2) < 2 or places[1] - places[0] < wide + BETWEEN_MM or right[1] - left[0] < 2.0 * contact:
        longest = max(stretches, key=lambda item: item[1] - item[0])
        places = [0.5 * (longest[0] + longest[1])]
    if step.side == 1:
        return tuple(place - first for place in places)
    return tuple(last - place for place in reversed(places))


def _place(stretch: tuple[float, float], wanted: float, wide: float) -> float:
    """A finger's middle as near the wanted place as keeps the whole finger on the stretch; its middle where it is too short."""
    low, high = stretch
    if high - low >= wide:
        return min(max(wanted, low + 0.5 * wide), high - 0.5 * wide)
    return 0.5 * (low + high)
