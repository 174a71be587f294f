"""What does one section of the sheet answer to being bent: moment, thickness, neutral axis, springback?

Every number is per mm of width and in sheet thicknesses, so one law serves every thickness of a material.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import sqrt
from typing import TYPE_CHECKING

from bendwright.mechanics.limits import positive
from bendwright.mechanics.moment_curvature import FlowCurve, plane_strain_modulus_mpa

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

FIBRES = 80
LARGEST_CURVATURE = 3.0
"""Angle per undeformed length, times t: outer strain about 0.9."""
ALMOST_FLAT = 5e-3
"""Below this curvature the section is a straight beam to five digits."""
PLATEAU_SLOPE = 2e-4
"""Rise of a moment past its peak, so that every moment has one curvature."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SectionLaw:
    """Columns over ``curvature`` (angle per undeformed length, times t), all starting flat.

    ``moment_mpa`` M/t^2; ``stretch`` of the line of centroids; ``to_inside`` and ``to_outside`` from the centroid to the
    faces and ``thickness``, over t; ``inside_radius`` over t (1e9 when flat); ``give`` curvature let go per moment
    [1/MPa]; ``flow_mpa`` plane-strain flow stress of the outer fibre; ``outer_strain`` logarithmic.
    """

    curvature: Array
    moment_mpa: Array
    stretch: Array
    to_inside: Array
    to_outside: Array
    inside_radius: Array
    thickness: Array
    give: Array
    flow_mpa: Array
    outer_strain: Array
    modulus_mpa: float
    first_flow_mpa: float


def plane_strain_ratio(*, normal_anisotropy: float = 1.0) -> float:
    """Plane-strain over uniaxial flow stress, Hill 1948 with normal anisotropy r: (1 + r)/sqrt(1 + 2 r); 2/sqrt 3 for r = 1."""
    positive(normal_anisotropy=normal_anisotropy)
    return (1.0 + normal_anisotropy) / sqrt(1.0 + 2.0 * normal_anisotropy)


@lru_cache(maxsize=128)
def section_law(
    *, curve: FlowCurve, youngs_modulus_mpa: float, poisson: float, normal_anisotropy: float = 1.0
) -> SectionLaw:
    """The law of a material: plane strain, incompressible, radial stress in equilibrium, isotropic hardening.

    Hollomon's law has no elastic range; it is begun where it meets the elastic line. Raises OutOfRangeError for sizes
    of 0 or less.
    """
    import numpy as np

    from bendwright.strip.section import bend_section

    modulus = plane_strain_modulus_mpa(youngs_modulus_mpa=youngs_modulus_mpa, poisson=poisson)
    ratio = plane_strain_ratio(normal_anisotropy=normal_anisotropy)
    numbers = _numbers(curve, youngs_modulus_mpa)
    curvature = np.concatenate([np.geomspace(1e-4, 0.05, 60), np.linspace(0.055, LARGEST_CURVATURE, 240)])
    bent = bend_section(curvature, FIBRES, np.array([modulus, ratio, *numbers]))
    return _law(curvature, bent, modulus, ratio, numbers)


def _numbers(curve: FlowCurve, youngs_modulus_mpa: float) -> tuple[int, float, float, float, float]:
    """Law number, K, shift, power and first flow stress for the compiled functions."""
    if curve.law == "voce":
        return 1, curve.k_mpa, float(curve.e0_or_b or 0.0), 0.0, float(curve.yield_mpa or 0.0)
    power = float(curve.n or 0.0)
    shift = float(curve.e0_or_b or 0.0) if curve.law == "swift" else 0.0
    if shift <= 0.0:
        shift = (curve.k_mpa / youngs_modulus_mpa) ** (1.0 / (1.0 - min(power, 0.9)))
    return 0, curve.k_mpa, shift, power, 0.0


def _law(
    curvature: Array, bent: Array, modulus: float, ratio: float, numbers: tuple[int, float, float, float, float]
) -> SectionLaw:
    """All columns from moment and inside radius."""
    import numpy as np

    law, k, shift, power, first = numbers
    moment, inside = bent[:, 0], bent[:, 1]
    outside = np.sqrt(inside**2 + 2.0 / curvature)
    thickness, middle = outside - inside, 0.5 * (inside + outside)
    centroid = 2.0 / 3.0 * (outside**3 - inside**3) / (outside**2 - inside**2)
    flat = curvature < ALMOST_FLAT
    lever = np.where(curvature < 0.02, thickness**2 / (12.0 * middle), middle - thickness / np.log(outside / inside))
    strain = np.log(outside * curvature)
    equivalent = ratio * np.maximum(strain, 0.0)
    flow = k * (shift + equivalent) ** power if law == 0 else k - (k - first) * np.exp(-shift * equivalent)
    peak = int(np.argmax(moment))
    moment = np.maximum.accumulate(moment)
    moment[peak:] = moment[peak] * (1.0 + PLATEAU_SLOPE * (curvature[peak:] - curvature[peak]))
    columns = {
        "curvature": (0.0, curvature),
        "moment_mpa": (0.0, moment),
        "stretch": (1.0, np.where(flat, 1.0, centroid * curvature)),
        "to_inside": (0.5, np.where(flat, 0.5, centroid - inside)),
        "to_outside": (0.5, np.where(flat, 0.5, outside - centroid)),
        "inside_radius": (1e9, inside),
        "thickness": (1.0, thickness),
        "give": (12.0 / modulus, curvature / (thickness * lever * modulus)),
        "flow_mpa": (ratio * float(flow[0]), ratio * flow),
        "outer_strain": (0.0, strain),
    }
    arrays = {name: np.concatenate([[start], rest]) for name, (start, rest) in columns.items()}
    first_flow = ratio * (k * shift**power if law == 0 else first)
    return SectionLaw(**arrays, modulus_mpa=modulus, first_flow_mpa=first_flow)
