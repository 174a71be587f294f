"""What errors of deduction, thickness, gauge and cut do to outside sizes, by the way of gauging."""

from __future__ import annotations

import math
from collections.abc import Mapping

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from told import line_of, lines_of, report_of, sheet_of

from bendwright.makeable.report import make_report
from bendwright.makeable.size_stack import WAYS, Errors, SizeEffect, Way, deduction_per_thickness, size_effects
from bendwright.makeable.sizes import GivenErrors
from bendwright.mechanics.bend_allowance import deduction_mm, k_factor_allowance_mm, setback_mm
from bendwright.part.bend_size import BendSize, fixed_size
from bendwright.part.model import Part
from shop_talk import SHOP, example, panel, profile

OFF = Errors(deduction_mm=0.2, thickness_mm=0.1, gauge_mm=0.05, cut_mm=0.1)
CHANNEL = "15 u90 40 u90 80 u90 40 u90 15 x 1200"


def sizes_of(part: Part) -> Mapping[str, BendSize]:
    """R 2.56, K 0.42, t 2."""
    return {b.id: fixed_size(b, inside_radius_mm=2.56, k_factor=0.42, thickness_mm=2.0) for b in part.bends}


def effects(part: Part, way: Way, errors: Errors = OFF) -> dict[str, SizeEffect]:
    """The effects by flange."""
    return {item.flange_id: item for item in size_effects(part, sizes_of(part), errors, way=way)}


@pytest.mark.origin(
    "derived",
    "true deduction +0.20 a bend, lips and walls gauged from outside in: 15.1, 40.1 and 80 + 8/2 x 0.20 - ... = 80.4",
)
def test_the_lipped_channel() -> None:
    """Lips and walls take half a deduction each, the base the rest."""
    found = effects(profile(CHANNEL), "outside in")
    assert [found[f"leg{k}"].deduction_mm for k in range(1, 6)] == pytest.approx([0.1, 0.1, 0.4, 0.1, 0.1])
    report = make_report(profile(CHANNEL), sheet_of(profile(CHANNEL)), SHOP, errors=GivenErrors(deduction_mm=0.2))
    assert report.sizes is not None
    told = {stack.flange_id: stack.effect("outside in").deduction_mm for stack in report.sizes.stacks}
    assert [told[f"leg{k}"] for k in (1, 2, 3)] == pytest.approx([0.10, 0.10, 0.40])


@pytest.mark.origin(
    "derived",
    "U 50-60-50: off both legs' edges the base takes it; off the outside of the first leg the base is held, the last leg takes it",
)
def test_the_way_of_gauging_moves_the_error() -> None:
    """The cable tray: its base is the fit, so it is gauged through the part."""
    part = profile("50 u90 60 u90 50 x 2000")
    outside, through = effects(part, "outside in"), effects(part, "through the part")
    assert (outside["leg2"].deduction_mm, outside["leg1"].deduction_mm) == pytest.approx((0.2, 0.1))
    assert (through["leg2"].deduction_mm, through["leg3"].deduction_mm) == pytest.approx((0.1, 0.2))
    assert (outside["leg2"].cut_mm, through["leg2"].cut_mm) == pytest.approx((0.2, 0.0))
    assert (outside["leg2"].gauge_mm, through["leg2"].gauge_mm) == pytest.approx((0.1, 0.05))
    report = report_of(example("cable_tray"))
    assert report.sizes is not None
    assert report.sizes.way == "through the part"
    base = next(stack for stack in report.sizes.stacks if stack.size_mm == pytest.approx(60.0))
    assert base.tolerance_mm == pytest.approx(0.25)
    assert base.tolerance_source.startswith("the drawing")


legs = st.lists(st.floats(30.0, 90.0), min_size=2, max_size=6)


@given(legs, st.lists(st.sampled_from(["u90", "d90", "u45", "d120"]), min_size=5, max_size=5), st.sampled_from(WAYS))
@settings(max_examples=60, deadline=None)
@pytest.mark.origin(
    "law", "outside lengths add up to the blank and the true deductions, whichever way the bends are gauged"
)
def test_the_legs_always_take_all_of_the_deductions(sizes: list[float], bends: list[str], way: Way) -> None:
    """Blank uncut: a deduction off by 0.2 a bend makes the legs longer by 0.2 a bend in sum; gauges and edges move, they add nothing."""
    text = f"{sizes[0]:.2f} " + " ".join(f"{bend} {leg:.2f}" for bend, leg in zip(bends, sizes[1:], strict=False))
    part = profile(f"{text} x 100")
    found = effects(part, way)
    assert sum(item.deduction_mm for item in found.values()) == pytest.approx(0.2 * len(part.bends))
    slopes = [deduction_per_thickness(bend, sizes_of(part)[bend.id]) for bend in part.bends]
    assert sum(item.thickness_mm for item in found.values()) == pytest.approx(0.1 * sum(slopes))


@pytest.mark.origin("derived", "d BD / d t at 90 degrees: 2 - pi K / 2")
def test_a_deduction_follows_the_thickness() -> None:
    """Against the difference of two deductions; beyond 90 both conventions."""
    for text in ("40 u90 60 x 9", "40 u45 60 x 9", "40 u135 60 x 9"):
        (bend,) = profile(text).bends
        size = fixed_size(bend, inside_radius_mm=2.56, k_factor=0.42, thickness_mm=2.0)

        def bd(t: float, turned: float = bend.turned_deg, measured: str = bend.measured_to) -> float:
            back = setback_mm(inside_radius_mm=2.56, thickness_mm=t, turned_deg=turned, measured_to=measured)  # type: ignore[arg-type]
            arc = k_factor_allowance_mm(inside_radius_mm=2.56, thickness_mm=t, turned_deg=turned, k_factor=0.42)
            return deduction_mm(setback_mm=back, bend_allowance_mm=arc)

        assert deduction_per_thickness(bend, size) == pytest.approx((bd(2.1) - bd(1.9)) / 0.2, rel=1e-6)
    (square,) = profile("40 u90 60 x 9").bends
    size = fixed_size(square, inside_radius_mm=2.56, k_factor=0.42, thickness_mm=2.0)
    assert deduction_per_thickness(square, size) == pytest.approx(2.0 - math.pi * 0.42 / 2.0)


@pytest.mark.origin(
    "derived", "a tray's base has two sizes, each between two walls: two halves and two quarters ... 2 x (0.1 + 0.1)"
)
def test_a_base_has_a_size_each_way() -> None:
    """Both directions are told; each wall is a size of its own."""
    part = panel(
        "material: S235JR\nthickness: 2\npanel:\n  base: {width: 200, depth: 120}\n  flanges:\n"
        "    - {edge: [front, right, back, left], leg: 30, direction: up, turned: 90}\n"
    )
    found = size_effects(part, sizes_of(part), OFF, way="outside in")
    base = [item for item in found if item.flange_id == "base"]
    assert sorted(item.size_mm for item in base) == pytest.approx([120.0, 200.0])
    assert [item.deduction_mm for item in base] == pytest.approx([0.2, 0.2])
    assert [item.cut_mm for item in base] == pytest.approx([0.2, 0.2])
    walls = [item for item in found if item.flange_id != "base"]
    assert [item.deduction_mm for item in walls] == pytest.approx([0.1] * 4)


@pytest.mark.origin("printed", "ISO 2768-1 m: 0.3 for 30 to 120 mm; root of the squares of 0.10, 0.16, 0.05")
def test_a_size_out_of_its_tolerance_is_watched() -> None:
    """Half a millimetre a bend is too much for a leg of 45."""
    part = example("stair_tread")
    sheet = sheet_of(part)
    report = make_report(part, sheet, SHOP, errors=GivenErrors(deduction_mm=1.0, thickness_mm=0.1))
    line = line_of(report, "size", "outside size 45.00")
    assert line.limit == pytest.approx(0.3)
    slope = 2.0 - math.pi * 0.42 / 2.0
    assert line.value == pytest.approx(math.hypot(0.5, 0.5 * 0.1 * slope, 0.05), abs=1e-6)
    assert line.verdict == "watch"
    assert line.fix is not None
    assert line.fix.amount == pytest.approx(line.value - 0.3)
    assert report.sizes is not None
    assert report.sizes.errors.source.startswith("deduction, thickness as given; else")


@pytest.mark.origin("practice", "measured sheet: read to 0.02; else the mill's table")
def test_measuring_the_sheet_narrows_the_sizes() -> None:
    """Nominal 4 mm is worth several tenths."""
    part = example("stair_tread")
    nominal, measured = report_of(part), report_of(part, sheet=sheet_of(part, "4.0 mm"))
    values = [lines_of(report, "size", "outside size 250")[0].value or 0.0 for report in (nominal, measured)]
    assert values[1] < values[0]
