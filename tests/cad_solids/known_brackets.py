"""Brackets a reader must get right: flanges at odd directions, flanges on flanges, and a sheet without any."""

from __future__ import annotations

from dataclasses import replace

from bent_blank import BentBlank
from catalogue import Catalogue
from flaps import Flap, flapped
from flat_shapes import Point, blob, circle, slot
from known import Known, known
from sheet_parts import Bent, flat_plate

BRACKETS = Catalogue()


@BRACKETS.entry
def _corner_bracket() -> Known:
    """Three flanges of one base at odd directions: bend lines neither parallel nor square to each other."""
    base = [(0.0, 0.0), (90.0, 0.0), (120.0, 60.0), (60.0, 100.0), (0.0, 70.0)]
    bends = {0: Bent(90, 2), 1: Bent(45, 2, False), 3: Bent(110, 1.5)}
    flaps = {side: Flap(bent, 22.0, (8.0, 6.0), (0.0, 0.3)) for side, bent in bends.items()}
    return known("corner_bracket", _flapped(base, flaps, 1.5))


@BRACKETS.entry
def _ears_on_flanges() -> Known:
    """Flanges on flanges: ears square to the walls they sit on, and a lip beyond one of them."""
    ear = Flap(Bent(90, 1.5), 14.0, (2.0, 1.0))
    lip = Flap(Bent(90, 1.5, False), 8.0, (3.0, 3.0), (0.5, 0.5))
    long = Flap(Bent(90, 2), 40.0, (25.0, 25.0), (0.0, 0.0), (ear, lip, replace(ear, bend=Bent(45, 1.5, False))))
    short = Flap(Bent(60, 2, False), 25.0, (2.0, 2.0), (0.1, 0.1))
    base = [(0.0, 0.0), (140.0, 0.0), (140.0, 80.0), (0.0, 80.0)]
    return known("ears_on_flanges", _flapped(base, {0: long, 1: short, 2: long}, 1.5))


def _flapped(base: list[Point], flaps: dict[int, Flap], thickness: float) -> BentBlank:
    blank = flapped(base, flaps, thickness_mm=thickness)
    assert blank is not None
    return blank


@BRACKETS.entry
def _flat_sheet() -> Known:
    return known("flat_sheet", flat_plate(120, 80, 2, [circle(20, 20, 6), slot(60, 40, 30, 8), blob(95, 55, 20)]))
