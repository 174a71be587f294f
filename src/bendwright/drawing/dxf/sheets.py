"""Which ring is the part's outline, which are its holes, and what else lies in the drawing?

A ring that lies in no other one is an outline; a ring in it is a hole. A ring in a hole is the other edge of a countersink when
both are round about one middle, else it is not of this part. A rectangle round a part with holes of its own is a drawing frame.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon

from bendwright.drawing.dxf.places import listed, place
from bendwright.drawing.dxf.rings import Ring, feature_of
from bendwright.findings import Finding, PartFileError, found
from bendwright.part.blank import feature_area_mm2
from bendwright.part.model import Circle, Cutout, Point
from bendwright.said import phrase, say

PART_SHARE = 0.02
PART_LEAST_MM = 5.0
CENTRED_MM = 0.05
ALIKE_MM = 0.01
SQUARE = 1e-3
FRAMED_SHARE = 0.2
CROSSING_MM2 = 1e-3


@dataclass(frozen=True, slots=True)
class FlatSheet:
    """One flat as drawn: its outline, its holes, and the polygon they leave, in the drawing's frame [mm]."""

    outline: Ring
    holes: tuple[Ring, ...]
    polygon: Polygon

    @property
    def area_mm2(self) -> float:
        """Net area of the true curves."""
        return self.outline.area_mm2 - sum(feature_area_mm2(feature_of(hole)) for hole in self.holes)


def sheet_of(rings: Sequence[Ring], *, outline: int | None, where: str) -> tuple[FlatSheet, list[Finding]]:
    """The sheet chosen, and what there is to say of the other rings.

    Raises PartFileError: D321 rings that cross themselves or each other, D322 several outlines and none chosen, D323 none of that
    number. There must be a ring.
    """
    kept, said = _without_doubles(rings, where)
    _check_crossings(kept, where)
    parents = _parents(kept)
    outer = _outer(kept, parents, said, where)
    parts = [n for n in outer if _counts(kept[n], kept[outer[0]])]
    if outline is None and len(parts) > 1:
        raise PartFileError(
            [*said, found("D322", where=where, count=len(parts), parts=_numbered(kept, outer, len(parts)))]
        )
    number = outline or 1
    if number > len(outer):
        raise PartFileError(found("D323", where=where, came=number, parts=_numbered(kept, outer, len(outer))))
    chosen = outer[number - 1]
    beside = [n for n in outer if n != chosen]
    if beside:
        said.append(found("D324", where=where, count=len(beside), rings=listed(_size(kept[n]) for n in beside)))
    holes = [n for n, parent in enumerate(parents) if parent == chosen]
    cut_out = tuple(_holes(kept, parents, holes, said, where))
    return FlatSheet(kept[chosen], cut_out, _left_of(kept[chosen], cut_out, where)), said


def _left_of(outline: Ring, holes: Sequence[Ring], where: str) -> Polygon:
    """What the holes leave of the outline. Raises D321 when holes that touch leave more than one piece."""
    whole = Polygon(outline.points, [hole.points for hole in holes])
    if whole.is_valid:
        return whole
    rest = outline.polygon.difference(shapely.union_all([hole.polygon for hole in holes]))
    pieces = sorted(getattr(rest, "geoms", [rest]), key=lambda piece: -float(piece.area))
    if not isinstance(pieces[0], Polygon) or sum(piece.area for piece in pieces[1:]) > CROSSING_MM2:
        spots = listed(place((piece.centroid.x, piece.centroid.y)) for piece in pieces[1:])
        raise PartFileError(
            found("D321", where=where, what=phrase("cut the sheet to pieces"), places=spots or place(outline.points[0]))
        )
    return pieces[0]


def _without_doubles(rings: Sequence[Ring], where: str) -> tuple[list[Ring], list[Finding]]:
    """The rings, largest first, without those drawn twice (D325)."""
    ordered = sorted(rings, key=lambda item: -item.area_mm2)
    middles = [shapely.box(*ring.polygon.bounds).centroid for ring in ordered]
    pairs = shapely.STRtree(middles).query(middles, predicate="dwithin", distance=ALIKE_MM).T.tolist()
    gone: set[int] = set()
    for first, second in sorted(pairs):
        if first < second and first not in gone and second not in gone and _alike(ordered[first], ordered[second]):
            gone.add(second)
    doubled = [ordered[n] for n in sorted(gone)]
    said = [found("D325", where=where, count=len(doubled), rings=listed(map(_size, doubled)))] if doubled else []
    return [ring for n, ring in enumerate(ordered) if n not in gone], said


def _alike(one: Ring, other: Ring) -> bool:
    slack = ALIKE_MM * other.polygon.length
    apart = max(abs(a - b) for a, b in zip(one.polygon.bounds, other.polygon.bounds, strict=True))
    valid = one.polygon.is_valid and other.polygon.is_valid
    return apart < ALIKE_MM and valid and one.polygon.symmetric_difference(other.polygon).area < slack


def _check_crossings(rings: Sequence[Ring], where: str) -> None:
    """Raise D321 for rings that cross themselves or each other."""
    bad = [_crossing_place(ring) for ring in rings if not ring.polygon.is_valid]
    if bad:
        raise PartFileError(found("D321", where=where, what=phrase("cross themselves"), places=listed(bad)))
    edges = np.array([ring.polygon.exterior for ring in rings])
    shapely.prepare(edges)
    near = shapely.STRtree(edges).query(edges)
    first, second = near[:, near[0] < near[1]]
    met = shapely.intersects(edges[first], edges[second])
    for i, j in zip(first[met].tolist(), second[met].tolist(), strict=True):
        common = rings[i].polygon.intersection(rings[j].polygon)
        slack = CROSSING_MM2 * max(1.0, rings[i].polygon.length)
        if common.area > slack and min(rings[i].polygon.area, rings[j].polygon.area) - common.area > slack:
            crossed = rings[i].polygon.exterior.intersection(rings[j].polygon.exterior)
            spots = sorted((float(x), float(y)) for x, y in shapely.get_coordinates(crossed))
            bad += map(place, spots)
    if bad:
        raise PartFileError(found("D321", where=where, what=phrase("cross each other"), places=listed(bad)))


def _crossing_place(ring: Ring) -> str:
    reason = shapely.is_valid_reason(ring.polygon)
    numbers = re.findall(r"-?\d+(?:\.\d+)?(?:e[-+]?\d+)?", reason.partition("[")[2])
    return place((float(numbers[0]), float(numbers[1]))) if len(numbers) > 1 else place(ring.points[0])


def _parents(rings: Sequence[Ring]) -> list[int]:
    """For each ring (largest first) the smallest ring round it; -1 when there is none."""
    tree = shapely.STRtree([ring.polygon.representative_point() for ring in rings])
    parents = [-1] * len(rings)
    for around, child in tree.query([ring.polygon for ring in rings], predicate="contains").T.tolist():
        larger = rings[around].area_mm2 > rings[child].area_mm2 and around != child
        if larger and (parents[child] < 0 or rings[around].area_mm2 < rings[parents[child]].area_mm2):
            parents[child] = around
    return parents


def _outer(rings: Sequence[Ring], parents: list[int], said: list[Finding], where: str) -> list[int]:
    """The outlines, largest first. A drawing frame is taken away (D326), and what lay in it stands free."""
    outer = [n for n, parent in enumerate(parents) if parent < 0]
    for frame in [n for n in outer if _is_frame(n, rings, parents)]:
        said.append(found("D326", where=where, frame=_size(rings[frame])))
        for n, parent in enumerate(parents):
            if parent == frame:
                parents[n] = -1
        parents[frame] = -2
    return [n for n, parent in enumerate(parents) if parent == -1]


def _is_frame(number: int, rings: Sequence[Ring], parents: Sequence[int]) -> bool:
    """A rectangle with a ring in it that has rings of its own which are no countersinks."""
    ring = rings[number]
    box = shapely.box(*ring.polygon.bounds).area
    if len(ring.curves) != 4 or ring.arcs or abs(ring.polygon.area - box) > SQUARE * box:
        return False
    inner = {n for n, parent in enumerate(parents) if parent == number and _counts(rings[n], ring)}
    outlines = {n for n in inner if isinstance(feature_of(rings[n]), Cutout) or rings[n].area_mm2 > FRAMED_SHARE * box}
    return any(parents[n] in outlines and not _centred(rings[n], rings[parents[n]]) for n in range(len(rings)))


def _counts(ring: Ring, largest: Ring) -> bool:
    """Is this outline large enough to be a part beside the largest?"""
    return ring.area_mm2 >= PART_SHARE * largest.area_mm2 and min(ring.size) >= PART_LEAST_MM


def _holes(
    rings: Sequence[Ring], parents: Sequence[int], holes: Sequence[int], said: list[Finding], where: str
) -> list[Ring]:
    """The holes; a countersink is the smaller of its two edges (D327); other rings in holes are said (D328)."""
    out: list[Ring] = []
    sunk: list[Point] = []
    loose: list[Ring] = []
    inside: dict[int, list[int]] = {}
    for n, parent in enumerate(parents):
        inside.setdefault(parent, []).append(n)
    for hole in holes:
        ring, inner = rings[hole], inside.get(hole, [])
        if len(inner) == 1 and _centred(rings[inner[0]], ring):
            ring = rings[inner[0]]
            sunk.append((ring.polygon.centroid.x, ring.polygon.centroid.y))
        else:
            loose += [rings[n] for n in inner]
        out.append(ring)
    if sunk:
        said.append(found("D327", where=where, count=len(sunk), places=listed(map(place, sunk))))
    if loose:
        said.append(found("D328", where=where, count=len(loose), rings=listed(map(_size, loose))))
    return out


def _centred(one: Ring, other: Ring) -> bool:
    """Two round holes about one middle."""
    first, second = feature_of(one), feature_of(other)
    if not isinstance(first, Circle) or not isinstance(second, Circle):
        return False
    return math.dist(first.centre, second.centre) < CENTRED_MM


def _size(ring: Ring) -> str:
    width, height = ring.size
    x0, y0, *_ = ring.polygon.bounds
    return say("drawing.box_at", width=width, height=height, place=place((x0, y0)))


def _numbered(rings: Sequence[Ring], outer: Sequence[int], most: int) -> str:
    return listed(say("drawing.numbered", number=n, what=_size(rings[ring])) for n, ring in enumerate(outer[:most], 1))
