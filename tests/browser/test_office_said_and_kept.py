"""The office says why nothing happens, keeps what is typed, and leaves the focus where the hands are."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from browsing import NAME_IN_FRONT, broken_rules, settled

PLANS_MS = 90_000
PLAN_IT = "Control+Enter"


def front(page: Any) -> str:
    """What the field or button with the focus is called."""
    return str(page.evaluate(f"document.activeElement?.getAttribute('aria-label') ?? {NAME_IN_FRONT}"))


@pytest.mark.origin("law", "what was asked for is done, or it is said why not (WCAG 2.2, 3.3.1 and 4.1.3)")
def test_planning_before_the_part_is_read(page: Any, address: str, watch: Any) -> None:
    """Each hindrance is said and has the focus; asked for while the part is being read, it is planned once it is."""
    watch.meant += ["422"]
    page.goto(address)
    page.get_by_role("button", name="Type a profile in one line").click()
    line = page.get_by_label("Profile", exact=True)
    line.wait_for()
    alerts = page.get_by_role("alert")
    for typed, why, field in (
        ({}, "Type the part first", "Profile"),
        ({"Profile": "25 u90 40 u60 25 x 400"}, "A plan needs part number and revision", "Part number"),
        ({"Part number": "SI-55", "Revision": "A"}, "Put right first what is marked", "Material"),
    ):
        for label, text in typed.items():
            page.get_by_label(label, exact=label == "Profile").first.fill(text)
        page.wait_for_function("() => document.querySelector('progress') === null")
        page.keyboard.press(PLAN_IT)
        alerts.filter(has_text=why).wait_for()
        assert front(page) == field
    page.get_by_label("Material").first.fill("S235JR")
    page.get_by_label("Thickness").first.focus()
    page.keyboard.type("2")
    page.keyboard.press(PLAN_IT)
    page.wait_for_url(f"{address}/plan/*", timeout=PLANS_MS)


def undecided_drawing(path: Path) -> Path:
    """A flat of 100 x 60 mm with two bend lines across it, of which nothing is said."""
    import ezdxf

    drawing = ezdxf.new(units=4)
    space = drawing.modelspace()
    space.add_lwpolyline([(0, 0), (100, 0), (100, 60), (0, 60)], close=True, dxfattribs={"layer": "OUTLINE"})
    for x in (30.0, 70.0):
        space.add_line((x, 0), (x, 60), dxfattribs={"layer": "BEND"})
    drawing.saveas(path)
    return path


@pytest.mark.origin("law", "a flat does not change when one of its bends turns the other way")
def test_bend_lines_of_a_drawing_are_said_in_a_table(
    page: Any, address: str, watch: Any, checker: str, tmp_path: Path
) -> None:
    """Two lines are asked about; one up, one down; a cell that is none is told at its line; all of it is kept."""
    watch.meant += ["422"]
    page.goto(address)
    page.locator("input[type=file]").set_input_files(undecided_drawing(tmp_path / "plate.dxf"))
    page.wait_for_url(f"{address}/part/*")
    for label, text in (("Revision", "A"), ("Material", "S235JR"), ("Thickness", "2 mm")):
        page.get_by_label(label).first.fill(text)
    page.get_by_role("button", name="Read the drawing").click()
    turned = page.get_by_label(re.compile("^Turned, °, line"))
    turned.first.wait_for()
    assert turned.count() == 2
    for number, way in ((1, "up"), (2, "down")):
        page.get_by_label(f"Direction, line {number}").select_option(way)
    turned.nth(0).fill("90")
    turned.nth(1).fill("steep")
    assert broken_rules(page, checker) == []
    page.get_by_role("button", name="Read the drawing").click()
    page.get_by_text("holds steep").wait_for()
    assert [turned.nth(i).get_attribute("aria-invalid") for i in range(2)] == [None, "true"]
    turned.nth(1).fill("45,5")
    page.get_by_role("button", name="Read the drawing").click()
    size = page.locator("section[aria-labelledby=blank-title] .size")
    size.wait_for()
    settled(page)
    angles = page.locator("section[aria-labelledby=numbers-title] tbody th[scope=row] + td").all_inner_texts()
    assert sorted(float(text.strip().rstrip("°")) for text in angles) == pytest.approx([90.0, 134.5])
    page.reload()
    size.wait_for()
    assert [turned.nth(i).input_value() for i in range(2)] == ["90", "45,5"]


@pytest.mark.origin("law", "the focus stays where the hands are (WCAG 2.2, 2.4.3)")
def test_the_focus_goes_along(page: Any, address: str, job: str) -> None:
    """A stroke moved by its button has it still; a menu closed by Escape gives it back to what opened it."""
    page.goto(f"{address}/plan/{job}")
    desk = page.locator("section[aria-labelledby=order-head]")
    desk.get_by_text("Works").first.wait_for()
    first = desk.locator("ol li").first.get_attribute("data-stroke")
    page.get_by_role("button", name=f"{first} later").focus()
    page.keyboard.press("Enter")
    page.wait_for_function(
        "name => document.querySelectorAll('ol li[data-stroke]')[1]?.dataset.stroke === name", arg=first
    )
    assert front(page) == f"{first} later"
    page.locator("summary", has_text="Files and print").focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.press("Escape")
    assert page.locator("details:has(summary.button)").get_attribute("open") is None
    assert front(page).startswith("Files and print")


@pytest.mark.origin("law", "of two jobs held side by side, one that failed says why")
def test_a_failed_job_says_why_beside_the_other(page: Any, address: str, job: str) -> None:
    """A reading far from the nominal sheet: the finding stands on the page of the comparison."""
    page.goto(f"{address}/plan/{job}")
    readings = page.get_by_label("Readings of the sheet")
    readings.fill("20")
    readings.press("Enter")
    page.wait_for_url(f"{address}/compare/{job}/*")
    page.locator(".findings").get_by_text("A reading of 20").wait_for(timeout=PLANS_MS)


@pytest.mark.origin(
    "law", "an error of the bench is told as one, and what was typed is there when it is back (WCAG 2.2, 3.3.1)"
)
def test_a_bench_that_does_not_answer(page: Any, address: str, watch: Any, checker: str) -> None:
    """While it is silent: said as such, what stands from before is marked and readable; asked again once it is back, it is planned."""
    watch.meant += ["422", "ERR_FAILED"]
    page.goto(address)
    page.get_by_role("button", name="Type a profile in one line").click()
    for label, text in (("Part number", "SI-56"), ("Revision", "A"), ("Material", "S235JR"), ("Thickness", "2")):
        page.get_by_label(label).first.fill(text)
    line = page.get_by_label("Profile", exact=True)
    line.fill("25 u90 40 u60 25 x 400")
    page.locator("section[aria-labelledby=blank-title] .size").wait_for()
    page.route("**/parts/typed", lambda route: route.abort())
    line.fill("25 u90 41 u60 25 x 400")
    page.locator(".findings").get_by_text("The bench does not answer").wait_for()
    assert broken_rules(page, checker) == []
    page.keyboard.press(PLAN_IT)
    page.get_by_role("alert").get_by_text("Press again to try again").wait_for()
    page.unroute("**/parts/typed")
    page.keyboard.press(PLAN_IT)
    page.wait_for_url(f"{address}/plan/*", timeout=PLANS_MS)


@pytest.mark.origin("practice", "a sheet of paper names what its numbers belong to, and says nothing nobody said")
def test_names_and_blank_fields_on_paper(page: Any, address: str, watch: Any) -> None:
    """Printed, bends and tools keep the names that are buttons on the screen; an example in a blank field is not to be seen."""
    watch.meant += ["422"]
    page.goto(address)
    page.get_by_role("button", name="Type a profile in one line").click()
    for label, text in (("Material", "S235JR"), ("Thickness", "2"), ("Profile", "25 u90 40 u60 25 x 400")):
        page.get_by_label(label, exact=label == "Profile").first.fill(text)
    bends = page.locator("section[aria-labelledby=numbers-title] tbody .bend")
    bends.first.wait_for()
    page.emulate_media(media="print")
    assert [bend.inner_text().strip() for bend in bends.all() if bend.is_visible()] == ["b1", "b2"]
    colour = "one => getComputedStyle(one, '::placeholder').color"
    assert page.get_by_label("Readings at the rack").evaluate(colour) == "rgba(0, 0, 0, 0)"
    assert not page.get_by_role("button", name="Plan it").is_visible()
    page.goto(f"{address}/shop")
    page.locator("ul.punches").wait_for()
    assert page.locator("ul.punches").get_by_text("P1", exact=True).is_visible()


@pytest.mark.origin(
    "law", "no page is wider than its window, in the longer language and the longer unit (WCAG 2.2, 1.4.10)"
)
@pytest.mark.parametrize("width", [800, 1280])
@pytest.mark.parametrize("path", ["/", "/plan/{job}", "/compare/{job}/{job}", "/shop"])
def test_nothing_reaches_beyond_the_window(page: Any, address: str, job: str, path: str, width: int) -> None:
    """Tables that are wider scroll by themselves."""
    page.set_viewport_size({"width": width, "height": 800})
    page.goto(address)
    for choice in ("inch", "Deutsch"):
        page.get_by_role("radio", name=choice, exact=True).check()
    page.goto(address + path.format(job=job))
    settled(page)
    page.wait_for_timeout(300)
    widths = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.clientWidth]")
    assert widths[0] <= widths[1]


@pytest.mark.origin(
    "law", "the focus stays where the hands are (WCAG 2.2, 2.4.3); a drawing in inches is typed in inches"
)
def test_flanges_taken_away_leave_the_focus_beside(page: Any, address: str, watch: Any) -> None:
    """With inches chosen a panel is typed in inches; two flanges, taken away one after the other."""
    watch.meant += ["422"]
    page.goto(address)
    page.get_by_role("radio", name="inch", exact=True).check()
    page.get_by_role("button", name="Type a panel in fields").click()
    add = page.get_by_role("button", name="+ Flange")
    add.wait_for()
    assert page.get_by_label("Unit", exact=True).input_value() == "inch"
    for count in (1, 2):
        add.click()
        page.wait_for_function("n => document.querySelectorAll('.flanges > .plate').length === n", arg=count)
    page.get_by_role("button", name="Remove: Flange front").press("Enter")
    page.wait_for_function("() => document.querySelectorAll('.flanges > .plate').length === 1")
    assert page.evaluate("document.activeElement.value") == "right"
    page.get_by_role("button", name="Remove: Flange right").press("Enter")
    page.wait_for_function("() => document.querySelectorAll('.flanges > .plate').length === 0")
    assert front(page) == "+ Flange"


@pytest.mark.origin("law", "the focus stays where the hands are (WCAG 2.2, 2.4.3); nothing covers a button (2.5.8)")
def test_a_job_taken_off_the_list_and_back(page: Any, address: str, job: str, checker: str) -> None:
    """With a long part number too every button of the list can be pressed; the way back has the focus, then the line."""
    long = "SI-4410-WIND-AND-RAIN-GAUGE-BRACKET"
    jobs = page.request.get(f"{address}/api/v1/jobs").json()
    for one in jobs:
        one["part_no"] = long
    page.route("**/api/v1/jobs", lambda route: route.fulfill(json=jobs))
    page.set_viewport_size({"width": 1280, "height": 800})
    page.goto(address)
    line = page.locator("tr", has=page.locator(f"a[href='/plan/{job}']"))
    line.get_by_role("button", name=f"Drop {long}").click(trial=True)
    page.unroute("**/api/v1/jobs")
    page.reload()
    line.get_by_role("button", name="Drop SI-4410").click()
    back = page.locator(".dropped").get_by_role("button")
    back.wait_for()
    page.wait_for_function("() => document.activeElement?.closest('.dropped') !== null")
    assert broken_rules(page, checker) == []
    page.keyboard.press("Enter")
    page.wait_for_function("to => document.activeElement?.getAttribute('href') === to", arg=f"/plan/{job}")
