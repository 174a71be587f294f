"""How does a beam on two supports bow under loads anywhere on it, beyond the supports too?

Timoshenko beam, piecewise exact. Macaulay brackets <z - x>^n are (z - x)^n for z > x and 0 before; a load P spread evenly
from z1 to z2 brings their mean over its length, written {z}^n (a single load where z1 = z2). a, b are the supports, A and B
their reactions, c the middle of a load; w is counted in the direction of the loads:

    B = sum P (c - a)/(b - a),  A = sum P - B
    M = A <z-a>^1 + B <z-b>^1 - sum P {z}^1
    w = (-A <z-a>^3/6 - B <z-b>^3/6 + sum P {z}^3/6)/EI + M/GAs + C1 z + C0  (C1, C0 from w(a) = w(b) = 0)

Left of a only loads stand; there the brackets of the loads count alone, which is the cantilever. Places outside the loads
and supports are allowed: the beam's free ends stay straight.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bendwright.mechanics.beam_deflection import Bow, PlateBeam
from bendwright.mechanics.limits import not_negative, positive
from bendwright.mechanics.record import ModelRecord, WorkedExample

Numbers = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class SupportedBeam:
    """Stiffness against bending E I [N mm2] and shear G As [N], and where its two supports stand along the bed [mm]."""

    bending_stiffness_n_mm2: float
    shear_stiffness_n: float
    left_support_mm: float
    right_support_mm: float

    @property
    def span_mm(self) -> float:
        """Distance of the supports [mm]."""
        return self.right_support_mm - self.left_support_mm

    def softer(self, *, ratio: float) -> SupportedBeam:
        """The same beam bowing ``ratio`` times as much."""
        positive(ratio=ratio)
        return replace(
            self,
            bending_stiffness_n_mm2=self.bending_stiffness_n_mm2 / ratio,
            shear_stiffness_n=self.shear_stiffness_n / ratio,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PartLoad:
    """A load [kN] spread evenly between two places along the bed [mm]; a single load where both are the same."""

    load_kn: float
    from_mm: float
    to_mm: float

    @property
    def middle_mm(self) -> float:
        """Where its resultant stands [mm]."""
        return 0.5 * (self.from_mm + self.to_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bowed:
    """Deflections [mm] at the places asked for, in the direction of the loads: bending and shear share."""

    bending_mm: Numbers
    shear_mm: Numbers

    @property
    def total_mm(self) -> Numbers:
        """Both shares together [mm]."""
        return self.bending_mm + self.shear_mm


def plate_on_supports(*, plate: PlateBeam, left_support_mm: float) -> SupportedBeam:
    """The plate of the centred formulas with its left support at a place along the bed."""
    return SupportedBeam(
        bending_stiffness_n_mm2=plate.bending_stiffness_n_mm2,
        shear_stiffness_n=plate.shear_stiffness_n,
        left_support_mm=left_support_mm,
        right_support_mm=left_support_mm + plate.span_mm,
    )


def reactions_kn(*, beam: SupportedBeam, loads: Sequence[PartLoad]) -> tuple[float, float]:
    """Forces of the left and the right support [kN], against the loads; negative where the beam would lift off."""
    _check(beam, loads)
    right = sum(load.load_kn * (load.middle_mm - beam.left_support_mm) for load in loads) / beam.span_mm
    return sum(load.load_kn for load in loads) - right, right


def moment_kn_m(*, beam: SupportedBeam, loads: Sequence[PartLoad], places_mm: Numbers) -> Numbers:
    """Bending moment [kN m] at the places, positive where the beam bows with the loads: A <z-a> + B <z-b> - sum P {z}."""
    left, right = reactions_kn(beam=beam, loads=loads)
    return _bracketed(beam, loads, left, right, np.asarray(places_mm, dtype=float), 1) / 1000.0


def deflection_mm(*, beam: SupportedBeam, loads: Sequence[PartLoad], places_mm: Numbers) -> Bowed:
    """Deflection [mm] at the places, 0 at both supports (see the head of this page).

    Example: one load P at mid span gives P B^3/(48 EI) + P B/(4 GAs) there. OutOfRangeError R101 for a beam without
    stiffness or span, R102 for a load below 0 or a load whose ends are swapped.
    """
    left, right = reactions_kn(beam=beam, loads=loads)
    ends = np.array([beam.left_support_mm, beam.right_support_mm])
    places = np.asarray(places_mm, dtype=float)
    shares = []
    for power, factor, stiffness in (
        (3, -1000.0 / 6.0, beam.bending_stiffness_n_mm2),
        (1, 1000.0, beam.shear_stiffness_n),
    ):
        free = _bracketed(beam, loads, left, right, places, power) * factor
        at_a, at_b = _bracketed(beam, loads, left, right, ends, power) * factor
        chord = at_a + (at_b - at_a) * (places - beam.left_support_mm) / beam.span_mm
        shares.append((free - chord) / stiffness)
    return Bowed(bending_mm=shares[0], shear_mm=shares[1])


def bow_between_mm(*, beam: SupportedBeam, loads: Sequence[PartLoad], from_mm: float, to_mm: float) -> Bow:
    """How much more the middle of a length gives way than its two ends [mm]: deflection there minus the mean of the ends."""
    places = np.array([from_mm, 0.5 * (from_mm + to_mm), to_mm])
    bowed = deflection_mm(beam=beam, loads=loads, places_mm=places)
    bending, shear = (float(w[1] - 0.5 * (w[0] + w[2])) for w in (bowed.bending_mm, bowed.shear_mm))
    return Bow(bending_mm=bending, shear_mm=shear)


def end_give_mm(
    *,
    left_support_mm: float,
    right_support_mm: float,
    forces_kn: tuple[float, float],
    stiffness_kn_per_mm: tuple[float, float],
    places_mm: Numbers,
) -> Numbers:
    """What the ends let the beam move as a whole [mm]: F/k at either end, a straight line between and beyond them."""
    positive(span_mm=right_support_mm - left_support_mm, left_kn_per_mm=stiffness_kn_per_mm[0])
    positive(right_kn_per_mm=stiffness_kn_per_mm[1])
    left, right = (force / k for force, k in zip(forces_kn, stiffness_kn_per_mm, strict=True))
    along = (np.asarray(places_mm, dtype=float) - left_support_mm) / (right_support_mm - left_support_mm)
    return np.asarray(left + (right - left) * along, dtype=float)


def _check(beam: SupportedBeam, loads: Sequence[PartLoad]) -> None:
    """Refuse a beam without stiffness or span, and loads below 0 or with their ends swapped."""
    positive(
        bending_stiffness_n_mm2=beam.bending_stiffness_n_mm2,
        shear_stiffness_n=beam.shear_stiffness_n,
        span_mm=beam.span_mm,
    )
    for load in loads:
        not_negative(load_kn=load.load_kn, loaded_length_mm=load.to_mm - load.from_mm)


def _bracketed(
    beam: SupportedBeam, loads: Sequence[PartLoad], left: float, right: float, places: Numbers, power: int
) -> Numbers:
    """A <z-a>^n + B <z-b>^n - sum P {z}^n [kN mm^n]."""
    total = left * _spread(places, beam.left_support_mm, beam.left_support_mm, power)
    total = total + right * _spread(places, beam.right_support_mm, beam.right_support_mm, power)
    for load in loads:
        total = total - load.load_kn * _spread(places, load.from_mm, load.to_mm, power)
    return total


def _spread(places: Numbers, start: float, end: float, power: int) -> Numbers:
    """Mean of <z - x>^n for x from ``start`` to ``end``: (<z-start>^(n+1) - <z-end>^(n+1))/((n+1)(end - start)).

    Written as the mean of u^n between u2 = <z-end> and u1 = <z-start>, times the covered part of the load, so that nothing
    is lost where the load is short: (u1^n + u1^(n-1) u2 + ... + u2^n)/(n+1).
    """
    far = np.maximum(places - start, 0.0)
    if end == start:
        return far**power
    near = np.maximum(places - end, 0.0)
    mean = sum((far ** (power - k) * near**k for k in range(power + 1)), np.zeros_like(far)) / (power + 1)
    covered = np.where(places >= end, 1.0, far / (end - start))
    return np.asarray(mean * covered, dtype=float)


_BEAM = plate_on_supports(
    plate=PlateBeam(span_mm=3000.0, plate_thickness_mm=60.0, plate_height_mm=1200.0), left_support_mm=0.0
)
_EI, _GAS = _BEAM.bending_stiffness_n_mm2, _BEAM.shear_stiffness_n


def _at_place(*, beam: SupportedBeam, load_kn: float, from_mm: float, to_mm: float, at_mm: float) -> float:
    """Deflection at one place under one load [mm]."""
    loads = (PartLoad(load_kn=load_kn, from_mm=from_mm, to_mm=to_mm),)
    return float(deflection_mm(beam=beam, loads=loads, places_mm=np.array([at_mm])).total_mm[0])


RECORDS = (
    ModelRecord(
        id="beam_any_load",
        question="How much do ram and bed bow under loads anywhere?",
        answer=_at_place,
        source="Timoshenko beam on two supports, Macaulay brackets; the single cases are in every table of beams",
        provenance="derived",
        symbols={"P": "load_kn", "z1": "from_mm", "z2": "to_mm", "z": "at_mm"},
        examples=(
            WorkedExample(
                inputs={"beam": _BEAM, "load_kn": 1000.0, "from_mm": 750.0, "to_mm": 2250.0, "at_mm": 1500.0},
                expected=0.3922,
                tolerance=0.0001,
                origin="derived",
                source="centred closed form, shares 0.2761 + 0.1161",
            ),
            WorkedExample(
                inputs={"beam": _BEAM, "load_kn": 100.0, "from_mm": 3500.0, "to_mm": 3500.0, "at_mm": 3500.0},
                expected=1e5 * 500.0**2 * 3500.0 / (3.0 * _EI) + 1e5 * 500.0 / _GAS * (3500.0 / 3000.0),
                tolerance=1e-9,
                origin="memory",
                source="tables of beams, load P on an overhang e beyond span L: P e^2 (L + e)/3EI; shear P e (1 + e/L)/GAs",
            ),
        ),
        remarks="The line load is taken as even along the bend; the sheet pushes a little less where the gap opens.",
    ),
)
