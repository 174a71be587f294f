"""A bench for tests: its own folder of data, its processes shared by the tests of one run."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from bench_talk import API
from bendwright.bench.app import create_app
from bendwright.bench.settings import BenchSettings

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from fastapi.testclient import TestClient


@contextmanager
def a_bench(data: Path, **settings: Any) -> Iterator[TestClient]:
    """A bench that serves from ``data`` while the block runs."""
    with TestClient(create_app(BenchSettings(data=data, **settings)), base_url="http://localhost:4117") as client:
        yield client


def ended(client: TestClient, job_id: str) -> str:
    """The state a job ends in, heard by its events."""
    state = ""
    with client.stream("GET", f"{API}/jobs/{job_id}/events") as events:
        for line in events.iter_lines():
            if '"state": "' in line:
                state = line.split('"state": "')[1].split('"')[0]
    return state


def folder_of(client: TestClient, shop: str) -> Path:
    """Where a copy of a shop lies."""
    return Path(client.app.state.place.own_shops) / shop  # type: ignore[attr-defined]
