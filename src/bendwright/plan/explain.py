"""Why does an order not work? The stroke that fails, what runs into what, by how many millimetres."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from bendwright.geometry.rigid import Array
from bendwright.plan.answers import SELF_LEAST_MM
from bendwright.plan.backwards import any_order
from bendwright.plan.blocked import Blocked, blocked_by
from bendwright.plan.fits import Stacks, fits
from bendwright.plan.near_stop import no_stop_reason
from bendwright.plan.permissions import free_daylight_mm, punch_suits
from bendwright.plan.pressing import no_room_for_pair
from bendwright.plan.room import MACHINE, PLAIN, with_free_entry, with_free_exit
from bendwright.plan.stacks import drawer
from bendwright.plan.station_sets import usable_stations
from bendwright.plan.stations import pack_stations, wished_stacks
from bendwright.plan.tables import Room, Tables, ask, bodies_here, room_for
from bendwright.said import joined, phrase, say
from bendwright.stroke.tooling import ear_of


@dataclass(frozen=True, slots=True)
class Obstacle:
    """One blocked stroke: leading bend, bends done before, sentence, what is in the way, overlap or shortfall [mm] if any; what ``helps``
    where that does not follow from what is in the way.
    """

    bend: int
    mask: int
    sentence: str
    against: str
    mm: float | None
    helps: str = ""


def real_stacks(tables: Tables) -> Stacks:
    """The stacks the drawer gives; where not even any stack one may wish for leads to the part, those."""
    wished = wished_stacks(tables.situation)
    if not any_order(tables, wished):
        return wished
    return pack_stations(tables.situation, usable_stations(tables))


def can(
    tables: Tables, stacks: Stacks, move: int, mask: int, *, change: Callable[[Array], Array] = lambda row: row
) -> bool:
    """Whether some of the stacks can make a move with these bends done; ``change`` lets something be left out of the room."""
    packed = tables.packed
    if mask & packed.bars[move] or mask & packed.needs[move] != packed.needs[move]:
        return False
    if packed.pressed[move] and no_room_for_pair(tables.situation, tables.around[move], mask) is not None:
        return False
    if packed.pressed[move] and not tables.moves[move].jog:
        return True
    answer = ask(tables, move, mask)
    if answer.apart_mm < SELF_LEAST_MM:
        return False
    if packed.pressed[move]:
        free = [stop for stop, side in zip(answer.stops, packed.sides[move], strict=True) if side and stop[0] >= 0.0]
        return any(stop[1] >= packed.behind[move] for stop in free)
    for number, punch in enumerate(stacks.punch):
        if not tables.tools.suits[punch, move] or packed.die[move] != stacks.die[number]:
            continue
        row = change(room_for(tables, move, mask, int(punch)).row)
        for side in (0, 1):
            stop = np.array(answer.stops[side])
            if packed.sides[move, side] and fits(packed, tables.tools, stacks, move, row, stop, side, number):
                return True
    return False


def obstacle(tables: Tables, move: int, mask: int, stacks: Stacks) -> Obstacle | None:
    """Why this move cannot be made with these bends done; None when some of the stacks can.

    Of several reasons the one nearest to working is named: tools and machine by the least overlap.
    """
    if can(tables, stacks, move, mask):
        return None
    bend = tables.moves[move].bends[0]
    name = _name(tables, move)
    made = tables.situation.jog_of(bend)
    if made is not None and not tables.moves[move].jog:
        other = " + ".join(tables.situation.part.bends[i].id for i in made.jog.bends)
        return Obstacle(bend, mask, say("order.half_of_jog", name=name, other=other), "the order", None)
    short = None if tables.packed.pressed[move] else _short_leg(tables, move, mask)
    if short is not None:
        return short
    if mask & tables.packed.bars[move] or mask & tables.packed.needs[move] != tables.packed.needs[move]:
        return Obstacle(bend, mask, say("order.fixed_place", name=name), "the order", None)
    pair = no_room_for_pair(tables.situation, tables.around[move], mask) if tables.packed.pressed[move] else None
    if pair is not None:
        jog = tables.moves[move].jog
        what = say("order.jog_not_in_one", name=name) if jog else say("order.hem_not_flat", name=name)
        text = say("order.pair_in_the_way", what=what, body=phrase(pair.body), mm=pair.mm, against=phrase(pair.against))
        helps = say("helps.narrower_pair", mm=pair.mm)
        return Obstacle(bend, mask, text, pair.against, -pair.mm, helps)
    answer = ask(tables, move, mask)
    if answer.apart_mm < SELF_LEAST_MM:
        text = say("order.into_itself", name=name, apart_mm=-answer.apart_mm)
        return Obstacle(bend, mask, text, "the part itself", answer.apart_mm)
    if all(stop[0] < 0.0 for stop, free in zip(answer.stops, tables.packed.sides[move], strict=True) if free):
        why = no_stop_reason(tables, move, mask)
        text = say("order.no_stop", name=name, text=phrase(why.text))
        return Obstacle(bend, mask, text, "back gauge", why.mm, why.helps)
    if tables.moves[move].jog:
        return _finger_in_punch(tables, move, mask, max(stop[1] for stop in answer.stops if stop[0] >= 0.0))
    suited = [k for k in range(len(tables.situation.punches)) if tables.tools.suits[k, move]]
    if not suited:
        reasons = sorted({punch_suits(p, tables.situation, bend) or "" for p in tables.situation.punches})
        return Obstacle(
            bend, mask, say("order.no_punch", name=name, reasons=joined("; ", map(phrase, reasons))), "punches", None
        )
    found = [item for punch in suited for item in _tool_obstacles(tables, move, mask, punch)]
    if any(item is None for item in found):
        reason = _machine_reason(tables, move, mask, suited) or _no_way(tables, move, mask, stacks)
        return reason or _no_stack(tables, move, mask, suited)
    real = [item for item in found if item is not None]
    return max(real, key=lambda item: -1e9 if item.mm is None else item.mm)


def _name(tables: Tables, move: int) -> str:
    """What a move is called: its leading bend, a jog by both."""
    own = tables.moves[move]
    return " + ".join(tables.situation.part.bends[i].id for i in (own.bends if own.jog else own.bends[:1]))


def _tool_obstacles(tables: Tables, move: int, mask: int, punch: int) -> Iterator[Obstacle | None]:
    """For both ways round, the nearer of plain and eared stack: what it runs into (None: nothing)."""
    for o in (0, 1):
        found = blocked_by(tables, move, mask, punch, o)
        yield None if found is None else _named(tables, move, mask, found)


def _named(tables: Tables, move: int, mask: int, found: Blocked) -> Obstacle:
    bend = tables.moves[move].bends[0]
    name = tables.situation.part.bends[bend].id
    if found.pressed:
        text = say("order.pressed_too", name=name, piece=found.piece)
        return Obstacle(bend, mask, text, found.against, None)
    text = say(
        "order.runs_into",
        name=name,
        piece=phrase(found.piece),
        mm=-found.mm,
        against=phrase(found.against),
        way=found.way,
    )
    return Obstacle(bend, mask, text, found.against, found.mm)


def _machine_reason(tables: Tables, move: int, mask: int, suited: list[int]) -> Obstacle | None:
    """Daylight, gauge fingers or the way out, where they stop every punch that would pass; None when it is the stacks."""
    situation, packed = tables.situation, tables.packed
    stops = ask(tables, move, mask).stops
    sides = [side for side in (0, 1) if stops[side][0] >= 0.0 and packed.sides[move, side]]
    wished = wished_stacks(situation)
    rooms = {punch: room_for(tables, move, mask, punch) for punch in suited}
    under = [
        (punch, side) for punch, room in rooms.items() for side in sides if not _too_high(room, side, tables, move)
    ]
    if not under:
        return _daylight(tables, move, mask, sides, [room.too_high(side) for room in rooms.values() for side in sides])
    far = [(*stop[:1], 1e9, *stop[2:]) for stop in stops]
    fingers = held = True
    for number, punch in enumerate(wished.punch):
        if int(punch) not in rooms or wished.die[number] != packed.die[move]:
            continue
        for side in sides:
            row = rooms[int(punch)].row
            held &= not fits(packed, tables.tools, wished, move, row, np.array(far[side]), side, number)
            fingers &= not fits(packed, tables.tools, wished, move, row, np.array(stops[side]), side, number)
    if fingers and not held:
        x = max(stops[side][1] for side in sides)
        return _finger_in_punch(tables, move, mask, x)
    return None


def _finger_in_punch(tables: Tables, move: int, mask: int, x_mm: float) -> Obstacle:
    text = say("order.finger_in_punch", name=_name(tables, move), x_mm=x_mm)
    return Obstacle(tables.moves[move].bends[0], mask, text, "gauge finger", None)


def _daylight(tables: Tables, move: int, mask: int, sides: list[int], above: list[bool]) -> Obstacle:
    """What stands behind the tools is too high: for the raised punch, or (``above`` everywhere) even for the ram beside it."""
    situation, bend = tables.situation, tables.moves[move].bends[0]
    present, rows = bodies_here(tables, move, mask, -1)
    boxes = tables.memory.looks.box[rows]
    own = [tables.packed.side[present] == side for side in sides]
    height = min(float(boxes[rows_of, 3].max() - boxes[rows_of, 2].min()) for rows_of in own)
    words = "order.daylight_most"
    more = [0.0] * len(situation.punches)
    if all(above):
        words, more = "order.under_ram_most", [float(v) for v in tables.tools.above]
    die = situation.dies[bend].height_mm
    free = max(
        (free_daylight_mm(situation.brake, punch.height_mm, die) or 0.0) + extra
        for punch, extra in zip(situation.punches, more, strict=True)
    )
    name = situation.part.bends[bend].id
    text = say("order.stands_high", name=name, height=height, room=say(words, free=free))
    return Obstacle(bend, mask, text, "daylight", free - 1.0 - height)


def _no_way(tables: Tables, move: int, mask: int, stacks: Stacks) -> Obstacle | None:
    """Whether it is only the way in, or only the way off, that stops all stacks: walls bound them at both ends."""
    bend = tables.moves[move].bends[0]
    name = tables.situation.part.bends[bend].id
    ways = {  # what is said, against what, freed of it
        "order.not_brought_in": ("way in", with_free_entry),
        "order.not_come_off": ("way off", with_free_exit),
    }
    for words, (against, freed) in ways.items():
        if can(tables, stacks, move, mask, change=freed):
            text = say(words, name=name)
            return Obstacle(bend, mask, text, against, None)
    return None


def _too_high(room: Room, side: int, tables: Tables, move: int) -> bool:
    """Whether what lies behind the tools passes neither under the ram nor, where the bend is, under the punch."""
    if room.too_high(side):
        return True
    return all(not room.way_in(side, target, tables.around[move].span) for target in (0, 2))


def _no_stack(tables: Tables, move: int, mask: int, suited: list[int]) -> Obstacle:
    """Tools would pass, but no stack of the drawer is long enough for the bend and short enough for what stands beside."""
    practice = tables.situation.practice
    bend = tables.moves[move].bends[0]
    low, high = tables.around[move].span
    name = tables.situation.part.bends[bend].id
    need = high - low - 2.0 * practice.max_uncovered_end_mm
    rooms = [item for punch in suited for item in _rooms(tables, move, mask, punch)]
    kind, room, free = max(rooms, key=lambda item: (item[2], item[1]))
    room = min(room - 2.0 * practice.end_clearance_mm, free) if free < need else room - 2.0 * practice.end_clearance_mm
    if room > 1e6:
        text = say("order.stack_too_short", name=name, need=need, longest=_longest(tables, bend))
        return Obstacle(bend, mask, text, "punch stack", None)
    if room < need:
        text = say("order.only_fits", name=name, kind=phrase(kind), need=need, room=max(room, 0.0))
        return Obstacle(bend, mask, text, "punch stack", room - need)
    text = say("order.no_such_stack", name=name, kind=phrase(kind), need=need, room=room)
    return Obstacle(bend, mask, text, "punch stack", None)


def _longest(tables: Tables, bend: int) -> str:
    """How much of each tool that suits the bend hangs in the drawer."""
    situation = tables.situation
    tools = [punch for punch in situation.punches if punch_suits(punch, situation, bend) is None]
    words = [
        say("order.punch_in_all", punch=punch.id, value=sum(p.length_mm for p in drawer(punch.pieces)))
        for punch in tools
    ]
    die = situation.dies[bend]
    words.append(say("order.die_in_all", die=die.id, value=sum(p.length_mm for p in drawer(die.pieces))))
    return joined(", ", words)


def _rooms(tables: Tables, move: int, mask: int, punch: int) -> Iterator[tuple[str, float, float]]:
    """Room for a plain and for an eared stack [mm] of this punch, both ways round, where nothing else is in the way, and how much of it
    lies along the bend.
    """
    room = room_for(tables, move, mask, punch)
    ear = ear_of(tables.situation.punches[punch])
    first, last = tables.around[move].span
    clear = tables.situation.practice.end_clearance_mm

    def of(kind: str, windows: list[tuple[float, float]]) -> tuple[str, float, float]:
        free = min(high - clear for _, high in windows), max(low + clear for low, _ in windows)
        return kind, min(high - low for low, high in windows), max(0.0, min(free[0], last) - max(free[1], first))

    for o in (0, 1):
        whole, above, foot, die = (room.window(o, target) for target in range(4))
        what = room.forbids(o)
        if not what & (MACHINE | PLAIN):
            yield of("a stack", [whole, die])
        if ear is not None and not what & (MACHINE | 2):
            yield of("an eared stack", [foot, (above[0] - ear[1], above[1] + ear[1]), die])
    yield "a stack", 0.0, 0.0


def _short_leg(tables: Tables, move: int, mask: int) -> Obstacle | None:
    situation = tables.situation
    index = {item.id: i for i, item in enumerate(situation.part.bends)}
    for bend in tables.moves[move].bends:
        need = situation.shortest_leg_mm(bend)
        for leg in situation.legs[bend]:
            done = [name for name in leg.far_bends if mask >> index[name] & 1]
            if done and leg.outside_mm < need - 1e-9:
                own = situation.part.bends[bend].id
                sentence = say("order.short_leg", done=done[0], own=own, outside_mm=leg.outside_mm, need=need)
                against = say("place.shoulder_of_die", dies=situation.dies[bend].id)
                return Obstacle(bend, mask, sentence, against, leg.outside_mm - need)
    return None


def done_names(tables: Tables, mask: int) -> str:
    """Names of the done bends in words."""
    names = [bend.id for i, bend in enumerate(tables.situation.part.bends) if mask >> i & 1]
    return ", ".join(names) if names else phrase("nothing")
