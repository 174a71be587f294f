"""Other plans beside the plan itself: one table of what they ask, one of how the marked sizes spread, and why each is there."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bendwright.plan.figures import Figures
    from bendwright.plan.other_plans import OtherPlans

WIDTH = 100
MARKED_BY = {
    "fit": "the sizes marked as fits",
    "tolerance": "the sizes with a tolerance of their own",
    "general": "all outside sizes (none is marked as a fit or toleranced)",
}


def others_text(looked: OtherPlans) -> str:
    """The plans side by side, the plan itself as number 1; at most 100 columns, ends with a newline."""
    from bendwright.cli.show import table

    head = ("", "plan", "flips", "turns", "stations", "pieces", "behind", "s/piece", "set-up min", "lot h")
    rows = [
        _row(number, item.name if number > 1 else "the plan", item.figures)
        for number, item in enumerate(looked.plans, start=1)
    ]
    lines = ["Other plans worth a look", *table(head, rows).splitlines(), ""]
    lines += [f"Spread of {MARKED_BY[looked.marked.by]}, ± 2 s.d. in mm", *_sizes(looked), ""]
    if len(looked.plans) == 1 and not looked.left_out:
        lines += ["None differs: the plan itself is the best of every kind looked at.", ""]
    lines += ["Why"]
    for number, item in enumerate(looked.plans, start=1):
        for mark, text in zip((f"{number}. ", *("   " for _ in item.why)), (*item.why, item.asks), strict=True):
            lines += textwrap.wrap(text, WIDTH, initial_indent=f"  {mark}", subsequent_indent="       ")
    lines += ["", "behind: strokes with the heavier side of the sheet behind the tools. lot: set-up and all pieces."]
    return "\n".join(lines) + "\n"


def _row(number: int, name: str, own: Figures) -> tuple[str, ...]:
    counts = (own.flips, own.turns, own.stations, own.pieces, own.heavy_behind)
    times = (f"{own.cycle_s:.0f}", f"{own.setup_s / 60.0:.0f}", f"{own.lot_s / 3600.0:.2f}")
    return (str(number), name, *map(str, counts), *times)


def _sizes(looked: OtherPlans) -> Iterator[str]:
    from bendwright.cli.show import table

    head = ("size", "aim", *(f"plan {number}" for number in range(1, len(looked.plans) + 1)))
    rows = [
        (sizes[0].flange_id, f"{sizes[0].aim_mm:.2f}", *(f"{size.within_mm:.2f}" for size in sizes))
        for sizes in zip(*(item.figures.sizes for item in looked.plans), strict=True)
    ]
    yield from table(head, rows).splitlines()
