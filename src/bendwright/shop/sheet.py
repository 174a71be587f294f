"""The sheet that really lies on the rack."""

from __future__ import annotations

from dataclasses import dataclass
from statistics import fmean
from typing import Literal

from bendwright.shop.material import Material

Grain = Literal["along_x", "along_y", "unknown"]
FilmSides = Literal["none", "top", "bottom", "both", "unknown"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """Material with nominal and, where somebody measured, real thickness [mm].

    ``measured_thickness_mm`` holds the single readings (empty = not measured). ``grain`` is the rolling direction in
    blank coordinates. ``tensile_mpa`` from the mill certificate beats the material's typical value.
    """

    material: Material
    nominal_thickness_mm: float
    measured_thickness_mm: tuple[float, ...] = ()
    grain: Grain = "unknown"
    film_mm: float | None = None
    film_sides: FilmSides = "unknown"
    tensile_mpa: float | None = None
    batch: str = ""

    @property
    def thickness_mm(self) -> float:
        """Mean of the readings, else the nominal thickness [mm]."""
        return fmean(self.measured_thickness_mm) if self.measured_thickness_mm else self.nominal_thickness_mm

    @property
    def is_measured(self) -> bool:
        """True when at least one reading was taken."""
        return bool(self.measured_thickness_mm)

    @property
    def strength_mpa(self) -> float:
        """Tensile strength in use: certificate first, else the material's value [MPa]."""
        return self.tensile_mpa if self.tensile_mpa is not None else self.material.tensile_mpa
