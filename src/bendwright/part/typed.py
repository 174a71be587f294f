"""A part as a person types it: legs, bends, edges, openings, notches, hems, still without frames.

Plain frozen records between the part file (or the quick-typed profile) and the builders ``profile_part`` and
``panel_part``. Each carries ``where``: the place it was typed, used in findings. Lengths in mm, angles in degrees.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bendwright.part.model import BendKind, Direction, Feature, LegMeasure, Point, Tolerance

Measured = Literal["outside", "inside", "top", "bottom"]
Corner = Literal["left", "right"]
CutShape = Literal["rectangle", "round"]


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedOpening:
    """A hole, slot or cut-out drawn about its own origin, and where that origin goes.

    ``along_mm`` counts from the left or right end, ``across_mm`` from the near edge (bend, or front of a base) or from
    the far edge (free edge, or back of a base) of the plate it is cut into.
    """

    shape: Feature
    along_mm: float
    along_from: Literal["left", "right"] = "left"
    across_mm: float
    across_from: Literal["near", "far"] = "near"
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedNotch:
    """A cut into an edge: ``width_mm`` along it beginning ``left_mm`` from its left end, ``depth_mm`` into the plate.

    Left is the left hand of somebody looking out across the edge, top face up. A round notch ends in a half circle.
    ``corner`` (left end of the edge, or right end) puts the notch at that end of the edge instead.
    """

    edge: str
    left_mm: float | None = None
    corner: Corner | None = None
    width_mm: float
    depth_mm: float
    shape: CutShape = "rectangle"
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedHem:
    """A hem: outside length of the folded-back piece; the inside gap of an open or teardrop hem."""

    kind: BendKind
    length_mm: float
    direction: Direction
    gap_mm: float | None = None
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedLeg:
    """One leg of a profile. ``measured`` says on which face the dimension was taken."""

    length_mm: float
    measured: Measured = "outside"
    tolerance: Tolerance | None = None
    fit: bool = False
    openings: tuple[TypedOpening, ...] = ()
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedBend:
    """One bend; ``measured_to`` None = mould line up to 90 degrees turned, outer tangent above."""

    direction: Direction
    turned_deg: float = 90.0
    radius_mm: float | None = None
    measured_to: LegMeasure | None = None
    where: str = ""

    @property
    def leg_measure(self) -> LegMeasure:
        """Where the legs of this bend end."""
        if self.measured_to is not None:
            return self.measured_to
        return "outer_tangent" if self.turned_deg > 90.0 else "mould_line"


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedRelief:
    """Cuts into the parent beside both ends of a bend that is shorter than its edge."""

    width_mm: float
    depth_mm: float
    shape: CutShape = "rectangle"


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedFlange:
    """A flange on one edge of its parent: looked at on its top face, unfolded, the bend at the bottom.

    ``leg_mm`` is the outside length. The bend runs from ``left_mm`` inside the edge's left end to ``right_mm`` inside
    its right end; ``taper_left_mm`` and ``taper_right_mm`` are how much the free edge falls short at each end
    (negative: it stands out). ``points`` replace the four corners (bend from (0, 0) to (width, 0) among them).
    ``hem`` kinds fold 180 degrees.
    """

    name: str
    edge: str
    leg_mm: float
    bend: TypedBend
    kind: BendKind = "bend"
    gap_mm: float | None = None
    left_mm: float = 0.0
    right_mm: float = 0.0
    width_mm: float | None = None
    taper_left_mm: float = 0.0
    taper_right_mm: float = 0.0
    points: tuple[Point, ...] = ()
    relief: TypedRelief | None = None
    notches: tuple[TypedNotch, ...] = ()
    openings: tuple[TypedOpening, ...] = ()
    tolerance: Tolerance | None = None
    fit: bool = False
    flanges: tuple[TypedFlange, ...] = ()
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedBase:
    """The base of a panel: corner points counter-clockwise seen from the top; ``rectangle`` names its four edges."""

    points: tuple[Point, ...]
    rectangle: bool = True
    notches: tuple[TypedNotch, ...] = ()
    openings: tuple[TypedOpening, ...] = ()
    tolerance: Tolerance | None = None
    fit: bool = False
    where: str = ""
