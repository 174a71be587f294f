"""In which unit was it drawn? The header is asked, and not believed when the geometry says otherwise.

The rule. Each unit that may be meant is held against what a sheet part can be; each of these speaks against it once:

* the longer side would be under 4 mm or over 6 m;
* more than half of the round holes and corners (arcs of 80 degrees and more) would be under 0.8 mm or over 100 mm across;
* with extents lines, the bend zones would be under 0.3 or over 30 thicknesses wide (without a thickness: under 0.3 mm or over
  60 mm).

The header's unit stays unless more speaks against it than against another one; mm and inch are tried beside it. Without a unit
in the header mm is tried first. ``unit=`` of the choices beats all of this.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from bendwright.drawing.dxf.choices import MM_PER_UNIT, Unit
from bendwright.drawing.dxf.curves import Curve
from bendwright.findings import Finding, found
from bendwright.said import joined, say

HEADER_UNITS: dict[int, tuple[str, float]] = {
    1: ("inch", 25.4),
    2: ("foot", 304.8),
    4: ("mm", 1.0),
    5: ("cm", 10.0),
    6: ("m", 1000.0),
    9: ("thousandth of an inch", 0.0254),
    13: ("micrometre", 0.001),
    14: ("dm", 100.0),
}
ROUND_RAD = math.radians(80.0)
SIDE_MM = (4.0, 6000.0)
HOLE_MM = (0.8, 100.0)
ZONE_MM = (0.3, 60.0)
ZONE_THICKNESSES = (0.3, 30.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """What is known of the drawing before its unit is: sides and hole diameters and zone widths in drawing units."""

    width: float
    height: float
    holes: tuple[float, ...] = ()
    zones: tuple[float, ...] = ()


def measured(curves: Sequence[Curve], zones: Sequence[float] = ()) -> Drawn:
    """What the outline's curves (in drawing units) show."""
    ends = [point for curve in curves for point in (curve.start, curve.at(0.5), curve.end)]
    xs, ys = [x for x, _ in ends], [y for _, y in ends]
    holes = tuple(2.0 * curve.radius_mm for curve in curves if abs(curve.sweep_rad) >= ROUND_RAD)
    width, height = (max(xs) - min(xs), max(ys) - min(ys)) if ends else (0.0, 0.0)
    return Drawn(width=width, height=height, holes=holes, zones=tuple(zones))


def unit_of(
    drawn: Drawn, *, unit_code: int | None, wanted: Unit | None, thickness_mm: float | None, where: str
) -> tuple[float, list[Finding]]:
    """mm per drawing unit, and what there is to say about it (D310 another unit than the header's, D311 no unit there)."""
    if wanted:
        return MM_PER_UNIT[wanted], []
    header = HEADER_UNITS.get(unit_code or 0)
    tried = dict.fromkeys([*([header] if header else []), ("mm", 1.0), ("inch", 25.4)])
    against = {name: _against(drawn, factor, thickness_mm) for name, factor in tried}
    name, factor = min(tried, key=lambda item: len(against[item[0]]))
    if header and name != header[0]:
        size, other = _size(drawn, header[1]), _size(drawn, factor)
        why = joined("; ", against[header[0]])
        values = {"header": header[0], "size": size, "why": why, "unit": name, "other": other}
        return factor, [found("D310", where=where, **values)]
    if not header:
        return factor, [found("D311", where=where, unit=name, size=_size(drawn, factor))]
    odd = against[name]
    if odd:
        return factor, [found("D312", where=where, unit=name, size=_size(drawn, factor), why=joined("; ", odd))]
    return factor, []


def _against(drawn: Drawn, factor: float, thickness_mm: float | None) -> list[str]:
    """What speaks against this unit, in words."""
    out = []
    side = max(drawn.width, drawn.height) * factor
    if not SIDE_MM[0] <= side <= SIDE_MM[1]:
        out.append(say("drawing.longer_side", side=side))
    odd = [hole * factor for hole in drawn.holes if not HOLE_MM[0] <= hole * factor <= HOLE_MM[1]]
    if 2 * len(odd) > len(drawn.holes):
        across = statistics.median(odd)
        out.append(say("drawing.holes_across", odd=len(odd), count=len(drawn.holes), across=across))
    low, high = (limit * thickness_mm for limit in ZONE_THICKNESSES) if thickness_mm else ZONE_MM
    wide = [zone * factor for zone in drawn.zones if not low <= zone * factor <= high]
    if 2 * len(wide) > len(drawn.zones):
        out.append(say("drawing.zones_wide", count=len(wide), width=statistics.median(wide)))
    return out


def _size(drawn: Drawn, factor: float) -> str:
    return say("drawing.box", width=drawn.width * factor, height=drawn.height * factor)
