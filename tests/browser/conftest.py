"""One Chromium and one running bench with a planned job for all tests in the browser."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from browsing import WAIT_MS, Watch, chromium, planned, running_bench

SCREEN = {"width": 1440, "height": 900}
TABLET = {"viewport": {"width": 1180, "height": 820}, "has_touch": True, "is_mobile": True}


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """Chromium of the system, without a screen; nothing is downloaded."""
    playwright = pytest.importorskip("playwright.sync_api", reason="the Playwright package is not installed")
    path = chromium()
    with playwright.sync_playwright() as driver:
        running = driver.chromium.launch(executable_path=path, args=["--no-sandbox", "--disable-dev-shm-usage"])
        yield running
        running.close()


@pytest.fixture(scope="session")
def checker() -> str:
    """The accessibility checker's script, which comes with its Python package."""
    package = pytest.importorskip("axe_playwright_python", reason="the accessibility checker is not installed")
    return Path(package.__file__).with_name("axe.min.js").read_text(encoding="utf-8")


@pytest.fixture(scope="session")
def address(browser: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Where the bench is."""
    with running_bench(tmp_path_factory.mktemp("bench")) as address:
        yield address


@pytest.fixture(scope="session")
def job(address: str) -> str:
    """Id of a planned job: the lipped rail."""
    return planned(address)


@pytest.fixture
def watch(address: str) -> Iterator[Watch]:
    """Watches; the test fails where something unmeant happened."""
    watching = Watch(address)
    yield watching
    assert watching.unmeant() == []


@pytest.fixture
def page(browser: Any, watch: Watch) -> Iterator[Any]:
    """A page of a browser on a desk that was never here before."""
    context = browser.new_context(viewport=SCREEN, locale="en", reduced_motion="reduce")
    context.set_default_timeout(WAIT_MS)
    watch.over(context)
    yield context.new_page()
    context.close()


@pytest.fixture
def tablet(browser: Any, watch: Watch) -> Iterator[Any]:
    """The browser of a tablet that was never here before."""
    context = browser.new_context(**TABLET, locale="en")
    context.set_default_timeout(WAIT_MS)
    watch.over(context)
    yield context
    context.close()
