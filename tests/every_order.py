"""The cheapest order by trying every order, side and station, one question at a time, none of the search's shortcuts."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely

from bendwright.plan.costing import ALONG_S, ASIDE_S, FIT_S, HEAVY_BEHIND_S, POOR_STOP_S, SHIFT_S, setups_of
from bendwright.plan.explain import can
from bendwright.plan.fits import Stacks, fits
from bendwright.plan.handling import change_seconds, stance
from bendwright.plan.stations import Station, pack_stations
from bendwright.plan.tables import Tables, ask, room_for

FAR = 1e9


@dataclass(frozen=True)
class Here:
    """A stroke tried: move, side at the gauge, station, bends done before."""

    move: int
    side: int
    station: int
    mask: int


@dataclass(frozen=True)
class Trial:
    """One set of stations and everything a stroke costs there, asked one by one."""

    tables: Tables
    stations: tuple[Station, ...]

    @cached_property
    def stacks(self) -> Stacks:
        """The stations as the question for room takes them."""
        return pack_stations(self.tables.situation, self.stations)

    def flags(self, here: Here) -> int:
        """Whether and how the station can make the move."""
        tables, k = self.tables, here.station
        if here.mask & tables.packed.bars[here.move]:
            return 0
        if tables.moves[here.move].pressed:
            fine = self.stations[k].flattens and here.side == 1
            return int(fine and can(tables, self.stacks, here.move, here.mask))
        if self.stations[k].presses:
            return 0
        answer = ask(tables, here.move, here.mask)
        if answer.apart_mm < -0.02:
            return 0
        row = room_for(tables, here.move, here.mask, int(self.stacks.punch[k])).row
        stop = np.array(answer.stops[here.side])
        return int(fits(tables.packed, tables.tools, self.stacks, here.move, row, stop, here.side, k))

    def costs(self) -> float:
        """Least cost of a piece over all orders, bends made together, sides and stations, by trying them; FAR when none works."""
        return self._onward(0, None, (), 0.0, FAR)

    def _onward(self, mask: int, last: Here | None, setups: tuple[int, ...], cost: float, best: float) -> float:
        """Cost of the cheapest way on, given up once it is no better than ``best``."""
        if cost >= best or mask == self.tables.full:
            return cost if cost < best else FAR
        found = FAR
        moves = [
            k for k, move in enumerate(self.tables.moves) if not mask & move.makes and mask & move.needs == move.needs
        ]
        for move, side, k in itertools.product(moves, (0, 1), range(len(self.stations))):
            here = Here(move, side, k, mask)
            flags, setup = self.flags(here), setups_of(self.stations)[k]
            if not flags or (setup in setups and setup != setups[-1]):
                continue
            more = self._own(here, flags) + (0.0 if last is None else self._between(last, here))
            row = setups if setups and setups[-1] == setup else (*setups, setup)
            makes = self.tables.moves[move].makes
            found = min(found, self._onward(mask | makes, here, row, cost + more, min(best, found)))
        return found

    def _own(self, here: Here, flags: int) -> float:
        times = self.tables.situation.practice.times
        if self.tables.moves[here.move].pressed:
            return times.position_s + times.stroke_s
        rank = ask(self.tables, here.move, here.mask).stops[here.side][5]
        cost = times.position_s + times.stroke_s + (FIT_S if rank >= 3.0 else 0.0)
        cost += ASIDE_S * bool(flags & 2) + ALONG_S * bool(flags & (4 | 16)) + SHIFT_S * bool(flags & 8)
        cost += POOR_STOP_S * float(np.round(np.clip(rank + 0.1, 0.0, 3.0)))
        return cost + HEAVY_BEHIND_S * _heavy_behind(self.tables, self.tables.moves[here.move].bends[0], here.side)

    def _between(self, last: Here, here: Here) -> float:
        situation = self.tables.situation
        times = situation.practice.times
        before, after = (
            stance(situation, self.tables.moves[h.move].bends[0], h.side, h.station + 1) for h in (last, here)
        )
        cost = change_seconds(before, after, times)
        setups = setups_of(self.stations)
        cost += times.load_unload_s if setups[last.station] != setups[here.station] else 0.0
        if any(self.tables.moves[h.move].pressed for h in (last, here)):
            return cost
        places = [np.array(ask(self.tables, h.move, h.mask).stops[h.side][1:3]) for h in (last, here)]
        return cost + (times.gauge_move_s if np.abs(places[0] - places[1]).max() > 0.05 else 0.0)


def _heavy_behind(tables: Tables, bend: int, side: int) -> bool:
    """More sheet at the gauge than in front, walking the part's tree."""
    made = tables.situation.part.bends[bend]
    areas = {flat.flange_id: shapely.Polygon(flat.outline).area for flat in tables.situation.blank.flats}

    def beyond(flange: str, barred: str) -> float:
        return areas[flange] + sum(
            beyond(b.child if b.parent == flange else b.parent, b.id)
            for b in tables.situation.part.bends
            if b.id != barred and flange in (b.parent, b.child)
        )

    back, front = (made.child, made.parent) if side == 1 else (made.parent, made.child)
    return beyond(back, made.id) > beyond(front, made.id) + 1e-6
