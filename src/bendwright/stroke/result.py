"""What is known of one stroke, with the evidence for it. Complete, frozen, storable."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bendwright.quantities import Band
from bendwright.shop.practice import BendModel
from bendwright.stroke.crown import Crown

Point = tuple[float, float]
Polygon = tuple[Point, ...]
Verdict = Literal["ok", "watch", "no"]
StrokeKind = Literal["air_bend", "hem_prebend", "hem_flatten", "offset"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One limit held against one number: ``value`` against ``limit`` in ``unit``, with the rule in words."""

    name: str
    value: float
    limit: float | None
    unit: str
    verdict: Verdict
    rule: str
    source: str

    @property
    def percent(self) -> float | None:
        """Value in percent of the limit; None where the limit is unknown or 0."""
        return 100.0 * self.value / self.limit if self.limit else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Gauging:
    """Where the back gauge stands and what that means for the part.

    ``x_mm`` from the die centre line, ``r_mm`` from the die top surface to the finger's lower edge, ``fingers_z_mm`` relative
    to the left end of the bend line. ``kind``: a free straight edge, or the outer face of a formed flange. ``fingers_x_mm``:
    a place of its own for each finger on an edge aslant to the bend (empty = all at ``x_mm``). ``retract_mm``: how far the
    fingers must have drawn back before the sheet swings.
    """

    kind: Literal["edge", "face", "none"]
    flange_id: str
    x_mm: float
    r_mm: float
    fingers_z_mm: tuple[float, ...]
    contact_mm: float
    at: str
    holds: str
    takes_error: str
    verdict: Verdict
    fingers_x_mm: tuple[float, ...] = ()
    retract_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Handling:
    """What the operator does before this stroke: flip over, turn in the plane, change station, move the gauge."""

    flip: bool
    turn_deg: float
    station_change: bool
    gauge_move: bool
    seconds: float
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearance:
    """Smallest distance [mm] between the part and anything it must not touch (negative = overlap), where and when."""

    mm: float
    part_piece: str
    against: str
    at_turned_deg: float
    at_point: Point
    verdict: Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedPolygon:
    """A closed outline for a picture; ``role`` says how to draw it."""

    role: Literal["punch", "die", "punch_holder", "die_holder", "ram", "bed", "part", "part_start", "finger"]
    name: str
    points: Polygon


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionView:
    """The section through one stroke at the machine, true to scale [mm]; x toward the gauge, y up, die top y = 0."""

    polygons: tuple[NamedPolygon, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelNumbers:
    """What one model says of a bend by itself, nothing stated by the shop counted in [mm, degrees, kN/m]."""

    model: BendModel
    inside_radius_mm: float
    bend_deduction_mm: float
    springback_deg: float
    depth_mm: float
    mm_per_degree: float
    line_load_kn_per_m: Band


@dataclass(frozen=True, slots=True, kw_only=True)
class StrokePoint:
    """One moment of the stroke: depth, line load, included angle under the punch and after release."""

    depth_mm: float
    line_load_kn_per_m: float
    loaded_included_deg: float
    relaxed_included_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MechanicsOfStroke:
    """What the mechanics say beyond angle and depth: largest and last line load, true strain of the outer fibre, thickness left
    in the middle, shortest leg that stays on the die, the way there. ``flow_curve`` says which sheet was worked out.

    ``ram_deg_per_mm``: change of the loaded included angle for a sheet thicker by a millimetre when the ram's place is fixed to
    the die (it is touched earlier: - = closes); ``touch_deg_per_mm``: when the depth counts from first touch. None where
    the slope cannot be drawn.
    """

    flow_curve: str
    largest_line_load_kn_per_m: float
    end_line_load_kn_per_m: float
    outer_strain: float
    centre_thickness_mm: float
    shortest_leg_mm: float
    ram_deg_per_mm: float | None
    touch_deg_per_mm: float | None
    curve: tuple[StrokePoint, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """One stroke of the plan. Stations are numbered from 1; ``stack_from_mm`` is where the punch stack begins
    relative to the left end of the bend line (negative = overhang), seen by the operator. ``mechanics`` is None where the
    charts gave depth and force; ``models`` are both models by themselves. ``crown``: None where the bend has no place on a bed.
    ``with_bends`` are further bends on the same line made by the same stroke, or the second of a jog (kind ``offset``). The sheet is
    ``brought_in`` straight from the front, or along the bed; it is ``taken_off`` when the punch goes straight up, after a shift toward
    front or gauge, or along the bed.
    """

    number: int
    bend_id: str
    kind: StrokeKind
    direction: Literal["up", "down"]
    gauged_flange_side: Literal["parent", "child"]
    station: int
    punch_id: str
    punch_turned: bool
    die_id: str
    stack_length_mm: float
    stack_from_mm: float
    bend_length_mm: float
    target_included_deg: float
    loaded_included_deg: float
    springback_deg: float
    springback_source: str
    inside_radius_mm: float
    radius_source: str
    bend_allowance_mm: float
    bend_deduction_mm: float
    allowance_source: str
    depth_mm: float
    depth_source: str
    mm_per_degree: float
    force_kn: Band
    line_load_kn_per_m: Band
    mechanics: MechanicsOfStroke | None
    models: tuple[ModelNumbers, ...]
    crown: Crown | None
    loads: tuple[Check, ...]
    checks: tuple[Check, ...]
    gauging: Gauging
    handling: Handling
    clearance: Clearance
    whip_m_per_s: float
    cautions: tuple[str, ...]
    why: tuple[str, ...]
    view: SectionView
    with_bends: tuple[str, ...] = ()
    brought_in: Literal["straight", "along"] = "straight"
    taken_off: Literal["up", "shift", "along"] = "up"

    @property
    def bend_ids(self) -> tuple[str, ...]:
        """All bends the stroke makes, the one that gives it its name first."""
        return (self.bend_id, *self.with_bends)

    @property
    def bends_name(self) -> str:
        """What the stroke is called by its bends: ``b1 + b2``."""
        return " + ".join(self.bend_ids)
