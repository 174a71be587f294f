"""A bench that others may reach: in by passphrase, on the floor by a link that works once."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from browsing import WAIT_MS, Watch, running_bench

from bench_talk import API, PASSPHRASE

ASKED = """async ([path, check, body]) => { const answer = await fetch(path, { method: 'POST', body: JSON.stringify(body),
    headers: { 'Content-Type': 'application/json', 'X-Bendwright-Check': check } }); return [answer.status, await answer.json()] }"""


@pytest.fixture(scope="module")
def shop(browser: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Address of a bench with --lan, kept to this machine all the same."""
    data = tmp_path_factory.mktemp("lan")
    with running_bench(data, "--lan", "--host", "127.0.0.1", BENDWRIGHT_PASSPHRASE=PASSPHRASE) as address:
        yield address


@pytest.fixture
def machines(browser: Any, shop: str) -> Iterator[tuple[Any, Any, Watch]]:
    """A page on a desk and one on a tablet, each in a browser of its own, under one watch."""
    watch = Watch(shop, meant=["401 (Unauthorized)", "403 (Forbidden)"])
    contexts = [browser.new_context(locale="en") for _ in range(2)]
    for context in contexts:
        context.set_default_timeout(WAIT_MS)
        watch.over(context)
    yield contexts[0].new_page(), contexts[1].new_page(), watch
    for context in contexts:
        context.close()
    assert watch.unmeant() == []


@pytest.mark.origin("law", "nobody sees anything before the passphrase was right")
def test_in_by_passphrase_and_by_link(shop: str, machines: tuple[Any, Any, Watch]) -> None:
    """The wrong passphrase is told and lets nobody in, the right one opens the page that was wanted; a link signs one tablet in, once."""
    desk, tablet, _ = machines
    desk.goto(f"{shop}/shop")
    field = desk.get_by_label("Passphrase of the shop")
    field.fill("tin roof over the salt flats")
    field.press("Enter")
    desk.get_by_role("alert").get_by_text("The passphrase is wrong").wait_for()
    assert desk.context.cookies() == []
    assert desk.request.get(f"{shop}{API}/jobs").status == 401

    field.fill(PASSPHRASE)
    field.press("Enter")
    desk.wait_for_url(f"{shop}/shop")
    desk.get_by_role("heading", name="Shop", exact=True).wait_for()
    (cookie,) = desk.context.cookies()
    assert (cookie["httpOnly"], cookie["sameSite"]) == (True, "Strict")

    check = desk.request.get(f"{shop}{API}/session").json()["check"]
    status, link = desk.evaluate(ASKED, [f"{API}/links", check, {"leads_to": "/floor"}])
    assert status == 201
    assert desk.evaluate(ASKED, [f"{API}/links", "", {"leads_to": "/floor"}])[0] == 403

    tablet.goto(link["address"].replace("127.0.0.1", "localhost"))
    tablet.wait_for_url(f"{shop}/floor")
    tablet.get_by_role("heading", name="No job").wait_for()
    assert tablet.request.get(f"{shop}{API}/session").json()["kind"] == "floor"
    tablet.context.clear_cookies()
    tablet.goto(link["address"])
    tablet.get_by_role("alert").get_by_text("link").first.wait_for()
    assert tablet.context.cookies() == []
