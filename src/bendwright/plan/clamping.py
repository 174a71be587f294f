"""Which clamps hold a punch stack, and where? They stand over the stack and not beyond it, one over every piece."""

from __future__ import annotations

from bendwright.plan.result import ClampPlace
from bendwright.plan.stations import Station, clamped_length_mm
from bendwright.shop.brake import Brake
from bendwright.stroke.tooling import ear_of

BETWEEN_MM = 1.0


def clamps_over(station: Station, brake: Brake) -> tuple[ClampPlace, ...]:
    """Places of the clamps over a stack [mm], from left to right: at both ends of what they may cover, and between them as many as
    hold every piece. Empty where the brake holds punches in one rail.
    """
    if brake.punch_clamps is None:
        return ()
    length = station.punch_stack.length_mm
    ear = ear_of(station.slot.punch)
    inset = ear[1] if station.slot.eared and ear is not None else 0.0
    reach = clamped_length_mm(station, brake) - 2.0 * inset
    start = 0.5 * (length - reach)
    if station.slot.turned:
        start = length - start - reach
    owned = sorted(piece.length_mm for piece in brake.punch_clamps.pieces for _ in range(piece.count))
    chosen = _chosen(station, owned, reach)
    if len(chosen) == 1:
        return (ClampPlace(length_mm=chosen[0], from_mm=start + 0.5 * (reach - chosen[0])),)
    gap = (reach - sum(chosen)) / (len(chosen) - 1)
    places, at = [], start
    for own in chosen:
        places.append(ClampPlace(length_mm=own, from_mm=at))
        at += own + gap
    return tuple(places)


def _chosen(station: Station, owned: list[float], reach: float) -> list[float]:
    """Clamps for a stretch: one for every piece of the stack as far as they go side by side, the long ones first."""
    wanted = max(1, min(len(station.punch_stack.pieces) + 1, len(owned)))
    chosen: list[float] = []
    for own in reversed(owned):
        if len(chosen) == wanted:
            break
        if sum(chosen) + own + BETWEEN_MM * len(chosen) <= reach + 1e-6:
            chosen.append(own)
    return chosen or [owned[0]]
