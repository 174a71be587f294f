"""What does it take to press a pre-bent hem flat, and what if the ram goes too far?

Three stages. The leg swings down about the fold: one hinge, a long arm, little load. Then both bars lie on the loop and
crush it: a hinge at the nose of the fold and one under the bar, where the loop is unbent. Last,
sheet lies on sheet and there is nothing left to bend: the load then has no limit but the brake's. Line loads in kN/m.
"""

from __future__ import annotations

from math import cos, radians, sqrt

from bendwright.mechanics.coining import SQUEEZED
from bendwright.mechanics.limits import not_negative, positive, within
from bendwright.mechanics.record import ModelRecord, WorkedExample
from bendwright.quantities import Band


def leg_closing_line_load_kn_per_m(*, moment_n: float, leg_mm: float, included_deg: float) -> float:
    """Load on the tip of the leg that swings it down: M/(l cos a), one plastic hinge in the fold, arm l cos a."""
    positive(moment_n=moment_n, leg_mm=leg_mm)
    within(0.0, 89.0, included_deg=included_deg)
    return moment_n / (leg_mm * cos(radians(included_deg)))


def loop_arm_mm(*, loop_radius_mm: float, thickness_mm: float, gap_mm: float = 0.0) -> float:
    """Arm from the touch of the bar to the nose of the fold while the loop is crushed: R sqrt(1 - (1 - H/2R)^2).

    R = ``loop_radius_mm`` + t/2 of the loop as pre-bent, H = gap + t, both of the middle line. Quarter arcs turn as rigid
    pieces and the touch travels toward the nose, as in a tube crushed between plates (DeRuntz and Hodge, 1963).
    A gap not below 2 x loop radius leaves the loop alone: the arm is R.
    """
    not_negative(gap_mm=gap_mm)
    positive(loop_radius_mm=loop_radius_mm, thickness_mm=thickness_mm)
    radius = loop_radius_mm + thickness_mm / 2.0
    crushed = max(0.0, 1.0 - (gap_mm + thickness_mm) / (2.0 * radius))
    return radius * sqrt(1.0 - crushed**2)


def crushing_line_load_kn_per_m(
    *, moment_n: float, loop_radius_mm: float, thickness_mm: float, gap_mm: float = 0.0
) -> float:
    """Load that crushes the loop to a gap while its quarter arcs stay as they are: F/L = 2 M/arm, arm by ``loop_arm_mm``.

    Hinges at the nose of the fold and under the bar; ``moment_n`` is the plastic moment at the radius reached. Twice this
    on a whole tube is DeRuntz and Hodge's load. Example: M 0.289 s t^2, loop radius t, closed -> 0.516 s t, s flow stress.
    """
    positive(moment_n=moment_n)
    return 2.0 * moment_n / loop_arm_mm(loop_radius_mm=loop_radius_mm, thickness_mm=thickness_mm, gap_mm=gap_mm)


def rolling_line_load_kn_per_m(*, moment_n: float, thickness_mm: float, gap_mm: float = 0.0) -> float:
    """Load that rolls the loop down to a half circle of the gap's size: F/L = 2 M/(H/2), H = gap + t.

    The same two hinges; the sheet behind the loop is rolled flat, so the lever is the loop's own middle radius. The loads
    of finite-element hems lie 9 to 19 % below it, from a gap of 1.4 t down to 0.2 t.
    """
    positive(moment_n=moment_n, thickness_mm=thickness_mm)
    not_negative(gap_mm=gap_mm)
    return 4.0 * moment_n / (gap_mm + thickness_mm)


def hem_flattening_model_band(
    *, moment_n: float, loop_radius_mm: float, thickness_mm: float, leg_mm: float, gap_mm: float = 0.0
) -> Band:
    """Load of the flattening stroke [kN/m]: arcs that stay, to a loop rolled down; only the leg's swing, once to twice,
    where the gap leaves the loop alone.
    """
    positive(leg_mm=leg_mm)
    if gap_mm >= 2.0 * loop_radius_mm:
        swing = leg_closing_line_load_kn_per_m(moment_n=moment_n, leg_mm=leg_mm, included_deg=0.0)
        return Band(swing, 2.0 * swing, "swing of the leg about the fold, one hinge (derived)")
    low = crushing_line_load_kn_per_m(
        moment_n=moment_n, loop_radius_mm=loop_radius_mm, thickness_mm=thickness_mm, gap_mm=gap_mm
    )
    high = rolling_line_load_kn_per_m(moment_n=moment_n, thickness_mm=thickness_mm, gap_mm=gap_mm)
    return Band(low, high, "two plastic hinges, arcs of the loop kept, to loop rolled down (derived)")


def squeezing_line_load_kn_per_m(*, leg_mm: float, flow_mpa: float) -> float:
    """Load once two layers lie flat on each other and are squeezed all over: 2/sqrt3 x flow stress x leg.

    What a ram set below 2 t + gap runs up to; ten and more times the flattening. Example: leg 12, 400 MPa -> 5543.
    """
    positive(leg_mm=leg_mm, flow_mpa=flow_mpa)
    return SQUEEZED * flow_mpa * leg_mm


def hem_deduction_from_strip_mm(*, outside_mm: float, hem_leg_mm: float, flat_mm: float) -> float:
    """Deduction a test strip shows, creep of the hem included: outside + hem leg - flat length."""
    positive(outside_mm=outside_mm, hem_leg_mm=hem_leg_mm, flat_mm=flat_mm)
    return outside_mm + hem_leg_mm - flat_mm


RECORDS = (
    ModelRecord(
        id="hem_crushing",
        question="How hard must the brake press to flatten a hem?",
        answer=crushing_line_load_kn_per_m,
        source="half of DeRuntz and Hodge, J. Appl. Mech. 30 (1963): crushing of a tube between rigid plates",
        provenance="memory",
        symbols={"M": "moment_n", "R": "loop_radius_mm", "t": "thickness_mm", "H": "gap_mm"},
        ranges={"loop_radius_mm/thickness_mm": (0.5, 3.0, "of t")},
        examples=(
            WorkedExample(
                inputs={"moment_n": 288.675, "loop_radius_mm": 1.0, "thickness_mm": 1.0},
                expected=2.0 * 288.675 / (1.5 * (1.0 - 4.0 / 9.0) ** 0.5),
                tolerance=1e-6,
                origin="derived",
                source="R 1.5, H 1: crushed 2/3, arm 1.5 sqrt(5/9) = 1.118; 2 M/1.118 = 516",
            ),
            WorkedExample(
                inputs={"moment_n": 100.0, "loop_radius_mm": 5.0, "thickness_mm": 1.0, "gap_mm": 10.0},
                expected=2.0 * 100.0 / 5.5,
                tolerance=1e-9,
                origin="memory",
                source="start of the crushing of a tube: 4 M/R for the whole, 2 M/R for half of it",
            ),
        ),
        remarks=(
            "Rigid-plastic; the moment must be that of the tight fold, with the sheet hardened by strains of 0.3 to 0.7. "
            "Lower end of a band: finite-element hems take 1.2 to 1.8 times this."
        ),
    ),
    ModelRecord(
        id="hem_rolling",
        question="How hard must the brake press to flatten a hem?",
        answer=rolling_line_load_kn_per_m,
        source="statics of a half circle between bars, full plastic moment at its nose and at its shoulder",
        provenance="derived",
        symbols={"M": "moment_n", "t": "thickness_mm", "H": "gap_mm"},
        examples=(
            WorkedExample(
                inputs={"moment_n": 150.0, "thickness_mm": 1.0, "gap_mm": 0.5},
                expected=400.0,
                tolerance=1e-9,
                origin="derived",
                source="2 x 150/0.75",
            ),
        ),
        remarks="Upper end of the band; it meets the crushed loop where the gap is the loop's own.",
    ),
)
