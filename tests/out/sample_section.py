"""Sections of the hand-made lipped channel: its plates at the die, with the outlines of tools, ram and finger."""

from __future__ import annotations

import math

from bendwright.part.model import Point
from bendwright.stroke.result import NamedPolygon, SectionView

T, R, V = 2.0, 2.56, 16.0
SETBACK = R + T
ALLOWANCE = math.pi / 2 * (R + 0.42 * T)


def arm(flats: list[float], turned: list[float], half_deg: float) -> list[tuple[Point, ...]]:
    """Plates of one side of the bend at the die, lying to +x: half the bend zone, then flats and bends in turn.

    ``half_deg`` is half of what the bend at the die is turned; 0 gives the flat sheet lying on the die.
    """
    half = math.radians(half_deg)
    plates = []
    if half > 0.0:
        centre = (0.0, -V / 2 + SETBACK / math.cos(half))
        plates.append(_arc(centre, -math.pi / 2, -math.pi / 2 + half))
        p = (centre[0] + SETBACK * math.sin(half), centre[1] - SETBACK * math.cos(half))
    else:
        p = (0.0, 0.0)
        plates.append(_plate(p, 0.0, ALLOWANCE / 2))
        p = (ALLOWANCE / 2, 0.0)
    way = half
    for flat, turn_deg in zip(flats, [*turned, 0.0], strict=True):
        plates.append(_plate(p, way, flat))
        p = (p[0] + flat * math.cos(way), p[1] + flat * math.sin(way))
        turn = math.radians(turn_deg)
        if turn:
            centre = (p[0] - SETBACK * math.sin(way), p[1] + SETBACK * math.cos(way))
            plates.append(_arc(centre, way - math.pi / 2, way - math.pi / 2 + turn))
            way += turn
            p = (centre[0] + SETBACK * math.sin(way), centre[1] - SETBACK * math.cos(way))
    return plates


def _plate(foot: Point, way: float, length: float) -> tuple[Point, ...]:
    c, s = math.cos(way), math.sin(way)
    corners = ((0.0, 0.0), (length, 0.0), (length, T), (0.0, T))
    return tuple((foot[0] + x * c - y * s, foot[1] + x * s + y * c) for x, y in corners)


def _arc(centre: Point, start: float, end: float) -> tuple[Point, ...]:
    angles = [start + (end - start) * i / 8 for i in range(9)]
    outer = [(centre[0] + SETBACK * math.cos(a), centre[1] + SETBACK * math.sin(a)) for a in angles]
    inner = [(centre[0] + R * math.cos(a), centre[1] + R * math.sin(a)) for a in reversed(angles)]
    return tuple(outer + inner)


def section(front: tuple[list[float], list[float]], back: tuple[list[float], list[float]], x_mm: float) -> SectionView:
    """The section with the front part (mirrored), the part at the gauge, tools and finger."""

    def both(half_deg: float) -> list[tuple[Point, ...]]:
        mirrored = [tuple((-x, y) for x, y in plate) for plate in arm(*front, half_deg)]
        return arm(*back, half_deg) + mirrored

    tip = -V / 2 + SETBACK / math.cos(math.radians(45.5)) - R
    punch = [(0, 0), (7, 7.25), (7, 90), (12, 98), (12, 120), (-12, 120), (-12, 98), (-7, 90), (-7, 7.25)]
    half_die = [(8.0, 0.0), (28.0, 0.0), (28.0, -40.0), (18.0, -40.0), (18.0, -60.0)]
    die = [*half_die, *((-x, y) for x, y in reversed(half_die)), (0.0, -8.2)]
    ram = ((-30.0, tip + 120), (30.0, tip + 120), (30.0, tip + 260), (-30.0, tip + 260))
    finger = [(x_mm, 0.5), (x_mm + 60, 0.5), (x_mm + 60, 24), (x_mm + 14, 24), (x_mm + 14, 10), (x_mm, 10)]
    polygons = [
        NamedPolygon(role="ram", name="ram", points=ram),
        NamedPolygon(role="die", name="V16", points=tuple(die)),
        NamedPolygon(role="punch", name="slim", points=tuple((float(x), y + tip) for x, y in punch)),
        NamedPolygon(role="finger", name="finger", points=tuple((float(x), float(y)) for x, y in finger)),
    ]
    polygons += [NamedPolygon(role="part_start", name="start", points=plate) for plate in both(0.0)]
    polygons += [NamedPolygon(role="part", name="part", points=plate) for plate in both(45.5)]
    return SectionView(polygons=tuple(polygons))
