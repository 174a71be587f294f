"""How hard must the brake press? Each published formula by itself, and the band they span.

All give the line load per metre of bend [kN/m], which is the same number in N/mm. Multiply by the bend length.
Strengths are tensile strengths unless the name says yield.
"""

from __future__ import annotations

from math import cos, radians, sin

from bendwright.mechanics.limits import not_negative, positive, within
from bendwright.mechanics.record import ModelRecord, WorkedExample
from bendwright.quantities import Band

GROOVER_C = 1.33
TRADE_C = 1.42
KALPAKJIAN_C = (1.2, 1.33)
BOTTOMING_TIMES = (3.0, 5.0)
COINING_TIMES = (5.0, 10.0)
KN_PER_US_TON = 8.896443
MPA_OF_60_KSI = 413.685


def coefficient_line_load_kn_per_m(
    *, thickness_mm: float, opening_mm: float, tensile_mpa: float, coefficient: float
) -> float:
    """The common form F/L = C Rm t^2/V with any C."""
    positive(thickness_mm=thickness_mm, opening_mm=opening_mm, tensile_mpa=tensile_mpa, coefficient=coefficient)
    return coefficient * tensile_mpa * thickness_mm**2 / opening_mm


def groover_line_load_kn_per_m(*, thickness_mm: float, opening_mm: float, tensile_mpa: float) -> float:
    """Groover: F/L = 1.33 Rm t^2/V. Example: t 3.2, V 25, Rm 450 -> 245.1 (10 909 N over 44.5 mm)."""
    return coefficient_line_load_kn_per_m(
        thickness_mm=thickness_mm, opening_mm=opening_mm, tensile_mpa=tensile_mpa, coefficient=GROOVER_C
    )


def kalpakjian_line_load_band(*, thickness_mm: float, opening_mm: float, tensile_mpa: float) -> Band:
    """Kalpakjian and Schmid: C from 1.2 to 1.33 for V dies, friction not counted [kN/m]."""
    low, high = (
        coefficient_line_load_kn_per_m(
            thickness_mm=thickness_mm, opening_mm=opening_mm, tensile_mpa=tensile_mpa, coefficient=c
        )
        for c in KALPAKJIAN_C
    )
    return Band(low, high, "Kalpakjian and Schmid, C 1.2 to 1.33")


def kalpakjian_yield_line_load_kn_per_m(*, thickness_mm: float, opening_mm: float, yield_mpa: float) -> float:
    """Kalpakjian and Schmid, the other book: F/L = 1.3 Y t^2/V with the yield strength (memory)."""
    positive(thickness_mm=thickness_mm, opening_mm=opening_mm, yield_mpa=yield_mpa)
    return 1.3 * yield_mpa * thickness_mm**2 / opening_mm


def oehler_line_load_kn_per_m(*, thickness_mm: float, opening_mm: float, tensile_mpa: float) -> float:
    """Oehler and the German tables: F/L = (1 + 4 t/V) Rm t^2/V; 1.5 at V = 8 t."""
    positive(thickness_mm=thickness_mm, opening_mm=opening_mm)
    return coefficient_line_load_kn_per_m(
        thickness_mm=thickness_mm,
        opening_mm=opening_mm,
        tensile_mpa=tensile_mpa,
        coefficient=1.0 + 4.0 * thickness_mm / opening_mm,
    )


def trade_line_load_kn_per_m(*, thickness_mm: float, opening_mm: float, tensile_mpa: float) -> float:
    """Shop rule with C 1.42: 80 kN per metre and mm of thickness at V = 8 t, Rm 450."""
    return coefficient_line_load_kn_per_m(
        thickness_mm=thickness_mm, opening_mm=opening_mm, tensile_mpa=tensile_mpa, coefficient=TRADE_C
    )


def us_trade_line_load_kn_per_m(*, thickness_mm: float, opening_mm: float, tensile_mpa: float = MPA_OF_60_KSI) -> float:
    """US shop rule 575 t^2/V tons per foot (inches, 60 ksi steel), scaled by the strength; like C = 1.597."""
    positive(thickness_mm=thickness_mm, opening_mm=opening_mm, tensile_mpa=tensile_mpa)
    tons_per_foot = 575.0 * (thickness_mm / 25.4) ** 2 / (opening_mm / 25.4)
    return tons_per_foot * KN_PER_US_TON / 0.3048 * tensile_mpa / MPA_OF_60_KSI


def moment_line_load_kn_per_m(
    *, moment_n: float, arm_mm: float, loaded_turned_deg: float, friction: float = 0.0
) -> float:
    """Statics: F/L = 2 M (cos b + mu sin b)/arm, M moment per mm of width [N], b = turned/2, friction at the shoulders.

    Arm from the shoulder to where M acts. To the end of the arc (``contact_arm_mm``) the load comes out 20-50 % above
    finite-element bends, to the middle of the arc (``apex_arm_mm``) 5-15 % below them.
    """
    positive(moment_n=moment_n, arm_mm=arm_mm)
    not_negative(friction=friction)
    within(0.0, 179.0, loaded_turned_deg=loaded_turned_deg)
    tilt = radians(loaded_turned_deg) / 2.0
    return 2.0 * moment_n * (cos(tilt) + friction * sin(tilt)) / arm_mm


def air_bend_line_load_band(*, thickness_mm: float, opening_mm: float, tensile_mpa: float) -> Band:
    """The band a plan carries [kN/m]: least and greatest of Groover and Oehler; they cross at V = 4 t/0.33 = 12.1 t."""
    groover = groover_line_load_kn_per_m(thickness_mm=thickness_mm, opening_mm=opening_mm, tensile_mpa=tensile_mpa)
    oehler = oehler_line_load_kn_per_m(thickness_mm=thickness_mm, opening_mm=opening_mm, tensile_mpa=tensile_mpa)
    return Band(min(groover, oehler), max(groover, oehler), "1.33 Rm t²/V (Groover) and (1 + 4t/V) Rm t²/V (Oehler)")


def bottoming_line_load_band(*, air_bend: Band) -> Band:
    """Bottoming takes 3 to 5 times the air-bend load (common practice, wide) [same unit as given]."""
    return Band(BOTTOMING_TIMES[0] * air_bend.low, BOTTOMING_TIMES[1] * air_bend.high, "3 to 5 x air bend (practice)")


def coining_line_load_band(*, air_bend: Band) -> Band:
    """Coining takes 5 to 10 times the air-bend load (common practice, wide) [same unit as given]."""
    return Band(COINING_TIMES[0] * air_bend.low, COINING_TIMES[1] * air_bend.high, "5 to 10 x air bend (practice)")


_SYMBOLS = {"t": "thickness_mm", "V": "opening_mm", "Rm": "tensile_mpa"}
_RANGES = {"opening_mm/thickness_mm": (5.0, 16.0, "t")}
_QUESTION = "How hard must the brake press in an air bend?"
_T2 = {"thickness_mm": 2.0, "opening_mm": 16.0, "tensile_mpa": 400.0}


def _example(expected: float, tolerance: float, origin: str, source: str, **inputs: float) -> WorkedExample:
    """One worked example of a line load."""
    return WorkedExample(inputs=inputs, expected=expected, tolerance=tolerance, origin=origin, source=source)  # type: ignore[arg-type]


RECORDS = (
    ModelRecord(
        id="force_groover",
        question=_QUESTION,
        answer=groover_line_load_kn_per_m,
        source="Groover, Fundamentals of Modern Manufacturing, sheet-metal bending, F = Kbf TS w t^2/D, Kbf 1.33",
        provenance="memory",
        symbols={"TS": "tensile_mpa", "t": "thickness_mm", "D": "opening_mm"},
        ranges=_RANGES,
        examples=(
            _example(133.0, 1e-9, "derived", "1.33 x 400 x 4/16", **_T2),
            _example(
                10909.0 / 44.5,
                0.02,
                "memory",
                "Groover, worked example: 10 909 N over 44.5 mm",
                thickness_mm=3.2,
                opening_mm=25.0,
                tensile_mpa=450.0,
            ),
        ),
    ),
    ModelRecord(
        id="force_kalpakjian",
        question=_QUESTION,
        answer=lambda **inputs: kalpakjian_line_load_band(**inputs).low,
        source="Kalpakjian and Schmid, Manufacturing Processes for Engineering Materials: C 1.2 to 1.33, no friction",
        provenance="sourced",
        symbols=_SYMBOLS,
        ranges=_RANGES,
        examples=(_example(120.0, 1e-9, "derived", "1.2 x 400 x 4/16", **_T2),),
    ),
    ModelRecord(
        id="force_oehler",
        question=_QUESTION,
        answer=oehler_line_load_kn_per_m,
        source="Oehler and German press tables: F = (1 + 4 s/w) Rm b s^2/w",
        provenance="memory",
        symbols={"s": "thickness_mm", "w": "opening_mm", "Rm": "tensile_mpa"},
        ranges=_RANGES,
        examples=(_example(150.0, 1e-9, "derived", "(1 + 8/16) x 400 x 4/16", **_T2),),
    ),
    ModelRecord(
        id="force_trade",
        question=_QUESTION,
        answer=trade_line_load_kn_per_m,
        source="shop rule, C = 1.42: 80 kN per metre and mm at V = 8 t, Rm 450",
        provenance="practice",
        symbols=_SYMBOLS,
        ranges=_RANGES,
        examples=(_example(142.0, 1e-9, "derived", "1.42 x 400 x 4/16", **_T2),),
    ),
    ModelRecord(
        id="force_us_trade",
        question=_QUESTION,
        answer=us_trade_line_load_kn_per_m,
        source="US shop rule: 575 t^2 L/V US tons, inches and feet, steel of 60 ksi",
        provenance="practice",
        symbols=_SYMBOLS,
        ranges=_RANGES,
        examples=(
            _example(
                79.929 / 0.3048,
                0.1,
                "derived",
                "575 x 0.125^2 x 1 ft/1 in = 8.984 US tons = 79.93 kN",
                thickness_mm=3.175,
                opening_mm=25.4,
                tensile_mpa=MPA_OF_60_KSI,
            ),
        ),
    ),
)
