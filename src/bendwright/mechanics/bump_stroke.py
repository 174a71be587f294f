"""How deep must one small hit go, and how much of it springs back?

A small bend is not the beginning of a sharp one: its arc is as long as that of a large bend (a quarter of the opening), so
its radius is large, and nearly all of its springback is that of the legs, which does not shrink with the angle.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import radians

from bendwright.findings import OutOfRangeError, found
from bendwright.mechanics.bump_bending import HitStroke
from bendwright.mechanics.limits import not_negative, positive, within
from bendwright.mechanics.moment_curvature import HardeningLaw
from bendwright.mechanics.ram_depth import contact_arm_mm, ram_depth_mm
from bendwright.mechanics.record import ModelRecord, WorkedExample
from bendwright.mechanics.springback import air_bend_springback_deg

ARC_OVER_OPENING = 0.25
"""Length of the arc over the opening in small air bends: 0.22 to 0.32 in finite-element bends turned 10 to 35 degrees."""

CLOSED_MODEL = "closed model, arc of a quarter of the opening"
"""How sources name it."""

_ROUNDS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosedHit:
    """Sheet, die and nose of a hit, answering for its stroke by the closed air-bend model.

    Calling it with the angle to leave [degrees] gives the ``HitStroke``; ``springback_deg`` fixed by the shop beats the
    model. Against finite-element bends turned 10 to 35 degrees: springback 5-18 % too large, depth within 5 %.
    """

    thickness_mm: float
    half_centre_mm: float
    shoulder_radius_mm: float
    nose_radius_mm: float
    youngs_modulus_mpa: float
    poisson: float
    yield_mpa: float
    law: HardeningLaw | None = None
    k_mpa: float | None = None
    e0_or_b: float | None = None
    n: float | None = None
    springback_deg: float | None = None

    def __call__(self, turned_deg: float, /) -> HitStroke:
        """Loaded angle = angle to leave + springback at the loaded angle, by repeated insertion; then the depth.

        OutOfRangeError W103 when the angle would have to grow without end, R107 when no straight leg is left.
        """
        within(0.0, 90.0, turned_deg=turned_deg)
        positive(turned_deg=turned_deg)
        loaded = turned_deg + (self.springback_deg or 0.0)
        for _ in range(_ROUNDS if self.springback_deg is None else 0):
            better = turned_deg + self.springback_of(loaded_turned_deg=loaded)
            if abs(better - loaded) < 1e-9:
                break
            if better > 120.0:
                raise OutOfRangeError(found("W103", where="turned_deg", turned_deg=turned_deg))
            loaded = better
        depth = ram_depth_mm(
            loaded_turned_deg=loaded,
            half_centre_mm=self.half_centre_mm,
            inside_radius_mm=self.radius_mm(loaded_turned_deg=loaded),
            thickness_mm=self.thickness_mm,
            shoulder_radius_mm=self.shoulder_radius_mm,
        )
        return HitStroke(turned_deg=turned_deg, loaded_turned_deg=loaded, depth_mm=depth, source=CLOSED_MODEL)

    def radius_mm(self, *, loaded_turned_deg: float) -> float:
        """Inside radius under load: arc of a quarter of the opening, at least the nose."""
        opening = 2.0 * self.half_centre_mm
        return small_bend_radius_mm(
            opening_mm=opening,
            loaded_turned_deg=loaded_turned_deg,
            thickness_mm=self.thickness_mm,
            nose_radius_mm=self.nose_radius_mm,
        )

    def springback_of(self, *, loaded_turned_deg: float) -> float:
        """Springback at a loaded angle: arc and both legs of the closed air-bend model [degrees]."""
        radius = self.radius_mm(loaded_turned_deg=loaded_turned_deg)
        arm = contact_arm_mm(
            loaded_turned_deg=loaded_turned_deg,
            half_centre_mm=self.half_centre_mm,
            inside_radius_mm=radius,
            thickness_mm=self.thickness_mm,
            shoulder_radius_mm=self.shoulder_radius_mm,
        )
        return air_bend_springback_deg(
            thickness_mm=self.thickness_mm,
            inside_radius_mm=radius,
            turned_deg=loaded_turned_deg,
            youngs_modulus_mpa=self.youngs_modulus_mpa,
            poisson=self.poisson,
            yield_mpa=self.yield_mpa,
            leg_arm_mm=arm,
            law=self.law,
            k_mpa=self.k_mpa,
            e0_or_b=self.e0_or_b,
            n=self.n,
        )


def small_bend_radius_mm(
    *, opening_mm: float, loaded_turned_deg: float, thickness_mm: float, nose_radius_mm: float
) -> float:
    """Inside radius of a bend turned only a little: (V/4)/A - t/2 with A in radians, at least the nose radius."""
    positive(opening_mm=opening_mm, loaded_turned_deg=loaded_turned_deg, thickness_mm=thickness_mm)
    not_negative(nose_radius_mm=nose_radius_mm)
    return max(nose_radius_mm, ARC_OVER_OPENING * opening_mm / radians(loaded_turned_deg) - thickness_mm / 2.0)


RECORDS = (
    ModelRecord(
        id="small_bend_radius",
        question="Which inside radius does a bend of a few degrees get?",
        answer=small_bend_radius_mm,
        source="arc of a quarter of the opening, read from finite-element bends turned 10 to 35 degrees",
        provenance="derived",
        symbols={"V": "opening_mm", "A": "loaded_turned_deg", "t": "thickness_mm"},
        ranges={"loaded_turned_deg": (2.0, 35.0, "degrees"), "opening_mm/thickness_mm": (6.0, 12.0, "of t")},
        examples=tuple(
            WorkedExample(
                inputs={
                    "opening_mm": opening,
                    "loaded_turned_deg": loaded,
                    "thickness_mm": 2.0,
                    "nose_radius_mm": 1.0,
                },
                expected=radius,
                tolerance=0.15 * radius,
                origin="derived",
                source="finite-element bend of mild steel, circle through the inner apex; within 15 %",
            )
            for opening, loaded, radius in ((16.0, 10.734, 18.289), (16.0, 21.977, 8.942), (12.0, 22.005, 6.719))
        ),
    ),
)
