"""The same sheets drawn and written in other ways, and shapes on the edge of what can be told apart."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest

pytest.importorskip("OCP", reason="the CAD kernel (extra 'step') is not installed")

from flaps import Flap, flapped
from flat_shapes import Loop, circle, rectangle
from kernel_bending import bend
from known import Known, kernel_volume, known, sound
from known_parts import CATALOGUE
from known_profiles import sharp_profile
from same_part import (
    HEADER,
    all_differences,
    bend_differences,
    blank_of,
    flat_differences,
    fold_differences,
    leg_differences,
    place_differences,
    volume_differences,
)
from sheet_parts import Bent, outside_legs, profile, tangent_lines
from step_files import anywhere, as_splines, joined, mirrored, moved, write_step

from bendwright.drawing.reading import Reading

SAME = "the way a body is written does not change the part"
MADE = "laid out by hand and bent by the rule in bent_blank.py"


def read_solid(solid: object, **how: str) -> Reading:
    """Write one body and read it in this process."""
    from bendwright.drawing.step.read_step import read_step_here

    with TemporaryDirectory() as folder:
        path = write_step(Path(folder) / "part.step", solid, **how)  # type: ignore[arg-type]
        return read_step_here(path, header=HEADER, body=None)


def straight(
    straights: Sequence[float], bends: Sequence[Bent], openings: Sequence[Loop] = (), *, width: float = 60, t: float = 2
) -> Known:
    """A profile with its legs."""
    blank = profile(straights, bends, width_mm=width, thickness_mm=t, openings=openings)
    return known("profile", blank, legs_mm=tuple(outside_legs(straights, bends, t)))


@pytest.mark.origin("law", SAME)
@pytest.mark.parametrize("schema", ["AP203", "AP214CD", "AP214IS", "AP242DIS"])
def test_schemas(schema: str) -> None:
    made = CATALOGUE["tapered_flanges"]()
    assert all_differences(made, read_solid(made.solid, schema=schema)) == []


@pytest.mark.origin("law", SAME)
@pytest.mark.parametrize("unit", ["M", "CM", "FT", "UM"])
def test_units(unit: str) -> None:
    made = CATALOGUE["lidded_tray"]()
    assert all_differences(made, read_solid(made.solid, unit=unit)) == []


@pytest.mark.origin("law", SAME)
@pytest.mark.parametrize("name", ["hat", "lidded_tray", "closed_hem", "openings_of_all_kinds"])
def test_every_face_a_spline(name: str) -> None:
    """Some systems write planes and cylinders as B-spline surfaces."""
    made = CATALOGUE[name]()
    reading = read_solid(as_splines(made.solid))
    assert bend_differences(made, reading) + flat_differences(made, reading) + volume_differences(made, reading) == []


@pytest.mark.origin("law", SAME)
def test_inside_out() -> None:
    made = CATALOGUE["lidded_tray"]()
    assert all_differences(made, read_solid(made.solid.Reversed())) == []


@pytest.mark.origin("law", "the mirror image of a part is another part: what goes up goes down on the same flat")
def test_a_mirrored_body_is_not_the_body() -> None:
    made = CATALOGUE["tabs"]()
    other = replace(made, solid=mirrored(made.solid), corners=made.corners * [-1.0, 1.0, 1.0])
    reading = read_solid(other.solid)
    assert fold_differences(other, reading) == []
    assert fold_differences(made, reading) != []
    assert place_differences(made, reading) != []


@pytest.mark.origin("law", "a part drawn where the car body stands, metres off the origin, is the same part")
@pytest.mark.parametrize("reach_mm", [1e4, 1e6])
def test_far_from_the_origin(reach_mm: float) -> None:
    made = CATALOGUE["tapered_flanges"]()
    assert all_differences(made, read_solid(moved(made.solid, anywhere(3, reach_mm=reach_mm)))) == []


@pytest.mark.origin("derived", MADE)
@pytest.mark.parametrize("web_mm", [0.01, 0.1, 0.5, 1.0])
@pytest.mark.parametrize("second", [Bent(90, 1, False), Bent(60, 1), Bent(45, 3, False)])
def test_webs_shorter_than_the_sheet_is_thick(web_mm: float, second: Bent) -> None:
    made = straight([30, web_mm, 30], [Bent(90, 1), second], t=1)
    reading = read_solid(made.solid)
    assert all_differences(made, reading) + leg_differences(made, reading) == []


@pytest.mark.origin("derived", MADE)
@pytest.mark.parametrize(
    "bends",
    [
        [Bent(45, 3), Bent(45, 6)],
        [Bent(45, 3), Bent(45, 6, False)],
        [Bent(90, 2), Bent(90, 2, False)],
        [Bent(90, 5), Bent(60, 1)],
    ],
)
def test_arcs_that_touch(bends: list[Bent]) -> None:
    """Two bends with no flat between them, of two radii or ways."""
    made = straight([30, 0, 30], bends, t=1)
    assert all_differences(made, read_solid(made.solid)) == []


@pytest.mark.origin("derived", MADE + "; two arcs on one axis are one bend of their sum")
def test_two_arcs_on_one_axis_are_one_bend() -> None:
    made = straight([30, 0, 30], [Bent(30, 3), Bent(60, 3)], t=1)
    whole = straight([30, 30], [Bent(90, 3)], t=1)
    assert all_differences(whole, read_solid(made.solid)) == []


@pytest.mark.origin("derived", "legs along the middle plane; developed as with inside radius 0")
@pytest.mark.parametrize("ups", [(True,), (True, True), (True, False)])
@pytest.mark.parametrize("turned", [90.0, 60.0, 120.0, 8.0])
def test_drawn_sharp_on_both_sides(ups: tuple[bool, ...], turned: float) -> None:
    bends = [Bent(turned, 0, up) for up in ups]
    made = sharp_profile("sharp", [40.0, 90.0, 40.0][: len(bends) + 1], bends, width=50.0, t=2.0)
    reading = read_solid(moved(made.solid, anywhere(9)))
    assert bend_differences(made, reading) + flat_differences(made, reading) + leg_differences(made, reading) == []
    assert reading.model_volume_mm3 == pytest.approx(made.volume_mm3)
    assert reading.findings


@pytest.mark.origin("derived", MADE)
@pytest.mark.parametrize("over_mm", [0.0, 1e-6, 5e-4, -5e-4, 2e-3])
@pytest.mark.parametrize("shape", ["window", "hole"])
@pytest.mark.parametrize("side", ["before", "beyond"])
def test_openings_that_end_at_a_tangent_line(over_mm: float, shape: str, side: str) -> None:
    """A window or hole whose edge lies on the bend's tangent line, or a hair over or short of it, is not lost."""
    a, b = tangent_lines(profile([40, 40], [Bent(90, 3)], width_mm=60, thickness_mm=2))[0]
    low, high = (20.0, a + over_mm) if side == "before" else (b - over_mm, b + 20.0)
    opening = rectangle(20, low, 40, high) if shape == "window" else circle(30, 0.5 * (low + high), high - low)
    made = straight([40, 40], [Bent(90, 3)], [opening])
    assert sound(made.solid)
    reading = read_solid(made.solid)
    blank = blank_of(reading, made.blank.k_factor)
    assert bend_differences(made, reading) + volume_differences(made, reading) == []
    assert blank.area_mm2 == pytest.approx(made.blank.flat_area_mm2, rel=2e-4)
    assert len(blank.windows) + len(blank.features) == 1


@pytest.mark.origin("derived", MADE)
def test_a_window_as_wide_as_the_bend() -> None:
    a, b = tangent_lines(profile([40, 40], [Bent(90, 3)], width_mm=60, thickness_mm=2))[0]
    made = straight([40, 40], [Bent(90, 3)], [rectangle(20, a, 40, b)])
    assert all_differences(made, read_solid(made.solid)) == []


@pytest.mark.origin("derived", MADE)
def test_a_comb_of_windows_over_one_bend() -> None:
    windows = [rectangle(5 + 10 * i, 36, 11 + 10 * i, 50) for i in range(15)]
    made = straight([40, 40], [Bent(90, 3)], windows, width=160)
    assert all_differences(made, read_solid(made.solid)) == []


@pytest.mark.origin("derived", "two flanges on the two edges of an inner corner need the same sheet between them")
def test_flanges_at_an_inner_corner_overlap_in_the_flat() -> None:
    base = [(0.0, 0.0), (120.0, 0.0), (120.0, 40.0), (60.0, 40.0), (60.0, 90.0), (0.0, 90.0)]
    first, second = Flap(Bent(90, 2), 25, (2, 6)), Flap(Bent(90, 2), 25, (6, 2))
    alone = [flapped(base, flaps, thickness_mm=2) for flaps in ({2: first}, {3: second}, {})]
    assert flapped(base, {2: first, 3: second}, thickness_mm=2) is None
    left, right, plain = (replace(blank, root=(90.0, 5.0)) for blank in alone if blank)
    solid = joined(bend(left).solid, bend(right).solid)
    assert kernel_volume(solid) == pytest.approx(left.volume_mm3 + right.volume_mm3 - plain.volume_mm3, rel=1e-6)
    reading = read_solid(solid)
    assert len(reading.part.bends) == 2
    shared = left.width(left.strips[0]) + 25.0 - 6.0
    assert blank_of(reading, 0.44).overlap_mm2 == pytest.approx(shared**2, rel=1e-3)


@pytest.mark.origin("law", "angles from 1 to 179 degrees come back as drawn")
@pytest.mark.parametrize("turned", [1.0, 3.0, 10.0, 89.99, 90.01, 134.5, 170.0, 178.0, 179.0])
def test_every_angle(turned: float) -> None:
    reach = 4.0 * math.tan(math.radians(min(turned, 170.0)) / 2.0)
    made = straight([30, 25], [Bent(turned, max(1.0, min(reach, 6.0)))], t=1)
    assert bend_differences(made, read_solid(made.solid)) == []


@pytest.mark.origin("law", "radii from nearly nothing to a barrel come back as drawn")
@pytest.mark.parametrize("radius", [0.002, 0.01, 0.05, 0.737, 10.0, 75.0, 200.0, 1000.0])
def test_every_radius(radius: float) -> None:
    made = straight([30, 25], [Bent(35, radius)], t=1.2)
    reading = read_solid(made.solid)
    assert bend_differences(made, reading) + flat_differences(made, reading) + volume_differences(made, reading) == []
    assert np.isfinite(blank_of(reading, 0.44).area_mm2)
