"""The edges of a sheet, to be asked how near something lies to them."""

from __future__ import annotations

from collections.abc import Iterable

import shapely
from shapely import LineString
from shapely import Point as Spot

from bendwright.drawing.dxf.sheets import FlatSheet
from bendwright.part.model import Point


class Rims:
    """The outline and the holes of a sheet, and lines added to them."""

    def __init__(self, sheet: FlatSheet, more: Iterable[LineString] = ()) -> None:
        rings = [sheet.outline.polygon.exterior, *(hole.polygon.exterior for hole in sheet.holes)]
        self._tree = shapely.STRtree([*rings, *more])

    def near(self, point: Point, distance_mm: float) -> bool:
        """Does a point lie within this distance of an edge?"""
        return bool(len(self._tree.query(Spot(point), predicate="dwithin", distance=distance_mm)))
