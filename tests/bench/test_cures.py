"""Cures of a refused job by the interface: told with what they change, had by one request, or filled into a form of the shop."""

from __future__ import annotations

from typing import Any

import pytest
from benching import TestClient, ended

from bench_talk import API, CHANNEL, STRAIGHT
from bendwright.bench.pages.order_page import refusal_page
from bendwright.drawing.plan_file import plan_from_json
from bendwright.findings import found

WISHES = {**STRAIGHT, "cure_seconds": 30.0}


@pytest.fixture(scope="module")
def refused(bench: TestClient) -> str:
    """Id of the channel's job, refused and looked at for cures."""
    part = bench.post(f"{API}/parts/typed", json=CHANNEL).json()["part"]
    job = str(bench.post(f"{API}/jobs", json={"part": part, "wishes": WISHES}).json()["id"])
    assert ended(bench, job) == "refused"
    return job


def cures(bench: TestClient, job: str) -> list[dict[str, Any]]:
    """The cures of a refused job as its page gets them."""
    return list(bench.get(f"{API}/jobs/{job}/refusal").json()["cures"])


@pytest.mark.origin("law", "every cure told can be had, or says what the shop needs first")
def test_what_every_cure_changes(bench: TestClient, refused: str) -> None:
    """The gooseneck by a wish, sizes by the part with both numbers, the slimmer punch by a form filled in."""
    told = cures(bench, refused)
    assert [cure["number"] for cure in told] == list(range(1, len(told) + 1))
    by_kind = {cure["kind"]: cure for cure in told}
    assert (by_kind["other punch"]["changes"], by_kind["other punch"]["wishes"]) == ("wishes", {"punch": "P2"})
    size = by_kind["flange length"]
    assert (size["changes"], size["wishes"], size["shop"]) == ("part", {}, [])
    assert f"from {size['before']['value']:.2f} to {size['after']['texts']['mm']}" in size["sentence"]
    (fill,) = next(cure["shop"] for cure in told if cure["kind"] == "buy punch" and "body" in cure["sentence"])
    assert (fill["kind"], fill["id"], fill["like"]) == ("punches", "P1", True)
    assert fill["fields"]["shape.half_width"].endswith(" mm")


@pytest.mark.origin("law", "the job begun with a cure is the refused one with that change, and is made")
@pytest.mark.parametrize("kind", ["other punch", "flange length"])
def test_a_cure_is_had_by_one_request(bench: TestClient, refused: str, kind: str) -> None:
    """Sheet, shop and all other wishes stay; the refused job stays as it was."""
    before = bench.get(f"{API}/jobs/{refused}").json()
    cure = next(cure for cure in cures(bench, refused) if cure["kind"] == kind)
    answer = bench.post(f"{API}/jobs/{refused}/cures/{cure['number']}")
    assert answer.status_code == 202, answer.text
    made = answer.json()["id"]
    assert ended(bench, made) == "done"
    after = bench.get(f"{API}/jobs/{made}").json()
    assert after["sheet"] == before["sheet"]
    assert after["wishes"] == {**before["wishes"], **cure["wishes"]}
    assert (after["part"] == before["part"]) == (kind == "other punch")
    if kind == "flange length":
        assert after["part"]["part"]["header"]["notes"][-1].startswith("Not as drawn: ")
        assert after["part"]["read_from"] == before["part"]["read_from"]
        plan = plan_from_json(bench.get(f"{API}/jobs/{made}/files/plan").text)
        assert any("Not as drawn" in note for note in plan.header.notes)
    assert bench.get(f"{API}/jobs/{refused}").json()["job"]["state"] == "refused"


@pytest.mark.origin("law", "what a form is filled with is what the shop takes, and the job is made with it")
def test_a_form_is_filled_in(bench: TestClient, refused: str) -> None:
    """In a copy of the shop: the slimmer punch put in as told, the job planned there with it."""
    (fill,) = next(cure["shop"] for cure in cures(bench, refused) if cure["kind"] == "buy punch" and cure["shop"])
    page = bench.post(f"{API}/shops/saltmarsh/copy", json={"name": "cured"}).json()
    like = next(punch for punch in page["punches"] if punch["id"] == fill["id"])
    fields = {item["key"]: item["typed"] for item in like["fields"] if item["typed"]} | fill["fields"]
    body = {"fields": fields, "rows": [*like["rows"], *fill["rows"]], "outline": like["outline"]}
    assert bench.put(f"{API}/shops/cured/punches/{fields['id']}", json=body).status_code == 200
    job = bench.get(f"{API}/jobs/{refused}").json()
    wishes = {**job["wishes"], "punch": fields["id"]}
    made = bench.post(f"{API}/jobs", json={"part": job["part"], "shop": "cured", "wishes": wishes}).json()["id"]
    assert ended(bench, made) == "done"


@pytest.mark.origin("law", "what cannot be had by a request is refused, with what can")
def test_cures_that_cannot_be_put_into_the_job(bench: TestClient, refused: str, planned: str) -> None:
    """B234: a punch to buy, numbers there are not, a job that was never refused."""
    told = cures(bench, refused)
    usable = ", ".join(str(cure["number"]) for cure in told if cure["changes"] in ("wishes", "part"))
    bought = next(cure["number"] for cure in told if cure["changes"] == "shop")
    for number in (bought, 0, -1, len(told) + 1, 10**9):
        answer = bench.post(f"{API}/jobs/{refused}/cures/{number}")
        (finding,) = answer.json()["findings"]
        assert (answer.status_code, finding["code"]) == (422, "B234")
        assert (
            finding["sentence"]
            == f"Cure {number} of job {refused} cannot be put into the job itself; those that can are: {usable}."
        )
    assert "those that can are: none." in bench.post(f"{API}/jobs/{planned}/cures/1").json()["findings"][0]["sentence"]
    assert bench.post(f"{API}/jobs/none/cures/1").status_code in (404, 422)


@pytest.mark.origin("law", "a refusal kept by an older bench is told as far as it goes")
def test_cures_kept_without_their_changes() -> None:
    """The sentence, and that it is to be done by hand."""
    rows = [found("O150", where="other punch", cure="use punch P2 instead of P1").as_dict()]
    (cure,) = refusal_page("j", "SI-1", "A", "", rows, wished={}).cures
    assert (cure.sentence, cure.changes, cure.wishes, cure.shop) == ("use punch P2 instead of P1", "by_hand", {}, [])
    assert (cure.before, cure.after) == (None, None)
