"""The main ways through the office, as a person goes them."""

from __future__ import annotations

import re
from typing import Any

import pytest
from browsing import tabbed

PLANS_MS = 90_000
NUMBERS = "[...document.querySelectorAll('main .shown .number')].filter(one => one.checkVisibility()).map(one => one.innerText)"
ALL_SHOWN = "main section[aria-labelledby=numbers-head] .shown > .number"


def numbers(page: Any) -> list[str]:
    """The numbers of the stroke in front, in the order they stand there."""
    return list(page.locator(ALL_SHOWN).all_inner_texts())


def choose(page: Any, title: str) -> None:
    """Turn a switch in the title block."""
    page.get_by_role("radio", name=title, exact=True).check()


@pytest.mark.origin("law", "1 inch = 25.4 mm; turned = 180° - included; German writes a decimal comma")
def test_the_switches_change_every_number(page: Any, address: str, job: str) -> None:
    """Lengths and forces by mm and inch, angles by kind, all by language; on after a reload."""
    page.goto(f"{address}/plan/{job}")
    page.locator(ALL_SHOWN).first.wait_for()
    metric = numbers(page)
    lengths = [i for i, text in enumerate(metric) if text.endswith(" mm")]
    angles = [i for i, text in enumerate(metric) if text.endswith("°")]
    assert len(lengths) >= 3
    assert len(angles) >= 2
    assert not [text for text in page.evaluate(NUMBERS) if re.search(r"\bin\b|inch|lbf|\d″|\d\"", text)]

    choose(page, "inch")
    inch = numbers(page)
    for i in lengths:
        written, exact = float(inch[i].split()[0]), float(metric[i].split()[0]) / 25.4
        assert written == pytest.approx(exact, abs=0.005), (metric[i], inch[i])
    assert [text for text in page.evaluate(NUMBERS) if re.search(r"\d (mm|kN|kg|kN/m)$", text)] == []

    choose(page, "turned")
    turned = numbers(page)
    springback = page.locator("section[aria-labelledby=numbers-head] dd .shown > .number").all_inner_texts()
    assert len(springback) == len(turned)
    after = [i for i in angles if float(metric[i][:-1]) > 45.0]
    assert after
    for i in after:
        assert float(turned[i][:-1]) == pytest.approx(180.0 - float(metric[i][:-1]), abs=1e-9)

    choose(page, "Deutsch")
    german = numbers(page)
    page.get_by_role("heading", name=re.compile("^Plan")).wait_for()
    assert page.evaluate("document.documentElement.lang") == "de"
    assert [text.replace(",", ".") for text in german] == turned
    assert [text for text in page.evaluate(NUMBERS) if re.search(r"\d\.\d", text)] == []
    page.reload()
    page.locator(ALL_SHOWN).first.wait_for()
    assert numbers(page) == german


@pytest.mark.origin("law", "a thicker sheet of the same part: the numbers of every stroke move, the part does not")
def test_two_plans_side_by_side(page: Any, address: str, job: str) -> None:
    """A second measured sheet typed on the plan page: planned, held beside the first, what moved is named and counted."""
    page.goto(f"{address}/plan/{job}")
    readings = page.get_by_label("Readings of the sheet")
    readings.fill("2.06 mm")
    readings.press("Enter")
    page.wait_for_url(f"{address}/compare/{job}/*")
    page.get_by_role("heading", name=re.compile("^A: SI-4410")).wait_for(timeout=PLANS_MS)
    assert page.get_by_role("heading", name=re.compile("^B: SI-4410")).is_visible()
    thickness = page.get_by_role("row", name=re.compile("thickness", re.IGNORECASE)).first.inner_text()
    assert "2.06" in thickness or "2.060" in thickness
    told = page.locator("#moved-head").inner_text()
    rows = page.locator("section[aria-labelledby=moved-head] tbody tr:not(:has(th[colspan]))").count()
    assert str(rows) in told


@pytest.mark.origin("law", "an arrow to the right goes one stroke on, and not beyond the last")
def test_strokes_are_stepped_with_arrow_keys(page: Any, address: str, job: str) -> None:
    """Strip, section and numbers follow the keys; at the ends they stay."""
    page.goto(f"{address}/plan/{job}")
    strip = page.get_by_role("listbox", name="Strokes")
    cards = strip.get_by_role("option")
    cards.first.wait_for()
    count = cards.count()
    seen = []
    for number in range(1, count + 1):
        page.get_by_role("heading", name=re.compile(f"^Stroke {number}: ")).wait_for()
        assert strip.locator("[aria-selected=true]").get_attribute("data-stroke") == str(number)
        seen.append(tuple(numbers(page)))
        page.keyboard.press("ArrowRight")
    assert len(set(seen)) > 1
    assert strip.locator("[aria-selected=true]").get_attribute("data-stroke") == str(count)
    page.keyboard.press("ArrowLeft")
    assert strip.locator("[aria-selected=true]").get_attribute("data-stroke") == str(count - 1)


@pytest.mark.origin(
    "practice", "the first plan within ten seconds of looking at the start page; here with a slow machine's leave"
)
def test_from_an_example_to_its_plan(page: Any, address: str) -> None:
    """Start page, an example part, "Plan it", the plan with its strokes."""
    page.goto(address)
    page.locator("section[aria-labelledby=demo-parts] li button").filter(has_text="SM-1207").first.click()
    page.wait_for_url(f"{address}/part/*")
    page.get_by_role("heading", name="Section", exact=True).wait_for()
    page.get_by_role("button", name="Plan it").click()
    page.wait_for_url(f"{address}/plan/*")
    cards = page.get_by_role("listbox", name="Strokes").get_by_role("option")
    cards.first.wait_for(timeout=PLANS_MS)
    assert cards.count() >= 2


TYPED = (
    ("Part number", "SI-9001"),
    ("Revision", "A"),
    ("Profile", "15 u90 40 u90 80 u90 40 u90 15 x 1200"),
    ("Material", "S235"),
    ("Thickness", "2 mm"),
)


def blank_width(page: Any) -> float:
    """The second size of the blank, across its bends, in mm."""
    size = page.locator("section[aria-labelledby=blank-title] .size").inner_text()
    return float(re.findall(r"([0-9.]+) mm", size)[1])


@pytest.mark.origin("law", "everything can be done with the keyboard alone (WCAG 2.2, 2.1.1)")
def test_a_lipped_channel_by_keyboard_alone(page: Any, address: str, watch: Any) -> None:
    """Typed, its numbers live; planned; its strokes stepped: no pointer is used from the start page on."""
    watch.meant += ["422"]  # half a word is no profile yet
    page.goto(address)
    tabbed(page, "Type a profile in one line")
    page.keyboard.press("Enter")
    page.wait_for_url(f"{address}/part/*")
    page.get_by_label("Profile", exact=True).wait_for()
    for label, text in TYPED:
        tabbed(page, label)
        page.keyboard.type(text)
    size = page.locator("section[aria-labelledby=blank-title] .size")
    size.wait_for()
    first = size.inner_text()
    thick = blank_width(page)
    for _ in range(len("2 mm")):
        page.keyboard.press("Backspace")
    page.keyboard.type("1.5 mm")
    page.wait_for_function(
        "before => document.querySelector('[aria-labelledby=blank-title] .size')?.innerText !== before",
        arg=first,
    )
    assert (
        190.0 > blank_width(page) > thick
    )  # outside legs of 190 mm in all; a thinner sheet is bent with less taken off
    page.locator("section[aria-labelledby=section-title] svg").first.wait_for()
    page.wait_for_function(
        "() => document.querySelector('button.main[aria-keyshortcuts]')?.getAttribute('aria-disabled') === 'false'"
    )
    page.keyboard.press("Control+Enter")
    page.wait_for_url(f"{address}/plan/*")
    strip = page.get_by_role("listbox", name="Strokes")
    strip.get_by_role("option").first.wait_for(timeout=PLANS_MS)
    page.keyboard.press("ArrowRight")
    page.get_by_role("heading", name=re.compile("^Stroke 2: ")).wait_for()
    assert strip.locator("[aria-selected=true]").get_attribute("data-stroke") == "2"


@pytest.mark.origin("law", "what is wrong is told where it is wrong (WCAG 2.2, 3.3.1)")
def test_a_broken_word_is_told_under_it(page: Any, address: str, watch: Any) -> None:
    """The third word of a profile cannot be read: its sentence stands under the third word and nowhere else, and goes when it is mended."""
    watch.meant += ["422"]
    page.goto(address)
    page.get_by_role("button", name="Type a profile in one line").click()
    line = page.get_by_label("Profile", exact=True)
    line.fill("40 u90 4o u90 40 x 300")
    page.get_by_label("Material").first.fill("S235")
    page.get_by_label("Thickness").first.fill("2 mm")
    words = page.locator("ol.words > li")
    words.locator(".finding").first.wait_for()
    told = [i for i in range(words.count()) if words.nth(i).locator(".finding").count() > 0]
    assert told == [2]
    assert "4o" in words.nth(2).locator(".finding").inner_text()
    assert line.get_attribute("aria-invalid") == "true"
    line.fill("40 u90 40 u90 40 x 300")
    page.locator("section[aria-labelledby=blank-title] .size").wait_for()
    assert page.locator("ol.words .finding").count() == 0


@pytest.mark.origin("law", "nothing of a plan is hidden, and all of it is a step away")
def test_the_contents_of_a_plan_lead_to_its_parts(page: Any, address: str, job: str) -> None:
    """Every step of the list leads to a heading of that name, which is then in sight."""
    page.goto(f"{address}/plan/{job}")
    links = page.get_by_role("navigation", name="On this page").get_by_role("link")
    links.first.wait_for()
    page.locator("#checks-head").wait_for()
    page.locator("#other-head").wait_for()
    assert links.count() >= 10
    for link in links.all():
        title = link.inner_text()
        link.click()
        place = page.locator(str(link.get_attribute("href")))
        assert place.inner_text() == title
        page.wait_for_function(
            "one => { const y = one.getBoundingClientRect().top; return y > 50 && y < innerHeight - 80 }",
            arg=place.element_handle(),
        )
    assert page.get_by_role("heading", name=re.compile("^Plan SI-4410")).count() == 1


@pytest.mark.origin("law", "the plan tells where the floor finds it, and the way there can be gone")
def test_the_plan_leads_to_the_floor(page: Any, address: str, job: str) -> None:
    """The address as a tablet types it, and the page behind it is the floor's of the same part."""
    page.goto(f"{address}/plan/{job}")
    way = page.locator(f"a[href='/floor/{job}']")
    way.wait_for()
    called = page.request.get(f"{address}/api/v1/about").json()["address"]
    assert called.startswith("http")
    page.wait_for_function(
        "([one, text]) => one.innerText === text", arg=[way.element_handle(), f"{called}/floor/{job}"]
    )
    way.click()
    page.wait_for_url(f"{address}/floor/{job}")
    page.get_by_role("heading", name=re.compile("SI-4410")).wait_for()


@pytest.mark.origin("law", "a brake is chosen from those of the shop; the plan beside is made on it")
def test_a_plan_on_another_brake(page: Any, address: str, job: str) -> None:
    """Every brake of the shop is offered; the one chosen is the one planned on."""
    page.goto(f"{address}/plan/{job}")
    brakes = page.get_by_label("Brake", exact=True)
    brakes.wait_for()
    shop = page.request.get(f"{address}/api/v1/shops/saltmarsh").json()["brakes"]
    offered = brakes.locator("option").evaluate_all("all => all.map(one => one.value)")
    assert offered == ["", *(one["id"] for one in shop)]
    here = page.request.get(f"{address}/api/v1/jobs/{job}/plan").json()["brake_id"]
    other = next(one for one in offered[1:] if one != here)
    brakes.select_option(other)
    page.get_by_role("button", name="Plan and compare").click()
    page.wait_for_url(f"{address}/compare/{job}/*")
    made = page.url.rsplit("/", 1)[1]
    assert page.request.get(f"{address}/api/v1/jobs/{made}").json()["wishes"]["brake"] == other


@pytest.mark.origin("practice", "on paper a view's name stands inside its box: a page's end tears nothing")
@pytest.mark.parametrize("path", ["/plan/{job}", "/compare/{job}/{job}", "/shop"])
def test_names_of_views_on_paper(page: Any, address: str, job: str, path: str) -> None:
    """On the screen the name stands on the line of its box, in print below it."""
    page.goto(address + path.format(job=job))
    page.locator(".view > h2:first-child").first.wait_for()
    above = """all => all.filter(one => one.checkVisibility()
        && one.getBoundingClientRect().top < one.parentElement.getBoundingClientRect().top).length"""
    names = page.locator(".view > h2:first-child")
    assert names.evaluate_all(above) > 0
    page.emulate_media(media="print")
    assert names.evaluate_all("all => all.filter(one => one.checkVisibility()).length") > 0
    assert names.evaluate_all(above) == 0
