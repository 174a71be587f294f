"""How long does the stroke model take, beside the finite-element run of the same bend?

For every case of ``benchmarks/finite_elements``: the section law of a new material; the depth for a right angle left, with the
law known and the stroke worked out no farther than a plan does, in steps of 1.5 degrees of a leg and in coarse ones of 5;
the whole stroke down to 30 degrees; and one more moment of a
stroke already known. Compiled and warm, caches emptied before every run, the best of several, so that a busy machine spoils
little. Beside them the wall clock of CalculiX on one core (``wall_times.csv``: stroke and releases, taken once): all its depths
against the whole stroke, and its stroke with one release against the one depth.
Run: ``python benchmarks/stroke.py``
"""

from __future__ import annotations

import csv
import time
from collections.abc import Callable
from pathlib import Path

from bendwright.findings import OutOfRangeError
from bendwright.mechanics.air_bend import TURN_STEP_DEG, AirBend, stroke_curve
from bendwright.mechanics.section_law import section_law
from bendwright.validation.bend_points import BendCase, bend_cases
from bendwright.validation.stroke_models import air_bend

ROUNDS = 15
THROUGH = "10"
"""Elements through the thickness of the runs compared with."""
REACHES_DEG = (75.0, 30.0)
"""Loaded angles a stroke is worked out to for a right angle left: the first that does."""
LEFT_DEG = 90.0
COARSE_DEG = 5.0
WALL_TIMES = Path(__file__).parent / "finite_elements" / "wall_times.csv"


def best_ms(work: Callable[[], object], *before: Callable[[], None]) -> float:
    """Least milliseconds of several runs, with what has to be forgotten before each."""
    times = []
    for _ in range(ROUNDS):
        for forget in before:
            forget()
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return 1000.0 * min(times)


def law(bend: AirBend) -> object:
    """The section law of the bend's material."""
    return section_law(
        curve=bend.curve,
        youngs_modulus_mpa=bend.youngs_modulus_mpa,
        poisson=bend.poisson,
        normal_anisotropy=bend.normal_anisotropy,
    )


def depth_for_a_right_angle(bend: AirBend, step_deg: float = TURN_STEP_DEG) -> float:
    """Depth [mm] that leaves 90 degrees."""
    for reach in REACHES_DEG:
        try:
            return (
                stroke_curve(bend, to_included_deg=reach, turn_step_deg=step_deg)
                .for_relaxed(included_deg=LEFT_DEG)
                .depth_mm
            )
        except OutOfRangeError:
            if reach == REACHES_DEG[-1]:
                raise
    raise AssertionError


def wall_seconds() -> dict[str, tuple[float, float]]:
    """By case: seconds of all depths with their releases, and of the stroke with one release."""
    with WALL_TIMES.open(encoding="ascii") as lines:
        rows = [row for row in csv.DictReader(lines) if row["elements_through_thickness"] == THROUGH]
    return {
        row["case"]: (
            float(row["stroke_s"]) + float(row["releases_s"]),
            float(row["stroke_s"]) + float(row["releases_s"]) / float(row["depths"]),
        )
        for row in rows
    }


def line(case: BendCase, whole_s: float, one_s: float) -> str:
    """One case: milliseconds of ours, seconds of the finite elements, ratios."""
    bend = air_bend(case)
    new_law = best_ms(lambda: law(bend), section_law.cache_clear)
    one = best_ms(lambda: depth_for_a_right_angle(bend), stroke_curve.cache_clear)
    coarse = best_ms(lambda: depth_for_a_right_angle(bend, COARSE_DEG), stroke_curve.cache_clear)
    whole = best_ms(lambda: stroke_curve(bend), stroke_curve.cache_clear)
    curve = stroke_curve(bend)
    again = best_ms(lambda: curve.for_relaxed(included_deg=LEFT_DEG))
    ours = f"{case.name:20}{new_law:9.2f}{one:9.2f}{coarse:9.2f}{whole:9.2f}{again:9.3f}"
    return f"{ours}{one_s:10.0f}{whole_s:10.0f}{1000.0 * one_s / one:12.0f}{1000.0 * whole_s / whole:12.0f}"


def main() -> None:
    """Compile, then one line a case."""
    walls = wall_seconds()
    cases = [case for case in bend_cases() if case.name in walls]
    depth_for_a_right_angle(air_bend(cases[0]))
    print(f"ours: best of {ROUNDS}, milliseconds; finite elements: seconds, once; ratio = finite elements over ours")
    print(
        f"\n{'':20}{'law':>9}{'one':>9}{'coarse':>9}{'whole':>9}{'again':>9}{'FE one':>10}{'FE whole':>10}{'ratio one':>12}{'whole':>12}"
    )
    for case in cases:
        print(line(case, *walls[case.name]), flush=True)


if __name__ == "__main__":
    main()
