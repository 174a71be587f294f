"""Flanges on any edge of any flange, at any direction: a base polygon with flaps, flaps on the flaps."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from bent_blank import BentBlank, Strip
from flat_shapes import Loop, Point, clipped, crossing, polygon, signed_area
from sheet_parts import Bent


@dataclass(frozen=True)
class Flap:
    """A flange on an edge: its bend, straight length, how far its ends stay off the edge's ends, how much each side leans in
    (mm per mm of flat), and flaps on its own three free edges (near side, far edge, other side).
    """

    bend: Bent
    straight_mm: float
    insets_mm: tuple[float, float] = (1.0, 1.0)
    leans: tuple[float, float] = (0.0, 0.0)
    flaps: tuple[Flap | None, Flap | None, Flap | None] = (None, None, None)


def flapped(
    base: Sequence[Point],
    flaps: Mapping[int, Flap],
    *,
    thickness_mm: float,
    k_factor: float = 0.44,
    openings: Sequence[Loop] = (),
) -> BentBlank | None:
    """The blank of a counter-clockwise base with flaps on its edges by number; None where the flat would lie over itself."""
    row: list[Point] = []
    strips: list[Strip] = []
    for i, here in enumerate(base):
        row.append(here)
        row += _along(here, base[(i + 1) % len(base)], flaps.get(i), thickness_mm, k_factor, strips)
    outline = [point for i, point in enumerate(row) if math.dist(point, row[i - 1]) > 1e-9]
    edges = list(zip(outline, [*outline[1:], outline[0]], strict=True))
    for i, edge in enumerate(edges):
        for other in edges[i + 2 : len(edges) - (1 if i == 0 else 0)]:
            if crossing(*edge, *other):
                return None
    if not _strips_clear(strips, outline, thickness_mm, k_factor):
        return None
    root = (sum(x for x, _ in base) / len(base), sum(y for _, y in base) / len(base))
    return BentBlank(thickness_mm, polygon(*outline), tuple(strips), tuple(openings), k_factor, root)


def _along(
    here: Point, there: Point, flap: Flap | None, thickness: float, k_factor: float, strips: list[Strip]
) -> list[Point]:
    """The outline from one corner to the next (both left out), round the flap between them; its strips are added."""
    if flap is None:
        return []
    size = math.dist(here, there)
    whole = Strip(here, there, flap.bend.radius_mm, flap.bend.turned_deg, flap.bend.up)
    (first, last), (lean, other) = flap.insets_mm, flap.leans
    strip = replace(whole, start=whole.at(first, 0.0), end=whole.at(size - last, 0.0))
    strips.append(strip)
    near = strip.width(thickness, k_factor)
    far = near + flap.straight_mm
    corners = [
        whole.at(first + lean * near, near),
        whole.at(first + lean * far, far),
        whole.at(size - last - other * far, far),
        whole.at(size - last - other * near, near),
    ]
    row = [strip.start, corners[0]]
    for a, b, own in zip(corners, corners[1:], flap.flaps, strict=False):
        row += [*_along(a, b, own, thickness, k_factor, strips), b]
    return [*row, strip.end]


def _strips_clear(strips: Sequence[Strip], outline: Sequence[Point], thickness: float, k_factor: float) -> bool:
    """No two strips overlap, and no corner of the flat lies within one."""
    windows = [strip.rectangle(strip.width(thickness, k_factor)) for strip in strips]
    for i, window in enumerate(windows):
        if any(abs(signed_area(clipped(window, other))) > 1e-6 for other in windows[:i]):
            return False
        width = strips[i].width(thickness, k_factor)
        for along, out in map(strips[i].seen, outline):
            if 1e-6 < along < strips[i].length - 1e-6 and 1e-6 < out < width - 1e-6:
                return False
    return True
