"""Cross-sections of punches and dies from a few sizes, as closed polygons in the frames of ``tools``.

Arcs become chords of at most 15 degrees with their ends and the middle on the arc. All outlines run counter-clockwise.
"""

from __future__ import annotations

from math import ceil, cos, radians, sin, tan

from bendwright.shop.tools import Offset, OpeningMeasured, Point

Outline = tuple[Point, ...]


def straight_punch(*, angle_deg: float, nose_radius_mm: float, height_mm: float, half_width_mm: float) -> Outline:
    """A symmetric punch: round nose, flanks at ``angle_deg`` (included) up to the half width, then straight up.

    The flanks touch the nose arc, so the half width is reached ``flank_reach_mm`` above the tip.
    """
    reach = flank_reach_mm(angle_deg=angle_deg, nose_radius_mm=nose_radius_mm, half_width_mm=half_width_mm)
    right = ((half_width_mm, reach), (half_width_mm, height_mm))
    left = ((-half_width_mm, height_mm), (-half_width_mm, reach))
    return _without_repeats((*_nose(angle_deg, nose_radius_mm), *right, *left))


def gooseneck_punch(
    *,
    angle_deg: float,
    nose_radius_mm: float,
    height_mm: float,
    toe_half_width_mm: float,
    retreat_mm: float,
    throat_from_mm: float,
    throat_to_mm: float,
    back_mm: float,
    clamp_half_width_mm: float,
) -> Outline:
    """A punch whose body stands back from the working line.

    Mounted straight, the throat is open toward the operator (-x): between ``throat_from_mm`` and ``throat_to_mm`` above
    the tip nothing of the body lies at x < ``retreat_mm``; its back is at x = ``back_mm``. The toe keeps its front
    flank up to ``toe_half_width_mm``; above the throat the body comes back to a clamp centred on the working line.
    """
    sizes = {"angle_deg": angle_deg, "nose_radius_mm": nose_radius_mm}
    toe_reach = flank_reach_mm(**sizes, half_width_mm=toe_half_width_mm)
    back_flank = 0.7 * back_mm
    rise = 0.35 * (height_mm - throat_to_mm)
    back = (
        (back_flank, flank_reach_mm(**sizes, half_width_mm=back_flank)),
        (back_mm, flank_reach_mm(**sizes, half_width_mm=back_mm) + 8.0),
        (back_mm, throat_to_mm),
        (clamp_half_width_mm, height_mm - rise),
        (clamp_half_width_mm, height_mm),
    )
    front = (
        (-clamp_half_width_mm, height_mm),
        (-clamp_half_width_mm, height_mm - rise),
        (retreat_mm, throat_to_mm),
        (retreat_mm, throat_from_mm),
        (-toe_half_width_mm, toe_reach + 3.0),
        (-toe_half_width_mm, toe_reach),
    )
    return _without_repeats((*_nose(angle_deg, nose_radius_mm), *back, *front))


def bar(*, height_mm: float, half_width_mm: float) -> Outline:
    """A flat bar standing on y = 0, for flattening."""
    return (
        (-half_width_mm, 0.0),
        (half_width_mm, 0.0),
        (half_width_mm, height_mm),
        (-half_width_mm, height_mm),
    )


def vee_block(
    *,
    opening_mm: float,
    opening_measured: OpeningMeasured,
    angle_deg: float,
    shoulder_radius_mm: float,
    height_mm: float,
    width_mm: float,
) -> Outline:
    """A rectangular die block with one V groove in the middle of its top; the shoulders are round."""
    half = half_top_opening_mm(
        opening_mm=opening_mm,
        opening_measured=opening_measured,
        angle_deg=angle_deg,
        shoulder_radius_mm=shoulder_radius_mm,
    )
    sizes = {"angle_deg": angle_deg, "shoulder_radius_mm": shoulder_radius_mm}
    depth = groove_depth_mm(opening_mm=opening_mm, opening_measured=opening_measured, **sizes)
    turn = radians(90.0 - angle_deg / 2.0)
    steps = _steps(90.0 - angle_deg / 2.0) if shoulder_radius_mm > 0.0 else 0
    arc = tuple(
        (
            half - shoulder_radius_mm * sin(turn * index / steps),
            -shoulder_radius_mm * (1.0 - cos(turn * index / steps)),
        )
        for index in range(1, steps + 1)
    )
    right = ((width_mm / 2.0, -height_mm), (width_mm / 2.0, 0.0), (half, 0.0), *arc)
    left = tuple((-x, y) for x, y in reversed(right))
    return (*right, (0.0, -depth), *left)


def flat_block(*, height_mm: float, width_mm: float) -> Outline:
    """A die with a flat top at y = 0, for flattening."""
    half = width_mm / 2.0
    return ((-half, -height_mm), (half, -height_mm), (half, 0.0), (-half, 0.0))


def offset_block(offset: Offset, *, height_mm: float, width_mm: float) -> Outline:
    """A die with a step in the middle of its top: high land at y = 0 toward the gauge, low land toward the operator, corners sharp.

    The flank leaves room for the thickest sheet in the middle between it and the same block turned half round.
    """
    half, low = width_mm / 2.0, -offset.step_mm
    high_x, low_x = offset_flank_mm(offset)
    return ((half, -height_mm), (half, 0.0), (high_x, 0.0), (low_x, low), (-half, low), (-half, -height_mm))


def offset_punch(offset: Offset, *, height_mm: float, width_mm: float) -> Outline:
    """The punch to ``offset_block``: the same block turned half round, low land at y = 0."""
    return tuple((-x, -y) for x, y in offset_block(offset, height_mm=height_mm, width_mm=width_mm))


def offset_flank_mm(offset: Offset) -> tuple[float, float]:
    """Where the flank of an offset die meets high and low land (x) [mm]: half the thickest sheet beside the middle of the web."""
    turned, thick = radians(offset.turned_deg), offset.thickness_mm[1]
    beside = 0.5 * thick * sin(turned)
    over = 0.5 * (offset.step_mm - thick + thick * cos(turned)) / tan(turned)
    under = 0.5 * (-offset.step_mm - thick + thick * cos(turned)) / tan(turned)
    return beside + over, beside + under


def flank_reach_mm(*, angle_deg: float, nose_radius_mm: float, half_width_mm: float) -> float:
    """Height above the tip at which the flank of a round-nosed punch stands ``half_width_mm`` from the centre line.

    y = x / tan(a) - r (1/sin(a) - 1) with a half the included angle; r = 0 gives the sharp wedge (7 wide: 7.25 at 88).
    """
    half = radians(angle_deg / 2.0)
    return half_width_mm / tan(half) - nose_radius_mm * (1.0 / sin(half) - 1.0)


def half_top_opening_mm(
    *, opening_mm: float, opening_measured: OpeningMeasured, angle_deg: float, shoulder_radius_mm: float
) -> float:
    """Half the distance between the arc tangent points on the die top, whichever way the opening was measured."""
    if opening_measured == "arc_tangents":
        return opening_mm / 2.0
    return opening_mm / 2.0 + shoulder_radius_mm * tan(radians(90.0 - angle_deg / 2.0) / 2.0)


def groove_depth_mm(
    *, opening_mm: float, opening_measured: OpeningMeasured, angle_deg: float, shoulder_radius_mm: float
) -> float:
    """Depth of a groove with a sharp bottom below the die top [mm]; sharp shoulders give (V/2)/tan(angle/2)."""
    half = radians(angle_deg / 2.0)
    sharp = half_top_opening_mm(
        opening_mm=opening_mm,
        opening_measured=opening_measured,
        angle_deg=angle_deg,
        shoulder_radius_mm=shoulder_radius_mm,
    ) - shoulder_radius_mm * tan(radians(90.0 - angle_deg / 2.0) / 2.0)
    return sharp / tan(half)


def _nose(angle_deg: float, nose_radius_mm: float) -> Outline:
    """The nose arc from the left flank over the tip (a corner of the polygon) to the right flank."""
    if nose_radius_mm == 0.0:
        return ((0.0, 0.0),)
    turn = 90.0 - angle_deg / 2.0
    steps = _steps(turn)
    swings = (radians(turn) * index / steps for index in range(-steps, steps + 1))
    return tuple((nose_radius_mm * sin(swing), nose_radius_mm * (1.0 - cos(swing))) for swing in swings)


def _steps(turn_deg: float) -> int:
    """Chords for an arc of ``turn_deg``."""
    return max(1, ceil(turn_deg / 15.0))


def _without_repeats(outline: Outline) -> Outline:
    """The outline without points that coincide with the one before (also across the end)."""
    return tuple(
        point
        for index, point in enumerate(outline)
        if max(abs(point[0] - outline[index - 1][0]), abs(point[1] - outline[index - 1][1])) > 1e-9
    )
