"""What becomes of a job that is stopped, fails or loses its shop at an awkward moment; the planner here is a stand-in."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from bendwright.bench.jobs import Jobs
from bendwright.bench.tasks.plan import Files, Planned
from bendwright.bench.workers import StoppedError, WorkError
from bendwright.findings import InputError, found
from bendwright.store.open_store import Store, open_store
from bendwright.store.records import Job

pytestmark = pytest.mark.origin("law", "a job is where it says it is, whatever comes in between")
PATIENCE_S = 10.0


class Planner:
    """Stands in for the processes: hands a plan over, then waits to be let ``go`` before it has written the files."""

    def __init__(self, *, fault: Exception | None = None) -> None:
        self.fault, self.go = fault, threading.Event()

    def ask(self, _task: str, _given: Any, *, heard: Any, stop: threading.Event, began: Callable[[], None]) -> Files:
        """As ``Workers.ask`` does it."""
        began()
        if stop.is_set():
            raise StoppedError("plan")
        heard({"stage": "writing", "planned": Planned(plan="{}", findings=(found("O109"),), moved=[])})
        self.go.wait(PATIENCE_S)
        if stop.is_set():
            raise StoppedError("plan")
        if self.fault is not None:
            raise self.fault
        return Files(names={"plan": "plan.json"}, findings=(found("B122", job="x"),))


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """An empty store."""
    opened = open_store(str(tmp_path / "bench.db"))
    yield opened
    opened.close()


def waiting(store: Store, shop: str = "saltmarsh") -> str:
    """The id of a new job."""
    return store.add_job(part={}, sheet={}, wishes={}, shop=shop).id


def begun(store: Store, planner: Planner, folder: Path, shop_name: Callable[[str], str] = str) -> Jobs:
    """A queue at work on the jobs of the store."""
    jobs = Jobs(store, planner, folder, shop_name)  # type: ignore[arg-type]
    jobs.take_up()
    jobs.start()
    return jobs


def until(store: Store, job_id: str, right: Callable[[Job], bool]) -> Job:
    """The job once it is as wanted, or as it is when patience has ended."""
    ends = time.monotonic() + PATIENCE_S
    while not right(store.job(job_id)) and time.monotonic() < ends:
        time.sleep(0.01)
    return store.job(job_id)


def codes(job: Job) -> list[str]:
    """Codes of what was found."""
    return [item["code"] for item in job.findings]


def test_a_job_that_is_done_is_not_stopped(store: Store, tmp_path: Path) -> None:
    """Its files are written to the end, and what could not be written is said beside what the plan found."""
    planner, name = Planner(), waiting(store)
    jobs = begun(store, planner, tmp_path)
    assert until(store, name, lambda job: job.state == "done").state == "done"
    jobs.stop(name)
    planner.go.set()
    job = until(store, name, lambda job: bool((job.extras or {}).get("files")))
    assert (job.state, job.extras) == ("done", {"files": {"plan": "plan.json"}, "moved": []})
    assert codes(job) == ["O109", "B122"]
    jobs.end()


def test_a_plan_outlives_a_fault_in_writing_its_files(store: Store, tmp_path: Path) -> None:
    """The job stays done, and B290 is said."""
    planner, name = Planner(fault=WorkError("the pen broke")), waiting(store)
    planner.go.set()
    jobs = begun(store, planner, tmp_path)
    job = until(store, name, lambda job: "B290" in codes(job))
    assert (job.state, job.plan, codes(job)) == ("done", {}, ["O109", "B290"])
    jobs.end()


def test_a_stop_in_the_moment_a_job_begins_is_heard(store: Store, tmp_path: Path) -> None:
    """Somebody stops the job just after the queue has read it as waiting."""
    name, read = waiting(store), store.job
    jobs = Jobs(store, Planner(), tmp_path, str)  # type: ignore[arg-type]

    def read_and_stopped(job_id: str) -> Job:
        job = read(job_id)
        jobs.stop(job_id)
        return job

    store.job = read_and_stopped  # type: ignore[method-assign]
    jobs.take_up()
    jobs.start()
    ends = time.monotonic() + PATIENCE_S
    while read(name).state in ("waiting", "running") and time.monotonic() < ends:
        time.sleep(0.01)
    assert read(name).state == "stopped"
    jobs.end()
    assert read(name).state == "stopped"


def test_a_job_whose_shop_is_gone_fails_and_the_next_is_planned(store: Store, tmp_path: Path) -> None:
    """B207 on the one; the other has its turn."""

    def shop_name(shop: str) -> str:
        if shop == "gone":
            raise InputError(found("B207", where="shop", id=shop, known="saltmarsh"))
        return shop

    gone, next_one = waiting(store, "gone"), waiting(store)
    planner = Planner()
    planner.go.set()
    jobs = begun(store, planner, tmp_path, shop_name)
    assert until(store, next_one, lambda job: job.state == "done").state == "done"
    assert (store.job(gone).state, codes(store.job(gone))) == ("failed", ["B207"])
    jobs.end()
