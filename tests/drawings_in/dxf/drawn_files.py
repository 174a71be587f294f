"""DXF files drawn for tests, by the DXF library alone: nothing of the program under test is used here."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import ezdxf
from ezdxf.document import Drawing

from bendwright.drawing.dxf.choices import DxfChoices
from bendwright.drawing.dxf.read_flat import read_dxf_flat
from bendwright.drawing.reading import Reading
from bendwright.findings import Finding, PartFileError
from bendwright.part.model import Header, Part

Point = tuple[float, float]
HEADER = Header(part_no="SM-31", revision="A")
TURNED = {"default_turned_deg": 90.0, "default_direction": "up", "thickness_mm": 2.0}


def document(*, units: int = 4, version: str = "R2010") -> Drawing:
    """A new drawing with line types."""
    return ezdxf.new(version, setup=["linetypes"], units=units)


def box(drawing: Drawing, x0: float, y0: float, x1: float, y1: float, **place: Any) -> None:
    """A rectangle of four lines."""
    corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
    for start, end in zip(corners, corners[1:] + corners[:1], strict=True):
        drawing.modelspace().add_line(start, end, dxfattribs=place)


def angle_bracket(*, units: int = 4, scale: float = 1.0, line: bool = True) -> Drawing:
    """A plate 100 x 60 with a round hole and, across its middle, a dashed line: an angle to be bent."""
    drawing = document(units=units)
    box(drawing, 0.0, 0.0, 100.0 * scale, 60.0 * scale)
    drawing.modelspace().add_circle((20.0 * scale, 15.0 * scale), 4.0 * scale)
    if line:
        drawing.modelspace().add_line(
            (0.0, 30.0 * scale), (100.0 * scale, 30.0 * scale), dxfattribs={"linetype": "DASHED"}
        )
    return drawing


def saved(drawing: Drawing, folder: Path, name: str = "flat.dxf") -> Path:
    """The drawing as a file."""
    path = folder / name
    drawing.saveas(path)
    return path


def read(drawing: Drawing | Path, folder: Path, **choices: Any) -> Reading:
    """The drawing written and read as a flat pattern."""
    path = drawing if isinstance(drawing, Path) else saved(drawing, folder)
    return read_dxf_flat(path, header=HEADER, choices=DxfChoices(**choices))


def part(drawing: Drawing | Path, folder: Path, **choices: Any) -> Part:
    """The part in a drawing bent by 90 degrees up from 2 mm sheet, unless the choices say otherwise."""
    return read(drawing, folder, **{**TURNED, **choices}).part


def refused(drawing: Drawing | Path, folder: Path, **choices: Any) -> list[Finding]:
    """The findings of a drawing that is refused."""
    try:
        read(drawing, folder, **choices)
    except PartFileError as error:
        return list(error.findings)
    raise AssertionError("the drawing was read")


def said(findings: Sequence[Finding], code: str) -> list[str]:
    """The sentences of that code."""
    return [item.sentence for item in findings if item.code == code]


def ring_area(points: Sequence[tuple[float, float, float]]) -> float:
    """Area of a closed polyline of (x, y, bulge), by shoelace and circle segments."""
    total = 0.0
    for (x, y, bulge), (u, v, _) in zip(points, [*points[1:], points[0]], strict=True):
        total += 0.5 * (x * v - u * y)
        if bulge:
            turned = 4.0 * math.atan(bulge)
            radius = math.dist((x, y), (u, v)) / (2.0 * abs(math.sin(0.5 * turned)))
            total += 0.5 * radius**2 * (turned - math.sin(turned))
    return abs(total)
