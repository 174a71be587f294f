"""How long is a step of two opposite bends, and can it be made bend by bend or only in one stroke?

A step (joggle, Z): two bends of the same turned angle and opposite sense, a web between them. ``step_mm`` is how far one
face lies off the same face on the other side; the thickness does not enter. Both inside radii are equal.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin, tan

from bendwright.findings import OutOfRangeError, found
from bendwright.mechanics.bend_allowance import k_factor_allowance_mm, setback_mm
from bendwright.mechanics.bottoming import bottoming_model_band
from bendwright.mechanics.limits import not_negative, positive, within
from bendwright.mechanics.record import ModelRecord, WorkedExample
from bendwright.quantities import Band

ONE_STROKE_HINGES = (2.0, 4.0)
OFFSET_TIMES = (4.0, 8.0)
"""Load of an offset tool over the air-bend load of one bend in V 8 t (memory, low confidence)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StepSizes:
    """A step laid out: straight of the web, run along the sheet, length in the flat, where the bend lines lie [mm].

    ``run_mm`` is from the first tangent to the last along the sheet's plane, ``flat_mm`` the same piece unbent;
    ``bend_lines_mm`` count from the first tangent in the flat.
    """

    web_straight_mm: float
    run_mm: float
    flat_mm: float
    bend_lines_mm: tuple[float, float]
    bend_allowance_mm: float

    @property
    def extra_mm(self) -> float:
        """What the step takes more than its run."""
        return self.flat_mm - self.run_mm


def web_straight_mm(*, step_mm: float, turned_deg: float, inside_radius_mm: float, thickness_mm: float) -> float:
    """Straight of the web between both arcs: (h - (2 ri + t)(1 - cos A))/sin A; below 0 the step is too small."""
    positive(step_mm=step_mm, thickness_mm=thickness_mm)
    not_negative(inside_radius_mm=inside_radius_mm)
    within(1.0, 179.0, turned_deg=turned_deg)
    turned = radians(turned_deg)
    return (step_mm - (2.0 * inside_radius_mm + thickness_mm) * (1.0 - cos(turned))) / sin(turned)


def least_step_mm(*, turned_deg: float, inside_radius_mm: float, thickness_mm: float) -> float:
    """Smallest step these radii can make: the two arcs meet, (2 ri + t)(1 - cos A)."""
    positive(thickness_mm=thickness_mm)
    not_negative(inside_radius_mm=inside_radius_mm)
    within(1.0, 179.0, turned_deg=turned_deg)
    return (2.0 * inside_radius_mm + thickness_mm) * (1.0 - cos(radians(turned_deg)))


def step_sizes(
    *, step_mm: float, turned_deg: float, inside_radius_mm: float, thickness_mm: float, k_factor: float
) -> StepSizes:
    """Lay the step out: run = (2 ri + t) sin A + w cos A, flat = 2 BA + w.

    OutOfRangeError W101 when the step is smaller than ``least_step_mm``.
    """
    shape = {"turned_deg": turned_deg, "inside_radius_mm": inside_radius_mm, "thickness_mm": thickness_mm}
    web = web_straight_mm(step_mm=step_mm, **shape)
    least = least_step_mm(**shape)
    if web < -1e-9:
        raise OutOfRangeError(found("W101", where="step_mm", step_mm=step_mm, least_mm=least, turned_deg=turned_deg))
    web = max(0.0, web)
    allowance = k_factor_allowance_mm(**shape, k_factor=k_factor)
    turned = radians(turned_deg)
    run = (2.0 * inside_radius_mm + thickness_mm) * sin(turned) + web * cos(turned)
    lines = (0.5 * allowance, 1.5 * allowance + web)
    return StepSizes(
        web_straight_mm=web,
        run_mm=run,
        flat_mm=2.0 * allowance + web,
        bend_lines_mm=lines,
        bend_allowance_mm=allowance,
    )


def web_outside_mm(*, web_mm: float, turned_deg: float, inside_radius_mm: float, thickness_mm: float) -> float:
    """Web between its two mould lines, one on either face: straight + 2 (ri + t) tan(A/2)."""
    not_negative(web_mm=web_mm)
    setback = setback_mm(
        inside_radius_mm=inside_radius_mm, thickness_mm=thickness_mm, turned_deg=turned_deg, measured_to="mould_line"
    )
    return web_mm + 2.0 * setback


def least_web_beside_die_mm(
    *, die_half_width_mm: float, turned_deg: float, thickness_mm: float, clearance_mm: float
) -> float:
    """Shortest outside web for the second bend of a step made bend by bend: the first leg hangs beside the die.

    Half width of the die block (and what stands under it as wide) + clearance + t tan(A/2), the last from the outer to
    the inner mould line. For turned angles up to 90; a leg bent further reaches back under the sheet.
    """
    positive(die_half_width_mm=die_half_width_mm, thickness_mm=thickness_mm)
    not_negative(clearance_mm=clearance_mm)
    within(1.0, 90.0, turned_deg=turned_deg)
    return die_half_width_mm + clearance_mm + thickness_mm * tan(radians(turned_deg) / 2.0)


def one_stroke_arm_mm(*, web_mm: float, turned_deg: float, inside_radius_mm: float, thickness_mm: float) -> float:
    """Distance along the sheet's plane between the middles of both arcs: w cos A + 2 R (sin A - sin(A/2)), R = ri + t/2.

    At 90 degrees 0.586 R, however long the web.
    """
    not_negative(web_mm=web_mm, inside_radius_mm=inside_radius_mm)
    positive(thickness_mm=thickness_mm)
    within(1.0, 90.0, turned_deg=turned_deg)
    turned = radians(turned_deg)
    radius = inside_radius_mm + thickness_mm / 2.0
    return web_mm * cos(turned) + 2.0 * radius * (sin(turned) - sin(turned / 2.0))


def one_stroke_line_load_kn_per_m(
    *,
    moment_n: float,
    web_mm: float,
    turned_deg: float,
    inside_radius_mm: float,
    thickness_mm: float,
    coefficient: float = ONE_STROKE_HINGES[0],
) -> float:
    """Load of an offset tool at the end of its stroke [kN/m]: C M/arm, hinges in both arcs (2), or twice as many (4).

    The web is a beam between the two noses with the plastic moment M, of opposite sense, at either end: 2 M/arm. With the
    arcs pressed home the hinges beside each arc come on top: 4 M/arm.
    """
    positive(moment_n=moment_n, coefficient=coefficient)
    shape = {"turned_deg": turned_deg, "inside_radius_mm": inside_radius_mm, "thickness_mm": thickness_mm}
    return coefficient * moment_n / one_stroke_arm_mm(web_mm=web_mm, **shape)


def one_stroke_load_band(
    *, moment_n: float, web_mm: float, turned_deg: float, inside_radius_mm: float, thickness_mm: float
) -> Band:
    """Load of an offset tool [kN/m]: hinges of the web alone, to everything pressed home.

    High end: the larger of 4 M/arm and the load that bottoms one such bend; the same force passes through both bends.
    """
    shape = {"turned_deg": turned_deg, "inside_radius_mm": inside_radius_mm, "thickness_mm": thickness_mm}
    low, high = (
        one_stroke_line_load_kn_per_m(moment_n=moment_n, web_mm=web_mm, **shape, coefficient=hinges)
        for hinges in ONE_STROKE_HINGES
    )
    home = bottoming_model_band(moment_n=moment_n, **shape)
    return Band(low, max(high, home.high), "hinges of the web, to both bends pressed home (derived)")


def offset_practice_band(*, air_bend: Band) -> Band:
    """4 to 8 times the air-bend load of one bend (memory, low confidence) [same unit as given]."""
    return Band(OFFSET_TIMES[0] * air_bend.low, OFFSET_TIMES[1] * air_bend.high, "4 to 8 x air bend (memory)")


def one_stroke_travel_mm(*, step_mm: float) -> float:
    """Travel of an offset tool from first touch to the step under load: the step itself, both noses on opposite faces.

    The step springs back; by how much the tool must be set deeper shows on a strip.
    """
    positive(step_mm=step_mm)
    return step_mm


_Z = {"turned_deg": 90.0, "inside_radius_mm": 1.0, "thickness_mm": 1.0}

RECORDS = (
    ModelRecord(
        id="step_web",
        question="How long is the web of a step?",
        answer=web_straight_mm,
        source="geometry of two equal arcs of opposite sense",
        provenance="derived",
        symbols={"h": "step_mm", "A": "turned_deg", "ri": "inside_radius_mm", "t": "thickness_mm"},
        examples=(
            WorkedExample(
                inputs={**_Z, "step_mm": 10.0}, expected=7.0, tolerance=1e-9, origin="derived", source="10 - 3 at 90"
            ),
            WorkedExample(
                inputs={**_Z, "turned_deg": 60.0, "step_mm": 1.5},
                expected=0.0,
                tolerance=1e-9,
                origin="derived",
                source="(2 + 1)(1 - cos 60) = 1.5: the arcs meet",
            ),
        ),
    ),
    ModelRecord(
        id="step_one_stroke",
        question="How hard must the brake press to make a step in one stroke?",
        answer=one_stroke_line_load_kn_per_m,
        source="plastic hinges of the web between the two noses (lower end of the band)",
        provenance="derived",
        symbols={"M": "moment_n", "w": "web_mm", "A": "turned_deg"},
        ranges={"inside_radius_mm/thickness_mm": (0.3, 3.0, "of t"), "turned_deg": (30.0, 90.0, "degrees")},
        examples=(
            WorkedExample(
                inputs={**_Z, "moment_n": 100.0, "web_mm": 0.0},
                expected=200.0 / (3.0 * (1.0 - 0.5**0.5)),
                tolerance=1e-9,
                origin="derived",
                source="2 M/(2 R (1 - sin 45)), R 1.5",
            ),
        ),
        remarks="A guess of the size. No measured load of an offset tool stands behind it: try it low on a strip.",
    ),
)
