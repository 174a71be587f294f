"""Where do the marks of an axis stand, and what is the angle at every place along a bend? For curves on the screen."""

from __future__ import annotations

import math

from bendwright.stroke.crown import Crown

STEPS = (1.0, 2.0, 5.0, 10.0)


def round_marks(low: float, high: float, *, most: int = 6) -> tuple[float, ...]:
    """Round numbers that span ``low`` to ``high`` [any unit], at most ``most`` of them within; at least two."""
    span = high - low if high - low > 1e-6 else 1.0
    ten = 10.0 ** math.floor(math.log10(span / most))
    step = next(ten * factor for factor in STEPS if span / (ten * factor) <= most)
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return tuple(round(number * step, 9) for number in range(first, max(last, first + 1) + 1))


def angles_along(crown: Crown) -> tuple[tuple[float, float, float], ...]:
    """Place along the bed [mm], error of the included angle there without and with crown and tilt [degrees, + = too open]."""
    return tuple((z, before / crown.mm_per_degree, after / crown.mm_per_degree) for z, before, after in crown.curve)
