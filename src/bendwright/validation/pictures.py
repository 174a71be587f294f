"""The plots of the validation page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bendwright.mechanics.bending_force import air_bend_line_load_band
from bendwright.sheets.plot import Plot, Series
from bendwright.sheets.svg import Point
from bendwright.validation.bend_points import BendCase, bend_cases
from bendwright.validation.comparison import Comparison, Evidence
from bendwright.validation.computed import places, words_of
from bendwright.validation.neutral_axis import k_rule_lines
from bendwright.validation.shape_comparisons import k_there
from bendwright.validation.springback_factors import FactorRow
from bendwright.validation.stroke_models import STROKE_MODELS, StrokeState

STEPS = 30
States = dict[str, list[tuple[float, StrokeState]]]
"""By model: depth and state along the stroke of a case."""
DRAWN = ("DC01", "X12CrNi18-8", "Al99.0")


def evidence_plots(evidence: Sequence[Evidence]) -> dict[str, Plot]:
    """Every plot of these evidences by its name."""
    by_key = {one.key: one for one in evidence}
    plots = {
        "depth_differences": _over_angle(
            by_key["fe_depth"], "Depth at an angle under load", "ours - computed [mm]", share=False
        ),
        "springback_shares": _over_angle(
            by_key["fe_springback"], "Springback of an air bend", "ours / computed", share=True
        ),
        "force_shares": _over_angle(by_key["fe_statics"], "Force from moment and arm", "ours / computed", share=True),
        "k_factors": _k_factors(),
        "force_coefficients": force_coefficients(),
    }
    for case in bend_cases():
        states = _states(case)
        plots[f"angle_{case.name}"] = _angles(case, states)
        plots[f"force_{case.name}"] = _forces(case, states)
    return plots


def _over_angle(evidence: Evidence, title: str, y_name: str, *, share: bool) -> Plot:
    """Every comparison as a point over the angle under load, one shape a model."""
    angles = {words_of(case, point): point.loaded_included_deg for case, point in places()}
    groups: dict[str, list[Point]] = {}
    for one in evidence.comparisons:
        groups.setdefault(_short(one), []).append((angles[one.case], _height(one, share)))
    series = tuple(Series(name=name, points=tuple(sorted(points)), marked=True) for name, points in groups.items())
    right = 1.0 if share else 0.0
    ends = (min(angles.values()), max(angles.values()))
    line = Series(name="in full agreement", points=((ends[0], right), (ends[1], right)))
    return Plot(title=title, x_name="included angle under load [degrees]", y_name=y_name, series=(line, *series))


def _height(one: Comparison, share: bool) -> float:
    """Ours over outside, or the difference."""
    return one.ours / one.outside if share else one.difference


def _short(one: Comparison) -> str:
    """What tells the ways of asking apart: the words in brackets, or the model."""
    return one.model.partition(" (")[2].rstrip(")") or one.model


def _k_factors() -> Plot:
    """The rules as lines, the computed bends as points."""
    groups: dict[str, list[Point]] = {}
    for case, point in places():
        groups.setdefault(case.material, []).append((point.inside_radius_mm / case.thickness_mm, k_there(case, point)))
    marks = tuple(
        Series(name=f"computed, {name}", points=tuple(sorted(points)), marked=True) for name, points in groups.items()
    )
    return Plot(
        title="Where the neutral axis lies",
        x_name="inside radius / thickness (equal ratios)",
        y_name="K",
        series=(*k_rule_lines(0.5, 5.0), *marks),
        x_log=True,
    )


def force_coefficients() -> Plot:
    """C of every formula as a line, of the computed bends as points, over V/t."""
    lines = tuple(
        Series(name=name, points=tuple((v, height(v)) for v in (5.0 + 0.5 * i for i in range(23))))
        for name, height in (
            ("Groover 1.33", lambda v: 1.33),
            ("Kalpakjian, low 1.2", lambda v: 1.2),
            ("Oehler 1 + 4t/V", lambda v: 1.0 + 4.0 / v),
            ("shop rule 1.42", lambda v: 1.42),
            ("US shop rule 1.6", lambda v: 1.597),
        )
    )
    groups: dict[str, list[Point]] = {}
    for case in bend_cases():
        peak = max(point.force_n_per_mm for point in case.points)
        coefficient = peak * case.opening_mm / (case.tensile_mpa * case.thickness_mm**2)
        groups.setdefault(case.material, []).append((case.opening_mm / case.thickness_mm, coefficient))
    marks = tuple(
        Series(name=f"computed, {name}", points=tuple(sorted(points)), marked=True) for name, points in groups.items()
    )
    return Plot(
        title="How hard the brake must press: F = C Rm t²/V",
        x_name="V / t",
        y_name="C",
        series=(*lines, *marks),
    )


def _states(case: BendCase) -> States:
    """Every stroke model along the stroke of a case, as far as it goes."""
    deepest = max(point.depth_mm for point in case.points)
    found: States = {}
    for model in STROKE_MODELS:
        for i in range(1, STEPS + 1):
            depth = deepest * i / STEPS
            state = model.at_depth(case, depth)
            if state is not None:
                found.setdefault(model.short_name, []).append((depth, state))
    return found


def _angles(case: BendCase, states_of: States) -> Plot:
    """Included angle under load and relaxed over depth."""
    lines = []
    for name, states in states_of.items():
        lines.append(Series(name=f"{name}, loaded", points=tuple((d, s.loaded_included_deg) for d, s in states)))
        lines.append(Series(name=f"{name}, relaxed", points=tuple((d, s.relaxed_included_deg) for d, s in states)))
    loaded = tuple((point.depth_mm, point.loaded_included_deg) for point in case.points)
    relaxed = tuple((point.depth_mm, point.relaxed_included_deg) for point in case.points)
    return Plot(
        title=f"{case.name}: angle over depth",
        x_name="depth of the punch from its first touch [mm]",
        y_name="included angle [degrees]",
        series=(
            *lines,
            Series(name="computed, loaded", points=loaded, marked=True),
            Series(name="computed, relaxed", points=relaxed, marked=True),
        ),
    )


def _forces(case: BendCase, states_of: States) -> Plot:
    """Force over depth, with the band a plan carries for the whole stroke."""
    band = air_bend_line_load_band(
        thickness_mm=case.thickness_mm, opening_mm=case.opening_mm, tensile_mpa=case.tensile_mpa
    )
    deepest = max(point.depth_mm for point in case.points)
    lines = [
        Series(name=f"plan's band, {name}", points=((0.0, load), (deepest, load)))
        for name, load in (("lower end", band.low), ("upper end", band.high))
    ]
    for name, states in states_of.items():
        known = tuple((depth, state.force_n_per_mm) for depth, state in states if state.force_n_per_mm is not None)
        lines += [Series(name=name, points=known)] if known else []
    points = tuple((point.depth_mm, point.force_n_per_mm) for point in case.points)
    return Plot(
        title=f"{case.name}: force over depth",
        x_name="depth of the punch from its first touch [mm]",
        y_name="line load [kN/m]",
        series=(*lines, Series(name="computed", points=points, marked=True)),
    )


def factor_plot(rows: Sequence[FactorRow]) -> Plot:
    """Three materials of the springback table: printed as points, the best yield as a line."""
    by_name: Mapping[str, FactorRow] = {row.material: row for row in rows}
    series = []
    for name in DRAWN:
        row = by_name[name]
        ratios = row.radius_over_thickness
        series.append(
            Series(name=f"model, yield {row.yield_mpa} MPa", points=tuple(zip(ratios, row.ours, strict=True)))
        )
        series.append(Series(name=f"{name}, printed", points=tuple(zip(ratios, row.printed, strict=True)), marked=True))
    return Plot(
        title="Springback factor kR over a former",
        x_name="finished inside radius / thickness (equal ratios)",
        y_name="kR",
        series=tuple(series),
        x_log=True,
    )
