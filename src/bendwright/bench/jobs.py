"""Jobs: planned one after the other in the background, heard of while they run, kept when they are done."""

from __future__ import annotations

import asyncio
import json
import queue
import shutil
import threading
from collections.abc import AsyncIterator, Callable, Mapping, Sequence
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import Any

from bendwright.bench.work import ENOUGH
from bendwright.bench.workers import StoppedError, WorkError, Workers
from bendwright.drawing.saved_part import part_from_json
from bendwright.findings import BendwrightError, Finding, NotPossibleError, found
from bendwright.store.open_store import Store
from bendwright.store.records import Job, JobState

HEARTBEAT_S = 15.0
LISTEN_S = 0.1
ENDS_S = 20.0
UNDER_WAY: tuple[JobState, ...] = ("waiting", "running")


class Jobs:
    """The queue of jobs over the store; every change is told to whoever listens."""

    def __init__(
        self, store: Store, workers: Workers, folder: Path, shop_name: Callable[[str], str], address: str = ""
    ) -> None:
        """``address`` is the bench's as a tablet calls it: the code on the setup sheet of a job leads to its page for the floor."""
        self._store, self._workers, self._folder, self._shop_name = store, workers, folder, shop_name
        self._address = address
        self._waiting: queue.SimpleQueue[str | None] = queue.SimpleQueue()
        self._stops: dict[str, threading.Event] = {}
        self._writing: dict[str, threading.Event] = {}
        self._listeners: dict[str, list[queue.SimpleQueue[dict[str, Any]]]] = {}
        self._lock = threading.Lock()
        self._threads: list[threading.Thread] = []
        self._ending = threading.Event()

    def take_up(self) -> None:
        """Purge what was dropped weeks ago. Queue what was waiting when the bench last ended; a job that was cut off in the middle is
        stopped, and says so.
        """
        for folder in self._store.purge_jobs():
            shutil.rmtree(self._folder / folder, ignore_errors=True)
        for line in reversed(self._store.jobs(states=UNDER_WAY)):
            if line.state == "running":
                told = [found("B122", where=line.id, job=line.id).as_dict()]
                self._store.change_job(line.id, state="stopped", findings=told)
            else:
                self._waiting.put(line.id)

    def start(self, threads: int = 1) -> None:
        """Begin to plan what waits, and whatever is added; not after the end."""
        with self._lock:
            if self._ending.is_set():
                return
            self._threads = [
                threading.Thread(target=self._work, daemon=True, name="bendwright-jobs") for _ in range(threads)
            ]
            for thread in self._threads:
                thread.start()

    def end(self) -> None:
        """Stop at once; a job under way will be taken up again at the next start."""
        with self._lock:
            self._ending.set()
            for stop in self._stops.values():
                stop.set()
        for _ in self._threads:
            self._waiting.put(None)
        for thread in self._threads:
            thread.join(ENDS_S)

    def add(self, *, part: dict[str, Any], sheet: dict[str, Any], shop: str, wishes: dict[str, Any]) -> Job:
        """A new job, to be planned when its turn comes. Raises what reading the part raises."""
        header = part_from_json(json.dumps(part)).header
        job = self._store.add_job(
            part=part,
            sheet=sheet,
            wishes=wishes,
            shop=shop,
            part_no=header.part_no,
            revision=header.revision,
            title=header.title,
        )
        self._waiting.put(job.id)
        return job

    def stop(self, job_id: str) -> None:
        """Stop a job that waits or runs; nothing happens to one that has ended, though its files are still being written."""
        with self._lock:
            state, stop = self._store.job_line(job_id).state, self._stops.get(job_id)
            if stop is not None and state in UNDER_WAY:
                stop.set()
            waits = stop is None and state == "waiting"
            if waits:
                self._store.change_job(job_id, state="stopped")
        if waits:
            self._tell(job_id, {"state": "stopped"})

    def enough(self, job_id: str) -> None:
        """Let the search of a job that runs end with the best plan it has, as soon as it has one."""
        with self._lock:
            running = job_id in self._stops
        if running:
            folder = self._folder / self._store.job_line(job_id).folder
            folder.mkdir(parents=True, exist_ok=True)
            (folder / ENOUGH).touch()

    def folder_of(self, folder: str) -> Path:
        """Where the files of a job are kept; ``folder`` is the name on its line."""
        return self._folder / folder

    def wait_written(self, job_id: str, seconds: float) -> None:
        """Wait until a job that is planned has written its files, at most so long."""
        with self._lock:
            done = self._writing.get(job_id)
        if done is not None:
            done.wait(seconds)

    async def heard(self, job_id: str) -> AsyncIterator[dict[str, Any]]:
        """Everything told of a job from now on, its present state first, until it has ended; an empty word every now and then. No thread
        is held meanwhile.
        """
        said: queue.SimpleQueue[dict[str, Any]] = queue.SimpleQueue()
        with self._lock:
            self._listeners.setdefault(job_id, []).append(said)
        try:
            state, quiet_s = self._store.job_line(job_id).state, 0.0
            yield (
                {"state": state} if self._threads or state not in UNDER_WAY else {"state": state, "stage": "preparing"}
            )
            while state in UNDER_WAY and not self._ending.is_set():
                if said.empty():
                    await asyncio.sleep(LISTEN_S)
                    quiet_s += LISTEN_S
                    if quiet_s < HEARTBEAT_S:
                        continue
                    word: dict[str, Any] = {}
                else:
                    word = said.get_nowait()
                state, quiet_s = word.get("state", state), 0.0
                yield word
        finally:
            with self._lock:
                self._listeners[job_id].remove(said)
                if not self._listeners[job_id]:
                    del self._listeners[job_id]

    def _tell(self, job_id: str, word: Mapping[str, Any]) -> None:
        with self._lock:
            listeners = list(self._listeners.get(job_id, ()))
        for listener in listeners:
            listener.put(dict(word))

    def _work(self) -> None:
        while (job_id := self._waiting.get()) is not None and not self._ending.is_set():
            with suppress(BendwrightError):  # the store cannot even keep that it failed: the next one has its turn
                self._plan(job_id)

    def _plan(self, job_id: str) -> None:
        """Plan a job that still waits when its turn has come; whoever stops it from then on is heard."""
        stop, done = threading.Event(), threading.Event()
        with self._lock:
            if self._ending.is_set():
                return
            self._stops[job_id] = stop
            self._writing[job_id] = done
        try:
            job = self._store.job(job_id)
            if job.state == "waiting":
                self._planned(job, stop)
        finally:
            with self._lock:
                self._stops.pop(job_id, None)
                self._writing.pop(job_id, None)
            done.set()

    def _change(self, job_id: str, state: JobState, **changes: Any) -> None:
        self._store.change_job(job_id, state=state, **changes)
        self._tell(job_id, {"state": state})

    def _planned(self, job: Job, stop: threading.Event) -> None:
        """Plan a job; it is done as soon as its plan is there, the files follow. It stays done whatever becomes of them; only the end of
        the bench has it planned again, for their sake.
        """
        change = partial(self._change, job.id)
        extras: dict[str, Any] = {}
        rows: list[dict[str, str]] = []
        cures: list[dict[str, Any]] = []

        def heard(word: Mapping[str, Any]) -> None:
            planned = word.get("planned")
            cures.extend(word.get("cures", ()))
            self._tell(job.id, {key: value for key, value in word.items() if key not in ("planned", "cures")})
            if planned is not None:
                rows.extend(finding.as_dict() for finding in planned.findings)
                kept = {"files": {}, "moved": planned.moved}
                change("done", plan=json.loads(planned.plan), findings=rows, extras=kept)
                extras.update(kept)

        def ended(state: JobState, said: Sequence[Finding], files: Mapping[str, str]) -> None:
            more = [*rows, *(finding.as_dict() for finding in said)]
            if extras:
                self._store.change_job(job.id, findings=more, extras={**extras, "files": dict(files)})
            else:
                change(state, findings=more, extras={"cures": cures} if cures else None)

        try:
            files = self._workers.ask("plan", self._given(job), heard=heard, stop=stop, began=lambda: change("running"))
        except StoppedError:
            if self._ending.is_set():
                change("waiting")
            else:
                ended("stopped", (), {})
        except BendwrightError as error:
            ended("refused" if isinstance(error, NotPossibleError) else "failed", error.findings, {})
        except WorkError as error:
            ended("failed", [found("B290", kind=str(error).splitlines()[-1])], {})
        else:
            ended("done", files.findings, files.names)

    def _given(self, job: Job) -> dict[str, Any]:
        """What the task of planning is given."""
        return {
            "part": job.part,
            "sheet": job.sheet,
            "wishes": job.wishes,
            "shop": self._shop_name(job.shop),
            "folder": str(self._folder / job.folder),
            "address": f"{self._address}/floor/{job.id}" if self._address else "",
        }
