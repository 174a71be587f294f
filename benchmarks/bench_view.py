"""How soon is the film of a plan there, and does it keep up with the hand on the scrubber?

    python benchmarks/bench_view.py [address of a running bench]

Opens the plan page of three parts in Chromium, drawn by the processor (no graphics card): the instrument rail, the cabinet door with eight
bends, and a panel with flanges all round, eighty holes and slots in its base. Needs httpx, playwright and Chromium.

Measured in the page itself. A frame counts when its drawing is over and its pixels have been read back (``readPixels``, which waits for
all drawing) and are not all paper. "Ready" is the time from the beginning of the navigation to the first such frame of the film; cold is
a browser that was never here, warm the same browser the second time. A scrub sets the slider as a hand does (its ``input`` event), in a
task of its own, and the next is set when the frame is there: the milliseconds are from frame to frame, with everything the page does
meanwhile, and so never less than the screen's own 16.7. "Work" is the part of it that the page computes: the event, its layout, and the
drawing. The whole plan once from end to end and back, and every stroke by its own slider. At the end the slider is dragged by real mouse
events. "cpu" is the processor time per frame (per opening: of the browser, and of the bench if it was started here) over all processes
and threads: it hardly moves when the machine is busy with other things.
"""

from __future__ import annotations

import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any

import httpx

API = "/api/v1"
READY_MS, FRAME_MS = 1000.0, 50.0
OPENED = 5
STEPS, IN_STROKE = 240, 24
SCREEN = {"width": 1440, "height": 900}
HEAD = {"part_no": "SM-9001", "revision": "A", "title": "Panel with holes", "material": "DC01", "thickness": "1.5"}
PANEL = {
    "base": {
        "width": 640,
        "depth": 420,
        "holes": {"diameter": 6, "at": [[20 + 60 * i, 20 + 54 * k] for i in range(10) for k in range(7)]},
        "slots": {"length": 24, "width": 6, "axis": 0, "at": [[20 + 60 * i, 405] for i in range(10)]},
    },
    "flanges": [
        {
            "edge": ["front", "back"],
            "leg": 30,
            "direction": "up",
            "flanges": [{"edge": "far", "leg": 14, "direction": "up"}],
        },
        {"edge": ["left", "right"], "leg": 30, "direction": "up"},
    ],
}
WATCH = """(() => {
  const view = (window.view = { first: null, seen: [], waiting: null });
  document.addEventListener('fold-ready', (event) => {
    const { stage } = event.target, drawn = stage.draw.bind(stage), gl = stage.canvas.getContext('webgl2');
    view.fold = event.target;
    stage.draw = () => {
      const began = performance.now();
      drawn();
      const [width, height] = view.first === null ? [gl.drawingBufferWidth, gl.drawingBufferHeight] : [1, 1];
      const pixels = new Uint8Array(4 * width * height);
      gl.readPixels(0, 0, width, height, gl.RGBA, gl.UNSIGNED_BYTE, pixels);
      const now = performance.now();
      if (view.first === null) {
        let inked = 0;
        for (let i = 0; i < pixels.length; i += 4) if (pixels[i] < 250) inked += 1;
        if (inked > 500) Object.assign(view, { first: now, inked, size: [width, height] });
      }
      view.waiting?.({ now, drew: now - began });
    };
  }, { capture: true });
})()"""
SCRUB = """async ([which, steps]) => {
  const slider = document.querySelectorAll('fold-view input[type=range]')[which], most = Number(slider.max), frames = [];
  const there = Array.from({ length: steps }, (_, i) => most * (i + 1) / steps);
  const way = which === 0 ? [...there, ...there.toReversed().slice(1)] : there;
  let before = null;
  for (const value of way) {
    const began = performance.now();
    const frame = new Promise((done) => (view.waiting = done));
    slider.value = String(value);
    slider.dispatchEvent(new Event('input', { bubbles: true }));
    document.body.getBoundingClientRect();
    const handled = performance.now() - began;
    const { now, drew } = await frame;
    if (before !== null) frames.push([now - before, handled + drew]);
    before = now;
    await new Promise((done) => { const line = new MessageChannel(); line.port1.onmessage = done; line.port2.postMessage(0); });
  }
  view.waiting = null;
  return frames;
}"""
DRAWER = """() => {
  const gl = view.fold.stage.canvas.getContext('webgl2');
  return gl.getParameter(gl.getExtension('WEBGL_debug_renderer_info').UNMASKED_RENDERER_WEBGL);
}"""


@contextmanager
def bench(address: str) -> Iterator[str]:
    """The bench that was named, else one of its own for as long as it is needed."""
    if address:
        yield address
        return
    with tempfile.TemporaryDirectory() as data:
        command = [sys.executable, "-u", "-m", "bendwright", "bench", "--no-browser", "--port", "0", "--data", data]
        with subprocess.Popen(command, text=True, stdout=subprocess.PIPE) as running:
            try:
                port = re.search(r":(\d+)/", running.stdout.readline() if running.stdout else "")
                assert port is not None
                time.sleep(2.0)
                yield f"http://localhost:{port[1]}"
            finally:
                running.terminate()


def planned(client: httpx.Client, name: str) -> str:
    """Id of a planned job of an example, or of the panel with holes."""
    while not client.get("/about").json()["ready"]:
        time.sleep(0.2)
    draft = (
        client.post("/parts/panel", json={**HEAD, "panel": PANEL}) if name == "panel" else client.post(f"/demos/{name}")
    )
    job = str(client.post("/jobs", json={"part": draft.json()["part"]}).json()["id"])
    while (state := client.get(f"/jobs/{job}").json()["job"]["state"]) in ("waiting", "running"):
        time.sleep(0.2)
    assert state == "done", (name, state)
    return job


def ready(browser: Any, address: str, *, warm: bool) -> tuple[float, float, dict[str, Any]]:
    """Milliseconds to the first frame of the film, processor time, and what was seen in it."""
    context = browser.new_context(viewport=SCREEN, locale="en")
    context.add_init_script(WATCH)
    for _ in range(2 if warm else 1):
        page, before = context.new_page(), spent_ms()
        page.goto(address, wait_until="commit")
        page.wait_for_function("() => window.view?.first !== null", timeout=60_000)
        cpu = spent_ms() - before
        page.wait_for_load_state("networkidle")
        seen = page.evaluate("() => ({ first: view.first, inked: view.inked, size: view.size })")
    context.close()
    return float(seen["first"]), cpu, seen


@dataclass(frozen=True, slots=True, kw_only=True)
class Scrub:
    """``frames``: milliseconds [from frame to frame, worked]; ``cpu_ms`` of one frame."""

    frames: list[list[float]]
    cpu_ms: float


def counted(scrub: Callable[[], list[list[float]]]) -> Scrub:
    """A scrub with the processor time it took."""
    before = spent_ms()
    frames = scrub()
    return Scrub(frames=frames, cpu_ms=(spent_ms() - before) / len(frames))


def scrubbed(browser: Any, address: str) -> tuple[dict[str, Scrub], str]:
    """Every scrub by its kind, and who draws."""
    page = browser.new_context(viewport=SCREEN, locale="en").new_page()
    page.add_init_script(WATCH)
    page.goto(address)
    page.wait_for_function("() => window.view?.first !== null", timeout=60_000)
    page.wait_for_load_state("networkidle")
    took = {"whole plan": counted(lambda: page.evaluate(SCRUB, [0, STEPS]))}
    count = page.locator("fold-view .fv-ticks rect").count()
    whole = page.locator("fold-view input[type=range]").first
    strokes = []
    for stroke in range(count):
        whole.evaluate(
            "(one, k) => { one.value = String(k); one.dispatchEvent(new Event('input')) }", middle(page, stroke)
        )
        page.wait_for_timeout(300)
        strokes.append(counted(lambda: page.evaluate(SCRUB, [1, IN_STROKE])))
    took["within a stroke"] = Scrub(
        frames=[frame for one in strokes for frame in one.frames],
        cpu_ms=statistics.median(one.cpu_ms for one in strokes),
    )
    took["by the mouse"] = counted(lambda: dragged(page, whole))
    drawer = str(page.evaluate(DRAWER))
    page.context.close()
    return took, drawer


def middle(page: Any, stroke: int) -> float:
    """The second of the film in the middle of a stroke's block."""
    block = page.locator("fold-view .fv-ticks rect").nth(stroke)
    return float(block.get_attribute("x")) + 0.5 * float(block.get_attribute("width"))


def dragged(page: Any, slider: Any) -> list[list[float]]:
    """The slider taken by the mouse and moved as fast as events can be sent: milliseconds from frame to frame."""
    slider.scroll_into_view_if_needed()
    box = slider.bounding_box()
    page.evaluate("() => { view.at = []; view.waiting = (one) => view.at.push([one.now, one.drew]) }")
    y = box["y"] + box["height"] / 2
    page.mouse.move(box["x"] + 8, y)
    page.mouse.down()
    for step in range(STEPS):
        page.mouse.move(box["x"] + 8 + (box["width"] - 16) * step / STEPS, y)
    page.mouse.up()
    at = page.evaluate("() => { view.waiting = null; return view.at }")
    return [[after[0] - before[0], after[1]] for before, after in pairwise(at)]


def spent_ms() -> float:
    """Processor time of all that was started from here, so far."""
    spent, of = {}, {}
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            words = stat.read_text(encoding="utf-8").rpartition(")")[2].split()
        except OSError:
            continue
        one = int(stat.parent.name)
        of[one], spent[one] = int(words[1]), int(words[11]) + int(words[12])
    ours, more = {os.getpid()}, True
    while more:
        grown = ours | {one for one, parent in of.items() if parent in ours}
        ours, more = grown, grown != ours
    return 1e3 * sum(spent[one] for one in ours - {os.getpid()}) / os.sysconf("SC_CLK_TCK")


def told(name: str, times: list[float], limit: float, cpu_ms: float) -> str:
    """One line of the table."""
    row = sorted(times)
    p95 = row[min(len(row) - 1, int(0.95 * len(row)))]
    verdict = "within" if p95 <= limit else "OVER"
    median = statistics.median(row)
    return f"  {name:34} {len(row):5} {median:9.1f} {p95:9.1f} {row[-1]:9.1f} {cpu_ms:9.1f} {limit:9.0f}   {verdict}"


def main() -> None:
    """Measure and print."""
    from playwright.sync_api import sync_playwright

    path = shutil.which("chromium") or shutil.which("chromium-browser")
    with bench(sys.argv[1] if len(sys.argv) > 1 else "") as address, sync_playwright() as driver:
        jobs = {}
        with httpx.Client(base_url=address + API, timeout=300.0, headers={"Origin": address}) as client:
            for name in ("instrument_rail", "cabinet_door", "panel"):
                jobs[name] = planned(client, name)
        browser = driver.chromium.launch(
            executable_path=path, args=["--no-sandbox", "--disable-gpu", "--enable-unsafe-swiftshader"]
        )
        print(f"load of the machine before: {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors; milliseconds")
        print(f"  {'':34} {'count':>5} {'median':>9} {'95 %':>9} {'worst':>9} {'cpu':>9} {'limit':>9}")
        for name, job in jobs.items():
            page = f"{address}/plan/{job}"
            for warm in (False, True):
                seen = [ready(browser, page, warm=warm) for _ in range(OPENED)]
                cpu = statistics.median(one[1] for one in seen)
                title = f"{name}: ready, {'warm' if warm else 'cold'}"
                print(told(title, [one[0] for one in seen], READY_MS, cpu), flush=True)
            took, drawer = scrubbed(browser, page)
            for kind, scrub in took.items():
                print(told(f"{name}: {kind}", [one[0] for one in scrub.frames], FRAME_MS, scrub.cpu_ms), flush=True)
            work = [one[1] for kind in ("whole plan", "within a stroke") for one in took[kind].frames]
            print(told(f"{name}: work of a frame", work, FRAME_MS, took["whole plan"].cpu_ms))
            size = " x ".join(map(str, seen[-1][2]["size"]))
            print(f"    first frame {size} pixels, {seen[-1][2]['inked']} of them inked; drawn by {drawer}")
        browser.close()


if __name__ == "__main__":
    main()
