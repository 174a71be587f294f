"""Where the tools stand along the bed, seen by the operator: punch pieces above, die pieces below, places in mm."""

from __future__ import annotations

from bendwright.plan.result import PickedPiece, Plan, Station
from bendwright.quantities import format_number
from bendwright.sheets.palette import FAINT, PAPER, STEEL
from bendwright.sheets.svg import Point, picture, polygon, polyline, words


def _mm(value: float) -> str:
    return format_number(value, decimals=1).removesuffix(".0")


def stations_svg(plan: Plan, *, width_mm: float = 170.0) -> str:
    """All stations from left to right at one scale, with each station's number, place and length; 18.6 mm high."""
    stations = sorted(plan.stations, key=lambda item: item.left_end_z_mm)
    left = min((item.left_end_z_mm for item in stations), default=0.0)
    right = max((item.left_end_z_mm + item.length_mm for item in stations), default=1.0)
    scale = (width_mm - 12.0) / max(right - left, 1.0)

    def at(z_mm: float) -> float:
        return 6.0 + scale * (z_mm - left)

    parts = [polyline([(0.5, 13.6), (width_mm - 0.5, 13.6)], stroke=FAINT, width=0.8)]
    floor = 0.0
    for station in stations:
        start, end = at(station.left_end_z_mm), at(station.left_end_z_mm + station.length_mm)
        parts += _stack(station.punch_pieces, start, scale, top=4.6, height=4.0, station=station)
        parts += _stack(station.die_pieces, start, scale, top=9.2, height=4.0, station=station)
        parts.append(words((0.5 * (start + end), 3.6), f"station {station.number}", anchor="middle", bold=True))
        right_end = station.left_end_z_mm + station.length_mm
        text = f"{_mm(station.left_end_z_mm)} … {_mm(right_end)} = {_mm(station.length_mm)}"
        if station is stations[0]:
            text = f"mm from the left end of the bed: {text}"
        floor = max(start, floor)
        parts.append(polyline([(start, 13.6), (start, 15.4)], width=0.3))
        parts.append(polyline([(end, 13.6), (end, 15.4)], width=0.3))
        parts.append(words((floor, 17.6), text))
        floor += 2.1 * len(text) + 4.0
    title = "Tool stations along the bed, seen by the operator, from the left end of the bed"
    return picture(parts, width_mm=width_mm, height_mm=18.6, title=title, name="stations")


def _stack(
    pieces: tuple[PickedPiece, ...], start: float, scale: float, *, top: float, height: float, station: Station
) -> list[str]:
    """One row of pieces as boxes, the length written in where it fits."""
    parts = []
    x = start
    for piece in pieces:
        wide = scale * piece.length_mm
        corners: tuple[Point, ...] = ((x, top), (x + wide, top), (x + wide, top + height), (x, top + height))
        parts.append(polygon(corners, fill=STEEL, width=0.3))
        text = _mm(piece.length_mm)
        if wide > 2.3 * len(text) + 1.0:
            parts.append(words((x + 0.5 * wide, top + height - 0.75), text, anchor="middle", halo=False))
        x += wide
    if not pieces:
        wide = scale * station.length_mm
        corners = ((start, top), (start + wide, top), (start + wide, top + height), (start, top + height))
        parts.append(polygon(corners, fill=PAPER, width=0.3, dash="1 0.6"))
    return parts
