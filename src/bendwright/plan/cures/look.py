"""Looking for cures of a part that cannot be made as it stands: what is changed, in which order, until when.

Every way (one flange longer, one punch taller, ...) is a search of its own that asks for jobs to be solved. The kinds take
turns, one solve each; within a kind the smallest change comes first. Nothing is told that was not solved.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from bendwright.findings import BendwrightError
from bendwright.part.model import Part
from bendwright.plan.choose import Tooling
from bendwright.plan.cures.buy_searches import buy_ways
from bendwright.plan.cures.part_searches import flange_ways, left_out, relief_ways
from bendwright.plan.cures.records import KINDS, Clue, Cure, CureKind, Cures, Found, Others, Search, Try, Way
from bendwright.plan.cures.shop_searches import shop_ways

OF_A_SIZE: dict[CureKind, int] = {"flange_length": 3, "relief": 2}
OF_PIECES: dict[CureKind, int] = {"buy_piece": 3}
OF_FINGERS: tuple[CureKind, ...] = 4 * ("finger_contact",)
"""Solves a turn, where it is a matter of sizes and where one of missing pieces; one for the other kinds. First of all
``OF_FINGERS``, where nothing but the contact at the fingers is in the way."""
FOR_THE_EDGES = 0.8
"""Share of the time for finding cures; the rest is for how far they reach."""
MOST_OF_A_KIND: dict[CureKind, int] = {"flange_length": 3, "buy_punch": 2, "other_brake": 2}
Solves = Callable[[Part, Tooling], object]


class _SpentError(Exception):
    """Time or solves are used up."""


class _Solver:
    """The callback with its budget: seconds (till ``end``, at the last till ``last``) and solves. A refusal is no solution."""

    def __init__(self, solves: Solves, seconds: float, most: int | None, clock: Callable[[], float]) -> None:
        self.solves, self.most, self.clock = solves, most, clock
        self.start = clock()
        self.end = self.start + FOR_THE_EDGES * seconds
        self.last = self.start + seconds
        self.count = 0
        self.solved: list[Try] = []

    def __call__(self, job: Try) -> bool:
        if self.clock() >= self.end or (self.most is not None and self.count >= self.most):
            raise _SpentError
        self.count += 1
        try:
            solved = bool(self.solves(job.part, job.tooling))
        except BendwrightError:
            return False
        if solved:
            self.solved.append(job)
        return solved

    def verified(self, cure: Cure) -> bool:
        """Whether the very job of the cure was solved."""
        return any(job.part == cure.part and job.tooling == cure.tooling for job in self.solved)

    @property
    def seconds(self) -> float:
        """Time gone by [s]."""
        return self.clock() - self.start


class _Running:
    """A way being gone: the job it waits for."""

    def __init__(self, way: Way, number: int) -> None:
        self.way, self.number = way, number
        self.found: Found | None = None
        self.job: Try | None = None
        self._go(None)

    def _go(self, solved: bool | None) -> None:
        try:
            self.job = next(self.way.search) if solved is None else self.way.search.send(solved)
        except StopIteration as end:
            self.job, self.found = None, end.value

    def step(self, solver: _Solver) -> None:
        """Solve the job it waits for and go on to its next."""
        assert self.job is not None
        self._go(solver(self.job))

    @property
    def order(self) -> tuple[float, int]:
        """The smallest change comes first."""
        assert self.job is not None
        return self.job.effort, self.number


def cures_of(
    part: Part,
    tooling: Tooling,
    *,
    solves: Solves,
    seconds: float,
    clues: Sequence[Clue] = (),
    others: Others | None = None,
    most_solves: int | None = None,
    clock: Callable[[], float] = time.monotonic,
) -> Cures:
    """What would make the part possible, the best few of each kind, the cheapest first.

    ``solves`` says whether a job can be made (true or a solution; false, None or a BendwrightError: no). The search ends
    after ``seconds`` or ``most_solves``: given the same answers, only the time can make two results differ.
    """
    solver = _Solver(solves, seconds, most_solves, clock)
    found: dict[CureKind, list[Found]] = {kind: [] for kind in KINDS}
    without: list[str] = []
    ways = list(_ways(part, tooling, clues, others or Others()))
    running = [_Running(way, number) for number, way in enumerate(ways)]
    try:
        _go_all(running, solver, _turns(clues), found, without)
        left: list[str] = []
    except _SpentError:
        left = [run.way.name for run in running if run.job is not None]
    solver.end = solver.last
    told = list(_farther([item for kind in KINDS for item in _best(kind, found[kind])], solver))
    solved = [replace(cure, verified=True) for cure in told if solver.verified(cure)]
    if not _full("flange_length", found["flange_length"]):
        left += left_out(part, clues)
    return Cures(
        cures=tuple(replace(cure, rank=rank) for rank, cure in enumerate(solved, 1)),
        solves=solver.count,
        seconds=solver.seconds,
        without=tuple(without),
        not_tried=tuple(left),
    )


def _ways(part: Part, tooling: Tooling, clues: Sequence[Clue], others: Others) -> Iterator[Way]:
    """Every way; no tool helps where the drawing itself cannot be."""
    if all(clue.against != "drawing" for clue in clues):
        yield from shop_ways(part, tooling, others, clues)
        yield from buy_ways(part, tooling, clues)
    yield from relief_ways(part, tooling, clues)
    yield from flange_ways(part, tooling, clues)


def _turns(clues: Sequence[Clue]) -> list[CureKind]:
    """The kinds in the order they take turns, each as often as it may solve in a turn."""
    met = {clue.against for clue in clues}
    first = list(OF_FINGERS) if met == {"gauge"} else []
    often = OF_PIECES if met and met <= {"stack", "stations"} else OF_A_SIZE
    return first + [kind for kind in KINDS for _ in range(often.get(kind, 1))]


def _go_all(
    running: list[_Running],
    solver: _Solver,
    turns: Sequence[CureKind],
    found: dict[CureKind, list[Found]],
    without: list[str],
) -> None:
    """A solve or a few for each kind in turn until every way has ended; a kind with cures enough is left."""
    while any(run.job is not None for run in running):
        for kind in turns:
            own = [run for run in running if run.way.kind == kind and run.job is not None]
            if not own:
                continue
            run = min(own, key=lambda item: item.order)
            run.step(solver)
            if run.job is not None:
                continue
            if run.found is None:
                without.append(run.way.name)
                continue
            found[kind].append(run.found)
            full = _full(kind, found[kind])
            for other in running:
                if other.way.unless == kind or (full and other.way.kind == kind):
                    other.job = None


def _full(kind: CureKind, found: Sequence[Found]) -> bool:
    return len(_best(kind, found)) >= MOST_OF_A_KIND.get(kind, 1)


def _best(kind: CureKind, found: Sequence[Found]) -> list[Found]:
    """The smallest changes; one that changes more flanges than another, and those of the other too, is left out."""
    out: list[Found] = []
    for item in sorted(found, key=lambda each: each.effort):
        if not any(other.flanges and other.flanges < item.flanges and _same_way(other, item) for other in out):
            out.append(item)
    return out[: MOST_OF_A_KIND.get(kind, 1)]


def _same_way(first: Found, second: Found) -> bool:
    return _grows(first.cure) == _grows(second.cure)


def _grows(cure: Cure) -> bool:
    return (cure.after or 0.0) > (cure.before or 0.0)


def _farther(items: Sequence[Found], solver: _Solver) -> Iterator[Cure]:
    """The cures, with how far they reach as long as there is time to look."""
    for item in items:
        yield _walked(item.farther(), solver, item).cure if item.farther else item.cure


def _walked(search: Search, solver: _Solver, before: Found) -> Found:
    try:
        job = next(search)
        while True:
            job = search.send(solver(job))
    except StopIteration as end:
        return end.value or before
    except _SpentError:
        return before
