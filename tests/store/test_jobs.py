"""Jobs kept, changed, dropped, taken back and purged, on both databases."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest

from bendwright.findings import InputError
from bendwright.store.jobs import ID_LENGTH, SIGNS
from bendwright.store.open_store import Store, open_store
from bendwright.store.records import Job

pytestmark = pytest.mark.origin("law", "what is put into a store comes out of it unchanged")

PART = {
    "kind": "profile",
    "legs": [15.0, 40.0, None],
    "title": "Dachrinne für Wetterstation ≥ 2 m \u202b",
    "deep": {"a": [True]},
}


def add(store: Store, **other: object) -> Job:
    """A job of the demo shop."""
    given = {"part": PART, "sheet": {"thickness": "1.97 mm"}, "wishes": {}, "shop": "saltmarsh", "part_no": "SI-104"}
    return store.add_job(**(given | {"revision": "C", "title": "Cable tray"} | other))  # type: ignore[arg-type]


def test_a_job_comes_back_as_it_was_given(store: Store) -> None:
    """Every text and all data, times in UTC, an id that can be read off paper."""
    before = datetime.now(UTC)
    made = add(store)
    job = store.job(made.id)
    assert job == made
    assert (job.part, job.sheet, job.plan, job.extras, job.findings) == (PART, {"thickness": "1.97 mm"}, None, None, ())
    assert (job.part_no, job.revision, job.title, job.state, job.folder) == (
        "SI-104",
        "C",
        "Cable tray",
        "waiting",
        job.id,
    )
    assert before <= job.made_at == job.changed_at <= datetime.now(UTC)
    assert job.made_at.utcoffset() == timedelta(0)
    assert len(job.id) == ID_LENGTH
    assert set(job.id) <= set(SIGNS)


def test_a_change_changes_what_is_given_and_nothing_else(store: Store) -> None:
    """A plan with its findings; the part stays."""
    job = add(store)
    told = [{"code": "K101", "severity": "note", "sentence": "x", "where": "b1", "cure": ""}]
    line = store.change_job(job.id, state="done", plan={"strokes": []}, findings=told, extras={"files": {"plan": "a"}})
    after = store.job(job.id)
    assert (after.state, after.plan, after.findings, after.part) == ("done", {"strokes": []}, tuple(told), PART)
    assert line == store.job_line(job.id)
    assert after.extras == line.extras == {"files": {"plan": "a"}}
    assert after.changed_at > after.made_at


def test_an_end_that_comes_late_does_not_undo_a_stop(store: Store) -> None:
    """B121: a change bound to a state is not made in another one."""
    job = add(store)
    store.change_job(job.id, state="stopped", only_in=["waiting", "running"])
    with pytest.raises(InputError, match=rf"B121 .*The job {job.id} is stopped; .* only while it is running"):
        store.change_job(job.id, state="done", plan={"late": True}, only_in=["running"])
    assert (store.job(job.id).state, store.job(job.id).plan) == ("stopped", None)


def test_the_list_is_newest_first_and_by_state(store: Store) -> None:
    """Without part and plan; pages fit together without gap or double."""
    ids = [add(store, title=str(number)).id for number in range(5)]
    store.change_job(ids[1], state="running")
    assert [line.id for line in store.jobs()] == ids[::-1]
    assert [line.id for line in store.jobs(states=["running"])] == [ids[1]]
    assert store.jobs(limit=2) + store.jobs(limit=2, offset=2) + store.jobs(limit=2, offset=4) == store.jobs()


def test_a_dropped_job_can_be_taken_back(store: Store) -> None:
    """Off the list, still there whole, and on the list again as it was."""
    job = add(store)
    first = store.drop_job(job.id)
    assert store.jobs() == ()
    assert [line.id for line in store.jobs(dropped=True)] == [job.id]
    assert store.drop_job(job.id).dropped_at == first.dropped_at, "a second drop does not start the time anew"
    assert store.job(job.id).part == PART
    store.take_back_job(job.id)
    assert store.job(job.id) == job


def test_only_what_was_dropped_long_ago_is_purged(store: Store) -> None:
    """With its readings; the names of the folders come back, so that the files can follow."""
    kept, fresh, old = add(store), add(store), add(store)
    for job in (kept, old):
        store.put_reading(
            str(uuid4()), job_id=job.id, stroke=1, bend_ids=["b1"], values={"left": 90}, taken_at=datetime.now(UTC)
        )
    store.drop_job(old.id)
    assert store.purge_jobs() == ()
    assert store.purge_jobs(older_than=timedelta(0)) == (old.folder,)
    store.drop_job(fresh.id)
    assert store.purge_jobs() == ()
    assert store.job(fresh.id).dropped_at is not None
    assert (len(store.readings(kept.id)), len(store.readings(old.id))) == (1, 0)
    with pytest.raises(InputError, match=rf"B120 .*There is no job {old.id}"):
        store.job(old.id)


@pytest.mark.parametrize("name", ["", "../../etc/passwd", "a\0b", "\udcff", "x" * 5000, "nosuchjob2"])
def test_what_is_no_job_is_none(store: Store, name: str) -> None:
    """B120 whatever is asked for."""
    for ask in (store.job, store.job_line, store.drop_job, store.take_back_job):
        with pytest.raises(InputError, match=r"B120 .*There is no job"):
            ask(name)
    with pytest.raises(InputError, match=r"B120"):
        store.change_job(name, state="done")


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"title": "x" * 201}, "B110 .*title has 201 characters; allowed are 200 at most"),
        ({"part_no": "SI\x00104"}, r"B111 .*part_no holds the sign U\+0000"),
        ({"revision": "\ud800"}, r"B111 .*revision holds the sign U\+D800"),
        ({"part": {"leg": float("nan")}}, "B112 .*part is no data that can be kept: Out of range float"),
        ({"wishes": {"pins": {1, 2}}}, "B112 .*wishes is no data that can be kept: Object of type set"),
        ({"sheet": {"a": "x" * 100_001}}, "B115 .*sheet takes 0.10 MB; allowed are 0.10 MB at most"),
    ],
)
def test_what_cannot_be_kept_is_refused(store: Store, wrong: dict[str, object], said: str) -> None:
    """Before anything is written, with the field and the limit."""
    with pytest.raises(InputError, match=said):
        add(store, **wrong)
    assert store.jobs() == ()


def test_many_threads_at_once(store: Store) -> None:
    """Eight threads add and change jobs; none is lost, none fails."""

    def work(number: int) -> str:
        job = add(store, title=str(number))
        store.change_job(job.id, state="running")
        return store.change_job(job.id, state="done", plan={"n": number}).id

    with ThreadPoolExecutor(8) as threads:
        ids = list(threads.map(work, range(48)))
    assert {line.id for line in store.jobs(states=["done"])} == set(ids)
    assert sorted((store.job(name).plan or {})["n"] for name in ids) == list(range(48))


def test_two_programs_on_one_store(url: str) -> None:
    """What one writes the other sees at once."""
    one, other = open_store(url), open_store(url)
    job = add(one)
    assert other.job(job.id) == job
    other.change_job(job.id, title="Hive roof")
    assert one.job(job.id).title == "Hive roof"
    one.close()
    other.close()
