"""How long does a person wait from the start of the program to the written plan?

The interpreter alone, ``--help``, the blank, and the whole main job for a part of four bends, each in a new process,
one after the other in every round, so that a busy machine is busy for all of them. Before them once the main job where the
installation has compiled nothing.
Run: ``python benchmarks/start_to_plan.py``
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROUNDS = 7
PART = str(Path(__file__).parents[1] / "examples" / "parts" / "instrument_rail.yaml")
JOB = [PART, "--shop", "saltmarsh", "--sheet", "1.97mm"]


def seconds(arguments: list[str], **variables: str) -> float:
    """Wall-clock seconds of one process; it must succeed."""
    start = time.perf_counter()
    subprocess.run([sys.executable, *arguments], check=True, capture_output=True, env={**os.environ, **variables})
    return time.perf_counter() - start


def main() -> None:
    """Print the median and the best of each, and the ratio of its median to that of the interpreter alone."""
    with tempfile.TemporaryDirectory() as folder:
        ways = {
            "python -c pass": ["-c", "pass"],
            "--help": ["-m", "bendwright", "--help"],
            "blank, 4 bends": ["-m", "bendwright", "blank", *JOB],
            "prepare, 4 bends": ["-m", "bendwright", "prepare", *JOB, "--out", folder],
        }
        first = seconds(ways["prepare, 4 bends"], NUMBA_CACHE_DIR=str(Path(folder, "compiled")))
        for arguments in ways.values():
            seconds(arguments)
        times: dict[str, list[float]] = {name: [] for name in ways}
        for _ in range(ROUNDS):
            for name, arguments in ways.items():
                times[name].append(seconds(arguments))
    alone = statistics.median(times["python -c pass"])
    print(f"the first plan where nothing is compiled: {first:.0f} s\n")
    print(f"{ROUNDS} rounds, warm caches, milliseconds\n")
    print(f"{'':20}{'median':>10}{'best':>10}{'x python':>10}")
    for name, values in times.items():
        median = statistics.median(values)
        print(f"{name:20}{1000 * median:10.0f}{1000 * min(values):10.0f}{median / alone:10.1f}")


if __name__ == "__main__":
    main()
