"""What does it cost to know how much 10,000 pieces of six bends will vary?

The study (Monte Carlo, shares, capability, six remedies) from its stored surfaces, the making of the surfaces, and for comparison
the naive way: the stroke solved anew for every bend of every piece, timed on a few and multiplied.
Run: ``python benchmarks/doubt.py``
"""

from __future__ import annotations

import os
import statistics
import time
from collections.abc import Callable

os.environ.setdefault("OMP_NUM_THREADS", "1")

import numpy as np

from bendwright.doubt.of_plan import doubt_of
from bendwright.doubt.remedies import run_of
from bendwright.doubt.sampling import model_of, outcome_of, pieces_of
from bendwright.doubt.study import restudied
from bendwright.drawing.quick_profile import quick_profile
from bendwright.job import Wishes, prepare
from bendwright.mechanics.air_bend import stroke_curve
from bendwright.mechanics.stroke_sensitivity import reached_deg, scaled_curve
from bendwright.mechanics.stroke_surface import stroke_surface
from bendwright.part.model import Header
from bendwright.shop.read import built_in_shop
from bendwright.shop.sheet import Sheet
from bendwright.stroke.air_bend_of import air_bend_of

ROUNDS, SAMPLES, SOLVED = 7, 10_000, 30
PROFILE = "20 u90 30 u90 40 d90 90 d90 40 u90 30 u90 20 x 1000"


def best_and_median(work: Callable[[], object]) -> tuple[float, float]:
    """Milliseconds of processor time."""
    times = []
    for _ in range(ROUNDS):
        start = time.process_time()
        work()
        times.append(1000.0 * (time.process_time() - start))
    return min(times), statistics.median(times)


def main() -> None:
    """Print best and median of each way and how many times dearer the naive one is."""
    from dataclasses import replace

    shop = built_in_shop("saltmarsh")
    header = Header(part_no="SM-6", revision="A", material="S235JR", thickness_mm=2.0)
    part = quick_profile(PROFILE, header=header)
    sheet = Sheet(material=shop.materials["S235JR"], nominal_thickness_mm=2.0)
    plan = prepare(part, sheet, shop, Wishes()).plan
    assert plan.doubt is not None
    doubt = plan.doubt
    brake = shop.brakes[plan.brake_id]
    tools = {"dies": shop.cabinet.dies, "punches": shop.cabinet.punches}

    def anew() -> None:
        stroke_surface.cache_clear()
        stroke_curve.cache_clear()
        doubt_of(part, plan.strokes, sheet=sheet, **tools, brake=brake, practice=shop.practice)

    model = model_of(doubt.responses, doubt.rules, doubt.spreads)

    def pieces() -> None:
        run = run_of(model, samples=SAMPLES, generator=np.random.default_rng(1))
        outcome_of(model, pieces_of(model, run.draws))

    stroke = plan.strokes[0]
    die = {item.id: item for item in shop.cabinet.dies}[stroke.die_id]
    punch = {item.id: item for item in shop.cabinet.punches}[stroke.punch_id]
    bend, _ = air_bend_of(sheet=sheet, die=die, punch=punch)
    to = reached_deg(included_deg=90.0)
    lots = np.random.default_rng(2).standard_normal((SOLVED, 2))

    def solved() -> None:
        stroke_curve.cache_clear()
        for a, b in lots:
            other = replace(
                bend, thickness_mm=2.0 + 0.03 * a, curve=scaled_curve(bend.curve, ratio=float(np.exp(0.06 * b)))
            )
            stroke_curve(other, to_included_deg=to).at_depth(depth_mm=stroke.depth_mm + 0.03 * a)

    anew()
    print(f"{len(doubt.responses)} bends, {SAMPLES} pieces, {ROUNDS} rounds, processor milliseconds\n")
    print(f"{'':44}{'best':>10}{'median':>10}")
    rows = {
        "drawing and bending the pieces": best_and_median(pieces),
        "the whole study, six remedies": best_and_median(lambda: restudied(doubt, samples=SAMPLES)),
        "surfaces made anew, and the study": best_and_median(anew),
    }
    times = len(doubt.responses) * SAMPLES / SOLVED
    naive = tuple(times * value for value in best_and_median(solved))
    rows["naive: every stroke solved anew (multiplied)"] = (naive[0], naive[1])
    for name, (best, median) in rows.items():
        print(f"{name:44}{best:10.0f}{median:10.0f}")
    print(f"\nnaive over drawing and bending: {naive[1] / rows['drawing and bending the pieces'][1]:.0f}")
    print(f"naive over surfaces and study:  {naive[1] / rows['surfaces made anew, and the study'][1]:.0f}")


if __name__ == "__main__":
    main()
