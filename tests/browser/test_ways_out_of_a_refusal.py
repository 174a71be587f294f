"""A job that was refused: its cures had by a button, or led to the form of the shop with what it needs filled in."""

from __future__ import annotations

import re
from typing import Any

import pytest
from browsing import API, broken_rules, once

from bench_talk import CHANNEL, STRAIGHT

PLANS_MS = 90_000
WISHES = {**STRAIGHT, "cure_seconds": 60.0}


@pytest.fixture(scope="module")
def refused(address: str, job: str) -> str:
    """Id of a job that was refused for the punch that was wished, with its cures; the bench is warm by the other job."""
    import httpx

    with httpx.Client(base_url=f"{address}{API}", timeout=120.0, headers={"Origin": address}) as client:
        part = client.post("/parts/typed", json=CHANNEL).json()["part"]
        made = str(client.post("/jobs", json={"part": part, "wishes": WISHES}).json()["id"])
        once(lambda: client.get(f"/jobs/{made}").json()["job"]["state"] == "refused")
    return made


@pytest.mark.origin("law", "the button does what it says, and the plan says what was changed")
def test_a_cure_is_a_button(page: Any, address: str, refused: str, checker: str) -> None:
    """By keyboard: the shorter or wider part is planned; its plan tells that it is not as drawn."""
    page.goto(f"{address}/plan/{refused}")
    size = page.get_by_role("listitem").filter(has_text=re.compile("(lengthen|shorten) flange")).first
    size.wait_for()
    assert re.search(r"Changes the part, not its drawing.* [\d.]+ mm → [\d.]+ mm", size.inner_text())
    assert broken_rules(page, checker) == []
    size.get_by_role("button").focus()
    page.keyboard.press("Enter")
    page.wait_for_url(lambda url: url.startswith(f"{address}/plan/") and not url.endswith(refused))
    page.get_by_role("listbox", name="Strokes").get_by_role("option").first.wait_for(timeout=PLANS_MS)
    made = page.url.rsplit("/", 1)[1]
    notes = page.request.get(f"{address}{API}/jobs/{made}").json()["part"]["part"]["header"]["notes"]
    assert notes[-1].startswith("Not as drawn: ")


@pytest.mark.origin(
    "law",
    "what has to be got leads to its form with the size filled in, and nothing is in the shop before it is put there",
)
def test_a_cure_leads_to_the_form_of_the_shop(page: Any, address: str, refused: str, checker: str) -> None:
    """The demo shop stays as it is: copied first, the form of a punch like P1 opens with id and half width; saved, it hangs there."""
    page.goto(f"{address}/plan/{refused}")
    body = page.get_by_role("listitem").filter(has_text="with a body at most").first
    body.get_by_role("link").click()
    page.wait_for_url(f"{address}/shop?*")
    page.get_by_text("is filled in then").wait_for()
    assert page.get_by_role("button", name="Put into the shop").count() == 0
    page.get_by_label("Copy this shop as").fill("after a refusal")
    page.get_by_role("button", name="Copy", exact=True).click()
    width = page.get_by_label("Half width", exact=True)
    width.wait_for()
    name = page.get_by_label("Id", exact=True).input_value()
    assert re.fullmatch(r"P1 [\d.]+ mm slim", name)
    assert width.input_value() == f"{name.split()[1]} mm"
    assert broken_rules(page, checker) == []
    hung = [one["id"] for one in page.request.get(f"{address}{API}/shops/after a refusal").json()["punches"]]
    assert name not in hung
    page.get_by_role("button", name="Put into the shop").click()
    page.get_by_role("heading", name=re.compile(f"^{name} · ")).wait_for()
    assert page.url == f"{address}/shop"
