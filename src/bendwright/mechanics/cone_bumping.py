"""Which flat makes a bumped cone, where do its hits lie, and how far are they from parallel?

A piece of a frustum, bent hit by hit along its generators. Radii are those of the inner face at both ends, square to the
axis; the neutral fibre lies K t further out along the normal. The flat is a sector of a ring, its hits are radial lines:
closer together at the small end, all of the same turned angle from end to end.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, asin, cos, degrees, hypot, pi, radians, sin, tan

from bendwright.findings import OutOfRangeError, found
from bendwright.mechanics.bump_bending import hits_for_step
from bendwright.mechanics.limits import not_negative, positive, within
from bendwright.mechanics.record import ModelRecord, WorkedExample


@dataclass(frozen=True, slots=True, kw_only=True)
class ConeFlat:
    """The flat of a cone: half angle of the cone, slant length, radii and angle of the sector [mm, degrees]."""

    half_angle_deg: float
    slant_mm: float
    inner_mm: float
    outer_mm: float
    sector_deg: float

    @property
    def area_mm2(self) -> float:
        """Area of the sector."""
        return radians(self.sector_deg) * (self.outer_mm**2 - self.inner_mm**2) / 2.0

    @property
    def enclosing_mm(self) -> tuple[float, float]:
        """Width across and height along the middle line of the smallest upright rectangle around the sector."""
        half = radians(self.sector_deg) / 2.0
        wide = self.outer_mm if half >= pi / 2.0 else self.outer_mm * sin(half)
        lowest = self.inner_mm * cos(half) if half < pi / 2.0 else self.outer_mm * cos(half)
        return 2.0 * wide, self.outer_mm - lowest


@dataclass(frozen=True, slots=True, kw_only=True)
class ConeHit:
    """One hit line: angle from the front edge and from the edge still flat at the back [degrees], its two ends in the
    flat [mm], apex at the origin and front edge along x: small end, large end.
    """

    number: int
    from_front_deg: float
    from_back_deg: float
    small_end: tuple[float, float]
    large_end: tuple[float, float]


def cone_flat(
    *,
    small_radius_mm: float,
    large_radius_mm: float,
    height_mm: float,
    turned_deg: float,
    thickness_mm: float,
    k_factor: float = 0.5,
) -> ConeFlat:
    """Develop the neutral face: sin f = (r2 - r1)/s, radii of the sector r/sin f, its angle A sin f.

    OutOfRangeError W104 when the radii are equal (a round bend) or in the wrong order.
    """
    not_negative(small_radius_mm=small_radius_mm)
    positive(large_radius_mm=large_radius_mm, height_mm=height_mm, thickness_mm=thickness_mm)
    within(0.0, 360.0, turned_deg=turned_deg)
    within(0.0, 1.0, k_factor=k_factor)
    if large_radius_mm - small_radius_mm < 1e-6 * height_mm:
        values = {"small_mm": small_radius_mm, "large_mm": large_radius_mm}
        raise OutOfRangeError(found("W104", where="large_radius_mm", **values))
    slant = hypot(large_radius_mm - small_radius_mm, height_mm)
    sine, cosine = (large_radius_mm - small_radius_mm) / slant, height_mm / slant
    inner = (small_radius_mm + k_factor * thickness_mm * cosine) / sine
    return ConeFlat(
        half_angle_deg=degrees(asin(sine)),
        slant_mm=slant,
        inner_mm=inner,
        outer_mm=inner + slant,
        sector_deg=turned_deg * sine,
    )


def cone_turn_per_hit_deg(*, step_deg: float, half_angle_deg: float) -> float:
    """Turned angle of a hit between two facets that stand ``step_deg`` apart around the axis: cos = cos^2 f cos g + sin^2 f.

    For small steps g cos f; the whole cone takes less bending than a round of the same angle.
    """
    within(0.0, 180.0, step_deg=step_deg)
    within(0.0, 89.0, half_angle_deg=half_angle_deg)
    f, g = radians(half_angle_deg), radians(step_deg)
    return degrees(2.0 * asin(min(1.0, cos(f) * sin(g / 2.0))))


def cone_facet_mm(*, large_radius_mm: float, thickness_mm: float, half_angle_deg: float, step_deg: float) -> float:
    """How far the middle of a facet lies off the outer face at the large end, square to the sheet."""
    not_negative(large_radius_mm=large_radius_mm)
    positive(thickness_mm=thickness_mm)
    within(0.0, 89.0, half_angle_deg=half_angle_deg)
    within(0.0, 180.0, step_deg=step_deg)
    cosine = cos(radians(half_angle_deg))
    return (large_radius_mm + thickness_mm * cosine) * cosine * (1.0 - cos(radians(step_deg) / 2.0))


def cone_hits_for_facet(
    *, large_radius_mm: float, thickness_mm: float, half_angle_deg: float, turned_deg: float, facet_mm: float
) -> int:
    """Fewest equal hits whose facets stay within a height at the large end, where they are highest. W102 above 2000."""
    positive(facet_mm=facet_mm, thickness_mm=thickness_mm)
    not_negative(large_radius_mm=large_radius_mm)
    cosine = cos(radians(half_angle_deg))
    outer = (large_radius_mm + thickness_mm * cosine) * cosine
    return hits_for_step(turned_deg=turned_deg, step_deg=2.0 * degrees(acos(max(0.0, 1.0 - facet_mm / outer))))


def cone_pitches_mm(*, flat: ConeFlat, hits: int) -> tuple[float, float]:
    """Distance of the hits along the arc at the small and at the large end."""
    within(1, 2000, hits=hits)
    each = radians(flat.sector_deg) / hits
    return flat.inner_mm * each, flat.outer_mm * each


def cone_hits(*, flat: ConeFlat, hits: int) -> tuple[ConeHit, ...]:
    """All hit lines in the order made, the first and last half a step inside the straight edges of the sector."""
    within(1, 2000, hits=hits)
    each = flat.sector_deg / hits
    lines: list[ConeHit] = []
    for number in range(1, hits + 1):
        place = (number - 0.5) * each
        along = (cos(radians(place)), sin(radians(place)))
        lines.append(
            ConeHit(
                number=number,
                from_front_deg=place,
                from_back_deg=flat.sector_deg - place,
                small_end=(flat.inner_mm * along[0], flat.inner_mm * along[1]),
                large_end=(flat.outer_mm * along[0], flat.outer_mm * along[1]),
            )
        )
    return tuple(lines)


def finger_taper_mm(*, skew_deg: float, spacing_mm: float) -> float:
    """How far one finger stands before the other when the gauged edge is not parallel to the bend: spacing x tan(skew)."""
    positive(spacing_mm=spacing_mm)
    within(-85.0, 85.0, skew_deg=skew_deg)
    return spacing_mm * tan(radians(skew_deg))


def faceted_area_mm2(*, flat: ConeFlat, hits: int) -> float:
    """Area of the flat cut along chords from hit to hit; goes up to the area of the sector as the hits increase."""
    within(1, 2000, hits=hits)
    each = radians(flat.sector_deg) / hits
    return hits * sin(each) * (flat.outer_mm**2 - flat.inner_mm**2) / 2.0


def faceted_volume_mm3(
    *, small_radius_mm: float, large_radius_mm: float, height_mm: float, turned_deg: float, hits: int
) -> float:
    """Volume inside a cone of flat facets whose edges lie on the round one: h/3 (r1^2 + r1 r2 + r2^2) N sin(A/N)/2."""
    not_negative(small_radius_mm=small_radius_mm)
    positive(large_radius_mm=large_radius_mm, height_mm=height_mm)
    within(1, 2000, hits=hits)
    squares = small_radius_mm**2 + small_radius_mm * large_radius_mm + large_radius_mm**2
    return height_mm / 3.0 * squares * hits * sin(radians(turned_deg) / hits) / 2.0


RECORDS = (
    ModelRecord(
        id="cone_sector",
        question="Which sector makes a cone?",
        answer=lambda **inputs: cone_flat(**inputs).sector_deg,
        source="development of a cone",
        provenance="derived",
        symbols={"r1": "small_radius_mm", "r2": "large_radius_mm", "h": "height_mm", "A": "turned_deg"},
        examples=(
            WorkedExample(
                inputs={
                    "small_radius_mm": 100.0,
                    "large_radius_mm": 160.0,
                    "height_mm": 80.0,
                    "turned_deg": 180.0,
                    "thickness_mm": 1.0,
                },
                expected=108.0,
                tolerance=1e-9,
                origin="derived",
                source="3-4-5: slant 100, sin f = 0.6, 180 x 0.6",
            ),
        ),
    ),
    ModelRecord(
        id="cone_turn",
        question="By how much does one hit of a cone turn?",
        answer=cone_turn_per_hit_deg,
        source="angle between the planes of two facets; cos = cos^2 f cos g + sin^2 f",
        provenance="derived",
        symbols={"g": "step_deg", "f": "half_angle_deg"},
        examples=(
            WorkedExample(
                inputs={"step_deg": 90.0, "half_angle_deg": 11.309932474020213},
                expected=87.80,
                tolerance=0.005,
                origin="derived",
                source="a hopper corner: faces sloped 100 in 500, acos(sin^2 f)",
            ),
        ),
    ),
)
