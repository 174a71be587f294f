"""What the operator sees before a stroke: the sheet on the die, the edge to push, the fingers behind it; and the tools on the bed.

Seen from the front and from above; along the bed true to scale, across it stretched where the bed is long. No words are drawn, only
numbers and signs, so that the pictures serve every language.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bendwright.geometry.rigid import Array
from bendwright.plan.result import PickedPiece, Plan, Station
from bendwright.said import phrase, say
from bendwright.sheets.icons import operator
from bendwright.sheets.operator_places import Plate, plates, pushed_edge
from bendwright.sheets.palette import FAINT, FINGER_LIGHT, FINGER_ORANGE, INK, PAPER, SHEET_BLUE, SHEET_LIGHT, STEEL
from bendwright.sheets.plan_words import ends_of
from bendwright.sheets.svg import Point, arrow_head, circle, num, path, picture, polygon, polyline, words
from bendwright.stroke.result import Stroke

RISE, AWAY = math.cos(math.radians(40.0)), math.sin(math.radians(40.0))
"""How much of a height and of a way toward the gauge is seen as height on paper."""
MOST_STRETCH = 6.0
DIE_HALF_MM, DIE_DEEP_MM = 11.0, 16.0
FINGER_MM = (16.0, 20.0, 7.0)
"""Width, length and height a finger is drawn with."""
BEHIND_MM = 26.0
"""Room on paper at least for what lies behind the bend line; a deep sheet runs out of the frame in front."""
FOOT_MM = 13.0
"""Room on paper below the sheet, for the operator and the hands."""
ROW_MM, PIECE_MM = 34.0, 10.0


@dataclass(frozen=True, slots=True)
class Eye:
    """From machine axes to paper: left end and top seen, scale along the bed, and how much more across it."""

    left: float
    top: float
    scale: float
    stretch: float

    def at(self, corners: Array) -> list[Point]:
        """Corners on paper."""
        across = self.stretch * (RISE * corners[:, 2] + AWAY * corners[:, 1])
        return [
            (self.scale * (x - self.left), self.scale * (self.top - y))
            for x, y in zip(corners[:, 0], across, strict=True)
        ]


def operator_svg(plan: Plan, stroke: Stroke, *, width_mm: float = 150.0, height_mm: float = 72.0) -> str:
    """The operator's view of ``stroke`` as an SVG of that size on paper."""
    sheet = plates(plan, stroke)
    edge = pushed_edge(plan, stroke, sheet)
    eye = _eye(stroke, sheet, width_mm=width_mm, height_mm=height_mm)
    parts = [text for left, right in _die_places(plan, stroke) for text in _die(eye, left, right)]
    for plate in sorted(sheet, key=lambda item: -float((item.corners @ (0.0, RISE, -AWAY)).mean())):
        colour = SHEET_LIGHT if plate.top_seen == (stroke.direction == "up") else "#9fbfdb"
        parts.append(
            polygon(eye.at(plate.corners), fill=colour, stroke=SHEET_BLUE, width=0.4 if plate.flange_id else 0.2)
        )
    bend = eye.at(np.array([[0.0, 0.0, 0.0], [stroke.bend_length_mm, 0.0, 0.0]]))
    parts += [polyline(bend, stroke=PAPER, width=2.0), polyline(bend, width=1.1)]
    if edge is not None:
        parts += _pushed(eye, edge, stroke)
    parts += _fingers(eye, stroke)
    parts += _hands(eye, sheet, width_mm, height_mm)
    title = say("picture.operator", number=stroke.number, bends=stroke.bends_name)
    return picture(parts, width_mm=width_mm, height_mm=height_mm, title=title, name=f"operator{stroke.number}")


def set_up_svg(stations: Sequence[Station], *, width_mm: float = 250.0) -> str:
    """Stations that hang together: punch pieces above, die pieces below, numbered from the left within each stack; clamps dark."""
    left = min(item.left_end_z_mm for item in stations)
    right = max(max(ends_of(item)) for item in stations)
    scale = (width_mm - 12.0) / max(right - left, 1.0)
    parts = [polyline([(0.5, ROW_MM - 2.0), (width_mm - 0.5, ROW_MM - 2.0)], stroke=FAINT, width=1.2)]
    for station in stations:
        start = 6.0 + scale * (station.left_end_z_mm - left)
        ends = [6.0 + scale * (end - left) for end in ends_of(station)]
        parts += [
            polygon(
                _box(start + scale * clamp.from_mm, start + scale * (clamp.from_mm + clamp.length_mm), 6.0, 3.0),
                fill=INK,
            )
            for clamp in station.clamps
        ]
        parts += _stack(station.punch_pieces, start, ends[0], scale, top=10.0)
        parts += _stack(station.die_pieces, start, ends[1], scale, top=21.5)
        parts += [circle((start + 2.6, 3.0), 2.6, fill=INK), _number((start + 2.6, 4.4), station.number, colour=PAPER)]
    title = phrase("The tools along the bed, seen by the operator")
    return picture(parts, width_mm=width_mm, height_mm=ROW_MM, title=title, name=f"setup{stations[0].set_up}")


def _stack(pieces: Sequence[PickedPiece], start: float, end: float, scale: float, *, top: float) -> list[str]:
    if not pieces:
        return [polygon(_box(start, end, top, PIECE_MM), fill=PAPER, width=0.4, dash="1 0.6")]
    parts, x = [], start
    for number, piece in enumerate(pieces, start=1):
        wide = scale * piece.length_mm
        parts.append(polygon(_box(x, x + wide, top, PIECE_MM), fill=STEEL, width=0.45))
        if wide > 4.0:
            parts.append(_number((x + 0.5 * wide, top + 6.6), number))
        x += wide
    return parts


def _number(at: Point, number: int, *, colour: str = INK) -> str:
    if colour == INK:
        return words(at, str(number), anchor="middle", size=4.6, bold=True, halo=False)
    x, y = num(at[0]), num(at[1])
    return (
        f'<text x="{x}" y="{y}" font-size="4" text-anchor="middle" font-weight="bold" fill="{colour}">{number}</text>'
    )


def _box(left: float, right: float, top: float, high: float) -> tuple[Point, ...]:
    return ((left, top), (right, top), (right, top + high), (left, top + high))


def _eye(stroke: Stroke, sheet: Sequence[Plate], *, width_mm: float, height_mm: float) -> Eye:
    """Everything along the bed; across it what lies behind the die, and as much in front as fits."""
    spots = np.vstack([plate.corners for plate in sheet])
    ends = (stroke.stack_from_mm, stroke.stack_from_mm + stroke.stack_length_mm)
    low, high = min(ends[0], float(spots[:, 0].min())), max(ends[1], float(spots[:, 0].max()))
    scale = (width_mm - 8.0) / (high - low)
    gauge = stroke.gauging
    behind = max((gauge.x_mm, *gauge.fingers_x_mm)) + FINGER_MM[1] if gauge.kind != "none" else DIE_HALF_MM
    seen = RISE * spots[:, 2] + AWAY * spots[:, 1]
    back = AWAY * behind + RISE * (gauge.r_mm + FINGER_MM[2])
    top = max(back, min(float(seen.max()), 2.0 * back))
    foot = min(-AWAY * DIE_HALF_MM - RISE * DIE_DEEP_MM, float(seen.min()))
    room, needed = (height_mm - FOOT_MM - 3.0) / scale, BEHIND_MM / scale
    stretch = min(max(room / (top - foot), needed / max(back, 1.0), 1.0), MOST_STRETCH)
    return Eye(left=low - 4.0 / scale, top=stretch * top + 3.0 / scale, scale=scale, stretch=stretch)


def _die_places(plan: Plan, stroke: Stroke) -> list[tuple[float, float]]:
    """Ends of all die stacks that hang together with this stroke's, from the left end of the bend."""
    own = next((item for item in plan.stations if item.number == stroke.station), None)
    if own is None:
        return [(stroke.stack_from_mm, stroke.stack_from_mm + stroke.stack_length_mm)]
    shift = stroke.stack_from_mm - own.left_end_z_mm
    beside = [item for item in plan.stations if item.set_up == own.set_up]
    return [(item.left_end_z_mm + shift, ends_of(item)[1] + shift) for item in beside]


def _die(eye: Eye, left: float, right: float) -> list[str]:
    """The top of the die with its groove, and its front."""
    near, far = -DIE_HALF_MM / eye.stretch**0.5, DIE_HALF_MM / eye.stretch**0.5
    deep = -DIE_DEEP_MM / eye.stretch**0.5
    top = np.array([[left, near, 0.0], [right, near, 0.0], [right, far, 0.0], [left, far, 0.0]])
    front = np.array([[left, near, 0.0], [right, near, 0.0], [right, near, deep], [left, near, deep]])
    groove = np.array([[left, 0.0, 0.0], [right, 0.0, 0.0]])
    return [
        polygon(eye.at(front), fill="#d3d9df", width=0.3),
        polygon(eye.at(top), fill=STEEL, width=0.3),
        polyline(eye.at(groove), width=0.5),
    ]


def _pushed(eye: Eye, edge: Array, stroke: Stroke) -> list[str]:
    """The pushed edge as a heavy line, and an arrow to it from the die at every finger."""
    line = eye.at(edge)
    parts = [polyline(line, stroke=PAPER, width=2.6), polyline(line, stroke=FINGER_ORANGE, width=1.7)]
    for z, x in _finger_places(stroke):
        tip, tail = eye.at(np.array([[z, x, stroke.gauging.r_mm], [z, 0.35 * x, stroke.gauging.r_mm]]))
        if tail[1] - tip[1] > 4.0:
            parts.append(polyline([tail, (tip[0], tip[1] + 3.5)], stroke=FINGER_ORANGE, width=1.2))
            parts.append(arrow_head((tip[0], tip[1] + 1.0), (0.0, -1.0), size=3.4, fill=FINGER_ORANGE))
    return parts


def _finger_places(stroke: Stroke) -> list[tuple[float, float]]:
    gauge = stroke.gauging
    own = gauge.fingers_x_mm or (gauge.x_mm,) * len(gauge.fingers_z_mm)
    return list(zip(gauge.fingers_z_mm, own, strict=True)) if gauge.kind != "none" else []


def _fingers(eye: Eye, stroke: Stroke) -> list[str]:
    """Fingers from the left, numbered."""
    wide, long, high = FINGER_MM
    half, long = max(0.5 * wide, 3.5 / eye.scale), max(long, 6.5 / (eye.scale * eye.stretch * AWAY))
    parts = []
    for number, (z, x) in enumerate(sorted(_finger_places(stroke)), start=1):
        foot, top = stroke.gauging.r_mm, stroke.gauging.r_mm + high
        face = np.array([[z - half, x, foot], [z + half, x, foot], [z + half, x, top], [z - half, x, top]])
        back = np.array([[z - half, x, top], [z + half, x, top], [z + half, x + long, top], [z - half, x + long, top]])
        front = eye.at(face)
        parts.append(polygon(eye.at(back), fill=FINGER_LIGHT, stroke=FINGER_ORANGE, width=0.5))
        parts.append(polygon(front, fill=FINGER_ORANGE, stroke=FINGER_ORANGE, width=0.5))
        middle = np.mean(eye.at(back), axis=0)
        parts.append(
            words((float(middle[0]), float(middle[1]) + 1.8), str(number), anchor="middle", size=5.0, bold=True)
        )
    return parts


def _hands(eye: Eye, sheet: Sequence[Plate], width_mm: float, height_mm: float) -> list[str]:
    """A hand at the left and at the right of the sheet's front, and the operator between them."""
    spots = np.vstack([plate.corners for plate in sheet])
    left, right = (p[0] for p in eye.at(np.array([[spots[:, 0].min(), 0, 0], [spots[:, 0].max(), 0, 0]])))
    foot = height_mm - 1.0
    spread = max(0.36 * (right - left), 14.0)
    middle = min(max(0.5 * (left + right), 20.0), width_mm - 20.0)
    hands = [_hand((x, foot), way) for x, way in ((middle - spread, 1.0), (middle + spread, -1.0))]
    return [*hands, operator((middle - 2.6, foot), height_mm=11.0)]


def _hand(foot: Point, way: float) -> str:
    """A mitten that grips upward, its thumb to the middle (``way`` = +1: to the right)."""
    x, y, w = foot[0], foot[1], way
    steps = [
        f"M{num(x - 2.6 * w)} {num(y)}v-5.5q{num(0.2 * w)} -5.5 {num(2.8 * w)} -5.5q{num(2.3 * w)} 0 {num(2.3 * w)} 4.2",
        f"l{num(1.6 * w)} -1.4q{num(1.2 * w)} -0.7 {num(1.6 * w)} 0.5q{num(0.2 * w)} 1 {num(-0.8 * w)} 1.8",
        f"l{num(-2.3 * w)} 2.6v3.3z",
    ]
    return path("".join(steps), fill=PAPER, width=0.7)
