"""The passports of the bend-allowance models in ``bend_allowance.py``."""

from __future__ import annotations

from typing import Any

from bendwright.mechanics.bend_allowance import (
    aircraft_allowance_mm,
    din_6935_deduction_mm,
    din_6935_k,
    groover_k,
    handbook_allowance_mm,
    hill_k,
    k_factor_allowance_mm,
    table_k,
)
from bendwright.mechanics.record import ModelRecord, Origin, WorkedExample

_SHEET_SYMBOLS = {"r": "inside_radius_mm", "s": "thickness_mm", "alpha": "included_deg"}


def _case(expected: float, tolerance: float, origin: Origin, source: str, **inputs: Any) -> WorkedExample:
    """One worked example."""
    return WorkedExample(inputs=inputs, expected=expected, tolerance=tolerance, origin=origin, source=source)


def _bend(inside_radius_mm: float, thickness_mm: float, turned_deg: float) -> dict[str, float]:
    """Radius, thickness and turned angle by their parameter names."""
    return {"inside_radius_mm": inside_radius_mm, "thickness_mm": thickness_mm, "turned_deg": turned_deg}


_DIN_TABLE = "DIN 6935 Bbl. 2, v at 90 degrees, one decimal printed"
_HANDBOOK = "Machinery's Handbook, sheet-metal bending, example 1 (memory, recomputed)"

RECORDS = (
    ModelRecord(
        id="allowance_din_6935",
        question="How much sheet does a bend take?",
        answer=din_6935_deduction_mm,
        source="DIN 6935, cold bending of flat steel products (textbook reprint); legs to the outer tangent up to 90",
        provenance="sourced",
        symbols=_SHEET_SYMBOLS,
        ranges={"inside_radius_mm/thickness_mm": (0.3, 100.0, "of s"), "included_deg": (0.0, 180.0, "degrees")},
        examples=(
            _case(
                5.77,
                0.01,
                "printed",
                "textbook example, k 0.7 read from the chart",
                inside_radius_mm=6.0,
                thickness_mm=5.0,
                included_deg=60.0,
                k=0.7,
            ),
            *(
                _case(v, 0.05, "memory", _DIN_TABLE, inside_radius_mm=r, thickness_mm=s, included_deg=90.0)
                for r, s, v in (
                    (1.0, 1.0, 1.9),
                    (1.6, 1.5, 2.9),
                    (2.5, 2.0, 4.0),
                    (2.5, 2.5, 4.8),
                    (4.0, 3.0, 6.0),
                    (6.0, 4.0, 8.3),
                    (10.0, 6.0, 12.7),
                    (16.0, 10.0, 21.0),
                )
            ),
        ),
        remarks=(
            "Steel only. The shop shorthand 0.43 r + 1.48 s is not this standard (K 0.331 throughout). The standard "
            "lets v be 0 above 165 degrees, a step; here only on wish."
        ),
    ),
    ModelRecord(
        id="k_din_6935",
        question="Where does the neutral axis lie?",
        answer=din_6935_k,
        source="DIN 6935: k = 0.65 + 0.5 lg(r/s) up to r/s 5, 1 above; counts half thicknesses, K = k/2",
        provenance="sourced",
        symbols=_SHEET_SYMBOLS,
        ranges={"inside_radius_mm/thickness_mm": (0.3, 100.0, "of s")},
        examples=(_case(0.689, 0.001, "printed", "textbook example r 6, s 5", inside_radius_mm=6.0, thickness_mm=5.0),),
        remarks="The formula reaches 1 at r/s = 5.012, so it steps by 0.0005 at 5.",
    ),
    ModelRecord(
        id="allowance_k_factor",
        question="How much sheet does a bend take?",
        answer=k_factor_allowance_mm,
        source="BA = A (r + K t), common to all textbooks",
        provenance="derived",
        symbols={"A": "turned_deg", "r": "inside_radius_mm", "t": "thickness_mm", "K": "k_factor"},
        ranges={"k_factor": (0.25, 0.5, "of t")},
        examples=(
            _case(6.080, 0.001, "memory", "Groover, worked example", **_bend(4.75, 3.2, 60.0), k_factor=0.33),
            _case(7.09, 0.005, "memory", "Groover, problem", **_bend(8.5, 5.0, 40.0), k_factor=0.33),
            _case(9.67, 0.005, "memory", "Groover, problem", **_bend(11.35, 5.0, 40.0), k_factor=0.5),
        ),
    ),
    ModelRecord(
        id="allowance_handbook",
        question="How much sheet does a bend take?",
        answer=handbook_allowance_mm,
        source="Machinery's Handbook: L = (c T + 1.57 R) A/90, c 0.55, 0.64, 0.71; after bench experiments",
        provenance="sourced",
        symbols={"T": "thickness_mm", "R": "inside_radius_mm", "A": "turned_deg"},
        ranges={"inside_radius_mm/thickness_mm": (0.5, 5.0, "of T")},
        examples=(
            _case(0.276, 0.0005, "printed", "public table maker's page, inches", **_bend(0.125, 0.125, 90.0), c=0.64),
            _case(1.338, 0.001, "memory", _HANDBOOK, **_bend(0.375, 0.125, 180.0), c=0.64),
            _case(0.707, 0.001, "memory", _HANDBOOK, **_bend(0.625, 0.125, 60.0), c=0.64),
        ),
        remarks="Same as K = 2c/pi: 0.350, 0.407, 0.452. Handbook tolerance about 0.4 mm.",
    ),
    ModelRecord(
        id="allowance_aircraft",
        question="How much sheet does a bend take?",
        answer=aircraft_allowance_mm,
        source="FAA AC 43.13-1B: BA = (0.01743 R + 0.0078 T) per degree",
        provenance="sourced",
        symbols={"T": "thickness_mm", "R": "inside_radius_mm", "N": "turned_deg"},
        ranges={"inside_radius_mm/thickness_mm": (1.0, 10.0, "of T")},
        examples=(
            _case(0.2791, 0.0001, "derived", "(0.01743 x 0.16 + 0.0078 x 0.04) x 90", **_bend(0.16, 0.04, 90.0)),
        ),
        remarks="A Navy text prints 0.0173 R. Same as K = 0.447.",
    ),
    ModelRecord(
        id="k_table",
        question="Where does the neutral axis lie?",
        answer=table_k,
        source="common K table by process, hardness and r/t (air row read in an encyclopedia; other rows from memory)",
        provenance="sourced",
        ranges={"radius_over_thickness": (0.0, 20.0, "of t")},
        examples=(
            _case(
                0.33,
                1e-9,
                "printed",
                "air, soft, up to t",
                process="air",
                hardness_class="soft",
                radius_over_thickness=0.8,
            ),
            _case(
                0.45,
                1e-9,
                "printed",
                "air, hard, t to 3 t",
                process="air",
                hardness_class="hard",
                radius_over_thickness=2.0,
            ),
            _case(
                0.50,
                1e-9,
                "printed",
                "air, above 3 t",
                process="air",
                hardness_class="medium",
                radius_over_thickness=4.0,
            ),
        ),
        remarks="Bottoming and coining rows: low confidence.",
    ),
    ModelRecord(
        id="k_groover",
        question="Where does the neutral axis lie?",
        answer=groover_k,
        source="Groover, Fundamentals of Modern Manufacturing: 0.33 for R < 2 t, 0.50 for R >= 2 t",
        provenance="memory",
        symbols={"Kba": "answer"},
        ranges={"radius_over_thickness": (0.0, 20.0, "of t")},
        examples=(_case(0.33, 1e-9, "memory", "R < 2 t", radius_over_thickness=1.5),),
    ),
    ModelRecord(
        id="k_hill",
        question="Where does the neutral axis lie?",
        answer=hill_k,
        source="Hill (1950): neutral stress surface sqrt(ri ro) of an ideally plastic sheet",
        provenance="memory",
        ranges={"radius_over_thickness": (0.5, 100.0, "of t")},
        examples=(_case(0.414, 0.0005, "derived", "sqrt(1 x 2) - 1", radius_over_thickness=1.0),),
        remarks="The surface of no stress, not of unchanged length: above the K of real sheet for small radii.",
    ),
)
