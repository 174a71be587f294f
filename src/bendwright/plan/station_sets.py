"""Which sets of stations are worth a search? Filled with real pieces, small and quick to hang first."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from bendwright.plan.stations import Slot, Station, fill_slots, slots_for
from bendwright.plan.tables import Tables
from bendwright.plan.who_can import moves_by_length

MOST_STATIONS = 3
MOST_SETS = 500
MOST_FILLED = 10_000
MOST_GROUPS = 200_000
FIRST_SETS = 24
"""After so many sets in vain it is worth looking which bends each station can really make."""
MOST_NEXT = 40


@dataclass(frozen=True, slots=True)
class Candidate:
    """A station filled by itself, and the bends it may make."""

    station: Station
    covers: int

    @property
    def slot(self) -> Slot:
        """What it is filled for."""
        return self.station.slot

    @property
    def effort(self) -> tuple[float, float]:
        """Pieces to hang (uncovered ends count as four), then dislike."""
        return _effort(self.station)


def _effort(station: Station) -> tuple[float, float]:
    return (station.piece_count + 4.0 * station.slot.short, station.slot.dislike_s)


@dataclass(frozen=True, slots=True)
class _Price:
    """Whether a set-up of so many seconds can no longer be the best, and the seconds of some stations."""

    hopeless: Callable[[float], bool]
    to_hang: Callable[[Sequence[Station]], float]


def usable_stations(tables: Tables) -> list[Station]:
    """Slots the drawer can fill by themselves, one of each kind of stacks, short set-ups first."""
    out: dict[tuple[object, ...], Station] = {}
    for slot in slots_for(tables.situation, tables.around):
        filled = fill_slots([slot])
        if filled is not None:
            out.setdefault(_key(filled[0]), filled[0])
    return sorted(out.values(), key=_effort)


def _key(station: Station) -> tuple[object, ...]:
    slot = station.slot
    return (slot.punch.id, slot.turned, slot.eared, slot.die.id, station.punch_stack, station.die_stack)


def station_sets(
    tables: Tables,
    usable: Sequence[Station],
    *,
    hopeless: Callable[[float], bool],
    to_hang: Callable[[Sequence[Station]], float],
    stuck: Callable[[], bool],
    along_an_order: Callable[[], Iterator[tuple[Station, ...]]],
    reach: Callable[[], Sequence[int]],
) -> Iterator[tuple[Station, ...] | None]:
    """Filled sets of slots, small sets and short set-ups first, each set of pieces once; none whose set-up (``to_hang``, seconds) is
    ``hopeless``. None stands for sets that were too many to be looked at.

    Sets that cannot make all bends are skipped: by their lengths, and once the first were in vain (``stuck``) by what each station can
    make in some state (``reach``: sets of bends). Before those come the sets that suit one order that works with all stations at hand
    (``along_an_order``), which may be larger.
    """
    seen: set[tuple[object, ...]] = set()
    made = [
        Candidate(station, _all_of([tables.moves[k].makes for k in moves_by_length(tables, station)]))
        for station in usable
    ]
    priced = _Price(hopeless, to_hang)
    for number, stations in enumerate(_sets(tables, made, priced, seen)):
        if number == FIRST_SETS and stuck():
            break
        yield stations
    else:
        return
    yield from along_an_order()
    made = [Candidate(one.station, one.covers & int(bends)) for one, bends in zip(made, reach(), strict=True)]
    seen.discard(_keys(stations))
    yield from _sets(tables, [one for one in made if one.covers], priced, seen)


def single_stations(tables: Tables, usable: Sequence[Station]) -> Iterator[tuple[Station, ...]]:
    """Every station by itself that is long enough for every bend."""
    spans = [item.span for item in tables.around if len(item.move.bends) == 1]
    longest = max(high - low for low, high in spans) - 2.0 * tables.short_mm - 1e-6
    return ((one,) for one in usable if min(one.punch_stack.length_mm, one.die_stack.length_mm) >= longest)


def _keys(stations: tuple[Station, ...] | None) -> tuple[object, ...]:
    return tuple(_key(station) for station in stations or ())


def _sets(
    tables: Tables, usable: Sequence[Candidate], price: _Price, seen: set[tuple[object, ...]]
) -> Iterator[tuple[Station, ...] | None]:
    times, air = tables.situation.practice.times, tables.situation.bent & ~tables.situation.jogged
    for size in range(1 if air else 0, MOST_STATIONS + 1):
        if price.hopeless(times.setup_base_s + size * (times.setup_station_s + 2 * times.setup_piece_s)):
            return
        looked = list(itertools.islice(itertools.combinations(usable, size), MOST_GROUPS + 1))
        groups = [group for group in looked if _all_of([one.covers for one in group]) & air == air]
        groups.sort(key=lambda group: sum(one.effort[0] for one in group))
        searched = 0
        for group in groups[:MOST_FILLED]:
            stations = fill_slots([one.slot for one in group])
            key = _keys(tuple(stations or ()))
            if stations is None or key in seen or price.hopeless(price.to_hang(stations)):
                continue
            if searched == MOST_SETS:
                break
            searched += 1
            seen.add(key)
            yield tuple(stations)
        if searched == MOST_SETS or len(groups) > MOST_FILLED or len(looked) > MOST_GROUPS:
            yield None


def neighbours(stations: Sequence[Station], usable: Sequence[Station]) -> Iterator[tuple[Station, ...]]:
    """Sets that differ from a set in one station: another in its place, or none."""
    for k in range(len(stations)):
        others = [one.slot for j, one in enumerate(stations) if j != k]
        for slot in [None, *(one.slot for one in usable)]:
            filled = fill_slots(others if slot is None else [*others[:k], slot, *others[k:]])
            if filled:
                yield tuple(filled)


def greedy_sets(
    usable: Sequence[Station], makes: Callable[[Sequence[Station]], list[int]], most: int
) -> Iterator[tuple[Station, ...]]:
    """Sets of at most that many stations that make all strokes of an order, each begun with another station that makes many; ``makes``
    says which strokes each of some stations can make, as sets. What counts is the pieces the drawer gives all of them together.
    """
    alone = makes(usable)
    full = _all_of(alone)
    ranked = sorted(range(len(usable)), key=lambda k: (-alone[k].bit_count(), _effort(usable[k])))
    for first in ranked[:FIRST_SETS]:
        chosen, done = [first], alone[first]
        while done != full and len(chosen) < most:
            best = (done.bit_count(), -1, done)
            for k in sorted((k for k in ranked if alone[k] & ~done), key=lambda k: -(alone[k] & ~done).bit_count())[
                :MOST_NEXT
            ]:
                filled = fill_slots([usable[j].slot for j in (*chosen, k)])
                together = 0 if filled is None else _all_of(makes(filled))
                if together.bit_count() > best[0]:
                    best = (together.bit_count(), k, together)
            if best[1] < 0:
                break
            chosen.append(best[1])
            done = best[2]
        filled = fill_slots([usable[k].slot for k in chosen]) if done == full else None
        if filled is not None:
            yield tuple(filled)


def _all_of(sets: Sequence[int]) -> int:
    out = 0
    for own in sets:
        out |= own
    return out
