"""The blank as DXF files: one for the cutting machine, one for people.

Millimetres, scale 1, top face up, the blank's own frame. Each contour is one closed entity with exact lines and arcs:
polylines with bulges, whole circles as circles. The cutting file holds ``OUTLINE``, ``OPENINGS`` and, to be etched, short
marks where each bend line meets an edge (``ETCH``); part, revision and sheet stand in its custom properties, so that there
is no text to cut. The file for people has no ``ETCH``; in it ``BEND_UP`` and ``BEND_DOWN`` are the middle lines of the
bends, ``NOTES`` holds texts and the grain arrow.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

from bendwright.findings import Finding, InputError, found
from bendwright.part.blank_model import BendLine, Blank
from bendwright.part.contour import Vertex, true_curve
from bendwright.part.model import Circle, Feature, Header, Point, Slot
from bendwright.said import phrase, say

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

CUT = {"OUTLINE": (7, "CONTINUOUS"), "OPENINGS": (7, "CONTINUOUS")}
CUTTING_LAYERS = {**CUT, "ETCH": (30, "CONTINUOUS")}
LAYERS = {**CUT, "BEND_UP": (5, "DASHED"), "BEND_DOWN": (30, "DASHDOT"), "NOTES": (8, "CONTINUOUS")}
"""Colour and line type of each layer."""
ETCH_MM = 5.0


def blank_dxf(blank: Blank, header: Header, *, text: bool = True) -> bytes:
    """The file for people (DXF version AC1024, UTF-8), the same bytes for the same blank; ``text=False`` leaves NOTES empty.

    Raises InputError (D110) when the outline has fewer than three corners or a number is not finite.
    """
    _check(blank)
    with _without_time_stamps():
        document = _document(blank, LAYERS)
        space = document.modelspace()
        for line in blank.bend_lines:
            layer = "BEND_UP" if line.direction == "up" else "BEND_DOWN"
            for low, high in line.spans:
                space.add_line(_along(line, low), _along(line, high), dxfattribs={"layer": layer})
        if text:
            _add_notes(space, blank, header)
        return _bytes(document)


def blank_cutting_dxf(blank: Blank, header: Header, *, etch: bool | None = None) -> bytes:
    """The file for the cutting machine (DXF version AC1024, UTF-8), the same bytes for the same blank.

    ``etch``: marks of ``ETCH_MM`` on the top face where the bend lines end; None = only where the drawing does not call the
    top face visible. Raises InputError (D110) as ``blank_dxf``.
    """
    _check(blank)
    marked = header.visible_side not in ("top", "both") if etch is None else etch
    with _without_time_stamps():
        document = _document(blank, CUTTING_LAYERS)
        for start, end in _etched(blank) if marked else ():
            document.modelspace().add_line(start, end, dxfattribs={"layer": "ETCH"})
        said = {"PART": header.part_no, "REVISION": header.revision, "MATERIAL": header.material}
        said |= {"THICKNESS_MM": f"{blank.thickness_mm:g}", "GRAIN": header.grain, "FACE_UP": "top"}
        for name, value in said.items():
            document.header.custom_vars.append(name, value)
        return _bytes(document)


def _document(blank: Blank, layers: Mapping[str, tuple[int, str]]) -> Drawing:
    """A new drawing with these layers and what is cut."""
    from ezdxf.filemanagement import new

    document = new("R2010", setup=["linetypes"], units=4)
    document.header["$MEASUREMENT"] = 1
    for name, (colour, linetype) in layers.items():
        document.layers.add(name, color=colour, linetype=linetype)
    space = document.modelspace()
    _add_contour(space, true_curve(blank.outline, blank.arcs), "OUTLINE")
    for window in blank.windows:
        _add_contour(space, true_curve(window, blank.arcs), "OPENINGS")
    for feature in blank.features:
        if isinstance(feature, Circle):
            space.add_circle(feature.centre, feature.diameter_mm / 2.0, dxfattribs={"layer": "OPENINGS"})
        else:
            _add_contour(space, _corners(feature), "OPENINGS")
    return document


def _bytes(document: Drawing) -> bytes:
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode(document.output_encoding, errors="dxfreplace")


def _add_contour(space: Modelspace, vertices: Sequence[Vertex], layer: str) -> None:
    """One closed contour: two half circles are a circle, everything else a polyline."""
    place = {"layer": layer}
    if len(vertices) == 2 and all(abs(abs(bulge) - 1.0) < 1e-9 for _, _, bulge in vertices):
        (x, y, _), (u, v, _) = vertices
        space.add_circle((0.5 * (x + u), 0.5 * (y + v)), 0.5 * math.dist((x, y), (u, v)), dxfattribs=place)
        return
    space.add_lwpolyline(vertices, format="xyb", close=True, dxfattribs=place)


def _etched(blank: Blank) -> list[tuple[Point, Point]]:
    """The marks of all bend lines, from the edges inward; one over the whole stretch where it is too short for two."""
    marks = []
    for line in blank.bend_lines:
        for low, high in line.spans:
            ends = [(low, high)] if high - low < 3.0 * ETCH_MM else [(low, low + ETCH_MM), (high, high - ETCH_MM)]
            marks += [(_along(line, first), _along(line, last)) for first, last in ends]
    return marks


def _check(blank: Blank) -> None:
    problems = _problems(blank)
    if problems:
        raise InputError(problems)


def _problems(blank: Blank) -> list[Finding]:
    """What keeps this blank from being drawn, as D110 findings."""
    problems = []
    if len(blank.outline) < 3:
        corners = say("drawing.ring_of", corners=len(blank.outline))
        problems.append(
            found(
                "D110",
                where="outline",
                name=phrase("the outline"),
                came=corners,
                allowed=phrase("three corners or more"),
            )
        )
    numbers: dict[str, Sequence[Sequence[float]]] = {"outline": blank.outline}
    numbers["windows"] = [point for window in blank.windows for point in window]
    numbers["holes"] = [_numbers(feature) for feature in blank.features]
    numbers["bend lines"] = [point for line in blank.bend_lines for point in (line.start, line.end)]
    for name, points in numbers.items():
        bad = [value for point in points for value in point if not math.isfinite(value)]
        if bad:
            problems.append(
                found(
                    "D110",
                    where=name,
                    name=say("drawing.number_of", what=phrase(name)),
                    came=bad[0],
                    allowed=phrase("a finite number"),
                )
            )
    return problems


def _numbers(feature: Feature) -> list[float]:
    if isinstance(feature, Circle):
        return [*feature.centre, feature.diameter_mm]
    if isinstance(feature, Slot):
        return [*feature.centre, feature.length_mm, feature.width_mm, feature.axis_deg]
    return [value for point in feature.points for value in point]


def _corners(feature: Feature) -> list[Vertex]:
    """A slot or window as corners with bulges; bulge 1 is a half circle from that corner to the next."""
    if not isinstance(feature, Slot):
        assert not isinstance(feature, Circle)
        return true_curve(feature.points, feature.arcs)
    half, radius = (feature.length_mm - feature.width_mm) / 2.0, feature.width_mm / 2.0
    cos, sin = math.cos(math.radians(feature.axis_deg)), math.sin(math.radians(feature.axis_deg))
    corners = [(-half, -radius, 0.0), (half, -radius, 1.0), (half, radius, 0.0), (-half, radius, 1.0)]
    x0, y0 = feature.centre
    if half < 1e-9:
        corners = corners[1::2]
    return [(x0 + x * cos - y * sin, y0 + x * sin + y * cos, bulge) for x, y, bulge in corners]


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
