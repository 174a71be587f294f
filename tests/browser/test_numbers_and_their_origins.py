"""What is known is shown before the rest is, and every number of a dense table leads to where it comes from."""

from __future__ import annotations

import importlib.util
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from browsing import broken_rules, settled

from bendwright.drawing.folded_step import folded_step
from bendwright.drawing.quick_profile import quick_profile
from bendwright.part.as_drawn import blank_as_drawn
from bendwright.part.model import Header
from bendwright.shop.tools_csv import column_names


def model(path: Path) -> Path:
    """A channel of 60 x 40 x 300 mm outside, 2 mm thick, R 3 inside, as a CAD kernel writes it: no word of its material."""
    header = Header(part_no="K1", revision="A", thickness_mm=2.0)
    part = quick_profile("40 u90 60 u90 40 x 300", header=header)
    part = replace(part, bends=tuple(replace(bend, drawn_radius_mm=3.0) for bend in part.bends))
    blank = blank_as_drawn(part)
    assert blank is not None
    path.write_bytes(folded_step(part, blank))
    return path


@pytest.mark.skipif(importlib.util.find_spec("OCP") is None, reason="the CAD kernel is not installed")
@pytest.mark.origin("derived", "the outside sizes the model was made with")
def test_a_model_without_a_material_is_shown(page: Any, address: str, checker: str, tmp_path: Path) -> None:
    """Folded part, section and outside sizes as drawn; no blank; the way on is said and the field asks; then all of it comes."""
    page.goto(address)
    page.locator("input[type=file]").set_input_files(model(tmp_path / "channel.step"))
    page.wait_for_url(f"{address}/part/*")
    page.get_by_label("Revision").first.fill("A")
    page.get_by_role("button", name="Read the drawing").click()
    folded = page.locator("section[aria-labelledby=fold-title]")
    folded.locator("canvas").wait_for()
    sizes = [float(one.split()[0]) for one in folded.locator(".size .number").all_inner_texts()]
    assert sorted(sizes) == pytest.approx([40.0, 60.0, 300.0], abs=0.02)
    section = page.locator("section[aria-labelledby=section-title]")
    labels = {text.strip() for text in section.locator("svg text").all_text_contents()} - {""}
    assert labels == {"40.00 mm", "60.00 mm", "b1 90.0°", "b2 90.0°"}
    page.get_by_text("The shape as drawn").wait_for()
    blank = page.locator("section[aria-labelledby=blank-title]")
    assert blank.count() == 0
    assert broken_rules(page, checker) == []
    page.keyboard.press("Control+Enter")
    page.get_by_role("alert").get_by_text("State the material first").wait_for()
    assert page.evaluate("document.activeElement.labels[0].innerText").startswith("Material")
    page.keyboard.type("S235JR")
    blank.wait_for()
    settled(page)
    assert page.get_by_text("The shape as drawn").count() == 0


@pytest.mark.origin("law", "no number without its source; by key as well as by hand (WCAG 2.2, 2.1.1)")
def test_rows_of_dense_tables_say_where_their_numbers_come_from(
    page: Any, address: str, job: str, checker: str
) -> None:
    """One button a row opens what every number of it stands on; Escape closes it and gives the focus back."""
    page.goto(f"{address}/plan/{job}")
    for table, name, words in (
        ("all-head", "Stroke 1", ("X ", "Depth ", "Force ", "stroke model", "the drawing")),
        ("spread-head", "leg", ("Least ", "Cpk ", "pieces made up by", "ISO 2768-1")),
    ):
        rows = page.locator(f"section[aria-labelledby={table}] tbody tr")
        rows.first.wait_for()
        buttons = rows.get_by_role("button", name=f"Where does this come from: {name}")
        asks = buttons.first
        asks.focus()
        page.keyboard.press("Enter")
        note = page.locator(".note:popover-open")
        note.wait_for()
        said = note.inner_text()
        assert [word for word in words if word not in said] == []
        # what lies in part under the window is smaller than it was, for as long as that is open
        assert [one for one in broken_rules(page, checker) if not one.startswith("target-size")] == []
        page.keyboard.press("Escape")
        note.wait_for(state="hidden")
        assert asks.evaluate("one => one === document.activeElement")
        page.evaluate("scrollTo(0, 0)")  # no button half under the head of the page
        assert broken_rules(page, checker) == []
    strokes = page.locator("section[aria-labelledby=all-head] tbody tr")
    assert strokes.locator("button.from").count() == strokes.count()


@pytest.mark.origin("law", "what the mouse opens a finger opens (WCAG 2.2, 2.5.8: targets of 24 dots)")
def test_where_from_by_touch(tablet: Any, address: str, job: str) -> None:
    """A tap opens the row's window within the screen."""
    page = tablet.new_page()
    page.goto(f"{address}/plan/{job}")
    asks = page.locator("section[aria-labelledby=spread-head] button.from").last
    asks.wait_for()
    box = asks.bounding_box()
    assert min(box["width"], box["height"]) >= 24
    asks.tap()
    note = page.locator(".note:popover-open")
    note.wait_for()
    place = note.bounding_box()
    size = page.viewport_size
    assert min(place["x"], place["y"]) >= 0
    assert place["x"] + place["width"] <= size["width"]
    assert place["y"] + place["height"] <= size["height"]


@pytest.mark.origin("law", "on paper every number stands beside the picture it is of, and no page is begun for nothing")
def test_a_plan_on_paper(page: Any, address: str, job: str) -> None:
    """Each stroke has its picture with its numbers beside it, two across; the plan of a small part takes no more than five pages of A4."""
    page.goto(f"{address}/plan/{job}")
    page.locator("#spread-head").wait_for()
    page.locator("#curves-head").wait_for()
    page.emulate_media(media="print")
    page.set_viewport_size({"width": 718, "height": 1000})
    cards = page.locator(".strip [role=option]")
    strokes = page.locator("section[aria-labelledby=all-head] tbody tr")
    assert cards.count() == strokes.count() >= 2
    boxes = [card.bounding_box() for card in cards.all()]
    assert boxes[0]["y"] == boxes[1]["y"]
    for card, row in zip(cards.all(), strokes.all(), strict=True):
        picture, numbers = card.locator("img").bounding_box(), card.locator(".numbers").bounding_box()
        assert picture["x"] + picture["width"] <= numbers["x"]
        assert numbers["y"] < picture["y"] + picture["height"]
        beside = set(card.locator(".shown .number").all_inner_texts())
        assert beside == set(row.locator(".shown .number").all_inner_texts())
    paper = page.pdf(format="A4")
    assert 2 <= len(re.findall(rb"/Type\s*/Page\b", paper)) <= 5


@pytest.mark.origin("law", "what can be pressed is seen whole (WCAG 2.2, 2.5.8)")
def test_the_open_menu_of_files_covers_no_button_in_part(page: Any, address: str, job: str, checker: str) -> None:
    """Open it is as clean as closed."""
    page.goto(f"{address}/plan/{job}")
    page.locator("section[aria-labelledby=numbers-head] button.from").first.wait_for()
    page.locator("summary", has_text="Files and print").click()
    page.get_by_role("link", name="Setup sheet").wait_for()
    assert broken_rules(page, checker) == []


@pytest.mark.origin("law", "the columns the reader of tables knows")
def test_columns_of_a_table_of_tools_are_told(page: Any, address: str, checker: str) -> None:
    """Every heading the bench reads stands where the file is dropped."""
    page.goto(f"{address}/shop")
    page.get_by_role("tab", name="Punches").click()
    page.locator("summary", has_text="The columns there can be").click()
    told = page.locator("section.import dt code").all_inner_texts()
    assert told == list(column_names("punches"))
    step = page.locator("section.import dd").nth(told.index("offset.step"))
    assert step.inner_text() == "Step, must be there where kind is offset"
    page.evaluate("scrollTo(0, 0)")
    assert broken_rules(page, checker) == []
