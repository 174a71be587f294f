"""The press brake that stands in the shop. ``None`` in any field means: not known, never assumed."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Literal

from bendwright.shop.brake_bow import UNKNOWN_BEAMS, UNKNOWN_CROWN, BowCalibration, BrakeBeams, CrownDevice
from bendwright.shop.passport import Passport

Drive = Literal["hydraulic", "electric", "hybrid", "mechanical", "unknown"]
Crowning = Literal["none", "wedge_hand", "wedge_powered", "hydraulic", "unknown"]
PunchHolding = Literal["one_rail", "clamps", "unknown"]
OF_THE_BOW = ("crown_device", "beams", "bow_calibration")
"""Fields that only say how the brake bows; ``missing_bow_fields`` lists what of them is not known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BackGauge:
    """Axis ranges and bodies of the back gauge [mm]; X from the die centre line, R from the die top surface.

    The fingers sit on a cross beam: its front face is ``beam_behind_mm`` behind their stop faces, its lower and upper edge
    ``beam_height_mm`` over their lower edge (below it: negative). ``retract_mm`` is how far they can draw back while the
    ram is coming down (0 = not at all), ``fingers_apart_mm`` the least and the largest distance between their middles.
    ``finger_contact_mm`` is the straight edge one finger needs (None = as the shop's practice says).
    """

    x_range_mm: tuple[float, float] | None = None
    x_repeat_mm: float | None = None
    r_range_mm: tuple[float, float] | None = None
    z_range_mm: tuple[float, float] | None = None
    independent_x: bool | None = None
    fingers: int | None = None
    finger_width_mm: float | None = None
    finger_height_mm: float | None = None
    finger_length_mm: float | None = None
    beam_behind_mm: float | None = None
    beam_height_mm: tuple[float, float] | None = None
    retract_mm: float | None = None
    fingers_apart_mm: tuple[float, float] | None = None
    finger_contact_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ClampPiece:
    """Punch clamps of one length, and how many of them there are."""

    length_mm: float
    count: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class PunchClamps:
    """Clamps that hold the punch, each set anywhere along the bed; the walls of a box may stand in the gaps between them.

    ``height_mm`` from the underside of the ram (or of the rail) to the punch shoulder, ``half_depth_mm`` from the tool
    centre line.
    """

    height_mm: float
    half_depth_mm: float
    pieces: tuple[ClampPiece, ...]

    @property
    def total_length_mm(self) -> float:
        """Length of all clamps side by side [mm]."""
        return sum(piece.length_mm * piece.count for piece in self.pieces)


@dataclass(frozen=True, slots=True, kw_only=True)
class Brake:
    """One press brake.

    ``open_height_mm`` is between bed and ram with no tools or holders; ``punch_holder_height_mm`` is the height of a rail
    under the whole ram, 0 where there is none; ``ram_half_depth_mm`` the half depth of ram and rail from the tool centre
    line, and of clamps whose own is not known. ``punch_clamps`` hang under that one by one (None = one rail, or not known:
    see ``punch_held``); the die holder is ``die_holder_width_mm`` wide in all, its middle under the tool centre line.
    """

    id: str
    name: str
    year: int | None = None
    drive: Drive = "unknown"
    rated_force_kn: float | None = None
    min_force_kn: float | None = None
    bed_length_mm: float | None = None
    between_frames_mm: float | None = None
    throat_mm: float | None = None
    open_height_mm: float | None = None
    stroke_mm: float | None = None
    table_width_mm: float | None = None
    approach_mm_per_s: float | None = None
    bend_mm_per_s: float | None = None
    return_mm_per_s: float | None = None
    y_repeat_mm: float | None = None
    gauge: BackGauge
    crowning: Crowning = "unknown"
    crowning_scale: str | None = None
    crown_device: CrownDevice = UNKNOWN_CROWN
    beams: BrakeBeams = UNKNOWN_BEAMS
    bow_calibration: BowCalibration | None = None
    punch_held: PunchHolding = "unknown"
    punch_holder_height_mm: float | None = None
    punch_clamps: PunchClamps | None = None
    die_holder_height_mm: float | None = None
    die_holder_width_mm: float | None = None
    ram_half_depth_mm: float | None = None
    guard: str | None = None
    axes_order: tuple[str, ...] | None = None
    hour_meter_h: float | None = None
    rate_per_h: float | None = None
    passport: Passport

    def missing_fields(self) -> tuple[str, ...]:
        """Names of the fields nobody has filled in, gauge fields as ``gauge.x_range_mm``."""
        own = [f.name for f in fields(self) if getattr(self, f.name) in (None, "unknown") and f.name not in OF_THE_BOW]
        gauge = [f"gauge.{f.name}" for f in fields(self.gauge) if getattr(self.gauge, f.name) is None]
        needless = {
            "crowning_scale": self.crowning == "none",
            "punch_held": self.punch_clamps is not None,
            "punch_clamps": self.punch_held != "clamps",
            "die_holder_width_mm": self.die_holder_height_mm == 0.0,
            "gauge.fingers_apart_mm": self.gauge.fingers == 1,
            "gauge.finger_contact_mm": True,
        }
        return tuple(name for name in (*own, *gauge) if not needless.get(name, False))

    def missing_bow_fields(self) -> tuple[str, ...]:
        """Names of the fields of bow and crown nobody has filled in. A measured bow makes up for the sizes of the plates."""
        device = () if self.crowning in ("none", "unknown") else self.crown_device.missing()
        calibrated = self.bow_calibration is not None and self.bow_calibration.stands_alone
        return (*device, *self.beams.missing(plates=not calibrated))

    @property
    def line_load_limit_kn_per_m(self) -> float | None:
        """Rated force spread over 60 % of the distance between the frames [kN/m] (common practice, no source)."""
        if self.rated_force_kn is None or self.between_frames_mm is None:
            return None
        return self.rated_force_kn / (0.6 * self.between_frames_mm / 1000.0)

    @property
    def above_punch_mm(self) -> float | None:
        """Height of rail and clamps between ram and punch shoulder [mm]; None where that of the rail is not known."""
        if self.punch_holder_height_mm is None:
            return None
        return self.punch_holder_height_mm + (0.0 if self.punch_clamps is None else self.punch_clamps.height_mm)
