"""From the start of the bench to the first plan on the screen, as somebody who sees it for the first time would get there.

    python benchmarks/first_plan.py

In every round a new bench with an empty folder and a new browser: open the page, take an example part, press "Plan it", wait for the
strokes and their pictures. Prints seconds since the command was started. The aim is 10 s on an idle machine. The installation must have
compiled (see decision 32); the first round also reads everything from disk where the machine lets its file cache be emptied.
"""

from __future__ import annotations

import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

ROUNDS = 4
PORT = 4171
EXAMPLE = "Instrument rail"
AIM_S = 10.0
STEPS = ("page shown", "examples shown", "part shown", "plan shown")


@contextmanager
def bench(folder: Path) -> Iterator[None]:
    """The bench as its command starts it, without opening a browser of its own."""
    command = [sys.executable, "-m", "bendwright", "bench", "--no-browser", "--port", str(PORT), "--data", str(folder)]
    started = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        yield
    finally:
        started.terminate()
        started.wait(60)


def forget_files() -> bool:
    """Whether the machine has been made to forget what it has read from disk."""
    with suppress(OSError):
        subprocess.run(["sync"], check=False)
        Path("/proc/sys/vm/drop_caches").write_text("3", encoding="ascii")
        return True
    return False


def walk(page: Page, began: float) -> list[float]:
    """Seconds since ``began`` at each of the steps."""
    times = []
    answers = None
    while answers is None:
        with suppress(OSError):
            answers = socket.create_connection(("localhost", PORT), timeout=60)
        time.sleep(0.05)
    answers.close()
    page.goto(f"http://localhost:{PORT}/")
    times.append(time.perf_counter() - began)
    page.get_by_role("link", name=EXAMPLE).or_(page.get_by_role("button", name=EXAMPLE)).first.click()
    times.append(time.perf_counter() - began)
    page.get_by_role("button", name="Plan it").click(timeout=300_000)
    times.append(time.perf_counter() - began)
    page.get_by_role("heading", name="Stroke 1").or_(page.get_by_text("Stroke 1:")).first.wait_for(timeout=300_000)
    page.wait_for_function(
        "() => [...document.images].filter(i => i.src.includes('stroke')).some(i => i.complete && i.naturalWidth)"
    )
    times.append(time.perf_counter() - began)
    return times


def main() -> None:
    """Measure and print."""
    print(f"{'seconds since the command':28}" + "".join(f"{step:>18}" for step in STEPS))
    with sync_playwright() as playwright:
        for number in range(ROUNDS):
            empty = number == 0 and forget_files()
            browser = playwright.chromium.launch(
                executable_path="/usr/bin/chromium", args=["--no-sandbox", "--disable-gpu"]
            )
            with tempfile.TemporaryDirectory() as folder:
                began = time.perf_counter()
                with bench(Path(folder)):
                    times = walk(browser.new_page(), began)
            browser.close()
            name = f"round {number + 1}{', file cache emptied' if empty else ''}"
            print(f"{name:28}" + "".join(f"{one:18.1f}" for one in times), flush=True)
    print(f"aim for the last column: {AIM_S:.0f} s on an idle machine")


if __name__ == "__main__":
    main()
