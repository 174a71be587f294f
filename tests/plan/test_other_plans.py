"""Other plans worth a look: each the best of its kind by every order tried, none shown twice, all of them hold when replayed."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import cache

import numpy as np
import pytest

from bendwright.job import Others, Prepared, Wishes, other_ways, prepare
from bendwright.part.model import Part, Tolerance
from bendwright.plan.build import plan_of
from bendwright.plan.choose import Tooling, choose
from bendwright.plan.figures import marked_of
from bendwright.plan.fits import fits
from bendwright.plan.handling import change, stance
from bendwright.plan.other_plans import OtherPlans, WorthALook, as_data, other_plans
from bendwright.plan.other_seconds import flips_first, most_a_piece_s, stations_first
from bendwright.plan.search import cheapest
from bendwright.plan.stations import Station, fill_slots, pack_stations, slots_for
from bendwright.plan.tables import Tables, ask, room_for
from bendwright.replay.replay import replay_plan
from bendwright.shop.sheet_words import sheet_from_words
from shop_talk import SHOP, example, profile, sheet

EXAMPLES = ("cable_tray", "station_tray", "instrument_rail", "stair_tread")
SMALL = ("30 u90 50 u90 40 x 200", "20 u90 60 d90 35 u90 25 x 200", "18 u90 45 u90 70 u90 30 x 200")
LIPPED = "15 u90 40 u90 80 u90 40 u90 15 x 200"
MARKED = "20 u90 46 u90 47 x 300"
EVERY_ORDER = pytest.mark.origin("law", "every order, side and set of stations tried one by one")
BEST = pytest.mark.origin("law", "the best of a kind is no worse in it than any other plan")


def toleranced(text: str, *flange_ids: str) -> Part:
    """A profile with +/-0.2 on some outside sizes."""
    part, limits = profile(text), Tolerance(minus_mm=-0.2, plus_mm=0.2)
    flanges = tuple(replace(one, tolerance=limits) if one.id in flange_ids else one for one in part.flanges)
    return replace(part, flanges=flanges)


@cache
def looked(name: str) -> tuple[Prepared, Others]:
    """An example part, or a profile with two sizes toleranced, by the charts (quick)."""
    part = example(name) if name in EXAMPLES else toleranced(name, "leg2", "leg3")
    head = part.header
    metal = sheet()
    if name in EXAMPLES:
        metal = sheet_from_words(material_name=head.material, thickness_text=head.thickness_mm, shop=SHOP)
    prepared = prepare(part, metal, SHOP, Wishes(brake_id="M1", model="charts"))
    return prepared, other_ways(prepared, SHOP, seconds=60.0)


def holder(found: OtherPlans, kind: str) -> WorthALook:
    """The one plan that is the best of a kind."""
    (best,) = (item for item in found.plans if kind in [claim.kind for claim in item.claims])
    return best


@pytest.mark.parametrize("name", [*EXAMPLES, MARKED])
@BEST
def test_nothing_shown_beats_the_best_of_a_kind(name: str) -> None:
    """Flips then turns; stations, set-ups, pieces; heavy side behind; spread of the marked sizes."""
    found = looked(name)[1].looked
    assert found.left_out == ()
    figures = [item.figures for item in found.plans]
    flips = holder(found, "fewest flips and turns").figures
    assert (flips.flips, flips.turns) == min((own.flips, own.turns) for own in figures)
    hung = holder(found, "fewest stations and pieces").figures
    assert (hung.stations, hung.set_ups, hung.pieces) == min((o.stations, o.set_ups, o.pieces) for o in figures)
    assert holder(found, "one person").figures.heavy_behind == min(own.heavy_behind for own in figures)
    assert holder(found, "best accuracy").figures.spread_mm <= min(own.spread_mm for own in figures) + 1e-6


@pytest.mark.parametrize("name", [*EXAMPLES, MARKED])
@pytest.mark.origin("law", "a plan that differs in nothing is no other plan")
def test_no_plan_is_shown_twice(name: str) -> None:
    """The plan itself comes first; every other has a kind of its own, and other strokes, sides or stations."""
    prepared, others = looked(name)
    found = others.looked
    assert found.plans[0].plan.strokes == prepared.plan.strokes
    claims = [claim.kind for item in found.plans for claim in item.claims]
    assert claims[0] == "least time"
    assert len(claims) == len(set(claims)) == 5
    assert all(item.claims for item in found.plans)
    ways = {
        (
            tuple((s.bend_ids, s.gauged_flange_side, s.station, s.punch_turned) for s in item.plan.strokes),
            tuple((s.punch_id, s.die_id, s.punch_pieces, s.die_pieces) for s in item.plan.stations),
        )
        for item in found.plans
    }
    assert len(ways) == len(found.plans)
    assert len({item.folder for item in found.plans}) == len(found.plans)


@pytest.mark.parametrize("name", [*EXAMPLES, MARKED])
@pytest.mark.origin("law", "a plan holds when done again by other sums")
def test_every_other_plan_replays(name: str) -> None:
    """Nothing is found wrong with any of them, and each says that it is not the plan of the job."""
    prepared, others = looked(name)
    tools = prepared.tooling
    for job in others.prepared:
        again = replay_plan(prepared.drawn, job.plan, cabinet=SHOP.cabinet, brake=tools.brake, practice=tools.practice)
        assert again == ()
        assert job.plan.findings[0].code == "O126"
        assert not job.plan.optimal
        assert job.plan.lower_bound_s == prepared.plan.lower_bound_s


@pytest.mark.origin("law", "seconds of a plan are those of its strokes, whatever the search counted")
def test_other_plans_are_told_in_the_seconds_of_the_shop() -> None:
    """Handling, strokes and set-up add up in the practice's own seconds."""
    times = SHOP.practice.times
    for job in looked("station_tray")[1].prepared:
        plan = job.plan
        pieces = sum(len(item.punch_pieces) + len(item.die_pieces) for item in plan.stations)
        own = sum(s.handling.seconds for s in plan.strokes) + len(plan.strokes) * (times.position_s + times.stroke_s)
        assert plan.times.cycle_s == pytest.approx(times.load_unload_s + own)
        hung = times.setup_base_s + times.setup_station_s * len(plan.stations) + times.setup_piece_s * pieces
        assert plan.times.setup_s == pytest.approx(hung)


@pytest.mark.origin(
    "derived", "one gauge error and half a deduction where held; two edges, a gauge and a deduction where not"
)
def test_toleranced_sizes_are_held() -> None:
    """Of 20-46-47 the last two are marked: the plan lets one take what is left, the accurate one holds both off their own edge or face."""
    _, others = looked(MARKED)
    found = others.looked
    main, best = found.plans[0].figures, holder(found, "best accuracy")
    assert found.marked.by == "tolerance"
    assert {size.flange_id for size in main.sizes} == {"leg2", "leg3"}
    assert best is not found.plans[0]
    assert best.figures.spread_mm < 0.95 * main.spread_mm
    assert best.plan.doubt is not None
    rules = {rule.flange_id: rule for rule in best.plan.doubt.rules if rule.kind == "leg"}
    assert [len(rules[name].gauge_mm) for name in ("leg2", "leg3")] == [1, 1]
    assert "% less than with the plan" in best.why[0]


@pytest.mark.origin("law", "a fit comes before a tolerance, a tolerance before nothing")
def test_which_sizes_are_marked() -> None:
    """The cable tray has one fit; profiles have what is typed."""
    assert marked_of(example("cable_tray")).flange_ids == ("leg2",)
    assert (marked_of(toleranced(MARKED, "leg3")).by, marked_of(toleranced(MARKED, "leg3")).flange_ids) == (
        "tolerance",
        ("leg3",),
    )
    assert marked_of(profile(MARKED)).by == "general"
    assert len(marked_of(profile(MARKED)).flange_ids) == 3


def tooling() -> Tooling:
    """Two punches and one die."""
    return Tooling(
        dies=(SHOP.cabinet.die("V12"),),
        punches=tuple(SHOP.cabinet.punch(name) for name in ("P1", "P2")),
        sheet=sheet("DX51D+Z", "1.5"),
        practice=replace(SHOP.practice, bend_model="charts"),
        brake=SHOP.brakes["M1"],
        bend_table=None,
    )


def all_sets(tables: Tables) -> Iterator[tuple[Station, ...]]:
    """Every set of one or two stations the drawer can fill, once each, set-ups alike."""
    slots = slots_for(tables.situation, tables.around)
    seen = set()
    for size in (1, 2):
        for group in itertools.combinations(slots, size):
            stations = fill_slots(group)
            if stations is None or len({one.slot.closed_height_mm for one in stations}) > 1:
                continue
            key = tuple((s.slot.punch.id, s.slot.turned, s.slot.eared, s.punch_stack, s.die_stack) for s in stations)
            if key not in seen:
                seen.add(key)
                yield tuple(stations)


def ways(tables: Tables, stations: tuple[Station, ...]) -> Iterator[list[tuple[int, int]]]:
    """Every order of (move, side) that some station of a set can make, asked one by one."""
    stacks = pack_stations(tables.situation, stations)
    known: dict[tuple[int, int, int], bool] = {}

    def works(move: int, side: int, mask: int) -> bool:
        if (move, side, mask) not in known:
            answer = ask(tables, move, mask)
            stop, barred = np.array(answer.stops[side]), bool(mask & tables.packed.bars[move])
            known[move, side, mask] = (
                not barred
                and answer.apart_mm >= -0.02
                and any(
                    fits(
                        tables.packed,
                        tables.tools,
                        stacks,
                        move,
                        room_for(tables, move, mask, int(p)).row,
                        stop,
                        side,
                        k,
                    )
                    for k, p in enumerate(stacks.punch)
                )
            )
        return known[move, side, mask]

    def onward(mask: int, row: list[tuple[int, int]]) -> Iterator[list[tuple[int, int]]]:
        if mask == tables.full:
            yield row
        for move, side in itertools.product(range(len(tables.moves)), (0, 1)):
            makes = tables.moves[move].makes
            if not mask & makes and works(move, side, mask):
                yield from onward(mask | makes, [*row, (move, side)])

    yield from onward(0, [])


def hands(tables: Tables, row: list[tuple[int, int]]) -> tuple[int, int]:
    """Flips and turns of an order."""
    stances = [stance(tables.situation, tables.moves[move].bends[0], side, 1) for move, side in row]
    changes = [change(before, after) for before, after in itertools.pairwise(stances)]
    return sum(flip for flip, _, _ in changes), sum(turn > 1.0 for _, turn, _ in changes)


@pytest.mark.parametrize("text", [*SMALL, LIPPED])
@EVERY_ORDER
def test_fewest_is_fewest_of_all(text: str) -> None:
    """Flips then turns, stations then pieces, strokes with the heavier side behind."""
    part, tools = profile(text), tooling()
    chosen = choose(part, tools, quantity=20)
    tables = chosen.tables
    orders = {stations: list(ways(tables, stations)) for stations in all_sets(tables)}
    works = {stations: rows for stations, rows in orders.items() if rows}
    rows = [row for group in works.values() for row in group]
    plan = plan_of(part, chosen, tools, quantity=20, made_on=date(2026, 1, 1))
    found = other_plans(part, tools, chosen, plan, seconds=60.0)
    claims = {claim.kind: (item.figures, claim.proven) for item in found.plans for claim in item.claims}
    own, proven = claims["fewest flips and turns"]
    assert proven
    assert (own.flips, own.turns) == min(hands(tables, row) for row in rows)
    own, proven = claims["fewest stations and pieces"]
    assert proven
    assert (own.stations, own.pieces) == min((len(s), sum(one.piece_count for one in s)) for s in works)
    own, proven = claims["one person"]
    assert proven
    assert own.heavy_behind == min(sum(bool(tables.heavy[move, side]) for move, side in row) for row in rows)
    if text == LIPPED:
        assert len(found.plans) > 1
        assert found.plans[0].figures.turns > min(hands(tables, row) for row in rows)[1]


@pytest.mark.parametrize("quantity", [1, 400])
@pytest.mark.origin("law", "what is counted first must outweigh all the rest")
def test_a_price_outweighs_everything_after_it(quantity: int) -> None:
    """No job costs as much a piece as the price of one turn, and the prices of stations stand above the whole lot."""
    tables = choose(profile(SMALL[1]), tooling(), quantity=quantity).tables
    solution = cheapest(tables, quantity=quantity)
    assert solution is not None
    most = most_a_piece_s(tables, quantity)
    assert solution.job_s / quantity < most
    hands_first = flips_first(tables, quantity).situation.practice.times
    assert hands_first.turn_s == most
    assert hands_first.flip_s > hands_first.turn_s * (tables.bends - 1)
    hung_first = stations_first(tables, quantity).situation.practice.times
    assert hung_first.setup_piece_s >= most * quantity
    owned = sum(p.count for tool in tables.situation.punches for p in tool.pieces)
    assert hung_first.setup_base_s > hung_first.setup_piece_s * owned
    assert hung_first.setup_station_s > hung_first.setup_base_s * len(solution.stations)


@pytest.mark.parametrize("pin", ["b1<b2", "b1@leg2"])
@pytest.mark.origin("law", "what the person has settled is kept by every plan")
def test_pins_hold_for_other_plans(pin: str) -> None:
    """One bend before another, a flange at the gauge: with sizes toleranced, so that the search for accuracy makes its stops anew."""
    part = toleranced(SMALL[2], "leg2", "leg3")
    prepared = prepare(part, sheet(), SHOP, Wishes(brake_id="M1", model="charts", quantity=20, pins=(pin,)))
    found = other_ways(prepared, SHOP, seconds=60.0).looked
    assert found.left_out == ()
    for item in found.plans:
        made = {stroke.bend_id: stroke for stroke in item.plan.strokes}
        if "<" in pin:
            assert made["b1"].number < made["b2"].number
        else:
            assert made["b1"].gauged_flange_side == ("child" if part.bend("b1").child == "leg2" else "parent")


@pytest.mark.origin("law", "what was not looked at is not claimed")
def test_without_time_nothing_is_claimed() -> None:
    """The plan itself stays, with least time alone; the other kinds are named."""
    part, tools = profile(SMALL[0]), tooling()
    chosen = choose(part, tools, quantity=20)
    plan = plan_of(part, chosen, tools, quantity=20, made_on=date(2026, 1, 1))
    found = other_plans(part, tools, chosen, plan, seconds=0.0)
    assert [claim.kind for item in found.plans for claim in item.claims] == ["least time"]
    assert found.left_out == ("fewest flips and turns", "fewest stations and pieces", "one person", "best accuracy")
    assert as_data(found)["left_out"] == list(found.left_out)
