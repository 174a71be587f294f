"""What the tables of the search share: bodies and outlines that look alike, bends that do not matter. No answer changes by it."""

from __future__ import annotations

import random

import numpy as np
import pytest

from bendwright.part.aim import aimed
from bendwright.part.model import Part
from bendwright.plan import around
from bendwright.plan.choose import blank_situation
from bendwright.plan.situation import Situation
from bendwright.plan.standing import MOST_WAYS
from bendwright.plan.tables import Tables, ask, make_tables, room_for
from bendwright.plan.tooled import tooling_for
from shop_talk import SHOP, panel, profile, sheet

LAW = "law"
ASKED = 120
LIP = "flanges: [{edge: far, leg: 14, direction: up}]"
TABS = (
    "panel: {base: {width: 300, depth: 120}, flanges: ["
    + ", ".join(
        f"{{edge: {side}, leg: 30, direction: up, left: {10 + 100 * place}, right: {10 + 100 * (2 - place)}, {LIP}}}"
        for side in ("front", "back")
        for place in range(3)
    )
    + "]}"
)
CHAIN = "30 " + " ".join(f"{'ud'[i // 2 % 2]}{(30, 60)[i % 2]} 35" for i in range(13)) + " x 300"


def deep() -> str:
    """A base with a chain behind one edge, longer than what is looked at in all its ways, and a wall with a lip on the others."""
    chain = ""
    for number in range(MOST_WAYS + 2):
        more = f", flanges: [{chain}]" if chain else ""
        chain = f"{{edge: far, leg: 35, direction: {('up', 'down')[number % 2]}, turned: 30{more}}}"
    walls = ", ".join(
        f"{{edge: {side}, leg: 30, direction: up, left: 20, right: 20, {LIP}}}" for side in ("front", "right")
    )
    first = f"{{edge: back, leg: 35, direction: up, turned: 30, left: 20, right: 20, flanges: [{chain}]}}"
    return f"panel: {{base: {{width: 200, depth: 150}}, flanges: [{walls}, {first}]}}"


def situation(part: Part) -> Situation:
    """The part in the demo shop's usual tools on one brake."""
    return blank_situation(aimed(part), tooling_for(sheet("DC01", "1.5"), SHOP, SHOP.brakes["M1"]))


PARTS = [panel(TABS), profile(CHAIN), panel(deep())]
NAMES = ["tabs", "chain", "deep"]


def questions(tables: Tables) -> list[tuple[int, int]]:
    """Moves with sets of bends done, by lot; none that single bodies forbid to every punch."""
    lot, packed, out = random.Random(7), tables.packed, []
    while len(out) < ASKED:
        move = lot.randrange(len(tables.moves))
        mask = lot.randrange(tables.full + 1) & ~tables.moves[move].makes & ~int(packed.bars[move])
        rows = [(int(a), int(b)) for a, b in packed.forbidden[move] if a != -1]
        if not any(mask & a == a and not mask & b for a, b in rows):
            out.append((move, mask))
    return out


def told(tables: Tables, move: int, mask: int, room: int | None = None) -> np.ndarray:
    """All that is answered of a move: how far the part keeps from itself, both stops, the room of every punch (asked with the bends of
    ``room``).
    """
    answer = ask(tables, move, mask)
    suited = np.flatnonzero(tables.tools.suits[:, move])
    rooms = [room_for(tables, move, mask if room is None else room, int(punch)).row for punch in suited]
    return np.concatenate([[answer.apart_mm], *(stop[1:] for stop in answer.stops), *rooms])


@pytest.mark.origin(LAW, "what is the same piece, moved alike and seen alike, stands alike")
def test_bodies_that_are_like_one_stand_as_it_does() -> None:
    """Corners, motions, frame and swing are the same numbers."""
    packed = make_tables(situation(PARTS[0])).packed
    alike = [(int(one), number) for number, one in enumerate(packed.like) if one != number]
    assert alike
    for one, other in alike:
        for at, count, rows in (
            (packed.cloud_at, packed.cloud_n, packed.clouds),
            (packed.path_at, packed.path_n, packed.turns),
            (packed.path_at, packed.path_n, packed.shifts),
            (packed.path_at, packed.path_n, packed.path_bits),
        ):
            assert count[one] == count[other]
            assert (rows[at[one] : at[one] + count[one]] == rows[at[other] : at[other] + count[other]]).all()
        moves, side = (packed.move[one], packed.move[other]), packed.side[one]
        assert side == packed.side[other]
        for rows in (packed.frame_turn[:, side], packed.frame_move[:, side], packed.swing, packed.target, packed.die):
            assert (rows[moves[0]] == rows[moves[1]]).all()


@pytest.mark.origin(LAW, "an answer is the same whether what looks alike was asked before or not")
@pytest.mark.parametrize("part", PARTS, ids=NAMES)
def test_sharing_changes_no_answer(monkeypatch: pytest.MonkeyPatch, part: Part) -> None:
    """The same questions to tables that share between moves and to tables that do not."""
    own = situation(part)
    shared = make_tables(own)
    monkeypatch.setattr(around, "_like", lambda bodies: np.arange(len(bodies)))
    monkeypatch.setattr(around, "_alike", lambda numbers: np.arange(len(numbers)))
    alone = make_tables(own)
    assert int(shared.memory.looks.outlines.used[0]) < int(alone.memory.looks.outlines.used[0])
    for move, mask in questions(shared):
        assert told(shared, move, mask) == pytest.approx(told(alone, move, mask), abs=1e-9)


@pytest.mark.origin(LAW, "a bend that does not matter to a stroke changes nothing of it, done or not")
@pytest.mark.parametrize("part", PARTS, ids=NAMES)
def test_what_does_not_matter_changes_nothing(part: Part) -> None:
    """Asked with all bends that are done, and with those alone that matter; ranks of stops and windows are the same."""
    tables = make_tables(situation(part))
    for move, mask in questions(tables):
        stops, room = mask & int(tables.packed.for_stops[move]), mask & int(tables.packed.for_room[move])
        assert told(tables, move, stops, room) == pytest.approx(told(tables, move, mask), abs=1e-6)
