"""Every page, looked at by an accessibility checker and by a watch over addresses, policy and faults."""

from __future__ import annotations

from typing import Any

import pytest
from browsing import broken_rules, settled

OFFICE = (
    "/",
    "/part",
    "/plan",
    "/plan/{job}",
    "/compare",
    "/compare/{job}/{job}",
    "/shop",
    "/about",
    "/sign-in",
    "/nowhere",
)
FLOOR = ("/floor", "/floor/{job}", "/floor/{job}/1", "/floor/{job}/1/read", "/floor/{job}/result")
DOCS = ("/api/docs",)
INLINE = """() => { const one = document.createElement('script'); one.textContent = 'window.ran = true';
    document.head.append(one) }"""


@pytest.mark.origin("law", "WCAG 2.2 A and AA, as far as a program can check them")
@pytest.mark.parametrize("path", [*OFFICE, *FLOOR, *DOCS])
def test_a_page_is_accessible(page: Any, address: str, job: str, checker: str, path: str) -> None:
    """No rule is broken; the page has a title, a language and nothing that goes wrong on the way."""
    page.goto(address + path.format(job=job))
    settled(page)
    assert page.title()
    assert broken_rules(page, checker) == []


@pytest.mark.origin("law", "a policy without inline script holds whatever gets into a page")
def test_an_inline_script_does_not_run(page: Any, address: str, watch: Any) -> None:
    """Put into a page, it does nothing but be reported: the policy is in force, and the watch would see a breach."""
    watch.meant += ["script-src", "inline"]
    page.goto(address)
    settled(page)
    page.evaluate(INLINE)
    assert page.evaluate("window.ran") is None
    assert any(said.startswith("error: policy: script-src") for said in watch.seen)


@pytest.mark.origin(
    "law", "the page of the interface names every address the description names, and opens the shape a link leads to"
)
def test_the_interface_is_described(page: Any, address: str) -> None:
    """Addresses counted against the description; a link from an answer to its shape."""
    page.goto(f"{address}/api/docs")
    page.get_by_role("heading", name="Shapes").wait_for()
    described = page.request.get(f"{address}/api/v1/openapi.json").json()
    paths = page.locator("summary code").all_text_contents()
    assert sorted(paths) == sorted(path for path, methods in described["paths"].items() for _ in methods)
    first = page.locator("details", has=page.locator("code", has_text="/api/v1/about"))
    first.locator("summary").click()
    first.get_by_role("link", name="About").click()
    shape = page.locator("#shape-About")
    assert shape.get_attribute("open") is not None
    assert shape.locator("tbody tr").count() == len(described["components"]["schemas"]["About"]["properties"])
