"""What a person decides about a DXF file; everything left out is found by the reader's own rules, and said."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from bendwright.drawing.reading import ReadLimits
from bendwright.part.model import Direction, Point

Unit = Literal["mm", "cm", "m", "inch"]
Role = Literal["outline", "bend", "bend up", "bend down", "extents", "etch", "ignore"]
Face = Literal["left", "right", "middle"]
MM_PER_UNIT: Mapping[Unit, float] = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "inch": 25.4}
GAP_MM = 0.05
CURVE_TOLERANCE_MM = 0.005
K_FACTOR = 0.44
"""K where nothing says otherwise: what drawing offices commonly leave it at (common practice)."""
RADIUS_OVER_THICKNESS = 1.0
"""Inside radius over thickness where nothing says otherwise (common practice for air bends in mild steel)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sender:
    """How one sender draws: what each layer, line type or colour number means (names with * allowed, in any case), its unit,
    the gaps it leaves, and the K-factor and inside radius its flats are made with. None = not known.
    """

    name: str = ""
    layers: Mapping[str, Role] = field(default_factory=dict)
    line_types: Mapping[str, Role] = field(default_factory=dict)
    colours: Mapping[int, Role] = field(default_factory=dict)
    unit: Unit | None = None
    gap_mm: float | None = None
    k_factor: float | None = None
    inside_radius_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BendWords:
    """What somebody says of one bend line: by its ``number`` or by a point ``at`` near it [mm in the drawing]."""

    number: int | None = None
    at: Point | None = None
    turned_deg: float | None = None
    direction: Direction | None = None
    inside_radius_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DxfChoices:
    """All choices of a reading. Places are in mm in the drawing's own frame.

    ``outline`` picks one of several outlines by its number; ``picked`` are points near lines that are bends whatever they are
    drawn in; ``left_out`` are numbers of bend lines that are none. ``bends`` and ``bend_table`` (a CSV file) say angle, direction and
    radius of single lines, ``default_...`` of all the others. ``texts_state`` says which angle the drawing's texts mean.
    ``length_mm`` and ``face`` belong to section profiles: the length of the part, and on which face its line was drawn, seen
    along the line from its start. Files larger than ``apart_from_mb`` are parsed in a process of their own under ``limits``.
    """

    unit: Unit | None = None
    gap_mm: float | None = None
    curve_tolerance_mm: float = CURVE_TOLERANCE_MM
    sender: Sender | None = None
    use_hidden: bool = False
    outline: int | None = None
    picked: tuple[Point, ...] = ()
    left_out: tuple[int, ...] = ()
    bends: tuple[BendWords, ...] = ()
    bend_table: Path | None = None
    template: Path | None = None
    texts_state: Literal["turned", "included"] = "turned"
    default_turned_deg: float | None = None
    default_direction: Direction | None = None
    thickness_mm: float | None = None
    inside_radius_mm: float | None = None
    k_factor: float | None = None
    length_mm: float | None = None
    face: Face = "left"
    limits: ReadLimits = ReadLimits()
    apart_from_mb: float = 4.0
