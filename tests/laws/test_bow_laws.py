"""Laws of bow and crown, whatever the beam and the load: equilibrium, superposition, reciprocity, mirror, proportion."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bendwright.mechanics.beam_any_load import PartLoad, SupportedBeam, deflection_mm, moment_kn_m, reactions_kn
from bendwright.mechanics.crown import bed_bow_shape, fit_crown, parabola_shape
from bendwright.quantities import Band
from bendwright.shop.brake import Brake
from bendwright.shop.brake_bow import CrownDevice
from bendwright.shop.read import built_in_shop
from bendwright.stroke.crown import crown_of_stroke
from bendwright.trial.bow_calibration import TestBend, bow_expected_deg, calibrate
from bendwright.trial.readings import Reading

places = st.floats(-500.0, 3500.0)
beams = st.builds(
    lambda left, span, stiffness, share: SupportedBeam(
        bending_stiffness_n_mm2=stiffness,
        shear_stiffness_n=stiffness * share * 1e-6,
        left_support_mm=left,
        right_support_mm=left + span,
    ),
    st.floats(-200.0, 400.0),
    st.floats(500.0, 3500.0),
    st.floats(1e13, 1e16),
    st.floats(0.5, 20.0),
)
part_loads = st.builds(
    lambda load, start, length: PartLoad(load_kn=load, from_mm=start, to_mm=start + length),
    st.floats(1.0, 2000.0),
    st.floats(-500.0, 3000.0),
    st.one_of(st.just(0.0), st.floats(1e-6, 2500.0)),
)
loads = st.lists(part_loads, min_size=1, max_size=4)


def whole(beam, acting, at):
    """The deflection at places, both shares."""
    return deflection_mm(beam=beam, loads=acting, places_mm=np.atleast_1d(np.array(at))).total_mm


def scale(beam, acting):
    """A size for rounding errors: what all loads would do in the middle of a beam as long as the bed [mm]."""
    force, length = 1000.0 * sum(load.load_kn for load in acting), 4000.0
    return force * length**3 / (48.0 * beam.bending_stiffness_n_mm2) + force * length / (4.0 * beam.shear_stiffness_n)


@given(beams, loads)
@pytest.mark.origin("law", "sum of forces and sum of moments are 0; no moment beyond everything that acts")
def test_equilibrium(beam, acting):
    """Reactions carry the loads; the moment line ends at 0 on both sides."""
    left, right = reactions_kn(beam=beam, loads=acting)
    total, far = sum(load.load_kn for load in acting), 8000.0
    assert left + right == pytest.approx(total, rel=1e-12)
    about_left = sum(load.load_kn * (load.middle_mm - beam.left_support_mm) for load in acting)
    assert right * beam.span_mm == pytest.approx(about_left, rel=1e-9, abs=1e-9 * total * far)
    ends = moment_kn_m(beam=beam, loads=acting, places_mm=np.array([-far, far]))
    assert ends.tolist() == pytest.approx([0.0, 0.0], abs=1e-9 * total * far / beam.span_mm * far)


@given(beams, loads, st.lists(places, min_size=1, max_size=5))
@pytest.mark.origin("law", "superposition: all loads together bow as much as one after the other; supports do not move")
def test_superposition(beam, acting, at):
    """The beam is linear."""
    together = whole(beam, acting, at)
    apart = sum(whole(beam, [load], at) for load in acting)
    size = scale(beam, acting)
    assert together.tolist() == pytest.approx(apart.tolist(), rel=1e-9, abs=1e-9 * size)
    held = whole(beam, acting, [beam.left_support_mm, beam.right_support_mm])
    assert held.tolist() == pytest.approx([0.0, 0.0], abs=1e-9 * size)


@given(beams, places, places)
@pytest.mark.origin("law", "Maxwell-Betti: a single load at one place moves another as much as the other way round")
def test_reciprocity(beam, one, two):
    """True beyond the supports too."""
    load = PartLoad(load_kn=100.0, from_mm=one, to_mm=one)
    there = whole(beam, [load], two)[0]
    back = whole(beam, [PartLoad(load_kn=100.0, from_mm=two, to_mm=two)], one)[0]
    assert there == pytest.approx(back, rel=1e-9, abs=1e-9 * scale(beam, [load]))


@given(beams, loads, places)
@pytest.mark.origin("law", "mirror: everything turned end for end bows the same, mirrored")
def test_mirror(beam, acting, at):
    """Left and right are alike."""
    turned = replace(beam, left_support_mm=-beam.right_support_mm, right_support_mm=-beam.left_support_mm)
    mirrored = [PartLoad(load_kn=p.load_kn, from_mm=-p.to_mm, to_mm=-p.from_mm) for p in acting]
    here, there = whole(beam, acting, at)[0], whole(turned, mirrored, -at)[0]
    assert there == pytest.approx(here, rel=1e-9, abs=1e-9 * scale(beam, acting))


@given(beams, part_loads)
@pytest.mark.origin("law", "a short even load is a single load; half of it left and half of it right are the whole")
def test_loads_can_be_cut(beam, load):
    """Cutting a load in two changes nothing, down to a millionth of a millimetre of length."""
    half = replace(load, load_kn=load.load_kn / 2)
    middle = load.middle_mm
    at = np.linspace(-500.0, 3500.0, 9)
    cut = [replace(half, to_mm=middle), replace(half, from_mm=middle)]
    uncut, size = whole(beam, [load], at).tolist(), scale(beam, [load])
    assert whole(beam, cut, at).tolist() == pytest.approx(uncut, rel=1e-9, abs=1e-9 * size)


@given(
    st.floats(0.05, 2.0), st.floats(-0.5, 0.5), st.floats(-0.5, 0.5), st.floats(100.0, 1400.0), st.floats(1500, 3000)
)
@pytest.mark.origin("law", "what crown, depth and tilt can make they take away to nothing")
def test_a_crown_takes_its_own_shape_away(height, depth, tilt, start, end):
    """Height, depth and tilt come back, for both forms of crown; without a crown its bow stays."""
    at = np.linspace(start, end, 41)
    bed = SupportedBeam(
        bending_stiffness_n_mm2=2e15, shear_stiffness_n=5e9, left_support_mm=250.0, right_support_mm=2850.0
    )
    line = depth + tilt * (at - at.mean()) / (end - start)
    for shape in (
        parabola_shape(from_mm=50.0, to_mm=3050.0, places_mm=at),
        bed_bow_shape(bed=bed, from_mm=50.0, to_mm=3050.0, places_mm=at),
    ):
        fit = fit_crown(places_mm=at, opening_mm=height * shape + line, shape=shape)
        assert (fit.height_mm, fit.depth_mm, fit.tilt_mm) == pytest.approx((height, depth, tilt), abs=1e-6)
        assert np.max(np.abs(fit.residual_mm)) < 1e-9
        held = fit_crown(places_mm=at, opening_mm=height * shape + line, shape=shape, largest_mm=0.5 * height)
        assert held.height_mm == pytest.approx(0.5 * height)
        bare = fit_crown(places_mm=at, opening_mm=height * shape + line, shape=None)
        assert np.max(np.abs(bare.residual_mm)) > np.max(np.abs(held.residual_mm))
        humped = fit_crown(places_mm=at, opening_mm=-height * shape, shape=shape)
        assert humped.height_mm == 0.0


@given(st.lists(st.floats(-1.0, 1.0), min_size=6, max_size=40), st.booleans())
@pytest.mark.origin(
    "law", "Chebyshev: the smallest worst error stands, + and - in turn, at one place more than there are settings"
)
def test_no_setting_leaves_a_smaller_worst_error(opening, crowned):
    """Whatever the opening: with a crown at four places, with depth and tilt alone at three."""
    at = np.linspace(300.0, 2800.0, len(opening))
    shape = parabola_shape(from_mm=50.0, to_mm=3050.0, places_mm=at) if crowned else None
    fit = fit_crown(places_mm=at, opening_mm=np.array(opening), shape=shape)
    worst = float(np.max(np.abs(fit.residual_mm)))
    turns, last = 0, 0.0
    for error in fit.residual_mm:
        if abs(error) >= worst * (1.0 - 1e-7) - 1e-10 and (turns == 0 or error * last < 0.0 or worst < 1e-9):
            turns, last = turns + 1, error
    assert turns >= (4 if crowned and fit.wanted_height_mm > 0.0 else 3)
    assert fit.height_mm == max(0.0, fit.wanted_height_mm)


@cache
def brake() -> Brake:
    """The demo shop's long brake, whose plates are known; its bed is 3100 mm long."""
    return built_in_shop().brakes["M1"]


def asked(load, ranges, one=None):
    """The crown of a stroke at 0.08 mm per degree."""
    return crown_of_stroke(one or brake(), Band(load, load, "law"), ranges, 0.08)


lines = st.floats(50.0, 900.0)
bends = st.tuples(st.floats(0.0, 1500.0), st.floats(600.0, 1600.0)).map(lambda pair: (pair[0], pair[0] + pair[1]))

held = st.tuples(st.floats(300.0, 1500.0), st.floats(600.0, 1300.0)).map(lambda pair: (pair[0], pair[0] + pair[1]))
"""Bends between the supports of both brakes."""


@settings(max_examples=50, deadline=None)
@given(lines, bends)
@pytest.mark.origin("law", "a mirrored layout has the same crown, mirrored angles and the tilt with the other sign")
def test_mirrored_layouts_mirror_the_tilt(load, bend):
    """Also the two axes change places."""
    one = asked(load, [bend])
    two = asked(load, [(3100.0 - bend[1], 3100.0 - bend[0])])
    assert two.tilt_mm == pytest.approx(-one.tilt_mm, abs=1e-9)
    assert (two.y1_mm, two.y2_mm) == pytest.approx((one.y2_mm, one.y1_mm), abs=1e-9)
    assert (two.height_mm, two.depth_mm) == pytest.approx((one.height_mm, one.depth_mm), rel=1e-6, abs=1e-9)
    for here, there in ((one.before_deg, two.before_deg), (one.after_deg, two.after_deg)):
        assert (there.left_deg, there.centre_deg, there.right_deg) == pytest.approx(
            (here.right_deg, here.centre_deg, here.left_deg), abs=1e-7
        )


@settings(max_examples=50, deadline=None)
@given(lines, st.floats(600.0, 2900.0))
@pytest.mark.origin("law", "a centred bend is symmetric and asks for no tilt; no load, no crown; more load, more crown")
def test_centred_bends(load, length):
    """And the crown never makes the angles worse."""
    bend = [((3100.0 - length) / 2, (3100.0 + length) / 2)]
    crown = asked(load, bend)
    assert crown.tilt_mm == pytest.approx(0.0, abs=1e-9)
    assert crown.before_deg.left_deg == pytest.approx(crown.before_deg.right_deg, abs=1e-9)
    assert crown.after_deg.left_deg == pytest.approx(crown.after_deg.right_deg, abs=1e-9)
    assert crown.worst_after_deg <= abs(crown.before_deg.centre_deg) + 1e-9
    assert crown.needed_mm.low > 0.0
    assert asked(2 * load, bend).needed_mm.low == pytest.approx(2 * crown.needed_mm.low, rel=1e-9)
    nothing = asked(0.0, bend)
    assert (nothing.needed_mm.high, nothing.height_mm, nothing.tilt_mm, nothing.give_mm) == (0.0, 0.0, 0.0, 0.0)


@settings(max_examples=50, deadline=None)
@given(lines, bends, st.floats(0.0, 2400.0), st.floats(100.0, 700.0), st.sampled_from(["parabola", "bed_bow"]))
@pytest.mark.origin(
    "law", "a crown of any reach makes no angle worse than none; another height leaves a worse worst angle"
)
def test_crowns_that_end_under_the_bend(load, bend, start, reach, form):
    """Where the crown is not curved the same way all along the bend, or where a bed has no bow to be cut to (K124)."""
    device = CrownDevice(form=form, span_mm=(start, start + reach))
    one = replace(brake(), crown_device=device)
    crown = asked(load, [bend], one)
    bare = asked(load, [bend], replace(brake(), crowning="none"))
    assert crown.worst_after_deg <= bare.worst_after_deg + 1e-9
    if crown.height_mm is None:
        assert "K124" in {finding.code for finding in crown.findings}
        return
    for near in (0.9, 0.999, 1.001, 1.1) if crown.height_mm > 0.0 else ():
        other = crown_of_stroke(one, Band(load, load), [bend], 0.08, height_mm=near * crown.height_mm)
        assert other.worst_after_deg >= crown.worst_after_deg - 1e-9


@settings(max_examples=25, deadline=None)
@given(lines, bends, st.floats(0.2, 0.8))
@pytest.mark.origin("law", "a bend cut in two that touch is the same bend")
def test_touching_bends_are_one(load, bend, share):
    """The same tilt and bow of the middle; the places looked at differ a little."""
    cut = bend[0] + share * (bend[1] - bend[0])
    one, two = asked(load, [bend]), asked(load, [(bend[0], cut), (cut, bend[1])])
    assert two.before_deg.left_deg == pytest.approx(one.before_deg.left_deg, abs=1e-9)
    assert two.worst_after_deg == pytest.approx(one.worst_after_deg, rel=0.05, abs=0.01)


@settings(max_examples=50, deadline=None)
@given(st.sampled_from(["M1", "M3"]), lines, held, st.floats(0.3, 4.0), st.floats(0.03, 0.2), st.floats(0.1, 0.6))
@pytest.mark.origin("law", "a brake calibrated on a reading gives that reading back, well within 0.1 degrees")
def test_calibration_gives_its_reading_back(name, load, bend, open_deg, per_degree, share):
    """With known plates and without; the next run on the same bend comes out as read."""
    known = built_in_shop().brakes[name]
    test = TestBend(
        reading=Reading(bend_id="t", left_deg=90.2, centre_deg=90.1 + open_deg, right_deg=90.0),
        line_load_kn_per_m=load,
        bend_mm=bend,
        mm_per_degree=per_degree,
    )
    done = calibrate(known, [test], date="2026-11-25", shear_share=share, supports_mm=(0.0, 3300.0))
    again = bow_expected_deg(replace(known, bow_calibration=done.calibration), test)
    assert again == pytest.approx(open_deg, abs=1e-6)
    assert done.residuals_deg == pytest.approx((0.0,), abs=1e-9)
