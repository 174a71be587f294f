"""Which moment holds a sheet at a given curvature? Plane strain, plane sections, neutral axis in the middle.

Moments are per mm of width [N]. Plane strain is right for bends wider than about 8 t; narrow strips bend easier. No
stress through the thickness: good from r/t of 3-4 up, an approximation below.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, sqrt
from typing import Literal

from bendwright.findings import OutOfRangeError, found
from bendwright.mechanics.limits import not_negative, one_of, positive, within
from bendwright.mechanics.record import ModelRecord, WorkedExample

HardeningLaw = Literal["swift", "hollomon", "voce"]
PLANE_STRAIN = 2.0 / sqrt(3.0)
_STEPS = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class FlowCurve:
    """Flow stress over plastic strain: Swift K (e0 + e)^n, Hollomon K e^n, Voce Rsat - (Rsat - Rp) exp(-b e).

    ``k_mpa`` is K or Rsat, ``e0_or_b`` is e0 or b (not used by Hollomon), ``n`` is not used by Voce, ``yield_mpa`` (Rp)
    only by Voce. Raises OutOfRangeError R110 when a number the law needs is None.
    """

    law: HardeningLaw
    k_mpa: float
    e0_or_b: float | None = None
    n: float | None = None
    yield_mpa: float | None = None

    def __post_init__(self) -> None:
        one_of(("swift", "hollomon", "voce"), law=self.law)
        needs = {"swift": ("e0_or_b", "n"), "hollomon": ("n",), "voce": ("e0_or_b", "yield_mpa")}[self.law]
        missing = [name for name in needs if getattr(self, name) is None]
        if missing:
            raise OutOfRangeError(found("R110", where=name, name=name, law=self.law) for name in missing)
        positive(k_mpa=self.k_mpa)
        not_negative(**{name: getattr(self, name) for name in needs})

    def stress_mpa(self, *, plastic_strain: float) -> float:
        """Uniaxial flow stress at that plastic strain [MPa]."""
        e0_or_b, n, yield_mpa = self.e0_or_b or 0.0, self.n or 0.0, self.yield_mpa or 0.0
        if self.law == "voce":
            return self.k_mpa - (self.k_mpa - yield_mpa) * exp(-e0_or_b * plastic_strain)
        shift = e0_or_b if self.law == "swift" else 0.0
        return float(self.k_mpa * (shift + plastic_strain) ** n)


def plane_strain_modulus_mpa(*, youngs_modulus_mpa: float, poisson: float) -> float:
    """E' = E/(1 - nu^2) [MPa]."""
    positive(youngs_modulus_mpa=youngs_modulus_mpa)
    within(0.0, 0.5, poisson=poisson)
    return youngs_modulus_mpa / (1.0 - poisson**2)


def epp_moment_n(
    *, thickness_mm: float, curve_radius_mm: float, yield_mpa: float, youngs_modulus_mpa: float, poisson: float
) -> float:
    """Ideally plastic sheet: M = S (t^2/4 - c^2/3), S = 2Y/sqrt3, c = S rho/E'; all elastic: E' t^3/(12 rho).

    ``curve_radius_mm`` is rho of the middle line. Example: Y 250, E 210e3, nu 0.3, t 2, rho 6 -> 288.67 N.
    """
    positive(thickness_mm=thickness_mm, curve_radius_mm=curve_radius_mm, yield_mpa=yield_mpa)
    modulus = plane_strain_modulus_mpa(youngs_modulus_mpa=youngs_modulus_mpa, poisson=poisson)
    flow = PLANE_STRAIN * yield_mpa
    core = flow * curve_radius_mm / modulus
    if core >= thickness_mm / 2.0:
        return modulus * thickness_mm**3 / (12.0 * curve_radius_mm)
    return flow * (thickness_mm**2 / 4.0 - core**2 / 3.0)


def hosford_caddell_moment_n(*, thickness_mm: float, curve_radius_mm: float, k_mpa: float, n: float) -> float:
    """Hollomon sheet without elastic core: M = 2 K'/((n+2) rho^n) (t/2)^(n+2), K' = K (2/sqrt3)^(n+1)."""
    positive(thickness_mm=thickness_mm, curve_radius_mm=curve_radius_mm, k_mpa=k_mpa)
    not_negative(n=n)
    k_plane = k_mpa * PLANE_STRAIN ** (n + 1.0)
    return float(2.0 * k_plane / ((n + 2.0) * curve_radius_mm**n) * (thickness_mm / 2.0) ** (n + 2.0))


def hardening_moment_n(
    *, thickness_mm: float, curve_radius_mm: float, curve: FlowCurve, youngs_modulus_mpa: float, poisson: float
) -> float:
    """Elastic-plastic sheet with hardening: M = 2 x integral of sigma y dy over half the thickness, Simpson.

    Strain y/rho; elastic sigma = E' eps, plastic sigma = (2/sqrt3) s((2/sqrt3) eps_p) with eps = eps_p + sigma/E'.
    Example: Swift 525/0.0037/0.186, t 2, rho 3.6 -> 449.65 N.
    """
    positive(thickness_mm=thickness_mm, curve_radius_mm=curve_radius_mm)
    modulus = plane_strain_modulus_mpa(youngs_modulus_mpa=youngs_modulus_mpa, poisson=poisson)
    half = thickness_mm / 2.0
    first_flow = PLANE_STRAIN * curve.stress_mpa(plastic_strain=0.0)
    core = min(half, first_flow * curve_radius_mm / modulus)
    elastic = 2.0 * modulus / curve_radius_mm * core**3 / 3.0
    step = (half - core) / _STEPS
    total = 0.0
    for index in range(_STEPS + 1):
        place = core + index * step
        weight = 1.0 if index in (0, _STEPS) else 4.0 if index % 2 else 2.0
        total += weight * place * _stress_mpa(place / curve_radius_mm, curve, modulus)
    return elastic + 2.0 * total * step / 3.0


def _stress_mpa(strain: float, curve: FlowCurve, modulus: float) -> float:
    """Plane-strain stress at a total strain: solves eps = eps_p + sigma(eps_p)/E' by Newton steps from below.

    The right side is concave in eps_p, so the steps never overshoot.
    """

    def flow(plastic: float) -> float:
        return PLANE_STRAIN * curve.stress_mpa(plastic_strain=PLANE_STRAIN * plastic)

    if modulus * strain <= flow(0.0):
        return modulus * strain
    plastic = max(0.0, strain - flow(strain) / modulus)
    for _ in range(60):
        missing = strain - plastic - flow(plastic) / modulus
        if missing <= 1e-12 + 1e-10 * strain:
            break
        nudge = 1e-4 * plastic + 1e-12
        slope = 1.0 + (flow(plastic + nudge) - flow(plastic)) / nudge / modulus
        plastic += missing / slope
    return modulus * (strain - plastic)


RECORDS = (
    ModelRecord(
        id="moment_epp",
        question="Which moment holds the sheet at a curvature?",
        answer=epp_moment_n,
        source="elastic, perfectly plastic bending in plane strain, exact",
        provenance="derived",
        symbols={"Y": "yield_mpa", "rho": "curve_radius_mm", "t": "thickness_mm"},
        ranges={"curve_radius_mm/thickness_mm": (3.5, 1e6, "of t")},
        examples=(
            WorkedExample(
                inputs={
                    "thickness_mm": 2.0,
                    "curve_radius_mm": 6.0,
                    "yield_mpa": 250.0,
                    "youngs_modulus_mpa": 210000.0,
                    "poisson": 0.3,
                },
                expected=288.6697,
                tolerance=0.001,
                origin="derived",
                source="S (t^2/4 - c^2/3), S 288.675, c 0.00751",
            ),
        ),
    ),
    ModelRecord(
        id="moment_hardening",
        question="Which moment holds the sheet at a curvature?",
        answer=hardening_moment_n,
        source="plane-strain elastic-plastic bending with a Swift, Hollomon or Voce flow curve, numerical",
        provenance="derived",
        symbols={"rho": "curve_radius_mm", "t": "thickness_mm"},
        ranges={"curve_radius_mm/thickness_mm": (3.5, 1e6, "of t")},
        examples=tuple(
            WorkedExample(
                inputs={
                    "thickness_mm": t,
                    "curve_radius_mm": rho,
                    "curve": FlowCurve(law="swift", k_mpa=k, e0_or_b=e0, n=n),
                    "youngs_modulus_mpa": 210000.0,
                    "poisson": 0.3,
                },
                expected=expected,
                tolerance=tolerance,
                origin="derived",
                source="computed twice by other code",
            )
            for k, e0, n, t, rho, expected, tolerance in (
                (525.0, 0.0037, 0.186, 1.0, 1.5, 116.25, 0.02),
                (525.0, 0.0037, 0.186, 2.0, 3.6, 449.65, 0.05),
                (525.0, 0.0037, 0.186, 3.0, 31.5, 736.67, 0.1),
                (710.0, 0.0100, 0.123, 2.0, 3.6, 674.69, 0.1),
                (710.0, 0.0100, 0.123, 6.0, 11.0, 6059.1, 1.0),
            )
        ),
    ),
    ModelRecord(
        id="moment_hosford_caddell",
        question="Which moment holds the sheet at a curvature?",
        answer=hosford_caddell_moment_n,
        source="Hosford and Caddell, Metal Forming, sheet bending with power-law hardening, no elastic core",
        provenance="memory",
        symbols={"K": "k_mpa", "n": "n", "rho": "curve_radius_mm", "t": "thickness_mm"},
        ranges={"curve_radius_mm/thickness_mm": (3.5, 100.0, "of t")},
        examples=(
            WorkedExample(
                inputs={"thickness_mm": 2.0, "curve_radius_mm": 6.0, "k_mpa": 500.0, "n": 0.2},
                expected=377.49,
                tolerance=0.01,
                origin="derived",
                source="closed form",
            ),
        ),
    ),
)
