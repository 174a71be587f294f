"""The floor where others are let in: signing in with a glove, and a session at its end."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from browsing import WAIT_MS, hard_to_hit, on_keys, once, running_bench

from bench_talk import API, PASSPHRASE


@pytest.mark.origin("law", "who is not signed in is told so by a page a glove can use")
def test_not_signed_in(browser: Any, tmp_path: Path) -> None:
    """The floor's own trouble and the page to sign in have targets of 20 mm."""
    context = browser.new_context(viewport={"width": 1280, "height": 800}, has_touch=True, is_mobile=True, locale="en")
    context.set_default_timeout(WAIT_MS)
    with running_bench(tmp_path, "--lan", BENDWRIGHT_PASSPHRASE=PASSPHRASE) as address:
        page = context.new_page()
        page.goto(f"{address}/floor/abcdefghjk/1")
        page.get_by_role("link", name="Sign in").wait_for()
        assert hard_to_hit(page, 149.0 / 25.4) == []
        page.get_by_role("link", name="Sign in").tap()
        page.get_by_label("Passphrase").wait_for()
        boxes = [page.locator(f"form {name}").bounding_box() for name in ("input", "button")]
        assert min(min(box["width"], box["height"]) for box in boxes) >= 20.0 * 149.0 / 25.4
        page.get_by_label("Passphrase").fill("not this one, surely")
        page.get_by_role("button", name="Enter").tap()
        page.get_by_text("B407").wait_for()
    context.close()


@pytest.mark.origin("law", "a session ends without a reading ending with it")
def test_a_session_at_its_end(browser: Any, tmp_path: Path) -> None:
    """Signed out by the office while a reading is typed: it waits, the page asks to sign in, and then it is sent."""
    import httpx

    with (
        running_bench(tmp_path, "--lan", BENDWRIGHT_PASSPHRASE=PASSPHRASE) as address,
        httpx.Client(base_url=f"{address}{API}", timeout=300.0, headers={"Origin": address}) as office,
    ):
        check = office.post("/sign-in", json={"passphrase": PASSPHRASE}).json()["check"]
        office.headers["X-Bendwright-Check"] = check
        once(lambda: office.get("/about").json()["ready"])
        part = office.post("/demos/mast_clamp").json()["part"]
        job = office.post("/jobs", json={"part": part}).json()["id"]
        once(lambda: office.get(f"/jobs/{job}").json()["job"]["state"] == "done")
        link = office.post("/links", json={"leads_to": f"/floor/{job}/1/read"}).json()["address"]
        context = browser.new_context(
            viewport={"width": 1280, "height": 800}, has_touch=True, is_mobile=True, locale="en"
        )
        context.set_default_timeout(WAIT_MS)
        page = context.new_page()
        page.goto(link)
        page.wait_for_selector(".keys")
        on_keys(page, "89.7")
        for one in office.get("/sessions").json():
            if not one["own"]:
                assert office.delete(f"/sessions/{one['id']}").is_success
        page.get_by_role("button", name="Enter").tap()
        page.get_by_role("link", name="Sign in").wait_for()
        page.get_by_text("1 entry waits to be sent").wait_for()
        assert office.get(f"/jobs/{job}/readings").json() == []
        page.get_by_role("link", name="Sign in").tap()
        page.get_by_label("Passphrase").fill(PASSPHRASE)
        page.get_by_role("button", name="Enter").tap()
        page.get_by_text("all sent").wait_for()
        (entry,) = office.get(f"/jobs/{job}/readings").json()
        assert entry["typed"]["bends"][0]["left"] == "89.7"
        context.close()
