"""The die asked for first is laid out first, and no other order comes of it."""

from __future__ import annotations

import itertools

import pytest

from bendwright.job import Wishes, _tooled
from bendwright.part.aim import aimed
from bendwright.plan.liked import in_order, liked_first, look_at_all
from bendwright.plan.situation import Situation
from shop_talk import SHOP, example, profile, sheet


@pytest.mark.origin("law", "the order of all that were looked at, whether they were looked at one by one or all before")
@pytest.mark.parametrize("name", ["cabinet_door", "hive_roof", "station_tray", "splash_panel", "channel", "short"])
def test_the_same_order_as_when_all_are_looked_at(name: str) -> None:
    """Dies and punches, the liked first."""
    drawn = {
        "channel": profile("15 u90 40 u90 80 u90 40 u90 15 x 1200"),
        "short": profile("9 u90 40 u90 200 d30 60 x 600"),
    }.get(name) or example(name)
    said = sheet(drawn.header.material or "S235JR", f"{drawn.header.thickness_mm or 2.0}")
    part, tooling, _ = _tooled(drawn, said, SHOP, Wishes(), next(iter(SHOP.brakes.values())))
    part = aimed(part)
    every, _ = look_at_all(part, tooling)
    wanted = list(in_order(part, tooling, every))
    one_by_one = list(liked_first(part, tooling, [], {}))
    assert [(s.dies, s.punches) for s in one_by_one] == [(s.dies, s.punches) for s in wanted]
    looked: list[Situation] = []
    first = list(itertools.islice(liked_first(part, tooling, looked, {}), 1))
    assert [s.blank for s in first] == [s.blank for s in wanted[:1]]
    assert len(looked) <= len(every)
