"""A section drawn as one line, or as the closed contour of the sheet's thickness: its straight legs and the turns between them.

A closed contour is cut at its two ends: short lines across the sheet. Of what is left, one chain of curves lies on each face, with
the same number of straight lines, parallel in pairs at the thickness; the arcs of the inner face give the radii. Of the two
ways to run it that with more of its turns to the left (up) is taken.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from bendwright.drawing.dxf.curves import Curve
from bendwright.drawing.dxf.places import place
from bendwright.part.model import Point
from bendwright.said import say

LEAST_TURN_DEG = 0.05
TANGENT_DEG = 0.5
SHARPEST_DEG = 170.0
CAP_SHARE = 0.3
SAME_SHARE = 0.03
SAME_MM = 0.03
PARALLEL_DEG = 0.2
MOST_CAPS = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """A turn between two legs: signed turned angle (left positive), whether its corner is drawn sharp, so that the legs run to the
    corner, the radius of its arc [mm] (None = none drawn), and its place.
    """

    turned_deg: float
    sharp: bool
    radius_mm: float | None
    at: Point


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionLine:
    """The straight lengths of the legs [mm] - between corners and arc ends as drawn - and the turns between them."""

    legs_mm: tuple[float, ...]
    turns: tuple[Turn, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ThickSection:
    """One face of a closed section with the sheet on its left, and the sheet's thickness [mm]; all radii are those of the inside."""

    line: SectionLine
    thickness_mm: float


def section_line(chain: Sequence[Curve]) -> SectionLine | str:
    """The section of an open chain; in words what is wrong with it."""
    legs: list[float] = []
    turns: list[Turn] = []
    heading, turn, at, radius = 0.0, 0.0, chain[0].start, None
    for number, curve in enumerate(chain):
        if curve.centre is not None:
            if not legs:
                return say("drawing.begins_with_arc", place=place(curve.start))
            if abs(_off(curve.heading_rad(0.0), heading)) > TANGENT_DEG:
                return say("drawing.arc_before", place=place(curve.start))
            if radius is not None:
                return say("drawing.two_arcs", place=place(curve.start))
            radius, turn, at = curve.radius_mm, math.degrees(curve.sweep_rad), curve.at(0.5)
            heading = curve.heading_rad(1.0)
            if number == len(chain) - 1:
                return say("drawing.ends_with_arc", place=place(curve.end))
            continue
        own = curve.heading_rad(0.0)
        if legs:
            step = _off(own, heading)
            if radius is not None and abs(step) > TANGENT_DEG:
                return say("drawing.arc_after", place=place(curve.start))
            turn = turn if radius is not None else step
            at = at if radius is not None else curve.start
            if abs(turn) < LEAST_TURN_DEG:
                legs[-1] += curve.length_mm
                heading, radius = own, None
                continue
            if radius is None and abs(turn) > SHARPEST_DEG:
                return say("drawing.turns_back", place=place(curve.start))
            turns.append(Turn(turned_deg=turn, sharp=radius is None, radius_mm=radius, at=at))
        legs.append(curve.length_mm)
        heading, radius, turn = own, None, 0.0
    return SectionLine(legs_mm=tuple(legs), turns=tuple(turns))


def _off(heading: float, other: float) -> float:
    return math.degrees(math.remainder(heading - other, 2.0 * math.pi))


def thick_section(ring: Sequence[Curve], *, area_mm2: float) -> ThickSection | None:
    """The section whose sheet a closed ring (counter-clockwise) goes round; None when it is not of one thickness."""
    around = sum(curve.length_mm for curve in ring)
    root = around**2 - 16.0 * area_mm2
    if root < 0.0 or area_mm2 <= 0.0:
        return None
    about = 0.25 * (around - math.sqrt(root))
    caps = [
        n for n, curve in enumerate(ring) if curve.centre is None and abs(curve.length_mm / about - 1.0) < CAP_SHARE
    ]
    best: tuple[float, ThickSection] | None = None
    for first, second in combinations(caps[:MOST_CAPS], 2):
        near = ring[first + 1 : second]
        far = [*ring[second + 1 :], *ring[:first]]
        section = _between_caps(near, far)
        if section is not None and sum(turn.turned_deg for turn in section.line.turns) < 0.0:
            section = _between_caps(far, near)
        if section is None or not all(_spans(ring[n], section.thickness_mm) for n in (first, second)):
            continue
        if best is None or sum(section.line.legs_mm) > best[0]:
            best = (sum(section.line.legs_mm), section)
    return best[1] if best else None


def _spans(cap: Curve, thickness: float) -> bool:
    return abs(cap.length_mm - thickness) < max(SAME_MM, SAME_SHARE * thickness)


def _between_caps(near: Sequence[Curve], far: Sequence[Curve]) -> ThickSection | None:
    """The section between two ends: ``near`` is one face as run, ``far`` the other one run backward."""
    if not near or not far:
        return None
    back = [curve.reversed() for curve in reversed(far)]
    own, other = section_line(near), section_line(back)
    if isinstance(own, str) or isinstance(other, str) or len(own.turns) != len(other.turns):
        return None
    lines = [[curve for curve in face if curve.centre is None] for face in (near, back)]
    apart = [_apart(a, b) for a, b in zip(*lines, strict=False)]
    if len(lines[0]) != len(lines[1]) or not apart or None in apart:
        return None
    widths = [width for width in apart if width is not None]
    if min(widths) <= 0.0 or max(widths) - min(widths) > max(SAME_MM, SAME_SHARE * min(widths)):
        return None
    turns = []
    for a, b in zip(own.turns, other.turns, strict=True):
        if abs(a.turned_deg - b.turned_deg) > TANGENT_DEG:
            return None
        inner, outer = (b, a) if a.turned_deg > 0.0 else (a, b)
        radius = inner.radius_mm
        if radius is None and outer.radius_mm is not None:
            radius = max(0.0, outer.radius_mm - widths[0])
        turns.append(replace(a, radius_mm=radius))
    line = SectionLine(legs_mm=own.legs_mm, turns=tuple(turns))
    return ThickSection(line=line, thickness_mm=sum(widths) / len(widths))


def _apart(one: Curve, other: Curve) -> float | None:
    """How far to the left of a line its partner lies; None when they are not parallel."""
    if abs(_off(one.heading_rad(0.0), other.heading_rad(0.0))) > PARALLEL_DEG:
        return None
    heading = one.heading_rad(0.0)
    dx, dy = other.at(0.5)[0] - one.start[0], other.at(0.5)[1] - one.start[1]
    return math.cos(heading) * dy - math.sin(heading) * dx
