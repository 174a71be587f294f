"""Profiles a reader must get right: angles, hats, hems, rolls, thick and thin, with and without radii."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from after_bending import (
    prism,
)
from catalogue import Catalogue, of_profile
from kernel_bending import bend
from known import Known, known_from
from OCP.gp import gp_Vec
from sheet_parts import Bent, outside_legs, profile

PROFILES = Catalogue()


@PROFILES.entry
def _angle() -> Known:
    return of_profile("angle", [40, 25], [Bent(90, 2)], 80, 2, 0.42)


@PROFILES.entry
def _channel() -> Known:
    return of_profile("channel", [25, 60, 25], [Bent(90, 1.5), Bent(90, 1.5)], 100, 1.5)


@PROFILES.entry
def _jog() -> Known:
    return of_profile("jog", [40, 3, 30], [Bent(90, 1, True), Bent(90, 1, False)], 50, 1)


@PROFILES.entry
def _hat() -> Known:
    bends = [Bent(90, 2), Bent(90, 2, False), Bent(90, 2, False), Bent(90, 2)]
    return of_profile("hat", [20, 25, 50, 25, 20], bends, 120, 2)


@PROFILES.entry
def _lipped_channel() -> Known:
    return of_profile("lipped_channel", [8, 30, 60, 30, 8], [Bent(90, 1)] * 4, 300, 1.2)


@PROFILES.entry
def _odd_angles() -> Known:
    bends = [Bent(3, 1), Bent(33.99, 2, False), Bent(122.74, 1.2), Bent(132, 1.2, False), Bent(6.16, 0.737)]
    return of_profile("odd_angles", [30, 25, 40, 60, 20, 15], bends, 60, 0.8)


@PROFILES.entry
def _acute() -> Known:
    return of_profile("acute", [60, 30], [Bent(170, 3)], 40, 1)


@PROFILES.entry
def _half_roll() -> Known:
    return of_profile("half_roll", [30, 20], [Bent(170, 200)], 150, 2)


@PROFILES.entry
def _roll_with_feet() -> Known:
    return of_profile(
        "roll_with_feet", [25, 10, 10, 25], [Bent(90, 2, False), Bent(180, 125), Bent(90, 2, False)], 250, 2
    )


@PROFILES.entry
def _thick() -> Known:
    return of_profile("thick", [60, 80, 60], [Bent(90, 12), Bent(60, 15, False)], 200, 12, 0.4)


@PROFILES.entry
def _thin() -> Known:
    return of_profile("thin", [6, 5, 6], [Bent(90, 0.4), Bent(45, 0.3, False)], 20, 0.4, 0.35)


@PROFILES.entry
def _closed_hem() -> Known:
    return of_profile("closed_hem", [9, 60, 30], [Bent(180, 0.05), Bent(90, 1.2)], 90, 0.8)


@PROFILES.entry
def _open_hem() -> Known:
    return of_profile("open_hem", [12, 50, 12], [Bent(180, 1.0), Bent(180, 1.0)], 90, 1.5)


@PROFILES.entry
def _nearly_sharp_inside() -> Known:
    return of_profile("nearly_sharp_inside", [30, 30], [Bent(90, 0.002)], 50, 1)


@PROFILES.entry
def _sharp_inside() -> Known:
    """Inside corner an edge, outside rounded with R = t."""
    return of_profile("sharp_inside", [30, 40, 30], [Bent(90, 0), Bent(45, 0, False)], 50, 2)


@PROFILES.entry
def _sharp_both() -> Known:
    return sharp_profile("sharp_both", [30.0, 40.0, 25.0], [Bent(90, 0), Bent(60, 0, False)], width=50.0, t=2.0)


def sharp_profile(name: str, middles: list[float], bends: list[Bent], *, width: float, t: float) -> Known:
    """Both sides drawn without any radius: the flat is that of R = 0, the body itself has the corners filled.

    Legs along the middle plane m reach t/2 tan(a/2) farther outside; the section's area is t times the sum of m (what the
    mitre adds outside it takes away inside).
    """
    half = [0.0, *(0.5 * t * math.tan(math.radians(bend.turned_deg) / 2) for bend in bends), 0.0]
    straights = [m - half[i] - half[i + 1] for i, m in enumerate(middles)]
    blank = profile(straights, bends, width_mm=width, thickness_mm=t)
    way, at, left, right = 0.0, np.zeros(2), [], []
    for i, m in enumerate(middles):
        unit, normal = np.array([math.cos(way), math.sin(way)]), np.array([-math.sin(way), math.cos(way)])
        inward = half[i] * (1.0 if i and bends[i - 1].up else -1.0)
        left.append(at + inward * unit + 0.5 * t * normal)
        right.append(at - inward * unit - 0.5 * t * normal)
        at = at + m * unit
        if i < len(bends):
            way += math.radians(bends[i].turned_deg) * (1.0 if bends[i].up else -1.0)
        else:
            left.append(at + 0.5 * t * normal)
            right.append(at - 0.5 * t * normal)
    ring = [np.array([0.0, y, z]) for y, z in [*right, *left[::-1]]]
    made = known_from(name, blank, bend(blank), legs_mm=tuple(outside_legs(straights, bends, t)))
    return replace(
        made,
        solid=prism(ring, gp_Vec(width, 0, 0)),
        volume_mm3=t * sum(middles) * width,
        corners=np.zeros((0, 3)),
        refolds=False,
    )
