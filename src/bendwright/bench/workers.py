"""Processes that do the work: one request at a time each, to be stopped at any moment, replaced when they die.

The server itself never computes: a plan that takes minutes, a drawing that makes the CAD kernel crash or a person who
stops waiting costs a process, never the bench. What a large job leaves in the memory of a process is given back by replacing it, as soon
as it has had nothing to do for a while.
"""

from __future__ import annotations

import multiprocessing
import queue
import threading
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any

from bendwright.findings import BendwrightError, Finding, InputError, NotPossibleError, OutOfRangeError, found
from bendwright.said import figure

POLL_S = 0.05
ENDS_S = 2.0
IDLE_S = 10.0
MOST_READY_BYTES, MOST_GROWN_BYTES = 700_000_000, 150_000_000
"""A process that has been idle for so long is replaced when it holds so much more than after its first task, by which it got ready (no
more than the first of these counts as that)."""

_KINDS: dict[str, type[BendwrightError]] = {
    "input": InputError,
    "range": OutOfRangeError,
    "not_possible": NotPossibleError,
}
Heard = Callable[[Mapping[str, Any]], None]


class StoppedError(Exception):
    """The person stopped the work before it was done."""


class WorkError(Exception):
    """The work ended in a fault of the program; the text is what the process said last."""


class Worker:
    """One process with its end of the pipe; started again whenever it was ended."""

    def __init__(self) -> None:
        self._process: BaseProcess | None = None
        self._pipe: Connection | None = None
        self._over = False
        self._lock = threading.Lock()
        self._at_first: int | None = None
        self.grown = False
        self.asked = 0

    def start(self) -> None:
        """Start the process unless it runs. Raises WorkError when the bench is ending."""
        from bendwright.bench.work import serve

        with self._lock:
            if self._over:
                raise WorkError("the bench is ending")
            if self._process is not None and self._process.is_alive():
                return
            context = multiprocessing.get_context("spawn")
            ours, theirs = context.Pipe()
            process = context.Process(target=serve, args=(theirs,), daemon=True, name="bendwright-work")
            process.start()
            theirs.close()
            self._process, self._pipe = process, ours
            self._at_first, self.grown = None, False

    def end(self, *, over: bool = False) -> None:
        """End the process at once; what it was doing is lost. ``over``: it is not started again."""
        with self._lock:
            self._over = self._over or over
            process, self._process = self._process, None
            pipe, self._pipe = self._pipe, None
        if process is not None:
            process.terminate()
            process.join(ENDS_S)
            if process.is_alive():
                process.kill()
                process.join(ENDS_S)
        if pipe is not None:
            with suppress(OSError):  # whoever was asking may have closed it meanwhile
                pipe.close()

    def ask(
        self,
        task: str,
        given: Mapping[str, Any],
        *,
        seconds: float | None,
        heard: Heard | None,
        stop: threading.Event | None,
    ) -> Any:
        """Have a task done. Raises what the task raised, StoppedError, InputError B203 for one that took too long, WorkError."""
        self.asked += 1
        self.start()
        pipe = self._pipe
        if pipe is None:
            raise WorkError("the bench is ending")
        try:
            pipe.send((task, dict(given)))
            return self._answer(
                pipe, task, None if seconds is None else time.monotonic() + seconds, seconds, heard, stop
            )
        except (EOFError, OSError) as error:
            self.end()
            raise WorkError(f"the process for '{task}' ended unexpectedly") from error

    def _answer(
        self,
        pipe: Connection,
        task: str,
        ends: float | None,
        seconds: float | None,
        heard: Heard | None,
        stop: threading.Event | None,
    ) -> Any:
        while True:
            if pipe.poll(POLL_S):
                kind, what = pipe.recv()
                if kind == "heard":
                    self._tell(heard, what)
                    continue
                if kind == "memory":
                    self._at_first = what if self._at_first is None else self._at_first
                    self.grown = what > min(self._at_first, MOST_READY_BYTES) + MOST_GROWN_BYTES
                    continue
                if kind == "done":
                    return what
                if kind == "findings":
                    raise _KINDS[what[0]](map(Finding.from_dict, what[1]))
                raise WorkError(what)
            if stop is not None and stop.is_set():
                self.end()
                raise StoppedError(task)
            if ends is not None and time.monotonic() > ends:
                self.end()
                raise InputError(found("B203", seconds=figure(f"{seconds:g}")))

    def _tell(self, heard: Heard | None, what: Mapping[str, Any]) -> None:
        try:
            if heard is not None:
                heard(what)
        except BaseException:
            self.end()  # it still works on this: its answer must not become that of the next request
            raise


class Workers:
    """Several workers behind one door; whoever asks waits for a free one, the one that worked last before others. A process is started when
    its worker is first asked.
    """

    def __init__(self, count: int, ready: Mapping[str, Any] | None = None) -> None:
        """``ready``: what the task of that name is given, by which a fresh process gets ready (None: it need not)."""
        self._ready = ready
        self._over = False
        self._changing = threading.Lock()
        self._all = [Worker() for _ in range(count)]
        self._free: queue.LifoQueue[Worker] = queue.LifoQueue()
        for worker in self._all:
            self._free.put(worker)

    def end(self) -> None:
        """End every process for good."""
        with self._changing:
            self._over, every = True, list(self._all)
        for worker in every:
            worker.end(over=True)

    @contextmanager
    def _taken(self, stop: threading.Event | None) -> Iterator[Worker]:
        while True:
            try:
                worker = self._free.get(timeout=POLL_S)
                break
            except queue.Empty:
                if stop is not None and stop.is_set():
                    raise StoppedError("waiting") from None
        try:
            yield worker
        finally:
            self._free.put(worker)
            if worker.grown:
                again = threading.Timer(IDLE_S, self._renew, (worker, worker.asked))
                again.daemon = True
                again.start()

    def _renew(self, worker: Worker, asked: int) -> None:
        """Replace the process of a worker that has been asked nothing since. The new one gets ready beside it: nobody waits for that."""
        fresh = Worker()
        with self._changing:
            if self._over or worker.asked != asked or worker not in self._all:
                return
            self._all.append(fresh)
        self._make_ready(fresh)
        spare = fresh
        if self._take(worker):
            if worker.asked == asked:
                spare = worker
            self._free.put(fresh if spare is worker else worker)
        with self._changing:
            self._all.remove(spare)
        spare.end(over=True)

    def _take(self, worker: Worker) -> bool:
        """Take this very worker out of the free ones, if it is free."""
        free = list[Worker]()
        with suppress(queue.Empty):
            while True:
                free.append(self._free.get_nowait())
        for one in free:
            if one is not worker:
                self._free.put(one)
        return worker in free

    def _make_ready(self, worker: Worker) -> None:
        with suppress(WorkError, BendwrightError):  # the bench ends; or whoever asks next hears of it
            worker.start()
            if self._ready is not None:
                worker.ask("ready", self._ready, seconds=None, heard=None, stop=None)

    def ask(
        self,
        task: str,
        given: Mapping[str, Any],
        *,
        seconds: float | None = None,
        heard: Heard | None = None,
        stop: threading.Event | None = None,
        began: Callable[[], None] | None = None,
    ) -> Any:
        """Have a task of ``work`` done by the next free process; ``began`` is told when it is its turn. Raises as ``Worker.ask``."""
        with self._taken(stop) as worker:
            if began is not None:
                began()
            return worker.ask(task, given, seconds=seconds, heard=heard, stop=stop)
