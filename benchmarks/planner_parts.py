"""Invented Saltmarsh parts of any number of bends, for the benchmarks of the planner.

Trees: trays whose walls are parted into tabs, each wall with a return lip, and a box with a rim. Chains: open profiles. Plates: a
flange on every side, where nearly every order is legal.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

from bendwright.drawing.quick_profile import quick_profile
from bendwright.part.model import Direction, Header, Part
from bendwright.part.panel import panel_part
from bendwright.part.typed import TypedBase, TypedBend, TypedFlange

TAB_MM, GAP_MM, CORNER_MM = 90.0, 20.0, 25.0
TABS = {8: (1, 1), 16: (2, 2), 20: (3, 2), 24: (3, 3), 28: (4, 3), 32: (4, 4), 36: (5, 4), 40: (5, 5)}
"""Bends of a tray to the tabs on its front and back, and on its left and right: each tab has a wall and a lip."""
SIDES = ("front", "right", "back", "left")
LONG_LIP_MM, LONG_RIM_MM = 75.0, 100.0
CHAIN_MM = 600.0
STEP_MM = 42.0


def tray(bends: int, *, long_lip: bool = False) -> Part:
    """A tray of 8, 16, 20, 24, 28, 32, 36 or 40 bends: tabs on all four sides, each a wall 40 high with a lip of 14 inward.

    With ``long_lip`` the lip of the last tab is so long that it meets every punch, before its wall is made and after.
    """
    counts = [TABS[bends][number % 2] for number in range(4)]
    seats = [(side, place, count) for side, count in zip(SIDES, counts, strict=True) for place in range(count)]
    tabs = []
    for side, place, count in seats:
        lip = LONG_LIP_MM if long_lip and (side, place, count) == seats[-1] else 14.0
        ends = [CORNER_MM + number * (TAB_MM + GAP_MM) for number in (place, count - 1 - place)]
        name = f"{side}{place + 1}"
        tabs.append(_flange(name, side, 40.0, ends=(ends[0], ends[1]), then=[_flange(f"{name}.lip", "far", lip)]))
    width, depth = (2.0 * CORNER_MM + n * TAB_MM + (n - 1) * GAP_MM for n in TABS[bends])
    return _panel(f"SM-9{bends:03}", _rectangle(width, depth), tabs, rectangle=True)


def rimmed_box(*, long_lip: bool = False) -> Part:
    """A box of 12 bends: on each side a wall 50 high, a rim of 30 outward and a lip of 14 down from it; with ``long_lip`` the last rim
    goes inward, so far that it meets every punch.
    """
    walls = []
    for side in SIDES:
        inward = long_lip and side == SIDES[-1]
        lip = _flange(f"{side}.lip", "far", 14.0, turns="down")
        rim = _flange(
            f"{side}.rim", "far", LONG_RIM_MM if inward else 30.0, turns="up" if inward else "down", then=[lip]
        )
        walls.append(_flange(side, side, 50.0, ends=(2.0, 2.0), then=[rim]))
    return _panel("SM-9112", _rectangle(260.0, 200.0), walls, rectangle=True)


def tabs(bends: int) -> Part:
    """A plate with half of the bends on its front edge and half on its back edge: tabs that one stroke can make together."""
    half = bends // 2
    made = [
        _flange(f"{side}{place + 1}", side, 40.0, ends=(25.0 + place * 70.0, 25.0 + (half - 1 - place) * 70.0))
        for side in ("front", "back")
        for place in range(half)
    ]
    return _panel("SM-9120", _rectangle(30.0 + 70.0 * half, 150.0), made, rectangle=True)


def plate(bends: int) -> Part:
    """A regular plate with that many sides and a flange 30 high on each: nearly every order is legal."""
    turns = [2.0 * math.pi * i / bends for i in range(bends)]
    points = tuple((round(300 * math.cos(turn), 4), round(300 * math.sin(turn), 4)) for turn in turns)
    flanges = [_flange(f"side{i + 1}", str(i + 1), 30.0, ends=(20.0, 20.0)) for i in range(bends)]
    return _panel("SM-9101", points, flanges, rectangle=False)


def gutter(bends: int) -> Part:
    """A chain of shallow bends with long legs, all up: nothing is in the way of anything, but only its two ends can be gauged."""
    return _profile("SM-9201", [f"u{_shallow_deg(bends):.3g}"] * bends, [55.0] * (bends + 1))


def zigzag(bends: int) -> Part:
    """A chain of shallow bends up and down by turns."""
    return _profile("SM-9202", [f"{'ud'[i % 2]}20" for i in range(bends)], [40.0] * (bends + 1))


def stairs(bends: int) -> Part:
    """A chain of right angles up and down by turns: risers can be gauged on as well as ends."""
    return _profile("SM-9203", [f"{'ud'[i % 2]}90" for i in range(bends)], [60.0] * (bends + 1))


def stepped(bends: int) -> Part:
    """The gutter again, every leg ``STEP_MM`` narrower at one end than the leg before: each bend can be gauged on the end of its own leg,
    whatever else is bent, so that nearly every order is legal. The worst case of a chain.
    """
    wide = CHAIN_MM + STEP_MM * bends
    made: list[TypedFlange] = []
    for number in range(bends, 0, -1):
        leg = _flange(f"leg{number}", "far", 55.0, ends=(0.0, STEP_MM), turned_deg=_shallow_deg(bends), then=made)
        made = [leg]
    first = _flange("leg1", "back", 55.0, ends=(0.0, STEP_MM), turned_deg=_shallow_deg(bends), then=made[0].flanges)
    return _panel("SM-9204", _rectangle(wide, 55.0), [first], rectangle=True)


def blocked_chain(bends: int, seed: int) -> Part:
    """A chain drawn by lot that cannot be made: shallow bends and legs as they come, and one groove in it so deep and narrow that no
    punch gets in.
    """
    lot = random.Random(seed)
    heading, turns = 0, []
    for _ in range(bends - 4):
        turned = lot.choice((20, 30, 45))
        up = heading - turned < -60 or (heading + turned <= 60 and lot.random() < 0.5)
        heading += turned if up else -turned
        turns.append(f"{'u' if up else 'd'}{turned}")
    legs = [float(lot.choice((30, 40, 55, 70))) for _ in range(bends - 3)]
    place = lot.randrange(2, bends - 6)
    turns[place:place] = ["d90", "u90", "u90", "d90"]
    legs[place + 1 : place + 1] = [130.0, 24.0, 130.0, 40.0]
    return _profile(f"SM-93{seed:02}", turns, legs)


def _shallow_deg(bends: int) -> float:
    return min(12.0, 170.0 / bends)


def _flange(
    name: str,
    edge: str,
    leg_mm: float,
    *,
    ends: tuple[float, float] = (0.0, 0.0),
    turned_deg: float = 90.0,
    turns: Direction = "up",
    then: Sequence[TypedFlange] = (),
) -> TypedFlange:
    bend = TypedBend(direction=turns, turned_deg=turned_deg)
    left, right = ends
    return TypedFlange(
        name=name, edge=edge, leg_mm=leg_mm, bend=bend, left_mm=left, right_mm=right, flanges=tuple(then)
    )


def _rectangle(width: float, depth: float) -> tuple[tuple[float, float], ...]:
    return ((0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth))


def _panel(
    part_no: str, base: tuple[tuple[float, float], ...], flanges: Sequence[TypedFlange], *, rectangle: bool
) -> Part:
    header = Header(part_no=part_no, revision="A")
    return panel_part(header, base=TypedBase(points=base, rectangle=rectangle), flanges=flanges)


def _profile(part_no: str, turns: Sequence[str], legs: Sequence[float]) -> Part:
    pairs = " ".join(f"{turn} {leg:g}" for turn, leg in zip(turns, legs[1:], strict=True))
    return quick_profile(f"{legs[0]:g} {pairs} x {CHAIN_MM:g}", header=Header(part_no=part_no, revision="A"))
