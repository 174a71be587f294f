"""The flat pieces of a blank as convex clouds of corners, for everything that asks what may run into what.

Openings are taken as filled, on the safe side; a window that a tab is bent out of is not: it is the flat's own edge.
"""

from __future__ import annotations

import numpy as np
from shapely import MultiPolygon, Polygon
from shapely.geometry.polygon import orient

from bendwright.geometry.convex import convex_pieces
from bendwright.geometry.rigid import Array
from bendwright.part.blank_model import Blank
from bendwright.part.sheet_pieces import with_windows


def flat_shape(blank: Blank, flange_id: str) -> Polygon | MultiPolygon:
    """A flange's flat in blank coordinates, windows of tabs cut out; in several pieces where a window goes right across it."""
    flat = {item.flange_id: item for item in blank.flats}[flange_id]
    return with_windows(flat, set(blank.features)) if flat.features else Polygon(flat.outline)


def clouds_of(shape: Polygon | MultiPolygon, thickness_mm: float) -> list[Array]:
    """Corner clouds of the convex pieces of a plate, bottom ring then top ring, shape (2 n, 3) each."""
    half = 0.5 * thickness_mm
    clouds = []
    for part in getattr(shape, "geoms", [shape]):
        whole = orient(part)
        rings = [[(float(x), float(y)) for x, y in ring.coords][:-1] for ring in (whole.exterior, *whole.interiors)]
        for ring in convex_pieces(rings[0], rings[1:]):
            both = [np.column_stack([ring, np.full(len(ring), z)]) for z in (-half, half)]
            clouds.append(np.ascontiguousarray(np.vstack(both)))
    return clouds


def plate_clouds(blank: Blank, flange_id: str) -> list[Array]:
    """Corner clouds of the convex pieces of a flange's flat in blank space."""
    return clouds_of(flat_shape(blank, flange_id), blank.thickness_mm)
