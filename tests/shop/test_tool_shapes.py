"""Tool outlines: sizes that come out as they went in, and geometry that can be checked by hand."""

from __future__ import annotations

from math import atan2, degrees, radians, tan

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from bendwright.shop import tool_checks, tool_shapes
from bendwright.shop.read import built_in_shop
from bendwright.shop.tools import NOT_BENDING

CABINET = built_in_shop().cabinet
PUNCHES = {punch.id: punch for punch in CABINET.punches}
DIES = {die.id: die for die in CABINET.dies}


@pytest.mark.origin("derived", "7 / tan(44) = 7.249; with a nose of 0.8 the tip is 0.8 (1/sin 44 - 1) = 0.352 higher")
def test_where_the_flank_of_a_straight_punch_ends() -> None:
    """The sharp wedge reaches half width 7 at 7.25 above its point; a round nose cuts 0.35 off below."""
    assert tool_shapes.flank_reach_mm(angle_deg=88.0, nose_radius_mm=0.0, half_width_mm=7.0) == pytest.approx(
        7.249, abs=1e-3
    )
    assert tool_shapes.flank_reach_mm(angle_deg=88.0, nose_radius_mm=0.8, half_width_mm=7.0) == pytest.approx(
        6.897, abs=1e-3
    )
    assert max(x for x, _ in PUNCHES["P1"].outline) == 7.0


@pytest.mark.origin("derived", "(V/2)/tan(angle/2) for sharp shoulders: V80 and V100 at 80 degrees 47.7 and 59.6")
def test_depth_of_a_groove() -> None:
    """Sharp shoulders give the textbook depth; round ones, with V between the arc tangents, less."""
    for opening_mm, depth_mm in ((80.0, 47.7), (100.0, 59.6)):
        sizes = {"opening_mm": opening_mm, "angle_deg": 80.0}
        sharp = tool_shapes.groove_depth_mm(**sizes, opening_measured="arc_tangents", shoulder_radius_mm=0.0)
        assert sharp == pytest.approx(depth_mm, abs=0.05)
        round_ = tool_shapes.groove_depth_mm(**sizes, opening_measured="arc_tangents", shoulder_radius_mm=6.0)
        assert round_ == pytest.approx(sharp - 6.0 * tan(radians(25.0)) / tan(radians(40.0)))
        between = tool_shapes.groove_depth_mm(**sizes, opening_measured="sharp_corners", shoulder_radius_mm=6.0)
        assert between == pytest.approx(sharp)


@pytest.mark.origin("derived", "V/2 + rd tan((90 - angle/2)/2): V16, rd 2, 88 degrees gives 8.849 per side")
def test_the_two_ways_of_measuring_an_opening() -> None:
    """Between sharp corners 16 is 17.70 between the arc tangents: the difference that moves the depth by 12 degrees."""
    sizes = {"opening_mm": 16.0, "angle_deg": 88.0, "shoulder_radius_mm": 2.0}
    assert tool_shapes.half_top_opening_mm(**sizes, opening_measured="arc_tangents") == 8.0
    assert tool_shapes.half_top_opening_mm(**sizes, opening_measured="sharp_corners") == pytest.approx(8.849, abs=1e-3)


@pytest.mark.origin("law", "an outline keeps the sizes it was made from")
@pytest.mark.parametrize("punch", CABINET.punches, ids=lambda punch: punch.id)
def test_punch_outlines(punch: object) -> None:
    """Tip at 0,0, exact height, counter-clockwise, not crossing itself, flanks at the included angle."""
    outline = punch.outline
    assert min(y for _, y in outline) == 0.0
    assert max(y for _, y in outline) == punch.height_mm
    assert tool_checks.signed_area_mm2(outline) > 0.0
    assert not tool_checks.crosses_itself(outline)
    if punch.kind not in NOT_BENDING:
        assert (0.0, 0.0) in outline
        nose_end = max((x, y) for x, y in outline if y <= punch.nose_radius_mm and 0 < x <= punch.nose_radius_mm)
        flank_end = outline[outline.index(nose_end) + 1]
        half_deg = degrees(atan2(flank_end[0] - nose_end[0], flank_end[1] - nose_end[1]))
        assert half_deg == pytest.approx(punch.angle_deg / 2.0, abs=1e-6)


@pytest.mark.origin("law", "an outline keeps the sizes it was made from")
@pytest.mark.parametrize("die", CABINET.dies, ids=lambda die: die.id)
def test_die_outlines(die: object) -> None:
    """Top at 0, bottom at minus the height, symmetric, the groove as deep and wide as it says, shoulders round."""
    outline = die.outline
    assert max(y for _, y in outline) == 0.0
    assert min(y for _, y in outline) == -die.height_mm
    assert tool_checks.signed_area_mm2(outline) > 0.0
    assert not tool_checks.crosses_itself(outline)
    if die.kind != "offset":
        assert {(-x, y) for x, y in outline} == set(outline)
        assert tool_checks.groove_depth_of(outline) == pytest.approx(die.groove_depth_mm)
    if die.kind == "vee":
        lands = sorted(abs(x) for x, y in outline if y == 0.0)
        assert lands[0] == die.opening_mm / 2.0
        arc = [(x, y) for x, y in outline if 0 < x <= lands[0] and -die.shoulder_radius_mm < y <= 0]
        for x, y in arc:
            off = ((x - lands[0]) ** 2 + (y + die.shoulder_radius_mm) ** 2) ** 0.5
            assert off == pytest.approx(die.shoulder_radius_mm)


@pytest.mark.origin("law", "what the gooseneck is for")
def test_the_throat_of_the_gooseneck() -> None:
    """From 35 to 110 above the tip the body stays 18 behind the centre line; below and above it comes back to it."""
    corners = PUNCHES["P2"].outline
    sides = list(zip(corners, (*corners[1:], corners[0]), strict=True))

    def front(height_mm: float) -> float:
        """Least x of the body at that height."""
        crossings = [
            x + (u - x) * (height_mm - y) / (v - y)
            for (x, y), (u, v) in sides
            if y != v and min(y, v) <= height_mm <= max(y, v)
        ]
        return min(crossings)

    for height_mm in (35.0, 50.0, 74.6, 100.0, 110.0):
        assert front(height_mm) == pytest.approx(18.0)
    assert front(5.0) < 0.0
    assert front(149.0) < 0.0
    for height_mm in range(1, 35):
        assert max(x for x, y in corners if y <= height_mm) <= height_mm + 1.0


@pytest.mark.origin("law", "area and height re-read identical")
@given(st.floats(30.0, 120.0), st.floats(0.1, 3.0), st.floats(5.0, 20.0), st.floats(60.0, 300.0))
def test_any_straight_punch_is_a_sound_tool(
    angle_deg: float, nose_radius_mm: float, half_width_mm: float, height_mm: float
) -> None:
    """Where the flank ends below the clamp, the outline is a simple counter-clockwise polygon within its box."""
    sizes = {"angle_deg": angle_deg, "nose_radius_mm": nose_radius_mm, "half_width_mm": half_width_mm}
    reach = tool_shapes.flank_reach_mm(**sizes)
    assume(reach < height_mm)
    outline = tool_shapes.straight_punch(**sizes, height_mm=height_mm)
    body = 2.0 * half_width_mm * (height_mm - reach)
    assert not tool_checks.crosses_itself(outline)
    assert body < tool_checks.signed_area_mm2(outline) < body + 2.0 * half_width_mm * reach


@pytest.mark.origin("derived", "two crossed segments; unit square")
def test_crossing_and_area() -> None:
    """A bow tie crosses itself, a square does not; the square's area has the sign of its sense."""
    square = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
    assert tool_checks.signed_area_mm2(square) == 1.0
    assert tool_checks.signed_area_mm2(square[::-1]) == -1.0
    assert not tool_checks.crosses_itself(square)
    assert tool_checks.crosses_itself((square[0], square[2], square[1], square[3]))
