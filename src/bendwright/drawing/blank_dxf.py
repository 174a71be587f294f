"""The blank as a DXF file for the cutting machine.

Millimetres, scale 1, top face up, the blank's own frame. Layers: ``OUTLINE`` and ``OPENINGS`` are cut, ``BEND_UP`` and
``BEND_DOWN`` are the middle lines of the bends, ``NOTES`` holds texts and the grain arrow. Each contour is one closed
entity: outlines and windows polylines, round holes circles, slots polylines with true arcs.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from bendwright.findings import Finding, InputError, found
from bendwright.part.blank_model import BendLine, Blank
from bendwright.part.model import Circle, Feature, Header, Point, Slot

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

LAYERS = {
    "OUTLINE": (7, "CONTINUOUS"),
    "OPENINGS": (7, "CONTINUOUS"),
    "BEND_UP": (5, "DASHED"),
    "BEND_DOWN": (30, "DASHDOT"),
    "NOTES": (8, "CONTINUOUS"),
}


def blank_dxf(blank: Blank, header: Header, *, text: bool = True) -> bytes:
    """The DXF file (version AC1024, UTF-8), the same bytes for the same blank; ``text=False`` leaves NOTES empty.

    Raises InputError (D110) when the outline has fewer than three corners or a number is not finite.
    """
    problems = _problems(blank)
    if problems:
        raise InputError(problems)
    with _without_time_stamps():
        document = _draw(blank, header, text=text)
        stream = io.StringIO()
        document.write(stream)
    return stream.getvalue().encode(document.output_encoding, errors="dxfreplace")


def _draw(blank: Blank, header: Header, *, text: bool) -> Drawing:
    from ezdxf.filemanagement import new

    document = new("R2010", setup=["linetypes"], units=4)
    document.header["$MEASUREMENT"] = 1
    for name, (colour, linetype) in LAYERS.items():
        document.layers.add(name, color=colour, linetype=linetype)
    space = document.modelspace()
    space.add_lwpolyline(blank.outline, close=True, dxfattribs={"layer": "OUTLINE"})
    for window in blank.windows:
        space.add_lwpolyline(window, close=True, dxfattribs={"layer": "OPENINGS"})
    for feature in blank.features:
        _add_feature(space, feature)
    for line in blank.bend_lines:
        layer = "BEND_UP" if line.direction == "up" else "BEND_DOWN"
        for low, high in line.spans:
            space.add_line(_along(line, low), _along(line, high), dxfattribs={"layer": layer})
    if text:
        _add_notes(space, blank, header)
    return document


def _problems(blank: Blank) -> list[Finding]:
    """What keeps this blank from being drawn, as D110 findings."""
    problems = []
    if len(blank.outline) < 3:
        corners = f"a ring of {len(blank.outline)} corners"
        problems.append(
            found("D110", where="outline", name="the outline", came=corners, allowed="three corners or more")
        )
    numbers = {"outline": blank.outline, "windows": [point for window in blank.windows for point in window]}
    numbers["bend lines"] = [point for line in blank.bend_lines for point in (line.start, line.end)]
    for name, points in numbers.items():
        bad = [value for point in points for value in point if not math.isfinite(value)]
        if bad:
            problems.append(
                found("D110", where=name, name=f"a number of the {name}", came=bad[0], allowed="a finite number")
            )
    return problems


def _add_feature(space: Modelspace, feature: Feature) -> None:
    place = {"layer": "OPENINGS"}
    if isinstance(feature, Circle):
        space.add_circle(feature.centre, feature.diameter_mm / 2.0, dxfattribs=place)
    elif isinstance(feature, Slot):
        space.add_lwpolyline(_slot_corners(feature), format="xyb", close=True, dxfattribs=place)
    else:
        space.add_lwpolyline(feature.points, close=True, dxfattribs=place)


def _slot_corners(slot: Slot) -> list[tuple[float, float, float]]:
    """Corner points with bulge; bulge 1 is a half circle from that corner to the next."""
    half, radius = (slot.length_mm - slot.width_mm) / 2.0, slot.width_mm / 2.0
    cos, sin = math.cos(math.radians(slot.axis_deg)), math.sin(math.radians(slot.axis_deg))
    corners = ((-half, -radius, 0.0), (half, -radius, 1.0), (half, radius, 0.0), (-half, radius, 1.0))
    return [(slot.centre[0] + x * cos - y * sin, slot.centre[1] + x * sin + y * cos, bulge) for x, y, bulge in corners]


def _along(line: BendLine, distance: float) -> Point:
    length = math.dist(line.start, line.end)
    part = distance / length
    return (
        line.start[0] + part * (line.end[0] - line.start[0]),
        line.start[1] + part * (line.end[1] - line.start[1]),
    )


def _add_notes(space: Modelspace, blank: Blank, header: Header) -> None:
    """Part, revision, thickness and size below the blank, a label beyond each bend line's end, the grain arrow."""
    height = min(8.0, max(2.5, 0.02 * max(blank.width_mm, blank.height_mm)))
    place = {"layer": "NOTES"}
    lines = [
        f"Part {header.part_no}  revision {header.revision}",
        f"Thickness {blank.thickness_mm:.2f} mm  blank {blank.width_mm:.2f} x {blank.height_mm:.2f} mm  top face up",
    ]
    grain = {"along_x": (1.0, 0.0), "along_y": (0.0, 1.0)}.get(header.grain)
    if grain:
        lines.append(f"Grain {header.grain.replace('_', ' ')}")
    for row, words in enumerate(lines):
        text = space.add_text(words, height=height, dxfattribs=place)
        text.set_placement((0.0, -(2.0 + 1.6 * row) * height))
    if grain:
        start = (0.0, -(2.0 + 1.6 * len(lines)) * height) if header.grain == "along_x" else (-3.0 * height, 0.0)
        _add_arrow(space, start, grain, 8.0 * height, height)
    for line in blank.bend_lines:
        turn = math.degrees(math.atan2(line.end[1] - line.start[1], line.end[0] - line.start[0]))
        label = space.add_text(
            f"{line.bend_id} {line.direction} {line.turned_deg:g} turned",
            height=height,
            rotation=turn,
            dxfattribs=place,
        )
        label.set_placement(_along(line, math.dist(line.start, line.end) + height))


def _add_arrow(space: Modelspace, start: Point, way: Point, length: float, head: float) -> None:
    """A double-headed arrow from ``start`` in the unit direction ``way``."""
    end = (start[0] + length * way[0], start[1] + length * way[1])
    space.add_line(start, end, dxfattribs={"layer": "NOTES"})
    for tip, back in ((end, -1.0), (start, 1.0)):
        for side in (-0.4, 0.4):
            dx = back * head * way[0] - side * head * way[1]
            dy = back * head * way[1] + side * head * way[0]
            space.add_line(tip, (tip[0] + dx, tip[1] + dy), dxfattribs={"layer": "NOTES"})


@contextmanager
def _without_time_stamps() -> Iterator[None]:
    """Inside, drawings get no time stamps or random identifiers, so that equal blanks give equal files."""
    from ezdxf import options  # type: ignore[attr-defined]

    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before
