"""The makers of solids are held against plain mathematics and the kernel's own checks before they judge anything."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

pytest.importorskip("OCP", reason="the CAD kernel (extra 'step') is not installed")

from after_bending import drilled
from bent_blank import BentBlank, Strip, put
from flat_shapes import area, area_within, blob, circle, rectangle, rounded, signed_area, slot, smallest_box
from hypothesis import given, settings
from kernel_bending import bend
from known import Known, kernel_box, kernel_volume, sound
from known_openings import hole_grid
from known_parts import CATALOGUE
from not_sheets import SHAPES, bolt, insert
from random_parts import boxes, finished_profiles, flapped_plates, profiles
from sheet_parts import Bent, developed_mm, outside_legs, profile
from step_files import anywhere, kernel_read, moved, write_step

SAME_SHARE = 2e-7


@pytest.mark.origin(
    "derived", "area of flat pieces x t, sectors of rings in bends, less what is cut; see bent_blank.py"
)
@pytest.mark.parametrize("name", CATALOGUE)
def test_every_sheet_is_sound_and_has_the_volume_worked_out(name: str) -> None:
    made = CATALOGUE[name]()
    assert sound(made.solid)
    assert kernel_volume(made.solid) == pytest.approx(made.volume_mm3, rel=SAME_SHARE)


@pytest.mark.origin("derived", "the same, for sheets drawn at random")
@settings(max_examples=25, deadline=None, derandomize=True)
@given(made=profiles() | boxes() | flapped_plates() | finished_profiles())
def test_random_sheets_are_sound(made: Known) -> None:
    assert sound(made.solid)
    assert kernel_volume(made.solid) == pytest.approx(made.volume_mm3, rel=SAME_SHARE)


@pytest.mark.origin("derived", "outside legs less deductions, BD = 2 set-back - a (R + K t)")
@pytest.mark.parametrize("name", [name for name in CATALOGUE if CATALOGUE[name]().legs_mm])
def test_the_flat_of_a_profile_is_its_legs_less_deductions(name: str) -> None:
    made = CATALOGUE[name]()
    bends = [Bent(strip.turned_deg, strip.radius_mm, strip.up) for strip in made.blank.strips]
    t, k = made.blank.thickness_mm, made.blank.k_factor
    legs = sum(made.legs_mm)
    for bent in bends:
        out = bent.radius_mm + t
        back = out * math.tan(math.radians(bent.turned_deg) / 2) if bent.turned_deg <= 90 else out
        legs -= 2 * back - math.radians(bent.turned_deg) * (bent.radius_mm + k * t)
    assert max(y for _, y in made.blank.outline.polygon()) == pytest.approx(legs, abs=1e-9)


@pytest.mark.origin(
    "printed", "worked example of a bend allowance, R 3 t 2 90 degrees K 0.43: 6.0633, and by hand 40 + 25 - 2 x 5 + it"
)
def test_the_flat_of_an_angle() -> None:
    straights, bends = [35.0, 20.0], [Bent(90, 3)]
    assert outside_legs(straights, bends, 2.0) == [40.0, 25.0]
    assert developed_mm(straights, bends, 2.0, 0.43) == pytest.approx(55 + 6.0633, abs=1e-4)


@pytest.mark.origin("derived", "outside sizes of a channel: straight length + 2 (R + t), straight + R + t")
def test_a_channel_has_its_outside_sizes() -> None:
    low, high = kernel_box(bend(profile([25, 60, 25], [Bent(90, 1.5)] * 2, width_mm=100, thickness_mm=1.5)).solid)
    assert high - low == pytest.approx(np.array([100, 28, 66]), abs=1e-6)


@pytest.mark.origin("derived", "a flange bent up comes to lie above the top face, bent down below the other")
@pytest.mark.parametrize("up", [True, False])
def test_up_is_toward_the_top_face(up: bool) -> None:
    made = bend(profile([40, 30], [Bent(90, 2, up)], width_mm=20, thickness_mm=1))
    low, high = kernel_box(made.solid)
    assert (high[2] > 30.0, low[2] < -30.0) == (up, not up)


@pytest.mark.origin("law", "bent the other way round from the far side the sheet is the same body")
def test_a_strip_seen_from_its_far_side() -> None:
    strip = Strip((20.0, 40.0), (0.0, 40.0), 2.0, 75.0)
    width = strip.width(1.0, 0.4)
    there = strip.motion(1.0, width) @ strip.from_other_side(width).motion(1.0, width)
    here = strip.from_other_side(width).motion(1.0, width) @ strip.motion(1.0, width)
    corners = [[0, 0, 0], [20, 10, 1], [3, 90, 2]]
    one = put(strip.motion(1.0, width), corners[2:])
    other = put(strip.from_other_side(width).motion(1.0, width), corners[:2])
    assert np.linalg.norm(one - np.array(corners[:2]), axis=1) == pytest.approx(
        np.linalg.norm(np.array(corners[2:]) - other, axis=1), abs=1e-9
    )
    assert np.linalg.det(there[:3, :3]) == pytest.approx(1.0)
    assert np.linalg.det(here[:3, :3]) == pytest.approx(1.0)


@pytest.mark.origin("derived", "areas by closed formulas")
def test_areas_of_loops() -> None:
    assert area(circle(3, 4, 10)) == pytest.approx(25 * math.pi, rel=1e-12)
    assert area(slot(1, 2, 20, 6, 33)) == pytest.approx(14 * 6 + 9 * math.pi, rel=1e-12)
    assert area(rounded([(0, 0), (30, 0), (30, 20), (0, 20)], [5] * 4)) == pytest.approx(600 - (4 - math.pi) * 25)
    assert area(blob(0, 0, 10)) == pytest.approx(abs(signed_area(blob(0, 0, 10).polygon())), rel=1e-6)
    half = area_within(circle(0, 0, 10), [(0, -9), (9, -9), (9, 9), (0, 9)])
    assert half == pytest.approx(12.5 * math.pi, rel=1e-5)
    turned = rectangle(0, 0, 30, 20).moved(5, 5, 0.7)
    assert smallest_box(turned.polygon()) == pytest.approx((30.0, 20.0))


@pytest.mark.origin("derived", "area of the flat cut out, bent: A t (R + t/2) / (R + K t) in the bend")
def test_a_hole_wholly_in_a_bend() -> None:
    strip = Strip((60.0, 30.0), (0.0, 30.0), 6.0, 90.0)
    width = strip.width(2.0, 0.4)
    outline, middle = rectangle(0, 0, 60, 60 + width), (30.0, 30.0 + 0.5 * width)
    plain = BentBlank(2.0, outline, (strip,), (), 0.4, (5.0, 5.0))
    holed = BentBlank(2.0, outline, (strip,), (circle(*middle, 5.0),), 0.4, (5.0, 5.0))
    gone = kernel_volume(bend(plain).solid) - kernel_volume(bend(holed).solid)
    assert gone == pytest.approx(math.pi / 4 * 25 * 2.0 * 7.0 / 6.8, rel=1e-5)


@pytest.mark.origin("law", "a hole drilled clear of the bend takes its own area times the thickness")
def test_a_drilled_hole_clear_of_the_bend() -> None:
    blank = profile([40, 30], [Bent(90, 4)], width_mm=60, thickness_mm=2)
    made = bend(blank)
    solid, taken = drilled(blank, made, made.solid, (30, 15), 8)
    assert taken == pytest.approx(math.pi * 16 * 2)
    assert kernel_volume(made.solid) - kernel_volume(solid) == pytest.approx(taken, rel=1e-7)


@pytest.mark.origin(
    "law", "a file written in millimetres or inches and read by the kernel is the same body, anywhere in space"
)
@pytest.mark.parametrize("unit", ["MM", "INCH"])
def test_written_and_read_by_the_kernel(unit: str, tmp_path: Path) -> None:
    made = CATALOGUE["lidded_tray"]()
    path = write_step(tmp_path / "part.step", moved(made.solid, anywhere(4)), unit=unit)
    assert kernel_volume(kernel_read(path)) == pytest.approx(made.volume_mm3, rel=1e-6)


@pytest.mark.origin("law", "the bodies that are no sheets are sound bodies all the same")
@pytest.mark.parametrize("name", SHAPES)
def test_what_is_no_sheet_is_still_sound(name: str) -> None:
    assert sound(SHAPES[name]())


@pytest.mark.origin("law", "so are screws and inserts, and a sheet with three hundred holes")
def test_screws_inserts_and_three_hundred_holes() -> None:
    assert sound(bolt(0, 0, 0))
    assert sound(insert(0, 0, 0))
    made = hole_grid(20, 15)
    assert len(made.holes) == 300
    assert kernel_volume(made.solid) == pytest.approx(made.volume_mm3, rel=SAME_SHARE)
