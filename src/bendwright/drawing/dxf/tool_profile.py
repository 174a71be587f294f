"""The section of a punch or a die in a DXF file, drawn in true scale as it stands in the brake, to the words of its record.

The outline is the largest closed figure in unbroken lines. The tip of a punch is its lowest place, a round nose or a sharp one; the
groove of a die lies between its two lands, which are its highest lines. Outlines that are open, cross themselves or branch, and sizes
no tool has, are refused.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import shapely

from bendwright.drawing.dxf.choices import CURVE_TOLERANCE_MM, GAP_MM, MM_PER_UNIT, Unit
from bendwright.drawing.dxf.chord_arcs import with_arcs
from bendwright.drawing.dxf.curves import Curve
from bendwright.drawing.dxf.drawn import DrawnFile
from bendwright.drawing.dxf.exact import exact_curves
from bendwright.drawing.dxf.loops import Loops, loops_of
from bendwright.drawing.dxf.network import network
from bendwright.drawing.dxf.parse_apart import parsed
from bendwright.drawing.dxf.places import listed, place
from bendwright.drawing.dxf.rings import Ring, ring_of
from bendwright.drawing.dxf.roles import roles_of
from bendwright.drawing.dxf.understood import file_findings
from bendwright.drawing.dxf.units import HEADER_UNITS
from bendwright.drawing.reading import ReadLimits
from bendwright.findings import Finding, PartFileError, found
from bendwright.part.model import Point
from bendwright.quantities import format_number
from bendwright.said import figure, phrase, say
from bendwright.shop.record_words import RecordWords

HEIGHTS_MM = (15.0, 450.0)
LEVEL_MM = 0.01
AGREE_MM = 0.05
ACUTE_DEG = 60.0
LEAST_FLAT = 0.6
ToolKind = Literal["punches", "dies"]
_WHAT = {"punches": "punch", "dies": "die"}


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolProfile:
    """A section understood: the words of the record (sizes and outline) and the outline in the frame of tools [mm]."""

    words: RecordWords
    outline: tuple[Point, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sizes:
    """Origin of the tool's frame in the drawing, its kind, and what else the section says."""

    origin: Point
    kind: str
    angle_deg: float | None = None
    radius_mm: float = 0.0
    opening_mm: float | None = None


def read_tool_profile(
    path: Path,
    kind: ToolKind,
    *,
    unit: Unit | None = None,
    height_mm: float | None = None,
    limits: ReadLimits = ReadLimits(),
) -> ToolProfile:
    """The section in the file; ``unit`` beats the file's own, a punch is cut off ``height_mm`` above its tip, a die so far below its top.

    Raises PartFileError: what reading a DXF raises, D318 for curves that cannot be read, B261 open, B262 crossing, B263 sizes, B264.
    """
    drawn = parsed(path, apart_from_mb=4.0, limits=limits)
    said = file_findings(drawn, path.name)
    factor, name = _unit(drawn, unit, said, path.name)
    try:
        ring = _outline(drawn, factor, said, path.name)
        width, high = ring.size
        low_high = {"low": figure(f"{HEIGHTS_MM[0]:g}"), "high": figure(f"{HEIGHTS_MM[1]:g}")}
        if not HEIGHTS_MM[0] <= high <= HEIGHTS_MM[1]:
            sizes = {"width": figure(f"{width:.4g}"), "height": figure(f"{high:.4g}")}
            raise PartFileError(found("B263", where=path.name, unit=name, **sizes, **low_high))
        curves = with_arcs(ring.curves)
        read = _punch(curves, width, path.name) if kind == "punches" else _die(curves, width, path.name)
    except PartFileError as error:
        raise PartFileError([*said, *error.findings]) from None
    outline = _placed(curves, read.origin, kind, height_mm)
    words = _words(read, outline, kind)
    told = ", ".join(f"{key} {text}" for key, text in words.fields.items())
    said.append(
        found("B265", where=path.name, what=say("drawing.corners_unit", told=told, count=len(outline), unit=name))
    )
    return ToolProfile(words=words, outline=outline, findings=tuple(said))


def _unit(drawn: DrawnFile, unit: Unit | None, said: list[Finding], where: str) -> tuple[float, str]:
    """mm per drawing unit and its name: what is said, the header's, else mm (D311)."""
    if unit is not None:
        return MM_PER_UNIT[unit], unit
    header = HEADER_UNITS.get(drawn.unit_code or 0)
    if header is not None:
        return header[1], header[0]
    said.append(found("D311", where=where, unit="mm", size=phrase("as drawn")))
    return 1.0, "mm"


def _outline(drawn: DrawnFile, factor: float, said: list[Finding], where: str) -> Ring:
    """The largest closed figure. Raises B261 when the longest line is open, B262 when it crosses itself or branches."""
    taken = roles_of(drawn.styles, None, use_hidden=False)
    curves, bad = exact_curves(drawn.curves, mm_per_unit=factor, tolerance_mm=CURVE_TOLERANCE_MM)
    if bad + drawn.wild:
        raise PartFileError(found("D318", where=where, count=bad + drawn.wild))
    lines = [curve for curve in curves if taken[curve.style].role == "outline"]
    lines = lines or [curve for curve in curves if taken[curve.style].weak]
    net = network(lines, gap_mm=GAP_MM)
    loops = loops_of(net)
    made = [ring_of(loop, tolerance_mm=CURVE_TOLERANCE_MM) for loop in loops.loops]
    rings = sorted((ring for ring in made if ring), key=lambda item: -abs(item.area_mm2))
    longest = max(loops.chains, key=_length, default=())
    if not rings or _length(longest) > _length(rings[0].curves):
        if not longest:
            raise PartFileError(
                found("B264", where=where, what=phrase("tool"), why=phrase("nothing is drawn in unbroken lines"))
            )
        raise PartFileError(found("B261", where=where, places=_places((longest[0].start, longest[-1].end))))
    _check_simple(rings[0], loops, where)
    others = len(rings) + len(loops.chains) - 1
    if others:
        said.append(found("B266", where=where, count=others))
    return rings[0]


def _check_simple(ring: Ring, loops: Loops, where: str) -> None:
    """Raise B262 for an outline that crosses itself, or on which other lines end."""
    if not ring.polygon.is_valid:
        why = shapely.is_valid_reason(ring.polygon)
        spot = why[why.find("[") + 1 : why.find("]")].split()
        at: Iterable[Point] = [(float(spot[0]), float(spot[1]))] if len(spot) == 2 else ring.points[:1]
        raise PartFileError(found("B262", where=where, places=_places(at)))
    if loops.branches or loops.chords:
        at = loops.branches or [chord.start for chord in loops.chords]
        raise PartFileError(found("B262", where=where, places=_places(at)))


def _punch(curves: Sequence[Curve], width: float, where: str) -> _Sizes:
    """Tip, nose and included angle of a punch."""
    low = min(min(y for _, y in curve.corners()) for curve in curves)
    for curve in curves:
        if curve.centre is None and max(curve.start[1], curve.end[1]) <= low + LEVEL_MM:
            return _flat(curve, width, low, "punch", where)
    for i, curve in enumerate(curves):
        before, after = curves[i - 1], curves[(i + 1) % len(curves)]
        if curve.centre is None:
            if curve.start[1] <= low + LEVEL_MM and before.centre is None:
                return _nosed(curve.start, 0.0, before, curve, where)
        elif curve.centre[1] - curve.radius_mm <= low + LEVEL_MM and _passes_bottom(curve):
            tip = (curve.centre[0], curve.centre[1] - curve.radius_mm)
            return _nosed(tip, curve.radius_mm, before, after, where)
    raise PartFileError(
        found("B264", where=where, what=phrase("punch"), why=phrase("its lowest place is neither a tip nor a flat"))
    )


def _flat(level: Curve, width: float, height: float, what: str, where: str) -> _Sizes:
    """A tool for flattening, as wide at its end as anywhere (or nearly)."""
    if level.length_mm < LEAST_FLAT * width:
        why = "the flat at its end is much narrower than the tool; an offset tool is typed in by its step"
        raise PartFileError(found("B264", where=where, what=phrase(what), why=phrase(why)))
    return _Sizes(origin=(0.5 * (level.start[0] + level.end[0]), height), kind="flattening")


def _nosed(tip: Point, radius: float, before: Curve, after: Curve, where: str) -> _Sizes:
    """A punch whose flanks are the straight lines before and after its nose."""
    if before.centre is not None or after.centre is not None:
        raise PartFileError(
            found("B264", where=where, what=phrase("punch"), why=phrase("its flanks beside the tip are not straight"))
        )
    angle = _between(before.heading_rad(1.0) + math.pi, after.heading_rad(0.0))
    if not 10.0 <= angle < 179.0:
        why = say("drawing.flanks_apart", angle=angle)
        raise PartFileError(found("B264", where=where, what=phrase("punch"), why=why))
    return _Sizes(origin=tip, kind="acute" if angle < ACUTE_DEG else "straight", angle_deg=angle, radius_mm=radius)


def _passes_bottom(arc: Curve) -> bool:
    assert arc.centre is not None
    return 0.0 < _bottom_share(arc) < 1.0


def _bottom_share(arc: Curve) -> float:
    """The share of an arc (counter-clockwise) at which it is lowest; over 1 when it is nowhere level at its foot."""
    assert arc.centre is not None
    first = math.atan2(arc.start[1] - arc.centre[1], arc.start[0] - arc.centre[0])
    way = (-0.5 * math.pi - first) % (2.0 * math.pi)
    return way / arc.sweep_rad if arc.sweep_rad > 0.0 else 2.0


def _die(curves: Sequence[Curve], width: float, where: str) -> _Sizes:
    """Groove, shoulders and included angle of a die; without a groove a flat die."""
    top = max(max(y for _, y in curve.corners()) for curve in curves)
    level = [i for i, c in enumerate(curves) if c.centre is None and min(c.start[1], c.end[1]) >= top - LEVEL_MM]
    if len(level) == 1:
        return _flat(curves[level[0]], width, top, "die", where)
    if len(level) != 2:
        why = say("drawing.level_lines", count=len(level))
        raise PartFileError(found("B264", where=where, what=phrase("die"), why=why))
    right, left = sorted(level, key=lambda i: -curves[i].start[0])
    count = len(curves)
    groove = [curves[(right + step) % count] for step in range(1, (left - right) % count)]
    opening = curves[right].end[0] - curves[left].start[0]
    origin = (0.5 * (curves[right].end[0] + curves[left].start[0]), top)
    shoulders = [groove[0].radius_mm, groove[-1].radius_mm] if len(groove) >= 2 else [0.0, 1.0]
    if abs(shoulders[0] - shoulders[1]) > AGREE_MM:
        raise PartFileError(
            found("B264", where=where, what=phrase("die"), why=phrase("its two shoulders are not alike"))
        )
    flanks = [groove[1], groove[-2]] if shoulders[0] > 0.0 and len(groove) >= 4 else [groove[0], groove[-1]]
    if any(flank.centre is not None for flank in flanks):
        raise PartFileError(
            found("B264", where=where, what=phrase("die"), why=phrase("the flanks of its groove are not straight"))
        )
    angle = _between(flanks[0].heading_rad(0.0) + math.pi, flanks[1].heading_rad(0.0))
    return _Sizes(origin=origin, kind="vee", angle_deg=angle, radius_mm=shoulders[0], opening_mm=opening)


def _between(one_rad: float, other_rad: float) -> float:
    """The angle between two directions [degrees], at most 180."""
    off = math.degrees(one_rad - other_rad) % 360.0
    return min(off, 360.0 - off)


def _placed(ring: Sequence[Curve], origin: Point, kind: ToolKind, height_mm: float | None) -> tuple[Point, ...]:
    """The corners in the tool's frame, the tip of a round nose one of them, cut off at the height."""
    curves: list[Curve] = []
    for curve in ring:
        nose = (
            kind == "punches" and curve.centre is not None and abs(curve.centre[1] - curve.radius_mm - origin[1]) < 1e-6
        )
        curves += curve.cut([_bottom_share(curve)]) if nose and _passes_bottom(curve) else [curve]
    points = [(x - origin[0], y - origin[1]) for curve in curves for x, y in curve.corners()[:-1]]
    if height_mm is not None:
        low, high = (-1.0, height_mm) if kind == "punches" else (-height_mm, 1.0)
        polygon = shapely.Polygon(points)
        cut = polygon.intersection(shapely.box(polygon.bounds[0] - 1.0, low, polygon.bounds[2] + 1.0, high))
        parts = [part for part in shapely.get_parts(cut) if part.geom_type == "Polygon"]
        largest = max(parts, key=lambda part: float(part.area), default=polygon)
        points = [(x, y) for x, y in shapely.geometry.polygon.orient(largest).exterior.coords][:-1]
    rounded = [(round(x, 4) + 0.0, round(y, 4) + 0.0) for x, y in points]
    return tuple(point for i, point in enumerate(rounded) if point != rounded[i - 1])


def _words(read: _Sizes, outline: Sequence[Point], kind: ToolKind) -> RecordWords:
    """The fields the section fills in, as a person would type them, and its outline."""
    high = max(y for _, y in outline) - min(y for _, y in outline)
    fields = {"kind": _kind(read, outline, high)}
    if read.opening_mm is not None:
        fields |= {"opening": f"{_number(read.opening_mm)} mm", "opening_measured": "arc_tangents"}
    if read.angle_deg is not None:
        fields["included_angle"] = _number(read.angle_deg)
        radius = "nose_radius" if kind == "punches" else "shoulder_radius"
        fields[radius] = f"{_number(read.radius_mm)} mm"
    fields["height"] = f"{_number(high)} mm"
    corners = tuple((f"{_number(x, 4)} mm", f"{_number(y, 4)} mm") for x, y in outline)
    return RecordWords(fields=fields, outline=corners)


def _kind(read: _Sizes, outline: Sequence[Point], high: float) -> str:
    """A gooseneck is a punch whose centre line leaves its body below the clamp."""
    if read.kind not in ("straight", "acute"):
        return read.kind
    middle = shapely.LineString([(0.0, 0.02 * high), (0.0, 0.85 * high)])
    return read.kind if shapely.Polygon(outline).buffer(0.01).covers(middle) else "gooseneck"


def _number(value: float, decimals: int = 3) -> str:
    text = format_number(value, decimals=decimals)
    return text.rstrip("0").rstrip(".") if "." in text else text


def _length(curves: Sequence[Curve]) -> float:
    return sum(curve.length_mm for curve in curves)


def _places(points: Iterable[Point]) -> str:
    return listed(place(point) for point in points)
