"""The main ways through the shop, as a person goes them: a copy of one's own, a tool changed, a slip told, a spreadsheet looked through."""

from __future__ import annotations

import re
from typing import Any

import pytest
from browsing import API, broken_rules

HEAD = "id;name;kind;Included Angle;nose radius;height [mm];form;half width;max_line_load;pieces"
ROW = "N1;reed;straight;88;0,8;120;straight;7;600;835 x 2 + 10"


def own_shop(page: Any, address: str, name: str) -> None:
    """The shop's page with a copy of the demo shop opened, made by its form."""
    page.goto(f"{address}/shop")
    page.get_by_role("tab", name="Punches").wait_for()
    if page.get_by_label("Shop", exact=True).count() > 0:
        page.get_by_label("Shop", exact=True).select_option("saltmarsh")
        page.get_by_text("This is the demo shop").wait_for()
    page.get_by_label("Copy this shop as").fill(name)
    page.get_by_role("button", name="Copy", exact=True).click()
    page.get_by_role("button", name="Change", exact=True).wait_for()


def height(page: Any, address: str, shop: str, punch: str) -> str:
    """What the bench has as the height of a punch."""
    shown = page.request.get(f"{address}{API}/shops/{shop}").json()
    (record,) = (one for one in shown["punches"] if one["id"] == punch)
    return next(str(one["typed"]) for one in record["fields"] if one["key"] == "height")


@pytest.mark.origin("law", "what is saved is what was typed; the shop it was copied from stays as it is")
def test_a_punch_of_ones_own_shop_is_changed(page: Any, address: str) -> None:
    """The demo shop has nothing to change; its copy has: a new height is shown, kept after a reload, and the demo shop keeps its own."""
    page.goto(f"{address}/shop")
    before = height(page, address, "saltmarsh", "P1")
    own_shop(page, address, "changed")
    page.get_by_role("button", name="P1", exact=True).click()
    page.get_by_role("button", name="Change", exact=True).click()
    page.get_by_label("Height", exact=True).fill("121 mm")
    page.get_by_role("button", name="Put into the shop").click()
    page.get_by_role("heading", name=re.compile("^P1 · ")).wait_for()
    assert (
        "121.00 mm"
        in page.locator("section.view", has=page.get_by_role("heading", name=re.compile("^P1"))).inner_text()
    )
    assert height(page, address, "changed", "P1") == "121 mm"
    assert height(page, address, "saltmarsh", "P1") == before
    page.reload()
    page.get_by_role("tab", name="Punches").wait_for()
    page.get_by_label("Shop", exact=True).select_option("saltmarsh")
    page.get_by_text("This is the demo shop").wait_for()
    assert page.get_by_role("button", name="Change", exact=True).count() == 0


@pytest.mark.origin("law", "what is wrong is told where it is wrong (WCAG 2.2, 3.3.1), and the focus goes there")
def test_a_wrong_field_is_told_at_its_place(page: Any, address: str, watch: Any) -> None:
    """A nose radius nobody can read: its field alone is marked, described by its sentence and in front; put right, it is saved."""
    watch.meant += ["422"]
    own_shop(page, address, "slips")
    page.get_by_role("button", name="P1", exact=True).click()
    page.get_by_role("button", name="Change", exact=True).click()
    radius = page.get_by_label("Nose radius", exact=True)
    right = radius.input_value()
    radius.fill("round")
    page.get_by_role("button", name="Put into the shop").click()
    wrong = page.locator("form [aria-invalid=true]")
    wrong.first.wait_for()
    assert wrong.count() == 1
    assert radius.get_attribute("aria-invalid") == "true"
    told = page.locator(", ".join(f"[id='{one}']" for one in str(radius.get_attribute("aria-describedby")).split()))
    assert "round" in told.last.inner_text()
    assert radius.evaluate("one => one === document.activeElement")
    assert height(page, address, "slips", "P1")
    radius.fill(right)
    page.get_by_role("button", name="Put into the shop").click()
    page.get_by_role("heading", name=re.compile("^P1 · ")).wait_for()


@pytest.mark.origin("law", "a table is shown before it is written; with a wrong cell in it nothing can be written")
def test_a_spreadsheet_is_looked_through_first(page: Any, address: str) -> None:
    """One good row and one with a wrong angle: the cell says so and the button is shut; the good row alone becomes a punch."""
    own_shop(page, address, "tables of tools")
    bad = ROW.replace("N1", "N2").replace(";88;", ";8x;")
    choose = page.locator("input[type=file]")
    choose.set_input_files({"name": "tools.csv", "mimeType": "text/csv", "buffer": f"{HEAD}\n{ROW}\n{bad}\n".encode()})
    table = page.locator("section.import table")
    table.wait_for()
    assert table.locator("tbody tr:has(th)").count() == 2
    cells = table.locator("td.wrong")
    assert cells.count() == 1
    column = cells.evaluate("one => one.closest('table').tHead.rows[0].cells[one.cellIndex].innerText")
    assert column == "Included Angle"
    assert "8x" in cells.inner_text()
    put = page.get_by_role("button", name="Put all rows into the shop")
    assert put.is_disabled()
    assert page.get_by_role("button", name="N1", exact=True).count() == 0
    choose.set_input_files({"name": "tools.csv", "mimeType": "text/csv", "buffer": f"{HEAD}\n{ROW}\n".encode()})
    page.wait_for_function("() => document.querySelectorAll('section.import td.wrong').length === 0")
    put.click()
    page.get_by_role("button", name="N1", exact=True).click()
    page.get_by_role("heading", name="N1 · reed").wait_for()


@pytest.mark.origin(
    "law", "what is typed counts, what is left blank counts as before and is shown so; slips stand at their field"
)
def test_a_material_and_a_rule_of_ones_own(page: Any, address: str, watch: Any, checker: str) -> None:
    """A built-in material changed for the shop, a slip in it told; a new time typed, the default beside it; all there after a reload."""
    watch.meant += ["422"]
    own_shop(page, address, "rules of its own")
    page.get_by_role("tab", name="Sheet and materials").click()
    page.get_by_role("button", name="Change DC01", exact=True).click()
    assert page.get_by_label("Stands on").input_value() == "DC01"
    strength = page.get_by_label("Yield strength")
    assert strength.get_attribute("placeholder") == "200 MPa"
    strength.fill("strong")
    page.get_by_role("button", name="Put into the shop").click()
    page.locator("form [aria-invalid=true]").nth(1).wait_for()
    assert strength.evaluate("one => one.getAttribute('aria-invalid')") == "true"
    assert page.get_by_label("Where it was read").get_attribute("aria-invalid") == "true"
    assert strength.input_value() == "strong"
    strength.fill("215")
    page.get_by_label("Where it was read").fill("certificates")
    assert broken_rules(page, checker) == []
    page.get_by_role("button", name="Put into the shop").click()
    row = page.get_by_role("row", name=re.compile("^DC01"))
    row.get_by_text("the shop's own").wait_for()
    assert "215 MPa" in row.inner_text()
    page.get_by_role("tab", name="Practice").click()
    page.get_by_role("button", name="Change", exact=True).click()
    page.get_by_label("Time of a stroke").fill("9,5")
    page.get_by_label("Room for a hand").fill("")
    page.get_by_label("Material or family, row 1").fill("DC01")
    assert broken_rules(page, checker) == []
    page.get_by_role("button", name="Put into the shop").click()
    time = page.get_by_role("row", name=re.compile("^Time of a stroke"))
    time.wait_for()
    assert "9.5" in time.inner_text()
    assert "default" in page.get_by_role("row", name=re.compile("^Room for a hand")).inner_text()
    shown = page.request.get(f"{address}{API}/shops/rules of its own").json()
    assert shown["practice_record"]["rows"][0]["of"] == "DC01"


@pytest.mark.origin(
    "law", "a row that is typed is a row of the table; a wrong cell is told in its row and nothing typed is lost"
)
def test_a_measured_deduction_is_typed(page: Any, address: str, watch: Any, checker: str) -> None:
    """A table begun in a shop that had none: a slip in its one row, mended, counted."""
    watch.meant += ["422"]
    own_shop(page, address, "strips")
    page.get_by_role("tab", name="Sheet and materials").click()
    page.get_by_text("no table").wait_for()
    page.get_by_role("button", name="Change Measured bend deductions").click()
    cells = {
        "Material": "S235JR",
        "Thickness, mm": "2",
        "Opening, mm": "16",
        "Turned, degrees": "90",
        "Deduction, mm": "much",
    }
    for title, text in cells.items():
        page.get_by_label(f"{title}, row 1", exact=True).fill(text)
    page.get_by_label("Legs measured, row 1").select_option("mould_line")
    assert broken_rules(page, checker) == []
    page.get_by_role("button", name="Put into the shop").click()
    wrong = page.locator("form [aria-invalid=true]")
    wrong.wait_for()
    assert wrong.input_value() == "much"
    assert wrong.evaluate("one => one === document.activeElement")
    wrong.fill("3,9")
    page.get_by_role("button", name="Put into the shop").click()
    page.get_by_text("1 row", exact=False).first.wait_for()
    rows = page.request.get(f"{address}{API}/shops/strips").json()["table_record"]["rows"]
    assert [row["bend_deduction_mm"] for row in rows] == ["3,9"]
