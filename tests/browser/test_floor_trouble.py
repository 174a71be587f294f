"""The floor when things go wrong: asleep, full, clocks put back, jobs gone, the bench killed, two tablets."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from browsing import (
    WAIT_MS,
    Watch,
    floor_at,
    hard_to_hit,
    kept_readings,
    on_keys,
    opens_offline,
    planned,
    running_bench,
)

from bench_talk import API

LOCK = """(() => { const asked = (window.asked = []);
  Object.defineProperty(navigator, 'wakeLock', { value: { request: async (kind) => {
    const lock = new EventTarget(); lock.release = async () => undefined; asked.push({ kind, lock }); return lock } } }) })()"""
HIDDEN = """(state) => { Object.defineProperty(document, 'visibilityState', { value: state, configurable: true });
  document.dispatchEvent(new Event('visibilitychange')) }"""
FULL = """(() => { const set = Storage.prototype.setItem; window.room = Infinity;
  Storage.prototype.setItem = function (name, text) {
    const used = Object.keys(this).reduce((sum, one) => sum + (one === name ? 0 : this.getItem(one).length), 0);
    if (used + text.length > window.room) throw new DOMException('full', 'QuotaExceededError');
    set.call(this, name, text) } })()"""
NOTHING = (
    "Object.defineProperty(window, 'localStorage', { get: () => { throw new DOMException('no', 'SecurityError') } })"
)
ENTRIES = """(job) => { for (const [stroke, state, of] of [[1, 'waiting', job], [2, 'refused', job], [1, 'waiting', 'anotherjob']]) {
  const words = { stroke, piece: 1, legs: [], bends: [{ bend: 'b1', left: '90.4', centre: '', right: '' }],
    taken_at: new Date().toISOString() };
  const entry = { id: crypto.randomUUID(), job: of, words, state, there: false, change: 1, findings: [], at: Date.now() };
  localStorage.setItem(`bendwright.floor.entry.${entry.id}`, JSON.stringify(entry)) } }"""
CONTRAST = """() => {
  const light = (rgb) => rgb.slice(0, 3).map((one) => one / 255).map((one) => (one < 0.04 ? one / 12.92 : ((one + 0.055) / 1.055) ** 2.4))
    .reduce((sum, one, i) => sum + one * [0.2126, 0.7152, 0.0722][i], 0);
  const colour = (text) => (text.match(/[\\d.]+/g) ?? []).map(Number);
  const ground = (one) => { for (let at = one; at; at = at.parentElement) {
    const [r, g, b, a = 1] = colour(getComputedStyle(at).backgroundColor); if (a > 0) return [r, g, b] } return [255, 255, 255] };
  const poor = [];
  let seen = 0;
  for (const one of document.querySelectorAll('main *')) {
    const words = [...one.childNodes].some((node) => node.nodeType === 3 && node.data.trim());
    if (one.closest('svg') || !words || !one.getClientRects().length) continue;
    seen += 1;
    const [a, b] = [light(colour(getComputedStyle(one).color)), light(ground(one))].sort((x, y) => y - x);
    const ratio = (a + 0.05) / (b + 0.05);
    if (ratio < 7) poor.push(`${ratio.toFixed(1)} ${one.className} ${one.textContent.slice(0, 30)}`);
  }
  return { seen, poor };
}"""
CAPITAL = """all => all.map(one => { const style = getComputedStyle(one), pen = document.createElement('canvas').getContext('2d');
    pen.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`; return pen.measureText('H').actualBoundingBoxAscent })"""


@pytest.fixture(scope="module")
def job(address: str) -> str:
    """A planned job of these tests alone: they leave readings behind."""
    return planned(address)


def read_at_every_stroke(address: str, job: str) -> None:
    """One reading a stroke, half a degree off, so that there is something to correct."""
    import httpx

    with httpx.Client(base_url=f"{address}{API}/jobs/{job}", headers={"Origin": address}) as client:
        for stroke in client.get("/floor").json()["strokes"]:
            angles = [
                {"bend": bend, "left": "90.5", "centre": "90.5", "right": "90.5"} for bend in stroke["read_angles"]
            ]
            words = {"stroke": stroke["number"], "bends": angles, "taken_at": "2024-06-03T12:00:00Z"}
            assert client.put(f"/readings/{uuid4()}", json=words).is_success


@pytest.mark.origin("law", "a page holds the lock only while it is in sight: it has to ask again when it is seen again")
def test_the_screen_is_kept_awake_on_every_screen(address: str, job: str, tablet: Any, watch: Watch) -> None:
    """Asked for on the stroke's screen opened directly, kept from screen to screen, asked for again when the page is back in sight."""
    tablet.add_init_script(LOCK)
    page = floor_at(tablet, f"{address}/floor/{job}/1")
    page.wait_for_function("() => asked.length === 1")
    assert page.evaluate("asked[0].kind") == "screen"
    page.get_by_role("link", name="Next").tap()
    page.get_by_role("link", name="Tools").tap()
    page.get_by_text("The screen stays awake").wait_for()
    assert page.evaluate("asked.length") == 1
    page.evaluate(HIDDEN, "hidden")
    page.evaluate("asked[0].lock.dispatchEvent(new Event('release'))")
    assert page.evaluate("asked.length") == 1
    page.evaluate(HIDDEN, "visible")
    page.wait_for_function("() => asked.length === 2")
    page.get_by_text("The screen stays awake").wait_for()
    page.evaluate("asked[1].lock.dispatchEvent(new Event('release'))")
    page.get_by_text("set the tablet to never sleep").wait_for()


@pytest.mark.origin("law", "what opens without the network has all its files, letters too")
def test_a_stroke_opened_directly_is_kept_with_its_letters(address: str, job: str, tablet: Any, watch: Watch) -> None:
    """Opened by the address of a stroke, without the screen of tools: it opens again offline in its own face."""
    page = floor_at(tablet, f"{address}/floor/{job}/2")
    opens_offline(page)
    watch.meant += ["ERR_INTERNET_DISCONNECTED"]
    tablet.set_offline(True)
    page.reload()
    page.wait_for_selector(".figure")
    letters = "async () => (await document.fonts.load('700 20px Hyperlegible', 'Łß')).length"
    assert page.evaluate(letters) == 2
    page.get_by_text("no answer from the bench").wait_for()
    page.get_by_role("link", name="Tools").tap()
    page.get_by_text("This page opens without the network too.").wait_for()
    tablet.set_offline(False)


@pytest.mark.origin("law", "an entry counts more than a plan that can be fetched again")
def test_a_full_tablet_keeps_the_entry(address: str, job: str, tablet: Any, watch: Watch) -> None:
    """No room left: the plan makes way, the entry stays over a reload; with no room for even that the page says so."""
    tablet.add_init_script(FULL)
    page = floor_at(tablet, f"{address}/floor/{job}/2/read")
    page.evaluate(
        "room = Object.keys(localStorage).reduce((sum, one) => sum + localStorage.getItem(one).length, 0) + 20"
    )
    page.route("**/readings/*", lambda route: route.abort())
    watch.meant += ["ERR_FAILED"]
    on_keys(page, "91.5")
    assert page.get_by_text("keeps nothing").count() == 0
    page.reload()
    page.wait_for_selector(".keys")
    assert page.locator(".typed").first.inner_text() == "91.5"
    page.evaluate("room = 0")
    on_keys(page, "7")
    page.get_by_text("This browser keeps nothing").wait_for()


@pytest.mark.origin("law", "what the browser does not keep is told before anything is typed")
def test_a_browser_that_keeps_nothing_says_so_at_once(address: str, job: str, tablet: Any, watch: Watch) -> None:
    """Without a store; readings are sent all the same."""
    tablet.add_init_script(NOTHING)
    page = floor_at(tablet, f"{address}/floor/{job}/4/read")
    page.get_by_text("This browser keeps nothing").wait_for()
    on_keys(page, "90.1")
    page.get_by_role("button", name="Enter").tap()
    page.get_by_text("all sent").wait_for()
    assert [entry["typed"]["bends"][0]["left"] for entry in kept_readings(address, job) if entry["stroke"] == 4] == [
        "90.1"
    ]


@pytest.mark.origin("law", "what was changed last counts, whatever the tablet's clock says")
def test_a_clock_put_back(address: str, job: str, tablet: Any, watch: Watch) -> None:
    """Typed with a clock a year ahead, changed after it was put right: the change counts."""
    page = tablet.new_page()
    page.clock.install()
    page.clock.set_system_time("2027-11-30T08:00:00Z")
    page.goto(f"{address}/floor/{job}/2/read")
    page.wait_for_selector(".keys")
    on_keys(page, "88.8")
    page.get_by_role("button", name="Enter").tap()
    page.get_by_text("all sent").wait_for()
    page.clock.set_system_time("2020-01-01T08:00:00Z")
    page.get_by_role("link", name="Measure").tap()
    for _ in range(4):
        page.get_by_role("button", name="Rub out").tap()
    on_keys(page, "90.3")
    page.get_by_role("button", name="Enter").tap()
    page.get_by_text("all sent").wait_for()
    lefts = [
        (one["version"], one["typed"]["bends"][0]["left"]) for one in kept_readings(address, job) if one["stroke"] == 2
    ]
    assert (2, "90.3") in lefts
    assert (1, "88.8") not in lefts


@pytest.mark.origin("law", "the office and the brake see the same job")
def test_a_job_taken_off_the_list(address: str, tablet: Any, watch: Watch) -> None:
    """The floor says so and still keeps what is read; taken back, it says nothing more."""
    import httpx

    job = planned(address)
    page = floor_at(tablet, f"{address}/floor/{job}/1")
    with httpx.Client(base_url=f"{address}{API}", headers={"Origin": address}) as office:
        assert office.delete(f"/jobs/{job}").is_success
        page.reload()
        page.get_by_text("taken off the list").wait_for()
        page.get_by_role("link", name="Measure").tap()
        on_keys(page, "90.1")
        page.get_by_role("button", name="Enter").tap()
        page.get_by_text("all sent").wait_for()
        assert office.post(f"/jobs/{job}/take-back").is_success
    page.reload()
    page.wait_for_selector(".figure")
    page.wait_for_load_state("networkidle")
    assert page.get_by_text("taken off the list").count() == 0
    assert len(kept_readings(address, job)) == 1


@pytest.mark.origin("law", "two people at one brake: both readings are kept, and neither hides the other")
def test_two_tablets_at_one_stroke(address: str, browser: Any, tablet: Any, watch: Watch) -> None:
    """The second is told what the first has sent, before and after it enters its own; the first is told when it looks again."""
    job = planned(address)
    first = floor_at(tablet, f"{address}/floor/{job}/1/read")
    on_keys(first, "90.2")
    first.get_by_role("button", name="Enter").tap()
    first.get_by_text("all sent").wait_for()
    context = browser.new_context(viewport={"width": 1280, "height": 800}, has_touch=True, is_mobile=True, locale="en")
    context.set_default_timeout(WAIT_MS)
    watch.over(context)
    second = floor_at(context, f"{address}/floor/{job}/1/read")
    second.get_by_text(re.compile(r"At the bench already, from .*: 90\.20°\.")).wait_for()
    on_keys(second, "91.4")
    second.get_by_role("button", name="Enter").tap()
    second.get_by_text("all sent").wait_for()
    assert [one["typed"]["bends"][0]["left"] for one in kept_readings(address, job)] == ["90.2", "91.4"]
    first.get_by_role("link", name="Measure").tap()
    first.get_by_text(re.compile(r"At the bench already, from .*: 91\.40°\.")).wait_for()
    assert first.locator(".typed").first.inner_text() == "90.2"
    context.close()


@pytest.mark.origin("law", "an entry the bench does not take is neither lost nor in the way of others")
def test_a_job_the_bench_has_no_more(address: str, job: str, tablet: Any, watch: Watch) -> None:
    """Refused with its reason, found on the page of results, sent again by one press when the reason is gone."""
    page = floor_at(tablet, f"{address}/floor/{job}/3/read")
    watch.meant += ["404", "500"]
    gone = {
        "title": "gone",
        "findings": [
            {"code": "B120", "severity": "error", "sentence": "There is no such job.", "where": "", "cure": ""}
        ],
    }
    page.route("**/readings/*", lambda route: route.fulfill(status=404, json=gone))
    on_keys(page, "90.6")
    page.get_by_role("button", name="Enter").tap()
    page.get_by_text("1 entry not understood").wait_for()
    page.get_by_role("link", name="Result").tap()
    page.get_by_text("Not taken by the bench").wait_for()
    page.get_by_text("There is no such job.").wait_for()
    page.unroute("**/readings/*")
    page.get_by_role("button", name="Send again").tap()
    page.get_by_text("all sent").wait_for()
    assert any(one["stroke"] == 3 and one["typed"]["bends"][0]["left"] == "90.6" for one in kept_readings(address, job))


@pytest.mark.origin("law", "what the bench has said it has, it has after a fall too; what it has not said comes again")
def test_the_bench_killed_between_two_readings(browser: Any, tmp_path: Path) -> None:
    """The first reading is there after a start on the same folder; the second, typed meanwhile, arrives; each once."""
    context = browser.new_context(viewport={"width": 1280, "height": 800}, has_touch=True, is_mobile=True, locale="en")
    context.set_default_timeout(WAIT_MS)
    with running_bench(tmp_path) as address:
        job, port = planned(address), address.rsplit(":", 1)[1]
        page = floor_at(context, f"{address}/floor/{job}/1/read")
        on_keys(page, "90.1")
        page.get_by_role("button", name="Enter").tap()
        page.get_by_text("all sent").wait_for()
    page.get_by_role("link", name="Next").tap()
    page.get_by_role("link", name="Measure").tap()
    on_keys(page, "90.2")
    page.get_by_role("button", name="Enter").tap()
    page.get_by_text("1 entry waits to be sent").wait_for()
    with running_bench(tmp_path, "--port", port) as address:
        page.get_by_text("all sent").wait_for()
        page.reload()
        page.get_by_text("all sent").wait_for()
        assert [(one["stroke"], one["version"]) for one in kept_readings(address, job)] == [(1, 1), (2, 1)]
    context.close()


@pytest.mark.origin(
    "practice", "readable at two metres: capitals of 8 mm; text at 7:1; on tablets held both ways, in both languages"
)
@pytest.mark.parametrize(("width", "height", "dots"), [(1280, 800, 149.0), (1024, 768, 132.0), (800, 1280, 149.0)])
@pytest.mark.parametrize("language", ["en", "de"])
def test_what_is_read_from_two_metres(
    address: str, job: str, browser: Any, watch: Watch, width: int, height: int, dots: float, language: str
) -> None:
    """What is done, which edge, pieces: 8 mm; X, R, depth and angle: 12 mm. Nothing of them is cut off, no text is faint."""
    context = browser.new_context(
        viewport={"width": width, "height": height},
        has_touch=True,
        is_mobile=True,
        device_scale_factor=1.5,
        locale=language,
    )
    context.set_default_timeout(WAIT_MS)
    watch.over(context)
    read_at_every_stroke(address, job)
    for path in ("", "/1", "/2", "/3", "/4", "/1/read", "/result"):
        page = floor_at(context, f"{address}/floor/{job}{path}")
        page.wait_for_load_state("networkidle")
        assert hard_to_hit(page, dots / 25.4) == [], path
        poor = page.evaluate(CONTRAST)
        assert poor["poor"] == [], path
        assert poor["seen"] > 5
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        if path in ("/1", "/2", "/3", "/4"):
            far = page.locator(".far strong, .count")
            assert far.count() >= 3
            assert min(far.evaluate_all(CAPITAL)) >= 8.0 * dots / 25.4 - 0.5
            assert min(page.locator(".figure .value, .number .value").evaluate_all(CAPITAL)) >= 12.0 * dots / 25.4 - 0.5
            for box in page.locator(".far strong, .figure .value, figure").evaluate_all(
                "all => all.map(one => one.getBoundingClientRect().toJSON())"
            ):
                assert box["left"] >= 0
                assert box["right"] <= width
                assert box["bottom"] <= height - 20.0 * dots / 25.4
        page.close()
    context.close()


@pytest.mark.origin("law", "what there is to say must not push off the screen what is to be done")
@pytest.mark.parametrize(("width", "height"), [(1024, 768), (800, 1280)])
def test_all_news_at_once_leave_the_numbers_alone(
    address: str, job: str, browser: Any, watch: Watch, width: int, height: int
) -> None:
    """No network, entries waiting (of another job too) and refused, in German: nothing sideways, no number over another."""
    context = browser.new_context(
        viewport={"width": width, "height": height}, has_touch=True, is_mobile=True, locale="de"
    )
    context.set_default_timeout(WAIT_MS)
    page = floor_at(context, f"{address}/floor/{job}/1")
    opens_offline(page)
    page.evaluate(ENTRIES, job)
    context.set_offline(True)
    page.reload()
    for words in ("keine Antwort von der Werkbank", "1 Eingabe nicht verstanden", "2 Eingaben warten aufs Senden"):
        page.get_by_text(words).wait_for()
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    digits = page.locator(".figure .value").evaluate_all("all => all.map(one => one.getBoundingClientRect().toJSON())")
    assert len(digits) == 4
    for above, below in pairwise(digits):
        assert above["bottom"] <= below["top"] + 1.0
    assert digits[-1]["bottom"] <= page.locator("nav").bounding_box()["y"]
    context.close()
