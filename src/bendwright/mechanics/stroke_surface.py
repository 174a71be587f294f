"""What does one air bend become when sheet, friction and depth differ a little from what was counted on?

A quadratic surface through strokes of the model, so that thousands of pieces cost what one costs. Four variables:

* ``x0`` thickness less the nominal one [mm], the ram's place fixed to the die: the depth grows with the thickness;
* ``x1`` natural logarithm of strength over modulus, against the nominal: the angles depend on their ratio alone,
  since the tools are rigid (a sheet twice as strong and twice as stiff takes the same shape);
* ``x2`` friction less the nominal one;
* ``x3`` extra depth of the ram [mm].

``y = b0 x0 + ... + b3 x3 + b4 x0 x0 + b5 x0 x1 + ... + b13 x3 x3``, by least squares over 21 strokes (eight corners, two
stars and the middle) looked at in five depths each. The constant is left out: ``y`` is the change. How far the strokes
lie from the surface is told as ``error``, a root mean square; it is mostly the jitter of the model, which the surface smooths.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations_with_replacement, product
from math import radians, tan
from typing import TYPE_CHECKING

from bendwright.mechanics.air_bend import AirBend, StrokeCurve, StrokeState, stroke_curve
from bendwright.mechanics.limits import within
from bendwright.mechanics.stroke_sensitivity import reached_deg, scaled_curve

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

VARIABLES = 4
TERMS = VARIABLES + VARIABLES * (VARIABLES + 1) // 2
THICKNESS_SHARE, RATIO_LOG, FRICTION_STEP, DEPTH_SHARE = 0.07, 0.25, 0.08, 0.04
"""Half widths of the design: share of the thickness, logarithm of strength over modulus, friction, depth over thickness."""
CORNER, INNER = 0.8, 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class QuadraticChange:
    """Change of one number over the four variables: 4 slopes and 10 products, and the surface's own error."""

    terms: tuple[float, ...]
    error: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StrokeSurface:
    """Changes of the relaxed included angle [degrees] and of the bend deduction [mm] about one target."""

    included_deg: QuadraticChange
    deduction_mm: QuadraticChange


def terms_of(x: Array) -> Array:
    """The 14 terms of every row of variables (n, 4)."""
    import numpy as np

    pairs = [x[:, i] * x[:, j] for i, j in combinations_with_replacement(range(VARIABLES), 2)]
    return np.column_stack([x, *pairs])


@lru_cache(maxsize=512)
def stroke_surface(bend: AirBend, *, included_deg: float, to_outer_tangent: bool = False) -> StrokeSurface:
    """The surface about the stroke that leaves this included angle [degrees].

    The deduction is for legs to the mould line, or ``to_outer_tangent``: less by 2 (r + t) (tan(A/2) - 1) at the turned angle A.

    Good for thicknesses within about 7 %, strength over modulus within 25 % and depths within 4 % of a thickness of the
    nominal; friction below 0.08 is studied about 0.08. OutOfRangeError R130 where no depth leaves that angle, R131 and
    R133 as ``stroke_curve``.
    """
    import numpy as np

    within(35.0, 172.0, included_deg=included_deg)
    bend = replace(bend, friction=max(bend.friction, FRICTION_STEP))
    to = reached_deg(included_deg=included_deg)
    depth = stroke_curve(bend, to_included_deg=to).for_relaxed(included_deg=included_deg).depth_mm
    rows, deg, mm = [], [], []
    for a, b, c in _design():
        thickness, ratio, friction = a * THICKNESS_SHARE * bend.thickness_mm, b * RATIO_LOG, c * FRICTION_STEP
        other = _curve(bend, thickness, ratio, friction, to)
        for step in (-1.0, -0.5, 0.0, 0.5, 1.0):
            deeper = step * DEPTH_SHARE * bend.thickness_mm
            state = other.at_depth(depth_mm=depth + thickness + deeper)
            rows.append((thickness, ratio, friction, deeper))
            deg.append(state.relaxed_included_deg)
            mm.append(
                state.bend_deduction_mm
                - (_beyond_mm(state, bend.thickness_mm + thickness) if to_outer_tangent else 0.0)
            )
    x = np.array(rows)
    return StrokeSurface(included_deg=_fitted(x, np.array(deg)), deduction_mm=_fitted(x, np.array(mm)))


def _beyond_mm(state: StrokeState, thickness_mm: float) -> float:
    """How far both set-backs to the mould line reach beyond the outer tangent [mm]."""
    half = radians(180.0 - state.relaxed_included_deg) / 2.0
    return 2.0 * (state.inside_radius_mm + thickness_mm) * (tan(half) - 1.0)


def _design() -> list[tuple[float, float, float]]:
    """Middle, corners, and an outer and an inner star, in half widths."""
    corners = [tuple(CORNER * s for s in signs) for signs in product((-1.0, 1.0), repeat=3)]
    stars = [
        tuple(size * sign if i == k else 0.0 for i in range(3))
        for size in (1.0, INNER)
        for k in range(3)
        for sign in (-1.0, 1.0)
    ]
    return [(0.0, 0.0, 0.0), *((a, b, c) for a, b, c in [*corners, *stars])]


def _curve(bend: AirBend, thickness_mm: float, ratio: float, friction: float, to: float) -> StrokeCurve:
    import numpy as np

    other = replace(
        bend,
        thickness_mm=bend.thickness_mm + thickness_mm,
        curve=scaled_curve(bend.curve, ratio=float(np.exp(ratio))),
        friction=max(0.0, bend.friction + friction),
    )
    return stroke_curve(other, to_included_deg=to)


def _fitted(x: Array, y: Array) -> QuadraticChange:
    """Least squares with variables scaled to their largest value; the constant is fitted and left out."""
    import numpy as np

    scale = np.abs(x).max(axis=0)
    terms = np.column_stack([np.ones(len(x)), terms_of(x / scale)])
    solved, *_ = np.linalg.lstsq(terms, y, rcond=None)
    error = float(np.sqrt(np.sum((y - terms @ solved) ** 2) / (len(y) - TERMS - 1)))
    sizes = terms_of(scale[None, :])[0]
    return QuadraticChange(terms=tuple(float(v) for v in solved[1:] / sizes), error=error)
