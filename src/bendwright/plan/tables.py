"""Everything the order search may ask of one way of tooling a part, worked out when it is asked and kept.

The tables grow as needed; a compiled question that finds a table full is asked again after it has grown.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import shapely

from bendwright.geometry.rigid import Array
from bendwright.plan.answers import Answers, room_row, stops_for
from bendwright.plan.around import MOST_BARS, Surroundings, pack_moves, pack_tools, surroundings
from bendwright.plan.gauges import Stop, Stops, all_stops, pack_stops
from bendwright.plan.looks import Looks, here
from bendwright.plan.memo import EMPTY, longer, wider
from bendwright.plan.moves import Move, moves_of
from bendwright.plan.orders import FULL_TABLE
from bendwright.plan.outlines import Outlines
from bendwright.plan.packed import Ints, Packed, PackedStops, PackedTools
from bendwright.plan.pressing import pressing_bars
from bendwright.plan.relevant import relevant_bends
from bendwright.plan.room import MACHINE, PASSING, ROW, STANCE
from bendwright.plan.situation import Situation
from bendwright.shop.tools import Die

FIRST_ROWS = 1 << 11


class Memory:
    """The tables that grow while the search asks; ``kept`` is whatever else was worked out once, under its name and numbers."""

    __slots__ = ("answers", "kept", "looks", "work")

    def __init__(self, looks: Looks, answers: Answers, work: tuple[Array, Array, Ints]) -> None:
        self.looks = looks
        self.answers = answers
        self.work = work
        self.kept: dict[tuple[Any, ...], Any] = {}

    def once(self, key: tuple[Any, ...], make: Callable[[], Any]) -> Any:
        """What is kept under the key, made when it is asked for the first time."""
        if key not in self.kept:
            self.kept[key] = make()
        return self.kept[key]


@dataclass(frozen=True, slots=True)
class Tables:
    """One situation, packed: moves with what lies around them, tools, stops, and what was asked so far."""

    situation: Situation
    moves: tuple[Move, ...]
    around: tuple[Surroundings, ...]
    dies: tuple[Die, ...]
    packed: Packed
    tools: PackedTools
    gauge_stops: Stops
    stops: PackedStops
    memory: Memory = field(repr=False)
    heavy: Array = field(repr=False)

    @property
    def bends(self) -> int:
        """Number of bends of the part."""
        return len(self.situation.part.bends)

    @property
    def full(self) -> int:
        """The finished part: the set of all bends, and of all hems pressed flat."""
        return self.situation.full

    @property
    def whole(self) -> tuple[Packed, PackedStops]:
        """Moves and stops with every bend and stop counted: for questions the search would not ask."""
        every = np.full(len(self.moves), self.full, dtype=np.int64)
        packed = self.packed._replace(for_stops=every, for_room=every)
        return packed, self.stops._replace(live=np.ones_like(self.stops.live))

    @property
    def short_mm(self) -> float:
        """What may stay uncovered at either end of a bend [mm]."""
        return self.situation.practice.max_uncovered_end_mm


@dataclass(frozen=True, slots=True)
class Answer:
    """What is known of a move with some bends done: smallest separation of the part from itself (capped) [mm], and for both sides
    the best stop (number among the move's stops or -1, x, r, low w, high w, rank).
    """

    apart_mm: float
    stops: tuple[tuple[float, ...], tuple[float, ...]]


@dataclass(frozen=True, slots=True)
class Room:
    """Where a stack of one punch may stand, as a row of numbers (see ``room``)."""

    row: Array

    def window(self, o: int, target: int) -> tuple[float, float]:
        """Window [mm] of whole punch, what stands above a foot, foot, die (0..3), for one way round."""
        at = o * STANCE + 2 * target
        return float(self.row[at]), float(self.row[at + 1])

    def forbids(self, o: int) -> int:
        """What stands where the bend must be covered, for one way round: 1 plain, 2 eared stacks, 4 machine."""
        return int(self.row[o * STANCE + 15])

    def way_in(self, side: int, target: int, span: tuple[float, float]) -> bool:
        """Whether a stack that covers the bend can stand clear of what is brought in (whole punch 0, above a foot 1, foot 2)."""
        at = 2 * STANCE + side * PASSING + 2 * target
        return bool(self.row[at] < 0.5 * (span[0] + span[1]) < self.row[at + 1])

    def too_high(self, side: int) -> bool:
        """Whether what lies behind the tools meets the raised ram, for the side at the gauge."""
        return bool(int(self.row[2 * STANCE + side * PASSING + 12]) & MACHINE)


def make_tables(situation: Situation) -> Tables:
    """Moves, bodies, tools and stops of a situation; nothing is asked yet but which bends matter to which move."""
    moves = moves_of(situation)
    around = surroundings(situation, moves)
    dies = tuple(dict.fromkeys(situation.dies))
    packed, tools = pack_moves(situation, around, dies), pack_tools(situation, around, dies)
    gauge_stops = all_stops(situation, around)
    stops = pack_stops(situation, around, gauge_stops)
    memory = Memory(_looks(len(situation.punches), int(packed.cloud_n.max())), _answers(), _work(packed))
    made = Tables(
        situation, moves, around, dies, packed, tools, gauge_stops, stops, memory, heavy_behind(situation, around)
    )
    for move, item in enumerate(around):
        if item.move.pressed:
            rows = pressing_bars(situation, item, situation.pairs[item.move.pair])
            packed.forbidden[move, : len(rows)] = rows
        elif not packed.sides[move].any():
            packed.forbidden[move, 0] = (0, 0)
        else:
            packed.for_stops[move], packed.for_room[move] = _relevant(made, move)
    return made


def heavy_behind(situation: Situation, around: tuple[Surroundings, ...]) -> Array:
    """[move, side]: the larger part of the sheet lies behind the tools, out of the operator's hands (1, else 0)."""
    areas = {flat.flange_id: shapely.Polygon(flat.outline).area for flat in situation.blank.flats}
    out = np.zeros((len(around), 2))
    for i, item in enumerate(around):
        names = [{b.flange_id for s, b in item.bodies if s == side and b.zone is None} for side in (0, 1)]
        weight = [sum(areas[name] for name in group) for group in names]
        if not item.move.pressed or item.move.jog:
            out[i] = (weight[0] > weight[1] + 1e-6, weight[1] > weight[0] + 1e-6)
    return out


def _relevant(tables: Tables, move: int) -> tuple[int, int]:
    suited = np.flatnonzero(tables.tools.suits[:, move])
    punches = np.array(suited if len(suited) else [0], dtype=np.int64)

    def once() -> tuple[int, Any]:
        memory = tables.memory
        bars = np.zeros((MOST_BARS, 2), dtype=np.int64)
        stops, room, count = relevant_bends(
            tables.packed, tables.tools, tables.stops, memory.looks, move, punches, tables.short_mm, memory.work, bars
        )
        tables.packed.forbidden[move, :count] = bars[:count]
        return (FULL_TABLE, None) if stops < 0 else (0, (int(stops), int(room)))

    out: tuple[int, int] = growing(tables, once)
    return out


def ask(tables: Tables, move: int, mask: int) -> Answer:
    """The answer for a move with the bends of ``mask`` done, tools apart."""
    packed, stops = tables.whole

    def once() -> tuple[int, Any]:
        memory = tables.memory
        row = stops_for(packed, tables.tools, stops, memory.looks, memory.answers, move, mask, memory.work)
        return (FULL_TABLE, None) if row < 0 else (0, int(row))

    row = growing(tables, once)
    answers = tables.memory.answers
    both = tuple(tuple(float(v) for v in answers.stop[row, side]) for side in (0, 1))
    return Answer(float(answers.apart[row]), (both[0], both[1]))


def room_for(tables: Tables, move: int, mask: int, punch: int) -> Room:
    """Where a stack of a punch (its number in the situation) may stand for a move with the bends of ``mask`` done."""

    packed, _ = tables.whole

    def once() -> tuple[int, Any]:
        memory = tables.memory
        row = room_row(
            packed, tables.tools, memory.looks, memory.answers, move, mask, punch, tables.short_mm, memory.work
        )
        return (FULL_TABLE, None) if row < 0 else (0, int(row))

    return Room(tables.memory.answers.room_rows[growing(tables, once)].copy())


def stop_of(tables: Tables, move: int, side: int, number: float) -> Stop:
    """The stop of that number among all stops."""
    return tables.gauge_stops[move][side][int(number) - int(tables.stops.first[move, side])]


def bodies_here(tables: Tables, move: int, mask: int, punch: int) -> tuple[Ints, Ints]:
    """Numbers of the bodies that are there, and the rows of their looks with the bits of a punch (-1: none asked)."""

    def once() -> tuple[int, Any]:
        memory = tables.memory
        size = int(tables.packed.last[move] - tables.packed.first[move])
        present, rows = np.empty(size, dtype=np.int64), np.empty(size, dtype=np.int64)
        count = here(tables.packed, tables.tools, memory.looks, move, mask, punch, memory.work, present, rows)
        return (FULL_TABLE, None) if count < 0 else (0, (present[:count], rows[:count]))

    out: tuple[Ints, Ints] = growing(tables, once)
    return out


def growing(tables: Tables, once: Callable[[], tuple[int, Any]]) -> Any:
    """Ask until no table is too small; ``once`` returns what became of it (0: an answer) and the answer."""
    while True:
        said, out = once()
        if said != FULL_TABLE:
            return out
        grow(tables.memory)


def grow(memory: Memory) -> None:
    """Make every table that is more than half full four times as large."""
    looks, answers = memory.looks, memory.answers
    if 2 * looks.used[0] >= len(looks.box) or 4 * looks.used[0] >= len(looks.keys):
        memory.looks = _more_rows(looks, ("box", "outline"))
    outlines = looks.outlines
    if 2 * outlines.used[0] >= len(outlines.size) or 4 * outlines.used[0] >= len(outlines.keys):
        more = _more_rows(outlines, ("kind", "ring", "size", "polar", "below", "meets", "free"))
        memory.looks = memory.looks._replace(outlines=more)
    changed: dict[str, Any] = {}
    if 2 * answers.used[0] >= len(answers.apart) or 4 * answers.used[0] >= len(answers.keys):
        changed["keys"], changed["numbers"] = wider(answers.keys, answers.numbers)
        changed |= {name: longer(getattr(answers, name)) for name in ("apart", "stop")}
    if 4 * answers.ask_used[0] >= len(answers.ask_keys):
        changed["ask_keys"], changed["ask_numbers"] = wider(answers.ask_keys, answers.ask_numbers)
    if 2 * answers.room_used[0] >= len(answers.room_rows) or 4 * answers.room_used[0] >= len(answers.room_keys):
        changed["room_keys"], changed["room_numbers"] = wider(answers.room_keys, answers.room_numbers)
        changed["room_rows"] = longer(answers.room_rows)
    if 4 * answers.pair_used[0] >= len(answers.pair_keys):
        changed["pair_keys"], changed["pair_gaps"] = wider(answers.pair_keys, answers.pair_gaps)
    memory.answers = answers._replace(**changed)


def _keys(rows: int) -> Ints:
    return np.full(4 * rows, EMPTY, dtype=np.int64)


def _more_rows(table: Any, names: Sequence[str]) -> Any:
    """A table with four times as many rows, and places to find them."""
    keys, numbers = wider(table.keys, table.numbers)
    return table._replace(keys=keys, numbers=numbers, **{name: longer(getattr(table, name)) for name in names})


def _looks(punches: int, corners: int) -> Looks:
    rows = FIRST_ROWS
    outlines = Outlines(
        keys=_keys(rows),
        numbers=np.zeros(4 * rows, dtype=np.int64),
        used=np.zeros(1, dtype=np.int64),
        kind=np.zeros(rows, dtype=np.int64),
        ring=np.zeros((rows, corners, 2)),
        size=np.zeros(rows, dtype=np.int64),
        polar=np.zeros((rows, 4)),
        below=np.zeros(rows, dtype=np.int64),
        meets=np.zeros((rows, punches), dtype=np.int64),
        free=np.zeros((rows, punches, 2), dtype=np.int64),
    )
    return Looks(
        keys=_keys(rows),
        numbers=np.zeros(4 * rows, dtype=np.int64),
        used=np.zeros(1, dtype=np.int64),
        box=np.zeros((rows, 8)),
        outline=np.zeros(rows, dtype=np.int64),
        outlines=outlines,
    )


def _answers() -> Answers:
    rows = FIRST_ROWS
    return Answers(
        keys=_keys(rows),
        numbers=np.zeros(4 * rows, dtype=np.int64),
        used=np.zeros(1, dtype=np.int64),
        apart=np.zeros(rows),
        stop=np.zeros((rows, 2, 6)),
        ask_keys=_keys(rows),
        ask_numbers=np.zeros(4 * rows, dtype=np.int64),
        ask_used=np.zeros(1, dtype=np.int64),
        room_keys=_keys(rows),
        room_numbers=np.zeros(4 * rows, dtype=np.int64),
        room_used=np.zeros(1, dtype=np.int64),
        room_rows=np.zeros((rows, ROW)),
        pair_keys=_keys(rows),
        pair_gaps=np.zeros(4 * rows),
        pair_used=np.zeros(1, dtype=np.int64),
    )


def _work(packed: Packed) -> tuple[Array, Array, Ints]:
    corners = int(packed.cloud_n.max())
    return np.empty((corners, 3)), np.empty((2 * corners + 4, 2)), np.empty(corners, dtype=np.int64)
