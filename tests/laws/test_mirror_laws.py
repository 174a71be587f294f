"""Laws of the other hand: a mirror image, with the seen face seen, and back again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from test_fold import parts

from bendwright.findings import NotPossibleError
from bendwright.geometry.rigid import Array
from bendwright.part.bend_size import BendSize, fixed_size
from bendwright.part.blank import make_blank
from bendwright.part.blank_model import Blank
from bendwright.part.contour import ring_area_mm2
from bendwright.part.fold import fold
from bendwright.part.mirror import OTHER_HAND, mirrored
from bendwright.part.model import Cutout, Part, Slot
from flat_parts import bracket_with_window

FEW = settings(max_examples=40, deadline=None)
EXACT_MM = 1e-6
T = 2.0


def sizes_of(part: Part) -> Mapping[str, BendSize]:
    """Every air bend with R 2 and K 0.42; hems with half their gap and K 0.5."""
    out = {}
    for bend in part.bends:
        radius, k = (2.0, 0.42) if bend.kind == "bend" else ((bend.hem_gap_mm or 0.0) / 2.0, 0.5)
        out[bend.id] = fixed_size(bend, inside_radius_mm=radius, k_factor=k, thickness_mm=T)
    return out


def blank_of(part: Part) -> Blank:
    """The blank; parts whose bends leave no flat are set aside."""
    try:
        return make_blank(part, sizes_of(part), thickness_mm=T)
    except NotPossibleError:
        assume(False)
        raise


def numbers(part: Part) -> list[float]:
    """Every length and angle of a part in a fixed order."""
    out: list[float] = []

    def walk(value: object) -> None:
        if isinstance(value, int | float) and not isinstance(value, bool):
            out.append(float(value))
        elif isinstance(value, tuple):
            for item in value:
                walk(item)
        elif hasattr(value, "__dataclass_fields__"):
            for name in value.__dataclass_fields__:
                walk(getattr(value, name))

    walk(part.flanges)
    walk(part.bends)
    return out


def top_and_bottom(part: Part, blank: Blank, flange_id: str) -> tuple[Array, Array]:
    """Corners of the two faces of a folded flange, top face first."""
    flat = {item.flange_id: item for item in blank.flats}[flange_id]
    ring = np.array(flat.outline)
    placed = fold(part, blank)[flange_id]
    top, bottom = (placed.points(np.column_stack([ring, np.full(len(ring), side * 0.5 * T)])) for side in (1.0, -1.0))
    return top, bottom


def same_cloud(first: Array, second: Array) -> bool:
    """Every point of each has a twin in the other."""
    gaps = np.linalg.norm(first[:, None, :] - second[None, :, :], axis=2)
    return bool(gaps.min(axis=0).max() < 1e-5 and gaps.min(axis=1).max() < 1e-5)


@given(parts)
@FEW
@pytest.mark.origin("law", "a mirror image of a mirror image is the thing itself")
def test_mirrored_twice_it_is_the_part(part: Part) -> None:
    """Numbers to 1e-9, everything else exactly, the part number too."""
    twice = mirrored(mirrored(part))
    assert numbers(twice) == pytest.approx(numbers(part), abs=1e-9)
    assert twice.header == part.header
    assert [bend.id for bend in twice.bends] == [bend.id for bend in part.bends]


@pytest.mark.origin("law", "a mirror image of a mirror image is the thing itself")
def test_windows_arcs_slots_and_zones_come_back_too() -> None:
    """A part as models give it."""
    part = bracket_with_window()
    other = mirrored(part)
    assert numbers(mirrored(other)) == pytest.approx(numbers(part), abs=1e-9)
    assert numbers(other) != pytest.approx(numbers(part), abs=1e-3)
    assert any(bend.zone for bend in other.bends)


def _is_mirror_image(part: Part) -> None:
    blank, other = blank_of(part), mirrored(part)
    there = make_blank(other, sizes_of(other), thickness_mm=T)
    assert there.area_mm2 == pytest.approx(blank.area_mm2, abs=1e-5)
    assert (there.width_mm, there.height_mm) == pytest.approx((blank.width_mm, blank.height_mm), abs=EXACT_MM)
    for flange in part.flanges:
        for ours, theirs in zip(
            top_and_bottom(part, blank, flange.id), top_and_bottom(other, there, flange.id), strict=True
        ):
            reflected = ours * np.array([-1.0, 1.0, 1.0]) + np.array([blank.width_mm, 0.0, 0.0])
            assert same_cloud(reflected, theirs)


@given(parts)
@FEW
@pytest.mark.origin(
    "law", "the folded copy is the mirror image, its top face the image of the top face; blanks are equal in area"
)
def test_the_folded_copy_is_the_mirror_image(part: Part) -> None:
    """So a face that was outside and visible is outside and visible on the copy, whatever bends lie between."""
    _is_mirror_image(part)
    assert mirrored(part).header.visible_side == part.header.visible_side


@pytest.mark.origin("law", "the folded copy is the mirror image; windows, mitred ends, a hem")
def test_a_part_from_a_model_is_mirrored_whole() -> None:
    """Its features too: slot and half-moon lie mirrored on the blank, their arcs on the same circles."""
    part = bracket_with_window()
    _is_mirror_image(part)
    blank, other = blank_of(part), mirrored(part)
    there = make_blank(other, sizes_of(other), thickness_mm=T)
    slots = [[f for f in b.features if isinstance(f, Slot)] for b in (blank, there)]
    moons = [[f for f in b.features if isinstance(f, Cutout)] for b in (blank, there)]
    assert slots[1][0].centre == pytest.approx((blank.width_mm - slots[0][0].centre[0], slots[0][0].centre[1]))
    assert (slots[1][0].axis_deg + slots[0][0].axis_deg) % 180.0 == pytest.approx(0.0, abs=1e-9)
    areas = [ring_area_mm2(moon[0].points, moon[0].arcs) for moon in moons]
    assert areas[1] == pytest.approx(areas[0], abs=1e-6)
    assert areas[0] == pytest.approx(np.pi * 8.0**2 / 2.0, abs=1e-3)


@pytest.mark.origin(
    "law", "turning the same blank's bends the other way is a mirror image as well, with the wrong face outside"
)
def test_bending_the_other_way_would_show_the_wrong_face() -> None:
    """Why the copy needs a blank of its own: with the same blank top and bottom change places."""
    part = replace(
        bracket_with_window(), bends=bracket_with_window().bends[:1], flanges=bracket_with_window().flanges[:2]
    )
    flipped = replace(part, bends=tuple(replace(bend, direction="down") for bend in part.bends))
    blank = blank_of(part)
    top, bottom = top_and_bottom(part, blank, "flange1")
    other_top, other_bottom = top_and_bottom(flipped, blank_of(flipped), "flange1")
    mirror = np.array([1.0, 1.0, -1.0])
    assert same_cloud(top * mirror, other_bottom)
    assert same_cloud(bottom * mirror, other_top)


@pytest.mark.origin("practice", "the number gains a suffix of our own, or is given")
def test_the_number_of_the_copy() -> None:
    """Gained, taken off again, or named."""
    part = bracket_with_window()
    assert mirrored(part).header.part_no == "SM-9100" + OTHER_HAND
    assert mirrored(part, part_no="SM-9101").header.part_no == "SM-9101"
