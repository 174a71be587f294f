"""What the browser tests share: where Chromium is, a bench that really runs, and a watch over everything a page does."""

from __future__ import annotations

import os
import re
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from bench_talk import API, PROFILE
from bendwright.bench.routes.site import SITE

WAIT_MS = 20_000
STARTS_S = 300.0
NAME_IN_FRONT = """(() => { const one = document.activeElement; const label = one?.labels?.[0]?.innerText ?? one?.innerText ?? '';
    return label.replace(/\\s*\\*$/, '').trim() })()"""
"""What the field or button with the focus is called."""
IN_SIGHT = """all => all.filter(one => { const at = one.getBoundingClientRect();
    const corners = [[at.left + 4, at.top + 4], [at.right - 4, at.bottom - 4]];
    return corners.every(([x, y]) => one.contains(document.elementFromPoint(x, y))) }).map(one => one.getBoundingClientRect().toJSON())"""
"""Boxes of what is not scrolled out of sight."""
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
TELLS_POLICY = "document.addEventListener('securitypolicyviolation', e => console.error(`policy: ${e.violatedDirective} ${e.blockedURI}`))"


def chromium() -> str:
    """Where Chromium is; installed by apt where it is missing and that is allowed. Skips, saying why, where there is none."""
    for name in ("chromium", "chromium-browser"):
        if found := shutil.which(name):
            return found
    if os.name != "posix" or os.geteuid() != 0 or shutil.which("apt-get") is None:
        pytest.skip("no Chromium here, and only root can install it with apt-get")
    asked = ["apt-get", "install", "-y", "--no-install-recommends", "chromium"]
    done = subprocess.run(asked, capture_output=True, text=True, timeout=600, check=False)
    if found := shutil.which("chromium"):
        return found
    pytest.skip(f"no Chromium here, and apt-get could not install it: {done.stderr.strip()[-200:]}")


@contextmanager
def running_bench(data: Path, *options: str, **variables: str) -> Iterator[str]:
    """Address of ``bendwright bench`` started as a person starts it, on a free port; ended with the block."""
    if not (SITE / "office.html").is_file():
        pytest.skip("the pages are not built in this installation")
    command = [
        sys.executable,
        "-m",
        "bendwright",
        "bench",
        "--no-browser",
        "--port",
        "0",
        "--data",
        str(data),
        *options,
    ]
    env = {**os.environ, "PYTHONUNBUFFERED": "1", **variables}
    with subprocess.Popen(command, env=env, text=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT) as bench:
        try:
            assert bench.stdout is not None
            said = bench.stdout.readline()
            match = re.search(r"http://[^/ ]+:(\d+)", said)
            assert match, said + bench.stdout.read()
            once(lambda: answers(int(match[1])))
            yield f"http://localhost:{match[1]}"
        finally:
            bench.terminate()


def answers(port: int) -> bool:
    """Whether anything listens at a port of this machine."""
    with socket.socket() as line:
        return line.connect_ex(("127.0.0.1", port)) == 0


def once(condition: Callable[[], Any], seconds: float = STARTS_S) -> Any:
    """What ``condition`` gives as soon as it gives something. Fails after so long."""
    end = time.monotonic() + seconds
    while not (got := condition()):
        assert time.monotonic() < end, "it did not come true in time"
        time.sleep(0.1)
    return got


def planned(address: str, profile: dict[str, str] = PROFILE, **sheet: list[str]) -> str:
    """Id of a job that is planned."""
    import httpx

    with httpx.Client(base_url=f"{address}{API}", timeout=STARTS_S, headers={"Origin": address}) as client:
        once(lambda: client.get("/about").json()["ready"])
        part = client.post("/parts/typed", json=profile).json()["part"]
        job = str(client.post("/jobs", json={"part": part, "sheet": sheet}).json()["id"])
        once(lambda: client.get(f"/jobs/{job}").json()["job"]["state"] == "done")
    return job


def tabbed(page: Any, label: str, most: int = 40) -> None:
    """Go to the field or button of this name by Tab alone."""
    for _ in range(most):
        page.keyboard.press("Tab")
        if page.evaluate(NAME_IN_FRONT) == label:
            return
    raise AssertionError(f"Tab does not lead to {label}")


def settled(page: Any) -> None:
    """Wait until the page has what it asked for."""
    page.wait_for_load_state("networkidle")
    page.wait_for_selector("h1, h2, nav")
    page.wait_for_function("() => document.querySelector('progress, [role=progressbar]') === null")


def broken_rules(page: Any, checker: str) -> list[str]:
    """The rules of accessibility the page breaks as it stands, with the first signs of what breaks them."""
    page.evaluate(checker)
    found = page.evaluate("rules => axe.run(document, rules)", RULES)
    assert len(found["passes"]) > 10
    return [f"{rule['id']}: {node['html'][:200]}" for rule in found["violations"] for node in rule["nodes"]]


def on_keys(page: Any, text: str) -> None:
    """Type on the floor's own keys."""
    for sign in text:
        page.locator(".keys").get_by_text(sign, exact=True).tap()


def floor_at(tablet: Any, address: str) -> Any:
    """A screen of the floor, opened on the tablet."""
    page = tablet.new_page()
    page.goto(address)
    page.wait_for_selector("nav")
    return page


def opens_offline(page: Any) -> None:
    """Wait until the worker has the page with all its files. (``wait_for_function`` does not wait for promises.)"""
    once(lambda: page.evaluate("async () => (await caches.match('/floor')) !== undefined"))


def kept_readings(address: str, job: str) -> list[dict[str, Any]]:
    """What the bench has of a job's readings."""
    import httpx

    return list(httpx.get(f"{address}{API}/jobs/{job}/readings").json())


def hard_to_hit(page: Any, dots_per_mm: float) -> list[str]:
    """Buttons in sight that are smaller than 20 mm, or nearer to another than 4 mm: what a hand in a glove does not hit."""
    boxes = page.locator("a.button, button").evaluate_all(IN_SIGHT)
    assert boxes
    hard = []
    for one in boxes:
        if min(one["width"], one["height"]) < 20.0 * dots_per_mm:
            hard.append(f"small: {one}")
        for other in boxes:
            across = max(other["left"] - one["right"], one["left"] - other["right"])
            down = max(other["top"] - one["bottom"], one["top"] - other["bottom"])
            if other is not one and max(across, down) < 4.0 * dots_per_mm - 0.5:
                hard.append(f"near: {one} {other}")
    return hard


@dataclass
class Watch:
    """Everything that should not happen on a page: faults, messages of the browser, addresses elsewhere. ``meant`` are parts of messages a
    test brings about on purpose.
    """

    home: str
    meant: list[str] = field(default_factory=list)
    seen: list[str] = field(default_factory=list)

    def over(self, context: Any) -> None:
        """Watch all pages of a browser context."""
        context.add_init_script(TELLS_POLICY)
        context.on("weberror", lambda error: self.seen.append(f"fault: {error.error}"))
        context.on(
            "console", lambda said: self.seen.append(f"{said.type}: {said.text}") if said.type == "error" else None
        )
        context.on("request", self._asked)

    def _asked(self, request: Any) -> None:
        if not request.url.startswith((f"{self.home}/", "data:", "blob:")):
            self.seen.append(f"address: {request.url}")

    def unmeant(self) -> list[str]:
        """What happened and was not meant to."""
        return [one for one in self.seen if not any(part in one for part in self.meant)]
