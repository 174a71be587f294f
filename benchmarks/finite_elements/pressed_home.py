"""Bends pressed home by finite elements: the sheet of an air bend between a punch and a die that have flanks.

Run: ``python benchmarks/finite_elements/pressed_home.py NAME [NAME ...]`` (names: without arguments). ``--bends FILE`` keeps
the rows in a CSV file, ``--folder DIR`` the solver's files, ``--release`` lets the sheet spring back at every depth from
the last of the air bend to home. A case takes about ten minutes on one core, releases included.
"""

from __future__ import annotations

import argparse
import tempfile
from math import ceil, cos, radians, sin
from pathlib import Path

import deck
import numpy as np
from cases import MILD, Case
from measures import Shape, shape
from printed import displacements, punch_forces
from run_case import Row, SolverFailedError, keep, release, solve
from sheet_mesh import sheet_mesh

TOOL_ANGLE_DEG = 88.0
ELEMENTS_THROUGH = 8
FLANK_STEP_MM = 0.5
AIR_MM = (0.6, 1.2, 1.8, 2.4, 3.0, 3.6, 4.1, 4.5, 4.9, 5.2, 5.4)
"""Depths on the way down, close enough together for the solver."""


def _case(name: str, nose: float, home: tuple[float, ...]) -> Case:
    return Case(
        name=name,
        material=MILD,
        thickness_mm=2.0,
        opening_mm=16.0,
        shoulder_radius_mm=2.0,
        nose_radius_mm=nose,
        depths_mm=(*AIR_MM, *home),
    )


CASES = {
    case.name: case
    for case in (
        _case("home-mild-2-16-2", 2.0, (5.5, 5.55, 5.6, 5.64, 5.68, 5.71, 5.74, 5.77)),
        _case("home-mild-2-16-1", 1.0, (5.55, 5.65, 5.75, 5.85, 5.93, 6.0, 6.06, 6.1)),
    )
}

HOME_MM = {"home-mild-2-16-2": 5.64, "home-mild-2-16-1": 6.06}
"""Depth at which the legs first lie flat on the flanks; nothing is released beyond it, the contact is too stiff there."""


def band(points: np.ndarray, deep: float) -> deck.Tool:
    """A rigid strip along a line of points, the sheet on the right of the way along it; face 3 touches."""
    way = np.gradient(points, axis=0)
    way /= np.linalg.norm(way, axis=1)[:, None]
    right = np.column_stack([way[:, 1], -way[:, 0]])
    count = len(points)
    nodes = np.vstack([points - deep * right, points, points - 0.5 * deep * right])
    rows = [
        (a + 2, a, a + count, a + 2 + count, a + 1, a + 2 * count, a + 1 + count, a + 2 + 2 * count)
        for a in range(0, count - 1, 2)
    ]
    return deck.Tool(nodes, np.array(rows))


def arc_and_flank(
    centre: tuple[float, float], radius: float, from_deg: float, to_deg: float, flank_mm: float
) -> np.ndarray:
    """Points along an arc, counter-clockwise, and on along its tangent."""
    steps = 2 * ceil((to_deg - from_deg) / deck.ARC_STEP_DEG)
    turns = np.radians(np.linspace(from_deg, to_deg, steps + 1))
    arc = np.column_stack([np.cos(turns), np.sin(turns)]) * radius + np.array(centre)
    tangent = np.array([-sin(turns[-1]), cos(turns[-1])])
    more = 2 * ceil(flank_mm / FLANK_STEP_MM)
    return np.vstack([arc, arc[-1] + np.linspace(0.0, flank_mm, more + 1)[1:, None] * tangent])


def flanked_tools(case: Case) -> tuple[deck.Tool, deck.Tool]:
    """Nose and flank over the sheet, shoulder and flank down to the ground of the groove under it."""
    nose, shoulder, slope = case.nose_radius_mm, case.shoulder_radius_mm, 90.0 - TOOL_ANGLE_DEG / 2.0
    punch = arc_and_flank((0.0, case.thickness_mm + nose), nose, 258.0, 270.0 + slope, 0.75 * case.opening_mm)
    edge = case.opening_mm / 2.0 - shoulder * sin(radians(slope))
    down = (edge - 0.02) / cos(radians(slope))
    die = arc_and_flank((case.opening_mm / 2.0, -shoulder), shoulder, 75.0, 90.0 + slope, down)
    return band(punch, 0.4 * nose), band(die, 0.4 * shoulder)


def row(case: Case, depth: float, force: float, loaded: Shape, relaxed: Shape | None) -> Row:
    """One line of the table; shape under load, angle after release where it was computed."""
    return {
        "case": case.name,
        **case.columns(),
        "tool_angle_deg": TOOL_ANGLE_DEG,
        **case.material.columns(case.friction),
        "depth_mm": depth,
        "force_N_per_mm": round(force, 1),
        "included_loaded_deg": round(loaded.included_deg, 3),
        "r_in_apex_loaded_mm": round(loaded.inside_radius_mm, 3),
        "t_centre_mm": round(loaded.centre_thickness_mm, 3),
        "included_relaxed_deg": round(relaxed.included_deg, 3) if relaxed else "",
    }


def press(case: Case, folder: Path, *, releases: bool) -> list[Row]:
    """All rows of a case, as far as the solver gets."""
    deck.tools = flanked_tools
    mesh = sheet_mesh(case, ELEMENTS_THROUGH)
    with (folder / "bend.inp").open("w", encoding="ascii") as out:
        deck.write_deck(out, case, mesh)
    try:
        solve(folder, "bend")
    except SolverFailedError as error:
        print(f"{case.name}: stopped early; {str(error)[-80:].strip()}")
    forces, moves = punch_forces(folder / "bend.dat"), displacements(folder / "bend.dat")
    rows = []
    for step, depth in enumerate(case.depths_mm, 1):
        if float(step) not in forces:
            break
        loaded, relaxed = shape(mesh, case, mesh.nodes + moves[float(step)]), None
        if releases and AIR_MM[-1] <= depth <= HOME_MM[case.name]:
            try:
                relaxed, _ = release(folder, case, mesh, step)
            except SolverFailedError as error:
                print(error)
        rows.append(row(case, depth, 2.0 * forces[float(step)], loaded, relaxed))
    return rows


def main() -> None:
    """Press the named cases home one after the other."""
    parser = argparse.ArgumentParser(description="Bends pressed home by finite elements.")
    parser.add_argument("case", nargs="*", choices=[*CASES, []], help="which bends; none lists the names")
    parser.add_argument("--bends", type=Path, help="CSV file to keep the rows in")
    parser.add_argument("--folder", type=Path, help="keep the solver's files here")
    parser.add_argument("--release", action="store_true", help="let the sheet spring back at every pressed depth")
    asked = parser.parse_args()
    if not asked.case:
        print("\n".join(CASES))
    for name in asked.case:
        with tempfile.TemporaryDirectory() as scratch:
            folder = (asked.folder / name) if asked.folder else Path(scratch)
            folder.mkdir(parents=True, exist_ok=True)
            rows = press(CASES[name], folder, releases=asked.release)
        for line in rows:
            print(*list(line.values())[12:], flush=True)
        if asked.bends and rows:
            keep(asked.bends, rows, ("case",))


if __name__ == "__main__":
    main()
