"""Which bends lie on one line of the blank and turn alike, as tabs on one edge do?"""

from __future__ import annotations

import math

from bendwright.part.blank_model import BendLine, Blank
from bendwright.part.model import Part

SAME_MM = 0.02
SAME_DEG = 0.01


def lines_of(part: Part, blank: Blank) -> tuple[tuple[str, ...], ...]:
    """Bend ids grouped by straight line, fold and turned angle, in the order of the part's bends."""
    groups: list[list[BendLine]] = []
    for line in sorted(blank.bend_lines, key=lambda item: [bend.id for bend in part.bends].index(item.bend_id)):
        home = next((group for group in groups if _together(group[0], line)), None)
        if home is None:
            groups.append([line])
        else:
            home.append(line)
    return tuple(tuple(line.bend_id for line in group) for group in groups)


def _together(first: BendLine, second: BendLine) -> bool:
    if first.direction != second.direction or abs(first.turned_deg - second.turned_deg) > SAME_DEG:
        return False
    if abs(first.zone_width_mm - second.zone_width_mm) > SAME_MM:
        return False
    length = math.dist(first.start, first.end)
    ux, uy = (first.end[0] - first.start[0]) / length, (first.end[1] - first.start[1]) / length
    return all(
        abs(ux * (y - first.start[1]) - uy * (x - first.start[0])) < SAME_MM for x, y in (second.start, second.end)
    )
