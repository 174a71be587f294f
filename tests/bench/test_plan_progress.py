"""A search is heard while it runs, and ended with what it has."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from benching import TestClient, ended

from bench_talk import API, PROFILE
from bendwright.bench.tasks.plan import SearchHeard
from bendwright.bench.work import ENOUGH


@pytest.mark.origin(
    "law", "a search goes on until the person has had enough, and an old word does not end a new search"
)
def test_a_search_tells_how_far_it_is_and_ends_when_told(tmp_path: Path) -> None:
    """Every better job is told at once, the rest a few times a second; the file of that name ends it."""
    (tmp_path / ENOUGH).touch()
    told = list[Mapping[str, Any]]()
    heard = SearchHeard(told.append, tmp_path / ENOUGH)
    assert heard(None, 60.0)
    assert [heard(300.0, 60.0) for _ in range(50)] == [True] * 50
    assert heard(280.0, 60.0)
    bests = [word["progress"]["best"]["value"] for word in told]
    assert bests[:2] == [None, 300.0]
    assert bests[-1] == 280.0
    assert len(told) < 10
    assert told[-1]["progress"]["looked"]["value"] == 52
    (tmp_path / ENOUGH).touch()
    assert not heard(280.0, 60.0)


@pytest.mark.origin("law", "numbers of the events are those of the pages")
def test_progress_comes_by_the_events(bench: TestClient) -> None:
    """While a job runs its events carry the best job so far; ending one that is done changes nothing."""
    typed = {**PROFILE, "profile": "20 u90 30 d90 40 u90 60 u90 120 u90 60 u90 20 x 800"}
    part = bench.post(f"{API}/parts/typed", json=typed).json()["part"]
    job = bench.post(f"{API}/jobs", json={"part": part, "wishes": {"brake": "M1"}}).json()["id"]
    with bench.stream("GET", f"{API}/jobs/{job}/events") as events:
        lines = list(events.iter_lines())
    progress = [line for line in lines if '"progress"' in line]
    assert progress
    assert '"kind": "time"' in progress[-1]
    assert bench.post(f"{API}/jobs/{job}/enough").json()["state"] == "done"
    assert ended(bench, job) == "done"
