"""How long does the film of a plan take, and how large is it? ``python benchmarks/plan_glb.py`` prints a line an example.

Aim: below 50 ms and 50 kB packed for twelve strokes. Planning and the first compilation are not counted.
"""

from __future__ import annotations

import gzip
import time
from pathlib import Path

from bendwright.drawing.part_file import read_part
from bendwright.drawing.plan_glb import plan_glb
from bendwright.job import Wishes, prepare
from bendwright.shop.read import built_in_shop
from bendwright.shop.sheet_words import sheet_from_words

EXAMPLES = Path(__file__).parents[1] / "examples" / "parts"
REPEATS = 7


def main() -> None:
    """Plan every example and time its film."""
    shop = built_in_shop("saltmarsh")
    print(f"{'part':<16} {'strokes':>7} {'ms':>6} {'kB':>6} {'kB packed':>9}")
    for path in sorted(EXAMPLES.glob("*.yaml")):
        part = read_part(path)
        thickness = f"{part.header.thickness_mm:g}"
        sheet = sheet_from_words(
            material_name=part.header.material, thickness_text=thickness, measured_texts=(), shop=shop
        )
        plan = prepare(part, sheet, shop, Wishes()).plan
        brake, taken = shop.brakes[plan.brake_id], []
        for _ in range(REPEATS):
            start = time.perf_counter()
            data = plan_glb(part, plan, punches=shop.cabinet.punches, dies=shop.cabinet.dies, brake=brake)
            taken.append(1e3 * (time.perf_counter() - start))
        packed = len(gzip.compress(data)) / 1e3
        print(f"{path.stem:<16} {len(plan.strokes):>7} {min(taken):>6.1f} {len(data) / 1e3:>6.1f} {packed:>9.1f}")


if __name__ == "__main__":
    main()
