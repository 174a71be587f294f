"""Does the blank lie over itself, do two flanges run into each other once folded, and what must be cut off so that neither does?

Once folded, openings in flanges are taken as filled: on the safe side. The cut for a folded clash is what lies within the gap asked for
of the other plate, seen square to the flange that is cut; without it every point of the flange keeps that gap.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise, product

import numpy as np
import shapely
import shapely.affinity
from shapely import LineString, MultiPoint, Polygon

from bendwright.geometry.pair_table import plates_apart
from bendwright.geometry.rigid import Array, Rigid
from bendwright.part.blank_model import Blank, PlacedFlat
from bendwright.part.corners import Cut, open_sheet, to_flange
from bendwright.part.fold import fold
from bendwright.part.model import Part, Point
from bendwright.part.placing import Frame, largest
from bendwright.part.plate_clouds import plate_clouds

GAP_MM = 0.1
SMALL_MM2 = 0.01
NEARER_MM = 1.0
HAIR_MM = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class BlankOverlap:
    """Two pieces of the blank in the same place: what they are (flange or bend), the area [mm2], its middle on the blank, how deep
    it is across [mm], and what to cut off a flange (None: no flange has the sheet to cut).
    """

    first: str
    second: str
    area_mm2: float
    place: Point
    depth_mm: float
    cut: Cut | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldedGap:
    """Two flanges that no bend joins, once folded: widest separation of their plates [mm] (negative = one in the other)."""

    first: str
    second: str
    gap_mm: float


def blank_overlaps(part: Part, blank: Blank) -> tuple[BlankOverlap, ...]:
    """Every two pieces of the blank (flanges' flats, bends' own sheet) that cover the same place."""
    flats = {flat.flange_id: flat for flat in blank.flats}
    pieces: list[tuple[str, str, Polygon]] = [("flange", flat.flange_id, open_sheet(flat)) for flat in blank.flats]
    pieces += [("bend", zone.bend_id, Polygon(zone.outline, zone.windows)) for zone in blank.zones]
    tree = shapely.STRtree([shape for _, _, shape in pieces])
    out = []
    for i, (_, _, shape) in enumerate(pieces):
        for j in sorted(int(k) for k in tree.query(shape) if k > i):
            common = largest(shape.intersection(pieces[j][2]))
            if common.area <= SMALL_MM2 or pieces[i][:2] == pieces[j][:2]:
                continue
            out.append(_overlap(part, flats, pieces[i], pieces[j], common))
    return tuple(out)


def _overlap(
    part: Part,
    flats: dict[str, PlacedFlat],
    first: tuple[str, str, Polygon],
    second: tuple[str, str, Polygon],
    common: Polygon,
) -> BlankOverlap:
    box = common.minimum_rotated_rectangle
    corners = shapely.get_coordinates(box)
    sides = [float(np.linalg.norm(corners[k + 1] - corners[k])) for k in (0, 1)] if len(corners) > 3 else [0.0, 0.0]
    candidates = [item for item in (first, second) if item[0] == "flange"]
    cut = None
    if candidates:
        flat = flats[min(candidates, key=lambda item: (item[2].area, item[1]))[1]]
        wide = largest(common.buffer(GAP_MM, join_style="mitre").intersection(Polygon(flat.outline)))
        cut = _cut_off(part, flat, wide, (max(sides), min(sides) + GAP_MM))
    centre = common.centroid
    return BlankOverlap(
        first=f"{first[0]} {first[1]}",
        second=f"{second[0]} {second[1]}",
        area_mm2=float(common.area),
        place=(centre.x, centre.y),
        depth_mm=min(sides),
        cut=cut,
    )


def _cut_off(part: Part, flat: PlacedFlat, taken: Polygon, size: tuple[float, float]) -> Cut:
    """The piece of a flat as a cut of its flange, out to the edge of the outline as drawn: flats are trimmed at corners."""
    own = Polygon(flat.outline)
    drawn = Frame(flat.origin, flat.angle_rad).polygon(Polygon(part.flange(flat.flange_id).outline))
    beyond = max(shapely.Point(corner).distance(own) for corner in drawn.exterior.coords) + GAP_MM
    beyond += float(own.exterior.distance(taken))
    x, y = _way_out(own, taken)
    swept = shapely.union_all([taken, shapely.affinity.translate(taken, beyond * x, beyond * y)]).convex_hull
    region = swept.buffer(HAIR_MM, join_style="mitre")
    ring = shapely.geometry.polygon.orient(to_flange(flat).polygon(largest(region))).exterior.coords[:-1]
    return Cut(
        flange_id=flat.flange_id,
        outline=tuple((float(px), float(py)) for px, py in ring),
        shape="rect",
        width_mm=size[0],
        depth_mm=size[1],
    )


def _way_out(own: Polygon, taken: Polygon) -> Point:
    """Outward normal of the edge of a flat along which most of the piece lies, the nearest one where it touches none."""
    ring = list(shapely.geometry.polygon.orient(own).exterior.coords)
    near = taken.buffer(HAIR_MM)
    best, key = (0.0, 0.0), (-1.0, 0.0)
    for (ax, ay), (bx, by) in pairwise(ring):
        edge, length = LineString([(ax, ay), (bx, by)]), float(np.hypot(bx - ax, by - ay))
        if length < HAIR_MM:
            continue
        score = (float(edge.intersection(near).length), -float(edge.distance(taken.centroid)))
        if score > key:
            best, key = ((by - ay) / length, (ax - bx) / length), score
    return best


def folded_gaps(part: Part, blank: Blank, *, within_mm: float = NEARER_MM) -> tuple[FoldedGap, ...]:
    """All pairs of flanges not joined by a bend that stand nearer than ``within_mm`` once folded, the nearest first."""
    clouds = _folded(part, blank)
    joined = {frozenset((bend.parent, bend.child)) for bend in part.bends}
    out = []
    for first, second in combinations(clouds, 2):
        if frozenset((first, second)) in joined:
            continue
        gaps = [plates_apart(a, b, within_mm) for a, b in _near(clouds[first], clouds[second], within_mm)]
        gap = min(gaps, default=within_mm)
        if gap < within_mm:
            out.append(FoldedGap(first=first, second=second, gap_mm=float(gap)))
    return tuple(sorted(out, key=lambda item: item.gap_mm))


def _folded(part: Part, blank: Blank) -> dict[str, list[Array]]:
    placed = fold(part, blank)
    return {
        flange.id: [np.ascontiguousarray(placed[flange.id].points(cloud)) for cloud in plate_clouds(blank, flange.id)]
        for flange in part.flanges
    }


def _near(first: Sequence[Array], second: Sequence[Array], within_mm: float) -> Iterator[tuple[Array, Array]]:
    """The pairs of pieces whose boxes come that near."""
    for a, b in product(first, second):
        if bool(
            (a.min(axis=0) - within_mm <= b.max(axis=0)).all() and (b.min(axis=0) - within_mm <= a.max(axis=0)).all()
        ):
            yield a, b


def gap_cut(part: Part, blank: Blank, *, flange_id: str, other: str, gap_mm: float = GAP_MM) -> Cut | None:
    """What to cut off a flange so that it keeps ``gap_mm`` from another one once folded; None when it keeps it already.

    Where they meet in several places the largest is cut; ask again for the next.
    """
    placed = fold(part, blank)
    flat = {item.flange_id: item for item in blank.flats}[flange_id]
    seen_from: Rigid = placed[flange_id].inverse().after(placed[other])
    reach = 0.5 * blank.thickness_mm + gap_mm
    shapes = []
    for cloud in plate_clouds(blank, other):
        inside = _slab(seen_from.points(cloud), reach)
        if len(inside) > 2:
            hull = MultiPoint(inside[:, :2]).convex_hull.buffer(gap_mm, join_style="mitre", mitre_limit=2.0)
            shapes.append(hull)
    region = shapely.union_all(shapes) if shapes else Polygon()
    own = Polygon(flat.outline)
    pieces = [piece for piece in getattr(region, "geoms", [region]) if isinstance(piece, Polygon)]
    covering = max(pieces, key=lambda piece: piece.intersection(own).area)
    taken = largest(covering.intersection(own))
    if taken.is_empty:
        return None
    box = shapely.get_coordinates(taken.minimum_rotated_rectangle)
    sides = sorted(float(np.linalg.norm(box[k + 1] - box[k])) for k in (0, 1)) if len(box) > 3 else [0.0, 0.0]
    return _cut_off(part, flat, taken, (sides[1], sides[0]))


def least_cut(part: Part, blank: Blank, first: str, second: str, *, gap_mm: float = GAP_MM) -> Cut | None:
    """The smaller of the cuts off one of two flanges after which they keep that gap once folded; None when they do already."""
    pairs = ((first, second), (second, first))
    cuts = [gap_cut(part, blank, flange_id=a, other=b, gap_mm=gap_mm) for a, b in pairs]
    return min((cut for cut in cuts if cut), key=lambda cut: cut.width_mm * cut.depth_mm, default=None)


def _slab(cloud: Array, reach: float) -> Array:
    """Corners of a plate (bottom ring, then top ring) cut to |z| <= reach, shape (n, 3)."""
    count = len(cloud) // 2
    edges = [(i, i + count) for i in range(count)]
    for base in (0, count):
        edges += [(base + i, base + (i + 1) % count) for i in range(count)]
    points = [p for p in cloud if abs(p[2]) <= reach]
    for i, j in edges:
        a, b = cloud[i], cloud[j]
        for level in (-reach, reach):
            if (a[2] - level) * (b[2] - level) < 0.0:
                share = (level - a[2]) / (b[2] - a[2])
                points.append(a + share * (b - a))
    return np.array(points) if points else np.zeros((0, 3))
