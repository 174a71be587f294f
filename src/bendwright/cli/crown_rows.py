"""The crown of one stroke on the terminal and as JSON: where the bend lies, what opens, what to set, what is left."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from bendwright.quantities import Band
    from bendwright.shop.brake import Brake
    from bendwright.stroke.crown import Crown, ThreeAngles


def crown_at(
    typed: Mapping[str, Any], brake: Brake, *, line_load: Band, length_mm: float, mm_per_degree: float
) -> Crown | None:
    """The crown of a bend whose left end lies at ``--at``, else in the middle of the bed; None where the bed is not known."""
    from bendwright.quantities import parse_optional_length
    from bendwright.stroke.crown import crown_of_stroke

    start = parse_optional_length(typed["at"], where="--at", allow_zero=True)
    if start is None and brake.bed_length_mm is not None:
        start = 0.5 * (brake.bed_length_mm - length_mm)
    return None if start is None else crown_of_stroke(brake, line_load, [(start, start + length_mm)], mm_per_degree)


def crown_rows(crown: Crown | None) -> list[tuple[str, str, str, str]]:
    """What, value, unit, from: the lines of the list."""
    if crown is None:
        return [("bend on the bed", "?", "mm", "length of the bed not known; give --at")]
    start, end = crown.ranges_mm[0][0], crown.ranges_mm[-1][1]
    rows = [("bend on the bed", f"{start:g} to {end:g}", "mm", "from the left end of the bed")]
    if crown.needed_mm is None or crown.before_deg is None or crown.after_deg is None:
        return [*rows, ("middle opens more than ends", "?", "mm", f"not known: {', '.join(crown.unknown)}")]
    return [
        *rows,
        (
            "middle opens more than ends",
            f"{crown.needed_mm.low:.3f} to {crown.needed_mm.high:.3f}",
            "mm",
            crown.source,
        ),
        ("angles L/C/R without crown", _angles(crown.before_deg), "deg", "+ = too open; depth right on both ends"),
        _height_row(crown),
        ("depth with that crown", f"{crown.depth_mm:+.3f}", "mm", "+ = deeper than right on both ends without crown"),
        ("depth at Y1", f"{crown.y1_mm:+.3f}", "mm", "the same with tilt, at the left axis"),
        ("depth at Y2", f"{crown.y2_mm:+.3f}", "mm", "the same with tilt, at the right axis"),
        ("angles L/C/R after", _angles(crown.after_deg), "deg", f"{crown.worst_after_deg:.2f} at the worst place"),
        *[("not counted in", "?", "mm", name) for name in crown.unknown],
    ]


def _height_row(crown: Crown) -> tuple[str, str, str, str]:
    """What the crown is set to, or why that cannot be told."""
    if crown.height_mm is None:
        lacking = any(name.startswith("crown") for name in crown.unknown)
        return ("crown in its middle", "?" if lacking else "-", "mm", "not known" if lacking else "there is none")
    scale = "" if crown.divisions is None else f"; {crown.divisions:.1f} divisions of its scale"
    return ("crown in its middle", f"{crown.height_mm:.3f}", "mm", f"smallest worst angle along the bend{scale}")


def crown_data(crown: Crown | None) -> dict[str, Any] | None:
    """The JSON twin."""
    from dataclasses import asdict

    return None if crown is None else asdict(crown) | {"findings": [found.as_dict() for found in crown.findings]}


def _angles(three: ThreeAngles) -> str:
    """Left, centre, right with their signs; what would read -0.00 reads +0.00."""
    places = (three.left_deg, three.centre_deg, three.right_deg)
    return " / ".join(f"{round(value, 2) + 0.0:+.2f}" for value in places)
