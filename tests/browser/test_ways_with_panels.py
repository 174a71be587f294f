"""A panel typed in fields by keyboard alone, with everything that can be cut into it; kept as a file and dropped again."""

from __future__ import annotations

from typing import Any

import pytest
from browsing import broken_rules, settled, tabbed

BLANK = "() => document.querySelector('[aria-labelledby=blank-title] img')?.src"


WRONG = "const all = [...document.querySelectorAll('[data-group] [aria-invalid=true]')]"
"""The cells of an opening that are marked as wrong."""


def key_in(page: Any, *cells: tuple[str, str]) -> None:
    """Type into cells one after the other, going there by Tab."""
    for label, text in cells:
        tabbed(page, label, most=60)
        page.keyboard.type(text)


def press(page: Any, button: str) -> None:
    """Go to a button by Tab and press it."""
    tabbed(page, button, most=60)
    page.keyboard.press("Enter")


def settled_blank(page: Any, before: str | None) -> str:
    """The picture of the blank once it is another than ``before`` and the rules have been looked at too."""
    waits = "document.querySelector('.typing span[role=status]').innerText.trim() !== ''"
    page.wait_for_function(
        f"before => {{ const now = ({BLANK})(); return now && now !== before && !({waits}) }}", arg=before
    )
    settled(page)
    page.wait_for_function(f"() => !({waits})")
    return str(page.evaluate(BLANK))


@pytest.mark.origin(
    "law", "everything can be done with the keyboard alone (WCAG 2.2, 2.1.1); dropped again it is the same part"
)
def test_a_panel_is_typed_kept_and_dropped_again(
    page: Any, address: str, watch: Any, checker: str, tmp_path: Any
) -> None:
    """Base, flange, cut-out, notch, relief and hem: each moves the blank; the file kept gives the same fields and the same blank."""
    watch.meant += ["422"]  # half a panel is none yet
    page.goto(address)
    press(page, "Type a panel in fields")
    page.wait_for_url(f"{address}/part/*")
    page.get_by_label("Depth", exact=True).wait_for()
    key_in(page, ("Part number", "SI-77"), ("Revision", "A"))
    press(page, "More of the drawing")
    key_in(
        page,
        ("Customer", "Saltmarsh"),
        ("Notes; more notes", "deburr; film inside"),
        ("Width", "180"),
        ("Depth", "120"),
    )
    press(page, "+ Flange")
    page.locator("[data-group], .flanges .plate").first.wait_for()
    key_in(page, ("Leg", "40"), ("Left in", "20"), ("Right in", "20"))
    key_in(page, ("Material", "DC01"), ("Thickness", "1.5 mm"))
    blank = settled_blank(page, None)
    page.locator(".flanges .plate input").first.focus()
    for button, first, cells in (
        ("+ Cut-out", "12", (("Height", "9"), ("From left", "60"), ("From bend", "20"))),
        ("+ Notch", "far", (("Along edge", "6"), ("Depth", "4"))),
        ("+ Relief", "3", (("Depth", "5"),)),
        ("+ Hem", "far", (("Length", "9"), ("Left in", "14"), ("Right in", "14"))),
    ):
        press(page, button)
        page.wait_for_function("() => document.activeElement?.closest('[data-group]')")
        page.keyboard.type(first)
        key_in(page, *cells)
        blank = settled_blank(page, blank)
        page.locator(".flanges .plate input").first.focus()
    assert broken_rules(page, checker) == []
    with page.expect_download() as saving:
        press(page, "Save as part file")
    kept = tmp_path / saving.value.suggested_filename
    saving.value.save_as(kept)
    assert kept.name == "SI-77.yaml"
    page.goto(address)
    page.locator("input[type=file]").first.set_input_files(kept)
    page.wait_for_url(f"{address}/part/*")
    page.get_by_label("Depth", exact=True).first.wait_for()
    assert settled_blank(page, None) == blank
    assert page.get_by_label("Left in", exact=True).first.input_value() == "20"
    assert page.get_by_label("Customer").input_value() == "Saltmarsh"
    assert page.get_by_label("Notes; more notes").input_value() == "deburr; film inside"
    assert page.locator("[data-group$='.relief']").get_by_label("Depth", exact=True).input_value() == "5"


@pytest.mark.origin("law", "what is wrong is told where it is wrong (WCAG 2.2, 3.3.1), and nothing typed is lost")
def test_a_slip_in_an_opening_is_told_at_its_cell(page: Any, address: str, watch: Any) -> None:
    """A hole without a place, then with a word for one, then beyond its plate; mended, it is in the part."""
    watch.meant += ["422"]
    page.goto(address)
    page.get_by_role("button", name="Type a panel in fields").click()
    page.get_by_label("Width", exact=True).fill("180")
    page.get_by_label("Depth", exact=True).fill("120")
    page.get_by_label("Material").first.fill("DC01")
    page.get_by_label("Thickness").first.fill("1.5 mm")
    page.get_by_role("button", name="+ Hole").click()
    page.get_by_label("Diameter").fill("6")
    group = page.locator("[data-group$='.holes']")
    group.locator("p.finding").wait_for()
    group.get_by_label("From left", exact=True).last.fill("wide")
    group.get_by_label("From front", exact=True).last.fill("40")
    wrong = group.locator("[aria-invalid=true]")
    page.wait_for_function(f"() => {{ {WRONG}; return all.length === 1 && all[0].value === 'wide' }}")
    group.get_by_label("From left", exact=True).last.fill("179")
    group.locator("p.finding").wait_for()
    assert wrong.count() == 0
    group.get_by_label("From left", exact=True).last.fill("90")
    page.wait_for_function("() => !document.querySelector('[data-group] .finding')")
    group.get_by_label("Measured from").first.select_option("at")
    assert group.get_by_label("Places x y; x y").last.input_value() == "90 40"
