"""Does the flat somebody else made fit? The difference, and the K-factor that flat believes in."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bendwright.part.blank_model import Blank


@dataclass(frozen=True, slots=True)
class FlatCompared:
    """A given flat length across parallel bends against the own blank [mm].

    ``too_long_mm`` > 0: the given flat is longer, and the error lands on whatever leg is not gauged. ``k_implied`` is the
    K-factor that flat has at the radii these tools make, ``k_at_radius_t`` the one it has with R = t (a common habit).
    """

    given_mm: float
    own_mm: float
    too_long_mm: float
    per_bend_mm: float
    k_implied: float
    k_at_radius_t: float


def compare_flat(blank: Blank, *, given_mm: float) -> FlatCompared | None:
    """Hold a given flat length against the blank; None when the bends are not all parallel to one edge of the blank.

    The sum of the allowances of the given flat is the own sum plus the difference; K follows from
    sum(A (R + K t)) with A in radians.
    """
    ways = {_way(line.start, line.end) for line in blank.bend_lines}
    if len(ways) != 1 or None in ways:
        return None
    own = blank.height_mm if ways == {"x"} else blank.width_mm
    difference = given_mm - own
    turned = sum(math.radians(line.turned_deg) for line in blank.bend_lines)
    t = blank.thickness_mm
    allowances = sum(size.bend_allowance_mm for size in blank.sizes) + difference
    radii = sum(math.radians(b.turned_deg) * blank.size(b.bend_id).inside_radius_mm for b in blank.bend_lines)
    straight = given_mm - allowances
    outside = straight + sum(2.0 * size.setback_mm for size in blank.sizes)
    at_t = sum(2.0 * 2.0 * t * math.tan(0.5 * min(math.radians(b.turned_deg), math.pi / 2)) for b in blank.bend_lines)
    return FlatCompared(
        given_mm=given_mm,
        own_mm=own,
        too_long_mm=difference,
        per_bend_mm=difference / len(blank.bend_lines),
        k_implied=(allowances - radii) / (turned * t),
        k_at_radius_t=((given_mm - outside + at_t) / turned - t) / t,
    )


def _way(start: tuple[float, float], end: tuple[float, float]) -> str | None:
    if abs(start[1] - end[1]) < 1e-6:
        return "x"
    return "y" if abs(start[0] - end[0]) < 1e-6 else None
