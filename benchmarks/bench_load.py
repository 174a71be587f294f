"""How does the bench bear a whole shop at once, and how soon is a page there?

Fifty clients, each a thread with its own connection, load pages, look at plans and strokes, open the floor and send readings, all at once,
against one running bench; the clients compute on the same processors. Then Chromium opens the first pages cold.
Run: ``python benchmarks/bench_load.py`` (needs httpx; playwright and Chromium for the second part)
"""

from __future__ import annotations

import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections import defaultdict
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from uuid import uuid4

import httpx

CLIENTS, ROUNDS = 50, 3
API = "/api/v1"
PROFILE = {
    "profile": "15 u90 40 u90 80 u90 40 u90 15 x 1200",
    "part_no": "SI-4410",
    "revision": "B",
    "material": "S235",
    "thickness": "2 mm",
}
LIMIT_BYTES = 250_000
FIRST_PAGES = ("/", "/floor/{job}")


def planned(address: str) -> str:
    """Id of a planned job."""
    with httpx.Client(base_url=address + API, timeout=180.0) as client:
        while not client.get("/about").json()["ready"]:
            time.sleep(0.2)
        part = client.post("/parts/typed", json=PROFILE).json()["part"]
        job = str(client.post("/jobs", json={"part": part}).json()["id"])
        while client.get(f"/jobs/{job}").json()["job"]["state"] != "done":
            time.sleep(0.2)
    return job


def one_client(address: str, job: str, bend: str) -> dict[str, list[float]]:
    """Milliseconds of every request of one client by what was asked; a failed one is listed under "error"."""
    took: dict[str, list[float]] = defaultdict(list)
    asked = {
        "page": ("GET", "/"),
        "jobs": ("GET", f"{API}/jobs"),
        "plan": ("GET", f"{API}/jobs/{job}/plan"),
        "stroke": ("GET", f"{API}/jobs/{job}/strokes/1"),
        "picture": ("GET", f"{API}/jobs/{job}/pictures/section-1"),
        "floor": ("GET", f"{API}/jobs/{job}/floor"),
    }
    with httpx.Client(base_url=address, timeout=120.0) as client:
        for _ in range(ROUNDS):
            for name, (method, path) in asked.items():
                begin = time.perf_counter()
                answer = client.request(method, path)
                took[name if answer.is_success else "error"].append(1e3 * (time.perf_counter() - begin))
            angles = [{"bend": bend, "left": "90.1", "centre": "90.2", "right": "90.1"}]
            words = {"stroke": 1, "bends": angles, "taken_at": "2026-03-02T09:00:00Z"}
            begin = time.perf_counter()
            answer = client.put(f"{API}/jobs/{job}/readings/{uuid4()}", json=words)
            took["reading" if answer.is_success else "error"].append(1e3 * (time.perf_counter() - begin))
    return took


def crowd(address: str, job: str) -> None:
    """All clients at once: median and 95th percentile of each kind of request."""
    bend = httpx.get(f"{address}{API}/jobs/{job}/floor").json()["strokes"][0]["read_angles"][0]
    begin = time.perf_counter()
    with ThreadPoolExecutor(CLIENTS) as pool:
        all_took = list(pool.map(lambda _: one_client(address, job, bend), range(CLIENTS)))
    whole = time.perf_counter() - begin
    kinds = sorted({kind for took in all_took for kind in took} - {"error"})
    errors = sum(len(took["error"]) for took in all_took)
    count = sum(len(times) for took in all_took for times in took.values())
    print(
        f"{CLIENTS} clients at once, {count} requests in {whole:.1f} s, {count / whole:.0f} a second, {errors} errors"
    )
    for kind in kinds:
        times = sorted(one for took in all_took for one in took[kind])
        print(f"  {kind:8} median {statistics.median(times):6.0f} ms   95 %: {times[int(0.95 * len(times))]:6.0f} ms")
    kept = len(httpx.get(f"{address}{API}/jobs/{job}/readings").json())
    print(f"  readings kept: {kept} of {CLIENTS * ROUNDS} sent")


def memory(process: int) -> None:
    """Resident memory of the server and of the processes that work for it."""
    children = Path(f"/proc/{process}/task/{process}/children").read_text(encoding="ascii").split()
    for name, ids in (("server", [str(process)]), ("its processes", children)):
        pages = [re.search(r"VmRSS:\s+(\d+)", Path(f"/proc/{one}/status").read_text(encoding="utf-8")) for one in ids]
        print(f"  memory of {name}: " + ", ".join(f"{int(one[1]) // 1024} MB" for one in pages if one))


def first_pages(address: str, job: str) -> None:
    """Bytes over the line and time until the page can be used, with nothing kept in the browser."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        for path in FIRST_PAGES:
            times, sizes = [], []
            for _ in range(3):
                page = browser.new_context().new_page()
                page.goto(address + path.format(job=job), wait_until="commit")
                page.wait_for_selector("main h1, main button")
                times.append(float(page.evaluate("performance.now()")))
                page.wait_for_load_state("networkidle")
                loads = "[...performance.getEntriesByType('resource'), ...performance.getEntriesByType('navigation')]"
                files = f"{loads}.filter(one => !one.name.includes('/api/')).reduce((sum, one) => sum + one.encodedBodySize, 0)"
                sizes.append(int(page.evaluate(files)))
                page.context.close()
            verdict = "within" if max(sizes) <= LIMIT_BYTES else "OVER"
            print(
                f"  first load of {path}: {max(sizes) / 1000:.0f} kB packed ({verdict} 250 kB), "
                f"usable after {statistics.median(times):.0f} ms"
            )
        browser.close()


def main() -> None:
    """Start a bench, crowd it, then open its first pages."""
    with tempfile.TemporaryDirectory() as data:
        command = [sys.executable, "-u", "-m", "bendwright", "bench", "--no-browser", "--port", "0", "--data", data]
        with subprocess.Popen(command, text=True, stdout=subprocess.PIPE) as bench:
            assert bench.stdout is not None
            try:
                port = re.search(r":(\d+)/", bench.stdout.readline())
                assert port is not None
                address = f"http://localhost:{port[1]}"
                time.sleep(2.0)
                job = planned(address)
                crowd(address, job)
                memory(bench.pid)
                first_pages(address, job)
            finally:
                bench.terminate()


if __name__ == "__main__":
    main()
