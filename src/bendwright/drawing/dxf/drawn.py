"""A DXF file as plain numbers: curves, texts and what the file says of itself, before anything is made of them.

Lengths are in drawing units, whatever those are. An arc, circle or ellipse is the image of the unit circle: the points
centre + u cos a + v sin a for a from ``numbers[0]`` on through ``numbers[1]`` (radians, signed). A spline is a rational
B-spline: ``points`` its control points, ``numbers`` its knots. The record survives JSON, so a file can be
parsed in a process of its own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any, Literal

from bendwright.part.model import Point

CurveKind = Literal["line", "arc", "spline"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """How a curve is drawn: its layer, its line type by name and whether that is broken, its colour number, and whether
    its layer is off or frozen (or it is invisible itself).
    """

    layer: str = "0"
    line_type: str = ""
    broken: bool = False
    colour: int = 7
    hidden: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnCurve:
    """One curve. ``style`` is its place in ``DrawnFile.styles``. Line: two points. Arc: centre, u, v. Spline: control points."""

    kind: CurveKind
    style: int
    points: tuple[Point, ...]
    numbers: tuple[float, ...] = ()
    weights: tuple[float, ...] = ()
    degree: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnText:
    """A text from ``at`` to about ``to`` and the height of its letters; ``tag`` is the name of a block attribute, "" for plain text."""

    text: str
    at: Point
    to: Point
    height: float
    style: int
    tag: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnFile:
    """All of a file. ``unit_code`` and ``measurement`` are the header's numbers (None = not there).

    ``skipped`` counts entities that are no curves by kind; ``repaired`` says what was wrong with the file, ``cut`` that its end
    is missing; ``wild`` counts curves with impossible numbers, ``tilted`` those that do not lie in the drawing plane.
    """

    curves: tuple[DrawnCurve, ...]
    texts: tuple[DrawnText, ...]
    styles: tuple[Style, ...]
    unit_code: int | None = None
    measurement: int | None = None
    skipped: tuple[tuple[str, int], ...] = ()
    on_paper: int = 0
    repaired: str = ""
    cut: bool = False
    wild: int = 0
    tilted: int = 0


def drawn_to_data(drawn: DrawnFile) -> dict[str, Any]:
    """The record as plain data for JSON: lists instead of records and tuples."""
    return dict(_plain(drawn))


def drawn_from_data(data: Mapping[str, Any]) -> DrawnFile:
    """The record out of plain data."""
    rows = {"curves": DrawnCurve, "texts": DrawnText, "styles": Style}
    made: dict[str, Any] = {key: _tuples(value) for key, value in data.items() if key not in rows}
    made |= {key: tuple(_record(kind, row) for row in data[key]) for key, kind in rows.items()}
    return DrawnFile(**made)


def _plain(value: Any) -> Any:
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if isinstance(value, DrawnFile):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Style | DrawnCurve | DrawnText):
        return [_plain(getattr(value, field.name)) for field in fields(value)]
    return value


def _record(kind: type[Any], row: list[Any]) -> Any:
    return kind(**{field.name: _tuples(item) for field, item in zip(fields(kind), row, strict=True)})


def _tuples(value: Any) -> Any:
    return tuple(_tuples(item) for item in value) if isinstance(value, list | tuple) else value
