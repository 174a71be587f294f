"""Arcs that were drawn as chords: runs of lines of one length, each turned from the one before by the same small angle."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bendwright.drawing.dxf.curves import Curve, arc_through

FEWEST = 3
LARGEST_TURN_RAD = math.radians(20.0)
ALIKE = 0.02
ALIKE_RAD = math.radians(1.0)


def with_arcs(ring: Sequence[Curve]) -> tuple[Curve, ...]:
    """The closed ring with every run of three chords or more as one arc; where it begins may change."""
    first = max(range(len(ring)), key=lambda i: ring[i].length_mm)
    curves = [*ring[first:], *ring[:first]]
    out: list[Curve] = []
    i = 0
    while i < len(curves):
        end = i + 1
        while end < len(curves) and _goes_on(curves[i], curves[i + 1], curves[end - 1], curves[end]):
            end += 1
        run = curves[i:end]
        made = arc_through(run[0].start, run[len(run) // 2].start, run[-1].end) if len(run) >= FEWEST else None
        out += run if made is None else [made]
        i = end
    return tuple(out)


def _goes_on(first: Curve, second: Curve, before: Curve, after: Curve) -> bool:
    """Is ``after`` one more chord of the run that begins with ``first`` and ``second``?"""
    if before.centre is not None or after.centre is not None:
        return False
    turn, usual = _turn(before, after), _turn(first, second)
    alike = abs(after.length_mm - first.length_mm) <= ALIKE * first.length_mm and abs(turn - usual) <= ALIKE_RAD
    return alike and 1e-3 < abs(usual) <= LARGEST_TURN_RAD


def _turn(before: Curve, after: Curve) -> float:
    return math.remainder(after.heading_rad(0.0) - before.heading_rad(1.0), 2.0 * math.pi)
