"""The interface held against its own description, with requests made up from it: no fault of the program, every answer as described.

Few requests an address, always the same ones. Half of them are of a job that is there; jobs that come of them are stopped at once.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from benching import TestClient, a_bench
from fuzzing import broken_by, operations_of

from bench_talk import API

USUAL, WRONG = 6, 3
"""Requests an address: as it wants them, and not."""


@pytest.fixture
def target(tmp_path: Path) -> Iterator[TestClient]:
    """A bench of its own: what comes of made-up requests is in nobody's way."""
    with a_bench(tmp_path) as client:
        yield client


@pytest.fixture
def known(target: TestClient, bench: TestClient, planned: str) -> dict[str, Any]:
    """What is there to be asked for, by the name of the field: jobs (planned, stopped), the part, bends, pictures, files, shops."""
    store = target.app.state.place.store  # type: ignore[attr-defined]
    job = bench.app.state.place.store.job(planned)  # type: ignore[attr-defined]
    header = {"part_no": job.part_no, "revision": job.revision, "title": job.title}
    same = {"part": job.part, "sheet": job.sheet, "wishes": job.wishes, "shop": job.shop, **header}
    ids = [store.add_job(**same).id for _ in range(2)]
    store.change_job(ids[0], state="done", plan=job.plan, extras=job.extras)
    store.change_job(ids[1], state="stopped")
    order = [" ".join(stroke["bends"]) if "bends" in stroke else stroke["bend_id"] for stroke in job.plan["strokes"]]
    return {
        "job_id": ids,
        "a": ids,
        "b": ids,
        "part": [job.part],
        "number": [1, len(order)],
        "order": [order, order[::-1]],
        "pins": [None, []],
        "shop": [job.shop],
        "name": ["blank", "stations", "stroke-1", "section-2"],
        "kind": ["plan", "setup_sheet", "strokes"],
        "profile": ["15 u90 40 u90 15 x 300"],
        "stroke": [1],
        "shop_id": [job.shop],
        "demo_id": ["instrument_rail"],
    }


@pytest.mark.origin(
    "law", "OpenAPI 3.1: a description binds the one who gives it; RFC 9110: 5xx is a failure of the server"
)
def test_no_request_breaks_the_bench(target: TestClient, known: dict[str, Any]) -> None:
    """All addresses, as their description wants to be asked and otherwise."""
    operations = operations_of(target.get(f"{API}/openapi.json").json())
    assert len(operations) > 30
    broken = [line for operation in operations for line in broken_by(target, operation, known, USUAL, WRONG)]
    assert not broken, "\n\n".join(broken)


@pytest.mark.origin(
    "law", "RFC 9457: an error has the media type application/problem+json, and the description says so"
)
def test_every_address_names_its_problems(bench: TestClient) -> None:
    """One shape for all errors of all addresses, and no other."""
    description = bench.get(f"{API}/openapi.json").json()
    assert "HTTPValidationError" not in description["components"]["schemas"]
    for path, methods in description["paths"].items():
        for method, operation in methods.items():
            for status, answer in operation["responses"].items():
                if int(status) < 400:
                    continue
                name = answer["$ref"].rpartition("/")[2]
                content = description["components"]["responses"][name]["content"]
                assert list(content) == ["application/problem+json"], (method, path, status)
            assert {"404", "409", "413", "415", "422", "503"} <= set(operation["responses"]), (method, path)
