"""Do the numbers of a tool agree with each other and with its outline?"""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, radians

from bendwright.findings import Finding, found
from bendwright.said import figure
from bendwright.shop.tools import NOT_BENDING, Die, Offset, Piece, Point, Punch

_AGREE_MM = 0.1
_MIXED_HEIGHTS_MM = 0.02
_HEIGHT_DOUBT_MM = 2.0


def punch_findings(punch: Punch, where: str) -> Iterator[Finding]:
    """Everything that does not fit together in one punch."""
    if punch.kind not in NOT_BENDING and _nose_half_width_mm(punch) > _half_width_mm(punch.outline):
        yield found("S117", where=where, id=punch.id, nose=figure(f"{punch.nose_radius_mm:g}"))
        return
    yield from _outline_findings(punch.id, punch.outline, 0.0, punch.height_mm, where)
    if punch.kind not in NOT_BENDING and min(abs(x) for x, y in punch.outline if y < 1e-6) > _AGREE_MM:
        yield found("S114", where=where, id=punch.id)
    if punch.offset is not None:
        yield from _offset_findings(punch.id, punch.offset, punch.nose_radius_mm, punch.outline, where)
    yield from _piece_findings(punch.id, punch.pieces, punch.height_mm, where)


def die_findings(die: Die, where: str) -> Iterator[Finding]:
    """Everything that does not fit together in one die."""
    yield from _outline_findings(die.id, die.outline, -die.height_mm, 0.0, where)
    drawn = _drawn_opening_mm(die.outline) if die.kind == "vee" else None
    if die.opening_measured == "arc_tangents" and drawn is not None and abs(drawn - die.opening_mm) > _AGREE_MM:
        yield found("S115", where=where, id=die.id, drawn=figure(f"{drawn:.2f}"), opening=figure(f"{die.opening_mm:g}"))
    if die.offset is not None:
        turned = tuple((-x, -y) for x, y in die.outline)
        yield from _offset_findings(die.id, die.offset, die.shoulder_radius_mm, turned, where)
    yield from _piece_findings(die.id, die.pieces, die.height_mm, where)


def _offset_findings(
    tool: str, offset: Offset, radius_mm: float, outline: tuple[Point, ...], where: str
) -> Iterator[Finding]:
    """Step against radius and thickest sheet, and against the lands of the outline as a punch has them."""
    turned = radians(offset.turned_deg)
    least = (2.0 * radius_mm + offset.thickness_mm[1]) * (1.0 - cos(turned))
    if offset.step_mm < least - 1e-9:
        thickest, angle = offset.thickness_mm[1], offset.turned_deg
        sizes = {"step": offset.step_mm, "radius": radius_mm, "thickness": thickest, "turned": angle}
        texts = {name: figure(f"{size:g}") for name, size in sizes.items()}
        yield found("S143", where=where, id=tool, **texts, least=figure(f"{least:.2f}"))
    lands = [min((y for x, y in outline if way * x > 0.0), default=0.0) for way in (-1.0, 1.0)]
    if abs(lands[1] - lands[0] - offset.step_mm) > _AGREE_MM:
        yield found(
            "S144", where=where, id=tool, drawn=figure(f"{lands[1] - lands[0]:.2f}"), step=figure(f"{offset.step_mm:g}")
        )


def signed_area_mm2(outline: tuple[Point, ...]) -> float:
    """Area of a polygon, positive when it runs counter-clockwise [mm2]."""
    following = (*outline[1:], outline[0])
    return 0.5 * sum(x * v - u * y for (x, y), (u, v) in zip(outline, following, strict=True))


def crosses_itself(outline: tuple[Point, ...]) -> bool:
    """True when two sides that are not neighbours meet."""
    sides = list(zip(outline, (*outline[1:], outline[0]), strict=True))
    return any(
        _meet(*sides[first], *sides[second])
        for first in range(len(sides))
        for second in range(first + 2, len(sides))
        if not (first == 0 and second == len(sides) - 1)
    )


def groove_depth_of(outline: tuple[Point, ...]) -> float:
    """How far below y = 0 the outline is first met on the centre line x = 0 [mm]."""
    heights = [
        y + (v - y) * (0.0 - x) / (u - x) if u != x else max(y, v)
        for (x, y), (u, v) in zip(outline, (*outline[1:], outline[0]), strict=True)
        if min(x, u) <= 0.0 <= max(x, u)
    ]
    return -max(heights, default=0.0)


def _outline_findings(
    tool: str, outline: tuple[Point, ...], bottom: float, top: float, where: str
) -> Iterator[Finding]:
    """Outline against the height: it must span exactly from ``bottom`` to ``top`` and not cross itself."""
    low, high = min(y for _, y in outline), max(y for _, y in outline)
    if abs(low - bottom) > _AGREE_MM or abs(high - top) > _AGREE_MM:
        spans = {
            "low": figure(f"{low:g}"),
            "high": figure(f"{high:g}"),
            "bottom": figure(f"{bottom:g}"),
            "top": figure(f"{top:g}"),
        }
        yield found("S113", where=where, id=tool, **spans)
    if crosses_itself(outline):
        yield found("S118", where=where, id=tool)


def _piece_findings(tool: str, pieces: tuple[Piece, ...], height_mm: float, where: str) -> Iterator[Finding]:
    """Ears longer than their piece, and ground heights that differ or cannot be."""
    for piece in pieces:
        if piece.ear and (piece.ear.overhang_mm >= piece.length_mm or piece.ear.foot_height_mm >= height_mm):
            sizes = {"foot": figure(f"{piece.ear.foot_height_mm:g}"), "overhang": figure(f"{piece.ear.overhang_mm:g}")}
            yield found(
                "S119",
                where=where,
                id=tool,
                length=figure(f"{piece.length_mm:g}"),
                height=figure(f"{height_mm:g}"),
                **sizes,
            )
    ground = [piece.ground_height_mm for piece in pieces if piece.ground_height_mm is not None]
    for height in ground:
        if abs(height - height_mm) > _HEIGHT_DOUBT_MM:
            yield found("S122", where=where, id=tool, ground=figure(f"{height:g}"), height=figure(f"{height_mm:g}"))
    if ground and max(ground) - min(ground) > _MIXED_HEIGHTS_MM:
        step = f"{max(ground) - min(ground):.2f}"
        yield found(
            "S120", where=where, id=tool, low=figure(f"{min(ground):g}"), high=figure(f"{max(ground):g}"), step=step
        )


def _nose_half_width_mm(punch: Punch) -> float:
    """Half the width the nose arc needs to run tangentially into the flanks [mm]."""
    return punch.nose_radius_mm * cos(radians(punch.angle_deg / 2.0))


def _half_width_mm(outline: tuple[Point, ...]) -> float:
    """Largest distance from the centre line [mm]."""
    return max(abs(x) for x, _ in outline)


def _drawn_opening_mm(outline: tuple[Point, ...]) -> float | None:
    """Distance between the inner ends of the two lands at y = 0 [mm]; None when there are no two lands."""
    right = [x for x, y in outline if abs(y) < 1e-6 and x > 0.0]
    left = [x for x, y in outline if abs(y) < 1e-6 and x < 0.0]
    return min(right) - max(left) if right and left else None


def _meet(a: Point, b: Point, c: Point, d: Point) -> bool:
    """True when the segments a-b and c-d have a point in common."""
    if max(a[0], b[0]) < min(c[0], d[0]) or max(c[0], d[0]) < min(a[0], b[0]):
        return False
    if max(a[1], b[1]) < min(c[1], d[1]) or max(c[1], d[1]) < min(a[1], b[1]):
        return False
    return _side(a, b, c) * _side(a, b, d) <= 0.0 and _side(c, d, a) * _side(c, d, b) <= 0.0


def _side(a: Point, b: Point, p: Point) -> float:
    """Positive when p lies left of the line from a to b."""
    return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])
