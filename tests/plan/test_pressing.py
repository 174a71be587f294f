"""Hems are bent in one stroke and pressed flat in another, whenever that is best and nothing stands in the way."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bendwright.job import Wishes, prepare
from bendwright.part.aim import aimed
from bendwright.part.model import Part
from bendwright.plan.choose import choose
from bendwright.plan.explain import obstacle, real_stacks
from bendwright.plan.pressing import fewest
from bendwright.plan.result import Plan
from bendwright.plan.tooled import tooling_for
from bendwright.replay.replay import replay_plan
from bendwright.shop.shop import Shop
from every_order import Trial
from shop_talk import SHOP, example, panel, sheet

STRIP = """
panel:
  base: {width: 300, depth: 160}
  flanges:
    - {edge: front, leg: 40, direction: up, hem: {kind: closed, length: 12, direction: up}}
    - {edge: back, leg: 12, direction: up}
"""
LIPS = """
panel:
  base: {width: 300, depth: 160}
  flanges:
    - {edge: front, leg: 30, direction: up, hem: {kind: closed, length: 12, direction: down}}
    - {edge: back, leg: 45, direction: up, hem: {kind: open, gap: 1, length: 12, direction: up}}
"""


FACING = """
material: DX51D+Z
thickness: 0.7
panel:
  base: {width: 440, depth: 200}
  flanges:
    - edge: [front, back]
      leg: 40
      direction: up
      hem: {kind: closed, length: 12, direction: up}
"""


@cache
def _hive_roof() -> Plan:
    return _plan_of(example("hive_roof"), SHOP)


def _plan_of(part: Part, shop: Shop) -> Plan:
    return prepare(part, sheet("DX51D+Z", "0.7"), shop, Wishes(brake_id="M1", quantity=80)).plan


def _told(plan: Plan, part: Part, shop: Shop) -> set[str]:
    """Codes of the replay."""
    said = replay_plan(
        aimed(part), plan, cabinet=shop.cabinet, brake=shop.brakes[plan.brake_id], practice=shop.practice
    )
    return {finding.code for finding in said}


@pytest.mark.origin(
    "practice", "hems first, then the walls that stand between them; a long bar presses what it lies over"
)
def test_the_long_bar_decides_what_can_wait() -> None:
    """The bar of 835 reaches over the next corners: only hems that face each other can both be bent before one is pressed. The walls
    come after all hems, the shorter pair first.
    """
    plan = _hive_roof()
    kinds = ["press" if stroke.kind == "hem_flatten" else stroke.bend_id[0] for stroke in plan.strokes]
    assert kinds == ["h", "h", "press", "press"] * 2 + ["b"] * 4
    assert {stroke.bend_id for stroke in plan.strokes[8:10]} == {"b2", "b4"}
    assert plan.optimal
    assert _told(plan, example("hive_roof"), SHOP) == set()


@pytest.mark.origin("law", "two walks are needed at least: to the flat tools, and to the die for the walls")
def test_facing_hems_are_bent_together_and_pressed_together() -> None:
    """No walk more than there are stations."""
    plan = _plan_of(panel(FACING), SHOP)
    kinds = [stroke.kind for stroke in plan.strokes]
    assert kinds == ["hem_prebend"] * 2 + ["hem_flatten"] * 2 + ["air_bend"] * 2
    assert sum(stroke.handling.station_change for stroke in plan.strokes) == 2
    assert plan.optimal


@pytest.mark.origin(
    "derived",
    "with its own wall bent up the hem lies below the plane of the next wall beside the ram",
)
def test_a_hem_among_walls_cannot_be_pressed() -> None:
    """Pre-bent in time it can wait for any one wall, but not for its own and the one beside it."""
    tooling = tooling_for(sheet("DX51D+Z", "0.7"), SHOP, SHOP.brakes["M1"])
    tables = choose(aimed(example("hive_roof")), tooling, quantity=80).solution.tables
    names = {bend.id: i for i, bend in enumerate(tables.situation.part.bends)}
    press = next(k for k, move in enumerate(tables.moves) if move.pressed and move.bends == (names["h1"],))
    stacks = real_stacks(tables)
    hems = sum(1 << names[name] for name in ("h1", "h2", "h3", "h4"))
    others = sum(tables.situation.stage_of(names[name]) for name in ("h2", "h3", "h4"))
    own, beside = (1 << names[name] for name in ("b1", "b2"))
    for mask in (0, own, beside):
        assert obstacle(tables, press, hems | others | mask, stacks) is None
    said = obstacle(tables, press, hems | others | own | beside, stacks)
    assert said is not None
    assert said.sentence.startswith("hem h1 cannot be pressed flat: ")
    assert said.against == "ram"
    assert said.mm is not None
    assert said.mm < -1.0


@pytest.mark.origin("law", "a plan made wrong on purpose is found out")
def test_the_replay_sees_a_hem_pressed_among_walls() -> None:
    """The last pressing moved behind the walls: they stand in the long bar."""
    plan = _hive_roof()
    order = [1, 2, 3, 4, 5, 6, 7, 9, 10, 8, 11, 12]
    strokes = tuple(replace(plan.strokes[old - 1], number=new) for new, old in enumerate(order, start=1))
    assert "V110" in _told(replace(plan, strokes=strokes), example("hive_roof"), SHOP)


SETS = st.tuples(st.integers(0, 31), st.integers(0, 31)).map(lambda pair: (pair[0], pair[1] & ~pair[0]))


@given(st.sets(SETS, min_size=1, max_size=14))
@pytest.mark.origin("law", "the same sets of bends, asked one by one")
def test_fewer_rows_say_the_same(rows: set[tuple[int, int]]) -> None:
    """Every set of five bends is forbidden by the fewer rows if and only if it is by all."""
    fewer = fewest(rows)
    for mask in range(32):
        said = [any(mask & must == must and not mask & mustnot for must, mustnot in table) for table in (rows, fewer)]
        assert said[0] == said[1]


@pytest.mark.parametrize("text", [STRIP, LIPS])
@pytest.mark.origin("law", "every order, side and station tried one by one")
def test_no_order_of_bending_and_pressing_is_quicker(text: str) -> None:
    """With the stations the search took; what the shop likes and dislikes counted in."""
    tooling = tooling_for(sheet("DX51D+Z", "0.8"), SHOP, SHOP.brakes["M1"], die_id="V8")
    solution = choose(aimed(panel(f"material: DX51D+Z\nthickness: 0.8\n{text}")), tooling, quantity=20).solution
    assert solution.cost_s == pytest.approx(Trial(solution.tables, solution.stations).costs(), abs=1e-6)
