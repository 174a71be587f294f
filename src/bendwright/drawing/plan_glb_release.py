"""How does the part come off a punch that it stands over? The plan says that it does (K105); here it is led off sideways.

What overlaps only the foot of an eared end piece comes off when that piece is slid inward, which is not shown.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bendwright.geometry.convex import convex_hull, convex_pieces, swept_up
from bendwright.geometry.rigid import Array, Rigid
from bendwright.part.blank_model import Blank
from bendwright.part.fold import plate_corners
from bendwright.plan.result import Plan, Station
from bendwright.shop.tools import Punch
from bendwright.stroke.tooling import ear_of

HELD = ("K105",)
ROOM_MM = 5.0
TOUCHING_MM2 = 0.05


def held_strokes(plan: Plan) -> frozenset[int]:
    """Numbers of the strokes after which the plan says that the part holds the punch."""
    places = {finding.where for finding in plan.findings if finding.code in HELD}
    return frozenset(stroke.number for stroke in plan.strokes if f"stroke {stroke.number}" in places)


def aside_mm(
    blank: Blank, placed: Mapping[str, Rigid], legs: Collection[str], station: Station, punch: Punch, *, tip_mm: float
) -> float:
    """How far along the bed the part must go until the punch can rise: past the nearer end of the stack, < 0 to the left; 0 where
    nothing but the legs of the bend, or ear feet, is in its way.

    ``placed`` are the flanges in the machine frame of the station when the sheet is free, ``tip_mm`` is the punch tip's height.
    """
    sign = -1.0 if station.punch_turned else 1.0
    outline = [(sign * x, y + tip_mm) for x, y in punch.outline]
    ring = outline if sign > 0.0 else outline[::-1]
    ears = any("ear" in piece.label for piece in station.punch_pieces)
    inset = (ear_of(punch) or (0.0, 0.0))[1] if ears else 0.0
    low, high = station.left_end_z_mm + inset, station.left_end_z_mm + station.length_mm - inset
    spots = {name: flange.points(plate_corners(blank, name)) for name, flange in placed.items()}
    swept = shapely.union_all(
        [shapely.Polygon(swept_up(piece, 2.0 * punch.height_mm)) for piece in convex_pieces(ring)]
    )
    if not any(_crosses(points, swept, low, high) for name, points in spots.items() if name not in legs):
        return 0.0
    return past_end_mm(np.vstack(list(spots.values())), station)


def past_end_mm(corners: Array, station: Station) -> float:
    """How far along the bed the part must go to stand past the nearer end of the punch stack, < 0 to the left [mm]."""
    z = corners[:, 2]
    ends = station.left_end_z_mm, station.left_end_z_mm + station.length_mm
    left, right = ends[0] - ROOM_MM - float(z.max()), ends[1] + ROOM_MM - float(z.min())
    return left if -left < right else right


def _crosses(points: Array, swept: BaseGeometry, low: float, high: float) -> bool:
    if points[:, 2].max() <= low or points[:, 2].min() >= high:
        return False
    hull = shapely.Polygon(ring) if len(ring := convex_hull(points[:, :2])) > 2 else shapely.LineString(points[:, :2])
    return bool(swept.intersection(hull).area > TOUCHING_MM2)
