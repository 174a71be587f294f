"""One solid read as one sheet: flats, folds, what differs from a sheet, and whether the volumes agree."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely import Polygon

from bendwright.drawing.step.assembly import Sheet, closed_rings, one_sheet
from bendwright.drawing.step.bent_faces import find_rolls, unroll
from bendwright.drawing.step.flat_outlines import Outline, flat_outline
from bendwright.drawing.step.model_record import Solid
from bendwright.drawing.step.seams import WIDTH_MM, with_seams
from bendwright.drawing.step.sharp_bends import sharp_folds
from bendwright.drawing.step.sheet_checks import check_surface, check_volume, not_a_sheet, remarks, stout
from bendwright.drawing.step.skeleton import Skeleton, View
from bendwright.drawing.step.thickness import LEAST_SHARE, Seam, Sides, find_sides
from bendwright.drawing.step.tied_flats import tied
from bendwright.drawing.step.zones import SeenFold, seen_folds
from bendwright.findings import Finding, PartFileError, found
from bendwright.geometry.rigid import Array
from bendwright.part.blank import feature_area_mm2
from bendwright.part.contour import ring_area_mm2
from bendwright.part.from_flats import FlatPiece, Fold, drawn_setback_mm, part_from_flats, stretches_at
from bendwright.part.model import Header, Part, Point, ZonePiece
from bendwright.part.placing import NEAR_MM, largest
from bendwright.said import figure, joined


@dataclass(frozen=True, slots=True)
class SheetRead:
    """A solid as a part, with what is worth knowing and the volume of the part folded at the radii drawn [mm3]."""

    part: Part
    findings: tuple[Finding, ...]
    volume_mm3: float


def read_sheet(solid: Solid, header: Header) -> SheetRead:
    """The part that a solid is. Raises PartFileError with the faces and places that are not those of one bendable sheet."""
    skeleton = Skeleton.of(solid)
    sides = find_sides(skeleton)
    if sides is None or sides.share < LEAST_SHARE or not sides.flats:
        raise PartFileError(not_a_sheet(skeleton, sides))
    sides = with_seams(skeleton, sides)
    sides, folds = tied(skeleton, sides, _folds(skeleton, sides), closed_rings)
    sheet = one_sheet(sides, folds)
    if sheet.rings:
        raise PartFileError(_closed(skeleton, sides, sheet))
    if not sheet.folds and (wrong := stout(skeleton, sides)):
        raise PartFileError(wrong)
    skin = _skin(sides, sheet, skeleton)
    views = _views(skeleton, sides, sheet)
    outlines = {flat: _outline(skeleton, sides, sheet, flat, views[flat]) for flat in sheet.up_side}
    wrong = check_surface(skeleton, sides, skin)
    if wrong:
        raise PartFileError(wrong)
    notes, sunk_mm3 = remarks(skeleton, outlines, {flat: view.normal for flat, view in views.items()}, skin)
    volume = _volume(sides, sheet, outlines) - sunk_mm3
    notes += check_volume(solid, volume, bool([f for f in notes if f.code == "D227"]))
    pieces = [_piece(flat, outlines[flat], sheet) for flat in sheet.up_side]
    joints = [_fold(fold, sheet, sides, views) for fold in sheet.folds]
    part = part_from_flats(header, pieces, joints, thickness_mm=_rounded(sides.thickness_mm))
    return SheetRead(part, (*notes, *_fold_notes(sheet)), volume)


def _rounded(thickness_mm: float) -> float:
    """The thickness without the last digits that reading adds."""
    return round(thickness_mm, 5)


def _folds(skeleton: Skeleton, sides: Sides) -> list[SeenFold]:
    folds: list[SeenFold] = []
    for number, roll in enumerate(find_rolls(skeleton, sides)):
        seen = unroll(skeleton, roll)
        if seen is not None:
            folds += [replace(fold, roll=number) for fold in seen_folds(seen, sides.thickness_mm)]
    joined = {frozenset((fold.near, fold.far)) for fold in folds}
    return folds + sharp_folds(skeleton, sides, joined)


def _closed(skeleton: Skeleton, sides: Sides, sheet: Sheet) -> list[Finding]:
    faces = [sides.flats[flat].sides[0] for flat in sorted(sheet.rings[0])]
    places = [skeleton.place(group[0]) for group in faces if group]
    return [found("D221", where=f"body {skeleton.solid.number}", count=len(places), places=joined("; ", places[:6]))]


def _skin(sides: Sides, sheet: Sheet, skeleton: Skeleton) -> set[int]:
    """All faces that are a side of the sheet, flat or bent, formed bridges included."""
    flats = set(sheet.up_side) | {flat for bridge in sheet.bridges for flat in bridge}
    skin = {face for flat in flats for side in sides.flats[flat].sides for face in side}
    edges = {edge for fold in (*sheet.folds, *sheet.bridge_folds) for edge in fold.edges}
    grown = {face for edge in edges for face in skeleton.edge_faces[edge]}
    for group in skeleton.groups("cylinder"):
        if grown & set(group):
            grown |= set(group)
    return skin | grown


def _views(skeleton: Skeleton, sides: Sides, sheet: Sheet) -> dict[int, View]:
    """A view on the upper side of every flat, x along its longest fold (or its longest straight edge)."""
    out = {}
    for flat, side in sheet.up_side.items():
        seam = sides.flats[flat].seam
        if seam:
            out[flat] = _seam_view(sides.flats[flat].normal, seam, side)
            continue
        face = skeleton.faces[sides.flats[flat].sides[side][0]]
        lines = [
            fold.near_line[1] - fold.near_line[0] for fold in sheet.folds if flat in (fold.near, fold.far)
        ] or _straight(skeleton, sides.flats[flat].sides[side])
        along = max(lines, key=lambda line: float(np.linalg.norm(line)), default=None)
        out[flat] = View.of(np.array(face.origin), np.array(face.axis), along)
    return out


def _seam_view(normal: tuple[float, float, float], seam: Seam, side: int) -> View:
    start, end = np.array(seam.ends[0]), np.array(seam.ends[1])
    return View.of(start, np.array(normal) * (1.0 if side == 0 else -1.0), end - start)


def _straight(skeleton: Skeleton, faces: Sequence[int]) -> list[Array]:
    edges = [skeleton.edge(e) for face in faces for loop in skeleton.faces[face].loops for e, _ in loop]
    return [np.array(edge.points[1]) - np.array(edge.points[0]) for edge in edges if edge.kind == "line"]


def _outline(skeleton: Skeleton, sides: Sides, sheet: Sheet, flat: int, view: View) -> Outline:
    up, seam = sheet.up_side[flat], sides.flats[flat].seam
    if seam:
        length, half = math.dist(*seam.ends), 0.5 * WIDTH_MM
        return Outline(((0.0, -half), (length, -half), (length, half), (0.0, half)), (), (), (), ())
    own = [fold for fold in sheet.folds if flat in (fold.near, fold.far)]
    lines = [_flat_points(fold.near_line if flat == fold.near else fold.far_line, view) for fold in own]
    outline = flat_outline(skeleton, (sides.flats[flat].sides[up], sides.flats[flat].sides[1 - up]), view, lines)
    points = outline.outline
    for fold in own:
        if fold.inside_radius_mm == 0.0:
            points = _cut_back(points, fold, flat, view, sides.thickness_mm)
    return replace(outline, outline=points)


def _volume(sides: Sides, sheet: Sheet, outlines: dict[int, Outline]) -> float:
    """Volume of the sheet folded as drawn [mm3], formed bridges included."""
    area = sum(
        ring_area_mm2(o.outline, o.arcs) - sum(feature_area_mm2(feature) for feature, _ in o.openings)
        for o in outlines.values()
    )
    area += sum(sides.flats[flat].area_mm2 for bridge in sheet.bridges for flat in bridge)
    bent = sum(fold.volume_mm3 for fold in (*sheet.folds, *sheet.bridge_folds))
    return area * sides.thickness_mm + bent


def _piece(flat: int, outline: Outline, sheet: Sheet) -> FlatPiece:
    lifted = {edge for fold in sheet.bridge_folds for edge in fold.edges}
    return FlatPiece(
        id=str(flat),
        outline=outline.outline,
        features=tuple(feature for feature, edges in outline.openings if not edges & lifted),
        arcs=outline.arcs,
    )


def _cut_back(
    points: tuple[Point, ...], fold: SeenFold, flat: int, view: View, thickness_mm: float
) -> tuple[Point, ...]:
    """The outline of a flat drawn sharp, back to the inside edge."""
    joint = _line_on(fold, view, near=flat == fold.near)
    back = drawn_setback_mm(joint, thickness_mm)
    (x0, y0), (x1, y1) = joint.on_first
    length = joint.length_mm
    ux, uy = (x1 - x0) / length, (y1 - y0) / length
    shape = Polygon(points)
    for low, high in stretches_at(fold.zone, 0.0, length):
        first, last, far = low - NEAR_MM, high + NEAR_MM, back + NEAR_MM
        corners = [(first, 0.0), (last, 0.0), (last, far), (first, far)]
        strip = Polygon([(x0 + s * ux + o * uy, y0 + s * uy - o * ux) for s, o in corners])
        shape = largest(shape.difference(strip))
    ring = shapely.geometry.polygon.orient(shape).exterior.coords[:-1]
    return tuple((float(x), float(y)) for x, y in ring)


def _line_on(fold: SeenFold, view: View, *, near: bool) -> Fold:
    """The fold with its tangent line on one flat only, that flat's sheet on the left."""
    line = _flat_points(fold.near_line if near else fold.far_line, view)
    out = fold.onward if near else -fold.far_onward
    if not _leads(line, view, out):
        line = (line[1], line[0])
    return Fold(
        first="", second="", on_first=line, on_second=line, turned_deg=fold.turned_deg, direction="up",
        inside_radius_mm=0.0,
    )  # fmt: skip


def _flat_points(spots: Array, view: View) -> tuple[Point, Point]:
    (x0, y0), (x1, y1) = view.points(spots).tolist()
    return (x0, y0), (x1, y1)


def _leads(line: tuple[Point, Point], view: View, out: Array) -> bool:
    """Does ``out`` point to the right of the line as seen in the view?"""
    (x0, y0), (x1, y1) = line
    return float(np.dot(out, view.x)) * (y1 - y0) - float(np.dot(out, view.y)) * (x1 - x0) > 0.0


def _fold(fold: SeenFold, sheet: Sheet, sides: Sides, views: dict[int, View]) -> Fold:
    first = _flat_points(fold.near_line, views[fold.near])
    second = _flat_points(fold.far_line, views[fold.far])
    zone = fold.zone
    if not _leads(first, views[fold.near], fold.onward):
        first, second = (first[1], first[0]), (second[1], second[0])
        length = float(np.linalg.norm(fold.near_line[1] - fold.near_line[0]))
        zone = tuple(_mirrored(piece, length) for piece in zone)
    if sides.flats[fold.near].seam:
        first = _moved_right(first, 0.5 * WIDTH_MM)
    if sides.flats[fold.far].seam:
        second = _moved_right(second, -0.5 * WIDTH_MM)
    return Fold(
        first=str(fold.near),
        second=str(fold.far),
        on_first=first,
        on_second=second,
        turned_deg=_plain(fold.turned_deg),
        direction="up" if sheet.up_side[fold.near] == fold.inner_side else "down",
        inside_radius_mm=_plain(fold.inside_radius_mm),
        zone=zone,
    )


def _moved_right(line: tuple[Point, Point], by_mm: float) -> tuple[Point, Point]:
    """A line moved to its right: the edge of a flat of no width lies half of it outside."""
    (x0, y0), (x1, y1) = line
    length = math.dist(*line)
    dx, dy = by_mm * (y1 - y0) / length, -by_mm * (x1 - x0) / length
    return (x0 + dx, y0 + dy), (x1 + dx, y1 + dy)


def _plain(value: float) -> float:
    """A drawn size without the last digits that reading adds."""
    return round(value, 6)


def _mirrored(piece: ZonePiece, length: float) -> ZonePiece:
    def ring(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((length - s, w) for s, w in reversed(points))

    return ZonePiece(outline=ring(piece.outline), windows=tuple(ring(window) for window in piece.windows))


def _fold_notes(sheet: Sheet) -> list[Finding]:
    """Bends whose inner and outer outlines differ, sharp ones, formed bridges, or no bends at all."""
    notes = [] if sheet.folds else [found("D231", where="part")]
    for fold in sheet.folds:
        if fold.uneven_mm:
            x, y, z = fold.near_line.mean(axis=0)
            notes.append(found("D228", where=f"bend near ({x:.1f}, {y:.1f}, {z:.1f})", apart=fold.uneven_mm))
    sharp = [fold for fold in sheet.folds if fold.inside_radius_mm < 0.01]
    if sharp:
        notes.append(found("D230", where="bends", count=len(sharp)))
    if sheet.bridges:
        angles = joined(", ", map(figure, sorted({f"{fold.turned_deg:.1f}" for fold in sheet.bridge_folds})))
        notes.append(
            found("D224", where="part", count=len(sheet.bridges), bends=len(sheet.bridge_folds), angles=angles)
        )
    return notes
