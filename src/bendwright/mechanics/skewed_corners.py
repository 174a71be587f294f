"""Which angle has the fold between two sloped faces, and how is an edge gauged that is not parallel to it?

Hoppers, ducts, transitions: faces in space, given by vectors, or a four-sided hopper by its two rectangles.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, degrees, hypot, radians, sin, tan

from bendwright.findings import OutOfRangeError, found
from bendwright.mechanics.limits import not_negative, positive, within
from bendwright.mechanics.record import ModelRecord, WorkedExample
from bendwright.said import phrase

Vector = tuple[float, float, float]
Point = tuple[float, float]
CORNERS = ("front right", "back right", "back left", "front left")


@dataclass(frozen=True, slots=True, kw_only=True)
class HopperCorner:
    """One fold of a hopper: turned angle, length of the fold [mm], and in each of its two faces the angle between fold
    and top edge and between fold and the face's other sloped edge [degrees]. ``faces_mm``: far upper and far lower corner
    of either face in its plane, x away from the fold, y up along it, fold's upper end at the origin.
    """

    name: str
    turned_deg: float
    fold_mm: float
    to_top_edge_deg: tuple[float, float]
    to_far_edge_deg: tuple[float, float]
    faces_mm: tuple[tuple[Point, Point], tuple[Point, Point]]

    @property
    def included_deg(self) -> float:
        """180 - turned."""
        return 180.0 - self.turned_deg


def fold_turned_deg(*, fold: Vector, first: Vector, second: Vector) -> float:
    """Turned angle of a fold along ``fold`` between two faces, each with a vector from the fold into the face.

    180 minus the angle between the parts of both vectors square to the fold. Flat sheet 0, faces on each other 180.
    OutOfRangeError W105 when a face is no face: a vector of no length or along the fold.
    """
    across = []
    for name, vector in (("first", first), ("second", second)):
        square = _square_to(vector, fold)
        if _length(fold) == 0.0 or _length(square) < 1e-9 * max(1.0, _length(vector)):
            raise OutOfRangeError(found("W105", where=name, name=name))
        across.append(square)
    return 180.0 - between_deg(first=across[0], second=across[1])


def sloped_faces_turned_deg(*, first_slope_deg: float, second_slope_deg: float) -> float:
    """Turned angle of the corner of two faces square to each other in plan, sloped from the vertical: acos(sin a sin b).

    Both lean the same way. Upright faces 90; 100 in 500 on both: 87.80.
    """
    within(-89.0, 89.0, first_slope_deg=first_slope_deg, second_slope_deg=second_slope_deg)
    return degrees(acos(sin(radians(first_slope_deg)) * sin(radians(second_slope_deg))))


def between_deg(*, first: Vector, second: Vector) -> float:
    """Angle between two directions [degrees]."""
    product = _length(first) * _length(second)
    if product == 0.0:
        raise OutOfRangeError(found("W105", where="first", name=phrase("first or second")))
    return degrees(acos(max(-1.0, min(1.0, _dot(first, second) / product))))


def hopper_corners(
    *,
    top_mm: tuple[float, float],
    bottom_mm: tuple[float, float],
    height_mm: float,
    shift_mm: tuple[float, float] = (0.0, 0.0),
) -> tuple[HopperCorner, ...]:
    """The four folds of a hopper between two rectangles (width along x, depth along y), the lower one shifted.

    Front is toward -y. Mould-line sizes: outer faces taken without thickness.
    """
    positive(height_mm=height_mm, **{"top_width_mm": top_mm[0], "top_depth_mm": top_mm[1]})
    not_negative(**{"bottom_width_mm": bottom_mm[0], "bottom_depth_mm": bottom_mm[1]})
    tops = _rectangle(top_mm, (0.0, 0.0), height_mm)
    bottoms = _rectangle(bottom_mm, shift_mm, 0.0)
    corners = []
    for place, name in enumerate(CORNERS):
        before, after = (place - 1) % 4, (place + 1) % 4
        fold = _minus(bottoms[place], tops[place])
        edges = (_minus(tops[before], tops[place]), _minus(tops[after], tops[place]))
        far = tuple(_minus(bottoms[i], tops[i]) for i in (before, after))
        faces = tuple(
            tuple(_in_face(_minus(corner, tops[place]), fold) for corner in (tops[i], bottoms[i]))
            for i in (before, after)
        )
        corners.append(
            HopperCorner(
                name=name,
                turned_deg=fold_turned_deg(fold=fold, first=edges[0], second=edges[1]),
                fold_mm=_length(fold),
                to_top_edge_deg=(
                    between_deg(first=fold, second=edges[0]),
                    between_deg(first=fold, second=edges[1]),
                ),
                to_far_edge_deg=(between_deg(first=fold, second=far[0]), between_deg(first=fold, second=far[1])),
                faces_mm=((faces[0][0], faces[0][1]), (faces[1][0], faces[1][1])),
            )
        )
    return tuple(corners)


def half_flat_mm(*, corner: HopperCorner, deduction_mm: float) -> tuple[Point, ...]:
    """Outline of two faces joined along their fold, half a deduction taken off either [mm], corners in a loop.

    Fold along y from its upper end at the origin downward, the face before the corner at x < 0, the face after it at
    x > 0. Faces end at their mould lines; what the far edges need (seam, flange) is not in it.
    """
    not_negative(deduction_mm=deduction_mm)
    off = deduction_mm / 2.0
    before, after = (
        [(x - off, y) for x, y in _beyond([(0.0, -corner.fold_mm), (0.0, 0.0), *face], off)] for face in corner.faces_mm
    )
    return (*after, *((0.0 - x, y) for x, y in reversed(before)))


def _beyond(outline: list[Point], off: float) -> list[Point]:
    """The part of a convex outline at x >= off."""
    kept: list[Point] = []
    for (x0, y0), (x1, y1) in zip(outline, [*outline[1:], outline[0]], strict=True):
        if x0 >= off:
            kept.append((x0, y0))
        if (x0 >= off) != (x1 >= off):
            share = (off - x0) / (x1 - x0)
            kept.append((off, y0 + share * (y1 - y0)))
    return kept


def gauge_tab_mm(
    *, skew_deg: float, spacing_mm: float, finger_width_mm: float, least_mm: float
) -> tuple[float, float, float]:
    """A tab left on a skewed edge whose outer side is parallel to the bend: length, height at its near and far end [mm].

    Long enough for both fingers at that spacing; ``least_mm`` high where it is lowest. To be cut off after bending.
    """
    positive(spacing_mm=spacing_mm, finger_width_mm=finger_width_mm)
    not_negative(least_mm=least_mm)
    within(0.0, 85.0, skew_deg=skew_deg)
    length = spacing_mm + finger_width_mm
    return length, least_mm, least_mm + length * tan(radians(skew_deg))


def _rectangle(sizes: tuple[float, float], middle: tuple[float, float], z: float) -> tuple[Vector, ...]:
    """Corners in the order of ``CORNERS``."""
    (w, d), (x, y) = (sizes[0] / 2.0, sizes[1] / 2.0), middle
    return ((x + w, y - d, z), (x + w, y + d, z), (x - w, y + d, z), (x - w, y - d, z))


def _dot(a: Vector, b: Vector) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _length(a: Vector) -> float:
    return hypot(*a)


def _minus(a: Vector, b: Vector) -> Vector:
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def _in_face(vector: Vector, fold: Vector) -> Point:
    """A point of a face by its distance from the fold and its place along it, upward."""
    return _length(_square_to(vector, fold)), -_dot(vector, fold) / _length(fold)


def _square_to(vector: Vector, axis: Vector) -> Vector:
    """The part of a vector square to an axis."""
    along = _dot(vector, axis) / (_dot(axis, axis) or 1.0)
    return (vector[0] - along * axis[0], vector[1] - along * axis[1], vector[2] - along * axis[2])


RECORDS = (
    ModelRecord(
        id="fold_in_space",
        question="By how much does the fold between two sloped faces turn?",
        answer=fold_turned_deg,
        source="angle between two planes about their common edge",
        provenance="derived",
        examples=(
            WorkedExample(
                inputs={"fold": (0.0, 0.0, 1.0), "first": (1.0, 0.0, 0.0), "second": (0.0, 1.0, 0.0)},
                expected=90.0,
                tolerance=1e-9,
                origin="derived",
                source="upright faces, square in plan",
            ),
            WorkedExample(
                inputs={"fold": (0.0, 0.0, 1.0), "first": (1.0, 0.0, 0.0), "second": (-1.0, 0.0, 5.0)},
                expected=0.0,
                tolerance=1e-6,
                origin="derived",
                source="one plane",
            ),
        ),
    ),
    ModelRecord(
        id="fold_of_sloped_faces",
        question="By how much does the corner of two sloped faces turn?",
        answer=sloped_faces_turned_deg,
        source="acos(sin a sin b) for faces square to each other in plan",
        provenance="derived",
        symbols={"a": "first_slope_deg", "b": "second_slope_deg"},
        examples=(
            WorkedExample(
                inputs={"first_slope_deg": 11.30993, "second_slope_deg": 11.30993},
                expected=87.80,
                tolerance=0.005,
                origin="derived",
                source="100 in 500: acos(0.19612^2)",
            ),
        ),
    ),
)
