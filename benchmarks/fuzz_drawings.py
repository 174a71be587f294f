"""Mangled drawings by the thousand: does each give a part or a finding, and nothing else, in bounded time?

STEP and DXF files, made here and (where the collection of real parts lies beside the project) drawn by strangers, are mangled:
bytes flipped, lines lost, doubled, swapped, numbers blown up or made NaN, references turned elsewhere, keywords exchanged,
pieces cut out, cut off. Each is read; what reads as a part is laid flat too. Outcomes: a part, a finding
(``PartFileError``), or anything else: another exception, a part with numbers that are none, a crash, a hang.

Files are read by a forked process that has everything loaded, many in a row. Where that process dies, takes too long or raises
anything else, the guarded way a user takes (``read_step``, ``read_dxf_flat``: a fresh process with limits) is asked about the
same file and must answer. Mangled files that gave anything else are kept in ``--keep``.
Run: ``python benchmarks/fuzz_drawings.py --runs 2000 --kind step --seed 1``; the exit code is 1 if there was anything else.
"""

from __future__ import annotations

import argparse
import math
import multiprocessing
import os
import random
import resource
import shutil
import signal
import sys
import time
from collections import Counter
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path
from tempfile import TemporaryDirectory

ROOT = Path(__file__).parents[1]
sys.path[:0] = [str(ROOT / "tests" / "cad_solids"), str(ROOT / "benchmarks")]

from drawing_mangler import mangled  # noqa: E402

from bendwright.drawing.reading import Reading, ReadLimits  # noqa: E402
from bendwright.findings import BendwrightError, PartFileError  # noqa: E402
from bendwright.part.model import Header  # noqa: E402

HEADER = Header(part_no="SM-100", revision="A", thickness_mm=2.0)
REAL = ROOT.parent / "shared" / "parts" / "files"
LARGEST_BYTES = 400_000
BATCH, PATIENCE_S = 25, 6.0
LIMITS = ReadLimits(seconds=6.0, memory_mb=4096)
STEPS = (
    "angle",
    "hat",
    "closed_hem",
    "lidded_tray",
    "tabs",
    "split_bend_line",
    "hole_in_the_bend",
    "openings_of_all_kinds",
)


@dataclass(frozen=True)
class Outcome:
    """What one mangled file gave: part, finding or anything else in words, and the seconds it took."""

    kind: str
    words: str
    seconds: float


def read(kind: str, path: Path, *, guarded: bool) -> Reading:
    """Read a drawing, the guarded way or in this process."""
    if kind == "dxf":
        from bendwright.drawing.dxf.choices import DxfChoices
        from bendwright.drawing.dxf.read_flat import read_dxf_flat

        if guarded:
            return read_dxf_flat(path, header=HEADER, choices=DxfChoices(limits=LIMITS, apart_from_mb=0.0))
        return read_dxf_flat(path, header=HEADER)
    from bendwright.drawing.step.read_step import read_step, read_step_here

    return read_step(path, header=HEADER, limits=LIMITS) if guarded else read_step_here(path, header=HEADER)


def judged(kind: str, path: Path, *, guarded: bool = False) -> Outcome:
    """Read one file and say what came."""
    start = time.perf_counter()
    try:
        trouble = unsound(read(kind, path, guarded=guarded))
        words, came = trouble, "else" if trouble else "part"
    except PartFileError as refused:
        words, came = refused.findings[0].code if refused.findings else "no finding", "finding"
        came = came if refused.findings else "else"
    except Exception as error:
        words, came = f"{type(error).__name__}: {error}"[:300].replace("\n", " "), "else"
    return Outcome(came, words, time.perf_counter() - start)


def unsound(reading: Reading) -> str:
    """What is wrong with a part that was read; nothing when its numbers are numbers and it lays flat or says why not."""
    from bendwright.part.bend_size import fixed_size
    from bendwright.part.blank import make_blank

    part, t = reading.part, reading.part.header.thickness_mm
    numbers = [x for flange in part.flanges for point in flange.outline for x in point]
    numbers += [
        x for bend in part.bends for x in (*bend.start, *bend.end, bend.turned_deg, bend.drawn_radius_mm or 0.0)
    ]
    if t is None or not all(map(math.isfinite, (t, *numbers))) or t <= 0.0:
        return "numbers that are none"
    try:
        radii = {bend.id: max(0.0, bend.drawn_radius_mm or t) for bend in part.bends}
        sizes = {b.id: fixed_size(b, inside_radius_mm=radii[b.id], k_factor=0.44, thickness_mm=t) for b in part.bends}
        blank = make_blank(part, sizes, thickness_mm=t)
    except BendwrightError:
        return ""
    except Exception as error:
        return f"laid flat: {type(error).__name__}: {error}"[:300]
    return "" if math.isfinite(blank.area_mm2) else "a blank without an area"


def batch(kind: str, paths: list[Path]) -> list[Outcome]:
    """Outcomes of several files; one that does not end well in a process for many is asked about the guarded way."""
    out: list[Outcome] = []
    while len(out) < len(paths):
        left = paths[len(out) :]
        done, how = forked(kind, left, guarded=False, patience_s=PATIENCE_S)
        out += done
        if len(done) < len(left):
            out.append(_asked_again(kind, left[len(done)], how))
    return [
        _asked_again(kind, path, one.words) if one.kind == "else" else one for path, one in zip(paths, out, strict=True)
    ]


def forked(kind: str, paths: list[Path], *, guarded: bool, patience_s: float) -> tuple[list[Outcome], str]:
    """Outcomes of the files a forked process gets through, and how it ended before the last (crash or hang)."""
    mine, theirs = multiprocessing.Pipe(duplex=False)
    child = os.fork()
    if child == 0:
        _work(kind, paths, theirs, guarded)
    theirs.close()
    out: list[Outcome] = []
    while len(out) < len(paths) and mine.poll(patience_s):
        try:
            out.append(mine.recv())
        except EOFError:
            break
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    mine.close()
    died = not os.WIFSIGNALED(status) or os.WTERMSIG(status) != signal.SIGKILL
    return out, "crash" if died else "hang"


def _work(kind: str, paths: list[Path], theirs: Connection, guarded: bool) -> None:
    """In the forked process: one outcome after the other into the pipe; the kernel's own words go nowhere."""
    if not guarded:
        size = LIMITS.memory_mb * 1024 * 1024
        resource.setrlimit(resource.RLIMIT_AS, (size, size))
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)
    for path in paths:
        theirs.send(judged(kind, path, guarded=guarded))
    os._exit(0)


def _asked_again(kind: str, path: Path, what: str) -> Outcome:
    """The guarded way's answer; none within its limits and some seconds is anything else."""
    done, how = forked(kind, [path], guarded=True, patience_s=LIMITS.seconds + 10.0)
    if not done:
        return Outcome("else", f"{how} of the guarded way; unguarded: {what}", LIMITS.seconds + 10.0)
    return Outcome(done[0].kind, f"{done[0].words} (guarded; unguarded: {what})", done[0].seconds)


def sources(kind: str, folder: Path) -> list[bytes]:
    """Sound files to mangle: made here, and those of the collection that are not too big."""
    if kind == "step":
        from known_parts import CATALOGUE
        from step_files import write_step

        made = [write_step(folder / f"{name}.step", CATALOGUE[name]().solid).read_bytes() for name in STEPS]
        endings = {".step", ".stp"}
    else:
        from flat_drawings import flat_drawings

        made = [path.read_bytes() for path in flat_drawings(folder)]
        endings = {".dxf"}
    real = [path for path in sorted(REAL.rglob("*")) if path.suffix.lower() in endings] if REAL.exists() else []
    return made + [path.read_bytes() for path in real if path.stat().st_size < LARGEST_BYTES]


def fuzz(kind: str, runs: int, seed: int, keep: Path) -> bool:
    """Mangle and read ``runs`` files; prints the counts; True when every one gave a part or a finding."""
    chance = random.Random(f"{kind} {seed}")
    counts: Counter[str] = Counter()
    codes: Counter[str] = Counter()
    longest = Outcome("part", "", 0.0)
    with TemporaryDirectory() as place:
        folder = Path(place)
        sound = sources(kind, folder)
        read_first = judged(kind, _written(folder / f"first.{kind}", sound[0]))
        assert read_first.kind == "part", read_first
        for first in range(0, runs, BATCH):
            paths = [
                _written(folder / f"{number}.{kind}", mangled(kind, chance.choice(sound), chance))
                for number in range(first, min(runs, first + BATCH))
            ]
            for path, outcome in zip(paths, batch(kind, paths), strict=True):
                counts[outcome.kind] += 1
                codes[outcome.words if outcome.kind != "else" else "anything else"] += 1
                longest = max(longest, outcome, key=lambda one: one.seconds)
                if outcome.kind == "else":
                    keep.mkdir(parents=True, exist_ok=True)
                    shutil.copy(path, keep / f"{kind}-{seed}-{path.name}")
                    print(f"  {keep / f'{kind}-{seed}-{path.name}'}: {outcome.words}", flush=True)
                path.unlink()
    print(
        f"{kind}: {runs} mangled files, seed {seed}: {counts['part']} parts, {counts['finding']} findings, "
        f"{counts['else']} anything else; longest {longest.seconds:.1f} s ({longest.kind} {longest.words})"
    )
    print("  " + ", ".join(f"{words or 'part'} {count}" for words, count in codes.most_common(12)))
    return counts["else"] == 0


def _written(path: Path, content: bytes) -> Path:
    path.write_bytes(content)
    return path


def main() -> int:
    """Both kinds, or the one asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=2000)
    parser.add_argument("--kind", choices=["step", "dxf"])
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--keep", type=Path, default=Path("out") / "fuzz")
    asked = parser.parse_args()
    kinds = [asked.kind] if asked.kind else ["step", "dxf"]
    clean = [fuzz(kind, asked.runs, asked.seed, asked.keep) for kind in kinds]
    return 0 if all(clean) else 1


if __name__ == "__main__":
    sys.exit(main())
