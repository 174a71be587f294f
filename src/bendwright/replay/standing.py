"""How the part stands at the brake when a stroke begins: every piece of it in the frame of the stroke.

Frame of a stroke: X to the gauge, Y up, Z to the operator's right; origin on the punch face of the flat sheet in the middle of the
bend line that gives the stroke its name.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from bendwright.findings import Finding, found
from bendwright.part.model import Bend
from bendwright.replay.folding import Made, Placement, Sheet, after, undone
from bendwright.replay.passing import TOLERANCE_MM
from bendwright.replay.saying import at_stroke
from bendwright.replay.solids import Array, Solid, cut_between
from bendwright.replay.swing import Swing
from bendwright.said import phrase, say
from bendwright.stroke.result import Stroke

ON_PLANE_MM = 1e-6
ACROSS_MM = 0.05
RELIEF_MM = 0.25
"""What of a wall's inside radius a tool end may touch: tool ends are broken or relieved by some tenths."""
ALONG = 1e-3


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of the part in the stroke's frame, sheet flat: on the operator's side or at the gauge; lying in the plane of the
    sheet; a leg, that is lying on its own side of the bend line; a made bend that runs across the bend. ``low`` and ``high`` are
    the corners of its box.
    """

    solid: Solid
    front: bool
    in_plane: bool
    leg: bool
    across: bool
    low: Array
    high: Array

    @property
    def corners(self) -> Array:
        """Corners (n, 3)."""
        return self.solid.corners

    @property
    def name(self) -> str:
        """What a person calls it."""
        return ("bend " if self.solid.of_bend else "flange ") + self.solid.owner


@dataclass(frozen=True, slots=True)
class Standing:
    """All pieces, the stretches of the bends made by this stroke (Z from, to), and what joins both sides."""

    pieces: tuple[Piece, ...]
    spans: tuple[tuple[float, float], ...]
    setbacks: tuple[tuple[bool, Array], ...]
    joined: frozenset[frozenset[str]]

    @property
    def left(self) -> float:
        """Left end of the material along the bend [mm]."""
        return min(low for low, _ in self.spans)

    @property
    def right(self) -> float:
        """Right end of the material along the bend [mm]."""
        return max(high for _, high in self.spans)

    def beyond_the_arc(self, piece: Piece, swing: Swing) -> Array:
        """Corners of a leg without what the arc being bent takes of it; of other pieces all; may be none."""
        if not piece.leg:
            return piece.corners
        ends = (-1e6, -swing.allowance / 2) if piece.front else (swing.allowance / 2, 1e6)
        return cut_between(piece.corners, 0, *ends)


def frame_of(sheet: Sheet, bend_id: str, *, gauge_child: bool) -> Placement:
    """Space of the bend's parent -> the stroke's frame."""
    axes = sheet.axes[bend_id]
    rise = np.array([0.0, 0.0, 1.0 if sheet.lines[bend_id].direction == "up" else -1.0])
    gauge = axes.outward if gauge_child else -axes.outward
    turn = np.vstack([gauge, rise, np.cross(gauge, rise)])
    return turn, -turn @ (axes.middle + rise * sheet.thickness / 2)


def stand(stroke: Stroke, sheet: Sheet, made: Mapping[str, Made]) -> tuple[Standing, list[Finding]]:
    """The part before the stroke; V103 where its bends cannot be one stroke."""
    part = sheet.part
    main = part.bend(stroke.bend_id)
    placed = sheet.placements(made)
    base = after(
        frame_of(sheet, main.id, gauge_child=stroke.gauged_flange_side == "child"), undone(placed[main.parent])
    )
    seen = {flange: after(base, placement) for flange, placement in placed.items()}
    bends = [part.bend(name) for name in stroke.bend_ids]
    wrong = [item for bend in bends for item in _off_line(stroke, sheet, bend, seen[bend.parent])]
    sides = _sides(sheet, bends, seen)
    if sides is None:
        wrong.append(
            found(
                "V103", **at_stroke(stroke), bend=main.id, what=phrase("a flange would have to swing with both sides")
            )
        )
        sides = dict.fromkeys(seen, True)
    tangent = sheet.lines[main.id].zone_width_mm / 2
    pieces = lying_pieces(sheet, seen, sides, tangent)
    for bend in part.bends:
        if bend.id not in stroke.bend_ids:
            pieces += zone_pieces(sheet, bend, made.get(bend.id), seen[bend.parent], front=sides[bend.parent])
    spans = tuple(sorted(span for bend in bends for span in spans_of(sheet, bend, seen[bend.parent])))
    setbacks = tuple(_setbacks(sheet, stroke, made, seen, sides))
    joined = frozenset(frozenset((bend.parent, bend.child)) for bend in bends)
    return Standing(tuple(pieces), spans, setbacks, joined), wrong


def lying_pieces(
    sheet: Sheet, seen: Mapping[str, Placement], sides: Mapping[str, bool], tangent_mm: float
) -> list[Piece]:
    """The flats of all flanges, parted where they lie across the tangent line."""
    return [
        _piece(plate, sides[flange], sheet.thickness)
        for flange in seen
        for solid in sheet.flats.get(flange, ())
        for plate in _parted(solid.moved(*seen[flange]), sides[flange], sheet.thickness, tangent_mm)
    ]


def _off_line(stroke: Stroke, sheet: Sheet, bend: Bend, placed: Placement) -> list[Finding]:
    """V103 for a bend that does not lie on the line of the stroke, is bent otherwise, or is turned otherwise."""
    axes, rise = sheet.axes[bend.id], np.array([0.0, 0.0, 1.0 if bend.direction == "up" else -1.0])
    middle = placed[0] @ (axes.middle + rise * sheet.thickness / 2) + placed[1]
    ends = [middle + way * axes.half_length * (placed[0] @ axes.along) for way in (-1.0, 1.0)]
    off = max(float(np.hypot(*end[:2])) for end in ends)
    main = sheet.part.bend(stroke.bend_id)
    what = ""
    if off > TOLERANCE_MM:
        what = say("replay.off_line", mm=off)
    elif (placed[0] @ rise)[1] < 0.5:
        what = phrase("bent the other way")
    elif abs(bend.turned_deg - main.turned_deg) > 0.01 or bend.kind != main.kind:
        what = say("replay.turned_by", turned=bend.turned_deg)
    if not what:
        return []
    return [found("V103", **at_stroke(stroke), bend=bend.id, what=what)]


def _sides(sheet: Sheet, bends: Sequence[Bend], seen: Mapping[str, Placement]) -> dict[str, bool] | None:
    """Flange -> in front? None where a flange would have to swing with both sides."""
    cut = {bend.id for bend in bends}
    home = {flange: flange for flange in seen}
    for bend in sheet.part.bends:
        if bend.id not in cut:
            old, new = home[bend.child], home[bend.parent]
            home = {flange: new if own == old else own for flange, own in home.items()}
    front: dict[str, bool] = {}
    for bend in bends:
        child_back = bool((seen[bend.parent][0] @ sheet.axes[bend.id].outward)[0] > 0.0)
        for flange, is_front in ((bend.child, not child_back), (bend.parent, child_back)):
            if front.setdefault(home[flange], is_front) != is_front:
                return None
    return {flange: front[own] for flange, own in home.items()}


def _piece(solid: Solid, front: bool, thickness: float, *, across: bool = False) -> Piece:
    low, high = solid.corners.min(axis=0), solid.corners.max(axis=0)
    in_plane = bool(low[1] > -thickness - ON_PLANE_MM and high[1] < ON_PLANE_MM)
    leg = in_plane and bool((-high[0] if front else low[0]) > -ACROSS_MM)
    return Piece(solid, front, in_plane, leg, across, low, high)


def _parted(solid: Solid, front: bool, thickness: float, tangent: float) -> list[Solid]:
    """A lying piece cut along its tangent line: what reaches across it beside the bend is no leg."""
    y, own = solid.corners[:, 1], solid.corners[:, 0] * (-1.0 if front else 1.0)
    in_plane = y.min() > -thickness - ON_PLANE_MM and y.max() < ON_PLANE_MM
    if not in_plane or own.min() > tangent - ACROSS_MM or own.max() < tangent + ACROSS_MM:
        return [solid]
    off = own[: len(own) // 2] - tangent
    return [Solid(solid.owner, solid.of_bend, _cut_rings(solid.corners, way * off)) for way in (1.0, -1.0)]


def _cut_rings(corners: Array, off: Array) -> Array:
    """Both rings of a plate where ``off`` >= 0, a distance from a line given for the corners of one ring."""
    n = len(off)
    picked: list[tuple[int, int, float]] = []
    for i in range(n):
        j = (i + 1) % n
        if off[i] >= 0.0:
            picked.append((i, i, 0.0))
        if off[i] * off[j] < 0.0:
            picked.append((i, j, float(off[i] / (off[i] - off[j]))))
    first, second = (np.array([item[k] for item in picked]) for k in (0, 1))
    share = np.array([item[2] for item in picked])[:, None]
    rings = [corners[first + lift] + share * (corners[second + lift] - corners[first + lift]) for lift in (0, n)]
    return np.vstack(rings)


def zone_pieces(sheet: Sheet, bend: Bend, made: Made | None, placed: Placement, *, front: bool) -> list[Piece]:
    """The sheet of another bend, flat or as its arc; a wall's arc across the bend is set back by what tool ends are relieved."""
    along = placed[0] @ sheet.axes[bend.id].along
    across = made is not None and abs(along[2]) < 1.0 - ALONG
    relief = min(RELIEF_MM, 0.8 * sheet.thickness) if across else 0.0
    solids = sheet.zone_solids(bend.id, made, relief_mm=relief)
    return [_piece(solid.moved(*placed), front, sheet.thickness, across=across) for solid in solids]


def spans_of(sheet: Sheet, bend: Bend, placed: Placement) -> list[tuple[float, float]]:
    """Stretches of a bend along Z."""
    axes = sheet.axes[bend.id]
    out = []
    for span in sheet.lines[bend.id].spans:
        ends = [axes.middle + (at - axes.half_length) * axes.along for at in span]
        z = [float((placed[0] @ end + placed[1])[2]) for end in ends]
        out.append((min(z), max(z)))
    return out


def _setbacks(
    sheet: Sheet,
    stroke: Stroke,
    made: Mapping[str, Made],
    seen: Mapping[str, Placement],
    sides: Mapping[str, bool],
) -> list[tuple[bool, Array]]:
    """What a leg gains by its next made bend: its outside ends at the mould line; (in front?, corners (4, 3)) where it lies."""
    out = []
    for bend in sheet.part.bends:
        if bend.id in stroke.bend_ids or bend.id not in made:
            continue
        axes, half = sheet.axes[bend.id], sheet.lines[bend.id].zone_width_mm / 2
        for near, way in ((bend.parent, 1.0), (bend.child, -1.0)):
            reach = (-way * half, -way * half + way * sheet.blank.size(bend.id).setback_mm)
            for zone in sheet.zones[bend.id]:
                low, _, high, _ = zone.bounds
                ring = [(low, reach[0]), (high, reach[0]), (high, reach[1]), (low, reach[1])]
                flat = np.array([axes.middle + s * axes.along + x * axes.outward for s, x in ring])
                out.append((sides[near], flat @ seen[near][0].T + seen[near][1]))
    return out
