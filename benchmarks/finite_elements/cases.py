"""The air bends that are computed: sheet, die, punch, and the depths at which they are read."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """Isotropic sheet: elastic constants and the Swift law ``sigma = K (eps0 + eps_p)^n`` in true stress and strain."""

    name: str
    youngs_modulus_mpa: float
    poisson: float
    k_mpa: float
    eps0: float
    n: float

    def columns(self, friction: float) -> dict[str, float]:
        """Sheet and friction as the tables name them."""
        return {
            "E_MPa": self.youngs_modulus_mpa,
            "nu": self.poisson,
            "K_MPa": self.k_mpa,
            "eps0": self.eps0,
            "n": self.n,
            "mu": friction,
        }


MILD = Material(name="mild", youngs_modulus_mpa=210000.0, poisson=0.30, k_mpa=600.0, eps0=0.010, n=0.18)
S304 = Material(name="s304", youngs_modulus_mpa=200000.0, poisson=0.30, k_mpa=1370.0, eps0=0.020, n=0.40)
AL5754 = Material(name="al5754", youngs_modulus_mpa=70000.0, poisson=0.33, k_mpa=410.0, eps0=0.008, n=0.26)
S700MC = Material(name="s700mc", youngs_modulus_mpa=210000.0, poisson=0.30, k_mpa=1080.0, eps0=0.006, n=0.08)


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One air bend. ``opening_mm`` lies between the centres of the two shoulder arcs; depth counts from first touch."""

    name: str
    material: Material
    thickness_mm: float
    opening_mm: float
    shoulder_radius_mm: float
    nose_radius_mm: float
    depths_mm: tuple[float, ...]
    friction: float = 0.1

    def columns(self) -> dict[str, float]:
        """Thickness, opening and radii as the tables name them [mm]."""
        return {
            "thickness_mm": self.thickness_mm,
            "V_between_arc_centres_mm": self.opening_mm,
            "die_shoulder_radius_mm": self.shoulder_radius_mm,
            "punch_nose_radius_mm": self.nose_radius_mm,
        }


def _case(
    name: str, material: Material, t: float, opening: float, shoulder: float, nose: float, depths: tuple[float, ...]
) -> Case:
    return Case(
        name=name,
        material=material,
        thickness_mm=t,
        opening_mm=opening,
        shoulder_radius_mm=shoulder,
        nose_radius_mm=nose,
        depths_mm=depths,
    )


CASES = {
    case.name: case
    for case in (
        _case("mild-2-16-1", MILD, 2.0, 16.0, 2.0, 1.0, (1.31, 2.49, 3.60, 4.49, 5.34, 5.75)),
        _case("al5754-2-16-1", AL5754, 2.0, 16.0, 2.0, 1.0, (1.3, 2.4, 3.4, 4.2, 4.9, 5.5, 6.0, 6.5)),
        _case("s700mc-3-30-3", S700MC, 3.0, 30.0, 3.0, 3.0, (2.5, 4.6, 6.4, 8.0, 9.2, 10.2, 11.1, 11.8)),
        _case("mild-2-16-3", MILD, 2.0, 16.0, 2.0, 3.0, (1.3, 2.4, 3.4, 4.2, 4.9, 5.5, 6.0, 6.5)),
        _case("al5754-1.5-10-0.8", AL5754, 1.5, 10.0, 1.5, 0.8, (0.8, 1.45, 2.05, 2.55, 3.0, 3.4, 3.7, 4.0)),
        _case("s304-3-24-1", S304, 3.0, 24.0, 3.0, 1.0, (1.8, 3.4, 4.8, 6.1, 7.2, 8.1, 8.9, 9.5)),
        _case("s700mc-2-24-2", S700MC, 2.0, 24.0, 2.0, 2.0, (2.0, 3.7, 5.2, 6.5, 7.5, 8.4, 9.2, 9.9)),
        _case("mild-1-12-1", MILD, 1.0, 12.0, 1.0, 1.0, (1.0, 1.9, 2.7, 3.4, 4.0, 4.5, 4.9, 5.2)),
        _case("mild-3-24-6", MILD, 3.0, 24.0, 2.5, 6.0, (1.9, 3.5, 4.9, 6.1, 7.1, 7.9, 8.6, 9.3)),
        _case("al5754-3-32-2", AL5754, 3.0, 32.0, 3.0, 2.0, (2.5, 4.7, 6.7, 8.4, 9.8, 11.0, 12.0, 12.8)),
        _case("s700mc-3-32-4.5", S700MC, 3.0, 32.0, 4.0, 4.5, (2.6, 4.8, 6.8, 8.6, 10.2, 11.4, 12.4)),
        _case("al5754-2-20-3", AL5754, 2.0, 20.0, 2.5, 3.0, (1.7, 3.2, 4.6, 5.8, 6.8, 7.6)),
    )
}
"""By name, the check against a known bend first; the rest in the order of their worth."""
