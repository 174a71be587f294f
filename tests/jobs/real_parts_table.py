"""Every real part planned on the demo shop, one line each: what it is, which brake, proven or how far from it, or why not.

They lie beside the project (``../shared/parts``); run ``PYTHONPATH=tests/jobs python tests/jobs/real_parts_table.py [WORD ...]``
for all of them or for those with a word in their name. Flats whose author's model is there too are left out.
"""

from __future__ import annotations

import sys
import time

from stories import SHOP
from test_real_parts import ROWS, planned, read

from bendwright.findings import NotPossibleError
from bendwright.replay.replay import replay_plan


def parts() -> list[str]:
    """Names of all bent models, and of the flats no model stands for."""
    paired = {row["flat_pair_file"] for row in ROWS}
    rows = [row for row in ROWS if row["kind"] != "negative" and row["file"] not in paired]
    return [row["file"].rsplit("/", 1)[1].rsplit(".", 1)[0] for row in rows]


def line(name: str) -> str:
    """The part's line; a refusal by what comes nearest."""
    part, started = read(name).part, time.monotonic()
    head = f"{name:45} {part.header.thickness_mm:5.2f} mm {len(part.bends):2} bends"
    try:
        _, got = planned(name)
    except NotPossibleError as error:
        first = error.findings[0]
        return f"{head} {time.monotonic() - started:5.1f} s  refused {first.code}: {first.sentence}"
    took, plan = time.monotonic() - started, got.plan
    wrong = replay_plan(got.part, plan, cabinet=SHOP.cabinet, brake=SHOP.brakes[plan.brake_id], practice=SHOP.practice)
    sure = "proven" if plan.optimal else f"not proven (no less than {plan.lower_bound_s:.0f} s)"
    said = f", {len(wrong)} findings when done again" if wrong else ""
    return f"{head} {took:5.1f} s  {plan.brake_id} {plan.times.cycle_s:.0f} s a piece, {sure}{said}"


def main(words: list[str]) -> None:
    """Print the lines as they come."""
    for name in parts():
        if not words or any(word in name for word in words):
            print(line(name), flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
