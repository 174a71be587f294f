"""Bends pressed home and hems pressed flat: plastic hinges against finite elements.

The rows come from ``benchmarks/finite_elements/pressed_home.py`` and ``hem_flat.py``; models are given the radius reached.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Mapping
from functools import cache
from importlib import resources

from bendwright.mechanics.bottoming import bottoming_model_band, one_hinge_line_load_kn_per_m
from bendwright.mechanics.hem_flattening import crushing_line_load_kn_per_m, rolling_line_load_kn_per_m
from bendwright.mechanics.springback import bend_moment_n
from bendwright.validation.comparison import Comparison, Evidence, Limit
from bendwright.validation.computed import WEIGHT

Row = Mapping[str, float]
SOURCE = (
    "plane-strain finite elements by CalculiX, rigid tools, friction 0.1, Swift hardening, invented typical sheets "
    "(`benchmarks/finite_elements`)"
)
LIMIT = Limit(0.20, relative=True)
FORCE_DOUBT = 0.01
PRESSED = (2.0, 10.0)
"""Loads, in air-bend peaks, between which the flanks press and the tools are not full yet."""
MOST_GAP_MM = 1.4
"""Gap from which on the bar crushes the loop of these hems."""


@cache
def rows_of(file: str) -> tuple[tuple[str, Row], ...]:
    """Case and numbers of every row of a table; what was not written down is left out."""
    text = resources.files("bendwright.validation").joinpath(f"data/{file}").read_text(encoding="utf-8")
    return tuple(
        (row.pop("case"), {name: float(value) for name, value in row.items() if value})
        for row in csv.DictReader(text.splitlines())
    )


def moment_n(row: Row, inside_radius_mm: float) -> float:
    """Plastic moment of the row's sheet at an inside radius [N]."""
    return bend_moment_n(
        thickness_mm=row["thickness_mm"],
        inside_radius_mm=inside_radius_mm,
        youngs_modulus_mpa=row["E_MPa"],
        poisson=row["nu"],
        yield_mpa=row["K_MPa"] * row["eps0"] ** row["n"],
        law="swift",
        k_mpa=row["K_MPa"],
        e0_or_b=row["eps0"],
        n=row["n"],
    )


def pressed_rows() -> tuple[tuple[str, Row], ...]:
    """The rows of the bends between the first press of the flanks and tools that are full."""
    table = rows_of("pressed_home.csv")
    found: list[tuple[str, Row]] = []
    for case in dict.fromkeys(name for name, _ in table):
        own = [row for name, row in table if name == case]
        touched = next(i for i, row in enumerate(own) if row["included_loaded_deg"] < row["tool_angle_deg"])
        peak = max(row["force_N_per_mm"] for row in own[:touched])
        found += [(case, row) for row in own if PRESSED[0] < row["force_N_per_mm"] / peak < PRESSED[1]]
    return tuple(found)


def pressed_evidence() -> Evidence:
    """Load of a bend between the flanks."""
    return _evidence(
        key="fe_pressed",
        title="Load that presses a bend home",
        rows=[(f"{case} at {row['depth_mm']:g} mm", row) for case, row in pressed_rows()],
        answers={
            "bottoming_hinges (one hinge)": _one_hinge,
            "bottoming_hinges (upper end of the band)": lambda row: (
                bottoming_model_band(**_arc(row), friction=row["mu"]).high
            ),
        },
        reasons={
            "bottoming_hinges (one hinge)": (
                "Lower end of a band: a single hinge under the nose, as when the flanks begin to press. The nearer to home, "
                "the more hinges the arc needs."
            ),
            "bottoming_hinges (upper end of the band)": (
                "Upper end of a band: hinges at the nose and at both flanks, with friction. All loads lie between the two ends."
            ),
        },
    )


def _arc(row: Row) -> dict[str, float]:
    """Moment and size of the arc at the radius reached, by parameter names."""
    radius = row["r_in_apex_loaded_mm"]
    return {
        "moment_n": moment_n(row, radius),
        "inside_radius_mm": radius,
        "thickness_mm": row["thickness_mm"],
        "turned_deg": 180.0 - row["tool_angle_deg"],
    }


def _one_hinge(row: Row) -> float:
    """Lower end of the band [kN/m]."""
    return one_hinge_line_load_kn_per_m(**_arc(row))


def hem_evidence() -> Evidence:
    """Load of a hem at a gap."""
    rows = [(case, row) for case, row in rows_of("hems_flat.csv") if row["gap_mm"] <= MOST_GAP_MM]
    return _evidence(
        key="fe_hems",
        title="Load that flattens a hem to a gap",
        rows=[(f"{case}, gap {row['gap_mm']:g} mm", row) for case, row in rows],
        answers={
            "hem_rolling": lambda row: rolling_line_load_kn_per_m(
                moment_n=moment_n(row, row["gap_mm"] / 2.0), thickness_mm=row["thickness_mm"], gap_mm=row["gap_mm"]
            ),
            "hem_crushing": lambda row: crushing_line_load_kn_per_m(
                moment_n=moment_n(row, row["gap_mm"] / 2.0),
                loop_radius_mm=row["loop_radius_mm"],
                thickness_mm=row["thickness_mm"],
                gap_mm=row["gap_mm"],
            ),
        },
        reasons={
            "hem_rolling": "Upper end of a band: the loop as a half circle of the gap's size.",
            "hem_crushing": "Lower end of a band: arcs of the loop stay as bent; real loops are rolled down, with a shorter lever.",
        },
    )


def _evidence(
    *,
    key: str,
    title: str,
    rows: list[tuple[str, Row]],
    answers: Mapping[str, Callable[[Row], float]],
    reasons: Mapping[str, str],
) -> Evidence:
    """Every row asked of every model."""
    comparisons = tuple(
        Comparison(
            model=model,
            case=case,
            quantity="line load",
            unit="kN/m",
            outside=row["force_N_per_mm"],
            doubt=FORCE_DOUBT * row["force_N_per_mm"],
            ours=answer(row),
            limit=LIMIT,
        )
        for case, row in rows
        for model, answer in answers.items()
    )
    return Evidence(
        key=key, title=title, source=SOURCE, kind="computed", weight=WEIGHT, comparisons=comparisons, reasons=reasons
    )
