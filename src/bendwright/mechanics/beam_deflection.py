"""How much do ram and bed bow, and what must the crown make up for?

Timoshenko beam on two supports at distance B, total load P spread evenly over a length a in the middle.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

from bendwright.findings import OutOfRangeError, found
from bendwright.mechanics.limits import not_negative, positive, within
from bendwright.mechanics.record import ModelRecord, WorkedExample


@dataclass(frozen=True, slots=True, kw_only=True)
class Bow:
    """A deflection [mm], its bending and its shear share."""

    bending_mm: float
    shear_mm: float

    @property
    def total_mm(self) -> float:
        """Both shares together [mm]."""
        return self.bending_mm + self.shear_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateBeam:
    """A plate on edge: thickness b, height h, span B [mm]; E and G [MPa]."""

    span_mm: float
    plate_thickness_mm: float
    plate_height_mm: float
    youngs_modulus_mpa: float = 210000.0
    shear_modulus_mpa: float = 80770.0

    @property
    def bending_stiffness_n_mm2(self) -> float:
        """E I with I = b h^3/12 [N mm2]."""
        return self.youngs_modulus_mpa * self.plate_thickness_mm * self.plate_height_mm**3 / 12.0

    @property
    def shear_stiffness_n(self) -> float:
        """G As with As = 5/6 b h [N]."""
        return self.shear_modulus_mpa * 5.0 / 6.0 * self.plate_thickness_mm * self.plate_height_mm


def _check(beam: PlateBeam, load_kn: float, loaded_length_mm: float) -> None:
    """Refuse sizes of 0 or less and a load longer than the span."""
    sizes = {field.name: getattr(beam, field.name) for field in fields(beam)}
    positive(**sizes, loaded_length_mm=loaded_length_mm)
    not_negative(load_kn=load_kn)
    if loaded_length_mm > beam.span_mm:
        values = {"loaded_mm": loaded_length_mm, "span_mm": beam.span_mm}
        raise OutOfRangeError(found("R108", where="loaded_length_mm", **values))


def mid_deflection(*, beam: PlateBeam, load_kn: float, loaded_length_mm: float) -> Bow:
    """Deflection at mid span: P (8B^3 - 4a^2 B + a^3)/(384 EI) + P (B - a/2)/(4 G As).

    a = B gives 5PB^3/384EI + PB/8GAs, a -> 0 gives PB^3/48EI + PB/4GAs. OutOfRangeError R108 for a > B.
    """
    _check(beam, load_kn, loaded_length_mm)
    P, B, a = 1000.0 * load_kn, beam.span_mm, loaded_length_mm
    bending = P * (8.0 * B**3 - 4.0 * a**2 * B + a**3) / (384.0 * beam.bending_stiffness_n_mm2)
    return Bow(bending_mm=bending, shear_mm=P * (B - a / 2.0) / (4.0 * beam.shear_stiffness_n))


def sag_over_load(*, beam: PlateBeam, load_kn: float, loaded_length_mm: float) -> Bow:
    """Mid deflection minus the deflection at the ends of the load: this beam's share of the crown.

    P a^2 (12B - 7a)/(384 EI) + P a/(8 G As). The crown needed is the sum of ram and bed.
    """
    _check(beam, load_kn, loaded_length_mm)
    P, B, a = 1000.0 * load_kn, beam.span_mm, loaded_length_mm
    bending = P * a**2 * (12.0 * B - 7.0 * a) / (384.0 * beam.bending_stiffness_n_mm2)
    return Bow(bending_mm=bending, shear_mm=P * a / (8.0 * beam.shear_stiffness_n))


def sag_at(*, beam: PlateBeam, load_kn: float, loaded_length_mm: float, from_middle_mm: float) -> Bow:
    """Mid deflection minus the deflection at a place under the load: the shape of the crown.

    [M0 z^2/2 - P z^4/(24 a)]/EI + P z^2/(2 a G As), M0 = P B/4 - P a/8, z from the middle, |z| <= a/2.
    """
    _check(beam, load_kn, loaded_length_mm)
    within(-loaded_length_mm / 2.0, loaded_length_mm / 2.0, from_middle_mm=from_middle_mm)
    P, B, a, z = 1000.0 * load_kn, beam.span_mm, loaded_length_mm, from_middle_mm
    middle_moment = P * B / 4.0 - P * a / 8.0
    bending = (middle_moment * z**2 / 2.0 - P * z**4 / (24.0 * a)) / beam.bending_stiffness_n_mm2
    return Bow(bending_mm=bending, shear_mm=P * z**2 / (2.0 * a * beam.shear_stiffness_n))


_PLATE = PlateBeam(span_mm=3000.0, plate_thickness_mm=60.0, plate_height_mm=1200.0)

RECORDS = (
    ModelRecord(
        id="beam_sag",
        question="How much do ram and bed bow under the load?",
        answer=lambda **inputs: sag_over_load(**inputs).total_mm,
        source="Timoshenko beam, simply supported, even load in the middle; As = 5/6 b h",
        provenance="derived",
        symbols={"P": "load_kn", "a": "loaded_length_mm", "B": "beam.span_mm"},
        examples=(
            WorkedExample(
                inputs={"beam": _PLATE, "load_kn": 1000.0, "loaded_length_mm": 1500.0},
                expected=0.12104,
                tolerance=0.0001,
                origin="derived",
                source="closed form, shares 0.0824 + 0.0387",
            ),
            WorkedExample(
                inputs={"beam": _PLATE, "load_kn": 1000.0, "loaded_length_mm": 3000.0},
                expected=0.27114,
                tolerance=0.0001,
                origin="derived",
                source="5 P L^3/384 EI + P L/8 G As",
            ),
        ),
        remarks="Shear is 28-35 % in usual brakes. Frames, tools and die holder give way too: calibrate by readings.",
    ),
)
