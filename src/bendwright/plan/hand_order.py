"""Does the order somebody thought of work? The same tables as the search, the order held fixed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from bendwright.findings import NotPossibleError, found
from bendwright.plan.explain import Obstacle, obstacle, real_stacks
from bendwright.plan.pins import held_to
from bendwright.plan.result import RefusedOrder
from bendwright.plan.search import Solution, cheapest, real_cycle_s
from bendwright.plan.tables import Tables


@dataclass(frozen=True, slots=True)
class Judged:
    """What became of the order: a sentence, the refusal if any, seconds per piece if it works, else how many strokes work."""

    sentence: str
    refused: RefusedOrder | None
    cycle_s: float | None
    done: int = 0


def first_that_works(tooled: Iterable[Tables], orders: Sequence[tuple[str, ...]], best: Solution | None) -> Judged:
    """The verdict on the first of several orders that works, with one way of tooling after the other; where none does, on the one that
    gets farthest.
    """
    judged = [judge_order(tables, order, best) for tables in tooled for order in orders]
    return next((item for item in judged if item.refused is None), max(judged, key=lambda item: item.done))


def judge_order(tables: Tables, order: tuple[str, ...], best: Solution | None) -> Judged:
    """Walk the order stroke by stroke; the first that no station can do is named with its obstruction. Bends made by one stroke are
    written as one, "b1+b2".

    ``best`` is the plan it is compared with (None: no order of this part works with these dies).
    """
    moves = moves_in(tables, order)
    fixed = None if best is None else cheapest(held_to(tables, moves), quantity=1)
    if fixed is None or best is None:
        item = _first_obstacle(tables, moves)
        if item is not None:
            name = tables.situation.part.bends[item.bend].id
            refused = RefusedOrder(sentence=item.sentence, bend_id=name, against=item.against, mm=item.mm)
            return Judged(f"Does not work: {item.sentence}.", refused, None, item.mask.bit_count())
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


def _first_obstacle(tables: Tables, moves: tuple[int, ...]) -> Obstacle | None:
    """What stops the order first, walked stroke by stroke, hems pressed as soon as they are bent; None when each stroke can be done."""
    stacks, situation = real_stacks(tables), tables.situation
    pressing = {move.makes: number for number, move in enumerate(tables.moves) if move.pressed and not move.jog}
    mask = 0
    for number in moves:
        stages = [situation.stage_of(bend) for bend in tables.moves[number].bends]
        for one in (number, *(pressing[stage] for stage in stages if stage)):
            item = obstacle(tables, one, mask, stacks)
            if item is not None:
                return item
            mask |= tables.moves[one].makes
    return None


def moves_in(tables: Tables, order: tuple[str, ...]) -> tuple[int, ...]:
    """The moves of a written order, "b1+b2" being one stroke; NotPossibleError O120 where bends do not lie on one line."""
    index = {bend.id: i for i, bend in enumerate(tables.situation.part.bends)}
    made = {move.makes: number for number, move in enumerate(tables.moves)}
    out = []
    for name in order:
        wanted = sum(1 << index[one] for one in name.split("+"))
        if wanted not in made:
            raise NotPossibleError(found("O120", bends=name.replace("+", ", ")))
        out.append(made[wanted])
    return tuple(out)
