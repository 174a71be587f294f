"""The part as drawn: a tree of planar flanges joined by bends, in outside (mould-line) dimensions.

Nothing here depends on the inside radius the tools will give: outlines reach to where dimensions end, so outside
dimensions stay whatever the radius. Frames:

* Every flange has its own right-handed 2-D frame, seen from the *top* face (the face that is up when the root flange
  lies flat and unfolded). The root's frame is the part's frame.
* A bend sits on the directed nominal line ``start -> end`` of its parent, with the parent's material on its *left*
  (the parent outline is counter-clockwise) and the child on its right. In the child's frame the bend line is the x axis:
  x = 0 at ``end``, running toward ``start``; y points away from the parent; the child's nominal outline lies in y >= 0.
* ``turned_deg`` > 0 always; direction ``up`` folds the child toward the top face, ``down`` toward the bottom face.
* Curved edges are written as corners close enough together (``Arc``), so every outline is a polygon; the arcs beside it
  say which runs of corners lie on which circle, so that what leaves the program is the true curve again.
* ``zone`` tells the shape of a bend's own sheet where it is not simply the rectangle between the tangent lines: mitred
  ends, reliefs and windows that reach into the bend.
* ``measured_to``: up to 90 degrees legs end at the mould line; above it they end either there (``mould_line``) or at the
  tangent of the outer arc parallel to the other face (``outer_tangent``, the rule of DIN 6935; hems always use it).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

Point = tuple[float, float]
Direction = Literal["up", "down"]
LegMeasure = Literal["mould_line", "outer_tangent"]
ARC_CHORD_MM = 0.005
BendKind = Literal["bend", "hem_closed", "hem_open", "hem_teardrop"]
VisibleSide = Literal["top", "bottom", "both", "none", "unknown"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Arc:
    """A circle that an outline follows for a stretch: its corners there lie on it, one chord at most ``ARC_CHORD_MM`` inside."""

    centre: Point
    radius_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Circle:
    """A round hole, in the flange's frame [mm]."""

    centre: Point
    diameter_mm: float
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """A slot with round ends: overall length and width [mm], axis turned from x by ``axis_deg``."""

    centre: Point
    length_mm: float
    width_mm: float
    axis_deg: float = 0.0
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutout:
    """A window: its corner points [mm], and the circles its curved edges follow."""

    points: tuple[Point, ...]
    name: str = ""
    arcs: tuple[Arc, ...] = ()


Feature = Circle | Slot | Cutout


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """Allowed deviations of one outside dimension: ``minus_mm`` <= 0 <= ... ``plus_mm``; the aim is the middle."""

    minus_mm: float
    plus_mm: float

    @property
    def middle_mm(self) -> float:
        """Offset of the middle of the band from the nominal dimension [mm]."""
        return 0.5 * (self.minus_mm + self.plus_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class Flange:
    """One planar face: nominal outline (counter-clockwise, not closed) and features, in its own frame [mm].

    ``fit`` marks the outside dimension across this flange (perpendicular to its bends) as the one that must be right.
    """

    id: str
    outline: tuple[Point, ...]
    features: tuple[Feature, ...] = ()
    tolerance: Tolerance | None = None
    fit: bool = False
    arcs: tuple[Arc, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ZonePiece:
    """One piece of a bend's own sheet, unrolled: points (distance along the bend line from ``start`` [mm], share of the bend
    from the parent's tangent line (0) to the child's (1)); outline counter-clockwise in these two numbers.
    """

    outline: tuple[Point, ...]
    windows: tuple[tuple[Point, ...], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ArcHit:
    """What makes a small bend one hit of a large radius: the bend drawn, its place among ``count`` hits in order from the parent,
    inside radius [mm] and K-factor of the arc, and how far beyond the mould lines of first and last hit the drawing ends its
    legs [mm].
    """

    of: str
    number: int
    count: int
    arc_radius_mm: float
    k_factor: float
    beyond_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Bend:
    """One bend between two flanges. ``drawn_radius_mm`` is the drawing's inside radius (None = not stated).

    ``zone`` empty: the bend's sheet is the rectangle between the tangent lines wherever both flanges reach it.
    For open and teardrop hems ``hem_gap_mm`` is the inside gap; closed hems have none. ``hit`` is given to the small bends
    that make a large radius (``part.bumped``).
    """

    id: str
    parent: str
    child: str
    start: Point
    end: Point
    turned_deg: float
    direction: Direction
    measured_to: LegMeasure = "mould_line"
    drawn_radius_mm: float | None = None
    kind: BendKind = "bend"
    hem_gap_mm: float | None = None
    zone: tuple[ZonePiece, ...] = ()
    hit: ArcHit | None = None

    @property
    def included_deg(self) -> float:
        """Angle between the legs."""
        return 180.0 - self.turned_deg

    @property
    def line_mm(self) -> float:
        """Length of the nominal line [mm]."""
        return math.dist(self.start, self.end)


@dataclass(frozen=True, slots=True, kw_only=True)
class Header:
    """What the drawing says about itself. ``part_no`` and ``revision`` are mandatory; "" elsewhere means not stated."""

    part_no: str
    revision: str
    title: str = ""
    customer: str = ""
    drawing_unit: Literal["mm", "inch"] = "mm"
    visible_side: VisibleSide = "unknown"
    grain: Literal["along_x", "along_y", "any", "unknown"] = "unknown"
    material: str = ""
    thickness_mm: float | None = None
    quantity: int | None = None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part: header, flanges and bends. ``flanges[0]`` is the root; each other flange is the child of exactly one bend.

    Bends are listed parents first. ``profile`` is true when it was given as a profile (all bends parallel).
    """

    header: Header
    flanges: tuple[Flange, ...]
    bends: tuple[Bend, ...]
    profile: bool = False

    def flange(self, flange_id: str) -> Flange:
        """The flange of that id; KeyError when there is none."""
        return {flange.id: flange for flange in self.flanges}[flange_id]

    def bend(self, bend_id: str) -> Bend:
        """The bend of that id; KeyError when there is none."""
        return {bend.id: bend for bend in self.bends}[bend_id]
