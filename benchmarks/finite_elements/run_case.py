"""Air bends by finite elements: bend a sheet with CalculiX, let it spring back at every depth, print what came out.

Run: ``python benchmarks/finite_elements/run_case.py CASE [CASE ...]`` (names: without arguments).
``--through N`` sets the elements through the thickness, ``--bends FILE`` and ``--times FILE`` keep rows in CSV files,
``--folder DIR`` keeps the solver's files.
"""

from __future__ import annotations

import argparse
import csv
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable
from pathlib import Path

from cases import CASES, Case
from deck import write_deck, write_release
from measures import Shape, shape
from printed import displacements, punch_forces
from sheet_mesh import ELEMENTS_THROUGH, SheetMesh, sheet_mesh

SHARES_LET_OFF_FIRST = (1.0, 0.5, 1.5, 0.25, 0.0)
"""Ways to begin a release, tried until one converges."""
Row = dict[str, str | float]


class SolverFailedError(RuntimeError):
    """The solver stopped before the end of its input."""


def solver() -> str:
    """Path of the CalculiX program, or a message that says what is missing."""
    found = shutil.which("ccx")
    if found is None:
        sys.exit(
            "ccx is missing: these bends are computed by CalculiX, a free finite-element program that is not part of "
            "this project. Install it (Debian: calculix-ccx) and see that `ccx` is on the PATH."
        )
    return found


def solve(folder: Path, job: str) -> float:
    """Run one input on one core; wall-clock seconds. Raises ``SolverFailedError`` with the solver's last words."""
    start = time.perf_counter()
    done = subprocess.run(
        [solver(), job], cwd=folder, env={**os.environ, "OMP_NUM_THREADS": "1"}, capture_output=True, text=True
    )
    if done.returncode or "*ERROR" in done.stdout:
        raise SolverFailedError(done.stdout[-600:])
    return time.perf_counter() - start


def release(folder: Path, case: Case, mesh: SheetMesh, step: int) -> tuple[Shape, float]:
    """Shape without tools after a step, and the seconds it took."""
    job = f"release{step}"
    start = time.perf_counter()
    for share in SHARES_LET_OFF_FIRST:
        (folder / f"{job}.rin").symlink_to((folder / "bend.rout").resolve())
        with (folder / f"{job}.inp").open("w", encoding="ascii") as out:
            write_release(out, case, step, share)
        try:
            solve(folder, job)
        except SolverFailedError:
            continue
        finally:
            (folder / f"{job}.rin").unlink()
        moved = mesh.nodes + list(displacements(folder / f"{job}.dat").values())[-1]
        return shape(mesh, case, moved), time.perf_counter() - start
    raise SolverFailedError(f"{case.name}: no release from {case.depths_mm[step - 1]} mm converged")


def row(case: Case, through: int, depth: float, force: float, loaded: Shape, relaxed: Shape) -> Row:
    """One line of the table of bends; everything but force and loaded angle is measured on the relaxed sheet."""
    return {
        "case": case.name,
        "material": case.material.name,
        **case.columns(),
        **case.material.columns(case.friction),
        "depth_mm": depth,
        "force_N_per_mm": round(force, 3),
        "included_loaded_deg": round(loaded.included_deg, 4),
        "included_relaxed_deg": round(relaxed.included_deg, 4),
        "springback_deg": round(relaxed.included_deg - loaded.included_deg, 4),
        "r_in_apex_mm": round(relaxed.inside_radius_mm, 4),
        "r_in_tipfit_mm": round(relaxed.tip_radius_mm, 3),
        "bend_deduction_mm": round(relaxed.deduction_mm, 4),
        "eps_outer_centre_log": round(relaxed.outer_strain, 4),
        "t_centre_mm": round(relaxed.centre_thickness_mm, 4),
        "solver": "CalculiX ccx CPE8R",
        "elements_through_thickness": through,
        "notes": "",
    }


def bend(case: Case, through: int, folder: Path) -> tuple[list[Row], Row]:
    """All rows of a case, and the line of the table of times."""
    mesh = sheet_mesh(case, through)
    with (folder / "bend.inp").open("w", encoding="ascii") as out:
        write_deck(out, case, mesh)
    stroke_s = solve(folder, "bend")
    forces = punch_forces(folder / "bend.dat")
    rows, releases_s = [], 0.0
    moves = displacements(folder / "bend.dat")
    for step, depth in enumerate(case.depths_mm, 1):
        moved = moves[float(step)]
        force = 2.0 * forces[float(step)]
        relaxed, seconds = release(folder, case, mesh, step)
        releases_s += seconds
        rows.append(row(case, through, depth, force, shape(mesh, case, mesh.nodes + moved), relaxed))
    return rows, {
        "case": case.name,
        "elements_through_thickness": through,
        "elements": len(mesh.elements),
        "increments": len(forces),
        "depths": len(rows),
        "stroke_s": round(stroke_s, 1),
        "releases_s": round(releases_s, 1),
    }


def keep(path: Path, rows: Iterable[Row], same: tuple[str, ...]) -> None:
    """Put rows into a CSV file in place of older ones that agree in the columns ``same``."""
    new = [{name: str(value) for name, value in r.items()} for r in rows]
    keys = {tuple(r[name] for name in same) for r in new}
    old = list(csv.DictReader(path.open(encoding="ascii"))) if path.exists() else []
    kept = [r for r in old if tuple(r[name] for name in same) not in keys]
    with path.open("w", encoding="ascii", newline="") as out:
        table = csv.DictWriter(out, fieldnames=list(new[0]), lineterminator="\n")
        table.writeheader()
        table.writerows([*kept, *new])


def main() -> None:
    """Compute the named cases one after the other."""
    parser = argparse.ArgumentParser(description="Air bends by finite elements.")
    parser.add_argument("case", nargs="*", help="which bends; none lists the names")
    parser.add_argument("--through", type=int, default=ELEMENTS_THROUGH, help="elements through the thickness")
    parser.add_argument("--bends", type=Path, help="CSV file to keep the rows in")
    parser.add_argument("--times", type=Path, help="CSV file to keep the wall times in")
    parser.add_argument("--folder", type=Path, help="keep the solver's files here")
    asked = parser.parse_args()
    if not asked.case:
        print("\n".join(CASES))
    if unknown := [name for name in asked.case if name not in CASES]:
        parser.error(f"no case {', '.join(unknown)}; there are {', '.join(CASES)}")
    for name in asked.case:
        with tempfile.TemporaryDirectory() as scratch:
            folder = (asked.folder / name) if asked.folder else Path(scratch)
            folder.mkdir(parents=True, exist_ok=True)
            rows, times = bend(CASES[name], asked.through, folder)
        for r in rows:
            print(*(r[k] for k in list(r)[12:20]), flush=True)
        print(times, flush=True)
        if asked.bends:
            keep(asked.bends, rows, ("case",))
        if asked.times:
            keep(asked.times, [times], ("case", "elements_through_thickness"))


if __name__ == "__main__":
    main()
