"""A bend's own sheet cut into strips along its line, and where its points lie when it is laid round the arc.

Seen from the bend line: ``out`` of it toward the child and ``along`` it from its start, both in mm.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from bendwright.geometry.rigid import Array
from bendwright.part.blank_model import BendLine, Blank
from bendwright.part.fold import bend_axes

STRIP_DEG = 9.0
FEWEST_STRIPS, MOST_STRIPS = 3, 20


def from_line(line: BendLine) -> tuple[Array, Array]:
    """Blank coordinates to (out, along) of a bend line: ``points @ turn.T + move``."""
    along = np.subtract(line.end, line.start) / math.dist(line.start, line.end)
    turn = np.array([(along[1], -along[0]), along])
    return turn, -turn @ np.array(line.start)


def seen_from_line(shape: BaseGeometry, line: BendLine) -> BaseGeometry:
    """A shape of the blank in (out, along) of a bend line; it keeps its way round."""
    turn, move = from_line(line)
    return shapely.transform(shape, lambda points: points @ turn.T + move)


def strips_of(shape: BaseGeometry, line: BendLine, *, width_mm: float, turned_deg: float) -> list[BaseGeometry]:
    """The shape in (out, along) of a bend line, cut into strips of about ``STRIP_DEG`` each over ``width_mm``."""
    own = seen_from_line(shape, line)
    count = min(max(math.ceil(turned_deg / STRIP_DEG), FEWEST_STRIPS), MOST_STRIPS)
    _, low, _, high = own.bounds
    cuts = np.linspace(-0.5 * width_mm, 0.5 * width_mm, count + 1)
    cuts[0], cuts[-1] = cuts[0] - 1.0, cuts[-1] + 1.0
    boxes = [shapely.box(first, low - 1.0, last, high + 1.0) for first, last in itertools.pairwise(cuts)]
    return [strip for strip in shapely.intersection(own, boxes) if strip.area > 0.0]


def rectangle_over(line: BendLine, low: float, high: float, *, width_mm: float) -> Polygon:
    """From ``low`` to ``high`` along a bend line, ``width_mm`` across it, in the blank."""
    turn, move = from_line(line)
    corners = np.array([(-0.5, low), (0.5, low), (0.5, high), (-0.5, high)]) * (width_mm, 1.0)
    return Polygon((corners - move) @ turn)


def laid_round(
    blank: Blank, line: BendLine, points: Array, *, height_mm: float, turned_deg: float, arc_mm: float
) -> Array:
    """Points (out, along) at a height over the middle plane, in blank space with the parent's side held, shape (n, 3).

    ``arc_mm`` of the sheet lies in the arc, half of it on each side of the line; what lies beyond toward the parent stays, what
    lies beyond toward the child goes on straight.
    """
    axes, up, half = bend_axes(line), np.array([0.0, 0.0, 1.0]), 0.5 * blank.thickness_mm
    out, along = points[:, 0], np.array([*line.start, 0.0]) + points[:, 1:2] * axes.along
    if turned_deg <= 0.0:
        return np.asarray(along + out[:, None] * axes.outward + height_mm * up)
    sign, turned = (1.0 if line.direction == "up" else -1.0), math.radians(turned_deg)
    middle = half + arc_mm / turned - blank.size(line.bend_id).k_factor * blank.thickness_mm
    radius = middle - sign * height_mm
    round_it = np.clip((out + 0.5 * arc_mm) / arc_mm, 0.0, 1.0) * turned
    before, after = np.minimum(out + 0.5 * arc_mm, 0.0), np.maximum(out - 0.5 * arc_mm, 0.0)
    across = radius * np.sin(round_it) - 0.5 * arc_mm + before + after * np.cos(round_it)
    rise = middle - radius * np.cos(round_it) + after * np.sin(round_it)
    return np.asarray(along + across[:, None] * axes.outward + (sign * rise)[:, None] * up)
