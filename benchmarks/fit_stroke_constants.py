"""Do the two constants of the stroke model hold for bends they were not set on?

``SPREAD`` and ``DENT`` of ``mechanics/air_bend.py`` are found on one half of the finite-element bends and judged on the
other, the other way round, and on all of them; the reference bends, computed by another code, are judged only. What is made
small is the 6-norm of all differences, each over its limit (``bendwright.validation.stroke_comparison.LIMITS``), of bends left
between 80 and 160 degrees; 1 would be: every value at its limit.
Run: ``python benchmarks/fit_stroke_constants.py`` (about a minute)
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from bendwright.findings import OutOfRangeError
from bendwright.mechanics import air_bend
from bendwright.validation.bend_points import BendCase, BendPoint, bend_cases
from bendwright.validation.stroke_comparison import LIMITS
from bendwright.validation.stroke_models import air_bend as bend_of
from bendwright.validation.stroke_summary import USUAL_INCLUDED_DEG

QUANTITIES = {
    "relaxed included": "relaxed_included_deg",
    "springback": "springback_deg",
    "force": "force_n_per_mm",
    "inside radius": "inside_radius_mm",
    "bend deduction": "bend_deduction_mm",
}
NORM = 6.0
NOT_COMPUTED = 10.0
"""What a depth counts that the stroke does not reach, in limits."""
FIRST_STEP = 0.03


def differences(cases: Sequence[BendCase], spread: float, dent: float) -> np.ndarray:
    """One row a depth, one column a quantity: model minus computed, in its unit or as a share where the limit is one."""
    air_bend.SPREAD, air_bend.DENT = spread, dent
    air_bend.stroke_curve.cache_clear()
    low, high = USUAL_INCLUDED_DEG
    rows = []
    for case in cases:
        for point in case.points:
            if low <= point.relaxed_included_deg <= high:
                rows.append(_at(case, point))
    return np.array(rows)


def _at(case: BendCase, point: BendPoint) -> list[float]:
    """The differences at one depth."""
    try:
        state = air_bend.stroke_curve(bend_of(case)).at_depth(depth_mm=point.depth_mm)
    except OutOfRangeError:
        return [NOT_COMPUTED * LIMITS[name][1].amount for name in QUANTITIES]
    pairs = [(getattr(state, field), getattr(point, field)) for field in QUANTITIES.values()]
    relative = [LIMITS[name][1].relative for name in QUANTITIES]
    return [
        (ours - outside) / (outside if share else 1.0) for (ours, outside), share in zip(pairs, relative, strict=True)
    ]


def distance(cases: Sequence[BendCase], spread: float, dent: float) -> float:
    """6-norm (a mean, so that halves of different size compare) of the differences over their limits."""
    limits = np.array([LIMITS[name][1].amount for name in QUANTITIES])
    shares = np.abs(differences(cases, spread, dent)) / limits
    return float(np.mean(shares**NORM) ** (1.0 / NORM))


def least(of: Callable[[np.ndarray], float], start: Sequence[float], *, rounds: int = 40) -> np.ndarray:
    """Nelder and Mead's simplex (1965): reflect, stretch, shrink; until it is smaller than 1e-4 or the rounds are over."""
    corners = [np.array(start, dtype=float)]
    corners += [corners[0] + FIRST_STEP * side for side in np.eye(len(start))]
    values = [of(corner) for corner in corners]
    for _ in range(rounds):
        order = np.argsort(values)
        corners, values = [corners[i] for i in order], [values[i] for i in order]
        if np.max(np.abs(corners[-1] - corners[0])) < 1e-4:
            break
        middle = np.mean(corners[:-1], axis=0)
        tries = {share: middle + share * (middle - corners[-1]) for share in (1.0, 2.0, -0.5)}
        reflected = of(tries[1.0])
        share = 2.0 if reflected < values[0] else (1.0 if reflected < values[-2] else -0.5)
        found = reflected if share == 1.0 else of(tries[share])
        if share == 2.0 and found > reflected:
            share, found = 1.0, reflected
        if found < values[-1]:
            corners[-1], values[-1] = tries[share], found
        else:
            corners = [corners[0] + 0.5 * (corner - corners[0]) for corner in corners]
            values = [values[0], *(of(corner) for corner in corners[1:])]
    return corners[int(np.argmin(values))]


def line(name: str, on: Sequence[BendCase], spread: float, dent: float) -> str:
    """One row of the table: constants, distance, then rms and largest difference of each quantity."""
    found = differences(on, spread, dent)
    factors = [100.0 if LIMITS[q][1].relative else 1.0 for q in QUANTITIES]
    cells = [
        f"{factor * np.sqrt(np.mean(column**2)):.3g} ({factor * column[np.argmax(np.abs(column))]:+.3g})"
        for factor, column in zip(factors, found.T, strict=True)
    ]
    return f"| {name} | {spread:.3f} | {dent:.3f} | {distance(on, spread, dent):.2f} | {' | '.join(cells)} |"


def main() -> None:
    """Fit, judge, print the table."""
    kept = (air_bend.SPREAD, air_bend.DENT)
    own = [case for case in bend_cases() if case.table.file == "finite_element_bends.csv"]
    other = [case for case in bend_cases() if case not in own]
    halves = {"A": own[::2], "B": own[1::2]}
    for name, cases in halves.items():
        print(f"{name}: {', '.join(case.name for case in cases)}")
    print(
        "\n| set on, judged on | SPREAD | DENT | distance | relaxed [degrees] | springback [degrees] | force [%] | "
        "radius [%] | deduction [mm] |\n| " + " | ".join(["---"] * 9) + " |"
    )
    for name, cases in {**halves, "all": own}.items():
        spread, dent = least(lambda x, cases=cases: distance(cases, x[0], x[1]), kept)  # type: ignore[misc]
        for judged, judges in {**halves, "all": own, "reference bends": other}.items():
            print(line(f"{name}, {judged}", judges, spread, dent), flush=True)
    for judged, judges in {**halves, "all": own, "reference bends": other}.items():
        print(line(f"kept, {judged}", judges, *kept), flush=True)


if __name__ == "__main__":
    main()
