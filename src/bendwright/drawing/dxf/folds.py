"""Flats and zones of a cut-up sheet as the pieces and folds a part is put together from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.polygon import orient

from bendwright.drawing.dxf.allowance import Allowance
from bendwright.drawing.dxf.axes import Axis
from bendwright.drawing.dxf.bend_says import Said
from bendwright.drawing.dxf.found_bends import FoundBend, Joint
from bendwright.drawing.dxf.rings import Ring, feature_of
from bendwright.drawing.dxf.sheets import FlatSheet
from bendwright.drawing.dxf.split import PROBE_MM, Split
from bendwright.part.from_flats import FlatPiece, Fold
from bendwright.part.model import Arc, Cutout, Point, ZonePiece

ON_ARC_MM = 2e-4
SAME_SHARE = 1e-6
FULL_MM = 5e-3
EDGE_SHARE_MM = 1e-5


def flat_pieces(cut: Split, sheet: FlatSheet) -> list[FlatPiece]:
    """Each flat as a piece called ``flat0``, ``flat1`` ..., its holes as what they are."""
    windows = [Polygon(ring) for flat in cut.flats for ring in flat.interiors]
    whole = _whole_holes(windows, sheet.holes)
    cut_up = [hole for n, hole in enumerate(sheet.holes) if n not in whole.values()]
    arcs = tuple(dict.fromkeys([*sheet.outline.arcs, *(arc for hole in cut_up for arc in hole.arcs)]))
    beside = _beside(cut, arcs)
    out = []
    first = 0
    for number, flat in enumerate(cut.flats):
        outline = _ring(orient(flat).exterior.coords)
        own = range(first, first + len(flat.interiors))
        first = own.stop
        features = [feature_of(sheet.holes[whole[n]]) if n in whole else _window(windows[n], arcs) for n in own]
        circles = tuple(dict.fromkeys([*_followed(outline, arcs), *beside.get(number, ())]))
        out.append(FlatPiece(id=f"flat{number}", outline=outline, features=tuple(features), arcs=circles))
    return out


def _whole_holes(windows: Sequence[Polygon], holes: Sequence[Ring]) -> dict[int, int]:
    """The windows that are holes no bend touches: number of the window -> number of the hole."""
    if not windows or not holes:
        return {}
    tree = shapely.STRtree([window.representative_point() for window in windows])
    pairs = tree.query([hole.polygon for hole in holes], predicate="contains").T.tolist()
    return {
        n: hole for hole, n in pairs if abs(holes[hole].polygon.area - windows[n].area) <= SAME_SHARE * windows[n].area
    }


def _window(window: Polygon, arcs: Sequence[Arc]) -> Cutout:
    """A window that a bend starts in."""
    points = _ring(orient(window).exterior.coords)
    return Cutout(points=points, arcs=_followed(points, arcs))


def _beside(cut: Split, arcs: Sequence[Arc]) -> dict[int, list[Arc]]:
    """For each flat the circles that the edges of the zones beside it follow: on a blank as wide as drawn they are true arcs again."""
    out: dict[int, list[Arc]] = {}
    for part in cut.parts:
        rings = (part.shape.exterior, *part.shape.interiors)
        found = [arc for ring in rings for arc in _followed(_ring(ring.coords), arcs)]
        for flat in (part.left, part.right):
            out.setdefault(flat, []).extend(found)
    return out


def _ring(coords: Iterable[Sequence[float]]) -> tuple[Point, ...]:
    points = [(float(point[0]), float(point[1])) for point in coords]
    return tuple(points[:-1])


def _followed(points: Sequence[Point], arcs: Sequence[Arc]) -> tuple[Arc, ...]:
    """The circles that at least two of these corners lie on."""
    if not arcs:
        return ()
    corners = np.array(points)
    out = []
    for arc in arcs:
        off = np.abs(np.hypot(corners[:, 0] - arc.centre[0], corners[:, 1] - arc.centre[1]) - arc.radius_mm)
        if int((off < ON_ARC_MM).sum()) > 1:
            out.append(arc)
    return tuple(out)


def fold_of(
    bend: FoundBend, joint: Joint, cut: Split, said: Mapping[int, Said], sizes: Mapping[int, Allowance]
) -> Fold:
    """The fold of one bend, its left flat first."""
    axis, size, words = bend.axis, sizes[bend.number], said[bend.number]
    half = 0.5 * size.width_mm
    along = [axis.local(point)[0] for part in joint.parts for point in part.shape.exterior.coords]
    low, high = min(along), max(along)
    zone = tuple(_zone_piece(axis, low, half, part.shape) for part in joint.parts)
    if len(zone) == 1 and _is_plain(zone[0], high - low, joint, cut, axis, half):
        zone = ()
    return Fold(
        first=f"flat{joint.left}",
        second=f"flat{joint.right}",
        on_first=(axis.at(low, half), axis.at(high, half)),
        on_second=(axis.at(low, -half), axis.at(high, -half)),
        turned_deg=words.turned_deg,
        direction=words.direction,
        inside_radius_mm=size.inside_radius_mm,
        zone=zone,
    )


def _zone_piece(axis: Axis, low: float, half: float, shape: Polygon) -> ZonePiece:
    """A zone part unrolled: distance from the fold's start, share from the left tangent line; corners on a tangent line exactly so."""

    def unrolled(coords: Iterable[Sequence[float]]) -> list[Point]:
        out = []
        for point in list(coords)[:-1]:
            s, d = axis.local(point)
            share = (half - d) / (2.0 * half)
            for edge in (0.0, 1.0):
                share = edge if abs(share - edge) * 2.0 * half < EDGE_SHARE_MM else share
            out.append((s - low, share))
        return out

    turned = orient(Polygon(unrolled(shape.exterior.coords), [unrolled(ring.coords) for ring in shape.interiors]))
    return ZonePiece(
        outline=_ring(turned.exterior.coords), windows=tuple(_ring(ring.coords) for ring in turned.interiors)
    )


def _is_plain(piece: ZonePiece, length: float, joint: Joint, cut: Split, axis: Axis, half: float) -> bool:
    """A full rectangle with both flats along the whole of it."""
    if piece.windows or abs(Polygon(piece.outline).area - length) > SAME_SHARE * length:
        return False
    for flat, off in ((joint.left, half + PROBE_MM), (joint.right, -half - PROBE_MM)):
        ends = [axis.local(point)[0] for part in joint.parts for point in part.shape.exterior.coords]
        probe = shapely.LineString([axis.at(min(ends), off), axis.at(max(ends), off)])
        if cut.flats[flat].intersection(probe).length < length - FULL_MM:
            return False
    return True
