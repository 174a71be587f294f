"""Air bends computed by finite elements: the tables, read as cases with their points.

A new table is one CSV file in ``data/`` with the same columns, and one line in ``TABLES``.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from itertools import groupby
from math import exp

from bendwright.mechanics.bend_allowance import Hardness

FAMILIES: dict[str, tuple[str, Hardness]] = {
    "mild": ("steel", "medium"),
    "s304": ("stainless", "hard"),
    "al5754": ("aluminium", "soft"),
    "s700mc": ("steel", "hard"),
}
"""Family and hardness class of the sheets of the tables."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """Estimated error of the computed values for the stated problem; forces and radii as a share."""

    depth_mm: float
    angle_deg: float
    springback_deg: float
    force: float
    radius: float
    deduction_mm: float
    strain: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BendTable:
    """One file of computed bends: where it comes from, and how far its numbers are to be trusted."""

    file: str
    source: str
    doubt: Doubt


@dataclass(frozen=True, slots=True, kw_only=True)
class BendPoint:
    """One depth of one bend; radius, deduction (legs to the mould line) and strain are those of the relaxed bend."""

    depth_mm: float
    force_n_per_mm: float
    loaded_included_deg: float
    relaxed_included_deg: float
    springback_deg: float
    inside_radius_mm: float
    bend_deduction_mm: float
    outer_strain: float | None = None

    @property
    def loaded_turned_deg(self) -> float:
        """Turned angle under load."""
        return 180.0 - self.loaded_included_deg

    @property
    def relaxed_turned_deg(self) -> float:
        """Turned angle after the punch has left."""
        return 180.0 - self.relaxed_included_deg


@dataclass(frozen=True, slots=True, kw_only=True)
class BendCase:
    """One sheet in one pair of tools, V between the arc centres (which is between the arc tangents on top)."""

    name: str
    table: BendTable
    material: str
    thickness_mm: float
    opening_mm: float
    shoulder_radius_mm: float
    nose_radius_mm: float
    youngs_modulus_mpa: float
    poisson: float
    k_mpa: float
    eps0: float
    n: float
    friction: float
    points: tuple[BendPoint, ...]

    @property
    def family(self) -> str:
        """Family of the sheet, for rules of the trade."""
        return FAMILIES[self.material][0]

    @property
    def hardness(self) -> Hardness:
        """Hardness class of the sheet, for rules of the trade."""
        return FAMILIES[self.material][1]

    @property
    def yield_mpa(self) -> float:
        """First value of the Swift curve."""
        return float(self.k_mpa * self.eps0**self.n)

    @property
    def tensile_mpa(self) -> float:
        """Tensile strength of the Swift curve: greatest load at the true strain n - eps0, K n^n exp(-(n - eps0))."""
        strain = max(0.0, self.n - self.eps0)
        return float(self.k_mpa * (self.eps0 + strain) ** self.n * exp(-strain))


TABLES = (
    BendTable(
        file="reference_bends.csv",
        source="plane-strain finite-element air bends, rigid tools, friction 0.1, Swift hardening, invented typical sheets",
        doubt=Doubt(
            depth_mm=0.02,
            angle_deg=0.15,
            springback_deg=0.02,
            force=0.01,
            radius=0.02,
            deduction_mm=0.01,
            strain=0.005,
        ),
    ),
    BendTable(
        file="finite_element_bends.csv",
        source=(
            "plane-strain finite-element air bends by CalculiX, rigid tools, friction 0.1, Swift hardening, invented typical "
            "sheets (`benchmarks/finite_elements`); doubt from a second code and a finer mesh"
        ),
        doubt=Doubt(
            depth_mm=0.01,
            angle_deg=0.1,
            springback_deg=0.01,
            force=0.01,
            radius=0.01,
            deduction_mm=0.01,
            strain=0.003,
        ),
    ),
)


@cache
def bend_cases() -> tuple[BendCase, ...]:
    """Every case of every table, in the order of the files."""
    return tuple(case for table in TABLES for case in _cases(table))


def _cases(table: BendTable) -> list[BendCase]:
    """The cases of one file; the rows of a case stand together."""
    text = resources.files("bendwright.validation").joinpath(f"data/{table.file}").read_text(encoding="utf-8")
    rows = csv.DictReader(text.splitlines())
    return [_case(table, name, list(group)) for name, group in groupby(rows, key=lambda row: row["case"])]


def _case(table: BendTable, name: str, rows: list[dict[str, str]]) -> BendCase:
    """One case from its rows; the sheet and the tools stand in each of them."""
    head = rows[0]
    return BendCase(
        name=name,
        table=table,
        material=head["material"],
        thickness_mm=float(head["thickness_mm"]),
        opening_mm=float(head["V_between_arc_centres_mm"]),
        shoulder_radius_mm=float(head["die_shoulder_radius_mm"]),
        nose_radius_mm=float(head["punch_nose_radius_mm"]),
        youngs_modulus_mpa=float(head["E_MPa"]),
        poisson=float(head["nu"]),
        k_mpa=float(head["K_MPa"]),
        eps0=float(head["eps0"]),
        n=float(head["n"]),
        friction=float(head["mu"]),
        points=tuple(_point(row) for row in rows),
    )


def _point(row: Mapping[str, str]) -> BendPoint:
    """One row; a strain that was not written down is not known."""
    strain = row["eps_outer_centre_log"]
    return BendPoint(
        depth_mm=float(row["depth_mm"]),
        force_n_per_mm=float(row["force_N_per_mm"]),
        loaded_included_deg=float(row["included_loaded_deg"]),
        relaxed_included_deg=float(row["included_relaxed_deg"]),
        springback_deg=float(row["springback_deg"]),
        inside_radius_mm=float(row["r_in_apex_mm"]),
        bend_deduction_mm=float(row["bend_deduction_mm"]),
        outer_strain=float(strain) if strain else None,
    )
