"""The program is ended in the middle of a job: the next start says so."""

from __future__ import annotations

from pathlib import Path

import pytest

from bendwright.bench.jobs import Jobs
from bendwright.bench.workers import Workers
from bendwright.store.open_store import open_store


@pytest.mark.origin("law", "nothing works on a job before the bench has started")
def test_a_job_cut_off_in_the_middle_is_stopped_and_says_so(tmp_path: Path) -> None:
    """B122 on the job that ran; the one that waited goes on waiting, the one that was done is done."""
    store = open_store(str(tmp_path / "bench.db"))
    ran, waited, done = (store.add_job(part={}, sheet={}, wishes={}, shop="saltmarsh").id for _ in range(3))
    store.change_job(ran, state="running")
    store.change_job(done, state="done")
    Jobs(store, Workers(0), tmp_path, str).take_up()
    assert [store.job(name).state for name in (ran, waited, done)] == ["stopped", "waiting", "done"]
    (told,) = store.job(ran).findings
    assert (told["code"], told["severity"]) == ("B122", "watch")
    assert told["sentence"] == f"The program was ended while the job {ran} was being worked on."
    assert (store.job(waited).findings, store.job(done).findings) == ((), ())
    store.close()
