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
PunchKind = Literal["straight", "gooseneck", "acute", "heavy", "flattening", "offset"]
DieKind = Literal["vee", "flattening", "offset"]
NOT_BENDING = ("flattening", "offset")
"""Kinds of punches that air-bend nothing."""


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
class Offset:
    """What an offset tool makes in one stroke: the step from a face to the same face [mm], the turned angle of both bends [degrees], in
    sheets from the first thickness to the second [mm].
    """

    step_mm: float
    turned_deg: float
    thickness_mm: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Punch:
    """A punch type and the pieces owned; ``height_mm`` is tip to clamp shoulder.

    ``max_line_load_kn_per_m`` may be unknown. A flattening punch has ``angle_deg`` 180 and no nose (radius 0). A
    gooseneck mounted straight has its throat open toward the operator (-x). An offset punch has its low land, y = 0, toward the
    operator; ``angle_deg`` is the included angle of both bends, the nose that of the bend between low land and flank.
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
    offset: Offset | None = None
    passport: Passport


@dataclass(frozen=True, slots=True, kw_only=True)
class Die:
    """A die type and the pieces owned. ``opening_measured`` says between which points ``opening_mm`` is taken.

    A flattening die has no groove: opening, shoulder radius and groove depth are 0 and ``angle_deg`` is 180. An offset die has its high
    land, y = 0, toward the back gauge, the low land a step below; no groove; the shoulder radius is that between high land and flank.
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
    offset: Offset | None = None
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
