"""Bends that cannot be divided into hits: told in words."""

from __future__ import annotations

import pytest

from bendwright.findings import NotPossibleError, OutOfRangeError
from bendwright.part.bumped import bumped, hits_for
from bendwright.part.model import Header, Part
from bendwright.part.profile import profile_part
from bendwright.part.typed import TypedBend, TypedHem, TypedLeg

HEADER = Header(part_no="SM-9821", revision="A", thickness_mm=2.0)
SIZES = {"thickness_mm": 2.0, "k_factor": 0.5}


def profile(radius: float | None) -> Part:
    """Two legs of 212 and a hem."""
    return profile_part(
        HEADER,
        legs=[TypedLeg(length_mm=212.0), TypedLeg(length_mm=212.0)],
        bends=[TypedBend(direction="up", radius_mm=radius)],
        length_mm=1000.0,
        hem_last=TypedHem(kind="hem_closed", length_mm=12.0, direction="up", gap_mm=None),
    )


def test_no_radius() -> None:
    """Nothing drawn, nothing given; given is enough."""
    with pytest.raises(NotPossibleError, match=r"M110 .*Bend b1 has no inside radius on the drawing"):
        bumped(profile(None), "b1", hits=5, **SIZES)
    assert bumped(profile(None), "b1", hits=5, inside_radius_mm=150.0, **SIZES).step_deg == 18.0


def test_a_hem() -> None:
    """Folded flat, not bumped."""
    part = profile(150.0)
    hem = next(bend.id for bend in part.bends if bend.kind != "bend")
    with pytest.raises(NotPossibleError, match=rf"M111 .*Bend {hem} is a hem_closed"):
        bumped(part, hem, hits=5, inside_radius_mm=10.0, **SIZES)


def test_hits_too_coarse_for_their_tools() -> None:
    """Two hits of 45 degrees as sharp as 1 mm: the facets are 2 x 149 tan 22.5 = 123.4 long, the pitch is 118.6."""
    made = bumped(profile(150.0), "b1", hits=2, **SIZES)
    with pytest.raises(OutOfRangeError, match=r"M112 .*2 hits of 45.00 degrees and inside radius 1.00 leave nothing"):
        made.sizes(inside_radius_mm=1.0)
    with pytest.raises(KeyError):
        made.size("b9", inside_radius_mm=1.0)


def test_a_die_too_wide_for_the_facets() -> None:
    """22 hits need 21.6 at most; V24 allows 19."""
    with pytest.raises(
        OutOfRangeError, match=r"M113 .*at most 0.1 mm need 22 hits; the die of 24 mm allows 19.*21.6 mm"
    ):
        hits_for(inside_radius_mm=150.0, turned_deg=90.0, facet_mm=0.1, opening_mm=24.0, **SIZES)


@pytest.mark.parametrize(
    ("wrong", "code"),
    [
        ({"hits": 0}, "R103"),
        ({"hits": 2001}, "R103"),
        ({"hits": 1, "thickness_mm": -2.0}, "R101"),
        ({"hits": 1, "k_factor": 1.5}, "R103"),
        ({"hits": 5, "hit_radius_mm": 151.0}, "R103"),
        ({"hits": 5, "inside_radius_mm": float("nan")}, "R101"),
        ({"hits": 5, "inside_radius_mm": float("inf")}, "R101"),
    ],
)
def test_impossible_numbers(wrong: dict[str, float], code: str) -> None:
    """Guards at the door."""
    with pytest.raises(OutOfRangeError, match=code):
        bumped(profile(150.0), "b1", **{**SIZES, **wrong})  # type: ignore[arg-type]


def test_one_hit_of_more_than_a_right_angle() -> None:
    """A step of 120 degrees is no hit."""
    part = profile_part(
        HEADER,
        legs=[TypedLeg(length_mm=400.0), TypedLeg(length_mm=400.0)],
        bends=[TypedBend(direction="up", radius_mm=50.0, turned_deg=120.0)],
        length_mm=1000.0,
    )
    with pytest.raises(OutOfRangeError, match="R103"):
        bumped(part, "b1", hits=1, **SIZES)
