"""Sheets with openings a reader must get right: windows across bends, holes in and beside them, rounded corners."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from after_bending import (
    drilled,
    flat_share,
)
from catalogue import Catalogue, of_profile
from flat_shapes import Loop, blob, circle, d_hole, polygon, rectangle, rounded, slot
from kernel_bending import bend
from known import Known, known_from
from sheet_parts import Bent, profile, tangent_lines

OPENINGS = Catalogue()


@OPENINGS.entry
def _window_over_one_bend() -> Known:
    return of_profile("window_over_one_bend", [40, 30], [Bent(90, 2)], 80, 2, openings=[rectangle(20, 30, 45, 60)])


@OPENINGS.entry
def _window_over_two_bends() -> Known:
    straights, bends = [30.0, 24.0, 30.0], [Bent(90, 2), Bent(90, 2, False)]
    plain = profile(straights, bends, width_mm=80, thickness_mm=2)
    (a, _), (_, b) = tangent_lines(plain)
    window = rounded([(25, a - 8), (55, a - 8), (55, b + 9), (25, b + 9)], [3, 3, 3, 3])
    made = of_profile("window_over_two_bends", straights, bends, 80, 2, openings=[window])
    return replace(made, windows=1)  # it takes the web's middle out from bend to bend: a window of the web


@OPENINGS.entry
def _split_bend_line() -> Known:
    """One bend line in three pieces: two windows across it, and a notch at its end."""
    straights, bends = [40.0, 30.0], [Bent(90, 2.4)]
    plain = profile(straights, bends, width_mm=150, thickness_mm=2)
    a, b = tangent_lines(plain)[0]
    top = b + 30.0
    outline = polygon((0, 0), (150, 0), (150, a - 3), (138, a - 3), (138, b + 4), (150, b + 4), (150, top), (0, top))
    windows = [rectangle(30, a - 4, 45, b + 3), slot(90, 0.5 * (a + b), 26, b - a + 6)]
    return of_profile("split_bend_line", straights, bends, 150, 2, outline=outline, openings=windows)


@OPENINGS.entry
def _hole_in_the_bend() -> Known:
    """Cut in the flat, then bent: one hole wholly in the bend, one half in it, a turned slot, a smooth window."""
    straights, bends = [40.0, 40.0], [Bent(75, 5)]
    a, b = tangent_lines(profile(straights, bends, width_mm=120, thickness_mm=1.5))[0]
    middle = 0.5 * (a + b)
    openings = [circle(15, middle, 3), circle(40, b, 8), slot(70, a, 20, 6, 30), blob(100, middle, 16)]
    return of_profile("hole_in_the_bend", straights, bends, 120, 1.5, openings=openings)


@OPENINGS.entry
def _drilled_into_the_bend() -> Known:
    """Drilled straight through after bending, 1 mm over the tangent line."""
    straights, bends = [40.0, 30.0], [Bent(90, 4)]
    blank = profile(straights, bends, width_mm=60, thickness_mm=2)
    bent = bend(blank)
    a, b = tangent_lines(blank)[0]
    solid, first = drilled(blank, bent, bent.solid, (18, a - 2), 6)
    solid, second = drilled(blank, bent, solid, (42, b + 2), 6)
    made = known_from("drilled_into_the_bend", blank, bent)
    shares = np.array([flat_share(blank, at, 6) for at in ((18, a - 2), (42, b + 2))]).T
    return replace(
        made,
        solid=solid,
        volume_mm3=made.volume_mm3 - first - second,
        crossing=2,
        corners=np.zeros((0, 3)),
        area_taken_mm2=0.5 * sum(shares[0] + shares[1]),
        area_slack_mm2=0.5 * sum(shares[1] - shares[0]),
    )


@OPENINGS.entry
def _openings_of_all_kinds() -> Known:
    straights, bends = [60.0, 50.0], [Bent(90, 2)]
    openings = [circle(15, 20, 6), circle(35, 20, 6, halves=True), circle(60, 20, 3.3), slot(90, 20, 20, 6)]
    openings += [slot(90, 40, 24, 8, 37), d_hole(20, 42, 12, 4), blob(55, 42, 20), rectangle(15, 90, 35, 100)]
    openings += [
        rounded([(60, 85), (90, 85), (90, 105), (60, 105)], [4, 4, 4, 4]),
        polygon((100, 85), (112, 85), (106, 97)),
    ]
    return of_profile("openings_of_all_kinds", straights, bends, 120, 2, openings=openings)


@OPENINGS.entry
def _rounded_outline() -> Known:
    straights, bends = [40.0, 30.0], [Bent(90, 2)]
    top = tangent_lines(profile(straights, bends, width_mm=80, thickness_mm=2))[0][1] + 30.0
    outline = rounded([(0, 0), (80, 0), (80, top), (0, top)], [8, 0, 5, 12])
    return of_profile("rounded_outline", straights, bends, 80, 2, outline=outline)


def hole_grid(count_x: int, count_y: int) -> Known:
    """A channel with very many holes in its web."""
    pitch, t = 12.0, 1.5
    width, web = pitch * count_x + 20.0, pitch * count_y + 20.0
    bends = [Bent(90, 2), Bent(90, 2)]
    a = tangent_lines(profile([25, web, 25], bends, width_mm=width, thickness_mm=t))[0][1]
    openings: list[Loop] = [
        circle(16.0 + pitch * i, a + 16.0 + pitch * j, 6.0 if (i + j) % 2 else 4.2)
        for i in range(count_x)
        for j in range(count_y)
    ]
    return of_profile("hole_grid", [25, web, 25], bends, width, t, openings=openings)
