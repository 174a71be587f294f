"""Where the tools stand along the bed, seen by the operator: punch pieces above, die pieces below, places in mm."""

from __future__ import annotations

from collections.abc import Sequence

from bendwright.plan.result import PickedPiece, Plan, Station
from bendwright.quantities import format_number
from bendwright.said import figure, joined, phrase, say
from bendwright.sheets.palette import FAINT, INK, PAPER, STEEL
from bendwright.sheets.plan_words import ends_of, set_ups, station_ends
from bendwright.sheets.svg import Point, apart, picture, polygon, polyline, words

LETTER_MM, ROW_MM = 1.95, 18.6
CLAMPS_MM = 2.2
"""Room over the punches for the clamps, where the brake has them."""


def stations_svg(plan: Plan, *, width_mm: float = 170.0) -> str:
    """All stations at one scale, with each station's number, ends of punch and die, clamps; one row of 18.6 mm per set-up, 20.8 mm
    with clamps.

    Stations that hang in turn stand in rows of their own, in the order of the set-ups.
    """
    rows = set_ups(plan.stations)
    left = min((item.left_end_z_mm for item in plan.stations), default=0.0)
    right = max((max(ends_of(item)) for item in plan.stations), default=1.0)
    scale = (width_mm - 12.0) / max(right - left, 1.0)
    clamped = CLAMPS_MM if any(item.clamps for item in plan.stations) else 0.0
    high = ROW_MM + clamped
    parts: list[str] = []
    for i, row in enumerate(rows):
        first = phrase(f"set-up {i + 1}") if len(rows) > 1 else ""
        parts += _row(row, scale, left, first=first, top=high * i, width_mm=width_mm, clamped=clamped)
    title = phrase("Tool stations along the bed, seen by the operator, from the left end of the bed")
    return picture(parts, width_mm=width_mm, height_mm=high * max(len(rows), 1), title=title, name="stations")


def _row(
    stations: Sequence[Station], scale: float, left: float, *, first: str, top: float, width_mm: float, clamped: float
) -> list[str]:
    """The stations that hang together: names, clamps, punch and die stacks, the bed's line, a tick at each end."""
    starts = [6.0 + scale * (station.left_end_z_mm - left) for station in stations]
    names_top, top = top, top + clamped
    bed = top + 13.6
    parts = [polyline([(0.5, bed), (width_mm - 0.5, bed)], stroke=FAINT, width=0.8)]
    for station, start in zip(stations, starts, strict=True):
        ends = [6.0 + scale * (end - left) for end in ends_of(station)]
        parts += _clamps(station, start, scale, foot=top + 4.6)
        parts += _stack(station.punch_pieces, start, ends[0], scale, top=top + 4.6)
        parts += _stack(station.die_pieces, start, ends[1], scale, top=top + 9.2)
        parts += [polyline([(x, bed), (x, bed + 1.8)], width=0.3) for x in dict.fromkeys((start, *ends))]
    names = [phrase(f"station {station.number}") for station in stations]
    if sum(map(len, names)) * LETTER_MM > width_mm - 6.0 * len(names):
        names = [str(station.number) for station in stations]
    names = [joined(": ", (first, name)) if first and i == 0 else name for i, name in enumerate(names)]
    for text, x in zip(names, apart(starts, _wide(names), width_mm), strict=True):
        parts.append(words((x, names_top + 3.6), text, bold=True))
    places = _places(stations, width_mm, explained=names_top == 0.0)
    for text, x in zip(places, apart(starts, _wide(places), width_mm), strict=True):
        parts.append(words((x, top + 17.6), text))
    return parts


def _places(stations: Sequence[Station], width_mm: float, *, explained: bool) -> list[str]:
    """The ends of each station, in as many words as the width allows."""
    full = [station_ends(item) for item in stations]
    long = [say("picture.from_left", text=text) if i == 0 and explained else text for i, text in enumerate(full)]
    brief = [_mm(item.left_end_z_mm) for item in stations]
    fits = (texts for texts in (long, full) if sum(len(text) + 3 for text in texts) * LETTER_MM <= width_mm)
    return next(fits, brief)


def _wide(texts: Sequence[str]) -> list[float]:
    return [LETTER_MM * (len(text) + 2) for text in texts]


def _mm(value: float) -> str:
    return figure(format_number(value, decimals=1).removesuffix(".0"))


def _stack(pieces: tuple[PickedPiece, ...], start: float, end: float, scale: float, *, top: float) -> list[str]:
    """One row of pieces as boxes, the length written in where it fits; a dashed box where no pieces are chosen."""
    if not pieces:
        return [polygon(_box(start, end, top), fill=PAPER, width=0.3, dash="1 0.6")]
    parts = []
    x = start
    for piece in pieces:
        wide = scale * piece.length_mm
        parts.append(polygon(_box(x, x + wide, top), fill=STEEL, width=0.3))
        text = _mm(piece.length_mm)
        if wide > 2.3 * len(text) + 1.0:
            parts.append(words((x + 0.5 * wide, top + 3.25), text, anchor="middle", halo=False))
        x += wide
    return parts


def _clamps(station: Station, start: float, scale: float, *, foot: float) -> list[str]:
    """Clamps as dark bars over the punch stack, where they hold it."""
    bars = [(start + scale * clamp.from_mm, scale * clamp.length_mm) for clamp in station.clamps]
    corners = [((x, foot - 1.8), (x + wide, foot - 1.8), (x + wide, foot - 0.3), (x, foot - 0.3)) for x, wide in bars]
    return [polygon(ring, fill=INK, width=0.2) for ring in corners]


def _box(left: float, right: float, top: float) -> tuple[Point, ...]:
    return ((left, top), (right, top), (right, top + 4.0), (left, top + 4.0))
