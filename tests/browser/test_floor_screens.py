"""The floor in a real browser: entries typed without a network survive a reload and reach the bench once."""

from __future__ import annotations

from typing import Any

import pytest
from browsing import Watch, floor_at, hard_to_hit, kept_readings, on_keys, opens_offline

WIDTH = 1180


@pytest.mark.origin("law", "no entry is lost and none is counted twice, whatever the network does")
def test_entries_survive_offline_and_reload(address: str, job: str, tablet: Any, watch: Watch) -> None:
    """Typed without network, reloaded without network, closed and opened: with the network back the bench has each once."""
    page = floor_at(tablet, f"{address}/floor/{job}")
    page.get_by_text("This page opens without the network too.").wait_for()
    opens_offline(page)
    watch.meant += ["ERR_INTERNET_DISCONNECTED"]
    tablet.set_offline(True)
    page.get_by_role("link", name="Stroke 1").tap()
    page.get_by_role("link", name="Measure").tap()
    on_keys(page, "90.4")
    page.get_by_role("button", name="Field after").tap()
    on_keys(page, "90.9")
    page.reload()
    page.wait_for_selector(".keys")
    assert page.locator(".typed").all_inner_texts()[:3] == ["90.4", "90.9", "–"]
    page.get_by_role("button", name="right").tap()
    on_keys(page, "90.2")
    page.get_by_role("button", name="Enter").tap()
    page.get_by_text("1 entry waits to be sent").wait_for()
    page.close()
    assert kept_readings(address, job) == []
    page = floor_at(tablet, f"{address}/floor/{job}/1")
    page.get_by_text("1 entry waits to be sent").wait_for()
    tablet.set_offline(False)
    page.get_by_text("all sent").wait_for()
    page.reload()
    page.get_by_text("all sent").wait_for()
    (entry,) = kept_readings(address, job)
    assert (entry["stroke"], entry["piece"], entry["version"]) == (1, 1, 1)
    assert entry["typed"]["bends"][0] | {"bend": ""} == {"bend": "", "left": "90.4", "centre": "90.9", "right": "90.2"}


@pytest.mark.origin("law", "an answer lost on the way leads to a second sending, not to a second reading")
def test_a_lost_answer_is_asked_for_again(address: str, job: str, tablet: Any, watch: Watch) -> None:
    """The bench keeps the entry, the tablet does not hear of it, sends again and then knows; the slip is told."""
    page = floor_at(tablet, f"{address}/floor/{job}/2/read")
    lost: list[str] = []
    watch.meant += ["ERR_FAILED"]

    def lose(route: Any) -> None:
        if len(lost) < 1:
            lost.append(route.request.url)
            route.fetch()
            route.abort()
        else:
            route.continue_()

    page.route("**/readings/*", lose)
    on_keys(page, "9.0")
    page.get_by_role("button", name="Enter").tap()
    page.get_by_text("all sent").wait_for()
    assert len(lost) == 1
    entries = [entry for entry in kept_readings(address, job) if entry["stroke"] == 2]
    assert [(entry["version"], [finding["code"] for finding in entry["findings"]]) for entry in entries] == [
        (1, ["T101"])
    ]
    page.get_by_role("link", name="Measure").tap()
    page.get_by_text("taken for a slip").wait_for()
    page.get_by_role("button", name="Undo").wait_for()


@pytest.mark.origin(
    "practice",
    "gloves: targets of at least 20 mm with 4 mm between; key numbers at least 15 mm high; no sideways scrolling",
)
def test_everything_can_be_hit_and_read(address: str, job: str, tablet: Any, watch: Watch) -> None:
    """On a tablet of 1180 by 820 (132 dots an inch), every button of every screen; digits by the size of their letters."""
    dots_per_mm = 132.0 / 25.4
    page = floor_at(tablet, f"{address}/floor/{job}")
    for path in ("", "/tools/1", "/1", "/2/read", "/result"):
        page.goto(f"{address}/floor/{job}{path}")
        page.wait_for_selector("nav")
        assert hard_to_hit(page, dots_per_mm) == [], path
        assert page.evaluate("document.documentElement.scrollWidth") <= WIDTH
    page.goto(f"{address}/floor/{job}/1")
    page.wait_for_selector(".figure")
    digits = page.locator(".figure .value").evaluate_all(
        """all => all.map(one => { const style = getComputedStyle(one); const pen = document.createElement('canvas').getContext('2d');
        pen.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`; return pen.measureText('8').actualBoundingBoxAscent })"""
    )
    assert len(digits) == 4
    assert min(digits) >= 15.0 * dots_per_mm


@pytest.mark.origin(
    "law", "a reading of the first piece becomes a change the operator can set, and the screen then shows it"
)
def test_corrections_are_set_and_shown(address: str, job: str, tablet: Any, watch: Watch) -> None:
    """Half a degree too open at stroke 3: deeper; set at the brake, the stroke's screen shows the new depth."""
    page = floor_at(tablet, f"{address}/floor/{job}/3/read")
    for _ in range(3):
        on_keys(page, "90.5")
        page.get_by_role("button", name="Field after").tap()
    page.get_by_role("button", name="Enter").tap()
    page.get_by_text("all sent").wait_for()
    page.get_by_role("link", name="Result").tap()
    row = page.locator(".row", has=page.locator(".stroke", has_text="3"))
    row.get_by_text("deeper by").wait_for()
    new = row.locator(".to strong").inner_text().split()[0]
    row.get_by_role("button", name="Set at the brake").tap()
    page.goto(f"{address}/floor/{job}/3")
    page.wait_for_selector(".figure")
    figure = page.locator(".figure", has_text="Depth")
    assert figure.locator(".value").inner_text() == new
    assert "corrected" in figure.inner_text()
