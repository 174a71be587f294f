"""The few SVG pieces the pictures are built from.

Lengths are millimetres on paper, x to the right and y down. Colours are literal, nothing refers to a style sheet, so
the pictures look the same on paper and on a screen. A text that can be said in German carries its German in ``data-de``;
``in_german_words`` puts it in place.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from html import escape

from bendwright.said import Said, in_german
from bendwright.sheets.palette import INK, PAPER

Point = tuple[float, float]
TEXT_MM = 3.6
FONT = "DejaVu Sans, Arial, sans-serif"
_CARRIED = re.compile(r' data-de="([^"]*)"([^<>]*)>[^<]*<')


def num(value: float) -> str:
    """A coordinate with at most three decimals."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def picture(
    parts: Iterable[str], *, width_mm: float, height_mm: float, title: str, name: str = "p", defs: str = ""
) -> str:
    """A whole picture of that size; what lies outside is clipped. ``name`` keeps identifiers apart on one page."""
    w, h = num(width_mm), num(height_mm)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}" role="img">'
        f"<title{_german(title)}>{escape(title)}</title>"
        f'<defs><clipPath id="{name}-frame"><rect width="{w}" height="{h}"/></clipPath>{defs}</defs>'
        f'<g clip-path="url(#{name}-frame)" font-family="{FONT}" stroke-linejoin="round" stroke-linecap="round">'
        + "".join(parts)
        + "</g></svg>"
    )


def polygon(
    points: Iterable[Point], *, fill: str = "none", stroke: str = INK, width: float = 0.25, dash: str = ""
) -> str:
    """A closed outline."""
    corners = " ".join(f"{num(x)},{num(y)}" for x, y in points)
    return f'<polygon points="{corners}" fill="{fill}" {_pen(stroke, width, dash)}/>'


def polyline(points: Iterable[Point], *, stroke: str = INK, width: float = 0.25, dash: str = "") -> str:
    """An open line through the points."""
    corners = " ".join(f"{num(x)},{num(y)}" for x, y in points)
    return f'<polyline points="{corners}" fill="none" {_pen(stroke, width, dash)}/>'


def circle(centre: Point, radius: float, *, fill: str = "none", stroke: str = INK, width: float = 0.25) -> str:
    """A circle."""
    x, y = num(centre[0]), num(centre[1])
    return f'<circle cx="{x}" cy="{y}" r="{num(radius)}" fill="{fill}" {_pen(stroke, width, "")}/>'


def path(steps: str, *, fill: str = "none", stroke: str = INK, width: float = 0.25, dash: str = "") -> str:
    """A path given in SVG's own path words."""
    return f'<path d="{steps}" fill="{fill}" {_pen(stroke, width, dash)}/>'


def words(
    at: Point, text: str, *, anchor: str = "start", size: float = TEXT_MM, bold: bool = False, halo: bool = True
) -> str:
    """One line of text with its foot at ``at``; a paper-coloured halo keeps it readable over lines."""
    x, y = num(at[0]), num(at[1])
    weight = ' font-weight="bold"' if bold else ""
    style = f'x="{x}" y="{y}" font-size="{num(size)}" text-anchor="{anchor}"{weight}{_german(text)}'
    under = f'<text {style} fill="{PAPER}" stroke="{PAPER}" stroke-width="0.9">{escape(text)}</text>' if halo else ""
    return f'{under}<text {style} fill="{INK}">{escape(text)}</text>'


def in_german_words(svg: str) -> str:
    """The picture with its texts in German, as far as it carries them."""
    return _CARRIED.sub(r"\2>\1<", svg)


def _german(text: str) -> str:
    """The attribute that carries the German of a saying; names and bare numbers have none."""
    said = in_german(text) if isinstance(text, Said) else text
    return "" if said == text else f' data-de="{escape(said)}"'


def arrow_head(tip: Point, way: Point, *, size: float = 1.6, fill: str = INK) -> str:
    """A filled arrow head at ``tip`` pointing in the unit direction ``way``."""
    back = (tip[0] - size * way[0], tip[1] - size * way[1])
    side = (-0.45 * size * way[1], 0.45 * size * way[0])
    corners = (tip, (back[0] + side[0], back[1] + side[1]), (back[0] - side[0], back[1] - side[1]))
    return polygon(corners, fill=fill, width=0.1)


def apart(starts: Sequence[float], wide: Sequence[float], limit: float) -> list[float]:
    """Left ends of labels as near to their wished places (ascending) as they can stand beside each other.

    ``wide`` are their widths; the last one ends at ``limit`` at the latest.
    """
    places: list[float] = []
    free = -math.inf
    for start, width in zip(starts, wide, strict=True):
        places.append(max(start, free))
        free = places[-1] + width
    for i in reversed(range(len(places))):
        limit = min(places[i], limit - wide[i])
        places[i] = limit
    return places


def hatch(name: str, *, spacing: float, turn_deg: float, colour: str, ground: str, width: float = 0.18) -> str:
    """A pattern of parallel lines over a ground colour, to be used as ``fill="url(#name)"``."""
    s = num(spacing)
    return (
        f'<pattern id="{name}" width="{s}" height="{s}" patternUnits="userSpaceOnUse"'
        f' patternTransform="rotate({num(turn_deg)})"><rect width="{s}" height="{s}" fill="{ground}"/>'
        f'<line x1="0" y1="0" x2="0" y2="{s}" stroke="{colour}" stroke-width="{num(2 * width)}"/></pattern>'
    )


def _pen(stroke: str, width: float, dash: str) -> str:
    pattern = f' stroke-dasharray="{dash}"' if dash else ""
    return f'stroke="{stroke}" stroke-width="{num(width)}"{pattern}'
