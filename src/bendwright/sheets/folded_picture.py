"""The folded part seen in isometry from above at the front right: faces painted from back to front.

Faces that look away are left out. Of two that cover each other on paper the one farther from the eye where they do is painted
first. The top face is light, the bottom face and the edges of the sheet are dark; thin lines show where bends begin.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Sequence

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from bendwright.geometry.rigid import Array
from bendwright.part.blank_model import Blank
from bendwright.part.model import Part
from bendwright.quantities import format_number
from bendwright.said import figure, say
from bendwright.sheets.folded_picture_faces import Face, faces_of
from bendwright.sheets.palette import FAINT, INK, PAPER, SHEET_BLUE, SHEET_LIGHT
from bendwright.sheets.svg import num, path, picture, polyline

RIGHT = np.array([1.0, 1.0, 0.0]) / math.sqrt(2.0)
UP = np.array([-1.0, 1.0, 2.0]) / math.sqrt(6.0)
TOWARD = np.array([1.0, -1.0, 1.0]) / math.sqrt(3.0)
"""Paper's right and up, and toward the eye, in the part's own axes: its corner at large x and small y is nearest."""
MARGIN_MM = 2.0
COARSE_SHARE = 3e-4
COVERED_MM2 = 1e-3
LEVEL_MM = 1e-4
CLOSED_MM = 0.02
SMALL_MM = 1.2
"""Holes about so wide on paper are drawn without their walls."""
COLOURS = {"top": SHEET_LIGHT, "bottom": SHEET_BLUE, "wall": SHEET_BLUE}


def folded_svg(part: Part, blank: Blank, *, width_mm: float = 90.0, height_mm: float = 70.0) -> str:
    """The folded part as an SVG of at most that size on paper (less where the shape leaves room)."""
    size = max(blank.width_mm, blank.height_mm)
    small = SMALL_MM * size / max(width_mm, height_mm)
    faces = faces_of(part, blank, coarse_mm=COARSE_SHARE * size, least_mm=small)
    seen = [face for face in faces if _looks_here(face)]
    spots = np.vstack([ring for face in seen for ring in face.rings])
    low, high = _flat(spots).min(axis=0), _flat(spots).max(axis=0)
    scale = float(
        min((width_mm - 2 * MARGIN_MM) / (high[0] - low[0]), (height_mm - 2 * MARGIN_MM) / (high[1] - low[1]))
    )

    def at(points: Array) -> list[tuple[float, float]]:
        spots = points if points.shape[1] == 2 else _flat(points)
        x, y = (spots - (low[0], high[1])).T * scale
        return list(zip((MARGIN_MM + x).tolist(), (MARGIN_MM - y).tolist(), strict=True))

    parts = []
    for number in _back_to_front(seen, scale):
        face = seen[number]
        steps = "".join(_ring(at(ring)) for ring in face.rings)
        colour = _shaded(COLOURS[face.side], _normal(face.rings[0]))
        parts.append(path(steps, fill=colour, stroke=colour, width=0.08))
        parts += [polyline(at(edge), stroke=FAINT, width=0.1) for edge in face.bend_edges]
        parts += [polyline(at(edge), stroke=INK, width=0.2) for edge in face.edges]
    parts += [path(_ring(at(ring)), width=0.25) for ring in _outlines(seen, CLOSED_MM / scale)]
    paper = tuple(float(2.0 * MARGIN_MM + scale * (high[i] - low[i])) for i in (0, 1))
    box = [
        figure(format_number(float(extent), decimals=1))
        for extent in np.ptp(np.vstack([r for f in faces for r in f.rings]), axis=0)
    ]
    title = say("picture.folded", part=part.header.part_no, x=box[0], y=box[1], z=box[2])
    return picture(parts, width_mm=paper[0], height_mm=paper[1], title=title, name="folded")


def _flat(points: Array) -> Array:
    """Points in space as seen, right and up."""
    return np.asarray(points @ np.column_stack([RIGHT, UP]))


def _shape(face: Face) -> BaseGeometry:
    """A face as seen."""
    return shapely.make_valid(Polygon(_flat(face.rings[0]), [_flat(ring) for ring in face.rings[1:]]))


def _outlines(faces: Sequence[Face], seam: float) -> list[Array]:
    """Rings round all that is seen, so that a bend whose far side is turned away has an edge too; seams that narrow are closed."""
    whole = shapely.union_all([_shape(face) for face in faces])
    whole = whole.buffer(seam, join_style="mitre").buffer(-seam, join_style="mitre")
    parts = [part for part in getattr(whole, "geoms", [whole]) if isinstance(part, Polygon)]
    return [np.array(part.exterior.coords) for part in parts]


def _normal(ring: Array) -> Array:
    """Unit vector out of a ring, by the areas it covers along each axis."""
    total = np.cross(ring, np.roll(ring, -1, axis=0)).sum(axis=0)
    length = float(np.linalg.norm(total))
    return np.asarray(total / length if length > 0.0 else np.zeros(3))


def _looks_here(face: Face) -> bool:
    return float(_normal(face.rings[0]) @ TOWARD) > 1e-9


def _back_to_front(faces: Sequence[Face], scale: float) -> list[int]:
    """Order of painting. Where faces cover each other in a ring the one whose middle is farthest goes first."""
    shapes = [_shape(face) for face in faces]
    normals = np.array([_normal(face.rings[0]) for face in faces])
    middles = np.array([face.rings[0].mean(axis=0) for face in faces])
    one, other = shapely.STRtree(shapes).query(shapes, predicate="intersects")
    one, other = one[one < other], other[one < other]
    common = shapely.intersection(np.array(shapes)[one], np.array(shapes)[other])
    covered = shapely.area(common) > COVERED_MM2 / scale**2
    one, other, common = one[covered], other[covered], common[covered]
    spots = shapely.get_coordinates(shapely.point_on_surface(common))
    ahead = _depth(normals[one], middles[one], spots) - _depth(normals[other], middles[other], spots)
    behind: list[set[int]] = [set() for _ in faces]
    for a, b, nearer in zip(one.tolist(), other.tolist(), ahead.tolist(), strict=True):
        if abs(nearer) > LEVEL_MM:
            back, front = (b, a) if nearer > 0.0 else (a, b)
            behind[front].add(back)
    return _sorted(behind, (middles @ TOWARD).tolist())


def _depth(normals: Array, middles: Array, spots: Array) -> Array:
    """How near to the eye planes lie under points on paper."""
    level = spots @ np.vstack([RIGHT, UP])
    return np.asarray(((middles - level) * normals).sum(axis=1) / (normals @ TOWARD))


def _sorted(behind: Sequence[set[int]], depths: Sequence[float]) -> list[int]:
    """Faces after all that lie behind them, the farthest first among those that may."""
    waits = [len(own) for own in behind]
    covers: list[list[int]] = [[] for _ in behind]
    for front, own in enumerate(behind):
        for back in own:
            covers[back].append(front)
    free = [(depths[i], i) for i, count in enumerate(waits) if count == 0]
    heapq.heapify(free)
    left, out = set(range(len(behind))), []
    while left:
        number = heapq.heappop(free)[1] if free else min(left, key=lambda i: (depths[i], i))
        if number not in left:
            continue
        left.remove(number)
        out.append(number)
        for front in covers[number]:
            waits[front] -= 1
            if waits[front] == 0 and front in left:
                heapq.heappush(free, (depths[front], front))
    return out


def _ring(points: Sequence[tuple[float, float]]) -> str:
    (x, y), *rest = points
    return f"M{num(x)} {num(y)}" + "".join(f"L{num(u)} {num(v)}" for u, v in rest) + "Z"


def _shaded(code: str, normal: Array) -> str:
    """A colour lighter where the face looks up and darker where it looks to the side."""
    light = 0.5 * float(normal[2]) + 0.2 * float(normal[0])
    toward, share = (PAPER, 0.25 * light) if light > 0.0 else (INK, -0.5 * light)
    mixed = [round(int(code[i : i + 2], 16) * (1.0 - share) + int(toward[i : i + 2], 16) * share) for i in (1, 3, 5)]
    return "#" + "".join(f"{value:02x}" for value in mixed)
