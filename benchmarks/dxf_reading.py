"""How long does it take from a DXF file to a part, beside what the DXF library alone takes to load the same file?

Every file is read both ways in turn in every round, so that a busy machine is busy for both. "to the sheet" is the way to outline
and holes, "to the part" the whole way with bends, blank laid again and check. Files: plates drawn here with more and more
holes, and the collection of real parts where it lies beside the project.
Run: ``python benchmarks/dxf_reading.py``
"""

from __future__ import annotations

import math
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import ezdxf

from bendwright.drawing.dxf.choices import DxfChoices
from bendwright.drawing.dxf.read_flat import flat_size, read_dxf_flat
from bendwright.findings import InputError
from bendwright.part.model import Header

ROUNDS = 5
HOLES = (0, 30, 300, 3000)
REAL = Path(__file__).parents[2] / "shared" / "parts" / "files"
HEADER = Header(part_no="SM-1", revision="A")
CHOICES = DxfChoices(default_turned_deg=90.0, default_direction="up", thickness_mm=1.5, outline=1)


def plate(holes: int, path: Path) -> Path:
    """A plate of loose lines with rounded corners, two bends and that many holes, every third a slot."""
    drawing = ezdxf.new(units=4)
    space = drawing.modelspace()
    width, height, r = 400.0, 300.0, 10.0
    space.add_line((r, 0), (width - r, 0))
    space.add_line((width, r), (width, height - r))
    space.add_line((width - r, height), (r, height))
    space.add_line((0, height - r), (0, r))
    for x, y, start in ((width - r, height - r, 0), (r, height - r, 90), (r, r, 180), (width - r, r, 270)):
        space.add_arc((x, y), r, start, start + 90)
    side = max(1, math.ceil(math.sqrt(holes)))
    pitch = 200.0 / side
    for n in range(holes):
        x, y = 100.0 + pitch * (n % side), 50.0 + pitch * (n // side)
        if n % 3:
            space.add_circle((x, y), 0.3 * pitch)
        else:
            half, radius = 0.2 * pitch, 0.15 * pitch
            corners = [
                (x - half, y - radius, 0),
                (x + half, y - radius, 1),
                (x + half, y + radius, 0),
                (x - half, y + radius, 1),
            ]
            space.add_lwpolyline(corners, format="xyb", close=True)
    for y in (40.0, height - 40.0):
        space.add_line((0, y), (width, y), dxfattribs={"layer": "BEND"})
    drawing.saveas(path)
    return path


def files(folder: Path) -> Iterator[tuple[str, list[Path]]]:
    """Names of groups and their files."""
    for holes in HOLES:
        yield f"plate, {holes} holes", [plate(holes, folder / f"{holes}.dxf")]
    if REAL.is_dir():
        yield "real parts", sorted(path for path in REAL.rglob("*") if path.suffix.lower() == ".dxf")


def seconds(work: Callable[[Path], object], paths: list[Path]) -> float:
    """Wall-clock seconds for all of the files."""
    start = time.perf_counter()
    for path in paths:
        try:
            work(path)
        except InputError:
            continue
    return time.perf_counter() - start


def main() -> None:
    """Print the medians and the ratios to loading alone."""
    ways: dict[str, Callable[[Path], object]] = {
        "loaded": ezdxf.readfile,
        "to the sheet": lambda path: flat_size(path, choices=CHOICES),
        "to the part": lambda path: read_dxf_flat(path, header=HEADER, choices=CHOICES),
    }
    sys.stdout.write(f"{'':20}{'files':>6}{'MB':>7}" + "".join(f"{way:>16}{'ratio':>7}" for way in ways) + "\n")
    with tempfile.TemporaryDirectory() as folder:
        for name, paths in files(Path(folder)):
            times: dict[str, list[float]] = {way: [] for way in ways}
            for _ in range(ROUNDS):
                for way, work in ways.items():
                    times[way].append(seconds(work, paths))
            median = {way: statistics.median(row) for way, row in times.items()}
            size = sum(path.stat().st_size for path in paths) / 1e6
            cells = "".join(f"{1e3 * median[way]:13.1f} ms{median[way] / median['loaded']:7.2f}" for way in ways)
            sys.stdout.write(f"{name:20}{len(paths):6}{size:7.2f}{cells}\n")


if __name__ == "__main__":
    main()
