"""The CalculiX input of one air bend: sheet, two rigid tools, and a stroke that unloads at every depth."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TextIO

import numpy as np
from cases import Case, Material
from sheet_mesh import SheetMesh

CONTACT_STIFFNESS_PER_E = 5.0
"""Contact pressure per overlap in MPa per mm, in units of the modulus: overlaps stay near a micrometre."""
HOLD_N_PER_MM = 0.002
"""Weak spring that keeps the sheet in place before the tools hold it."""
ARC_STEP_DEG = 1.5
FIRST_SHARE = 0.025
LARGEST_SHARE = 0.1
FIRST_SHARE_BACK = 0.1
LARGEST_SHARE_BACK = 0.4
"""First and largest increment as shares of the way from one depth to the next, and of the way back."""
PAIRS = (("TOP", "FPUNCH"), ("BOTTOM", "FDIE"))
"""Faces that touch: sheet first."""


@dataclass(frozen=True, slots=True)
class Tool:
    """A rigid arc as a thin ring of quadrilaterals: nodes, elements, and the face that touches the sheet."""

    nodes: np.ndarray
    elements: np.ndarray


def arc(centre: tuple[float, float], radius: float, from_deg: float, to_deg: float) -> Tool:
    """Ring sector of outer radius ``radius``; the second corner row lies outside, so face 3 touches."""
    count = 2 * int(np.ceil(abs(to_deg - from_deg) / ARC_STEP_DEG)) + 1
    turns = np.radians(np.linspace(from_deg, to_deg, count))
    unit = np.column_stack([np.cos(turns), np.sin(turns)])
    inner, outer = 0.6 * radius * unit, radius * unit
    middle = 0.8 * radius * unit
    nodes = np.vstack([inner, outer, middle]) + np.array(centre)
    rows = [
        (a + 2, a, a + count, a + 2 + count, a + 1, a + 2 * count, a + 1 + count, a + 2 + 2 * count)
        for a in range(0, count - 1, 2)
    ]
    return Tool(nodes, np.array(rows))


def tools(case: Case) -> tuple[Tool, Tool]:
    """Punch nose over the sheet and right-hand die shoulder under it, both just touching."""
    nose, shoulder = case.nose_radius_mm, case.shoulder_radius_mm
    punch = arc((0.0, case.thickness_mm + nose), nose, 350.0, 262.0)
    die = arc((case.opening_mm / 2.0, -shoulder), shoulder, 75.0, 165.0)
    return Tool(punch.nodes, punch.elements[:, [1, 0, 3, 2, 4, 7, 6, 5]]), Tool(die.nodes, die.elements)


def swift_table(material: Material) -> list[tuple[float, float]]:
    """Stress and plastic strain of the Swift law, dense where it bends."""
    strains = [0.0, *np.geomspace(1e-4, 3.0, 160)]
    return [(material.k_mpa * (material.eps0 + e) ** material.n, e) for e in strains]


def _rows(out: TextIO, keyword: str, numbers: np.ndarray, first: int = 1, shift: int = 0) -> None:
    out.write(f"{keyword}\n")
    for label, row in enumerate(numbers, start=first):
        cells = ", ".join(f"{v:.9g}" if isinstance(v, float) else str(v + shift) for v in row.tolist())
        out.write(f"{label}, {cells}\n")


def _set(out: TextIO, keyword: str, labels: np.ndarray) -> None:
    out.write(f"{keyword}\n")
    for start in range(0, len(labels), 12):
        out.write(", ".join(str(n) for n in labels[start : start + 12]) + ",\n")


def write_deck(out: TextIO, case: Case, mesh: SheetMesh) -> None:
    """Write the whole input."""
    punch, die = tools(case)
    base = {"SHEET": 0, "PUNCH": len(mesh.nodes), "DIE": len(mesh.nodes) + len(punch.nodes)}
    first = {
        "SHEET": 1,
        "PUNCH": 1 + len(mesh.elements),
        "DIE": 1 + len(mesh.elements) + len(punch.elements),
    }
    bodies: dict[str, SheetMesh | Tool] = {"SHEET": mesh, "PUNCH": punch, "DIE": die}
    for name, body in bodies.items():
        flat = np.column_stack([body.nodes, np.zeros(len(body.nodes))])
        _rows(out, f"*NODE, NSET=N{name}", flat, base[name] + 1)
        _rows(out, f"*ELEMENT, TYPE=CPE8R, ELSET=E{name}", body.elements, first[name], base[name] + 1)
    _set(out, "*NSET, NSET=MIDDLE", mesh.symmetry + 1)
    through = int((mesh.grid.shape[1] - 1) / 2)
    lower = np.arange(0, len(mesh.elements), through) + 1
    for name, elements, face in (("BOTTOM", lower, 1), ("TOP", lower + through - 1, 3)):
        out.write(f"*SURFACE, NAME={name}, TYPE=ELEMENT\n" + "".join(f"{e}, S{face}\n" for e in elements))
    for name in ("PUNCH", "DIE"):
        out.write(f"*SURFACE, NAME=F{name}, TYPE=ELEMENT\nE{name}, S3\n")
    hold = first["DIE"] + len(die.elements)
    out.write(f"*ELEMENT, TYPE=SPRING1, ELSET=HOLD\n{hold}, {mesh.bottom[0] + 1}\n")
    out.write(f"*SPRING, ELSET=HOLD\n2\n{HOLD_N_PER_MM}\n")
    m = case.material
    out.write(f"*MATERIAL, NAME=SHEET\n*ELASTIC\n{m.youngs_modulus_mpa}, {m.poisson}\n*PLASTIC\n")
    out.write("".join(f"{stress:.8g}, {strain:.8g}\n" for stress, strain in swift_table(m)))
    out.write(f"*MATERIAL, NAME=TOOL\n*ELASTIC\n{m.youngs_modulus_mpa}, {m.poisson}\n")
    for name in bodies:
        out.write(f"*SOLID SECTION, ELSET=E{name}, MATERIAL={'SHEET' if name == 'SHEET' else 'TOOL'}\n1.0\n")
    stiffness = CONTACT_STIFFNESS_PER_E * m.youngs_modulus_mpa
    out.write("*SURFACE INTERACTION, NAME=TOUCH\n*SURFACE BEHAVIOR, PRESSURE-OVERCLOSURE=LINEAR\n")
    out.write(f"{stiffness:.6g}\n*FRICTION\n{case.friction}, {stiffness / 50.0:.6g}\n")
    for sheet, tool in PAIRS:
        out.write(f"*CONTACT PAIR, INTERACTION=TOUCH, TYPE=SURFACE TO SURFACE\n{sheet}, {tool}\n")
    out.write("*BOUNDARY\nMIDDLE, 1, 1\nNDIE, 1, 2\nNPUNCH, 1, 1\n")
    for number, depth in enumerate(case.depths_mm):
        _stroke(out, depth, FIRST_SHARE if number else FIRST_SHARE / 5.0)
        out.write("*RESTART, WRITE, FREQUENCY=1\n*NODE PRINT, NSET=NSHEET\nU\n")
        out.write("*NODE PRINT, NSET=NPUNCH, TOTALS=ONLY\nRF\n*END STEP\n")


def write_release(out: TextIO, case: Case, step: int, share: float) -> None:
    """Write the input that goes on from the end of a step: back the punch off a little, then take both tools away.

    Taking the whole force away at once can throw the iteration; ``share`` of about half the elastic rise is let off first.
    """
    m = case.material
    stress = m.k_mpa * (m.eps0 + 0.2) ** m.n
    rise = 0.2 * stress / m.youngs_modulus_mpa * case.opening_mm**2 / case.thickness_mm
    out.write(f"*RESTART, READ, STEP={step}\n")
    _stroke(out, case.depths_mm[step - 1] - share * rise, FIRST_SHARE_BACK, LARGEST_SHARE_BACK)
    out.write("*END STEP\n*STEP, NLGEOM, INC=500\n*STATIC\n1.0, 1.0\n")
    for sheet, tool in PAIRS:
        out.write(f"*MODEL CHANGE, TYPE=CONTACT PAIR, REMOVE\n{sheet}, {tool}\n")
    out.write("*NODE PRINT, NSET=NSHEET\nU\n*END STEP\n")


def _stroke(out: TextIO, depth: float, first: float, largest: float = LARGEST_SHARE) -> None:
    """A step that takes the punch to a depth; contact keeps its full stiffness, or every step would start from afar."""
    out.write(f"*STEP, NLGEOM, INC=2000\n*STATIC\n{first}, 1.0, 1e-5, {largest}\n")
    out.write("*CONTROLS, PARAMETERS=CONTACT\n0.001, 0.1, 1, 60\n")
    out.write(f"*BOUNDARY\nNPUNCH, 2, 2, {-depth:.9g}\n")
