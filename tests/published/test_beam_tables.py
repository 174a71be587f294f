"""Beams on two supports against the usual tables of beams (any engineering handbook; the formulas are from memory).

The single cases are Euler-Bernoulli; the shear shares are M/(G As) of the same moment line, as in Timoshenko's Strength of Materials.
An independent check solves the same beams with stiffness matrices of many short Timoshenko elements.
"""

from __future__ import annotations

import numpy as np
import pytest

from bendwright.mechanics.beam_any_load import (
    PartLoad,
    SupportedBeam,
    bow_between_mm,
    deflection_mm,
    end_give_mm,
    moment_kn_m,
    plate_on_supports,
    reactions_kn,
)
from bendwright.mechanics.beam_deflection import PlateBeam, mid_deflection, sag_at, sag_over_load

PLATE = PlateBeam(span_mm=2600.0, plate_thickness_mm=60.0, plate_height_mm=1200.0)
BEAM = plate_on_supports(plate=PLATE, left_support_mm=250.0)
EI, GAS, L = PLATE.bending_stiffness_n_mm2, PLATE.shear_stiffness_n, PLATE.span_mm
A, B = BEAM.left_support_mm, BEAM.right_support_mm
W = 300.0
"""Line load [kN/m] = [N/mm]."""


def at(place, *loads):
    """Bending and shear share of the deflection at one place."""
    bowed = deflection_mm(beam=BEAM, loads=loads, places_mm=np.array([place]))
    return float(bowed.bending_mm[0]), float(bowed.shear_mm[0])


def point(load_kn, place):
    """A single load."""
    return PartLoad(load_kn=load_kn, from_mm=place, to_mm=place)


def even(start, end, line_load=W):
    """An even line load."""
    return PartLoad(load_kn=line_load * (end - start) / 1000.0, from_mm=start, to_mm=end)


@pytest.mark.origin("memory", "tables of beams: P L^3/48EI, and P L/4GAs")
def test_single_load_in_the_middle():
    """The oldest case of all."""
    bending, shear = at(A + L / 2, point(800.0, A + L / 2))
    assert bending == pytest.approx(8e5 * L**3 / (48 * EI), rel=1e-12)
    assert shear == pytest.approx(8e5 * L / (4 * GAS), rel=1e-12)


@pytest.mark.origin("memory", "tables of beams: P b x (L^2 - b^2 - x^2)/6LEI for x < a; shear P b x/(L GAs)")
@pytest.mark.parametrize("share", [0.1, 0.37, 0.5, 0.8])
def test_single_load_anywhere(share):
    """Left of the load the elastic line is a cubic."""
    a, b = share * L, (1 - share) * L
    for x in (0.2 * a, 0.7 * a, a):
        bending, shear = at(A + x, point(500.0, A + a))
        assert bending == pytest.approx(5e5 * b * x * (L**2 - b**2 - x**2) / (6 * L * EI), rel=1e-11)
        assert shear == pytest.approx(5e5 * b * x / (L * GAS), rel=1e-11)


@pytest.mark.origin("memory", "tables of beams: w x (L^3 - 2 L x^2 + x^3)/24EI, 5 w L^4/384EI in the middle")
def test_even_load_over_the_whole_span():
    """The elastic line of the fourth power, and w x (L - x)/2GAs for shear."""
    for x in (0.0, 0.1 * L, 0.5 * L, 0.9 * L):
        bending, shear = at(A + x, even(A, B))
        assert bending == pytest.approx(W * x * (L**3 - 2 * L * x**2 + x**3) / (24 * EI), rel=1e-11, abs=1e-15)
        assert shear == pytest.approx(W * x * (L - x) / (2 * GAS), rel=1e-11, abs=1e-15)
    assert at(A + L / 2, even(A, B))[0] == pytest.approx(5 * W * L**4 / (384 * EI), rel=1e-12)


@pytest.mark.origin("memory", "tables of beams: even load w over a from the left support: x <= a and x >= a lines")
def test_even_load_from_the_left_support():
    """w x (a^2 (2L-a)^2 - 2 a x^2 (2L-a) + L x^3)/24LEI up to a; beyond: w a^2 (L-x)(4xL - 2x^2 - a^2)/24LEI."""
    a = 0.35 * L
    for x in (0.2 * a, 0.9 * a, a):
        line = W * x * (a**2 * (2 * L - a) ** 2 - 2 * a * x**2 * (2 * L - a) + L * x**3) / (24 * L * EI)
        assert at(A + x, even(A, A + a))[0] == pytest.approx(line, rel=1e-11)
    for x in (a, 0.6 * L, 0.95 * L):
        line = W * a**2 * (L - x) * (4 * x * L - 2 * x**2 - a**2) / (24 * L * EI)
        assert at(A + x, even(A, A + a))[0] == pytest.approx(line, rel=1e-11)


@pytest.mark.origin(
    "memory", "tables of beams, overhang e beyond span L: P e^2 (L+e)/3EI at the load, -P e L^2/16EI at mid span"
)
def test_single_load_on_an_overhang():
    """The end goes down, the span between the supports comes up; shear P e (1 + e/L)/GAs at the load."""
    e, P = 300.0, 2e5
    bending, shear = at(B + e, point(200.0, B + e))
    assert bending == pytest.approx(P * e**2 * (L + e) / (3 * EI), rel=1e-11)
    assert shear == pytest.approx(P * e * (1 + e / L) / GAS, rel=1e-11)
    assert at(A + L / 2, point(200.0, B + e))[0] == pytest.approx(-P * e * L**2 / (16 * EI), rel=1e-11)
    mirrored = at(A - e, point(200.0, A - e))
    assert mirrored == pytest.approx((bending, shear), rel=1e-11)


@pytest.mark.origin("memory", "tables of beams, even load on an overhang e: w e^3 (4L + 3e)/24EI at its end")
def test_even_load_on_an_overhang():
    """A cantilever of length e that turns with the span's end."""
    e = 400.0
    assert at(B + e, even(B, B + e))[0] == pytest.approx(W * e**3 * (4 * L + 3 * e) / (24 * EI), rel=1e-11)
    assert at(A - e, even(A - e, A))[0] == pytest.approx(W * e**3 * (4 * L + 3 * e) / (24 * EI), rel=1e-11)


@pytest.mark.origin(
    "memory", "tables of beams, equal overhangs e, even load over all: w L^2 (5 L^2 - 24 e^2)/384EI in the middle"
)
def test_even_load_over_span_and_both_overhangs():
    """With e = 0.2236 L mid span and supports are level; moment in the middle w (L^2 - 4 e^2)/8."""
    for e in (250.0, L * (5 / 24) ** 0.5):
        load = even(A - e, B + e)
        wanted = W * L**2 * (5 * L**2 - 24 * e**2) / (384 * EI)
        assert at(A + L / 2, load)[0] == pytest.approx(wanted, rel=1e-9, abs=1e-12)
        moment = moment_kn_m(beam=BEAM, loads=(load,), places_mm=np.array([A + L / 2, A, B]))
        assert moment.tolist() == pytest.approx(
            [W * (L**2 - 4 * e**2) / 8e6, -W * e**2 / 2e6, -W * e**2 / 2e6], rel=1e-9
        )


@pytest.mark.origin("law", "the centred closed forms are the general beam with its load in the middle")
@pytest.mark.parametrize("length", [10.0, 800.0, 1500.0, 2400.0, 2600.0])
def test_centred_closed_forms_are_limits(length):
    """Mid deflection, sag over the load and its shape, share by share."""
    load = PartLoad(load_kn=900.0, from_mm=A + (L - length) / 2, to_mm=A + (L + length) / 2)
    case = {"beam": PLATE, "load_kn": 900.0, "loaded_length_mm": length}
    middle = mid_deflection(**case)
    assert at(A + L / 2, load) == pytest.approx((middle.bending_mm, middle.shear_mm), rel=1e-11)
    bow, sag = bow_between_mm(beam=BEAM, loads=(load,), from_mm=load.from_mm, to_mm=load.to_mm), sag_over_load(**case)
    assert (bow.bending_mm, bow.shear_mm) == pytest.approx((sag.bending_mm, sag.shear_mm), rel=1e-6)
    for z in (-length / 2, -length / 5, length / 3):
        shape, here = sag_at(**case, from_middle_mm=z), at(A + L / 2 + z, load)
        assert middle.bending_mm - here[0] == pytest.approx(shape.bending_mm, rel=1e-9, abs=1e-13)
        assert middle.shear_mm - here[1] == pytest.approx(shape.shear_mm, rel=1e-9, abs=1e-13)


@pytest.mark.parametrize(
    ("span", "thickness", "height", "load", "length", "bending", "shear"),
    [
        (3000.0, 60.0, 1200.0, 1000.0, 1500.0, 0.0824, 0.0387),
        (2600.0, 60.0, 1200.0, 1000.0, 2400.0, 0.1190, 0.0619),
        (2550.0, 80.0, 1100.0, 1600.0, 2000.0, 0.1485, 0.0675),
    ],
)
@pytest.mark.origin("derived", "sag over a centred load, P a^2 (12B - 7a)/384EI + P a/8GAs; E 210e3, G 80770")
def test_three_brakes(span, thickness, height, load, length, bending, shear):
    """The three plates worked by hand, through the general beam."""
    plate = PlateBeam(span_mm=span, plate_thickness_mm=thickness, plate_height_mm=height)
    beam = plate_on_supports(plate=plate, left_support_mm=0.0)
    start, end = (span - length) / 2, (span + length) / 2
    part = PartLoad(load_kn=load, from_mm=start, to_mm=end)
    bow = bow_between_mm(beam=beam, loads=(part,), from_mm=start, to_mm=end)
    assert (bow.bending_mm, bow.shear_mm) == pytest.approx((bending, shear), abs=0.00006)


@pytest.mark.origin(
    "derived", "F (1/2 -+ e/B): 750 kN, middle of the load 400 right of mid span of 2600: 259.6 and 490.4"
)
def test_reactions_and_give_of_the_ends():
    """Statics; with 500 and 1000 kN/mm the ends give 0.519 and 0.490 mm, a straight line between and beyond."""
    forces = reactions_kn(beam=BEAM, loads=(even(700.0, 3200.0),))
    assert forces == pytest.approx((750 * (0.5 - 400 / 2600), 750 * (0.5 + 400 / 2600)), rel=1e-12)
    give = end_give_mm(
        left_support_mm=A,
        right_support_mm=B,
        forces_kn=forces,
        stiffness_kn_per_mm=(500.0, 1000.0),
        places_mm=np.array([A, A + L / 2, B, B + L]),
    )
    left, right = forces[0] / 500, forces[1] / 1000
    assert give.tolist() == pytest.approx([left, (left + right) / 2, right, 2 * right - left], rel=1e-12)


def elements(beam: SupportedBeam, loads, ends, count):
    """Deflections at the nodes of ``count`` equal Timoshenko elements from end to end, both supports on nodes.

    Stiffness of an element l long with phi = 12 EI/(GAs l^2) and unknowns w1, r1, w2, r2 (w' = r + shear):
    EI/(l^3 (1 + phi)) [[12, 6l, -12, 6l], [., (4+phi) l^2, -6l, (2-phi) l^2], ...]; even loads as q l/2 and q l^2/12.
    """
    nodes = np.linspace(*ends, count + 1)
    step, ei, gas = nodes[1] - nodes[0], beam.bending_stiffness_n_mm2, beam.shear_stiffness_n
    phi = 12 * ei / (gas * step**2)
    k = np.array(
        [
            [12, 6 * step, -12, 6 * step],
            [6 * step, (4 + phi) * step**2, -6 * step, (2 - phi) * step**2],
            [-12, -6 * step, 12, -6 * step],
            [6 * step, (2 - phi) * step**2, -6 * step, (4 + phi) * step**2],
        ]
    ) * (ei / (step**3 * (1 + phi)))
    whole, force = np.zeros((2 * count + 2,) * 2), np.zeros(2 * count + 2)
    for i in range(count):
        whole[2 * i : 2 * i + 4, 2 * i : 2 * i + 4] += k
        middle = 0.5 * (nodes[i] + nodes[i + 1])
        q = sum(1000 * p.load_kn / (p.to_mm - p.from_mm) for p in loads if p.from_mm < middle < p.to_mm)
        force[2 * i : 2 * i + 4] += q * np.array([step / 2, step**2 / 12, step / 2, -(step**2) / 12])
    held = [2 * int(np.argmin(np.abs(nodes - s))) for s in (beam.left_support_mm, beam.right_support_mm)]
    free = [i for i in range(2 * count + 2) if i not in held]
    moved = np.zeros(2 * count + 2)
    moved[free] = np.linalg.solve(whole[np.ix_(free, free)], force[free])
    return nodes, moved[::2]


@pytest.mark.parametrize(
    "ranges",
    [[(250.0, 2850.0)], [(0.0, 3100.0)], [(50.0, 900.0)], [(300.0, 1000.0), (1500.0, 2600.0)], [(2850.0, 3100.0)]],
)
@pytest.mark.origin("derived", "stiffness matrices of 310 Timoshenko elements of 10 mm, loads and supports on nodes")
def test_against_stiffness_matrices(ranges):
    """Another method, the same bow everywhere, the overhangs too: within a millionth of the largest deflection."""
    loads = [even(*ends) for ends in ranges]
    nodes, by_elements = elements(BEAM, loads, (0.0, 3100.0), 310)
    bowed = deflection_mm(beam=BEAM, loads=loads, places_mm=nodes).total_mm
    assert np.max(np.abs(bowed - by_elements)) < 1e-6 * np.max(np.abs(bowed))
