"""Bent sheets whose answer is known before any file is read: profiles, panels, boxes, hems, rolls, with openings.

Every function lays out the flat by hand, from straight lengths (tangent line to tangent line) and bends. Outside legs follow by
the rule of the drawing office: a leg ends where the outer faces would meet up to 90 degrees turned, (R + t) tan(a/2) beyond the
tangent line, and at the tangent of the outer arc, R + t beyond it, above that.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bent_blank import BentBlank, Strip
from flat_shapes import Arc, Line, Loop, Piece, Point, crossing, polygon, rectangle


@dataclass(frozen=True)
class Bent:
    """One bend of a profile: turned angle, inside radius, up (toward the sheet's top face) or down."""

    turned_deg: float
    radius_mm: float
    up: bool = True


def profile(
    straights_mm: Sequence[float],
    bends: Sequence[Bent],
    *,
    width_mm: float,
    thickness_mm: float,
    k_factor: float = 0.44,
    openings: Sequence[Loop] = (),
    imprints: Sequence[tuple[Point, Point]] = (),
    outline: Loop | None = None,
) -> BentBlank:
    """A row of flat pieces with bends between them, all parallel; y runs along the developed section, x along the bends."""
    y, strips = straights_mm[0], []
    for bend, straight in zip(bends, straights_mm[1:], strict=True):
        strip = Strip((width_mm, y), (0.0, y), bend.radius_mm, bend.turned_deg, bend.up)
        strips.append(strip)
        y += strip.width(thickness_mm, k_factor) + straight
    return BentBlank(
        thickness_mm=thickness_mm,
        outline=outline or rectangle(0.0, 0.0, width_mm, y),
        strips=tuple(strips),
        openings=tuple(openings),
        k_factor=k_factor,
        root=(0.5 * width_mm, 0.5 * straights_mm[0]),
        imprints=tuple(imprints),
    )


def tangent_lines(blank: BentBlank) -> list[tuple[float, float]]:
    """For a profile: where each bend's strip begins and ends on the flat."""
    return [(strip.start[1], strip.start[1] + blank.width(strip)) for strip in blank.strips]


def setback(bend: Bent, thickness_mm: float) -> float:
    """How far an outside leg reaches beyond the tangent line."""
    out = bend.radius_mm + thickness_mm
    return out * math.tan(math.radians(bend.turned_deg) / 2.0) if bend.turned_deg <= 90.0 else out


def outside_legs(straights_mm: Sequence[float], bends: Sequence[Bent], thickness_mm: float) -> list[float]:
    """Outside length of every flange of a profile."""
    back = [0.0, *(setback(bend, thickness_mm) for bend in bends), 0.0]
    return [straight + back[i] + back[i + 1] for i, straight in enumerate(straights_mm)]


def developed_mm(straights_mm: Sequence[float], bends: Sequence[Bent], thickness_mm: float, k_factor: float) -> float:
    """Flat length of a profile from outside: legs less deductions, BD = 2 set-back - a (R + K t)."""
    total = sum(outside_legs(straights_mm, bends, thickness_mm))
    for bend in bends:
        allowance = math.radians(bend.turned_deg) * (bend.radius_mm + k_factor * thickness_mm)
        total -= 2.0 * setback(bend, thickness_mm) - allowance
    return total


def section_clear(straights_mm: Sequence[float], bends: Sequence[Bent], thickness_mm: float) -> bool:
    """Whether a profile's section keeps clear of itself: no two edges of its outline cross."""
    ring = _section(straights_mm, bends, thickness_mm)
    edges = list(zip(ring, [*ring[1:], ring[0]], strict=True))
    for i, (a, b) in enumerate(edges):
        for j in range(i + 2, len(edges) - (1 if i == 0 else 0)):
            if crossing(a, b, *edges[j]):
                return False
    return True


def _section(straights_mm: Sequence[float], bends: Sequence[Bent], thickness_mm: float) -> list[Point]:
    """Outline of a profile's section, a little thicker than the sheet, arcs in chords of at most 6 degrees."""
    half = 0.5 * thickness_mm + 0.02
    x, y, way = 0.0, 0.0, 0.0
    lower, upper = [(0.0, -half)], [(0.0, half)]
    for number, straight in enumerate(straights_mm):
        x, y = x + straight * math.cos(way), y + straight * math.sin(way)
        if number < len(bends):
            bend = bends[number]
            sign = 1.0 if bend.up else -1.0
            middle = bend.radius_mm + 0.5 * thickness_mm
            steps = max(2, math.ceil(bend.turned_deg / 6.0))
            _add(lower, upper, (x, y), way, half)
            cx, cy = x - sign * middle * math.sin(way), y + sign * middle * math.cos(way)
            for _ in range(steps):
                way += sign * math.radians(bend.turned_deg) / steps
                x, y = cx + sign * middle * math.sin(way), cy - sign * middle * math.cos(way)
                _add(lower, upper, (x, y), way, half)
    _add(lower, upper, (x, y), way, half)
    return lower + upper[::-1]


def _add(lower: list[Point], upper: list[Point], at: Point, way: float, half: float) -> None:
    nx, ny = -math.sin(way), math.cos(way)
    for side, sign in ((lower, -1.0), (upper, 1.0)):
        point = (at[0] + sign * half * nx, at[1] + sign * half * ny)
        if math.dist(point, side[-1]) > 1e-9:
            side.append(point)


@dataclass(frozen=True)
class Wall:
    """What stands on one side of a box's base: straight height, its bend, inset of its ends from the base's corners, taper
    (mm of inset per mm of flat, from the tangent line on), and a lip with its own bend and taper.
    """

    straight_mm: float
    bend: Bent
    inset_mm: float = 0.2
    taper: float = 0.0
    lip_mm: float = 0.0
    lip: Bent | None = None
    lip_taper: float = 0.0


def box(
    width_mm: float,
    depth_mm: float,
    walls: Sequence[Wall | None],
    *,
    thickness_mm: float,
    k_factor: float = 0.44,
    relief: str = "none",
    relief_mm: float = 0.0,
    openings: Sequence[Loop] = (),
) -> BentBlank:
    """A base between its tangent lines with walls on its front, right, back and left side (None: no wall).

    ``relief`` of each corner between two walls: none (the base's own corner stays), ``square`` or ``round``.
    """
    corners = [(0.0, 0.0), (width_mm, 0.0), (width_mm, depth_mm), (0.0, depth_mm)]
    pieces: list[Piece] = []
    strips: list[Strip] = []
    row: list[tuple[Point, Arc | None]] = []
    for side in range(4):
        here, there = corners[side], corners[(side + 1) % 4]
        ux, uy = (there[0] - here[0]) / math.dist(here, there), (there[1] - here[1]) / math.dist(here, there)
        start = _corner(here, (ux, uy), walls[side - 1] is not None and walls[side] is not None, relief, relief_mm)
        row += start
        wall = walls[side]
        if wall is not None:
            length = math.dist(here, there)
            ends, own = _wall(wall, length, thickness_mm, k_factor)
            row += [((here[0] + s * ux + o * uy, here[1] + s * uy - o * ux), None) for s, o in ends]
            for s0, s1, out, bend in own:
                a = (here[0] + s0 * ux + out * uy, here[1] + s0 * uy - out * ux)
                b = (here[0] + s1 * ux + out * uy, here[1] + s1 * uy - out * ux)
                strips.append(Strip(a, b, bend.radius_mm, bend.turned_deg, bend.up))
    for i, (point, arc) in enumerate(row):
        following = row[(i + 1) % len(row)][0]
        if arc is not None:
            pieces.append(arc)
            point = arc.end
        if math.dist(point, following) > 1e-9:
            pieces.append(Line(point, following))
    return BentBlank(
        thickness_mm=thickness_mm,
        outline=Loop(tuple(pieces)),
        strips=tuple(strips),
        openings=tuple(openings),
        k_factor=k_factor,
        root=(0.5 * width_mm, 0.5 * depth_mm),
    )


def _corner(at: Point, along: Point, between_walls: bool, relief: str, size: float) -> list[tuple[Point, Arc | None]]:
    """The base's corner: itself, a square notch into the base, or a quarter circle round it."""
    if not between_walls or relief == "none":
        return [(at, None)]
    ux, uy = along
    before = (at[0] - size * uy, at[1] + size * ux)
    after = (at[0] + size * ux, at[1] + size * uy)
    if relief == "square":
        return [(before, None), ((before[0] + size * ux, before[1] + size * uy), None), (after, None)]
    return [(before, Arc(before, after, at, -0.5 * math.pi))]


def _wall(
    wall: Wall, length: float, thickness: float, k_factor: float
) -> tuple[list[Point], list[tuple[float, float, float, Bent]]]:
    """Corners of a wall seen from its base edge (along, out), and its strips (from, to, out, bend)."""
    rows = [(0.0, wall.inset_mm)]
    strips = [(wall.inset_mm, length - wall.inset_mm, 0.0, wall.bend)]
    out = math.radians(wall.bend.turned_deg) * (wall.bend.radius_mm + k_factor * thickness) + wall.straight_mm
    inset = wall.inset_mm + wall.taper * out
    rows.append((out, inset))
    if wall.lip is not None:
        strips.append((inset, length - inset, out, wall.lip))
        allowance = math.radians(wall.lip.turned_deg) * (wall.lip.radius_mm + k_factor * thickness)
        far = out + allowance + wall.lip_mm
        rows.append((far, inset + wall.lip_taper * (far - out)))
    left = [(inset, o) for o, inset in rows]
    right = [(length - inset, o) for o, inset in rows[::-1]]
    return left + right, strips


def flat_plate(width_mm: float, depth_mm: float, thickness_mm: float, openings: Sequence[Loop] = ()) -> BentBlank:
    """A sheet without bends."""
    outline = rectangle(0.0, 0.0, width_mm, depth_mm)
    return BentBlank(thickness_mm, outline, (), tuple(openings), root=(0.5 * width_mm, 0.5 * depth_mm))


def tabs(thickness_mm: float = 1.5, k_factor: float = 0.44) -> BentBlank:
    """A plate with three tabs beside each other on one edge, bent up, down and up, each a bend of its own."""
    outline = [(0.0, 0.0), (120.0, 0.0), (120.0, 60.0)]
    strips = []
    for number, right in enumerate((110.0, 72.0, 34.0)):
        left, bend = right - 24.0, Bent((90.0, 60.0, 105.0)[number], 2.0, number != 1)
        strip = Strip((right, 60.0), (left, 60.0), bend.radius_mm, bend.turned_deg, bend.up)
        far = 60.0 + strip.width(thickness_mm, k_factor) + 15.0 + 3.0 * number
        notch = 3.0
        outline += [(right + notch, 60.0), (right + notch, 57.0), (right, 57.0), (right, far), (left, far)]
        outline += [(left, 57.0), (left - notch, 57.0), (left - notch, 60.0)]
        strips.append(strip)
    outline.append((0.0, 60.0))
    return BentBlank(thickness_mm, polygon(*_without_repeats(outline)), tuple(strips), (), k_factor, (60.0, 20.0))


def _without_repeats(points: Sequence[Point]) -> list[Point]:
    return [point for i, point in enumerate(points) if math.dist(point, points[i - 1]) > 1e-9]
