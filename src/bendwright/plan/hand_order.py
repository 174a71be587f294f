"""Does the order somebody thought of work? The same tables as the search, the order held fixed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from bendwright.findings import InputError, NotPossibleError, found
from bendwright.plan.best_so_far import Effort
from bendwright.plan.bumping import spelled_out
from bendwright.plan.explain import Obstacle, obstacle, real_stacks
from bendwright.plan.pins import held_to, pinned, read_pins
from bendwright.plan.result import Plan, RefusedOrder
from bendwright.plan.search import cheapest
from bendwright.plan.situation import Situation
from bendwright.plan.solution import Solution, real_cycle_s
from bendwright.plan.tables import Tables
from bendwright.said import phrase, say


@dataclass(frozen=True, slots=True)
class StrokeJudged:
    """One stroke of a hand-made order, by its bends ("b1+b2" being one stroke): it works, is refused (why, by what, how many mm are missing
    or overlap), or is not reached because one before it is refused.
    """

    bends: str
    verdict: Literal["works", "refused", "not reached"]
    sentence: str = ""
    against: str = ""
    mm: float | None = None


@dataclass(frozen=True, slots=True)
class Judged:
    """What became of the order: a sentence, the refusal if any, seconds per piece if it works, every stroke by itself."""

    sentence: str
    refused: RefusedOrder | None
    cycle_s: float | None
    strokes: tuple[StrokeJudged, ...]

    @property
    def done(self) -> int:
        """How many strokes work."""
        return sum(stroke.verdict == "works" for stroke in self.strokes)


@dataclass(frozen=True, slots=True)
class HandOrders:
    """A part with its tools at hand, ready to judge one order after the other: ``tooled`` are the ways of tooling to try,
    ``best_cycle_s`` the seconds per piece of the plan (None: no order of this part works with these dies). ``at_once``: the first stations
    found for an order count, so that its seconds are those it takes at most.
    """

    tooled: tuple[Tables, ...]
    best_cycle_s: float | None
    at_once: bool = False

    def judged(self, order: tuple[str, ...], pins: Sequence[str] = ()) -> Judged:
        """The verdict with the first way of tooling that makes it, bends made hit by hit from either end; where none does, the one that
        gets farthest. ``pins`` settle sides and punches as well. Raises InputError O115 for what is no order of the bends, O121 for a pin.
        """
        part = self.tooled[0].situation.part
        known, orders = [bend.id for bend in part.bends], spelled_out(part, order)
        if sorted(name for stroke in orders[0] for name in stroke.split("+")) != sorted(known):
            raise InputError(found("O115", order=", ".join(order), known=", ".join(known)))
        judged = list[Judged]()
        for tables in self.tooled:
            held = pinned(tables, read_pins(pins, part, tables.situation.punches))
            for spelled in orders:
                judged.append(judge_order(held, spelled, self.best_cycle_s, at_once=self.at_once))
                if judged[-1].refused is None:
                    return judged[-1]
        return max(judged, key=lambda item: item.done)


def tools_of(plan: Plan, situations: Iterable[Situation]) -> Situation:
    """Of several ways of tooling the one a plan was made with: its dies at its bends, its punches among those at hand."""
    dies = {name: stroke.die_id for stroke in plan.strokes if stroke.kind != "hem_flatten" for name in stroke.bend_ids}
    punches = {stroke.punch_id for stroke in plan.strokes if stroke.kind in ("air_bend", "hem_prebend")}
    at_hand = list(situations)

    def differs(one: Situation) -> int:
        bends = enumerate(one.part.bends)
        other = sum(one.dies[i].id != dies.get(bend.id) for i, bend in bends if not one.jogged >> i & 1)
        return other + len(punches - {punch.id for punch in one.punches})

    return min(at_hand, key=differs)


def judge_order(tables: Tables, order: tuple[str, ...], best_cycle_s: float | None, *, at_once: bool = False) -> Judged:
    """Walk the order stroke by stroke; the first that no station can do is named with its obstruction. Bends made by one stroke are
    written as one, "b1+b2".

    ``best_cycle_s`` is that of the plan it is compared with (None: no order of this part works with these dies); ``at_once`` as of
    ``HandOrders``.
    """
    moves = moves_in(tables, order)
    held = held_to(tables, moves)
    fixed = None if best_cycle_s is None else first_that_works(held) if at_once else cheapest(held, quantity=1)
    if fixed is None or best_cycle_s is None:
        return _refused(tables, order, moves)
    cycle = real_cycle_s(fixed)
    extra = cycle - best_cycle_s
    if abs(extra) < 0.05:
        words = "as fast as the plan"
    else:
        slower = "order.at_most_slower" if at_once else "order.slower"
        words = say(slower if extra > 0.0 else "order.faster", seconds=abs(extra))
    return Judged(
        say("order.works", words=phrase(words)), None, cycle, tuple(StrokeJudged(name, "works") for name in order)
    )


def first_that_works(tables: Tables) -> Solution | None:
    """The cheapest order with the first stations found; None when there is none."""
    return cheapest(tables, quantity=1, effort=Effort(heard=lambda now: now.best_s is None or now.doing == "first"))


def _refused(tables: Tables, order: tuple[str, ...], moves: tuple[int, ...]) -> Judged:
    """Which stroke stops the order and why; where each can be done, that no stations do all."""
    item, place = _first_obstacle(tables, moves)
    strokes = [StrokeJudged(name, "works" if i < place else "not reached") for i, name in enumerate(order)]
    if item is None:
        sentence = "each stroke can be done, but no set of stations the drawer can fill does all of them"
        refused = RefusedOrder(sentence=sentence, bend_id=order[-1], against="stations", mm=None)
    else:
        name = tables.situation.part.bends[item.bend].id
        refused = RefusedOrder(sentence=item.sentence, bend_id=name, against=item.against, mm=item.mm)
        strokes[place] = StrokeJudged(order[place], "refused", item.sentence, item.against, item.mm)
    return Judged(say("order.does_not_work", sentence=refused.sentence), refused, None, tuple(strokes))


def _first_obstacle(tables: Tables, moves: tuple[int, ...]) -> tuple[Obstacle | None, int]:
    """What stops the order first and at which stroke, walked stroke by stroke, hems pressed as soon as they are bent; None when each stroke
    can be done.
    """
    stacks, situation = real_stacks(tables), tables.situation
    pressing = {move.makes: number for number, move in enumerate(tables.moves) if move.pressed and not move.jog}
    mask = 0
    for place, number in enumerate(moves):
        stages = [situation.stage_of(bend) for bend in tables.moves[number].bends]
        for one in (number, *(pressing[stage] for stage in stages if stage)):
            item = obstacle(tables, one, mask, stacks)
            if item is not None:
                return item, place
            mask |= tables.moves[one].makes
    return None, len(moves)


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
