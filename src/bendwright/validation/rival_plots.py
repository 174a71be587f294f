"""The rivals of a question over the axis a setter would look along, for the pages of the methods."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import tan

from bendwright.mechanics.beam_deflection import Bow, PlateBeam, mid_deflection, sag_over_load
from bendwright.mechanics.bend_allowance import (
    HANDBOOK_C,
    aircraft_allowance_mm,
    din_6935_deduction_mm,
    handbook_allowance_mm,
    k_factor_allowance_mm,
)
from bendwright.mechanics.inside_radius import RADIUS_OVER_OPENING, air_bend_radius_mm
from bendwright.mechanics.minimum_flange import minimum_flange_exact_mm, minimum_flange_mm
from bendwright.mechanics.moment_curvature import FlowCurve, epp_moment_n, hardening_moment_n, hosford_caddell_moment_n
from bendwright.mechanics.ram_depth import ram_depth_mm, sharp_depth_mm
from bendwright.mechanics.springback import gardiner_ratio, marciniak_ratio
from bendwright.sheets.plot import Plot, Series
from bendwright.validation.neutral_axis import k_rule_lines
from bendwright.validation.pictures import force_coefficients

STEEL = {"youngs_modulus_mpa": 210000.0, "poisson": 0.3}
T2_V16 = {"half_centre_mm": 8.0, "inside_radius_mm": 2.56, "thickness_mm": 2.0, "shoulder_radius_mm": 2.0}


def rival_plots() -> dict[str, Plot]:
    """The plot of a question, for those whose rivals have an axis in common."""
    return {
        "How hard must the brake press in an air bend?": force_coefficients(),
        "Where does the neutral axis lie?": _neutral_axis(),
        "How much sheet does a bend take?": _deductions(),
        "By how much does an arc open?": _arc_ratios(),
        "How deep must the punch go?": _depths(),
        "Which inside radius does an air bend get?": _radii(),
        "How short may a flange be?": _flanges(),
        "Which moment holds the sheet at a curvature?": _moments(),
        "How much do ram and bed bow under the load?": _bows(),
    }


def _line(name: str, over: Sequence[float], height: Callable[[float], float]) -> Series:
    """A function as a line."""
    return Series(name=name, points=tuple((x, height(x)) for x in over))


def _even(low: float, high: float, steps: int = 40) -> tuple[float, ...]:
    """Numbers evenly spaced."""
    return tuple(low + (high - low) * i / steps for i in range(steps + 1))


def _ratios(low: float, high: float, steps: int = 40) -> tuple[float, ...]:
    """Numbers at equal ratios."""
    return tuple(low * (high / low) ** (i / steps) for i in range(steps + 1))


def _neutral_axis() -> Plot:
    """K over r/t."""
    return Plot(
        title="K by inside radius, air bending",
        x_name="inside radius / thickness (equal ratios)",
        y_name="K",
        series=k_rule_lines(0.3, 10.0),
        x_log=True,
    )


def _deductions() -> Plot:
    """Deduction at 90 degrees, t 2, over the radius."""
    radii = _even(0.6, 10.0)
    sizes = {"thickness_mm": 2.0, "turned_deg": 90.0}

    def off(allowance: Callable[[float], float]) -> Callable[[float], float]:
        return lambda radius: 2.0 * (radius + 2.0) * tan(0.7853981633974483) - allowance(radius)

    return Plot(
        title="Bend deduction at 90 degrees, t 2 mm",
        x_name="inside radius [mm]",
        y_name="bend deduction [mm]",
        series=(
            _line(
                "DIN 6935",
                radii,
                lambda r: din_6935_deduction_mm(inside_radius_mm=r, thickness_mm=2.0, included_deg=90.0),
            ),
            _line("K 0.33", radii, off(lambda r: k_factor_allowance_mm(inside_radius_mm=r, k_factor=0.33, **sizes))),
            _line("K 0.5", radii, off(lambda r: k_factor_allowance_mm(inside_radius_mm=r, k_factor=0.5, **sizes))),
            _line(
                "handbook, medium",
                radii,
                off(lambda r: handbook_allowance_mm(inside_radius_mm=r, c=HANDBOOK_C["medium"], **sizes)),
            ),
            _line("aircraft", radii, off(lambda r: aircraft_allowance_mm(inside_radius_mm=r, **sizes))),
        ),
    )


def _arc_ratios() -> Plot:
    """Angle after over before over r/t for two yields."""
    radii = _ratios(1.0, 200.0)
    return Plot(
        title="Angle after over before, steel of 250 MPa, plane strain",
        x_name="radius / thickness (equal ratios)",
        y_name="after / before",
        series=(
            _line(
                "Gardiner",
                radii,
                lambda r: gardiner_ratio(radius_mm=r, thickness_mm=1.0, yield_mpa=250.0, **STEEL),
            ),
            _line(
                "Marciniak, first term",
                radii,
                lambda r: marciniak_ratio(curve_radius_mm=r, thickness_mm=1.0, flow_mpa=288.675, modulus_mpa=230769.0),
            ),
        ),
        x_log=True,
    )


def _depths() -> Plot:
    """Travel from the first touch over the included angle."""
    angles = _even(80.0, 180.0)
    return Plot(
        title="Depth from the first touch, t 2, V 16, inside radius 2.56 mm",
        x_name="included angle under load [degrees]",
        y_name="depth [mm]",
        series=(
            _line("with radii", angles, lambda a: ram_depth_mm(loaded_turned_deg=180.0 - a, **T2_V16)),
            _line(
                "sharp corners",
                angles,
                lambda a: sharp_depth_mm(included_deg=a, opening_mm=16.0, thickness_mm=2.0) + 2.0,
            ),
        ),
    )


def _radii() -> Plot:
    """Radius over die opening by family."""
    openings = _even(6.0, 80.0, 37)
    groups: dict[float, list[str]] = {}
    for family, ratio in RADIUS_OVER_OPENING.items():
        groups.setdefault(ratio, []).append(family)

    def radius_of(family: str) -> Callable[[float], float]:
        return lambda v: air_bend_radius_mm(family=family, opening_mm=v, punch_radius_mm=1.0)[0]

    return Plot(
        title="Inside radius by die opening, nose 1 mm",
        x_name="die opening V [mm]",
        y_name="inside radius [mm]",
        series=tuple(_line(", ".join(names), openings, radius_of(names[0])) for names in groups.values()),
    )


def _flanges() -> Plot:
    """Shortest outside leg over V by angle."""
    angles = _even(75.0, 165.0, 45)
    return Plot(
        title="Shortest outside leg, t 2, V 16, inside radius 2.56 mm",
        x_name="included angle under load [degrees]",
        y_name="outside leg [mm]",
        series=(
            _line("thin sheet, sharp die", angles, lambda a: minimum_flange_mm(opening_mm=16.0, included_deg=a)),
            _line("with radii", angles, lambda a: minimum_flange_exact_mm(loaded_turned_deg=180.0 - a, **T2_V16)),
        ),
    )


def _moments() -> Plot:
    """Moment over the radius of the middle line."""
    radii = _ratios(3.5, 100.0)
    swift = FlowCurve(law="swift", k_mpa=525.0, e0_or_b=0.0037, n=0.186)
    return Plot(
        title="Moment per width, t 1 mm",
        x_name="radius of the middle line / thickness (equal ratios)",
        y_name="moment [N]",
        series=(
            _line(
                "ideally plastic, 185 MPa",
                radii,
                lambda r: epp_moment_n(thickness_mm=1.0, curve_radius_mm=r, yield_mpa=185.0, **STEEL),
            ),
            _line(
                "Swift 525/0.0037/0.186",
                radii,
                lambda r: hardening_moment_n(thickness_mm=1.0, curve_radius_mm=r, curve=swift, **STEEL),
            ),
            _line(
                "Hosford-Caddell 500/0.2",
                radii,
                lambda r: hosford_caddell_moment_n(thickness_mm=1.0, curve_radius_mm=r, k_mpa=500.0, n=0.2),
            ),
        ),
        x_log=True,
    )


def _bows() -> Plot:
    """Bow over the loaded length, and its shares."""
    beam = PlateBeam(span_mm=3000.0, plate_thickness_mm=60.0, plate_height_mm=1200.0)
    lengths = _even(200.0, 3000.0, 28)

    def over_load(length: float) -> Bow:
        return sag_over_load(beam=beam, load_kn=1000.0, loaded_length_mm=length)

    def in_middle(length: float) -> Bow:
        return mid_deflection(beam=beam, load_kn=1000.0, loaded_length_mm=length)

    return Plot(
        title="Bow of a plate 60 x 1200 over 3000 mm under 1000 kN",
        x_name="loaded length in the middle [mm]",
        y_name="bow [mm]",
        series=(
            _line("over the load", lengths, lambda a: over_load(a).total_mm),
            _line("of it bending", lengths, lambda a: over_load(a).bending_mm),
            _line("of it shear", lengths, lambda a: over_load(a).shear_mm),
            _line("middle against ends", lengths, lambda a: in_middle(a).total_mm),
        ),
    )
