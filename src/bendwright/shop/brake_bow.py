"""How a brake gives way under load, and what it has against that. ``None`` in any field means: not known, never assumed.

Places along the bed count from its left end [mm], to the operator's right.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Literal

CrownForm = Literal["parabola", "bed_bow", "unknown"]
Pair = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class BrakePlate:
    """Ram or bed as a plate on edge: thickness and height [mm], E [MPa], where it begins and ends and where it is held [mm].

    The ram is held by its cylinders or spindles, the bed by the frames or where its table rests on them.
    """

    thickness_mm: float | None = None
    height_mm: float | None = None
    youngs_modulus_mpa: float | None = None
    supports_mm: Pair | None = None
    ends_mm: Pair | None = None

    def missing(self, name: str) -> tuple[str, ...]:
        """Fields nobody has filled in, as ``name.height_mm``; ``name`` alone when there is nothing of the plate."""
        blank = [field.name for field in fields(self) if getattr(self, field.name) is None]
        return (name,) if len(blank) == len(fields(self)) else tuple(f"{name}.{field}" for field in blank)


@dataclass(frozen=True, slots=True, kw_only=True)
class BrakeBeams:
    """Both plates, and the give that the ram's own scales do not see.

    ``frame_stiffness_kn_per_mm`` is that of the left and the right side (frame, cylinder and their joints);
    ``tool_stiffness_kn_per_mm_per_m`` that of punch, die and holders together, for one metre of them.
    """

    ram: BrakePlate = BrakePlate()
    bed: BrakePlate = BrakePlate()
    frame_stiffness_kn_per_mm: Pair | None = None
    tool_stiffness_kn_per_mm_per_m: float | None = None

    def missing(self, *, plates: bool = True) -> tuple[str, ...]:
        """Fields nobody has filled in, as ``beams.ram.height_mm``; without ``plates`` only the stiffnesses."""
        own = (*self.ram.missing("beams.ram"), *self.bed.missing("beams.bed")) if plates else ()
        stiffness = [
            f"beams.{name}"
            for name in ("frame_stiffness_kn_per_mm", "tool_stiffness_kn_per_mm_per_m")
            if getattr(self, name) is None
        ]
        return (*own, *stiffness)


@dataclass(frozen=True, slots=True, kw_only=True)
class CrownDevice:
    """The crown of the bed: the form of its rise, from where to where it reaches, how high it can be set in its middle [mm],
    and how much one division of its scale lifts there [mm].
    """

    form: CrownForm = "unknown"
    span_mm: Pair | None = None
    largest_mm: float | None = None
    mm_per_division: float | None = None

    def missing(self) -> tuple[str, ...]:
        """Fields nobody has filled in, as ``crown_device.span_mm``."""
        blank = [field.name for field in fields(self) if getattr(self, field.name) in (None, "unknown")]
        return ("crown_device",) if len(blank) == len(fields(self)) else tuple(f"crown_device.{b}" for b in blank)


@dataclass(frozen=True, slots=True, kw_only=True)
class BowCalibration:
    """What ram and bed together were found to bow: under ``line_load_kn_per_m`` from one place to another (``load_mm``) the
    middle of that length gave way by ``sag_mm`` more than its ends.

    ``shear_share`` and ``supports_mm`` carry it over to other lengths where the sizes of the plates are not known.
    ``readings`` and ``spread_mm`` (standard deviation of the sag, None for one reading) say how sure it is.
    """

    date: str
    line_load_kn_per_m: float
    load_mm: Pair
    sag_mm: float
    shear_share: float | None = None
    supports_mm: Pair | None = None
    readings: int = 1
    spread_mm: float | None = None

    @property
    def stands_alone(self) -> bool:
        """True when it can be carried over to other lengths without the sizes of the plates."""
        return self.shear_share is not None and self.supports_mm is not None


UNKNOWN_BEAMS = BrakeBeams()
UNKNOWN_CROWN = CrownDevice()
