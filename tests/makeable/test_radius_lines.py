"""Inside radius against every rule, along and across the grain, against cracks and against the drawing."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from told import line_of, lines_of, report_of, sheet_of

from bendwright.findings import OutOfRangeError
from bendwright.makeable.radii import least_radius_of_strain_mm
from bendwright.mechanics.outer_strain import outer_fibre_strain
from flat_parts import bracket_with_window
from shop_talk import example, profile, sheet

BRACKET = example("thick_bracket")


@pytest.mark.origin(
    "printed",
    "DIN 6935:1975 in a handbook's table: Rm 490 to 640, 8 to 10 mm: 20; the shop's own 1.6 t = 16.0; V125 by 0.16 V",
)
def test_both_limits_of_the_thick_bracket_are_said() -> None:
    """V100 on the big brake makes R 16: enough for the shop, less than the standard recommends; each with its source."""
    report = report_of(BRACKET, sheet=sheet_of(BRACKET, tensile_mpa=510.0))
    assert (report.brake_id, dict(report.dies)) == ("M3", {"b1": "V100"})
    own, din, other = sorted(
        lines_of(report, "radius", "inside radius"),
        key=lambda line: ("1.6 t" not in line.source, "DIN" not in line.source),
    )
    assert (own.value, own.limit, own.verdict) == (pytest.approx(16.0), pytest.approx(16.0), "ok")
    assert "the shop's own rule" in own.source
    assert (din.value, din.limit, din.verdict) == (pytest.approx(16.0), pytest.approx(20.0), "watch")
    assert "DIN 6935:1975, Rm up to 640" in din.source
    assert other.limit == pytest.approx(10.0)
    assert din.fix is not None
    assert "V 125 would give R 20.00" in din.fix.sentence
    shortest = 125.0 / 2.0 / math.sin(math.radians(44.5))
    assert f"(shortest leg {shortest:.1f} > 80.0)" in din.fix.sentence
    assert din.fix.amount == pytest.approx(4.0)


@pytest.mark.origin("derived", "0.16 x 80 = 12.8 < 16: refused by the shop's own table; V100 is owned and gives 16")
def test_a_die_too_narrow_for_the_shops_own_radius_is_refused() -> None:
    """The die that gives it is named."""
    report = report_of(BRACKET, die_id="V80", brake_id="M3")
    line = next(line for line in lines_of(report, "radius", "inside radius in V80") if "own rule" in line.source)
    assert (line.value, line.verdict) == (pytest.approx(12.8), "no")
    assert report.verdict == "no"
    assert line.fix is not None
    assert line.fix.amount == pytest.approx(3.2)


@pytest.mark.origin(
    "printed", "DIN 6935:1975: Rm 390 to 490, 1.5 to 2.5 mm: 3; next thicker band along the grain or turned over 120: 4"
)
@pytest.mark.parametrize(
    ("grain", "text", "limit", "words"),
    [
        ("along_y", "40 u90 60 x 100", 3.0, "across the grain"),
        ("along_x", "40 u90 60 x 100", 4.0, "along the grain"),
        ("unknown", "40 u90 60 x 100", 3.0, "grain not known; along it 4 mm would be asked"),
        ("along_y", "60 u125 60 x 100", 4.0, "across the grain"),
    ],
)
def test_along_and_across_the_grain(grain: str, text: str, limit: float, words: str) -> None:
    """The bend lines of a profile run along x."""
    report = report_of(profile(text), sheet=replace(sheet(), grain=grain), die_id="V16")
    line = next(line for line in lines_of(report, "radius", "inside radius") if "DIN" in line.source)
    assert line.limit == pytest.approx(limit)
    assert line.note == words


@pytest.mark.origin("derived", "drawn 2, made 0.16 x 16 = 2.56: 28 % off; 12.5 would make it")
def test_the_radius_drawn_is_not_the_one_made() -> None:
    """Said beyond 20 %; the drawing of 2.5 is met."""
    line = line_of(report_of(bracket_with_window(), die_id="V16"), "radius", "against the drawing (R 2)")
    assert (line.value, line.limit) == (pytest.approx(28.0), pytest.approx(20.0))
    assert line.verdict == "watch"
    assert line.fix is not None
    assert line.fix.sentence == "draw R 2.56, or ask for V 12"
    assert line.fix.amount == pytest.approx(0.56)


@pytest.mark.origin(
    "derived",
    "closed hem: outer strain ln 2 = 69 %; S: four times ln(1 + Ag) of DX51D 0.16 = 59 %; R = t/2 (1/(e^0.594 - 1) - 1)",
)
def test_the_closed_hems_of_the_hive_roof_may_crack() -> None:
    """A closed hem has no radius; the least one without risk is told."""
    report = report_of(example("hive_roof"))
    (line,) = [line for line in lines_of(report, "radius", "crack risk") if line.verdict == "watch"]
    assert line.value == pytest.approx(100.0 * math.log(2.0), abs=0.01)
    assert line.limit == pytest.approx(400.0 * math.log(1.16), abs=0.01)
    assert line.fix is not None
    least = 0.35 * (1.0 / (1.16**4 - 1.0) - 1.0)
    assert line.fix.sentence == f"R {least:.2f} or more"


@given(st.floats(0.05, 0.69), st.floats(0.5, 12.0))
@settings(max_examples=60, deadline=None)
@pytest.mark.origin("law", "the radius of a strain has that strain")
def test_the_radius_of_a_strain_is_its_inverse(strain: float, t: float) -> None:
    """Bent to the least radius, the outer fibre is stretched to the limit."""
    radius = least_radius_of_strain_mm(strain=strain, thickness_mm=t)
    assert outer_fibre_strain(inside_radius_mm=radius, thickness_mm=t) == pytest.approx(strain, abs=1e-9)


@pytest.mark.origin("law", "no radius belongs to no strain")
def test_no_strain_has_no_radius() -> None:
    """Refused, not divided by."""
    with pytest.raises(OutOfRangeError):
        least_radius_of_strain_mm(strain=0.0, thickness_mm=1.0)


@pytest.mark.origin("derived", "0.16 x 6 = 0.96 < 0.63 x 2 = 1.26")
def test_a_sharp_bend_creases() -> None:
    """V6 on 2 mm; a die that keeps 0.63 t is named."""
    line = line_of(report_of(profile("40 u90 60 x 100"), die_id="V6"), "radius", "sharp bend")
    assert (line.value, line.limit) == (pytest.approx(0.96), pytest.approx(1.26))
    assert line.verdict == "watch"
