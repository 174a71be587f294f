"""Punches, dies and the pieces they are cut into.

Tool outlines are closed polygons (no repeated last point, counter-clockwise) in mm. Punch frame: nose tip at the
origin, y up toward the clamp, x toward the back gauge when mounted straight. Die frame: middle of the opening at the
origin, top surface y = 0, x toward the back gauge.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bendwright.shop.passport import Passport

Point = tuple[float, float]
OpeningMeasured = Literal["arc_tangents", "sharp_corners"]
PunchKind = Literal["straight", "gooseneck", "acute", "heavy", "flattening"]
DieKind = Literal["vee", "flattening"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ear:
    """A relieved end: only a foot ``foot_height_mm`` high reaches ``overhang_mm`` beyond the body.

    The overhang is part of the piece's length. ``side`` as the operator sees it.
    """

    side: Literal["left", "right"]
    foot_height_mm: float
    overhang_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """``count`` equal pieces of one tool. ``ground_height_mm`` is the measured height (None = not measured)."""

    length_mm: float
    count: int = 1
    ear: Ear | None = None
    ground_height_mm: float | None = None
    location: str = ""
    condition: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Punch:
    """A punch type and the pieces owned; ``height_mm`` is tip to clamp shoulder.

    ``max_line_load_kn_per_m`` may be unknown. A flattening punch has ``angle_deg`` 180 and no nose (radius 0). A
    gooseneck mounted straight has its throat open toward the operator (-x).
    """

    id: str
    name: str
    kind: PunchKind
    angle_deg: float
    nose_radius_mm: float
    height_mm: float
    outline: tuple[Point, ...]
    pieces: tuple[Piece, ...]
    max_line_load_kn_per_m: float | None = None
    reversible: bool = True
    location: str = ""
    passport: Passport


@dataclass(frozen=True, slots=True, kw_only=True)
class Die:
    """A die type and the pieces owned. ``opening_measured`` says between which points ``opening_mm`` is taken.

    A flattening die has no groove: opening, shoulder radius and groove depth are 0 and ``angle_deg`` is 180.
    """

    id: str
    name: str
    kind: DieKind
    opening_mm: float
    opening_measured: OpeningMeasured
    angle_deg: float
    shoulder_radius_mm: float
    height_mm: float
    groove_depth_mm: float
    outline: tuple[Point, ...]
    pieces: tuple[Piece, ...]
    max_line_load_kn_per_m: float | None = None
    location: str = ""
    passport: Passport


@dataclass(frozen=True, slots=True, kw_only=True)
class Cabinet:
    """All tools owned, in the order of the file."""

    punches: tuple[Punch, ...]
    dies: tuple[Die, ...]
    passport: Passport

    def punch(self, punch_id: str) -> Punch:
        """The punch of that id; KeyError when the cabinet has none."""
        return {punch.id: punch for punch in self.punches}[punch_id]

    def die(self, die_id: str) -> Die:
        """The die of that id; KeyError when the cabinet has none."""
        return {die.id: die for die in self.dies}[die_id]
