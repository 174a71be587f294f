"""Which lines on the sheet are bend lines?

Lines that a layer's name, the mapping or a person calls bends come first. Without any, broken lines are taken; without these,
plain lines that run inside the sheet from edge to edge. Whatever is left unused is said.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely import LineString, MultiPoint, box
from shapely import Point as Spot

from bendwright.drawing.dxf.axes import (
    ON_AXIS_MM,
    Axis,
    DrawnLine,
    axes_of,
    from_edges_alone,
    unnamed_edges,
    with_zones,
)
from bendwright.drawing.dxf.curves import Curve, line
from bendwright.drawing.dxf.loops import Loops
from bendwright.drawing.dxf.places import listed, place
from bendwright.drawing.dxf.rims import Rims
from bendwright.drawing.dxf.roles import Taken
from bendwright.drawing.dxf.sheets import FlatSheet
from bendwright.findings import Finding, PartFileError, found
from bendwright.part.model import Point
from bendwright.said import phrase, say

INSIDE_SHARE = 0.5
INSIDE_MM = 1.0
EDGE_MM = 0.5
PICK_MM = 5.0
BOW_MM = 1e-3
MOST_LINES = 4000
MOST_AXES = 200
MOST_ROUNDS = 20
"""So often lines that end on lines found before are looked for."""
EDGE_TO_EDGE = "plain line from edge to edge"


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidates:
    """The axes taken for bend lines, the straight lines left unused and the places of open curves on the sheet."""

    axes: tuple[Axis, ...]
    findings: tuple[Finding, ...]


def bend_candidates(
    sheet: FlatSheet,
    curves: Sequence[Curve],
    taken: Sequence[Taken],
    loops: Loops,
    *,
    picked: Sequence[Point],
    thickness_mm: float | None,
    gap_mm: float,
    where: str,
) -> Candidates:
    """The bend lines of the sheet. ``curves`` are all curves, ``taken`` what their styles are, ``loops`` those of the outline.

    Raises PartFileError D348 for more lines than any part bends at.
    """
    said: list[Finding] = []
    named, broken, bowed = _by_role(sheet, curves, taken)
    plain = _edge_to_edge(sheet, loops, gap_mm)
    chosen = _picked(sheet, [*named, *broken, *plain, *_others(curves, taken)], picked, said, where)
    strong = [*chosen, *named]
    lines = strong or broken or plain
    unused = [item for item in [*broken, *plain] if strong and item not in strong] + (
        plain if broken and not strong else []
    )
    edges = [curve for curve in curves if taken[curve.style].role == "extents" and _is_on(sheet, curve)]
    if max(len(lines), len(edges)) > MOST_LINES:
        raise PartFileError(found("D348", where=where, count=max(len(lines), len(edges)), most=MOST_LINES))
    found_edges: list[Curve] = []
    if len(lines) <= MOST_AXES:
        lines, found_edges = unnamed_edges(lines, thickness_mm=thickness_mm)
    axes = axes_of(lines)
    if len(axes) > MOST_AXES:
        raise PartFileError(found("D348", where=where, count=len(axes), most=MOST_AXES))
    axes, free = with_zones(axes, [*edges, *found_edges])
    if len(free) > 4 * MOST_AXES:
        raise PartFileError(found("D348", where=where, count=len(free), most=4 * MOST_AXES))
    axes += from_edges_alone(free, thickness_mm=thickness_mm)
    if len(axes) > MOST_AXES:
        raise PartFileError(found("D348", where=where, count=len(axes), most=MOST_AXES))
    if away := _off_the_sheet(sheet, curves, taken, loops, axes):
        said.append(found("D330", where=where, count=len(away), lines=listed(away)))
    if bowed:
        said.append(
            found("D331", where=where, count=len(bowed), places=listed(place(curve.at(0.5)) for curve in bowed))
        )
    if unused:
        kinds = Counter(item.why for item in unused)
        words = listed(say("drawing.times", count=count, what=phrase(why)) for why, count in kinds.items())
        said.append(found("D332", where=where, count=len(unused), kinds=words))
    return Candidates(axes=tuple(_in_order(axes)), findings=tuple(said))


def _by_role(
    sheet: FlatSheet, curves: Sequence[Curve], taken: Sequence[Taken]
) -> tuple[list[DrawnLine], list[DrawnLine], list[Curve]]:
    """Bend lines by name, by their broken line only, and curves that should be bends but are not straight."""
    named: list[DrawnLine] = []
    broken: list[DrawnLine] = []
    bowed: list[Curve] = []
    for curve in curves:
        what = taken[curve.style]
        if not what.role.startswith("bend") or not _is_on(sheet, curve, weak=what.weak):
            continue
        if curve.centre is not None:
            bowed += [] if what.weak else [curve]
            continue
        direction = what.role.partition(" ")[2] or None
        item = DrawnLine(start=curve.start, end=curve.end, why=what.why, weak=what.weak, direction=direction)  # type: ignore[arg-type]
        (broken if what.weak else named).append(item)
    return named, broken, bowed


def _is_on(sheet: FlatSheet, curve: Curve, *, weak: bool = False) -> bool:
    """Does the curve lie on the outline's area (holes counted as sheet) for a millimetre, a weak one for half of its length?"""
    drawn = LineString(curve.corners())
    least = INSIDE_SHARE * drawn.length if weak else min(INSIDE_MM, INSIDE_SHARE * drawn.length)
    return bool(drawn.length > 0.0 and sheet.outline.polygon.intersection(drawn).length >= least)


def _off_the_sheet(
    sheet: FlatSheet, curves: Sequence[Curve], taken: Sequence[Taken], loops: Loops, axes: Sequence[Axis]
) -> list[str]:
    """Lines named bends that do not lie on the sheet, in words; not those of other parts, nor what sticks out of a bend line."""
    named = [curve for curve in curves if taken[curve.style].role.startswith("bend") and not taken[curve.style].weak]
    away = [curve for curve in named if not _is_on(sheet, curve)]
    if not away:
        return []
    whole = box(*sheet.outline.polygon.bounds)
    frames = [box(*MultiPoint([p for c in loop for p in c.corners()]).bounds) for loop in loops.loops]
    others = shapely.STRtree([frame for frame in frames if not frame.intersects(whole)])
    free = [curve for curve in away if not len(others.query(Spot(curve.at(0.5)), predicate="intersects"))]
    return [
        f"{place(curve.start)} to {place(curve.end)}"
        for curve in free
        if not any(abs(axis.local(curve.at(0.5))[1]) <= ON_AXIS_MM for axis in axes)
    ]


def _edge_to_edge(sheet: FlatSheet, loops: Loops, gap_mm: float) -> list[DrawnLine]:
    """Plain lines inside the sheet with both ends on its edges or on other such lines."""
    straight = [*loops.chords, *(one for chain in loops.chains if (one := straight_chain(chain)))]
    inside = sheet.outline.polygon
    shapely.prepare(inside)
    rims = Rims(sheet)
    left = [
        curve for curve in straight if inside.contains(Spot(curve.at(0.5))) and not rims.near(curve.at(0.5), gap_mm)
    ]
    out: list[DrawnLine] = []
    for _ in range(MOST_ROUNDS):
        ends = [all(rims.near(end, EDGE_MM) for end in (curve.start, curve.end)) for curve in left]
        held = [curve for curve, ended in zip(left, ends, strict=True) if ended]
        if not held:
            break
        out += [DrawnLine(start=curve.start, end=curve.end, why=EDGE_TO_EDGE, weak=True) for curve in held]
        left = [curve for curve, ended in zip(left, ends, strict=True) if not ended]
        rims = Rims(sheet, [LineString([item.start, item.end]) for item in out])
    return out


def straight_chain(chain: Sequence[Curve]) -> Curve | None:
    """An open chain as one line when it is straight."""
    start, end = chain[0].start, chain[-1].end
    whole = line(start, end, chain[0].style)
    corners = [curve.end for curve in chain[:-1]]
    straight = all(curve.centre is None for curve in chain) and all(whole.foot(p)[1] < BOW_MM for p in corners)
    return whole if straight and whole.length_mm > EDGE_MM else None


def _others(curves: Sequence[Curve], taken: Sequence[Taken]) -> list[DrawnLine]:
    """Straight lines drawn as marks or left aside, which a person may still pick."""
    aside = ("etch", "ignore")
    return [
        DrawnLine(start=curve.start, end=curve.end, why="picked")
        for curve in curves
        if curve.centre is None and taken[curve.style].role in aside
    ]


def _picked(
    sheet: FlatSheet, lines: Sequence[DrawnLine], picked: Sequence[Point], said: list[Finding], where: str
) -> list[DrawnLine]:
    """The lines nearest to the points picked; D333 for a point with none near it."""
    out: list[DrawnLine] = []
    for point in picked:
        near = [(Curve(item.start, item.end).foot(point)[1], n) for n, item in enumerate(lines)]
        distance, number = min(near, default=(PICK_MM + 1.0, -1))
        if distance > PICK_MM:
            said.append(found("D333", where=where, place=place(point), most=PICK_MM))
            continue
        item = lines[number]
        out.append(DrawnLine(start=item.start, end=item.end, why="picked", direction=item.direction))
    return list(dict.fromkeys(out))


def _in_order(axes: Sequence[Axis]) -> list[Axis]:
    """Lines from the bottom of the drawing to the top, from left to right where they are level."""

    def key(axis: Axis) -> tuple[float, float]:
        low, high = axis.span
        x, y = axis.at(0.5 * (low + high))
        return (round(y, 2), round(x, 2))

    return sorted(axes, key=key)
