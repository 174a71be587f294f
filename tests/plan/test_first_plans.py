"""Parts above what can be proven in time: a first plan in a moment, every stroke of which works, and what is said of how good it is."""

from __future__ import annotations

import pytest

from bendwright.part.aim import aimed
from bendwright.part.model import Part
from bendwright.plan import backwards, search
from bendwright.plan.best_so_far import Effort
from bendwright.plan.choose import blank_situation
from bendwright.plan.search import cheapest
from bendwright.plan.solution import real_cycle_s
from bendwright.plan.tables import Tables, make_tables
from bendwright.plan.tooled import tooling_for
from bendwright.plan.who_can import strokes_made
from shop_talk import SHOP, panel, profile, sheet

MOMENT_S, GAP = 0.3, 0.1
ZIGZAG = "40 " + " ".join(f"{'ud'[i % 2]}20 40" for i in range(24)) + " x 600"
GUTTER = "55 " + " ".join("u8 55" for _ in range(18)) + " x 600"
SMALL = ("30 u90 60 u90 40 d90 30 x 200", "20 u90 60 d90 35 u90 25 x 200", "15 u90 40 u90 80 u90 40 u90 15 x 200")


def tabbed(tabs: int) -> Part:
    """A tray with so many tabs on all four sides, each a wall with a lip."""
    wide = 50 + 110 * tabs - 20
    one = "{{edge: {side}, leg: 40, direction: up, left: {left}, right: {right}, flanges: [{{edge: far, leg: 14, direction: up}}]}}"
    flanges = [
        one.format(side=side, left=25 + 110 * place, right=25 + 110 * (tabs - 1 - place))
        for side in ("front", "right", "back", "left")
        for place in range(tabs)
    ]
    return panel(f"panel: {{base: {{width: {wide}, depth: {wide}}}, flanges: [{', '.join(flanges)}]}}")


def tables_of(part: Part) -> Tables:
    """The part in the demo shop's usual tools on one brake."""
    return make_tables(blank_situation(aimed(part), tooling_for(sheet("DC01", "1.5"), SHOP, SHOP.brakes["M1"])))


@pytest.mark.origin(
    "law", "a plan of a moment works stroke by stroke, asked without what the search knows; its bound is one"
)
@pytest.mark.parametrize("part", [profile(ZIGZAG), profile(GUTTER), tabbed(3)], ids=["zigzag", "gutter", "tray"])
def test_a_first_plan_works_and_says_how_good_it_is(monkeypatch: pytest.MonkeyPatch, part: Part) -> None:
    """At most a tenth above its bound, and the bound below what a longer search finds. The machine may be busy with other tests."""
    monkeypatch.setattr(search, "BOUND_S", 10.0 * search.BOUND_S)
    tables = tables_of(part)
    first = cheapest(tables, quantity=1, effort=Effort(seconds=MOMENT_S))
    assert first is not None
    done = 0
    made = strokes_made(tables_of(part), first.steps, first.stations)
    for number, step in enumerate(first.steps):
        assert step.mask == done
        assert made[step.station] >> number & 1
        done |= tables.moves[step.move].makes
    assert done == tables.full
    assert first.bound_s <= real_cycle_s(first) <= (1.0 + GAP) * first.bound_s
    longer = cheapest(tables, quantity=1, effort=Effort(seconds=10.0 * MOMENT_S))
    assert longer is not None
    assert longer.job_s <= first.job_s + 1e-9
    assert first.bound_s <= real_cycle_s(longer) + 1e-9


@pytest.mark.origin("law", "how a first order is looked for changes nothing of the best")
@pytest.mark.parametrize("text", SMALL)
def test_lean_searches_change_no_job(monkeypatch: pytest.MonkeyPatch, text: str) -> None:
    """Small parts, searched as large ones are."""
    tables = tables_of(profile(text))
    usual = cheapest(tables, quantity=3)
    monkeypatch.setattr(backwards, "LEAN_ABOVE", 0)
    lean = cheapest(tables, quantity=3)
    assert usual is not None
    assert lean is not None
    assert (lean.job_s, lean.bound_s, lean.proven) == pytest.approx((usual.job_s, usual.bound_s, usual.proven))
