"""Processes that may die, take too long or be stopped, without harm to whoever serves."""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

import bendwright.bench.workers
from bendwright.bench.work import TASKS, Tell
from bendwright.bench.workers import MOST_GROWN_BYTES, StoppedError, Worker, WorkError, Workers
from bendwright.findings import InputError, NotPossibleError, found


def echo(given: Mapping[str, Any], tell: Tell) -> Any:
    """Tell and return what was given."""
    tell({"told": given["word"]})
    return given["word"]


def rest(given: Mapping[str, Any], tell: Tell) -> None:
    """Sleep."""
    time.sleep(float(given["seconds"]))


def fall(given: Mapping[str, Any], tell: Tell) -> None:
    """Die as a crashing library does."""
    os._exit(3)


def refuse(given: Mapping[str, Any], tell: Tell) -> None:
    """Raise findings."""
    raise NotPossibleError(found("O109"))


def fault(given: Mapping[str, Any], tell: Tell) -> None:
    """Raise what nobody expected."""
    raise ZeroDivisionError("a fault")


KEPT = list[bytearray]()


def swell(given: Mapping[str, Any], tell: Tell) -> int:
    """Keep so many bytes for good; the number of the process."""
    kept = bytearray(given["bytes"])
    kept[::4096] = bytes([1]) * len(kept[::4096])
    KEPT.append(kept)
    return os.getpid()


@pytest.fixture
def workers() -> Any:
    """One process."""
    made = Workers(1)
    yield made
    made.end()


def asked(workers: Workers, name: str, **options: Any) -> Any:
    """Have a task of this file done."""
    return workers.ask(f"test_workers.{name}", options.pop("given", {}), **options)


@pytest.mark.origin("law", "every task of the table exists")
def test_every_task_is_there() -> None:
    """Module and function by the name of the task."""
    from importlib import import_module

    assert all(callable(getattr(import_module(module), name)) for name, module in TASKS.items())


@pytest.mark.origin("law", "a process answers, dies and is replaced")
def test_answers_faults_and_deaths(workers: Workers) -> None:
    """Answer and progress; findings keep their kind; a fault and a death are errors; the next request is answered again."""
    heard: list[Any] = []
    assert asked(workers, "echo", given={"word": "tray"}, heard=heard.append) == "tray"
    assert heard == [{"told": "tray"}]
    with pytest.raises(NotPossibleError) as refused:
        asked(workers, "refuse")
    assert refused.value.findings[0].code == "O109"
    with pytest.raises(WorkError, match="ZeroDivisionError"):
        asked(workers, "fault")
    with pytest.raises(WorkError, match="ended unexpectedly"):
        asked(workers, "fall")
    assert asked(workers, "echo", given={"word": "roof"}) == "roof"


@pytest.mark.origin("law", "what takes too long or is stopped ends at once, and the next request is answered")
def test_too_long_and_stopped(workers: Workers) -> None:
    """B203 after the seconds allowed; StoppedError when the person stops, running or waiting."""
    asked(workers, "echo", given={"word": "warm"})
    with pytest.raises(InputError) as late:
        asked(workers, "rest", given={"seconds": 60}, seconds=0.2)
    assert late.value.findings[0].code == "B203"
    stop = threading.Event()
    threading.Timer(0.3, stop.set).start()
    began = time.monotonic()
    with pytest.raises(StoppedError):
        asked(workers, "rest", given={"seconds": 60}, stop=stop)
    assert time.monotonic() - began < 30
    assert asked(workers, "echo", given={"word": "tread"}) == "tread"


@pytest.mark.origin("law", "an answer goes to whoever asked")
def test_a_listener_that_raises_leaves_no_answer_behind(workers: Workers) -> None:
    """What the listener raises comes out; the next request has its own answer."""

    def full(_word: Mapping[str, Any]) -> None:
        raise InputError(found("B203", seconds="1"))

    with pytest.raises(InputError, match="B203"):
        asked(workers, "echo", given={"word": "tray"}, heard=full)
    assert asked(workers, "echo", given={"word": "roof"}) == "roof"


@pytest.mark.origin("law", "a bench that ends starts nothing any more")
def test_nothing_starts_after_the_end(workers: Workers) -> None:
    """Whoever asks then is told so."""
    asked(workers, "echo", given={"word": "warm"})
    workers.end()
    with pytest.raises(WorkError, match="the bench is ending"):
        asked(workers, "echo", given={"word": "tray"})


@pytest.mark.skipif(not Path("/proc/self/statm").exists(), reason="this system does not tell what a process holds now")
@pytest.mark.origin("law", "what a process held is free when it has ended")
def test_memory_is_given_back(workers: Workers, monkeypatch: pytest.MonkeyPatch) -> None:
    """A process that has grown is replaced once it is idle, not between two tasks that follow each other, and not for a little."""
    monkeypatch.setattr(bendwright.bench.workers, "IDLE_S", 0.5)
    first = asked(workers, "swell", given={"bytes": 0})
    assert asked(workers, "swell", given={"bytes": MOST_GROWN_BYTES // 3}) == first
    time.sleep(1.5)
    assert asked(workers, "swell", given={"bytes": MOST_GROWN_BYTES}) == first
    for _ in range(5):
        time.sleep(0.2)
        assert asked(workers, "swell", given={"bytes": 0}) == first
    end = time.monotonic() + 30.0
    while Path(f"/proc/{first}").exists():
        assert time.monotonic() < end
        time.sleep(0.05)
    later = asked(workers, "swell", given={"bytes": 0})
    assert later != first
    held = int(Path(f"/proc/{later}/statm").read_text(encoding="ascii").split()[1]) * os.sysconf("SC_PAGE_SIZE")
    assert held < MOST_GROWN_BYTES
    time.sleep(1.5)
    assert asked(workers, "swell", given={"bytes": 0}) == later


@pytest.mark.skipif(not Path("/proc/self/statm").exists(), reason="this system does not tell what a process holds now")
@pytest.mark.origin("law", "what is replaced works until the new one is ready")
def test_nobody_waits_for_the_process_that_gets_ready(workers: Workers, monkeypatch: pytest.MonkeyPatch) -> None:
    """Asked while the new one still gets ready, the old one answers and stays; asked nothing, it gives way; at the end none is left."""
    monkeypatch.setattr(bendwright.bench.workers, "IDLE_S", 0.1)
    may, getting = threading.Event(), threading.Event()

    def get_ready(worker: Worker) -> None:
        worker.start()
        getting.set()
        assert may.wait(60)

    monkeypatch.setattr(workers, "_make_ready", get_ready)
    first = asked(workers, "swell", given={"bytes": 0})
    assert asked(workers, "swell", given={"bytes": MOST_GROWN_BYTES}) == first
    assert getting.wait(60)
    assert asked(workers, "swell", given={"bytes": 0}) == first
    getting.clear()
    may.set()
    assert getting.wait(60)
    end = time.monotonic() + 60.0
    while (later := asked(workers, "echo", given={"word": "tray"}) and workers._all[0]._process.pid) == first:
        assert time.monotonic() < end
        time.sleep(0.5)
    workers.end()
    assert len(workers._all) == 1
    assert [Path(f"/proc/{process}").exists() for process in (first, later)] == [False, False]
