"""Slopes of one stroke against finite elements, against the sharp model, and against themselves."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import radians, tan

import numpy as np
import pytest

from bendwright.findings import OutOfRangeError
from bendwright.mechanics.air_bend import AirBend, StrokeState, stroke_curve
from bendwright.mechanics.moment_curvature import FlowCurve
from bendwright.mechanics.stroke_sensitivity import (
    StrokeSensitivity,
    scaled_curve,
    stroke_sensitivity,
    thickness_and_springback_effects,
)
from bendwright.mechanics.stroke_surface import stroke_surface, terms_of
from bendwright.shop.sheet import Sheet
from bendwright.stroke.air_bend_of import air_bend_of
from bendwright.trial.corrections import thickness_effect_deg
from bendwright.trial.readings import BendAim
from shop_talk import SHOP

MILD = AirBend(
    thickness_mm=2.0,
    half_centre_mm=8.0,
    shoulder_radius_mm=2.0,
    nose_radius_mm=1.0,
    curve=FlowCurve(law="swift", k_mpa=600.0, e0_or_b=0.010, n=0.18),
    youngs_modulus_mpa=210_000.0,
    poisson=0.3,
)
"""The first of the plane-strain finite-element bends: mild sheet, V 16 between the arcs' centres."""
SOLVERS_APART_DEG = 0.03 * 2.0**0.5
"""Two finite-element solvers differ by 0.03 degrees rms in a relaxed angle; a change is a difference of two."""


@cache
def slopes() -> StrokeSensitivity:
    """Of the mild bend at 90 degrees."""
    return stroke_sensitivity(MILD, included_deg=90.0)


@pytest.mark.origin("derived", "plane-strain finite elements: t 2.0 -> 2.1 at the same depth closes the angle by 0.57")
def test_thickness_from_touch_against_finite_elements() -> None:
    """15 % of the model and what two solvers differ."""
    change = slopes().thickness_from_touch.relaxed_deg
    assert change == pytest.approx(-0.57, abs=0.15 * 0.57 + SOLVERS_APART_DEG)


@pytest.mark.origin(
    "derived", "plane-strain finite elements: about 1.3 degrees more when the ram is referenced to the die"
)
def test_thickness_from_the_die_against_finite_elements() -> None:
    """The thicker sheet is touched earlier by what it is thicker."""
    change = slopes().thickness_from_die.relaxed_deg
    assert change == pytest.approx(-0.57 - 1.3, rel=0.15)
    assert change - slopes().thickness_from_touch.relaxed_deg == pytest.approx(-1.3, rel=0.15)


@pytest.mark.origin(
    "derived", "plane-strain finite elements: friction 0, 0.1, 0.2 gives 109, 118.5, 128 N/mm and 89.43 to 89.21 deg"
)
def test_friction_against_finite_elements() -> None:
    """Force within a tenth; the angle hardly moves."""
    change = slopes().friction
    assert change.force_n_per_mm == pytest.approx((128.0 - 109.0) / 2.0, rel=0.1)
    assert change.relaxed_deg == pytest.approx((89.21 - 89.43) / 2.0, abs=0.15 * 0.11 + 2.0 * SOLVERS_APART_DEG)


@pytest.mark.origin("law", "between the two conventions of thickness lies the depth of the extra thickness")
def test_the_two_conventions_differ_by_the_depth() -> None:
    """0.1 mm of sheet touched earlier is 0.1 mm of ram: ten times the change per 0.01 mm."""
    found = slopes()
    apart = found.thickness_from_die.relaxed_deg - found.thickness_from_touch.relaxed_deg
    assert apart == pytest.approx(10.0 * found.depth.relaxed_deg, rel=0.05)


@pytest.mark.origin("law", "signs, and scale: the tools are rigid, so angles depend on strength over modulus alone")
def test_signs_and_scale() -> None:
    """Stronger opens, stiffer closes as much; force grows with the strength; all radii and deductions have their sign."""
    found = slopes()
    assert found.depth.relaxed_deg < 0.0 < found.strength.relaxed_deg
    assert found.strength.relaxed_deg == pytest.approx(-found.modulus.relaxed_deg, rel=0.12)
    assert found.strength.force_n_per_mm == pytest.approx(0.1 * found.at_target.force_n_per_mm, rel=0.03)
    assert found.thickness_from_die.bend_deduction_mm > 0.0
    assert found.strength.springback_deg > 0.0 > found.modulus.springback_deg
    together = replace(
        MILD, curve=scaled_curve(MILD.curve, ratio=1.3), youngs_modulus_mpa=1.3 * MILD.youngs_modulus_mpa
    )
    depth = found.at_target.depth_mm
    both, plain = (stroke_curve(bend).at_depth(depth_mm=depth) for bend in (together, MILD))
    assert both.relaxed_included_deg == pytest.approx(plain.relaxed_included_deg, abs=0.01)
    assert both.force_n_per_mm == pytest.approx(1.3 * plain.force_n_per_mm, rel=1e-3)


@pytest.mark.origin("law", "steps half as wide give the same slope within a hundredth of what is told")
def test_halving_the_steps() -> None:
    """What the steps leave open is small against the thickness effect, and told."""
    found = slopes()
    for change in (found.depth, found.thickness_from_die, found.thickness_from_touch, found.strength, found.modulus):
        assert change.halving_deg < 0.05


@pytest.mark.origin("practice", "story of three stainless batches: B thicker by 0.05 and springier, C thinner by 0.02")
@pytest.mark.parametrize(("thickness_mm", "sharp_deg"), [(1.53, -0.80), (1.46, 0.30)])
def test_two_effects_of_a_stainless_batch(thickness_mm: float, sharp_deg: float) -> None:
    """The springback effect is 1.1; the thickness effect has the sharp model's sign and, as real bends need 30 to 50 % less
    ram per degree than sharp corners say, more than its size.
    """
    dies = {die.id: die for die in SHOP.cabinet.dies}
    punches = {punch.id: punch for punch in SHOP.cabinet.punches}
    sheet = Sheet(material=SHOP.materials["1.4301"], nominal_thickness_mm=1.48)
    bend, _ = air_bend_of(sheet=sheet, die=dies["V12-80"], punch=punches["P6"])
    effects = thickness_and_springback_effects(
        bend, included_deg=90.0, thickness_mm=thickness_mm, springback_before_deg=2.5, springback_now_deg=3.6
    )
    aim = BendAim(bend_id="b1", included_deg=90.0, springback_deg=2.5, thickness_mm=1.48, opening_mm=12.0)
    sharp = thickness_effect_deg(aim=aim, thickness_mm=thickness_mm)
    assert sharp == pytest.approx(sharp_deg, abs=0.05)
    assert effects.springback_deg == pytest.approx(1.1)
    assert 1.0 < effects.thickness_deg / sharp < 1.8
    assert effects.net_deg == effects.thickness_deg + effects.springback_deg


@pytest.mark.origin("law", "the surface gives back strokes it was not fitted to")
@pytest.mark.parametrize("included_deg", [60.0, 90.0, 135.0])
def test_the_surface_against_the_model(included_deg: float) -> None:
    """At places between those of the design: within 0.05 degrees and 0.02 mm, and the told error is no less than a third of that found."""
    surface = stroke_surface(MILD, included_deg=included_deg)
    depth = stroke_curve(MILD, to_included_deg=40.0).for_relaxed(included_deg=included_deg).depth_mm
    base = stroke_curve(MILD, to_included_deg=40.0).at_depth(depth_mm=depth)
    lots = np.random.default_rng(1).uniform(-0.6, 0.6, (12, 4)) * (0.14, 0.25, 0.08, 0.08)
    off = []
    for x in lots:
        other = replace(
            MILD,
            thickness_mm=2.0 + x[0],
            curve=scaled_curve(MILD.curve, ratio=float(np.exp(x[1]))),
            friction=0.1 + x[2],
        )
        state = stroke_curve(other, to_included_deg=40.0).at_depth(depth_mm=depth + x[0] + x[3])
        terms = terms_of(x[None, :])[0]
        off.append(state.relaxed_included_deg - base.relaxed_included_deg - terms @ surface.included_deg.terms)
        size = terms @ np.array(surface.deduction_mm.terms)
        assert state.bend_deduction_mm - base.bend_deduction_mm == pytest.approx(size, abs=0.02)
    assert np.abs(off).max() < 0.05
    assert np.std(off) < 3.0 * surface.included_deg.error


@pytest.mark.origin(
    "derived", "legs to the outer tangent: BD = 2 (r + t) - BA; to the mould line 2 (r + t) tan(A/2) - BA"
)
def test_the_surface_of_legs_to_the_outer_tangent() -> None:
    """Bent past 90, 0.05 mm deeper and 0.1 mm thicker: both deductions worked out from radius, thickness and allowance of the stroke."""
    curve = stroke_curve(MILD, to_included_deg=40.0)
    before = curve.for_relaxed(included_deg=60.0)
    after = stroke_curve(replace(MILD, thickness_mm=2.1), to_included_deg=40.0).at_depth(
        depth_mm=before.depth_mm + 0.15
    )

    def to_tangent(state: StrokeState, thickness_mm: float) -> float:
        outside = state.inside_radius_mm + thickness_mm
        allowance = 2.0 * outside * tan(radians(180.0 - state.relaxed_included_deg) / 2.0) - state.bend_deduction_mm
        return 2.0 * outside - allowance

    surface = stroke_surface(MILD, included_deg=60.0, to_outer_tangent=True)
    change = terms_of(np.array([[0.1, 0.0, 0.0, 0.05]]))[0] @ np.array(surface.deduction_mm.terms)
    assert change == pytest.approx(to_tangent(after, 2.1) - to_tangent(before, 2.0), abs=0.01)
    assert abs(change) < 0.3 * abs(after.bend_deduction_mm - before.bend_deduction_mm)


@pytest.mark.origin("law", "what no depth leaves is refused")
def test_angles_out_of_range() -> None:
    """Nearly flat and very acute targets."""
    for included_deg in (20.0, 178.0):
        with pytest.raises(OutOfRangeError, match="R103"):
            stroke_sensitivity(MILD, included_deg=included_deg)
        with pytest.raises(OutOfRangeError, match="R103"):
            stroke_surface(MILD, included_deg=included_deg)
