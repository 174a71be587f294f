"""Readings: whatever the network does with the messages, nothing is lost and nothing is there twice."""

from __future__ import annotations

import subprocess
import sys
import tempfile
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as some
from hypothesis.stateful import Bundle, RuleBasedStateMachine, initialize, invariant, rule

import bendwright.store.readings as of_readings
from bendwright.findings import InputError
from bendwright.store.open_store import Store, open_store
from bendwright.store.readings import _put

pytestmark = pytest.mark.origin("law", "an idempotent write: sent again it changes nothing")

NOON = datetime(2024, 6, 3, 12, tzinfo=UTC)


def new_job(store: Store) -> str:
    """The id of a job without a plan."""
    return store.add_job(part={}, sheet={}, wishes={}, shop="saltmarsh").id


def put(store: Store, job_id: str, name: str, left: float | None, minute: int = 0, **other: Any) -> Any:
    """Send one reading."""
    given = {"stroke": 1, "bend_ids": ["b1"], "values": {"left": left, "unit": "deg"}, **other}
    return store.put_reading(name, job_id=job_id, taken_at=NOON + timedelta(minutes=minute), **given)


def test_sent_twice_is_kept_once(store: Store) -> None:
    """The second answer is the first row, in whatever spelling and time zone it comes."""
    job, name = new_job(store), str(uuid4())
    first = put(store, job, name, 90.25)
    local = NOON.astimezone(timezone(timedelta(hours=1)))
    again = store.put_reading(
        name.upper(), job_id=job, stroke=1, bend_ids=("b1",), values={"unit": "deg", "left": 90.25}, taken_at=local
    )
    assert (first.new, again.new) == (True, False)
    assert again.reading == first.reading
    assert store.readings(job) == (first.reading,)
    assert first.reading.taken_at == NOON


def test_a_change_is_kept_beside_what_was_there(store: Store) -> None:
    """The later one holds; a late repeat of the first undoes nothing."""
    job, name = new_job(store), str(uuid4())
    first = put(store, job, name, 90.25).reading
    second = put(store, job, name, 91.0, minute=2).reading
    late = put(store, job, name, 90.25)
    assert (first.version, second.version, late.new) == (1, 2, False)
    assert store.readings(job) == (second,)
    assert store.readings(job, every_version=True) == (first, second)


def test_what_was_taken_last_holds_whenever_it_arrives(store: Store) -> None:
    """A queue sent in the wrong order gives the same end."""
    job, name = new_job(store), str(uuid4())
    put(store, job, name, 91.0, minute=2)
    put(store, job, name, 90.25)
    assert [item.values["left"] for item in store.readings(job)] == [91.0]


def test_a_tablet_whose_clock_is_ahead_has_not_the_last_word_for_ever(store: Store) -> None:
    """Taken, it says, in ten years: it counts as taken when it was received, and what is read after that holds."""
    job, name = new_job(store), str(uuid4())
    ahead = datetime.now(UTC) + timedelta(days=3650)
    asked = {"job_id": job, "stroke": 1, "bend_ids": ["b1"]}
    store.put_reading(name, values={"left": 88.0}, taken_at=ahead, **asked)
    store.put_reading(name, values={"left": 90.0}, taken_at=datetime.now(UTC), **asked)
    assert [item.values["left"] for item in store.readings(job)] == [90.0]


def test_a_reading_taken_back_is_off_the_list_and_still_kept(store: Store) -> None:
    """Undo on the tablet is one more version."""
    job, name = new_job(store), str(uuid4())
    put(store, job, name, 90.25)
    put(store, job, name, 90.25, minute=1, withdrawn=True)
    assert store.readings(job) == ()
    assert [item.withdrawn for item in store.readings(job, every_version=True)] == [False, True]


def test_readings_of_a_dropped_job_are_kept(store: Store) -> None:
    """The tablet may come back from the floor after the job was dropped in the office."""
    job = new_job(store)
    store.drop_job(job)
    assert put(store, job, str(uuid4()), 90.0).new
    store.take_back_job(job)
    assert len(store.readings(job)) == 1


def test_what_is_no_reading_is_refused(store: Store) -> None:
    """Each with its finding; nothing is kept of it."""
    job, name = new_job(store), str(uuid4())
    put(store, job, name, 90.0)
    with pytest.raises(InputError, match=r"B114 .*'42' is no UUID"):
        put(store, job, "42", 90.0)
    with pytest.raises(InputError, match=r"B113 .*taken_at is 2024-06-03T12:00:00, a time without time zone"):
        store.put_reading(
            str(uuid4()), job_id=job, stroke=1, bend_ids=[], values={}, taken_at=NOON.replace(tzinfo=None)
        )
    with pytest.raises(InputError, match=r"B120 .*There is no job nosuchjob2"):
        put(store, "nosuchjob2", str(uuid4()), 90.0)
    with pytest.raises(InputError, match=rf"B130 .*The reading {name} belongs to another job"):
        put(store, new_job(store), name, 90.0)
    with pytest.raises(InputError, match=r"B132 .*The stroke is 0; strokes are counted from 1"):
        put(store, job, str(uuid4()), 90.0, stroke=0)
    with pytest.raises(InputError, match=r"B112 .*readings is no data"):
        put(store, job, str(uuid4()), float("inf"))
    assert len(store.readings(job, every_version=True)) == 1


def test_a_sender_that_loops_is_stopped(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """B131 after so many versions; repeats of what is there are still answered."""
    monkeypatch.setattr(of_readings, "MOST_VERSIONS", 12)
    job, name = new_job(store), str(uuid4())
    for number in range(12):
        put(store, job, name, float(number), minute=number)
    with pytest.raises(InputError, match=rf"B131 .*The reading {name} was changed 12 times"):
        put(store, job, name, -1.0)
    assert not put(store, job, name, 7.0, minute=7).new


def test_the_same_reading_from_many_threads_is_one(store: Store) -> None:
    """Of eight senders at once exactly one writes it, the others are told it is there."""
    job, name, gate = new_job(store), str(uuid4()), threading.Barrier(8)

    def send(number: int) -> bool:
        gate.wait()
        new: bool = put(store, job, name, 90.0).new
        put(store, job, name, 90.0 + number % 4, minute=1 + number % 4)
        return new

    with ThreadPoolExecutor(8) as threads:
        assert sum(threads.map(send, range(8))) == 1
    kept = store.readings(job, every_version=True)
    assert sorted(item.version for item in kept) == [1, 2, 3, 4, 5]


def test_a_crowd_that_writes_waits_in_line(store: Store) -> None:
    """Thirty threads with readings of their own: each is kept, and none waits many times as long as all of them together would need."""
    job = new_job(store)
    took: list[float] = []

    def one(_: int) -> None:
        for _ in range(5):
            began = time.perf_counter()
            put(store, job, str(uuid4()), 90.0)
            took.append(time.perf_counter() - began)

    began = time.perf_counter()
    with ThreadPoolExecutor(30) as pool:
        list(pool.map(one, range(30)))
    whole = time.perf_counter() - began
    assert len(store.readings(job)) == len(took) == 150
    assert max(took) < 0.7 * whole


def test_one_uuid_for_two_jobs_at_once(store: Store) -> None:
    """Whoever comes second is told that it belongs to another job (B130), however near they are."""
    jobs = [new_job(store) for _ in range(4)]
    gate = threading.Barrier(4)

    def send(job: str, name: str) -> str:
        gate.wait()
        try:
            return str(put(store, job, name, 90.0).new)
        except InputError as error:
            return error.findings[0].code

    with ThreadPoolExecutor(4) as threads:
        for _ in range(12):
            name = str(uuid4())
            assert sorted(threads.map(lambda job, name=name: send(job, name), jobs)) == ["B130"] * 3 + ["True"]


class ReadingsKept(RuleBasedStateMachine):
    """Messages in any order, repeated, lost half way, with the program ended in between: the store is what was acknowledged."""

    names = Bundle("names")

    @initialize()
    def open(self) -> None:
        """A fresh store with two jobs."""
        self.folder = tempfile.TemporaryDirectory()
        self.store = open_store(f"{self.folder.name}/bench.db")
        self.jobs = [new_job(self.store), new_job(self.store)]
        self.said: dict[str, list[tuple[str, float, int]]] = {}

    @rule(target=names, name=some.uuids())
    def think_of(self, name: UUID) -> str:
        """A tablet makes a UUID."""
        return str(name)

    @rule(name=names, job=some.integers(0, 1), left=some.sampled_from([88.0, 90.0, 90.5]), minute=some.integers(0, 3))
    def send(self, name: str, job: int, left: float, minute: int) -> None:
        """A message arrives: new, a repeat, a change, late or early."""
        message, earlier = (self.jobs[job], left, minute), self.said.get(name, [])
        if earlier and earlier[0][0] != message[0]:
            with pytest.raises(InputError, match=r"B130"):
                put(self.store, message[0], name, left, minute)
            return
        assert put(self.store, message[0], name, left, minute).new == (message not in earlier)
        if message not in earlier:
            self.said[name] = [*earlier, message]

    @rule(name=names, left=some.sampled_from([10.0, 11.0]))
    def fail_half_way(self, name: str, left: float) -> None:
        """The program dies after the row was written and before it was kept: nothing of it may be seen."""
        job = self.said[name][0][0] if name in self.said else self.jobs[0]
        row = {"id": name, "job_id": job, "stroke": 1, "bend_ids": ["b1"], "readings": {"left": left}}
        row |= {"withdrawn": False, "taken_at": NOON, "received_at": NOON, "digest": f"{left:064f}"}
        with pytest.raises(ZeroDivisionError):
            self.die_before_it_is_kept(row)

    def die_before_it_is_kept(self, row: dict[str, Any]) -> None:
        """Write a row, and fail before the end of the transaction."""
        with self.store._database.writing() as connection:
            assert _put(connection, row).new
            raise ZeroDivisionError

    @rule(job=some.integers(0, 1), back=some.booleans())
    def drop(self, job: int, back: bool) -> None:
        """The office drops a job or takes it back; its readings stay."""
        (self.store.take_back_job if back else self.store.drop_job)(self.jobs[job])

    @rule()
    def open_again(self) -> None:
        """The program is ended and started."""
        self.store.close()
        self.store = open_store(f"{self.folder.name}/bench.db")

    @invariant()
    def all_is_there(self) -> None:
        """Every acknowledged version once, in order, and of each reading the one taken last holds."""
        if not hasattr(self, "store"):
            return
        for job in self.jobs:
            kept = self.store.readings(job, every_version=True)
            wanted = {
                (name, number + 1): (left, minute)
                for name, messages in self.said.items()
                for number, (of, left, minute) in enumerate(messages)
                if of == job
            }
            seen = {(r.id, r.version): (r.values["left"], (r.taken_at - NOON) // timedelta(minutes=1)) for r in kept}
            assert len(kept) == len(wanted)
            assert seen == wanted
            holds = {r.id: (r.version, seen[r.id, r.version][1]) for r in self.store.readings(job)}
            assert set(holds) == {name for name, _ in wanted}
            for (name, version), (_, minute) in wanted.items():
                assert (holds[name][1], holds[name][0]) >= (minute, version)

    def teardown(self) -> None:
        """Let go of the file."""
        if hasattr(self, "store"):
            self.store.close()
            self.folder.cleanup()


TestReadingsKept = ReadingsKept.TestCase
TestReadingsKept.settings = settings(
    max_examples=15, stateful_step_count=20, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)

WRITER = """
import sys, uuid, datetime
from bendwright.store.open_store import open_store
store, job = open_store(sys.argv[1]), sys.argv[2]
while True:
    name = str(uuid.uuid4())
    store.put_reading(name, job_id=job, stroke=1, bend_ids=["b1"], values={"left": 90.0},
                      taken_at=datetime.datetime.now(datetime.UTC))
    print(name, flush=True)
"""


def test_the_program_is_killed_while_it_writes(tmp_path: Path) -> None:
    """Every reading that was acknowledged before the kill is there afterwards, whole; at most one more."""
    address = f"sqlite:///{tmp_path / 'bench.db'}"
    store = open_store(address)
    job = new_job(store)
    told: list[str] = []
    for count in (1, 7, 23):
        with subprocess.Popen(
            [sys.executable, "-c", WRITER, address, job], stdout=subprocess.PIPE, text=True
        ) as writer:
            assert writer.stdout is not None
            told += [writer.stdout.readline().strip() for _ in range(count)]
            writer.kill()
            told += writer.stdout.read().split()
        kept = store.readings(job)
        assert set(told) <= {reading.id for reading in kept}
        assert len(kept) - len(told) <= 1
        assert all(r.values == {"left": 90.0} and r.version == 1 for r in kept)
        told = [reading.id for reading in kept]
    store.close()
