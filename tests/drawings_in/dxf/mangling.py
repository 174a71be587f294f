"""DXF files mangled in every way a disk, a mail or a bad program mangles them; each may give findings, never anything else.

By hand, for thousands of runs from a first seed on: ``python tests/drawings_in/dxf/mangling.py 0 2000 FILE ...``.
"""

from __future__ import annotations

import random
import re
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import Path

from bendwright.drawing.dxf.choices import DxfChoices
from bendwright.drawing.dxf.read_flat import read_dxf_flat
from bendwright.drawing.dxf.read_section import read_dxf_section
from bendwright.findings import InputError
from bendwright.part.model import Header

HEADER = Header(part_no="SM-77", revision="A", thickness_mm=2.0)
WILD = ("1e308", "-1e308", "nan", "inf", "1e7", "9999999", "0", "-1", "1e-300", "", "x", "2147483648", "0.0001", "360")
Mangle = Callable[[random.Random, bytes], bytes]


def flipped(rng: random.Random, data: bytes) -> bytes:
    """A few bytes changed."""
    out = bytearray(data)
    for _ in range(rng.choice((1, 3, 30))):
        out[rng.randrange(len(out))] = rng.randrange(256)
    return bytes(out)


def cut(rng: random.Random, data: bytes) -> bytes:
    """The end missing."""
    return data[: rng.randrange(1, len(data))]


def holed(rng: random.Random, data: bytes) -> bytes:
    """A stretch missing."""
    start = rng.randrange(len(data))
    return data[:start] + data[start + rng.choice((1, 20, 2000)) :]


def swapped(rng: random.Random, data: bytes) -> bytes:
    """Lines in other places."""
    lines = data.split(b"\n")
    for _ in range(rng.choice((1, 5, 50))):
        i, j = rng.randrange(len(lines)), rng.randrange(len(lines))
        lines[i], lines[j] = lines[j], lines[i]
    return b"\n".join(lines)


def repeated(rng: random.Random, data: bytes) -> bytes:
    """A stretch of lines twice or many times."""
    lines = data.split(b"\n")
    i = rng.randrange(len(lines))
    return b"\n".join(lines[:i] + lines[i : i + rng.choice((2, 20, 200))] * rng.choice((2, 20)) + lines[i:])


def blown_up(rng: random.Random, data: bytes) -> bytes:
    """Numbers that no drawing holds."""
    share = rng.choice((0.001, 0.01, 0.1))

    def other(match: re.Match[bytes]) -> bytes:
        return rng.choice(WILD).encode() if rng.random() < share else match[0]

    return re.sub(rb"(?<=\n)\s*-?\d+(\.\d+)?(?=\r?\n)", other, data)


def nudged(rng: random.Random, data: bytes) -> bytes:
    """Coordinates a little or far off, so that contours open and cross."""
    share, far = rng.choice((0.01, 0.1, 0.5)), rng.choice((1e-3, 0.04, 1.0, 300.0))

    def other(match: re.Match[bytes]) -> bytes:
        return f"{float(match[0]) + rng.gauss(0.0, far):.6f}".encode() if rng.random() < share else match[0]

    return re.sub(rb"(?<=\n)\s*-?\d+\.\d+(?=\r?\n)", other, data)


MANGLES: tuple[Mangle, ...] = (flipped, cut, holed, swapped, repeated, blown_up, nudged)


def read_mangled(path: Path, *, section: bool = False) -> str:
    """What came of reading: ``part`` or the code of the first error; anything but findings is raised on."""
    choices = DxfChoices(default_turned_deg=90.0, default_direction="up", length_mm=100.0)
    try:
        (read_dxf_section if section else read_dxf_flat)(path, header=HEADER, choices=choices)
    except InputError as error:
        return next(item.code for item in error.findings if item.severity == "error")
    return "part"


def main(first: int, count: int, files: Sequence[Path]) -> None:
    """Mangle and read, ``count`` times; prints outcomes and the slowest."""
    outcomes: Counter[str] = Counter()
    slowest = (0.0, "")
    with tempfile.TemporaryDirectory() as folder:
        for seed in range(first, first + count):
            rng = random.Random(seed)
            source = files[seed % len(files)]
            mangle = rng.choice(MANGLES)
            path = Path(folder) / "mangled.dxf"
            path.write_bytes(mangle(rng, source.read_bytes()))
            start = time.perf_counter()
            try:
                outcomes[f"{mangle.__name__} {read_mangled(path, section=seed % 5 == 0)}"] += 1
            except Exception as error:
                sys.stdout.write(f"seed {seed} {source.name} {mangle.__name__}: {error!r}\n")
                outcomes["CRASH"] += 1
            slowest = max(slowest, (time.perf_counter() - start, f"seed {seed} {source.name} {mangle.__name__}"))
    for outcome, times in sorted(outcomes.items()):
        sys.stdout.write(f"{times:6d} {outcome}\n")
    sys.stdout.write(f"slowest {slowest[0]:.2f} s, {slowest[1]}\n")


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]), [Path(name) for name in sys.argv[3:]])
