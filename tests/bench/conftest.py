"""One bench for all tests of this folder that do not need one of their own."""

from __future__ import annotations

import zlib
from collections.abc import Iterator

import pytest
from benching import TestClient, a_bench, ended

from bench_talk import API, PROFILE


@pytest.fixture(scope="session")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """A running bench with the demo shop."""
    with a_bench(tmp_path_factory.mktemp("bench")) as client:
        yield client


@pytest.fixture(scope="session")
def draft(bench: TestClient) -> dict[str, object]:
    """The lipped rail as it was read."""
    answer = bench.post(f"{API}/parts/typed", json=PROFILE)
    assert answer.status_code == 200, answer.text
    return dict(answer.json())


@pytest.fixture(scope="session")
def planned(bench: TestClient, draft: dict[str, object]) -> str:
    """Id of a job that is planned: the lipped rail on a sheet measured at 1.97 mm."""
    answer = bench.post(f"{API}/jobs", json={"part": draft["part"], "sheet": {"readings": ["1.97 mm"]}})
    assert answer.status_code == 202, answer.text
    job_id = str(answer.json()["id"])
    assert ended(bench, job_id) == "done"
    return job_id


@pytest.fixture
def own(bench: TestClient, request: pytest.FixtureRequest) -> str:
    """A copy of the demo shop of this test's own."""
    name = f"own {zlib.crc32(request.node.nodeid.encode())}"
    answer = bench.post(f"{API}/shops/saltmarsh/copy", json={"name": name})
    assert answer.status_code == 201, answer.text
    assert answer.json()["name"] == name
    assert answer.json()["editable"] is True
    return name
