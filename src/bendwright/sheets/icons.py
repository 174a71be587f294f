"""Small drawn signs: flip, turn, included angle, operator, bend direction. All drawn here, all in ink only."""

from __future__ import annotations

import math

from bendwright.plan.handling import LEAST_TURN_DEG
from bendwright.said import joined, phrase, say
from bendwright.sheets.palette import INK, PAPER, SHEET_LIGHT
from bendwright.sheets.svg import Point, arrow_head, circle, num, path, picture, polygon, polyline
from bendwright.stroke.result import Handling

ICON_MM = 9.0
AS_IT_LIES = "as it lies"


def operator(foot: Point, *, height_mm: float = 9.0) -> str:
    """A standing person with the left foot at ``foot``: here stands the operator."""
    x, y, u = foot[0], foot[1], height_mm / 9.0
    shoulder = f"a{num(1.8 * u)} {num(1.8 * u)} 0 0 1 {num(3.6 * u)} 0"
    body = f"M{num(x + 0.4 * u)} {num(y)}v{num(-2.6 * u)}{shoulder}v{num(2.6 * u)}z"
    head = circle((x + 2.2 * u, y - 6.2 * u), 1.3 * u, fill=INK, stroke=PAPER, width=0.3)
    return head + path(body, fill=INK, stroke=PAPER, width=0.3)


def handling_svg(handling: Handling, *, along: bool = False) -> str:
    """What to do with the sheet before the stroke: a flip sign, a turn sign, one to bring it in ``along`` the bed, or as it lies."""
    signs = []
    if handling.flip:
        signs.append(_flip(0.0))
    if abs(handling.turn_deg) > LEAST_TURN_DEG:
        signs.append(_turn(ICON_MM * len(signs), handling.turn_deg))
    if along:
        signs.append(_along(ICON_MM * len(signs)))
    signs = signs or [_keep()]
    width = ICON_MM * len(signs)
    return picture(
        signs, width_mm=width, height_mm=ICON_MM, title=phrase(handling_words(handling, along=along)), name="handling"
    )


def handling_words(handling: Handling, *, along: bool = False) -> str:
    """The sign in words: ``flip over, turn 180, in along the bed``, or ``as it lies``."""
    told = [phrase("flip over")] if handling.flip else []
    if abs(handling.turn_deg) > LEAST_TURN_DEG:
        told.append(say("handling.turn", by=handling.turn_deg))
    if along:
        told.append(phrase("in along the bed"))
    return joined(", ", told) if told else AS_IT_LIES


def included_svg() -> str:
    """The sign beside every angle on paper: two legs and the arc between them, so the angle is the included one."""
    parts = [
        path("M1.2 4.6L4 1.7A4 4 0 0 1 5.2 4.6Z", fill=SHEET_LIGHT, width=0.1),
        polyline([(6.6, 4.6), (1.2, 4.6), (5.2, 0.5)], width=0.55),
        path("M5.2 4.6A4 4 0 0 0 4 1.7", width=0.3),
    ]
    return picture(
        parts, width_mm=7.2, height_mm=5.4, title=phrase("included angle, measured between the legs"), name="included"
    )


def direction_mark(centre: Point, direction: str) -> str:
    """Filled triangle pointing up = folds up; open triangle pointing down = folds down."""
    x, y = centre
    if direction == "up":
        return polygon([(x, y - 1.3), (x + 1.3, y + 1.0), (x - 1.3, y + 1.0)], fill=INK, stroke=PAPER, width=0.3)
    return polygon([(x, y + 1.3), (x + 1.3, y - 1.0), (x - 1.3, y - 1.0)], fill=PAPER, width=0.35)


def _flip(left: float) -> str:
    """A sheet lying flat and an arrow over it from one edge to the other."""
    x = left
    sheet = polygon([(x + 0.8, 7.6), (x + 6.6, 7.6), (x + 8.4, 5.6), (x + 2.6, 5.6)], fill=SHEET_LIGHT, width=0.35)
    sweep = path(f"M{num(x + 1.6)} 4.9A3.3 3.3 0 0 1 {num(x + 7.6)} 3.9", width=0.6)
    return sheet + sweep + arrow_head((x + 8.1, 5.4), (0.3, 0.954), size=2.0)


def _turn(left: float, turn_deg: float) -> str:
    """A sheet from above and an arrow that runs as far round as the sheet turns: half way for 180, a quarter for 90."""
    x, y, r = left + 4.5, 5.4, 3.9
    way, half = math.copysign(1.0, turn_deg), math.radians(min(abs(turn_deg), 300.0) / 2.0)
    begin, end = math.pi / 2 - way * half, math.pi / 2 + way * half
    start = (x + r * math.cos(begin), y - r * math.sin(begin))
    tip = (x + r * math.cos(end), y - r * math.sin(end))
    flags = f"{int(half > math.pi / 2)} {int(way < 0)}"
    ring = path(f"M{num(start[0])} {num(start[1])}A{num(r)} {num(r)} 0 {flags} {num(tip[0])} {num(tip[1])}", width=0.6)
    tangent = (-way * math.sin(end), -way * math.cos(end))
    nose = (tip[0] + 1.6 * tangent[0], tip[1] + 1.6 * tangent[1])
    sheet = polygon(
        [(x - 2.4, y - 1.2), (x + 2.4, y - 1.2), (x + 2.4, y + 1.6), (x - 2.4, y + 1.6)], fill=SHEET_LIGHT, width=0.35
    )
    return ring + arrow_head(nose, tangent, size=2.2) + sheet


def _along(left: float) -> str:
    """A sheet, the bed under it and an arrow from the side along the bed."""
    x = left
    sheet = polygon([(x + 4.4, 6.2), (x + 7.2, 6.2), (x + 8.6, 4.4), (x + 5.8, 4.4)], fill=SHEET_LIGHT, width=0.35)
    bed = polyline([(x + 0.6, 7.6), (x + 8.6, 7.6)], width=0.6)
    return (
        sheet
        + bed
        + polyline([(x + 0.6, 5.3), (x + 2.6, 5.3)], width=0.6)
        + arrow_head((x + 4.2, 5.3), (1.0, 0.0), size=2.0)
    )


def _keep() -> str:
    """A sheet lying flat with nothing over it."""
    return polygon([(0.8, 6.4), (6.6, 6.4), (8.4, 4.2), (2.6, 4.2)], fill=SHEET_LIGHT, width=0.35)
