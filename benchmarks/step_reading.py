"""How long does it take to read a STEP file into a part, beside the CAD kernel's own reading of the same file?

For every file: the kernel's read and transfer alone; ``read_step_here`` in this process (which contains such a read); a process
of its own that loads the kernel, reads and transfers; and ``read_step``, the guarded way, which starts such a process too.
Best of several, all in one run, so that a busy machine spoils both sides alike; the ratios are what counts (aim: 2 at most,
over all files). Files: bent sheets of tests/cad_solids, and the collection of real parts where it lies beside the project.
Run: ``python benchmarks/step_reading.py [--rounds 3] [--kernel-only FILE]``
"""

from __future__ import annotations

import argparse
import csv
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from tempfile import TemporaryDirectory

ROOT = Path(__file__).parents[1]
if __name__ == "__main__" and sys.argv[1:2] == ["--kernel-only"]:
    from OCP.STEPControl import STEPControl_Reader

    # what any process that reads the file must do; nothing else is loaded
    READER = STEPControl_Reader()
    READER.ReadFile(sys.argv[2])
    READER.TransferRoots()
    READER.OneShape()
    sys.exit()
sys.path.insert(0, str(ROOT / "tests" / "cad_solids"))

from known_parts import CATALOGUE, hole_grid  # noqa: E402
from step_files import kernel_read, write_step  # noqa: E402

from bendwright.drawing.step.read_step import read_step, read_step_here  # noqa: E402
from bendwright.findings import PartFileError  # noqa: E402
from bendwright.part.model import Header  # noqa: E402

HEADER = Header(part_no="SM-100", revision="A")
REAL = ROOT.parent / "shared" / "parts"
MADE = ("angle", "hat", "lidded_tray", "tapered_flanges", "openings_of_all_kinds", "split_bend_line")
AIM = 2.0


def best_s(work: Callable[[], object], rounds: int) -> float:
    """Least seconds of several runs; a file that is refused is read to the end all the same."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        with suppress(PartFileError):
            work()
        times.append(time.perf_counter() - start)
    return min(times)


def files(folder: Path) -> list[Path]:
    """The made ones, written now, and the good real ones."""
    made = [write_step(folder / f"{name}.step", CATALOGUE[name]().solid) for name in MADE]
    made.append(write_step(folder / "500_holes.step", hole_grid(25, 20).solid))
    if not (REAL / "index.csv").exists():
        return made
    rows = csv.DictReader((REAL / "index.csv").read_text(encoding="utf-8").splitlines())
    return made + [REAL / row["file"] for row in rows if "good" in row["kind"]]


def line(path: Path, rounds: int) -> tuple[float, float, float, float]:
    """Seconds of the four ways for one file, printed."""
    kernel = best_s(lambda: kernel_read(path), rounds)
    here = best_s(lambda: read_step_here(path, header=HEADER), rounds)
    own = [sys.executable, __file__, "--kernel-only", str(path)]
    alone = best_s(lambda: subprocess.run(own, check=True, capture_output=True), max(1, rounds - 1))
    guarded = best_s(lambda: read_step(path, header=HEADER), max(1, rounds - 1))
    print(
        f"{path.stem[:44]:46}{path.stat().st_size / 1024:8.0f}{1e3 * kernel:10.1f}{1e3 * here:10.1f}{here / kernel:8.2f}"
        f"{1e3 * alone:10.0f}{1e3 * guarded:10.0f}{guarded / alone:8.2f}",
        flush=True,
    )
    return kernel, here, alone, guarded


def main() -> None:
    """One line a file, then the sums and whether the aim is met."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=3)
    rounds = parser.parse_args().rounds
    print(f"best of {rounds}, milliseconds")
    print(f"{'':46}{'kB':>8}{'kernel':>10}{'here':>10}{'ratio':>8}{'alone':>10}{'guarded':>10}{'ratio':>8}")
    with TemporaryDirectory() as folder:
        rows = [line(path, rounds) for path in files(Path(folder))]
    kernel, here, alone, guarded = (sum(column) for column in zip(*rows, strict=True))
    print(
        f"{'all':46}{'':8}{1e3 * kernel:10.0f}{1e3 * here:10.0f}{here / kernel:8.2f}"
        f"{1e3 * alone:10.0f}{1e3 * guarded:10.0f}{guarded / alone:8.2f}"
    )
    over = sum(row[1] > AIM * row[0] for row in rows)
    print(
        f"aim {AIM:g}: {'met' if here <= AIM * kernel and guarded <= AIM * alone else 'missed'}; {over} files above it"
    )


if __name__ == "__main__":
    main()
