"""Where the tools stand along the bed, seen by the operator: punch pieces above, die pieces below, places in mm."""

from __future__ import annotations

from collections.abc import Sequence

from bendwright.plan.result import PickedPiece, Plan, Station
from bendwright.quantities import format_number
from bendwright.sheets.palette import FAINT, PAPER, STEEL
from bendwright.sheets.svg import Point, apart, picture, polygon, polyline, words

LETTER_MM, HEIGHT_MM = 1.95, 18.6


def stations_svg(plan: Plan, *, width_mm: float = 170.0) -> str:
    """All stations from left to right at one scale, with each station's number, place and length; 18.6 mm high."""
    stations = sorted(plan.stations, key=lambda item: item.left_end_z_mm)
    left = min((item.left_end_z_mm for item in stations), default=0.0)
    right = max((_reach(item) for item in stations), default=1.0)
    scale = (width_mm - 12.0) / max(right - left, 1.0)
    starts = [6.0 + scale * (station.left_end_z_mm - left) for station in stations]
    parts = [polyline([(0.5, 13.6), (width_mm - 0.5, 13.6)], stroke=FAINT, width=0.8)]
    for station, start in zip(stations, starts, strict=True):
        end = start + scale * station.length_mm
        parts += _stack(station.punch_pieces, start, end, scale, top=4.6)
        parts += _stack(station.die_pieces, start, end, scale, top=9.2)
        parts += [polyline([(x, 13.6), (x, 15.4)], width=0.3) for x in (start, end)]
    names = [f"station {station.number}" for station in stations]
    if sum(map(len, names)) * LETTER_MM > width_mm - 6.0 * len(names):
        names = [str(station.number) for station in stations]
    for text, x in zip(names, apart(starts, _wide(names), width_mm), strict=True):
        parts.append(words((x, 3.6), text, bold=True))
    places = _places(stations, width_mm)
    for text, x in zip(places, apart(starts, _wide(places), width_mm), strict=True):
        parts.append(words((x, 17.6), text))
    title = "Tool stations along the bed, seen by the operator, from the left end of the bed"
    return picture(parts, width_mm=width_mm, height_mm=HEIGHT_MM, title=title, name="stations")


def _places(stations: Sequence[Station], width_mm: float) -> list[str]:
    """Both ends and the length of each station, in as many words as the width allows."""
    full = [
        f"{_mm(item.left_end_z_mm)} … {_mm(item.left_end_z_mm + item.length_mm)} = {_mm(item.length_mm)}"
        for item in stations
    ]
    long = [f"mm from the left end of the bed: {text}" if i == 0 else text for i, text in enumerate(full)]
    brief = [_mm(item.left_end_z_mm) for item in stations]
    fits = (texts for texts in (long, full) if sum(len(text) + 3 for text in texts) * LETTER_MM <= width_mm)
    return next(fits, brief)


def _wide(texts: Sequence[str]) -> list[float]:
    return [LETTER_MM * (len(text) + 2) for text in texts]


def _reach(station: Station) -> float:
    """Where the station ends on the bed [mm]: its length or its longer stack of pieces."""
    stacks = (sum(piece.length_mm for piece in pieces) for pieces in (station.punch_pieces, station.die_pieces))
    return station.left_end_z_mm + max(station.length_mm, *stacks)


def _mm(value: float) -> str:
    return format_number(value, decimals=1).removesuffix(".0")


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


def _box(left: float, right: float, top: float) -> tuple[Point, ...]:
    return ((left, top), (right, top), (right, top + 4.0), (left, top + 4.0))
