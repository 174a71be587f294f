"""Hems pressed flat by finite elements: the upper half of a pre-bent hem between a bar and the plane half-way.

Run: ``python benchmarks/finite_elements/hem_flat.py NAME [NAME ...]`` (names: without arguments). ``--bends FILE`` keeps the
rows in a CSV file, ``--folder DIR`` the solver's files.

The sheet starts free of stress and unhardened as a loop with straight legs, 30 degrees between them; both legs are taken
to be alike, so the plane half-way between them is a mirror. A real hem lies with one leg flat on the lower bar, and its
loop is hardened by the pre-bend. Friction 0.1, sheet and solver as for the air bends.
"""

from __future__ import annotations

import argparse
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import TextIO

import deck
import numpy as np
from cases import MILD, S700MC, Material
from pressed_home import band
from printed import punch_forces
from run_case import Row, SolverFailedError, keep, solve
from sheet_mesh import SheetMesh

ELEMENTS_THROUGH = 6
FRICTION = 0.1
HALF_TURN_DEG = 75.0
LEG_OVER_T = 8.0
HEIGHTS_OVER_T = (2.1, 1.9, 1.7, 1.5, 1.35, 1.25, 1.15, 1.1)
"""Heights of the bar above the mirror plane at which the load is read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hem:
    """One hem: sheet of 1 mm and the inside radius of its loop."""

    name: str
    material: Material
    loop_radius_mm: float
    thickness_mm: float = 1.0


HEMS = {
    hem.name: hem
    for hem in (
        Hem(name="hem-mild-1-1.28", material=MILD, loop_radius_mm=1.28),
        Hem(name="hem-s700mc-1-1.28", material=S700MC, loop_radius_mm=1.28),
    )
}


def stations_mm(hem: Hem, through: int) -> np.ndarray:
    """Element borders along the middle line from the nose of the fold: even in the arc, growing along the leg."""
    arc = (hem.loop_radius_mm + hem.thickness_mm / 2.0) * np.radians(HALF_TURN_DEG)
    count = max(8, int(arc / (1.2 * hem.thickness_mm / through)))
    places, step = list(np.linspace(0.0, arc, count + 1)), arc / count
    while places[-1] < arc + LEG_OVER_T * hem.thickness_mm:
        places.append(places[-1] + step)
        step = min(1.08 * step, 0.45 * hem.thickness_mm)
    return np.array(places)


def loop_mesh(hem: Hem, through: int) -> SheetMesh:
    """Half a hem; grid along the sheet from the mirror plane, and through it from the inner face."""
    t, middle, end = hem.thickness_mm, hem.loop_radius_mm + hem.thickness_mm / 2.0, np.radians(HALF_TURN_DEG)
    borders = stations_mm(hem, through)
    along = np.empty(2 * len(borders) - 1)
    along[::2], along[1::2] = borders, (borders[:-1] + borders[1:]) / 2.0
    across = np.linspace(-t / 2.0, t / 2.0, 2 * through + 1)
    i, j = np.meshgrid(np.arange(len(along)), np.arange(len(across)), indexing="ij")
    real = (i % 2 == 0) | (j % 2 == 0)
    grid = np.full(real.shape, -1)
    grid[real] = np.arange(int(real.sum()))
    s, n = along[i[real]], across[j[real]]
    turn, straight = np.minimum(s / middle, end), np.maximum(0.0, s - middle * end)
    x = (middle + n) * np.cos(turn) - straight * np.sin(turn)
    y = (middle + n) * np.sin(turn) + straight * np.cos(turn)
    around = ((2, 0), (0, 0), (0, 2), (2, 2), (1, 0), (0, 1), (1, 2), (2, 1))
    corners = [(a, b) for a in range(0, len(along) - 1, 2) for b in range(0, len(across) - 1, 2)]
    elements = np.array([[grid[a + da, b + db] for da, db in around] for a, b in corners])
    return SheetMesh(np.column_stack([x, y]), elements, grid)


def level(from_mm: float, to_mm: float, height_mm: float) -> np.ndarray:
    """Points along a level line, the sheet on the right of the way along it."""
    return np.column_stack([np.linspace(from_mm, to_mm, 41), np.full(41, height_mm)])


def write_hem(out: TextIO, hem: Hem, mesh: SheetMesh, through: int) -> None:
    """Write the whole input: sheet, bar above it, mirror plane under its inner face, one step a height."""
    t, m = hem.thickness_mm, hem.material
    (left, _), (right, top) = mesh.nodes.min(axis=0), mesh.nodes.max(axis=0)
    bar, mirror = (
        band(level(left - 3.0 * t, right + 2.0 * t, top), t),
        band(level(right + 2.0 * t, left - 3.0 * t, 0.0), t),
    )
    bodies = {"SHEET": mesh, "PUNCH": bar, "DIE": mirror}
    nodes, elements = 0, 0
    for name, body in bodies.items():
        flat = np.column_stack([body.nodes, np.zeros(len(body.nodes))])
        deck._rows(out, f"*NODE, NSET=N{name}", flat, nodes + 1)
        deck._rows(out, f"*ELEMENT, TYPE=CPE8R, ELSET=E{name}", body.elements, elements + 1, nodes + 1)
        nodes, elements = nodes + len(body.nodes), elements + len(body.elements)
    deck._set(out, "*NSET, NSET=NOSE", mesh.grid[0, :] + 1)
    out.write(f"*NSET, NSET=TIP\n{mesh.grid[0, through] + 1}\n")
    lower = np.arange(0, len(mesh.elements), through) + 1
    for name, row, face in (("BOTTOM", lower, 1), ("TOP", lower + through - 1, 3)):
        out.write(f"*SURFACE, NAME={name}, TYPE=ELEMENT\n" + "".join(f"{e}, S{face}\n" for e in row))
    for name in ("PUNCH", "DIE"):
        out.write(f"*SURFACE, NAME=F{name}, TYPE=ELEMENT\nE{name}, S3\n")
    _write_matter(out, m)
    out.write("*BOUNDARY\nNOSE, 2, 2\nTIP, 1, 1\nNDIE, 1, 2\nNPUNCH, 1, 1\n")
    for height in HEIGHTS_OVER_T:
        out.write("*STEP, NLGEOM, INC=3000\n*STATIC\n0.005, 1.0, 1e-6, 0.05\n")
        out.write("*CONTROLS, PARAMETERS=CONTACT\n0.001, 0.1, 1, 60\n")
        out.write(f"*BOUNDARY\nNPUNCH, 2, 2, {height * t - top:.9g}\n")
        out.write("*NODE PRINT, NSET=NPUNCH, TOTALS=ONLY\nRF\n*END STEP\n")


def _write_matter(out: TextIO, m: Material) -> None:
    """Sheet, tools, and how they touch."""
    out.write(f"*MATERIAL, NAME=SHEET\n*ELASTIC\n{m.youngs_modulus_mpa}, {m.poisson}\n*PLASTIC\n")
    out.write("".join(f"{stress:.8g}, {strain:.8g}\n" for stress, strain in deck.swift_table(m)))
    out.write(f"*MATERIAL, NAME=TOOL\n*ELASTIC\n{m.youngs_modulus_mpa}, {m.poisson}\n")
    for name in ("SHEET", "PUNCH", "DIE"):
        out.write(f"*SOLID SECTION, ELSET=E{name}, MATERIAL={'SHEET' if name == 'SHEET' else 'TOOL'}\n1.0\n")
    stiffness = deck.CONTACT_STIFFNESS_PER_E * m.youngs_modulus_mpa
    out.write("*SURFACE INTERACTION, NAME=TOUCH\n*SURFACE BEHAVIOR, PRESSURE-OVERCLOSURE=LINEAR\n")
    out.write(f"{stiffness:.6g}\n*FRICTION\n{FRICTION}, {stiffness / 50.0:.6g}\n")
    for sheet, tool in deck.PAIRS:
        out.write(f"*CONTACT PAIR, INTERACTION=TOUCH, TYPE=SURFACE TO SURFACE\n{sheet}, {tool}\n")


def flatten(hem: Hem, folder: Path) -> list[Row]:
    """All rows of a hem, as far as the solver gets."""
    mesh = loop_mesh(hem, ELEMENTS_THROUGH)
    with (folder / "hem.inp").open("w", encoding="ascii") as out:
        write_hem(out, hem, mesh, ELEMENTS_THROUGH)
    try:
        solve(folder, "hem")
    except SolverFailedError as error:
        print(f"{hem.name}: stopped early; {str(error)[-80:].strip()}")
    forces = punch_forces(folder / "hem.dat")
    return [
        {
            "case": hem.name,
            "thickness_mm": hem.thickness_mm,
            "loop_radius_mm": hem.loop_radius_mm,
            "leg_mm": LEG_OVER_T * hem.thickness_mm,
            **hem.material.columns(FRICTION),
            "gap_mm": round(2.0 * (height - 1.0) * hem.thickness_mm, 6),
            "force_N_per_mm": round(forces[float(step)], 2),
        }
        for step, height in enumerate(HEIGHTS_OVER_T, 1)
        if float(step) in forces
    ]


def main() -> None:
    """Flatten the named hems one after the other."""
    parser = argparse.ArgumentParser(description="Hems pressed flat by finite elements.")
    parser.add_argument("hem", nargs="*", choices=[*HEMS, []], help="which hems; none lists the names")
    parser.add_argument("--bends", type=Path, help="CSV file to keep the rows in")
    parser.add_argument("--folder", type=Path, help="keep the solver's files here")
    asked = parser.parse_args()
    if not asked.hem:
        print("\n".join(HEMS))
    for name in asked.hem:
        with tempfile.TemporaryDirectory() as scratch:
            folder = (asked.folder / name) if asked.folder else Path(scratch)
            folder.mkdir(parents=True, exist_ok=True)
            rows = flatten(HEMS[name], folder)
        for line in rows:
            print(line["gap_mm"], line["force_N_per_mm"], flush=True)
        if asked.bends and rows:
            keep(asked.bends, rows, ("case",))


if __name__ == "__main__":
    main()
