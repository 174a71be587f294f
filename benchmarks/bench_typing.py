"""From a key typed to numbers on the page: a part of eight bends, the requests included, as the page asks.

    python benchmarks/bench_typing.py

Prints the median of twenty keys, wall time and the processor time of the process that answers; and of the full look that follows
when typing rests. The aim is 150 ms on an idle machine.
"""

from __future__ import annotations

import json
import statistics
import tempfile
import time
import warnings
from pathlib import Path
from typing import Any

from bendwright.bench.app import create_app
from bendwright.bench.settings import BenchSettings
from bendwright.bench.tasks.look import look
from bendwright.bench.tasks.panel import read_panel

API = "/api/v1"
KEYS, LOOKS = 20, 5
AIM_MS = 150.0


def door(panel: dict[str, Any], leg: float) -> dict[str, Any]:
    """The panel with another leg at its front and back, as a key typed would leave it."""
    changed: dict[str, Any] = json.loads(json.dumps(panel))
    changed["flanges"][0]["leg"] = f"{leg:.1f}"
    return changed


def main() -> None:
    """Measure and print."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from fastapi.testclient import TestClient
    with tempfile.TemporaryDirectory() as folder:
        app = create_app(BenchSettings(data=Path(folder)))
        with TestClient(app, base_url="http://localhost:4117") as client:
            while not client.get(f"{API}/about").json()["ready"]:
                time.sleep(0.5)
            draft = client.post(f"{API}/demos/cabinet_door").json()
            words = {"part_no": "T", "revision": "A", "material": draft["material"], "thickness": "1.5 mm"}
            full, tools = [], None
            for _ in range(LOOKS):
                began = time.perf_counter()
                tools = client.post(f"{API}/parts/look", json={"part": draft["part"]}).json()["tools"]
                full.append(time.perf_counter() - began)
            keys = []
            for number in range(KEYS):
                began = time.perf_counter()
                typed = client.post(
                    f"{API}/parts/panel", json={**words, "panel": door(draft["panel"], 25 + 0.1 * number)}
                )
                seen = client.post(
                    f"{API}/parts/look", json={"part": typed.json()["part"], "quick": True, "tools": tools}
                )
                assert len(seen.json()["bends"]) == 8
                keys.append(time.perf_counter() - began)
    print(
        f"key to numbers, both requests: median {1e3 * statistics.median(keys):.0f} ms of {KEYS} (aim {AIM_MS:.0f} ms)"
    )
    print(f"full look when typing rests:   median {1e3 * statistics.median(full):.0f} ms of {LOOKS}")
    print(f"processor time of the work behind a key: median {1e3 * processor_s(draft, words, tools):.0f} ms")


def processor_s(draft: dict[str, Any], words: dict[str, Any], tools: dict[str, Any] | None) -> float:
    """Median processor seconds of reading and looking, whatever else the machine does meanwhile."""
    sheet = dict.fromkeys(("material", "thickness", "tensile", "film", "grain", "batch")) | {"readings": []}
    spent = []
    for number in range(KEYS):
        panel = door(draft["panel"], 25 + 0.1 * number)
        began = time.process_time()
        part = read_panel({**words, "unit": "mm", "shop": "saltmarsh", "panel": panel}, lambda said: None).part
        look(
            {"part": part, "sheet": sheet, "shop": "saltmarsh", "wishes": {}, "quick": True, "tools": tools},
            lambda said: None,
        )
        spent.append(time.process_time() - began)
    return statistics.median(spent)


if __name__ == "__main__":
    main()
