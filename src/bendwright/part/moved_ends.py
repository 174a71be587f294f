"""What becomes of the ends of a bend when its tangent lines are not where the drawing has them?

A larger radius than drawn moves the tangent lines into the flats. Where an edge of the part crosses the bend aslant, the flat
ends elsewhere there: what it had beyond its new end goes, and the bend's own sheet is led to where both flats now end.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from bendwright.part.model import Point
from bendwright.part.placing import NEAR_MM, Line, largest

REACH = 4.0
LEAST_MM = 0.02
HAIR_MM = 1e-3
"""What reaches no farther into a flat than a hair is no piece of it."""
Interval = tuple[float, float]


def cut_back(shape: Polygon, line: Line, stretches: Sequence[Interval], *, back_mm: float, drawn_mm: float) -> Polygon:
    """A flat without what lies beyond its tangent line, ``back_mm`` inside the bend line, along the drawn stretches.

    ``drawn_mm`` is where the tangent line is drawn. Ears that only an edge aslant has left beside the stretch go too.
    """
    for low, high in stretches:
        shape = largest(shape.difference(line.strip(low - NEAR_MM, high + NEAR_MM, -back_mm, NEAR_MM)))
        if back_mm > drawn_mm + NEAR_MM:
            for ear in _ears(shape, line, (low, high), back_mm, drawn_mm):
                shape = largest(shape.difference(ear.buffer(NEAR_MM, join_style="mitre")))
    return shape


def pieces_left(shape: Polygon, line: Line, stretches: Sequence[Interval], *, back_mm: float) -> int:
    """Into how many pieces a flat falls when what lies beyond its tangent line goes: a notch may reach across it.

    What is left beside the stretches on the far side of that line is no piece of the flat.
    """
    strips = [line.strip(low - NEAR_MM, high + NEAR_MM, -back_mm, NEAR_MM) for low, high in stretches]
    left = shape.difference(shapely.union_all(strips))
    pieces = [piece for piece in getattr(left, "geoms", [left]) if isinstance(piece, Polygon)]
    deep_mm = back_mm + HAIR_MM
    return sum(any(line.seen(x, y)[1] < -deep_mm for x, y in piece.exterior.coords) for piece in pieces)


def _ears(shape: Polygon, line: Line, stretch: Interval, back_mm: float, drawn_mm: float) -> list[BaseGeometry]:
    """Pieces between old and new tangent line that hang on an end of the stretch and reach the old line in a point only."""
    reach = REACH * (back_mm - drawn_mm)
    low, high = stretch
    band = shape.intersection(line.strip(low - reach, high + reach, -back_mm, -drawn_mm))
    ends = [shapely.Point(line.at(s, -drawn_mm)) for s in stretch]
    out: list[BaseGeometry] = []
    for piece in getattr(band, "geoms", [band]):
        if not isinstance(piece, Polygon) or piece.is_empty or line.edges_on(piece, -drawn_mm):
            continue
        along = [line.seen(x, y)[0] for x, y in piece.exterior.coords]
        inside = min(along) > low - reach + NEAR_MM and max(along) < high + reach - NEAR_MM
        if inside and any(piece.distance(end) < 100 * NEAR_MM for end in ends):
            out.append(piece)
    return out


def shifts(
    shape: BaseGeometry, line: Line, stretches: Sequence[Interval], *, back_mm: float, drawn_mm: float
) -> Callable[[float], float]:
    """How far the ends of the drawn stretches have moved along the flat's new tangent line, as a function of the place.

    Inward by whatever other bends took; outward no farther than an edge aslant can lead between old and new line.
    """
    edges = line.edges_on(shape, -back_mm)
    outward = REACH * max(0.0, back_mm - drawn_mm)
    places: list[float] = []
    moved: list[float] = []
    for low, high in stretches:
        mine = [edge for edge in edges if edge[0] < high and edge[1] > low]
        first = min(e[0] for e in mine) - low if mine else 0.0
        last = max(e[1] for e in mine) - high if mine else 0.0
        places += [low, high]
        moved += [first if first >= -outward else 0.0, last if last <= outward else 0.0]
    if not any(abs(gone) > LEAST_MM for gone in moved):
        return lambda _: 0.0
    kept = [gone if abs(gone) > LEAST_MM else 0.0 for gone in moved]
    return lambda s: float(np.interp(s, places, kept))


def led(
    points: Sequence[Point], at_parent: Callable[[float], float], at_child: Callable[[float], float]
) -> list[Point]:
    """Points of a bend's own sheet (place along the line, share) led to where both flats now end."""
    return [(s + (1.0 - w) * at_parent(s) + w * at_child(s), w) for s, w in points]
