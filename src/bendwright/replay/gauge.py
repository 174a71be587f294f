"""Does the part touch the back gauge where the plan says, with what it says, and nothing else?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from bendwright.findings import Finding, found
from bendwright.part.model import Part
from bendwright.replay.hung import FAR_MM, Tool
from bendwright.replay.passing import TOLERANCE_MM, narrow_width
from bendwright.replay.saying import at_stroke
from bendwright.replay.solids import cut_between
from bendwright.replay.standing import Piece, Standing
from bendwright.said import joined, phrase, say
from bendwright.shop.brake import BackGauge
from bendwright.stroke.result import Stroke

FINGER_MM = 12.0
TOUCH_MM = 0.05
FINGER_LENGTH_MM = 100.0
Box = tuple[float, float, float, float]


def gauged(
    stroke: Stroke, standing: Standing, tools: Sequence[Tool], gauge: BackGauge, part: Part, thickness: float
) -> Iterator[Finding]:
    """V116 to V120: touch at every finger, with the named edge or face, over the contact stated, clear of the tools, in reach."""
    stop = stroke.gauging
    if stop.kind == "none":
        return
    yield from _in_reach(stroke, gauge)
    high = gauge.finger_height_mm or FINGER_MM
    wide = gauge.finger_width_mm or FINGER_MM
    band = (stop.r_mm - thickness + TOLERANCE_MM, stop.r_mm - thickness + high - TOLERANCE_MM)
    at = at_stroke(stroke)
    touching: list[Piece] = []
    for i, z in enumerate(stop.fingers_z_mm):
        wanted = stop.fingers_x_mm[i] if stop.fingers_x_mm else stop.x_mm
        middle = standing.left + z
        reached = _reaching(standing, band, (middle - wide / 2, middle + wide / 2))
        farthest = max((x for x, _ in reached), default=None)
        if farthest is None or abs(farthest - wanted) > TOUCH_MM:
            reach = (
                phrase("does not come to its height") if farthest is None else say("replay.reaches_back", mm=farthest)
            )
            yield found("V116", finger=z, x=wanted, reach=reach, **at)
        else:
            touching += [piece for x, piece in reached if x > farthest - TOLERANCE_MM]
        box = (
            wanted,
            band[0] - TOLERANCE_MM,
            wanted + (gauge.finger_length_mm or FINGER_LENGTH_MM),
            band[1] + TOLERANCE_MM,
        )
        yield from _free(
            stroke, box, (middle - wide / 2, middle + wide / 2), tools, thickness, say("replay.finger_at", mm=z)
        )
    yield from _beam(stroke, standing, gauge, tools, thickness)
    if touching and not stop.fingers_x_mm:
        yield from _touch(stroke, standing, part, touching, band)


def _in_reach(stroke: Stroke, gauge: BackGauge) -> Iterator[Finding]:
    stop = stroke.gauging
    places = [("X", x, gauge.x_range_mm) for x in (stop.x_mm, *stop.fingers_x_mm)] + [
        ("R", stop.r_mm, gauge.r_range_mm)
    ]
    for axis, value, limits in places:
        if limits is not None and not limits[0] - TOLERANCE_MM <= value <= limits[1] + TOLERANCE_MM:
            over = max(limits[0] - value, value - limits[1])
            at = at_stroke(stroke)
            yield found("V120", axis=axis, value=value, low=limits[0], high=limits[1], over=over, **at)


def _reaching(standing: Standing, band: tuple[float, float], ends: tuple[float, float]) -> list[tuple[float, Piece]]:
    """How far back every piece reaches over a finger's width at its height [mm]."""
    out = []
    for piece in standing.pieces:
        low, high = piece.low, piece.high
        if high[0] <= 0.0 or low[2] >= ends[1] or high[2] <= ends[0] or low[1] >= band[1] or high[1] <= band[0]:
            continue
        seen = cut_between(cut_between(piece.corners, 2, *ends), 1, *band)
        if len(seen):
            out.append((float(seen[:, 0].max()), piece))
    return out


def _free(
    stroke: Stroke, box: Box, ends: tuple[float, float], tools: Sequence[Tool], thickness: float, what: str
) -> Iterator[Finding]:
    """V119 where a finger or the beam reaches into a tool when the punch touches the sheet."""
    shape = shapely.box(*box)
    for tool in tools:
        if tool.high_z <= ends[0] or tool.low_z >= ends[1]:
            continue
        lifted = shapely.affinity.translate(tool.shape, 0.0, -thickness) if tool.rises else tool.shape
        depth = narrow_width(shape.intersection(lifted))
        if depth > TOLERANCE_MM:
            at = at_stroke(stroke)
            yield found("V119", what=what, tool=phrase(tool.name), depth=depth, **at)


def _beam(
    stroke: Stroke, standing: Standing, gauge: BackGauge, tools: Sequence[Tool], thickness: float
) -> Iterator[Finding]:
    """V119 where the part or a tool stands in the beam behind the fingers; a beam nobody has measured is left out."""
    behind, heights = getattr(gauge, "beam_behind_mm", None), getattr(gauge, "beam_height_mm", None)
    if behind is None or heights is None:
        return
    stop = stroke.gauging
    front, floor = min((*stop.fingers_x_mm, stop.x_mm)) + behind, stop.r_mm - thickness
    low, high = floor + heights[0], floor + heights[1]
    yield from _free(
        stroke, (front, low, FAR_MM, high), (-FAR_MM, FAR_MM), tools, thickness, phrase("the beam of the gauge")
    )
    reached = _reaching(standing, (low + TOLERANCE_MM, high - TOLERANCE_MM), (-FAR_MM, FAR_MM))
    farthest = max((x for x, _ in reached), default=front)
    if farthest > front + TOLERANCE_MM:
        at = at_stroke(stroke)
        yield found("V119", what=phrase("the part"), tool=phrase("beam of the gauge"), depth=farthest - front, **at)


def _touch(
    stroke: Stroke, standing: Standing, part: Part, touching: Sequence[Piece], band: tuple[float, float]
) -> Iterator[Finding]:
    """V117 where another flange or another kind of stop is touched, V118 where the contact is shorter than stated."""
    stop, at = stroke.gauging, at_stroke(stroke)
    beside = {b.id for b in part.bends if stop.flange_id in (b.parent, b.child)}
    named = [p for p in touching if p.solid.owner == stop.flange_id or (p.solid.of_bend and p.solid.owner in beside)]
    kinds = {"edge" if piece.in_plane else "face" for piece in named}
    if not named or stop.kind not in kinds:
        names = joined(", ", map(phrase, sorted({piece.name for piece in touching})))
        yield found("V117", names=names, kind=phrase(stop.kind), flange=stop.flange_id, **at)
        return
    stretches = []
    for piece in standing.pieces:
        if piece.high[0] > 0.0 and piece.low[1] < band[1] and piece.high[1] > band[0]:
            seen = cut_between(cut_between(piece.corners, 1, *band), 0, stop.x_mm - TOLERANCE_MM, FAR_MM)
            if len(seen):
                stretches.append((float(seen[:, 2].min()), float(seen[:, 2].max())))
    contact = _covered(stretches)
    if contact < stop.contact_mm - TOLERANCE_MM:
        yield found("V118", stated=stop.contact_mm, contact=contact, **at)


def _covered(stretches: Sequence[tuple[float, float]]) -> float:
    """Length of a union of stretches [mm]."""
    total, at = 0.0, -np.inf
    for low, high in sorted(stretches):
        total += max(0.0, high - max(low, at))
        at = max(at, high)
    return float(total)
