"""Tools changed as a shop could buy them: a piece more, a punch taller, slimmer or with a deeper throat, clamps with gaps.

Outlines keep the frame of ``shop.tools``: nose tip at the origin, y up, counter-clockwise.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import shapely

from bendwright.plan.choose import Tooling
from bendwright.plan.stacks import drawer
from bendwright.shop.tools import NOT_BENDING, Cabinet, Die, Piece, Point, Punch

SECOND_SET_UP_MM = 0.1
SECOND = " (second set-up)"
"""What the id of a punch ends in that is hung again in a later set-up."""
ON_MM = 1e-6


def with_punch(tooling: Tooling, punch: Punch, *, instead_of: str | None = None) -> Tooling:
    """The tooling with one punch more, or with it in the place of another."""
    if instead_of is None:
        return replace(tooling, punches=(*tooling.punches, punch))
    return replace(tooling, punches=tuple(punch if p.id == instead_of else p for p in tooling.punches))


def with_die(tooling: Tooling, die: Die) -> Tooling:
    """The tooling with one die in the place of the one that has its id."""
    return replace(tooling, dies=tuple(die if d.id == die.id else d for d in tooling.dies))


def with_pieces(tool: Punch | Die, lengths_mm: tuple[float, ...]) -> Punch | Die:
    """The tool with plain pieces added to its drawer."""
    return replace(tool, pieces=(*tool.pieces, *(Piece(length_mm=length) for length in lengths_mm)))


def with_low_feet(punch: Punch, foot_height_mm: float) -> Punch:
    """The punch with end pieces whose foot is only so high."""
    pieces = tuple(
        replace(p, ear=replace(p.ear, foot_height_mm=min(foot_height_mm, p.ear.foot_height_mm))) if p.ear else p
        for p in punch.pieces
    )
    return replace(punch, pieces=pieces)


def taller(punch: Punch, by_mm: float) -> Punch:
    """A punch that is higher by so much, drawn out where its outline runs straight for longest (its shank or its throat)."""
    heights = sorted({y for _, y in punch.outline})
    low, _ = max(itertools.pairwise(heights), key=lambda pair: pair[1] - pair[0])
    outline = tuple((x, y + by_mm if y > low + ON_MM else y) for x, y in punch.outline)
    height = punch.height_mm + by_mm
    return replace(punch, id=f"{punch.id} {height:g} mm high", height_mm=height, outline=outline)


def slimmer(punch: Punch, half_width_mm: float) -> Punch | None:
    """A straight punch whose body reaches only so far to each side; None where the nose would not fit in."""
    if half_width_mm <= punch.nose_radius_mm * math.cos(math.radians(0.5 * punch.angle_deg)) + ON_MM:
        return None
    band = shapely.box(-half_width_mm, -1.0, half_width_mm, punch.height_mm + 1.0)
    left = shapely.Polygon(punch.outline).intersection(band)
    if not isinstance(left, shapely.Polygon) or left.is_empty:
        return None
    ring = list(shapely.geometry.polygon.orient(left).exterior.coords)[:-1]
    return replace(
        punch, id=f"{punch.id} {half_width_mm:g} mm slim", outline=tuple((float(x), float(y)) for x, y in ring)
    )


def body_half_width_mm(punch: Punch) -> float:
    """How far the outline reaches from the middle [mm]."""
    return max(abs(x) for x, _ in punch.outline)


def throat_mm(punch: Punch) -> float | None:
    """How far the neck of a gooseneck stands behind the middle [mm]; None for punches without a throat."""
    front = _front(punch)
    deepest = max((x for x, _ in front), default=0.0)
    return deepest if punch.kind == "gooseneck" and deepest > ON_MM else None


def deeper(punch: Punch, by_mm: float) -> Punch | None:
    """A gooseneck whose neck stands farther back by so much, its throat as high as before; None where there is no throat."""
    deep = throat_mm(punch)
    if deep is None:
        return None
    front = {point for point in _front(punch) if point[0] > 0.5 * deep}
    first, last = min(y for _, y in front), max(y for _, y in front)
    outline = tuple(
        (x + by_mm, y) if (x, y) in front or (x > deep and first <= y <= last) else (x, y) for x, y in punch.outline
    )
    if not shapely.Polygon(outline).is_valid:
        return None
    return replace(punch, id=f"{punch.id} {deep + by_mm:g} mm deep", outline=outline)


def with_contact(tooling: Tooling, contact_mm: float) -> Tooling:
    """The tooling with so much contact asked for at a finger of the back gauge."""
    return replace(
        tooling, brake=replace(tooling.brake, gauge=replace(tooling.brake.gauge, finger_contact_mm=contact_mm))
    )


def in_two_set_ups(tooling: Tooling) -> Tooling:
    """The punches a second time in a later set-up: copies a tenth of a millimetre higher can only hang after the others."""
    again = tuple(
        replace(taller(punch, SECOND_SET_UP_MM), id=f"{punch.id}{SECOND}")
        for punch in tooling.punches
        if punch.kind not in NOT_BENDING
    )
    return replace(tooling, punches=(*tooling.punches, *again))


def with_tools_of(cabinet: Cabinet, tooling: Tooling) -> Cabinet:
    """The cabinet, and the punches of the tooling it lacks: those of a second set-up."""
    known = {punch.id for punch in cabinet.punches}
    more = tuple(punch for punch in tooling.punches if punch.id not in known)
    return replace(cabinet, punches=(*cabinet.punches, *more)) if more else cabinet


def sums_mm(pieces: tuple[Piece, ...], most_mm: float) -> list[float]:
    """Every length some of the pieces make together [mm], 0 included, ascending, to a tenth."""
    sums = {0}
    for piece in drawer(pieces):
        step = round(10.0 * piece.length_mm)
        sums |= {total + step for total in sums if total + step <= 10.0 * most_mm}
    return [0.1 * total for total in sorted(sums)]


def _front(punch: Punch) -> list[Point]:
    """The outline from the clamp down to the nose on the side of the throat (-x)."""
    ring = list(punch.outline)
    top = max(range(len(ring)), key=lambda i: (ring[i][1], -ring[i][0]))
    tip = min(range(len(ring)), key=lambda i: abs(ring[i][1]) + abs(ring[i][0]))
    if tip < top:
        tip += len(ring)
    return [ring[i % len(ring)] for i in range(top, tip + 1)]
