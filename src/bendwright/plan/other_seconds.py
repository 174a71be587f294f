"""What must be counted in which seconds so that the cheapest order is the one asked for: fewest flips, fewest stations, ...

Every change is an additive price on what the search already adds up, so the search stays exact. A price is higher than everything
that comes after it could ever cost together: the dearer thing is then counted first, and the shop's own seconds decide among equals.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from bendwright.plan.costing import ALONG_S, ASIDE_S, FIT_S, HEAVY_BEHIND_S, POOR_STOP_S, SHIFT_S
from bendwright.plan.pins import Pin, pinned
from bendwright.plan.search import MOST_AT_ONCE
from bendwright.plan.stations import UNCOVERED_S
from bendwright.plan.tables import Tables, make_tables

WORST_RANK = 3.0
STROKES_A_BEND = 2
"""A hem is bent and pressed."""


def flips_first(tables: Tables, quantity: int) -> Tables:
    """The fewest flips, then the fewest turns, then the plan's own seconds."""
    turn = most_a_piece_s(tables, quantity)
    return _with_times(tables, flip_s=turn * STROKES_A_BEND * tables.bends, turn_s=turn)


def stations_first(tables: Tables, quantity: int) -> Tables:
    """The fewest stations, then the fewest set-ups, then the fewest pieces to hang, then the plan's own seconds."""
    piece = most_a_piece_s(tables, quantity) * quantity
    set_up = piece * _most_pieces(tables)
    return _with_times(tables, setup_station_s=set_up * (MOST_AT_ONCE + 1), setup_base_s=set_up, setup_piece_s=piece)


def light_side_first(tables: Tables, quantity: int) -> Tables:
    """The fewest strokes with the heavier side of the sheet behind the tools, then the plan's own seconds."""
    return replace(tables, heavy=tables.heavy * (most_a_piece_s(tables, quantity) / HEAVY_BEHIND_S))


def as_fits(tables: Tables, *, flange_ids: Iterable[str], pins: Iterable[Pin]) -> Tables:
    """An error that falls on one of these outside sizes is paid for as one on a fit; what is pinned stays pinned."""
    situation, marked = tables.situation, set(flange_ids)
    part = situation.part
    flanges = tuple(replace(flange, fit=flange.id in marked) for flange in part.flanges)
    if flanges == part.flanges:
        return tables
    made = make_tables(replace(situation, part=replace(part, flanges=flanges)))
    return pinned(replace(made, situation=situation), tuple(pins))


def most_a_piece_s(tables: Tables, quantity: int) -> float:
    """Seconds that no piece of the lot can cost, its share of the set-up and all drawbacks counted."""
    times = tables.situation.practice.times
    drawbacks = HEAVY_BEHIND_S + WORST_RANK * POOR_STOP_S + FIT_S + ASIDE_S + ALONG_S + SHIFT_S
    between = times.turn_s + times.flip_s + times.gauge_move_s + times.station_change_s + times.load_unload_s
    stroke = times.position_s + times.stroke_s + drawbacks + between
    hung = MOST_AT_ONCE * (times.setup_base_s + times.setup_station_s + UNCOVERED_S + 1.0)
    return STROKES_A_BEND * tables.bends * stroke + (hung + times.setup_piece_s * _most_pieces(tables)) / quantity


def _most_pieces(tables: Tables) -> int:
    """More pieces than can ever hang: all that are owned, in as many set-ups as there are stations."""
    situation = tables.situation
    owned = [tool.pieces for tool in situation.punches] + [tool.pieces for tool in dict.fromkeys(situation.dies)]
    return 1 + MOST_AT_ONCE * sum(piece.count for pieces in owned for piece in pieces)


def _with_times(tables: Tables, **seconds: float) -> Tables:
    situation = tables.situation
    practice = replace(situation.practice, times=replace(situation.practice.times, **seconds))
    return replace(tables, situation=replace(situation, practice=practice))
