"""Holds what was read from a file against the answer known beforehand: every difference in words."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
from flat_shapes import Point, centroid, smallest_box, true_corners
from known import Known, kernel_box

from bendwright.drawing.reading import Reading
from bendwright.part.bend_size import fixed_size
from bendwright.part.blank import make_blank
from bendwright.part.blank_model import Blank
from bendwright.part.fold import fold, plate_corners
from bendwright.part.model import Circle, Cutout, Header, Slot

HEADER = Header(part_no="SM-100", revision="A")
THICKNESS_MM, TURNED_DEG, RADIUS_MM, SIZE_MM, DIAMETER_MM = 1e-4, 0.01, 1e-3, 0.01, 1e-3
AREA_SHARE, VOLUME_SHARE = 2e-4, 5e-4
Points = npt.NDArray[np.float64]


def blank_of(reading: Reading, k_factor: float) -> Blank:
    """The blank of what was read, every bend at its drawn radius and this K."""
    part, t = reading.part, reading.part.header.thickness_mm
    assert t is not None
    sizes = {
        bend.id: fixed_size(bend, inside_radius_mm=bend.drawn_radius_mm or 0.0, k_factor=k_factor, thickness_mm=t)
        for bend in part.bends
    }
    return make_blank(part, sizes, thickness_mm=t)


def bend_differences(truth: Known, reading: Reading) -> list[str]:
    """Thickness, number of bends, angles, radii and ways they turn (the other face may be the one read as top)."""
    out = []
    t = reading.part.header.thickness_mm
    if t is None or abs(t - truth.blank.thickness_mm) > THICKNESS_MM:
        out.append(f"thickness {t}, not {truth.blank.thickness_mm}")
    got = [(bend.turned_deg, bend.drawn_radius_mm, bend.direction == "up") for bend in reading.part.bends]
    for flipped in (False, True):
        left = list(got)
        for turned, radius, up in truth.bends:
            match = [
                bend
                for bend in left
                if abs(bend[0] - turned) < TURNED_DEG
                and bend[1] is not None
                and abs(bend[1] - radius) < RADIUS_MM
                and bend[2] == (up != flipped)
            ]
            if match:
                left.remove(match[0])
        if not left and len(got) == len(truth.bends):
            return out
    return [
        *out,
        f"bends (turned, radius, up) {_rounded(got)}, not {_rounded(truth.bends)} in any order, maybe turned over",
    ]


def _rounded(rows: Sequence[tuple[object, ...]]) -> list[tuple[object, ...]]:
    return [tuple(round(v, 4) if isinstance(v, float) else v for v in row) for row in rows]


def opening_differences(truth: Known, reading: Reading) -> list[str]:
    """Round holes by diameter, slots by length and width, and the number of other windows in the flat pieces."""
    features = [feature for flange in reading.part.flanges for feature in flange.features]
    holes = sorted(one.diameter_mm for one in features if isinstance(one, Circle))
    slots = sorted((one.length_mm, one.width_mm) for one in features if isinstance(one, Slot))
    windows = sum(isinstance(one, Cutout) for one in features)
    out = []
    if len(holes) != len(truth.holes) or any(abs(a - b) > DIAMETER_MM for a, b in zip(holes, truth.holes, strict=True)):
        out.append(f"holes {_rounded([tuple(holes)])}, not {truth.holes}")
    if len(slots) != len(truth.slots) or any(
        max(abs(a[0] - b[0]), abs(a[1] - b[1])) > 2 * DIAMETER_MM for a, b in zip(slots, truth.slots, strict=True)
    ):
        out.append(f"slots {_rounded(slots)}, not {truth.slots}")
    if windows != truth.windows:
        out.append(f"{windows} other windows in flat pieces, not {truth.windows}")
    return out


def flat_differences(truth: Known, reading: Reading) -> list[str]:
    """Sides of the blank, its area, and the openings that cross bends, at the K the solid was bent with."""
    blank = blank_of(reading, truth.blank.k_factor)
    out = []
    sides = smallest_box(blank.outline)
    for came, right in zip(sides, truth.blank.flat_box_mm, strict=True):
        if abs(came - right) > SIZE_MM + truth.size_slack_mm:
            out.append(f"blank {sides[0]:.4f} x {sides[1]:.4f}, not {truth.blank.flat_box_mm}")
            break
    right_area = truth.blank.flat_area_mm2 - truth.area_taken_mm2
    if abs(blank.area_mm2 - right_area) > AREA_SHARE * right_area + truth.area_slack_mm2:
        out.append(f"blank area {blank.area_mm2:.3f}, not {right_area:.3f}")
    if len(blank.windows) != truth.crossing:
        out.append(f"{len(blank.windows)} openings across bends, not {truth.crossing}")
    if blank.overlap_mm2 > 0.0:
        out.append(f"blank overlaps itself by {blank.overlap_mm2:.4f} mm2")
    return out


def square_differences(truth: Known, reading: Reading) -> list[str]:
    """The blank lies straight: its own width and height are the sides of the smallest rectangle."""
    blank = blank_of(reading, truth.blank.k_factor)
    sides = sorted((blank.width_mm, blank.height_mm))
    right = sorted(truth.blank.flat_box_mm)
    if any(abs(a - b) > SIZE_MM + truth.size_slack_mm for a, b in zip(sides, right, strict=True)):
        return [f"blank lies askew: {sides}, not {right}"]
    return []


def fold_differences(truth: Known, reading: Reading) -> list[str]:
    """Folded again, the flat pieces' corners are the model's, moved as a body (mirror images do not pass)."""
    blank = blank_of(reading, truth.blank.k_factor)
    placed = fold(reading.part, blank)
    folded = np.vstack([placed[flat.flange_id].points(plate_corners(blank, flat.flange_id)) for flat in blank.flats])
    moved = laid_over(folded, truth.corners)
    if moved is None:
        return ["folded corners are no moved copy of the model's"]
    low, high = kernel_box(truth.solid)
    over = max(float((low - moved.min(axis=0)).max()), float((moved.max(axis=0) - high).max()))
    return [f"folded part reaches {over:.4f} mm beyond the model"] if truth.refolds and over > SIZE_MM else []


def laid_over(points: Points, marks: Points) -> Points | None:
    """``points`` moved rigidly so that each of ``marks`` meets one of them within ``SIZE_MM``; None when there is no way.

    Two marks as far apart as can be and a third off their line fix the motion; all places of three points at the same
    distances are tried.
    """
    apart = np.linalg.norm(marks[:, None] - marks[None, :], axis=2)
    a, b = np.unravel_index(int(apart.argmax()), apart.shape)
    along = (marks[b] - marks[a]) / apart[a, b]
    off = np.linalg.norm(np.cross(marks - marks[a], along), axis=1)
    c = int(off.argmax())
    trio = marks[[a, b, c]]
    between = np.linalg.norm(points[:, None] - points[None, :], axis=2)
    near = 2.0 * SIZE_MM
    for i, j in zip(*np.nonzero(abs(between - apart[a, b]) < near), strict=True):
        third = (abs(between[i] - apart[a, c]) < near) & (abs(between[j] - apart[b, c]) < near)
        for k in np.nonzero(third)[0]:
            moved = _moved(points, points[[i, j, k]], trio)
            gaps = np.linalg.norm(marks[:, None] - moved[None, :], axis=2).min(axis=1)
            if gaps.max() < SIZE_MM:
                return moved
    return None


def _moved(points: Points, trio: Points, onto: Points) -> Points:
    """All points moved as three of them must be to lie on three others: a rotation, never a mirroring."""

    def frame(three: Points) -> Points:
        u = (three[1] - three[0]) / np.linalg.norm(three[1] - three[0])
        w = np.cross(u, three[2] - three[0])
        w = w / np.linalg.norm(w)
        return np.column_stack([u, np.cross(w, u), w])

    turn = frame(onto) @ frame(trio).T
    return (points - trio[0]) @ turn.T + onto[0]


def place_differences(truth: Known, reading: Reading) -> list[str]:
    """On the flat, corners, middles of openings and bend lines lie as laid out, seen from either side.

    A bend line stands for itself by its point nearest the flat's centroid, a little above the flat when it goes up and below
    when it goes down: turned over, both change sides.
    """
    blank = blank_of(reading, truth.blank.k_factor)
    middles = [one.centre if isinstance(one, Circle | Slot) else centroid(one.points) for one in blank.features]
    middles += [centroid(window) for window in blank.windows]
    here = centroid(blank.outline)
    came = [(*point, 0.0) for point in [*blank.outline, *middles]]
    for line in blank.bend_lines:
        came.append((*_foot(here, line.start, line.end), 1.0 if line.direction == "up" else -1.0))
    flat = truth.blank
    there = centroid(flat.outline.polygon())
    right = [(*point, 0.0) for point in true_corners(flat.outline)]
    right += [(*centroid(opening.polygon()), 0.0) for opening in flat.openings]
    for strip in flat.strips:
        w = 0.5 * flat.width(strip)
        right.append((*_foot(there, strip.at(0.0, w), strip.at(strip.length, w)), 1.0 if strip.up else -1.0))
    found = laid_over(np.array(came), np.array(right))
    return ["corners, openings or bend lines lie elsewhere on the flat"] if found is None else []


def _foot(point: Point, start: Point, end: Point) -> Point:
    ux, uy = end[0] - start[0], end[1] - start[1]
    share = ((point[0] - start[0]) * ux + (point[1] - start[1]) * uy) / (ux * ux + uy * uy)
    return start[0] + share * ux, start[1] + share * uy


def volume_differences(truth: Known, reading: Reading) -> list[str]:
    """The model's volume, and the one the part read has when it is folded again."""
    out = []
    right = truth.volume_mm3
    if reading.model_volume_mm3 is None or abs(reading.model_volume_mm3 / right - 1.0) > 1e-4:
        out.append(f"model volume {reading.model_volume_mm3}, not {right:.4f}")
    again = reading.refolded_volume_mm3
    if truth.refolds and (again is None or abs(again / right - 1.0) > VOLUME_SHARE):
        out.append(f"refolded volume {again}, not {right:.4f}")
    return out


def leg_differences(truth: Known, reading: Reading) -> list[str]:
    """Outside length of every flange of a profile, and the bends' length."""
    width = max(x for x, _ in truth.blank.outline.corners())
    found = [smallest_box(flange.outline) for flange in reading.part.flanges]
    left = list(found)
    for leg in truth.legs_mm:
        right = sorted((leg, width))
        match = sorted(left, key=lambda box, right=right: float(np.abs(np.subtract(sorted(box), right)).max()))
        if not match or not np.allclose(sorted(match[0]), right, rtol=0, atol=SIZE_MM):
            return [f"flanges {_rounded(found)}, not {truth.legs_mm} x {width}"]
        left.remove(match[0])
    return []


def all_differences(truth: Known, reading: Reading) -> list[str]:
    """Everything that must hold for every sheet without a special mark."""
    out = bend_differences(truth, reading)
    if out:
        return out
    out = opening_differences(truth, reading) + flat_differences(truth, reading) + volume_differences(truth, reading)
    return out + place_differences(truth, reading) + (fold_differences(truth, reading) if len(truth.corners) else [])
