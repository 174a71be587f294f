"""What the person has settled, the search does not touch: an order, a side at the gauge, a punch for a bend."""

from __future__ import annotations

import itertools
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from bendwright.findings import Finding, InputError, found
from bendwright.part.bumped import runs_of
from bendwright.part.model import Part
from bendwright.plan.tables import Tables
from bendwright.shop.tools import Punch

MOST_RUNS_EACH_WAY = 2
"""Up to so many large radii of a part every combination of ends to begin from is tried."""
WORDS = re.compile(r"^\s*(?P<bend>[^\s<@=]+)\s*(?P<sign>[<@=])\s*(?P<value>[^\s<@=]+)\s*$")


@dataclass(frozen=True, slots=True)
class Pin:
    """One thing settled for a bend: it comes ``before`` another bend, a flange lies at the ``gauge``, or it is made with a ``punch``."""

    kind: Literal["before", "gauge", "punch"]
    bend: str
    value: str


def read_pins(texts: Sequence[str], part: Part, punches: Sequence[Punch]) -> tuple[Pin, ...]:
    """Pins as a person types them: b1<b3 (b1 before b3), b2@lid (flange lid at the gauge), b4=P2 (punch P2). Raises InputError with
    O121 for each that is not understood.
    """
    kinds: dict[str, Literal["before", "gauge", "punch"]] = {"<": "before", "@": "gauge", "=": "punch"}
    bends = {bend.id: bend for bend in part.bends}
    out, wrong = [], list[Finding]()
    for text in texts:
        match = WORDS.match(text)
        bend = bends.get(match["bend"]) if match else None
        allowed = [""]
        if match and bend:
            allowed = {"<": list(bends), "@": [bend.parent, bend.child], "=": [p.id for p in punches]}[match["sign"]]
        if match is None or bend is None or match["value"] not in allowed or match["value"] == bend.id:
            wrong.append(found("O121", pin=text[:60], bends=", ".join(bends), punches=", ".join(p.id for p in punches)))
        else:
            out.append(Pin(kinds[match["sign"]], bend.id, match["value"]))
    if wrong:
        raise InputError(wrong)
    return tuple(out)


def pinned(tables: Tables, pins: Sequence[Pin]) -> Tables:
    """The same tables with everything settled that the pins say."""
    index = {bend.id: i for i, bend in enumerate(tables.situation.part.bends)}
    for pin in pins:
        bend = index[pin.bend]
        if pin.kind == "before":
            tables = after(tables, [bend], [index[pin.value]])
        elif pin.kind == "gauge":
            child = tables.situation.part.bends[bend].child == pin.value
            tables = at_gauge(tables, bend, 1 if child else 0)
        else:
            tables = with_punch(tables, bend, pin.value)
    return tables


Run = Literal["in one go", "one end", "both ends"]
RUNS: tuple[Run, ...] = ("in one go", "one end", "both ends")


def in_runs(tables: Tables, how: Run) -> tuple[Tables, ...]:
    """The same tables with the hits of every large radius fixed to be made one after the other, from the parent's end or from the
    child's; each way by itself, or where there are many such radii all from one end. In one go: the sheet not bent yet lies at the
    gauge, and nothing else is bent between. Both ends: one half after the other, each toward the middle. The tables themselves where
    there are no such radii.
    """
    part = tables.situation.part
    index = {bend.id: i for i, bend in enumerate(part.bends)}
    runs = [[index[name] for name in run] for run in runs_of(part)]
    ways = list(itertools.product((1, -1), repeat=len(runs)))
    if len(runs) > MOST_RUNS_EACH_WAY:
        ways = [ways[0], ways[-1]]
    out = []
    for chosen in ways:
        held = tables
        for run, way in zip(runs, chosen, strict=True):
            row = run[::way]
            half = (len(row) + 1) // 2 if how == "both ends" else len(row)
            held = _in_order(held, [*row[:half], *reversed(row[half:])])
            for hit in run if how == "in one go" else ():
                held = at_gauge(held, hit, 1 if way > 0 else 0)
            held = _in_one_go(held, row) if how == "in one go" else held
        out.append(held)
    return tuple(out)


def _in_order(tables: Tables, run: Sequence[int]) -> Tables:
    """The same tables with the bends of a run made one after the other."""
    needs, bars = tables.packed.needs.copy(), tables.packed.bars.copy()
    for number, move in enumerate(tables.moves):
        for place, bend in enumerate(run):
            if bend in move.bends:
                needs[number] |= sum(1 << one for one in run[:place]) & ~move.makes
                bars[number] |= sum(1 << one for one in run[place + 1 :]) & ~move.makes
    return replace(tables, packed=tables.packed._replace(needs=needs, bars=bars))


def _in_one_go(tables: Tables, run: Sequence[int]) -> Tables:
    """The same tables with no other bend made between the first and the last of a run."""
    rows = tables.packed.forbidden.copy()
    for number, move in enumerate(tables.moves):
        free = np.flatnonzero(rows[number, :, 0] == -1)
        if len(free) and not any(bend in run for bend in move.bends):
            rows[number, free[0]] = (1 << run[0], 1 << run[-1])
    return replace(tables, packed=tables.packed._replace(forbidden=rows))


def held_to(tables: Tables, moves: Sequence[int]) -> Tables:
    """The same tables with the whole order of the bends fixed: these moves, one after the other, and no others. When hems are pressed
    flat stays open.
    """
    packed = tables.packed
    needs, bars = packed.needs.copy(), packed.bars.copy()
    sides = np.zeros_like(packed.sides)
    mask = 0
    for number in moves:
        for alike in (k for k, move in enumerate(tables.moves) if move.makes == tables.moves[number].makes):
            needs[alike] |= mask
            bars[alike] |= tables.situation.bent & ~mask
            sides[alike] = packed.sides[alike]
        mask |= tables.moves[number].makes
    return replace(tables, packed=packed._replace(needs=needs, bars=bars, sides=sides))


def after(tables: Tables, first: Sequence[int], later: Sequence[int]) -> Tables:
    """The same tables with some bends fixed to come before others (both by their number)."""
    packed = tables.packed
    needs = packed.needs.copy()
    before = sum(1 << bend for bend in first)
    for number, move in enumerate(tables.moves):
        if any(bend in later for bend in move.bends):
            needs[number] |= before & ~move.makes
    return replace(tables, packed=packed._replace(needs=needs))


def at_gauge(tables: Tables, bend: int, side: int) -> Tables:
    """The same tables with a bend's parent (0) or child (1) side fixed to lie at the gauge."""
    sides = tables.packed.sides.copy()
    for number, move in enumerate(tables.moves):
        if bend in move.bends:
            sides[number, 1 - side] = False
        if move.jog and bend in move.bends:
            own = tables.situation.part.bends[bend]
            made = tables.situation.jog_of(bend)
            back = made is not None and made.beyond(bend) == (own.child if side == 1 else own.parent)
            sides[number] = tables.packed.sides[number] & (back and move.bends[1] == bend)
    return replace(tables, packed=tables.packed._replace(sides=sides))


def with_punch(tables: Tables, bend: int, punch_id: str) -> Tables:
    """The same tables with one punch fixed for a bend."""
    suits = tables.tools.suits.copy()
    for number, move in enumerate(tables.moves):
        if bend in move.bends:
            for k, punch in enumerate(tables.situation.punches):
                suits[k, number] &= punch.id == punch_id
    return replace(tables, tools=tables.tools._replace(suits=suits))
