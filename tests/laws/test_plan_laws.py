"""Laws every plan must keep: the optimum is one, mirrors plan alike, less choice is never better, nothing contradicts itself."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import pytest
import shapely

from bendwright.drawing.quick_profile import quick_profile
from bendwright.findings import NotPossibleError
from bendwright.job import Wishes, check_order, prepare
from bendwright.part.model import Header, Part
from bendwright.plan.choose import Tooling, choose
from bendwright.plan.costing import (
    ALONG_S,
    ASIDE_S,
    FIT_S,
    HEAVY_BEHIND_S,
    POOR_STOP_S,
    SHIFT_S,
    setup_seconds,
    setups_of,
)
from bendwright.plan.explain import can, real_stacks
from bendwright.plan.fits import Stacks, fits
from bendwright.plan.handling import change_seconds, stance
from bendwright.plan.pins import held_to
from bendwright.plan.result import Plan
from bendwright.plan.search import Solution, cheapest
from bendwright.plan.stations import Station, fill_slots, pack_stations, slots_for
from bendwright.plan.tables import Tables, ask, room_for
from bendwright.shop.read import built_in_shop
from bendwright.shop.sheet import Sheet
from bendwright.shop.sheet_words import sheet_from_words

SHOP = built_in_shop("saltmarsh")
QUANTITY = 20
FAR = 1e9
EVERY_ORDER = pytest.mark.origin("law", "every order, side and station tried one by one")
SMALL = ("30 u90 50 u90 40", "20 u90 60 d90 35 u90 25", "18 u90 45 u90 70 u90 30", "40 d45 30 u90 25 u90 60")
TWO_STATIONS = ("59 u90 35 u45 31 u90 15 u90 21", "24 u90 53 u90 16 u45 49 u45 27")
LARGER = ("15 u90 40 u90 80 u90 40 u90 15", "20 u90 30 d90 60 u90 40 u45 30", "14 u90 25 u90 60 d90 30 d90 20 u90 16")


def _part(text: str, length: int = 200) -> Part:
    header = Header(part_no="SM-9900", revision="A", material="DX51D+Z", thickness_mm=1.5)
    return quick_profile(f"{text} x {length}", header=header)


def _sheet() -> Sheet:
    return sheet_from_words(material_name="DX51D+Z", thickness_text="1.5", measured_texts=["1.5"], shop=SHOP)


def _solution(part: Part, *punch_ids: str) -> Solution:
    tooling = Tooling(
        dies=(SHOP.cabinet.die("V12"),),
        punches=tuple(SHOP.cabinet.punch(name) for name in punch_ids),
        sheet=_sheet(),
        practice=SHOP.practice,
        brake=SHOP.brakes["M1"],
        bend_table=None,
    )
    return choose(part, tooling, quantity=QUANTITY).solution


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
        moves = [k for k, move in enumerate(self.tables.moves) if not mask & move.makes]
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


@pytest.mark.parametrize("text", [*SMALL, TWO_STATIONS[0]])
@EVERY_ORDER
def test_the_cheapest_job_is_the_cheapest_of_all(text: str) -> None:
    """Every set of one or two stations the drawer can fill, with every order, side and station for each stroke."""
    solution = _solution(_part(text), "P1", "P2")
    tables = solution.tables
    slots = slots_for(tables.situation, tables.around)
    best, seen = FAR, set()
    for size in (1, 2):
        for group in itertools.combinations(slots, size):
            stations = fill_slots(group)
            if stations is None:
                continue
            key = tuple((s.slot.punch.id, s.slot.turned, s.slot.eared, s.punch_stack, s.die_stack) for s in stations)
            setup = setup_seconds(tables.situation, stations) + sum(s.slot.dislike_s for s in stations)
            least = tables.bends * 18.0 * QUANTITY
            if key in seen or setup + least >= best:
                continue
            seen.add(key)
            best = min(best, setup + QUANTITY * Trial(tables, tuple(stations)).costs())
    assert len(solution.stations) == (2 if text in TWO_STATIONS else 1)
    assert solution.job_s == pytest.approx(best, abs=1e-6)


@pytest.mark.parametrize("text", [*LARGER, *TWO_STATIONS])
@EVERY_ORDER
def test_the_order_is_the_cheapest_of_all_with_its_stations(text: str) -> None:
    """Four and five bends; the stations the search took are held."""
    solution = _solution(_part(text), "P1", "P2")
    assert solution.cost_s == pytest.approx(Trial(solution.tables, solution.stations).costs(), abs=1e-6)


@pytest.mark.parametrize("text", [*SMALL, LARGER[0]])
@EVERY_ORDER
def test_no_fixed_order_beats_the_optimum(text: str) -> None:
    """The optimum is the best of all orders held fixed, and at least one of them reaches it."""
    solution = _solution(_part(text), "P1", "P2")
    jobs = []
    for order in itertools.permutations(range(solution.tables.bends)):
        found = cheapest(held_to(solution.tables, order), quantity=QUANTITY)
        if found is not None:
            jobs.append(found.job_s)
    assert min(jobs) == pytest.approx(solution.job_s, abs=1e-6)


def _plan(part: Part, **wishes: object) -> Plan:
    return prepare(part, _sheet(), SHOP, Wishes(brake_id="M1", die_id="V12", quantity=QUANTITY, **wishes)).plan  # type: ignore[arg-type]


@pytest.mark.parametrize("text", SMALL)
@pytest.mark.origin("law", "a part read from the other end, or seen from below, is the same part")
def test_mirrored_parts_plan_alike(text: str) -> None:
    """Same blank, same seconds, same smallest clearance."""
    plan = _plan(_part(text))
    words = text.split()
    swapped = text.replace("u", "x").replace("d", "u").replace("x", "d")
    for other in (_plan(_part(" ".join(reversed(words)))), _plan(_part(swapped))):
        assert other.blank.height_mm == pytest.approx(plan.blank.height_mm, abs=1e-6)
        assert other.times.cycle_s == pytest.approx(plan.times.cycle_s)
        assert other.times.setup_s == pytest.approx(plan.times.setup_s)
        assert other.lower_bound_s == pytest.approx(plan.lower_bound_s)


@pytest.mark.parametrize("text", SMALL[:2])
@pytest.mark.origin("law", "force is line load times length; the section does not know the length")
def test_twice_as_long_needs_twice_the_force(text: str) -> None:
    """Depth, radius and blank height stay."""
    short, long = _plan(_part(text)), _plan(_part(text, 400))
    assert long.blank.height_mm == pytest.approx(short.blank.height_mm)
    for one, two in zip(
        sorted(short.strokes, key=lambda s: s.bend_id), sorted(long.strokes, key=lambda s: s.bend_id), strict=True
    ):
        assert two.force_kn.high == pytest.approx(2.0 * one.force_kn.high)
        assert two.depth_mm == pytest.approx(one.depth_mm)
        assert two.inside_radius_mm == pytest.approx(one.inside_radius_mm)


@pytest.mark.parametrize("text", [*SMALL, LARGER[0]])
@pytest.mark.origin("law", "what can be chosen with less can be chosen with more")
def test_another_punch_never_makes_it_dearer(text: str) -> None:
    """The job with one punch alone, where it works at all, is never cheaper than with both."""
    part = _part(text)
    both = _solution(part, "P1", "P2").job_s
    alone = []
    for punch in ("P1", "P2"):
        try:
            alone.append(_solution(part, punch).job_s)
        except NotPossibleError:
            continue
    assert all(job >= both - 1e-6 for job in alone)


@pytest.mark.parametrize("text", [*SMALL, *LARGER])
@pytest.mark.origin("law", "a plan does not contradict itself")
def test_a_plan_agrees_with_itself(text: str) -> None:
    """Its order passes the check of hand-made orders at its own time; no refusal forbids what it does; the bound holds."""
    part = _part(text)
    plan = _plan(part)
    order = tuple(stroke.bend_id for stroke in plan.strokes)
    verdict = check_order(part, _sheet(), SHOP, order, Wishes(brake_id="M1", die_id="V12", quantity=QUANTITY))
    assert verdict.works
    assert verdict.cycle_s == pytest.approx(plan.times.cycle_s)
    assert verdict.best_cycle_s == pytest.approx(plan.times.cycle_s)
    assert plan.lower_bound_s <= plan.times.cycle_s + 1e-9
    assert order[-1] not in {item.bend_id for item in plan.refused}


@pytest.mark.parametrize("text", SMALL)
@pytest.mark.origin("law", "an order works only if each of its strokes does")
def test_refused_orders_name_a_stroke_that_no_station_can_do(text: str) -> None:
    """Every order: it works, or the first stroke without a station is named, with its millimetres when something overlaps."""
    part = _part(text)
    solution = _solution(part, "P1", "P2")
    stacks = real_stacks(solution.tables)
    names = [bend.id for bend in part.bends]
    shop = replace(
        SHOP, cabinet=replace(SHOP.cabinet, punches=tuple(SHOP.cabinet.punch(name) for name in ("P1", "P2")))
    )
    for order in itertools.permutations(range(len(names))):
        mask, blocked = 0, None
        for bend in order:
            if not can(solution.tables, stacks, bend, mask):
                blocked = names[bend]
                break
            mask |= 1 << bend
        said = check_order(part, _sheet(), shop, tuple(names[i] for i in order), Wishes(brake_id="M1", die_id="V12"))
        if blocked is None:
            continue
        assert not said.works
        assert said.refused is not None
        assert said.refused.bend_id == blocked
        if "mm into" in said.sentence:
            assert said.refused.mm is not None
            assert said.refused.mm < 0.0
