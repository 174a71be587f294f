"""The section of a punch or a die to scale: plain for the cabinet, where all stand side by side, or with its sizes and a scale bar."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from bendwright.quantities import LengthUnit, format_length, format_number
from bendwright.sheets.palette import FAINT, INK, PAPER, STEEL, STEEL_LINE
from bendwright.sheets.svg import Point, arrow_head, hatch, picture, polygon, polyline, words
from bendwright.shop.tools import Die, Punch

EDGE_MM = 1.0
FOOT_MM, SIDE_MM, HEAD_MM = 17.0, 24.0, 9.0
STEPS_MM = (100, 50, 20, 10, 5)
At = Callable[[Point], Point]


def cabinet_svg(tool: Punch | Die, *, scale: float) -> str:
    """The bare section, ``scale`` mm on paper for each mm: pictures of one scale can stand side by side."""
    x0, y0, x1, y1 = _box(tool)
    width, height = (x1 - x0) * scale + 2.0 * EDGE_MM, (y1 - y0) * scale + 2.0 * EDGE_MM

    def at(point: Point) -> Point:
        return (point[0] - x0) * scale + EDGE_MM, (y1 - point[1]) * scale + EDGE_MM

    return picture([_section(tool, at)], width_mm=width, height_mm=height, title=tool.id, name="tool", defs=_steel())


def profile_svg(
    tool: Punch | Die,
    *,
    width_mm: float = 90.0,
    height_mm: float = 110.0,
    unit: LengthUnit = "mm",
    decimal_comma: bool = False,
) -> str:
    """The section as large as it fits, with height, width, nose or groove and a scale bar; operator on the left, gauge on the right."""
    x0, y0, x1, y1 = _box(tool)
    scale = min((width_mm - 2.0 * SIDE_MM) / (x1 - x0), (height_mm - FOOT_MM - HEAD_MM) / (y1 - y0))
    left = 0.5 * (width_mm - (x1 - x0) * scale)

    def at(point: Point) -> Point:
        return left + (point[0] - x0) * scale, HEAD_MM + (y1 - point[1]) * scale

    def told(text: str) -> str:
        return text.replace(".", ",") if decimal_comma else text

    middle = [at((0.0, y1 + 3.0 / scale)), at((0.0, y0 - 3.0 / scale))]
    parts = [_section(tool, at), polyline(middle, stroke=INK, width=0.18, dash="4 1 0.8 1")]
    parts += _height(at((x1, y1)), at((x1, y0)), told(format_length(tool.height_mm, unit=unit)))
    parts += _width(at((x0, y1)), at((x1, y1)), told(_length(x1 - x0, unit)))
    parts += _work(tool, at, [told(text) for text in _work_words(tool, unit)], height_mm)
    parts += _scale_bar(scale, width_mm, height_mm, unit)
    title = f"{tool.id} {tool.name}"
    return picture(parts, width_mm=width_mm, height_mm=height_mm, title=title, name="tool", defs=_steel())


def _section(tool: Punch | Die, at: At) -> str:
    return polygon([at(point) for point in tool.outline], fill="url(#steel)", stroke=INK, width=0.35)


def _steel() -> str:
    return hatch("steel", spacing=1.6, turn_deg=45.0, colour=STEEL_LINE, ground=STEEL, width=0.1)


def _box(tool: Punch | Die) -> tuple[float, float, float, float]:
    xs, ys = [x for x, _ in tool.outline], [y for _, y in tool.outline]
    return min(xs), min(ys), max(xs), max(ys)


def _length(value_mm: float, unit: LengthUnit) -> str:
    return format_length(value_mm, unit=unit, decimals=3 if unit == "inch" else 1)


def _height(top: Point, foot: Point, text: str) -> list[str]:
    x = top[0] + 7.0
    lines = [polyline([(end[0] + 1.0, end[1]), (x + 1.0, end[1])], stroke=FAINT, width=0.18) for end in (top, foot)]
    arrows = [polyline([(x, top[1]), (x, foot[1])], width=0.2)]
    arrows += [arrow_head((x, top[1]), (0.0, -1.0)), arrow_head((x, foot[1]), (0.0, 1.0))]
    return [*lines, *arrows, words((x + 1.2, 0.5 * (top[1] + foot[1]) + 1.2), text)]


def _width(left: Point, right: Point, text: str) -> list[str]:
    y = left[1] - 3.0
    ends = [polyline([(end[0], end[1] - 0.8), (end[0], y - 0.8)], stroke=FAINT, width=0.18) for end in (left, right)]
    line = polyline([(left[0], y), (right[0], y)], width=0.2)
    heads = [arrow_head((left[0], y), (-1.0, 0.0)), arrow_head((right[0], y), (1.0, 0.0))]
    return [*ends, line, *heads, words((0.5 * (left[0] + right[0]), y - 1.2), text, anchor="middle")]


def _work_words(tool: Punch | Die, unit: LengthUnit) -> list[str]:
    """What does the bending: angle and nose of a punch; opening, angle and shoulders of a die; nothing of a flat one."""
    if tool.kind == "flattening":
        return []
    included = f"{format_number(tool.angle_deg, decimals=1).removesuffix('.0')}°"
    if isinstance(tool, Punch):
        return [included, f"R {_short(tool.nose_radius_mm, unit)}"]
    opening = [] if tool.offset is not None else [f"V {_short(tool.opening_mm, unit)}"]
    return [*opening, included, f"R {_short(tool.shoulder_radius_mm, unit)}"]


def _work(tool: Punch | Die, at: At, texts: Sequence[str], height_mm: float) -> list[str]:
    """These words beside the picture, with a line to the tip or to the edge of the groove."""
    if not texts:
        return []
    x, tip = 1.0, at((0.0, 0.0) if isinstance(tool, Punch) else (-0.5 * tool.opening_mm, 0.0))
    y = min(max(tip[1] - 1.0, 6.0), height_mm - FOOT_MM - 2.0)
    lines = [words((x, y + 4.6 * i), text, bold=i == 0) for i, text in enumerate(texts)]
    lead = polyline([(x + 14.0, y - 1.2), (x + 17.0, y - 1.2), tip], width=0.18)
    return [lead, *lines]


def _short(value_mm: float, unit: LengthUnit) -> str:
    text = format_length(value_mm, unit=unit)
    number, _, name = text.partition(" ")
    return f"{number.rstrip('0').rstrip('.') if '.' in number else number} {name}".strip()


def _scale_bar(scale: float, width_mm: float, height_mm: float, unit: LengthUnit) -> list[str]:
    """A bar of a round number of millimetres (or inches) in the lower right corner."""
    steps = [(f"{step} mm", float(step)) for step in STEPS_MM]
    if unit == "inch":
        steps = [(f"{text} in", value * 25.4) for text, value in (("4", 4.0), ("2", 2.0), ("1", 1.0), ("1/2", 0.5))]
    text, long = next((step for step in steps if step[1] * scale <= 0.4 * width_mm), steps[-1])
    right, foot = width_mm - 2.0, height_mm - 2.0
    left = right - long * scale
    bar = [(left, foot - 1.6), (left, foot), (right, foot), (right, foot - 1.6)]
    ends = polyline(bar, stroke=PAPER, width=1.0) + polyline(bar, width=0.35)
    return [ends, words((0.5 * (left + right), foot - 2.0), text, anchor="middle")]
