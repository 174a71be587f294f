"""Which bend lines does a finding ask about? As numbers, for who lets them be filled in elsewhere than in the printed table."""

from __future__ import annotations

from dataclasses import dataclass

from bendwright.findings import Finding
from bendwright.part.model import Direction, Point
from bendwright.said import Said

ASKED = "D341"
"""The finding that asks for bend lines."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LineAsked:
    """A bend line that is asked about: its number, where it begins and ends, its length [mm in the drawing], and what is known of it; None
    = not known.
    """

    number: int
    start: Point
    end: Point
    length_mm: float
    direction: Direction | None
    turned_deg: float | None
    inside_radius_mm: float | None


def lines_asked(finding: Finding) -> list[LineAsked]:
    """The bend lines a finding asks about; none where it asks about nothing of the kind."""
    table = finding.values.get("table") if finding.code == ASKED else None
    rows = table.values["rows"] if isinstance(table, Said) else ()
    return [
        LineAsked(
            number=number,
            start=(x1, y1),
            end=(x2, y2),
            length_mm=length,
            direction=direction,
            turned_deg=turned,
            inside_radius_mm=radius,
        )
        for number, (x1, y1, x2, y2), length, direction, turned, radius in rows
    ]
