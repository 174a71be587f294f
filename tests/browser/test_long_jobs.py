"""A job that takes minutes: followed on its page, and ended with the best plan so far."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
from browsing import STARTS_S, once, tabbed

from bench_talk import API
from bendwright.drawing.saved_part import part_to_json
from shop_talk import plate

KEEP = "Enough: keep the best so far"
FOUND_MS = 60_000
PLANNED_MS = 90_000


def begun(address: str) -> str:
    """Id of a job that takes minutes: a plate with twenty flanges, on one brake with one die."""
    import httpx

    with httpx.Client(base_url=f"{address}{API}", timeout=STARTS_S, headers={"Origin": address}) as client:
        once(lambda: client.get("/about").json()["ready"])
        part = json.loads(part_to_json(plate(20), read_from=""))
        asked = {"part": part, "wishes": {"brake": "M1", "die": "V16", "quantity": 5}}
        return str(client.post("/jobs", json=asked).json()["id"])


def told(page: Any, name: str) -> str:
    """What stands beside a name of the progress."""
    return str(page.locator(f"dt:text-is('{name}') + dd").inner_text())


@pytest.mark.origin(
    "law", "what is shown of a search is a best, a bound below it and the gap between them; keys alone do (WCAG 2.1.1)"
)
def test_a_long_job_is_ended_with_the_best_so_far(page: Any, address: str) -> None:
    """Numbers move while it searches; the button is reached by Tab and keeps the focus; the plan works and is not called proven."""
    page.goto(f"{address}/plan/{begun(address)}")
    page.locator("button:text-is('Enough: keep the best so far')[aria-disabled=false]").wait_for(timeout=FOUND_MS)
    page.locator(".doing:text-is('goes through every set of stations')").wait_for()
    polite = page.locator("[aria-live=polite]").all_inner_texts()
    assert any("There is a plan that works" in text for text in polite)
    cycle, least, gap = (
        float(re.sub(r"[^0-9.]", "", told(page, name)))
        for name in ("A piece with it", "A piece takes at least", "To be gained a piece, at most")
    )
    assert 0.0 < least <= cycle
    assert gap == pytest.approx(100.0 * (cycle - least) / cycle, abs=0.3)
    looked = page.locator("dt:text-is('States looked at') + dd").element_handle()
    page.wait_for_function(
        "([one, before]) => one.innerText !== before", arg=[looked, looked.inner_text()], timeout=3_000
    )
    tabbed(page, KEEP)
    page.keyboard.press("Enter")
    page.get_by_role("button", name="The best so far is being taken").wait_for()
    assert page.evaluate("document.activeElement.innerText").startswith("The best so far is being taken")
    page.get_by_role("listbox", name="Strokes").get_by_role("option").first.wait_for(timeout=PLANNED_MS)
    assert page.get_by_text("not proven the best").count() > 0


@pytest.mark.origin("law", "stopped is stopped: no plan, and the way to plan it again")
def test_a_long_job_is_stopped(page: Any, address: str) -> None:
    """By the button beside what it does."""
    job = begun(address)
    page.goto(f"{address}/plan/{job}")
    page.get_by_role("button", name="Stop", exact=True).click()
    page.get_by_role("button", name="Plan again").wait_for()
    assert page.request.get(f"{address}{API}/jobs/{job}").json()["job"]["state"] == "stopped"


@pytest.mark.origin("practice", "who waits is told what for")
def test_the_first_page_says_that_the_bench_gets_ready(page: Any, address: str) -> None:
    """As long as the bench says that it is not ready; everything else of the page is there meanwhile."""
    ready = []

    def about(route: Any) -> None:
        answer = route.fetch()
        route.fulfill(response=answer, json={**answer.json(), "ready": bool(ready)})

    page.route("**/api/v1/about", about)
    page.goto(address)
    note = page.get_by_text("The bench is getting ready")
    note.wait_for()
    assert page.get_by_role("button", name="Type a profile in one line").is_enabled()
    ready.append(True)
    note.wait_for(state="detached")
