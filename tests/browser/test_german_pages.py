"""The pages in German: what the plan says - findings, cautions, handling, reasons - is German there, its numbers with a comma."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from browsing import WAIT_MS, Watch, settled

from bench_talk import API

DESK = {"viewport": {"width": 1440, "height": 900}}
TABLET = {"viewport": {"width": 1180, "height": 820}, "has_touch": True, "is_mobile": True}
OPEN_ALL = "() => document.querySelectorAll('details').forEach((one) => { one.open = true })"
ENGLISH = "main [lang=en], .screen [lang=en]"
NOT_MEASURED = "Das Blech wurde nicht gemessen; alles ist für 2,00 mm Nenndicke gerechnet."


@pytest.fixture
def desk(browser: Any, watch: Watch) -> Iterator[Any]:
    """A page of a browser that asks for German."""
    yield from _page(browser, watch, DESK)


@pytest.fixture
def german_tablet(browser: Any, watch: Watch) -> Iterator[Any]:
    """A page of a tablet that asks for German."""
    yield from _page(browser, watch, TABLET)


def _page(browser: Any, watch: Watch, screen: dict[str, Any]) -> Iterator[Any]:
    context = browser.new_context(**screen, locale="de", reduced_motion="reduce")
    context.set_default_timeout(WAIT_MS)
    watch.over(context)
    yield context.new_page()
    context.close()


def shown(page: Any) -> str:
    """All that can be read on the page, folded parts opened."""
    settled(page)
    page.evaluate(OPEN_ALL)
    return " ".join(str(page.locator("body").inner_text()).split())


def sentences(page: dict[str, Any]) -> dict[str, str]:
    """German by English of whatever the page of the interface says in three words or more."""
    found = {item["sentence"]: item["in_german"]["sentence"] for item in page.get("findings", [])}
    both = (page["german"] | found).items()
    return {english: german for english, german in both if len(english.split()) > 2 and english != german}


def english_in(text: str, page: dict[str, Any]) -> list[str]:
    """English sentences that can be read in the text."""
    return [english for english in sentences(page) if " ".join(english.split()) in text]


@pytest.mark.origin("law", "who reads German reads what a plan says in German, and numbers with a comma")
def test_a_plan_in_the_office(desk: Any, address: str, job: str) -> None:
    """Findings, cautions, handling, reasons, checks: the German stands there, no English sentence does."""
    desk.goto(f"{address}/plan/{job}")
    text = shown(desk)
    page = desk.request.get(f"{address}{API}/jobs/{job}/plan").json()
    assert len(sentences(page)) > 40
    assert english_in(text, page) == []
    told = [*page["cautions"], page["never"], *page["reasons"], *(item["sentence"] for item in page["refused"])]
    assert [english for english in told if page["german"][english] not in text] == []
    assert NOT_MEASURED in text
    assert [item["code"] for item in page["findings"] if item["in_german"]["sentence"] not in text] == []
    assert [one for one in desk.locator(ENGLISH).all_inner_texts() if one.strip()] == []


@pytest.mark.origin("law", "who reads German reads what a plan says in German, and numbers with a comma")
def test_a_plan_at_the_brake(german_tablet: Any, address: str, job: str) -> None:
    """Cautions, notes, what to watch: the German stands there; language is switched without a network, and back."""
    page = german_tablet.request.get(f"{address}{API}/jobs/{job}/floor").json()
    german_tablet.goto(f"{address}/floor/{job}")
    text = shown(german_tablet)
    assert english_in(text, page) == []
    told = [*page["cautions"], *page["notes"]]
    assert len(told) > 3
    assert [english for english in told if " ".join(page["german"][english].split()) not in text] == []
    assert NOT_MEASURED in text
    assert re.search(r"\d,\d\d mm", text)
    assert [one for one in german_tablet.locator(ENGLISH).all_inner_texts() if one.strip()] == []
    german_tablet.goto(f"{address}/floor/{job}/1")
    watched = page["strokes"][0]["watch"]
    assert watched, "the rail's least radius wants an eye"
    text = shown(german_tablet)
    assert [one for one in watched if page["german"][one].removeprefix("△ BEOBACHTEN ") not in text] == []
    assert english_in(text, page) == []
    german_tablet.goto(f"{address}/floor/{job}")
    settled(german_tablet)
    german_tablet.context.set_offline(True)
    german_tablet.get_by_text("English", exact=True).tap()
    german_tablet.get_by_text("The sheet was not measured; everything is worked out for 2.00 mm nominal.").wait_for()
    german_tablet.get_by_text("Deutsch", exact=True).tap()
    german_tablet.get_by_text(NOT_MEASURED).wait_for()
