"""Models of a whole stroke: from the depth of the punch to everything one wants to know of the bend.

A model is a function from a case and a depth to a ``StrokeState``. Adding one is a line in ``STROKE_MODELS``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from bendwright.findings import OutOfRangeError
from bendwright.mechanics.air_bend import AirBend, stroke_curve
from bendwright.mechanics.bend_allowance import deduction_mm, din_6935_allowance_mm, setback_mm
from bendwright.mechanics.inside_radius import air_bend_radius_mm
from bendwright.mechanics.moment_curvature import FlowCurve
from bendwright.mechanics.ram_depth import contact_arm_mm, ram_depth_mm
from bendwright.mechanics.springback import air_bend_springback_deg
from bendwright.validation.bend_points import BendCase

MOST_TURNED_DEG = 150.0


class StrokeState(Protocol):
    """What a model says of a bend at one depth; None where it says nothing of force or strain."""

    @property
    def force_n_per_mm(self) -> float | None:
        """Line load [N/mm = kN/m]."""

    @property
    def loaded_included_deg(self) -> float:
        """Included angle under load."""

    @property
    def relaxed_included_deg(self) -> float:
        """Included angle after the punch has left."""

    @property
    def springback_deg(self) -> float:
        """Relaxed minus loaded."""

    @property
    def inside_radius_mm(self) -> float:
        """Inside radius of the relaxed bend."""

    @property
    def bend_deduction_mm(self) -> float:
        """Two outside legs to the mould line minus the flat length, relaxed bend."""

    @property
    def outer_strain(self) -> float | None:
        """Logarithmic strain of the outer fibre in the middle."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChainedState:
    """The answer of the closed models one after the other."""

    loaded_included_deg: float
    relaxed_included_deg: float
    springback_deg: float
    inside_radius_mm: float
    bend_deduction_mm: float
    force_n_per_mm: float | None = None
    outer_strain: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StrokeModel:
    """A model of a stroke by name (``short_name`` in plots); ``reason`` says why it is off where it is off."""

    id: str
    short_name: str
    title: str
    at_depth: Callable[[BendCase, float], StrokeState | None]
    reason: str


def chained_stroke(case: BendCase, depth_mm: float) -> ChainedState | None:
    """What follows from the closed models one after the other, the way a plan uses them.

    Inside radius from V, straight legs and an arc through ``ram_depth_mm`` (solved for the angle), springback of arc and
    legs from the sheet's own flow curve, deduction of DIN 6935 for the
    relaxed bend. The force is a band for the whole
    stroke, so nothing is said of it at a depth. None where the geometry ends.
    """
    radius, _ = air_bend_radius_mm(family=case.family, opening_mm=case.opening_mm, punch_radius_mm=case.nose_radius_mm)
    turned = _turned_deg(case, radius, depth_mm)
    if turned is None:
        return None
    springback = min(turned, closed_springback_deg(case, inside_radius_mm=radius, loaded_turned_deg=turned))
    return ChainedState(
        loaded_included_deg=180.0 - turned,
        relaxed_included_deg=180.0 - turned + springback,
        springback_deg=springback,
        inside_radius_mm=radius,
        bend_deduction_mm=din_deduction_mm(case, inside_radius_mm=radius, turned_deg=turned - springback),
    )


def mechanics_stroke(case: BendCase, depth_mm: float) -> StrokeState | None:
    """The whole stroke from the mechanics (``mechanics/air_bend.py``); None above the first and below the last point."""
    try:
        return stroke_curve(air_bend(case)).at_depth(depth_mm=depth_mm)
    except OutOfRangeError:
        return None


def air_bend(case: BendCase) -> AirBend:
    """A case in the words of the mechanics."""
    return AirBend(
        thickness_mm=case.thickness_mm,
        half_centre_mm=case.opening_mm / 2.0,
        shoulder_radius_mm=case.shoulder_radius_mm,
        nose_radius_mm=case.nose_radius_mm,
        curve=FlowCurve(law="swift", k_mpa=case.k_mpa, e0_or_b=case.eps0, n=case.n, yield_mpa=case.yield_mpa),
        youngs_modulus_mpa=case.youngs_modulus_mpa,
        poisson=case.poisson,
        friction=case.friction,
    )


def _turned_deg(case: BendCase, radius_mm: float, depth_mm: float) -> float | None:
    """Turned angle under load at a depth, by halving; None when the depth is not reached."""

    def depth_at(turned: float) -> float | None:
        try:
            return ram_depth_mm(loaded_turned_deg=turned, inside_radius_mm=radius_mm, **die_and_sheet(case))
        except OutOfRangeError:
            return None

    low, high = 0.0, MOST_TURNED_DEG
    for _ in range(60):
        middle = 0.5 * (low + high)
        reached = depth_at(middle)
        low, high = (middle, high) if reached is not None and reached < depth_mm else (low, middle)
    reached = depth_at(low)
    return low if reached is not None and abs(reached - depth_mm) < 1e-6 else None


def die_and_sheet(case: BendCase) -> dict[str, float]:
    """Half the distance of the arc centres, shoulder radius and thickness by their parameter names."""
    return {
        "half_centre_mm": case.opening_mm / 2.0,
        "shoulder_radius_mm": case.shoulder_radius_mm,
        "thickness_mm": case.thickness_mm,
    }


def closed_springback_deg(
    case: BendCase, *, inside_radius_mm: float, loaded_turned_deg: float, legs: bool = True, hardening: bool = True
) -> float:
    """Springback of the closed model with radius and angle under load; without legs or hardening on wish."""
    arm = contact_arm_mm(loaded_turned_deg=loaded_turned_deg, inside_radius_mm=inside_radius_mm, **die_and_sheet(case))
    return air_bend_springback_deg(
        thickness_mm=case.thickness_mm,
        inside_radius_mm=inside_radius_mm,
        turned_deg=loaded_turned_deg,
        youngs_modulus_mpa=case.youngs_modulus_mpa,
        poisson=case.poisson,
        yield_mpa=case.yield_mpa,
        leg_arm_mm=arm if legs else 0.0,
        law="swift" if hardening else None,
        k_mpa=case.k_mpa,
        e0_or_b=case.eps0,
        n=case.n,
    )


def din_deduction_mm(case: BendCase, *, inside_radius_mm: float, turned_deg: float) -> float:
    """Deduction of DIN 6935's allowance, both legs to the mould line."""
    setback = setback_mm(
        inside_radius_mm=inside_radius_mm,
        thickness_mm=case.thickness_mm,
        turned_deg=turned_deg,
        measured_to="mould_line",
    )
    allowance = din_6935_allowance_mm(
        inside_radius_mm=inside_radius_mm, thickness_mm=case.thickness_mm, turned_deg=turned_deg
    )
    return deduction_mm(setback_mm=setback, bend_allowance_mm=allowance)


STROKE_MODELS = (
    StrokeModel(
        id="closed models in a chain",
        short_name="closed models",
        title="radius from V, straight legs, springback of arc and legs, DIN 6935",
        at_depth=chained_stroke,
        reason=(
            "The radius is guessed from V and held over the whole stroke: too small early, too large near 90 degrees, "
            "and its errors run into angle and deduction; the springback takes the full moment over "
            "the whole arc; DIN's K is a rule for larger radii."
        ),
    ),
    StrokeModel(
        id="stroke_mechanics",
        short_name="mechanics",
        title="section law, strip between punch and die, springback of every section",
        at_depth=mechanics_stroke,
        reason=(
            "A strip of bent sections knows the load of a nose only by two constants, spread and dent, set on bends of this page "
            "and one pair for all (`benchmarks/fit_stroke_constants.py` says how they do on bends they were not set on). "
            "Alone, bends under a nose of up to t would take a dent of 0.12 to 0.38, strongly hardening sheet under a sharp nose "
            "most. Under noses of 1.5 to 2 t, from whose tip the sheet folds away to bear on two flanks, force stays short, the "
            "more the deeper; outer strain is short where strong sheet has lifted off a nose of t; springback is mostly a little "
            "low, up to 0.12 degrees. Not explained yet."
        ),
    ),
)
