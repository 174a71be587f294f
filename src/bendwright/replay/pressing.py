"""Does anything stand in the way when a hem is pressed flat?

The fold lies between the flat tools, the sheet is held in front; the tools cover the hem and reach as little over the rest as they can.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from bendwright.findings import Finding, found
from bendwright.replay.folding import Sheet
from bendwright.replay.hung import Tool
from bendwright.replay.passing import TOLERANCE_MM, narrow_width
from bendwright.replay.saying import at_stroke
from bendwright.replay.standing import Standing
from bendwright.said import phrase
from bendwright.stroke.result import Stroke

OPEN_MM = 500.0


def pressed_clear(stroke: Stroke, standing: Standing, tools: Sequence[Tool], sheet: Sheet) -> Iterator[Finding]:
    """V110 for whatever stands in front and reaches into a flat tool, closed or on its way up, or into the machine."""
    bend = sheet.part.bend(stroke.bend_id)
    face = sheet.thickness + (bend.hem_gap_mm or 0.0)
    half = max(abs(x) for tool in tools if tool.name == f"punch {stroke.punch_id}" for x in _xs(tool))
    middle = _middle(standing, sheet, stroke, half)
    for piece in standing.pieces:
        if not piece.front or (piece.low[1] > -sheet.thickness - TOLERANCE_MM and piece.high[1] < TOLERANCE_MM):
            continue
        seen = shapely.MultiPoint(piece.corners[:, :2]).convex_hull
        for tool in tools:
            if piece.high[2] <= tool.low_z + TOLERANCE_MM or piece.low[2] >= tool.high_z - TOLERANCE_MM:
                continue
            for lift in (0.0, 0.1 * OPEN_MM, OPEN_MM) if tool.role == "punch" else (0.0,):
                up = -sheet.thickness if tool.rises else face + lift
                deep = narrow_width(seen.intersection(shapely.affinity.translate(tool.shape, middle, up)))
                if deep > TOLERANCE_MM:
                    at = at_stroke(stroke)
                    yield found(
                        "V110", **at, piece=phrase(piece.name), depth=deep, tool=phrase(tool.name), turned=180.0
                    )
                    break


def _middle(standing: Standing, sheet: Sheet, stroke: Stroke, half: float) -> float:
    """X of the tools' middle in the frame of the hem's line."""
    made = sheet.finished(sheet.part.bend(stroke.bend_id))
    children = {sheet.part.bend(name).child for name in stroke.bend_ids}
    leg = max(
        float(piece.high[0])
        for piece in standing.pieces
        if not piece.solid.of_bend and piece.solid.owner in children and piece.in_plane
    )
    fold = made.allowance / 2 - made.radius - sheet.thickness
    return -(leg - half) if 2.0 * half >= leg - fold else -0.5 * (leg + fold)


def _xs(tool: Tool) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    return np.asarray(shapely.get_coordinates(tool.shape)[:, 0])
