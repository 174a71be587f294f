"""The blank, true to scale: outline, openings, bend lines with direction, size, grain, which way x runs."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from bendwright.part.blank_model import BendLine, Blank
from bendwright.part.contour import Vertex, bulge_arc, true_curve
from bendwright.part.model import Circle, Feature
from bendwright.part.sheet_pieces import feature_arcs, feature_ring
from bendwright.quantities import LengthUnit, format_length, format_number
from bendwright.said import figure, phrase, say
from bendwright.sheets.icons import direction_mark
from bendwright.sheets.palette import INK, PAPER, SHEET_LIGHT
from bendwright.sheets.svg import (
    TEXT_MM,
    Point,
    apart,
    arrow_head,
    circle,
    num,
    path,
    picture,
    polygon,
    polyline,
    words,
)

UP_DASH, DOWN_DASH = "2.4 0.9", "2.4 0.8 0.3 0.8"
LEFT_MM, TOP_MM, FOOT_MM = 7.0, 5.0, 6.5
LETTER_MM = 2.3
"""Width of a bold letter at the size of the names."""


def blank_svg(
    blank: Blank,
    *,
    grain: str = "unknown",
    width_mm: float = 90.0,
    height_mm: float = 70.0,
    unit: LengthUnit = "mm",
) -> str:
    """The blank as an SVG of at most that size on paper (less where the shape leaves room).

    The longer side lies across the paper; the axis sign in the lower left corner tells x and y of the cutting file.
    ``grain`` is ``along_x`` or ``along_y`` in those axes; for anything else no arrow is drawn. Sizes stand in ``unit``, millimetres
    bare as on a drawing.
    """
    lying = blank.width_mm >= blank.height_mm
    long, short = max(blank.width_mm, blank.height_mm), min(blank.width_mm, blank.height_mm)
    margin = max(14.0, 6.0 + LETTER_MM * max((len(line.bend_id) for line in blank.bend_lines), default=0))
    room = (width_mm - LEFT_MM - margin, height_mm - TOP_MM - FOOT_MM)
    scale = min(room[0] / long, room[1] / short)

    def at(point: Point) -> Point:
        along, across = point if lying else (point[1], blank.width_mm - point[0])
        return (LEFT_MM + scale * along, TOP_MM + scale * (short - across))

    right = LEFT_MM + scale * long
    names, foot = _names(blank, at, right)
    size = (max(48.0, right + margin), max(TOP_MM + scale * short + FOOT_MM, foot + 1.0))
    parts = [contour(true_curve(blank.outline, blank.arcs), at, scale=scale, fill=SHEET_LIGHT, width=0.4)]
    for window in blank.windows:
        parts.append(contour(true_curve(window, blank.arcs), at, scale=scale, fill=PAPER, width=0.3))
    parts += [_opening(feature, at, scale) for feature in blank.features]
    parts += [*_bend_lines(blank, at), *names]
    parts += _sizes(blank, scale, lying=lying, unit=unit)
    parts.append(_axes(at((0.0, 0.0)), lying=lying))
    if grain in ("along_x", "along_y"):
        parts.append(_grain(size, flat=(grain == "along_x") == lying))
    width, height = (_size(side, unit) for side in (blank.width_mm, blank.height_mm))
    title = say("picture.blank", width=width, height=height, unit="" if unit == "inch" else " mm")
    return picture(parts, width_mm=size[0], height_mm=size[1], title=title, name="blank")


def contour(vertices: Sequence[Vertex], at: Callable[[Point], Point], *, scale: float, fill: str, width: float) -> str:
    """A closed outline with its true arcs; ``at`` puts points on paper at that scale, the way round kept."""
    if not any(bulge for _, _, bulge in vertices):
        return polygon([at((x, y)) for x, y, _ in vertices], fill=fill, width=width)
    x, y = at(vertices[0][:2])
    steps = [f"M{num(x)} {num(y)}"]
    for (x0, y0, bulge), (x1, y1, _) in zip(vertices, [*vertices[1:], vertices[0]], strict=True):
        x, y = at((x1, y1))
        if bulge:
            radius = num(scale * bulge_arc((x0, y0), (x1, y1), bulge)[1])
            steps.append(f"A{radius} {radius} 0 {int(abs(bulge) > 1.0 + 1e-9)} {int(bulge < 0.0)} {num(x)} {num(y)}")
        else:
            steps.append(f"L{num(x)} {num(y)}")
    return path("".join(steps) + "Z", fill=fill, width=width)


def _opening(feature: Feature, at: Callable[[Point], Point], scale: float) -> str:
    """A hole, slot or window."""
    if isinstance(feature, Circle):
        return circle(at(feature.centre), 0.5 * scale * feature.diameter_mm, fill=PAPER, width=0.3)
    arcs = feature_arcs(feature)
    return contour(true_curve(feature_ring(feature), arcs), at, scale=scale, fill=PAPER, width=0.3)


def _bend_lines(blank: Blank, at: Callable[[Point], Point]) -> list[str]:
    """All bend lines, only where there is material, in the dashes of their direction."""
    return [
        polyline(
            [at(_point(line, low)), at(_point(line, high))],
            width=0.35,
            dash=UP_DASH if line.direction == "up" else DOWN_DASH,
        )
        for line in blank.bend_lines
        for low, high in line.spans
    ]


def _names(blank: Blank, at: Callable[[Point], Point], right: float) -> tuple[list[str], float]:
    """Mark and name of every bend line, and how far down the paper they reach.

    Lines across the paper have theirs in the right margin, well apart; lines up the paper beside their upper ends, or,
    where they have no room there, in the right margin too.
    """
    across: list[tuple[BendLine, Point]] = []
    along: list[tuple[BendLine, Point]] = []
    for line in _named(blank):
        start, end = at(_point(line, line.spans[0][0])), at(_point(line, line.spans[-1][1]))
        flat = abs(end[0] - start[0]) >= abs(end[1] - start[1])
        (across if flat else along).append((line, max(start, end) if flat else min(start, end, key=lambda p: p[1])))
    along.sort(key=lambda item: item[1][0])
    parts: list[str] = []
    if _wide(along) <= 2.0 * (right - LEFT_MM):
        parts += _names_inside(along, right)
    else:
        across += along
    row = TOP_MM - 0.6
    for line, (x, y) in sorted(across, key=lambda item: item[1][1]):
        row = max(y + 1.3, row + TEXT_MM)
        parts.append(polyline([(x, y), (right + 1.5, row - 1.3)], width=0.15))
        parts.append(direction_mark((right + 3.0, row - 1.2), line.direction))
        parts.append(words((right + 4.8, row), line.bend_id, bold=True))
    return parts, row


def _named(blank: Blank) -> list[BendLine]:
    """The lines that are named: of the hits of a large radius the first and the last."""
    ends: dict[str, list[BendLine]] = {}
    for line in blank.bend_lines:
        ends.setdefault(line.hit_of or f" {line.bend_id}", []).append(line)
    return [line for lines in ends.values() for line in dict.fromkeys((lines[0], lines[-1]))]


def _wide(lines: list[tuple[BendLine, Point]]) -> float:
    return sum(4.5 + LETTER_MM * len(line.bend_id) for line, _ in lines)


def _names_inside(lines: list[tuple[BendLine, Point]], right: float) -> list[str]:
    """Names of lines that run up the paper, near their upper ends; in two rows where one is too short for all."""
    rows = 1 if _wide(lines) <= right - LEFT_MM else 2
    parts = []
    for row in range(rows):
        wide = [_wide([item]) for item in lines[row::rows]]
        places = apart([x + 1.0 for _, (x, _) in lines[row::rows]], wide, right)
        for place, (line, (x, y)) in zip(places, lines[row::rows], strict=True):
            foot = y + 3.4 + TEXT_MM * row
            parts.append(polyline([(x, y + 1.0), (place, foot)], width=0.15))
            parts.append(direction_mark((place, foot), line.direction))
            parts.append(words((place + 1.7, foot + 1.3), line.bend_id, bold=True))
    return parts


def _point(line: BendLine, distance: float) -> Point:
    part = distance / math.dist(line.start, line.end)
    (x0, y0), (x1, y1) = line.start, line.end
    return (x0 + part * (x1 - x0), y0 + part * (y1 - y0))


def _sizes(blank: Blank, scale: float, *, lying: bool, unit: LengthUnit) -> list[str]:
    """Both outside sizes: the long one below the drawing, the short one in the upper margin with its own arrow."""
    long, short = (blank.width_mm, blank.height_mm) if lying else (blank.height_mm, blank.width_mm)
    foot = TOP_MM + scale * short
    left, right, y = LEFT_MM, LEFT_MM + scale * long, foot + 1.6
    parts = [polyline([(left, y), (right, y)], width=0.2)]
    parts += [arrow_head((left, y), (-1.0, 0.0)), arrow_head((right, y), (1.0, 0.0))]
    parts.append(words((0.5 * (left + right), foot + 5.8), _size(long, unit), anchor="middle"))
    x = LEFT_MM - 1.6
    parts += [polyline([(x, TOP_MM), (x, foot)], width=0.2)]
    parts += [arrow_head((x, TOP_MM), (0.0, -1.0)), arrow_head((x, foot), (0.0, 1.0))]
    parts.append(words((LEFT_MM + 0.8, TOP_MM - 1.2), _size(short, unit)))
    return parts


def _size(value_mm: float, unit: LengthUnit) -> str:
    if unit == "inch":
        return figure(format_length(value_mm, unit=unit, decimals=3))
    return figure(format_number(value_mm, decimals=2))


def _axes(corner: Point, *, lying: bool) -> str:
    """Which way x of the cutting file runs, at the corner of the blank that is its origin."""
    if lying:
        return words((0.4, corner[1] + 5.8), "x→")
    return words((0.4, corner[1] - 1.2), "x↓")


def _grain(size: Point, *, flat: bool) -> str:
    """The word grain with a double arrow, in the upper margin."""
    x, y = size[0] - 9.0, 2.6
    label = words((x - 4.5, y + 1.3), phrase("grain"), anchor="end")
    if flat:
        arrow = polyline([(x - 3.5, y), (x + 4.5, y)], width=0.35) + arrow_head((x + 5.0, y), (1.0, 0.0))
        return label + arrow + arrow_head((x - 4.0, y), (-1.0, 0.0))
    steps = f"M{x:.3f} 0.8v4"
    return label + path(steps, stroke=INK, width=0.35) + arrow_head((x, 0.3), (0, -1)) + arrow_head((x, 5.2), (0, 1))
