"""Is a solid really one bendable sheet, and in what does it differ from one?"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

import numpy as np

from bendwright.drawing.step.flat_outlines import Outline, UnevenRing
from bendwright.drawing.step.hole_walls import sunk_hole
from bendwright.drawing.step.model_record import Solid
from bendwright.drawing.step.skeleton import Skeleton
from bendwright.drawing.step.thickness import LEAST_SHARE, Sides
from bendwright.findings import Finding, found
from bendwright.geometry.rigid import Array
from bendwright.said import joined, phrase, say

WALL_SLACK = 1.3
SURFACE_SLACK = 0.03
VOLUME_SLACK = 0.003
POCKET_SLACK = 0.05


def not_a_sheet(skeleton: Skeleton, sides: Sides | None) -> list[Finding]:
    """D219, D234 or D220 with what lies back to back at which distance."""
    where = f"body {skeleton.solid.number}"
    if sides is None:
        return [found("D219", where=where, faces=_kinds(skeleton))]
    if sides.share >= LEAST_SHARE and not sides.flats:
        return [found("D234", where=where, thickness=sides.thickness_mm)]
    rows = [(sides.thickness_mm, sides.share), *sides.others]
    words = joined(", ", [say("step.share", share=share, distance=distance) for distance, share in rows])
    return [found("D220", where=where, shares=words)]


def stout(skeleton: Skeleton, sides: Sides) -> list[Finding]:
    """D235 for a body without bends that is no thinner than half its width."""
    normal = np.array(sides.flats[0].normal)
    points = np.array([point for edge in skeleton.solid.edges for point in edge.points])
    across = points - np.outer(points @ normal, normal)
    _, _, axes = np.linalg.svd(across - across.mean(axis=0), full_matrices=False)
    width = min(float(np.ptp(across @ axis)) for axis in axes[:2])
    if sides.thickness_mm <= 0.5 * width:
        return []
    return [found("D235", where=f"body {skeleton.solid.number}", thickness=sides.thickness_mm, width=width)]


def _kinds(skeleton: Skeleton) -> str:
    counts = Counter(face.kind for face in skeleton.faces)
    kinds = counts.most_common()
    return joined(", ", [say("step.count", count=count, what=phrase(kind)) for kind, count in kinds])


def check_surface(skeleton: Skeleton, sides: Sides, skin: set[int]) -> list[Finding]:
    """Everything that is no side of the sheet must be cut edge: about thickness times the length of the borders."""
    border = sum(
        _length(skeleton, edge)
        for edge, faces in enumerate(skeleton.edge_faces)
        if len(faces) == 2 and (faces[0] in skin) != (faces[1] in skin)
    )
    left = [n for n in range(len(skeleton.faces)) if n not in skin]
    area = skeleton.area_of(left)
    expected = 0.5 * border * sides.thickness_mm
    if area <= WALL_SLACK * expected + SURFACE_SLACK * skeleton.area_mm2:
        return []
    strange = sorted(left, key=lambda n: -skeleton.faces[n].area_mm2)[:5]
    places = joined("; ", [_strange(skeleton, n) for n in strange])
    share = (area - expected) / skeleton.area_mm2
    return [found("D222", where=f"body {skeleton.solid.number}", share=100.0 * share, places=places)]


def _strange(skeleton: Skeleton, number: int) -> str:
    face = skeleton.faces[number]
    return say("step.strange", kind=phrase(face.kind), place=skeleton.place(number), area=face.area_mm2)


def _length(skeleton: Skeleton, edge: int) -> float:
    points = np.array(skeleton.edge(edge).points)
    return float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum()) if len(points) > 1 else 0.0


def check_volume(solid: Solid, volume_mm3: float, pockets: bool) -> list[Finding]:
    """Raises D223 when the sheet folded up is not the solid; a watch D229 for small differences."""
    from bendwright.findings import PartFileError

    off = volume_mm3 / solid.volume_mm3 - 1.0 if solid.volume_mm3 else 1.0
    slack = POCKET_SLACK if pockets else VOLUME_SLACK
    values = {"own": volume_mm3, "model": solid.volume_mm3, "percent": 100.0 * off}
    if abs(off) > slack:
        raise PartFileError(found("D223", where=f"body {solid.number}", **values))
    return [found("D229", where=f"body {solid.number}", **values)] if abs(off) > 0.001 and not pockets else []


def remarks(
    skeleton: Skeleton, outlines: Mapping[int, Outline], normals: Mapping[int, Array], skin: set[int]
) -> tuple[list[Finding], float]:
    """What differs from cuts square through the sheet, and the metal that widened holes take besides [mm3]."""
    notes: list[Finding] = []
    sunk: Counter[tuple[bool, str]] = Counter()
    volume = 0.0
    for flat, outline in outlines.items():
        for ring in outline.uneven:
            wide = None if ring.outer else sunk_hole(skeleton, ring.edges, normals[flat], skin)
            if wide is None:
                notes.append(_uneven(ring))
                continue
            sunk[wide.collar, wide.words] += 1
            volume += wide.volume_mm3
        if outline.blind:
            places = joined("; ", [say("step.point", x=x, y=y) for x, y in (ring.centre for ring in outline.blind[:6])])
            notes.append(found("D227", where="flat", count=len(outline.blind), places=places))
    notes += [
        found("D232" if collar else "D225", where="holes", count=count, words=words)
        for (collar, words), count in sunk.items()
    ]
    return notes, volume


def _uneven(ring: UnevenRing) -> Finding:
    what = "outline" if ring.outer else "opening"
    x, y = ring.centre
    return found("D226", where=f"{what} near ({x:.1f}, {y:.1f})", what=phrase(what), apart=ring.apart_mm)
