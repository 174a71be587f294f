"""How deep must the punch go, and what does a hundredth of a millimetre do?

Two models. The one with radii takes straight legs, an arc and round die shoulders; depth counts from the first touch of
punch and flat sheet. The sharp model takes sharp corners; its depth counts from the die top. Turned angles are those
under load; each leg turns half of it.
"""

from __future__ import annotations

from math import cos, pi, radians, sin, tan
from typing import Literal

from bendwright.findings import OutOfRangeError, found
from bendwright.mechanics.limits import not_negative, one_of, positive, within
from bendwright.mechanics.record import ModelRecord, WorkedExample

OpeningMeasured = Literal["arc_tangents", "sharp_corners"]


def half_centre_distance_mm(
    *, opening_mm: float, opening_measured: OpeningMeasured, die_angle_deg: float, shoulder_radius_mm: float
) -> float:
    """Half the distance between the centres of the two shoulder arcs.

    V between the arc tangent points on top: V/2. V between sharp corners: V/2 + rd tan((90 - die angle/2)/2).
    The two readings of the same V move the depth by 0.85 mm for V 16, rd 2, 88 degrees: ask which is meant.
    """
    positive(opening_mm=opening_mm)
    not_negative(shoulder_radius_mm=shoulder_radius_mm)
    within(0.0, 180.0, die_angle_deg=die_angle_deg)
    one_of(("arc_tangents", "sharp_corners"), opening_measured=opening_measured)
    if opening_measured == "arc_tangents":
        return opening_mm / 2.0
    return opening_mm / 2.0 + shoulder_radius_mm * tan(radians(90.0 - die_angle_deg / 2.0) / 2.0)


def ram_depth_mm(
    *,
    loaded_turned_deg: float,
    half_centre_mm: float,
    inside_radius_mm: float,
    thickness_mm: float,
    shoulder_radius_mm: float,
) -> float:
    """Travel of the punch from its first touch of the sheet: Y = Wc tan b - (ri + t + rd)(1/cos b - 1), b = turned/2.

    Exact for straight legs and a round arc, and within 0.05 mm of finite-element bends when ri is the radius really
    there; a radius guessed from V moves the angle at a given depth by 1-3 degrees.
    Example: V 16 between arc tangents, t 2, ri 2.6, rd 2, 90 degrees -> 5.266.
    OutOfRangeError R107 when no straight leg is left.
    """
    contact_arm_mm(
        loaded_turned_deg=loaded_turned_deg,
        half_centre_mm=half_centre_mm,
        inside_radius_mm=inside_radius_mm,
        thickness_mm=thickness_mm,
        shoulder_radius_mm=shoulder_radius_mm,
    )
    tilt = radians(loaded_turned_deg) / 2.0
    radii = inside_radius_mm + thickness_mm + shoulder_radius_mm
    return half_centre_mm * tan(tilt) - radii * (1.0 / cos(tilt) - 1.0)


def mm_per_degree(
    *,
    loaded_turned_deg: float,
    half_centre_mm: float,
    inside_radius_mm: float,
    thickness_mm: float,
    shoulder_radius_mm: float,
    radius_change_mm_per_deg: float = 0.0,
) -> float:
    """Extra depth for one degree more of turned angle: dY/d(turned).

    dY/db = (Wc - (ri+t+rd) sin b)/cos^2 b - (1/cos b - 1) dri/db. With ``radius_change_mm_per_deg`` 0 the inside
    radius stays; ``arc_keeping_radius_change_mm_per_deg`` gives the change of a free bend that closes further.
    """
    arm = contact_arm_mm(
        loaded_turned_deg=loaded_turned_deg,
        half_centre_mm=half_centre_mm,
        inside_radius_mm=inside_radius_mm,
        thickness_mm=thickness_mm,
        shoulder_radius_mm=shoulder_radius_mm,
    )
    tilt = radians(loaded_turned_deg) / 2.0
    shrinking = (1.0 / cos(tilt) - 1.0) * radius_change_mm_per_deg
    return arm / cos(tilt) * pi / 360.0 - shrinking


def arc_keeping_radius_change_mm_per_deg(*, inside_radius_mm: float, loaded_turned_deg: float) -> float:
    """How the inside radius shrinks as a free bend closes: -r/turned, the inside arc keeping its length.

    Seen in finite-element air bends (t 1-2, V 6-10 t, nose about 0.12 V or less): r x turned stays within 15 % from 22
    to 90 degrees. Holds until the sheet lies on the punch nose.
    """
    positive(inside_radius_mm=inside_radius_mm, loaded_turned_deg=loaded_turned_deg)
    return -inside_radius_mm / loaded_turned_deg


def contact_arm_mm(
    *,
    loaded_turned_deg: float,
    half_centre_mm: float,
    inside_radius_mm: float,
    thickness_mm: float,
    shoulder_radius_mm: float,
) -> float:
    """Straight leg from the end of the arc to the touch on the die shoulder: s = (Wc - (ri + t + rd) sin b)/cos b.

    Shorter form of s = Wc cos b - (rd + yc) sin b with yc = (ri+t+rd - Wc sin b)/cos b - rd.
    Example: V 16 between arc tangents, t 2, ri 2.6, rd 2, 90 degrees -> 4.714. OutOfRangeError R107 when s < 0.
    """
    not_negative(inside_radius_mm=inside_radius_mm, shoulder_radius_mm=shoulder_radius_mm)
    positive(half_centre_mm=half_centre_mm, thickness_mm=thickness_mm)
    within(0.0, 179.0, loaded_turned_deg=loaded_turned_deg)
    tilt = radians(loaded_turned_deg) / 2.0
    radii = inside_radius_mm + thickness_mm + shoulder_radius_mm
    arm = (half_centre_mm - radii * sin(tilt)) / cos(tilt)
    if arm < 0.0:
        sizes = {"inside_radius_mm": inside_radius_mm, "thickness_mm": thickness_mm, "arm_mm": arm}
        raise OutOfRangeError(found("R107", where="loaded_turned_deg", turned_deg=loaded_turned_deg, **sizes))
    return arm


def apex_arm_mm(
    *,
    loaded_turned_deg: float,
    half_centre_mm: float,
    inside_radius_mm: float,
    thickness_mm: float,
    shoulder_radius_mm: float,
) -> float:
    """Arm of the shoulder force about the middle of the arc, where the moment is largest: s + (ri + t/2) sin b."""
    arm = contact_arm_mm(
        loaded_turned_deg=loaded_turned_deg,
        half_centre_mm=half_centre_mm,
        inside_radius_mm=inside_radius_mm,
        thickness_mm=thickness_mm,
        shoulder_radius_mm=shoulder_radius_mm,
    )
    return arm + (inside_radius_mm + thickness_mm / 2.0) * sin(radians(loaded_turned_deg) / 2.0)


def sharp_depth_mm(*, included_deg: float, opening_mm: float, thickness_mm: float) -> float:
    """Depth of the inner corner below the die top, sharp corners: D = (V/2) cot(a/2) - t/sin(a/2), a included, loaded.

    Flat sheet (180): -t. Ignores all radii: right in sign, within 30 % in size (real bends need 30-50 % less).
    """
    positive(opening_mm=opening_mm, thickness_mm=thickness_mm)
    within(1.0, 180.0, included_deg=included_deg)
    half = radians(included_deg) / 2.0
    return opening_mm / 2.0 / tan(half) - thickness_mm / sin(half)


def sharp_mm_per_degree(*, included_deg: float, opening_mm: float, thickness_mm: float) -> float:
    """Extra depth for one degree more of turned angle in the sharp model: (V/2 - t cos(a/2))/(2 sin^2(a/2)) pi/180.

    Example: V 12, t 1.5, 90 degrees -> 0.086.
    """
    positive(opening_mm=opening_mm, thickness_mm=thickness_mm)
    within(1.0, 180.0, included_deg=included_deg)
    half = radians(included_deg) / 2.0
    return (opening_mm / 2.0 - thickness_mm * cos(half)) / (2.0 * sin(half) ** 2) * pi / 180.0


def sharp_degrees_per_0p1mm_thickness(*, included_deg: float, opening_mm: float, thickness_mm: float) -> float:
    """By how many degrees the bend closes when the sheet is 0.1 mm thicker and the ram goes to the same place.

    D held: d(included)/dt = -2 sin(a/2)/(V/2 - t cos(a/2)) radians per mm. Example: V 16, t 2, 90 degrees -> 1.23.
    """
    per_degree = sharp_mm_per_degree(included_deg=included_deg, opening_mm=opening_mm, thickness_mm=thickness_mm)
    return 0.1 / sin(radians(included_deg) / 2.0) / per_degree


_T2_V16 = {"loaded_turned_deg": 90.0, "inside_radius_mm": 2.6, "thickness_mm": 2.0, "shoulder_radius_mm": 2.0}

RECORDS = (
    ModelRecord(
        id="depth_with_radii",
        question="How deep must the punch go?",
        answer=ram_depth_mm,
        source="geometry of straight legs, arc and round shoulders",
        provenance="derived",
        symbols={"beta": "loaded_turned_deg", "Wc": "half_centre_mm", "ri": "inside_radius_mm", "t": "thickness_mm"},
        ranges={"loaded_turned_deg": (0.0, 150.0, "degrees")},
        examples=(
            WorkedExample(
                inputs={**_T2_V16, "half_centre_mm": 8.0},
                expected=5.2662,
                tolerance=0.001,
                origin="derived",
                source="8 tan 45 - 6.6 (1/cos 45 - 1)",
            ),
            WorkedExample(
                inputs={**_T2_V16, "half_centre_mm": 8.0 + 2.0 * tan(radians(23.0))},
                expected=6.1151,
                tolerance=0.001,
                origin="derived",
                source="V 16 between sharp corners of an 88 degree die",
            ),
        ),
        remarks=(
            "With the radius really there it follows finite-element bends within 0.05 mm; with a radius guessed from V "
            "it is 1-3 degrees off at a given depth. Calibrate by the first piece."
        ),
    ),
    ModelRecord(
        id="depth_sharp",
        question="How deep must the punch go?",
        answer=sharp_mm_per_degree,
        source="geometry of sharp corners; the answer of this record is mm per degree",
        provenance="derived",
        symbols={"alpha": "included_deg", "V": "opening_mm", "t": "thickness_mm"},
        ranges={"included_deg": (30.0, 180.0, "degrees")},
        examples=tuple(
            WorkedExample(
                inputs={"included_deg": 90.0, "opening_mm": opening, "thickness_mm": thickness},
                expected=expected,
                tolerance=0.0005,
                origin="derived",
                source="(V/2 - t cos 45) pi/180",
            )
            for opening, thickness, expected in (
                (8.0, 1.0, 0.057),
                (12.0, 1.5, 0.086),
                (16.0, 2.0, 0.115),
                (25.0, 3.0, 0.181),
            )
        ),
        remarks="30-50 % more than bends with radii need: for signs and sizes only.",
    ),
)
