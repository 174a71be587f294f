"""Long searches: heard of a few times a second while one is under way, ended within a second with the best there is."""

from __future__ import annotations

import itertools
import time
from dataclasses import dataclass, replace

import pytest

from bendwright.part.aim import aimed
from bendwright.plan import backwards
from bendwright.plan.best_so_far import Effort
from bendwright.plan.choose import Chosen, choose
from bendwright.plan.hearing import Progress
from bendwright.plan.search import cheapest
from bendwright.plan.solution import real_cycle_s
from bendwright.plan.tooled import tooling_for
from shop_talk import SHOP, plate, profile, sheet

SIDES = 20
LISTENS_S, ENDS_S, TIMES_A_SECOND = 2.0, 1.0, 2


@dataclass(frozen=True, slots=True)
class Listened:
    """What a search came to that was ended: words with the CPU seconds they came at, and the CPU second of enough."""

    chosen: Chosen
    words: tuple[tuple[float, Progress], ...]
    enough: float

    def of(self, *doing: str) -> list[tuple[float, Progress]]:
        """The words about that."""
        return [(at, now) for at, now in self.words if now.doing in doing]


@pytest.fixture(scope="module")
def ended() -> Listened:
    """A search that would take minutes, ended after some seconds at the sets of stations."""
    words, enough = list[tuple[float, Progress]](), list[float]()

    def listen(now: Progress) -> bool:
        at = time.process_time()
        words.append((at, now))
        began = next((when for when, one in words if one.doing == "stations"), at)
        if at - began > LISTENS_S and not enough:
            enough.append(at)
        return not enough

    tools = replace(tooling_for(sheet("S235", "2"), SHOP, SHOP.brakes["M1"]), wished_die="V16")
    chosen = choose(aimed(plate(SIDES)), tools, quantity=5, heard=listen)
    return Listened(chosen, tuple(words), enough[0])


@pytest.mark.origin("practice", "who waits wants a sign of life twice a second, and the work's end within a second")
def test_a_long_search_is_heard_and_ends_soon(ended: Listened) -> None:
    """Within one search too, which goes on for many seconds with its stations; CPU seconds of this process."""
    searching = [at for at, _ in ended.of("stations")]
    assert len(searching) > 2.0 * LISTENS_S
    assert max(later - one for one, later in itertools.pairwise(searching)) < 1.0 / TIMES_A_SECOND
    looked = [now.sets for _, now in ended.of("stations")]
    assert max(looked.count(number) for number in set(looked)) > TIMES_A_SECOND
    (over, last), *more = ended.of("checking")
    assert not more
    assert last is ended.words[-1][1]
    assert over - ended.enough < ENDS_S


@pytest.mark.origin("law", "the best so far only becomes better, what is looked at only more, and a bound is one")
def test_what_is_heard_goes_one_way(ended: Listened) -> None:
    """The best job never dearer than before, never a piece quicker than the bound; the plan taken is the one last told."""
    told = [now for _, now in ended.words]
    jobs = [now.best_s for now in told if now.best_s is not None]
    assert jobs == sorted(jobs, reverse=True)
    assert [now.best_s for now in told[-len(jobs) :]] == jobs
    for before, now in itertools.pairwise(told):
        assert now.sets >= before.sets
        assert now.states >= before.states
    for now in told:
        assert now.cycle_s is None or (now.least_s is not None and now.least_s <= now.cycle_s + 1e-9)
        assert now.gap is None or 0.0 <= now.gap < 1.0
    last, solution = told[-1], ended.chosen.solution
    assert (last.best_s, last.cycle_s) == (solution.job_s, real_cycle_s(solution))
    assert solution.bound_s == pytest.approx(last.least_s)
    assert (last.brake, last.dies) == ("M1", ("V16",))


@pytest.mark.origin("law", "an order found before the end works; that it is the best is not said")
def test_what_was_found_is_kept(ended: Listened) -> None:
    """All bends are made, the search is said to be ended, nothing proven."""
    solution = ended.chosen.solution
    made = [bend for step in solution.steps for bend in solution.tables.moves[step.move].bends]
    assert sorted(made) == list(range(SIDES))
    assert ended.chosen.ended
    assert not solution.proven


@pytest.mark.origin("law", "seconds that are over end one search too, not only what follows it")
def test_seconds_end_a_search_in_its_middle(ended: Listened) -> None:
    """The same plate with one second: far less than one set of stations takes."""
    began = time.process_time()
    found = cheapest(ended.chosen.tables, quantity=5, effort=Effort(seconds=1.0))
    assert time.process_time() - began < 1.0 + ENDS_S
    assert found is not None
    assert not found.proven


@pytest.mark.origin("law", "a search that pauses comes to what it comes to without")
@pytest.mark.parametrize(
    "text", ["20 u90 30 d90 40 u90 60 u90 120 u90 60 u90 20 x 800", "40 u20 40 d20 40 u20 40 x 400"]
)
def test_pauses_change_nothing(monkeypatch: pytest.MonkeyPatch, text: str) -> None:
    """With a pause after every move looked at: the same steps, stations, seconds and states."""
    tools = tooling_for(sheet("S235", "2"), SHOP, SHOP.brakes["M1"])
    tables = choose(aimed(profile(text)), tools, quantity=1).tables
    whole = cheapest(tables, quantity=1)
    monkeypatch.setattr(backwards, "FIRST_PACES", 1)
    monkeypatch.setattr(backwards, "PAUSE_S", 0.0)
    words = list[Progress]()

    def listen(now: Progress) -> bool:
        words.append(now)
        return True

    paused = cheapest(tables, quantity=1, effort=Effort(heard=listen))
    assert whole is not None
    assert paused is not None
    assert len(words) > 0.9 * paused.states
    first = max(now.sets for now in words if now.doing == "first")
    assert [now.sets for now in words if now.doing == "stations"][:2] == [first, first], "a set looked at again is one"
    assert (paused.steps, paused.stations, paused.job_s, paused.bound_s, paused.states, paused.proven) == (
        whole.steps,
        whole.stations,
        whole.job_s,
        whole.bound_s,
        whole.states,
        whole.proven,
    )
