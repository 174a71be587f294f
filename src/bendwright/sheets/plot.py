"""A small plot: lines and points over two axes, as one SVG picture of literal colours.

Nothing is told by colour alone: every line has its own dashes, every set of points its own shape, and each carries its
name beside its end. Coordinates are rounded to a twentieth of a millimetre, so that the last digits of a computer do
not change the picture.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil, floor, isfinite, log10

from bendwright.sheets.palette import FAINT, FINGER_ORANGE, INK, PAPER, SHEET_BLUE, STEEL_LINE, STOP_PLUM
from bendwright.sheets.svg import Point, apart, circle, num, picture, polygon, polyline, words

WIDTH_MM, HEIGHT_MM = 170.0, 99.0
LEFT_MM, RIGHT_MM, TOP_MM, BOTTOM_MM = 16.0, 58.0, 14.0, 15.0
TEXT_MM = 3.1
PLOT_NAME = "plot"
PLOT_MARK = f'<clipPath id="{PLOT_NAME}-frame">'
"""Words every plot of this module holds."""
LABEL_STEP_MM = 4.2
MOST_TICKS = 7

PENS: tuple[tuple[str, str], ...] = (
    (INK, ""),
    (SHEET_BLUE, "3 1.3"),
    (FINGER_ORANGE, "0.5 1.2"),
    (STOP_PLUM, "4.5 1.2 0.5 1.2"),
    (STEEL_LINE, "1.4 1.4"),
    (INK, "2.2 0.7 0.5 0.7 0.5 0.7"),
)
"""Colour and dashes of the lines, in their order."""
SHAPES = ("circle", "square", "triangle", "diamond", "cross")


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """One named line, or one named set of points when ``marked``."""

    name: str
    points: tuple[Point, ...]
    marked: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Plot:
    """What is drawn; ``x_log`` gives the lower axis equal steps for equal ratios."""

    title: str
    x_name: str
    y_name: str
    series: tuple[Series, ...]
    x_log: bool = False


@dataclass(frozen=True, slots=True)
class Axis:
    """One axis: its ends in the numbers of the plot and in millimetres on paper, its ticks."""

    low: float
    high: float
    start_mm: float
    end_mm: float
    ticks: tuple[float, ...]
    log: bool = False

    def at(self, value: float) -> float:
        """Place of a number on paper [mm]."""
        low, high, place = (
            (log10(v) for v in (self.low, self.high, value)) if self.log else (self.low, self.high, value)
        )
        share = (place - low) / (high - low)
        return _grid(self.start_mm + share * (self.end_mm - self.start_mm))


def draw_plot(plot: Plot) -> str:
    """The picture. ValueError when a series is empty or holds a number that is not finite."""
    for series in plot.series:
        if not series.points or not all(isfinite(value) for point in series.points for value in point):
            raise ValueError(f"{plot.title}: {series.name} has no points, or one that is no number")
    x_axis, y_axis = axes_of(plot)
    parts = [f'<rect width="{num(WIDTH_MM)}" height="{num(HEIGHT_MM)}" fill="{PAPER}"/>']
    parts += _grid_lines(x_axis, y_axis)
    parts.append(words((LEFT_MM, 5.5), plot.title, size=3.8, bold=True, halo=False))
    parts.append(words((x_axis.end_mm, HEIGHT_MM - 3.0), plot.x_name, anchor="end", size=TEXT_MM, halo=False))
    parts.append(words((2.0, TOP_MM - 3.2), plot.y_name, size=TEXT_MM, halo=False))
    ends: list[tuple[float, Series, int]] = []
    lines = [series for series in plot.series if not series.marked]
    marks = [series for series in plot.series if series.marked]
    for group in (lines, marks):
        for number, series in enumerate(group):
            points = [(x_axis.at(x), y_axis.at(y)) for x, y in series.points]
            parts += _trace(points, number, series.marked)
            ends.append((points[-1][1], series, number))
    parts += _labels(ends, x_axis, y_axis)
    return picture(parts, width_mm=WIDTH_MM, height_mm=HEIGHT_MM, title=plot.title, name=PLOT_NAME) + "\n"


def axes_of(plot: Plot) -> tuple[Axis, Axis]:
    """Both axes, wide enough for every point."""
    xs = [x for series in plot.series for x, _ in series.points]
    ys = [y for series in plot.series for _, y in series.points]
    x_ends, y_ends = (LEFT_MM, WIDTH_MM - RIGHT_MM), (HEIGHT_MM - BOTTOM_MM, TOP_MM)
    x_axis = _log_axis(min(xs), max(xs), *x_ends) if plot.x_log else _even_axis(min(xs), max(xs), *x_ends)
    return x_axis, _even_axis(min(ys), max(ys), *y_ends)


def _even_axis(low: float, high: float, start_mm: float, end_mm: float) -> Axis:
    """An axis that begins and ends at a tick; ticks are 1, 2 or 5 times a power of ten apart."""
    span = high - low if high > low else max(1.0, abs(low))
    power = 10.0 ** floor(log10(span))
    step = next(s for s in (0.1, 0.2, 0.5, 1.0, 2.0, 5.0) if span / (s * power) <= MOST_TICKS - 1.5) * power
    first = floor(low / step + 1e-9)
    last = max(first + 1, ceil(high / step - 1e-9))
    ticks = tuple(step * i for i in range(first, last + 1))
    return Axis(ticks[0], ticks[-1], start_mm, end_mm, ticks)


def _log_axis(low: float, high: float, start_mm: float, end_mm: float) -> Axis:
    """An axis of equal ratios from the least to the greatest number, ticks at 1, 2, 5 of each power of ten."""
    powers = range(floor(log10(low)), ceil(log10(high)) + 1)
    ticks = tuple(s * 10.0**p for p in powers for s in (1.0, 2.0, 5.0))
    inside = tuple(tick for tick in ticks if low <= tick * (1 + 1e-9) and tick <= high * (1 + 1e-9))
    return Axis(low, high, start_mm, end_mm, inside, log=True)


def _grid_lines(x_axis: Axis, y_axis: Axis) -> list[str]:
    """Frame, ticks and their numbers."""
    left, right, bottom, top = x_axis.start_mm, x_axis.end_mm, y_axis.start_mm, y_axis.end_mm
    parts = []
    for tick in x_axis.ticks:
        x = x_axis.at(tick)
        parts.append(polyline(((x, bottom), (x, top)), stroke=FAINT, width=0.1))
        parts.append(words((x, bottom + 4.2), f"{tick:.6g}", anchor="middle", size=TEXT_MM, halo=False))
    for tick in y_axis.ticks:
        y = y_axis.at(tick)
        parts.append(polyline(((left, y), (right, y)), stroke=FAINT, width=0.1))
        parts.append(words((left - 1.2, y + 1.1), f"{tick:.6g}", anchor="end", size=TEXT_MM, halo=False))
    frame = ((left, bottom), (right, bottom), (right, top), (left, top))
    return [*parts, polygon(frame, stroke=INK, width=0.25)]


def _trace(points: Sequence[Point], number: int, marked: bool) -> list[str]:
    """A line in its pen, or points in their shape."""
    if marked:
        return [mark(point, number) for point in points]
    colour, dash = PENS[number % len(PENS)]
    return [polyline(points, stroke=colour, width=0.5, dash=dash)]


def mark(at: Point, number: int) -> str:
    """One point in the shape of that number; hollow, so that lines under it stay in sight."""
    x, y = at
    shape = SHAPES[number % len(SHAPES)]
    if shape == "circle":
        return circle(at, 1.1, fill=PAPER, stroke=INK, width=0.4)
    if shape == "square":
        corners: Iterable[Point] = ((x - 1, y - 1), (x + 1, y - 1), (x + 1, y + 1), (x - 1, y + 1))
        return polygon(corners, fill=SHEET_BLUE, stroke=SHEET_BLUE, width=0.2)
    if shape == "triangle":
        return polygon(((x, y - 1.3), (x + 1.2, y + 0.9), (x - 1.2, y + 0.9)), fill=PAPER, stroke=STOP_PLUM, width=0.4)
    if shape == "diamond":
        corners = ((x, y - 1.3), (x + 1.3, y), (x, y + 1.3), (x - 1.3, y))
        return polygon(corners, fill=FINGER_ORANGE, stroke=FINGER_ORANGE, width=0.2)
    one, two = ((x - 1, y - 1), (x + 1, y + 1)), ((x - 1, y + 1), (x + 1, y - 1))
    return polyline(one, width=0.4) + polyline(two, width=0.4)


def _labels(ends: Sequence[tuple[float, Series, int]], x_axis: Axis, y_axis: Axis) -> list[str]:
    """The names at the right, each with a piece of its line or its mark, as near to its end as there is room."""
    ordered = sorted(ends, key=lambda end: end[0])
    wished = [max(end[0], TOP_MM) - LABEL_STEP_MM / 2.0 for end in ordered]
    places = apart(wished, [LABEL_STEP_MM] * len(ordered), y_axis.start_mm + BOTTOM_MM - 1.0)
    parts = []
    for (end_y, series, number), place in zip(ordered, places, strict=True):
        y, x = _grid(place + LABEL_STEP_MM / 2.0), x_axis.end_mm
        end_x = x_axis.at(series.points[-1][0])
        parts.append(polyline(((end_x, end_y), (x + 2.5, y)), stroke=FAINT, width=0.12))
        sample = [(x + 2.5, y), (x + 9.5, y)]
        parts += _trace([(x + 6.0, y)] if series.marked else sample, number, series.marked)
        parts.append(words((x + 10.7, y + 1.1), series.name, size=TEXT_MM, halo=False))
    return parts


def _grid(value_mm: float) -> float:
    """Rounded to a twentieth of a millimetre, ties pushed aside."""
    return round((value_mm + 3e-7) * 20.0) / 20.0
