"""The section through one stroke, true to scale: tool, sheet before (dashed) and after (filled), gauge finger.

Seen along the bed from the right end: the operator stands on the left, the gauge on the right.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from bendwright.plan.result import Plan
from bendwright.said import phrase, say
from bendwright.sheets.blank_picture import blank_svg
from bendwright.sheets.icons import operator
from bendwright.sheets.palette import INK, LOOKS, PAPER, STEEL_LINE, STOP_PLUM
from bendwright.sheets.station_picture import stations_svg
from bendwright.sheets.svg import Point, circle, hatch, path, picture, polygon, polyline, words
from bendwright.stroke.result import Clearance, NamedPolygon, Stroke

NEAREST = ((-32.0, -22.0), (32.0, 30.0))
FARTHEST = ((-105.0, -40.0), (105.0, 105.0))
SMALL_MM = 34.0
"""Narrower pictures show less of the sheet and carry no scale bar and no words; the words stand beside them."""
FINGER_SHOWN_MM = 22.0
EDGE_MM = 1.2
FOOT_MM = 5.5
OPERATOR_MM = 5.0
LETTER_MM = 2.0
NEAR_MM = 1.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """What is seen: left and top edge in machine mm, paper mm per machine mm."""

    left: float
    top: float
    scale: float

    def at(self, point: Point) -> Point:
        """A machine point (x to the gauge, y up) on paper."""
        return ((point[0] - self.left) * self.scale, (self.top - point[1]) * self.scale)


def section_svg(stroke: Stroke, *, width_mm: float = 70.0, height_mm: float = 60.0) -> str:
    """The section of ``stroke`` as an SVG of that size on paper; long sheets run out of the frame."""
    window = window_of(stroke, width_mm=width_mm, height_mm=height_mm)
    name = f"stroke{stroke.number}"
    defs = "".join(
        hatch(f"{name}-{role}", spacing=look.spacing, turn_deg=look.hatch_deg, colour=STEEL_LINE, ground=look.fill)
        for role, look in LOOKS.items()
        if look.hatch_deg is not None
    )
    defs += hatch(f"{name}-clash", spacing=0.9, turn_deg=45.0, colour=STOP_PLUM, ground=PAPER, width=0.2)
    ordered = [item for role in LOOKS for item in stroke.view.polygons if item.role == role]
    flat = stroke.kind == "hem_flatten"
    parts = [_outline(item, window.at, name, seam=flat) for item in ordered]
    if stroke.kind not in ("hem_flatten", "offset") and _worth_marking(stroke):
        parts.append(_clearance_mark(stroke.clearance, window.at, name, width_mm))
    parts.append(operator((0.6, height_mm - 0.7), height_mm=min(9.0, 0.2 * height_mm)))
    if width_mm >= SMALL_MM:
        parts.append(_scale_bar(stroke, window, width_mm, height_mm))
    bends = phrase(f"bend{'s' if stroke.with_bends else ''} {stroke.bends_name}")
    title = say("picture.section", number=stroke.number, bends=bends)
    return picture(parts, width_mm=width_mm, height_mm=height_mm, title=title, name=name, defs=defs)


def plan_pictures(plan: Plan) -> dict[str, str]:
    """All pictures of a plan by name: ``blank``, ``stations``, ``stroke-01``, ``stroke-02``, ..."""
    pictures = {"blank": blank_svg(plan.blank, grain=plan.header.grain), "stations": stations_svg(plan)}
    for stroke in plan.strokes:
        pictures[f"stroke-{stroke.number:02d}"] = section_svg(stroke)
    return pictures


def window_of(stroke: Stroke, *, width_mm: float, height_mm: float) -> Window:
    """The part of the section shown: the sheet, the die's shoulders, the finger's nose and a clearance to watch, at most
    what ``farthest`` gives; of a hem pressed flat the hem alone.
    """
    if stroke.kind == "hem_flatten":
        return _window(_hem(stroke), width_mm, height_mm, margin=1.0)
    seen: list[Point] = list(NEAREST)
    for item in stroke.view.polygons:
        if item.role in ("part", "part_start"):
            seen.extend(item.points)
        elif item.role == "finger":
            nose = min(x for x, _ in item.points)
            seen.extend((min(x, nose + FINGER_SHOWN_MM), y) for x, y in item.points)
    if stroke.clearance.verdict != "ok":
        seen.append(stroke.clearance.at_point)
    (x_low, y_low), (x_high, y_high) = farthest(stroke, width_mm=width_mm)
    inside = [(min(max(x, x_low), x_high), min(max(y, y_low), y_high)) for x, y in seen]
    return _window(inside, width_mm, height_mm, margin=4.0)


def _hem(stroke: Stroke) -> list[Point]:
    """The folded layer of a hem pressed flat, with some of the sheet and of the tools."""
    layers = [[x for x, _ in item.points] for item in stroke.view.polygons if item.role == "part"]
    low, high = min(((min(xs), max(xs)) for xs in layers), key=lambda ends: ends[1] - ends[0], default=(-6.0, 6.0))
    return [(low - 2.0, -4.0), (high + 5.0, 6.0)]


def _window(seen: list[Point], width_mm: float, height_mm: float, *, margin: float) -> Window:
    """All points with a margin [mm of the machine] around them, in the middle of the picture."""
    xs, ys = [x for x, _ in seen], [y for _, y in seen]
    left, right, foot, top = min(xs) - margin, max(xs) + margin, min(ys) - margin, max(ys) + margin
    scale = min(width_mm / (right - left), height_mm / (top - foot))
    return Window(
        left=0.5 * (left + right) - 0.5 * width_mm / scale,
        top=0.5 * (top + foot) + 0.5 * height_mm / scale,
        scale=scale,
    )


def farthest(stroke: Stroke, *, width_mm: float) -> tuple[Point, Point]:
    """The widest window on the section: less to the operator's side and up in a small picture, but never without the
    finger's nose or a clearance to watch.
    """
    (x_low, y_low), (x_high, y_high) = FARTHEST
    if width_mm >= SMALL_MM:
        return FARTHEST
    x, y = stroke.clearance.at_point
    watched = stroke.clearance.verdict != "ok"
    return (
        (max(x_low, min(-1.6 * width_mm, x if watched else 0.0)), y_low),
        (x_high, min(y_high, max(1.6 * width_mm, y if watched else 0.0))),
    )


def _outline(item: NamedPolygon, at: Callable[[Point], Point], name: str, *, seam: bool) -> str:
    """One outline in the look of its role; with a ``seam`` layers of sheet that touch stay apart."""
    look = LOOKS[item.role]
    fill = f"url(#{name}-{item.role})" if look.hatch_deg is not None else look.fill
    stroke, width = (PAPER, 0.15) if seam and item.role == "part" else (look.stroke, look.width)
    return polygon([at(point) for point in item.points], fill=fill, stroke=stroke, width=width, dash=look.dash)


def _worth_marking(stroke: Stroke) -> bool:
    """A place to watch always; one that is ok only where the drawn sheet is, not on its way or beside the section."""
    if stroke.clearance.verdict != "ok":
        return True
    x, y = stroke.clearance.at_point
    corners = [item.points for item in stroke.view.polygons if item.role in ("part", "part_start")]
    return any(
        _distance((x, y), a, b) <= NEAR_MM for ring in corners for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)
    )


def _distance(point: Point, a: Point, b: Point) -> float:
    """From a point to the straight line between two others."""
    along, across = b[0] - a[0], b[1] - a[1]
    square = along * along + across * across
    part = 0.0 if square == 0.0 else ((point[0] - a[0]) * along + (point[1] - a[1]) * across) / square
    part = min(max(part, 0.0), 1.0)
    return math.dist(point, (a[0] + part * along, a[1] + part * across))


def _clearance_mark(clearance: Clearance, at: Callable[[Point], Point], name: str, width_mm: float) -> str:
    """Where the part comes nearest to anything: ring = ok, triangle and word = watch, hatched disc and word = clash."""
    x, y = at(clearance.at_point)
    side, anchor = (-1.0, "end") if x > 0.6 * width_mm else (1.0, "start")
    if clearance.verdict == "ok":
        return circle((x, y), 1.1, stroke=PAPER, width=0.7) + circle((x, y), 1.1, width=0.3)
    if clearance.verdict == "watch":
        corners = ((x, y - 1.7), (x + 1.5, y + 1.0), (x - 1.5, y + 1.0))
        label = words((x + 2.2 * side, y + 1.2), phrase("watch"), anchor=anchor, bold=True)
        return polygon(corners, fill=PAPER, width=0.4) + (label if width_mm >= SMALL_MM else "")
    disc = circle((x, y), 2.0, fill=f"url(#{name}-clash)", stroke=STOP_PLUM, width=0.5)
    cross = path(f"M{x - 1.4:.3f} {y - 1.4:.3f}l2.8 2.8m0 -2.8l-2.8 2.8", stroke=STOP_PLUM, width=0.5)
    return disc + cross + words((x + 2.8 * side, y + 1.2), phrase("clash"), anchor=anchor, bold=True)


def _scale_bar(stroke: Stroke, window: Window, width_mm: float, height_mm: float) -> str:
    """A bar of a round number of machine millimetres at the foot, beside what stands there: on the right, else right of the operator."""
    foot = height_mm - EDGE_MM
    taken = [(0.0, EDGE_MM + OPERATOR_MM), *_at_the_foot(stroke, window, height_mm), (width_mm - EDGE_MM, width_mm)]
    gaps = [(max(high for _, high in taken[:i]), low) for i, (low, _) in enumerate(taken) if i]
    wide = len("100 mm") * LETTER_MM
    start, end = next(
        (gap for gap in reversed(gaps) if gap[1] - gap[0] >= wide), max(gaps, key=lambda gap: gap[1] - gap[0])
    )
    room = min(0.3 * width_mm, end - start)
    length = next((step for step in (100, 50, 20, 10, 5, 2) if step * window.scale <= room), 1)
    left = end - length * window.scale
    bar = [(left, foot - 1.2), (left, foot), (end, foot), (end, foot - 1.2)]
    text = f"{length} mm" if len(f"{length} mm") * LETTER_MM <= end - start else f"{length}"
    middle = min(0.5 * (left + end), end - 0.5 * LETTER_MM * len(text))
    label = words((middle, foot - 1.4), text, anchor="middle")
    return polyline(bar, stroke=PAPER, width=1.0) + polyline(bar, stroke=INK, width=0.3) + label


def _at_the_foot(stroke: Stroke, window: Window, height_mm: float) -> list[tuple[float, float]]:
    """From where to where on paper something stands as low as the scale bar and its label, from left to right."""
    boxes = [list(zip(*map(window.at, item.points), strict=True)) for item in stroke.view.polygons]
    return sorted((min(xs) - 1.0, max(xs) + 1.0) for xs, ys in boxes if max(ys) > height_mm - FOOT_MM)
