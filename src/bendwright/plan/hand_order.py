"""Does the order somebody thought of work? The same tables as the search, the order held fixed."""

from __future__ import annotations

from dataclasses import dataclass

from bendwright.plan.explain import obstacle
from bendwright.plan.result import RefusedOrder
from bendwright.plan.search import Prepared, Solution, cheapest, possible_strokes, real_cycle_s


@dataclass(frozen=True, slots=True)
class Judged:
    """What became of the order: a sentence, the refusal if any, seconds per piece if it works."""

    sentence: str
    refused: RefusedOrder | None
    cycle_s: float | None


def judge_order(prepared: Prepared, order: tuple[str, ...], best: Solution | None) -> Judged:
    """Walk the order stroke by stroke; the first that no station can do is named with its obstruction.

    ``best`` is the plan it is compared with (None: no order of this part works with these dies).
    """
    index = {bend.id: i for i, bend in enumerate(prepared.situation.part.bends)}
    possible = possible_strokes(prepared)
    mask = 0
    for name in order:
        bend = index[name]
        if not possible[bend, mask]:
            item = obstacle(prepared, bend, mask, possible)
            assert item is not None
            refused = RefusedOrder(sentence=item.sentence, bend_id=name, against=item.against, mm=item.mm)
            return Judged(f"Does not work: {item.sentence}.", refused, None)
        mask |= 1 << bend
    fixed = cheapest(prepared, quantity=1, order=tuple(index[name] for name in order))
    if fixed is None or best is None:
        sentence = "each stroke can be done, but no set of stations the drawer can fill does all of them"
        return Judged(
            f"Does not work: {sentence}.",
            RefusedOrder(sentence=sentence, bend_id=order[-1], against="stations", mm=None),
            None,
        )
    cycle = real_cycle_s(fixed)
    extra = cycle - real_cycle_s(best)
    if abs(extra) < 0.05:
        words = "as fast as the plan"
    else:
        words = f"{abs(extra):.1f} s a piece {'slower' if extra > 0.0 else 'faster'} than the plan"
    return Judged(f"Works: {words}.", None, cycle)
