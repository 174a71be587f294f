"""A search is heard while it runs, and ended with what it has."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from benching import TestClient, ended

from bench_talk import API, PROFILE
from bendwright.bench.tasks.plan import SearchHeard
from bendwright.bench.work import ENOUGH
from bendwright.plan.hearing import Progress


@pytest.mark.origin(
    "law", "a search goes on until the person has had enough, and an old word does not end a new search"
)
def test_a_search_tells_how_far_it_is_and_ends_when_told(tmp_path: Path) -> None:
    """Every better job is told at once, the rest a few times a second; the file of that name ends it."""
    (tmp_path / ENOUGH).touch()
    told = list[Mapping[str, Any]]()
    heard = SearchHeard(told.append, tmp_path / ENOUGH)
    assert heard(Progress(doing="first"))
    found = Progress(
        doing="stations", best_s=300.0, cycle_s=80.0, least_s=60.0, dies=("V16",), way=2, ways=3, states=90
    )
    assert [heard(found) for _ in range(50)] == [True] * 50
    assert heard(replace(found, best_s=280.0, cycle_s=60.0, sets=52))
    progress = [word["progress"] for word in told]
    assert [word["best"]["value"] for word in progress][:2] == [None, 300.0]
    assert len(told) < 10
    assert [progress[1][name]["texts"]["all"] for name in ("cycle", "least", "gap", "states")] == [
        "80 s",
        "60 s",
        "25.0 %",
        "90",
    ]
    assert (progress[1]["doing"], progress[1]["dies"], progress[1]["way"], progress[1]["ways"]) == (
        "stations",
        ["V16"],
        2,
        3,
    )
    assert (progress[-1]["best"]["value"], progress[-1]["gap"]["value"], progress[-1]["sets"]["value"]) == (
        280.0,
        0.0,
        52,
    )
    (tmp_path / ENOUGH).touch()
    assert not heard(found)


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
