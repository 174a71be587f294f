"""Profiles on plain numbers: frames, root, faces on which a leg is measured."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bendwright.findings import PartFileError
from bendwright.part.bend_size import fixed_size
from bendwright.part.blank import make_blank
from bendwright.part.model import Bend, Circle, Direction, Header, Part
from bendwright.part.profile import lost_mm, profile_part
from bendwright.part.typed import Measured, TypedBend, TypedHem, TypedLeg, TypedOpening

HEADER = Header(part_no="T-1", revision="A", thickness_mm=2.0)
UP = TypedBend(direction="up")


def outside(part: Part) -> dict[str, float]:
    """Outside length of each leg, by id."""
    return {flange.id: flange.outline[2][1] for flange in part.flanges}


def blank_height(part: Part, *, radius: float, k: float, thickness: float) -> float:
    """Developed width of the profile."""
    sizes = {
        bend.id: fixed_size(bend, inside_radius_mm=radius, k_factor=k, thickness_mm=thickness) for bend in part.bends
    }
    return make_blank(part, sizes, thickness_mm=thickness).height_mm


@pytest.mark.origin("law", "frame rules of part.model: parent on the left of start -> end, child beyond y = 0")
@given(
    legs=st.lists(st.floats(20.0, 200.0), min_size=1, max_size=8),
    ups=st.lists(st.booleans(), min_size=7, max_size=7),
)
@settings(max_examples=60, deadline=None)
def test_frames_follow_the_model(legs: list[float], ups: list[bool]) -> None:
    bends = [TypedBend(direction="up" if ups[index] else "down") for index in range(len(legs) - 1)]
    part = profile_part(HEADER, legs=[TypedLeg(length_mm=leg) for leg in legs], bends=bends, length_mm=300.0)
    assert part.profile
    assert part.flanges[0].id == f"leg{legs.index(max(legs)) + 1}"
    assert outside(part) == {f"leg{index + 1}": leg for index, leg in enumerate(legs)}
    seen = {part.flanges[0].id}
    for bend in part.bends:
        assert bend.parent in seen
        seen.add(bend.child)
        assert bend.direction == bends[int(bend.id[1:]) - 1].direction
        assert {bend.parent, bend.child} == {f"leg{int(bend.id[1:])}", f"leg{int(bend.id[1:]) + 1}"}
        assert_child_beyond_line(part, bend)
    assert seen == {flange.id for flange in part.flanges}


def assert_child_beyond_line(part: Part, bend: Bend) -> None:
    """Parent corners lie on or left of the line, child corners at y >= 0 with the line's length on y = 0."""
    (sx, sy), (ex, ey) = bend.start, bend.end
    for x, y in part.flange(bend.parent).outline:
        assert (ex - sx) * (y - sy) - (ey - sy) * (x - sx) >= -1e-6
    child = part.flange(bend.child).outline
    assert min(y for _, y in child) == 0.0
    assert max(x for x, y in child if y == 0.0) == pytest.approx(math.dist(bend.start, bend.end))


@pytest.mark.origin(
    "derived",
    "faces built as lines: at a bend the apexes of both faces lie t (n1 + n2) / (1 + n1.n2) apart; lengths measured on"
    " each face, no tangent formula used",
)
@given(
    bottom=st.lists(st.floats(60.0, 200.0), min_size=3, max_size=6),
    turned=st.lists(st.floats(5.0, 90.0), min_size=5, max_size=5),
    ups=st.lists(st.booleans(), min_size=5, max_size=5),
    thickness=st.floats(0.5, 4.0),
)
@settings(max_examples=80, deadline=None)
def test_legs_measured_on_a_face_become_the_same_outside_lengths(
    bottom: list[float], turned: list[float], ups: list[bool], thickness: float
) -> None:
    count = len(bottom)
    signed = [turn if up else -turn for turn, up in zip(turned, ups, strict=True)][: count - 1]
    top, mould = faces(bottom, signed, thickness)
    header = Header(part_no="T", revision="A", thickness_mm=thickness)
    bends = [TypedBend(direction="up" if turn > 0 else "down", turned_deg=abs(turn)) for turn in signed]
    for measured, lengths in (("bottom", bottom), ("top", top), ("outside", mould)):
        legs = [TypedLeg(length_mm=length, measured=measured) for length in lengths]  # type: ignore[arg-type]
        part = profile_part(header, legs=legs, bends=bends, length_mm=100.0)
        assert [outside(part)[f"leg{index + 1}"] for index in range(count)] == pytest.approx(mould)


def faces(bottom: list[float], signed_deg: list[float], thickness: float) -> tuple[list[float], list[float]]:
    """Lengths on the top face and between mould lines of a sharp profile given by its bottom face (up = left turn)."""
    headings = np.radians(np.concatenate([[0.0], np.cumsum(signed_deg)]))
    along = np.column_stack([np.cos(headings), np.sin(headings)])
    normal = np.column_stack([-along[:, 1], along[:, 0]])
    low = np.vstack([[0.0, 0.0], np.cumsum(along * np.array(bottom)[:, None], axis=0)])
    shift = [normal[0]]
    for before, after in pairwise(normal):
        shift.append((before + after) / (1.0 + before @ after))
    high = low + thickness * np.array([*shift, normal[-1]])
    outer = [low[0], *(low[i + 1] if turn > 0 else high[i + 1] for i, turn in enumerate(signed_deg)), low[-1]]
    top = [float((high[i + 1] - high[i]) @ along[i]) for i in range(len(bottom))]
    mould = [float((outer[i + 1] - outer[i]) @ along[i]) for i in range(len(bottom))]
    return top, mould


FACES: list[tuple[list[tuple[float, Measured]], list[Direction], list[float]]] = [
    # U with 2 mm sheet, 90 degrees: end legs gain 2, the middle one gains 4.
    ([(38.0, "inside"), (56.0, "inside"), (38.0, "inside")], ["up", "up"], [40.0, 60.0, 40.0]),
    # Z: on the top face the web loses at the bend up only.
    ([(30.0, "outside"), (58.0, "top"), (30.0, "outside")], ["up", "down"], [30.0, 60.0, 30.0]),
    ([(30.0, "outside"), (58.0, "bottom"), (30.0, "outside")], ["down", "up"], [30.0, 60.0, 30.0]),
    ([(28.0, "inside"), (60.0, "outside"), (28.0, "inside")], ["up", "down"], [30.0, 60.0, 30.0]),
]


@pytest.mark.origin("derived", "t tan(45) = t at a bend of 90 degrees, once for each end on its inner face")
@pytest.mark.parametrize(("legs", "directions", "expected"), FACES)
def test_inside_lengths_of_u_and_z(
    legs: list[tuple[float, Measured]], directions: list[Direction], expected: list[float]
) -> None:
    typed = [TypedLeg(length_mm=length, measured=measured) for length, measured in legs]
    part = profile_part(HEADER, legs=typed, bends=[TypedBend(direction=d) for d in directions], length_mm=50.0)
    assert [outside(part)[f"leg{index + 1}"] for index in range(len(legs))] == pytest.approx(expected)


@pytest.mark.origin(
    "derived", "set-back of the outer tangent R + t, of the inner one R: the difference is t at any angle"
)
@pytest.mark.parametrize("turned", [91.0, 120.0, 150.0])
def test_above_90_the_inner_tangent_is_one_thickness_shorter(turned: float) -> None:
    bend = TypedBend(direction="up", turned_deg=turned)
    assert bend.leg_measure == "outer_tangent"
    assert lost_mm(bend, thickness_mm=1.5) == 1.5
    at_mould = TypedBend(direction="up", turned_deg=turned, measured_to="mould_line")
    assert lost_mm(at_mould, thickness_mm=1.5) == pytest.approx(1.5 * math.tan(math.radians(turned / 2)))


@pytest.mark.origin(
    "derived", "BD = 2 (R + t) - pi/2 (R + 0.42 t) with R 2.56, t 2: 3.7789; 190 - 4 BD = 174.884 for 15-40-80-40-15"
)
def test_blank_of_the_lipped_channel() -> None:
    legs = [TypedLeg(length_mm=leg) for leg in (15.0, 40.0, 80.0, 40.0, 15.0)]
    part = profile_part(HEADER, legs=legs, bends=[UP] * 4, length_mm=1200.0)
    assert blank_height(part, radius=2.56, k=0.42, thickness=2.0) == pytest.approx(174.884, abs=0.002)


@pytest.mark.origin("law", "which leg is the root must not matter: turning the list round gives the same blank")
@given(st.lists(st.floats(30.0, 120.0), min_size=2, max_size=6))
@settings(max_examples=25, deadline=None)
def test_reversed_profile_has_the_same_blank(legs: list[float]) -> None:
    typed = [TypedLeg(length_mm=leg) for leg in legs]
    bends = [TypedBend(direction="up", turned_deg=30.0 + 10.0 * index) for index in range(len(legs) - 1)]
    there = profile_part(HEADER, legs=typed, bends=bends, length_mm=100.0)
    back = profile_part(HEADER, legs=typed[::-1], bends=bends[::-1], length_mm=100.0)
    one, two = (blank_height(part, radius=2.0, k=0.4, thickness=2.0) for part in (there, back))
    assert one == pytest.approx(two)


@pytest.mark.origin("derived", "closed hem with R 0, K 0.5: deduction 2 t - pi t / 2 = 0.4292 t each; t 0.7: 0.3004")
def test_hems_at_both_ends() -> None:
    hem = TypedHem(kind="hem_closed", length_mm=12.0, direction="up")
    header = Header(part_no="T", revision="A", thickness_mm=0.7)
    part = profile_part(
        header, legs=[TypedLeg(length_mm=100.0)], bends=[], length_mm=300.0, hem_first=hem, hem_last=hem
    )
    assert [(bend.id, bend.child, bend.kind, bend.turned_deg) for bend in part.bends] == [
        ("h1", "leg1.hem", "hem_closed", 180.0),
        ("h2", "leg1.hem2", "hem_closed", 180.0),
    ]
    expected = 124.0 - 2 * (2 - math.pi / 2) * 0.7
    assert blank_height(part, radius=0.0, k=0.5, thickness=0.7) == pytest.approx(expected)


@pytest.mark.origin("derived", "measured from the leg's own edges: 12 from the bend, 20 from the left end of 100")
@pytest.mark.parametrize("widest", [0, 1])
def test_hole_is_measured_from_the_bend_whichever_leg_is_the_root(widest: int) -> None:
    hole = TypedOpening(
        shape=Circle(centre=(0.0, 0.0), diameter_mm=9.0), along_mm=20.0, across_mm=12.0, across_from="far"
    )
    legs = [TypedLeg(length_mm=40.0, openings=(hole,)), TypedLeg(length_mm=60.0)]
    if widest == 0:
        legs = [TypedLeg(length_mm=70.0, openings=(hole,)), TypedLeg(length_mm=60.0)]
    part = profile_part(HEADER, legs=legs, bends=[UP], length_mm=100.0)
    sizes = {"b1": fixed_size(part.bends[0], inside_radius_mm=0.0, k_factor=0.0, thickness_mm=2.0)}
    blank = make_blank(part, sizes, thickness_mm=2.0)
    (found,) = blank.features
    assert isinstance(found, Circle)
    assert found.centre == pytest.approx((20.0, legs[0].length_mm - 12.0))


@pytest.mark.origin("law", "a profile that cannot be is refused by code")
@pytest.mark.parametrize(
    ("legs", "bends", "length", "codes"),
    [
        ([], [], 100.0, ["P120"]),
        ([40.0, 40.0], [], 100.0, ["P120"]),
        ([40.0] * 201, [UP] * 200, 100.0, ["P121"]),
        ([40.0, -1.0], [UP], 0.0, ["P122", "P122"]),
        ([40.0, math.nan], [UP], 10.0, ["P122"]),
        ([40.0, 40.0], [TypedBend(direction="up", turned_deg=180.0)], 10.0, ["P140"]),
        ([40.0, 40.0], [TypedBend(direction="up", turned_deg=45.0, measured_to="outer_tangent")], 10.0, ["P141"]),
        ([4.0, 40.0], [TypedBend(direction="up", radius_mm=3.0)], 10.0, ["P142"]),
    ],
)
def test_impossible_profiles(legs: list[float], bends: list[TypedBend], length: float, codes: list[str]) -> None:
    with pytest.raises(PartFileError) as caught:
        profile_part(HEADER, legs=[TypedLeg(length_mm=leg) for leg in legs], bends=bends, length_mm=length)
    assert [item.code for item in caught.value.findings] == codes
