"""Jobs by the interface: planned, heard, stopped, dropped, their files."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from benching import TestClient, a_bench, ended

from bench_talk import API, PROFILE
from bendwright.drawing.plan_file import plan_from_json

KINDS = {
    "plan": "application/json",
    "strokes": "text/csv",
    "blank_dxf": "image/vnd.dxf",
    "film": "model/gltf-binary",
    "setup_sheet": "application/pdf",
    "picture_blank": "image/svg+xml",
}


@pytest.mark.origin("law", "the plan kept is a plan file")
def test_a_job_is_planned_and_its_files_are_there(bench: TestClient, planned: str) -> None:
    """Every kind of file with its media type; the plan is read back by the reader of plan files."""
    for kind, media in KINDS.items():
        answer = bench.get(f"{API}/jobs/{planned}/files/{kind}")
        assert answer.status_code == 200, answer.text
        assert answer.headers["content-type"].startswith(media)
    plan = plan_from_json(bench.get(f"{API}/jobs/{planned}/files/plan").text)
    assert plan.header.part_no == "SI-4410"
    assert len(plan.strokes) == 4
    kept = bench.get(f"{API}/jobs/{planned}/files/setup_sheet", params={"keep": "true"})
    assert "SI-4410-B-setup-sheet.pdf" in kept.headers["content-disposition"]


@pytest.mark.origin("law", "what is not there is said, with what is")
def test_unknown_jobs_and_files(bench: TestClient, planned: str) -> None:
    """404 with B120 for a job, B208 for a file, B202 for an address."""
    for path, code in (
        (f"jobs/{planned}/files/secrets", "B208"),
        ("jobs/nosuchjob", "B120"),
        ("jobs/..%2f..%2fetc", "B202"),
        ("nothing", "B202"),
    ):
        answer = bench.get(f"{API}/{path}")
        assert answer.status_code == 404, path
        assert answer.json()["findings"][0]["code"] == code


@pytest.mark.origin("law", "what was asked is kept as it was asked")
def test_a_job_keeps_what_it_was_asked(bench: TestClient, planned: str, draft: dict[str, object]) -> None:
    """Part, sheet and wishes come back as they were sent, to be changed and sent again."""
    one = bench.get(f"{API}/jobs/{planned}").json()
    assert one["part"] == draft["part"]
    assert one["sheet"]["readings"] == ["1.97 mm"]
    assert planned in [job["id"] for job in bench.get(f"{API}/jobs").json()]


@pytest.mark.origin("law", "a job that cannot be made ends with its reasons")
def test_a_job_that_is_refused(bench: TestClient) -> None:
    """A lip far too short for every die: refused, with the reasons of the planner."""
    words = {**PROFILE, "profile": "2 u90 40 u90 2 x 1200", "part_no": "SI-4411"}
    part = bench.post(f"{API}/parts/typed", json=words).json()["part"]
    job = bench.post(f"{API}/jobs", json={"part": part, "wishes": {"cure_seconds": 0.0}}).json()["id"]
    assert ended(bench, job) == "refused"
    findings = bench.get(f"{API}/jobs/{job}").json()["findings"]
    assert findings
    assert all(item["cure"] for item in findings if item["severity"] == "error")


@pytest.mark.origin("law", "nothing of the person's is lost")
def test_a_dropped_job_can_be_taken_back(bench: TestClient, planned: str) -> None:
    """It leaves the list, stands on the list of dropped ones, and comes back whole."""
    assert bench.delete(f"{API}/jobs/{planned}").json()["dropped"]
    assert planned not in [job["id"] for job in bench.get(f"{API}/jobs").json()]
    assert planned in [job["id"] for job in bench.get(f"{API}/jobs", params={"dropped": "true"}).json()]
    assert not bench.post(f"{API}/jobs/{planned}/take-back").json()["dropped"]
    assert planned in [job["id"] for job in bench.get(f"{API}/jobs").json()]


@pytest.mark.origin("law", "a full disk is said before anything is begun")
def test_nothing_is_taken_on_without_room(
    bench: TestClient, planned: str, draft: dict[str, object], monkeypatch: pytest.MonkeyPatch
) -> None:
    """B426 for a job, the same again, a file, a copy of a shop and a changed tool; what is there can still be read."""
    assert bench.post(f"{API}/shops/saltmarsh/copy", json={"name": "roomy"}).status_code == 201
    monkeypatch.setattr("bendwright.bench.security.uploads.SPARE_BYTES", 1 << 62)
    table = {"file": ("t.csv", b"id,name,kind,pieces\nX1,x,straight,10\n")}
    for answer in (
        bench.post(f"{API}/jobs", json={"part": draft["part"]}),
        bench.post(f"{API}/jobs/{planned}/again", json={}),
        bench.post(f"{API}/parts/file", files={"file": ("lid.dxf", b"0\nSECTION\n")}, data={"revision": "A"}),
        bench.post(f"{API}/shops/saltmarsh/copy", json={"name": "roomier"}),
        bench.put(f"{API}/shops/roomy/punches/P1", json={"fields": {}}),
    ):
        assert (answer.status_code, answer.json()["findings"][0]["code"]) == (422, "B426"), answer.url
    looked = bench.post(f"{API}/shops/roomy/import/csv", files=table, data={"kind": "punches"})
    assert looked.status_code == 200
    assert bench.get(f"{API}/jobs/{planned}/plan").status_code == 200


@pytest.mark.origin("law", "a part that is none is not taken on")
def test_a_part_that_is_none(bench: TestClient) -> None:
    """What was not a draft's part is refused when it is sent, not later in the background."""
    for part in ({}, {"schema": "bendwright-part/1"}, {"part": {"header": 3}}):
        answer = bench.post(f"{API}/jobs", json={"part": part})
        assert answer.status_code == 422
        assert answer.json()["findings"][0]["code"].startswith("D1")


@pytest.mark.origin("law", "stopping ends the process, not the bench; a waiting job survives the bench")
def test_stopping_and_starting_again(tmp_path: Path) -> None:
    """A job stopped while its process is busy ends stopped; one that waits when the bench ends is planned by the next bench."""
    with a_bench(tmp_path) as bench:
        part = bench.post(f"{API}/parts/typed", json=PROFILE).json()["part"]
        first, second = (bench.post(f"{API}/jobs", json={"part": part}).json()["id"] for _ in range(2))
        stopped = bench.post(f"{API}/jobs/{first}/stop")
        assert stopped.status_code == 202
        assert ended(bench, first) == "stopped"
        states = {job["id"]: job["state"] for job in bench.get(f"{API}/jobs").json()}
        assert states[second] in ("waiting", "running", "done")
    with a_bench(tmp_path) as bench:
        assert ended(bench, second) == "done"
        assert json.loads(bench.get(f"{API}/jobs/{second}/files/plan").text)["header"]["part_no"] == "SI-4410"
